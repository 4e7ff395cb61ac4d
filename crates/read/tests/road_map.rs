//! The road map drafted from small scores, element by element.
//!
//! What an element means is the MusicXML 4.0 reference's; what is drafted of it
//! is ours.

mod common;

use common::{
    START, beamed, check, direction, file, guide_of, meter, note, read, road_map, road_map_of,
    words,
};
use cueleaf_guide::Id;
use cueleaf_read::{draft_checked, read_score};

fn bar(location: &str, inside: &str) -> String {
    format!("<barline location=\"{location}\">{inside}</barline>")
}

#[test]
fn meters_of_every_kind() {
    let cases = [
        ("<beats>4</beats><beat-type>4</beat-type>", 16, "1 4/4"),
        ("<beats>3+2</beats><beat-type>8</beat-type>", 10, "1 3+2/8"),
        (
            "<beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type>",
            14,
            "1 2/4+3/8",
        ),
        (
            "<beats>6</beats><beat-type>8</beat-type><interchangeable><beats>3</beats><beat-type>4</beat-type></interchangeable>",
            12,
            "1 6/8",
        ),
        ("<senza-misura/>", 20, "1 free length 5"),
    ];
    for (time, length, expected) in cases {
        let first = format!(
            "<attributes><divisions>4</divisions><time symbol=\"common\">{time}</time></attributes>{}",
            note(length, "")
        );
        check(&[&first], &[expected]);
    }
}

#[test]
fn a_meter_that_makes_no_sense_leaves_the_one_before() {
    let first = meter("3", "4") + &note(12, "");
    for (upper, lower) in [("4", "3"), ("x", "4"), ("0", "4"), ("", "")] {
        let second = meter(upper, lower) + &note(12, "");
        let (lines, codes) = road_map(&[&first, &second]);
        assert_eq!(lines, ["1 3/4", "2"]);
        assert_eq!(codes, ["meter-not-understood"]);
    }
}

#[test]
fn a_meter_behind_the_notes_holds_from_the_next_measure() {
    let first = meter("4", "4") + &note(16, "") + &meter("3", "4");
    check(&[&first, &note(12, "")], &["1 4/4", "2 3/4"]);
    let inside = meter("4", "4") + &note(8, "") + &meter("3", "4") + &note(8, "");
    let (lines, codes) = road_map(&[&inside, &note(12, "")]);
    assert_eq!(lines, ["1 4/4", "2 3/4"]);
    assert_eq!(codes, ["meter-inside"]);
}

#[test]
fn the_furthest_cursor_is_the_length() {
    let m = meter("4", "4");
    let back = "<backup><duration>16</duration></backup>";
    let on = "<forward><duration>8</duration></forward>";
    let chord = note(8, "").replace("<pitch>", "<chord/><pitch>");
    let grace = "<note><grace/><pitch><step>D</step><octave>4</octave></pitch></note>";
    let cases = [
        note(16, "") + back + &note(4, ""),
        note(8, "") + on,
        note(8, "") + &chord + &note(8, ""),
        grace.to_owned() + &note(16, "") + grace,
        // A direction printed beyond the end does not lengthen the measure.
        note(16, "") + &direction("<words>x</words>", "<offset>12</offset>"),
        // Nothing written: as long as the meter.
        String::new(),
        // Other divisions from here on.
        note(8, "")
            + "<attributes><divisions>12</divisions></attributes>"
            + &note(24, "")
            + "<attributes><divisions>4</divisions></attributes>",
        // A rest for the whole measure without a duration.
        "<note><rest measure=\"yes\"/></note>".to_owned(),
        // A note without a duration lasts as long as it looks.
    ];
    for content in cases {
        check(&[&(m.clone() + &content), &note(16, "")], &["1 4/4", "2"]);
    }
}

