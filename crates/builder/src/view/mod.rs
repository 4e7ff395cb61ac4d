//! The state made visible: pure functions from the state to HTML.
//!
//! [`skeleton`] gives the places of the page, each with the key of what stands
//! in it; [`fragments`] gives what stands there. The browser's side changes only
//! the fragments that differ, and the whole only when the places do.

mod curve;
mod facts;
mod field;
mod findings;
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

/// What stands in one place.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Piece {
    key: String,
    html: String,
}

impl Piece {
    fn new(key: impl Into<String>, markup: Markup) -> Self {
        Self {
            key: key.into(),
            html: markup.into_string(),
        }
    }
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
    let place = |key: &str| html! { div data-fragment=(key) {} };
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
    let place = |key: &str| html! { div data-fragment=(key) {} };
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
                            @for line in &desk.derived.lines {
                                div class="map-line" role="group" aria-label=(map::line_words(desk, line))
                                    data-fragment={ "line-" (line.first) } {}
                            }
                        }
                    }
                }
                aside class="facts-side" aria-label="The chosen measures" { (place("facts")) }
            }
        },
        Room::Tips => html! {
            div class="tips-room" { (place("tips")) (place("watch-list")) }
        },
        Room::TryIt => html! {},
        Room::HandOut => place("hand-out"),
    }
}

/// Draws what stands in the places, by their keys.
pub(crate) fn fragments(state: &State) -> Vec<(String, String)> {
    let mut pieces = vec![
        Piece::new("top", top::top(state)),
        Piece::new(
            "notice",
            state.notice.as_ref().map_or_else(|| html! {}, top::notice),
        ),
        Piece::new("help", help::help(state)),
    ];
    match &state.screen {
        Screen::Home(own) => pieces.push(Piece::new("start", home::home(state, own))),
        Screen::Reading(reading) => pieces.push(Piece::new("start", home::reading(reading))),
        Screen::Parts(choice) => pieces.push(Piece::new("start", home::parts(state, choice))),
        Screen::Heard(own) => pieces.push(Piece::new("start", heard::heard(own))),
        Screen::Desk(desk) => of_desk(state, desk, &mut pieces),
    }
    pieces
        .into_iter()
        .map(|piece| (piece.key, piece.html))
        .collect()
}

fn of_desk(state: &State, desk: &Desk, pieces: &mut Vec<Piece>) {
    match desk.room {
        Room::RoadMap if desk.map_as == MapAs::Notes => notes::pieces(desk, pieces),
        Room::RoadMap => {
            pieces.push(Piece::new("map-as", notes::choice(desk)));
            pieces.push(Piece::new("map-tools", map::tools(desk)));
            pieces.extend(map::lines(desk));
            pieces.push(Piece::new("curve", curve::curve(desk)));
            pieces.push(Piece::new("findings", findings::findings(desk)));
            pieces.push(Piece::new("facts", facts::facts(desk, &state.phrases)));
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
