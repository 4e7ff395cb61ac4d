//! Places whose word is left out: "at 45", "B. Forte.", "number five" in a talk of numbers.

use super::fact::{self, is_meter};
use super::number::{number, ordinal};
use super::place::{Point, Said, letter, measure, single, until, with_beat};
use super::table::Language;
use super::word::{Pause, Word, any_phrase, begins, goes_on, nonzero, one_of};

/// What a bare number after "at" can be.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Bare {
    /// Nothing yet: no place was named before.
    No,
    /// A measure, since one was named last.
    Measure,
    /// A rehearsal mark, since one with a number was named last.
    Mark,
}

impl Bare {
    /// Gives what a bare number is after a place was named.
    pub(super) fn after(self, place: &Said) -> Self {
        match &place.from {
            Point::Measure { .. } => Self::Measure,
            Point::Mark { mark, .. } if mark.bytes().all(|own| own.is_ascii_digit()) => Self::Mark,
            _ if self == Self::No => Self::Measure,
            _ => self,
        }
    }
}

/// "At seven, whole bows", "Seven is soft", "from seven to eight": the number of a rehearsal mark
/// by itself.
pub(super) fn bare_mark(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let joint = any_phrase(words, at, language.at_mark);
    let (value, count) = number(language, words, at + joint)?;
    let next = at + joint + count;
    let from = Point::Mark {
        mark: value.to_string(),
        measures: 0,
    };
    let (to, more) = until(language, words, next, &from).unzip();
    let next = next + more.unwrap_or(0);
    let divided = words.get(next - 1)?.pause > Pause::None;
    let free = (1..=MOST_MARKS).contains(&value)
        && !is_meter(language, words, at + joint)
        && goes_on(words, next, language.counted) == 0;
    let first = before_leads(language, words, at);
    let told = divided || one_of(words, next, language.advising.finite);
    let opens = joint > 0 && (divided || opens_clause(language, words, next))
        || begins(words, first) && told;
    (free && opens).then_some((Said { from, to }, next - at))
}

/// Gives where the words begin that only lead to an index: "okay so 89".
pub(super) fn before_leads(language: &Language, words: &[Word], at: usize) -> usize {
    let caption = |at: usize| words.get(at).map(|word| word.caption);
    let mut first = at;
    while first > 0
        && !begins(words, first)
        && caption(first - 1) == caption(first)
        && (one_of(words, first - 1, language.advising.leads)
            || one_of(words, first - 1, language.turns))
    {
        first -= 1;
    }
    first
}

/// A talk that says "number five" of so many numbers speaks of rehearsal marks, not of houses.
const LEAST_MARKS: usize = 3;

/// Takes "number five" for a rehearsal mark where the talk says it again and again.
pub(super) fn with_numbered_marks(language: &Language, mut words: Vec<Word>) -> Vec<Word> {
    let named: Vec<(usize, u32)> = (0..words.len())
        .filter(|at| {
            let bar = at.checked_sub(1).is_some_and(|before| {
                // "The number nine bus" is none either.
                one_of(&words, before, language.measure)
                    || one_of(&words, before, language.mark)
                    || one_of(&words, before, language.articles)
            });
            one_of(&words, *at, language.mark_of_number) && !bar
        })
        .filter_map(|at| Some((at, number(language, &words, at + 1)?.0)))
        .filter(|(_, value)| (1..=MOST_MARKS).contains(value))
        .collect();
    let mut values: Vec<u32> = named.iter().map(|(_, value)| *value).collect();
    values.sort_unstable();
    values.dedup();
    if values.len() < LEAST_MARKS {
        return words;
    }
    for (at, _) in named {
        if let Some(word) = words.get_mut(at) {
            word.said = language.numbered_mark.to_owned();
        }
    }
    // "Three bars before eight" is before the mark, too.
    let mut at = 0;
    while at < words.len() {
        let joint = [language.before, language.after, language.of]
            .iter()
            .any(|list| one_of(&words, at, list));
        let bars = at.checked_sub(1).is_some_and(|before| {
            one_of(&words, before, language.measure)
                || !one_of(&words, at, language.of) && number(language, &words, before).is_some()
        });
        let marked = number(language, &words, at + 1).is_some_and(|(value, count)| {
            (1..=MOST_MARKS).contains(&value)
                && goes_on(&words, at + 1 + count, language.counted) == 0
                && !is_meter(language, &words, at + 1)
        });
        let pickup = one_of(&words, at, language.into)
            && at
                .checked_sub(1)
                .is_some_and(|before| one_of(&words, before, language.pickup));
        let between = one_of(&words, at, language.between);
        let leads = joint && bars || pickup || between;
        if let Some(word) = words.get(at).filter(|_| leads && marked) {
            let mut mark = word.clone();
            mark.said = language.numbered_mark.to_owned();
            mark.shown = String::new();
            words.insert(at + 1, mark);
        }
        at += 1;
    }
    words
}

