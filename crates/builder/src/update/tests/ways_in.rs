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
                assert_eq!(choice.score.value.title, example.title);
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
            watch: None,
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

/// A score in two parts of so many measures of eighth notes.
fn long_score(measures: usize) -> String {
    let note = |step: char| {
        format!(
            "<note><pitch><step>{step}</step><octave>4</octave></pitch><duration>1</duration></note>"
        )
    };
    let notes: String = "CDEFGABC".chars().map(note).collect();
    let first = "<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>";
    let music: String = (1..=measures)
        .map(|number| {
            let first = if number == 1 { first } else { "" };
            format!("<measure number=\"{number}\">{first}{notes}</measure>")
        })
        .collect();
    format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Violin</part-name></score-part>\
         <score-part id=\"P2\"><part-name>Cello</part-name></score-part></part-list>\
         <part id=\"P1\">{music}</part><part id=\"P2\">{music}</part></score-partwise>"
    )
}

/// Takes in one message, without what would follow by itself; gives what the page is asked for.
fn one(page: &mut Page, msg: Msg) -> Vec<Effect> {
    let (state, effects) = crate::update(page.state.take().unwrap(), msg);
    page.state = Some(state);
    effects
}

#[test]
fn a_long_score_is_looked_through_in_steps_that_can_be_stopped() {
    let mut page = Page::new();
    page.file("long.musicxml", long_score(1_500).as_bytes())
        .send(Msg::Opening(Opening::TogglePart(0)))
        .send(Msg::Opening(Opening::TogglePart(1)));
    let on = Msg::Opening(Opening::MakeOn);
    let mut effects = one(&mut page, Msg::Opening(Opening::MakeGuide));
    let mut percents = Vec::new();
    while let Screen::Making(making) = &page.state().screen {
        assert!(effects.contains(&Effect::After(0, on.clone())));
        let last = making.is_done();
        assert!(last || ["Violin", "Cello"].contains(&making.part_name()));
        percents.push(making.percent());
        effects = one(&mut page, on.clone());
    }
    assert!(percents.len() > 4, "{percents:?}");
    assert!(percents.is_sorted() && percents.last() == Some(&100));
    let list = page.open_desk().watch_list.clone().unwrap();

    // The same by one step, as a short score is.
    let score = cueleaf_read::read_score(long_score(1_500).into_bytes()).unwrap();
    let parts: Vec<_> = page
        .guide()
        .parts
        .iter()
        .map(|part| part.id.clone())
        .collect();
    let found = parts.into_iter().enumerate();
    let found =
        found.map(|(index, id)| (id, cueleaf_watch::watch(&score.value, index, page.guide())));
    assert_eq!(
        list,
        crate::proposals::WatchList::of(found.collect(), 1_500)
    );

    let mut page = Page::new();
    page.file("long.musicxml", long_score(1_500).as_bytes())
        .send(Msg::Opening(Opening::TogglePart(1)));
    one(&mut page, Msg::Opening(Opening::MakeGuide));
    assert!(matches!(page.state().screen, Screen::Making(_)));
    one(&mut page, Msg::Opening(Opening::Cancel));
    let Screen::Parts(choice) = &page.state().screen else {
        panic!("the choice of parts is gone");
    };
    assert_eq!(choice.chosen, [false, true]);
    // What was on its way comes too late.
    assert!(one(&mut page, on).is_empty());
    page.send(Msg::Opening(Opening::MakeGuide));
    assert_eq!(page.guide().parts[0].name, "Cello");
}
