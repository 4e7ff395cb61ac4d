//! The bow: articulated slurs, two strokes in one direction, long
//! bows, long and short strokes that carry the hand to one end.

use crate::playing::{way_at, ways};
use crate::say::{beats, decimal, seconds, vary};
use crate::scene::{Scene, spot};
use crate::strokes::{Stroke, Told, known, name, stroke_before, strokes};
use crate::thresholds::{
    LONG_BOW_SECONDS, RETAKE_EASE_SECONDS, UNEVEN_PAIRS, UNEVEN_RATIO, weight,
};
use crate::watched::{Kind, Watched};
use cueleaf_score::{Articulation, Bowing};
use cueleaf_time::Ratio;

/// Finds what is to be planned with the bow.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    articulated_slurs(scene, found);
    let strokes = strokes(scene);
    same_direction(scene, &strokes, found);
    long_bows(scene, &strokes, found);
    uneven(scene, &strokes, found);
}

fn articulated_slurs(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let ways = ways(scene);
    let struck = scene.line.struck();
    // Inside a long slur over shorter ones only the outer one is told.
    let mut told_until: Option<usize> = None;
    for slur in scene.line.slurs() {
        if told_until.is_some_and(|last| slur.first <= last) {
            continue;
        }
        let notes = struck.get(slur.first..=slur.last).unwrap_or(&[]);
        let dotted = notes.iter().filter(|one| {
            one.note.articulations.iter().any(|sign| {
                matches!(
                    sign,
                    Articulation::Staccato
                        | Articulation::Tenuto
                        | Articulation::DetachedLegato
                        | Articulation::Staccatissimo
                        | Articulation::Spiccato
                )
            })
        });
        let marked = dotted.count();
        let (Some(first), Some(last)) = (notes.first(), notes.last()) else {
            continue;
        };
        if marked < 2 || way_at(&ways, first.start).plucked {
            continue;
        }
        told_until = Some(slur.last);
        let said = scene.said(first.place);
        let count = notes.len();
        let sentence = vary(
            found.len(),
            [
                format!(
                    "{said}: {count} notes in one bow, each with its own start. Stop or lighten the bow between them, do not turn it."
                ),
                format!(
                    "Dots or dashes under the slur at {said}: one bow for {count} notes, each with its own start."
                ),
            ],
        );
        found.push(scene.watched(
            Kind::ArticulatedSlur,
            spot(first.place, last.place),
            weight::ARTICULATED_SLUR,
            &sentence,
            [("notes", count.into()), ("marked", marked.into())],
        ));
    }
}

/// Two strokes in one direction, as signs ask for: the second is marked, and the
/// way of the first is known from a sign, its own or one that the strokes up to
/// it took turns from.
fn same_direction(scene: &Scene<'_>, strokes: &[Stroke], found: &mut Vec<Watched>) {
    let known = known(strokes);
    for other in strokes {
        let before = stroke_before(strokes, other.after);
        let Some(one) = before.filter(|one| known.contains(&one.last)) else {
            continue;
        };
        let asked = other.told == Told::Marked && one.way == other.way;
        let ended = scene.ended(one.end, other.start);
        let silence = scene.played_seconds(ended, other.start);
        if !asked || silence >= RETAKE_EASE_SECONDS {
            continue;
        }
        let struck = scene.line.struck();
        let (Some(first), Some(second)) = (struck.get(one.first), struck.get(other.first)) else {
            continue;
        };
        let name = name(other.way);
        let retake = other.way == Bowing::Down || !other.silence.is_zero();
        let (how, what) = if retake {
            (
                "retake",
                "Lift and come back to where the stroke before began",
            )
        } else {
            ("hook", "Stop the bow and go on in the same direction")
        };
        let (said, then) = (scene.said(first.place), scene.said(second.place));
        let told = scene.told_played_seconds(ended, other.start);
        // What is said in tenths would be "0.0 s".
        let (there, apart) = match told {
            _ if silence < 0.05 => (
                "there is no rest between".to_owned(),
                "with no rest between".to_owned(),
            ),
            Some(gap) => (
                format!("you have {} for it", seconds(gap)),
                format!("{} apart", seconds(gap)),
            ),
            None => (
                "you have a short rest for it".to_owned(),
                "with a short rest between".to_owned(),
            ),
        };
        let sentence = vary(
            found.len(),
            [
                format!("{said}: {name}, and {name} again at {then}. {what}; {there}."),
                format!("Two {name}s in a row from {said} to {then}, {apart}. {what}."),
            ],
        );
        let mut again = scene.watched(
            Kind::SameDirection,
            spot(first.place, second.place),
            weight::SAME_DIRECTION,
            &sentence,
            [("way", name.into()), ("how", how.into())],
        );
        if let Some(told) = told {
            again.numbers.insert("seconds", told.into());
        }
        found.push(again);
    }
}