/// The highest number of a rehearsal mark.
///
/// # Source
/// Our decision: scores have some tens of them.
pub(super) const MOST_MARKS: u32 = 199;

/// "B. Forte.", "At B, whole bows", "and at E we get the tune": a letter by itself, which is no
/// word of the language.
pub(super) fn bare_letter(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let corrects = any_phrase(words, at, language.corrects);
    let joint = any_phrase(words, at, language.at).max(corrects);
    let own = at + joint;
    let mark = letter(words, own)?;
    // "Letter D, sorry, E."
    let alone = words.get(own)?.pause > Pause::None && (begins(words, at) || corrects > 0);
    // "Slide from B to G" names notes.
    let notes = any_phrase(words, own + 1, language.to) > 0 && !begins(words, at);
    let clause = any_phrase(words, at, language.at_mark) == joint
        && joint > 0
        && !notes
        && (words.get(own)?.pause > Pause::None || opens_clause(language, words, own + 1));
    let word =
        one_of(words, own, language.articles) || one_of(words, own, language.advising.subjects);
    if !(alone || clause) || word {
        return None;
    }
    let from = Point::Mark { mark, measures: 0 };
    let (to, more) = until(language, words, own + 1, &from).unzip();
    Some((Said { from, to }, joint + 1 + more.unwrap_or(0)))
}

/// A bare number above this is a year or the like.
///
/// # Source
/// Our decision: the longest orchestra movements have some 1,500 measures, and a talk names
/// those beyond a thousand with their word.
pub(super) const MOST_BARE: u32 = 1_000;

/// Tells whether what stands at an index can be the rest of a clause that began with a place.
fn opens_clause(language: &Language, words: &[Word], at: usize) -> bool {
    let advising = &language.advising;
    let caption = |at: usize| words.get(at).map(|word| word.caption);
    at >= words.len()
        || caption(at) != at.checked_sub(1).and_then(caption)
        || [
            advising.subjects,
            advising.finite,
            advising.joins,
            advising.conditions,
            advising.leads,
            advising.orders,
            advising.duties,
            language.articles,
            language.turns,
            language.on,
            language.to,
            language.others,
            language.again,
        ]
        .iter()
        .any(|list| any_phrase(words, at, list) > 0)
        || fact::fact(language, words, at, at).is_some()
}

/// A bare number below this is more often a number of something else.
pub(super) const SMALL: u32 = 10;

/// "at 45", "in 32", "45 to 48", "Forty-five.": once measures were named, and when nothing is
/// counted by the number.
pub(super) fn bare_number(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    if let Some(found) = bare_letter(language, words, at) {
        return Some(found);
    }
    let corrects = any_phrase(words, at, language.corrects);
    // "Arco for 150, with no rest", "jump ahead with me to 19.": only where a pause follows.
    let moved = (at.saturating_sub(MOVE_WORDS)..at)
        .rev()
        .take_while(|own| {
            words
                .get(*own)
                .is_some_and(|word| word.pause == Pause::None)
        })
        .any(|own| any_phrase(words, own, language.moves) > 0);
    let paused = any_phrase(words, at, language.at_before_pause).max(if moved {
        any_phrase(words, at, language.moved_to)
    } else {
        0
    });
    let joint = any_phrase(words, at, language.at).max(corrects).max(paused);
    if is_meter(language, words, at + joint) {
        return None;
    }
    let (value, count) = number(language, words, at + joint)?;
    let from = measure(value, None);
    if is_practised_at(language, words, at) {
        return None;
    }
    let next = at + joint + count;
    // A year, and the beats of "in two", are no measures.
    if value > MOST_BARE {
        return None;
    }
    let and = one_of(words, at, &[language.and]);
    if and && joint > 0 && !begins(words, at) {
        return None;
    }
    if let Some((to, more)) = until(language, words, next, &from)
        && goes_on(words, next + more, language.counted) == 0
        && (value >= SMALL || joint > 0)
    {
        return Some((Said { from, to: Some(to) }, next + more - at));
    }
    if value < SMALL && (corrects == 0 || value < 2) {
        return None;
    }
    let divided = words
        .get(next - 1)
        .is_some_and(|word| word.pause > Pause::None || begins(words, next));
    // "At 42 Elm Street" goes on with a name, "at 42 we" with a clause.
    let clause = paused < joint && opens_clause(language, words, next);
    if joint > 0 && corrects == 0 && !divided && !clause {
        return None;
    }
    // A number by itself stands where a sentence begins, "Fifty-three. It is a bar of two", or
    // where a caption does, "fifty-three you have the tune".
    let caption = |at: usize| words.get(at).map(|word| word.caption);
    let first = before_leads(language, words, at);
    let opens = begins(words, first)
        || first
            .checked_sub(1)
            .is_some_and(|own| caption(own) != caption(first));
    let free = goes_on(words, next, language.counted) == 0;
    let comma = |at: usize| words.get(at).is_some_and(|word| word.pause == Pause::Comma);
    // "The very next one, 37, is in two four".
    let opens = opens
        || at.checked_sub(1).is_some_and(comma)
            && comma(next - 1)
            && one_of(words, next, language.advising.finite);
    let divided = divided
        || free
            && joint == 0
            && (one_of(words, next, language.advising.subjects)
                || one_of(words, next, language.advising.finite)
                || begins(words, at) && one_of(words, next, language.definite));
    if joint == 0 && !(divided && opens) {
        return None;
    }
    let small = value < SMALL && corrects == 0 && !begins(words, at);
    if small || !divided && goes_on(words, next, language.counted) > 0 {
        return None;
    }
    let (from, next) = with_beat(language, words, value, next);
    Some((single(from), next - at))
}

