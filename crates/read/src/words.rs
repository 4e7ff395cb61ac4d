//! What printed words mean, in the languages parts are printed in.
//!
//! # Source
//! Italian terms and whether a change of tempo is gradual or at once: Gehrkens,
//! Music Notation and Terminology, 1914, sections 111 and 112 ("ritenuto" at
//! once as Beethoven has it). German, French and Spanish: common practice, from
//! memory; a native reader should look at them.

use cueleaf_score::{JumpKind, PlayingWay};

/// One thing that printed words say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Meaning {
    /// Bow, pluck, mute.
    Play(PlayingWay),
    /// Notes plucked by the left hand, while the bow goes on.
    LeftHandPizz,
    /// Louder by and by.
    Grow,
    /// Softer by and by.
    Fade,
    /// Slower or faster by and by.
    Gradual,
    /// A tempo at once, by a word.
    Tempo,
    /// The tempo goes on.
    Same,
    /// Twice as fast.
    Double,
    /// Back to the tempo before.
    ToBefore,
    /// Back to the first tempo.
    ToFirst,
    /// Back to the beginning.
    DaCapo(JumpKind),
    /// Back to the segno.
    DalSegno(JumpKind),
    /// Leave for the coda.
    ToCoda,
    /// Here the coda starts.
    Coda,
    /// Here it ends after a jump.
    Fine,
    /// Words that look like another meaning and are not.
    Nothing,
}

use Meaning::{
    Coda, DaCapo, DalSegno, Double, Fade, Fine, Gradual, Grow, LeftHandPizz, Nothing, Play, Same,
    Tempo, ToBefore, ToCoda, ToFirst,
};
use PlayingWay::{Arco, Muted, Pizzicato, Unmuted};

