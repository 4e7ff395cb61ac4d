//! Places as they are said: "bar thirty-two", "the second beat of 45", "two bars before C".

use super::fact::is_meter;
use super::number::{number, ordinal};
use super::table::Language;
use super::word::{Pause, Word, any_phrase, begins, goes_on, nonzero, one_of};

/// A place or a stretch as it was said; what it stands for in a road map is found later.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// The place, or the first of a stretch.
    pub from: Point,
    /// The last of a stretch, itself within it.
    pub to: Option<Point>,
}

/// One place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Point {
    /// A measure by its printed number.
    Measure {
        /// The number.
        number: u32,
        /// The beat in it, from 1.
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
    /// The pickup to another place; without one that of the piece.
    Pickup(Option<Box<Self>>),
}

/// A place with how many words say it, and how sure it is that it is one, from 0 to 1.
pub(super) struct Found {
    pub(super) place: Said,
    pub(super) words: usize,
    pub(super) confidence: f64,
}

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

/// "At seven, whole bows", "Seven. Forte.": the number of a rehearsal mark by itself.
fn bare_mark(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let joint = any_phrase(words, at, language.at_mark);
    let (value, count) = number(language, words, at + joint)?;
    let next = at + joint + count;
    let divided = words.get(next - 1)?.pause > Pause::None;
    let free = (1..=MOST_MARKS).contains(&value)
        && !is_meter(language, words, at + joint)
        && goes_on(words, next, language.counted) == 0;
    let opens = joint > 0 && (divided || opens_clause(language, words, next))
        || begins(words, at) && divided;
    let mark = value.to_string();
    (free && opens).then_some((single(Point::Mark { mark, measures: 0 }), joint + count))
}

/// The highest number of a rehearsal mark.
///
/// # Source
/// Our decision: scores have some tens of them.
const MOST_MARKS: u32 = 199;

/// "B. Forte.", "At B, whole bows", "and at E we get the tune": a letter by itself, which is no
/// word of the language.
fn bare_letter(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let joint = any_phrase(words, at, language.at);
    let own = at + joint;
    let mark = letter(words, own)?;
    let alone = words.get(own)?.pause > Pause::None && begins(words, at);
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
const MOST_BARE: u32 = 1_000;

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
        || super::fact::fact(language, words, at, at).is_some()
}

/// A bare number below this is more often a number of something else.
const SMALL: u32 = 10;

/// Finds the place that is said at an index.
pub(super) fn place(language: &Language, words: &[Word], at: usize, bare: Bare) -> Option<Found> {
    between(language, words, at)
        .or_else(|| stretch(language, words, at))
        .map(|(place, words)| Found {
            place,
            words,
            confidence: 0.95,
        })
        .or_else(|| {
            let (place, words) = match bare {
                Bare::No => None,
                Bare::Measure => bare_number(language, words, at),
                Bare::Mark => {
                    bare_letter(language, words, at).or_else(|| bare_mark(language, words, at))
                }
            }?;
            Some(Found {
                place,
                words,
                confidence: 0.7,
            })
        })
}

const fn measure(number: u32, beat: Option<u32>) -> Point {
    Point::Measure { number, beat }
}

const fn single(from: Point) -> Said {
    Said { from, to: None }
}

/// One place, and how many words say it.
fn point(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    pickup(language, words, at)
        .or_else(|| beat_of(language, words, at))
        .or_else(|| measure_of(language, words, at))
        .or_else(|| relative(language, words, at))
        .or_else(|| measures(language, words, at))
        .or_else(|| mark(language, words, at))
        .or_else(|| ends(language, words, at))
        .or_else(|| part_of(language, words, at))
}

/// A place, perhaps with the end of a stretch: "measures 5 to 8", "from letter F to the end".
fn stretch(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let from_the = any_phrase(words, at, language.from_the);
    if from_the > 0
        && let Some((from, count)) = pickup_of_piece(language, words, at + from_the)
    {
        let count = from_the + count;
        let (to, more) = until(language, words, at + count, &from).unzip();
        return Some((Said { from, to }, count + more.unwrap_or(0)));
    }
    let (from, count) = point(language, words, at)?;
    if let Some((to, more)) = until(language, words, at + count, &from) {
        return Some((Said { from, to: Some(to) }, count + more));
    }
    let plural = one_of(words, at, language.measures);
    let and = any_phrase(words, at + count, &[language.and]);
    if plural
        && and > 0
        && let Point::Measure { number, .. } = from
        && let Some((to, more)) = last(language, words, at + count + and, &from)
        && to == measure(number + 1, None)
    {
        return Some((Said { from, to: Some(to) }, count + and + more));
    }
    Some((single(from), count))
}

