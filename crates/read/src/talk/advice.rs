//! Advice: orders and duties, quoted in the speaker's own words.

use super::sentence::Sentence;
use super::table::Language;
use super::word::{Pause, Word, any_phrase, entry, follows, one_of};
use cueleaf_guide::Topic;

/// The fewest words of an advice, and the most letters of its excerpt.
const LEAST_WORDS: usize = 3;
const EXCERPT: usize = 240;

/// The weight of a word that tells by itself what an advice is about.
const TELLING: u32 = 3;

/// An advice.
pub(super) struct Advice {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) topic: Topic,
    pub(super) excerpt: String,
}

/// What is known of the words besides: where an event takes words, and what was spoken of last.
pub(super) struct Heard<'a> {
    /// The places, as first word and end.
    pub(super) places: &'a [(usize, usize)],
    /// The facts, as first word, end, and the topic of an advice about "it".
    pub(super) facts: &'a [(usize, usize, Option<Topic>)],
    /// Where plucking begins, and where it ends again.
    pub(super) plucks: &'a [(usize, bool)],
}

/// Finds the advice in sentences: at most one in each, from its first order or duty on. What goes
/// on about the same in the next sentence of the same caption is one with it: "Count them. Don't
/// look at the desk behind you."
pub(super) fn advices(
    language: &Language,
    words: &[Word],
    sentences: &[Sentence],
    heard: &Heard<'_>,
) -> Vec<Advice> {
    let mut found: Vec<Advice> = Vec::new();
    let mut open: Option<Asked> = None;
    let asked = sentences.iter().flat_map(|own| {
        asked(language, words, *own, heard)
            .into_iter()
            .map(move |asked| (own, asked))
    });
    for (sentence, own) in asked {
        if let Some(before) = &mut open
            && goes_on(words, heard, before, *sentence, &own)
        {
            before.to = own.to;
            before.topic = before.topic.or(own.topic);
            continue;
        }
        found.extend(
            open.take()
                .and_then(|own| own.advice(language, words, heard)),
        );
        open = Some(own);
    }
    found.extend(open.and_then(|own| own.advice(language, words, heard)));
    found
}

/// Tells whether what is asked in a sentence is one with what was asked before: in the same
/// caption and at the same place, when its words do not tell of something else by themselves.
fn goes_on(
    words: &[Word],
    heard: &Heard<'_>,
    before: &Asked,
    sentence: Sentence,
    own: &Asked,
) -> bool {
    let other = before.topic.is_some()
        && another(before.topic, own.topic)
        && own.topic.is_some_and(|own| own.weight >= TELLING);
    let moved = heard
        .places
        .iter()
        .any(|(at, _)| (before.to..own.to).contains(at));
    // Short captions without punctuation cut an advice in pieces.
    let next = !sentence.punctuated
        && caption(words, before.to.saturating_sub(1)).map(|own| own + 1)
            == caption(words, own.from)
        && own.to <= before.from + FEW_WORDS
        && own.joined
        && (own.topic.is_none() || !another(before.topic, own.topic));
    before.to <= sentence.from
        && sentence.from <= before.to + ASIDE_WORDS
        && (caption(words, before.from) == caption(words, own.from) || next)
        && !other
        && !moved
}

/// An advice in pieces has so many words at most.
const FEW_WORDS: usize = 22;

/// How many words may stand between two sentences of one advice: "Don't follow him. He's late."
const ASIDE_WORDS: usize = 3;

/// What words are about, and how much the most telling of them tells.
#[derive(Clone, Copy)]
struct About {
    topic: Topic,
    weight: u32,
}

fn caption(words: &[Word], at: usize) -> Option<usize> {
    words.get(at).map(|word| word.caption)
}

/// An order or a duty; what it is about is perhaps not said in it.
struct Asked {
    from: usize,
    /// The end, outside.
    to: usize,
    /// Where its sentence begins.
    sentence: usize,
    topic: Option<About>,
    /// Whether it is joined to what is before it: "and keep", "don't".
    joined: bool,
}

