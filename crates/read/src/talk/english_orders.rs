//! English: how a teacher asks for something.
//!
//! Our decision, as in `english_advice.rs`. Orders and nouns that are spelled alike are orders
//! only where a clause begins, and only an order that is about something becomes an advice.

use super::table::Words;

/// What begins an order.
#[rustfmt::skip]
pub(super) const ORDERS: Words = &[
    "accent", "accept", "add", "aim", "allow", "always", "anchor", "anticipate", "apply",
    "approach", "arrive", "articulate", "attack the", "avoid", "balance", "bask", "bathe", "be",
    "beat", "begin", "bend", "bite", "blend", "block", "blow", "blur", "borrow", "bounce", "bow",
    "brace", "bracket", "break", "breathe", "bring", "brush", "build", "bury", "caress", "carry",
    "catch", "change", "cheat", "check", "chew", "choose", "circle", "clap", "clear the", "climb",
    "cling", "clip", "close", "coast", "come away", "come back", "come down", "come in", "come off",
    "come to", "commit", "compare", "concentrate", "connect", "control the", "copy", "count",
    "cover", "crawl", "creep", "cross over", "cross the", "crush", "cue", "curl", "curve",
    "cushion", "cut it", "damp", "dance", "decide", "deepen", "delay", "deliver", "depend",
    "descend", "dig", "direct", "ditch", "divide", "do", "do not", "don't", "dont", "double the",
    "drag", "draw", "drift", "drop", "dry the", "ease", "echo", "elongate", "emphasise",
    "emphasize", "end", "energise", "energize", "engage", "enjoy", "ensure", "enter", "exaggerate",
    "expect the", "extend", "fade", "fake", "fall", "favor", "favour", "feel", "fill", "find",
    "finish", "fit", "fix the", "flatten", "flick", "flip", "float", "flow", "focus", "follow",
    "forget", "free the", "free your", "freeze", "gather", "get", "ghost", "give", "glide", "glue",
    "go", "grab", "grip", "grow", "guide", "hammer", "handle", "hang", "have it", "have the",
    "have your", "hear", "hide", "highlight", "hit", "hold", "hook", "hop", "hover", "hug", "hum",
    "ignore", "imagine", "imitate", "inch", "intensify", "invite", "isolate", "join", "jump",
    "keep", "kick", "knit", "knock", "know what", "know where", "land", "latch", "launch", "lay",
    "lead", "lean", "learn", "leave", "lengthen", "let", "lift", "lighten", "linger", "listen",
    "lock", "look", "loosen", "lower", "magnify", "maintain", "make", "mark", "match", "mean it",
    "melt", "memorise", "memorize", "milk", "mind the", "mind your", "mirror", "mix", "moderate",
    "mold", "mould", "move", "mute", "nail", "narrow the", "never", "nibble", "nod", "notice",
    "nudge", "nurse", "observe", "open", "operate", "organise", "organize", "pack", "paint", "pass",
    "pause on", "peel", "pencil", "perform", "pick", "picture", "pinch", "place", "plan", "plant",
    "play", "pluck", "point", "poke", "polish", "pop", "pour", "practice", "practise", "prepare",
    "preserve", "press", "pretend", "project", "prolong", "propel", "protect", "provide", "puff",
    "pull", "punch", "pursue", "push", "put", "quieten", "raise", "reach", "react", "rebound",
    "recover", "reduce", "refresh", "regrip", "rehearse", "reinforce", "relax", "release", "relish",
    "rely", "remain", "remember", "repeat", "replace", "replay", "reposition", "reset", "resist",
    "respect", "respond", "rest", "restart", "resume", "retake", "retreat", "return the",
    "return to", "rewrite", "ride", "ring out", "rock", "roll", "rotate", "round it", "round off",
    "rub", "run", "sag", "save", "savor", "savour", "say", "scoop", "scrape", "scrub", "seal",
    "see how", "see if", "see it", "see the", "seize", "select", "sense", "separate", "set",
    "settle", "shake", "shape", "share", "sharpen", "shave", "shelter", "shift", "shimmer",
    "shorten", "shout", "show", "shrink", "shut", "sigh", "signal", "simplify", "sing", "sink",
    "sit", "sketch", "skip", "slam", "slap", "slide", "slip", "slot", "slow", "slur", "smile",
    "smooth", "snap", "snatch", "sneak", "snip", "snuggle", "soak", "soften", "sound as",
    "sound like", "space", "spare", "speak", "spend", "spin", "split", "spread", "sprinkle",
    "squash", "squeeze", "stagger", "stamp", "stand", "stare", "start", "stay", "steal", "steer",
    "step back", "stick the", "stick to", "stick with", "stop", "stretch", "strike", "strip",
    "strive", "stroke", "strum", "study", "subdivide", "subtract", "support", "surge", "survive",
    "suspend", "sustain", "swallow", "swap", "sweep", "swell on", "swing", "switch to", "tackle",
    "take", "talk", "tap", "taper", "target", "taste", "tease", "tense", "test", "thin out",
    "thin the", "think", "thread", "throw", "thump", "tickle", "tighten", "tilt", "tiptoe",
    "tongue", "toss", "touch", "trace", "train", "transfer", "travel", "treat", "trill", "trim",
    "trot", "trust", "try", "tuck", "tune", "turn", "twist", "underline", "undo", "untangle",
    "unwind", "use", "vary", "vibrate", "visualise", "visualize", "wait", "walk", "warm the",
    "warm up", "warn", "watch", "wear", "weave", "weigh", "whisper", "widen", "wiggle", "wipe",
    "work", "wrap", "write", "yield", "zoom",
];

