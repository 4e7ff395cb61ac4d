//! Places for the bow and the left hand, labelled by hand as in `labelled.rs`.

mod common;

use common::{check, lines, of};
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

#[test]
fn a_pickup_begins_so_that_the_downbeat_comes_down() {
    let pickup = |measures: &[&str]| {
        let list = of(measures);
        let one = list.iter().find(|one| one.kind == Kind::Pickup).unwrap();
        let numbers = lines(&list, Kind::Pickup, &["strokes", "way"]).remove(0);
        format!("{numbers}: {}", one.sentence)
    };
    // One stroke: up. Two separate ones: down and up, or both hooked.
    let one = pickup(&["[4/4 r:12 D4:4", "E4:16"]);
    assert!(
        one.starts_with("1 beat 4; strokes 1; way up-bow: "),
        "{one}"
    );
    assert!(one.contains("the next downbeat comes down"), "{one}");
    let two = pickup(&["[4/4 r:12 D4:2 D4:2", "E4:16"]);
    assert!(
        two.starts_with("1 beat 4; strokes 2; way down-bow: "),
        "{two}"
    );
    assert!(two.contains("hook"), "{two}");
    // Under a slur they are one stroke again.
    let slurred = pickup(&["[4/4 r:12 D4:2( D4:2)", "E4:16"]);
    assert!(
        slurred.starts_with("1 beat 4; strokes 1; way up-bow: "),
        "{slurred}"
    );
    // Signs: at the downbeat, at the pickup itself.
    let aimed = pickup(&["[4/4 r:12 D4:4", "E4:16v"]);
    assert!(
        aimed.starts_with("1 beat 4; strokes 1; way down-bow: "),
        "{aimed}"
    );
    assert!(aimed.contains("the printed up-bow"), "{aimed}");
    let printed = pickup(&["[4/4 r:12 D4:4v", "E4:16"]);
    assert!(printed.contains("up-bow as printed"), "{printed}");
    assert!(!printed.contains("nmarked"), "{printed}");
    // Slurred over the barline there is no new stroke.
    let held = pickup(&["[4/4 r:12 D4:4(", "E4:16)"]);
    assert!(held.starts_with("1 beat 4; strokes 1; way -: "), "{held}");
    assert!(held.contains("in the same bow"), "{held}");
}

#[test]
fn only_what_goes_on_over_the_barline_is_held_there() {
    let sentence = |measures: &[&str]| {
        let list = of(measures);
        let one = list.iter().find(|one| one.kind == Kind::Pickup).unwrap();
        one.sentence.clone()
    };
    // A tremolo and a plucked note are no strokes, but they are new notes.
    for downbeat in ["E4:16*", "!pizz. E4:16"] {
        let said = sentence(&["[4/4 r:12 D4:4", downbeat]);
        assert_eq!(
            said,
            "Measure 1, beat 4: a pickup; lead on to the downbeat."
        );
    }
    // A sign at the pickup is told all the same.
    let printed = sentence(&["[4/4 r:12 D4:4v", "E4:16*"]);
    assert!(printed.contains("up-bow as printed"), "{printed}");
    let tied = sentence(&["[4/4 r:12 D4:4~", "D4:16"]);
    assert!(tied.contains("in the same bow"), "{tied}");
}

#[test]
fn a_pickup_is_short() {
    // From the middle of the measure it is an entry on beat 3, and by the rule down-bow.
    let half = ["[4/4 r:8 D4:8", "E4:16"];
    check(&half, Kind::Pickup, &[], &[]);
    check(&half, Kind::EntryInside, &[], &["1 beat 3"]);
    // The second of two beats is the last one.
    check(&["[2/4 r:4 D4:4", "E4:8"], Kind::Pickup, &[], &["1 beat 2"]);
}

#[test]
fn the_strokes_of_a_pickup_are_counted_in_the_bow_plan_too() {
    // Two eighths before a downbeat: down, up, down. Counted wrongly, the sign on the
    // downbeat would ask for two down-bows, and the pairs of long and short would not turn.
    let measures = [
        "[4/4 r:12 D4:2 D4:2",
        "E4:12n D4:4",
        "E4:12 D4:4",
        "E4:12 D4:4",
    ];
    check(&measures, Kind::SameDirection, &[], &[]);
    let expected = "1 beat 4+1/2 to 4 beat 4; pairs 3";
    check(&measures, Kind::UnevenBowing, &["pairs"], &[expected]);
}

#[test]
fn a_tremolo_is_many_strokes() {
    // Two tied whole notes of tremolo at 50 are no long bow; held, they are.
    let tremolo = ["[4/4 @50 D4:16*~", "D4:16*", "D4:8 D4:8"];
    check(&tremolo, Kind::LongBow, &[], &[]);
    let held = ["[4/4 @50 D4:16~", "D4:16", "D4:8 D4:8"];
    check(&held, Kind::LongBow, &[], &["1 beat 1"]);
    // Nor does it make pairs of long and short, nor a turn of the bow.
    let pairs = ["[4/4 D4:12* D4:4", "D4:12* D4:4", "D4:12* D4:4"];
    check(&pairs, Kind::UnevenBowing, &[], &[]);
    check(&["[4/4 D4:8n* D4:8n"], Kind::SameDirection, &[], &[]);
}

#[test]
fn plucked_notes_are_not_in_one_bow() {
    let measures = ["[4/4 !pizz. D4:4(. D4:4. D4:4). D4:4"];
    check(&measures, Kind::ArticulatedSlur, &[], &[]);
}

