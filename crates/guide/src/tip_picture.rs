//! What a tip can show besides words: a stroke of the bow, a rhythm, a place in a recording.

use crate::document::Extra;
use crate::text;
use cueleaf_time::{BeatSpan, NoteValue, Ratio, TimeError};
use serde::{Deserialize, Serialize};

/// A stroke of the bow: where it begins, which way it goes, how much of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stroke {
    /// Where on the bow it begins.
    pub from: BowPart,
    /// Which way it goes.
    pub way: BowWay,
    /// How much of the bow it takes.
    #[serde(default)]
    pub amount: BowAmount,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

impl Stroke {
    /// Gives where on the bow the stroke begins and ends, in percent from frog to tip;
    /// the end lies outside 0 to 100 when there is not enough bow for it.
    #[must_use]
    pub const fn stretch(&self) -> (i16, i16) {
        let from = self.from.percent();
        let amount = self.amount.percent();
        match self.way {
            BowWay::Down => (from, from + amount),
            BowWay::Up => (from, from - amount),
        }
    }

    /// Tells whether the bow is long enough for the stroke.
    #[must_use]
    pub const fn fits(&self) -> bool {
        let (_, end) = self.stretch();
        0 <= end && end <= 100
    }
}

/// The parts of the bow as players name them.
///
/// # Source
/// Common practice; where each lies in percent is our decision, for the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BowPart {
    /// At the frog.
    Frog,
    /// In the lower half.
    LowerHalf,
    /// In the middle.
    Middle,
    /// In the upper half.
    UpperHalf,
    /// At the tip.
    Tip,
}

impl BowPart {
    /// All parts from the hand outwards.
    pub const ALL: [Self; 5] = [
        Self::Frog,
        Self::LowerHalf,
        Self::Middle,
        Self::UpperHalf,
        Self::Tip,
    ];

    /// Gives the place in percent from frog to tip.
    #[must_use]
    pub const fn percent(self) -> i16 {
        match self {
            Self::Frog => 0,
            Self::LowerHalf => 25,
            Self::Middle => 50,
            Self::UpperHalf => 75,
            Self::Tip => 100,
        }
    }

    /// Gives the name used in saved guides: "lower-half".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Frog => "frog",
            Self::LowerHalf => "lower-half",
            Self::Middle => "middle",
            Self::UpperHalf => "upper-half",
            Self::Tip => "tip",
        }
    }
}

/// Which way the bow goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BowWay {
    /// From the frog towards the tip.
    Down,
    /// From the tip towards the frog.
    Up,
}

impl BowWay {
    /// Both ways.
    pub const ALL: [Self; 2] = [Self::Down, Self::Up];

    /// Gives the name used in saved guides: "down".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Down => "down",
            Self::Up => "up",
        }
    }
}

/// How much of the bow a stroke takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BowAmount {
    /// A little.
    Little,
    /// A quarter of it.
    Quarter,
    /// Half of it.
    #[default]
    Half,
    /// All of it.
    Whole,
}

impl BowAmount {
    /// All amounts, the least first.
    pub const ALL: [Self; 4] = [Self::Little, Self::Quarter, Self::Half, Self::Whole];

    const fn percent(self) -> i16 {
        match self {
            Self::Little => 10,
            Self::Quarter => 25,
            Self::Half => 50,
            Self::Whole => 100,
        }
    }

    /// Gives the name used in saved guides: "half".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Little => "little",
            Self::Quarter => "quarter",
            Self::Half => "half",
            Self::Whole => "whole",
        }
    }
}

/// One written length of a tip's rhythm.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RhythmLength {
    /// The note value: "dotted quarter".
    #[serde(with = "text::plain")]
    pub note: NoteValue,
    /// Whether it is played, a rest, or tied to the one before.
    #[serde(default, skip_serializing_if = "RhythmKind::is_note")]
    pub kind: RhythmKind,
    /// In a tuplet: how many of these take the time of how many, [3, 2] for a triplet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tuplet: Option<(u8, u8)>,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

impl RhythmLength {
    /// Makes a note that is played.
    #[must_use]
    pub fn note(note: NoteValue) -> Self {
        Self {
            note,
            kind: RhythmKind::Note,
            tuplet: None,
            extra: Extra::default(),
        }
    }

    /// Gives how long it lasts.
    ///
    /// # Errors
    /// [`TimeError`] for a tuplet of or in the time of none.
    pub fn span(&self) -> Result<BeatSpan, TimeError> {
        match self.tuplet {
            None => Ok(self.note.span()),
            Some((these, those)) => {
                let ratio = Ratio::new(i64::from(those), i64::from(these))?;
                self.note.span().times(ratio)
            }
        }
    }
}