/// Phrases in small letters without accents and punctuation. A star stands for
/// any rest of a word. At one place the phrase of most words counts.
const PHRASES: &[(&str, Meaning)] = &[
    ("pizz*", Play(Pizzicato)),
    ("gezupft", Play(Pizzicato)),
    ("arco", Play(Arco)),
    ("coll'arco", Play(Arco)),
    ("mit bogen", Play(Arco)),
    ("mit dem bogen", Play(Arco)),
    ("gestrichen", Play(Arco)),
    ("archet", Play(Arco)),
    ("avec l'archet", Play(Arco)),
    ("with bow", Play(Arco)),
    ("with the bow", Play(Arco)),
    ("bowed", Play(Arco)),
    ("tutto arco", Nothing),
    ("mezzo arco", Nothing),
    ("con sord*", Play(Muted)),
    ("con la sord*", Play(Muted)),
    ("muted", Play(Muted)),
    ("with mute*", Play(Muted)),
    ("mute* on", Play(Muted)),
    ("gedampft", Play(Muted)),
    ("mit dampfer*", Play(Muted)),
    ("mit dpf", Play(Muted)),
    ("dampfer auf", Play(Muted)),
    ("avec sourdine*", Play(Muted)),
    ("avec la sourdine*", Play(Muted)),
    ("senza sord*", Play(Unmuted)),
    ("senza la sord*", Play(Unmuted)),
    ("via sord*", Play(Unmuted)),
    ("sord* via", Play(Unmuted)),
    ("sord* off", Play(Unmuted)),
    ("togl* sord*", Play(Unmuted)),
    ("togl* la sord*", Play(Unmuted)),
    ("togl* le sord*", Play(Unmuted)),
    ("togl* il sord*", Play(Unmuted)),
    ("togl* i sord*", Play(Unmuted)),
    ("leva* sord*", Play(Unmuted)),
    ("leva* la sord*", Play(Unmuted)),
    ("leva* le sord*", Play(Unmuted)),
    ("leva* il sord*", Play(Unmuted)),
    ("leva* i sord*", Play(Unmuted)),
    ("without mute*", Play(Unmuted)),
    ("mute* off", Play(Unmuted)),
    ("remove mute*", Play(Unmuted)),
    ("remove the mute*", Play(Unmuted)),
    ("take off mute*", Play(Unmuted)),
    ("take off the mute*", Play(Unmuted)),
    ("no mute*", Play(Unmuted)),
    ("unmuted", Play(Unmuted)),
    ("ohne dampfer*", Play(Unmuted)),
    ("ohne dpf", Play(Unmuted)),
    ("dampfer ab", Play(Unmuted)),
    ("dampfer weg", Play(Unmuted)),
    ("ohne sord*", Play(Unmuted)),
    ("sans sourdine*", Play(Unmuted)),
    ("sans la sourdine", Play(Unmuted)),
    ("sans les sourdines", Play(Unmuted)),
    ("sourdine* otee*", Play(Unmuted)),
    ("otez sourdine*", Play(Unmuted)),
    ("otez la sourdine", Play(Unmuted)),
    ("otez les sourdines", Play(Unmuted)),
    ("enlevez la sourdine", Play(Unmuted)),
    ("enlevez les sourdines", Play(Unmuted)),
    ("sin sord*", Play(Unmuted)),
    ("quitar sord*", Play(Unmuted)),
    ("quitar la sord*", Play(Unmuted)),
    ("cres*", Grow),
    ("creciendo", Grow),
    ("en augmentant", Grow),
    ("anschwellend", Grow),
    ("lauter werdend", Grow),
    ("dim", Fade),
    ("dimin*", Fade),
    ("decresc*", Fade),
    ("morendo", Fade),
    ("smorz*", Fade),
    ("perdendo*", Fade),
    ("mancando", Fade),
    ("en diminuant", Fade),
    ("abnehmend", Fade),
    ("leiser werdend", Fade),
    ("disminuyendo", Fade),
    ("rit", Gradual),
    ("ritard*", Gradual),
    ("rall*", Gradual),
    ("allarg*", Gradual),
    ("slarg*", Gradual),
    ("largando", Gradual),
    ("calando", Gradual),
    ("accel*", Gradual),
    ("stringendo", Gradual),
    ("affrett*", Gradual),
    ("incalzando", Gradual),
    ("slowing", Gradual),
    ("slow down", Gradual),
    ("gradually slower", Gradual),
    ("gradually faster", Gradual),
    ("getting slower", Gradual),
    ("getting faster", Gradual),
    ("langsamer werdend", Gradual),
    ("schneller werdend", Gradual),
    ("verlangsamen", Gradual),
    ("beschleunigen", Gradual),
    ("ralentir", Gradual),
    ("en ralentissant", Gradual),
    ("cedez", Gradual),
    ("accelerez", Gradual),
    ("en accelerant", Gradual),
    ("pressez", Gradual),
    ("en pressant", Gradual),
    ("ralentizando", Gradual),
    ("retardando", Gradual),
    ("acelerando", Gradual),
    ("meno p", Nothing),
    ("meno pp", Nothing),
    ("meno mp", Nothing),
    ("meno mf", Nothing),
    ("meno f", Nothing),
    ("meno ff", Nothing),
    ("meno piano", Nothing),
    ("meno forte", Nothing),
    ("l'istesso tempo", Same),
    ("l'istesso", Same),
    ("listesso tempo", Same),
    ("listesso", Same),
    ("istesso tempo", Same),
    ("istesso", Same),
    ("lo stesso tempo", Same),
    ("stesso tempo", Same),
    ("same tempo", Same),
    ("the same tempo", Same),
    ("dasselbe tempo", Same),
    ("dasselbe zeitmass", Same),
    ("gleiches tempo", Same),
    ("meme mouvement", Same),
    ("le meme mouvement", Same),
    ("meme mouvt", Same),
    ("mismo tempo", Same),
    ("doppio movimento", Double),
    ("senza rit*", Nothing),
    ("senza rall*", Nothing),
    ("non rit*", Nothing),
    ("non rall*", Nothing),
    ("a tempo", ToBefore),
    ("in tempo", ToBefore),
    ("im tempo", ToBefore),
    ("im zeitmass", ToBefore),
    ("au mouvement", ToBefore),
    ("au mouvt", ToBefore),
    ("a tiempo", ToBefore),
    ("tempo i", ToFirst),
    ("tempo 1", ToFirst),
    ("tempo primo", ToFirst),
    ("primo tempo", ToFirst),
    ("1 tempo", ToFirst),
    ("erstes tempo", ToFirst),
    ("erstes zeitmass", ToFirst),
    ("1er mouvement", ToFirst),
    ("1er mouvt", ToFirst),
    ("first tempo", ToFirst),
    ("primer tempo", ToFirst),
    ("a tempo primo", ToFirst),
    ("a tempo i", ToFirst),
    ("a tempo 1", ToFirst),
    ("d c", DaCapo(JumpKind::Plain)),
    ("dc", DaCapo(JumpKind::Plain)),
    ("da capo", DaCapo(JumpKind::Plain)),
    ("d s", DalSegno(JumpKind::Plain)),
    ("ds", DalSegno(JumpKind::Plain)),
    ("dal segno", DalSegno(JumpKind::Plain)),
    ("del segno", DalSegno(JumpKind::Plain)),
    ("to coda", ToCoda),
    ("alla coda", ToCoda),
    ("zur coda", ToCoda),
];

