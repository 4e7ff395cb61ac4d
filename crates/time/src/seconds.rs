//! Seconds that are always finite.

use core::cmp::Ordering;

/// A finite number of seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seconds(f64);

impl Seconds {
    /// Zero seconds.
    pub const ZERO: Self = Self(0.0);

    /// Makes seconds from a number; `None` for NaN and infinities.
    #[must_use]
    pub fn new(seconds: f64) -> Option<Self> {
        // Adding zero turns -0.0 into 0.0, so that equal values print alike.
        seconds.is_finite().then_some(Self(seconds + 0.0))
    }

    /// Gives the number.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl Eq for Seconds {}

impl PartialOrd for Seconds {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Seconds {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}
