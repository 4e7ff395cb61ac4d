//! Meters and their groups.

use crate::{BeatSpan, NoteValue, Ratio, TimeError};
use core::fmt;
use core::str::FromStr;

/// The most beats of one written unit a meter may have.
///
/// # Source
/// Our decision: no printed meter comes near it.
const MAX_UNITS: u16 = 128;

/// The most parts an additive meter may have.
const MAX_PARTS: usize = 8;

/// One part of a meter: figures over one unit, such as 4/4 or 3+2/8.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MeterPart {
    beats: Vec<u16>,
    denominator: u16,
}

impl MeterPart {
    /// Makes a part: the upper figures, at least one, over the lower figure (1 to 1024, a power of two).
    ///
    /// # Errors
    /// [`TimeError::NotRead`] when the figures make no meter.
    pub fn new(beats: Vec<u16>, denominator: u16) -> Result<Self, TimeError> {
        let total: u32 = beats.iter().map(|beat| u32::from(*beat)).sum();
        if beats.is_empty()
            || beats.contains(&0)
            || total > u32::from(MAX_UNITS)
            || NoteValue::from_denominator(denominator).is_none()
        {
            return Err(TimeError::NotRead("a meter such as 4/4 or 3+2/8"));
        }
        Ok(Self { beats, denominator })
    }

    /// Gives the upper figures.
    #[must_use]
    pub fn beats(&self) -> &[u16] {
        &self.beats
    }

    /// Gives the lower figure.
    #[must_use]
    pub const fn denominator(&self) -> u16 {
        self.denominator
    }

    /// Gives the sum of the upper figures.
    #[must_use]
    pub fn units(&self) -> u16 {
        self.beats.iter().sum()
    }

    /// Gives the length of one unit.
    #[must_use]
    pub fn unit_span(&self) -> BeatSpan {
        unit_span(self.denominator)
    }
}

fn unit_span(denominator: u16) -> BeatSpan {
    NoteValue::from_denominator(denominator).map_or(BeatSpan::QUARTER, NoteValue::span)
}

/// A meter: 4/4, 3+2/8, 2/4+3/8, or free (without a meter).
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Meter {
    parts: Vec<MeterPart>,
}

impl Meter {
    /// Makes a free meter: measures last as long as what is written in them.
    #[must_use]
    pub const fn free() -> Self {
        Self { parts: Vec::new() }
    }

    /// Makes a meter of one part with one upper figure.
    ///
    /// # Errors
    /// [`TimeError::NotRead`] when the figures make no meter.
    pub fn simple(beats: u16, denominator: u16) -> Result<Self, TimeError> {
        Self::of_parts(vec![MeterPart::new(vec![beats], denominator)?])
    }

    /// Makes a meter of several parts.
    ///
    /// # Errors
    /// [`TimeError::NotRead`] without parts or with more than eight.
    pub fn of_parts(parts: Vec<MeterPart>) -> Result<Self, TimeError> {
        if parts.is_empty() || parts.len() > MAX_PARTS {
            return Err(TimeError::NotRead("a meter such as 4/4 or 2/4+3/8"));
        }
        Ok(Self { parts })
    }

    /// Tells whether there is no meter.
    #[must_use]
    pub const fn is_free(&self) -> bool {
        self.parts.is_empty()
    }

    /// Gives the parts in written order; none for a free meter.
    #[must_use]
    pub fn parts(&self) -> &[MeterPart] {
        &self.parts
    }

    /// Gives the length of a full measure; `None` for a free meter.
    #[must_use]
    pub fn length(&self) -> Option<BeatSpan> {
        if self.is_free() {
            return None;
        }
        self.parts.iter().try_fold(BeatSpan::ZERO, |sum, part| {
            let length = part
                .unit_span()
                .times(Ratio::whole(i64::from(part.units())))
                .ok()?;
            sum.plus(length).ok()
        })
    }

    /// Gives the lower figure of the finest part, the unit in which groups are
    /// counted; 4 for a free meter.
    #[must_use]
    pub fn finest(&self) -> u16 {
        self.parts
            .iter()
            .map(MeterPart::denominator)
            .max()
            .unwrap_or(4)
    }

