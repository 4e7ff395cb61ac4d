//! Sentences, also where nothing marks their ends.

use super::number::number;
use super::table::Language;
use super::word::{Pause, Word, any_phrase, one_of};

/// A run of words that belong together, the end outside.
#[derive(Clone, Copy)]
pub(super) struct Sentence {
    pub(super) from: usize,
    pub(super) to: usize,
    /// Whether its text has full stops and commas at all.
    pub(super) punctuated: bool,
}

/// A text with fewer full stops than one in so many words has no punctuation.
const WORDS_A_STOP: usize = 45;

/// Cuts the words into sentences: at full stops, or where there are none at new thoughts and
/// at captions, unless a caption ends in the middle of a phrase.
pub(super) fn sentences(language: &Language, words: &[Word]) -> Vec<Sentence> {
    let stops = words
        .iter()
        .filter(|word| word.pause == Pause::Stop)
        .count();
    let punctuated = stops * WORDS_A_STOP >= words.len();
    let mut sentences = Vec::new();
    let mut from = 0;
    for (at, word) in words.iter().enumerate() {
        let before = at.checked_sub(1).and_then(|before| words.get(before));
        let cue = before.is_some_and(|before| before.caption != word.caption)
            && !is_hanging(language, words, at)
            && !goes_on_here(language, words, at);
        let turn = at > from + 2 && any_phrase(words, at, language.turns) > 0;
        if !punctuated && at > from && (cue || turn) {
            sentences.push(Sentence {
                from,
                to: at,
                punctuated,
            });
            from = at;
        }
        if word.pause == Pause::Stop {
            sentences.push(Sentence {
                from,
                to: at + 1,
                punctuated,
            });
            from = at + 1;
        }
    }
    if from < words.len() {
        let to = words.len();
        sentences.push(Sentence {
            from,
            to,
            punctuated,
        });
    }
    sentences
}

/// Tells whether the word before an index cannot end a thought; "you" can in "than you".
fn is_hanging(language: &Language, words: &[Word], at: usize) -> bool {
    let Some(last) = at.checked_sub(1) else {
        return false;
    };
    let object = one_of(words, last, language.advising.subjects)
        && last
            .checked_sub(1)
            .is_some_and(|before| one_of(words, before, language.after_it));
    one_of(words, last, language.hanging) && !object
}

/// Tells whether the thought before goes on at an index: "have the bow | on the string". A place
/// or a fact begins something new: "in bar five".
fn goes_on_here(language: &Language, words: &[Word], at: usize) -> bool {
    let next = at + 1;
    let new = number(language, words, next).is_some()
        || any_phrase(words, next, language.measure) > 0
        || any_phrase(words, next, language.mark) > 0
        || words.get(next).is_some_and(|word| word.said.len() == 1);
    any_phrase(words, at, language.continuing) > 0 && !new
}
