//! Tempo marks.

use crate::{NoteValue, Ratio, TimeError};
use core::fmt;
use core::str::FromStr;

/// A tempo: a beat unit and how many of them fill a minute.
///
/// Between 1 and 2,000 quarter notes a minute.
///
/// # Source
/// Limits: our decision; printed marks lie between about 20 and 300 quarters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Tempo {
    unit: NoteValue,
    per_minute: Ratio,
}

impl Tempo {
    /// The slowest tempo, in quarter notes a minute.
    pub const SLOWEST: Ratio = Ratio::whole(1);
    /// The fastest tempo, in quarter notes a minute.
    pub const FASTEST: Ratio = Ratio::whole(2_000);

    /// The tempo before the first mark: 120 quarter notes a minute.
    ///
    /// # Source
    /// Our decision, the same default as that of Standard MIDI Files (500,000
    /// microseconds a quarter note).
    pub const ASSUMED: Self = Self {
        unit: NoteValue::QUARTER,
        per_minute: Ratio::whole(120),
    };

    /// Makes a tempo.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] outside the limits of the type.
    pub fn new(unit: NoteValue, per_minute: Ratio) -> Result<Self, TimeError> {
        let quarters = per_minute.times(unit.span().quarters())?;
        if quarters < Self::SLOWEST || quarters > Self::FASTEST {
            return Err(TimeError::OutOfRange);
        }
        Ok(Self { unit, per_minute })
    }

    /// Makes a tempo in quarter notes a minute.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] outside the limits of the type.
    pub fn quarters(per_minute: Ratio) -> Result<Self, TimeError> {
        Self::new(NoteValue::QUARTER, per_minute)
    }

    /// Makes the tempo nearest to a measured number of quarter notes a minute,
    /// to a thousandth, inside the limits of the type.
    #[must_use]
    #[allow(
        clippy::cast_possible_truncation,
        reason = "the clamp keeps the number far inside an i64"
    )]
    pub fn nearest(quarters_per_minute: f64) -> Self {
        let (slowest, fastest) = (Self::SLOWEST.to_f64(), Self::FASTEST.to_f64());
        let thousandths = (quarters_per_minute.clamp(slowest, fastest) * 1000.0).round() as i64;
        Ratio::new(thousandths, 1000)
            .and_then(Self::quarters)
            .unwrap_or(Self::ASSUMED)
    }

    /// Gives the same speed in another beat unit; `None` where that is beyond the
    /// limits of the type.
    #[must_use]
    pub fn in_unit(self, unit: NoteValue) -> Option<Self> {
        let per_minute = self.quarters_per_minute().over(unit.span().quarters());
        Self::new(unit, per_minute.ok()?).ok()
    }

    /// Gives the beat unit of the mark.
    #[must_use]
    pub const fn unit(self) -> NoteValue {
        self.unit
    }

    /// Gives the number of beat units a minute.
    #[must_use]
    pub const fn per_minute(self) -> Ratio {
        self.per_minute
    }

    /// Writes the number of beat units a minute as people read it, with at most two decimals:
    /// "66.67". [`Display`](fmt::Display) writes it exactly.
    #[must_use]
    pub fn number(self) -> String {
        self.per_minute.said()
    }

    /// Writes the tempo as people read it: "quarter = 66.67".
    #[must_use]
    pub fn said(self) -> String {
        format!("{} = {}", self.unit, self.number())
    }

    /// Gives the number of quarter notes a minute.
    #[must_use]
    pub fn quarters_per_minute(self) -> Ratio {
        self.per_minute
            .times(self.unit.span().quarters())
            .unwrap_or(self.per_minute)
    }
}

impl fmt::Display for Tempo {
    /// Writes "dotted quarter = 66".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} = {}", self.unit, self.per_minute)
    }
}

impl FromStr for Tempo {
    type Err = TimeError;

    /// Reads what [`Display`](fmt::Display) writes.
    fn from_str(text: &str) -> Result<Self, TimeError> {
        let (unit, per_minute) = text
            .split_once('=')
            .ok_or(TimeError::NotRead("a tempo such as quarter = 96"))?;
        Self::new(unit.parse()?, per_minute.parse()?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_read_with_two_decimals_at_most() {
        for (exact, said) in [
            ("quarter = 96", "quarter = 96"),
            ("quarter = 5217391/100000", "quarter = 52.17"),
            ("quarter = 11999999/100000", "quarter = 120"),
            ("dotted half = 459999/5000", "dotted half = 92"),
            ("quarter = 135/2", "quarter = 67.5"),
            ("eighth = 6005/100", "eighth = 60.05"),
        ] {
            let tempo: Tempo = exact.parse().unwrap();
            assert_eq!(tempo.said(), said);
        }
    }

    #[test]
    fn a_dotted_quarter_counts_for_one_and_a_half() {
        let tempo = Tempo::new("dotted quarter".parse().unwrap(), Ratio::whole(66)).unwrap();
        assert_eq!(tempo.quarters_per_minute(), Ratio::whole(99));
        assert_eq!(tempo.to_string(), "dotted quarter = 66");
        assert_eq!("dotted quarter = 66".parse(), Ok(tempo));
        assert!("fast".parse::<Tempo>().is_err());
        assert_eq!(
            Tempo::nearest(71.99996).quarters_per_minute(),
            Ratio::whole(72)
        );
        assert_eq!(Tempo::nearest(f64::NAN), Tempo::ASSUMED);
        let half = "half".parse().unwrap();
        assert_eq!(tempo.in_unit(half).unwrap().to_string(), "half = 99/2");
        assert!(Tempo::quarters(Ratio::ZERO).is_err());
        assert!(Tempo::quarters(Ratio::whole(2_001)).is_err());
        assert!(Tempo::new("whole".parse().unwrap(), Ratio::whole(501)).is_err());
    }
}
