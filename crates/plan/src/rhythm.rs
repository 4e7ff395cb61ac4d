//! Counting a written rhythm: which syllable falls on each note.

use crate::count::Count;
use crate::system::CountSystem;
use core::fmt;
use cueleaf_time::{BeatSpan, TimeError};

/// Whether a written length begins a sound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sound {
    /// A note that is played.
    Note,
    /// A rest.
    Rest,
    /// A note tied to the one before it.
    Tied,
}

/// One written length of a rhythm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RhythmNote {
    /// How long it sounds.
    pub length: BeatSpan,
    /// What it is.
    pub sound: Sound,
    /// Whether it is written as part of a tuplet. A duplet's second note in a
    /// dotted beat falls where a sixteenth would, and is counted differently.
    pub in_tuplet: bool,
}

/// What is said on one written length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spoken {
    /// Where it falls, from the start of the measure.
    pub at: BeatSpan,
    /// The number or syllable; `None` where the system has none.
    pub word: Option<String>,
    /// What it falls on.
    pub sound: Sound,
}

impl fmt::Display for Spoken {
    /// Writes the word; a rest in parentheses, a tied note as "_", nothing
    /// known as "·".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = self.word.as_deref().unwrap_or("·");
        match self.sound {
            Sound::Note => f.write_str(word),
            Sound::Rest => write!(f, "({word})"),
            Sound::Tied => f.write_str("_"),
        }
    }
}

/// Tells what is said on each written length of a measure.
///
/// `counts` are those of the measure; what lies beyond the last is counted in
/// it. The result has one entry for each length, in order.
///
/// # Errors
/// [`TimeError::OutOfRange`] when the lengths cannot be added exactly.
pub fn count_rhythm(
    counts: &[Count],
    notes: &[RhythmNote],
    system: &CountSystem,
) -> Result<Vec<Spoken>, TimeError> {
    let mut at = BeatSpan::ZERO;
    let mut spoken = Vec::with_capacity(notes.len());
    for note in notes {
        spoken.push(Spoken {
            at,
            word: word_at(counts, at, note.in_tuplet, system),
            sound: note.sound,
        });
        at = at.plus(note.length)?;
    }
    Ok(spoken)
}

/// Tells what is said at a place of a measure.
fn word_at(
    counts: &[Count],
    at: BeatSpan,
    in_tuplet: bool,
    system: &CountSystem,
) -> Option<String> {
    let after = counts.partition_point(|count| count.at <= at);
    let count = counts.get(after.checked_sub(1)?)?;
    let into = at.minus(count.at).ok()?;
    if let (true, Some(number)) = (into.is_zero(), count.say.as_number()) {
        return Some(system.number(number));
    }
    let fraction = count.into.plus(into).ok()?.over(count.whole).ok()?;
    let part = u16::try_from(fraction.numerator()).ok()?;
    let parts = u16::try_from(fraction.denominator()).ok()?;
    let against = (in_tuplet && count.divisions == 3)
        .then(|| system.syllable_against(part, parts))
        .flatten();
    against
        .or_else(|| system.syllable(count.divisions, part, parts))
        .map(str::to_owned)
}

#[cfg(test)]
mod tests;
