//! Places labelled by hand: each case is a few measures, what a teacher would point
//! at in them, and why. Durations, ratios and seconds are worked out by hand.

mod common;

use common::{check, guide, lines, listed, of, score};
use cueleaf_guide::MarkKind;
use cueleaf_watch::{Kind, watch};

const WHOLE: &str = "D4:16";

#[test]
fn a_tempo_change_has_both_tempi_and_their_ratio() {
    // 90 after 60 is half as fast again.
    let names = ["old", "new", "ratio", "how"];
    let measures = ["[4/4 @60 D4:16", WHOLE, "@90 D4:16"];
    let expected = "3 beat 1; old 60; new 90; ratio 1.5; how at once";
    check(&measures, Kind::TempoChange, &names, &[expected]);
    // The same number again is no change.
    check(
        &["[4/4 @60 D4:16", "@60 D4:16"],
        Kind::TempoChange,
        &[],
        &[],
    );
}

#[test]
fn a_gradual_change_says_how_long_and_what_follows() {
    // "rit." holds to the next tempo: two measures of four quarters at 60.
    let measures = ["[4/4 @60 D4:16", "!rit. D4:16", WHOLE, "@120 D4:16"];
    let names = ["measures", "quarters", "seconds"];
    let expected = "2 beat 1 to 3; measures 2; quarters 8; seconds 8";
    check(&measures, Kind::TempoGradual, &names, &[expected]);
}

#[test]
fn tempo_words_without_a_number_ask_for_one() {
    let measures = ["[4/4 @60 D4:16", "!Andante D4:16"];
    check(
        &measures,
        Kind::TempoWords,
        &["words"],
        &["2 beat 1; words Andante"],
    );
}

#[test]
fn one_measure_of_another_meter_is_odd_and_the_way_back_is_weaker() {
    let list = of(&["[4/4 D4:16", WHOLE, "[2/4 D4:8", "[4/4 D4:16", WHOLE]);
    let odd = lines(&list, Kind::OddMeasure, &["old", "new", "then"]);
    assert_eq!(odd, ["3 beat 1; old 4/4; new 2/4; then 4/4"]);
    let back = lines(&list, Kind::MeterChange, &["old", "new"]);
    assert_eq!(back, ["4 beat 1; old 2/4; new 4/4"]);
    let weight = |kind| list.iter().find(|one| one.kind == kind).unwrap().weight;
    assert!(weight(Kind::OddMeasure) > weight(Kind::MeterChange));
}

#[test]
fn a_measure_halved_by_a_repeat_sign_is_not_odd() {
    // A pickup to the repeat: three quarters before the sign, one after it.
    let measures = ["[4/4 D4:16", "D4:12 :|", "|: D4:4", WHOLE, "D4:12 :|"];
    check(&measures, Kind::OddMeasure, &[], &[]);
}

#[test]
fn accents_suggest_the_groups_of_five_eighths() {
    // Unbeamed eighths with the second accent on the third eighth: 2+3, while
    // without a sign 3+2 is the usual way.
    let bar = "[5/8 D4:2> D4:2 D4:2> D4:2 D4:2";
    let names = ["grouping", "suggested", "accents", "beams"];
    let expected = "1 beat 1; grouping 3+2; suggested 2+3; accents 1; beams 0";
    check(&[bar], Kind::UnevenMeter, &names, &[expected]);
    // Nothing shows the groups: what the guide has stands.
    let plain = "[5/8 D4:2 D4:2 D4:2 D4:2 D4:2";
    check(
        &[plain],
        Kind::UnevenMeter,
        &["suggested"],
        &["1 beat 1; suggested 3+2"],
    );
}

#[test]
fn a_key_change_names_the_notes_and_where_the_first_comes() {
    // From no sharps to two: F and C. The first F of the part comes in measure 3.
    let measures = ["[4/4 #0 D4:16", "#2 D4:16", "D4:4 G4:4 F#4:8"];
    let names = ["old", "new", "altered", "first", "first_note"];
    let expected =
        "2 beat 1; old 0; new 2; altered F sharp, C sharp; first 3 beat 3; first_note F sharp 4";
    check(&measures, Kind::KeyChange, &names, &[expected]);
}

