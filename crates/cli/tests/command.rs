//! The command as a person calls it.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use std::path::{Path, PathBuf};
use std::process::Command;

struct Ran {
    status: i32,
    out: String,
    err: String,
}

fn cueleaf(arguments: &[&str]) -> Ran {
    let done = Command::new(env!("CARGO_BIN_EXE_cueleaf"))
        .args(arguments)
        .output()
        .unwrap();
    Ran {
        status: done.status.code().unwrap(),
        out: String::from_utf8(done.stdout).unwrap(),
        err: String::from_utf8(done.stderr).unwrap(),
    }
}

fn example(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    path.join(name).to_str().unwrap().to_owned()
}

fn scratch(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(name)
}

fn scratch_with(name: &str, text: &str) -> String {
    let path = scratch(name);
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn a_draft_is_made_and_checked() {
    let guide = scratch("viola.json");
    let guide = guide.to_str().unwrap();
    let part = example("mail-boat.musicxml");
    let ran = cueleaf(&[
        "draft", &part, "--part", "viola", "--id", "mine", "-o", guide,
    ]);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    let ran = cueleaf(&["check", guide]);
    assert_eq!(ran.status, 0);
    assert_eq!(ran.out, "5 findings\n");
    assert!(
        ran.err
            .starts_with("warning: measure 11: this gradual change has no tempo to arrive at")
    );
    assert_eq!(ran.err.lines().count(), 5);
}

#[test]
fn two_drafts_have_two_ids_unless_one_is_given() {
    let part = example("chestnuts.musicxml");
    let draft = |name: &str| {
        let path = scratch(name);
        assert_eq!(
            cueleaf(&["draft", &part, "-o", path.to_str().unwrap()]).status,
            0
        );
        std::fs::read_to_string(path).unwrap()
    };
    let id = |text: &str| {
        let guide: serde_json::Value = serde_json::from_str(text).unwrap();
        guide["id"].as_str().unwrap().to_owned()
    };
    let (one, two) = (draft("one.json"), draft("two.json"));
    assert_ne!(id(&one), id(&two));
    assert_eq!(one.replace(&id(&one), ""), two.replace(&id(&two), ""));
}

#[test]
fn the_timeline_tells_order_and_seconds() {
    let ran = cueleaf(&[
        "timeline",
        &example("chestnuts.musicxml"),
        "--part",
        "Cello",
    ]);
    assert_eq!(ran.status, 0);
    let line: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let labels: Vec<&str> = line["played"]
        .as_array()
        .unwrap()
        .iter()
        .map(|played| played["label"].as_str().unwrap())
        .collect();
    // A pickup and eight measures with two endings twice, to 38, then from the
    // beginning without the repeat to the Fine at 18.
    let numbers = |from: u32, to: u32| (from..=to).map(|n| n.to_string());
    let expected: Vec<String> = numbers(0, 8)
        .chain(numbers(0, 6))
        .chain(numbers(9, 38))
        .chain(numbers(0, 6))
        .chain(numbers(9, 18))
        .collect();
    assert_eq!(labels, expected);
    let first = &line["measures"][0];
    assert_eq!(
        (first["meter"].as_str(), first["length"].as_str()),
        (Some("6/8"), Some("1/2"))
    );
    assert_eq!(line["played"][1]["counts"][1]["say"], 2);
    assert!(line["seconds"].as_f64().unwrap() > 60.0);
}

#[test]
fn every_example_guide_is_sound_and_in_its_saved_form() {
    let folder = example("");
    let mut guides = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|extension| extension != "json") {
            continue;
        }
        guides += 1;
        let text = std::fs::read_to_string(&path).unwrap();
        let guide = cueleaf_guide::open(&text).unwrap();
        assert_eq!(
            cueleaf_guide::save(&guide) + "\n",
            text,
            "{}",
            path.display()
        );
        assert!(guide.tips.len() >= 12, "{}", path.display());
        let ran = cueleaf(&["check", path.to_str().unwrap()]);
        assert_eq!(
            (ran.status, ran.out.as_str(), ran.err.as_str()),
            (0, "0 findings\n", "")
        );
    }
    assert_eq!(guides, 4);
}