#[test]
fn tuplets_are_exact() {
    let triplet = "<attributes><divisions>3</divisions><time><beats>1</beats><beat-type>4</beat-type></time></attributes>".to_owned()
        + &note(1, "").repeat(3);
    check(&[&triplet], &["1 1/4"]);
    let looks = "<note><pitch><step>D</step><octave>4</octave></pitch><type>eighth</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification></note>";
    let (lines, codes) = road_map(&[&(meter("1", "4") + &looks.repeat(3))]);
    assert_eq!(lines, ["1 1/4"]);
    assert_eq!(codes, ["duration"; 3]);
}

#[test]
fn damaged_lengths_are_told() {
    let (_, codes) = road_map(&[&(meter("1", "4")
        + &note(4, "")
        + "<backup><duration>9</duration></backup>"
        + "<note><rest/><duration>-4</duration></note>"
        + "<attributes><divisions>0</divisions></attributes>")]);
    assert_eq!(codes, ["back-too-far", "duration", "divisions"]);
}

#[test]
fn short_measures_are_pickups_or_told() {
    let first = "<measure number=\"0\" implicit=\"yes\">".to_owned()
        + &meter("3", "4")
        + &note(4, "")
        + "</measure>";
    let full = note(12, "");
    let last = note(8, "");
    check(
        &[&first, &full, &last],
        &["0 3/4 length 1 pickup", "2", "3 length 2"],
    );
    // A measure split in two: the second half is not counted.
    let half = "<measure number=\"X1\" implicit=\"yes\">".to_owned() + &note(4, "") + "</measure>";
    let start = meter("3", "4") + &note(12, "");
    check(
        &[&start, &last, &half, &full],
        &["1 3/4", "2 length 2", "X1 length 1 pickup", "4"],
    );
    // A pickup to the second section, after a repeat made room for it.
    let repeat = last.clone() + &bar("right", "<repeat direction=\"backward\"/>");
    check(
        &[&start, &repeat, &half, &full],
        &["1 3/4", "2 length 2 :|2", "X1 length 1 pickup", "4"],
    );
    // The same where the pickup is counted as a measure of its own.
    let quarter = note(4, "");
    check(
        &[&start, &repeat, &quarter, &full],
        &["1 3/4", "2 length 2 :|2", "3 length 1 pickup", "4"],
    );
    let (lines, codes) = road_map(&[&start, &quarter, &full]);
    assert_eq!(lines, ["1 3/4", "2 length 1", "3"]);
    assert_eq!(codes, ["shorter-than-meter"]);
    let score = read(&file(&[("Viola", &[&start, &quarter, &full])]));
    let told = &guide_of(&score.value).findings;
    let told = told
        .iter()
        .find(|finding| finding.code == "shorter-than-meter");
    assert_eq!(
        told.unwrap().message,
        "this measure has 1 quarter, fewer than its meter"
    );
    let (lines, codes) = road_map(&[&start, &last, &full]);
    assert_eq!(lines, ["1 3/4", "2 length 2", "3"]);
    assert_eq!(codes, ["shorter-than-meter"]);
}

#[test]
fn parts_that_disagree_are_settled_and_told() {
    let m = meter("4", "4");
    let of = |units: u32| m.clone() + &note(units, "");
    for (one, other, line, expected) in [
        (16, 16, "1 4/4", &[][..]),
        (16, 12, "1 4/4", &["parts-disagree"]),
        (20, 16, "1 4/4", &["part-overfull"]),
        (20, 20, "1 4/4 length 5", &[]),
        (8, 8, "1 4/4 length 2 pickup", &[]),
    ] {
        let (one, other) = (of(one), of(other));
        let text = file(&[
            ("A", &[&one, "<note><rest/><duration>16</duration></note>"]),
            ("B", &[&other]),
        ]);
        let (lines, codes) = road_map_of(&text);
        assert_eq!(lines[0], line);
        let mut codes = codes;
        codes.retain(|code| *code != "part-ends-early");
        assert_eq!(codes, expected);
    }
}

