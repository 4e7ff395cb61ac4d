//! Sentences and the list as a whole, on the compositions of this project.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::{Id, MAX_TEXT, MeasureWord};
use cueleaf_read::{draft, read_score};
use cueleaf_score::Score;
use cueleaf_watch::{Kind, Watched, watch};
use std::collections::BTreeMap;
use std::path::Path;

const EXAMPLES: [&str; 2] = ["mail-boat.musicxml", "chestnuts.musicxml"];

fn score(example: &str) -> Score {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    read_score(std::fs::read(folder.join(example)).unwrap())
        .unwrap()
        .value
}

fn listed(score: &Score, part: usize, word: MeasureWord) -> Vec<Watched> {
    let name = score.parts.get(part).unwrap().name.clone();
    let mut guide = draft(score, &[&name], Id::new("g").unwrap()).unwrap().value;
    guide.settings.measure_word = word;
    watch(score, part, &guide)
}

fn every_list() -> Vec<Vec<Watched>> {
    EXAMPLES
        .iter()
        .map(|example| score(example))
        .flat_map(|score| {
            let parts = 0..score.parts.len();
            parts
                .map(|part| listed(&score, part, MeasureWord::Measure))
                .collect::<Vec<_>>()
        })
        .collect()
}

#[test]
fn a_sentence_names_its_measure_and_fits_a_tip() {
    for one in every_list().iter().flatten() {
        let (label, _) = one.from.split_once(" beat ").unwrap();
        let sentence = &one.sentence;
        assert!(sentence.contains(&format!("easure {label}")), "{sentence}");
        assert!(
            sentence.ends_with('.') && !sentence.contains(".."),
            "{sentence}"
        );
        assert!(!sentence.contains(" 0.0 s"), "{sentence}");
        assert!(!sentence.contains("  ") && sentence.chars().next().unwrap().is_uppercase());
        assert!(sentence.len() <= MAX_TEXT, "{sentence}");
    }
}

#[test]
fn neighbours_of_one_kind_are_not_told_in_the_same_words() {
    // The words without numbers, notes and the like: of the first eight letters,
    // at least two openings for a kind that comes often.
    let mut openings: BTreeMap<Kind, Vec<String>> = BTreeMap::new();
    for one in every_list().iter().flatten() {
        let opening = one.sentence.chars().take(8).collect();
        openings.entry(one.kind).or_default().push(opening);
    }
    for kind in [
        Kind::TempoChange,
        Kind::MeterChange,
        Kind::EntryAfterRest,
        Kind::SameDirection,
    ] {
        let mut told = openings.remove(&kind).unwrap();
        assert!(told.len() >= 4, "{kind:?}");
        told.sort();
        told.dedup();
        assert!(told.len() >= 2, "{kind:?}: {told:?}");
    }
}

#[test]
fn a_bar_is_called_a_bar_where_the_guide_says_so() {
    let score = score("mail-boat.musicxml");
    let list = listed(&score, 2, MeasureWord::Bar);
    assert!(list.iter().all(|one| !one.sentence.contains("easure ")));
    assert!(list.iter().any(|one| one.sentence.contains("Bar 13")));
}

#[test]
fn the_list_is_in_order_and_the_same_each_time() {
    let lists = every_list();
    assert_eq!(lists, every_list());
    for list in lists {
        let places: Vec<_> = list.iter().map(|one| (one.spot.from, one.kind)).collect();
        assert!(places.is_sorted());
        assert!(list.iter().all(|one| one.weight <= 100));
    }
}

#[test]
fn every_kind_has_its_own_code() {
    let mut codes: Vec<&str> = Kind::all().map(Kind::code).collect();
    let count = codes.len();
    codes.sort_unstable();
    codes.dedup();
    assert_eq!(codes.len(), count);
    assert!(codes.iter().all(|code| !code.is_empty()));
}
