//! What is said, as words with their places in the captions.

use crate::captions::Caption;

/// One word.
#[derive(Debug, Clone)]
pub(super) struct Word {
    /// In small letters, without the signs around it.
    pub(super) said: String,
    /// As it stands, with its signs; empty for the later pieces of a split word.
    pub(super) shown: String,
    /// The index of its caption.
    pub(super) caption: usize,
    /// What stands after it.
    pub(super) pause: Pause,
}

/// How strongly a sign divides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Pause {
    /// Not at all.
    None,
    /// A comma and its like.
    Comma,
    /// The end of a sentence.
    Stop,
}

/// Splits captions into words, without those that only fill. "thirty-two" is two words,
/// "5-8" three, "2+3" three.
pub(super) fn words(captions: &[Caption], fillers: &[&str], short: &[&str]) -> Vec<Word> {
    let mut words = Vec::new();
    for (caption, own) in captions.iter().enumerate() {
        for shown in own.text.split_whitespace() {
            split(shown, caption, &mut words);
        }
    }
    words.retain(|word| !fillers.contains(&word.said.as_str()));
    // The full stop of "m. 12" and "no. 5" ends no sentence.
    let numbered: Vec<bool> = words
        .iter()
        .skip(1)
        .map(|next| next.said.starts_with(|c: char| c.is_ascii_digit()))
        .collect();
    for (word, numbered) in words.iter_mut().zip(numbered) {
        if numbered && short.contains(&word.said.as_str()) {
            word.pause = Pause::None;
        }
    }
    words
}

fn split(shown: &str, caption: usize, words: &mut Vec<Word>) {
    let pause = match shown
        .trim_end_matches(['"', '\'', ')', '”', '’'])
        .chars()
        .last()
    {
        Some('.' | '!' | '?' | '…') => Pause::Stop,
        Some(',' | ';' | ':' | '—' | '–') => Pause::Comma,
        _ => Pause::None,
    };
    let small = shown.to_lowercase().replace('’', "'");
    let bare = small.trim_matches(|c: char| !c.is_alphanumeric());
    let mut pieces = pieces(&without_thousands(bare));
    if pieces.is_empty() && matches!(small.as_str(), "=" | "+" | "-" | "–") {
        pieces.push(sign(small.chars().next().unwrap_or('=')).to_owned());
    }
    let last = pieces.len();
    for (index, said) in pieces.into_iter().enumerate() {
        words.push(Word {
            said,
            shown: if index == 0 {
                shown.to_owned()
            } else {
                String::new()
            },
            caption,
            pause: if index + 1 == last {
                pause
            } else {
                Pause::None
            },
        });
    }
}

/// Takes the comma of a thousand out of a number: "1,204".
fn without_thousands(bare: &str) -> String {
    let figures = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    match bare.split_once(',') {
        Some((thousands, rest))
            if thousands.len() == 1 && rest.len() == 3 && figures(thousands) && figures(rest) =>
        {
            format!("{thousands}{rest}")
        }
        _ => bare.to_owned(),
    }
}

fn pieces(bare: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut piece = String::new();
    let mut letters = bare.chars().peekable();
    while let Some(letter) = letters.next() {
        let digit_before = piece.chars().last().is_some_and(|c| c.is_ascii_digit());
        let digit_after = letters.peek().is_some_and(char::is_ascii_digit);
        match letter {
            '=' | '+' => {
                push(&mut found, &mut piece);
                found.push(sign(letter).to_owned());
            }
            '-' | '–' if digit_before && digit_after => {
                push(&mut found, &mut piece);
                found.push("to".to_owned());
            }
            // "thirty-two" are two words, "down-bow" is one.
            '-' | '–' | '‑' if !["down", "up"].contains(&piece.as_str()) => {
                push(&mut found, &mut piece)
            }
            _ => piece.push(letter),
        }
    }
    push(&mut found, &mut piece);
    found
}

fn push(found: &mut Vec<String>, piece: &mut String) {
    if !piece.is_empty() {
        found.push(core::mem::take(piece));
    }
}

const fn sign(letter: char) -> &'static str {
    match letter {
        '+' => "plus",
        '-' | '–' => "to",
        _ => "equals",
    }
}

/// Tells how many words of a phrase stand at an index; 0 when it does not stand there.
pub(super) fn phrase(words: &[Word], at: usize, phrase: &str) -> usize {
    // Tables are long and most of their phrases begin otherwise.
    if !words
        .get(at)
        .is_some_and(|first| phrase.starts_with(first.said.as_str()))
    {
        return 0;
    }
    let mut count = 0;
    for part in phrase.split(' ') {
        match words.get(at + count) {
            Some(word) if word.said == part => count += 1,
            _ => return 0,
        }
    }
    count
}

/// Tells how many words of the longest of some phrases stand at an index.
pub(super) fn any_phrase(words: &[Word], at: usize, phrases: &[&str]) -> usize {
    phrases
        .iter()
        .map(|own| phrase(words, at, own))
        .max()
        .unwrap_or(0)
}

/// Finds the longest entry of a table at an index, and how many words it takes.
pub(super) fn entry<T: Copy>(words: &[Word], at: usize, table: &[(&str, T)]) -> Option<(T, usize)> {
    table
        .iter()
        .map(|(own, value)| (*value, phrase(words, at, own)))
        .filter(|(_, count)| *count > 0)
        .max_by_key(|(_, count)| *count)
}

/// Tells whether one of some words stands at an index.
pub(super) fn one_of(words: &[Word], at: usize, any: &[&str]) -> bool {
    words
        .get(at)
        .is_some_and(|word| any.contains(&word.said.as_str()))
}

/// Tells whether a sentence begins at an index because the one before has ended.
pub(super) fn begins(words: &[Word], at: usize) -> bool {
    at.checked_sub(1)
        .and_then(|before| words.get(before))
        .is_none_or(|before| before.pause == Pause::Stop)
}

/// Tells whether one of some phrases ends right before an index, in the same clause and caption.
pub(super) fn follows(words: &[Word], at: usize, phrases: &[&str]) -> bool {
    let joined = at
        .checked_sub(1)
        .and_then(|before| words.get(before))
        .zip(words.get(at))
        .is_some_and(|(before, own)| before.pause == Pause::None && before.caption == own.caption);
    joined
        && phrases.iter().any(|own| {
            let count = own.split(' ').count();
            at.checked_sub(count)
                .is_some_and(|from| phrase(words, from, own) == count)
        })
}

/// Gives a count of words, or nothing for none.
pub(super) const fn nonzero(count: usize) -> Option<usize> {
    if count == 0 { None } else { Some(count) }
}

/// Tells how many words of the longest of some phrases go on from the word before an index,
/// in the same clause.
pub(super) fn goes_on(words: &[Word], at: usize, phrases: &[&str]) -> usize {
    let joined = at
        .checked_sub(1)
        .and_then(|before| words.get(before))
        .is_some_and(|before| before.pause == Pause::None);
    if joined {
        any_phrase(words, at, phrases)
    } else {
        0
    }
}
