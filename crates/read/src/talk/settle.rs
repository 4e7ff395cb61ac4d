//! What is heard without what is taken back, said again, or said better at once.

use super::event::{Event, Heard, NEAR_WORDS};
use super::fact::{self, FactKind};
use super::place::{Point, Said};
use super::table::Language;
use super::word::{Pause, Word, any_phrase, begins, one_of};

/// How many words may lie between a mistake and its correction.
const CORRECTING_WORDS: usize = 8;

/// Leaves out of the events what does not stand.
pub(super) fn settled(language: &Language, words: &[Word], events: Vec<Event>) -> Vec<Event> {
    let mut events = without_corrected(language, words, events);
    without_said_by_number(words, &mut events);
    without_start_again(&mut events);
    without_beats_again(words, &mut events);
    events
}

/// Leaves out what the speaker took back, "measure 40, no sorry, measure 42", and what was said
/// again with its end: "bar 84, this is the coda, 84 to the end". The statement begins where
/// it was first tried.
fn without_corrected(language: &Language, words: &[Word], events: Vec<Event>) -> Vec<Event> {
    let mut kept: Vec<Event> = Vec::new();
    for mut event in events {
        let before = kept
            .iter()
            .rposition(|own| same_kind(&own.what, &event.what));
        if let Some(index) = before
            && let Some(old) = kept.get(index)
        {
            let (from, to) = (old.at + old.words, event.at);
            let near = to.saturating_sub(from) <= CORRECTING_WORDS;
            // "No flats" takes nothing back, "no, 42" does.
            let to = to + usize::from(matches!(event.what, Heard::Place(_)));
            let taken_back = (from..to).any(|at| corrects(language, words, at, event.at));
            let stop = (from..=event.at).any(|at| begins(words, at));
            let completed = index + 1 == kept.len() && !stop && completes(&old.what, &event.what);
            if near && (taken_back || completed) {
                if taken_back {
                    keep_start(&old.what, &mut event.what);
                }
                event.words += event.at - old.at;
                event.at = old.at;
                kept.remove(index);
            }
        }
        kept.push(event);
    }
    kept.sort_by_key(|event| event.at);
    kept
}

/// Leaves out the start of the piece where the talk is there: "measure 1: mute from the start".
fn without_start_again(events: &mut Vec<Event>) {
    let mut first = false;
    events.retain(|event| match &event.what {
        Heard::Place(place) => {
            let again = first && place.from == Point::Start;
            first = again || is_first(place);
            !again
        }
        Heard::Fact(..) | Heard::Section(..) => true,
    });
}

/// Leaves out how many beats there are where the sentence has just told the meter: "three four,
/// basically one in a bar".
fn without_beats_again(words: &[Word], events: &mut Vec<Event>) {
    let mut full: Option<usize> = None;
    events.retain(|event| match &event.what {
        Heard::Fact(FactKind::Meter, value) if !value.contains('/') => !full.is_some_and(|end| {
            event.at <= end + NEAR_WORDS && !(end..=event.at).any(|at| begins(words, at))
        }),
        Heard::Fact(FactKind::Meter, _) => {
            full = Some(event.at + event.words);
            true
        }
        Heard::Place(_) => {
            full = None;
            true
        }
        Heard::Fact(..) | Heard::Section(..) => true,
    });
}

/// Leaves out "the same tempo" where the sentence goes on with the number: "same speed as the
/// first time, so minim equals 92".
fn without_said_by_number(words: &[Word], events: &mut Vec<Event>) {
    let tempi: Vec<(usize, bool)> = events
        .iter()
        .filter_map(|event| match &event.what {
            Heard::Fact(FactKind::Tempo, value) => Some((event.at, value == fact::SAME)),
            _ => None,
        })
        .collect();
    let numbered: Vec<usize> = tempi
        .windows(2)
        .filter_map(|pair| match pair {
            [(same, true), (number, false)]
                if number - same <= CORRECTING_WORDS + NEAR_WORDS
                    && !(same + 1..=*number).any(|at| begins(words, at)) =>
            {
                Some(*same)
            }
            _ => None,
        })
        .collect();
    events.retain(|event| {
        !(numbered.contains(&event.at) && matches!(event.what, Heard::Fact(FactKind::Tempo, _)))
    });
}

/// Tells whether a word takes back what was said before what is said at another index: "no,"
/// does, and "no" right before it, but not the one of "no accent".
fn corrects(language: &Language, words: &[Word], at: usize, new: usize) -> bool {
    let count = any_phrase(words, at, language.corrects);
    let next = at + count;
    let last = next.checked_sub(1).and_then(|last| words.get(last));
    // "We wait there" takes nothing back.
    let told = at
        .checked_sub(1)
        .is_some_and(|before| one_of(words, before, language.advising.subjects));
    // "At bar 20, wait." neither.
    let rests = any_phrase(words, at, language.waits) > 0
        && last.is_some_and(|last| last.pause == Pause::Stop);
    count > 0
        && !told
        && !rests
        && (next >= new
            || (next..new).all(|own| one_of(words, own, language.fact_leads))
            || last.is_some_and(|last| last.pause > Pause::None)
            || any_phrase(words, next, language.corrects) > 0)
}

/// Tells whether a place is another with its end.
fn completes(old: &Heard, new: &Heard) -> bool {
    match (old, new) {
        (Heard::Place(old), Heard::Place(new)) => {
            old.to.is_none() && new.to.is_some() && old.from == new.from
        }
        _ => false,
    }
}

/// In "from 64 to 69, no, 68" only the end is taken back.
fn keep_start(old: &Heard, new: &mut Heard) {
    if let (Heard::Place(old), Heard::Place(new)) = (old, new)
        && old.to.is_some()
        && new.to.is_none()
        && let (Point::Measure { number: from, .. }, Point::Measure { number: to, .. }) =
            (&old.from, &new.from)
        && from < to
    {
        let to = core::mem::replace(&mut new.from, old.from.clone());
        new.to = Some(to);
    }
}

/// Tells whether a place is where the piece begins.
fn is_first(place: &Said) -> bool {
    matches!(
        place.from,
        Point::Start
            | Point::Measure {
                number: 1,
                beat: None | Some(1)
            }
    )
}

fn same_kind(one: &Heard, other: &Heard) -> bool {
    match (one, other) {
        (Heard::Place(_), Heard::Place(_)) => true,
        (Heard::Fact(one, _), Heard::Fact(other, _)) => one == other,
        _ => false,
    }
}