#[test]
fn a_natural_is_named_where_the_key_has_none() {
    let list = of(&["[4/4 #2 D4:4 F4:4 C5:4 D4:4", "F#4:16"]);
    let outside: Vec<(&str, &str)> = list
        .iter()
        .filter(|one| one.kind == Kind::OutsideKey)
        .map(|one| (one.from.as_str(), one.cue.as_str()))
        .collect();
    assert_eq!(outside, [("1 beat 2", "F natural, C natural"),]);
    for one in list.iter().filter(|one| one.kind == Kind::OutsideKey) {
        assert!(one.sentence.contains("natural"), "{}", one.sentence);
        assert!(one.sentence.contains("key signature"), "{}", one.sentence);
    }
    // Where the key leaves the letter alone the letter is enough.
    let plain = of(&["[4/4 #0 D4:4 D5:12"]);
    let leap = plain.iter().find(|one| one.kind == Kind::Leap).unwrap();
    assert_eq!(leap.cue, "leap to D 5");
    // A new key that takes sharps away: the natural is the point.
    let key = ["[4/4 #2 D4:16", "#0 F4:16"];
    check(
        &key,
        Kind::KeyChange,
        &["first_note"],
        &["2 beat 1; first_note F natural 4"],
    );
}

#[test]
fn what_is_folded_is_counted_only_where_it_is_the_same() {
    let sentence = |measures: &[&str], kind: Kind| {
        let list = of(measures);
        let one = list.iter().find(|one| one.kind == kind).unwrap();
        one.sentence.clone()
    };
    // Down and down, up and up: one more place, not the same twice.
    let both = sentence(&["[4/4 D4:4n D4:4n D4:4v D4:4v"], Kind::SameDirection);
    assert!(
        both.ends_with("One more such place in this measure."),
        "{both}"
    );
    let same = sentence(&["[4/4 D4:4n D4:4n D4:8n"], Kind::SameDirection);
    assert!(same.ends_with("It comes twice in this measure."), "{same}");
    let across = sentence(
        &["[4/4 D4:4 D5:4 D5:8", "D4:4 D5:4 D5:8", "C4:4 D5:4 D5:8"],
        Kind::Leap,
    );
    assert!(
        across.ends_with("more such places up to measure 3, hardest in measure 2."),
        "{across}"
    );
    // Accidentals are told measure by measure; a measure with none but those is one more.
    let notes = ["[4/4 #0 D4:4 F#4:4 G#4:8", "D4:4 F#4:4 D4:8", "D4:4 A#4:12"];
    check(
        &notes,
        Kind::OutsideKey,
        &["notes", "places"],
        &[
            "1 beat 2 to 2 beat 2; notes F sharp 4, G sharp 4; places 2",
            "3 beat 2; notes A sharp 4; places -",
        ],
    );
}

#[test]
fn a_clef_is_told_at_the_first_note_read_in_it() {
    // Into treble clef at the end of measure 1, before a rest; back in measure 3.
    let measures = [
        "[4/4 {C3 D4:16",
        "{G2 r:8 G5:8",
        "A5:8 {C3 D4:8",
        "{G2 r:16 {C3",
        "D4:16",
    ];
    check(
        &measures,
        Kind::ClefChange,
        &["old", "new", "note"],
        &[
            "2 beat 3; old alto; new treble; note G 5",
            "3 beat 3; old treble; new alto; note D 4",
        ],
    );
    let list = of(&measures);
    let weights: Vec<u8> = list
        .iter()
        .filter(|one| one.kind == Kind::ClefChange)
        .map(|one| one.weight)
        .collect();
    assert!(weights[0] > weights[1], "{weights:?}");
    // The same clef printed again, as at each line, is none.
    check(&["[4/4 {F4 D3:16", "{F4 D3:16"], Kind::ClefChange, &[], &[]);
}

#[test]
fn who_of_the_section_plays_is_told_when_it_changes() {
    let measures = [
        "[4/4 !div. D4:16",
        "!div. D4:16",
        "!unis. D4:16",
        "!non_div. D4:16",
        "!Solo D4:16",
        "!Tutti D4:16",
    ];
    check(
        &measures,
        Kind::WhoPlays,
        &["who"],
        &[
            "1 beat 1; who divided",
            "3 beat 1; who together",
            "4 beat 1; who not divided",
            "5 beat 1; who solo",
            "6 beat 1; who tutti",
        ],
    );
}

#[test]
fn strings_and_the_usual_way_of_bowing_are_named_by_words() {
    let measures = [
        "[4/4 !sul_G D4:16",
        "!sul_pont. D4:16",
        "!ord. D4:16",
        "!am_Frosch D4:16",
        "!nat. D4:16",
        "!ostinato D4:16",
    ];
    check(
        &measures,
        Kind::NamedString,
        &["words"],
        &["1 beat 1; words sul G"],
    );
    check(
        &measures,
        Kind::NamedStroke,
        &["words"],
        &[
            "2 beat 1; words sul pont.",
            "3 beat 1; words ord.",
            "4 beat 1; words am Frosch",
            "5 beat 1; words nat.",
        ],
    );
    let list = of(&measures);
    let ordinary = list.iter().find(|one| one.from == "3 beat 1").unwrap();
    assert!(ordinary.sentence.contains("usual"), "{}", ordinary.sentence);
}