/// Words that name a tempo when they stand near the start of the text.
const TEMPO_WORDS: &[&str] = &[
    "grave",
    "largo",
    "larghetto",
    "larghissimo",
    "lento",
    "adagio",
    "adagietto",
    "adagissimo",
    "andante",
    "andantino",
    "moderato",
    "allegretto",
    "allegro",
    "allegrissimo",
    "vivace",
    "vivacissimo",
    "vivo",
    "presto",
    "prestissimo",
    "maestoso",
    "mosso",
    "meno",
    "comodo",
    "riten*",
    "precipitato",
    "tempo",
    // English
    "fast",
    "faster",
    "slow",
    "slower",
    "slowly",
    "quick",
    "quickly",
    "quicker",
    "lively",
    "brisk",
    "briskly",
    "moderate",
    "moderately",
    "swiftly",
    "steady",
    // German
    "langsam",
    "langsamer",
    "massig",
    "maßig",
    "schnell",
    "schneller",
    "lebhaft",
    "rasch",
    "bewegt",
    "bewegter",
    "gehend",
    "getragen",
    "breit",
    "ruhig",
    "munter",
    "feierlich",
    "ziemlich",
    "fliessend",
    "zeitmass",
    // French
    "lent",
    "lentement",
    "modere",
    "vif",
    "vite",
    "vivement",
    "rapide",
    "anime",
    "gai",
    "mouvement",
    "retenu",
    "gravement",
    // Spanish
    "rapido",
    "despacio",
    "moderadamente",
    "movido",
];

/// Words that name a tempo over the staff, where they are printed with a capital, and after
/// "più" and "meno"; else they speak of the sound.
///
/// # Source
/// "Animato", "tranquillo", "sostenuto", "con moto" as tempi: Gehrkens 1914, section 110 and
/// following; the rule is our decision.
const CHARACTER_TEMPI: &[&str] = &["animato", "tranquillo", "sostenuto", "moto"];

/// Words beside which "slow" or "fast" speaks of the hand and no tempo.
const OF_THE_HAND: &[&str] = &[
    "bow",
    "bows",
    "bowing",
    "vib",
    "vibr*",
    "stroke*",
    "strokes",
    "change*",
    "shift*",
    "bogenstrich*",
    "bogenwechsel*",
    "strich*",
    "spicc*",
    "sautill*",
    "trem*",
    "trill*",
    "gliss*",
];

/// Words by which a tempo comes little by little.
const BY_AND_BY: &[&str] = &[
    "poco a poco",
    "a poco a poco",
    "nach und nach",
    "allmahlich",
    "immer schneller",
    "immer langsamer",
    "immer bewegter",
    "peu a peu",
    "gradually",
    "little by little",
    "sempre piu",
    "sempre meno",
];

