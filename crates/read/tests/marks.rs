//! The marks of a part drafted from small scores.

mod common;

use common::{check_marks, direction, file, guide_of, meter, note, read, rest, words};
use cueleaf_guide::Id;
use cueleaf_read::draft;

#[test]
fn ways_of_playing_by_words_and_by_playback() {
    let m = meter("4", "4");
    check_marks(
        &[
            // Playback that changes nothing is not a mark.
            &(m + "<sound pizzicato=\"no\"/>" + &note(16, "")),
            &(note(8, "")
                + &direction("<words>pizz.</words>", "<sound pizzicato=\"yes\"/>")
                + &note(8, "")),
            &("<sound pizzicato=\"no\"/>".to_owned() + &note(16, "")),
            &(words("con sord.") + &note(16, "")),
            &(direction("<string-mute type=\"off\"/>", "") + &note(16, "")),
            &(words("pizz., senza sord.") + &note(16, "")),
            &(note(16, "") + &words("arco")),
            &note(16, ""),
        ],
        &[
            "1+2 Pizz \"pizz.\"",
            "2+0 Arco",
            "3+0 MuteOn \"con sord.\"",
            "4+0 MuteOff",
            "5+0 Pizz \"pizz., senza sord.\"",
            "5+0 MuteOff \"pizz., senza sord.\"",
            "7+0 Arco \"arco\"",
        ],
    );
}

#[test]
fn dynamics_hairpins_and_growing_words() {
    let m = meter("4", "4");
    let dynamic = |text: &str| direction(&format!("<dynamics>{text}</dynamics>"), "");
    let wedge = |kind: &str| direction(&format!("<wedge type=\"{kind}\"/>"), "");
    check_marks(
        &[
            &(m + &dynamic("<p/>") + &note(8, "") + &wedge("crescendo") + &note(8, "")),
            &(note(4, "") + &wedge("stop") + &dynamic("<sf/><p/>") + &note(12, "")),
            &(wedge("diminuendo") + &note(16, "") + &wedge("stop")),
            &(direction("<words>cresc.</words>", "")
                + &direction("<dashes type=\"start\"/>", "")
                + &note(16, "")),
            &(note(8, "") + &direction("<dashes type=\"stop\"/>", "") + &note(8, "")),
            &(words("dim. poco a poco") + &note(16, "")),
            &(words("rall. e dim.") + &note(16, "")),
            &(dynamic("<other-dynamics>più f</other-dynamics>")
                + &note(16, "<notations><dynamics><ff/></dynamics></notations>")),
            &(direction("<words>dolce</words>", "<offset>4</offset>") + &note(16, "")),
            &(note(8, "")
                + &direction("<words>espr.</words>", "<offset>-4</offset>")
                + &note(8, "")),
        ],
        &[
            "0+0 Dynamic \"p\"",
            "0+2 Grow to 1+1",
            "1+1 Dynamic \"sfp\"",
            "2+0 Fade to 3+0",
            "3+0 Grow to 4+2 \"cresc.\"",
            "5+0 Fade \"dim. poco a poco\"",
            "6+0 Fade \"rall. e dim.\"",
            "7+0 Dynamic \"ff\"",
            "7+0 Dynamic \"più f\"",
            "8+1 Words \"dolce\"",
            "9+1 Words \"espr.\"",
        ],
    );
}

#[test]
fn an_offset_back_behind_the_last_note_stays_in_its_measure() {
    let dynamic =
        |text: &str, offset: &str| direction(&format!("<dynamics>{text}</dynamics>"), offset);
    check_marks(
        &[
            &(meter("4", "4") + &note(16, "") + &dynamic("<p/>", "<offset>-4</offset>")),
            &(dynamic("<f/>", "") + &note(16, "") + &dynamic("<mp/>", "")),
            &note(16, ""),
        ],
        &[
            "0+3 Dynamic \"p\"",
            "1+0 Dynamic \"f\"",
            "2+0 Dynamic \"mp\"",
        ],
    );
}

/// Checks marks in measures of 16 sixteenths whose notes are written out; a divisions unit is a
/// sixteenth.
fn check_drawn(measures: &[&str], expected: &[&str]) {
    let first = meter("4", "4") + measures.first().unwrap_or(&"");
    let mut all = vec![first.as_str()];
    all.extend(measures.iter().skip(1));
    check_marks(&all, expected);
}

fn dynamic(text: &str, offset: &str) -> String {
    let offset = format!("<offset>{offset}</offset>");
    direction(&format!("<dynamics>{text}</dynamics>"), &offset)
}

