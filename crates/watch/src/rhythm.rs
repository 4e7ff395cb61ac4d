//! Rhythm: syncopation, tuplets across beats, ties over the bar, the fastest notes.

use crate::line::{Stretch, Struck};
use crate::say::{amount, decimal, vary};
use crate::scene::{Scene, spot};
use crate::thresholds::{FAST_A_SECOND, FAST_NOTES, weight};
use crate::watched::{Kind, Watched};
use cueleaf_guide::Spot;
use cueleaf_time::{Beat, BeatShift, BeatSpan, Level, Ratio};

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
    if let Some(tuplet) = struck.tuplet
        && struck.end <= tuplet.end
        && is_on_beat(scene, tuplet)
    {
        return across(scene, tuplet, number);
    }
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

/// Tells whether a tuplet begins with a beat, so that it divides beats and shifts none.
pub(crate) fn is_on_beat(scene: &Scene<'_>, tuplet: Stretch) -> bool {
    let on = scene.on_beat(scene.place(tuplet.start));
    on.is_some_and(|on| on.past == Ratio::ZERO)
}

/// A tuplet of equal notes across several beats: three in the time of two.
fn across(scene: &Scene<'_>, tuplet: Stretch, number: usize) -> Option<Watched> {
    let struck = scene.line.struck();
    let first = scene.line.first_from(tuplet.start);
    let next = scene.line.first_from(tuplet.end);
    let own = struck.get(first..next)?;
    let place = own.first()?.place;
    let lasts = |start, end: cueleaf_time::BeatPos| -> Option<BeatSpan> {
        end.since(start).ok().and_then(BeatShift::forward)
    };
    let each = lasts(own.first()?.start, own.first()?.end);
    let alike = own.iter().all(|one| lasts(one.start, one.end) == each);
    let whole = lasts(tuplet.start, tuplet.end)?;
    let count = Ratio::whole(i64::try_from(own.len()).ok()?);
    let full = each?.times(count).is_ok_and(|sum| sum == whole);
    let beats = scene.in_beats(whole, place);
    if !alike || !full || beats.denominator() != 1 {
        return None;
    }
    let (said, notes, beats) = (scene.said(place), own.len(), beats.numerator());
    let sentence = vary(
        number,
        [
            format!(
                "{said}: {notes} equal notes over {beats} beats. Tap the beats and say the notes against them before you play."
            ),
            format!(
                "At {said}, {notes} notes share {beats} beats; keep them equal and arrive with the beat after them."
            ),
        ],
    );
    Some(scene.watched(
        Kind::TupletAcross,
        Spot::at(place),
        weight::TUPLET_ACROSS,
        &sentence,
        [("notes", notes.into()), ("beats", beats.into())],
    ))
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
