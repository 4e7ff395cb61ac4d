//! The names that are given to stretches: "the slow section", "I call this the boat song".

use super::event::{Event, Heard, NEAR_WORDS};
use super::place::Said;
use super::table::Language;
use super::word::{Pause, Word, any_phrase, begins, entry, follows, goes_on, nonzero, one_of};

/// How many words the name of a section has at most.
const SECTION_WORDS: usize = 4;

/// How many words after a place the talk has only just come there.
const NEW_WORDS: usize = 25;

/// A name, and how many words say it with its article.
struct Name {
    name: String,
    words: usize,
}

/// Finds the names of stretches.
pub(super) fn sections(language: &Language, words: &[Word], events: &[Event]) -> Vec<Event> {
    let mut found: Vec<Event> = Vec::new();
    let mut known: Vec<String> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let Some((name, place)) = section(language, words, events, &known, at) else {
            at += 1;
            continue;
        };
        known.push(name.name.clone());
        found.push(Event {
            at,
            words: name.words,
            confidence: 0.7,
            what: Heard::Section(place, name.name),
        });
        at += name.words;
    }
    found
}

/// Finds the name that begins at an index, and the place that has it.
fn section(
    language: &Language,
    words: &[Word],
    events: &[Event],
    known: &[String],
    at: usize,
) -> Option<(Name, Said)> {
    let here = || places(before(events, at)).next_back();
    let found = |name: Name, (_, place): (&Event, &Said)| (name, place.clone());
    // What somebody calls it, and what is said again or of the place itself, is where the talk is.
    let own = None
        .or_else(|| quoted(language, words, at))
        .or_else(|| called(language, words, at))
        .or_else(|| again(language, words, at, known))
        .or_else(|| equal(language, words, events, at));
    if let Some(name) = own {
        return here().map(|place| found(name, place));
    }
    let name = of_a_kind(language, words, at)?;
    let next = at + name.words;
    // "The second ending is measure 19", "the coda begins at 97".
    let verb = any_phrase(words, next, language.begins).max(usize::from(one_of(
        words,
        next,
        language.advising.finite,
    )));
    let equated =
        places(events).find(|(event, _)| verb > 0 && (next + 1..=next + 2).contains(&event.at));
    if let Some(place) = equated {
        return Some(found(name, place));
    }
    // "The trio begins here".
    if any_phrase(words, next, language.begins_here) > 0 {
        return here().map(|place| found(name, place));
    }
    // Others need a stretch near them.
    let near = places(events).find(|(event, place)| {
        place.to.is_some()
            && event.at <= next + NEAR_WORDS
            && at <= event.at + event.words + NEAR_WORDS
    });
    near.map(|place| found(name, place))
}

fn places(events: &[Event]) -> impl DoubleEndedIterator<Item = (&Event, &Said)> {
    events.iter().filter_map(|event| match &event.what {
        Heard::Place(place) => Some((event, place)),
        Heard::Fact(..) | Heard::Section(..) => None,
    })
}

/// Gives the events before an index, which stand in order.
fn before(events: &[Event], at: usize) -> &[Event] {
    let count = events.partition_point(|event| event.at < at);
    events.get(..count).unwrap_or_default()
}

/// "The slow section": a name that says what kind of stretch it is.
fn of_a_kind(language: &Language, words: &[Word], at: usize) -> Option<Name> {
    let other = follows(words, at, language.having) || follows(words, at, language.refers);
    if !one_of(words, at, language.definite) || other {
        return None;
    }
    let last = (at + 1..at + 1 + SECTION_WORDS)
        .take_while(|next| joined(words, *next) && !one_of(words, *next, language.advising.finite))
        .find(|next| one_of(words, *next, language.sections))?;
    let plain = (at + 1..last).all(|own| one_of(words, own, language.articles));
    if plain && one_of(words, last, language.plain_sections) {
        return None;
    }
    // "The trombone tune" names no stretch of this part.
    if (at + 1..last).any(|own| one_of(words, own, language.others)) {
        return None;
    }
    name(words, at, at + 1, last)
}

/// "I call this part the boat song", "this is what everyone calls the monster".
fn called(language: &Language, words: &[Word], at: usize) -> Option<Name> {
    let object = |at: usize| {
        follows(words, at, language.called)
            || language.called_things.iter().any(|thing| {
                let count = thing.split(' ').count();
                at.checked_sub(count).is_some_and(|from| {
                    goes_on(words, from, &[*thing]) == count
                        && joined(words, at)
                        && follows(words, from, language.called)
                })
            })
    };
    let thing = any_phrase(words, at, language.called_things) > 0;
    if !one_of(words, at, language.definite) || thing || !object(at) {
        return None;
    }
    let last = name_ends(language, words, at + 1)?;
    name(words, at, at + 1, last)
}

