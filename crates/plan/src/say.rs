//! What is said on a count.

use core::fmt;

/// What is said on a count: its number, or "&" between the numbers, as on a pickup
/// that starts inside a beat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Say(u16);

impl Say {
    /// What is said between the numbers.
    pub const BETWEEN: Self = Self(0);

    /// Says a number; nobody says 0, which gives what is said between the numbers.
    #[must_use]
    pub const fn number(number: u16) -> Self {
        Self(number)
    }

    /// Gives the number; `None` between the numbers.
    #[must_use]
    pub const fn as_number(self) -> Option<u16> {
        match self.0 {
            0 => None,
            number => Some(number),
        }
    }
}

impl fmt::Display for Say {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            0 => f.write_str("&"),
            number => number.fmt(f),
        }
    }
}