#[test]
fn pizz_without_a_rest_is_the_strongest_change() {
    let names = ["quarters", "seconds"];
    let none = of(&["[4/4 @60 D4:16", "!pizz. D4:4 r:12"]);
    let beat = of(&["[4/4 @60 D4:12 r:4", "!pizz. D4:4 r:12"]);
    assert_eq!(
        lines(&none, Kind::ToPizz, &names),
        ["2 beat 1; quarters 0; seconds 0"]
    );
    assert_eq!(
        lines(&beat, Kind::ToPizz, &names),
        ["2 beat 1; quarters 1; seconds 1"]
    );
    let weight = |list: &[cueleaf_watch::Watched]| {
        list.iter()
            .find(|one| one.kind == Kind::ToPizz)
            .unwrap()
            .weight
    };
    assert!(weight(&none) > weight(&beat));
    // Printed again while plucking it changes nothing.
    check(
        &["[4/4 !pizz. D4:16", "!pizz. D4:16"],
        Kind::ToPizz,
        &[],
        &["1 beat 1"],
    );
}

#[test]
fn the_time_for_a_mute_is_taken_at_the_tempo_of_the_place() {
    // Two quarters of rest at 60, then three at 120: 2 s and 1.5 s.
    let measures = ["[4/4 @60 D4:8 r:8", "@120 !con_sord. r:12 D4:4"];
    let names = ["quarters", "seconds", "next"];
    let expected = "2 beat 1; quarters 5; seconds 3.5; next 2 beat 4";
    check(&measures, Kind::MuteOn, &names, &[expected]);
}

#[test]
fn dynamics_tell_from_where_to_where_and_over_how_much() {
    let measures = [
        "[4/4 =p D4:16",
        "< D4:16",
        "D4:16 \\",
        "=f D4:16",
        "=ff D4:16",
    ];
    let list = of(&measures);
    let names = ["old", "new", "line_measures"];
    assert_eq!(
        lines(&list, Kind::Dynamic, &names),
        [
            "1 beat 1; old -; new p; line_measures -",
            "2 beat 1 to 4; old p; new f; line_measures 2",
            "5 beat 1; old f; new ff; line_measures -",
        ]
    );
    assert_eq!(lines(&list, Kind::SuddenDynamic, &[]), [""; 0]);
    assert_eq!(
        lines(&list, Kind::Loudest, &["dynamic"]),
        ["5 beat 1; dynamic ff"]
    );
}

#[test]
fn two_steps_at_once_are_sudden_and_one_is_when_words_say_so() {
    let measures = [
        "[4/4 =p D4:16",
        "=ff D4:16",
        "!subito =f D4:16",
        "=fz D4:16",
    ];
    let names = ["old", "new"];
    let expected = ["2 beat 1; old p; new ff", "3 beat 1; old ff; new f"];
    check(&measures, Kind::SuddenDynamic, &names, &expected);
}

#[test]
fn a_crescendo_from_its_own_aim_has_no_room() {
    let measures = ["[4/4 =f D4:16", "< D4:16 \\", "=f D4:16"];
    let names = ["starts", "arrives_at"];
    check(
        &measures,
        Kind::NoRoomToGrow,
        &names,
        &["2 beat 1; starts f; arrives_at f"],
    );
    let grows = ["[4/4 =p D4:16", "< D4:16 \\", "=f D4:16"];
    check(&grows, Kind::NoRoomToGrow, &[], &[]);
}

#[test]
fn an_entry_after_a_long_rest_names_who_plays_before_it() {
    // Three measures of rest; in the one before the entry at beat 3 the second
    // part strikes twice, the third six times.
    let measures: &[&str] = &["[4/4 @60 D4:16", "r:16", "r:16", "r:16", "r:8 D4:8"];
    let second: &[&str] = &["[4/4 D4:16", WHOLE, WHOLE, WHOLE, "D4:16"];
    let third: &[&str] = &[
        "[4/4 D4:16",
        WHOLE,
        WHOLE,
        "r:8 D4:4 D4:4",
        "D4:2 D4:2 D4:2 D4:2 D4:8",
    ];
    let list = listed(&[("Viola", measures), ("Violin", second), ("Cello", third)]);
    let names = ["rest_measures", "seconds", "listen", "listen_notes"];
    let expected = "5 beat 3; rest_measures 3; seconds 14; listen Cello; listen_notes 6";
    assert_eq!(lines(&list, Kind::EntryAfterRest, &names), [expected]);
}

