//! The named limits of a guide.

use core::fmt;

/// The most measures a road map may have.
pub const MAX_MEASURES: usize = 200_000;
/// The most counted beats that are laid out in all; measures beyond them last and are not counted.
pub const MAX_ALL_BEATS: usize = 4_000_000;
/// The most parts a guide may have.
pub const MAX_PARTS: usize = 200;
/// The most notes and rests in a tip's rhythm.
pub const MAX_RHYTHM: usize = 32;
/// The most tips, and the most to-dos, a guide may have.
pub const MAX_TIPS: usize = 10_000;
/// The most characters a text of the teacher's may have.
pub const MAX_TEXT: usize = 20_000;
/// The most characters a measure's label may have.
pub const MAX_LABEL: usize = 32;
/// The most letters a cue has while playing.
///
/// # Source
/// Our decision: what is still read at a glance from a music stand.
pub const MAX_CUE: usize = 24;
/// The most measures that are counted in before play starts.
///
/// # Source
/// Our decision: nobody waits longer with the instrument up.
pub const MAX_COUNT_IN: u8 = 4;
/// The largest saved guide that is read, in bytes.
pub const MAX_SAVED_BYTES: usize = 64 * 1024 * 1024;

/// Something is larger than a named limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TooLarge {
    /// What is too large: "measures".
    pub what: &'static str,
    /// The limit.
    pub limit: usize,
    /// How much there is.
    pub actual: usize,
}

impl TooLarge {
    /// Refuses an amount above a limit.
    ///
    /// # Errors
    /// The refusal itself, when `actual` is above `limit`.
    pub const fn guard(what: &'static str, limit: usize, actual: usize) -> Result<(), Self> {
        if actual > limit {
            return Err(Self {
                what,
                limit,
                actual,
            });
        }
        Ok(())
    }
}

impl fmt::Display for TooLarge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "too large: {} {}, and the limit is {}",
            self.actual, self.what, self.limit
        )
    }
}

impl core::error::Error for TooLarge {}
