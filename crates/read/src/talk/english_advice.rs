//! English: what is an advice, and what it is about.

use super::english_orders::{DUTIES, MODELS, NO_MODELS, NO_ORDERS, ORDERS};
use super::english_topics::TOPICS;
use super::table::Advising;

/// The words of advice in English.
///
/// # Source
/// Our decision: words that teachers say. No corpus was read; tuned on the talk-throughs
/// in tests/cases/talk.
#[rustfmt::skip]
pub(super) const ADVISING: Advising = Advising {
    leads: &[
        "so", "now", "okay", "ok", "and", "but", "well", "then", "alright", "right", "yeah", "just",
        "please", "also", "still", "or", "all", "always", "really", "next", "again", "because",
        "cause", "maybe", "simply", "here", "there", "only", "oh", "you know", "and then",
        "of course", "i'd say", "kind of", "kinda", "sort of", "honestly", "seriously",
    ],
    orders: ORDERS,
    sudden: &[
        "don't", "do not", "keep", "let", "use", "listen", "watch", "count", "make", "put", "try",
        "think of", "remember", "imagine", "breathe", "relax", "save", "take", "avoid", "feel",
        "aim", "leave", "go", "get", "give", "hold", "grab", "look", "find", "tap", "clap", "say",
    ],
    remedies: &["stop", "rest", "shake", "change", "come in", "start", "practise", "practice"],
    adverbs: &[
        "just", "really", "also", "please", "always", "only", "kind", "of", "sort", "still",
        "simply", "almost", "usually", "actually",
    ],
    purposes: &["so"],
    listens: &["listen", "listen for", "hear"],
    no_orders: NO_ORDERS,
    states: &[
        "play", "go", "start", "begin", "be", "switch", "change", "come", "end", "finish", "do",
        "take", "return", "open", "stay", "get", "now", "mark", "count",
    ],
    untold: &["i", "he", "she", "who"],
    duties: DUTIES,
    judged: &[
        "you're too", "you are too", "you're working too", "you're playing too", "you're using too",
        "you've got", "you have",
    ],
    conditions: &["if", "when", "while", "as", "before", "once", "where", "after", "until"],
    joins: &["and", "so", "but", "then", "or"],
    models: MODELS,
    wishes: &[
        "what i'd do here is", "what i'd do is", "what i would do is", "what i do here is", "let's",
        "let's not", "let's all", "let's just", "let us", "i always tell my students to",
        "i tell my students to", "i tell everyone to", "i ask my students to", "i ask everyone to",
        "i tell people to", "what i do is i", "what you do is you", "what we do is we",
        "what i do is i kind of", "i have my students", "i make my students",
        "i get my students to", "i like to", "i usually", "i tend to", "i try to", "i'd", "i would",
        "i'd really", "i would really", "i'd always", "i'd just", "i'd also", "we'd",
    ],
    told: &["you"],
    players: &[
        "all of this", "this passage", "this bit", "this whole", "this one", "this section",
        "these notes", "this lies", "it lies", "that's all", "you're", "we're", "it's", "it is",
        "everything", "everything here", "they're", "you are", "we are", "it all",
        "the whole thing", "all of it", "each one", "every note", "each note",
    ],
    bodies: &[
        "your cue", "the mutes", "mutes", "the mute", "your mute", "the bow", "the left hand",
        "left hand", "the fingers", "the hand", "the arm", "the thumb", "fingers are",
        "your finger", "your fingers", "your bow", "your thumb", "your left hand", "your elbow",
        "your arm", "your hand", "your wrist", "first finger", "second finger", "third finger",
        "fourth finger", "the first finger", "the second finger", "the third finger",
        "the fourth finger", "your first finger", "your second finger", "your third finger",
        "your fourth finger", "the elbow", "the wrist", "thumb is", "bow is", "your second",
        "the stroke", "the stroke is",
    ],
    contrasts: &[
        "not the", "not a", "not your", "not from", "not on", "not in", "not at", "not with",
        "not more", "not to", "not mine", "not tone", "not up", "not over", "not like",
        "rather than", "instead of", "never the", "never a",
    ],
    contrasted: &[
        "it's", "we want", "i want", "you want", "i change", "we", "you", "that's", "from", "with",
        "in", "at", "it",
    ],
    reasons: &["because", "since", "cause", "otherwise", "unless"],
    asides: &[
        "i've", "i'm", "i was", "i had", "i know", "my teacher", "he was", "she was", "i think",
        "i once",
    ],
    otherwise: &["or", "because", "otherwise", "cause", "when", "if", "but"],
    told_of: &[
        "don't", "open strings", "an open string", "was", "were", "had", "used to", "if", "who",
        "because", "isn't", "aren't", "called", "would", "could", "i", "he", "she", "they", "my",
        "his", "her",
    ],
    no_models: NO_MODELS,
    indefinite: &["a", "an"],
    compared: &["than", "as"],
    cut: &[
        "my", "his", "her", "their", "somebody", "someone", "some", "the", "a", "an", "of", "to",
        "and", "for", "is", "are", "then", "so", "or", "but", "measure", "bar", "measures", "bars",
        "letter", "i", "as", "because", "when", "while", "than", "there's",
    ],
    negations: &["no", "not", "never", "don't", "nobody", "can't", "won't"],
    subjects: &[
        "people", "students", "you", "we", "they", "he", "she", "it", "i", "it's", "you're",
        "we're", "they're", "i'm", "who", "that", "everyone", "everybody", "somebody", "nobody",
        "that's", "you've", "we've", "i've", "to",
    ],
    it: &["it", "them"],
    whom: &["her", "him"],
    verbless: &[
        "fingerboard", "bridge", "heel", "instruments", "accents", "point", "finger", "position",
        "thumb", "vibrato", "spiccato", "flautando", "mutes", "mute", "frog", "tip", "string",
        "strings", "hand", "tremolo", "ready", "bow", "bows", "hair", "stroke", "strokes", "wrist",
        "fingers", "elbow",
    ],
    finite: &[
        "gonna", "you'll", "we'll", "they'll", "he'll", "she'll", "it'll", "you'd", "he's", "she's",
        "who's", "what's", "where", "what", "why", "how", "ends", "stays", "helps", "happens",
        "nobody", "people", "likes", "wants", "needs", "takes", "comes", "is", "are", "was", "were",
        "be", "has", "have", "had", "goes", "go", "come", "begins", "starts", "turns", "becomes",
        "it's", "that's", "there's", "you're", "we're", "they're", "you've", "we've", "i've", "i'm",
        "i'll", "do", "does", "did", "can", "could", "will", "would", "might", "may", "play",
        "plays", "played", "says", "said", "use", "used", "i", "you", "we", "they", "he", "she",
        "lasts", "means", "makes", "gets", "get", "got",
    ],
    topics: TOPICS,
};
