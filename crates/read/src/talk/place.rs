//! Places as they are said: "bar thirty-two", "the second beat of 45", "two bars before C".

use super::fact::is_meter;
use super::number::{number, ordinal};
use super::table::Language;
use super::word::{Pause, Word, any_phrase};

/// A place as it was said; what it stands for in a road map is found later.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Said {
    /// A measure or a stretch by printed numbers, perhaps from a beat on.
    Measures {
        /// The first.
        from: u32,
        /// The last, of a stretch.
        to: Option<u32>,
        /// The beat in the first, from 1.
        beat: Option<u32>,
    },
    /// So many measures after a rehearsal mark; a negative number is before it.
    Mark {
        /// The mark, in capital letters.
        mark: String,
        /// How many measures after it.
        measures: i32,
    },
    /// So many measures before the end; 0 is the last measure.
    End {
        /// How many measures before it.
        before: u32,
    },
    /// The first measure.
    Start,
    /// The pickup to another place.
    Pickup(Box<Self>),
}

/// A place with how many words say it, and how sure it is that it is one, from 0 to 1.
pub(super) struct Found {
    pub(super) place: Said,
    pub(super) words: usize,
    pub(super) confidence: f64,
}

/// Whether a bare number after "at" can be a place.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Bare {
    /// A place was named before, so it can.
    Yes,
    /// It cannot yet.
    No,
}

/// Finds the place that is said at an index.
pub(super) fn place(language: &Language, words: &[Word], at: usize, bare: Bare) -> Option<Found> {
    let sure = |(place, words)| Found {
        place,
        words,
        confidence: 0.95,
    };
    pickup(language, words, at)
        .or_else(|| beat_of(language, words, at))
        .or_else(|| relative(language, words, at))
        .or_else(|| measures(language, words, at))
        .or_else(|| mark(language, words, at))
        .or_else(|| ends(language, words, at))
        .map(sure)
        .or_else(|| {
            let (place, words) = bare_number(language, words, at).filter(|_| bare == Bare::Yes)?;
            Some(Found {
                place,
                words,
                confidence: 0.7,
            })
        })
}

fn measure(from: u32, to: Option<u32>, beat: Option<u32>) -> Said {
    Said::Measures { from, to, beat }
}

/// "the pickup to the end", "upbeat to letter C", "pickup into 45".
fn pickup(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let mut next = at + any_phrase(words, at, language.pickup);
    if next == at {
        return None;
    }
    next += any_phrase(words, next, language.measure);
    let joint = any_phrase(words, next, &["to", "into", "before", "for"]);
    if joint == 0 {
        return None;
    }
    next += joint;
    // "to the end" is the last measure here.
    let end = any_phrase(words, next, &["the end", "the very end"]);
    if end > 0 {
        return Some((
            Said::Pickup(Box::new(Said::End { before: 0 })),
            next + end - at,
        ));
    }
    let (target, count) = measures(language, words, next)
        .or_else(|| mark(language, words, next))
        .or_else(|| ends(language, words, next))
        .or_else(|| {
            number(language, words, next).map(|(value, count)| (measure(value, None, None), count))
        })?;
    Some((Said::Pickup(Box::new(target)), next + count - at))
}

/// "the second beat of 45", "beat two of measure 45", "beats 2 and 3 of 12".
fn beat_of(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let mut next = at;
    let beat = if let Some(beat) = ordinal(language, words, at) {
        next += 1;
        next += nonzero(any_phrase(words, next, language.beat))?;
        beat
    } else {
        next += nonzero(any_phrase(words, next, language.beat))?;
        let (beat, count) = number(language, words, next)?;
        next += count;
        if any_phrase(words, next, &["and", "to"]) > 0
            && let Some((_, count)) = number(language, words, next + 1)
        {
            next += 1 + count;
        }
        beat
    };
    next += nonzero(any_phrase(words, next, &["of", "in"]))?;
    let named = any_phrase(words, next, language.measure);
    let (value, count) = number(language, words, next + named)?;
    // "the first beat of two" is no measure; a number of more than one figure is.
    if named == 0 && value < 10 && any_phrase(words, next + count, language.counted) > 0 {
        return None;
    }
    (beat <= 16).then_some((measure(value, None, Some(beat)), next + named + count - at))
}

const fn nonzero(count: usize) -> Option<usize> {
    if count == 0 { None } else { Some(count) }
}

