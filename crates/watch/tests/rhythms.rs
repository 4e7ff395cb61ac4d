//! Rhythms labelled by hand as in `labelled.rs`, tuplets among them, and what the part does
//! between the notes of the others.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

mod common;

use common::{check, first_of, guide, lines, listed, of, score};
use cueleaf_score::Score;
use cueleaf_watch::{Kind, watch};

#[test]
fn beats_are_divided_one_by_one() {
    // Triplets on beat 1, sixteenths on beat 2: both, not twelve parts of each beat.
    let measures = [
        "[4/4 D4:2 D4:2 D4:4 D4:8",
        "D4:2t D4:2t D4:2t D4:1 D4:1 D4:1 D4:1 D4:8",
    ];
    let list = of(&measures);
    let one = first_of(&list, Kind::SubdivisionChange);
    assert!(
        one.sentence.contains("triplets and sixteenths in turn"),
        "{}",
        one.sentence
    );
    assert!(one.sentence.contains("eighths"), "{}", one.sentence);
    assert_eq!(one.cue, "3 and 4 in turn");
    // From both to one of them nothing is new, and beside a dotted figure neither.
    let both = "D4:2t D4:2t D4:2t D4:3 D4:1 D4:8";
    check(
        &[&format!("[4/4 {both}"), both, "D4:2t D4:2t D4:2t D4:4 D4:8"],
        Kind::SubdivisionChange,
        &[],
        &[],
    );
}

#[test]
fn more_parts_than_anybody_counts_are_not_told() {
    // Five in a quarter are told, twelve in a half are not.
    let five = ["[4/4 D4:4 D4:4 D4:8", "D4:1q D4:1q D4:1q r:2q D4:4 D4:8"];
    let names = ["old", "new"];
    check(
        &five,
        Kind::SubdivisionChange,
        &names,
        &["2 beat 1; old 1; new 5"],
    );
    let twelve = ["D4:1s"; 12].join(" ");
    let far = ["[2/2 D4:8 D4:8", &format!("{twelve} D4:8")];
    check(&far, Kind::SubdivisionChange, &[], &[]);
}

#[test]
fn three_over_two_is_a_tuplet_and_no_syncopation() {
    let measures = ["[4/4 D4:4t E4:4t F4:4t G4:8"];
    let list = of(&measures);
    assert_eq!(lines(&list, Kind::Syncopation, &[]), [""; 0]);
    assert_eq!(
        lines(&list, Kind::TupletAcross, &["notes", "beats"]),
        ["1 beat 1; notes 3; beats 2"]
    );
    assert!(
        first_of(&list, Kind::TupletAcross)
            .sentence
            .contains("3 equal notes over 2 beats")
    );
    // It divides no beat in thirds: the eighths after it are no change.
    let after = [
        "[4/4 D4:4 D4:4 D4:8",
        "D4:4t E4:4t F4:4t G4:8",
        "D4:2 D4:2 D4:4 D4:8",
    ];
    check(&after, Kind::SubdivisionChange, &[], &[]);
    // Six in the time of four eighths strike each beat: these are thirds.
    let six = ["[2/4 D4:2 D4:2 D4:4", "D4:2x D4:2x D4:2x D4:2x D4:2x D4:2x"];
    check(
        &six,
        Kind::SubdivisionChange,
        &["old", "new"],
        &["2 beat 1; old 2; new 3"],
    );
    // Four over three, told once.
    let four = of(&["[3/4 D4:4d E4:4d F4:4d G4:4d"]);
    assert_eq!(lines(&four, Kind::Syncopation, &[]), [""; 0]);
    assert_eq!(
        lines(&four, Kind::TupletAcross, &["notes", "beats"]),
        ["1 beat 1; notes 4; beats 3"]
    );
    // Tied from one tuplet into the next it is held through the beat all the same.
    let tied = of(&["[2/4 D4:2t D4:2t E4:2t~ E4:2t D4:2t D4:2t"]);
    assert_eq!(
        lines(&tied, Kind::Syncopation, &["through_beat"]),
        ["1 beat 1+2/3; through_beat 2"]
    );
    // One that begins between beats shifts them.
    let late = of(&["[4/4 r:2 D4:4t E4:4t F4:4t r:6"]);
    assert!(late.iter().any(|one| one.kind == Kind::Syncopation));
    assert!(late.iter().all(|one| one.kind != Kind::TupletAcross));
}

#[test]
fn notes_between_those_of_the_others_are_not_alone() {
    // After-beats against a cello on the beats.
    let after = "r:2 D4:2 r:2 D4:2 r:2 D4:2 r:2 D4:2";
    let first = format!("[4/4 {after}");
    let beats = "C3:4 C3:4 C3:4 C3:4";
    let cello = format!("[4/4 {beats}");
    let list = listed(&[
        ("Viola", &[first.as_str(), after]),
        ("Cello", &[cello.as_str(), beats]),
    ]);
    assert_eq!(lines(&list, Kind::MovesAlone, &[]), [""; 0]);
    assert_eq!(
        lines(&list, Kind::BetweenOthers, &["notes"]),
        ["1 beat 1+1/2 to 2 beat 4+1/2; notes 8"]
    );
    let one = first_of(&list, Kind::BetweenOthers);
    assert!(!one.sentence.contains("alone"), "{}", one.sentence);
    assert_eq!(one.cue, "between the others");
}

#[test]
fn a_run_alone_ends_where_somebody_strikes_or_the_part_rests() {
    // Four sixteenths inside beat 1 while nobody moves, a rest of a beat, two notes more.
    let list = listed(&[
        ("Viola", &["[4/4 r:1 D4:1 D4:1 D4:1 r:4 D4:4 D4:4"]),
        ("Cello", &["[4/4 C3:16"]),
    ]);
    assert_eq!(
        lines(&list, Kind::MovesAlone, &["notes"]),
        ["1 beat 1+1/4 to 1 beat 1+3/4; notes 3"]
    );
    // Somebody strikes between the second and the third.
    let list = listed(&[
        ("Viola", &["[4/4 r:2 D4:4 D4:4 D4:4 r:2"]),
        ("Cello", &["[4/4 C3:8 C3:8"]),
    ]);
    assert_eq!(lines(&list, Kind::MovesAlone, &[]), [""; 0]);
    assert_eq!(lines(&list, Kind::BetweenOthers, &[]), [""; 0]);
}

#[test]
fn what_was_played_in_by_hand_tells_no_entry_off_the_beat() {
    // A note played a little late after a rest says nothing about the beat.
    let mut score = score(&[("Viola", &["[4/4 D4:4 r:5 D4:3 D4:4"])]);
    let off_beat = |score: &Score| {
        let list = watch(score, 0, &guide(score));
        list.iter().any(|one| one.kind == Kind::EntryOffBeat)
    };
    assert!(off_beat(&score));
    score.parts[0].played_in = true;
    assert!(!off_beat(&score));
}
