//! Plain words for places, notes and amounts.

use crate::thresholds::PACES;
use cueleaf_score::{Pitch, Step};
use cueleaf_time::Ratio;

/// Picks one of several phrasings by a running number, so that neighbours differ.
pub(crate) fn vary<const N: usize>(number: usize, phrasings: [String; N]) -> String {
    let index = number.checked_rem(N).unwrap_or(0);
    phrasings.into_iter().nth(index).unwrap_or_default()
}

/// Begins a sentence with a capital letter; a dynamic stays small: "pp at once".
pub(crate) fn capital(text: &str) -> String {
    let first = text.split([' ', ',', ';', ':']).next().unwrap_or_default();
    if !first.is_empty() && first.chars().all(|letter| "pmfszrn".contains(letter)) {
        return text.to_owned();
    }
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Writes an amount: "1 note", "3 notes".
pub(crate) fn amount(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

/// Writes a fraction as people say it: "2", "1.5", to two places.
pub(crate) fn decimal(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Writes quarter notes: "1 quarter", "2.5 quarters".
pub(crate) fn quarters(count: f64) -> String {
    let count = decimal(count);
    let plural = if count == "1" { "" } else { "s" };
    format!("{count} quarter{plural}")
}

/// Writes beats: "1 beat", "2.5 beats", "a third of a beat".
pub(crate) fn beats(count: Ratio) -> String {
    let part = match (count.numerator(), count.denominator()) {
        (1, 2) => Some("half a beat"),
        (1, 3) => Some("a third of a beat"),
        (2, 3) => Some("two thirds of a beat"),
        (1, 4) => Some("a quarter of a beat"),
        (3, 4) => Some("three quarters of a beat"),
        _ => None,
    };
    if let Some(part) = part {
        return part.to_owned();
    }
    let plural = if count == Ratio::ONE { "" } else { "s" };
    format!("{} beat{plural}", decimal(count.to_f64()))
}

/// Says how much faster the counted beat goes, by how many new beats go by in the time of an
/// old one: "half as fast again".
pub(crate) fn pace(ratio: f64) -> &'static str {
    let steps = PACES.iter().find(|(least, _)| ratio >= *least);
    steps.map_or("less than half as fast", |(_, words)| words)
}

/// Writes seconds: "0.8 s".
pub(crate) fn seconds(seconds: f64) -> String {
    format!("{seconds:.1} s")
}

/// Writes a pass: "first", "second", "third", then "4th".
pub(crate) fn ordinal(number: u16) -> String {
    match (number, number % 10, number % 100) {
        (1, ..) => "first".to_owned(),
        (2, ..) => "second".to_owned(),
        (3, ..) => "third".to_owned(),
        (_, _, 11..=13) => format!("{number}th"),
        (_, 1, _) => format!("{number}st"),
        (_, 2, _) => format!("{number}nd"),
        (_, 3, _) => format!("{number}rd"),
        _ => format!("{number}th"),
    }
}

/// Writes words as they are printed: "“dolce”".
pub(crate) fn quoted(words: &str) -> String {
    format!("\u{201c}{words}\u{201d}")
}

/// Joins words as a list is read: "a", "a and b", "a, b and c".
pub(crate) fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Names a letter with its alteration in semitones: "F sharp".
pub(crate) fn letter(step: Step, alteration: i8) -> String {
    let sign = match alteration {
        0 => " natural",
        1 => " sharp",
        -1 => " flat",
        2 => " double sharp",
        -2 => " double flat",
        _ => " altered",
    };
    format!("{}{sign}", step.letter())
}

/// Names a pitch as in print: "F sharp 4", octave 4 starting with middle C. `usual` is by how
/// many semitones the key signature alters its letter: where it does, a natural is named too.
pub(crate) fn pitch(pitch: Pitch, usual: i8) -> String {
    let alteration = pitch.quarter_tones.div_euclid(2);
    match (alteration, pitch.quarter_tones.rem_euclid(2)) {
        (0, 0) if usual == 0 => format!("{} {}", pitch.step.letter(), pitch.octave),
        (alteration, 0) => format!("{} {}", letter(pitch.step, alteration), pitch.octave),
        _ => format!("{} (quarter tone) {}", pitch.step.letter(), pitch.octave),
    }
}

#[cfg(test)]
mod tests {
    use super::{beats, ordinal, quarters};

    #[test]
    fn amounts_and_passes_have_their_endings() {
        assert_eq!(
            (quarters(1.0), quarters(2.5)),
            ("1 quarter".to_owned(), "2.5 quarters".to_owned())
        );
        let passes = [1, 4, 11, 21, 22, 113].map(ordinal);
        assert_eq!(passes, ["first", "4th", "11th", "21st", "22nd", "113th"]);
    }

    #[test]
    fn beats_are_said_as_people_say_them() {
        for (count, said) in [
            ("1/3", "a third of a beat"),
            ("3/4", "three quarters of a beat"),
            ("1/6", "0.17 beats"),
            ("1", "1 beat"),
            ("3/2", "1.5 beats"),
            ("4", "4 beats"),
        ] {
            assert_eq!(beats(count.parse().unwrap()), said);
        }
    }
}