    /// Gives the length of the unit in which groups are counted.
    #[must_use]
    pub fn finest_span(&self) -> BeatSpan {
        unit_span(self.finest())
    }

    /// Gives the measure's length counted in its finest unit.
    #[must_use]
    pub fn finest_units(&self) -> u16 {
        let finest = self.finest();
        self.parts
            .iter()
            .map(|part| part.units().saturating_mul(finest / part.denominator))
            .fold(0, u16::saturating_add)
    }

    /// Tells whether the meter is compound: one figure above three that is a
    /// multiple of three, whose beat is a dotted note.
    ///
    /// # Source
    /// Common practice (6/8, 9/8, 12/8, also 6/4 and 9/4).
    #[must_use]
    pub fn is_compound(&self) -> bool {
        match self.parts.as_slice() {
            [part] if part.beats.len() == 1 => {
                let units = part.units();
                units > 3 && units % 3 == 0 && part.denominator >= 4
            }
            _ => false,
        }
    }

    /// Gives the grouping a measure of this meter has when nobody chose one.
    ///
    /// # Source
    /// Written sums are taken as they stand. 5 = 3+2 (Gehrkens, Music Notation
    /// and Terminology, 1914, §102, names 3+2 before 2+3), 7 = 2+2+3 and
    /// 8/8 = 3+3+2 are among the groupings of Integrated Musicianship, lesson
    /// 22a; which one is the default is our decision, since the teacher chooses.
    #[must_use]
    pub fn default_grouping(&self) -> Grouping {
        let finest = self.finest();
        let mut groups = Vec::new();
        for part in &self.parts {
            let scale = finest / part.denominator;
            let own: Vec<u16> = if part.beats.len() > 1 {
                part.beats.clone()
            } else {
                default_groups(part.units(), part.denominator)
            };
            groups.extend(own.into_iter().map(|units| units.saturating_mul(scale)));
        }
        Grouping { groups }
    }
}

fn default_groups(units: u16, denominator: u16) -> Vec<u16> {
    match units {
        1..=3 => vec![units],
        4 => vec![2, 2],
        5 => vec![3, 2],
        7 => vec![2, 2, 3],
        8 if denominator >= 8 => vec![3, 3, 2],
        8 => vec![2, 2, 2, 2],
        _ => {
            // Threes, and what is left over as twos: 10 = 3+3+2+2, 11 = 3+3+3+2.
            let twos = match units % 3 {
                0 => 0,
                1 => 2,
                _ => 1,
            };
            let threes = (units - 2 * twos) / 3;
            let mut groups = vec![3; usize::from(threes)];
            groups.extend(core::iter::repeat_n(2, usize::from(twos)));
            groups
        }
    }
}

impl fmt::Display for Meter {
    /// Writes "4/4", "3+2/8", "2/4+3/8" or "free".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_free() {
            return f.write_str("free");
        }
        for (index, part) in self.parts.iter().enumerate() {
            if index > 0 {
                f.write_str("+")?;
            }
            write_sum(f, &part.beats)?;
            write!(f, "/{}", part.denominator)?;
        }
        Ok(())
    }
}

fn write_sum(f: &mut fmt::Formatter<'_>, figures: &[u16]) -> fmt::Result {
    for (index, figure) in figures.iter().enumerate() {
        if index > 0 {
            f.write_str("+")?;
        }
        write!(f, "{figure}")?;
    }
    Ok(())
}

impl FromStr for Meter {
    type Err = TimeError;

