//! The state made visible: pure functions from the state to HTML.
//!
//! [`skeleton`] gives the places of the page, each with the key of what stands
//! in it; [`draw`] gives what stands there, piece by piece. The browser's side
//! changes only the pieces that differ. The measures and the lines of the notes,
//! of which there are thousands, are not even drawn unless what they are drawn of
//! differs from what it was: [`Looks`]. Where many have to be drawn, most wait for [`draw_on`].

mod adding;
mod curve;
mod facts;
mod field;
mod findings;
mod folded;
mod hand_out;
mod heard;
mod help;
mod home;
mod link;
mod map;
mod marks;
mod measure;
mod notes;
mod other_files;
mod phrases;
mod printed;
mod proposals;
mod tempo;
#[cfg(test)]
mod tests;
mod tip_editor;
mod tip_media;
mod tip_shows;
mod tips;
mod todos;
mod top;
mod try_it;

use crate::notes::MapAs;
use crate::state::{Desk, Room, Screen, State};
use crate::update::keeping::title as title_words;
use maud::{Markup, html};
use measure::MapLooks;
use notes::NotesLooks;

/// What stands in one place, or an element on its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Piece {
    key: String,
    html: String,
    kind: PieceKind,
}

/// How a piece gets into the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PieceKind {
    /// It stands in its place and is always drawn; its markup tells whether it differs.
    Compared,
    /// It stands in its place and is drawn only because it may differ.
    Drawn,
    /// The same, where nothing has the focus or is opened, so that it is not morphed.
    Plain,
    /// It is the element whose id is the key, drawn only because it may differ.
    Element,
}

impl Piece {
    fn new(key: impl Into<String>, markup: Markup) -> Self {
        Self::of(key.into(), markup, PieceKind::Compared)
    }

    fn drawn(key: String, markup: Markup) -> Self {
        Self::of(key, markup, PieceKind::Drawn)
    }

    fn plain(key: &str, markup: Markup) -> Self {
        Self::of(key.to_owned(), markup, PieceKind::Plain)
    }

    fn element(id: String, markup: Markup) -> Self {
        Self::of(id, markup, PieceKind::Element)
    }

    fn of(key: String, markup: Markup, kind: PieceKind) -> Self {
        Self {
            key,
            html: markup.into_string(),
            kind,
        }
    }

    /// Makes a piece of plain text.
    #[cfg(test)]
    pub(crate) fn sample(key: &str, html: &str) -> Self {
        Self::drawn(key.to_owned(), maud::PreEscaped(html.to_owned()))
    }

    /// Gives the key of the place, or the id of the element.
    pub(crate) fn key(&self) -> &str {
        &self.key
    }

    /// Gives the markup.
    pub(crate) fn html(&self) -> &str {
        &self.html
    }

    /// Gives the key and the markup.
    pub(crate) fn into_parts(self) -> (String, String) {
        (self.key, self.html)
    }

    /// Tells how it gets into the page.
    pub(crate) const fn kind(&self) -> PieceKind {
        self.kind
    }
}

/// Gives the id of the place with a key.
pub(crate) fn place_id(key: &str) -> String {
    format!("in-{key}")
}

fn place(key: &str) -> Markup {
    html! { div id=(place_id(key)) data-fragment=(key) {} }
}

/// Gives the title of the browser's tab.
pub(crate) fn title(state: &State) -> String {
    match state.desk() {
        Some(desk) => format!("{} – Cueleaf", title_words(&desk.guide().title)),
        None => "Cueleaf".to_owned(),
    }
}

/// Draws the places of the page.
pub(crate) fn skeleton(state: &State) -> String {
    let markup = match state.desk() {
        None => html! {
            div class="page start" {
                header { (place("top")) }
                (place("notice"))
                main id="main" tabindex="-1" { (place("start")) }
                footer { (place("help")) }
            }
        },
        Some(desk) => html! {
            div class={ "page desk " (marks(desk)) } data-room=(desk.room.code()) {
                header { (place("top")) }
                (place("notice"))
                main id="main" tabindex="-1" {
                    div class="room" { (room(desk)) }
                    section id="try" class="try" aria-label="Try it" hidden[!desk.shows_preview()] {
                        (place("try-tools"))
                        div id="preview" {}
                    }
                }
                footer { (place("help")) }
            }
        },
    };
    markup.into_string()
}

fn marks(desk: &Desk) -> String {
    let all = [
        (desk.beside && desk.room != Room::TryIt, "beside"),
        (desk.facts_open, "facts-open"),
        (desk.extending, "extending"),
    ];
    let on: Vec<&str> = all
        .iter()
        .filter(|(on, _)| *on)
        .map(|(_, name)| *name)
        .collect();
    on.join(" ")
}

fn room(desk: &Desk) -> Markup {
    match desk.room {
        Room::RoadMap if desk.map_as == MapAs::Notes => notes::places(),
        Room::RoadMap => html! {
            div class="map-room" {
                div class="map-side" {
                    (place("map-as"))
                    (place("map-tools"))
                    (place("curve"))
                    (place("findings"))
                    @if desk.derived.lines.is_empty() {
                        (map::empty())
                    } @else {
                        div id="map" class="map" role="listbox" aria-multiselectable="true" aria-label="Road map" {
                            @for line in desk.derived.lines.iter() {
                                div id={ "in-line-" (line.first) } class="map-line" role="group"
                                    aria-label=(map::line_words(&desk.derived, line)) data-fragment={ "line-" (line.first) } {}
                            }
                        }
                    }
                }
                aside class="facts-side" aria-label="The chosen measures" { (facts::places(desk)) }
            }
        },
        Room::Tips => html! {
            div class="tips-room" { (place("tips")) (place("watch-list")) }
        },
        Room::TryIt => html! {},
        Room::HandOut => place("hand-out"),
    }
}

