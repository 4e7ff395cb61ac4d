//! What stays as it was on the desk: the focus, what is folded, what was dropped.

use super::{Page, typed};
use crate::edit::printed::Printed;
use crate::edit::tip_shows::Shows;
use crate::edit::tips::TipChange;
use crate::msg::{DeskMsg, Effect, Extend, Fact, Keeping, Msg, Opening, Outcome, WatchMsg};
use crate::proposals::Deed;
use crate::state::{Folded, Keep, KeptTexts, Room};
use cueleaf_guide::{Place, save};

const MAIL_BOAT: &[u8] = include_bytes!("../../../../../examples/mail-boat.musicxml");

fn focus(id: &str) -> Effect {
    Effect::Focus(id.to_owned())
}

#[test]
fn escape_closes_the_facts_and_gives_the_focus_back() {
    let mut page = typed();
    page.desk(DeskMsg::Select(6, Extend::No))
        .desk(DeskMsg::OpenFacts);
    assert_eq!(page.asked.last(), Some(&focus("facts-title")));
    // A second Enter goes there again, wherever the focus was in between.
    page.asked.clear();
    page.desk(DeskMsg::OpenFacts);
    assert_eq!(page.asked.last(), Some(&focus("facts-title")));
    page.desk(DeskMsg::CloseFacts);
    assert!(!page.open_desk().facts_open);
    assert_eq!(page.asked.last(), Some(&focus("m-6")));
    // The button gets it back when it was the button.
    page.desk(DeskMsg::ToggleFacts).desk(DeskMsg::CloseFacts);
    assert_eq!(page.asked.last(), Some(&focus("open-facts")));
    // On a wide screen the facts are there without having been opened.
    page.desk(DeskMsg::CloseFacts);
    assert_eq!(page.asked.last(), Some(&focus("m-6")));
}

#[test]
fn a_place_is_typed_on_the_map() {
    let mut page = typed();
    let mut type_in = |text: &str| {
        for letter in text.chars() {
            page.desk(DeskMsg::TypePlace(letter));
        }
        let chosen = page.open_desk().selection;
        let focus = page.asked.iter().rev().find_map(|effect| match effect {
            Effect::Focus(id) => Some(id.clone()),
            _ => None,
        });
        (chosen.first() + 1, chosen.last() + 1, focus.unwrap())
    };
    assert_eq!(type_in("13"), (13, 13, "m-12".to_owned()));
    // There is no measure 132; the 2 begins anew, and goes on to a stretch.
    assert_eq!(type_in("2"), (2, 2, "m-1".to_owned()));
    assert_eq!(type_in("0-2"), (20, 20, "m-19".to_owned()));
    assert_eq!(type_in("4"), (20, 24, "m-23".to_owned()));
    page.desk(DeskMsg::Move(1, Extend::No));
    page.desk(DeskMsg::TypePlace('7'));
    assert_eq!(
        page.open_desk().selection.focus,
        6,
        "an arrow ends what was typed"
    );
    page.desk(DeskMsg::TypePlace('-'))
        .desk(DeskMsg::TypePlace('-'));
    assert_eq!(page.open_desk().selection.focus, 6);
}

#[test]
fn a_tip_that_is_done_gives_the_focus_back_to_what_added_it() {
    let mut page = typed();
    let write = |page: &mut Page| {
        let id = page.open_desk().open_tip.clone().unwrap();
        page.desk(DeskMsg::Tip(
            id.clone(),
            TipChange::Text("Frog.".to_owned()),
        ))
        .desk(DeskMsg::CloseTip);
        id
    };
    page.desk(DeskMsg::Select(4, Extend::No))
        .desk(DeskMsg::AddTipFromMap);
    assert!(page.open_desk().facts_open);
    let id = write(&mut page);
    assert_eq!(page.asked.last(), Some(&focus("m-4")));
    assert!(!page.open_desk().facts_open);
    page.desk(DeskMsg::AddTip);
    write(&mut page);
    assert_eq!(page.asked.last(), Some(&focus("add-tip")));
    assert!(!page.open_desk().facts_open);
    // Where the facts were open before, they stay so.
    page.desk(DeskMsg::ToggleFacts)
        .desk(DeskMsg::OpenTip(id.clone()))
        .desk(DeskMsg::CloseTip);
    assert_eq!(page.asked.last(), Some(&focus(&format!("edit-{id}"))));
    assert!(page.open_desk().facts_open);
}

