//! Captions, chapters, times, MIDI, clicks and whole classes, as a person calls for them.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use std::path::{Path, PathBuf};
use std::process::Command;

/// Calls the command; gives its exit status and what it said on standard error.
fn cueleaf(arguments: &[&str]) -> (i32, String) {
    let done = Command::new(env!("CARGO_BIN_EXE_cueleaf"))
        .args(arguments)
        .output()
        .unwrap();
    assert!(done.stdout.is_empty());
    (
        done.status.code().unwrap(),
        String::from_utf8(done.stderr).unwrap(),
    )
}

fn example(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    path.join(name).to_str().unwrap().to_owned()
}

/// Gives a place to write to that does not exist yet.
fn scratch(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&path);
    let _ = std::fs::remove_file(&path);
    path
}

/// Calls for a file of the viola's example and gives what it holds.
fn made(command: &str, more: &[&str]) -> Vec<u8> {
    let file = scratch(&format!("hand-out.{command}{}", more.len()));
    let guide = example("mail-boat-viola.json");
    let mut arguments = vec![command, &guide, "-o", file.to_str().unwrap()];
    arguments.extend(more);
    assert_eq!(cueleaf(&arguments), (0, String::new()));
    std::fs::read(file).unwrap()
}

#[test]
fn captions_chapters_and_times_lie_on_the_recording() {
    let text = |command, more: &[&str]| String::from_utf8(made(command, more)).unwrap();
    for command in ["captions", "chapters"] {
        let plain = text(command, &[]);
        assert!(
            plain.starts_with("WEBVTT\n\n1\n00:00:00.000 --> "),
            "{plain}"
        );
        let later = text(command, &["--part", "viola", "--offset", "3600.25"]);
        assert!(
            later.starts_with("WEBVTT\n\n1\n01:00:00.250 --> "),
            "{later}"
        );
        assert_eq!(
            plain.matches(" --> ").count(),
            later.matches(" --> ").count()
        );
    }
    let plain = text("times", &[]);
    assert!(plain.starts_with("0:00 "), "{plain}");
    let later = text("times", &["--offset", "61"]);
    assert!(later.starts_with("1:01 "), "{later}");
    assert!(plain.lines().count() > 1);
}

#[test]
fn what_the_recording_cuts_is_told() {
    let guide = example("mail-boat-viola.json");
    let file = scratch("cut.txt");
    let file = file.to_str().unwrap();
    let (status, told) = cueleaf(&["times", &guide, "--offset", "-1.5", "-o", file]);
    assert_eq!(status, 0);
    assert!(told.contains("[cut-by-the-recording]"), "{told}");
    for offset in ["1e9", "nan"] {
        let (status, told) = cueleaf(&["times", &guide, "--offset", offset, "-o", file]);
        assert_eq!(status, 2);
        assert!(told.contains("up to 100 hours"), "{told}");
    }
    let (status, _) = cueleaf(&["captions", &guide, "--part", "Tuba", "-o", file]);
    assert_eq!(status, 2);
}

#[test]
fn music_is_written() {
    let midi = made("midi", &[]);
    assert!(midi.starts_with(b"MThd\0\0\0\x06\0\x01\0\x02"));
    for (rate, hertz) in [("44100", 44_100_u32), ("48000", 48_000)] {
        let wav = made("click", &["--rate", rate, "--sound", "wooden"]);
        assert!(wav.starts_with(b"RIFF"));
        assert_eq!(wav[24..28], hertz.to_le_bytes());
    }
    let guide = example("mail-boat-viola.json");
    let file = scratch("rate.wav");
    let (status, told) = cueleaf(&[
        "click",
        &guide,
        "--rate",
        "8000",
        "-o",
        file.to_str().unwrap(),
    ]);
    assert_eq!(status, 2);
    assert!(told.contains("44100 or 48000"), "{told}");
    assert!(!file.exists());
}

#[test]
fn a_folder_of_guides_becomes_a_class() {
    let from = scratch("class");
    std::fs::create_dir(&from).unwrap();
    for part in ["viola", "cello"] {
        let name = format!("mail-boat-{part}.json");
        std::fs::copy(example(&name), from.join(name)).unwrap();
    }
    std::fs::write(from.join("list.html"), "<p>no guide").unwrap();
    std::fs::write(from.join("part.pdf"), "no guide").unwrap();
    let from = from.to_str().unwrap();
    let (file, folder) = (scratch("class.zip"), scratch("class-out"));
    let export = |to: &Path| cueleaf(&["export", "--all", from, "-o", to.to_str().unwrap()]);
    if cueleaf_bundle::player().is_none() {
        let (status, told) = export(&file);
        assert_eq!(status, 1);
        assert!(told.contains("without the player"), "{told}");
        return;
    }
    for to in [&file, &folder] {
        let (status, told) = export(to);
        assert_eq!(status, 0, "{told}");
        assert!(told.starts_with("note: ") && told.contains("list.html: this is no guide"));
        assert_eq!(told.lines().count(), 1);
    }
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "The-Mail-Boat-Sets-Out-Cello.html",
            "The-Mail-Boat-Sets-Out-Viola.html",
            "index.html"
        ]
    );
    let index = std::fs::read_to_string(folder.join("index.html")).unwrap();
    assert!(index.contains("<a href=The-Mail-Boat-Sets-Out-Cello.html>Cello</a>"));
    let zip = std::fs::read(&file).unwrap();
    export(&file);
    assert_eq!(std::fs::read(&file).unwrap(), zip);
    // What comes out would be taken in the next time.
    let (status, told) = export(Path::new(from));
    assert_eq!(status, 2);
    assert!(told.contains("another place"), "{told}");
}

#[test]
fn all_and_one_exclude_each_other() {
    let guide = example("mail-boat-viola.json");
    for arguments in [
        vec!["export", "-o", "x.html"],
        vec!["export", &guide, "--all", &guide, "-o", "x.zip"],
        vec!["export", "--all", &guide, "--part", "Viola", "-o", "x.zip"],
    ] {
        assert_eq!(cueleaf(&arguments).0, 2);
    }
    assert!(!Path::new("x.zip").exists());
}

#[test]
fn the_overview_is_a_page_of_all_parts() {
    let text = String::from_utf8(made("overview", &[])).unwrap();
    assert!(text.starts_with("<!DOCTYPE html>"));
    for expected in [
        "The Mail Boat Sets Out",
        "Round the island",
        "<table>",
        "class=box",
    ] {
        assert!(text.contains(expected), "{expected}");
    }
    assert!(!text.contains("<script"));
}
