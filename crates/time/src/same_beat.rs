//! The same beat across a change: quarter = dotted quarter.

use crate::{BeatSpan, NoteValue, Ratio, Tempo, TimeError};
use core::fmt;
use core::str::FromStr;

/// An equation of beats: what lasted as long before as the new beat lasts now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct SameBeat {
    was: BeatSpan,
    now: NoteValue,
}

impl SameBeat {
    /// Makes an equation; the old length may be of a tuplet, such as 1/3.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] for an old length of nothing.
    pub const fn new(was: BeatSpan, now: NoteValue) -> Result<Self, TimeError> {
        if was.is_zero() {
            return Err(TimeError::OutOfRange);
        }
        Ok(Self { was, now })
    }

    /// Gives how long the old beat lasts.
    #[must_use]
    pub const fn was(self) -> BeatSpan {
        self.was
    }

    /// Gives the new beat.
    #[must_use]
    pub const fn now(self) -> NoteValue {
        self.now
    }

    /// Gives the tempo after the change: as many new beats a minute as there
    /// were old ones.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when that is no tempo any more.
    pub fn after(self, before: Tempo) -> Result<Tempo, TimeError> {
        let per_minute: Ratio = before.quarters_per_minute().over(self.was.quarters())?;
        Tempo::new(self.now, per_minute)
    }
}

impl fmt::Display for SameBeat {
    /// Writes "quarter = dotted quarter", or "1/3 = eighth" for a tuplet.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match NoteValue::of_span(self.was) {
            Some(was) => write!(f, "{was} = {}", self.now),
            None => write!(f, "{} = {}", self.was, self.now),
        }
    }
}

impl FromStr for SameBeat {
    type Err = TimeError;

    /// Reads what [`Display`](fmt::Display) writes.
    fn from_str(text: &str) -> Result<Self, TimeError> {
        let (was, now) = text.split_once('=').ok_or(TimeError::NotRead(
            "an equation such as quarter = dotted quarter",
        ))?;
        let was = match was.parse::<NoteValue>() {
            Ok(note) => note.span(),
            Err(_) => was.parse()?,
        };
        Self::new(was, now.parse()?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: T2 = T1 · B1 · p2 / (p1 · B2), the arithmetic of metric
    /// modulation; l'istesso tempo, Gehrkens 1914, §115.
    #[test]
    fn the_new_beat_takes_the_place_of_the_old() {
        for (before, equation, after, quarters) in [
            (
                "quarter = 80",
                "quarter = dotted quarter",
                "dotted quarter = 80",
                "120",
            ),
            ("quarter = 80", "eighth = eighth", "eighth = 160", "80"),
            ("quarter = 80", "1/3 = eighth", "eighth = 240", "120"),
            ("half = 60", "half = quarter", "quarter = 60", "60"),
        ] {
            let equation: SameBeat = equation.parse().unwrap();
            let tempo = equation.after(before.parse().unwrap()).unwrap();
            assert_eq!(tempo.to_string(), after);
            assert_eq!(tempo.quarters_per_minute().to_string(), quarters);
            assert_eq!(equation.to_string().parse(), Ok(equation));
        }
        assert!("0 = quarter".parse::<SameBeat>().is_err());
        assert!("quarter".parse::<SameBeat>().is_err());
    }
}
