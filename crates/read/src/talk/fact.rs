//! Facts as they are said: tempo, meter, grouping, key, pizz. and arco, dynamics.

use super::number::number;
use super::table::Language;
use super::word::{Pause, Word, any_phrase, entry};

/// The kinds of facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FactKind {
    /// "quarter=96", "dotted quarter=66", "same".
    Tempo,
    /// "5/8".
    Meter,
    /// "2+3".
    Grouping,
    /// "D major", "2 sharps".
    Key,
    /// "pizz", "arco".
    Pluck,
    /// "mf", "crescendo".
    Dynamic,
}

impl FactKind {
    /// All kinds.
    pub const ALL: [Self; 6] = [
        Self::Tempo,
        Self::Meter,
        Self::Grouping,
        Self::Key,
        Self::Pluck,
        Self::Dynamic,
    ];

    /// Gives the name: "tempo".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Tempo => "tempo",
            Self::Meter => "meter",
            Self::Grouping => "grouping",
            Self::Key => "key",
            Self::Pluck => "pluck",
            Self::Dynamic => "dynamic",
        }
    }
}

/// A fact, how many words say it, and how sure it is, from 0 to 1.
pub(super) struct Found {
    pub(super) kind: FactKind,
    pub(super) value: String,
    pub(super) words: usize,
    pub(super) confidence: f64,
}

/// Finds the fact that is said at an index.
pub(super) fn fact(language: &Language, words: &[Word], at: usize) -> Option<Found> {
    let sure = |kind| {
        move |(value, words)| Found {
            kind,
            value,
            words,
            confidence: 0.9,
        }
    };
    None.or_else(|| tempo(language, words, at).map(sure(FactKind::Tempo)))
        .or_else(|| grouping(language, words, at).map(sure(FactKind::Grouping)))
        .or_else(|| meter(language, words, at).map(sure(FactKind::Meter)))
        .or_else(|| key(language, words, at).map(sure(FactKind::Key)))
        .or_else(|| {
            entry(words, at, language.plucks)
                .map(|(value, count)| (value.to_owned(), count))
                .map(sure(FactKind::Pluck))
        })
        .or_else(|| dynamic(language, words, at).map(sure(FactKind::Dynamic)))
}

/// "quarter note equals 96", "dotted quarter is about 66", "96 to the quarter", "the same speed".
fn tempo(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let same = any_phrase(words, at, language.same);
    if same > 0 {
        return Some(("same".to_owned(), same));
    }
    let note = |at: usize| {
        let dotted = usize::from(
            words
                .get(at)
                .is_some_and(|word| word.said == language.dotted),
        );
        let (name, count) = entry(words, at + dotted, language.notes)?;
        let unit = if dotted > 0 {
            format!("dotted {name}")
        } else {
            name.to_owned()
        };
        Some((unit, dotted + count))
    };
    if let Some((unit, count)) = note(at) {
        let mut next = at + count;
        next += any_phrase(words, next, language.note);
        let equals = any_phrase(words, next, language.equals);
        if equals > 0 {
            next += equals;
            next += any_phrase(words, next, language.about);
            let (value, count) = number(language, words, next)?;
            // "quarter is three" counts something else; tempi lie between these.
            return (20..=400)
                .contains(&value)
                .then(|| (format!("{unit}={value}"), next + count - at));
        }
        return None;
    }
    let (value, count) = number(language, words, at)?;
    let mut next = at + count;
    let per = any_phrase(words, next, &["beats per minute", "beats a minute", "bpm"]);
    if per > 0 && (20..=400).contains(&value) {
        return Some((format!("quarter={value}"), next + per - at));
    }
    let to = any_phrase(words, next, &["to the", "for the", "for a"]);
    next += to;
    let (unit, count) = note(next).filter(|_| to > 0)?;
    (20..=400)
        .contains(&value)
        .then(|| (format!("{unit}={value}"), next + count - at))
}

/// "two plus three", "3+2+2".
fn grouping(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let (first, count) = number(language, words, at)?;
    let mut groups = vec![first];
    let mut next = at + count;
    loop {
        let plus = any_phrase(words, next, language.plus);
        let Some((value, count)) = number(language, words, next + plus).filter(|_| plus > 0) else {
            break;
        };
        groups.push(value);
        next += plus + count;
    }
    let fits = groups.len() > 1 && groups.iter().all(|group| (1..=6).contains(group));
    fits.then(|| {
        let texts: Vec<String> = groups.iter().map(ToString::to_string).collect();
        (texts.join("+"), next - at)
    })
}

