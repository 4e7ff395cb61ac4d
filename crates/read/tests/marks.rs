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
            "9+2 Words \"espr.\"",
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
