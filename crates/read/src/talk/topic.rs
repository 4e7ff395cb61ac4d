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
pub(super) fn is_telling(from: usize, to: usize, heard: &Heard<'_>) -> bool {
    topic_of((from, to), heard).is_some_and(|about| about.weight >= TELLING)
}

/// Finds what each word tells of a topic, with how many words after it.
pub(super) fn topics_of(language: &Language, words: &[Word]) -> Vec<Option<(About, usize)>> {
    let own: Vec<Word> = words
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
    (0..own.len())
        .map(|at| {
            // "Check your F's": a letter with an article is a note.
            let letter = own
                .get(at)
                .is_some_and(|word| matches!(word.said.as_bytes(), [b'b'..=b'g']));
            let noted = letter
                && at.checked_sub(1).is_some_and(|before| {
                    one_of(&own, before, language.definite)
                        || one_of(&own, before, language.articles)
                });
            let note = noted.then_some(((Topic::LeftHand, 1), 1));
            let ((topic, weight), count) = entry(&own, at, language.advising.topics).or(note)?;
            Some((About { topic, weight }, count))
        })
        .collect()
}

/// Gives the topic that the words of a range tell most of; of equals the one named first. Where the
/// talk is plucking, fingers and strings are those that pluck.
pub(super) fn topic_of((from, to): (usize, usize), heard: &Heard<'_>) -> Option<About> {
    let plucks = heard.plucks.partition_point(|(at, _)| *at < to);
    let plucking = plucks
        .checked_sub(1)
        .and_then(|last| heard.plucks.get(last))
        .is_some_and(|(_, plucks)| *plucks);
    let mut sums: Vec<(About, u32)> = Vec::new();
    let mut at = from;
    while at < to {
        let found = heard.topics.get(at).copied().flatten();
        let Some((About { topic, weight }, count)) = found.filter(|(_, count)| at + count <= to)
        else {
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
    let places = heard.places.partition_point(|(own, _)| *own < from);
    let place = heard.places.get(places.checked_sub(1)?)?.0;
    let last = heard
        .facts
        .iter()
        .rfind(|(own, _, _)| *own < from && it && *own + NEAR_WORDS >= place)?;
    last.2
}

/// How many words a fact may precede the place that it is at.
const NEAR_WORDS: usize = 7;
