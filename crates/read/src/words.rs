//! What printed words mean, in the languages parts are printed in.
//!
//! # Source
//! Italian terms and whether a change of tempo is gradual or at once: Gehrkens,
//! Music Notation and Terminology, 1914, sections 111 and 112 ("ritenuto" at
//! once as Beethoven has it). German, French and Spanish: common practice, from
//! memory; a native reader should look at them.

mod phrases;

use cueleaf_score::{JumpKind, PlayingWay};
use phrases::{
    BARE_MUTES, BESIDE_MUTES, BY_AND_BY, CHARACTER_TEMPI, LEFT_HAND, OF_THE_HAND, PHRASES,
    TEMPO_WORDS,
};

/// One thing that printed words say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Meaning {
    /// Bow, pluck, mute.
    Play(PlayingWay),
    /// Notes plucked by the left hand, while the bow goes on.
    LeftHandPizz,
    /// Louder by and by.
    Grow,
    /// Softer by and by.
    Fade,
    /// Slower or faster by and by.
    Gradual,
    /// A tempo at once, by a word.
    Tempo,
    /// The tempo goes on.
    Same,
    /// Twice as fast.
    Double,
    /// Back to the tempo before.
    ToBefore,
    /// Back to the first tempo.
    ToFirst,
    /// Back to the beginning.
    DaCapo(JumpKind),
    /// Back to the segno.
    DalSegno(JumpKind),
    /// Leave for the coda.
    ToCoda,
    /// Here the coda starts.
    Coda,
    /// Here it ends after a jump.
    Fine,
    /// Words that look like another meaning and are not.
    Nothing,
}

use Meaning::{Coda, DaCapo, DalSegno, Fine, Gradual, LeftHandPizz, Nothing, Play, Tempo, ToCoda};
use PlayingWay::{Arco, Muted, Pizzicato};

/// How many words into a text a tempo word still names the tempo.
const TEMPO_WITHIN: usize = 4;

/// Gives what a text says, in order; nothing when it is just words.
pub(crate) fn meanings(text: &str) -> Vec<Meaning> {
    let plain = plain(text);
    let tokens: Vec<&str> = plain.split_whitespace().collect();
    match tokens.as_slice() {
        ["fine"] | ["il", "fine"] => return vec![Fine],
        ["coda"] => return vec![Coda],
        ["bogen"] => return vec![Play(Arco)],
        _ => {}
    }
    let mut found = Vec::new();
    // Words that stand in no phrase.
    let mut others: Vec<&str> = Vec::new();
    let mut bare_mute = None;
    let mut index = 0;
    while let Some(rest) = tokens.get(index..).filter(|rest| !rest.is_empty()) {
        match longest(rest) {
            Some((length, meaning)) => {
                // Sung syllables such as "d'c" are no jumps; abbreviated ones
                // start the text or are printed in capitals.
                let short = matches!(rest.first(), Some(&("d" | "dc" | "ds")));
                let jump = matches!(meaning, DaCapo(_) | DalSegno(_));
                let doubtful = jump && short && index > 0 && !text.contains("D.");
                if meaning != Nothing && !doubtful {
                    found.push(meaning);
                }
                index += length;
            }
            None => {
                let token = rest.first().copied().unwrap_or_default();
                if one_of(BARE_MUTES, token) {
                    bare_mute = bare_mute.or(Some(found.len()));
                } else {
                    others.push(token);
                }
                if names_tempo(text, &tokens, index) && !found.contains(&Tempo) {
                    found.push(Tempo);
                }
                index += 1;
            }
        }
    }
    if let Some(at) = bare_mute
        && others.iter().all(|token| one_of(BESIDE_MUTES, token))
    {
        found.insert(at, Play(Muted));
    }
    if others.iter().any(|token| one_of(OF_THE_HAND, token)) {
        found.retain(|meaning| *meaning != Tempo);
    }
    if says_any(&tokens, BY_AND_BY) {
        change(&mut found, Tempo, Gradual);
    }
    if says_any(&tokens, LEFT_HAND) {
        change(&mut found, Play(Pizzicato), LeftHandPizz);
    }
    settle_jumps(&mut found, &tokens);
    found
}

