//! Where the music stops or slows down without a number, and words that fit the case;
//! labelled by hand as in `labelled.rs`.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

mod common;

use common::{check, first_of, lines, of};
use cueleaf_watch::Kind;

const WHOLE: &str = "D4:16";

#[test]
fn a_closing_rit_leads_to_the_end() {
    let list = of(&["[4/4 @60 D4:16", "!rit. D4:16", WHOLE]);
    assert_eq!(lines(&list, Kind::TempoWords, &[]), [""; 0]);
    let names = ["measures", "seconds", "follows"];
    assert_eq!(
        lines(&list, Kind::TempoGradual, &names),
        ["2 beat 1 to 3; measures 2; seconds 8; follows the end"]
    );
    let one = first_of(&list, Kind::TempoGradual);
    assert!(
        one.sentence.contains("leads to the end"),
        "{}",
        one.sentence
    );
    assert!(!one.sentence.contains("number"), "{}", one.sentence);
    assert_eq!(one.cue, "rit., 2 measures");
}

#[test]
fn the_measures_of_a_rit_are_the_same_in_words_and_in_the_cue() {
    // From beat 3 to beat 2 of the next but one: 7 beats, nearly two measures.
    let list = of(&["[4/4 @60 D4:8 !rit. D4:8", WHOLE, "D4:4 @50 D4:12"]);
    let one = first_of(&list, Kind::TempoGradual);
    assert!(
        one.sentence.contains("about 2 measures"),
        "{}",
        one.sentence
    );
    assert_eq!(one.cue, "rit., 2 measures");
}

#[test]
fn a_rit_far_from_the_end_is_asked_about_and_the_tempo_stays_known() {
    let mut part = vec!["[4/4 @60 D4:16", "!rit. D4:16"];
    part.extend([WHOLE; 20]);
    part.push("!pizz. D4:16");
    let list = of(&part);
    let one = first_of(&list, Kind::TempoGradual);
    assert_eq!(
        (one.from.as_str(), one.to.as_str()),
        ("2 beat 1", "2 beat 1")
    );
    assert!(one.sentence.contains("how far"), "{}", one.sentence);
    assert_eq!(one.cue, "rit., how far?");
    // No seconds are lost after it.
    assert!(
        first_of(&list, Kind::ToPizz)
            .numbers
            .contains_key("seconds")
    );
    // A word that is a tempo of its own takes them away all the same.
    let adagio = of(&["[4/4 @60 D4:16", "!Adagio D4:16", "!pizz. D4:16"]);
    assert!(
        !first_of(&adagio, Kind::ToPizz)
            .numbers
            .contains_key("seconds")
    );
}

#[test]
fn a_breath_comes_after_a_note_and_at_the_end_of_a_measure() {
    // After the note on beat 2, after the one on beat 3 at the barline.
    let list = of(&["[4/4 D4:4 D4:4, D4:8", "D4:8 D4:8,", WHOLE]);
    let breaths: Vec<(&str, bool)> = list
        .iter()
        .filter(|one| one.kind == Kind::Breath)
        .map(|one| {
            (
                one.from.as_str(),
                one.sentence.contains("at the end of the measure"),
            )
        })
        .collect();
    assert_eq!(breaths, [("1 beat 2", false), ("2 beat 3", true)]);
    for one in list.iter().filter(|one| one.kind == Kind::Breath) {
        assert!(!one.sentence.contains("inside"), "{}", one.sentence);
    }
}

#[test]
fn a_fermata_over_the_barline_is_at_the_end_of_its_measure() {
    let list = of(&["[4/4 D4:8 D4:8 %|", WHOLE]);
    let one = first_of(&list, Kind::Fermata);
    assert_eq!(one.from, "1 beat 4");
    assert!(
        one.sentence.contains("the end of measure 1"),
        "{}",
        one.sentence
    );
    assert!(!one.sentence.contains("inside"), "{}", one.sentence);
}

#[test]
fn the_last_fermata_is_told_by_what_is_played_under_it() {
    let sentence = |last: &str| {
        first_of(&of(&["[4/4 D4:16", last]), Kind::Fermata)
            .sentence
            .clone()
    };
    assert!(sentence("D4:16%").ends_with("Keep enough bow."));
    assert!(sentence("!pizz. D4:16%").ends_with("Let it ring."));
    assert!(sentence("D4:8 r:8%").ends_with("Keep still until it is over."));
    assert!(sentence("D4:16 %|").ends_with("Keep enough bow."));
}

#[test]
fn amounts_and_ends_are_said_as_they_are() {
    // One quarter is one quarter.
    let short = of(&["[4/4 D4:16", WHOLE, "D4:4", WHOLE, WHOLE]);
    let one = first_of(&short, Kind::OddMeasure);
    assert!(
        one.sentence.contains("lasts 1 quarter, not"),
        "{}",
        one.sentence
    );
    assert_eq!(one.cue, "here 1 quarter");
    // The last key has no next change.
    let key = of(&["[4/4 #0 D4:16", "#1 D4:16"]);
    let one = first_of(&key, Kind::KeyChange);
    assert!(
        one.sentence
            .ends_with("does not meet these notes any more."),
        "{}",
        one.sentence
    );
    let twice = of(&["[4/4 #0 D4:16", "#1 D4:16", "#0 D4:16"]);
    let one = first_of(&twice, Kind::KeyChange);
    assert!(
        one.sentence.contains("before the next change"),
        "{}",
        one.sentence
    );
}

#[test]
fn a_highest_note_that_comes_all_the_time_is_no_place() {
    let bar = "D4:4 D4:4 D4:4 D4:4";
    let first = format!("[4/4 {bar}");
    check(&[&first, bar, bar, bar, bar], Kind::HighestNote, &[], &[]);
    let high = format!("{bar} E4:4").replacen("D4:4 ", "", 1);
    let part = [first.as_str(), bar, bar, &high];
    check(&part, Kind::HighestNote, &["times"], &["4 beat 4; times 1"]);
}
