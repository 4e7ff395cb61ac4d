//! Advice: orders and duties, quoted in the speaker's own words.

use super::clause::{after_leads, clauses};
use super::sentence::Sentence;
use super::table::Language;
use super::topic::{About, TELLING, another, is_telling, topic_of, topic_of_it};
use super::voice::{asks, is_advice, is_verbless};
use super::word::{Word, any_phrase, entry, one_of};
use cueleaf_guide::Topic;

/// The fewest words of an advice.
pub(super) const LEAST_WORDS: usize = 3;

/// The most letters of an excerpt.
const EXCERPT: usize = 240;

/// An advice.
pub(super) struct Advice {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) topic: Topic,
    pub(super) excerpt: String,
}

/// What is known of the words besides: where an event takes words, and what was spoken of last.
pub(super) struct Heard<'a> {
    /// The places, as first word and end.
    pub(super) places: &'a [(usize, usize)],
    /// The facts, as first word, end, and the topic of an advice about "it".
    pub(super) facts: &'a [(usize, usize, Option<Topic>)],
    /// Where plucking begins, and where it ends again.
    pub(super) plucks: &'a [(usize, bool)],
    /// What each word, with those after it, tells of a topic.
    pub(super) topics: &'a [Option<(About, usize)>],
}

impl Heard<'_> {
    /// Gives the places in a range of words and close to it.
    pub(super) fn places_near(&self, from: usize, to: usize) -> &[(usize, usize)] {
        near(self.places, |own| own.0, from, to)
    }

    /// Gives the facts in a range of words and close to it.
    pub(super) fn facts_near(&self, from: usize, to: usize) -> &[(usize, usize, Option<Topic>)] {
        near(self.facts, |own| own.0, from, to)
    }
}

/// No place or fact takes so many words.
const WIDE: usize = 64;

fn near<T>(all: &[T], at: impl Fn(&T) -> usize, from: usize, to: usize) -> &[T] {
    let first = all.partition_point(|own| at(own) + WIDE < from);
    let last = all.partition_point(|own| at(own) < to + WIDE);
    all.get(first..last).unwrap_or_default()
}

/// Finds the advice in sentences: at most one in each, from its first order or duty on. What goes
/// on about the same in the next sentence of the same caption is one with it: "Count them. Don't
/// look at the desk behind you."
pub(super) fn advices(
    language: &Language,
    words: &[Word],
    sentences: &[Sentence],
    heard: &Heard<'_>,
) -> Vec<Advice> {
    let mut found: Vec<Advice> = Vec::new();
    let mut open: Option<Asked> = None;
    let asked = sentences.iter().flat_map(|own| {
        asked(language, words, *own, heard)
            .into_iter()
            .map(move |asked| (own, asked))
    });
    for (sentence, own) in asked {
        if let Some(before) = &mut open
            && goes_on(words, heard, before, *sentence, &own)
        {
            before.to = own.to;
            before.topic = before.topic.or(own.topic);
            continue;
        }
        found.extend(
            open.take()
                .and_then(|own| own.advice(language, words, heard)),
        );
        open = Some(own);
    }
    found.extend(open.and_then(|own| own.advice(language, words, heard)));
    lengthen(words, sentences, heard, &mut found);
    found
}

/// Takes to an advice of few words the sentence after it in its caption, which tells why or how:
/// "Mutes on. You have three bars for it."
fn lengthen(words: &[Word], sentences: &[Sentence], heard: &Heard<'_>, found: &mut [Advice]) {
    let begun: Vec<usize> = found.iter().map(|own| own.from).collect();
    for own in found {
        let next = sentences.iter().find(|next| next.from == own.to);
        let Some(next) = next.filter(|next| next.punctuated && own.to <= own.from + LEAST_WORDS)
        else {
            continue;
        };
        let range = next.from..next.to;
        let alone = caption(words, own.from) == caption(words, next.to - 1)
            && next.to <= next.from + CONTEXT_WORDS
            && !begun.iter().any(|at| range.contains(at))
            && !heard
                .places_near(next.from, next.to)
                .iter()
                .any(|(at, _)| range.contains(at))
            && !heard
                .facts_near(next.from, next.to)
                .iter()
                .any(|(at, _, _)| range.contains(at));
        if alone && let Some(longer) = words.get(own.from..next.to) {
            own.to = next.to;
            own.excerpt = excerpt(longer);
        }
    }
}

/// Tells whether what is asked in a sentence is one with what was asked before: in the same
/// caption and at the same place, when its words do not tell of something else by themselves.
fn goes_on(
    words: &[Word],
    heard: &Heard<'_>,
    before: &Asked,
    sentence: Sentence,
    own: &Asked,
) -> bool {
    let other = before.topic.is_some()
        && another(before.topic, own.topic)
        && own.topic.is_some_and(|own| own.weight >= TELLING);
    let moved = heard
        .places_near(before.to, own.to)
        .iter()
        .any(|(at, _)| (before.to..own.to).contains(at));
    // Short captions without punctuation cut an advice in pieces.
    let next = !sentence.punctuated
        && caption(words, before.to.saturating_sub(1)).map(|own| own + 1)
            == caption(words, own.from)
        && own.to <= before.from + FEW_WORDS
        && own.joined
        && (own.topic.is_none() || !another(before.topic, own.topic));
    before.to <= sentence.from
        && sentence.from <= before.to + ASIDE_WORDS
        && (caption(words, before.from) == caption(words, own.from) || next)
        && !other
        && !moved
}