#[test]
fn keys_are_those_of_the_first_chosen_part() {
    let key = |inside: &str| format!("<attributes><key>{inside}</key></attributes>");
    check(
        &[
            &(key("<cancel>2</cancel><fifths>-3</fifths>") + START + &note(16, "")),
            &(key("<fifths>-3</fifths>") + &note(16, "")),
            &(note(16, "") + &key("<fifths>4</fifths><mode>minor</mode>")),
            &note(16, ""),
        ],
        &["1 key -3", "2", "3", "4 key 4"],
    );
    let odd = key("<key-step>F</key-step><key-alter>1</key-alter>");
    let (lines, codes) = road_map(&[&(START.to_owned() + &odd + &note(16, ""))]);
    assert_eq!(lines, ["1"]);
    assert_eq!(codes, ["unusual-key"]);
}

#[test]
fn metronome_marks_have_a_note_and_the_first_number() {
    for (inside, expected) in [
        (
            "<beat-unit>quarter</beat-unit><per-minute>60</per-minute>",
            "@0 quarter = 60",
        ),
        (
            "<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>c. 66</per-minute>",
            "@0 dotted quarter = 66",
        ),
        (
            "<beat-unit>half</beat-unit><beat-unit-dot/><beat-unit-dot/><per-minute>40.5</per-minute>",
            "@0 double-dotted half = 81/2",
        ),
        (
            "<beat-unit>quarter</beat-unit><beat-unit>quarter</beat-unit><beat-unit-dot/>",
            "@0 quarter = dotted quarter",
        ),
        (
            "<metronome-note><metronome-type>eighth</metronome-type></metronome-note><metronome-relation>equals</metronome-relation><metronome-note><metronome-type>quarter</metronome-type><metronome-dot/></metronome-note>",
            "@0 eighth = dotted quarter",
        ),
    ] {
        let mark = direction(&format!("<metronome>{inside}</metronome>"), "");
        let first = meter("4", "4") + &mark + &note(16, "");
        check(&[&first], &[&format!("1 4/4 {expected}")]);
    }
    for (inside, code) in [
        (
            "<beat-unit>quarter</beat-unit><per-minute>120-126</per-minute>",
            "metronome-range",
        ),
        (
            "<beat-unit>quarter</beat-unit><per-minute>quick</per-minute>",
            "metronome-without-number",
        ),
        ("<beat-unit>quarter</beat-unit>", "metronome-not-understood"),
    ] {
        let mark = direction(&format!("<metronome>{inside}</metronome>"), "");
        let (_, codes) = road_map(&[&(meter("4", "4") + &mark + &note(16, ""))]);
        assert_eq!(codes, [code]);
    }
}

#[test]
fn the_tempo_that_is_played_beats_the_one_that_is_printed() {
    let printed = "<metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>60</per-minute></metronome>";
    let m = meter("6", "8");
    for (sound, expected, codes) in [
        ("<sound tempo=\"90\"/>", "dotted quarter = 60", &[][..]),
        (
            "<sound tempo=\"120\"/>",
            "dotted quarter = 80",
            &["tempo-sounds-otherwise"],
        ),
        (
            "<sound tempo=\"100\"/>",
            "quarter = 100",
            &["tempo-sounds-otherwise"],
        ),
        ("", "dotted quarter = 60", &[]),
        (
            "<sound tempo=\"0\"/>",
            "dotted quarter = 60",
            &["tempo-not-understood"],
        ),
    ] {
        let (lines, found) = road_map(&[&(m.clone() + &direction(printed, sound) + &note(12, ""))]);
        assert_eq!(lines, [format!("1 6/8 @0 {expected}")]);
        assert_eq!(found, codes);
    }
    // What is played only without being rounded as print is; noise is no other tempo.
    let rounded =
        "<metronome><beat-unit>quarter</beat-unit><per-minute>52.17</per-minute></metronome>";
    let first =
        meter("4", "4") + &direction(rounded, "<sound tempo=\"52.17391\"/>") + &note(16, "");
    let second = "<sound tempo=\"119.99999\"/>".to_owned() + &note(16, "");
    check(
        &[&first, &second],
        &["1 4/4 @0 quarter = 5217/100", "2 @0 quarter = 120"],
    );
    // Alone, as a child of the measure, and in the middle of it.
    let bare = m.clone() + &note(6, "") + "<sound tempo=\"90\"/>" + &note(6, "");
    check(&[&bare], &["1 6/8 @3/2 dotted quarter = 60"]);
    // At the end of a measure it holds from the next one on.
    let end = m + &note(12, "") + "<sound tempo=\"90\"/>";
    check(
        &[&end, &note(12, "")],
        &["1 6/8", "2 @0 dotted quarter = 60"],
    );
}

