//! Places for the bow and the left hand, labelled by hand as in `labelled.rs`.

mod common;

use common::{check, of};
use cueleaf_watch::Kind;

#[test]
fn signs_that_ask_for_one_direction_twice() {
    let names = ["way", "how"];
    // Down and down again: the bow is brought back.
    check(
        &["[4/4 D4:8n D4:8n"],
        Kind::SameDirection,
        &names,
        &["1 beat 1 to 1 beat 3; way down-bow; how retake"],
    );
    // Down, then in turn up, then a sign for up: hooked on.
    check(
        &["[4/4 D4:4n D4:4 D4:8v"],
        Kind::SameDirection,
        &names,
        &["1 beat 2 to 1 beat 3; way up-bow; how hook"],
    );
    // The signs only say what turns anyway.
    check(&["[4/4 D4:8n D4:8v"], Kind::SameDirection, &[], &[]);
    // The first way is a guess by the rule of thumb, so nothing is certain.
    check(&["[4/4 D4:8 D4:8n"], Kind::SameDirection, &[], &[]);
}

#[test]
fn bows_are_long_by_the_second() {
    // Two measures of four quarters at 60 under one slur last eight seconds.
    let measures = ["[4/4 @60 D4:16(", "E4:16)", "D4:8 D4:8"];
    check(
        &measures,
        Kind::LongBow,
        &["seconds", "notes"],
        &["1 beat 1 to 2; seconds 8; notes 2"],
    );
    // Plucked, nothing has to last.
    let plucked = ["[4/4 @60 !pizz. D4:16(", "E4:16)"];
    check(&plucked, Kind::LongBow, &[], &[]);
}

#[test]
fn long_and_short_strokes_carry_the_hand() {
    // Three quarters down, one up, three times over: toward the tip.
    let measures = ["[4/4 D4:12 D4:4", "D4:12 D4:4", "D4:12 D4:4"];
    let expected = "1 beat 1 to 3 beat 4; ratio 3; pairs 3; toward tip";
    check(
        &measures,
        Kind::UnevenBowing,
        &["ratio", "pairs", "toward"],
        &[expected],
    );
    check(
        &["[4/4 D4:8 D4:8", "D4:8 D4:8", "D4:8 D4:8"],
        Kind::UnevenBowing,
        &[],
        &[],
    );
}

#[test]
fn dots_under_a_slur_and_named_strokes() {
    let measures = ["[4/4 D4:4(. D4:4. D4:4). D4:4", "!spiccato D4:16"];
    check(
        &measures,
        Kind::ArticulatedSlur,
        &["notes"],
        &["1 beat 1 to 1 beat 3; notes 3"],
    );
    check(
        &measures,
        Kind::NamedStroke,
        &["words"],
        &["2 beat 1; words spiccato"],
    );
}

#[test]
fn leaps_of_an_octave_and_notes_outside_the_key() {
    let measures = ["[4/4 #0 D4:4 D5:4 C5:4 F#4:4"];
    check(
        &measures,
        Kind::Leap,
        &["semitones"],
        &["1 beat 1 to 1 beat 2; semitones 12"],
    );
    check(
        &measures,
        Kind::OutsideKey,
        &["note"],
        &["1 beat 4; note F sharp 4"],
    );
    // After a rest of a beat there is time for the way.
    check(&["[4/4 D4:4 r:4 D5:8"], Kind::Leap, &[], &[]);
}

#[test]
fn the_highest_note_and_what_lies_beyond_the_usual() {
    // Forty notes on D and E, one B above: the usual compass is D to E.
    let bar = "D4:2 E4:2 D4:2 E4:2 D4:2 E4:2 D4:2 E4:2";
    let first = format!("[4/4 {bar}");
    let measures = [first.as_str(), bar, bar, bar, bar, "B4:4 r:12"];
    check(
        &measures,
        Kind::HighestNote,
        &["note", "times"],
        &["6 beat 1; note B 4; times 1"],
    );
    // From E 4 up to B 4 are seven semitones.
    check(
        &measures,
        Kind::OutOfCompass,
        &["beyond"],
        &["6 beat 1; beyond 7"],
    );
}

#[test]
fn a_leap_goes_where_the_sound_goes() {
    // Letters that cross the octave: A 4 to C 6 goes up fifteen semitones, G 5 to F 3 down.
    for (measure, way, other) in [
        ("[4/4 A4:4 C6:4 C6:8", " up ", " down "),
        ("[4/4 C6:4 A4:4 A4:8", " down ", " up "),
        ("[4/4 F5:4 G3:4 G3:8", " down ", " up "),
    ] {
        let list = of(&[measure]);
        let leap = list.iter().find(|one| one.kind == Kind::Leap).unwrap();
        assert!(leap.sentence.contains(way), "{}", leap.sentence);
        assert!(!leap.sentence.contains(other), "{}", leap.sentence);
    }
}