/// Both manners of real files: the mark behind its note with an offset back to it, and the mark
/// at its note with an offset that puts the letters where they are drawn.
#[test]
fn a_dynamic_belongs_to_the_note_it_is_drawn_nearest_to() {
    let (quarter, half, whole) = (note(4, ""), note(8, ""), note(16, ""));
    check_drawn(
        &[
            // Exactly under the note before.
            &(quarter.clone() + &dynamic("<p/>", "-4") + &quarter + &half),
            // A little to the right of the note before.
            &(half.clone() + &dynamic("<mf/>", "-7") + &half),
            &(whole.clone() + &dynamic("<f/>", "-15")),
            // A little to the left of the note where it stands.
            &(half.clone() + &dynamic("<p/>", "-1") + &half),
            // A little to the right of it; the notes that follow are read later.
            &(dynamic("<pp/>", "1") + &quarter + &quarter + &half),
            // Under the next.
            &(dynamic("<f/>", "4") + &quarter + &quarter + &half),
            // A thirty-second to the left is layout even before a sixteenth.
            &(note(1, "") + &dynamic("<p/>", "-0.5") + &note(15, "")),
            // Halfway between two eighths it is told by the first of them.
            &(note(2, "") + &dynamic("<f/>", "-1") + &note(14, "")),
        ],
        &[
            "0+0 Dynamic \"p\"",
            "1+0 Dynamic \"mf\"",
            "2+0 Dynamic \"f\"",
            "3+2 Dynamic \"p\"",
            "4+0 Dynamic \"pp\"",
            "5+1 Dynamic \"f\"",
            "6+1/4 Dynamic \"p\"",
            "7+0 Dynamic \"f\"",
        ],
    );
}

#[test]
fn what_is_drawn_inside_a_held_note_stays_there_but_an_accent() {
    let whole = note(16, "");
    check_drawn(
        &[
            &(whole.clone() + &dynamic("<p/>", "-8.25")),
            &(whole.clone() + &dynamic("<sf/>", "-8.25")),
            &(whole.clone() + &dynamic("<fp/>", "-8")),
            // An offset that says so is heard there, and is not drawn to a note.
            &(direction(
                "<dynamics><pp/></dynamics>",
                "<offset sound=\"yes\">1</offset>",
            ) + &whole),
        ],
        &[
            "0+2 Dynamic \"p\"",
            "1+0 Dynamic \"sf\"",
            "2+0 Dynamic \"fp\"",
            "3+1/4 Dynamic \"pp\"",
        ],
    );
}

#[test]
fn what_is_drawn_in_a_rest_waits_for_where_it_stands() {
    let half = note(8, "");
    check_drawn(
        &[
            &(rest(8) + &dynamic("<p/>", "-4") + &half),
            // Near the note before the rest it belongs to that note.
            &(note(4, "") + &rest(4) + &dynamic("<f/>", "-8") + &half),
            // A whole rest: it is for what comes after.
            &(rest(16) + &dynamic("<pp/>", "-9")),
            &note(16, ""),
        ],
        &[
            "0+2 Dynamic \"p\"",
            "1+0 Dynamic \"f\"",
            "2+0 Rest to 3+0",
            "3+0 Dynamic \"pp\"",
        ],
    );
}

#[test]
fn hairpins_words_and_ways_of_playing_are_drawn_to_notes_too() {
    let (half, whole) = (note(8, ""), note(16, ""));
    let drawn = |what: &str, offset: &str| direction(what, &format!("<offset>{offset}</offset>"));
    let wedge = |kind: &str, offset: &str| drawn(&format!("<wedge type=\"{kind}\"/>"), offset);
    check_drawn(
        &[
            // From a little behind the note to a little before the barline.
            &(whole.clone() + &wedge("crescendo", "-15") + &wedge("stop", "-1")),
            // Two in one long note keep their turning point.
            &(whole.clone()
                + &wedge("crescendo", "-15")
                + &wedge("stop", "-8")
                + &wedge("diminuendo", "-7")
                + &wedge("stop", "-1")),
            // Between two notes: neither end may swallow the other.
            &(half.clone() + &wedge("crescendo", "-7") + &wedge("stop", "-6.5") + &half),
            &(half.clone() + &drawn("<words>pizz.</words>", "-8") + &half),
            &(drawn("<words>arco</words>", "1") + &half + &half),
            &(half.clone() + &drawn("<words>dolce</words>", "-7.5") + &half),
            // Past the barline it is for the next measure.
            &(whole.clone() + &drawn("<words>pizz.</words>", "6")),
            &whole,
        ],
        &[
            "0+0 Grow to 1+0",
            "1+0 Grow to 1+2",
            "1+9/4 Fade to 2+0",
            "2+1/4 Grow to 2+3/8",
            "3+0 Pizz \"pizz.\"",
            "4+0 Arco \"arco\"",
            "5+0 Words \"dolce\"",
            "7+0 Pizz \"pizz.\"",
        ],
    );
}