#[test]
fn an_offset_moves_a_tempo_only_when_it_sounds() {
    let mark = |offset: &str| {
        let printed =
            "<metronome><beat-unit>quarter</beat-unit><per-minute>60</per-minute></metronome>";
        let first = meter("4", "4") + &direction(printed, offset) + &note(16, "");
        road_map(&[&first]).0.remove(0)
    };
    assert_eq!(mark("<offset>8</offset>"), "1 4/4 @0 quarter = 60");
    assert_eq!(
        mark("<offset sound=\"yes\">8</offset>"),
        "1 4/4 @2 quarter = 60"
    );
    assert_eq!(
        mark("<offset sound=\"yes\">-8</offset>"),
        "1 4/4 @0 quarter = 60"
    );
    assert_eq!(
        mark("<sound tempo=\"70\"><offset>4</offset></sound>"),
        "1 4/4 @0 quarter = 60 @1 quarter = 70"
    );
}

/// Gives what is said about tempi of one part: code, measure and message.
fn about_tempi(measures: &[&str]) -> Vec<String> {
    let guide = guide_of(&read(&file(&[("Viola", measures)])).value);
    let findings = guide.findings.iter().map(|finding| {
        let label = finding.place.label.as_deref().unwrap_or("-");
        assert!(!finding.hint.is_empty());
        format!("{} at {label}: {}", finding.code, finding.message)
    });
    findings.collect()
}

#[test]
fn a_tempo_that_nobody_gives_is_told_first() {
    let (m, n) = (meter("4", "4"), note(16, ""));
    let number = |number: u32| {
        direction(
            &format!(
                "<metronome><beat-unit>quarter</beat-unit><per-minute>{number}</per-minute></metronome>"
            ),
            "",
        )
    };
    let plain = m.clone() + &n;
    assert_eq!(
        about_tempi(&[&plain]),
        ["no-tempo at 1: No tempo is given; quarter = 120 is used until you say"]
    );
    let worded = m.clone() + &words("Adagio") + &n;
    let numbered = number(60) + &n;
    assert_eq!(
        about_tempi(&[&worded, &n, &numbered]),
        ["no-tempo at 1: No tempo is given for “Adagio”; quarter = 120 is used up to measure 3"]
    );
    // A number at the start leaves nothing to say.
    assert_eq!(about_tempi(&[&(m + &number(60) + &n)]), [""; 0]);
}

#[test]
fn tempo_words_without_a_number_are_told_together() {
    let (m, n) = (meter("4", "4"), note(16, ""));
    let first = m
        + &direction(
            "<words>Allegro</words></direction-type><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>84</per-minute></metronome>",
            "",
        )
        + &n;
    let word = |text: &str| words(text) + &n;
    assert_eq!(
        about_tempi(&[&first, &word("Adagio"), &word("a tempo")]),
        ["tempo-without-number at 2: “Adagio” has no number, so it goes on at quarter = 84"]
    );
    let (adagio, vivace) = (word("Adagio"), word("Vivace"));
    let many: Vec<&str> = vec![&first, &adagio, &vivace, &adagio, &vivace, &adagio, &vivace];
    assert_eq!(
        about_tempi(&many),
        [
            "tempo-without-number at 2: 6 tempo words have no number, so each goes on at the tempo before it: “Adagio” at 2, “Vivace” at 3, “Adagio” at 4, “Vivace” at 5 and 2 more"
        ]
    );
    // Slowing down is no other tempo.
    assert_eq!(about_tempi(&[&first, &word("rit."), &n]), [""; 0]);
}

