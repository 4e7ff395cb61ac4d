//! The words of a language that the grammar looks for. Another language is another table.

use super::fact::FactKind;
use cueleaf_guide::Topic;

/// Words and what they mean.
pub(super) type Table<T> = &'static [(&'static str, T)];

/// Words or phrases.
pub(super) type Words = &'static [&'static str];

/// The tables of one language. Words are in small letters; more than one word stand with
/// single spaces.
pub(super) struct Language {
    /// Numbers below twenty.
    pub(super) ones: Table<u32>,
    /// Twenty to ninety.
    pub(super) tens: Table<u32>,
    pub(super) hundred: &'static str,
    /// What may stand inside a number: "a hundred and twelve".
    pub(super) and: &'static str,
    /// "first" to "twelfth", as numbers.
    pub(super) ordinals: Table<u32>,
    /// After the figures of one: "32nd".
    pub(super) ordinal_ends: Words,
    /// What a measure is called: one, and several.
    pub(super) measure: Words,
    /// What several measures are called.
    pub(super) measures: Words,
    /// What may stand before a number: "bar number five".
    pub(super) number: Words,
    pub(super) beat: Words,
    /// The ending of "finger's".
    pub(super) s: &'static str,
    /// "a", as in "a hundred", and "oh", as in "one oh five".
    pub(super) a: &'static str,
    pub(super) oh: &'static str,
    /// Words that only fill, and are left out.
    pub(super) fillers: Words,
    /// What is written short before a number: "no. 5".
    pub(super) short: Words,
    /// "a" and "the"; those of them that name what is known; all that stands before a noun.
    pub(super) articles: Words,
    pub(super) definite: Words,
    pub(super) determiners: Words,
    pub(super) of: Words,
    pub(super) on: Words,
    pub(super) into: Words,
    pub(super) between: Words,
    pub(super) from_the: Words,
    pub(super) the_end: Words,
    /// What follows is named only to compare, as a limit, or to say that it is not so.
    pub(super) refers: Words,
    /// What says so all the same: "it feels like".
    pub(super) seems: Words,
    /// In front of "in measure 26": it tells of what was, so it moves nowhere.
    pub(super) recalls: Words,
    /// What is told of the past some words before a place, and what joins the two: "we saw this
    /// in"; what is known from a place, and what joins those: "the tune from".
    pub(super) told_past: Words,
    pub(super) recalled_at: Words,
    pub(super) recalled_things: Words,
    pub(super) recalled_of: Words,
    /// In front of a place that something is for: "save it for".
    pub(super) aims: Words,
    /// What tells that a place is not reached yet; and after one, that it is all the same: "until
    /// bar 30, where".
    pub(super) still: Words,
    pub(super) there: Words,
    /// Between the first and the last measure of a stretch.
    pub(super) to: Words,
    /// Before the last measure of a stretch whose first was said before: "all the way to 88".
    pub(super) all_the_way: Words,
    pub(super) before: Words,
    /// Which of the measures before: "the last bar before B".
    pub(super) nearest: Words,
    pub(super) after: Words,
    /// The same after bars: "four bars into letter B".
    pub(super) bars_into: Words,
    /// In front of a rehearsal mark.
    pub(super) mark: Words,
    /// Those of them that only letters follow, even "a".
    pub(super) letters: Words,
    /// What is one only before a letter: "section C".
    pub(super) mark_of_letter: Words,
    /// What is one only where a talk says many: "at number five"; and what it stands for.
    pub(super) mark_of_number: Words,
    pub(super) numbered_mark: &'static str,
    /// "Letter double A".
    pub(super) double: &'static str,
    pub(super) pickup: Words,
    /// "Four bars from the end", and the last measure but one.
    pub(super) back_from: Words,
    pub(super) last_but_one: Words,
    /// The last measure, and the first.
    pub(super) end: Words,
    pub(super) start: Words,
    /// The first measure, as one says it to begin there: "from the top".
    pub(super) top: Words,
    /// In front of a bare number that is a place.
    pub(super) at: Words,
    /// After bars that lead on from a place: "four bars later"; what leads to the next one; and
    /// after it: "the bar after that". What makes a while of it: "the next bar or two".
    pub(super) later: Words,
    pub(super) next: Words,
    pub(super) after_that: Words,
    pub(super) whiles: Words,
    /// Before a number that is a speed to practise at: "take it at 60"; and what begins a stretch
    /// all the same.
    pub(super) practising: Words,
    pub(super) from: Words,
    /// In front of a letter that is one: "at E we get the tune".
    pub(super) at_mark: Words,
    /// In front of a bare number that is a place when a pause follows: "arco for 150,"; and after
    /// words that move: "jump ahead to 19."
    pub(super) at_before_pause: Words,
    pub(super) moves: Words,
    pub(super) moved_to: Words,
    /// What is in a measure: "the second note of 20".
    pub(super) parts_of_a_measure: Words,
    /// After a number that is no place: "in three minutes".
    pub(super) counted: Words,
    /// Before the dynamic to which another one goes: "from piano up to forte".
    pub(super) up_to: Words,
    /// Before a dynamic that is only told of: "in the crescendo".
    pub(super) within: Words,
    /// What takes back what was just said.
    pub(super) corrects: Words,
    /// Those that are orders where a sentence ends with them: "wait."
    pub(super) waits: Words,
    /// Note values.
    pub(super) notes: Table<&'static str>,
    pub(super) dotted: &'static str,
    pub(super) note: Words,
    /// Between a note value and its number.
    pub(super) equals: Words,
    pub(super) about: Words,
    /// In front of a tempo whose note value is left out.
    pub(super) tempo_named: Words,
    /// "the same tempo as before".
    pub(super) same: Words,
    pub(super) per_minute: Words,
    pub(super) minute: Words,
    pub(super) to_the: Words,
    /// "a bar of", before a meter for a short while.
    pub(super) bar_of: Words,
    /// Before the beats of a measure alone: "back in two"; and after them: "one in a bar".
    pub(super) beaten_in: Words,
    pub(super) in_a_bar: Words,
    /// Before groups that are joined by "and": "count it two and three".
    pub(super) count_as: Words,
    /// After a note value that keeps its length: "the quarter note stays the same".
    pub(super) stays: Words,
    /// Before groups that are not so: "not two plus three".
    pub(super) denies: Words,
    /// What denies what its clause states: "it does not change to 3/4"; "no", where it denies and
    /// takes nothing back; and what may stand between them and a fact, so that they deny it:
    /// "don't forget the crescendo" does not.
    pub(super) negates: Words,
    pub(super) none: &'static str,
    pub(super) between_negated: Words,
    /// What is counted by two numbers in a row, which are no meter then.
    pub(super) counted_by_two: Words,
    /// What has numbers like groups: "fingers two three two".
    pub(super) numbered: Words,
    /// What a meter's lower number is called.
    pub(super) lower: Table<u32>,
    pub(super) plus: Words,
    /// Meters that have names.
    pub(super) meters: Table<&'static str>,
    pub(super) modes: Table<&'static str>,
    pub(super) accidentals: Table<&'static str>,
    /// "two sharps".
    pub(super) signs: Table<&'static str>,
    pub(super) no_signs: Words,
    /// Before a key whose letter is also a word.
    pub(super) key_before: Words,
    /// Before a key whose mode is left out: "we're in B flat".
    pub(super) key_named: Words,
    pub(super) major: &'static str,
    /// After it.
    pub(super) key_after: Words,
    pub(super) plucks: Table<&'static str>,
    /// Signs over the notes: changes of tempo without a number, fermatas, mutes.
    pub(super) said_signs: Table<(FactKind, &'static str)>,
    /// In front of a single note so played: "the last pizz".
    pub(super) one_note: Words,
    pub(super) dynamics: Table<&'static str>,
    /// Letters that are dynamics only after "marked".
    pub(super) dynamic_signs: Table<&'static str>,
    /// The dynamics that grow or fade.
    pub(super) swells: Words,
    /// Dynamics that are instruments too.
    pub(super) instruments: Words,
    /// Other players, what follows when they play, and words for the players spoken to.
    pub(super) others: Words,
    pub(super) theirs: Words,
    pub(super) ours: Words,
    /// What a stretch can be called.
    pub(super) sections: Words,
    /// Before a name in quotation marks: "marked", "called".
    pub(super) named: Words,
    /// Before the name that somebody gives to a stretch: "what I call the boat song"; and what
    /// may stand between: "I call this part the boat song".
    pub(super) called: Words,
    pub(super) called_things: Words,
    /// After a name: "begins at 97", "starts here", and "again" when it was given before.
    pub(super) begins: Words,
    pub(super) begins_here: Words,
    pub(super) again: Words,
    /// Between a place and its name: "bar 17 is"; and in a sentence after the place: "that's".
    pub(super) is: Words,
    pub(super) this_is: Words,
    /// Words that name no stretch: "that's the trick".
    pub(super) ordinary: Words,
    /// Of what a stretch can be called, what names none without another word: "the part".
    pub(super) plain_sections: Words,
    /// Before something that a player has, and that names no stretch then: "we have the tune".
    pub(super) having: Words,
    /// What a fact's own sentence may begin with, joined to it: "the dynamic is".
    pub(super) fact_leads: Words,
    /// Those of them that tell what the fact is about: "the dynamic is".
    pub(super) fact_words: Words,
    /// What an advice is, and what it is about.
    pub(super) advising: Advising,
    /// Words that only talks of music have.
    pub(super) music: Words,
    /// What ends a talk, near its end: "see you next week".
    pub(super) farewells: Words,
    /// Where a new thought begins although no full stop says so.
    pub(super) turns: Words,
    /// Words that cannot begin a thought.
    pub(super) continuing: Words,
    /// Before "you", which ends a thought then: "on you".
    pub(super) after_it: Words,
    /// Words that cannot end a thought.
    pub(super) hanging: Words,
    /// Words of the trade that automatic captions mishear: what is heard, and what is meant.
    /// Both may be more than one word.
    pub(super) misheard: Table<&'static str>,
    /// Before a number that was meant as a dynamic: "it says forty".
    pub(super) marked: Words,
    /// Of those heard, the ones that are good English for other things.
    pub(super) also_words: Words,
}

/// What makes a sentence an advice.
pub(super) struct Advising {
    /// Words that can lead in: "so", "please".
    pub(super) leads: Words,
    /// What begins an order.
    pub(super) orders: Words,
    /// Those that begin one also in the middle of what has no punctuation: "don't".
    pub(super) sudden: Words,
    /// Those that begin one after a condition: "if it hurts stop".
    pub(super) remedies: Words,
    /// What may stand between a subject and its verb.
    pub(super) adverbs: Words,
    /// Joins what an order is for: "so it rings".
    pub(super) purposes: Words,
    /// Those that ask to listen.
    pub(super) listens: Words,
    /// What begins as an order does and is none: "let me".
    pub(super) no_orders: Words,
    /// Orders that only state a fact when one follows: "play pizz".
    pub(super) states: Words,
    /// Who is not told what their duty is: "I need to".
    pub(super) untold: Words,
    /// What makes a wish or a duty, anywhere in a clause.
    pub(super) duties: Words,
    /// Those that judge, after a condition: "if you can't hear her, you're too loud".
    pub(super) judged: Words,
    /// What begins a clause that belongs to the order after it: "if".
    pub(super) conditions: Words,
    /// Joins an order to what is before it.
    pub(super) joins: Words,
    /// What the speaker does is a model: "I keep", "I'd stay"; the second alone is one already.
    pub(super) models: Words,
    pub(super) wishes: Words,
    /// Who is told what to do as a rule: "you listen for".
    pub(super) told: Words,
    /// What a clause that tells how it is played is about: "you're", "it's", and what plays: "the
    /// bow"; and words that tell of other things than how to play.
    pub(super) players: Words,
    pub(super) bodies: Words,
    pub(super) told_of: Words,
    pub(super) otherwise: Words,
    /// What sets two ways against each other, "not", and what can begin such a clause.
    pub(super) contrasts: Words,
    pub(super) contrasted: Words,
    /// What begins a reason, and what begins something told by the way.
    pub(super) reasons: Words,
    pub(super) asides: Words,
    /// Orders that are none after "I" or "you": "I think".
    pub(super) no_models: Words,
    /// Those of the articles that can begin an advice: "an up-bow, please".
    pub(super) indefinite: Words,
    /// What ends it for a comparison: "less bow than you think".
    pub(super) compared: Words,
    /// What no advice without a verb begins with.
    pub(super) cut: Words,
    /// What begins an advice without a verb: "no swelling".
    pub(super) negations: Words,
    /// Who can be told to do something; after one of them a verb is no order.
    pub(super) subjects: Words,
    /// Words that stand for what was spoken of last.
    pub(super) it: Words,
    /// Words that stand for who was spoken of.
    pub(super) whom: Words,
    /// Words that make an advice without any verb.
    pub(super) verbless: Words,
    /// Verbs that are no order, so that a sentence with them is not without a verb.
    pub(super) finite: Words,
    /// What an advice is about, by the words in it, and how much each tells.
    pub(super) topics: Table<(Topic, u32)>,
}
