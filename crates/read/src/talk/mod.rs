//! A talk through a piece becomes a draft: places, facts and advice, each with the
//! caption it comes from.
//!
//! Nothing is invented: every statement names its caption, quotes the speaker and
//! has a confidence. Misheard words are proposed as corrections; the grammar
//! understands them, and trusts what rests on them less.

mod advice;
mod bare;
mod clause;
mod draft;
mod english;
mod english_advice;
mod english_misheard;
mod english_orders;
mod english_signs;
mod english_topics;
mod event;
mod fact;
mod mishear;
mod number;
mod place;
mod section;
mod sentence;
mod settle;
mod sign;
mod table;
mod topic;
mod unheard;
mod voice;
mod word;

pub use draft::draft_talk;
pub use fact::FactKind;
pub use mishear::Correction;
pub use place::{Point, Said};
pub use unheard::{Unheard, Why};

use crate::captions::Caption;
use advice::{advices, excerpt};
use cueleaf_guide::Topic;
use english::ENGLISH;
use event::{Event, Heard, NEAR_WORDS, events};
use section::sections;
use sentence::{Sentence, sentences};
use settle::settled;
use table::Language;
use word::{Pause, Word, any_phrase};

/// What a talk was understood to say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Talk {
    /// The statements in the order in which they were made.
    pub statements: Vec<Statement>,
    /// Words that were probably misheard.
    pub corrections: Vec<Correction>,
    /// What was said and not taken, in the order in which it was said.
    pub unheard: Vec<Unheard>,
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

/// How many facts have to be heard for numbers and sections to be rehearsal marks.
///
/// # Source
/// Our decision, as above.
const LEAST_FACTS: usize = 2;

/// A place that is said with its word, not as a bare number, is at least so sure.
const SURE: f64 = 0.9;

/// How much less is trusted what rests on a misheard word.
const MISHEARD: f64 = 0.6;

