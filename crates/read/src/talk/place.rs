//! Places as they are said: "bar thirty-two", "the second beat of 45", "two bars before C".

use super::bare::{Bare, MOST_BARE, MOST_MARKS, SMALL, bare_letter, bare_mark, bare_number};
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

pub(super) const fn measure(number: u32, beat: Option<u32>) -> Point {
    Point::Measure { number, beat }
}

pub(super) const fn single(from: Point) -> Said {
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
        .or_else(|| nth_measure(language, words, at))
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
pub(super) fn until(
    language: &Language,
    words: &[Word],
    at: usize,
    from: &Point,
) -> Option<(Point, usize)> {
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
    let beat = if let Some((beat, count)) = ordinal(language, words, at) {
        next += count;
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
    let (amount, count) = ordinal(language, words, at)?;
    let amount = i32::try_from(amount).ok()?;
    let mut next = at + count;
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
    // "Four bars into letter B".
    let into = any_phrase(words, next, language.bars_into);
    let after = any_phrase(words, next, language.after).max(if bars > 0 { into } else { 0 });
    let from = any_phrase(words, next, language.back_from);
    if from > 0
        && let end @ 1.. = any_phrase(words, next + from, language.the_end)
    {
        let before = amount;
        return (before <= 99).then_some((Point::End { before }, next + from + end - at));
    }
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
pub(super) fn with_beat(
    language: &Language,
    words: &[Word],
    value: u32,
    next: usize,
) -> (Point, usize) {
    let mut skip = next + any_phrase(words, next, language.on);
    skip += usize::from(one_of(words, skip, language.articles));
    if let Some((beat, count)) = ordinal(language, words, skip)
        && any_phrase(words, skip + count, language.beat) > 0
    {
        return (measure(value, Some(beat)), skip + count + 1);
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

/// "The thirty-second bar": a high one is counted from the first of the piece. So is a low one
/// that the sentence states something of: "The fifth measure is arco."
fn nth_measure(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let (value, count) = ordinal(language, words, at)?;
    let named = any_phrase(words, at + count, language.measure);
    let states = at
        .checked_sub(1)
        .is_some_and(|article| one_of(words, article, language.definite) && begins(words, article))
        && one_of(words, at + count + named, language.is);
    if value <= MOST_BARS && !states {
        return None;
    }
    let next = at + count + nonzero(any_phrase(words, at + count, language.measure))?;
    let told = any_phrase(words, next, language.of) == 0
        && any_phrase(words, next, language.before) == 0
        && any_phrase(words, next, language.after) == 0;
    told.then_some((measure(value, None), next - at))
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

/// A bar right after a rehearsal mark is counted from it up to this number.
///
/// # Source
/// Our decision: marks are some ten or twenty measures apart.
const MOST_BARS: u32 = 20;

/// "letter C", "rehearsal 5", "rehearsal letter AA".
fn mark(language: &Language, words: &[Word], at: usize) -> Option<(Point, usize)> {
    let named = any_phrase(words, at, language.mark);
    let named = nonzero(named.max(any_phrase(words, at, language.mark_of_letter)))?;
    let (mark, count) = named_mark(language, words, at).filter(|(_, count)| *count > named)?;
    // "Letter C, third bar", "number five, bar three": the first is that of the mark.
    let skip = at + count + usize::from(one_of(words, at + count, language.articles));
    let nth = ordinal(language, words, skip)
        .map(|(value, more)| (value, skip + more))
        .and_then(|(value, next)| {
            Some((
                value,
                next + nonzero(any_phrase(words, next, language.measure))?,
            ))
        })
        .filter(|(_, next)| goes_on(words, *next, language.of) == 0);
    let bar = nonzero(any_phrase(words, skip, language.measure)).and_then(|own| {
        let (value, more) = number(language, words, skip + own)?;
        Some((value, skip + own + more)).filter(|_| value <= MOST_BARS)
    });
    if !begins(words, at + count)
        && let Some((value, next)) = nth.or(bar)
        && let Ok(value) = i32::try_from(value)
        && value > 0
    {
        let measures = value - 1;
        return Some((Point::Mark { mark, measures }, next - at));
    }
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
    // "The figure I like" names no mark.
    let plain = one_of(words, at + named, language.advising.subjects)
        || one_of(words, at + named, language.articles)
            && !one_of(words, (at + named).saturating_sub(1), language.letters);
    let clear = pause(at + named) || one_of(words, at + named + 1, language.is);
    if let Some(mark) = letter(words, at + named).filter(|_| named == 0 || !plain || clear) {
        return Some((mark, named + 1));
    }
    // "Letter double A".
    if named > 0
        && words.get(at + named)?.said == language.double
        && let Some(mark) = letter(words, at + named + 1)
    {
        return Some((mark.repeat(2), named + 2));
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
pub(super) fn letter(words: &[Word], at: usize) -> Option<String> {
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
    let but_one = any_phrase(words, at, language.last_but_one);
    if but_one > 0 {
        return Some((Point::End { before: 1 }, but_one));
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