#[test]
fn what_was_refused_in_a_tip_keeps_it_open() {
    let mut page = typed();
    page.desk(DeskMsg::AddTip);
    let id = page.open_desk().open_tip.clone().unwrap();
    page.desk(DeskMsg::Tip(
        id.clone(),
        TipChange::Text("Frog.".to_owned()),
    ))
    .desk(DeskMsg::TipPlace(id.clone(), "51".to_owned()))
    .desk(DeskMsg::TipShows(
        id.clone(),
        Shows::Rhythm,
        "long short".to_owned(),
    ))
    .desk(DeskMsg::CloseTip)
    .desk(DeskMsg::CloseTip);
    assert_eq!(page.open_desk().open_tip, Some(id.clone()));
    assert_eq!(page.open_desk().drafts.len(), 2);
    assert_eq!(
        page.asked.last(),
        Some(&focus(&format!("tip-place-{id}"))),
        "the first that was refused"
    );
    page.desk(DeskMsg::TipPlace(id.clone(), "5".to_owned()))
        .desk(DeskMsg::CloseTip);
    assert_eq!(page.open_desk().open_tip, Some(id.clone()));
    assert_eq!(page.asked.last(), Some(&focus(&format!("tip-rhythm-{id}"))));
    // Escape shows it first; another text is shown again; the same is let go of.
    page.desk(DeskMsg::LeaveTip);
    page.desk(DeskMsg::TipShows(
        id.clone(),
        Shows::Rhythm,
        "short".to_owned(),
    ))
    .desk(DeskMsg::LeaveTip);
    assert_eq!(page.open_desk().open_tip, Some(id));
    page.desk(DeskMsg::LeaveTip);
    assert_eq!(page.open_desk().open_tip, None);
    assert!(page.open_desk().drafts.is_empty());
    assert_eq!(page.guide().tips[0].spot.from.measure, 4);
}

#[test]
fn a_rit_comes_little_by_little_unless_it_is_said_otherwise() {
    let mut page = typed();
    page.desk(DeskMsg::Select(4, Extend::No))
        .fact(Fact::TempoWords, "rit.")
        .fact(Fact::TempoNumber, "80");
    let until = |page: &Page| page.guide().road_map.measures[4].tempo[0].until;
    assert_eq!(until(&page), Some(Place::start_of(5)));
    page.fact(Fact::TempoManner, "at-once")
        .fact(Fact::TempoWords, "rit. molto")
        .fact(Fact::TempoNumber, "70");
    assert_eq!(until(&page), None);
    let found = &page.open_desk().derived.findings;
    assert!(found.iter().any(|own| own.code == "gradual-at-once"));
    // Chosen before the word is typed, it counts as well.
    page.desk(DeskMsg::Select(8, Extend::No))
        .fact(Fact::TempoManner, "at-once")
        .fact(Fact::TempoWords, "accel.");
    assert_eq!(page.guide().road_map.measures[8].tempo[0].until, None);
}

#[test]
fn a_jump_says_that_play_ends_at_the_fine() {
    let until = |page: &Page| -> Vec<String> {
        let html = crate::view::fragments(page.state());
        let html: String = html.into_iter().map(|(_, html)| html).collect();
        let own = html.split_once("id=\"printed-jump-until\"").unwrap().1;
        let own = own.split_once("</select>").unwrap().0;
        let options = own.split("<option ").skip(1);
        options.map(|own| own.replace("</option>", "")).collect()
    };
    let mut page = typed();
    let printed = |page: &mut Page, what, text: &str| {
        page.desk(DeskMsg::Printed(what, text.to_owned()));
    };
    page.desk(DeskMsg::Select(20, Extend::No));
    printed(&mut page, Printed::Jump, "beginning");
    assert_eq!(until(&page)[0], "value=\"end\" selected>to the end");
    page.desk(DeskMsg::Select(8, Extend::No));
    printed(&mut page, Printed::Fine, "on");
    page.desk(DeskMsg::Select(20, Extend::No));
    assert_eq!(until(&page)[0], "value=\"fine\" selected>to the Fine");
    assert_eq!(until(&page).len(), 2);
}

#[test]
fn a_tempo_without_a_number_stands_in_its_cell() {
    let said = |page: &Page, index: usize| -> String {
        let html = crate::view::fragments(page.state());
        let html: String = html.into_iter().map(|(_, html)| html).collect();
        let own = html.split_once(&format!("id=\"m-{index}\"")).unwrap().1;
        let own = own.split_once("<span class=\"unseen\">").unwrap().1;
        own.split_once("</span>").unwrap().0.to_owned()
    };
    let mut page = typed();
    let at = |page: &mut Page, index, what, text: &str| {
        page.desk(DeskMsg::Select(index, Extend::No))
            .desk(DeskMsg::Printed(what, text.to_owned()));
    };
    at(&mut page, 4, Printed::TempoBack, "to-before");
    at(&mut page, 6, Printed::TempoSame, "quarter = dotted quarter");
    assert_eq!(said(&page, 4), "Measure 5, 4/4, a tempo");
    assert_eq!(said(&page, 6), "Measure 7, 4/4, quarter = dotted quarter");
}

#[test]
fn the_title_in_the_head_leads_to_where_it_is_changed() {
    let mut page = typed();
    page.desk(DeskMsg::NameIt);
    assert_eq!(page.asked.last(), Some(&focus("guide-field-title")));
    let html = crate::view::fragments(page.state());
    let html: String = html.into_iter().map(|(_, html)| html).collect();
    let at = |id: &str| html.find(&format!("id=\"{id}\"")).unwrap();
    assert!(at("guide-field-title") < at("files"));
}

