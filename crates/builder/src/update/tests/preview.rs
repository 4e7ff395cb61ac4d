//! The student's page beside the rooms follows the document.

use super::{Page, SCORE, typed};
use crate::edit::tips::TipChange;
use crate::msg::{DeskMsg, Effect, Fact, GuideField, Msg, Opening};
use crate::state::{Preview, Room};
use cueleaf_guide::Guide;

/// Gives the guides that were shown and sent, in order.
fn sent(page: &Page) -> Vec<(&'static str, &Guide)> {
    page.asked
        .iter()
        .filter_map(|effect| match effect {
            Effect::ShowPreview(guide) => Some(("show", guide.as_ref())),
            Effect::UpdatePreview(guide) => Some(("update", guide.as_ref())),
            _ => None,
        })
        .collect()
}

fn kinds(page: &Page) -> Vec<&'static str> {
    sent(page).into_iter().map(|(kind, _)| kind).collect()
}

#[test]
fn it_is_made_once_and_then_follows_each_edit() {
    let mut page = typed();
    page.fact(Fact::Section, "A");
    assert!(kinds(&page).is_empty());
    page.desk(DeskMsg::Room(Room::TryIt));
    assert_eq!(page.open_desk().preview, Preview::Loading);
    assert_eq!(kinds(&page), ["show"]);
    page.desk(DeskMsg::PreviewReady);
    assert_eq!(page.open_desk().preview, Preview::Following);
    assert_eq!(kinds(&page), ["show", "update"]);
    page.fact(Fact::Section, "B").desk(DeskMsg::Undo);
    assert_eq!(kinds(&page), ["show", "update", "update", "update"]);
    let last = sent(&page).pop().unwrap().1;
    assert_eq!(last.road_map.measures[0].section.as_deref(), Some("A"));
    // Away and back: the frame is still there and keeps its place.
    page.desk(DeskMsg::Room(Room::RoadMap))
        .desk(DeskMsg::Room(Room::TryIt));
    assert_eq!(kinds(&page).len(), 4);
    // What changes nothing sends nothing.
    page.fact(Fact::Section, "A");
    assert_eq!(kinds(&page).len(), 4);
}

#[test]
fn edits_while_it_loads_reach_it() {
    let mut page = typed();
    page.desk(DeskMsg::ToggleBeside).fact(Fact::Section, "Late");
    assert_eq!(kinds(&page), ["show"]);
    page.desk(DeskMsg::PreviewReady);
    let last = sent(&page).pop().unwrap();
    assert_eq!(last.0, "update");
    assert_eq!(last.1.road_map.measures[0].section.as_deref(), Some("Late"));
    page.desk(DeskMsg::PreviewReady);
    assert_eq!(kinds(&page).len(), 2);
    page.desk(DeskMsg::ToggleBeside);
    assert!(!page.open_desk().shows_preview());
}

#[test]
fn it_shows_what_the_chosen_part_gets() {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE);
    for index in 0..3 {
        page.send(Msg::Opening(Opening::TogglePart(index)));
    }
    page.send(Msg::Opening(Opening::MakeGuide))
        .desk(DeskMsg::AddTip);
    let tip = page.guide().tips[0].id.clone();
    let parts: Vec<_> = page.guide().parts.iter().map(|p| p.id.clone()).collect();
    // A tip that says nothing yet is nothing for the student.
    assert!(page.open_desk().tried().tips.is_empty());
    page.desk(DeskMsg::Tip(
        tip.clone(),
        TipChange::Text("Pluck".to_owned()),
    ))
    .desk(DeskMsg::TipPart(tip, parts[0].clone()))
    .desk(DeskMsg::Room(Room::TryIt))
    .desk(DeskMsg::PreviewReady);
    let (_, first) = sent(&page).pop().unwrap();
    assert_eq!((first.parts.len(), first.tips.len()), (1, 0));
    page.desk(DeskMsg::TryPart(parts[2].to_string()));
    let (_, cello) = sent(&page).pop().unwrap();
    assert_eq!(cello.parts[0].id, parts[2]);
    assert_eq!(cello.tips[0].text, "Pluck");
    // A part that does not exist is the first one.
    page.desk(DeskMsg::TryPart("nobody".to_owned()));
    assert_eq!(sent(&page).pop().unwrap().1.parts[0].id, parts[0]);
}

#[test]
fn it_is_made_anew_after_a_file_was_read_and_given_up() {
    let mut page = typed();
    page.desk(DeskMsg::Room(Room::TryIt))
        .desk(DeskMsg::PreviewReady)
        .desk(DeskMsg::GuideField(GuideField::Title, "Ferry".to_owned()))
        .file("chestnuts.musicxml", SCORE);
    let before = kinds(&page).len();
    page.send(Msg::Opening(Opening::Cancel));
    let all = sent(&page);
    assert_eq!(all.len(), before + 1);
    assert_eq!(
        (all[before].0, all[before].1.title.as_str()),
        ("show", "Ferry")
    );
    assert_eq!(page.open_desk().preview, Preview::Loading);
}
