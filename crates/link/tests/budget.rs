//! How long links are: a guide of 90 measures with 15 tips of 100 letters has to fit in 2,000
//! letters, in each language, with tips that the dictionary was not made from.

#![allow(
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::time::Key;
use cueleaf_guide::{Guide, Id, Language, Measure, Part, Spot, TempoMark, Tip, Topic};
use cueleaf_link::{WIDELY_SAFE, from_fragment, to_capitals, to_fragment};
use std::collections::BTreeSet;

/// The tips of each language, written after the dictionary and about other things, and the
/// dictionary itself.
const TONGUES: [(Language, &str, &str); 5] = [
    (
        Language::English,
        include_str!("tips/en.txt"),
        include_str!("../src/dictionary/en.txt"),
    ),
    (
        Language::German,
        include_str!("tips/de.txt"),
        include_str!("../src/dictionary/de.txt"),
    ),
    (
        Language::Spanish,
        include_str!("tips/es.txt"),
        include_str!("../src/dictionary/es.txt"),
    ),
    (
        Language::French,
        include_str!("tips/fr.txt"),
        include_str!("../src/dictionary/fr.txt"),
    ),
    (
        Language::Italian,
        include_str!("tips/it.txt"),
        include_str!("../src/dictionary/it.txt"),
    ),
];

/// An address of the length that a school's page has.
const ADDRESS: &str = "https://music.riverside-school.example/strings/play.html#";

/// A number like a random one, the same on every run.
fn random(seed: u64) -> u64 {
    let mixed = (seed + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    (mixed ^ mixed >> 29).wrapping_mul(0xbf58_476d_1ce4_e5b9) ^ mixed >> 32
}

fn guide_of_90(language: Language, tips: &str) -> Guide {
    let mut guide = Guide::new(Id::from_random(random(0)), "Winter Harbour Suite");
    guide.composer = "A. Nobody".to_owned();
    guide.settings.language = language;
    guide.parts = vec![Part {
        id: Id::from_random(random(1)),
        name: "Viola".to_owned(),
        marks: Vec::new(),
        extra: Default::default(),
    }];
    for number in 1..=90 {
        let mut measure = Measure::labelled(&number.to_string());
        let (meter, groups, tempo, section) = match number {
            1 => ("4/4", "", "quarter = 84", "A"),
            19 => ("7/8", "3+2+2", "quarter = 126", "B"),
            38 => ("3/4", "", "quarter = 102", "C"),
            57 => ("6/8", "", "dotted quarter = 66", "D"),
            74 => ("2/4", "", "quarter = 120", "E"),
            _ => ("", "", "", ""),
        };
        measure.meter = meter.parse().ok();
        measure.groups = groups.parse().ok();
        if let Ok(tempo) = tempo.parse() {
            let mark = TempoMark::at_once(cueleaf_guide::time::BeatSpan::ZERO, "", tempo);
            measure.tempo.push(mark);
            measure.mark = Some(section.to_owned());
        }
        measure.key = match number {
            1 => Key::from_fifths(2).ok(),
            57 => Key::from_fifths(-1).ok(),
            _ => None,
        };
        guide.road_map.measures.push(measure);
    }
    for (index, text) in tips.lines().enumerate() {
        let spot = Spot::measures(index * 6, index * 6 + index % 3);
        let topic = Topic::ALL[index % 8];
        let id = Id::from_random(random(10 + index as u64));
        guide.tips.push(Tip::new(id, spot, topic, text));
    }
    guide
}

#[test]
fn ninety_measures_and_fifteen_tips_fit_in_each_language() {
    for (language, tips, _) in TONGUES {
        assert_eq!(tips.lines().count(), 15);
        let letters: usize = tips.lines().map(|tip| tip.chars().count()).sum();
        assert!(letters >= 1_500, "{language:?}: {letters}");
        let guide = guide_of_90(language, tips);
        let fragment = to_fragment(&guide).unwrap();
        let long = ADDRESS.len() + fragment.len();
        let capitals = to_capitals(&fragment).unwrap();
        println!(
            "{language:?}: {long} letters with the address, {} in capitals",
            capitals.len()
        );
        assert!(long <= WIDELY_SAFE, "{language:?}: {long}");
        assert_eq!(from_fragment(&fragment).unwrap(), guide);
        assert_eq!(from_fragment(&capitals).unwrap(), guide);
    }
}

/// The runs of four words of a text.
fn runs(text: &str) -> BTreeSet<Vec<String>> {
    let words: Vec<String> = text
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.windows(4).map(<[String]>::to_vec).collect()
}

#[test]
fn the_dictionary_was_not_made_from_these_tips() {
    for (language, tips, dictionary) in TONGUES {
        let known = runs(dictionary);
        let shared: Vec<_> = tips
            .lines()
            .flat_map(runs)
            .filter(|run| known.contains(run))
            .collect();
        assert!(shared.is_empty(), "{language:?}: {shared:?}");
    }
}

#[test]
fn the_examples_have_links() {
    for name in ["viola", "cello", "violin-1", "violin-2"] {
        let path = format!(
            "{}/../../examples/mail-boat-{name}.json",
            env!("CARGO_MANIFEST_DIR")
        );
        let guide = cueleaf_guide::open(&std::fs::read_to_string(path).unwrap()).unwrap();
        let fragment = to_fragment(&guide).unwrap();
        println!(
            "{name}: {} letters, {} in capitals",
            fragment.len(),
            to_capitals(&fragment).unwrap().len()
        );
        assert_eq!(from_fragment(&fragment).unwrap(), guide);
    }
}
