//! Rhythm: syncopation, ties over the bar, other subdivisions, the fastest notes,
//! places where the part alone moves.

use crate::line::Struck;
use crate::say::{amount, decimal, vary};
use crate::scene::{Scene, spot};
use crate::thresholds::{ALONE_NOTES, FAST_A_SECOND, FAST_NOTES, SUBDIVISION_FACTOR, weight};
use crate::watched::{Kind, Watched};
use cueleaf_guide::Spot;
use cueleaf_time::{Beat, Level};

/// Finds notes that are held over where a beat is felt.
pub(crate) fn held_over(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    for struck in scene.line.struck() {
        found.extend(held(scene, struck, found.len()));
    }
}

/// A note held over the barline, or off the beat through the next beat, or from
/// a weak beat through the start of a group.
fn held(scene: &Scene<'_>, struck: &Struck<'_>, number: usize) -> Option<Watched> {
    let laid = scene.laid(struck.place.measure)?;
    let level = scene.on_beat(struck.place)?.level();
    let at = struck.place.at;
    let measure_end = laid.start.plus(laid.length).ok()?;
    let place = Spot::at(struck.place);
    if struck.end > measure_end && level < Level::Downbeat {
        let over = struck.end.since(measure_end).ok()?.quarters().to_f64();
        let said = scene.said(struck.place);
        let next = scene.measure(struck.place.measure + 1);
        let sentence = vary(
            number,
            [
                format!("{said}: held over into {next}. Count its downbeat inside the note."),
                format!(
                    "The note at {said} goes over the barline; you play nothing new on beat 1 of {next}, so feel it."
                ),
            ],
        );
        return Some(scene.watched(
            Kind::TieOverBar,
            place,
            weight::TIE_OVER_BAR,
            &sentence,
            [("quarters_over", over.into())],
        ));
    }
    let through = |beat: &&Beat| {
        let start = laid.start.plus(beat.at);
        let stronger = level == Level::Subdivision || (level == Level::Beat && beat.level > level);
        beat.at > at && stronger && start.is_ok_and(|start| start < struck.end)
    };
    let beat = laid.beats.beats().iter().find(through)?;
    let said = scene.said(struck.place);
    let sentence = vary(
        number,
        [
            format!(
                "{said}: syncopation, held through beat {}. Keep the beat going underneath.",
                beat.number
            ),
            format!(
                "Syncopation at {said}: the note sounds on through beat {}. Tap the beats while you play it.",
                beat.number
            ),
        ],
    );
    Some(scene.watched(
        Kind::Syncopation,
        place,
        weight::SYNCOPATION,
        &sentence,
        [("through_beat", i64::from(beat.number).into())],
    ))
}

/// Into how many equal parts the beats of a measure are divided by what is struck.
fn parts_of_beats(scene: &Scene<'_>, struck: &[Struck<'_>]) -> i64 {
    let mut parts = 1i64;
    for one in struck {
        if let Some(on) = scene.on_beat(one.place) {
            let denominator = on.past.denominator();
            let (mut a, mut b) = (parts, denominator);
            while b != 0 {
                (a, b) = (b, a % b);
            }
            // Beyond this nobody counts the parts any more.
            let least = parts / a.max(1) * denominator;
            if least <= 64 {
                parts = least;
            }
        }
    }
    parts
}

fn divided(parts: i64) -> String {
    match parts {
        1 => "whole beats".to_owned(),
        parts => format!("{parts} equal parts in a beat"),
    }
}

