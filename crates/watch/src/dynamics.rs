//! Dynamics: from where to where, over how many measures; sudden ones; the
//! loudest place; crescendos that start too loud.

use crate::say::vary;
use crate::scene::{Scene, spot};
use crate::thresholds::{LOUD, SUDDEN_STEPS, weight};
use crate::watched::{Kind, Watched};
use cueleaf_guide::{Mark, MarkKind, Place, Spot};

/// Gives the step of a dynamic: pp −3, p −2, mp −1, mf 0, f 1, ff 2. `None` for
/// accents of loudness (sf, fz) and anything else that sets no level; fp and the
/// like end soft.
///
/// # Source
/// Common practice, no source; steps are our decision.
fn level(text: &str) -> Option<i64> {
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

/// Finds what happens to the dynamics.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let mut state = State::default();
    for mark in scene.marks {
        match mark.kind {
            MarkKind::Grow | MarkKind::Fade => state.hairpin(mark),
            MarkKind::Words if is_subito(&mark.text) => {
                state.subito = Some((mark.measure, mark.at));
            }
            MarkKind::Dynamic => {
                if let Some(level) = level(&mark.text) {
                    dynamic(scene, &mut state, mark, level, found);
                }
            }
            _ => {}
        }
    }
    if let Some(line) = state.line.take() {
        no_room(scene, &state, &line, None, found);
    }
    loudest(scene, found);
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
}

#[derive(Default)]
struct State {
    now: Option<Printed>,
    line: Option<Line>,
    subito: Option<(usize, cueleaf_time::BeatSpan)>,
    waiting: Vec<Line>,
}

impl State {
    fn hairpin(&mut self, mark: &Mark) {
        let line = Line {
            from: Place {
                measure: mark.measure,
                at: mark.at,
            },
            to: mark.to,
            kind: mark.kind,
        };
        if let Some(before) = self.line.replace(line) {
            self.waiting.push(before);
        }
    }
}

fn dynamic(
    scene: &Scene<'_>,
    state: &mut State,
    mark: &Mark,
    level: i64,
    found: &mut Vec<Watched>,
) {
    let place = Place {
        measure: mark.measure,
        at: mark.at,
    };
    // A line that starts with this dynamic belongs to the next one.
    let starts_here = state.line.filter(|line| line.from == place);
    let line = state.line.take().filter(|line| line.from < place);
    state.line = starts_here;
    for waiting in core::mem::take(&mut state.waiting) {
        no_room(scene, state, &waiting, None, found);
    }
    let new = Printed {
        place,
        text: mark.text.trim().to_owned(),
        level,
    };
    if let Some(line) = line {
        no_room(scene, state, &line, Some(&new), found);
    }
    let old = state.now.replace(new.clone());
    if old.as_ref().is_some_and(|old| old.text == new.text) {
        return;
    }
    let said_at_once = state.subito == Some((mark.measure, mark.at));
    found.push(change(
        scene,
        old.as_ref(),
        &new,
        line,
        said_at_once,
        found.len(),
    ));
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
    let measures = new.place.measure - old.place.measure;
    let toward = if steps > 0 {
        MarkKind::Grow
    } else {
        MarkKind::Fade
    };
    let leads = line.filter(|line| line.kind == toward);
    let was = &old.text;
    let sudden = subito || (leads.is_none() && steps.abs() >= SUDDEN_STEPS);
    let (kind, base) = if sudden {
        (Kind::SuddenDynamic, weight::SUDDEN)
    } else {
        (Kind::Dynamic, weight::DYNAMIC)
    };
    let sentence = match leads {
        _ if sudden => vary(
            number,
            [
                format!(
                    "{said}: {to} at once after {was}. Do not prepare it with the sound before."
                ),
                format!("Sudden {to} at {said}; hold {was} right up to it."),
            ],
        ),
        Some(line) => {
            let over = scene.measures(1.max(new.place.measure - line.from.measure));
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
                    scene.measures(measures.max(1))
                ),
                format!("Mark {to} at {said}, after {was}."),
            ],
        ),
    };
    let from = leads.map_or(new.place, |line| line.from);
    let mut one = scene.watched(
        kind,
        spot(from, new.place),
        base + weight::DYNAMIC_STEP * steps.abs().min(6),
        &sentence,
        [
            ("old", was.as_str().into()),
            ("new", to.as_str().into()),
            ("steps", steps.into()),
            ("measures", measures.into()),
            ("since", scene.printed(old.place).into()),
            ("arrives", arrives.into()),
        ],
    );
    if let Some(line) = leads {
        let over = new.place.measure - line.from.measure;
        one.numbers.insert("line_measures", over.into());
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
    let Some(now) = state.now.as_ref().filter(|_| line.kind == MarkKind::Grow) else {
        return;
    };
    let too_loud = match aim {
        Some(aim) => aim.level <= now.level,
        None => now.level >= LOUD,
    };
    if !too_loud || line.from < now.place {
        return;
    }
    let said = scene.said(line.from);
    let was = &now.text;
    let aim_text = aim.map_or_else(String::new, |aim| aim.text.clone());
    let sentence = match aim {
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
            ("starts", was.as_str().into()),
            ("arrives_at", aim_text.into()),
        ],
    ));
}

fn loudest(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let printed = scene
        .marks
        .iter()
        .filter(|mark| mark.kind == MarkKind::Dynamic);
    let levels: Vec<(i64, &Mark)> = printed
        .filter_map(|mark| Some((level(&mark.text)?, mark)))
        .collect();
    let most = levels.iter().map(|(level, _)| *level).max();
    let least = levels.iter().map(|(level, _)| *level).min();
    let (Some(most), true) = (most, most != least) else {
        return;
    };
    let mut places = levels.iter().filter(|(level, _)| *level == most);
    let Some((_, first)) = places.next() else {
        return;
    };
    let others = places.count();
    let place = Place {
        measure: first.measure,
        at: first.at,
    };
    let said = scene.said(place);
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
        Spot::at(place),
        weight::LOUDEST,
        &sentence,
        [
            ("dynamic", first.text.as_str().into()),
            ("times", (others + 1).into()),
        ],
    ));
}
