//! Bow or plucking, mute on and off: how much time there is to get ready.

use crate::say::{beats, quarters, seconds, vary};
use crate::scene::{Scene, Way};
use crate::strokes::{Stroke, known, stroke_before, strokes};
use crate::thresholds::{MUTE_TAKES, READY_AT_EASE, READY_FROM_START, READY_SECONDS};
use crate::watched::{Kind, Watched};
use cueleaf_guide::{MarkKind, Place, Spot};
use cueleaf_score::Bowing;
use cueleaf_time::{BeatPos, BeatSpan};
use std::collections::BTreeSet;

/// Finds changes of the way of playing.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let mut way = Way::default();
    let mut number = 0;
    let plucks = scene.marks.iter().any(|mark| mark.kind == MarkKind::Pizz);
    let strokes = if plucks { strokes(scene) } else { Vec::new() };
    let bowed = Bowed {
        known: known(&strokes),
        strokes,
    };
    for mark in scene.marks {
        if !way.take(mark.kind) {
            continue;
        }
        let kind = match mark.kind {
            MarkKind::Pizz => Kind::ToPizz,
            MarkKind::Arco => Kind::ToArco,
            MarkKind::MuteOn => Kind::MuteOn,
            MarkKind::MuteOff => Kind::MuteOff,
            _ => continue,
        };
        let place = Place {
            measure: mark.measure,
            at: mark.at,
        };
        if let Some(position) = scene.position(place) {
            found.push(change(scene, &bowed, kind, (place, position), number));
            number += 1;
        }
    }
}

/// The time between the last note before a change and the first after it.
struct Ready {
    /// Where the last note before ends; `None` before the first note.
    from: Option<BeatPos>,
    /// Where the next note starts; `None` when none comes.
    next: Option<Place>,
    silence: BeatSpan,
    seconds: f64,
    /// The same where a number says how fast it goes.
    told: Option<f64>,
}

impl Ready {
    /// Tells whether the beat is the same where the silence begins and where it ends.
    fn is_counted_evenly(&self, scene: &Scene<'_>, end: Place) -> bool {
        let unit = |place: Place| scene.on_beat(place).map(|on| on.beat.length);
        let begins = self.from.map(|from| unit(scene.place(from)));
        begins.is_none_or(|begins| begins == unit(end))
    }
}

/// The strokes of the part, and the last notes of those whose way is known from signs.
struct Bowed {
    strokes: Vec<Stroke>,
    known: BTreeSet<usize>,
}

impl Bowed {
    /// Says how the bow gets out of the way of the plucking hand: the last stroke goes up,
    /// unless signs have it go down.
    fn out_of_the_way(
        &self,
        scene: &Scene<'_>,
        position: BeatPos,
        silence: BeatSpan,
    ) -> &'static str {
        let next = scene.line.first_from(position);
        let last = match scene.line.struck().get(next) {
            Some(_) => scene.struck_before(next),
            None => next.checked_sub(1),
        };
        let Some(own) = stroke_before(&self.strokes, last) else {
            return "Finish near the frog, so that the hand is at the strings.";
        };
        let asked_down = own.way == Bowing::Down && self.known.contains(&own.last);
        match asked_down {
            false => {
                "Finish the last stroke up-bow, near the frog, so that the hand is at the strings."
            }
            true if silence.is_zero() => {
                "The last stroke is a down-bow: keep it near the frog, so that the hand is at the strings."
            }
            true => "Come back to the frog in the rest, so that the hand is at the strings.",
        }
    }
}

fn ready(scene: &Scene<'_>, position: BeatPos) -> Ready {
    let struck = scene.line.struck();
    let next = struck.get(scene.line.first_from(position));
    // What sounds before the change, cut where the next note begins:
    // notes that touch have no time between them.
    let until = next.map_or(position, |next| next.start);
    let from = scene.silent_from(until).map(|end| end.min(until));
    let start = from.unwrap_or(BeatPos::START);
    Ready {
        from,
        next: next.map(|next| next.place),
        silence: scene.played_span(start, until),
        seconds: scene.played_seconds(start, until),
        told: scene.told_played_seconds(start, until),
    }
}

