//! Other files: made, told about, weighed.

use super::{Page, SCORE, typed};
use crate::edit::tips::TipChange;
use crate::handing::OtherFile;
use crate::msg::{DeskMsg, Effect, Fact, GuideField, HandMsg, Msg, Opening};
use crate::state::Room;
use crate::update::desk::hand::{frame_text, make};
use crate::view::fragments;
use cueleaf_export::{ClickTrack, PlayerFiles};

fn hand(page: &mut Page, msg: HandMsg) -> &mut Page {
    page.desk(DeskMsg::Hand(msg))
}

/// Violin, viola and cello with a tip for all and one for the viola alone.
fn three_parts() -> Page {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE);
    for part in 0..3 {
        if matches!(&page.state().screen, crate::state::Screen::Parts(choice) if !choice.chosen[part])
        {
            page.send(Msg::Opening(Opening::TogglePart(part)));
        }
    }
    page.send(Msg::Opening(Opening::MakeGuide));
    assert_eq!(page.guide().parts.len(), 3);
    for (measure, text) in [("3", "Breathe"), ("5", "Only the viola")] {
        page.desk(DeskMsg::SelectText(measure.to_owned()))
            .desk(DeskMsg::AddTip);
        let id = page.open_desk().open_tip.clone().unwrap();
        page.desk(DeskMsg::Tip(id.clone(), TipChange::Text(text.to_owned())));
        if text != "Breathe" {
            for index in [0, 2] {
                let part = page.guide().parts[index].id.clone();
                page.desk(DeskMsg::TipPart(id.clone(), part));
            }
        }
        page.desk(DeskMsg::CloseTip);
    }
    page.desk(DeskMsg::Room(Room::HandOut));
    page
}

fn choose(page: &mut Page, part: usize) {
    let id = page.guide().parts[part].id.to_string();
    hand(page, HandMsg::Part(id));
}

/// Makes a file; gives its name, its media type and its text.
fn text(page: &mut Page, file: OtherFile) -> (String, &'static str, String) {
    page.asked.clear();
    hand(page, HandMsg::Make(file));
    match page.asked.first() {
        Some(Effect::Download { name, media, text }) => (name.clone(), media, text.clone()),
        other => panic!("{other:?}"),
    }
}

fn clicks(page: &mut Page) -> (String, std::rc::Rc<ClickTrack>) {
    page.asked.clear();
    hand(page, HandMsg::Make(OtherFile::Clicks));
    match page.asked.first() {
        Some(Effect::DownloadClicks(name, track)) => (name.clone(), track.clone()),
        other => panic!("{other:?}"),
    }
}

/// Gives what stands in the room.
fn shown(page: &Page) -> String {
    let all = fragments(page.state());
    let own = all.into_iter().find(|(key, _)| key == "hand-out");
    own.unwrap().1
}

#[test]
fn texts_beside_a_recording_are_of_the_chosen_part() {
    let mut page = three_parts();
    let (name, media, all) = text(&mut page, OtherFile::Captions);
    assert!(name.ends_with("-tips.vtt") && media == "text/vtt");
    assert!(all.contains("Breathe") && all.contains("Only the viola"));
    choose(&mut page, 2);
    let (name, _, own) = text(&mut page, OtherFile::Captions);
    assert!(name.contains(&page.guide().parts[2].name), "{name}");
    assert!(own.contains("Breathe") && !own.contains("Only the viola"));
    let (name, _, chapters) = text(&mut page, OtherFile::Chapters);
    assert!(
        name.ends_with("-sections.vtt") && chapters.starts_with("WEBVTT\n\n1\n00:00:00.000 -->")
    );
    let (name, media, times) = text(&mut page, OtherFile::Times);
    assert!(name.ends_with("-times.txt") && media == "text/plain");
    assert!(times.starts_with("0:00 "), "{times}");
    // A part that is gone by now is the whole.
    hand(&mut page, HandMsg::Part("gone".to_owned()));
    assert_eq!(text(&mut page, OtherFile::Captions).2, all);
}