#[test]
fn wrong_use_is_two_and_what_cannot_be_read_is_one() {
    let nowhere = scratch("nowhere.json");
    let nowhere = nowhere.to_str().unwrap();
    let part = example("mail-boat.musicxml");
    let no_part = cueleaf(&["draft", &part, "--part", "Tuba", "-o", nowhere]);
    assert_eq!(no_part.status, 2);
    assert!(no_part.err.contains("Violin I"), "{}", no_part.err);
    assert_eq!(
        cueleaf(&["draft", &part, "--id", "a b", "-o", nowhere]).status,
        2
    );
    assert_eq!(cueleaf(&["timeline", nowhere]).status, 2);
    assert_eq!(cueleaf(&["no-such-thing"]).status, 2);
    let newer = scratch_with("newer.json", r#"{"cueleaf":"9.0","id":"x"}"#);
    let ran = cueleaf(&["check", &newer]);
    assert_eq!(ran.status, 1);
    assert!(ran.err.contains("newer Cueleaf"), "{}", ran.err);
    let empty = scratch_with("empty.json", r#"{"cueleaf":"1.0","id":"x"}"#);
    let ran = cueleaf(&["check", &empty]);
    assert_eq!(ran.status, 1);
    assert!(ran.err.contains("[no-measures]"), "{}", ran.err);
    let text = scratch_with("text.xml", "hello");
    assert_eq!(cueleaf(&["timeline", &text]).status, 1);
    assert!(!Path::new(nowhere).exists());
}

#[test]
fn a_link_tells_that_it_leaves_photos_and_voice_notes_out() {
    let text = std::fs::read_to_string(example("mail-boat-cello.json")).unwrap();
    let guide = cueleaf_guide::open(&text).unwrap();
    let mut heavy = guide.clone();
    heavy.tips[0].voice = cueleaf_guide::Voice::of_samples(&[1; 32_000]);
    let path = scratch_with("heavy.json", &cueleaf_guide::save(&heavy));
    let ran = cueleaf(&["link", &path]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(
        ran.err.contains("left out: 0 photos, 1 voice note"),
        "{}",
        ran.err
    );
    assert_eq!(cueleaf_link::from_fragment(ran.out.trim()).unwrap(), guide);
    let ran = cueleaf(&["check", &path]);
    assert!(ran.err.contains("[media-not-confirmed]"), "{}", ran.err);
}

#[test]
fn a_link_holds_the_guide_and_its_picture_needs_an_address() {
    let path = example("mail-boat-cello.json");
    let guide = cueleaf_guide::open(&std::fs::read_to_string(&path).unwrap()).unwrap();
    let ran = cueleaf(&["link", &path]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert_eq!(cueleaf_link::from_fragment(ran.out.trim()).unwrap(), guide);
    let ran = cueleaf(&["link", &path, "--address", "https://a.example/"]);
    let fragment = ran
        .out
        .strip_prefix("https://a.example/play.html#")
        .unwrap();
    assert_eq!(cueleaf_link::from_fragment(fragment.trim()).unwrap(), guide);
    assert!(ran.err.contains("2000 letters"), "{}", ran.err);
    assert_eq!(
        cueleaf(&["link", &path, "--address", "http://a.example/"]).status,
        2
    );

    let picture = scratch("cello.svg");
    let output = picture.to_str().unwrap();
    assert_eq!(cueleaf(&["qr", &path, "-o", output]).status, 2);
    let ran = cueleaf(&["qr", &path, "--address", "https://a.example/", "-o", output]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(
        std::fs::read_to_string(picture)
            .unwrap()
            .starts_with("<svg")
    );
}

#[test]
fn the_watch_list_of_a_part_is_printed() {
    let part = example("mail-boat.musicxml");
    let ran = cueleaf(&["watch", &part, "--part", "viola"]);
    assert_eq!(ran.status, 0);
    let list: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let list = list.as_array().unwrap();
    assert!(list.len() > 50);
    for one in list {
        let fields: Vec<&str> = one
            .as_object()
            .unwrap()
            .keys()
            .map(String::as_str)
            .collect();
        let wanted = [
            "cue", "from", "kind", "numbers", "sentence", "to", "topic", "weight",
        ];
        assert_eq!(fields, wanted);
    }
    // In measure 25 the bow comes back after one beat of rest at 112 quarters a minute.
    let arco = list.iter().find(|one| one["kind"] == "to-arco").unwrap();
    assert_eq!(
        (arco["from"].as_str(), arco["topic"].as_str()),
        (Some("25 beat 1"), Some("pluck"))
    );
    assert_eq!(arco["numbers"]["quarters"], 1.0);
    let seconds = arco["numbers"]["seconds"].as_f64().unwrap();
    assert!((seconds - 60.0 / 112.0).abs() < 1e-9);
}

#[test]
fn a_watch_list_needs_notes_and_one_part() {
    let score = example("mail-boat.musicxml");
    let ran = cueleaf(&["watch", &score]);
    assert_eq!(ran.status, 2);
    assert!(
        ran.err
            .contains("the parts are: Violin I, Violin II, Viola, Cello"),
        "{}",
        ran.err
    );
    assert_eq!(cueleaf(&["watch", &score, "--part", "tuba"]).status, 2);
    let guide = example("mail-boat-viola.json");
    let ran = cueleaf(&["watch", &guide]);
    assert_eq!(ran.status, 1);
    assert!(
        ran.err.contains("from the notes of a part or score"),
        "{}",
        ran.err
    );
}

#[test]
fn the_saved_form_of_a_guide_is_printed() {
    let example = example("mail-boat-cello.json");
    let ran = cueleaf(&["saved", &example]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    // A page holds the same, here as longer guides stand in it.
    let page = scratch_with(
        "cello-page.html",
        &format!(
            "<!DOCTYPE html><script type=\"application/json\" id=\"cueleaf-guide\">{}</script>",
            ran.out.trim().replace('<', "\\u003c")
        ),
    );
    assert_eq!(cueleaf(&["saved", &page]).out, ran.out);
    assert!(ran.out.starts_with("{\"cueleaf\":") && ran.out.ends_with("}\n"));
    assert_eq!(cueleaf(&["saved", "nowhere.html"]).status, 2);
}

#[test]
fn notes_are_drafted_from_and_printed() {
    let example = example("mail-boat-cello.json");
    let ran = cueleaf(&["outline", &example]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    assert!(ran.out.starts_with("Guide to The Mail Boat Sets Out\n"));
    let text = format!("(for Friday)\n{}", ran.out);
    let notes = scratch_with("cello.txt", &text);
    let guide = scratch("cello-again.json");
    let guide = guide.to_str().unwrap();
    let ran = cueleaf(&["draft", &notes, "--id", "again", "-o", guide]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    assert_eq!(
        cueleaf(&["outline", guide]).out,
        text["(for Friday)\n".len()..]
    );
    assert_eq!(cueleaf(&["outline", &notes]).out, text);

    let wrong = scratch_with(
        "wrong.txt",
        "Guide to X\nFor Cello\nMeasures 1 to 9\n5  pizzz\n",
    );
    let ran = cueleaf(&["draft", &wrong, "-o", guide]);
    assert_eq!(ran.status, 0);
    assert_eq!(
        ran.err,
        "warning: line 4: column 4: this is nothing that can stand at a place \
         (understood would be: pizz) [not-understood]\n"
    );
    let ran = cueleaf(&["draft", &wrong, "--part", "Cello", "-o", guide]);
    assert_eq!(ran.status, 2);
    assert!(
        cueleaf(&["check", &wrong])
            .err
            .contains("`cueleaf draft` makes a guide")
    );
}

#[test]
fn a_file_of_another_kind_is_named_with_what_can_be_done() {
    let score = example("mail-boat.musicxml");
    let captions = scratch_with(
        "a.vtt",
        "WEBVTT\n\n00:01.000 --> 00:04.000\nMeasure 3 is pizz.\n",
    );
    let notes = scratch_with(
        "a.txt",
        "Guide to Fog\nMeasures 1 to 8\n\n1  4/4, quarter = 60\n",
    );
    let midi = scratch("a.mid");
    let guide = example("mail-boat-viola.json");
    let made = cueleaf(&["midi", &guide, "-o", midi.to_str().unwrap()]);
    assert_eq!(made.status, 0, "{}", made.err);
    for (file, said) in [
        (
            score.as_str(),
            "this is a score; `cueleaf draft` makes a guide of it",
        ),
        (
            midi.to_str().unwrap(),
            "this is a score; `cueleaf draft` makes a guide of it",
        ),
        (
            &captions,
            "these are captions; `cueleaf draft` makes a guide of them",
        ),
        (
            &notes,
            "these are notes; `cueleaf draft` makes a guide of them",
        ),
    ] {
        let ran = cueleaf(&["check", file]);
        assert_eq!(
            (ran.status, ran.err.contains(said)),
            (1, true),
            "{}",
            ran.err
        );
    }
    let draft = scratch("again.json");
    let ran = cueleaf(&["draft", &guide, "-o", draft.to_str().unwrap()]);
    assert!(ran.err.contains("this is a guide already"), "{}", ran.err);
    let ran = cueleaf(&["watch", &notes]);
    assert!(
        ran.err.contains("from the notes of a part or score"),
        "{}",
        ran.err
    );
    for (file, why) in [
        (&captions, "captions name no parts"),
        (&notes, "notes name their own parts"),
    ] {
        let ran = cueleaf(&[
            "draft",
            file,
            "--part",
            "Viola",
            "-o",
            draft.to_str().unwrap(),
        ]);
        assert_eq!(
            (ran.status, ran.err.contains(why)),
            (2, true),
            "{}",
            ran.err
        );
    }
}

#[test]
fn a_reader_that_stops_is_no_failure() {
    let guide = example("mail-boat-viola.json");
    for command in ["link", "check", "outline", "saved"] {
        let mut ran = Command::new(env!("CARGO_BIN_EXE_cueleaf"));
        let mut child = ran
            .args([command, &guide])
            .stdout(std::process::Stdio::piped())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        // The pipe is closed before anything was read.
        drop(child.stdout.take());
        assert_eq!(child.wait().unwrap().code(), Some(0), "{command}");
    }
}

#[test]
fn what_is_still_to_be_written_is_not_handed_out() {
    let text = std::fs::read_to_string(example("mail-boat-viola.json")).unwrap();
    let mut guide: serde_json::Value = serde_json::from_str(&text).unwrap();
    let plain = cueleaf(&["link", &example("mail-boat-viola.json")]);
    let empty = serde_json::json!({
        "id": "still-to-write", "spot": {"from": {"measure": 3}}, "topic": "bow", "text": ""
    });
    guide["tips"].as_array_mut().unwrap().push(empty);
    let file = scratch_with("unwritten.json", &guide.to_string());
    let ran = cueleaf(&["link", &file]);
    assert_eq!((ran.status, ran.out), (0, plain.out), "{}", ran.err);
}

/// Length of bow is speed times time (G. Fischbach, The Strad): a half note that takes the whole bow
/// leaves none for a whole note at the same speed.
#[test]
fn a_bow_plan_says_where_the_bow_runs_out() {
    let note = |beats: u8, kind: &str| {
        format!(
            "<note><pitch><step>D</step><octave>4</octave></pitch><duration>{beats}</duration><type>{kind}</type></note>"
        )
    };
    let text = format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Viola</part-name></score-part></part-list><part id=\"P1\"><measure number=\"1\"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes><sound tempo=\"60\"/>{}{}</measure><measure number=\"2\">{}</measure></part></score-partwise>",
        note(2, "half"),
        note(2, "half"),
        note(4, "whole")
    );
    let file = scratch_with("bow.musicxml", &text);
    let ran = cueleaf(&["bow", &file, "--from", "1", "--to", "2", "--amount", "8"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let rows: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let told: Vec<(&str, &str, f64, f64, f64)> = rows
        .as_array()
        .unwrap()
        .iter()
        .map(|row| {
            let number = |key: &str| row[key].as_f64().unwrap();
            let text = |key: &str| row[key].as_str().unwrap();
            (
                text("measure"),
                text("way"),
                number("at"),
                number("until"),
                number("short_by"),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            ("1", "down", 0.0, 8.0, 0.0),
            ("1", "up", 8.0, 0.0, 0.0),
            ("2", "down", 0.0, 8.0, 8.0)
        ]
    );
    assert_eq!(rows[2]["seconds"], 4.0);
    for (arguments, why) in [
        (["--from", "9", "--amount", "4"], "there is no measure 9"),
        (
            ["--from", "2", "--to", "1"],
            "there is no measure 1 after 2",
        ),
        (["--from", "1", "--amount", "9"], "at most 8"),
    ] {
        let ran = cueleaf(&[&["bow", file.as_str()], &arguments[..]].concat());
        assert_eq!(
            (ran.status, ran.err.contains(why)),
            (2, true),
            "{}",
            ran.err
        );
    }
}
