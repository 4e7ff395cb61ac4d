//! Exact musical time: beats as reduced fractions, meters with their groups,
//! tempi and their curves, seconds.
//!
//! Invariants of this room:
//! - A position is an exact fraction of quarter notes until a plan makes
//!   seconds of it. A position plus a span is a position; the difference of
//!   two positions is a shift; two positions cannot be added.
//! - A tempo always carries its beat unit.
//! - Seconds are finite: NaN cannot be built.
//! - Transcendental functions come from `libm` through [`math`] alone, so that
//!   a browser and a native program compute the same bits.
//!
//! No I/O, no serialisation: every type here has a plain text form
//! (`Display` and `FromStr`) that other rooms may store.
#![forbid(unsafe_code)]

mod beats;
mod curve;
mod key;
pub mod math;
mod meter;
mod note_value;
mod position;
mod ratio;
mod same_beat;
mod seconds;
mod tempo;

pub use beats::{Beat, BeatChoice, Incomplete, Level, MeasureBeats, beats_of};
pub use curve::{Shape, TempoCurve};
pub use key::Key;
pub use meter::{Grouping, Meter, MeterPart};
pub use note_value::NoteValue;
pub use position::{BeatPos, BeatShift, BeatSpan};
pub use ratio::{MAX_DENOMINATOR, Ratio};
pub use same_beat::SameBeat;
pub use seconds::Seconds;
pub use tempo::Tempo;

/// A value outside what exact time can hold, or a text that is none of its forms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimeError {
    /// A fraction left the range of exact arithmetic
    /// (64-bit numerator, denominator up to [`MAX_DENOMINATOR`]).
    OutOfRange,
    /// A text could not be read; the payload says what was wanted.
    NotRead(&'static str),
}

impl core::fmt::Display for TimeError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::OutOfRange => f.write_str("this fraction is too fine or too large to be exact"),
            Self::NotRead(wanted) => write!(f, "expected {wanted}"),
        }
    }
}

impl core::error::Error for TimeError {}
