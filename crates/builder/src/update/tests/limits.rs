//! Edits that would make a guide that could not be opened again.

use super::{Page, typed};
use crate::edit::tips::TipChange;
use crate::msg::{AddingMsg, DeskMsg, Effect, Extend, Msg, Outcome};
use crate::state::{Keep, Room, Tone};
use cueleaf_guide::{Guide, Id, MAX_MEASURES, MAX_TEXT, Measure, save};
use std::rc::Rc;

fn of_measures(count: usize) -> Vec<u8> {
    let mut guide = Guide::new(Id::new("long").unwrap(), "Long");
    guide.road_map.measures = vec![Measure::labelled(""); count];
    guide.road_map.measures[0].meter = "4/4".parse().ok();
    save(&guide).into_bytes()
}

fn opened(bytes: &[u8]) -> Page {
    let mut page = Page::new();
    page.file("long.json", bytes).answer(Outcome::Kept(1));
    page
}

#[test]
fn measures_above_the_limit_are_refused_and_nothing_changes() {
    let mut page = opened(&of_measures(MAX_MEASURES - 1));
    page.desk(DeskMsg::Select(0, Extend::No))
        .desk(DeskMsg::Select(1, Extend::Yes));
    let before = Rc::clone(page.guide_rc());
    page.asked.clear();
    page.desk(DeskMsg::DuplicateMeasures);
    assert!(Rc::ptr_eq(&before, page.guide_rc()));
    assert_eq!(
        page.notice(),
        "Nothing was changed: that would be 200001 measures, and a guide can have 200000."
    );
    assert_eq!(page.state().notice.as_ref().unwrap().tone, Tone::Trouble);
    assert_eq!(page.open_desk().keep, Keep::Kept);
    assert_eq!(page.open_desk().history.undo_words(), None);
    assert!(!page.asked.iter().any(|own| matches!(own, Effect::Say(_))));
    // One more has room.
    page.desk(DeskMsg::InsertMeasure);
    assert_eq!(page.guide().road_map.measures.len(), MAX_MEASURES);
}

#[test]
fn a_text_above_the_limit_is_refused_and_what_is_added_too() {
    let mut page = typed();
    page.desk(DeskMsg::Room(Room::Tips)).desk(DeskMsg::AddTip);
    let tip = page.open_desk().open_tip.clone().unwrap();
    let long = "x".repeat(MAX_TEXT + 1);
    page.desk(DeskMsg::Tip(tip.clone(), TipChange::Text(long)));
    assert_eq!(page.guide().tips[0].text, "");
    assert!(page.notice().contains("20001 characters in one text"));
    page.desk(DeskMsg::Tip(tip, TipChange::Text("Mine".to_owned())));

    let parts = |from: usize| {
        let mut guide = page.guide().clone();
        guide.id = Id::new("other").unwrap();
        let part = |index: usize| cueleaf_guide::Part {
            id: Id::new(&format!("p{}", from + index)).unwrap(),
            name: format!("Part {}", from + index),
            marks: Vec::new(),
            extra: Default::default(),
        };
        guide.parts = (0..150).map(part).collect();
        save(&guide).into_bytes()
    };
    let (first, second) = (parts(0), parts(150));
    page.file("one.json", &first)
        .send(Msg::Adding(AddingMsg::Add));
    let before = page.guide().clone();
    let found = page.open_desk().from_file.clone();
    page.file("two.json", &second)
        .send(Msg::Adding(AddingMsg::Add));
    assert_eq!(page.guide(), &before);
    assert_eq!(page.open_desk().from_file, found);
    assert!(
        page.notice().contains("a guide can have 200"),
        "{}",
        page.notice()
    );
}

#[test]
fn bytes_are_told_in_what_a_teacher_can_do() {
    let over = cueleaf_guide::TooLarge {
        what: "bytes",
        limit: cueleaf_guide::MAX_SAVED_BYTES,
        actual: cueleaf_guide::MAX_SAVED_BYTES + 1,
    };
    let text = crate::update::desk::refused_words(over);
    assert_eq!(
        text,
        "Nothing was changed: the guide would take more than 67 MB, and could not be opened \
         again. Photos and voice notes weigh most."
    );
}