#[test]
fn the_offset_moves_the_times_or_says_what_to_write() {
    let mut page = three_parts();
    hand(&mut page, HandMsg::Offset("3600,25".to_owned()));
    let (_, _, chapters) = text(&mut page, OtherFile::Chapters);
    assert!(
        chapters.starts_with("WEBVTT\n\n1\n01:00:00.250 -->"),
        "{chapters}"
    );
    hand(&mut page, HandMsg::Offset("soon".to_owned()));
    page.asked.clear();
    hand(&mut page, HandMsg::Make(OtherFile::Chapters));
    assert_eq!(page.asked, [Effect::Focus("hand-offset".to_owned())]);
    assert!(shown(&page).contains("value=\"soon\"") && shown(&page).contains("Write seconds"));
    // What has nothing to do with a recording is made all the same.
    clicks(&mut page);
}

#[test]
fn what_is_found_stands_beside_the_button_until_the_guide_changes() {
    let mut page = three_parts();
    hand(&mut page, HandMsg::Offset("-100".to_owned()));
    text(&mut page, OtherFile::Captions);
    let html = shown(&page);
    let after = html.split_once("hand-file-captions").unwrap().1;
    let list = after.find("file-findings").unwrap();
    assert!(list < after.find("hand-file-chapters").unwrap());
    page.desk(DeskMsg::GuideField(GuideField::Title, "Another".to_owned()));
    assert!(!shown(&page).contains("file-findings"));
}

#[test]
fn what_cannot_be_made_says_why() {
    let mut page = typed();
    page.desk(DeskMsg::Room(Room::HandOut))
        .fact(Fact::TempoUnit, "quarter")
        .fact(Fact::TempoNumber, "1");
    page.asked.clear();
    hand(&mut page, HandMsg::Make(OtherFile::Midi));
    let saved = page
        .asked
        .iter()
        .any(|effect| matches!(effect, Effect::DownloadBytes { .. }));
    assert!(!saved, "{:?}", page.asked);
    assert!(shown(&page).contains("MIDI has no tempo slower than"));
    assert!(
        page.asked
            .contains(&Effect::Say("No file was made.".to_owned()))
    );
}

#[test]
fn midi_and_clicks_are_what_their_heads_say() {
    let mut page = three_parts();
    hand(&mut page, HandMsg::Make(OtherFile::Midi));
    let midi = page.asked.iter().find_map(|effect| match effect {
        Effect::DownloadBytes { name, media, bytes } => Some((name, *media, bytes)),
        _ => None,
    });
    let (name, media, bytes) = midi.unwrap();
    assert!(name.ends_with(".mid") && media == "audio/midi");
    assert!(bytes.starts_with(b"MThd\0\0\0\x06\0\x01\0\x02"));

    let (name, slow) = clicks(&mut page);
    assert!(name.ends_with(".wav"));
    hand(&mut page, HandMsg::Rate("44100".to_owned()));
    hand(&mut page, HandMsg::Sound("dry".to_owned()));
    let (_, dry) = clicks(&mut page);
    let rate_of = |track: &ClickTrack| {
        let head = track.pieces().next().unwrap();
        u32::from_le_bytes(head[24..28].try_into().unwrap())
    };
    assert_eq!([rate_of(&slow), rate_of(&dry)], [48_000, 44_100]);
    hand(&mut page, HandMsg::Sound("wooden".to_owned()));
    let (_, wooden) = clicks(&mut page);
    assert_eq!(wooden.bytes(), dry.bytes());
    assert_ne!(wooden, dry);
}