/// Bare names of the mute, which put it on only where the text has nothing else to say.
const BARE_MUTES: &[&str] = &["sord*", "sourdine*", "mute", "mutes"];

/// What may stand beside a bare mute that is put on.
const BESIDE_MUTES: &[&str] = &[
    "con", "la", "le", "il", "i", "les", "the", "metti", "mettere", "mettete", "mettez", "mettre",
    "put", "on", "sempre", "toujours", "immer", "always", "ancora", "tutti", "soli", "solo", "div",
    "unis", "ppp", "pp", "p", "mp", "mf", "f", "ff", "dolce", "e", "et", "und", "and",
];

/// The left hand, as it stands beside "pizz.".
const LEFT_HAND: &[&str] = &[
    "left hand",
    "lh",
    "l h",
    "m s",
    "ms",
    "mano sinistra",
    "m g",
    "mg",
    "main gauche",
    "linke hand",
    "linken hand",
    "mano izquierda",
];

/// How many words into a text a tempo word still names the tempo.
const TEMPO_WITHIN: usize = 4;

/// Gives what a text says, in order; nothing when it is just words.
pub(crate) fn meanings(text: &str) -> Vec<Meaning> {
    let plain = plain(text);
    let tokens: Vec<&str> = plain.split_whitespace().collect();
    match tokens.as_slice() {
        ["fine"] | ["il", "fine"] => return vec![Fine],
        ["coda"] => return vec![Coda],
        ["bogen"] => return vec![Play(Arco)],
        _ => {}
    }
    let mut found = Vec::new();
    // Words that stand in no phrase.
    let mut others: Vec<&str> = Vec::new();
    let mut bare_mute = None;
    let mut index = 0;
    while let Some(rest) = tokens.get(index..).filter(|rest| !rest.is_empty()) {
        match longest(rest) {
            Some((length, meaning)) => {
                // Sung syllables such as "d'c" are no jumps; abbreviated ones
                // start the text or are printed in capitals.
                let short = matches!(rest.first(), Some(&("d" | "dc" | "ds")));
                let jump = matches!(meaning, DaCapo(_) | DalSegno(_));
                let doubtful = jump && short && index > 0 && !text.contains("D.");
                if meaning != Nothing && !doubtful {
                    found.push(meaning);
                }
                index += length;
            }
            None => {
                let token = rest.first().copied().unwrap_or_default();
                if one_of(BARE_MUTES, token) {
                    bare_mute = bare_mute.or(Some(found.len()));
                } else {
                    others.push(token);
                }
                if names_tempo(text, &tokens, index) && !found.contains(&Tempo) {
                    found.push(Tempo);
                }
                index += 1;
            }
        }
    }
    if let Some(at) = bare_mute
        && others.iter().all(|token| one_of(BESIDE_MUTES, token))
    {
        found.insert(at, Play(Muted));
    }
    if others.iter().any(|token| one_of(OF_THE_HAND, token)) {
        found.retain(|meaning| *meaning != Tempo);
    }
    if says_any(&tokens, BY_AND_BY) {
        change(&mut found, Tempo, Gradual);
    }
    if says_any(&tokens, LEFT_HAND) {
        change(&mut found, Play(Pizzicato), LeftHandPizz);
    }
    settle_jumps(&mut found, &tokens);
    found
}

/// Whether a word of a text names a tempo where it stands.
fn names_tempo(text: &str, tokens: &[&str], index: usize) -> bool {
    // "Poco a poco" and the like stand before the word.
    let within = if says_any(tokens, BY_AND_BY) {
        2 * TEMPO_WITHIN
    } else {
        TEMPO_WITHIN
    };
    let Some(token) = tokens.get(index).filter(|_| index < within) else {
        return false;
    };
    if one_of(TEMPO_WORDS, token) {
        return true;
    }
    let before = index.checked_sub(1).and_then(|before| tokens.get(before));
    let after_con = before == Some(&"con");
    let compared = matches!(before, Some(&("piu" | "meno")));
    let first = text.chars().find(|sign| sign.is_alphabetic());
    let printed_large = first.is_some_and(char::is_uppercase);
    one_of(CHARACTER_TEMPI, token)
        && (compared || printed_large)
        && (*token != "moto" || after_con || compared)
}