/// An advice in pieces has so many words at most.
const FEW_WORDS: usize = 22;

/// How many words may stand between two sentences of one advice: "Don't follow him. He's late."
const ASIDE_WORDS: usize = 3;

fn caption(words: &[Word], at: usize) -> Option<usize> {
    words.get(at).map(|word| word.caption)
}

/// An order or a duty; what it is about is perhaps not said in it.
struct Asked {
    from: usize,
    /// The end, outside.
    to: usize,
    /// Where its sentence begins.
    sentence: usize,
    topic: Option<About>,
    /// Whether it is joined to what is before it: "and keep", "don't".
    joined: bool,
}

/// An advice of so many words that is about "it" needs what is before it to be understood.
const SHORT: usize = 8;

impl Asked {
    fn advice(self, language: &Language, words: &[Word], heard: &Heard<'_>) -> Option<Advice> {
        let from = self.explained(language, words, heard);
        let own = words.get(from..self.to)?;
        // "Play out": a few words are enough when one of them tells all.
        let telling = |at: usize| {
            entry(own, at, language.advising.topics)
                .is_some_and(|((_, weight), _)| weight >= TELLING)
        };
        let opens = from == after_leads(language, words, self.sentence, from, heard);
        let enough = own.len() > 1 && opens && (0..own.len()).any(telling);
        if own.len() < LEAST_WORDS && !enough {
            return None;
        }
        let topic = topic_of((self.from, self.to), heard)
            .or_else(|| topic_of((self.sentence, self.to), heard))
            .map(|about| about.topic)
            .or_else(|| topic_of_it(language, own, self.from, heard))?;
        Some(Advice {
            from,
            to: self.to,
            topic,
            excerpt: excerpt(own),
        })
    }

    /// Gives where an advice begins with what it speaks of: "pencil it in" says little without
    /// "there's a B natural".
    fn explained(&self, language: &Language, words: &[Word], heard: &Heard<'_>) -> usize {
        let it = (self.from..self.to).any(|at| one_of(words, at, language.advising.it));
        let marks = self
            .topic
            .is_some_and(|about| about.topic == Topic::GetReady);
        let whom = (self.from..self.to).any(|at| one_of(words, at, language.advising.whom));
        if self.to > self.from + SHORT || !(it && marks || whom) {
            return self.from;
        }
        let own = after_leads(language, words, self.sentence, self.from, heard);
        if own < self.from && self.from <= own + CONTEXT_WORDS {
            return own;
        }
        self.from
    }
}

/// How many words may explain an advice.
const CONTEXT_WORDS: usize = 14;

/// Finds what a sentence asks: its orders, duties and models, with what leads to them.
fn asked(language: &Language, words: &[Word], sentence: Sentence, heard: &Heard<'_>) -> Vec<Asked> {
    let advising = &language.advising;
    let mut found: Vec<Asked> = Vec::new();
    let mut condition = None;
    let mut closed = true;
    for (from, to) in clauses(language, words, sentence, heard) {
        let first = after_leads(language, words, from, to, heard);
        let opening = from == sentence.from;
        let advice = is_advice(language, words, first, to, heard)
            || !asks(words, sentence)
                && is_verbless(language, words, first, to, heard)
                && (opening
                    || any_phrase(words, first, advising.negations) == 0
                        && is_telling(first, to, heard));
        let topic = topic_of((first, to), heard);
        let listens = any_phrase(words, first, advising.listens) > 0;
        let place = heard
            .places_near(from, first)
            .iter()
            .any(|(at, _)| (from..first).contains(at));
        match found.last_mut() {
            // "Count them, and listen for the piccolo" is two, as is what has a place of its own.
            Some(open) if advice && !(closed || place || listens && another(open.topic, topic)) => {
                open.to = to
            }
            Some(open) if !advice && !closed => {
                // "Give it air, and we're at 32": what comes has a subject of its own.
                let joint = usize::from(one_of(words, from, advising.joins));
                let own = joint > 0 && one_of(words, from + joint, advising.subjects);
                // "So it rings" tells what for.
                let aside = any_phrase(words, from, advising.asides) > 0;
                closed = place || aside || own && !one_of(words, from, advising.purposes);
                if !closed {
                    open.to = to;
                }
            }
            _ if advice => {
                let from = condition.take().unwrap_or(first);
                closed = false;
                found.push(Asked {
                    from,
                    to,
                    sentence: sentence.from,
                    topic,
                    joined: one_of(words, sentence.from, &[language.and])
                        || any_phrase(words, from, advising.negations) > 0,
                });
            }
            _ => {
                // "If you get lost, the drum plays the beat, so listen for it."
                let conditional = any_phrase(words, first, advising.conditions) > 0;
                condition = condition.or(conditional.then_some(first));
            }
        }
    }
    for own in &mut found {
        own.topic = topic_of((own.from, own.to), heard);
    }
    found
}

/// Joins the speaker's own words, at most so many letters.
pub(super) fn excerpt(words: &[Word]) -> String {
    let mut text = String::new();
    for word in words.iter().map(|word| word.shown.as_str()) {
        if word.is_empty() {
            continue;
        }
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
