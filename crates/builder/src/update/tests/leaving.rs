//! Edits are not lost when a document leaves the page in the very moment in
//! which it is written.

use super::{Page, SCORE, typed};
use crate::msg::{DeskMsg, Effect, Fact, KeepOrder, Keeping, Msg, Opening, Outcome};
use crate::state::{Again, Keep, Screen};
use cueleaf_guide::{Guide, Id, open, save};

fn section(text: &str) -> Option<String> {
    open(text).unwrap().road_map.measures[0].section.clone()
}

fn answer_to(page: &mut Page, id: &str, outcome: Outcome) {
    page.send(Msg::Keeping(Keeping::Done {
        id: id.to_owned(),
        outcome,
    }));
}

fn other() -> Vec<u8> {
    save(&Guide::new(Id::new("other").unwrap(), "Other")).into_bytes()
}

#[test]
fn leaving_writes_at_once() {
    let mut page = typed();
    page.fact(Fact::Section, "A");
    assert_eq!(page.open_desk().keep, Keep::Soon);
    page.send(Msg::Opening(Opening::Home));
    assert_eq!(section(&page.kept().text).as_deref(), Some("A"));
    assert!(page.state().would_lose());
    page.answer(Outcome::Kept(2));
    assert!(!page.state().would_lose());
    assert_eq!(page.asked.last(), Some(&Effect::List));
}

#[test]
fn what_came_while_writing_is_written_after_it() {
    let mut page = typed();
    page.fact(Fact::Section, "A")
        .send(Msg::Keeping(Keeping::Now))
        .fact(Fact::Section, "B");
    assert_eq!(page.open_desk().keep, Keep::Writing(Again::Yes));
    let before = page.keeps();
    page.send(Msg::Opening(Opening::Home));
    // A second order now would meet the revision that the first one makes.
    assert_eq!(page.keeps(), before);
    page.answer(Outcome::Kept(2));
    let KeepOrder { expected, text, .. } = page.kept().clone();
    assert_eq!(expected, Some(2));
    assert_eq!(section(&text).as_deref(), Some("B"));
    page.answer(Outcome::Kept(3));
    assert!(!page.state().would_lose());
}

#[test]
fn what_could_not_be_kept_comes_back() {
    for outcome in [Outcome::Conflict, Outcome::Failed("full.".to_owned())] {
        let mut page = typed();
        page.fact(Fact::Section, "A")
            .send(Msg::Opening(Opening::Home))
            .answer(outcome.clone());
        assert_eq!(
            page.guide().road_map.measures[0].section.as_deref(),
            Some("A")
        );
        assert!(!page.state().notice.as_ref().unwrap().choices.is_empty());
        assert!(matches!(
            (&page.open_desk().keep, outcome),
            (Keep::Conflict, Outcome::Conflict) | (Keep::Off(_), Outcome::Failed(_))
        ));
        page.desk(DeskMsg::Undo);
        assert_eq!(page.guide().road_map.measures[0].section, None);
    }
}

#[test]
fn what_could_not_be_kept_is_offered_when_another_is_open() {
    let mut page = typed();
    page.fact(Fact::Section, "A");
    let id = page.guide().id.to_string();
    page.own("other.json", &other());
    assert_eq!(page.guide().title, "Other");
    answer_to(&mut page, &id, Outcome::Conflict);
    assert!(
        page.notice().contains("“Untitled” could not be kept"),
        "{}",
        page.notice()
    );
    assert_eq!(page.guide().title, "Other");
    page.send(Msg::Keeping(Keeping::DownloadRescued));
    let Some(Effect::Download { text, .. }) = page.asked.last() else {
        panic!("no download");
    };
    assert_eq!(section(text).as_deref(), Some("A"));
    // The other document was not touched by the answer.
    assert_eq!(page.open_desk().keep, Keep::Writing(Again::No));
    answer_to(&mut page, "other", Outcome::Kept(1));
    assert_eq!(page.open_desk().keep, Keep::Kept);
}

#[test]
fn a_document_that_is_being_written_opens_as_it_is() {
    let mut page = typed();
    page.fact(Fact::Section, "A");
    let id = page.guide().id.to_string();
    page.send(Msg::Opening(Opening::Home))
        .send(Msg::Keeping(Keeping::Open(id)));
    assert_eq!(
        page.guide().road_map.measures[0].section.as_deref(),
        Some("A")
    );
    assert!(!page.asked.iter().any(|e| matches!(e, Effect::Load(_))));
    page.answer(Outcome::Kept(2));
    assert_eq!(page.open_desk().keep, Keep::Kept);
}

#[test]
fn a_document_put_aside_that_could_not_be_kept_comes_back() {
    let mut page = typed();
    page.fact(Fact::Section, "A")
        .file("chestnuts.musicxml", SCORE);
    assert!(matches!(page.state().screen, Screen::Parts(_)));
    page.answer(Outcome::Conflict);
    assert_eq!(page.open_desk().keep, Keep::Conflict);
    // What the message offers can be done.
    page.send(Msg::Keeping(Keeping::AsCopy));
    assert_eq!(section(&page.kept().text).as_deref(), Some("A"));
}

#[test]
fn the_answer_for_the_one_that_left_is_not_taken_for_the_open_one() {
    let mut page = typed();
    page.fact(Fact::Section, "A");
    let same = save(page.guide());
    page.own("same.json", same.as_bytes());
    // First the answer for the one that left, then that for the opened file.
    page.answer(Outcome::Kept(2));
    assert_eq!(page.open_desk().keep, Keep::Writing(Again::No));
    page.answer(Outcome::Conflict);
    assert_eq!(page.open_desk().keep, Keep::Conflict);
}