/// A name in quotation marks: "marked “Snow” in my score".
fn quoted(language: &Language, words: &[Word], at: usize) -> Option<Name> {
    const MARKS: [char; 4] = ['"', '“', '”', '„'];
    let shown = |at: usize| words.get(at).map(|word| word.shown.as_str());
    let first = at + usize::from(one_of(words, at, language.definite));
    let named = follows(words, at, language.named) || follows(words, at, language.called);
    if !named || !shown(first)?.starts_with(MARKS) {
        return None;
    }
    let end = |own: &usize| {
        shown(*own).is_some_and(|own| own.trim_end_matches(['.', ',', '!', '?']).ends_with(MARKS))
    };
    let last = (first..first + SECTION_WORDS).find(end)?;
    name(words, at, first, last)
}

/// "It's the lake song again": a name that was given before.
fn again(language: &Language, words: &[Word], at: usize, known: &[String]) -> Option<Name> {
    if !one_of(words, at, language.definite) {
        return None;
    }
    (at + 1..at + 1 + SECTION_WORDS)
        .filter(|last| any_phrase(words, last + 1, language.again) > 0)
        .filter_map(|last| name(words, at, at + 1, last))
        .find(|own| known.contains(&own.name))
}

/// "Bar 17 is the second door.", "Letter H. That's the storm.": what a place is said to be, when
/// that is no ordinary word of music.
fn equal(language: &Language, words: &[Word], events: &[Event], at: usize) -> Option<Name> {
    if !one_of(words, at, language.definite) {
        return None;
    }
    let last = name_ends(language, words, at + 1)?;
    let after = words.get(last)?.pause;
    // "The fair itself", "the fair again" is the fair.
    let ends = after > Pause::None || any_phrase(words, last + 1, language.again) > 0;
    let ordinary = (at + 1..=last).any(|own| {
        one_of(words, own, language.ordinary)
            || one_of(words, own, language.others)
            || one_of(words, own, language.beat)
            || one_of(words, own, language.measure)
            || one_of(words, own, language.end)
            || entry(words, own, language.notes).is_some()
            || entry(words, own, language.dynamics).is_some()
            || entry(words, own, language.advising.topics).is_some()
    });
    if !ends || ordinary || last < at + 1 {
        return None;
    }
    // Right after a place: "Bar 17 is", or in a sentence of its own after one: "That's".
    let is = at.checked_sub(1)?;
    let nearest = || places(before(events, at)).next_back();
    let of_place = one_of(words, is, language.is)
        && joined(words, is)
        && nearest().is_some_and(|(event, _)| event.at + event.words == is);
    let this = (1..=2)
        .filter_map(|count| at.checked_sub(count))
        .find(|from| {
            any_phrase(words, *from, language.this_is) == at - from && begins(words, *from)
        });
    let after_place = this.is_some_and(|this| {
        nearest().is_some_and(|(event, _)| {
            let end = event.at + event.words;
            (end..end + NEW_WORDS).contains(&this)
        })
    });
    if !of_place && !after_place {
        return None;
    }
    name(words, at, at + 1, last)
}

/// Finds the last word of a name that begins at an index: before a pause, a caption, or a word
/// that begins something else.
fn name_ends(language: &Language, words: &[Word], first: usize) -> Option<usize> {
    let advising = &language.advising;
    let other = |at: usize| {
        [
            advising.subjects,
            advising.joins,
            advising.conditions,
            advising.leads,
            advising.finite,
            language.again,
            language.turns,
        ]
        .iter()
        .any(|list| any_phrase(words, at, list) > 0)
    };
    let caption = |at: usize| words.get(at).map(|word| word.caption);
    let last = (first..first + SECTION_WORDS)
        .take_while(|next| joined(words, *next) && words.get(*next).is_some() && !other(*next))
        .last()?;
    // A name that goes on over captions ends with the first, when what comes may be anything.
    let last = (first..=last)
        .rfind(|own| caption(*own) == caption(first))
        .unwrap_or(last);
    (first..=last)
        .rfind(|own| !one_of(words, *own, language.hanging))
        .and_then(|last| nonzero(last + 1 - first).map(|_| last))
}

fn joined(words: &[Word], at: usize) -> bool {
    at.checked_sub(1)
        .and_then(|before| words.get(before))
        .is_some_and(|word| word.pause == Pause::None)
}

/// Makes the name of the words from `first` to `last`, said from `at` on.
fn name(words: &[Word], at: usize, first: usize, last: usize) -> Option<Name> {
    let shown: Vec<&str> = words
        .get(first..=last)?
        .iter()
        .map(|word| word.shown.as_str())
        .filter(|shown| !shown.is_empty())
        .collect();
    let name = shown.join(" ");
    let name = name.trim_matches(|c: char| !c.is_alphanumeric()).to_owned();
    (!name.is_empty()).then_some(Name {
        name,
        words: last + 1 - at,
    })
}