#[test]
fn a_zip_holds_all_parts_whichever_is_chosen() {
    let mut page = three_parts();
    choose(&mut page, 1);
    let player = PlayerFiles {
        start: "x",
        live_hash: "'sha256-x'",
        style: "y",
        packed: &[1],
    };
    let mut effects = Vec::new();
    let state = page.state.as_mut().unwrap();
    make(
        state.desk_mut().unwrap(),
        OtherFile::AllParts,
        Some(&player),
        &mut effects,
    );
    let Some(Effect::DownloadBytes { name, media, bytes }) = effects.first() else {
        panic!("{effects:?}");
    };
    assert!(name.ends_with(".zip") && *media == "application/zip");
    assert!(bytes.starts_with(b"PK\x03\x04"));
    let text = String::from_utf8_lossy(bytes);
    for part in &page.guide().parts {
        assert!(
            text.contains(&format!("-{}.html", part.name)),
            "{}",
            part.name
        );
    }
    assert!(text.contains("index.html"));

    let mut none = Vec::new();
    let state = page.state.as_mut().unwrap();
    make(
        state.desk_mut().unwrap(),
        OtherFile::AllParts,
        None,
        &mut none,
    );
    assert_eq!(none, [Effect::Say("No file was made.".to_owned())]);
    assert!(shown(&page).contains("cargo xtask build"));
}

#[test]
fn the_overview_is_of_all_parts_and_leaves_unwritten_tips_out() {
    let mut page = three_parts();
    choose(&mut page, 2);
    page.desk(DeskMsg::AddTip);
    let (name, media, html) = text(&mut page, OtherFile::Overview);
    assert!(name.ends_with("-overview.html") && media == "text/html");
    assert_eq!(html.matches("<th scope=row>").count(), 2);
    assert!(html.contains("Only the viola"));
}

#[test]
fn lines_for_a_class_page_name_the_file_that_is_downloaded() {
    let mut page = three_parts();
    choose(&mut page, 1);
    page.desk(DeskMsg::GuideField(
        GuideField::Title,
        "A \"B\" & <C>".to_owned(),
    ));
    page.asked.clear();
    hand(&mut page, HandMsg::CopyFrame);
    let text = frame_text(page.open_desk());
    assert_eq!(
        page.asked,
        [Effect::Copy(text.clone(), "frame-text".to_owned())]
    );
    let part = &page.guide().parts[1];
    assert!(
        text.contains(&format!("src=\"A-B-C-{}.html\"", part.name)),
        "{text}"
    );
    assert!(
        text.contains("title=\"A &quot;B&quot; &amp; &lt;C&gt; – "),
        "{text}"
    );
    assert!(text.contains(" sandbox=\"allow-scripts\">"));
    hand(&mut page, HandMsg::Copied("Copied."));
    assert!(shown(&page).contains("Copied."));
}

/// Counts what was asked to weigh: at once, and after a while.
fn asked_to_weigh(page: &Page) -> Vec<u32> {
    let weigh = Msg::Desk(DeskMsg::Hand(HandMsg::Weigh));
    page.asked
        .iter()
        .filter_map(|effect| match effect {
            Effect::After(after, msg) if *msg == weigh => Some(*after),
            _ => None,
        })
        .collect()
}

#[test]
fn pages_are_weighed_on_entering_and_after_typing_has_stopped() {
    let mut page = three_parts();
    let known = |page: &Page| {
        let weights = &page.open_desk().handing.weights;
        let guide = page.guide();
        let all = guide.parts.iter();
        all.filter(|part| weights.of(Some(&part.id)).is_some())
            .count()
    };
    assert_eq!(known(&page), 3);
    assert!(!page.open_desk().handing.weights.asked);
    page.asked.clear();
    for text in ["A", "An", "And"] {
        page.desk(DeskMsg::GuideField(GuideField::Title, text.to_owned()));
    }
    // Three keys ask once, and while keys come the pages are not written.
    assert_eq!(asked_to_weigh(&page).len(), 1);
    assert!(asked_to_weigh(&page)[0] > 0);
    hand(&mut page, HandMsg::Weigh);
    assert_eq!(asked_to_weigh(&page).len(), 2);
    assert!(page.open_desk().handing.weights.asked);
    hand(&mut page, HandMsg::Weigh);
    assert!(!page.open_desk().handing.weights.asked);
    assert_eq!(known(&page), 3);
    // Nothing new, nothing to weigh; elsewhere edits weigh nothing.
    page.asked.clear();
    page.desk(DeskMsg::Room(Room::RoadMap))
        .desk(DeskMsg::Room(Room::HandOut))
        .desk(DeskMsg::Room(Room::RoadMap))
        .fact(Fact::Section, "Coda");
    assert!(asked_to_weigh(&page).is_empty());
}
