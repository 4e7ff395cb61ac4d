//! Dynamics: from where to where, over how many measures; sudden ones; the
//! loudest place; crescendos that start too loud.

use crate::say::vary;
use crate::scene::{Scene, spot};
use crate::thresholds::{
    ARRIVES_WITHIN, ENTRY_REST_BEATS, LOUD, SUDDEN_STEPS, WORDS_REACH, weight,
};
use crate::watched::{Kind, Watched};
use cueleaf_guide::{MarkKind, Place, Spot};
use cueleaf_time::BeatSpan;

/// Gives the step of a dynamic: pp −3, p −2, mp −1, mf 0, f 1, ff 2. `None` for
/// accents of loudness (sf, fz) and anything else that sets no level; fp and the
/// like end soft.
///
/// # Source
/// Common practice, no source; steps are our decision.
pub(crate) fn level(text: &str) -> Option<i64> {
    let small = text.trim().to_lowercase();
    let count = |letter: char| i64::try_from(small.chars().filter(|own| *own == letter).count());
    let only = |letters: &str| !small.is_empty() && small.chars().all(|own| letters.contains(own));
    match small.as_str() {
        "mp" => Some(-1),
        "mf" => Some(0),
        "n" => Some(-7),
        "sfp" | "fp" | "ffp" | "sfzp" => Some(-2),
        "sfpp" => Some(-3),
        _ if only("p") => count('p').ok().map(|count| -1 - count),
        _ if only("f") => count('f').ok(),
        _ => None,
    }
}

/// Gives the level in which a dynamic goes on: the p after the accent of fp.
pub(crate) fn held(text: &str) -> &str {
    match text {
        "fp" | "sfp" | "ffp" | "sfzp" => "p",
        "sfpp" => "pp",
        other => other,
    }
}

/// Finds what happens to the dynamics.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let mut state = State::default();
    // How it stood where the first of several endings begins.
    let mut at_branch = State::default();
    for event in events(scene) {
        match event {
            Event::FirstEnding => at_branch = state.clone(),
            Event::LaterEnding { first, place } => {
                // What began before the endings goes on into this one too.
                let own = state.lines().into_iter().filter(|line| line.from >= first);
                for line in own {
                    no_room(scene, &state, &line, None, found);
                }
                state = at_branch.clone();
                state.entered = Some(place);
            }
            Event::AtOnce(place) => state.subito = Some(place),
            Event::Printed(printed) => dynamic(scene, &mut state, printed, found),
            Event::Line(line) => state.hairpin(line),
        }
    }
    for line in state.lines() {
        no_room(scene, &state, &line, None, found);
    }
    loudest(scene, found);
}

/// What is printed about dynamics.
enum Event {
    /// The first of several endings begins.
    FirstEnding,
    /// A later one begins at a place; what is played before it stands before the first.
    LaterEnding {
        first: Place,
        place: Place,
    },
    /// Words that say "at once".
    AtOnce(Place),
    Printed(Printed),
    Line(Line),
}

/// Gives what is printed about dynamics in order of place: words, dynamics, then
/// what starts from them. Dynamics are taken from the notes, not from the guide,
/// so that two at one place keep the order of the file.
fn events(scene: &Scene<'_>) -> Vec<Event> {
    let mut events: Vec<(Place, u8, Event)> = printed(scene)
        .map(|printed| (printed.place, 2, Event::Printed(printed)))
        .collect();
    for (first, place) in scene.ending_starts() {
        events.push((first, 0, Event::FirstEnding));
        events.push((place, 0, Event::LaterEnding { first, place }));
    }
    for mark in scene.marks {
        let place = Place {
            measure: mark.measure,
            at: mark.at,
        };
        match mark.kind {
            MarkKind::Words if is_subito(&mark.text) => {
                events.push((place, 1, Event::AtOnce(place)));
            }
            MarkKind::Grow | MarkKind::Fade => {
                let line = Line {
                    from: place,
                    to: mark.to,
                    kind: mark.kind,
                    goes_on: None,
                };
                events.push((place, 3, Event::Line(line)));
            }
            _ => {}
        }
    }
    events.sort_by_key(|(place, rank, _)| (*place, *rank));
    events.into_iter().map(|(_, _, event)| event).collect()
}

/// Gives the dynamics that set a level, in order.
fn printed<'a>(scene: &'a Scene<'_>) -> impl Iterator<Item = Printed> + 'a {
    let measures = scene.part.measures.iter().enumerate();
    measures.flat_map(move |(measure, own)| {
        own.dynamics.iter().filter_map(move |dynamic| {
            let written = Place {
                measure,
                at: dynamic.at,
            };
            Some(Printed {
                place: scene.place(scene.position(written)?),
                level: level(&dynamic.text)?,
                text: dynamic.text.trim().to_owned(),
            })
        })
    })
}

fn is_subito(text: &str) -> bool {
    let small = text.to_lowercase();
    let mut words = small.split(|letter: char| !letter.is_alphabetic());
    words.any(|word| matches!(word, "subito" | "sub" | "plötzlich"))
}

