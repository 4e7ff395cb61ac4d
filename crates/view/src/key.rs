//! Key signatures in words.

use crate::{Word, Words};
use cueleaf_time::Key;

/// Writes a key signature as what a player sees: "2 sharps".
///
/// # Source
/// The signature does not say major or minor (common practice, no source).
#[must_use]
pub fn key_text(words: &Words, key: Key) -> String {
    let count = key.fifths().unsigned_abs().to_string();
    match key.fifths() {
        0 => words.get(Word::NoSharps).to_owned(),
        1 => words.get(Word::OneSharp).to_owned(),
        -1 => words.get(Word::OneFlat).to_owned(),
        2.. => words.fill(Word::Sharps, &[&count]),
        _ => words.fill(Word::Flats, &[&count]),
    }
}
