//! Dynamics labelled by hand as in `labelled.rs`: after rests, aims of a crescendo, lengths.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

mod common;

use common::{check, first_of, lines, of};
use cueleaf_watch::{Kind, Watched};

#[test]
fn after_a_beat_of_silence_nothing_is_sudden() {
    let list = of(&["[4/4 =f D4:8 r:8", "=p D4:16"]);
    assert_eq!(lines(&list, Kind::SuddenDynamic, &[]), [""; 0]);
    let one = list.iter().find(|one| one.from == "2 beat 1").unwrap();
    assert_eq!((one.kind, one.weight), (Kind::Dynamic, 30));
    assert!(one.sentence.contains("after the rest"), "{}", one.sentence);
    assert!(!one.sentence.contains("right up to"), "{}", one.sentence);
    assert_eq!(one.cue, "p after the rest");
    // Printed under the rest before the note that begins it.
    let early = of(&["[4/4 =f D4:8 =p r:8", "D4:16"]);
    assert_eq!(lines(&early, Kind::SuddenDynamic, &[]), [""; 0]);
    // A shorter rest leaves it sudden, and so does a rest that comes later.
    let short = ["[4/4 =f D4:14 r:2", "=p D4:16"];
    check(&short, Kind::SuddenDynamic, &[], &["2 beat 1"]);
    let later = ["[4/4 =f D4:16", "=p D4:4 r:12", "D4:16"];
    check(&later, Kind::SuddenDynamic, &[], &["2 beat 1"]);
}

#[test]
fn what_comes_long_after_a_hairpin_is_not_its_aim() {
    let whole = "D4:16";
    let far = ["[4/4 =p D4:16", "< D4:16 \\", whole, whole, "=p D4:16"];
    check(&far, Kind::NoRoomToGrow, &[], &[]);
    let near = ["[4/4 =p D4:16", "< D4:16 \\", "=p D4:16"];
    check(&near, Kind::NoRoomToGrow, &[], &["2 beat 1"]);
    // "cresc." says no end: eight measures after it are near enough, nine are not.
    let after = |measures: usize| {
        let mut part = vec!["[4/4 =p D4:16", "!cresc. D4:16"];
        part.extend([whole].repeat(measures - 1));
        part.push("=p D4:16");
        lines(&of(&part), Kind::NoRoomToGrow, &["arrives_at"])
    };
    assert_eq!(after(8), ["2 beat 1; arrives_at p"]);
    assert_eq!(after(9), [""; 0]);
    // Loud already, it still begins too loud.
    let loud = ["[4/4 =f D4:16", "< D4:16 \\", whole, whole, "=p D4:16"];
    check(
        &loud,
        Kind::NoRoomToGrow,
        &["arrives_at"],
        &["2 beat 1; arrives_at "],
    );
}

#[test]
fn less_than_a_measure_is_told_in_beats() {
    // A hairpin from beat 4 to the next beat 1, and one inside a measure.
    let list = of(&["[4/4 =p D4:12 < D4:4 \\", "=mf D4:4 < D4:8 \\ =f D4:4"]);
    let said: Vec<&str> = list
        .iter()
        .filter(|one| one.kind == Kind::Dynamic && one.numbers.contains_key("line_measures"))
        .map(|one| one.sentence.as_str())
        .collect();
    assert_eq!(said.len(), 2, "{list:?}");
    assert!(
        said[0].contains("1 beat") && !said[0].contains("1 measure"),
        "{said:?}"
    );
    assert!(said[1].contains("2 beats"), "{said:?}");
    // Two beats of f are no measure of f.
    let list = of(&["[4/4 =f D4:8 =mf D4:8", "=f D4:16"]);
    let said: Vec<&str> = list
        .iter()
        .filter(|one| one.sentence.contains(" it was "))
        .map(|one| one.sentence.as_str())
        .collect();
    assert!(
        said.iter().any(|one| one.ends_with("for 2 beats.")),
        "{said:?}"
    );
    // Half a measure more than one.
    let list = of(&["[4/4 =p D4:8 =mp D4:8", "D4:16", "=p D4:16"]);
    let said = |one: &Watched| one.sentence.ends_with("for about 2 measures.");
    assert!(list.iter().any(said), "{list:?}");
    // A rit. of two beats.
    let list = of(&["[4/4 @60 D4:8 !rit. D4:8", "@50 D4:16"]);
    let rit = first_of(&list, Kind::TempoGradual);
    assert!(rit.sentence.contains("2 beats"), "{}", rit.sentence);
    assert_eq!(rit.cue, "rit., 2 beats");
}
