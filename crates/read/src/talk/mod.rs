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
use word::{Pause, Word, any_phrase, begins, follows};

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
    without_said_by_number(&words, &mut events);
    without_start_again(&mut events);
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
                if statements.iter().any(|(_, own)| own.what == what) {
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
        let Some(place) = place_of(language, &words, &events, &sentences, own.from, count) else {
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
            // "Bar 120, arco to the end": the place goes as far; a dynamic only lasts as long.
            if free == at
                && !matches!(
                    events.last(),
                    Some(Event {
                        what: Heard::Fact(FactKind::Dynamic, _),
                        ..
                    })
                )
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
        // "Crescendo to forte at 40" says where it arrives.
        let arrives =
            matches!(what, Heard::Place(_)) && arrives(language, words, &events, free, at);
        // "A crescendo to measure 16" goes as far as that, and does not move there.
        let limit = matches!(what, Heard::Place(_))
            && matches!(events.last(), Some(Event { what: Heard::Fact(kind, _), .. }) if *kind == FactKind::Dynamic)
            && free > 0
            && any_phrase(words, free, language.to) > 0
            && free + any_phrase(words, free, language.to) == at;
        let dynamic_before = matches!(events.last(),
            Some(Event { what: Heard::Fact(kind, _), .. }) if *kind == FactKind::Dynamic)
            && matches!(what, Heard::Fact(FactKind::Dynamic, _))
            && at <= free + 2;
        // "Not as in measure 12" moves nowhere, "before the crescendo" states none; but "from
        // piano up to forte" states two.
        let referred = follows(words, at, language.refers) && !dynamic_before
            || matches!(what, Heard::Place(_))
                && (recalled(language, words, at) || limit || arrives);
        if !referred {
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
    let lead = word::nonzero(any_phrase(words, at, language.all_the_way))?;
    let named = any_phrase(words, at + lead, language.measure);
    let (value, count) = number::number(language, words, at + lead + named)?;
    let fits =
        value > *from && word::goes_on(words, at + lead + named + count, language.counted) == 0;
    fits.then_some((
        Point::Measure {
            number: value,
            beat: None,
        },
        lead + named + count,
    ))
}

/// Tells whether the last two events are a dynamic that grows or fades and, right before an
/// index, the one it arrives at.
fn arrives(language: &Language, words: &[Word], events: &[Event], free: usize, at: usize) -> bool {
    let [.., swell, level] = events else {
        return false;
    };
    let dynamic = |event: &Event, swells: bool| {
        matches!(&event.what, Heard::Fact(FactKind::Dynamic, value)
            if language.swells.contains(&value.as_str()) == swells)
    };
    free == at
        && !begins(words, at)
        && dynamic(swell, true)
        && dynamic(level, false)
        && level.at <= swell.at + swell.words + 2
}

/// Tells whether a place is only recalled: "like the ones you played in bar 26". The word that
/// joins it may be part of the place.
fn recalled(language: &Language, words: &[Word], at: usize) -> bool {
    let joint = any_phrase(words, at, language.at);
    follows(words, at, language.recalls)
        || joint > 0 && follows(words, at + joint, language.recalls)
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
            let stop = (from..=event.at).any(|at| at > from && begins(words, at));
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
            if follows(words, at, language.refers) {
                return None;
            }
            // What is called by a name of somebody's own is where the talk is; others need a stretch.
            let next = at + count;
            let equated = word::one_of(words, next, language.advising.finite)
                && events.iter().any(|event| {
                    matches!(event.what, Heard::Place(_))
                        && (next + 1..=next + 2).contains(&event.at)
                });
            if equated {
                // "The second ending is measure 19".
                let place = events
                    .iter()
                    .find(|event| event.at > next && matches!(event.what, Heard::Place(_)));
                let Heard::Place(place) = &place?.what else {
                    return None;
                };
                return Some(Event {
                    at,
                    words: count,
                    confidence: 0.7,
                    what: Heard::Section(place.clone(), name),
                });
            }
            let own = follows(words, at, language.called) || follows(words, at, language.named);
            let here = || {
                events
                    .iter()
                    .rfind(|event| event.at < at && matches!(event.what, Heard::Place(_)))
            };
            let Heard::Place(place) = &if own { here() } else { near(at, count) }?.what else {
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
    // "Crescendo in ten, diminuendo in eleven": each has its own.
    let comma = (from..at).rfind(|own| {
        spoken
            .get(*own)
            .is_some_and(|word| word.pause > Pause::None)
    });
    let beside = places().find(|(own, _)| *own == at + words && *own < to);
    if let Some((_, place)) = beside
        && comma.is_some_and(|comma| inside.is_none_or(|(own, _)| own <= comma))
    {
        return Some(place.clone());
    }
    // "Forte, and then diminuendo from 106 to 111": the place belongs to what is nearer.
    let turns = |own: usize| (at + words..own).any(|at| any_phrase(spoken, at, language.turns) > 0);
    let soon = places()
        .find(|(own, _)| *own >= at && *own < to && *own < at + words + NEAR_WORDS && !turns(*own));
    let before = places().rfind(|(own, _)| *own < at);
    inside.or(soon).or(before).map(|(_, place)| place.clone())
}

#[cfg(test)]
mod tests;
