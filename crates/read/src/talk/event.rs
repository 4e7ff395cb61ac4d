//! What is heard, word by word: the places and facts, without those only referred to.

use super::bare::{Bare, before_leads, onward};
use super::fact::{self, FactKind};
use super::number::number;
use super::place::{self, Point, Said};
use super::table::Language;
use super::word::{Pause, Word, any_phrase, begins, follows, goes_on, nonzero, one_of};

/// How many words a place may follow a fact it belongs to.
pub(super) const NEAR_WORDS: usize = 7;

/// How sure a place is that is told from the one before it.
const ONWARD: f64 = 0.7;

/// What is heard at a word.
pub(super) struct Event {
    pub(super) at: usize,
    pub(super) words: usize,
    pub(super) confidence: f64,
    pub(super) what: Heard,
}

#[derive(PartialEq)]
pub(super) enum Heard {
    Place(Said),
    Fact(FactKind, String),
    /// The name of a stretch, which is near it and not always before it.
    Section(Said, String),
}

/// Finds the events in the order in which they are said.
pub(super) fn events(language: &Language, words: &[Word]) -> Vec<Event> {
    let mut events: Vec<Event> = Vec::new();
    let mut bare = Bare::No;
    let mut at = 0;
    let mut free = 0;
    while at < words.len() {
        let last = events.iter().rev().find_map(|event| match &event.what {
            Heard::Place(place) => Some(place),
            Heard::Fact(..) | Heard::Section(..) => None,
        });
        let found = place::place(language, words, at, bare)
            .map(|own| (own.words, own.confidence, Heard::Place(own.place)))
            .or_else(|| {
                let (place, count) = onward(language, words, at, last?)?;
                Some((count, ONWARD, Heard::Place(place)))
            })
            .or_else(|| {
                let own = fact::fact(language, words, at, free)?;
                Some((own.words, own.confidence, Heard::Fact(own.kind, own.value)))
            });
        let Some((count, confidence, what)) = found else {
            // "Bar 120, arco to the end": the place goes as far; a dynamic only lasts as long.
            if free == at
                && last_dynamic(&events).is_none()
                && let Some((place, to)) = open_place(&mut events).zip(to_end(language, words, at))
            {
                place.to = Some(to);
            }
            // "In 81 we have tremolo all the way to 88".
            if at < free + NEAR_WORDS
                && let Some((to, count)) = all_the_way(language, words, at, events.last())
                && let Some(Heard::Place(place)) = events.last_mut().map(|event| &mut event.what)
            {
                place.to = Some(to);
                at += count;
                continue;
            }
            at += 1;
            continue;
        };
        // "Until bar 30, where it's forte" goes there in the end.
        let there = matches!(what, Heard::Place(_))
            && follows(words, at, language.to)
            && any_phrase(words, at + count, language.there) > 0;
        let denied = matches!(what, Heard::Fact(..)) && is_denied(language, words, &events, at);
        if there || !denied && !is_referred(language, words, &events, (free, at), &what) {
            if let Heard::Place(place) = &what {
                bare = bare.after(place);
            }
            events.push(Event {
                at,
                words: count,
                confidence,
                what,
            });
        }
        at += count.max(1);
        free = at;
    }
    events
}

/// "all the way to 88", when a place without an end was named last.
fn all_the_way(
    language: &Language,
    words: &[Word],
    at: usize,
    last: Option<&Event>,
) -> Option<(Point, usize)> {
    let Heard::Place(Said {
        from: Point::Measure { number: from, .. },
        to: None,
    }) = &last?.what
    else {
        return None;
    };
    let lead = nonzero(any_phrase(words, at, language.all_the_way))?;
    let named = any_phrase(words, at + lead, language.measure);
    let (value, count) = number(language, words, at + lead + named)?;
    let fits = value > *from && goes_on(words, at + lead + named + count, language.counted) == 0;
    fits.then_some((
        Point::Measure {
            number: value,
            beat: None,
        },
        lead + named + count,
    ))
}

/// Tells whether what is heard at an index, after something heard up to `free`, is only referred
/// to: "not as in measure 12" moves nowhere, and "before the crescendo" states none.
fn is_referred(
    language: &Language,
    words: &[Word],
    events: &[Event],
    (free, at): (usize, usize),
    what: &Heard,
) -> bool {
    let refers = follows(words, at, language.refers);
    match what {
        Heard::Place(_) => {
            refers
                || recalled(language, words, at)
                || is_limit(language, words, events, (free, at))
                || events.iter().any(|own| matches!(own.what, Heard::Place(_)))
                    && is_aim(language, words, at)
        }
        // "From piano up to forte" states two.
        Heard::Fact(FactKind::Dynamic, _) => {
            let reaches = follows(words, at, language.up_to)
                && at <= free + NEAR_WORDS
                && !(free..at).any(|at| begins(words, at));
            refers && !(reaches && last_dynamic(events).is_some())
        }
        // "It splits up as two plus three" compares nothing.
        Heard::Fact(FactKind::Grouping, _) => follows(words, at, language.denies),
        // "It feels like G minor" is so.
        Heard::Fact(..) | Heard::Section(..) => refers && !follows(words, at, language.seems),
    }
}