/// What a written length of a rhythm is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RhythmKind {
    /// A note that is played.
    #[default]
    Note,
    /// A rest.
    Rest,
    /// A note tied to the one before.
    Tied,
}

impl RhythmKind {
    #[allow(
        clippy::trivially_copy_pass_by_ref,
        reason = "serde asks for this shape"
    )]
    const fn is_note(&self) -> bool {
        matches!(self, Self::Note)
    }
}

/// A place in a recording that somebody else keeps: "watch at 3:20".
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Watch {
    /// Where the recording is: an https address, or empty when the student knows.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub address: String,
    /// The place in it, in seconds from its start.
    pub seconds: u32,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

impl Watch {
    /// Makes a place in a recording that the student knows.
    #[must_use]
    pub fn at(seconds: u32) -> Self {
        Self {
            address: String::new(),
            seconds,
            extra: Extra::default(),
        }
    }

    /// Gives the address when it may be a link: https, with no white space or control
    /// letter in it.
    #[must_use]
    pub fn link(&self) -> Option<&str> {
        let rest = self.address.strip_prefix("https://")?;
        let plain = |c: char| !c.is_whitespace() && !c.is_control() && !"\"<>\\".contains(c);
        (!rest.is_empty() && !rest.starts_with('/') && rest.chars().all(plain))
            .then_some(self.address.as_str())
    }

    /// Writes the place as people say it: "3:20", "1:02:03".
    #[must_use]
    pub fn clock(&self) -> String {
        let (minutes, seconds) = (self.seconds / 60, self.seconds % 60);
        if minutes < 60 {
            return format!("{minutes}:{seconds:02}");
        }
        format!("{}:{:02}:{seconds:02}", minutes / 60, minutes % 60)
    }

    /// Reads a place such as "3:20", "1:02:03" or "200".
    #[must_use]
    pub fn seconds_of(text: &str) -> Option<u32> {
        let mut total: u32 = 0;
        let parts: Vec<&str> = text.trim().split(':').collect();
        for (index, part) in parts.iter().enumerate() {
            let digits = !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
            let number: u32 = part.parse().ok().filter(|_| digits)?;
            if parts.len() > 3 || (index > 0 && number > 59) {
                return None;
            }
            total = total.checked_mul(60)?.checked_add(number)?;
        }
        Some(total)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_in_a_recording() {
        for (text, seconds) in [("3:20", 200), ("0:05", 5), ("1:02:03", 3723), ("200", 200)] {
            assert_eq!(Watch::seconds_of(text), Some(seconds), "{text}");
        }
        assert_eq!(Watch::at(3723).clock(), "1:02:03");
        assert_eq!(Watch::at(200).clock(), "3:20");
        for text in ["", "3:60", "a", "1:2:3:4", "+3:20", "3:", "99999999:59"] {
            assert_eq!(Watch::seconds_of(text), None, "{text}");
        }
    }

    #[test]
    fn only_https_is_a_link() {
        let link = |address: &str| {
            let own = Watch {
                address: address.to_owned(),
                ..Watch::at(0)
            };
            own.link().is_some()
        };
        assert!(link("https://example.org/talk?x=1#t"));
        for address in [
            "http://example.org",
            "javascript:alert(1)",
            "https://",
            "https:///x",
            "https://a b",
            "https://a\u{9}b",
            "https://a\"onx",
            " https://a",
        ] {
            assert!(!link(address), "{address}");
        }
    }

    #[test]
    fn strokes_that_run_out_of_bow() {
        let stroke = |from, way, amount| Stroke {
            from,
            way,
            amount,
            extra: Extra::default(),
        };
        assert!(stroke(BowPart::Frog, BowWay::Down, BowAmount::Whole).fits());
        assert!(!stroke(BowPart::Middle, BowWay::Down, BowAmount::Whole).fits());
        assert!(!stroke(BowPart::Frog, BowWay::Up, BowAmount::Little).fits());
        let half = stroke(BowPart::Tip, BowWay::Up, BowAmount::Half);
        assert_eq!(half.stretch(), (100, 50));
    }

    #[test]
    fn a_triplet_eighth_is_a_third_of_a_quarter() {
        let eighth = RhythmLength {
            tuplet: Some((3, 2)),
            ..RhythmLength::note(NoteValue::from_name("eighth").unwrap())
        };
        assert_eq!(eighth.span().unwrap().quarters(), Ratio::new(1, 3).unwrap());
        let none = RhythmLength {
            tuplet: Some((0, 2)),
            ..eighth
        };
        assert!(none.span().is_err());
    }
}