/// "between letter C and letter D".
fn between(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
    let mut next = at + nonzero(any_phrase(words, at, language.between))?;
    let bare = || {
        let (value, count) = number(language, words, next)?;
        let free = (SMALL..=MOST_BARE).contains(&value);
        (free && any_phrase(words, next + count, &[language.and]) > 0)
            .then_some((measure(value, None), count))
    };
    let (from, count) = point(language, words, next).or_else(bare)?;
    next += count;
    next += nonzero(any_phrase(words, next, &[language.and]))?;
    let (to, count) = last(language, words, next, &from)?;
    Some((Said { from, to: Some(to) }, next + count - at))
}

/// "to 8", "through measure 16", "to the end": the end of a stretch.
fn until(language: &Language, words: &[Word], at: usize, from: &Point) -> Option<(Point, usize)> {
    if begins(words, at) {
        return None;
    }
    let joint = nonzero(any_phrase(words, at, language.to))?;
    let (to, count) = last(language, words, at + joint, from)?;
    Some((to, joint + count))
}

/// The last place of a stretch; it can leave out what the first one was called.
fn last(language: &Language, words: &[Word], at: usize, from: &Point) -> Option<(Point, usize)> {
    let end = any_phrase(words, at, language.the_end);
    if end > 0 {
        return Some((Point::End { before: 0 }, end));
    }
    let found = point(language, words, at).or_else(|| match from {
        Point::Measure { .. } if !is_meter(language, words, at) => {
            let (value, count) = number(language, words, at)?;
            (goes_on(words, at + count, language.counted) == 0)
                .then_some((measure(value, None), count))
        }
        Point::Mark { mark, .. } => {
            let (mark, count) = letter(words, at).map(|mark| (mark, 1)).or_else(|| {
                let numbered = mark.bytes().all(|own| own.is_ascii_digit());
                figure(language, words, at).filter(|_| numbered)
            })?;
            Some((Point::Mark { mark, measures: 0 }, count))
        }
        _ => None,
    })?;
    match (from, &found.0) {
        (Point::Measure { number: from, .. }, Point::Measure { number: to, .. }) if to <= from => {
            None
        }
        _ => Some(found),
    }
}

/// "the pickup to letter C", "upbeat into 45", "the pickup".
fn pickup(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let mut next = at + nonzero(any_phrase(words, at, language.pickup))?;
    let joint = any_phrase(words, next, language.into);
    if joint == 0 {
        return pickup_of_piece(language, words, at);
    }
    next += joint;
    // "to the end" is the last measure here.
    let end = any_phrase(words, next, language.the_end);
    let (target, count) = if end > 0 {
        (Point::End { before: 0 }, end)
    } else {
        relative(language, words, next)
            .or_else(|| measures(language, words, next))
            .or_else(|| mark(language, words, next))
            .or_else(|| ends(language, words, next))
            .or_else(|| {
                // "Pickup to F."
                let mark =
                    letter(words, next).filter(|_| !one_of(words, next, language.articles))?;
                Some((Point::Mark { mark, measures: 0 }, 1))
            })
            .or_else(|| {
                let (value, count) = number(language, words, next)?;
                Some((measure(value, None), count))
            })?
    };
    Some((Point::Pickup(Some(Box::new(target))), next + count - at))
}

/// "the pickup" alone; to pick up is no place.
fn pickup_of_piece(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let count = nonzero(any_phrase(words, at, language.pickup))?;
    let article = at
        .checked_sub(1)
        .is_some_and(|before| one_of(words, before, language.articles));
    article.then_some((Point::Pickup(None), count))
}

/// "the second beat of 45", "beat two of measure 45", "beats 2 and 3 of 12".
fn beat_of(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let mut next = at;
    let beat = if let Some(beat) = ordinal(language, words, at) {
        next += 1;
        next += nonzero(any_phrase(words, next, language.beat))?;
        beat
    } else {
        next += nonzero(any_phrase(words, next, language.beat))?;
        let (beat, count) = number(language, words, next)?;
        next += count;
        let joint =
            any_phrase(words, next, &[language.and]).max(any_phrase(words, next, language.to));
        if joint > 0
            && let Some((_, count)) = number(language, words, next + joint)
        {
            next += joint + count;
        }
        beat
    };
    next += nonzero(any_phrase(words, next, language.of))?;
    let named = any_phrase(words, next, language.measure);
    let (value, count) = number(language, words, next + named)?;
    // "the first beat of two" is no measure; a number of more than one figure is.
    if named == 0 && value < SMALL && goes_on(words, next + count, language.counted) > 0 {
        return None;
    }
    (beat <= 16).then_some((measure(value, Some(beat)), next + named + count - at))
}