/// Understands a talk in English.
#[must_use]
pub fn listen(captions: &[Caption]) -> Talk {
    let language = &ENGLISH;
    let spoken = word::words(captions, language.fillers, language.short);
    let spoken = bare::with_numbered_marks(language, spoken);
    let (mut words, doubtful, corrections) = mishear::corrected(language, spoken);
    words.truncate(farewell(language, &words));
    let mut events = settled(language, &words, events(language, &words));
    if !is_about_music(language, &words, &events) {
        return Talk::default();
    }
    events.extend(sections(language, &words, &events));
    events.sort_by_key(|event| event.at);
    let signs = sign::signs(language, &words, &events);
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
    let taken: Vec<(usize, usize)> = events
        .iter()
        .map(|event| (event.at, event.at + event.words))
        .collect();
    let statement = |from: usize, count: usize, what: What, place: Option<Said>, sure: f64| {
        // A fact is quoted with what leads to it: "the dynamic is piano".
        let first = match what {
            What::Fact { .. } => fact_begins(language, &words, &taken, from),
            What::Place | What::Tip { .. } => from,
        };
        let quote = words.get(first..from + count).unwrap_or_default();
        let (caption, time) = said_at(first);
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
    let unread = unheard::unread(language, &words, &events);
    let is_unplaced = |at| unheard::is_unplaced(&unread, &events, &sentences, at);
    let mut unheard = Vec::new();
    let mut unplaced = |from: usize, count: usize| {
        let quote = words.get(from..from + count).unwrap_or_default();
        unheard.push(Unheard {
            words: excerpt(quote),
            caption: said_at(from).0,
            why: Why::NoPlace,
        });
    };
    // A talk is at the start before any other place was named.
    let mut here = Said {
        from: Point::Start,
        to: None,
    };
    for event in events.iter().chain(&signs) {
        let (what, place) = match &event.what {
            Heard::Fact(..) if is_unplaced(event.at) => {
                unplaced(event.at, event.words);
                continue;
            }
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
                let again = |own: &Statement| own.what == what && own.place.as_ref() == Some(place);
                if statements.iter().any(|(_, own)| again(own)) {
                    continue;
                }
                (what, Some(place.clone()))
            }
            Heard::Fact(kind, value) => {
                let what = What::Fact {
                    kind: *kind,
                    value: value.clone(),
                };
                let place = place_of(language, &words, &events, &sentences, event.at, event.words);
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
    let mut plucks = Vec::new();
    for event in &events {
        let (from, to) = spans(event);
        match &event.what {
            Heard::Place(_) => places.push((from, to)),
            Heard::Fact(kind, value) => {
                facts.push((from, to, topic_of(*kind)));
                if *kind == FactKind::Pluck {
                    plucks.push((from, value == fact::PIZZ));
                }
            }
            Heard::Section(..) => {}
        }
    }
    let heard = advice::Heard {
        places: &places,
        facts: &facts,
        plucks: &plucks,
        topics: &topic::topics_of(language, &words),
    };
    for own in advices(language, &words, &sentences, &heard) {
        let count = own.to - own.from;
        // Before any place was named a talk speaks of itself.
        let Some(place) = place_of(language, &words, &events, &sentences, own.from, count) else {
            continue;
        };
        if is_unplaced(own.from) {
            unplaced(own.from, count);
            continue;
        }
        let what = What::Tip {
            topic: own.topic,
            excerpt: own.excerpt,
        };
        statements.push(statement(own.from, count, what, Some(place), 0.7));
    }
    statements.sort_by_key(|(at, _)| *at);
    let facts = events.iter().chain(&signs);
    let facts = facts.filter(|own| !matches!(own.what, Heard::Place(_)));
    let heard = facts.map(|own| own.at);
    let taken: Vec<usize> = statements
        .iter()
        .filter(|(_, own)| own.what != What::Place)
        .map(|(at, _)| *at)
        // What is said once more is understood, though it is no news.
        .chain(heard)
        .collect();
    unheard.extend(unheard::not_understood(
        &words,
        &events,
        &sentences,
        &taken,
        |at| said_at(at).0,
    ));
    unheard.sort_by_key(|own| own.caption);
    Talk {
        statements: statements.into_iter().map(|(_, own)| own).collect(),
        corrections: corrections
            .into_iter()
            .map(|(caption, own)| Correction {
                caption: number_of(caption).0,
                ..own
            })
            .collect(),
        unheard,
    }
}

/// Tells whether a talk is about music: text about anything else should yield nothing.
fn is_about_music(language: &Language, words: &[Word], events: &[Event]) -> bool {
    let named = |event: &&Event| {
        event.confidence > SURE
            && matches!(&event.what, Heard::Place(place)
                if matches!(place.from, Point::Measure { .. } | Point::Mark { .. }))
    };
    // Lists have numbers and papers have sections; those are marks only where music is told of.
    let lists = |event: &&Event| {
        words
            .get(event.at..event.at + event.words)
            .is_some_and(|own| {
                own.iter().any(|word| {
                    language.mark_of_letter.contains(&word.said.as_str())
                        || word.said == language.numbered_mark
                            && !word.shown.to_lowercase().contains(&word.said)
                })
            })
    };
    let facts = events
        .iter()
        .filter(|event| matches!(event.what, Heard::Fact(..)))
        .count();
    let places = events.iter().filter(named);
    let about_music = if facts < LEAST_FACTS {
        places.filter(|event| !lists(event)).count()
    } else {
        places.count()
    };
    // Figures, weights at a bar and letters on a slate are in other talks, too.
    let trade = facts > 0
        || (0..words.len()).any(|at| {
            word::one_of(words, at, language.music) || word::one_of(words, at, language.others)
        });
    about_music >= LEAST_PLACES && trade
}

/// The last of so many parts of a talk can be a farewell.
///
/// # Source
/// Our decision: what a talk says after it is about the listener, not the piece.
const FAREWELL_PART: usize = 12;

/// Gives where a talk says goodbye, or its end.
fn farewell(language: &Language, words: &[Word]) -> usize {
    let first = words.len() - words.len() / FAREWELL_PART;
    let begins = |at: &usize| any_phrase(words, *at, language.farewells) > 0;
    (first..words.len()).find(begins).unwrap_or(words.len())
}

/// Gives where the words begin that lead to a fact, in its clause and after what is heard before.
fn fact_begins(language: &Language, words: &[Word], taken: &[(usize, usize)], at: usize) -> usize {
    let mut first = at;
    while let Some(before) = first.checked_sub(1)
        && words
            .get(before)
            .is_some_and(|word| word.pause == Pause::None)
        && word::one_of(words, before, language.fact_leads)
        && !taken
            .iter()
            .any(|(from, to)| (*from..*to).contains(&before))
    {
        first = before;
    }
    // A caption before it is where the fact begins only when its words tell of the fact.
    let caption = |at: usize| words.get(at).map(|word| word.caption);
    let own = (first..=at)
        .find(|own| caption(*own) == caption(at))
        .unwrap_or(at);
    let tells = (first..own).any(|own| word::one_of(words, own, language.fact_words))
        || taken.iter().any(|(_, to)| *to == first);
    if tells { first } else { own }
}

/// Gives what an advice is about that only says "it", after a fact.
const fn topic_of(kind: FactKind) -> Option<Topic> {
    match kind {
        FactKind::Dynamic => Some(Topic::Sound),
        FactKind::Meter | FactKind::Grouping | FactKind::Tempo => Some(Topic::Count),
        FactKind::Pluck => Some(Topic::Pluck),
        FactKind::Key => Some(Topic::LeftHand),
        FactKind::Section | FactKind::Change | FactKind::Fermata | FactKind::Mute => None,
    }
}

/// Finds the place to which what is said belongs: the last one named in its sentence before
/// it, else the next one named there soon after it, else the last one named before.
fn place_of(
    language: &Language,
    spoken: &[Word],
    events: &[Event],
    sentences: &[Sentence],
    at: usize,
    words: usize,
) -> Option<Said> {
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
    // "Crescendo in ten, diminuendo in eleven", "forte in 30 and piano in 31": each has its own.
    let comma = (from..at).rfind(|own| {
        word::one_of(spoken, *own, language.advising.joins)
            || spoken
                .get(*own)
                .is_some_and(|word| word.pause > Pause::None)
    });
    let joined = spoken
        .get((at + words).saturating_sub(1))
        .is_some_and(|word| word.pause == Pause::None);
    let beside = places().find(|(own, _)| joined && *own == at + words && *own < to);
    if let Some((_, place)) = beside
        && comma.is_some_and(|comma| inside.is_none_or(|(own, _)| own <= comma))
    {
        return Some(place.clone());
    }
    // "Forte, and then diminuendo from 106 to 111": the place belongs to what is nearer.
    let advising = &language.advising;
    let turns = |own: usize| {
        (at + words..own).any(|at| {
            any_phrase(spoken, at, language.turns) > 0
                || word::one_of(spoken, at, advising.joins)
                || word::one_of(spoken, at, advising.reasons)
        })
    };
    let limit = |own: usize| word::follows(spoken, own, language.to);
    let soon = places().find(|(own, _)| {
        *own >= at && *own < to && *own < at + words + NEAR_WORDS && !turns(*own) && !limit(*own)
    });
    let before = places().rfind(|(own, _)| *own < at);
    inside.or(soon).or(before).map(|(_, place)| place.clone())
}

#[cfg(test)]
mod tests;
