//! The watch list of an example, against labels made by hand from its printed score.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::Id;
use cueleaf_read::{draft, read_score};
use cueleaf_watch::{MAX_WATCHED, Watched, Watching, strongest, watch};
use std::collections::BTreeMap;

const BOAT: &[u8] = include_bytes!("../../../examples/mail-boat.musicxml");
const CHESTNUTS: &[u8] = include_bytes!("../../../examples/chestnuts.musicxml");

/// Gives the watch list of every part by name.
fn lists(file: &[u8]) -> BTreeMap<String, Vec<Watched>> {
    let score = read_score(file.to_vec()).unwrap().value;
    let one = |(index, part): (usize, &cueleaf_score::Part)| {
        let guide = draft(&score, &[&part.name], Id::from_random(1))
            .unwrap()
            .value;
        (part.name.clone(), watch(&score, index, &guide))
    };
    score.parts.iter().enumerate().map(one).collect()
}

fn places<'a>(list: &'a [Watched], kind: &str) -> Vec<&'a str> {
    list.iter()
        .filter(|own| own.kind.code() == kind)
        .map(|own| own.from.as_str())
        .collect()
}

#[test]
fn a_part_is_looked_through_in_steps_as_at_once() {
    let score = read_score(BOAT.to_vec()).unwrap().value;
    let guide = draft(&score, &["Viola"], Id::from_random(1)).unwrap().value;
    let part = score
        .parts
        .iter()
        .position(|own| own.name == "Viola")
        .unwrap();
    let whole = watch(&score, part, &guide);
    assert!(!whole.is_empty());
    for budget in [1, 1_000, 100_000] {
        let mut watching = Watching::of(part);
        let mut steps = 1;
        while watching.step(&score, &guide, budget) {
            steps += 1;
        }
        assert_eq!(watching.done(), Watching::STEPS);
        assert!(if budget == 1 {
            steps == Watching::STEPS
        } else {
            steps < Watching::STEPS
        });
        assert_eq!(watching.finish(), whole);
    }
}

#[test]
fn the_viola_of_the_mail_boat_has_what_is_printed_in_it() {
    let lists = lists(BOAT);
    let viola = &lists["Viola"];
    for (kind, labels) in [
        // A new tempo at once; the "a tempo" of 84 belongs to the rit. before it.
        ("tempo-change", LABELS.tempo),
        // 7/8 and 5/4 begin at B and D; at 37 and 41 the beams and accents regroup 7/8.
        ("uneven-meter", LABELS.uneven),
        // One measure of 2/4 stands between 4/4 and 5/4.
        ("odd-measure", &["64 beat 1"]),
        // One flat in the fog, two sharps again homeward.
        ("key-change", &["65 beat 1", "84 beat 1"]),
        ("to-pizz", &["13 beat 1", "104 beat 1"]),
        ("to-arco", &["25 beat 1", "104 beat 3"]),
        // The eight measures of rest at B; every other rest is shorter than two measures.
        ("entry-after-rest", &["37 beat 1"]),
        // 13 to 22 is played twice, with two endings.
        ("repeat", &["13 beat 1"]),
        ("ending", &["21 beat 1", "23 beat 1"]),
    ] {
        assert_eq!(places(viola, kind), labels, "{kind}");
    }
}

struct Labels {
    tempo: &'static [&'static str],
    uneven: &'static [&'static str],
}

const LABELS: Labels = Labels {
    tempo: &[
        "13 beat 1",
        "29 beat 1",
        "49 beat 1",
        "65 beat 1",
        "76 beat 1",
        "92 beat 1",
    ],
    uneven: &["29 beat 1", "37 beat 1", "41 beat 1", "65 beat 1"],
};

#[test]
fn the_time_to_get_ready_is_that_of_the_place() {
    let lists = lists(BOAT);
    let ready = |place: &str, kind: &str| {
        let own = lists["Viola"]
            .iter()
            .find(|own| own.kind.code() == kind && own.from == place)
            .unwrap();
        own.sentence.clone()
    };
    // The first note after the rest on beat 1 of 13 is on beat 2, a quarter at 112 a minute:
    // 60 / 112 = 0.54 seconds.
    assert!(ready("13 beat 1", "to-pizz").contains("1 beat (0.5 s)"));
    // Beat 3 of 24 in 3/4 at 112.
    assert!(ready("25 beat 1", "to-arco").contains("1 beat (0.5 s)"));
}

#[test]
fn every_part_of_every_example_keeps_the_promises() {
    for file in [BOAT, CHESTNUTS] {
        let first = lists(file);
        assert_eq!(first, lists(file), "the same score gives the same list");
        for (part, list) in &first {
            assert!(!list.is_empty() && list.len() <= MAX_WATCHED, "{part}");
            let ten = strongest(list, 10);
            assert!(ten.len() <= 10, "{part}");
            assert!(
                ten.windows(2).all(|two| two[0].weight >= two[1].weight),
                "{part}"
            );
            let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
            for own in &ten {
                *kinds.entry(own.kind.code()).or_default() += 1;
            }
            assert!(kinds.values().all(|count| *count <= 4), "{part}: {kinds:?}");
            for own in list {
                assert!(
                    own.weight <= 100 && own.sentence.ends_with(['.', '!', '?']),
                    "{part}: {}",
                    own.sentence
                );
            }
        }
    }
}
