//! A talk through a piece becomes a draft: places, facts and advice, each with the
//! caption it comes from.
//!
//! Nothing is invented: every statement names its caption, quotes the speaker and
//! has a confidence. Misheard words are proposed as corrections; the grammar
//! understands them, and trusts what rests on them less.

mod draft;
mod fact;
mod mishear;
mod number;
mod place;
mod table;
mod word;

pub use draft::draft_talk;
pub use fact::FactKind;
pub use mishear::Correction;
pub use place::Said;

use crate::captions::Caption;
use cueleaf_guide::Topic;
use table::{ENGLISH, Language};
use word::{Pause, Word, any_phrase, entry};

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
    /// The number of its caption.
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

/// The fewest words of an advice, and the most letters of its excerpt.
const LEAST_WORDS: usize = 4;
const EXCERPT: usize = 240;

/// Understands a talk in English.
#[must_use]
pub fn listen(captions: &[Caption]) -> Talk {
    let language = &ENGLISH;
    let (words, doubtful, corrections) = mishear::corrected(language, word::words(captions));
    let events = without_corrected(language, &words, events(language, &words));
    let named = |event: &&Event| {
        event.confidence > SURE
            && matches!(
                &event.what,
                Heard::Place(Said::Measures { .. } | Said::Mark { .. })
            )
    };
    if events.iter().filter(named).count() < LEAST_PLACES {
        return Talk::default();
    }
    let sentences = sentences(language, &words, &events);
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
    let mut statements: Vec<(usize, Statement)> = Vec::new();
    for event in &events {
        let (caption, from) = said_at(event.at);
        let (what, place) = match &event.what {
            Heard::Place(place) => (What::Place, Some(place.clone())),
            Heard::Fact(kind, value) => {
                let what = What::Fact {
                    kind: *kind,
                    value: value.clone(),
                };
                (what, place_of(&events, &sentences, event.at, event.words))
            }
        };
        let confidence = trust(event.at, event.words, event.confidence);
        statements.push((
            event.at,
            Statement {
                what,
                place,
                caption,
                from,
                confidence,
            },
        ));
    }
    for sentence in advices(language, &words, &sentences) {
        let place = place_of(
            &events,
            &sentences,
            sentence.from,
            sentence.to - sentence.from,
        );
        if place.is_none() {
            continue;
        }
        let (caption, from) = said_at(sentence.from);
        let what = What::Tip {
            topic: sentence.topic,
            excerpt: sentence.excerpt,
        };
        let confidence = trust(sentence.from, sentence.to - sentence.from, 0.7);
        statements.push((
            sentence.from,
            Statement {
                what,
                place,
                caption,
                from,
                confidence,
            },
        ));
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

enum Heard {
    Place(Said),
    Fact(FactKind, String),
}

fn events(language: &Language, words: &[Word]) -> Vec<Event> {
    let mut events: Vec<Event> = Vec::new();
    let mut bare = place::Bare::No;
    let mut at = 0;
    while at < words.len() {
        if let Some(found) = place::place(language, words, at, bare) {
            bare = place::Bare::Yes;
            events.push(Event {
                at,
                words: found.words,
                confidence: found.confidence,
                what: Heard::Place(found.place),
            });
            at += found.words.max(1);
        } else if let Some(found) = fact::fact(language, words, at) {
            events.push(Event {
                at,
                words: found.words,
                confidence: found.confidence,
                what: Heard::Fact(found.kind, found.value),
            });
            at += found.words.max(1);
        } else {
            at += 1;
        }
    }
    events
}

/// Leaves out what the speaker took back: "measure 40, no sorry, measure 42".
fn without_corrected(language: &Language, words: &[Word], events: Vec<Event>) -> Vec<Event> {
    let mut kept: Vec<Event> = Vec::new();
    for event in events {
        let before = kept
            .iter()
            .rposition(|own| same_kind(&own.what, &event.what));
        if let Some(index) = before
            && let Some(old) = kept.get(index)
        {
            let (from, to) = (old.at + old.words, event.at);
            let near = to.saturating_sub(from) <= CORRECTING_WORDS;
            let taken_back = (from..=to).any(|at| any_phrase(words, at, language.corrects) > 0);
            if near && taken_back {
                kept.remove(index);
            }
        }
        kept.push(event);
    }
    kept
}

fn same_kind(one: &Heard, other: &Heard) -> bool {
    match (one, other) {
        (Heard::Place(_), Heard::Place(_)) => true,
        (Heard::Fact(one, _), Heard::Fact(other, _)) => one == other,
        _ => false,
    }
}

/// A run of words that belong together, the end outside.
#[derive(Clone, Copy)]
struct Sentence {
    from: usize,
    to: usize,
}

/// Cuts the words into sentences: at full stops, or where there are none at new thoughts and places.
fn sentences(language: &Language, words: &[Word], events: &[Event]) -> Vec<Sentence> {
    let stops = words
        .iter()
        .filter(|word| word.pause == Pause::Stop)
        .count();
    let punctuated = stops * 45 >= words.len();
    let starts_place = |at: usize| {
        events
            .iter()
            .any(|event| event.at == at && matches!(event.what, Heard::Place(_)))
    };
    let mut sentences = Vec::new();
    let mut from = 0;
    for at in 0..words.len() {
        let ends = words.get(at).is_some_and(|word| word.pause == Pause::Stop);
        let turns = !punctuated
            && at > from + 2
            && (any_phrase(words, at, language.turns) > 0 || starts_place(at));
        if turns {
            sentences.push(Sentence { from, to: at });
            from = at;
        }
        if ends {
            sentences.push(Sentence { from, to: at + 1 });
            from = at + 1;
        }
    }
    if from < words.len() {
        sentences.push(Sentence {
            from,
            to: words.len(),
        });
    }
    sentences
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
            Heard::Fact(..) => None,
        })
    };
    let from = sentence.map_or(0, |own| own.from);
    let to = sentence.map_or(0, |own| own.to);
    let inside = places().rfind(|(own, _)| *own >= from && *own < at);
    let soon = places().find(|(own, _)| *own >= at && *own < to && *own < at + words + NEAR_WORDS);
    let before = places().rfind(|(own, _)| *own < at);
    inside.or(soon).or(before).map(|(_, place)| place.clone())
}