impl Asked {
    fn advice(self, language: &Language, words: &[Word], heard: &Heard<'_>) -> Option<Advice> {
        let from = self.explained(language, words, heard);
        let own = words.get(from..self.to)?;
        // "Play out": a few words are enough when one of them tells all.
        let telling = |at: usize| {
            entry(own, at, language.advising.topics)
                .is_some_and(|((_, weight), _)| weight >= TELLING)
        };
        if own.len() < LEAST_WORDS && !(own.len() > 1 && (0..own.len()).any(telling)) {
            return None;
        }
        let topic = topic_of(language, words, (self.from, self.to), heard)
            .or_else(|| topic_of(language, words, (self.sentence, self.to), heard))
            .map(|about| about.topic)
            .or_else(|| topic_of_it(language, own, self.from, heard))?;
        Some(Advice {
            from,
            to: self.to,
            topic,
            excerpt: excerpt(own),
        })
    }
}

/// An advice of so many words that is about "it" needs what is before it to be understood.
const SHORT: usize = 5;

impl Asked {
    /// Gives where an advice begins with what it speaks of: "pencil it in" says little without
    /// "there's a B natural".
    fn explained(&self, language: &Language, words: &[Word], heard: &Heard<'_>) -> usize {
        let it = (self.from..self.to).any(|at| one_of(words, at, language.advising.it));
        let marks = self
            .topic
            .is_some_and(|about| about.topic == Topic::GetReady);
        if self.to > self.from + SHORT || !it || !marks {
            return self.from;
        }
        let own = after_leads(language, words, self.sentence, self.from, heard);
        if own < self.from && self.from <= own + CONTEXT_WORDS {
            return own;
        }
        self.from
    }
}

/// How many words may explain an advice.
const CONTEXT_WORDS: usize = 14;

/// Finds what a sentence asks: its orders, duties and models, with what leads to them.
fn asked(language: &Language, words: &[Word], sentence: Sentence, heard: &Heard<'_>) -> Vec<Asked> {
    let advising = &language.advising;
    let mut found: Vec<Asked> = Vec::new();
    let mut condition = None;
    let mut closed = true;
    for (from, to) in clauses(language, words, sentence, heard) {
        let first = after_leads(language, words, from, to, heard);
        let opening = from == sentence.from;
        let advice = is_advice(language, words, first, to, heard)
            || !asks(words, sentence)
                && is_verbless(language, words, first, to, heard)
                && (opening
                    || any_phrase(words, first, advising.negations) == 0
                        && is_telling(language, words, first, to, heard));
        let topic = topic_of(language, words, (first, to), heard);
        let listens = any_phrase(words, first, advising.listens) > 0;
        match found.last_mut() {
            // "Count them, and listen for the piccolo" is two.
            Some(open) if advice && !closed && !(listens && another(open.topic, topic)) => {
                open.to = to
            }
            Some(open) if !advice && !closed => {
                // "Give it air, and we're at 32": what comes has a subject of its own.
                let joint = usize::from(one_of(words, from, advising.joins));
                let place = heard
                    .places
                    .iter()
                    .any(|(at, _)| (from..first).contains(at));
                let own = joint > 0 && one_of(words, from + joint, advising.subjects);
                // "So it rings" tells what for.
                let aside = any_phrase(words, from, advising.asides) > 0;
                closed = place || aside || own && !one_of(words, from, advising.purposes);
                if !closed {
                    open.to = to;
                }
            }
            _ if advice => {
                let from = condition.take().unwrap_or(first);
                closed = false;
                found.push(Asked {
                    from,
                    to,
                    sentence: sentence.from,
                    topic,
                    joined: one_of(words, sentence.from, &[language.and])
                        || any_phrase(words, from, advising.negations) > 0,
                });
            }
            _ => {
                // "If you get lost, the drum plays the beat, so listen for it."
                let conditional = any_phrase(words, first, advising.conditions) > 0;
                condition = condition.or(conditional.then_some(first));
            }
        }
    }
    for own in &mut found {
        own.topic = topic_of(language, words, (own.from, own.to), heard);
    }
    found
}

fn another(one: Option<About>, other: Option<About>) -> bool {
    one.map(|about| about.topic) != other.map(|about| about.topic)
}