#[test]
fn a_short_measure_is_told_in_note_values() {
    let mut page = typed();
    page.desk(DeskMsg::Select(4, Extend::No))
        .desk(DeskMsg::Printed(Printed::Length, "2.5".to_owned()));
    let html = crate::view::fragments(page.state());
    let html: String = html.into_iter().map(|(_, html)| html).collect();
    assert!(html.contains("it lasts 5 eighths instead of the full 4/4"));
}

#[test]
fn what_was_unfolded_stays_so_over_a_visit_to_another_room() {
    let html = |page: &Page| -> String {
        let all = crate::view::fragments(page.state());
        all.into_iter().map(|(_, html)| html).collect()
    };
    let tag = |page: &Page, id: &str| {
        let html = html(page);
        let at = html.find(&format!("<details id=\"{id}\"")).unwrap();
        html[at..].split_once('>').unwrap().0.to_owned()
    };
    let mut page = typed();
    assert!(!tag(&page, "group-order").contains(" open"));
    assert!(tag(&page, "whole-piece").contains(" open"));
    page.desk(DeskMsg::Fold("group-order".to_owned(), "open".to_owned()))
        .desk(DeskMsg::Fold("whole-piece".to_owned(), String::new()))
        .desk(DeskMsg::Room(Room::Tips))
        .desk(DeskMsg::Room(Room::RoadMap));
    assert!(tag(&page, "group-order").contains(" open"));
    assert!(!tag(&page, "whole-piece").contains(" open"));
}

#[test]
fn a_small_screen_begins_with_the_map() {
    let mut page = Page::new();
    let mut state = page.state.take().unwrap();
    state.fold_for_small();
    page.state = Some(state);
    page.send(Msg::Opening(Opening::ToggleForm))
        .send(Msg::Opening(Opening::MakeTyped));
    assert!(!page.open_desk().is_open("whole-piece", Folded::No));
    assert!(typed().open_desk().is_open("whole-piece", Folded::No));
}

/// A kept guide with its watch list on view.
fn opened() -> Page {
    let mut page = Page::new();
    page.file("mail-boat.musicxml", MAIL_BOAT)
        .send(Msg::Opening(Opening::TogglePart(2)))
        .send(Msg::Opening(Opening::MakeGuide))
        .answer(Outcome::Kept(1))
        .desk(DeskMsg::Room(Room::Tips));
    page
}

fn shown(page: &Page) -> Vec<usize> {
    let desk = page.open_desk();
    let list = desk.watch_list.as_ref().unwrap();
    list.shown(desk.guide()).all().collect()
}

#[test]
fn dropped_proposals_are_kept_with_the_guide_and_never_in_it() {
    let mut page = opened();
    assert_eq!(page.kept().dropped, None);
    let order = shown(&page);
    let before = save(page.guide());
    page.desk(DeskMsg::Watch(WatchMsg::Do(Deed::Drop, order[1])));
    assert_eq!(page.open_desk().keep, Keep::Soon);
    page.send(Msg::Keeping(Keeping::Now));
    let kept = page.kept().clone();
    assert_eq!((&kept.text, kept.expected), (&before, Some(1)));
    let dropped = kept.dropped.unwrap();
    assert_eq!(dropped.lines().count(), 1);
    // Another day the guide is opened again, and its part added.
    let mut page = Page::new();
    page.send(Msg::Keeping(Keeping::Loaded {
        id: kept.id,
        revision: 2,
        texts: KeptTexts {
            guide: kept.text,
            notes: None,
            dropped: Some(dropped),
            watch: None,
        },
    }))
    .file("mail-boat.musicxml", MAIL_BOAT)
    .send(Msg::Opening(Opening::AddNotes));
    let again = shown(&page);
    assert!(!again.contains(&order[1]) && again.contains(&order[0]));
    // Shown again, it is dropped no more, which is kept as well.
    page.desk(DeskMsg::Watch(WatchMsg::ShowDropped))
        .send(Msg::Keeping(Keeping::Now));
    assert_eq!(page.kept().dropped.as_deref(), Some(""));
    assert_eq!(shown(&page), order);
}

#[test]
fn what_is_kept_of_dropped_proposals_is_read_as_hostile() {
    let guide = save(opened().guide());
    let id = opened().guide().id.to_string();
    let mut page = Page::new();
    page.send(Msg::Keeping(Keeping::Loaded {
        id,
        revision: 2,
        texts: KeptTexts {
            guide,
            notes: None,
            dropped: Some("<script>\n\u{0}\n".repeat(20_000)),
            watch: None,
        },
    }))
    .file("mail-boat.musicxml", MAIL_BOAT)
    .send(Msg::Opening(Opening::AddNotes));
    assert_eq!(shown(&page), shown(&opened()));
}
