//! Words of the trade that were misheard: proposals, never silent changes.

use super::number::number;
use super::table::Language;
use super::word::{Word, any_phrase, follows, one_of, phrase};

/// A word that was probably meant in the place of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correction {
    /// The number of the caption.
    pub caption: usize,
    /// What the captions say.
    pub heard: String,
    /// What was probably meant.
    pub meant: String,
}

/// Replaces what was misheard for the grammar alone; what is shown stays as it was heard.
/// Gives the words, whether each is a proposal, and the proposals by index of caption.
pub(super) fn corrected(
    language: &Language,
    words: Vec<Word>,
) -> (Vec<Word>, Vec<bool>, Vec<(usize, Correction)>) {
    let mut made: Vec<Word> = Vec::with_capacity(words.len());
    let mut doubtful = Vec::with_capacity(words.len());
    let mut corrections = Vec::new();
    let mut at = 0;
    while let Some(word) = words.get(at) {
        let found = language
            .misheard
            .iter()
            .map(|(heard, meant)| (*heard, *meant, phrase(&words, at, heard)))
            .filter(|(_, meant, count)| *count > 0 && fits(language, &words, at, *count, meant))
            .max_by_key(|(_, _, count)| *count);
        let Some((heard, meant, count)) = found else {
            made.push(word.clone());
            doubtful.push(false);
            at += 1;
            continue;
        };
        let pause = words
            .get(at + count - 1)
            .map_or(word.pause, |last| last.pause);
        corrections.push((
            word.caption,
            Correction {
                caption: 0,
                heard: heard.to_owned(),
                meant: meant.to_owned(),
            },
        ));
        let pieces: Vec<&str> = meant.split(' ').collect();
        let shown: Vec<&str> = words
            .iter()
            .skip(at)
            .take(count)
            .map(|own| own.shown.as_str())
            .filter(|own| !own.is_empty())
            .collect();
        for (index, piece) in pieces.iter().enumerate() {
            made.push(Word {
                said: (*piece).to_owned(),
                shown: if index == 0 {
                    shown.join(" ")
                } else {
                    String::new()
                },
                caption: word.caption,
                pause: if index + 1 == pieces.len() {
                    pause
                } else {
                    super::word::Pause::None
                },
            });
            doubtful.push(true);
        }
        at += count;
    }
    (made, doubtful, corrections)
}

/// Some words are good English; they are misheard only where they make no sense.
fn fits(language: &Language, words: &[Word], at: usize, count: usize, meant: &str) -> bool {
    let next_is_number = number(language, words, at + count).is_some();
    let key_before = at
        .checked_sub(1)
        .and_then(|before| words.get(before))
        .is_some_and(|word| {
            word.said.len() == 1
                || language
                    .accidentals
                    .iter()
                    .any(|(own, _)| *own == word.said)
        });
    match meant {
        own if language.measure.contains(&own) => {
            let determiner = at
                .checked_sub(1)
                .is_some_and(|before| one_of(words, before, language.determiners));
            next_is_number && !key_before
                || determiner
                    && !language
                        .also_words
                        .iter()
                        .any(|word| phrase(words, at, word) == count)
                    && !language
                        .modes
                        .iter()
                        .any(|(mode, _)| phrase(words, at, mode) > 0)
        }
        // "A ladder" is one; before a letter it is a rehearsal mark.
        own if language.mark.contains(&own) => words
            .get(at + count)
            .is_some_and(|next| next.said.len() == 1 && next.said != language.a),
        // How to play has no article: "a piece" is one, and so is "this piece".
        own if language.plucks.iter().any(|(name, _)| *name == own)
            && language
                .also_words
                .iter()
                .any(|word| phrase(words, at, word) > 0) =>
        {
            let determined = |before: usize| {
                one_of(words, before, language.determiners) || one_of(words, before, language.ours)
            };
            // "A happy piece" has a word between.
            let noun = at.checked_sub(1).is_none_or(|before| {
                determined(before) || before.checked_sub(1).is_some_and(determined)
            });
            !noun && any_phrase(words, at + count, language.of) == 0
        }
        // "It says forty" is no number.
        own if language.dynamics.iter().any(|(name, _)| *name == own)
            && number(language, words, at).is_some() =>
        {
            follows(words, at, language.marked) && !next_is_number
        }
        // "Open for tea" is good English; after "marked" or "mezzo" a dynamic is meant.
        own if language.dynamics.iter().any(|(name, _)| *name == own)
            && language
                .also_words
                .iter()
                .any(|word| phrase(words, at, word) == count) =>
        {
            at.checked_sub(1).is_some_and(|before| {
                one_of(words, before, language.key_before)
                    || one_of(words, before, language.fact_leads)
                    || any_phrase(words, before, language.at) > 0
            })
        }
        _ => true,
    }
}