/// Finds where beats are divided otherwise than before.
pub(crate) fn subdivisions(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let mut before: Option<(usize, i64)> = None;
    for own in scene
        .line
        .struck()
        .chunk_by(|one, other| one.place.measure == other.place.measure)
    {
        let Some(first) = own.first() else { continue };
        let measure = first.place.measure;
        let parts = parts_of_beats(scene, own);
        let previous = before
            .filter(|(last, _)| last + 1 == measure)
            .map(|(_, parts)| parts);
        before = Some((measure, parts));
        let Some(old) = previous else { continue };
        let other_kind = old > 1 && parts > 1 && old % parts != 0 && parts % old != 0;
        let (small, large) = (old.min(parts), old.max(parts));
        if !other_kind && large < SUBDIVISION_FACTOR * small {
            continue;
        }
        let said = scene.said(first.place);
        let (was, is) = (divided(old), divided(parts));
        let sentence = vary(
            found.len(),
            [
                format!("{said}: {is} here, {was} before. Count the new beat in your head first."),
                format!(
                    "From {was} to {is} at {said}. Practise one {} of each in turn.",
                    scene.word()
                ),
            ],
        );
        found.push(scene.watched(
            Kind::SubdivisionChange,
            Spot::at(first.place),
            weight::SUBDIVISION,
            &sentence,
            [("old", old.into()), ("new", parts.into())],
        ));
    }
}

/// Tells how many notes a second a window of touching notes has.
fn rate(scene: &Scene<'_>, window: &[Struck<'_>]) -> Option<f64> {
    let (first, last) = (window.first()?, window.last()?);
    let touch = window.windows(2).all(|pair| match pair {
        [one, other] => one.end == other.start,
        _ => true,
    });
    let lasts = scene.seconds(first.start, last.end);
    let count = u32::try_from(window.len()).ok()?;
    (touch && lasts > 0.0).then(|| f64::from(count) / lasts)
}

/// Finds the fastest place.
pub(crate) fn fastest(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    // How near two speeds count as the same, far below what anybody hears.
    const SAME: f64 = 1e-9;
    let struck = scene.line.struck();
    let rates: Vec<f64> = struck
        .windows(FAST_NOTES)
        .map(|window| rate(scene, window).unwrap_or(0.0))
        .collect();
    let most = rates.iter().copied().fold(0.0, f64::max);
    if most < FAST_A_SECOND {
        return;
    }
    let as_fast = |rate: &f64| *rate >= most - SAME;
    let Some(start) = rates.iter().position(as_fast) else {
        return;
    };
    let windows = rates
        .iter()
        .skip(start)
        .take_while(|rate| as_fast(rate))
        .count();
    let notes = windows + FAST_NOTES - 1;
    let (Some(first), Some(last)) = (struck.get(start), struck.get(start + notes - 1)) else {
        return;
    };
    let places = rates.iter().filter(|rate| as_fast(rate)).count();
    let where_ = scene.said_spot(spot(first.place, last.place));
    let counted = amount(notes, "note");
    let told = scene.told_seconds(first.start, last.end).is_some();
    let how = if told {
        format!("{} a second over {counted}", decimal(most))
    } else {
        counted
    };
    let sentence = format!(
        "{where_}: the fastest notes of the part, {how}. Learn them slowly, in small groups."
    );
    let mut one = scene.watched(
        Kind::FastestNotes,
        spot(first.place, last.place),
        weight::FASTEST,
        &sentence,
        [("notes", notes.into()), ("windows", places.into())],
    );
    if told {
        one.numbers.insert("notes_per_second", most.into());
    }
    found.push(one);
}

/// Finds notes that nobody else strikes.
pub(crate) fn alone(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    if scene.others().parts.is_empty() {
        return;
    }
    let with_others = |one: &Struck<'_>| scene.others().strike_at(one.start);
    let runs = scene
        .line
        .struck()
        .chunk_by(|one, other| with_others(one) == with_others(other));
    for run in runs {
        let (Some(first), Some(last)) = (run.first(), run.last()) else {
            continue;
        };
        if with_others(first) || run.len() < ALONE_NOTES {
            continue;
        }
        let said = scene.said(first.place);
        let notes = run.len();
        let sentence = vary(
            found.len(),
            [
                format!(
                    "{said}: {notes} notes that nobody else plays with you. Everyone hears whether they are in time."
                ),
                format!(
                    "You alone move at {said}, for {notes} notes; lead, do not wait for the others."
                ),
            ],
        );
        found.push(scene.watched(
            Kind::MovesAlone,
            spot(first.place, last.place),
            weight::ALONE,
            &sentence,
            [("notes", notes.into())],
        ));
    }
}