fn change(
    scene: &Scene<'_>,
    bowed: &Bowed,
    kind: Kind,
    (place, position): (Place, BeatPos),
    number: usize,
) -> Watched {
    let ready = ready(scene, position);
    let mute = matches!(kind, Kind::MuteOn | Kind::MuteOff);
    let takes = if mute { MUTE_TAKES } else { 1.0 };
    let weight = match (ready.from, ready.next) {
        (None, _) | (_, None) => READY_FROM_START,
        _ => READY_SECONDS
            .into_iter()
            .find(|(most, _)| ready.seconds <= *most * takes)
            .map_or(READY_AT_EASE, |(_, weight)| weight),
    };
    let at = ready.next.unwrap_or(place);
    let silent_beats = ready
        .is_counted_evenly(scene, at)
        .then(|| scene.in_beats(ready.silence, at));
    let what = match kind {
        Kind::ToPizz => "plucking (pizz.)",
        Kind::ToArco => "the bow (arco)",
        Kind::MuteOn => "playing with mute",
        _ => "playing without mute",
    };
    let said = scene.said(place);
    let time = match (silent_beats.map(beats), ready.told) {
        (Some(beats), Some(told)) => format!("{beats} ({})", seconds(told)),
        (Some(beats), None) => beats,
        (None, Some(told)) => seconds(told),
        (None, None) => quarters(ready.silence.quarters().to_f64()),
    };
    let how = match kind {
        Kind::ToPizz => bowed.out_of_the_way(scene, position, ready.silence),
        Kind::ToArco => "Bring the fingers back to the bow hold while the last plucked note rings.",
        Kind::MuteOn => "Keep the mute where the hand finds it without looking.",
        _ => "Take the mute off without noise.",
    };
    let sentence = match (ready.from, ready.next) {
        (None, _) => format!("{said}: the part begins with {what}."),
        (_, None) => format!("{said}: a change to {what} is printed, and no note comes after it."),
        _ if ready.silence.is_zero() => vary(
            number,
            [
                format!("{said}: change to {what} without any rest to get ready in. {how}"),
                format!(
                    "Straight into {what} at {said}; there is no time between the notes. {how}"
                ),
            ],
        ),
        _ => vary(
            number,
            [
                format!("{said}: from here on {what}; you have {time} to get ready. {how}"),
                format!("Between the last note and {what} at {said} you have {time}. {how}"),
                format!("{said}: change to {what} within {time}. {how}"),
            ],
        ),
    };
    let sentence = match ready.next {
        Some(next) if next != place => {
            format!("{sentence} The next note comes at {}.", scene.said(next))
        }
        _ => sentence,
    };
    let mut one = scene.watched(
        kind,
        Spot::at(place),
        weight,
        &sentence,
        [("quarters", ready.silence.quarters().to_f64().into())],
    );
    if let Some(beats) = silent_beats {
        one.numbers.insert("beats", beats.to_f64().into());
    }
    if let Some(told) = ready.told {
        one.numbers.insert("seconds", told.into());
    }
    if let Some(next) = ready.next {
        one.numbers.insert("next", scene.printed(next).into());
    }
    if let Some(from) = ready.from {
        one.numbers
            .insert("last_ends", scene.printed(scene.place(from)).into());
    }
    one
}

/// Gives the way of playing from each position on where it changes, in order.
pub(crate) fn ways(scene: &Scene<'_>) -> Vec<(BeatPos, Way)> {
    let mut way = Way::default();
    let mut ways = Vec::new();
    for mark in scene.marks {
        let place = Place {
            measure: mark.measure,
            at: mark.at,
        };
        if way.take(mark.kind)
            && let Some(position) = scene.position(place)
        {
            ways.push((position, way));
        }
    }
    ways
}

/// Gives the way of playing at a position.
pub(crate) fn way_at(ways: &[(BeatPos, Way)], position: BeatPos) -> Way {
    let next = ways.partition_point(|(at, _)| *at <= position);
    let here = next.checked_sub(1).and_then(|index| ways.get(index));
    here.map_or_else(Way::default, |(_, way)| *way)
}
