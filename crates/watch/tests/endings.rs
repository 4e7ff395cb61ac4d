//! Second endings labelled by hand: what stands before one on the page is the first ending, and
//! what is played before it stands before that.

mod common;

use common::{check, lines, of};
use cueleaf_watch::Kind;

const BAR: &str = "D4:16";

#[test]
fn a_second_ending_goes_on_from_before_the_first() {
    // The crescendo of measure 2 leads into both endings: mp to f each time.
    let piece = [
        "[4/4 @60 =mp D4:16",
        "< D4:16",
        "1[ D4:16 \\",
        "=f D4:16 ]1",
        "2[ < D4:16 \\",
        "=f D4:16 ]2",
    ];
    let list = of(&piece);
    assert!(list.iter().all(|one| one.kind != Kind::NoRoomToGrow));
    let told = lines(&list, Kind::Dynamic, &["old", "new", "arrives", "measures"]);
    let expected = [
        "1 beat 1; old -; new mp; arrives 1 beat 1; measures -",
        "2 beat 1 to 4; old mp; new f; arrives 4 beat 1; measures 3",
        // Measures 1, 2 and 5 are played before it, 3 and 4 are not.
        "5 beat 1 to 6; old mp; new f; arrives 6 beat 1; measures 3",
    ];
    assert_eq!(told, expected);
    let goes_on = list.iter().find(|one| one.from == "5 beat 1");
    let sentence = goes_on.map(|one| one.sentence.as_str());
    let expected =
        "Measure 5, beat 1: the crescendo of measure 2 goes on; be f only at measure 6, beat 1.";
    assert_eq!(sentence, Some(expected));
}

#[test]
fn the_dynamic_of_the_first_ending_is_none_in_the_second() {
    // After mp the p of the second ending is no sudden one; after the ff of the first it would be.
    let piece = [
        "[4/4 @60 =mp D4:16",
        "1[ =ff D4:16 ]1",
        "2[ =p D4:16 ]2",
        "=pp D4:16",
    ];
    let list = of(&piece);
    let sudden = lines(&list, Kind::SuddenDynamic, &["old", "new"]);
    assert_eq!(sudden, ["2 beat 1; old mp; new ff"]);
    let told = lines(&list, Kind::Dynamic, &["old", "new"]);
    let expected = [
        "1 beat 1; old -; new mp",
        "3 beat 1; old mp; new p",
        "4 beat 1; old p; new pp",
    ];
    assert_eq!(told, expected);
}

#[test]
fn a_rest_at_the_end_of_the_first_ending_is_not_before_the_second() {
    // The second ending begins off the beat right after the half note of measure 1: no rest of a
    // beat before it. In the first ending there is one.
    let piece = [
        "[4/4 @60 D4:16",
        "1[ r:6 D4:2 D4:4 r:4 ]1",
        "2[ r:2 D4:14 ]2",
    ];
    check(
        &piece,
        Kind::EntryOffBeat,
        &["rest_beats"],
        &["2 beat 2+1/2; rest_beats 1.5"],
    );
    // Half a beat before the ending and half a beat in it are a whole one.
    let piece = ["[4/4 @60 D4:14 r:2", "1[ D4:16 ]1", "2[ r:2 D4:14 ]2"];
    check(
        &piece,
        Kind::EntryOffBeat,
        &["rest_beats"],
        &["3 beat 1+1/2; rest_beats 1"],
    );
}

#[test]
fn a_long_rest_goes_on_into_the_second_ending() {
    // Two measures of rest before the endings; what sounds in the first is not before the second.
    let piece = [
        "[4/4 @60 D4:16",
        "r:16",
        "r:16",
        "1[ D4:16 ]1",
        "2[ D4:16 ]2",
    ];
    let names = ["rest_measures", "rest_quarters", "seconds"];
    let expected = [
        "4 beat 1; rest_measures 2; rest_quarters 8; seconds 8",
        "5 beat 1; rest_measures 2; rest_quarters 8; seconds 8",
    ];
    check(&piece, Kind::EntryAfterRest, &names, &expected);
}

#[test]
fn strokes_take_turns_from_before_the_first_ending() {
    // Down, up, down, up in measure 1; the first ending turns once, so that by the page the second
    // would begin up. In play it begins down, and the printed up-bow follows in turn.
    let piece = [
        "[4/4 @60 D4:4n D4:4 D4:4 D4:4",
        "1[ D4:16 ]1",
        "2[ D4:8 D4:8v ]2",
    ];
    check(&piece, Kind::SameDirection, &["way"], &[]);
    // A down-bow printed at its second note is one too many.
    let piece = [
        "[4/4 @60 D4:4n D4:4 D4:4 D4:4",
        "1[ D4:16 ]1",
        "2[ D4:8 D4:8n ]2",
    ];
    let expected = ["3 beat 1 to 3 beat 3; way down-bow"];
    check(&piece, Kind::SameDirection, &["way"], &expected);
}

