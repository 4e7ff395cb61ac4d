//! What words name: strokes, places of the bow, strings.

use crate::say::{quoted, vary};
use crate::scene::Scene;
use crate::thresholds::weight;
use crate::watched::{Kind, Watched};
use cueleaf_guide::{Mark, MarkKind, Place, Spot};

/// Words by which parts name strokes and places of the bow.
///
/// # Source
/// Terms of the trade. Lower half, upper half, middle: Gehrkens, Essentials in
/// Conducting, "Bowing"; martelé, collé, détaché: H. Castleman, American Viola
/// Society, 2013; the others common practice, no source.
const STROKE_WORDS: [&str; 52] = [
    "spiccato",
    "spicc.",
    "sautill",
    "saltando",
    "saltato",
    "ricochet",
    "jeté",
    "jete",
    "martel",
    "détaché",
    "detache",
    "détache",
    "portato",
    "louré",
    "collé",
    "legato",
    "staccato",
    "stacc.",
    "col legno",
    "collegno",
    "sul ponticello",
    "sul pont",
    "ponticello",
    "sul tasto",
    "tasto",
    "flautando",
    "flautato",
    "punta d",
    "at the frog",
    "at the tip",
    "at the point",
    "talon",
    "lower half",
    "upper half",
    "middle of the bow",
    "whole bow",
    "tutto l'arco",
    "tremolo",
    "am steg",
    "griffbrett",
    "frosch",
    "spitze",
    "sur la touche",
    "chevalet",
    "pointe",
    "halbe bogen",
    "ganzer bogen",
    "geworfen",
    "gesprungen",
    "springbogen",
    "mit dem holz",
    "avec le bois",
];

/// Words that take back what such words asked for.
const ORDINARY: [&str; 9] = [
    "ord",
    "ordinario",
    "nat",
    "naturale",
    "normale",
    "norm",
    "gewöhnlich",
    "naturel",
    "naturelle",
];

/// Finds words that name a stroke, a place of the bow or a string.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    for mark in scene
        .marks
        .iter()
        .filter(|mark| mark.kind == MarkKind::Words)
    {
        let small = mark.text.to_lowercase();
        let words: Vec<&str> = small
            .split(between)
            .filter(|word| !word.is_empty())
            .collect();
        if names_string(&mark.text) {
            found.push(string(scene, mark, found.len()));
        } else if STROKE_WORDS.iter().any(|word| small.contains(word)) {
            found.push(stroke(scene, mark, found.len()));
        } else if words.iter().any(|word| ORDINARY.contains(word)) {
            found.push(ordinary(scene, mark, found.len()));
        }
    }
}

/// Tells whether a letter stands between words.
fn between(letter: char) -> bool {
    !letter.is_alphanumeric()
}

/// Tells whether words name a string: "sul G", "sulla IV", "III corda", "auf der G-Saite",
/// "4e corde". "A string" does, "a string" does not, nor does "à la corde".
///
/// # Source
/// Common practice, no source.
fn names_string(text: &str) -> bool {
    let number = |word: &str| {
        let word = word.trim_end_matches(['a', 'e', 'º', 'ª']);
        matches!(word, "I" | "II" | "III" | "IV" | "1" | "2" | "3" | "4")
    };
    let letter = |word: &str| matches!(word, "E" | "A" | "D" | "G" | "C");
    let spoken = |word: &str| {
        let small = word.to_lowercase();
        matches!(
            small.as_str(),
            "e" | "a"
                | "d"
                | "g"
                | "c"
                | "i"
                | "ii"
                | "iii"
                | "iv"
                | "mi"
                | "la"
                | "re"
                | "sol"
                | "do"
        )
    };
    let words: Vec<&str> = text
        .split(between)
        .filter(|word| !word.is_empty())
        .collect();
    words.windows(2).any(|pair| match pair {
        [one, next] => {
            let (first, second) = (one.to_lowercase(), next.to_lowercase());
            let on = matches!(first.as_str(), "sul" | "sulla");
            let string = matches!(second.as_str(), "corda" | "corde" | "saite" | "string");
            (on && (spoken(next) || number(next))) || (string && (letter(one) || number(one)))
        }
        _ => false,
    })
}

fn place_of(mark: &Mark) -> Place {
    Place {
        measure: mark.measure,
        at: mark.at,
    }
}

fn stroke(scene: &Scene<'_>, mark: &Mark, number: usize) -> Watched {
    let (said, words) = (scene.said(place_of(mark)), quoted(&mark.text));
    let sentence = vary(
        number,
        [
            format!("{said}: {words}. Try the stroke on an open string first."),
            format!(
                "The part asks for {words} from {said} on; find the place in the bow where it speaks."
            ),
        ],
    );
    told(
        scene,
        Kind::NamedStroke,
        mark,
        weight::NAMED_STROKE,
        &sentence,
    )
}

fn ordinary(scene: &Scene<'_>, mark: &Mark, number: usize) -> Watched {
    let (said, words) = (scene.said(place_of(mark)), quoted(&mark.text));
    let sentence = vary(
        number,
        [
            format!("{said}: {words}. From here on the bow plays as usual again."),
            format!(
                "Back to the usual way of bowing at {said} ({words}). Let the sound open at once."
            ),
        ],
    );
    told(
        scene,
        Kind::NamedStroke,
        mark,
        weight::ORDINARY_STROKE,
        &sentence,
    )
}

fn string(scene: &Scene<'_>, mark: &Mark, number: usize) -> Watched {
    let (said, words) = (scene.said(place_of(mark)), quoted(&mark.text));
    let sentence = vary(
        number,
        [
            format!(
                "{said}: {words}. Stay on this string, find the fingering first, and mark how far it goes."
            ),
            format!(
                "The part asks for one string from {said} on ({words}). Go up it slowly, note by note, before you play in time."
            ),
        ],
    );
    told(
        scene,
        Kind::NamedString,
        mark,
        weight::NAMED_STRING,
        &sentence,
    )
}

fn told(scene: &Scene<'_>, kind: Kind, mark: &Mark, weight: i64, sentence: &str) -> Watched {
    let spot = Spot::at(place_of(mark));
    let numbers = [("words", mark.text.as_str().into())];
    scene.watched(kind, spot, weight, sentence, numbers)
}

#[cfg(test)]
mod tests {
    use super::names_string;

    #[test]
    fn strings_are_named_in_several_ways() {
        for words in [
            "sul G",
            "sul g",
            "sulla IV",
            "III corda",
            "auf der G-Saite",
            "4e corde",
            "sur la 4e corde",
            "G string",
        ] {
            assert!(names_string(words), "{words}");
        }
        for words in [
            "sul ponticello",
            "sul tasto",
            "a tempo",
            "string quartet",
            "una corda",
            "à la corde",
            "on a string",
        ] {
            assert!(!names_string(words), "{words}");
        }
    }
}
