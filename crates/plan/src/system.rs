//! Count systems: which syllable is said where, as data.

/// The syllables of one way of counting, in one language.
///
/// A table for n parts holds what is said on the parts 2 to n of a beat; on the
/// first part the number is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CountSystem {
    /// The name used in saved guides: "en".
    pub code: &'static str,
    /// The language, as a BCP 47 tag.
    pub language: &'static str,
    /// The numbers said, from one; beyond the table figures are shown.
    pub numbers: &'static [&'static str],
    /// For a beat that divides in two: its tables by number of parts.
    pub simple: &'static [(u16, &'static [&'static str])],
    /// For a beat that divides in three: its tables by number of parts.
    pub compound: &'static [(u16, &'static [&'static str])],
    /// For a tuplet against the beat's own division (duplets in a dotted beat).
    pub against: &'static [(u16, &'static [&'static str])],
    /// Where the syllables come from.
    pub source: &'static str,
    /// Whether a native reader still has to look at the words.
    pub needs_native_reader: bool,
}

const AND_ENGLISH: &[&str] = &["&"];
const LA_LI: &[&str] = &["la", "li"];
const E_AND_A: &[&str] = &["e", "&", "a"];

/// Every system that can be chosen, the first being the usual one.
pub const SYSTEMS: &[CountSystem] = &[
    CountSystem {
        code: "en",
        language: "en",
        numbers: &[],
        simple: &[(2, AND_ENGLISH), (4, E_AND_A), (3, LA_LI)],
        compound: &[(3, LA_LI), (6, &["to", "la", "ta", "li", "ti"])],
        against: &[(2, AND_ENGLISH), (4, E_AND_A)],
        source: "S. Butterfield, Integrated Musicianship: Theory, lessons 4a and 4b",
        needs_native_reader: false,
    },
    CountSystem {
        code: "en-trip-let",
        language: "en",
        numbers: &[],
        simple: &[(2, AND_ENGLISH), (4, E_AND_A), (3, &["trip", "let"])],
        compound: &[
            (3, &["trip", "let"]),
            (6, &["ah", "trip", "ah", "let", "ah"]),
        ],
        against: &[(2, AND_ENGLISH), (4, E_AND_A)],
        source: "B. Waring, Counting rhythms in compound meter",
        needs_native_reader: false,
    },
    CountSystem {
        code: "en-and-a",
        language: "en",
        numbers: &[],
        simple: &[(2, AND_ENGLISH), (4, E_AND_A), (3, &["&", "a"])],
        compound: &[(3, &["&", "a"])],
        against: &[(2, AND_ENGLISH)],
        source: "common practice, no source",
        needs_native_reader: false,
    },
    CountSystem {
        code: "de",
        language: "de",
        numbers: &[
            "eins", "zwei", "drei", "vier", "fünf", "sechs", "sieben", "acht", "neun", "zehn",
            "elf", "zwölf",
        ],
        simple: &[(2, &["und"]), (4, &["e", "und", "e"]), (3, &["und", "e"])],
        compound: &[(3, &["und", "e"])],
        against: &[(2, &["und"])],
        source: "spiellieder.de, Rhythmus-Erklärung; pianotube.de, Rhythmen zählen; the triplet from memory",
        needs_native_reader: true,
    },
    CountSystem {
        code: "fr",
        language: "fr",
        numbers: &[
            "un", "deux", "trois", "quatre", "cinq", "six", "sept", "huit", "neuf", "dix", "onze",
            "douze",
        ],
        simple: &[(2, &["et"])],
        compound: &[],
        against: &[(2, &["et"])],
        source: "from memory",
        needs_native_reader: true,
    },
    CountSystem {
        code: "es",
        language: "es",
        numbers: &[
            "un", "dos", "tres", "cuatro", "cinco", "seis", "siete", "ocho", "nueve", "diez",
            "once", "doce",
        ],
        simple: &[(2, &["y"])],
        compound: &[],
        against: &[(2, &["y"])],
        source: "from memory",
        needs_native_reader: true,
    },
    CountSystem {
        code: "it",
        language: "it",
        numbers: &[
            "un", "due", "tre", "quattro", "cinque", "sei", "sette", "otto", "nove", "dieci",
            "undici", "dodici",
        ],
        simple: &[(2, &["e"])],
        compound: &[],
        against: &[(2, &["e"])],
        source: "from memory",
        needs_native_reader: true,
    },
];

impl CountSystem {
    /// Finds a system by its code.
    #[must_use]
    pub fn find(code: &str) -> Option<&'static Self> {
        SYSTEMS.iter().find(|system| system.code == code)
    }

    /// Gives the word for a number.
    #[must_use]
    pub fn number(&self, number: u16) -> String {
        usize::from(number)
            .checked_sub(1)
            .and_then(|index| self.numbers.get(index))
            .map_or_else(|| number.to_string(), |word| (*word).to_owned())
    }

    /// Gives what is said on the part `part` of `parts` equal parts of a beat
    /// (from 0), where the beat divides into `divisions`; `None` on the first
    /// part, where the number is said, and where the system has no word.
    #[must_use]
    pub fn syllable(&self, divisions: u16, part: u16, parts: u16) -> Option<&'static str> {
        let tables = if divisions == 3 {
            self.compound
        } else {
            self.simple
        };
        look_up(tables, part, parts)
    }

    /// The same for a tuplet against the division of the beat.
    #[must_use]
    pub fn syllable_against(&self, part: u16, parts: u16) -> Option<&'static str> {
        look_up(self.against, part, parts)
    }
}

/// Finds the part in the coarsest table that has it: half a beat is "&" in the
/// table of two and in that of four alike.
fn look_up(
    tables: &[(u16, &'static [&'static str])],
    part: u16,
    parts: u16,
) -> Option<&'static str> {
    tables.iter().find_map(|(size, words)| {
        let scaled = u32::from(part) * u32::from(*size);
        let index = (scaled % u32::from(parts.max(1)) == 0)
            .then(|| scaled / u32::from(parts.max(1)))?
            .checked_sub(1)?;
        words.get(usize::try_from(index).ok()?).copied()
    })
}
