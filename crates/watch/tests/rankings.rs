//! The ten strongest of a part against rankings that two readers made without seeing ours.
//!
//! An entry counts for the measure where it begins: our ten tell there what comes together,
//! and the last measures are one place. By that measure the two share six to ten with one
//! another. Their rankings are judgements, invented for no test: they had the places and
//! numbers of each part without weights, sentences and order of strength.
//!
//! `tests/cases/watch/*.json`, one file a part:
//! `{"score", "part", "rankings": [{"by", "ten": [{"kind", "from", "why"}]}]}`,
//! the score below `examples`.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::Id;
use cueleaf_read::{draft, read_score};
use cueleaf_watch::{Kind, Watched, strongest, watch};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

/// How many of ten two rankings have to share.
const SHARED: usize = 7;
/// How many of the ten may be of one kind.
const OF_ONE_KIND: usize = 4;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Gives the lists of all parts of an example, by the part's name.
fn lists(example: &str) -> Vec<(String, Vec<Watched>)> {
    let bytes = std::fs::read(root().join("examples").join(example)).unwrap();
    let score = read_score(bytes).unwrap().value;
    let parts = score.parts.iter().enumerate();
    parts
        .map(|(index, part)| {
            let guide = draft(&score, &[&part.name], Id::new("g").unwrap()).unwrap();
            (part.name.clone(), watch(&score, index, &guide.value))
        })
        .collect()
}

/// The printed name of the measure in which a place lies.
fn measure(from: &str) -> &str {
    from.split(' ').next().unwrap()
}

/// Gives our ten by measure.
fn ten(list: &[Watched]) -> Vec<&str> {
    let ten = strongest(list, 10).into_iter();
    ten.map(|one| measure(&one.from)).collect()
}

/// Counts the entries of a ranking that are told at one of our ten.
fn shared(ours: &[&str], ranking: &Value) -> usize {
    let theirs = ranking["ten"].as_array().unwrap().iter();
    theirs
        .filter(|one| ours.contains(&measure(one["from"].as_str().unwrap())))
        .count()
}

#[test]
fn ten_are_chosen_and_no_kind_is_more_than_four_of_them() {
    for example in ["mail-boat.musicxml", "chestnuts.musicxml"] {
        for (part, list) in lists(example) {
            let ten = strongest(&list, 10);
            assert_eq!(ten.len(), 10, "{example}, {part}");
            let mut kinds: BTreeMap<Kind, usize> = BTreeMap::new();
            let mut places: BTreeSet<&str> = BTreeSet::new();
            for one in &ten {
                *kinds.entry(one.kind).or_default() += 1;
                assert!(places.insert(measure(&one.from)), "{example}, {part}");
            }
            assert!(
                kinds.values().all(|count| *count <= OF_ONE_KIND),
                "{kinds:?}"
            );
            let weights: Vec<u8> = ten.iter().map(|one| one.weight).collect();
            assert!(weights.is_sorted_by(|one, next| one >= next), "{weights:?}");
            let others = list.iter().filter(|one| !ten.contains(one));
            let heaviest = others.map(|one| one.weight).max();
            assert!(weights.first().copied() >= heaviest, "{example}, {part}");
        }
    }
}

#[test]
fn what_is_shared_is_counted_by_measure() {
    let ranking = serde_json::json!({"ten": [
        {"kind": "leap", "from": "3 beat 1"},
        {"kind": "leap", "from": "8 beat 4+1/2"},
        {"kind": "to-pizz", "from": "12a beat 1"},
    ]});
    assert_eq!(shared(&["3", "8", "12"], &ranking), 2);
}

#[test]
fn the_ten_strongest_are_what_others_would_choose() {
    let folder = std::fs::read_dir(root().join("tests/cases/watch")).unwrap();
    let mut files: Vec<PathBuf> = folder.map(|one| one.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|ending| ending == "json"));
    files.sort();
    assert!(files.len() >= 4, "four parts are to be ranked");
    for path in files {
        let case: Value = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
        let part = case["part"].as_str().unwrap();
        let all = lists(case["score"].as_str().unwrap());
        let (_, list) = all.iter().find(|(name, _)| name == part).unwrap();
        let ours = ten(list);
        let rankings = case["rankings"].as_array().unwrap();
        assert!(rankings.len() >= 2, "{}: two rankings", path.display());
        for ranking in rankings {
            let count = shared(&ours, ranking);
            let by = &ranking["by"];
            assert!(
                count >= SHARED,
                "{part}, {by}: {count} shared; ours {ours:?}"
            );
        }
    }
}
