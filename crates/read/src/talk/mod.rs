//! A talk through a piece becomes a draft: places, facts and advice, each with the
//! caption it comes from.
//!
//! Nothing is invented: every statement names its caption, quotes the speaker and
//! has a confidence. Misheard words are proposed as corrections; the grammar
//! understands them, and trusts what rests on them less.

mod advice;
mod draft;
mod english;
mod english_advice;
mod english_misheard;
mod fact;
mod mishear;
mod number;
mod place;
mod sentence;
mod table;
mod word;

pub use draft::draft_talk;
pub use fact::FactKind;
pub use mishear::Correction;
pub use place::{Point, Said};

use crate::captions::Caption;
use advice::{advices, excerpt};
use cueleaf_guide::Topic;
use english::ENGLISH;
use sentence::{Sentence, sentences};
use table::Language;
use word::{Pause, Word, any_phrase, follows};

/// What a talk was understood to say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Talk {
    /// The statements in the order in which they were made.
    pub statements: Vec<Statement>,
    /// Words that were probably misheard.
    pub corrections: Vec<Correction>,
}

/// One thing said.
#[derive(Debug, Clone, PartialEq)]
pub struct Statement {
    /// What it says.
    pub what: What,
    /// The place it is about; `None` where no place was named before.
    pub place: Option<Said>,
    /// The words it rests on, as they were said.
    pub words: String,
    /// The number of the caption in which they begin.
    pub caption: usize,
    /// When that begins, in milliseconds.
    pub from: u64,
    /// How sure it is, from 0 to 1.
    pub confidence: f64,
}

/// What a statement says.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A place is named.
    Place,
    /// A fact.
    Fact {
        /// Its kind.
        kind: FactKind,
        /// Its value, in one form for each kind.
        value: String,
    },
    /// An advice.
    Tip {
        /// What it is about.
        topic: Topic,
        /// The speaker's own words.
        excerpt: String,
    },
}

/// How many measures or rehearsal marks have to be named for a talk to be about music.
///
/// # Source
/// Our decision: text about anything else should yield nothing.
const LEAST_PLACES: usize = 2;

/// A place that is said with its word, not as a bare number, is at least so sure.
const SURE: f64 = 0.9;

/// How many words a place may follow a fact it belongs to.
const NEAR_WORDS: usize = 7;

/// How many words may lie between a mistake and its correction.
const CORRECTING_WORDS: usize = 8;

/// How much less is trusted what rests on a misheard word.
const MISHEARD: f64 = 0.6;

/// Understands a talk in English.
#[must_use]
pub fn listen(captions: &[Caption]) -> Talk {
    let language = &ENGLISH;
    let spoken = word::words(captions, language.fillers);
    let (words, doubtful, corrections) = mishear::corrected(language, spoken);
    let mut events = without_corrected(language, &words, events(language, &words));
    let named = |event: &&Event| {
        event.confidence > SURE
            && matches!(&event.what, Heard::Place(place)
                if matches!(place.from, Point::Measure { .. } | Point::Mark { .. }))
    };
    if events.iter().filter(named).count() < LEAST_PLACES {
        return Talk::default();
    }
    events.extend(sections(language, &words, &events));
    events.sort_by_key(|event| event.at);
    let sentences = sentences(language, &words);
    let number_of = |index: usize| {
        captions
            .get(index)
            .map_or((0, 0), |own| (own.number, own.from))
    };
    let said_at = |at: usize| words.get(at).map_or((0, 0), |word| number_of(word.caption));
    let trust = |from: usize, count: usize, confidence: f64| {
        let any = doubtful.iter().skip(from).take(count).any(|own| *own);
        if any {
            confidence * MISHEARD
        } else {
            confidence
        }
    };
    let statement = |from: usize, count: usize, what: What, place: Option<Said>, sure: f64| {
        let quote = words.get(from..from + count).unwrap_or_default();
        let (caption, time) = said_at(from);
        let statement = Statement {
            what,
            place,
            words: excerpt(quote),
            caption,
            from: time,
            confidence: trust(from, count, sure),
        };
        (from, statement)
    };
    let mut statements: Vec<(usize, Statement)> = Vec::new();
    // A talk is at the start before any other place was named.
    let mut here = Said {
        from: Point::Start,
        to: None,
    };
    for event in &events {
        let (what, place) = match &event.what {
            Heard::Place(place) => {
                if here == *place {
                    continue;
                }
                here = place.clone();
                (What::Place, Some(place.clone()))
            }
            Heard::Section(place, name) => {
                let what = What::Fact {
                    kind: FactKind::Section,
                    value: name.clone(),
                };
                (what, Some(place.clone()))
            }
            Heard::Fact(kind, value) => {
                let what = What::Fact {
                    kind: *kind,
                    value: value.clone(),
                };
                let place = place_of(&events, &sentences, event.at, event.words);
                // Said again at the same place it is no news.
                let again = statements.iter().rev().find(
                    |(_, own)| matches!(&own.what, What::Fact { kind: own, .. } if own == kind),
                );
                if again.is_some_and(|(_, own)| own.what == what && own.place == place) {
                    continue;
                }
                (what, place)
            }
        };
        statements.push(statement(
            event.at,
            event.words,
            what,
            place,
            event.confidence,
        ));
    }
    let spans = |event: &Event| (event.at, event.at + event.words);
    let mut places = Vec::new();
    let mut facts = Vec::new();
    for event in &events {
        let (from, to) = spans(event);
        match &event.what {
            Heard::Place(_) => places.push((from, to)),
            Heard::Fact(kind, _) => facts.push((from, to, topic_of(*kind))),
            Heard::Section(..) => {}
        }
    }
    let heard = advice::Heard {
        places: &places,
        facts: &facts,
    };
    for own in advices(language, &words, &sentences, &heard) {
        let count = own.to - own.from;
        let Some(place) = place_of(&events, &sentences, own.from, count) else {
            continue;
        };
        let what = What::Tip {
            topic: own.topic,
            excerpt: own.excerpt,
        };
        statements.push(statement(own.from, count, what, Some(place), 0.7));
    }
    statements.sort_by_key(|(at, _)| *at);
    Talk {
        statements: statements.into_iter().map(|(_, own)| own).collect(),
        corrections: corrections
            .into_iter()
            .map(|(caption, own)| Correction {
                caption: number_of(caption).0,
                ..own
            })
            .collect(),
    }
}

