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
    /// Louder by and by.
    Grow,
    /// Softer by and by.
    Fade,
    /// Slower or faster by and by.
    Gradual,
    /// A tempo at once, by a word.
    Tempo,
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
    Coda, DaCapo, DalSegno, Fade, Fine, Gradual, Grow, Nothing, Play, Tempo, ToBefore, ToCoda,
    ToFirst,
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
    ("sord*", Play(Muted)),
    ("con sord*", Play(Muted)),
    ("muted", Play(Muted)),
    ("mute", Play(Muted)),
    ("with mute*", Play(Muted)),
    ("mute* on", Play(Muted)),
    ("gedampft", Play(Muted)),
    ("mit dampfer*", Play(Muted)),
    ("mit dpf", Play(Muted)),
    ("dampfer auf", Play(Muted)),
    ("sourdine*", Play(Muted)),
    ("avec sourdine*", Play(Muted)),
    ("mettez la sourdine", Play(Muted)),
    ("senza sord*", Play(Unmuted)),
    ("via sord*", Play(Unmuted)),
    ("sord* via", Play(Unmuted)),
    ("sord* off", Play(Unmuted)),
    ("without mute*", Play(Unmuted)),
    ("mute* off", Play(Unmuted)),
    ("remove mute*", Play(Unmuted)),
    ("no mute*", Play(Unmuted)),
    ("unmuted", Play(Unmuted)),
    ("ohne dampfer*", Play(Unmuted)),
    ("ohne dpf", Play(Unmuted)),
    ("dampfer ab", Play(Unmuted)),
    ("dampfer weg", Play(Unmuted)),
    ("sans sourdine*", Play(Unmuted)),
    ("otez la sourdine", Play(Unmuted)),
    ("otez les sourdines", Play(Unmuted)),
    ("enlevez la sourdine", Play(Unmuted)),
    ("sin sord*", Play(Unmuted)),
    ("quitar sord*", Play(Unmuted)),
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
    "l'istesso",
    "listesso",
    "istesso",
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
                let names_tempo =
                    index < TEMPO_WITHIN && TEMPO_WORDS.iter().any(|word| fits(word, token));
                if names_tempo && !found.contains(&Tempo) {
                    found.push(Tempo);
                }
                index += 1;
            }
        }
    }
    settle_jumps(&mut found, &tokens);
    found
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
mod tests {
    use super::*;

    fn check(meaning: &[Meaning], texts: &[&str]) {
        for text in texts {
            assert_eq!(meanings(text), meaning, "{text}");
        }
    }

    #[test]
    fn ways_of_playing_in_five_languages() {
        check(
            &[Play(Pizzicato)],
            &["pizz.", "Pizzicato", "(pizz.)", "gezupft", "pizz. secco"],
        );
        check(
            &[Play(Arco)],
            &[
                "arco",
                "Arco.",
                "coll’arco",
                "col arco",
                "gestrichen",
                "mit Bogen",
                "Bogen",
                "avec l'archet",
                "con el arco",
            ],
        );
        check(
            &[],
            &[
                "punta d'arco",
                "tutto arco",
                "sul ponticello",
                "col legno",
                "div. a 2",
                "dolce",
            ],
        );
        check(
            &[Play(Muted)],
            &[
                "con sord.",
                "con sordino",
                "Con Sordini",
                "with mute",
                "muted",
                "mit Dämpfer",
                "avec sourdine",
                "sourdines",
                "con sordina",
                "Dämpfer auf",
            ],
        );
        check(
            &[Play(Unmuted)],
            &[
                "senza sord.",
                "via sordini",
                "sord. via",
                "mutes off",
                "ohne Dämpfer",
                "sans sourdines",
                "Ôtez la sourdine",
                "sin sordina",
            ],
        );
        check(&[Play(Unmuted), Play(Arco)], &["senza sord., arco"]);
    }

    #[test]
    fn tempo_words_do_not_carry_numbers() {
        check(
            &[Gradual],
            &[
                "rit.",
                "poco rit.",
                "molto rall. e dim".trim_end_matches(" e dim"),
                "accel.",
                "string.",
                "(string.)",
                "allargando",
                "en ralentissant",
                "Cédez",
                "langsamer werdend",
            ],
        );
        check(&[Gradual, Fade], &["rall. e dim."]);
        check(&[], &["senza rit.", "C string", "sul G", "III string only"]);
        check(
            &[ToBefore],
            &["a tempo", "A Tempo", "in tempo", "au Mouvement", "im Tempo"],
        );
        check(
            &[ToFirst],
            &[
                "Tempo I",
                "Tempo primo",
                "tempo Iº",
                "Tempo 1°",
                "a tempo primo",
                "1er mouvement",
            ],
        );
        check(
            &[Tempo],
            &[
                "Allegro",
                "Poco più mosso",
                "Un poco meno mosso",
                "Sehr langsam",
                "Tempo di menuetto",
                "Vif",
                "ritenuto",
            ],
        );
    }

    #[test]
    fn growing_and_fading() {
        check(&[Grow], &["cresc.", "poco a poco crescendo"]);
        check(&[Fade], &["dim.", "decresc.", "diminuendo molto"]);
    }

    #[test]
    fn jumps_say_how_far() {
        check(
            &[DaCapo(JumpKind::Plain)],
            &["D.C.", "D. C.", "da capo", "DC"],
        );
        check(
            &[DaCapo(JumpKind::ToFine)],
            &["D.C. al Fine", "D.C.\nal Fine", "Da Capo al fine."],
        );
        check(
            &[DalSegno(JumpKind::ToCoda)],
            &["D.S. al Coda", "dal segno al coda", "D.S. alla Coda"],
        );
        check(&[ToCoda], &["To Coda", "to coda"]);
        check(&[Coda], &["Coda", "CODA"]);
        check(&[Fine], &["Fine", "fine.", "FINE"]);
        check(&[DaCapo(JumpKind::Plain)], &["Menuetto D.C."]);
        check(&[], &["a fine sound", "vi d.c. ma", "gli DC"]);
    }
}
