//! Every way to a document, and every way that leads to none.

use super::{Page, SCORE, typed};
use crate::examples::EXAMPLES;
use crate::msg::{DeskMsg, Effect, Fact, GuideField, Keeping, Msg, Opening, Outcome};
use crate::state::{Keep, KeptTexts, Room, Screen, Tone};
use cueleaf_export::{PlayerFiles, guide_page};
use cueleaf_guide::{Guide, open, save};

fn guide() -> Guide {
    let text = include_str!("../../../../../examples/mail-boat-viola.json");
    open(text).unwrap()
}

#[test]
fn each_example_opens() {
    for (index, example) in EXAMPLES.iter().enumerate() {
        let mut page = Page::new();
        page.send(Msg::Opening(Opening::Example(index)));
        match &page.state().screen {
            Screen::Desk(desk) => {
                let opened = desk.guide();
                let part = opened.parts[0].name.to_lowercase();
                let named = format!("{}, {part}", opened.title).to_lowercase();
                assert_eq!(example.title.to_lowercase(), named);
                assert_eq!(desk.keep, Keep::Untouched);
                // It is a guide of her own, and kept only once she changes it.
                let own = open(core::str::from_utf8(example.bytes).unwrap()).unwrap();
                assert_ne!(opened.id, own.id);
                assert_eq!(page.keeps(), 0);
                page.fact(Fact::Section, "Mine")
                    .send(Msg::Keeping(Keeping::Now));
                assert_eq!(page.kept().expected, None);
            }
            Screen::Parts(choice) => {
                assert_eq!(choice.score.title, example.title);
                page.send(Msg::Opening(Opening::TogglePart(0)))
                    .send(Msg::Opening(Opening::MakeGuide));
                assert_eq!(page.guide().title, example.title);
            }
            other => panic!("{}: {other:?}", example.name),
        }
    }
    let mut page = Page::new();
    page.send(Msg::Opening(Opening::Example(EXAMPLES.len())));
    assert!(matches!(page.state().screen, Screen::Home(_)));
}

#[test]
fn a_saved_guide_and_a_handed_out_page_open_as_they_were() {
    let player = PlayerFiles {
        start: "x",
        live_hash: "'sha256-x'",
        style: "y",
        packed: &[1],
    };
    for text in [save(&guide()), guide_page(&guide(), &player)] {
        let mut page = Page::new();
        page.file("viola", text.as_bytes());
        assert_eq!(*page.guide(), guide());
        assert_eq!(page.kept().text, save(&guide()));
        page.answer(Outcome::Kept(1));
        assert_eq!(page.open_desk().keep, Keep::Kept);
    }
}

#[test]
fn a_kept_guide_opens_with_its_revision() {
    let mut page = Page::new();
    let id = guide().id.to_string();
    page.send(Msg::Keeping(Keeping::Open(id.clone())));
    assert_eq!(page.asked.last(), Some(&Effect::Load(id.clone())));
    page.send(Msg::Keeping(Keeping::Loaded {
        id,
        revision: 41,
        texts: KeptTexts {
            guide: save(&guide()),
            notes: None,
            dropped: None,
        },
    }));
    assert_eq!(page.open_desk().keep, Keep::Kept);
    assert_eq!(page.keeps(), 0);
    page.desk(DeskMsg::GuideField(GuideField::Word, "Hello".to_owned()))
        .send(Msg::Keeping(Keeping::Now));
    assert_eq!(page.kept().expected, Some(41));
}

#[test]
fn several_parts_share_one_road_map() {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE);
    for index in [0, 2, 1, 1] {
        page.send(Msg::Opening(Opening::TogglePart(index)));
    }
    page.send(Msg::Opening(Opening::TogglePart(9)))
        .send(Msg::Opening(Opening::MakeGuide));
    let names: Vec<&str> = page.guide().parts.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["Violin", "Cello"]);
    assert_eq!(page.open_desk().derived.name(0), "0");
}

#[test]
fn the_typed_form_says_what_is_wrong_and_where() {
    let field =
        |name: &str, text: &str| Msg::Opening(Opening::Field(name.to_owned(), text.to_owned()));
    let mut page = Page::new();
    page.send(Msg::Opening(Opening::ToggleForm));
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus("new-title".to_owned()))
    );
    page.send(field("title", "The Ferry"))
        .send(field("meter", "x"))
        .send(Msg::Opening(Opening::MakeTyped));
    let Screen::Home(home) = &page.state().screen else {
        panic!("the form is gone");
    };
    assert_eq!(home.problem.as_ref().unwrap().0, "meter");
    assert_eq!(home.form.as_ref().unwrap().title, "The Ferry");
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus("new-meter".to_owned()))
    );
    page.send(field("meter", "7/8"))
        .send(field("measures", "12"))
        .send(field("colour", "red"))
        .send(Msg::Opening(Opening::MakeTyped));
    assert_eq!(page.guide().title, "The Ferry");
    assert_eq!(page.guide().road_map.measures.len(), 12);
    assert_eq!(page.kept().expected, None);
}

#[test]
fn reading_and_choosing_can_be_given_up() {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE);
    page.send(Msg::Opening(Opening::Cancel));
    assert!(matches!(page.state().screen, Screen::Home(_)));

    // With a document open, it comes back as it was, with its past.
    let mut page = typed();
    page.fact(Fact::Section, "A")
        .file("chestnuts.musicxml", SCORE);
    assert!(matches!(page.state().screen, Screen::Parts(_)));
    page.answer(Outcome::Kept(2))
        .send(Msg::Opening(Opening::Cancel));
    assert_eq!(page.open_desk().keep, Keep::Kept);
    page.desk(DeskMsg::Undo);
    assert_eq!(page.guide().road_map.measures[0].section, None);
}

#[test]
fn a_file_that_never_came_is_told() {
    let mut page = typed();
    let before = page.guide().clone();
    page.send(Msg::Opening(Opening::NoFile(
        "huge.xml".to_owned(),
        "It is too large.".to_owned(),
    )));
    assert_eq!(page.notice(), "“huge.xml” was not opened. It is too large.");
    assert_eq!(page.state().notice.as_ref().unwrap().tone, Tone::Trouble);
    assert_eq!(*page.guide(), before);
    page.send(Msg::CloseNotice);
    assert_eq!(page.notice(), "");
}

#[test]
fn the_browser_is_asked_for_a_file() {
    let mut page = Page::new();
    page.send(Msg::Opening(Opening::ChooseFile));
    assert_eq!(page.asked, [Effect::AskForFile]);
}

#[test]
fn without_storage_a_document_opens_all_the_same() {
    let mut page = Page::new();
    page.send(Msg::Keeping(Keeping::Listed(Err("no storage.".to_owned()))))
        .file("viola.json", save(&guide()).as_bytes());
    assert_eq!(page.open_desk().keep, Keep::Off("no storage.".to_owned()));
    page.desk(DeskMsg::Room(Room::HandOut))
        .desk(DeskMsg::GuideField(GuideField::Title, "Mine".to_owned()));
    assert_eq!(page.keeps(), 0);
    assert!(page.state().would_lose());
    page.send(Msg::Opening(Opening::Home));
    assert!(page.notice().contains("not kept"));
    page.send(Msg::Opening(Opening::Abandon));
    assert!(matches!(page.state().screen, Screen::Home(_)));
}