#[test]
fn bowings_at_their_notes() {
    let bow = |name: &str| {
        let sign = format!("<notations><technical><{name}/></technical></notations>");
        note(8, &sign)
    };
    check_marks(
        &[&(meter("4", "4") + &bow("down-bow") + &bow("up-bow"))],
        &["0+0 DownBow", "0+2 UpBow"],
    );
}

#[test]
fn rests_are_merged_into_blocks_that_name_the_entry() {
    let m = meter("4", "4");
    let entry = "<note><rest/><duration>8</duration></note>".to_owned() + &note(8, "");
    let r = rest(16);
    check_marks(
        &[&(m.clone() + &r), &r, &entry, &r, &r],
        &["0+0 Rest to 2+2", "3+0 Rest to 5+0"],
    );
    // Printed blocks, rehearsal marks and repeats part them.
    let style = |count: u32| {
        format!(
            "<attributes><measure-style><multiple-rest>{count}</multiple-rest></measure-style></attributes>"
        )
    };
    check_marks(
        &[
            &(m.clone() + &style(2) + &r),
            &r,
            &(style(2) + &r),
            &r,
            &r,
            &note(16, ""),
        ],
        &["0+0 Rest to 2+0", "2+0 Rest to 4+0", "4+0 Rest to 5+0"],
    );
    check_marks(
        &[
            &(m.clone() + &r),
            &(direction("<rehearsal>B</rehearsal>", "") + &r),
            &note(16, ""),
        ],
        &["0+0 Rest to 1+0", "1+0 Rest to 2+0"],
    );
    // Cue notes of another part are not played; a repetition sign is.
    let cue = note(16, "").replace("<pitch>", "<cue/><pitch>");
    let again = "<attributes><measure-style><measure-repeat type=\"start\">1</measure-repeat></measure-style></attributes>";
    check_marks(
        &[&(m + &cue), &note(16, ""), again, "", &("<attributes><measure-style><measure-repeat type=\"stop\"/></measure-style></attributes>".to_owned() + &r)],
        &["0+0 Rest to 1+0", "4+0 Rest to 5+0"],
    );
}

#[test]
fn parts_are_chosen_by_name_or_id() {
    let one = meter("4", "4") + &note(16, "");
    let measures: &[&str] = &[&one];
    let text = file(&[
        ("Violin", measures),
        ("Violin", measures),
        ("", measures),
        ("Cello", measures),
    ]);
    let score = read(&text).value;
    let names = |wanted: &[&str]| {
        let guide = draft(&score, wanted, Id::new("g").unwrap()).unwrap().value;
        let names = guide
            .parts
            .into_iter()
            .map(|part| format!("{} {}", part.id, part.name));
        names.collect::<Vec<_>>().join(", ")
    };
    assert_eq!(
        names(&[]),
        "violin Violin, violin-2 Violin (2), part-3 Part 3, cello Cello"
    );
    assert_eq!(names(&["CELLO", "violin"]), "violin Violin, cello Cello");
    assert_eq!(names(&["P2", "Violin (2)"]), "violin-2 Violin (2)");
    let error = draft(&score, &["Tuba"], Id::new("g").unwrap()).unwrap_err();
    assert_eq!(
        error.to_string(),
        "there is no part \"Tuba\"; the parts are \"Violin\", \"Violin (2)\", \"Part 3\", \"Cello\""
    );
}

#[test]
fn titles_and_the_composer_are_taken_over() {
    let head = "<work><work-title>Suite</work-title></work><movement-title>Air</movement-title><identification><creator type=\"lyricist\">A</creator><creator type=\"composer\">B &amp; C</creator></identification><part-list>";
    let one = meter("4", "4") + &note(16, "");
    let text = file(&[("Viola", &[&one])]).replace("<part-list>", head);
    let guide = guide_of(&read(&text).value).value;
    assert_eq!(
        (guide.title.as_str(), guide.composer.as_str()),
        ("Suite: Air", "B & C")
    );
}

#[test]
fn a_note_plucked_by_the_left_hand_leaves_the_bow_on() {
    let first = meter("4", "4") + &note(4, "") + &words("pizz. (l.h.)") + &note(12, "");
    check_marks(&[&first, &note(16, "")], &["0+1 Words \"pizz. (l.h.)\""]);
}
