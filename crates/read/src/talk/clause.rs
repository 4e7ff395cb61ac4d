//! Clauses: where a sentence is cut, and what leads in.

use super::advice::Heard;
use super::sentence::Sentence;
use super::table::{Language, Words};
use super::voice::is_model;
use super::word::{Pause, Word, any_phrase, one_of};

/// Cuts a sentence at its commas, where an order is joined to what has no subject, and where what
/// is joined has a subject of its own; without punctuation also before an order that no subject
/// precedes.
pub(super) fn clauses(
    language: &Language,
    words: &[Word],
    sentence: Sentence,
    heard: &Heard<'_>,
) -> Vec<(usize, usize)> {
    let advising = &language.advising;
    let mut clauses = Vec::new();
    let mut from = sentence.from;
    for at in sentence.from..sentence.to {
        let next = at + 1;
        let comma = words.get(at).is_some_and(|word| word.pause > Pause::None);
        let joint = one_of(words, next, advising.joins);
        let verb = || {
            (next + 1..sentence.to)
                .find(|own| !one_of(words, *own, advising.adverbs))
                .unwrap_or(next + 1)
        };
        let ordered = || {
            any_phrase(words, verb(), advising.orders) > 0
                && (one_of(words, next, advising.purposes)
                    || !(settled(heard, from, next)..next)
                        .any(|at| one_of(words, at, advising.subjects)))
        };
        // "And you want to use more bow" has a subject of its own.
        let first = next + 1;
        let joined = joint
            && (ordered()
                || one_of(words, first, advising.subjects)
                || heard.places_near(first, first).iter().any(|(own, _)| {
                    let at = any_phrase(words, first, language.at);
                    (first..=first + at).contains(own)
                })
                || is_model(language, words, first))
            || one_of(words, next, advising.reasons)
            || !sentence.punctuated && any_phrase(words, next, advising.asides) > 0;
        let conditional = any_phrase(words, from, advising.conditions) > 0 && at > from + 1;
        let sudden = (conditional || !sentence.punctuated)
            && orders_at(language, words, next, advising.sudden)
            || conditional && orders_at(language, words, next, advising.remedies)
            || conditional && any_phrase(words, next, advising.judged) > 0;
        if comma || joined || sudden || next == sentence.to {
            clauses.push((from, next));
            from = next;
        }
    }
    clauses
}

/// Tells whether an order begins at an index in the middle of a clause: after "you", "to" or "the"
/// it is none.
fn orders_at(language: &Language, words: &[Word], at: usize, orders: Words) -> bool {
    let advising = &language.advising;
    // "You just keep" has its subject before "just".
    let Some(before) = (0..at)
        .rev()
        .find(|own| !one_of(words, *own, advising.adverbs))
    else {
        return false;
    };
    any_phrase(words, at, orders) > 0
        && any_phrase(words, at, advising.no_orders) == 0
        && ![
            advising.subjects,
            advising.joins,
            advising.finite,
            advising.negations,
            advising.conditions,
            language.determiners,
            language.ours,
            language.others,
        ]
        .iter()
        .any(|list| one_of(words, before, list))
}

/// Gives the end of the last fact or place in a range, up to which everything is said.
fn settled(heard: &Heard<'_>, from: usize, to: usize) -> usize {
    let facts = heard.facts_near(from, to).iter().map(|(_, end, _)| *end);
    let ends = facts.chain(heard.places_near(from, to).iter().map(|(_, end)| *end));
    ends.filter(|end| (from..=to).contains(end))
        .max()
        .unwrap_or(from)
}

/// Passes over what leads in, the places and the facts: "so in measure 29", "forte,".
pub(super) fn after_leads(
    language: &Language,
    words: &[Word],
    from: usize,
    to: usize,
    heard: &Heard<'_>,
) -> usize {
    let mut at = from;
    while at < to {
        let joint = any_phrase(words, at, language.at)
            + usize::from(one_of(words, at + 1, language.articles));
        let place = heard.places_near(at, at).iter().find(|(own, end)| {
            (*own..*end).contains(&at) || joint > 0 && *own > at && *own <= at + joint
        });
        let lead = any_phrase(words, at, language.advising.leads);
        let fact = heard
            .facts_near(at, at)
            .iter()
            .find(|(own, _, _)| *own == at);
        let place = place.copied().or(fact.map(|(own, end, _)| (*own, *end)));
        match place {
            Some((_, end)) => at = end,
            None if lead > 0 => at += lead,
            None => break,
        }
    }
    at
}
