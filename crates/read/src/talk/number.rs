//! Numbers, in digits and in words.

use super::table::Language;
use super::word::{Word, entry};

/// Reads a number from 0 to 9999 at an index; gives it and how many words it takes.
pub(super) fn number(language: &Language, words: &[Word], at: usize) -> Option<(u32, usize)> {
    let first = words.get(at)?;
    if first.said.bytes().all(|byte| byte.is_ascii_digit()) {
        let value = first.said.parse().ok().filter(|value| *value <= 9_999)?;
        return Some((value, 1));
    }
    let hundred = |at: usize| {
        words
            .get(at)
            .is_some_and(|word| word.said == language.hundred)
    };
    // "a hundred and twelve", "two hundred".
    let (hundreds, mut next) = if first.said == language.a && hundred(at + 1) {
        (Some(1), at + 2)
    } else {
        match entry(words, at, language.ones) {
            // "Twelve hundred", too.
            Some((value, 1)) if (1..=19).contains(&value) && hundred(at + 1) => {
                (Some(value), at + 2)
            }
            _ => (None, at),
        }
    };
    if let Some(hundreds) = hundreds {
        let and = words
            .get(next)
            .is_some_and(|word| word.said == language.and);
        let rest = below_hundred(language, words, next + usize::from(and));
        if let Some((value, count)) = rest {
            next += count + usize::from(and);
            return Some((hundreds * 100 + value, next - at));
        }
        return Some((hundreds * 100, next - at));
    }
    let (value, count) = below_hundred(language, words, at)?;
    // "one twelve", "one oh five", "two forty-one" are hundreds when said without a pause.
    if (1..=9).contains(&value) && count == 1 && first.pause == super::word::Pause::None {
        let zero = words
            .get(at + 1)
            .is_some_and(|word| word.said == language.oh);
        let rest = below_hundred(language, words, at + 1 + usize::from(zero));
        if let Some((rest, more)) = rest
            && (rest >= 10 || zero)
            && words
                .get(at + 1)
                .is_some_and(|word| !word.said.starts_with(|c: char| c.is_ascii_digit()))
        {
            return Some((value * 100 + rest, 1 + usize::from(zero) + more));
        }
    }
    Some((value, count))
}

fn below_hundred(language: &Language, words: &[Word], at: usize) -> Option<(u32, usize)> {
    if let Some((tens, count)) = entry(words, at, language.tens) {
        let one = entry(words, at + count, language.ones).filter(|(one, _)| (1..=9).contains(one));
        let pause = words.get(at)?.pause;
        return Some(match one {
            Some((one, more)) if pause == super::word::Pause::None => (tens + one, count + more),
            _ => (tens, count),
        });
    }
    entry(words, at, language.ones)
        .filter(|_| words.get(at).is_some_and(|word| word.said != language.oh))
}

/// Reads an ordinal number at an index, "second", "thirty-second" or "32nd"; gives it and how many
/// words it takes.
pub(super) fn ordinal(language: &Language, words: &[Word], at: usize) -> Option<(u32, usize)> {
    if let Some(found) = entry(words, at, language.ordinals) {
        return Some(found);
    }
    if let Some((tens, count)) = entry(words, at, language.tens) {
        let (one, more) = entry(words, at + count, language.ordinals)?;
        return (one < 10).then_some((tens + one, count + more));
    }
    let said = &words.get(at)?.said;
    let figures = language
        .ordinal_ends
        .iter()
        .find_map(|end| said.strip_suffix(end))?;
    let value = figures.parse().ok().filter(|value| *value <= 9_999)?;
    Some((value, 1))
}