#[test]
fn gradual_changes_last_to_their_line_or_to_the_next_mark() {
    let m = meter("4", "4");
    let quarter = |number: u32| {
        direction(
            &format!(
                "<words>Lively</words></direction-type><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>{number}</per-minute></metronome>"
            ),
            "",
        )
    };
    let full = note(16, "");
    let first = m + &quarter(96) + &full;
    let rit = note(8, "") + &words("rit.") + &note(8, "");
    let back = words("a tempo") + &full;
    let tempo_one = words("Tempo I") + &full;
    check(
        &[&first, &rit, &full, &back, &tempo_one],
        &[
            "1 4/4 @0 \"Lively\" quarter = 96",
            "2 @2 \"rit.\" until 3+0",
            "3",
            "4 @0 \"a tempo\" back",
            "5 @0 \"Tempo I\" back to first",
        ],
    );
    let dashed = note(8, "")
        + &direction("<words>accel.</words>", "")
        + &direction("<dashes type=\"start\" number=\"1\"/>", "")
        + &note(8, "");
    let stop = note(4, "") + &direction("<dashes type=\"stop\" number=\"1\"/>", "") + &note(12, "");
    check(
        &[&first, &dashed, &stop, &full, &quarter(120)],
        &[
            "1 4/4 @0 \"Lively\" quarter = 96",
            "2 @2 \"accel.\" until 2+1",
            "3",
            "4",
            "5 @0 \"Lively\" quarter = 120",
        ],
    );
    // With nothing after it, and with words that set nothing.
    let word = words("Allegro") + &full;
    check(
        &[&first, &word, &rit],
        &[
            "1 4/4 @0 \"Lively\" quarter = 96",
            "2 @0 \"Allegro\"",
            "3 @2 \"rit.\"",
        ],
    );
}

#[test]
fn repeats_and_endings() {
    let m = meter("4", "4") + &note(16, "");
    let n = note(16, "");
    let forward = bar("left", "<repeat direction=\"forward\"/>") + &n;
    let one = bar("left", "<ending number=\"1, 2\" type=\"start\"/>")
        + &n
        + &bar(
            "right",
            "<ending number=\"1, 2\" type=\"stop\"/><repeat direction=\"backward\" times=\"3\"/>",
        );
    let two = bar("left", "<ending number=\"3\" type=\"start\"/>") + &n;
    let two_end = n.clone() + &bar("right", "<ending number=\"3\" type=\"discontinue\"/>");
    check(
        &[&m, &forward, &one, &two, &two_end, &n],
        &[
            "1 4/4",
            "2 |:",
            "3 ending [1, 2] :|3",
            "4 ending [3]",
            "5 ending [3]",
            "6",
        ],
    );
    // A forward sign on a right barline starts at the next measure; a backward
    // sign on a left barline ends the measure before.
    let right = m.clone() + &bar("right", "<repeat direction=\"forward\"/>");
    let left = bar("left", "<repeat direction=\"backward\"/>") + &n;
    check(&[&right, &n, &left], &["1 4/4", "2 |: :|2", "3"]);
    let (_, codes) = road_map(&[&(left.clone() + START)]);
    assert_eq!(codes, ["repeat-of-nothing"]);
    // An implied start in the sound.
    let implied = "<sound forward-repeat=\"yes\"/>".to_owned() + &n;
    check(&[&m, &implied], &["1 4/4", "2 |:"]);
}

