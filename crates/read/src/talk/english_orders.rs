//! English: how a teacher asks for something.
//!
//! Our decision, as in `english_advice.rs`. Orders and nouns that are spelled alike are orders
//! only where a clause begins, and only an order that is about something becomes an advice.

use super::table::Words;

/// What begins an order.
#[rustfmt::skip]
pub(super) const ORDERS: Words = &[
    "drift", "hop",
    "accent", "accept", "add", "aim", "allow", "always", "anchor", "anticipate", "apply",
    "approach", "arrive", "articulate", "attack the", "avoid", "balance", "bask", "bathe",
    "be", "beat", "begin", "bend", "bite", "blend", "block", "blow", "blur", "borrow", "bounce",
    "bow", "brace", "bracket", "break", "breathe", "bring", "brush", "build", "bury", "caress",
    "carry", "catch", "change", "cheat", "check", "chew", "choose", "circle", "clap", "clear the",
    "climb", "cling", "clip", "close", "coast", "come away", "come back", "come down", "come in",
    "come off", "come to", "commit", "compare", "concentrate", "connect", "control the", "copy",
    "count", "cover", "crawl", "creep", "cross over", "cross the", "crush", "cue", "curl",
    "curve", "cushion", "cut it", "damp", "dance", "decide", "deepen", "delay", "deliver",
    "depend", "descend", "dig", "direct", "ditch", "divide", "do", "do not", "don't", "dont",
    "double the", "drag", "draw", "drop", "dry the", "ease", "echo", "elongate", "emphasise",
    "emphasize", "end", "energise", "energize", "engage", "enjoy", "ensure", "enter",
    "exaggerate", "expect the", "extend", "fade", "fake", "fall", "favor", "favour", "feel",
    "fill", "find", "finish", "fit", "fix the", "flatten", "flick", "flip", "float", "flow",
    "focus", "follow", "forget", "free the", "free your", "freeze", "gather", "get", "ghost",
    "give", "glide", "glue", "go", "grab", "grip", "grow", "guide", "hammer", "handle", "hang",
    "have it", "have the", "have your", "hear", "hide", "highlight", "hit", "hold", "hook", "hop", "hover",
    "hug", "hum", "ignore", "imagine", "imitate", "inch", "intensify", "invite", "isolate",
    "join", "jump", "keep", "kick", "knit", "knock", "know what", "know where", "land", "latch",
    "launch", "lay", "lead", "lean", "learn", "leave", "lengthen", "let", "lift", "lighten",
    "linger", "listen", "lock", "look", "loosen", "lower", "magnify", "maintain", "make", "mark",
    "match", "mean it", "melt", "memorise", "memorize", "milk", "mind the", "mind your", "mirror",
    "mix", "moderate", "mold", "mould", "move", "mute", "nail", "narrow the", "never", "nibble",
    "nod", "notice", "nudge", "nurse", "observe", "open", "operate", "organise", "organize",
    "pack", "paint", "pass", "pause on", "peel", "pencil", "perform", "pick", "picture", "pinch",
    "place", "plan", "plant", "play", "pluck", "point", "poke", "polish", "pop", "pour",
    "practice", "practise", "prepare", "preserve", "press", "pretend", "project", "prolong",
    "propel", "protect", "provide", "puff", "pull", "punch", "pursue", "push", "put", "quieten",
    "raise", "reach", "react", "rebound", "recover", "reduce", "refresh", "regrip", "rehearse",
    "reinforce", "relax", "release", "relish", "rely", "remain", "remember", "repeat", "replace",
    "replay", "reposition", "reset", "resist", "respect", "respond", "rest", "restart", "resume",
    "retake", "retreat", "return the", "return to", "rewrite", "ride", "ring out", "rock", "roll",
    "rotate", "round it", "round off", "rub", "run", "sag", "save", "savor", "savour", "say",
    "scoop", "scrape", "scrub", "seal", "see how", "see if", "see it", "see the", "seize",
    "select", "sense", "separate", "set", "settle", "shake", "shape", "share", "sharpen", "shave",
    "shelter", "shift", "shimmer", "shorten", "shout", "show", "shrink", "shut", "sigh", "signal",
    "simplify", "sing", "sink", "sit", "sketch", "skip", "slam", "slap", "slide", "slip", "slot",
    "slow", "slur", "smile", "smooth", "snap", "snatch", "sneak", "snip", "snuggle", "soak",
    "soften", "sound as", "sound like", "space", "spare", "speak", "spend", "spin", "split",
    "spread", "sprinkle", "squash", "squeeze", "stagger", "stamp", "stand", "stare", "start",
    "stay", "steal", "steer", "step back", "stick the", "stick to", "stick with", "stop",
    "stretch", "strike", "strip", "strive", "stroke", "strum", "study", "subdivide", "subtract",
    "support", "surge", "survive", "suspend", "sustain", "swallow", "swap", "sweep", "swell on",
    "swing", "switch to", "tackle", "take", "talk", "tap", "taper", "target", "taste", "tease",
    "tense", "test", "thin out", "thin the", "think", "thread", "throw", "thump",
    "tickle", "tighten", "tilt", "tiptoe", "tongue", "toss", "touch", "trace", "train",
    "transfer", "travel", "treat", "trill", "trim", "trot", "trust", "try", "tuck", "tune",
    "turn", "twist", "underline", "undo", "untangle", "unwind", "use", "vary", "vibrate",
    "visualise", "visualize", "wait", "walk", "warm the", "warm up", "warn", "watch", "wear",
    "weave", "weigh", "whisper", "widen", "wiggle", "wipe", "work", "wrap", "write", "yield",
    "zoom",
];

