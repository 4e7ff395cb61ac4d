//! Tempo words and the ranges that published tables give them.
//!
//! "One can hardly find two composers who employ the same word to indicate the
//! same tempo" says Gehrkens (1914, §108), and the tables disagree. So a word
//! never sets a number; it may offer ranges, each with the name of its table.

/// A range that one published table gives a word, in beats a minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NamedRange {
    /// The slowest.
    pub from: u16,
    /// The fastest; `None` when the table names no upper end.
    pub to: Option<u16>,
    /// The table.
    pub source: &'static str,
}

const TABLES: [&str; 4] = [
    "freemusicdictionary.com, tempo",
    "musique-harmonie.fr, tempo",
    "instrument.bible, tempo",
    "lossenderosstudio.com, chart 17 (a survey)",
];

type Row = (&'static str, [Option<(u16, u16)>; 4]);

#[rustfmt::skip]
const WORDS: &[Row] = &[
    ("grave", [None, Some((40, 45)), Some((25, 40)), Some((20, 40))]),
    ("largo", [Some((40, 60)), Some((45, 55)), Some((40, 60)), Some((35, 60))]),
    ("larghetto", [Some((60, 66)), Some((50, 60)), Some((60, 66)), Some((50, 66))]),
    ("lento", [None, Some((52, 65)), Some((45, 60)), Some((40, 68))]),
    ("adagio", [Some((66, 76)), Some((55, 70)), Some((66, 76)), Some((55, 76))]),
    ("andante", [Some((76, 108)), Some((60, 90)), Some((76, 108)), Some((72, 108))]),
    ("andantino", [None, Some((70, 100)), Some((80, 108)), Some((77, 106))]),
    ("moderato", [Some((108, 120)), Some((80, 105)), Some((108, 120)), Some((86, 120))]),
    ("allegretto", [None, Some((100, 120)), Some((112, 120)), Some((98, 128))]),
    ("allegro", [Some((120, 168)), Some((116, 150)), Some((120, 168)), Some((109, 168))]),
    ("vivace", [None, Some((126, 170)), Some((168, 176)), Some((132, 168))]),
    ("presto", [Some((168, 200)), Some((144, 200)), Some((168, 200)), Some((168, 200))]),
    ("prestissimo", [Some((200, 208)), Some((184, u16::MAX)), Some((200, u16::MAX)), Some((178, 208))]),
];

/// Gives the ranges that published tables give the first tempo word in a text;
/// none when there is no such word. Case does not matter.
#[must_use]
pub fn ranges_of(text: &str) -> Vec<NamedRange> {
    let lower = text.to_lowercase();
    let mut words = lower.split(|c: char| !c.is_alphabetic());
    let Some((_, row)) = words.find_map(|word| WORDS.iter().find(|(own, _)| *own == word)) else {
        return Vec::new();
    };
    row.iter()
        .zip(TABLES)
        .filter_map(|(range, source)| {
            let (from, to) = (*range)?;
            Some(NamedRange {
                from,
                to: (to < u16::MAX).then_some(to),
                source,
            })
        })
        .collect()
}

/// Words that change the tempo little by little; "*" stands for any ending.
///
/// # Source
/// Terms of the trade in Italian, German, French, Spanish and English (common practice, no
/// source). "Ritenuto" holds back at once.
const GRADUAL: [&str; 24] = [
    "rit",
    "ritard*",
    "rall*",
    "allarg*",
    "slarg*",
    "slentando",
    "largando",
    "calando",
    "accel*",
    "stringendo",
    "affrett*",
    "incalzando",
    "slowing",
    "verlangsam*",
    "beschleunig*",
    "ralent*",
    "cédez",
    "cedez",
    "accélér*",
    "pressez",
    "retardando",
    "acelerando",
    "gradually",
    "getting",
];

/// Phrases that make a change gradual, whatever else stands beside them.
const BY_AND_BY: [&str; 12] = [
    "poco a poco",
    "nach und nach",
    "peu à peu",
    "peu a peu",
    "little by little",
    "slow down",
    "er werdend",
    "allmählich",
    "immer schneller",
    "immer langsamer",
    "sempre più",
    "sempre meno",
];

/// Words that deny one of the two words after them.
const DENIED: [&str; 6] = ["senza", "non", "ohne", "sans", "no", "without"];

/// Tells whether printed words change the tempo little by little: "poco rit.", "nach und nach
/// schneller"; not "senza rit.". Case does not matter.
#[must_use]
pub fn is_gradual(text: &str) -> bool {
    let lower = text.to_lowercase();
    // With its point and by itself it is stringendo, else a string.
    let lower = match lower.trim() {
        "string." | "poco string." | "molto string." => return true,
        other => other,
    };
    let words: Vec<&str> = lower
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    let fits = |word: &str| {
        GRADUAL.iter().any(|known| match known.strip_suffix('*') {
            Some(start) => word.starts_with(start),
            None => word == *known,
        })
    };
    let denied = |index: usize| {
        let before = words.get(index.saturating_sub(2)..index).unwrap_or(&[]);
        before.iter().any(|word| DENIED.contains(word))
    };
    let mut all = words.iter().enumerate();
    let spaced = words.join(" ");
    all.any(|(index, word)| fits(word) && !denied(index))
        || BY_AND_BY.iter().any(|phrase| spaced.contains(phrase))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_change_the_tempo_little_by_little() {
        for text in [
            "rit.",
            "Poco a poco accel.",
            "molto ritardando",
            "un peu ralenti",
        ] {
            assert!(is_gradual(text), "{text}");
        }
        // By itself it is the abbreviation, as it stands over the staff.
        assert!(is_gradual("string."));
        for text in [
            "poco rit.",
            "rall. e dim.",
            "nach und nach schneller",
            "langsamer werdend",
            "(accel.)",
            "rit. ma non troppo",
            "Stringendo, ma non troppo",
        ] {
            assert!(is_gradual(text), "{text}");
        }
        for text in [
            "Lively",
            "Andante",
            "senza rit.",
            "non rall.",
            "ohne zu verlangsamen",
            "ritenuto",
            "a tempo",
            "C string",
            "on the C string.",
            "",
        ] {
            assert!(!is_gradual(text), "{text}");
        }
    }

    #[test]
    fn a_word_offers_the_ranges_of_its_tables() {
        let moderato = ranges_of("Allargando, poi Moderato assai");
        assert_eq!(moderato.len(), 4);
        assert_eq!((moderato[0].from, moderato[0].to), (108, Some(120)));
        // Two tables do not even overlap, which is why no number follows.
        assert!(moderato[1].to < Some(moderato[0].from));
        assert_eq!(ranges_of("PRESTISSIMO")[1].to, None);
        assert_eq!(ranges_of("Lively").len(), 0);
        for (word, row) in WORDS {
            for (from, to) in row.iter().flatten() {
                assert!(from < to, "{word}");
            }
        }
    }
}