/// What begins as an order does and is none: "let me".
#[rustfmt::skip]
pub(super) const NO_ORDERS: Words = &[
    "ask me", "ask your teacher", "believe me", "come on", "cut time", "double bass",
    "double basses", "excuse me", "find bar", "find letter", "find measure", "forgive me",
    "go ahead", "go figure", "go on to", "go to", "hang on", "have a", "hold on", "hold on a",
    "jump ahead", "jump to", "let me", "let us begin", "let us go", "let us look", "let us see",
    "let us turn", "let's begin", "let's go", "let's have", "let's jump", "let's look",
    "let's move on", "let's see", "let's skip", "let's start", "let's talk", "let's turn",
    "look out", "mind you", "move on to", "never mind", "note that", "open string is",
    "play it for me", "rest of", "say hello", "say hi", "see ya", "see you", "set in", "set of",
    "skip ahead", "skip to", "slow that", "sort of", "tell me", "thank you", "time signature",
    "trust me", "turn over", "turn to", "wait no", "wait sorry",
];

/// What makes a wish or a duty, anywhere in a clause.
#[rustfmt::skip]
pub(super) const DUTIES: Words = &[
    "a good idea", "are to be", "be careful", "be sure", "best to", "can i have", "can i hear",
    "can we have", "can we try", "can't be", "cannot be", "careful", "could i have", "could i hear",
    "could we have", "could we try", "could you", "easier if you", "feel free", "feel free to",
    "got to", "gotta", "has got to", "has to", "have got to", "have to", "helps to", "how about",
    "i beg you", "i don't want", "i like a", "i like less", "i like more", "i need a",
    "i need less", "i need more", "i need to hear", "i need you", "i recommend", "i should like",
    "i suggest", "i want", "i want to hear", "i want you to", "i would like", "i would love",
    "i'd like", "i'd like to hear", "i'd like you to", "i'd love", "is to be", "it helps",
    "it helps to", "it wants", "it works best", "it's a down bow", "it's a down-bow",
    "it's all down-bows", "it's all up-bows", "it's an up bow", "it's an up-bow", "it's best to",
    "it's better if", "it's better to", "it's easier if", "it's easier to", "it's easiest",
    "it's off the string", "it's on the string", "it's worth", "let's count", "let's listen",
    "let's not", "make sure", "may i have", "mind that", "must", "mustn't", "my advice",
    "my suggestion", "need less", "need more", "need to", "needs a", "needs its", "needs less",
    "needs more", "needs to", "not supposed to", "ought", "ought to", "remember to", "safest is",
    "should", "shouldn't", "supposed to", "take care", "that helps is", "the best thing to do",
    "the best way", "the key is to", "the safest", "the secret is", "the thing to do",
    "the trick here is", "the trick is", "the trick with", "they're down bow", "they're up bow",
    "thing that helps", "thing to remember", "try to", "wanna", "wants a", "wants its",
    "wants less", "wants more", "we count", "we don't want", "we hold", "we keep", "we listen",
    "we need", "we need less", "we need more", "we save", "we stay", "we use", "we want",
    "what helps", "what works", "why not try", "why not use", "works best", "works better", "worth",
    "would you", "you are too", "you better", "you can afford", "you can cheat", "you can take",
    "you can use", "you could play", "you could put", "you could take", "you could try",
    "you could use", "you don't need", "you don't want", "you have to", "you just", "you may",
    "you might", "you might want", "you must", "you need to", "you only need", "you should",
    "you wanna", "you want", "you won't need", "you'd better", "you'd do well", "you'd want",
    "you'll want", "you're too", "you're working too", "you've got to", "you've to",
];

/// Before an order that is a model then: "I keep".
#[rustfmt::skip]
pub(super) const MODELS: Words = &[
    "i", "i also", "i always", "i always kind of", "i ask my students to", "i even",
    "i get my students to", "i have my students", "i just", "i kind of", "i like to",
    "i make my students", "i often", "i personally", "i really", "i sort of", "i still",
    "i tell my students to", "i tend to", "i try to", "i usually", "my trick is to", "what i do is",
    "what i do is i", "what we do is", "what we do is we", "what you do is", "what you do is you",
];

/// Orders that are none after "I" or "you": "I think".
#[rustfmt::skip]
pub(super) const NO_MODELS: Words = &[
    "always", "ask", "be", "beat", "begin", "bring", "call", "catch", "change", "come", "come in",
    "conduct", "do", "do not", "don't", "drop", "end", "enter", "expect", "find", "finish",
    "follow", "forget", "get", "go", "have", "hear", "hold", "hope", "imagine", "keep saying",
    "know", "land", "lead", "learn", "like", "live", "look", "love", "mean", "miss", "move", "need",
    "never", "notice", "play", "promise", "remember", "repeat", "rest", "run", "rush", "say", "see",
    "set", "show", "sit", "stand", "start", "stop", "stretch", "talk", "tell", "think", "trust",
    "wait", "want", "wish", "work",
];