#[test]
fn ending_brackets_reach_to_their_repeat_sign() {
    let n = note(16, "");
    let m = meter("4", "4") + &n;
    let short = bar("left", "<ending number=\"1\" type=\"start\"/>")
        + &n
        + &bar("right", "<ending number=\"1\" type=\"discontinue\"/>");
    let sign = n.clone() + &bar("right", "<repeat direction=\"backward\"/>");
    let next = bar("left", "<ending number=\"2\" type=\"start\"/>")
        + &n
        + &bar("right", "<ending number=\"2\" type=\"stop\"/>");
    check(
        &[&m, &short, &sign, &next],
        &["1 4/4", "2 ending [1]", "3 ending [1] :|2", "4 ending [2]"],
    );
    let open = bar("left", "<ending number=\"\" type=\"start\"/>") + &n;
    let (lines, codes) = road_map(&[&m, &open, &sign, &next]);
    assert_eq!(lines[1..3], ["2 ending [1]", "3 ending [1] :|2"]);
    assert_eq!(codes, ["ending-without-end", "ending-without-number"]);
}

#[test]
fn jumps_by_sound_and_by_words() {
    let n = note(16, "");
    let m = meter("4", "4") + &n;
    let both =
        |text: &str, sound: &str| n.clone() + &direction(&format!("<words>{text}</words>"), sound);
    let fine = both("Fine", "<sound fine=\"yes\"/>");
    for last in [
        both("D.C. al Fine", "<sound dacapo=\"yes\"/>"),
        both("D.C.\nal Fine", "<sound dacapo=\"yes\"/>"),
        both("da capo al Fine", ""),
    ] {
        check(&[&m, &fine, &last], &["1 4/4", "2 fine", "3 D.C. al Fine"]);
    }
    check(
        &[&m, &both("D.C.", "<sound dacapo=\"yes\"/>")],
        &["1 4/4", "2 D.C."],
    );
    // The only segno and coda lose their names; a printed sign needs none.
    let segno = direction("<segno/>", "<sound segno=\"one\"/>") + &n;
    let leave = both("To Coda", "<sound tocoda=\"two\"/>");
    let back = both("D.S. al Coda", "<sound dalsegno=\"one\"/>");
    let coda = direction("<coda/>", "<sound coda=\"two\"/>") + &n;
    let expected = ["1 4/4", "2 segno", "3 to-coda", "4 D.S. al Coda", "5 coda"];
    check(&[&m, &segno, &leave, &back, &coda], &expected);
    let segno = direction("<segno/>", "") + &n;
    let leave = direction("<words>To</words><coda/>", "").replace(
        "<words>To</words><coda/>",
        "<words>To Coda</words></direction-type><direction-type><coda/>",
    );
    let back = n.clone() + &words("D.S. al Coda");
    let coda = direction("<coda/>", "") + &n;
    let leave = n.clone() + &leave;
    check(&[&m, &segno, &leave, &back, &coda], &expected);
    // Two of a kind keep their names.
    let named = |name: &str| format!("<sound segno=\"{name}\"/>") + &n;
    let again = n.clone() + "<sound dalsegno=\"b\"/>";
    check(
        &[&m, &named("a"), &named("b"), &again],
        &["1 4/4", "2 segno a", "3 segno b", "4 D.S. b"],
    );
}

#[test]
fn repeats_after_a_jump_and_signs_where_one_leaves() {
    let n = note(16, "");
    let m = meter("4", "4") + &n;
    let sign = n.clone()
        + &bar(
            "right",
            "<repeat direction=\"backward\" after-jump=\"yes\"/>",
        );
    let last = n.clone() + "<sound dacapo=\"yes\"/>";
    check(
        &[&m, &sign, &last],
        &["1 4/4", "2 :|2", "3 D.C. with repeats"],
    );
    let coda = direction("<coda/>", "") + &n;
    let back = n.clone() + &words("D.C. al Coda");
    let (lines, codes) = road_map(&[&m, &coda, &back, &coda]);
    assert_eq!(lines, ["1 4/4", "2 to-coda", "3 D.C. al Coda", "4 coda"]);
    assert_eq!(codes, ["coda-sign-to-leave"]);
    let only = n + "<sound dacapo=\"yes\" time-only=\"2\"/>";
    assert_eq!(road_map(&[&m, &only]).1, ["jump-on-pass"]);
}

