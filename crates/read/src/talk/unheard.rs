//! What was said and not taken: about a place that was not read, or at a place without anything
//! that is understood.

use super::advice::excerpt;
use super::event::{Event, Heard};
use super::number::ordinal;
use super::sentence::Sentence;
use super::table::Language;
use super::word::{Pause, Word, any_phrase};

/// Words that were said and not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unheard {
    /// The words, as they were said.
    pub words: String,
    /// The number of the caption in which they begin.
    pub caption: usize,
    /// Why they were not taken.
    pub why: Why,
}

/// Why words were not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// They speak of a measure whose number was not read.
    NoPlace,
    /// They name a place, and what they say of it was not understood.
    NotUnderstood,
}

/// Finds where a measure is named whose number is not read: "measure 12,345", "bar 12a".
pub(super) fn unread(language: &Language, words: &[Word], events: &[Event]) -> Vec<usize> {
    let taken = |at: usize| {
        events
            .iter()
            .any(|event| (event.at..event.at + event.words).contains(&at))
    };
    (0..words.len())
        .filter(|at| {
            let count = any_phrase(words, *at, language.measure);
            let joined = words.get(*at).is_some_and(|word| word.pause == Pause::None);
            let next = *at + count;
            let figures = words
                .get(next)
                .is_some_and(|word| word.said.starts_with(|sign: char| sign.is_ascii_digit()));
            let numbered = count > 0 && joined && figures && !taken(next);
            // "In the seventh measure" is so far from the start, or from some place before.
            let nth = ordinal(language, words, *at).is_some_and(|(value, count)| {
                value >= LEAST_NTH && any_phrase(words, *at + count, language.measure) > 0
            });
            numbered || nth
        })
        // The rare thing was asked first: every word is looked for among all events.
        .filter(|at| !taken(*at))
        .collect()
}

/// "The second bar" of something is told without saying of what.
///
/// # Source
/// Our decision.
const LEAST_NTH: u32 = 5;

/// Tells whether what is said at an index is about a place that was not read.
pub(super) fn is_unplaced(
    unread: &[usize],
    events: &[Event],
    sentences: &[Sentence],
    at: usize,
) -> bool {
    let from = sentences
        .iter()
        .find(|own| (own.from..own.to).contains(&at))
        .map_or(0, |own| own.from);
    unread
        .iter()
        .rev()
        .find(|own| (from..at).contains(own))
        .is_some_and(|named| {
            !events.iter().any(|event| {
                matches!(event.what, Heard::Place(_)) && (*named..at).contains(&event.at)
            })
        })
}

/// Finds the sentences that name a place and say more, of which nothing was taken.
pub(super) fn not_understood(
    words: &[Word],
    events: &[Event],
    sentences: &[Sentence],
    taken: &[usize],
    caption_of: impl Fn(usize) -> usize,
) -> Vec<Unheard> {
    let inside = |own: &Sentence, at: usize| (own.from..own.to).contains(&at);
    let silent = sentences.iter().filter(|own| {
        let placed: usize = events
            .iter()
            .filter(|event| inside(own, event.at) && matches!(event.what, Heard::Place(_)))
            .map(|event| event.words)
            .sum();
        placed > 0 && own.to - own.from > placed + 1 && !taken.iter().any(|at| inside(own, *at))
    });
    silent
        .map(|own| Unheard {
            words: excerpt(words.get(own.from..own.to).unwrap_or_default()),
            caption: caption_of(own.from),
            why: Why::NotUnderstood,
        })
        .collect()
}