/// Whether one of the phrases stands anywhere.
fn says_any(tokens: &[&str], phrases: &[&str]) -> bool {
    phrases.iter().any(|phrase| {
        let words: Vec<&str> = phrase.split(' ').collect();
        tokens.windows(words.len()).any(|own| own == words)
    })
}

fn one_of(words: &[&str], token: &str) -> bool {
    words.iter().any(|word| fits(word, token))
}

/// Puts one meaning in the place of another; said twice, it counts once.
fn change(found: &mut Vec<Meaning>, old: Meaning, new: Meaning) {
    let said = found.contains(&new);
    found.retain(|meaning| !(said && *meaning == old));
    for meaning in found.iter_mut().filter(|meaning| **meaning == old) {
        *meaning = new;
    }
}

/// A jump's words also say how far to play; "al Coda" alone is no sign to leave.
fn settle_jumps(found: &mut Vec<Meaning>, tokens: &[&str]) {
    let says = |word: &str| tokens.contains(&word);
    let until = if says("coda") {
        JumpKind::ToCoda
    } else if says("fine") {
        JumpKind::ToFine
    } else {
        JumpKind::Plain
    };
    let jump = found.iter().find_map(|meaning| match meaning {
        DaCapo(_) => Some(DaCapo(until)),
        DalSegno(_) => Some(DalSegno(until)),
        _ => None,
    });
    if let Some(jump) = jump {
        found.retain(|meaning| {
            !matches!(
                meaning,
                DaCapo(_) | DalSegno(_) | ToCoda | Coda | Fine | Tempo
            )
        });
        found.push(jump);
    }
}

fn longest(tokens: &[&str]) -> Option<(usize, Meaning)> {
    let mut best = None;
    for (phrase, meaning) in PHRASES {
        let mut length = 0;
        let mut matches = true;
        for word in phrase.split(' ') {
            matches &= tokens.get(length).is_some_and(|token| fits(word, token));
            length += 1;
        }
        if matches && best.is_none_or(|(longest, _)| length > longest) {
            best = Some((length, *meaning));
        }
    }
    best
}

fn fits(word: &str, token: &str) -> bool {
    match word.strip_suffix('*') {
        Some(stem) => token.starts_with(stem),
        None => word == token,
    }
}

/// Small letters without accents; punctuation becomes space.
fn plain(text: &str) -> String {
    let small = text.to_lowercase();
    let mut plain = String::with_capacity(small.len());
    for token in small.split_whitespace() {
        // "string." is stringendo; without its point it is a string.
        if token.trim_matches(['(', ')']) == "string." {
            plain.push_str("stringendo ");
            continue;
        }
        for letter in token.chars() {
            match letter {
                'à' | 'á' | 'â' | 'ä' => plain.push('a'),
                'è' | 'é' | 'ê' | 'ë' => plain.push('e'),
                'ì' | 'í' | 'î' | 'ï' => plain.push('i'),
                'ò' | 'ó' | 'ô' | 'ö' => plain.push('o'),
                'ù' | 'ú' | 'û' | 'ü' => plain.push('u'),
                'ñ' => plain.push('n'),
                'ç' => plain.push('c'),
                'ß' => plain.push_str("ss"),
                '\'' | '’' | '‘' => plain.push('\''),
                other if other.is_alphanumeric() && other != 'º' && other != 'ª' => {
                    plain.push(other);
                }
                _ => plain.push(' '),
            }
        }
        plain.push(' ');
    }
    plain
}

#[cfg(test)]
mod tests;