#[test]
fn rehearsal_marks_and_fermatas() {
    let m = meter("4", "4") + &direction("<rehearsal>A</rehearsal>", "") + &note(16, "");
    let held = note(8, "")
        + &note(8, "<notations><fermata/></notations>")
        + "<backup><duration>8</duration></backup>"
        + &note(8, "<voice>2</voice><notations><fermata/></notations>");
    let over = note(16, "") + &bar("right", "<fermata/>");
    let breath = note(
        4,
        "<notations><articulations><breath-mark/></articulations></notations>",
    ) + &note(12, "");
    check(
        &[&m, &held, &over, &breath],
        &["1 4/4 [A]", "2 hold 2", "3 hold 4", "4 hold 1"],
    );
}

#[test]
fn uneven_meters_are_grouped_as_their_beams_show() {
    let groups = |upper: &str, content: &[String]| {
        let first = meter(upper, "8") + &content[0];
        let mut measures: Vec<&str> = vec![&first];
        measures.extend(content[1..].iter().map(String::as_str));
        road_map(&measures).0
    };
    let b = |groups: &[usize]| {
        groups
            .iter()
            .map(|count| beamed(*count))
            .collect::<String>()
    };
    for (upper, beams, expected) in [
        ("5", vec![2, 3], "1 5/8 groups 2+3"),
        ("5", vec![3, 2], "1 5/8 groups 3+2"),
        ("7", vec![2, 2, 3], "1 7/8 groups 2+2+3"),
        ("7", vec![2, 3, 2], "1 7/8 groups 2+3+2"),
        ("7", vec![4, 3], "1 7/8 groups 4+3"),
        ("8", vec![3, 3, 2], "1 8/8 groups 3+3+2"),
        // One beam over everything, and meters that are not uneven, tell nothing.
        ("5", vec![5], "1 5/8"),
        ("7", vec![7], "1 7/8"),
        ("6", vec![2, 2, 2], "1 6/8"),
    ] {
        assert_eq!(groups(upper, &[b(&beams)]), [expected]);
    }
    // Beams and longer notes together: 3 beamed and a quarter.
    let half_told = beamed(3) + &note(4, "");
    assert_eq!(groups("5", &[half_told]), ["1 5/8 groups 3+2"]);
    assert_eq!(groups("5", &[note(6, "") + &note(4, "")]), ["1 5/8"]);
    // What a later measure tells holds from the start when all agree.
    let rest = note(10, "");
    assert_eq!(
        groups("5", &[rest.clone(), b(&[2, 3]), rest.clone(), b(&[2, 3])]),
        ["1 5/8 groups 2+3", "2", "3", "4"]
    );
    assert_eq!(
        groups("5", &[rest, b(&[2, 3]), b(&[3, 2])]),
        ["1 5/8", "2 groups 2+3", "3 groups 3+2"]
    );
}

#[test]
fn several_movements_are_told() {
    let n = note(16, "") + &bar("right", "<bar-style>light-heavy</bar-style>");
    let m = |number: u32| format!("<measure number=\"{number}\">{START}{n}</measure>");
    let (_, codes) = road_map(&[&m(1), &m(2), &m(1), &m(2)]);
    assert_eq!(codes, ["several-movements"]);
    // A Fine in the middle, with numbers that go on, is one movement.
    assert_eq!(road_map(&[&m(1), &m(2), &m(3)]).1, [""; 0]);
}