/// What is on view in great number looks like this.
#[derive(Debug, Clone)]
pub(crate) enum Looks {
    /// The measures.
    Map(MapLooks),
    /// The lines of the notes.
    Notes(NotesLooks),
}

impl Looks {
    /// Tells whether some wait to be drawn.
    pub(crate) fn has_waiting(&self) -> bool {
        matches!(self, Self::Map(looks) if looks.has_waiting())
    }
}

/// Draws everything that stands in the places, by their keys.
#[cfg(test)]
pub(crate) fn fragments(state: &State) -> Vec<(String, String)> {
    let mut drawn = draw(state, None);
    let mut all = std::collections::BTreeMap::new();
    loop {
        let pieces = drawn.pieces.into_iter();
        all.extend(pieces.map(|piece| (piece.key, piece.html)));
        match drawn.looks {
            Some(looks) if looks.has_waiting() => drawn = draw_on(state, &looks),
            _ => return all.into_iter().collect(),
        }
    }
}

/// What is drawn at once.
pub(crate) struct Drawn {
    /// The pieces.
    pub(crate) pieces: Vec<Piece>,
    /// What the measures or the lines of the notes look like then; `None` where none are.
    pub(crate) looks: Option<Looks>,
}

/// Draws what stands in the places. Measures and lines of the notes that look as before are
/// left out; without such looks there are all but those for which [`draw_on`] is there.
pub(crate) fn draw(state: &State, before: Option<&Looks>) -> Drawn {
    let mut drawn = draw_on_view(state, before);
    pieces(state, &mut drawn.pieces);
    drawn
}

/// Draws some of the measures that wait.
pub(crate) fn draw_on(state: &State, before: &Looks) -> Drawn {
    draw_on_view(state, Some(before))
}

fn draw_on_view(state: &State, before: Option<&Looks>) -> Drawn {
    let desk = state.desk().filter(|desk| desk.room == Room::RoadMap);
    match desk.map(|desk| (desk, desk.map_as, &desk.notes)) {
        Some((desk, MapAs::Measures, _)) => {
            let before = match before {
                Some(Looks::Map(looks)) => Some(looks),
                _ => None,
            };
            let (pieces, waiting) = map::lines(desk, before);
            Drawn {
                pieces,
                looks: Some(Looks::Map(MapLooks::of(desk, waiting))),
            }
        }
        Some((_, MapAs::Notes, Some(notes))) => {
            let before = match before {
                Some(Looks::Notes(looks)) => Some(looks),
                _ => None,
            };
            let (pieces, looks) = notes::lines(notes, before);
            Drawn {
                pieces,
                looks: Some(Looks::Notes(looks)),
            }
        }
        _ => Drawn {
            pieces: Vec::new(),
            looks: None,
        },
    }
}

fn pieces(state: &State, pieces: &mut Vec<Piece>) {
    pieces.extend([
        Piece::new("top", top::top(state)),
        Piece::new(
            "notice",
            state.notice.as_ref().map_or_else(|| html! {}, top::notice),
        ),
        Piece::new("help", help::help(state)),
    ]);
    match &state.screen {
        Screen::Home(own) => pieces.push(Piece::new("start", home::home(state, own))),
        Screen::Reading(reading) => pieces.push(Piece::new("start", home::reading(reading))),
        Screen::Parts(choice) => pieces.push(Piece::new("start", home::parts(state, choice))),
        Screen::Making(making) => pieces.push(Piece::new("start", home::making(making))),
        Screen::Heard(own) => pieces.push(Piece::new("start", heard::heard(state, own))),
        Screen::Adding(own) => pieces.push(Piece::new("start", adding::adding(state, own))),
        Screen::Edition(own) => pieces.push(Piece::new("start", adding::edition(state, own))),
        Screen::Desk(desk) => of_desk(state, desk, pieces),
    }
}

fn of_desk(state: &State, desk: &Desk, pieces: &mut Vec<Piece>) {
    match desk.room {
        Room::RoadMap if desk.map_as == MapAs::Notes => notes::pieces(desk, pieces),
        Room::RoadMap => {
            pieces.push(Piece::new("map-as", notes::choice(desk)));
            pieces.push(Piece::new("map-tools", map::tools(desk)));
            pieces.push(Piece::new("curve", curve::curve(desk)));
            pieces.push(Piece::new("findings", findings::findings(desk)));
            facts::pieces(desk, &state.phrases, pieces);
        }
        Room::Tips => {
            pieces.push(Piece::new("tips", tips::tips(desk, &state.phrases)));
            pieces.push(Piece::new("watch-list", proposals::section(desk)));
        }
        Room::TryIt => {}
        Room::HandOut => pieces.push(Piece::new("hand-out", hand_out::hand_out(desk))),
    }
    if desk.shows_preview() {
        pieces.push(Piece::new("try-tools", try_it::tools(desk)));
    }
}
