//! Facts as they are said: tempo, meter, grouping, key, pizz. and arco, dynamics.

use super::number::number;
use super::table::Language;
use super::word::{Pause, Word, any_phrase, begins, entry, follows, goes_on, nonzero, one_of};

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
    /// The name given to a stretch: "slow section".
    Section,
    /// "rit.", "accel.", "a tempo".
    Change,
    /// "fermata".
    Fermata,
    /// "on", "off".
    Mute,
}

impl FactKind {
    /// All kinds.
    pub const ALL: [Self; 10] = [
        Self::Tempo,
        Self::Meter,
        Self::Grouping,
        Self::Key,
        Self::Pluck,
        Self::Dynamic,
        Self::Section,
        Self::Change,
        Self::Fermata,
        Self::Mute,
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
            Self::Section => "section",
            Self::Change => "change",
            Self::Fermata => "fermata",
            Self::Mute => "mute",
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

/// Finds the fact that is said at an index; the words before another index are part of
/// something else.
pub(super) fn fact(language: &Language, words: &[Word], at: usize, free: usize) -> Option<Found> {
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
        .or_else(|| meter(language, words, at, free).map(sure(FactKind::Meter)))
        .or_else(|| key(language, words, at).map(sure(FactKind::Key)))
        .or_else(|| {
            entry(words, at, language.plucks)
                .filter(|(_, count)| {
                    // "The pizz starts at bar 30" tells of all of it.
                    let begins = any_phrase(words, at + count, language.begins) > 0;
                    is_ours(language, words, at)
                        && (begins || !follows(words, at, language.one_note))
                })
                .map(|(value, count)| (value.to_owned(), count))
                .map(sure(FactKind::Pluck))
        })
        .or_else(|| dynamic(language, words, at).map(sure(FactKind::Dynamic)))
}

/// The value of a pluck that is one.
pub(super) const PIZZ: &str = "pizz";

/// The value of a tempo that is the one before.
pub(super) const SAME: &str = "same";

/// "quarter note equals 96", "dotted quarter is about 66", "96 to the quarter", "the same speed".
fn tempo(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let same = any_phrase(words, at, language.same);
    if same > 0 {
        // "The old tempo, quarter equals 96": the number says it.
        let numbered = tempo(language, words, at + same).filter(|(value, _)| value != SAME);
        let same_only = (SAME.to_owned(), same);
        return Some(numbered.map_or(same_only, |(value, count)| (value, same + count)));
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
        let stays = any_phrase(words, next, language.stays);
        if stays > 0 {
            return Some((SAME.to_owned(), next + stays - at));
        }
        let equals = any_phrase(words, next, language.equals);
        // "Eighth equals eighth": it keeps its length.
        if let Some((_, count)) = note(next + equals).filter(|own| equals > 0 && own.0 == unit) {
            return Some((SAME.to_owned(), next + equals + count - at));
        }
        // "Dotted quarter 92" leaves out that it equals.
        let bare = number(language, words, next)
            .filter(|(value, count)| {
                let per = any_phrase(words, next + count, language.per_minute) > 0;
                (40..=300).contains(value)
                    && (per || goes_on(words, next + count, language.counted) == 0)
            })
            .is_some();
        if equals > 0 || bare {
            next += equals;
            // "A" may be about, and may begin a number: "a hundred".
            if number(language, words, next).is_none() {
                next += any_phrase(words, next, language.about);
            }
            let (mut value, mut count) = number(language, words, next)?;
            // "Quarter equals 96, sorry, 69."
            let corrects = any_phrase(words, next + count, language.corrects);
            if corrects > 0
                && let Some((other, more)) = number(language, words, next + count + corrects)
            {
                value = other;
                count += corrects + more;
            }
            count += any_phrase(words, next + count, language.per_minute);
            // "quarter is three" counts something else; tempi lie between these.
            return (20..=400)
                .contains(&value)
                .then(|| (format!("{unit}={value}"), next + count - at));
        }
        return None;
    }
    // "The tempo is 96" counts quarters, as metronomes do.
    let named = any_phrase(words, at, language.tempo_named);
    if named > 0 {
        let equals = nonzero(any_phrase(words, at + named, language.equals))?;
        let about = any_phrase(words, at + named + equals, language.about);
        let from = at + named + equals + about;
        let plain = tempo(language, words, from);
        let (value, count) = number(language, words, from)?;
        let free = goes_on(words, from + count, language.counted) == 0
            && goes_on(words, from + count, language.to_the) == 0;
        return ((40..=300).contains(&value) && free && plain.is_none())
            .then(|| (format!("quarter={value}"), from + count - at));
    }
    let (value, count) = number(language, words, at)?;
    let mut next = at + count;
    // "96 crotchets a minute".
    if let Some((unit, count)) = note(next)
        && let minute @ 1.. = {
            let named = any_phrase(words, next + count, language.note);
            named + nonzero(any_phrase(words, next + count + named, language.minute))?
        }
        && (20..=400).contains(&value)
    {
        return Some((format!("{unit}={value}"), next + count + minute - at));
    }
    let per = any_phrase(words, next, language.per_minute);
    if per > 0 && (20..=400).contains(&value) {
        next += per;
        // "60 beats per minute to the half note" counts halves.
        let to = any_phrase(words, next, language.to_the);
        let counted = note(next + to).filter(|_| to > 0);
        let (unit, count) = counted.map_or_else(
            || ("quarter".to_owned(), 0),
            |(unit, count)| (unit, to + count),
        );
        return Some((format!("{unit}={value}"), next + count - at));
    }
    let to = any_phrase(words, next, language.to_the);
    next += to;
    let (unit, count) = note(next).filter(|_| to > 0)?;
    (20..=400)
        .contains(&value)
        .then(|| (format!("{unit}={value}"), next + count - at))
}

/// "two plus three", "3+2+2".
fn grouping(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    plain_grouping(language, words, at).or_else(|| joined_grouping(language, words, at))
}

/// "Two two three", "3, 2, 2": twos and threes by themselves, three or more of them and both.
fn plain_grouping(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let group = |at: usize| number(language, words, at).filter(|own| matches!(own, (2 | 3, 1)));
    let counting = |at: usize| number(language, words, at).is_some();
    let before = at.checked_sub(1);
    // In "one two two" something is counted, and fingers are numbered, too.
    if before.is_some_and(|before| counting(before) && !begins(words, at)) {
        return None;
    }
    let fingers =
        (at.saturating_sub(NEAR_OTHERS)..at).any(|at| one_of(words, at, language.numbered));
    let mut groups = Vec::new();
    while let Some((value, _)) = group(at + groups.len()) {
        groups.push(value.to_string());
        let next = at + groups.len();
        if words.get(next - 1)?.pause == Pause::Stop {
            break;
        }
    }
    let next = at + groups.len();
    let both = groups.iter().any(|own| own == "2") && groups.iter().any(|own| own == "3");
    let ends = begins(words, next) || !counting(next);
    let counted = goes_on(words, next, language.counted) > 0;
    ((3..=5).contains(&groups.len()) && both && ends && !counted && !fingers)
        .then(|| (groups.join("+"), groups.len()))
}

fn joined_grouping(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let (first, count) = number(language, words, at)?;
    let mut groups = vec![first];
    let mut next = at + count;
    let counted = follows(words, at, language.count_as);
    loop {
        let and = usize::from(counted && one_of(words, next, &[language.and]));
        let plus = any_phrase(words, next, language.plus).max(and);
        let Some((value, count)) = number(language, words, next + plus).filter(|_| plus > 0) else {
            break;
        };
        groups.push(value);
        next += plus + count;
    }
    // "Two and three" can only be groups, "five and six" only be bars.
    let joined = any_phrase(words, at + count, language.plus) == 0;
    let most = if joined { 4 } else { 6 };
    let fits = groups.len() > 1 && groups.iter().all(|group| (1..=most).contains(group));
    fits.then(|| {
        let texts: Vec<String> = groups.iter().map(ToString::to_string).collect();
        (texts.join("+"), next - at)
    })
}

/// Tells whether a meter or a grouping is said at an index, where a number alone would be a place.
pub(super) fn is_meter(language: &Language, words: &[Word], at: usize) -> bool {
    meter(language, words, at, at).is_some() || grouping(language, words, at).is_some()
}

/// "five eight", "5/8", "four four", "common time", "a bar of three".
fn meter(language: &Language, words: &[Word], at: usize, free: usize) -> Option<(String, usize)> {
    if let Some((name, count)) = entry(words, at, language.meters) {
        return Some((name.to_owned(), count));
    }
    let word = words.get(at)?;
    if let Some((upper, lower)) = word.said.split_once('/') {
        // "We begin with the 5/4" names it.
        if follows(words, at, language.definite) {
            return None;
        }
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
    if let Some(beaten) = beaten(language, words, at) {
        return Some(beaten);
    }
    let of = any_phrase(words, at, language.bar_of);
    if of > 0 {
        if let Some((meter, count)) = meter(language, words, at + of, at + of) {
            return Some((meter, of + count));
        }
        let (upper, count) = number(language, words, at + of)?;
        let free = goes_on(words, at + of + count, language.counted) == 0;
        return ((2..=7).contains(&upper) && free).then(|| (upper.to_string(), of + count));
    }
    // Two numbers said side by side; the first must not be part of a larger number.
    let (upper, 1) = entry(words, at, language.ones)
        .or_else(|| word.said.parse().ok().map(|value| (value, 1)))?
    else {
        return None;
    };
    let (lower, count) = entry(words, at + 1, language.lower)?;
    let before = at
        .checked_sub(1)
        .filter(|before| *before >= free)
        .and_then(|before| words.get(before));
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
                && words.get(at + count).is_none_or(|own| {
                    own.pause == Pause::None
                        && after.is_none_or(|after| after.caption == own.caption)
                }))
        && any_phrase(words, at + 1 + count, language.counted_by_two) == 0
        // "Do the five eight part": it is named, not told.
        && !(follows(words, at, language.definite)
            && any_phrase(words, at + 1 + count, language.plain_sections) > 0);
    fits.then(|| (format!("{upper}/{lower}"), 1 + count))
}

/// "we're back in two", "one in a bar": how many beats there are, of what is not said.
fn beaten(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let beats =
        |at: usize| number(language, words, at).filter(|(beats, _)| (1..=7).contains(beats));
    if let Some((value, count)) = beats(at) {
        let in_a_bar = any_phrase(words, at + count, language.in_a_bar);
        return (in_a_bar > 0).then(|| (value.to_string(), count + in_a_bar));
    }
    let lead = nonzero(any_phrase(words, at, language.beaten_in))?;
    let (value, count) = beats(at + lead)?;
    let next = at + lead + count;
    let in_a_bar = any_phrase(words, next, language.in_a_bar);
    // "Back in two bars" is a while; "still in three four" has a note value.
    let alone = entry(words, next, language.lower).is_none()
        && goes_on(words, next, language.counted) == 0
        && entry(words, next, language.notes).is_none();
    (in_a_bar > 0 || alone).then(|| (value.to_string(), lead + count + in_a_bar))
}

/// How a key without signs is said.
pub(super) const NO_SIGNS: &str = "no sharps or flats";

/// "D major", "b flat minor", "two sharps", "no sharps or flats".
fn key(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let none = any_phrase(words, at, language.no_signs);
    // "No flats anymore. We've got one sharp": the other kind is told next.
    let told = (at + none..at + none + NEAR_OTHERS).any(|own| {
        number(language, words, own)
            .is_some_and(|(_, count)| entry(words, own + count, language.signs).is_some())
    });
    if none > 0 && told {
        return None;
    }
    if none > 0 {
        return Some((NO_SIGNS.to_owned(), none));
    }
    let word = words.get(at)?;
    if word.said.len() == 1 && word.said.bytes().all(|byte| (b'a'..=b'g').contains(&byte)) {
        let accidental = entry(words, at + 1, language.accidentals);
        let skip = accidental.map_or(0, |(_, count)| count);
        // "a major thing" is no key.
        let alone = word.said != language.a
            || skip > 0
            || follows(words, at, language.key_before)
            || any_phrase(words, at + 2, language.key_after) > 0
            // "And A major. Three sharps."
            || words.get(at + 1).is_some_and(|mode| mode.pause > Pause::None);
        if let Some((mode, count)) = entry(words, at + 1 + skip, language.modes).filter(|_| alone) {
            let letter = word.said.to_uppercase();
            let accidental = accidental.map_or(String::new(), |(name, _)| format!(" {name}"));
            return Some((format!("{letter}{accidental} {mode}"), 1 + skip + count));
        }
        if let Some((sign, count)) = accidental.filter(|_| follows(words, at, language.key_named)) {
            let letter = word.said.to_uppercase();
            return Some((format!("{letter} {sign} {}", language.major), 1 + count));
        }
    }
    let (value, count) = number(language, words, at)?;
    let (signs, more) = entry(words, at + count, language.signs)?;
    // "two flat fingers" is no key.
    (value <= 7 && (value == 1) != signs.ends_with('s'))
        .then(|| (format!("{value} {signs}"), count + more))
}

fn dynamic(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    // "It's marked p".
    let sign =
        entry(words, at, language.dynamic_signs).filter(|_| follows(words, at, language.marked));
    let (value, count) = entry(words, at, language.dynamics).or(sign)?;
    // "the piano" is the instrument, and "the forte" one that was told of before.
    let swells = language.swells.contains(&value);
    let article = !begins(words, at)
        && at
            .checked_sub(1)
            .is_some_and(|before| one_of(words, before, language.definite));
    if follows(words, at, language.within) {
        return None;
    }
    let instrument = one_of(words, at, language.instruments)
        && !begins(words, at)
        && at
            .checked_sub(1)
            .is_some_and(|before| one_of(words, before, language.articles));
    (!instrument && (swells || !article) && is_ours(language, words, at))
        .then(|| (value.to_owned(), count))
}

/// Tells whether what is said at an index is for the player spoken to: in "the cellos have the
/// forte" it is not.
pub(super) fn is_ours(language: &Language, words: &[Word], at: usize) -> bool {
    // "The bass pizzicato".
    if follows(words, at, language.others) {
        return false;
    }
    for before in (0..at).rev().take(NEAR_OTHERS) {
        if words
            .get(before)
            .is_none_or(|word| word.pause > Pause::None)
            || one_of(words, before, language.ours)
        {
            return true;
        }
        if one_of(words, before, language.others) && one_of(words, before + 1, language.theirs) {
            return false;
        }
    }
    true
}

/// How many words before it name the players who play something.
const NEAR_OTHERS: usize = 6;
