//! Whether a clause asks for something: an order, a duty, a model, a way to play.

use super::advice::{Heard, LEAST_WORDS};
use super::sentence::Sentence;
use super::table::Language;
use super::topic::{TELLING, is_telling, topic_of};
use super::word::{Pause, Word, any_phrase, begins, entry, follows, one_of};
use cueleaf_guide::Topic;

pub(super) fn is_advice(
    language: &Language,
    words: &[Word],
    from: usize,
    to: usize,
    heard: &Heard<'_>,
) -> bool {
    let advising = &language.advising;
    if from >= to {
        return false;
    }
    let facts = || {
        heard
            .facts_near(from, to)
            .iter()
            .filter(|(own, end, _)| *own < to && *end > from)
    };
    if any_phrase(words, from, advising.no_orders) > 0 {
        return false;
    }
    // "Look at letter B, please" only goes there; and what is conditional is a condition.
    let placed: usize = heard
        .places_near(from, to)
        .iter()
        .filter(|(own, end)| (from..to).contains(own) && *end <= to)
        .map(|(own, end)| end - own)
        .sum();
    let telling = topic_of((from, to), heard).is_some_and(|about| about.weight >= TELLING);
    let bare = placed > 0 && to - from <= placed + LEAST_WORDS && !telling;
    if bare || any_phrase(words, from, advising.conditions) > 0 {
        return false;
    }
    let stated: usize = facts().map(|(own, end, _)| end - own).sum();
    if is_model(language, words, from) {
        return stated == 0 || to - from > stated + LEAST_WORDS;
    }
    // "Measures 10 and 11 turn it around" asks for nothing.
    let subject = heard.places_near(from, to).iter().any(|(own, end)| {
        *end == from
            && any_phrase(words, *own, language.at) == 0
            && begins(words, *own)
            && words
                .get(end - 1)
                .is_some_and(|word| word.pause == Pause::None)
    });
    if any_phrase(words, from, advising.orders) > 0 && !subject {
        // An order that only states a fact is one: "play pizz".
        let states = any_phrase(words, from, advising.states) > 0;
        return stated == 0 || !states || to - from > stated + LEAST_WORDS;
    }
    if facts().next().is_some() {
        return false;
    }
    // "I need to tune" is nothing for the listener.
    let told = |at: usize| {
        at.checked_sub(1)
            .is_none_or(|before| !one_of(words, before, advising.untold))
    };
    let duty = (from..to).any(|at| any_phrase(words, at, advising.duties) > 0 && told(at));
    duty || is_contrast(language, words, from, to, heard)
        || is_technique(language, words, from, to, heard)
}

/// Tells whether a sentence is a question.
pub(super) fn asks(words: &[Word], sentence: Sentence) -> bool {
    sentence
        .to
        .checked_sub(1)
        .and_then(|last| words.get(last))
        .is_some_and(|last| last.shown.contains('?'))
}

/// Tells whether a clause is set against another: "we want breath, not tone", "in the middle, not
/// on the bar line".
fn is_contrast(
    language: &Language,
    words: &[Word],
    from: usize,
    to: usize,
    heard: &Heard<'_>,
) -> bool {
    let against = |at: usize| any_phrase(words, at, language.advising.contrasts) > 0;
    let told = (from..to).any(|at| any_phrase(words, at, language.advising.told_of) > 0);
    let asked = any_phrase(words, from, language.advising.contrasted) > 0;
    let contrast = against(to) || (from + 1..to).any(against);
    asked && contrast && !told && topic_of((from, to), heard).is_some()
}

/// Tells whether a clause says how it is played, as if it were so: "you're on the G string", "it's
/// off the string", "we want breath, not tone".
fn is_technique(
    language: &Language,
    words: &[Word],
    from: usize,
    to: usize,
    heard: &Heard<'_>,
) -> bool {
    let advising = &language.advising;
    let told = (from..to).any(|at| any_phrase(words, at, advising.told_of) > 0);
    // "Or you're stuck at the tip" is what happens otherwise.
    let otherwise = follows(words, from, advising.otherwise);
    let placed = heard
        .places_near(from, to)
        .iter()
        .any(|(_, end)| *end == from);
    let player =
        any_phrase(words, from, advising.players) > 0 || placed && one_of(words, from, language.is);
    // "The fourth finger" alone tells nothing of it.
    let body = any_phrase(words, from, advising.bodies) > 0 && to > from + LEAST_WORDS;
    let known = topic_of((from, to), heard)
        .is_some_and(|about| about.weight >= if body { 2 } else { TELLING });
    (player || body) && known && !told && !otherwise
}

/// Tells whether a clause shows by what the speaker does, or what one does as a rule: "I'd stay in
/// fourth position", "I just tuck it in", "you listen for the oboe".
pub(super) fn is_model(language: &Language, words: &[Word], from: usize) -> bool {
    let advising = &language.advising;
    let order = |at: usize| {
        let lead = any_phrase(words, at, advising.leads);
        let at = at + lead;
        any_phrase(words, at, advising.orders) > 0 && any_phrase(words, at, advising.no_models) == 0
    };
    let wish = any_phrase(words, from, advising.wishes);
    if wish > 0 {
        let at = from + wish;
        return any_phrase(
            words,
            at + any_phrase(words, at, advising.leads),
            advising.orders,
        ) > 0;
    }
    let own = any_phrase(words, from, advising.models);
    let told = any_phrase(words, from, advising.told);
    own > 0 && order(from + own) || told > 0 && order(from + told)
}

/// A clause without a verb can be one too: "Short bows, in the middle."
pub(super) fn is_verbless(
    language: &Language,
    words: &[Word],
    from: usize,
    to: usize,
    heard: &Heard<'_>,
) -> bool {
    let advising = &language.advising;
    let range = || from..to;
    let names = is_telling(from, to, heard)
        || range().any(|at| one_of(words, at, advising.verbless))
        || any_phrase(words, from, advising.negations) > 0
            && range().any(|at| entry(words, at, advising.topics).is_some());
    let verb = any_phrase(words, from, advising.no_orders) > 0
        || range()
            .take_while(|at| !one_of(words, *at, advising.compared))
            .any(|at| one_of(words, at, advising.finite));
    let is_fact = |at: usize| {
        heard
            .facts_near(from, to)
            .iter()
            .any(|(own, end, topic)| (*own..*end).contains(&at) && *topic == Some(Topic::Pluck))
    };
    // "The fifth finger and bam" only names it; a piece of a longer thought tells nothing either.
    let a = one_of(words, from, advising.indefinite) && is_telling(from, to, heard);
    let article = one_of(words, from, language.articles) && !a;
    let cut = article || one_of(words, from, advising.cut) && !a;
    names && !cut && !verb && !range().any(is_fact)
}