#[test]
fn entries_are_told_by_where_they_come() {
    // Beat 2 after a beat of rest; half a beat after beat 2; the last beat of a
    // measure into the next; on the first beat nothing is hard.
    check(
        &["[4/4 r:4 D4:4 r:8"],
        Kind::EntryInside,
        &[],
        &["1 beat 2"],
    );
    check(
        &["[4/4 r:6 D4:2 r:8"],
        Kind::EntryOffBeat,
        &[],
        &["1 beat 2+1/2"],
    );
    check(
        &["[4/4 r:12 D4:4", "E4:16"],
        Kind::Pickup,
        &[],
        &["1 beat 4"],
    );
    let easy = of(&["[4/4 D4:4 r:12", "D4:16"]);
    assert!(
        easy.iter()
            .all(|one| one.kind != Kind::EntryInside && one.kind != Kind::Pickup)
    );
}

#[test]
fn syncopation_is_what_sounds_through_a_stronger_beat() {
    // Eighth, quarter, eighth: the quarter sounds through beat 2.
    check(
        &["[4/4 D4:2 E4:4 D4:2 D4:8"],
        Kind::Syncopation,
        &["through_beat"],
        &["1 beat 1+1/2; through_beat 2"],
    );
    // A half note on beat 2 sounds through beat 3, which begins a group of 4/4 …
    check(
        &["[4/4 D4:4 E4:8 D4:4"],
        Kind::Syncopation,
        &[],
        &["1 beat 2"],
    );
    // … but in 3/4 no stronger beat follows the second.
    check(&["[3/4 D4:4 E4:8"], Kind::Syncopation, &[], &[]);
    // A dotted quarter on a beat is no syncopation.
    check(&["[2/4 D4:6 E4:2"], Kind::Syncopation, &[], &[]);
}

#[test]
fn a_tie_over_the_bar_tells_how_far_it_reaches() {
    let measures = ["[4/4 D4:12 E4:4~", "E4:4 D4:12"];
    check(
        &measures,
        Kind::TieOverBar,
        &["quarters_over"],
        &["1 beat 4; quarters_over 1"],
    );
    // A whole measure held on is a long note, not a place to stumble.
    check(&["[4/4 D4:16~", "D4:16"], Kind::TieOverBar, &[], &[]);
}

#[test]
fn another_division_of_the_beat_is_told() {
    // Halves of the beat, then thirds (three notes of a third of a 3/8 beat are
    // not possible in sixteenths: 6/8 counts two beats of three eighths).
    let measures = ["[6/8 D4:3 D4:3 D4:3 D4:3", "D4:2 D4:2 D4:2 D4:2 D4:2 D4:2"];
    check(
        &measures,
        Kind::SubdivisionChange,
        &["old", "new"],
        &["2 beat 1; old 2; new 3"],
    );
    // Twice as many parts of the same kind are no change to speak of.
    check(
        &["[4/4 D4:4 D4:4 D4:8", "D4:2 D4:2 D4:4 D4:8"],
        Kind::SubdivisionChange,
        &[],
        &[],
    );
}

#[test]
fn the_fastest_notes_are_counted_by_the_second() {
    // Sixteenths at 120 quarters a minute: eight in a second, eight of them.
    let measures = ["[4/4 @120 D4:4 D4:4 D4:1 D4:1 D4:1 D4:1 D4:1 D4:1 D4:1 D4:1"];
    let expected = "1 beat 3 to 1 beat 4+3/4; notes_per_second 8; notes 8";
    check(
        &measures,
        Kind::FastestNotes,
        &["notes_per_second", "notes"],
        &[expected],
    );
    // Quarters at 60 are not fast.
    check(
        &["[4/4 @60 D4:4 D4:4 D4:4 D4:4"],
        Kind::FastestNotes,
        &[],
        &[],
    );
}

#[test]
fn three_notes_that_nobody_else_strikes_are_alone() {
    let list = listed(&[
        ("Viola", &["[4/4 D4:4 D4:4 D4:4 D4:4"]),
        ("Cello", &["[4/4 D4:16"]),
    ]);
    assert_eq!(
        lines(&list, Kind::MovesAlone, &["notes"]),
        ["1 beat 2 to 1 beat 4; notes 3"]
    );
    // Without other parts nobody can tell.
    check(&["[4/4 D4:4 D4:4 D4:4 D4:4"], Kind::MovesAlone, &[], &[]);
}