/// A dynamic as printed.
#[derive(Clone)]
struct Printed {
    place: Place,
    text: String,
    level: i64,
}

/// A hairpin, or words that say the same.
#[derive(Clone, Copy)]
struct Line {
    from: Place,
    to: Option<Place>,
    kind: MarkKind,
    /// Where it began, if it only goes on in a later ending.
    goes_on: Option<Place>,
}

impl Line {
    /// Tells whether it may lead to a dynamic at a place: not long after its end; words
    /// without an end do not reach far.
    fn reaches(&self, scene: &Scene<'_>, aim: Place) -> bool {
        let way = scene.position(self.from).zip(scene.position(aim));
        let over = way.map_or(0, |(from, aim)| scene.passed_over(from, aim));
        let aim = aim.measure.saturating_sub(over);
        match self.to {
            Some(to) => aim <= to.measure + ARRIVES_WITHIN,
            None => aim <= self.from.measure + WORDS_REACH,
        }
    }
}

#[derive(Clone, Default)]
struct State {
    now: Option<Printed>,
    line: Option<Line>,
    subito: Option<Place>,
    waiting: Vec<Line>,
    /// The later ending that was entered last.
    entered: Option<Place>,
}

impl State {
    fn hairpin(&mut self, line: Line) {
        match self.line.replace(line) {
            // It was broken off where the ending before begins, and goes on here.
            Some(before) if self.entered == Some(line.from) && before.kind == line.kind => {
                let goes_on = before.goes_on.or(Some(before.from));
                self.line = Some(Line { goes_on, ..line });
            }
            Some(before) => self.waiting.push(before),
            None => {}
        }
    }

    /// Takes the hairpins without a dynamic after them, in order.
    fn lines(&mut self) -> Vec<Line> {
        let mut lines = core::mem::take(&mut self.waiting);
        lines.extend(self.line.take());
        lines
    }
}

fn dynamic(scene: &Scene<'_>, state: &mut State, new: Printed, found: &mut Vec<Watched>) {
    let line = state.line.take();
    for waiting in state.lines() {
        no_room(scene, state, &waiting, None, found);
    }
    if let Some(line) = line {
        no_room(scene, state, &line, Some(&new), found);
    }
    let old = state.now.replace(new.clone());
    if old.as_ref().is_some_and(|old| old.text == new.text) {
        return;
    }
    let subito = state.subito == Some(new.place);
    found.push(change(scene, old.as_ref(), &new, line, subito, found.len()));
}

fn change(
    scene: &Scene<'_>,
    old: Option<&Printed>,
    new: &Printed,
    line: Option<Line>,
    subito: bool,
    number: usize,
) -> Watched {
    let arrives = scene.printed(new.place);
    let said = scene.said(new.place);
    let to = &new.text;
    let Some(old) = old else {
        let sentence = format!("{said}: the part starts {to}.");
        return scene.watched(
            Kind::Dynamic,
            Spot::at(new.place),
            weight::DYNAMIC,
            &sentence,
            [("new", to.as_str().into()), ("arrives", arrives.into())],
        );
    };
    let steps = new.level - old.level;
    let measures = scene.whole_measures(old.place, new.place);
    let toward = if steps > 0 {
        MarkKind::Grow
    } else {
        MarkKind::Fade
    };
    let line = line.filter(|line| line.kind == toward);
    let leads = line.filter(|line| line.reaches(scene, new.place));
    let (was, then) = (held(&old.text), held(to));
    // Nothing leads to an accent, nor to the level that follows one.
    let leads = leads.filter(|_| then == to && was != to);
    let at_once = subito || (line.is_none() && steps.abs() >= SUDDEN_STEPS);
    // After a beat of silence there is no sound that could prepare it or spoil it.
    let silence = scene.silence_before(new.place);
    let rested =
        silence.is_some_and(|silence| scene.in_beats(silence, new.place) >= ENTRY_REST_BEATS);
    let (sudden, after_rest) = (at_once && !rested, at_once && rested && then == to);
    let by_steps = weight::DYNAMIC_STEP * steps.abs().min(6);
    let (kind, weight) = match (sudden, after_rest) {
        (true, _) => (Kind::SuddenDynamic, weight::SUDDEN + by_steps),
        (_, true) => (Kind::Dynamic, weight::DYNAMIC_AFTER_REST),
        _ => (Kind::Dynamic, weight::DYNAMIC + by_steps),
    };
    let sentence = match leads {
        // What comes after the accent is a level, the accent itself is none.
        _ if then != to => vary(
            number,
            [
                format!("{said}: {to}. Begin the note strong and be {then} at once."),
                format!("Mark {to} at {said}: a strong beginning, {then} right after it."),
            ],
        ),
        _ if after_rest => vary(
            number,
            [
                format!("{said}: after the rest, begin {to}; before it you played {was}."),
                format!("Come in {to} after the rest at {said}, not {was} as before it."),
            ],
        ),
        _ if was == to => format!("{said}: {to} still, as after the {}.", old.text),
        _ if sudden => vary(
            number,
            [
                format!(
                    "{said}: {to} at once after {was}. Do not prepare it with the sound before."
                ),
                format!("Sudden {to} at {said}; hold {was} right up to it."),
            ],
        ),
        Some(Line {
            from,
            goes_on: Some(begun),
            ..
        }) => {
            let toward = if steps > 0 { "crescendo" } else { "diminuendo" };
            format!(
                "{}: the {toward} of {} goes on; be {to} only at {said}.",
                scene.said(from),
                scene.measure(begun.measure)
            )
        }
        Some(line) => {
            let over = scene.lasting(line.from, new.place);
            vary(
                number,
                [
                    format!(
                        "From {was} to {to} over {over}, starting at {}.",
                        scene.said(line.from)
                    ),
                    format!(
                        "{}: leave {was}, and arrive at {to} only at {said}, {over} later.",
                        scene.said(line.from)
                    ),
                ],
            )
        }
        None => vary(
            number,
            [
                format!(
                    "{said}: {to}; it was {was} for {}.",
                    scene.lasting(old.place, new.place)
                ),
                format!("Mark {to} at {said}, after {was}."),
            ],
        ),
    };
    let from = leads.map_or(new.place, |line| line.from);
    let mut one = scene.watched(
        kind,
        spot(from, new.place),
        weight,
        &sentence,
        [
            ("old", old.text.as_str().into()),
            ("new", to.as_str().into()),
            ("steps", steps.into()),
            ("measures", measures.into()),
            ("since", scene.printed(old.place).into()),
            ("arrives", arrives.into()),
        ],
    );
    if let Some(line) = leads {
        let over = scene.whole_measures(line.from, new.place);
        one.numbers.insert("line_measures", over.into());
    }
    if after_rest {
        let rest = silence.unwrap_or(BeatSpan::ZERO);
        one.numbers
            .insert("rest_quarters", rest.quarters().to_f64().into());
    }
    one
}