/// What is heard at a word.
struct Event {
    at: usize,
    words: usize,
    confidence: f64,
    what: Heard,
}

#[derive(PartialEq)]
enum Heard {
    Place(Said),
    Fact(FactKind, String),
    /// The name of a stretch, which is near it and not always before it.
    Section(Said, String),
}

fn events(language: &Language, words: &[Word]) -> Vec<Event> {
    let mut events: Vec<Event> = Vec::new();
    let mut bare = place::Bare::No;
    let mut at = 0;
    let mut free = 0;
    while at < words.len() {
        let found = place::place(language, words, at, bare)
            .map(|own| (own.words, own.confidence, Heard::Place(own.place)))
            .or_else(|| {
                let own = fact::fact(language, words, at, free)?;
                Some((own.words, own.confidence, Heard::Fact(own.kind, own.value)))
            });
        let Some((count, confidence, what)) = found else {
            // "Bar 120, arco to the end": the place goes as far.
            if free == at
                && let Some((place, to)) = open_place(&mut events).zip(to_end(language, words, at))
            {
                place.to = Some(to);
            }
            at += 1;
            continue;
        };
        // "Not as in measure 12" moves nowhere, "before the crescendo" states none.
        if !follows(words, at, language.refers) {
            if matches!(what, Heard::Place(_)) {
                bare = place::Bare::Yes;
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
            let completed = index + 1 == kept.len() && completes(&old.what, &event.what);
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

/// Tells whether a word takes back what was said before what is said at another index: "no,"
/// does, and "no" right before it, but not the one of "no accent".
fn corrects(language: &Language, words: &[Word], at: usize, new: usize) -> bool {
    let count = any_phrase(words, at, language.corrects);
    let next = at + count;
    let last = next.checked_sub(1).and_then(|last| words.get(last));
    count > 0
        && (next >= new
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

/// Finds the names of stretches: "the slow section goes from measure 65 to 80".
fn sections(language: &Language, words: &[Word], events: &[Event]) -> Vec<Event> {
    let stretch = |event: &&Event| matches!(&event.what, Heard::Place(place) if place.to.is_some());
    let near = |at: usize, count: usize| {
        events.iter().filter(stretch).find(|event| {
            let (from, to) = (event.at, event.at + event.words);
            from <= at + count + NEAR_WORDS && at <= to + NEAR_WORDS
        })
    };
    (0..words.len())
        .filter_map(|at| {
            let (name, count) = fact::section(language, words, at)?;
            let Heard::Place(place) = &near(at, count)?.what else {
                return None;
            };
            Some(Event {
                at,
                words: count,
                confidence: 0.7,
                what: Heard::Section(place.clone(), name),
            })
        })
        .collect()
}

/// Gives what an advice is about that only says "it", after a fact.
const fn topic_of(kind: FactKind) -> Option<Topic> {
    match kind {
        FactKind::Dynamic => Some(Topic::Sound),
        FactKind::Meter | FactKind::Grouping | FactKind::Tempo => Some(Topic::Count),
        FactKind::Pluck => Some(Topic::Pluck),
        FactKind::Key => Some(Topic::LeftHand),
        FactKind::Section => None,
    }
}

fn same_kind(one: &Heard, other: &Heard) -> bool {
    match (one, other) {
        (Heard::Place(_), Heard::Place(_)) => true,
        (Heard::Fact(one, _), Heard::Fact(other, _)) => one == other,
        _ => false,
    }
}

/// Finds the place to which what is said belongs: the last one named in its sentence before
/// it, else the next one named there soon after it, else the last one named before.
fn place_of(events: &[Event], sentences: &[Sentence], at: usize, words: usize) -> Option<Said> {
    let sentence = sentences
        .iter()
        .find(|own| (own.from..own.to).contains(&at));
    let places = || {
        events.iter().filter_map(|event| match &event.what {
            Heard::Place(place) => Some((event.at, place)),
            Heard::Fact(..) | Heard::Section(..) => None,
        })
    };
    let from = sentence.map_or(0, |own| own.from);
    let to = sentence.map_or(0, |own| own.to);
    let inside = places().rfind(|(own, _)| *own >= from && *own < at);
    let soon = places().find(|(own, _)| *own >= at && *own < to && *own < at + words + NEAR_WORDS);
    let before = places().rfind(|(own, _)| *own < at);
    inside.or(soon).or(before).map(|(_, place)| place.clone())
}

#[cfg(test)]
mod tests;