/// Cuts a sentence at its commas, where an order is joined to what has no subject, and where what
/// is joined has a subject of its own; without punctuation also before an order that no subject
/// precedes.
fn clauses(
    language: &Language,
    words: &[Word],
    sentence: Sentence,
    heard: &Heard<'_>,
) -> Vec<(usize, usize)> {
    let advising = &language.advising;
    let mut clauses = Vec::new();
    let mut from = sentence.from;
    for at in sentence.from..sentence.to {
        let next = at + 1;
        let comma = words.get(at).is_some_and(|word| word.pause > Pause::None);
        let joint = one_of(words, next, advising.joins);
        let verb = (next + 1..sentence.to)
            .find(|own| !one_of(words, *own, advising.adverbs))
            .unwrap_or(next + 1);
        let ordered = any_phrase(words, verb, advising.orders) > 0
            && !(settled(heard, from, next)..next).any(|at| one_of(words, at, advising.subjects));
        // "And you want to use more bow" has a subject of its own.
        let first = next + 1;
        let joined = joint
            && (ordered
                || one_of(words, first, advising.subjects)
                || heard.places.iter().any(|(own, _)| *own == first)
                || is_model(language, words, first))
            || one_of(words, next, advising.reasons)
            || !sentence.punctuated && any_phrase(words, next, advising.asides) > 0;
        let conditional = any_phrase(words, from, advising.conditions) > 0 && at > from + 1;
        let sudden = (conditional || !sentence.punctuated) && orders_at(language, words, next);
        if comma || joined || sudden || next == sentence.to {
            clauses.push((from, next));
            from = next;
        }
    }
    clauses
}

/// Tells whether an order begins at an index in the middle of a clause: after "you", "to" or "the"
/// it is none.
fn orders_at(language: &Language, words: &[Word], at: usize) -> bool {
    let advising = &language.advising;
    // "You just keep" has its subject before "just".
    let Some(before) = (0..at)
        .rev()
        .find(|own| !one_of(words, *own, advising.adverbs))
    else {
        return false;
    };
    any_phrase(words, at, advising.sudden) > 0
        && any_phrase(words, at, advising.no_orders) == 0
        && ![
            advising.subjects,
            advising.joins,
            advising.finite,
            advising.negations,
            advising.conditions,
            language.determiners,
            language.ours,
            language.others,
        ]
        .iter()
        .any(|list| one_of(words, before, list))
}

/// Gives the end of the last fact or place in a range, up to which everything is said.
fn settled(heard: &Heard<'_>, from: usize, to: usize) -> usize {
    let facts = heard.facts.iter().map(|(_, end, _)| *end);
    let ends = facts.chain(heard.places.iter().map(|(_, end)| *end));
    ends.filter(|end| (from..=to).contains(end))
        .max()
        .unwrap_or(from)
}

/// Passes over what leads in, the places and the facts: "so in measure 29", "forte,".
fn after_leads(
    language: &Language,
    words: &[Word],
    from: usize,
    to: usize,
    heard: &Heard<'_>,
) -> usize {
    let mut at = from;
    while at < to {
        let joint = any_phrase(words, at, language.at)
            + usize::from(one_of(words, at + 1, language.articles));
        let place = heard.places.iter().find(|(own, end)| {
            (*own..*end).contains(&at) || joint > 0 && *own > at && *own <= at + joint
        });
        let lead = any_phrase(words, at, language.advising.leads);
        let fact = heard.facts.iter().find(|(own, _, _)| *own == at);
        let place = place.copied().or(fact.map(|(own, end, _)| (*own, *end)));
        match place {
            Some((_, end)) => at = end,
            None if lead > 0 => at += lead,
            None => break,
        }
    }
    at
}