#[test]
fn a_repeat_goes_back_to_another_way_of_playing() {
    let measures = [
        "[4/4 |: D4:16",
        "D4:12 r:4",
        "!pizz. D4:16 :|",
        "!arco D4:16",
    ];
    let names = ["times", "goes_back_to"];
    check(
        &measures,
        Kind::Repeat,
        &names,
        &["1 beat 1 to 3; times 2; goes_back_to arco"],
    );
    let plain = ["[4/4 |: D4:16", "D4:16 :|", WHOLE];
    check(
        &plain,
        Kind::Repeat,
        &["goes_back_to"],
        &["1 beat 1 to 2; goes_back_to -"],
    );
}

#[test]
fn endings_jumps_and_fermatas() {
    let measures = ["[4/4 |: D4:16", "1[ D4:16 ]1", "D4:8 D4:8%", "D4:16 !D.C."];
    check(
        &measures,
        Kind::Ending,
        &["passes"],
        &["2 beat 1; passes 1"],
    );
    check(&measures, Kind::Fermata, &[], &["3 beat 3"]);
    check(&measures, Kind::Jump, &["what"], &["4 beat 1; what jump"]);
}

#[test]
fn measures_that_the_teacher_cuts_are_told() {
    let score = score(&[("Viola", &["[4/4 D4:16", WHOLE, WHOLE, WHOLE])]);
    let mut guide = guide(&score);
    guide.road_map.measures[1].cut = true;
    guide.road_map.measures[2].cut = true;
    let list = watch(&score, 0, &guide);
    assert_eq!(
        lines(&list, Kind::Cut, &["measures"]),
        ["2 beat 1 to 3; measures 2"]
    );
}

#[test]
fn several_things_at_the_end_make_the_last_measures() {
    // In the last four: another tempo, a fermata, pizz.
    let busy = [
        "[4/4 @60 D4:16",
        WHOLE,
        "@90 D4:16",
        WHOLE,
        "D4:12 r:4",
        "!pizz. D4:16%",
    ];
    let list = of(&busy);
    let families = ["families"];
    assert_eq!(
        lines(&list, Kind::LastMeasures, &families),
        ["3 beat 1 to 6; families 3"]
    );
    check(
        &["[4/4 @60 D4:16", WHOLE, WHOLE, WHOLE, WHOLE],
        Kind::LastMeasures,
        &[],
        &[],
    );
}

#[test]
fn the_same_in_neighbouring_measures_is_one_place() {
    let bar = "D4:2 E4:4 D4:2 D4:8";
    let first = format!("[4/4 {bar}");
    let measures = [first.as_str(), bar, bar, WHOLE, WHOLE, bar];
    let list = of(&measures);
    let places = lines(&list, Kind::Syncopation, &["places"]);
    assert_eq!(
        places,
        [
            "1 beat 1+1/2 to 3 beat 1+1/2; places 3",
            "6 beat 1+1/2; places -"
        ]
    );
    let first = list
        .iter()
        .find(|one| one.kind == Kind::Syncopation)
        .unwrap();
    assert!(
        first
            .sentence
            .ends_with("It comes 3 times up to measure 3."),
        "{}",
        first.sentence
    );
}

#[test]
fn a_guide_that_plays_otherwise_than_the_score_does_not_mislead() {
    // A pizz. that the teacher added to the guide is told, too.
    let score = score(&[("Viola", &["[4/4 @60 D4:12 r:4", WHOLE])]);
    let mut guide = guide(&score);
    let mark = cueleaf_guide::Mark {
        measure: 1,
        at: cueleaf_guide::time::BeatSpan::ZERO,
        kind: MarkKind::Pizz,
        to: None,
        text: String::new(),
        extra: cueleaf_guide::Extra::default(),
    };
    guide.parts[0].marks.push(mark);
    let list = watch(&score, 0, &guide);
    assert_eq!(
        lines(&list, Kind::ToPizz, &["seconds"]),
        ["2 beat 1; seconds 1"]
    );
    // With fewer measures than the score only these are looked at; without any, none.
    guide.road_map.measures.truncate(1);
    assert!(
        watch(&score, 0, &guide)
            .iter()
            .all(|one| one.spot.from.measure == 0)
    );
    guide.road_map.measures.clear();
    assert_eq!(watch(&score, 0, &guide), []);
    assert_eq!(watch(&score, 7, &guide), []);
}