/// An advice.
struct Advice {
    from: usize,
    to: usize,
    topic: Topic,
    excerpt: String,
}

fn advices(language: &Language, words: &[Word], sentences: &[Sentence]) -> Vec<Advice> {
    let mut found = Vec::new();
    for sentence in sentences {
        let Some(own) = words.get(sentence.from..sentence.to) else {
            continue;
        };
        let is_advice = (0..own.len()).any(|at| any_phrase(own, at, language.advice) > 0);
        let Some(topic) = topic_of(language, own) else {
            continue;
        };
        if !is_advice || own.len() < LEAST_WORDS {
            continue;
        }
        found.push(Advice {
            from: sentence.from,
            to: sentence.to,
            topic,
            excerpt: excerpt(own),
        });
    }
    found
}

/// Gives the topic with the most words for it; of equals the one named first.
fn topic_of(language: &Language, words: &[Word]) -> Option<Topic> {
    let mut counts: Vec<(Topic, usize)> = Vec::new();
    for at in 0..words.len() {
        let Some((topic, _)) = entry(words, at, language.topics) else {
            continue;
        };
        match counts.iter_mut().find(|(own, _)| *own == topic) {
            Some((_, count)) => *count += 1,
            None => counts.push((topic, 1)),
        }
    }
    let most = counts.iter().map(|(_, count)| *count).max()?;
    counts
        .into_iter()
        .find(|(_, count)| *count == most)
        .map(|(topic, _)| topic)
}

/// Joins the speaker's own words, without what leads in, at most so many letters.
fn excerpt(words: &[Word]) -> String {
    const LEADS: [&str; 13] = [
        "so", "now", "okay", "ok", "and", "um", "uh", "well", "then", "alright", "right", "er",
        "yeah",
    ];
    let shown: Vec<&str> = words
        .iter()
        .skip_while(|word| LEADS.contains(&word.said.as_str()))
        .map(|word| word.shown.as_str())
        .filter(|shown| !shown.is_empty())
        .collect();
    let mut text = String::new();
    for word in shown {
        if text.chars().count() + word.chars().count() >= EXCERPT {
            text.push('…');
            break;
        }
        if !text.is_empty() {
            text.push(' ');
        }
        text.push_str(word);
    }
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

#[cfg(test)]
mod tests;