/// Finds a crescendo that begins as loud as it shall become, or loud without an aim.
fn no_room(
    scene: &Scene<'_>,
    state: &State,
    line: &Line,
    aim: Option<&Printed>,
    found: &mut Vec<Watched>,
) {
    // What only goes on was told where it began.
    let begins = line.kind == MarkKind::Grow && line.goes_on.is_none();
    let Some(now) = state.now.as_ref().filter(|_| begins) else {
        return;
    };
    // What comes long after it is no aim of it.
    let aim = aim.filter(|aim| line.reaches(scene, aim.place));
    // To an accent there is always room.
    if aim.is_some_and(|aim| held(&aim.text) != aim.text) {
        return;
    }
    let too_loud = match aim {
        Some(aim) => aim.level <= now.level,
        None => now.level >= LOUD,
    };
    if !too_loud || line.from < now.place {
        return;
    }
    let said = scene.said(line.from);
    let was = held(&now.text);
    let aim_text = aim.map_or_else(String::new, |aim| aim.text.clone());
    let sentence = match aim {
        // What is soft again was not the aim: it comes at once when all has grown.
        Some(aim) if aim.level < LOUD => format!(
            "{said}: a crescendo, and after it {} again at {}. Grow up to there, and be {} only there.",
            aim.text,
            scene.said(aim.place),
            aim.text
        ),
        Some(aim) => format!(
            "{said}: a crescendo that starts {was} and only has to arrive at {}. Start it softer than {was}.",
            aim.text
        ),
        None => format!(
            "{said}: a crescendo that starts {was} already. Begin it softer, or there is nothing left to grow."
        ),
    };
    let last = line.to.map_or(line.from, |to| {
        if to.at.is_zero() && to.measure > line.from.measure {
            Place::start_of(to.measure - 1)
        } else {
            to
        }
    });
    found.push(scene.watched(
        Kind::NoRoomToGrow,
        spot(line.from, last),
        weight::NO_ROOM,
        &sentence,
        [
            ("starts", now.text.as_str().into()),
            ("arrives_at", aim_text.into()),
        ],
    ));
}

fn loudest(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let printed: Vec<Printed> = printed(scene).collect();
    let most = printed.iter().map(|one| one.level).max();
    let least = printed.iter().map(|one| one.level).min();
    let (Some(most), true) = (most, most != least) else {
        return;
    };
    let mut places = printed.iter().filter(|one| one.level == most);
    let Some(first) = places.next() else { return };
    let others = places.count();
    let said = scene.said(first.place);
    let more = match others {
        0 => "nothing else is as loud".to_owned(),
        others => format!("it comes {} more", crate::say::amount(others, "time")),
    };
    let sentence = format!(
        "{said}: {}, the loudest the part becomes; {more}. Keep something for it, and plan the bow toward it.",
        first.text
    );
    found.push(scene.watched(
        Kind::Loudest,
        Spot::at(first.place),
        weight::LOUDEST,
        &sentence,
        [
            ("dynamic", first.text.as_str().into()),
            ("times", (others + 1).into()),
        ],
    ));
}
