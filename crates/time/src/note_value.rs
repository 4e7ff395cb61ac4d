//! Written note values.

use crate::{BeatSpan, Ratio, TimeError};
use core::fmt;
use core::str::FromStr;

/// A written note value with its dots.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NoteValue {
    /// 0 is a whole note, 1 a half, 2 a quarter … 10 a 1024th; −1 a breve, −2 a long.
    halvings: i8,
    dots: u8,
}

/// The names of MusicXML's `note-type-value`, from the long to the 1024th.
///
/// # Source
/// MusicXML 4.0, data type note-type-value.
const NAMES: [&str; 13] = [
    "long", "breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th",
    "256th", "512th", "1024th",
];

/// How many dots a note may have.
///
/// # Source
/// Our decision: three are already rare in print.
const MAX_DOTS: u8 = 4;

impl NoteValue {
    /// A quarter note.
    pub const QUARTER: Self = Self {
        halvings: 2,
        dots: 0,
    };

    /// Makes a note value from the lower figure of a meter: 1, 2, 4 … 64 and on to 1024.
    #[must_use]
    pub fn from_denominator(denominator: u16) -> Option<Self> {
        if !denominator.is_power_of_two() || denominator > 1024 {
            return None;
        }
        let halvings = i8::try_from(denominator.trailing_zeros()).ok()?;
        Some(Self { halvings, dots: 0 })
    }

    /// Makes a note value from its MusicXML name, such as "quarter" or "16th".
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        let index = NAMES.iter().position(|known| *known == name)?;
        let halvings = i8::try_from(index).ok()?.checked_sub(2)?;
        Some(Self { halvings, dots: 0 })
    }

    /// Gives the same note with a number of dots; `None` above four.
    #[must_use]
    pub fn with_dots(self, dots: u8) -> Option<Self> {
        (dots <= MAX_DOTS).then_some(Self { dots, ..self })
    }

    /// Gives the number of dots.
    #[must_use]
    pub const fn dots(self) -> u8 {
        self.dots
    }

    /// Gives the name without dots, such as "quarter".
    #[must_use]
    pub fn name(self) -> &'static str {
        usize::try_from(self.halvings + 2)
            .ok()
            .and_then(|index| NAMES.get(index))
            .copied()
            .unwrap_or("quarter")
    }

    /// Gives the length of the note.
    #[must_use]
    pub fn span(self) -> BeatSpan {
        // A whole note is four quarters; every dot adds half of what came before:
        // the factor for d dots is (2^(d+1) − 1) / 2^d.
        let (mut numerator, mut denominator) = (4i64, 1i64);
        if self.halvings >= 0 {
            denominator <<= self.halvings;
        } else {
            numerator <<= -self.halvings;
        }
        numerator *= (1i64 << (self.dots + 1)) - 1;
        denominator <<= self.dots;
        Ratio::new(numerator, denominator)
            .and_then(BeatSpan::from_quarters)
            .unwrap_or(BeatSpan::QUARTER)
    }

    /// Finds the note value of a length: plain, dotted or double-dotted.
    #[must_use]
    pub fn of_span(span: BeatSpan) -> Option<Self> {
        (0..=2u8).find_map(|dots| {
            (-2..=10i8)
                .map(|halvings| Self { halvings, dots })
                .find(|note| note.span() == span)
        })
    }
}

impl fmt::Display for NoteValue {
    /// Writes "quarter", "dotted quarter", "double-dotted half".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let dots = match self.dots {
            0 => "",
            1 => "dotted ",
            2 => "double-dotted ",
            3 => "triple-dotted ",
            _ => "quadruple-dotted ",
        };
        write!(f, "{dots}{}", self.name())
    }
}

impl FromStr for NoteValue {
    type Err = TimeError;

    /// Reads what [`Display`](fmt::Display) writes.
    fn from_str(text: &str) -> Result<Self, TimeError> {
        let (dots, name) = match text.trim().split_once(' ') {
            None => (0, text.trim()),
            Some(("dotted", name)) => (1, name),
            Some(("double-dotted", name)) => (2, name),
            Some(("triple-dotted", name)) => (3, name),
            Some(("quadruple-dotted", name)) => (4, name),
            Some(_) => return Err(TimeError::NotRead("a note value such as dotted quarter")),
        };
        Self::from_name(name)
            .and_then(|note| note.with_dots(dots))
            .ok_or(TimeError::NotRead("a note value such as dotted quarter"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_follow_the_halving_and_the_dots() {
        // Common practice: a dot adds half of the note before it.
        for (name, quarters) in [
            ("long", "16"),
            ("breve", "8"),
            ("whole", "4"),
            ("dotted half", "3"),
            ("quarter", "1"),
            ("dotted quarter", "3/2"),
            ("double-dotted quarter", "7/4"),
            ("eighth", "1/2"),
            ("1024th", "1/256"),
        ] {
            let note: NoteValue = name.parse().unwrap();
            assert_eq!(note.span().to_string(), quarters, "{name}");
            assert_eq!(note.to_string(), name);
            assert_eq!(NoteValue::of_span(note.span()), Some(note));
        }
        assert!("dotted".parse::<NoteValue>().is_err());
        assert!("pink quarter".parse::<NoteValue>().is_err());
        assert_eq!(
            NoteValue::from_denominator(8).unwrap().to_string(),
            "eighth"
        );
        assert_eq!(NoteValue::from_denominator(3), None);
    }
}
