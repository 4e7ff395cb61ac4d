//! Lines on which measures that have nothing to tell are drawn as one.
//!
//! # Source
//! The heavy bar of a long rest with its number: common practice. The thin one of measures that
//! are played: our decision.

use super::{HEIGHT, LEAD, LineMeasure, RULE, bar_line, counts_together, measure};
use crate::tenths::rounded;
use crate::words::listed;
use crate::{Page, Word, Words, measures_text, number_of};
use cueleaf_guide::{Mark, MarkKind, Place};
use maud::{Markup, html};

/// How long measures are drawn that stand for one, in units.
const RUN: f64 = 96.0;
/// The room for their number, to either side of the middle.
const ROOM: f64 = 16.0;

/// What stands on a line.
#[derive(Debug, Clone)]
pub enum Drawn<'a> {
    /// A measure with its counts.
    Measure(LineMeasure<'a>),
    /// Several measures, drawn as one.
    Run(Run),
}

/// Measures that are drawn as one.
#[derive(Debug, Clone)]
pub struct Run {
    numbers: String,
    said: String,
    count: usize,
    /// How it is drawn: with the bar of a long rest where nobody plays.
    class: &'static str,
}

impl Run {
    /// Takes measures together by their index, the last included.
    #[must_use]
    pub fn of(page: &Page<'_>, first: usize, last: usize) -> Self {
        let numbers = [number_of(page, first), number_of(page, last)];
        let numbers = page
            .words
            .fill(Word::MeasuresShort, &[&numbers[0], &numbers[1]]);
        let parts = page.guide.parts.as_slice();
        let rests = |mark: &Mark| {
            let at = Place {
                measure: mark.measure,
                at: mark.at,
            };
            let from = Place::start_of(first);
            let to = Place::start_of(last + 1);
            mark.kind == MarkKind::Rest && at <= from && mark.to.is_some_and(|end| end >= to)
        };
        let is_rest = !parts.is_empty() && parts.iter().all(|part| part.marks.iter().any(rests));
        Self {
            numbers,
            said: measures_text(page, first, last),
            count: last + 1 - first,
            class: if is_rest { "run long-rest" } else { "run" },
        }
    }
}

impl Drawn<'_> {
    /// Gives how wide it is drawn where a quarter note has so many units.
    #[must_use]
    pub fn width(&self, quarter: f64) -> f64 {
        LEAD + match self {
            Self::Measure(own) => own.quarters() * quarter,
            Self::Run(_) => RUN,
        }
    }
}

/// Draws measures, some of them as one, on one ruled line, a quarter note so many units long.
#[must_use]
pub fn line_of_runs(words: &Words, drawn: &[Drawn<'_>], quarter: f64) -> Markup {
    let widths = drawn.iter().map(|own| own.width(quarter));
    let total = rounded(widths.sum::<f64>() + 4.0);
    let said: Vec<String> = drawn
        .iter()
        .map(|own| match own {
            Drawn::Measure(own) => own.said(words),
            Drawn::Run(run) => run.said.clone(),
        })
        .collect();
    let mut at = 1.0;
    html! {
        svg class="line" role="img" aria-label=(listed(words, &said)) viewBox={ "0,0," (total) "," (HEIGHT) } width=(total) {
            path class="rule" d={ "M0," (RULE) "H" (total) } {}
            @for own in drawn {
                ({
                    let start = at;
                    at += own.width(quarter);
                    match own {
                        Drawn::Measure(own) => measure(words, own, (start, quarter), counts_together),
                        Drawn::Run(run) => several(run, start),
                    }
                })
            }
            path class="bar" d={
                ({ at = 1.0; bar_line(at) })
                @for own in drawn { ({ at += own.width(quarter); bar_line(at) }) }
            } {}
        }
    }
}

fn several(run: &Run, start: f64) -> Markup {
    let end = start + LEAD + RUN;
    let middle = f64::midpoint(start, end);
    let left = [start + 8.0, middle - ROOM].map(rounded);
    let right = [middle + ROOM, end - 8.0].map(rounded);
    html! {
        g class=(run.class) {
            text class="number" x=(rounded(start + 2.0)) y="12" { (run.numbers) }
            path d={ "M" (left[0]) ",46H" (left[1]) "M" (right[0]) ",46H" (right[1]) } {}
            text x=(rounded(middle)) y="51" { (run.count) }
        }
    }
}