/// "two bars before letter C", "a measure after 45", "three bars before the end".
fn relative(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let (amount, mut next) = match number(language, words, at) {
        Some((amount, count)) => (amount, at + count),
        None if any_phrase(words, at, &["a", "the"]) > 0 => (1, at + 1),
        None => return None,
    };
    next += nonzero(any_phrase(words, next, language.measure))?;
    let before = any_phrase(words, next, language.before);
    let after = any_phrase(words, next, language.after);
    next += nonzero(before.max(after))?;
    let amount = i32::try_from(amount).ok().filter(|amount| *amount <= 99)?;
    let amount = if before > 0 { -amount } else { amount };
    let end = any_phrase(words, next, &["the end", "the very end"]);
    if end > 0 && before > 0 {
        // The measure one before the end is the last but one.
        return Some((
            Said::End {
                before: amount.unsigned_abs(),
            },
            next + end - at,
        ));
    }
    if let Some((Said::Mark { mark, .. }, count)) = mark(language, words, next) {
        return Some((
            Said::Mark {
                mark,
                measures: amount,
            },
            next + count - at,
        ));
    }
    if let Some((Said::Measures { from, .. }, count)) = measures(language, words, next) {
        let value = i32::try_from(from).ok()?.checked_add(amount)?;
        return Some((
            measure(u32::try_from(value).ok()?, None, None),
            next + count - at,
        ));
    }
    None
}

/// "measure 32", "bars 5 to 8", "measure 45 beat 2", "measures 5 and 6".
fn measures(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let named = any_phrase(words, at, language.measure);
    nonzero(named)?;
    let mut next = at + named;
    next += any_phrase(words, next, &["number", "numbers"]);
    let (from, count) = number(language, words, next)?;
    next += count;
    let last = |joint: usize| {
        let again = any_phrase(words, next + joint, language.measure);
        let (value, count) = number(language, words, next + joint + again)?;
        Some((value, joint + again + count))
    };
    let joint = any_phrase(words, next, language.to);
    if joint > 0
        && let Some((to, count)) = last(joint)
        && to > from
    {
        return Some((measure(from, Some(to), None), next + count - at));
    }
    let and = any_phrase(words, next, &[language.and]);
    let plural = words
        .get(at)
        .is_some_and(|word| word.said.ends_with('s') || word.said == "mm");
    if and > 0
        && plural
        && let Some((to, count)) = last(and)
        && to == from + 1
    {
        return Some((measure(from, Some(to), None), next + count - at));
    }
    // "measure 45 beat 2", "bar 45 on the second beat".
    if words
        .get(next - 1)
        .is_some_and(|word| word.pause == Pause::Stop)
    {
        return Some((measure(from, None, None), next - at));
    }
    let mut skip = next + any_phrase(words, next, &["on", "from"]);
    skip += any_phrase(words, skip, &["the"]);
    if let Some(beat) = ordinal(language, words, skip)
        && any_phrase(words, skip + 1, language.beat) > 0
    {
        return Some((measure(from, None, Some(beat)), skip + 2 - at));
    }
    let beat = any_phrase(words, skip, language.beat);
    if beat > 0
        && let Some((beat_number, count)) = number(language, words, skip + beat)
        && beat_number <= 16
    {
        return Some((
            measure(from, None, Some(beat_number)),
            skip + beat + count - at,
        ));
    }
    Some((measure(from, None, None), next - at))
}

/// "letter C", "rehearsal 5", "rehearsal letter double A".
fn mark(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let named = any_phrase(words, at, language.mark);
    nonzero(named)?;
    let word = words.get(at + named)?;
    let letters = word.said.chars().all(|c| c.is_alphabetic()) && word.said.chars().count() <= 2;
    let figures = word.said.bytes().all(|byte| byte.is_ascii_digit()) && word.said.len() <= 3;
    if letters || figures {
        let mark = word.said.to_uppercase();
        return Some((Said::Mark { mark, measures: 0 }, named + 1));
    }
    None
}

fn ends(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let end = any_phrase(words, at, language.end);
    if end > 0 {
        return Some((Said::End { before: 0 }, end));
    }
    let start = any_phrase(words, at, language.start);
    // "the top of the bow" is no place in the music.
    (start > 0 && any_phrase(words, at + start, &["of the bow", "string", "half", "note"]) == 0)
        .then_some((Said::Start, start))
}

/// "at 45", "in 32", "45 to 48": once measures were named, and nothing is counted by the number.
fn bare_number(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let corrects = any_phrase(words, at, language.corrects);
    let joint = any_phrase(words, at, language.at).max(corrects);
    nonzero(joint)?;
    if is_meter(language, words, at + joint) {
        return None;
    }
    let (from, count) = number(language, words, at + joint)?;
    let mut next = at + joint + count;
    if from < 2 {
        return None;
    }
    let to = any_phrase(words, next, language.to);
    if to > 0
        && let Some((last, count)) = number(language, words, next + to)
        && last > from
        && any_phrase(words, next + to + count, language.counted) == 0
    {
        next += to + count;
        return Some((measure(from, Some(last), None), next - at));
    }
    let weak = ["and", "then", "of", "by", "around"].contains(&words.get(at)?.said.as_str());
    let small = from < 10 && weak;
    let pause = words
        .get(next - 1)
        .is_some_and(|word| word.pause > Pause::None);
    if small || (!pause && any_phrase(words, next, language.counted) > 0) {
        return None;
    }
    Some((measure(from, None, None), next - at))
}
