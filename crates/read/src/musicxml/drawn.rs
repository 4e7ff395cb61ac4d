//! Marks that are drawn beside the place at which they stand in the file.
//!
//! Programs that let marks be dragged about write them where their cursor happened to be, often
//! behind the note they belong to, and say by an `offset` how far from there they are drawn. What
//! a player reads is the note under which a mark is drawn, or nearly so. Which notes there are is
//! known when the measure ends; until then a mark waits here.

use super::matching::Spans;
use cueleaf_score::{Measure, Sound};
use cueleaf_time::{BeatSpan, Ratio};
use std::collections::BTreeMap;

/// Up to this a shift is layout: letters stand a little to the left or right of their note.
///
/// # Source
/// Our decision: held against parts that play the same together, a shift of a thirty-second
/// belongs to the note where it stands and one of a sixteenth mostly does not.
const LAYOUT_IN_EIGHTHS_OF_A_QUARTER: i64 = 1;

/// What waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    /// A dynamic, by its index in the measure.
    Dynamic(usize),
    /// An accent of loudness (sf, fz, fp), which only a note that starts can have.
    Accent(usize),
    /// Other words.
    Words(usize),
    /// Pizzicato, arco, a mute.
    Playing(usize),
    /// A word about the tempo without a number.
    Tempo(usize),
    /// The start of a hairpin or dashed line, by its index in the part.
    SpanFrom(usize),
    /// The end of one.
    SpanTo(usize),
}

/// Where a direction stands in the file and where it is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    here: BeatSpan,
    drawn: Option<BeatSpan>,
}

impl Place {
    /// Makes the place of what is drawn where it stands.
    pub(super) const fn here(here: BeatSpan) -> Self {
        Self { here, drawn: None }
    }

    /// Makes the place of what is drawn elsewhere, `by` so many quarters.
    pub(super) fn drawn(here: BeatSpan, at: BeatSpan, by: Ratio) -> Self {
        let most = Ratio::new(LAYOUT_IN_EIGHTHS_OF_A_QUARTER, 8).unwrap_or(Ratio::ZERO);
        let back = Ratio::ZERO.minus(most).unwrap_or(Ratio::ZERO);
        let drawn = (by > most || by < back).then_some(at);
        Self { here, drawn }
    }

    /// Gives the place until it is settled.
    pub(super) fn at(self) -> BeatSpan {
        self.drawn.unwrap_or(self.here)
    }
}

/// The marks of an open measure that wait for its notes.
#[derive(Debug, Default)]
pub(super) struct Waiting(Vec<(Sign, BeatSpan, BeatSpan)>);

impl Waiting {
    /// Lets a mark wait if it is drawn elsewhere than it stands.
    pub(super) fn push(&mut self, sign: Sign, place: Place) {
        if let Some(drawn) = place.drawn {
            self.0.push((sign, place.here, drawn));
        }
    }

    /// Settles all of them.
    pub(super) fn settle(self, measure: &mut Measure, spans: &mut Spans, end: BeatSpan) {
        if self.0.is_empty() {
            return;
        }
        let events = Events::of(measure, end);
        for (sign, here, drawn) in self.0 {
            let begins = events.begins(here, drawn);
            match sign {
                Sign::Dynamic(index) => {
                    if let Some(own) = measure.dynamics.get_mut(index) {
                        own.at = begins;
                    }
                }
                Sign::Accent(index) => {
                    if let Some(own) = measure.dynamics.get_mut(index) {
                        own.at = events.struck(begins, drawn);
                    }
                }
                Sign::Words(index) => {
                    if let Some(own) = measure.words.get_mut(index) {
                        own.at = begins;
                    }
                }
                Sign::Playing(index) => {
                    if let Some(own) = measure.playing.get_mut(index) {
                        own.at = begins;
                    }
                }
                Sign::Tempo(index) => {
                    if let Some(own) = measure.tempo.get_mut(index) {
                        own.at = begins;
                    }
                }
                Sign::SpanFrom(index) => spans.settle_from(index, begins),
                Sign::SpanTo(index) => spans.settle_to(index, events.ends(drawn)),
            }
        }
    }
}

/// What starts in a measure.
struct Events {
    /// Whether a note starts at each place; only rests do where not.
    starts: BTreeMap<BeatSpan, bool>,
    end: BeatSpan,
}

