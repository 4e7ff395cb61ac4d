//! Positions, spans and shifts on the line of quarter notes.

use crate::{Ratio, TimeError};
use core::fmt;
use core::str::FromStr;

/// A place on the written line, in quarter notes from its start, never negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BeatPos(Ratio);

/// A length in quarter notes, never negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BeatSpan(Ratio);

/// A signed distance in quarter notes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BeatShift(Ratio);

impl BeatPos {
    /// The start of the line.
    pub const START: Self = Self(Ratio::ZERO);

    /// Makes a position from quarter notes.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when negative.
    pub const fn from_quarters(quarters: Ratio) -> Result<Self, TimeError> {
        if quarters.is_negative() {
            return Err(TimeError::OutOfRange);
        }
        Ok(Self(quarters))
    }

    /// Gives the position in quarter notes.
    #[must_use]
    pub const fn quarters(self) -> Ratio {
        self.0
    }

    /// Goes forward by a span.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the position does not fit.
    pub fn plus(self, span: BeatSpan) -> Result<Self, TimeError> {
        self.0.plus(span.0).map(Self)
    }

    /// Measures from an earlier or later place to this one.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the distance does not fit.
    pub fn since(self, from: Self) -> Result<BeatShift, TimeError> {
        self.0.minus(from.0).map(BeatShift)
    }

    /// Moves by a signed distance.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the place would lie before the start or does not fit.
    pub fn shifted(self, by: BeatShift) -> Result<Self, TimeError> {
        self.0.plus(by.0).and_then(Self::from_quarters)
    }
}

impl BeatSpan {
    /// Nothing.
    pub const ZERO: Self = Self(Ratio::ZERO);
    /// One quarter note.
    pub const QUARTER: Self = Self(Ratio::ONE);

    /// Makes a span from quarter notes.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when negative.
    pub const fn from_quarters(quarters: Ratio) -> Result<Self, TimeError> {
        if quarters.is_negative() {
            return Err(TimeError::OutOfRange);
        }
        Ok(Self(quarters))
    }

    /// Gives the length in quarter notes.
    #[must_use]
    pub const fn quarters(self) -> Ratio {
        self.0
    }

    /// Tells whether the span is empty.
    #[must_use]
    pub const fn is_zero(self) -> bool {
        self.0.numerator() == 0
    }

    /// Adds.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the sum does not fit.
    pub fn plus(self, other: Self) -> Result<Self, TimeError> {
        self.0.plus(other.0).map(Self)
    }

    /// Takes a shorter span away.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the other is longer or the rest does not fit.
    pub fn minus(self, other: Self) -> Result<Self, TimeError> {
        self.0.minus(other.0).and_then(Self::from_quarters)
    }

    /// Takes a span away, stopping at nothing.
    #[must_use]
    pub fn minus_down_to_zero(self, other: Self) -> Self {
        self.minus(other).unwrap_or(Self::ZERO)
    }

    /// Takes the span a number of times.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when negative or too long.
    pub fn times(self, factor: Ratio) -> Result<Self, TimeError> {
        self.0.times(factor).and_then(Self::from_quarters)
    }

    /// Tells how many times a unit goes into the span.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the unit is empty.
    pub fn over(self, unit: Self) -> Result<Ratio, TimeError> {
        self.0.over(unit.0)
    }
}

impl BeatShift {
    /// Makes a shift from quarter notes.
    #[must_use]
    pub const fn from_quarters(quarters: Ratio) -> Self {
        Self(quarters)
    }

    /// Gives the signed distance in quarter notes.
    #[must_use]
    pub const fn quarters(self) -> Ratio {
        self.0
    }

    /// Gives the shift as a span when it points forward, else `None`.
    #[must_use]
    pub fn forward(self) -> Option<BeatSpan> {
        BeatSpan::from_quarters(self.0).ok()
    }
}

macro_rules! text_form {
    ($name:ident, $make:expr) => {
        impl fmt::Display for $name {
            /// Writes quarter notes as "3/2" or "3".
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl FromStr for $name {
            type Err = TimeError;

            /// Reads quarter notes such as "3/2", "3" or "1.5".
            fn from_str(text: &str) -> Result<Self, TimeError> {
                text.parse::<Ratio>().and_then($make)
            }
        }
    };
}

text_form!(BeatPos, Self::from_quarters);
text_form!(BeatSpan, Self::from_quarters);
text_form!(BeatShift, |ratio| Ok(Self(ratio)));

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_and_spans_keep_their_signs() {
        let two: BeatSpan = "2".parse().unwrap();
        let place: BeatPos = "3/2".parse().unwrap();
        assert_eq!(place.plus(two).unwrap().to_string(), "7/2");
        assert_eq!(
            place
                .since(BeatPos::START.plus(two).unwrap())
                .unwrap()
                .to_string(),
            "-1/2"
        );
        assert!("-1".parse::<BeatPos>().is_err());
        assert!("-1".parse::<BeatSpan>().is_err());
        assert!(BeatSpan::QUARTER.minus(two).is_err());
        assert_eq!(BeatSpan::QUARTER.minus_down_to_zero(two), BeatSpan::ZERO);
        assert!(place.shifted("-2".parse().unwrap()).is_err());
    }
}
