//! Rhythm: syncopation, tuplets across beats, ties over the bar, other subdivisions, the
//! fastest notes.

use crate::line::{Stretch, Struck};
use crate::say::{amount, decimal, list, vary};
use crate::scene::{Scene, spot};
use crate::thresholds::{FAST_A_SECOND, FAST_NOTES, MOST_PARTS, SUBDIVISION_FACTOR, weight};
use crate::watched::{Kind, Watched};
use cueleaf_guide::{Place, Spot};
use cueleaf_time::{Beat, BeatShift, BeatSpan, Level, Ratio};
use std::collections::{BTreeMap, BTreeSet};

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
fn is_on_beat(scene: &Scene<'_>, tuplet: Stretch) -> bool {
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

/// Tells whether a tuplet goes across beats: it begins on one, and a beat inside it is not
/// struck.
fn goes_across(scene: &Scene<'_>, tuplet: Stretch) -> bool {
    let place = scene.place(tuplet.start);
    let Some(laid) = scene
        .laid(place.measure)
        .filter(|_| is_on_beat(scene, tuplet))
    else {
        return false;
    };
    let struck = scene.line.struck();
    let beats = laid.beats.beats();
    let next = beats.partition_point(|beat| beat.at <= place.at);
    let starts = beats.iter().skip(next).map(|beat| laid.start.plus(beat.at));
    starts
        .map_while(|start| start.ok().filter(|start| *start < tuplet.end))
        .any(|start| {
            let note = struck.get(scene.line.first_from(start));
            note.is_none_or(|note| note.start != start)
        })
}

/// Into how many equal parts the beats of a measure are divided by what is struck in each,
/// without those that others hold already: thirds beside halves stay, halves beside quarters
/// do not. Tuplets across beats divide none. `None` where a beat has more parts than anybody
/// counts, and where there is none to tell.
fn divisions(scene: &Scene<'_>, struck: &[Struck<'_>]) -> Option<Vec<i64>> {
    let mut beats: BTreeMap<u16, i64> = BTreeMap::new();
    let mut last: Option<(Stretch, bool)> = None;
    for one in struck {
        if let Some(tuplet) = one.tuplet {
            let known = last.filter(|(own, _)| *own == tuplet);
            let (_, across) = *last.insert(known.unwrap_or_else(|| {
                let across = goes_across(scene, tuplet);
                (tuplet, across)
            }));
            if across {
                continue;
            }
        }
        let Some(on) = scene.on_beat(one.place) else {
            continue;
        };
        let parts = beats.entry(on.beat.number).or_insert(1);
        *parts = least_common_multiple(*parts, on.past.denominator());
        if *parts > MOST_PARTS {
            return None;
        }
    }
    let all: BTreeSet<i64> = beats.into_values().collect();
    if all.is_empty() {
        return None;
    }
    let held = |parts: i64| all.iter().any(|more| *more > parts && more % parts == 0);
    Some(all.iter().copied().filter(|one| !held(*one)).collect())
}

fn least_common_multiple(one: i64, other: i64) -> i64 {
    let (mut a, mut b) = (one, other);
    while let Some(rest) = a.checked_rem(b) {
        (a, b) = (b, rest);
    }
    one.checked_div(a)
        .and_then(|parts| parts.checked_mul(other))
        .unwrap_or(i64::MAX)
}

/// Names a division by its notes where the beat is a quarter.
fn divided(parts: &[i64], quarters: bool) -> String {
    let names: Vec<String> = parts
        .iter()
        .map(|parts| match parts {
            1 => "whole beats".to_owned(),
            2 if quarters => "eighths".to_owned(),
            3 if quarters => "triplets".to_owned(),
            4 if quarters => "sixteenths".to_owned(),
            parts => format!("{parts} equal parts in a beat"),
        })
        .collect();
    match parts {
        [_, _, ..] => format!("{} in turn", list(&names)),
        _ => list(&names),
    }
}

/// Tells whether beats are divided otherwise than before: in another kind of parts, or in many
/// times as many, or in two kinds where there was one.
fn is_otherwise(old: &[i64], new: &[i64]) -> bool {
    let finest = |parts: &[i64]| parts.iter().copied().max().unwrap_or(1);
    let (small, large) = (finest(old).min(finest(new)), finest(old).max(finest(new)));
    if large >= SUBDIVISION_FACTOR * small {
        return true;
    }
    match new {
        [parts] => old.iter().all(|old| old % parts != 0 && parts % old != 0),
        _ => old != new,
    }
}

/// Finds where beats are divided otherwise than before.
pub(crate) fn subdivisions(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let mut before: Option<(usize, Vec<i64>)> = None;
    for own in scene
        .line
        .struck()
        .chunk_by(|one, other| one.place.measure == other.place.measure)
    {
        let Some(first) = own.first() else { continue };
        let measure = first.place.measure;
        let previous = before.take().filter(|(last, _)| last + 1 == measure);
        let Some(parts) = divisions(scene, own) else {
            continue;
        };
        if let Some((_, old)) = previous
            && is_otherwise(&old, &parts)
        {
            found.push(subdivision(scene, first, &old, &parts, found.len()));
        }
        before = Some((measure, parts));
    }
}

fn subdivision(
    scene: &Scene<'_>,
    first: &Struck<'_>,
    old: &[i64],
    new: &[i64],
    number: usize,
) -> Watched {
    let said = scene.said(first.place);
    let quarters = |measure: usize| {
        let on = scene.on_beat(Place::start_of(measure));
        on.is_some_and(|on| on.beat.length == BeatSpan::QUARTER)
    };
    let here = first.place.measure;
    let was = divided(old, quarters(here.saturating_sub(1)));
    let is = divided(new, quarters(here));
    let sentence = vary(
        number,
        [
            format!("{said}: {is} here, {was} before. Count the new beat in your head first."),
            format!(
                "From {was} to {is} at {said}. Practise one {} of each in turn.",
                scene.word()
            ),
        ],
    );
    let finest = |parts: &[i64]| parts.iter().copied().max().unwrap_or(1);
    let mut one = scene.watched(
        Kind::SubdivisionChange,
        Spot::at(first.place),
        weight::SUBDIVISION,
        &sentence,
        [("old", finest(old).into()), ("new", finest(new).into())],
    );
    if new.len() > 1 {
        let parts: Vec<String> = new.iter().map(i64::to_string).collect();
        one.numbers.insert("in_turn", parts.into());
    }
    one
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
