//! The *watch list*: places of a part where the notes themselves show that
//! something changes or gets hard, each with the numbers that make it so, a
//! sentence that a teacher may take as a tip, a topic and a weight.
//!
//! [`watch`] looks through a part in its score, with the guide drafted from it, and
//! [`Watching`] does so in steps;
//! [`strongest`] picks what to look at first; [`bow_plan`] reckons where in the
//! bow each stroke of a span begins and ends.
//!
//! Invariants of this room:
//! - Places are compared as exact fractions; seconds come from the plan alone,
//!   along the written line (the way back of a repeat is not walked, but before a later ending
//!   stands what is played before it, not the ending before). Where the tempo is
//!   only assumed, before the first number and after a tempo word without one, no seconds
//!   are told; what a place weighs is reckoned with them all the same.
//! - Every threshold and weight stands in one file with its source.
//! - The work grows with the notes, never with their square.
//! - The same score and guide give the same list in the same order.
//! - Sentences are in English; numbers and kinds are for any language.
#![forbid(unsafe_code)]

mod alone;
mod assumed;
mod bow;
mod bow_plan;
mod clefs;
mod cue;
mod divisions;
mod dynamics;
mod endings;
mod entries;
mod fold;
mod holds;
mod key;
mod last;
mod left_hand;
mod line;
mod meter;
mod named;
mod order;
mod playing;
mod rhythm;
mod say;
mod scene;
mod strokes;
mod tempo;
mod thresholds;
mod tuplets;
mod watched;
mod watching;
mod who_plays;

pub use bow_plan::{BowPlan, BowStart, PlannedStroke, bow_plan};
pub use fold::strongest;
pub use thresholds::MAX_WATCHED;
pub use watched::{Family, Kind, Number, Watched};
pub use watching::Watching;

use cueleaf_guide::Guide;
use cueleaf_score::Score;

/// Looks through a part for the places a teacher would point at.
///
/// `part` is the index of the part in the score, and `guide` was drafted from
/// that score for that part (for several parts, the one of the same name is
/// meant). The list is in order of place, then of kind; at most
/// [`MAX_WATCHED`] long; empty when there is no such part.
///
/// ```
/// use cueleaf_guide::Id;
/// let file = br#"<score-partwise version="4.0">
///   <part-list><score-part id="P1"><part-name>Viola</part-name></score-part></part-list>
///   <part id="P1"><measure number="1">
///     <attributes><divisions>1</divisions><time><beats>2</beats><beat-type>4</beat-type></time></attributes>
///     <note><pitch><step>D</step><octave>4</octave></pitch><duration>1</duration></note>
///     <note><pitch><step>D</step><octave>5</octave></pitch><duration>1</duration></note>
///   </measure></part>
/// </score-partwise>"#;
/// let score = cueleaf_read::read_score(file.to_vec()).unwrap().value;
/// let guide = cueleaf_read::draft(&score, &[], Id::new("mine").unwrap()).unwrap().value;
/// let list = cueleaf_watch::watch(&score, 0, &guide);
/// assert_eq!(list[0].kind.code(), "leap");
/// assert_eq!((list[0].from.as_str(), list[0].to.as_str()), ("1 beat 1", "1 beat 2"));
/// ```
#[must_use]
pub fn watch(score: &Score, part: usize, guide: &Guide) -> Vec<Watched> {
    let mut watching = Watching::of(part);
    watching.step(score, guide, usize::MAX);
    watching.finish()
}
