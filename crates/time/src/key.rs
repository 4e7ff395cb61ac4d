//! Key signatures.

use crate::TimeError;

/// A key signature by its place on the circle of fifths: sharps count up,
/// flats count down, −7 to 7.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key(i8);

impl Key {
    /// Makes a key signature.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] beyond seven sharps or flats.
    pub const fn from_fifths(fifths: i8) -> Result<Self, TimeError> {
        if fifths < -7 || fifths > 7 {
            return Err(TimeError::OutOfRange);
        }
        Ok(Self(fifths))
    }

    /// Gives the number of sharps, or of flats as a negative number.
    #[must_use]
    pub const fn fifths(self) -> i8 {
        self.0
    }
}