/// The places around one, the first of them at it or before it.
struct Around {
    before: Option<(BeatSpan, bool)>,
    after: Option<(BeatSpan, bool)>,
}

impl Events {
    fn of(measure: &Measure, end: BeatSpan) -> Self {
        let mut starts: BTreeMap<BeatSpan, bool> = BTreeMap::new();
        for note in measure.notes.iter().filter(|note| note.grace.is_none()) {
            let played = !matches!(note.sound, Sound::Rest { .. });
            *starts.entry(note.at).or_default() |= played;
        }
        Self { starts, end }
    }

    fn around(&self, at: BeatSpan) -> Around {
        let pair = |(at, note): (&BeatSpan, &bool)| (*at, *note);
        let before = self.starts.range(..=at).next_back().map(pair);
        let mut after = self.starts.iter().map(pair).find(|(own, _)| *own > at);
        if after.is_none() && self.end > at {
            after = Some((self.end, false));
        }
        Around { before, after }
    }

    /// Gives where something drawn at a place begins to hold: with the note it is drawn nearest
    /// to, of two as near the first. In the middle of a held note it keeps its place, as a
    /// sudden dynamic under one means it. In a rest it waits where it stands.
    fn begins(&self, here: BeatSpan, drawn: BeatSpan) -> BeatSpan {
        let Around { before, after } = self.around(drawn);
        match (before, after) {
            (Some((before, note)), Some((after, next))) => {
                let to_before = drawn.minus_down_to_zero(before);
                let to_after = after.minus_down_to_zero(drawn);
                let gap = after.minus_down_to_zero(before);
                let last = after >= self.end;
                let near = |distance| is_near(distance, gap);
                if note
                    && near(to_before)
                    && (to_before < to_after || (to_before == to_after && !last))
                {
                    before
                } else if next && near(to_after) && to_after <= to_before {
                    after
                } else if note {
                    in_sixteenths(drawn)
                } else {
                    here
                }
            }
            (None, Some((after, true))) => after,
            // Past the barline it is for what comes next.
            (_, None) => drawn.min(self.end.max(here)),
            _ => drawn,
        }
    }

    /// Gives the start of the note that sounds where an accent was placed.
    fn struck(&self, placed: BeatSpan, drawn: BeatSpan) -> BeatSpan {
        match self.around(placed).before {
            Some((before, true)) if placed == in_sixteenths(drawn) => before,
            _ => placed,
        }
    }

    /// Gives where a line drawn to a place ends: with the note or rest it is drawn nearest to,
    /// or the barline; of two as near the second, since a line ends before what comes next.
    fn ends(&self, drawn: BeatSpan) -> BeatSpan {
        let Around { before, after } = self.around(drawn);
        let (Some((before, _)), Some((after, _))) = (before, after) else {
            return drawn;
        };
        let to_before = drawn.minus_down_to_zero(before);
        let to_after = after.minus_down_to_zero(drawn);
        let gap = after.minus_down_to_zero(before);
        if to_after <= to_before && is_near(to_after, gap) {
            after
        } else if to_before < to_after && is_near(to_before, gap) {
            before
        } else {
            in_sixteenths(drawn)
        }
    }
}

/// Whether a mark so far from a note is drawn at it: less than an eighth, or less than a quarter
/// of the way to the next.
///
/// # Source
/// Our decision, from parts of the same pieces that play the same together, some of whose marks
/// have offsets and some none.
fn is_near(distance: BeatSpan, gap: BeatSpan) -> bool {
    let times = |count| distance.times(Ratio::whole(count)).unwrap_or(distance);
    times(2) < BeatSpan::QUARTER || times(4) < gap
}

/// Rounds a place to sixteenths: finer is nothing that a drawing tells.
fn in_sixteenths(at: BeatSpan) -> BeatSpan {
    let four = at.quarters().times(Ratio::whole(4)).ok();
    let half = Ratio::new(1, 2).unwrap_or(Ratio::ZERO);
    let rounded = four.and_then(|four| four.plus(half).ok()).map(Ratio::floor);
    let back = rounded.and_then(|whole| Ratio::new(whole, 4).ok());
    back.and_then(|quarters| BeatSpan::from_quarters(quarters).ok())
        .unwrap_or(at)
}