/// Tells whether numbers at an index are speeds to practise at: "take it at 60, then at 70".
fn is_practised_at(language: &Language, words: &[Word], at: usize) -> bool {
    let from = (0..at)
        .rev()
        .take(PRACTICE_WORDS)
        .take_while(|own| !begins(words, own + 1))
        .last()
        .unwrap_or(at);
    let practised = (from..at).any(|own| any_phrase(words, own, language.practising) > 0);
    practised && any_phrase(words, at, language.from) == 0
}

/// How many words may lie between practising and its speed.
const PRACTICE_WORDS: usize = 12;

/// How many words may lie between going on and where to.
const MOVE_WORDS: usize = 4;

/// "Four bars later", "the next bar", "the third bar" after a mark: a place told from the one
/// before it, and how many words tell it.
pub(super) fn onward(
    language: &Language,
    words: &[Word],
    at: usize,
    last: &Said,
) -> Option<(Said, usize)> {
    let bars = |at: usize| nonzero(any_phrase(words, at, language.measure));
    // "For the next four bars", "in the next bar or two" is a while.
    let free = |next: usize| goes_on(words, next, language.whiles) == 0;
    let on = || {
        let (amount, count) = number(language, words, at)?;
        let next = at + count + bars(at + count)?;
        let later = nonzero(any_phrase(words, next, language.later))?;
        Some((i64::from(amount), next + later))
    };
    let next = || {
        let next = at + nonzero(any_phrase(words, at, language.next))?;
        Some((1, next + bars(next)?))
    };
    let after = || {
        one_of(words, at, language.articles).then_some(())?;
        let next = at + 1 + bars(at + 1)?;
        Some((
            1,
            next + nonzero(any_phrase(words, next, language.after_that))?,
        ))
    };
    let nth = || {
        one_of(words, at, language.definite).then_some(())?;
        let (amount, count) = ordinal(language, words, at + 1)?;
        let amount = i64::from(amount);
        let next = at + 1 + count;
        let next = next + bars(next)?;
        let told = any_phrase(words, next, language.of) == 0
            && any_phrase(words, next, language.before) == 0
            && any_phrase(words, next, language.after) == 0;
        let marked = matches!(last.from, Point::Mark { .. });
        // "In the first bar" is any of them.
        (told && marked && amount > 1).then_some((amount - 1, next))
    };
    let counted_from_mark = nth();
    let (amount, end) = on().or_else(next).or_else(after).or(counted_from_mark)?;
    if !free(end) {
        return None;
    }
    let from = last.to.as_ref().filter(|_| counted_from_mark.is_none());
    let from = match from.unwrap_or(&last.from) {
        Point::Measure { number, .. } => {
            measure(u32::try_from(i64::from(*number) + amount).ok()?, None)
        }
        Point::Mark { mark, measures } => {
            let before = if counted_from_mark.is_some() {
                0
            } else {
                *measures
            };
            Point::Mark {
                mark: mark.clone(),
                measures: i32::try_from(i64::from(before) + amount).ok()?,
            }
        }
        _ => return None,
    };
    Some((single(from), end - at))
}
