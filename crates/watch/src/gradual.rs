//! Words by which a tempo changes little by little.

/// Words of which one is enough; "*" stands for any ending.
///
/// # Source
/// Terms of the trade in Italian, German, French, Spanish and English (common practice, no
/// source).
const WORDS: [&str; 24] = [
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
const PHRASES: [&str; 7] = [
    "poco a poco",
    "nach und nach",
    "peu à peu",
    "peu a peu",
    "little by little",
    "slow down",
    "er werdend",
];

/// Words after which it is denied.
const DENIED: [&str; 5] = ["senza", "non", "ohne", "sans", "no"];

/// Tells whether the words of a tempo mark ask for a gradual change: "rit.", "poco a poco
/// più mosso"; not "senza rit.".
pub(crate) fn is_gradual(words: &str) -> bool {
    let small = words.to_lowercase();
    // With its point it is stringendo; without, a string.
    let small = small.replace("string.", "stringendo");
    let own: Vec<&str> = small
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    if own.iter().any(|word| DENIED.contains(word)) {
        return false;
    }
    let fits = |word: &str| {
        WORDS.iter().any(|known| match known.strip_suffix('*') {
            Some(start) => word.starts_with(start),
            None => word == *known,
        })
    };
    let spaced = own.join(" ");
    own.iter().any(|word| fits(word)) || PHRASES.iter().any(|phrase| spaced.contains(phrase))
}

#[cfg(test)]
mod tests {
    use super::is_gradual;

    #[test]
    fn gradual_words_are_known_and_denials_too() {
        for words in [
            "rit.",
            "poco rit.",
            "Ritardando",
            "rall. e dim.",
            "string.",
            "poco a poco più mosso",
            "nach und nach schneller",
            "langsamer werdend",
            "(accel.)",
        ] {
            assert!(is_gradual(words), "{words}");
        }
        for words in [
            "Andante",
            "senza rit.",
            "non rall.",
            "C string",
            "ritenuto",
            "",
        ] {
            assert!(!is_gradual(words), "{words}");
        }
    }
}