/// Tells whether the clause of a fact denies it: "it does not change to 3/4", "no crescendo".
pub(super) fn is_denied(language: &Language, words: &[Word], events: &[Event], at: usize) -> bool {
    let joined = |own: usize| {
        words.get(own).is_some_and(|word| word.pause == Pause::None)
            && !one_of(words, own, language.advising.joins)
            && !one_of(words, own, language.advising.reasons)
    };
    // "Piano no forte" takes back, "no crescendo" denies.
    let before = at.checked_sub(1);
    let taken_back = events.last().is_some_and(|event| {
        matches!(event.what, Heard::Fact(..)) && event.at + event.words + 1 == at
    });
    if !taken_back && before.is_some_and(|own| joined(own) && one_of(words, own, &[language.none]))
    {
        return true;
    }
    (at.saturating_sub(DENIED_WORDS)..at)
        .rev()
        .take_while(|own| joined(*own))
        .any(|own| {
            let from = own + any_phrase(words, own, language.negates);
            (own + 1..=at).contains(&from)
                && (from..at).all(|own| one_of(words, own, language.between_negated))
        })
}

/// How many words may lie between a denial and what it denies.
const DENIED_WORDS: usize = 8;

/// Tells whether a place is only how far a dynamic goes: "crescendo to measure 16", "crescendo to
/// forte at 40".
fn is_limit(
    language: &Language,
    words: &[Word],
    events: &[Event],
    (free, at): (usize, usize),
) -> bool {
    let Some(last) = last_dynamic(events) else {
        return false;
    };
    let swells = |value: &str| language.swells.contains(&value);
    let to = any_phrase(words, free, language.to);
    let [.., before, level] = events else {
        return to > 0 && free + to == at;
    };
    let arrives = free == at
        && !begins(words, at)
        && !swells(last)
        && level.at <= before.at + before.words + 2
        && matches!(&before.what, Heard::Fact(FactKind::Dynamic, value) if swells(value));
    arrives || to > 0 && free + to == at
}

/// Tells whether a place is only how far something goes or what it is for: "it runs to bar 30",
/// "save it for bar 30". Words that move go there: "jump to bar 30".
fn is_aim(language: &Language, words: &[Word], at: usize) -> bool {
    let before = |count: usize| {
        (at.saturating_sub(count)..at).rev().take_while(|own| {
            words
                .get(*own)
                .is_some_and(|word| word.pause == Pause::None)
        })
    };
    let to = follows(words, at, language.to) || follows(words, at, language.aims);
    let begun = at
        .checked_sub(1)
        .is_some_and(|before| begins(words, before_leads(language, words, before)));
    let moved = before(MOVED_WORDS).any(|own| any_phrase(words, own, language.moves) > 0);
    // "Before we get to bar 30" does not go there yet.
    let still = before(MOVED_WORDS).any(|own| one_of(words, own, language.still));
    to && (still || !begun && !moved)
}

/// How many words may lie between a word that moves and where to.
const MOVED_WORDS: usize = 6;

/// Gives the dynamic that was heard last, when nothing else was heard after it.
fn last_dynamic(events: &[Event]) -> Option<&str> {
    match &events.last()?.what {
        Heard::Fact(FactKind::Dynamic, value) => Some(value),
        _ => None,
    }
}

/// Tells whether a place is only recalled: "like the ones you played in bar 26". The word that
/// joins it may be part of the place.
fn recalled(language: &Language, words: &[Word], at: usize) -> bool {
    let joint = any_phrase(words, at, language.at);
    let place = at + joint;
    // "We saw this in bar 30", "the tune from bar 30".
    let told = (place.saturating_sub(NEAR_WORDS - 2)..place.saturating_sub(1))
        .rev()
        .take_while(|own| {
            words
                .get(*own)
                .is_some_and(|word| word.pause == Pause::None)
        })
        .any(|own| one_of(words, own, language.told_past));
    let joined = follows(words, place, language.recalled_at);
    let thing = place
        .checked_sub(2)
        .filter(|own| {
            words
                .get(*own)
                .is_some_and(|word| word.pause == Pause::None)
        })
        .is_some_and(|own| one_of(words, own, language.recalled_things));
    follows(words, at, language.recalls)
        || joint > 0 && follows(words, place, language.recalls)
        || joined && told
        || thing && follows(words, place, language.recalled_of)
}

/// Gives the place that the last fact is at, when it has no end yet.
fn open_place(events: &mut [Event]) -> Option<&mut Said> {
    match events {
        [.., place, fact] => match (&mut place.what, &fact.what) {
            (Heard::Place(place), Heard::Fact(..)) if place.to.is_none() => Some(place),
            _ => None,
        },
        _ => None,
    }
}

/// "to the end".
fn to_end(language: &Language, words: &[Word], at: usize) -> Option<Point> {
    let to = any_phrase(words, at, language.to);
    (to > 0 && any_phrase(words, at + to, language.the_end) > 0).then_some(Point::End { before: 0 })
}