/// "the third bar of letter B": the first is the bar of the mark itself; "the second bar after B".
fn measure_of(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let amount = i32::try_from(ordinal(language, words, at)?).ok()?;
    let mut next = at + 1;
    next += nonzero(any_phrase(words, next, language.measure))?;
    let (of, before, after) = (
        any_phrase(words, next, language.of),
        any_phrase(words, next, language.before),
        any_phrase(words, next, language.after),
    );
    let measures = match (of, before, after) {
        (1.., _, _) => amount - 1,
        (_, 1.., _) => -amount,
        _ => amount,
    };
    next += nonzero(of.max(before).max(after))?;
    let (mark, count) = named_mark(language, words, next)?;
    Some((Point::Mark { mark, measures }, next + count - at))
}

/// "two bars before letter C", "a measure after 45", "three bars before the end".
fn relative(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let (amount, mut next) = match number(language, words, at) {
        Some((amount, count)) => (amount, at + count),
        // "Bar before C, it is loud."
        None if begins(words, at) && any_phrase(words, at, language.measure) > 0 => (1, at),
        // "The last bar before B" is the one before it.
        None if one_of(words, at, language.articles) => {
            (1, at + 1 + any_phrase(words, at + 1, language.nearest))
        }
        None => return None,
    };
    // "Two before B" leaves out of what.
    let bars = any_phrase(words, next, language.measure);
    next += bars;
    let before = any_phrase(words, next, language.before);
    let after = any_phrase(words, next, language.after);
    next += nonzero(before.max(after))?;
    let mark = any_phrase(words, next, language.mark);
    if bars == 0 && mark == 0 && letter(words, next).is_none() {
        return None;
    }
    let amount = i32::try_from(amount).ok().filter(|amount| *amount <= 99)?;
    let amount = if before > 0 { -amount } else { amount };
    let end = any_phrase(words, next, language.the_end);
    if end > 0 && before > 0 {
        // The measure one before the end is the last but one.
        let before = amount.unsigned_abs();
        return Some((Point::End { before }, next + end - at));
    }
    if let Some((mark, count)) = named_mark(language, words, next) {
        let measures = amount;
        return Some((Point::Mark { mark, measures }, next + count - at));
    }
    // "Two bars before 188".
    let bare = |at: usize| {
        let (value, count) = number(language, words, at)?;
        let free = value >= SMALL && goes_on(words, at + count, language.counted) == 0;
        free.then_some((measure(value, None), count))
    };
    let named = measures(language, words, next).or_else(|| bare(next));
    let (Point::Measure { number, .. }, count) = named? else {
        return None;
    };
    let value = i32::try_from(number).ok()?.checked_add(amount)?;
    Some((measure(u32::try_from(value).ok()?, None), next + count - at))
}

/// "measure 32", "bar number 5", "measure 45 beat 2", "bar 45 on the second beat".
fn measures(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let mut next = at + nonzero(any_phrase(words, at, language.measure))?;
    next += any_phrase(words, next, language.number);
    // In "every bar. 207 is" and "a seven eight bar, two plus two plus three" it is not the bar's.
    let pause = next
        .checked_sub(1)
        .and_then(|before| words.get(before))
        .is_some_and(|before| before.pause > Pause::None);
    if pause || is_meter(language, words, next) {
        return None;
    }
    let (value, count) = number(language, words, next)?;
    next += count;
    if begins(words, next) {
        return Some((measure(value, None), next - at));
    }
    // "Bar three of figure twelve": the first is the bar of the mark itself.
    let of = any_phrase(words, next, language.of);
    if of > 0
        && any_phrase(words, next + of, language.mark) > 0
        && let Some((mark, count)) = named_mark(language, words, next + of)
        && let Ok(amount) = i32::try_from(value)
    {
        let measures = amount - 1;
        return Some((Point::Mark { mark, measures }, next + of + count - at));
    }
    let (point, end) = with_beat(language, words, value, next);
    Some((point, end - at))
}

/// A measure, with the beat that may be said after its number: "45 on the second beat", "45, beat
/// 2", "31, second beat"; gives where it ends.
fn with_beat(language: &Language, words: &[Word], value: u32, next: usize) -> (Point, usize) {
    let mut skip = next + any_phrase(words, next, language.on);
    skip += usize::from(one_of(words, skip, language.articles));
    if let Some(beat) = ordinal(language, words, skip)
        && any_phrase(words, skip + 1, language.beat) > 0
    {
        return (measure(value, Some(beat)), skip + 2);
    }
    let beat = any_phrase(words, skip, language.beat);
    if beat > 0
        && let Some((beat_number, count)) = number(language, words, skip + beat)
        && beat_number <= 16
    {
        return (measure(value, Some(beat_number)), skip + beat + count);
    }
    (measure(value, None), next)
}