#[test]
fn a_leap_into_the_second_ending_starts_before_the_first() {
    // D4 to D5 is an octave; from the D5 of the first ending there is none.
    let piece = ["[4/4 @60 D4:16", "1[ D5:16 ]1", "2[ D5:16 ]2", BAR];
    let list = of(&piece);
    let leaps = lines(&list, Kind::Leap, &["places"]);
    // Neighbours are told together: three of them from measure 1 to measure 4.
    assert_eq!(leaps, ["1 beat 1 to 4; places 3"]);
}

#[test]
fn there_is_as_long_to_get_ready_as_in_play() {
    // A half rest before the endings; the first ending sounds up to its end.
    let piece = ["[4/4 @60 D4:8 r:8", "1[ D4:16 ]1", "2[ !pizz. D4:16 ]2"];
    let expected = ["3 beat 1; beats 2; seconds 2; last_ends 1 beat 3"];
    check(
        &piece,
        Kind::ToPizz,
        &["beats", "seconds", "last_ends"],
        &expected,
    );
}

#[test]
fn a_rit_up_to_where_the_second_ending_starts_goes_through_the_first() {
    // In the second pass it is not played at all: it is as long as on the page.
    let names = ["measures", "beats", "quarters", "seconds", "follows"];
    let told = |piece: &[&str]| {
        let list = of(piece);
        let one = list.iter().find(|one| one.kind == Kind::TempoGradual);
        let (sentence, cue) = one.map_or(("", ""), |one| (&one.sentence, &one.cue));
        let line = lines(&list, Kind::TempoGradual, &names).join(" | ");
        (line, sentence.to_owned(), cue.to_owned())
    };
    let second = "2[ !a_tempo D4:16 ]2";
    let (line, sentence, cue) = told(&["[4/4 @60 D4:16", "1[ !rit. D4:16 ]1", second]);
    let expected = "2 beat 1; measures 1; beats -; quarters 4; seconds 4; follows a tempo";
    assert_eq!((line.as_str(), cue.as_str()), (expected, "rit., 1 measure"));
    assert!(
        sentence.contains("over 1 measure, about 4.0 s"),
        "{sentence}"
    );
    // Its last two beats.
    let (line, sentence, cue) = told(&["[4/4 @60 D4:16", "1[ D4:8 !rit. D4:8 ]1", second]);
    let expected = "2 beat 3 to 2; measures 1; beats 2; quarters 2; seconds 2; follows a tempo";
    assert_eq!((line.as_str(), cue.as_str()), (expected, "rit., 2 beats"));
    assert!(sentence.contains("over 2 beats"), "{sentence}");
    // The last beat before the ending and the ending: five beats.
    let (line, sentence, cue) = told(&["[4/4 @60 D4:12 !rit. D4:4", "1[ D4:16 ]1", second]);
    let expected = "1 beat 4 to 2; measures 1; beats -; quarters 5; seconds 5; follows a tempo";
    assert_eq!((line.as_str(), cue.as_str()), (expected, "rit., 1 measure"));
    assert!(sentence.contains("over about 1 measure"), "{sentence}");
}

#[test]
fn a_rit_into_the_second_ending_is_as_long_as_in_play() {
    // Two beats before the endings and two of the second one.
    let piece = [
        "[4/4 @60 D4:8 !rit. D4:8",
        "1[ D4:16 ]1",
        "2[ D4:8 !a_tempo D4:8 ]2",
    ];
    let expected = ["1 beat 3 to 3 beat 3; measures 1; quarters 4; seconds 4"];
    let names = ["measures", "quarters", "seconds"];
    check(&piece, Kind::TempoGradual, &names, &expected);
}

#[test]
fn a_crescendo_from_before_the_endings_is_judged_by_each_of_them() {
    // The first ending says no dynamic, the second is louder than f: there is room to grow.
    let piece = [
        "[4/4 @60 =f D4:16",
        "< D4:16",
        "1[ D4:16 \\ ]1",
        "2[ =ff D4:16 ]2",
    ];
    check(&piece, Kind::NoRoomToGrow, &[], &[]);
    // Where none of them is louder it is told, once.
    let piece = [
        "[4/4 @60 =f D4:16",
        "< D4:16 \\",
        "1[ D4:16 ]1",
        "2[ D4:16 ]2",
    ];
    check(
        &piece,
        Kind::NoRoomToGrow,
        &["starts"],
        &["2 beat 1; starts f"],
    );
    // One that begins in the first ending leads nowhere else.
    let piece = ["[4/4 @60 =f D4:16", "1[ < D4:16 \\ ]1", "2[ =ff D4:16 ]2"];
    check(
        &piece,
        Kind::NoRoomToGrow,
        &["starts"],
        &["2 beat 1; starts f"],
    );
}