#[test]
fn the_same_tempo_goes_on_and_asks_for_nothing() {
    let sixty = "<sound tempo=\"60\"/>";
    let first = meter("4", "4") + sixty + &note(16, "");
    let same = words("L'istesso tempo") + &note(16, "");
    let double = words("Doppio movimento") + &note(16, "");
    let score = read(&file(&[("Viola", &[&first, &same, &double])]));
    let guide = guide_of(&score.value);
    let lines: Vec<String> = guide
        .value
        .road_map
        .measures
        .iter()
        .map(common::line)
        .collect();
    assert_eq!(
        lines,
        [
            "1 4/4 @0 quarter = 60",
            "2 @0 \"L'istesso tempo\" quarter = quarter",
            "3 @0 \"Doppio movimento\" eighth = quarter",
        ]
    );
    assert!(guide.findings.is_empty());
    // Under another meter the words leave open which note is the same.
    let other = meter("6", "8") + &words("L'istesso tempo") + &note(12, "");
    let score = read(&file(&[("Viola", &[&first, &other])]));
    let guide = guide_of(&score.value);
    assert_eq!(guide.value.road_map.measures[1].tempo[0].same_beat, None);
    assert_eq!(guide.findings[0].code, "tempo-without-number");
}

#[test]
fn a_measure_longer_than_its_meter_is_told_also_of_a_part_alone() {
    let long = meter("4", "4") + &note(20, "");
    let (lines, codes) = road_map(&[&long, &note(16, "")]);
    assert_eq!(lines, ["1 4/4 length 5", "2"]);
    assert_eq!(codes, ["longer-than-meter"]);
    let free = "<attributes><divisions>4</divisions><time><senza-misura/></time></attributes>";
    check(&[&(free.to_owned() + &note(20, ""))], &["1 free length 5"]);
}

#[test]
fn findings_name_parts_as_people_do() {
    let bad = meter("4", "4") + "<note><rest/><duration>-4</duration></note>" + &note(16, "");
    let score = read_score(file(&[("Viola", &[&bad])]).into_bytes()).unwrap();
    let drafted = draft_checked(&score, &[], Id::new("g").unwrap()).unwrap();
    let told = drafted.findings.iter().find(|own| own.code == "duration");
    assert!(
        told.unwrap()
            .to_string()
            .starts_with("warning: measure 1: Viola: ")
    );
}

#[test]
fn a_rit_played_in_steps_is_one() {
    let sound = |tempo: &str| format!("<sound tempo=\"{tempo}\"/>");
    let first = meter("4", "4") + &sound("100") + &note(16, "");
    let steps = |tempi: &[&str]| -> String {
        let each = tempi.iter().map(|tempo| note(4, "") + &sound(tempo));
        each.collect::<String>() + &note(4, "")
    };
    let back = direction("<words>a tempo</words>", "<sound tempo=\"100\"/>") + &note(16, "");
    check(
        &[
            &first,
            &(words("rit.") + &steps(&["90", "80", "70"])),
            &back,
        ],
        &[
            "1 4/4 @0 quarter = 100",
            "2 @0 \"rit.\" quarter = 70 until 1+3",
            "3 @0 \"a tempo\" quarter = 100",
        ],
    );
    // Without the word three steps are one, two are two.
    check(
        &[&first, &steps(&["90", "80", "70"])],
        &["1 4/4 @0 quarter = 100", "2 @1 quarter = 70 until 1+3"],
    );
    check(
        &[&first, &(steps(&["90", "80"]) + &note(4, ""))],
        &[
            "1 4/4 @0 quarter = 100",
            "2 @1 quarter = 90 @2 quarter = 80",
        ],
    );
    // Up and down, and by a great step, are tempi of their own.
    check(
        &[&first, &steps(&["90", "99", "90"])],
        &[
            "1 4/4 @0 quarter = 100",
            "2 @1 quarter = 90 @2 quarter = 99 @3 quarter = 90",
        ],
    );
    check(
        &[&first, &steps(&["80", "66", "50"])],
        &[
            "1 4/4 @0 quarter = 100",
            "2 @1 quarter = 80 @2 quarter = 66 @3 quarter = 50",
        ],
    );
}