    /// Reads what [`Display`](fmt::Display) writes; spaces may stand anywhere.
    fn from_str(text: &str) -> Result<Self, TimeError> {
        const WANTED: TimeError = TimeError::NotRead("a meter such as 4/4, 3+2/8 or 2/4+3/8");
        if text.trim() == "free" {
            return Ok(Self::free());
        }
        let mut parts = Vec::new();
        let mut beats = Vec::new();
        for piece in text.split('+') {
            if beats.len() >= usize::from(MAX_UNITS) {
                return Err(WANTED);
            }
            match piece.split_once('/') {
                None => beats.push(piece.trim().parse().map_err(|_| WANTED)?),
                Some((beat, denominator)) => {
                    beats.push(beat.trim().parse().map_err(|_| WANTED)?);
                    let denominator = denominator.trim().parse().map_err(|_| WANTED)?;
                    parts.push(MeterPart::new(core::mem::take(&mut beats), denominator)?);
                }
            }
        }
        if !beats.is_empty() {
            return Err(WANTED);
        }
        Self::of_parts(parts).map_err(|_| WANTED)
    }
}

/// How a measure is grouped, in the meter's finest unit: 2+2+3 of 7/8.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Grouping {
    groups: Vec<u16>,
}

impl Grouping {
    /// Makes a grouping: at least one group, each at least 1, at most 1,024 together.
    ///
    /// # Errors
    /// [`TimeError::NotRead`] when the figures make no grouping.
    pub fn new(groups: Vec<u16>) -> Result<Self, TimeError> {
        let total: u32 = groups.iter().map(|group| u32::from(*group)).sum();
        if groups.is_empty() || groups.contains(&0) || total > u32::from(MAX_UNITS) * 8 {
            return Err(TimeError::NotRead("a grouping such as 2+3"));
        }
        Ok(Self { groups })
    }

    /// Gives the groups in order.
    #[must_use]
    pub fn groups(&self) -> &[u16] {
        &self.groups
    }

    /// Gives the sum of the groups.
    #[must_use]
    pub fn units(&self) -> u16 {
        self.groups.iter().copied().fold(0, u16::saturating_add)
    }

    /// Tells whether the groups differ in length, as in 2+3.
    #[must_use]
    pub fn is_uneven(&self) -> bool {
        self.groups.windows(2).any(|pair| match pair {
            [a, b] => a != b,
            _ => false,
        })
    }
}

impl fmt::Display for Grouping {
    /// Writes "2+2+3".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_sum(f, &self.groups)
    }
}

impl FromStr for Grouping {
    type Err = TimeError;

    /// Reads "2+2+3"; spaces may stand anywhere.
    fn from_str(text: &str) -> Result<Self, TimeError> {
        let groups: Result<Vec<u16>, _> = text
            .split('+')
            .map(|figure| figure.trim().parse())
            .collect();
        groups
            .map_err(|_| TimeError::NotRead("a grouping such as 2+3"))
            .and_then(Self::new)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_forms_round_trip() {
        for (text, length) in [
            ("4/4", "4"),
            ("3+2/8", "5/2"),
            ("2/4+3/8", "7/2"),
            ("7/8", "7/2"),
            ("3+4/4", "7"),
            ("2/2", "4"),
            ("12/16", "3"),
            ("3/4+3+2/8+1/16", "23/4"),
        ] {
            let meter: Meter = text.parse().unwrap();
            assert_eq!(meter.to_string(), text);
            assert_eq!(meter.length().unwrap().to_string(), length);
        }
        assert!("free".parse::<Meter>().unwrap().length().is_none());
        for text in [
            "", "4", "4/3", "0/4", "4/4+", "+4/4", "4/4/4", "200/4", "a/4",
        ] {
            assert!(text.parse::<Meter>().is_err(), "{text}");
        }
    }

    #[test]
    fn default_groupings_fill_the_measure() {
        for denominator in [4, 8, 16] {
            for units in 1..=MAX_UNITS {
                let meter = Meter::simple(units, denominator).unwrap();
                assert_eq!(meter.default_grouping().units(), units);
            }
        }
        let mixed: Meter = "2/4+3/8".parse().unwrap();
        assert_eq!(mixed.default_grouping().to_string(), "4+3");
        assert_eq!(mixed.finest_units(), 7);
        assert!(
            !"6/8"
                .parse::<Meter>()
                .unwrap()
                .default_grouping()
                .is_uneven()
        );
        assert!(
            "5/8"
                .parse::<Meter>()
                .unwrap()
                .default_grouping()
                .is_uneven()
        );
    }
}