/// Whether a word of a text names a tempo where it stands.
fn names_tempo(text: &str, tokens: &[&str], index: usize) -> bool {
    // "Poco a poco" and the like stand before the word.
    let within = if says_any(tokens, BY_AND_BY) {
        2 * TEMPO_WITHIN
    } else {
        TEMPO_WITHIN
    };
    let Some(token) = tokens.get(index).filter(|_| index < within) else {
        return false;
    };
    if one_of(TEMPO_WORDS, token) {
        return true;
    }
    let before = index.checked_sub(1).and_then(|before| tokens.get(before));
    let after_con = before == Some(&"con");
    let compared = matches!(before, Some(&("piu" | "meno")));
    let first = text.chars().find(|sign| sign.is_alphabetic());
    let printed_large = first.is_some_and(char::is_uppercase);
    one_of(CHARACTER_TEMPI, token)
        && (compared || printed_large)
        && (*token != "moto" || after_con || compared)
}

/// Whether one of the phrases stands anywhere.
fn says_any(tokens: &[&str], phrases: &[&str]) -> bool {
    phrases.iter().any(|phrase| {
        let words: Vec<&str> = phrase.split(' ').collect();
        tokens.windows(words.len()).any(|own| own == words)
    })
}

fn one_of(words: &[&str], token: &str) -> bool {
    words.iter().any(|word| fits(word, token))
}

/// Puts one meaning in the place of another; said twice, it counts once.
fn change(found: &mut Vec<Meaning>, old: Meaning, new: Meaning) {
    let said = found.contains(&new);
    found.retain(|meaning| !(said && *meaning == old));
    for meaning in found.iter_mut().filter(|meaning| **meaning == old) {
        *meaning = new;
    }
}

/// A jump's words also say how far to play; "al Coda" alone is no sign to leave.
fn settle_jumps(found: &mut Vec<Meaning>, tokens: &[&str]) {
    let says = |word: &str| tokens.contains(&word);
    let until = if says("coda") {
        JumpKind::ToCoda
    } else if says("fine") {
        JumpKind::ToFine
    } else {
        JumpKind::Plain
    };
    let jump = found.iter().find_map(|meaning| match meaning {
        DaCapo(_) => Some(DaCapo(until)),
        DalSegno(_) => Some(DalSegno(until)),
        _ => None,
    });
    if let Some(jump) = jump {
        found.retain(|meaning| {
            !matches!(
                meaning,
                DaCapo(_) | DalSegno(_) | ToCoda | Coda | Fine | Tempo
            )
        });
        found.push(jump);
    }
}

fn longest(tokens: &[&str]) -> Option<(usize, Meaning)> {
    let mut best = None;
    for (phrase, meaning) in PHRASES {
        let mut length = 0;
        let mut matches = true;
        for word in phrase.split(' ') {
            matches &= tokens.get(length).is_some_and(|token| fits(word, token));
            length += 1;
        }
        if matches && best.is_none_or(|(longest, _)| length > longest) {
            best = Some((length, *meaning));
        }
    }
    best
}

fn fits(word: &str, token: &str) -> bool {
    match word.strip_suffix('*') {
        Some(stem) => token.starts_with(stem),
        None => word == token,
    }
}

/// Small letters without accents; punctuation becomes space.
fn plain(text: &str) -> String {
    let small = text.to_lowercase();
    let mut plain = String::with_capacity(small.len());
    for token in small.split_whitespace() {
        // "string." is stringendo; without its point it is a string.
        if token.trim_matches(['(', ')']) == "string." {
            plain.push_str("stringendo ");
            continue;
        }
        for letter in token.chars() {
            match letter {
                'à' | 'á' | 'â' | 'ä' => plain.push('a'),
                'è' | 'é' | 'ê' | 'ë' => plain.push('e'),
                'ì' | 'í' | 'î' | 'ï' => plain.push('i'),
                'ò' | 'ó' | 'ô' | 'ö' => plain.push('o'),
                'ù' | 'ú' | 'û' | 'ü' => plain.push('u'),
                'ñ' => plain.push('n'),
                'ç' => plain.push('c'),
                'ß' => plain.push_str("ss"),
                '\'' | '’' | '‘' => plain.push('\''),
                other if other.is_alphanumeric() && other != 'º' && other != 'ª' => {
                    plain.push(other);
                }
                _ => plain.push(' '),
            }
        }
        plain.push(' ');
    }
    plain
}

#[cfg(test)]
mod tests;
