//! Signs over the notes as they are said: changes of tempo without a number, fermatas, mutes.
//!
//! They are looked for where nothing else was heard, and take no words from an advice.

use super::event::{Event, Heard, is_denied};
use super::fact::{FactKind, is_ours};
use super::table::Language;
use super::word::{Word, any_phrase, entry, follows};

/// How sure a sign is.
const SURE: f64 = 0.8;

/// Finds the signs outside of what was heard already.
pub(super) fn signs(language: &Language, words: &[Word], events: &[Event]) -> Vec<Event> {
    let mut signs = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let Some(((kind, value), count)) = entry(words, at, language.said_signs) else {
            at += 1;
            continue;
        };
        let covered = events
            .iter()
            .find(|event| (event.at..event.at + event.words).contains(&at));
        if let Some(event) = covered {
            at = event.at + event.words.max(1);
            continue;
        }
        if is_stated(language, words, events, at, count) {
            signs.push(Event {
                at,
                words: count,
                confidence: SURE,
                what: Heard::Fact(kind, value.to_owned()),
            });
        }
        at += count;
    }
    signs
}

/// Tells whether a sign is stated, and not only spoken of: "after the fermata", "in the rit."
fn is_stated(
    language: &Language,
    words: &[Word],
    events: &[Event],
    at: usize,
    count: usize,
) -> bool {
    let begins = any_phrase(words, at + count, language.begins) > 0;
    let known = follows(words, at, language.definite) && !begins;
    !known
        && !follows(words, at, language.within)
        && !follows(words, at, language.refers)
        && !is_denied(language, words, events, at)
        && is_ours(language, words, at)
}

/// How the kinds' values are written.
pub(super) const SLOWER: (FactKind, &str) = (FactKind::Change, "rit.");
pub(super) const BROADER: (FactKind, &str) = (FactKind::Change, "rall.");
pub(super) const FASTER: (FactKind, &str) = (FactKind::Change, "accel.");
pub(super) const BACK: (FactKind, &str) = (FactKind::Change, "a tempo");
pub(super) const FERMATA: (FactKind, &str) = (FactKind::Fermata, "fermata");
pub(super) const MUTE_ON: (FactKind, &str) = (FactKind::Mute, "on");
pub(super) const MUTE_OFF: (FactKind, &str) = (FactKind::Mute, "off");
