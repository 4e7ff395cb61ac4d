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

/// How words begin that change the tempo little by little.
///
/// # Source
/// Common practice, no source. "Ritenuto" holds back at once, and "string." names a string as
/// well.
const GRADUAL: &[&str] = &[
    "ritard",
    "rall",
    "accel",
    "allarg",
    "slarg",
    "stringendo",
    "ralent",
];

/// Tells whether printed words change the tempo little by little: "poco rit.". Case does not
/// matter.
#[must_use]
pub fn is_gradual(text: &str) -> bool {
    let lower = text.to_lowercase();
    let words = lower.split(|own: char| !own.is_alphabetic());
    let mut before = "";
    for word in words.filter(|own| !own.is_empty()) {
        let begins = GRADUAL.iter().any(|own| word.starts_with(own));
        if (word == "rit" || begins) && !matches!(before, "senza" | "non" | "no" | "without") {
            return true;
        }
        before = word;
    }
    false
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
        for text in ["Lively", "senza rit.", "ritenuto", "a tempo", "string.", ""] {
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