/// What begins as an order does and is none: "let me".
#[rustfmt::skip]
pub(super) const NO_ORDERS: Words = &[
    "let's go", "let's start", "let's begin", "let's look", "let's jump", "let's skip", "let's turn", "let's move on", "let's have", "let's talk", "let us turn", "let us begin", "let us go", "let us look",
    "slow that",
    "go ahead", "find measure", "find bar", "find letter", "turn over", "wait no", "wait sorry",
    "never mind", "ask your teacher", "go figure",
    "hang on", "hold on a", "hold on", "cut time", "time signature", "mind you", "come on",
    "trust me", "believe me", "thank you", "go figure", "say hi", "say hello", "see ya",
    "see you", "look out", "set in", "set of", "sort of", "rest of", "note that", "let's see",
    "double bass", "double basses", "ask me", "tell me", "excuse me", "forgive me",
    "open string is", "play it for me", "let me", "let us see", "have a", "jump ahead", "jump to",
    "skip to", "skip ahead", "go to", "go on to", "turn to", "move on to", ];

/// What makes a wish or a duty, anywhere in a clause.
#[rustfmt::skip]
pub(super) const DUTIES: Words = &[
    "let's not",
    "the best thing to do", "the thing to do", "you don't need", "you won't need", "wants its", "needs its", "thing to remember", "we need more", "we need less", "could you", "would you", "can we have", "can i have", "can i hear", "could i hear", "could i have", "could we have", "can we try", "could we try", "how about", "why not try", "why not use", "may i have",
    "you're too", "you are too", "you're working too", "it's easier if", "it's easier to", "it's easiest", "easier if you", "it's better if", "it's better to", "it works best", "works best", "works better", "that helps is", "thing that helps", "the safest", "safest is", "the best way",
    "it wants", "wants a", "wants more", "wants less", "i like a", "i like more", "i like less", "the trick here is", "the trick with", "what helps", "what works", "it helps", "you can cheat", "you could use", "you could play", "you could try", "you could put", "you could take",
    "we use", "we keep", "we stay", "we save", "we count", "we listen", "we hold",
    "you may", "you might", "i should like", "i'd love", "i would love", "be sure", "mind that",
    "you've to", "you'd better", "you better", "we want", "we need", "we don't want",
    "you don't want", "you'd want", "i need you", "i need a", "i need to hear", "i need more",
    "i need less", "needs a", "needs more", "needs less", "need more", "need less", "it's worth",
    "worth", "it helps to", "helps to", "the trick is", "the secret is", "the key is to",
    "it's best to", "best to", "supposed to", "remember to", "not supposed to", "mustn't",
    "shouldn't", "can't be", "cannot be", "has got to", "have got to", "is to be", "are to be",
    "you'd do well", "feel free", "feel free to", "i'd like to hear", "i want to hear",
    "i would like", "you can afford", "ought", "you could try", "you might want", "i suggest",
    "i recommend", "my advice", "my suggestion", "a good idea", "i beg you", "i want", "i'd like",
    "i don't want", "you can take", "you can use", "you only need", "take care", "it's an up-bow",
    "it's an up bow", "it's a down-bow", "it's a down bow", "it's all down-bows",
    "it's all up-bows", "they're up bow", "they're down bow", "it's off the string",
    "it's on the string", "you wanna", "wanna", "you just", "you should", "should", "you need to",
    "need to", "needs to", "you must", "must", "you have to", "have to", "has to", "you want",
    "you'll want", "make sure", "be careful", "careful", "i want you to", "i'd like you to",
    "let's count", "let's listen", "try to", "you've got to", "got to", "gotta", "ought to",
];

/// Before an order that is a model then: "I keep".
#[rustfmt::skip]
pub(super) const MODELS: Words = &[
    "what i do is i", "what you do is you", "what we do is we", "i kind of", "i sort of",
    "i always kind of", "i tend to", "i try to", "i still", "i even", "i also", "i often",
    "i have my students", "i make my students", "i tell my students to", "i get my students to",
    "i ask my students to", "what i do is", "what you do is", "what we do is", "my trick is to",
    "i", "i always", "i just", "i really", "i usually",
    "i like to", "i personally",
];

/// Orders that are none after "I" or "you": "I think".
#[rustfmt::skip]
pub(super) const NO_MODELS: Words = &[
    "beat", "conduct", "show", "bring",
    "hold",
    "don't", "do not",
    "think", "play", "start", "begin", "come in", "come", "finish", "land", "stop", "enter",
    "move", "change", "need", "want", "say", "tell", "do", "be", "have", "get", "find", "wait",
    "remember", "go", "look", "repeat", "always", "never", "end", "imagine", "rest", "set",
    "lead", "trust", "stand", "sit", "mean", "hear", "see", "know", "run", "rush", "like", "love",
    "hope", "wish", "keep saying", "promise", "call", "ask", "learn", "live", "work", "expect",
    "forget", "notice", "stretch", "talk", "drop", "follow", "catch", "miss",
];
