//! Places in words.

use crate::{Page, Word, Words};
use cueleaf_guide::{Laid, Place, Spot};
use cueleaf_time::BeatSpan;
use std::borrow::Cow;

/// Gives the printed number of a measure, as [`cueleaf_guide::RoadMap::number_of`] names it.
#[must_use]
pub fn number_of<'a>(page: &Page<'a>, measure: usize) -> Cow<'a, str> {
    page.guide.road_map.number_of(measure)
}

/// Names a measure: "measure 12".
#[must_use]
pub fn measure_text(page: &Page<'_>, measure: usize) -> String {
    page.words.fill(Word::Measure, &[&number_of(page, measure)])
}

/// Names measures, both included: "measures 12–15".
#[must_use]
pub fn measures_text(page: &Page<'_>, first: usize, last: usize) -> String {
    if first == last {
        return measure_text(page, first);
    }
    let numbers = [number_of(page, first), number_of(page, last)];
    page.words.fill(Word::Measures, &[&numbers[0], &numbers[1]])
}

/// Names a place: "measure 12, beat 3", or "the end" after the last measure.
#[must_use]
pub fn at_text(page: &Page<'_>, place: Place) -> String {
    if place.measure >= page.measures().len() {
        return page.words.get(Word::TheEnd).to_owned();
    }
    let measure = measure_text(page, place.measure);
    match beat_text(page, place) {
        Some(beat) => page.words.fill(Word::PlaceAndBeat, &[&measure, &beat]),
        None => measure,
    }
}

/// Names a spot: "measures 12–15", "measure 12, beats 2–3".
#[must_use]
pub fn spot_text(page: &Page<'_>, spot: &Spot) -> String {
    let words = page.words;
    let Some(to) = spot.to else {
        return at_text(page, spot.from);
    };
    if spot.from.at.is_zero() && to.at.is_zero() {
        return measures_text(page, spot.from.measure, to.measure);
    }
    if spot.from.measure == to.measure
        && let (Some((first, true)), Some((last, true))) =
            (beat_number(page, spot.from), beat_number(page, to))
    {
        let beats = words.fill(Word::Beats, &[&first.to_string(), &last.to_string()]);
        let measure = measure_text(page, to.measure);
        return words.fill(Word::PlaceAndBeat, &[&measure, &beats]);
    }
    words.fill(
        Word::FromTo,
        &[&at_text(page, spot.from), &at_text(page, to)],
    )
}

/// Names the beat of a place; nothing at the start of a measure.
pub(crate) fn beat_text(page: &Page<'_>, place: Place) -> Option<String> {
    if place.at.is_zero() {
        return None;
    }
    let laid = page.plan.layout().get(place.measure)?;
    beat_of(page.words, laid, place.at)
}

/// Names the beat at or before a place in a measure: "beat 3", "just after beat 3".
pub(crate) fn beat_of(words: &Words, laid: &Laid, at: BeatSpan) -> Option<String> {
    let (number, exact) = beat_at(laid, at)?;
    let word = if exact { Word::Beat } else { Word::AfterBeat };
    Some(words.fill(word, &[&number.to_string()]))
}

/// Gives the number, within the meter, of the beat at or before a place, and
/// whether the place is exactly there.
pub(crate) fn beat_number(page: &Page<'_>, place: Place) -> Option<(u16, bool)> {
    beat_at(page.plan.layout().get(place.measure)?, place.at)
}

fn beat_at(laid: &Laid, at: BeatSpan) -> Option<(u16, bool)> {
    let beats = laid.beats.beats();
    let beat = beats.iter().rev().find(|beat| beat.at <= at)?;
    // A pickup may start inside a beat.
    Some((beat.number, beat.at == at && beat.into.is_zero()))
}