/// Tells whether a meter or a grouping is said at an index, where a number alone would be a place.
pub(super) fn is_meter(language: &Language, words: &[Word], at: usize) -> bool {
    meter(language, words, at).is_some() || grouping(language, words, at).is_some()
}

/// "five eight", "5/8", "four four", "common time", "a bar of three".
fn meter(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    if let Some((name, count)) = entry(words, at, language.meters) {
        return Some((name.to_owned(), count));
    }
    let word = words.get(at)?;
    if let Some((upper, lower)) = word.said.split_once('/') {
        let figures = |text: &str| {
            text.parse::<u32>()
                .ok()
                .filter(|value| (1..=64).contains(value))
        };
        let (upper, lower) = (figures(upper)?, figures(lower)?);
        return lower
            .is_power_of_two()
            .then(|| (format!("{upper}/{lower}"), 1));
    }
    let of = any_phrase(
        words,
        at,
        &[
            "a bar of",
            "a measure of",
            "one bar of",
            "one measure of",
            "single bar of",
            "bar of",
            "measure of",
        ],
    );
    if of > 0 {
        if let Some((meter, count)) = meter(language, words, at + of) {
            return Some((meter, of + count));
        }
        let (upper, count) = number(language, words, at + of)?;
        let free = any_phrase(words, at + of + count, language.counted) == 0;
        return ((2..=7).contains(&upper) && free).then(|| (format!("{upper}/4"), of + count));
    }
    // Two numbers said side by side; the first must not be part of a larger number.
    let (upper, 1) = entry(words, at, language.ones)
        .or_else(|| word.said.parse().ok().map(|value| (value, 1)))?
    else {
        return None;
    };
    let (lower, count) = entry(words, at + 1, language.lower)?;
    let before = at.checked_sub(1).and_then(|before| words.get(before));
    let after = words.get(at + 1 + count);
    // In "one two three four" nothing is a meter.
    let counting = |word: Option<&Word>| {
        word.is_some_and(|word| language.ones.iter().any(|(own, _)| *own == word.said))
    };
    let fits = word.pause == Pause::None
        && (2..=15).contains(&upper)
        && [2, 4, 8, 16].contains(&lower)
        && !(counting(before)
            || counting(after)
                && words
                    .get(at + count)
                    .is_none_or(|own| own.pause == Pause::None))
        && any_phrase(
            words,
            at + 1 + count,
            &["notes", "note", "bars", "measures", "beats", "times"],
        ) == 0;
    fits.then(|| (format!("{upper}/{lower}"), 1 + count))
}

/// "D major", "b flat minor", "two sharps", "no sharps or flats".
fn key(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let none = any_phrase(
        words,
        at,
        &[
            "no sharps or flats",
            "no sharps",
            "no flats",
            "no accidentals",
        ],
    );
    if none > 0 {
        return Some(("0 sharps".to_owned(), none));
    }
    let word = words.get(at)?;
    if word.said.len() == 1 && word.said.bytes().all(|byte| (b'a'..=b'g').contains(&byte)) {
        let accidental = entry(words, at + 1, language.accidentals);
        let skip = accidental.map_or(0, |(_, count)| count);
        if let Some((mode, count)) = entry(words, at + 1 + skip, language.modes) {
            let letter = word.said.to_uppercase();
            let accidental = accidental.map_or(String::new(), |(name, _)| format!(" {name}"));
            return Some((format!("{letter}{accidental} {mode}"), 1 + skip + count));
        }
    }
    let (value, count) = number(language, words, at)?;
    let (signs, more) = entry(words, at + count, language.signs)?;
    // "two flat fingers" is no key.
    (value <= 7 && (value == 1) != signs.ends_with('s'))
        .then(|| (format!("{value} {signs}"), count + more))
}

fn dynamic(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let (value, count) = entry(words, at, language.dynamics)?;
    // "the piano", "piano part": the instrument.
    let article = at
        .checked_sub(1)
        .and_then(|before| words.get(before))
        .is_some_and(|word| ["the", "a", "your"].contains(&word.said.as_str()));
    let instrument =
        article && value == "p" && words.get(at).is_some_and(|word| word.said == "piano");
    (!instrument).then(|| (value.to_owned(), count))
}