fn is_advice(
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
            .facts
            .iter()
            .filter(|(own, end, _)| *own < to && *end > from)
    };
    if any_phrase(words, from, advising.no_orders) > 0 {
        return false;
    }
    // "Look at letter B, please" only goes there; and what is conditional is a condition.
    let placed: usize = heard
        .places
        .iter()
        .filter(|(own, end)| (from..to).contains(own) && *end <= to)
        .map(|(own, end)| end - own)
        .sum();
    let telling =
        topic_of(language, words, (from, to), heard).is_some_and(|about| about.weight >= TELLING);
    let bare = placed > 0 && to - from <= placed + LEAST_WORDS && !telling;
    if bare || any_phrase(words, from, advising.conditions) > 0 {
        return false;
    }
    if is_model(language, words, from) {
        return facts().next().is_none() || to - from > LEAST_WORDS + 2;
    }
    if any_phrase(words, from, advising.orders) > 0 {
        // An order that only states a fact is one: "play pizz".
        let stated: usize = facts().map(|(own, end, _)| end - own).sum();
        return stated == 0 || to - from > stated + LEAST_WORDS;
    }
    if facts().next().is_some() {
        return false;
    }
    let duty = (from..to).any(|at| any_phrase(words, at, advising.duties) > 0);
    duty || is_contrast(language, words, from, to, heard)
        || is_technique(language, words, from, to, heard)
}

/// Tells whether a sentence is a question.
fn asks(words: &[Word], sentence: Sentence) -> bool {
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
    asked && contrast && !told && topic_of(language, words, (from, to), heard).is_some()
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
    let placed = heard.places.iter().any(|(_, end)| *end == from);
    let player =
        any_phrase(words, from, advising.players) > 0 || placed && one_of(words, from, language.is);
    // "The fourth finger" alone tells nothing of it.
    let body = any_phrase(words, from, advising.bodies) > 0 && to > from + LEAST_WORDS;
    let known = topic_of(language, words, (from, to), heard)
        .is_some_and(|about| about.weight >= if body { 2 } else { TELLING });
    (player || body) && known && !told && !otherwise
}

/// Tells whether a clause shows by what the speaker does, or what one does as a rule: "I'd stay in
/// fourth position", "I just tuck it in", "you listen for the oboe".
fn is_model(language: &Language, words: &[Word], from: usize) -> bool {
    let advising = &language.advising;
    let order = |at: usize| {
        let lead = any_phrase(words, at, advising.leads);
        let at = at + lead;
        any_phrase(words, at, advising.orders) > 0 && any_phrase(words, at, advising.no_models) == 0
    };
    let wish = any_phrase(words, from, advising.wishes);
    if wish > 0 {
        return order(from + wish);
    }
    let own = any_phrase(words, from, advising.models);
    let told = any_phrase(words, from, advising.told);
    own > 0 && order(from + own) || told > 0 && order(from + told)
}

/// A clause without a verb can be one too: "Short bows, in the middle."
fn is_verbless(
    language: &Language,
    words: &[Word],
    from: usize,
    to: usize,
    heard: &Heard<'_>,
) -> bool {
    let advising = &language.advising;
    let range = || from..to;
    let names = is_telling(language, words, from, to, heard)
        || range().any(|at| one_of(words, at, advising.verbless))
        || any_phrase(words, from, advising.negations) > 0
            && range().any(|at| entry(words, at, advising.topics).is_some());
    let verb = any_phrase(words, from, advising.no_orders) > 0
        || range().any(|at| one_of(words, at, advising.finite));
    let is_fact = |at: usize| {
        heard
            .facts
            .iter()
            .any(|(own, end, topic)| (*own..*end).contains(&at) && *topic == Some(Topic::Pluck))
    };
    // "The fifth finger and bam" only names it; a piece of a longer thought tells nothing either.
    let a =
        one_of(words, from, advising.indefinite) && is_telling(language, words, from, to, heard);
    let article = one_of(words, from, language.articles) && !a;
    let cut = article || one_of(words, from, advising.cut) && !a;
    names && !cut && !verb && !range().any(is_fact)
}

/// Tells whether words of a range tell by themselves what they are about.
fn is_telling(
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
fn topic_of(
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
        let Some(((topic, weight), count)) = entry(own, at, table) else {
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
fn topic_of_it(
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

/// Joins the speaker's own words, at most so many letters.
pub(super) fn excerpt(words: &[Word]) -> String {
    let mut text = String::new();
    for word in words.iter().map(|word| word.shown.as_str()) {
        if word.is_empty() {
            continue;
        }
        if text.chars().count() + word.chars().count() >= EXCERPT {
            text.push('…');
            break;
        }
        if !text.is_empty() {
            text.push(' ');
        }
        text.push_str(word);
    }
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}
