//! What an advice is about, by the words in it.

use super::advice::Heard;
use super::table::Language;
use super::word::{Word, entry, one_of};
use cueleaf_guide::Topic;

/// The weight of a word that tells by itself what an advice is about.
pub(super) const TELLING: u32 = 3;

/// What words are about, and how much the most telling of them tells.
#[derive(Clone, Copy)]
pub(super) struct About {
    pub(super) topic: Topic,
    pub(super) weight: u32,
}

/// Tells whether two are about different things.
pub(super) fn another(one: Option<About>, other: Option<About>) -> bool {
    one.map(|about| about.topic) != other.map(|about| about.topic)
}

/// Tells whether words of a range tell by themselves what they are about.
pub(super) fn is_telling(
    language: &Language,
    words: &[Word],
    from: usize,
    to: usize,
    heard: &Heard<'_>,
) -> bool {
    topic_of(language, words, (from, to), heard).is_some_and(|about| about.weight >= TELLING)
}

/// Gives the topic that the words of a range tell most of; of equals the one named first. Where the
/// talk is plucking, fingers and strings are those that pluck.
pub(super) fn topic_of(
    language: &Language,
    words: &[Word],
    (from, to): (usize, usize),
    heard: &Heard<'_>,
) -> Option<About> {
    let plucking = heard
        .plucks
        .iter()
        .rfind(|(at, _)| *at < to)
        .is_some_and(|(_, plucks)| *plucks);
    let own: Vec<Word> = words
        .get(from..to)?
        .iter()
        .cloned()
        .map(|mut word| {
            // "Your finger's low" is about a finger.
            if let Some(bare) = word.said.strip_suffix(language.s) {
                word.said = bare.to_owned();
            }
            word
        })
        .collect();
    let own = own.as_slice();
    let mut sums: Vec<(About, u32)> = Vec::new();
    let mut at = 0;
    while at < own.len() {
        let table = language.advising.topics;
        // "Check your F's": a letter with an article is a note.
        let noted = at.checked_sub(1).is_some_and(|before| {
            one_of(own, before, language.definite) || one_of(own, before, language.articles)
        }) && own
            .get(at)
            .is_some_and(|word| matches!(word.said.as_bytes(), [b'b'..=b'g']));
        let note = noted.then_some(((Topic::LeftHand, 1), 1));
        let Some(((topic, weight), count)) = entry(own, at, table).or(note) else {
            at += 1;
            continue;
        };
        let topic = match topic {
            Topic::LeftHand if plucking && weight < TELLING => Topic::Pluck,
            topic => topic,
        };
        match sums.iter_mut().find(|(own, _)| own.topic == topic) {
            Some((own, sum)) => {
                *sum += weight;
                own.weight = own.weight.max(weight);
            }
            None => sums.push((About { topic, weight }, weight)),
        }
        at += count;
    }
    let most = sums.iter().map(|(_, sum)| *sum).max()?;
    sums.into_iter()
        .find(|(_, sum)| *sum == most)
        .map(|(about, _)| about)
}

/// "Start it late": what "it" is was said just before.
pub(super) fn topic_of_it(
    language: &Language,
    words: &[Word],
    from: usize,
    heard: &Heard<'_>,
) -> Option<Topic> {
    let it = (0..words.len().min(3)).any(|at| one_of(words, at, language.advising.it));
    let place = heard.places.iter().rfind(|(own, _)| *own < from)?.0;
    let last = heard
        .facts
        .iter()
        .rfind(|(own, _, _)| *own < from && it && *own + NEAR_WORDS >= place)?;
    last.2
}

/// How many words a fact may precede the place that it is at.
const NEAR_WORDS: usize = 7;