/// "the second note of 20", "the chord in measure 31": the measure that it is in.
fn part_of(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let mut next = at + nonzero(any_phrase(words, at, language.parts_of_a_measure))?;
    next += nonzero(any_phrase(words, next, language.of))?;
    let named = any_phrase(words, next, language.measure);
    let (value, count) = number(language, words, next + named)?;
    let ours = (SMALL..=MOST_BARE).contains(&value)
        && goes_on(words, next + named + count, language.counted) == 0
        && !is_meter(language, words, next + named);
    ours.then_some((measure(value, None), next + named + count - at))
}

/// "letter C", "rehearsal 5", "rehearsal letter AA".
fn mark(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let named = any_phrase(words, at, language.mark);
    let named = nonzero(named.max(any_phrase(words, at, language.mark_of_letter)))?;
    let (mark, count) = named_mark(language, words, at).filter(|(_, count)| *count > named)?;
    // "Letter C plus four".
    let plus = any_phrase(words, at + count, language.plus);
    if plus > 0
        && let Some((value, more)) = number(language, words, at + count + plus)
        && let Ok(measures) = i32::try_from(value)
        && measures <= 99
    {
        return Some((Point::Mark { mark, measures }, count + plus + more));
    }
    Some((Point::Mark { mark, measures: 0 }, count))
}

/// A rehearsal mark; what it is called can be left out before a letter: "two bars before C".
fn named_mark(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let of_letter = any_phrase(words, at, language.mark_of_letter);
    let own = letter(words, at + of_letter).filter(|_| {
        !one_of(words, at + of_letter, language.articles)
            && !one_of(words, at + of_letter, language.advising.subjects)
    });
    if let Some(mark) = own.filter(|_| of_letter > 0) {
        return Some((mark, of_letter + 1));
    }
    let named = any_phrase(words, at, language.mark);
    let pause = |at: usize| words.get(at).is_some_and(|word| word.pause > Pause::None);
    // "Late for rehearsal. I measured" names no mark.
    if named > 0 && pause(at + named - 1) {
        return None;
    }
    if let Some(mark) = letter(words, at + named) {
        return Some((mark, named + 1));
    }
    let (mark, count) = figure(language, words, at + named).filter(|_| named > 0)?;
    Some((mark, named + count))
}

/// The number of a rehearsal mark: "12", "twelve".
fn figure(language: &Language, words: &[Word], at: usize) -> Option<(String, usize)> {
    let (value, count) = number(language, words, at)?;
    (1..=MOST_MARKS)
        .contains(&value)
        .then(|| (value.to_string(), count))
}

/// A letter, or one said twice: "C", "AA".
fn letter(words: &[Word], at: usize) -> Option<String> {
    let said = &words.get(at)?.said;
    let mut letters = said.chars();
    let first = letters.next().filter(char::is_ascii_alphabetic)?;
    let same = letters.all(|letter| letter == first);
    (same && said.len() <= 2).then(|| said.to_uppercase())
}

fn ends(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    // "From the top." begins there; "from the top it is quiet" does not.
    let top = any_phrase(words, at, language.top);
    let alone = begins(words, at)
        && words
            .get((at + top).saturating_sub(1))
            .is_some_and(|word| word.pause > Pause::None);
    if top > 0 && alone {
        return Some((measure(1, None), top));
    }
    let end = any_phrase(words, at, language.end);
    // "Pluck the last note" tells what to do with one.
    let object = at
        .checked_sub(1)
        .is_some_and(|before| any_phrase(words, before, language.advising.orders) > 0);
    if end > 0 && object {
        return None;
    }
    // "The last note before it" is another one.
    if end > 0 && goes_on(words, at + end, language.before) > 0 {
        return None;
    }
    if end > 0 {
        if let Some((value, count)) = number(language, words, at + end)
            && !begins(words, at + end)
        {
            return Some((measure(value, None), end + count));
        }
        // "The last bar is measure 96": the number says it.
        let numbered = (at + end..at + end + 3).any(|next| {
            let named = any_phrase(words, next, language.measure);
            named > 0 && !begins(words, next) && number(language, words, next + named).is_some()
        });
        return (!numbered).then_some((Point::End { before: 0 }, end));
    }
    let start = any_phrase(words, at, language.start);
    // "the top of the bow" is no place in the music.
    (start > 0 && any_phrase(words, at + start, language.of) == 0).then_some((Point::Start, start))
}

/// "at 45", "in 32", "45 to 48", "Forty-five.": once measures were named, and when nothing is
/// counted by the number.
fn bare_number(language: &Language, words: &[Word], at: usize) -> Option<(Said, usize)> {
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
    // "Okay so 89 is": what leads in is passed over.
    let mut first = at;
    while first > 0
        && !begins(words, first)
        && caption(first - 1) == caption(first)
        && (one_of(words, first - 1, language.advising.leads)
            || one_of(words, first - 1, language.turns))
    {
        first -= 1;
    }
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

/// How many words may lie between going on and where to.
const MOVE_WORDS: usize = 4;