fn long_bows(scene: &Scene<'_>, strokes: &[Stroke], found: &mut Vec<Watched>) {
    for stroke in strokes {
        let lasts = scene.seconds(stroke.start, stroke.end);
        if lasts < LONG_BOW_SECONDS {
            continue;
        }
        let struck = scene.line.struck();
        let (Some(first), Some(last)) = (struck.get(stroke.first), struck.get(stroke.last)) else {
            continue;
        };
        let added = weight::LONG_BOW_SECOND * whole(lasts - LONG_BOW_SECONDS);
        let notes = stroke.last - stroke.first + 1;
        let said = scene.said(first.place);
        let told = scene.told_seconds(stroke.start, stroke.end);
        let long = match told {
            Some(told) => seconds(told),
            None => beats(scene.in_beats(stroke.length(), first.place)),
        };
        let sentence = vary(
            found.len(),
            [
                format!(
                    "{said}: {long} in one bow. Begin at the very end of the bow and move it slowly."
                ),
                format!(
                    "One bow has to last {long} at {said}; spend no more than half of it by the middle."
                ),
            ],
        );
        let mut one = scene.watched(
            Kind::LongBow,
            spot(first.place, last.place),
            (weight::LONG_BOW + added).min(weight::LONG_BOW_MOST),
            &sentence,
            [
                ("quarters", stroke.length().quarters().to_f64().into()),
                ("notes", notes.into()),
            ],
        );
        if let Some(told) = told {
            one.numbers.insert("seconds", told.into());
        }
        found.push(one);
    }
}

/// Gives whole seconds, at most a minute of them.
fn whole(seconds: f64) -> i64 {
    (0..60)
        .take_while(|n| f64::from(n + 1) <= seconds)
        .map(|_| 1i64)
        .sum()
}

/// How a stroke compares with the next.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Against {
    Longer,
    Shorter,
    Other,
}

fn against(one: &Stroke, next: &Stroke) -> Against {
    let (a, b) = (one.length().quarters(), next.length().quarters());
    let times = |length: Ratio| length.times(Ratio::whole(UNEVEN_RATIO));
    let turns = one.end == next.start && next.after == Some(one.last) && one.way != next.way;
    if !turns {
        Against::Other
    } else if times(b).is_ok_and(|b| b <= a) {
        Against::Longer
    } else if times(a).is_ok_and(|a| a <= b) {
        Against::Shorter
    } else {
        Against::Other
    }
}

/// Finds runs of long and short strokes in turn: all the long ones go the same way.
fn uneven(scene: &Scene<'_>, strokes: &[Stroke], found: &mut Vec<Watched>) {
    let steps: Vec<Against> = strokes
        .windows(2)
        .map(|pair| match pair {
            [one, next] => against(one, next),
            _ => Against::Other,
        })
        .collect();
    let mut start = 0;
    for run in steps.chunk_by(|one, next| {
        matches!(
            (one, next),
            (Against::Longer, Against::Shorter) | (Against::Shorter, Against::Longer)
        )
    }) {
        let pairs = run.len().div_ceil(2);
        let turns = run.first().is_some_and(|first| *first != Against::Other);
        if turns && pairs >= UNEVEN_PAIRS {
            found.extend(carried(
                scene,
                strokes,
                start,
                run.len(),
                pairs,
                found.len(),
            ));
        }
        start += run.len();
    }
}

fn carried(
    scene: &Scene<'_>,
    strokes: &[Stroke],
    start: usize,
    steps: usize,
    pairs: usize,
    number: usize,
) -> Option<Watched> {
    let (one, next) = (strokes.get(start)?, strokes.get(start + 1)?);
    let (long, short) = if one.length() > next.length() {
        (one, next)
    } else {
        (next, one)
    };
    let toward = match long.way {
        Bowing::Down => "tip",
        Bowing::Up => "frog",
    };
    let struck = scene.line.struck();
    let first = struck.get(one.first)?;
    let last = struck.get(strokes.get(start + steps)?.last)?;
    let ratio = long.length().over(short.length()).ok()?.to_f64();
    let said = scene.said(first.place);
    let sentence = vary(
        number,
        [
            format!(
                "{said}: long and short strokes take turns {pairs} times, {} to 1. The bow drifts toward the {toward}: play the short ones light and fast to get back.",
                decimal(ratio)
            ),
            format!(
                "The long strokes from {said} on all go one way and carry you to the {toward} ({} to 1). Bring the bow back on each short stroke.",
                decimal(ratio)
            ),
        ],
    );
    Some(scene.watched(
        Kind::UnevenBowing,
        spot(first.place, last.place),
        weight::UNEVEN_BOWING,
        &sentence,
        [
            ("ratio", ratio.into()),
            ("pairs", pairs.into()),
            ("toward", toward.into()),
            ("long_quarters", long.length().quarters().to_f64().into()),
            ("short_quarters", short.length().quarters().to_f64().into()),
        ],
    ))
}
