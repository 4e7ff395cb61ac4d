//! What the notes propose, and what a talk was heard to say.

use super::{Page, SCORE, typed};
use crate::heard::{Heard, HeardKind, LEAST_SURE};
use crate::msg::{DeskMsg, Effect, GuideField, HeardMsg, Keeping, Msg, Opening, Outcome, WatchMsg};
use crate::proposals::{Deed, STRONGEST, WatchList};
use crate::state::{KeptTexts, Room, Screen};
use cueleaf_guide::save;

const MAIL_BOAT: &[u8] = include_bytes!("../../../../../examples/mail-boat.musicxml");

const TALK: &[u8] = b"WEBVTT

00:01.000 --> 00:04.000
In measure 12 comes pizzicato.

00:05.000 --> 00:09.000
Make sure you save the bow in measure 25.

00:10.000 --> 00:14.000
At 28 use the whole beau.
";

/// A page with a guide for some parts of a score, kept.
fn opened(parts: &[usize]) -> Page {
    let mut page = Page::new();
    page.file("mail-boat.musicxml", MAIL_BOAT);
    for part in parts {
        page.send(Msg::Opening(Opening::TogglePart(*part)));
    }
    page.send(Msg::Opening(Opening::MakeGuide))
        .answer(Outcome::Kept(1))
        .desk(DeskMsg::Room(Room::Tips))
        .desk(DeskMsg::Watch(WatchMsg::ToggleOthers));
    page
}

fn list(page: &Page) -> &WatchList {
    page.open_desk().watch_list.as_ref().unwrap()
}

fn open(page: &Page) -> Vec<usize> {
    list(page).open(page.guide())
}

fn shown(page: &Page) -> Vec<usize> {
    list(page).shown(page.guide()).all().collect()
}

fn watch(page: &mut Page, msg: WatchMsg) {
    page.desk(DeskMsg::Watch(msg));
}

fn focus(page: &Page) -> &str {
    let all = page.asked.iter().rev();
    let mut focus = all.filter_map(|effect| match effect {
        Effect::Focus(id) => Some(id.as_str()),
        _ => None,
    });
    focus.next().unwrap()
}

#[test]
fn the_strongest_come_first_and_all_others_by_place() {
    let page = opened(&[2]);
    let shown = list(&page).shown(page.guide());
    assert_eq!(shown.strongest.len(), STRONGEST);
    assert!(shown.others.len() > STRONGEST);
    assert!(shown.others.is_sorted());
    let weight = |index: usize| list(&page).get(index).unwrap().watched.weight;
    let weights: Vec<u8> = shown.strongest.iter().map(|own| weight(*own)).collect();
    assert!(
        weights.is_sorted_by(|one, other| one >= other),
        "{weights:?}"
    );
    let spots: Vec<_> = shown
        .others
        .iter()
        .map(|own| list(&page).get(*own).unwrap().watched.spot)
        .collect();
    assert!(spots.is_sorted());
    assert_eq!(shown.all().count(), open(&page).len());
}

#[test]
fn the_others_are_folded_away_until_they_are_asked_for() {
    let mut page = opened(&[2]);
    let all = shown(&page);
    watch(&mut page, WatchMsg::ToggleOthers);
    assert_eq!(shown(&page), all[..STRONGEST]);
    let folded = list(&page).shown(page.guide()).folded;
    assert_eq!(folded, all.len() - STRONGEST);
    // Arrows go from one proposal to the next, and stop at the ends.
    watch(&mut page, WatchMsg::Go(Deed::Edit, all[0], 1));
    assert_eq!(focus(&page), format!("edit-proposal-{}", all[1]));
    let asked = page.asked.len();
    watch(&mut page, WatchMsg::Go(Deed::Edit, all[0], -1));
    watch(&mut page, WatchMsg::Go(Deed::Edit, all[STRONGEST - 1], 1));
    assert_eq!(page.asked.len(), asked);
}

#[test]
fn kept_tips_bring_their_own_cue_and_leave_out_the_place_where_they_stand() {
    let mut page = opened(&[2]);
    let all = open(&page);
    for index in &all {
        watch(&mut page, WatchMsg::Do(Deed::Keep, *index));
    }
    assert_eq!(page.guide().tips.len(), all.len());
    for (tip, index) in page.guide().tips.iter().zip(&all) {
        assert!((1..=24).contains(&tip.cue.chars().count()), "{}", tip.cue);
        let one = &list(&page).get(*index).unwrap().watched;
        let lead = one.sentence.split(": ").next().unwrap();
        // Words that are printed there stay in the tip, without the place.
        let place = lead.split(", \u{201c}").next().unwrap();
        let has_lead = place.starts_with("Measure") && !place.contains(['.', '\u{201c}']);
        assert_eq!(tip.text == one.sentence, !has_lead, "{}", one.sentence);
    }
    assert!(page.guide().tips.iter().any(|tip| tip.cue == "7/8: 2+2+3"));
    assert!(open(&page).is_empty());
}

#[test]
fn a_tip_of_a_guide_from_before_still_says_its_proposal() {
    // There the text was the sentence with its place.
    let page = opened(&[2]);
    let all = open(&page);
    let differs = |index: &&usize| {
        let one = &list(&page).get(**index).unwrap().watched;
        one.tip != one.sentence
    };
    let index = *all.iter().find(differs).unwrap();
    let one = list(&page).get(index).unwrap().watched.clone();
    let mut guide = page.guide().clone();
    let id = cueleaf_guide::Id::new("old").unwrap();
    guide.tips.push(cueleaf_guide::Tip::new(
        id,
        one.spot,
        one.topic,
        &one.sentence,
    ));
    assert!(!list(&page).open(&guide).contains(&index));
}

#[test]
fn a_kept_proposal_is_a_tip_until_it_is_undone() {
    let mut page = opened(&[2]);
    let order = shown(&page);
    let one = list(&page).get(order[0]).unwrap().watched.clone();
    watch(&mut page, WatchMsg::Do(Deed::Keep, order[0]));
    let tip = &page.guide().tips[0];
    assert_eq!(
        (tip.spot, tip.topic, &tip.text, &tip.cue),
        (one.spot, one.topic, &one.tip, &one.cue)
    );
    assert_eq!(tip.parts, []);
    assert_eq!(focus(&page), format!("keep-proposal-{}", order[1]));
    assert!(!open(&page).contains(&order[0]));
    // Pressed twice it is no second tip.
    watch(&mut page, WatchMsg::Do(Deed::Keep, order[0]));
    assert_eq!(page.guide().tips.len(), 1);
    page.desk(DeskMsg::Undo);
    assert!(page.guide().tips.is_empty());
    assert_eq!(shown(&page), order);
    page.desk(DeskMsg::Redo);
    assert_eq!(page.guide().tips.len(), 1);
    assert_eq!(shown(&page), order[1..]);
}

#[test]
fn an_edited_proposal_is_not_proposed_again() {
    let mut page = opened(&[2]);
    let first = shown(&page)[0];
    watch(&mut page, WatchMsg::Do(Deed::Edit, first));
    let id = page.open_desk().open_tip.clone().unwrap();
    assert_eq!(focus(&page), format!("tip-text-{id}"));
    let text = crate::edit::tips::TipChange::Text("In my words.".to_owned());
    page.desk(DeskMsg::Tip(id.clone(), text))
        .desk(DeskMsg::CloseTip);
    assert!(!open(&page).contains(&first));
    page.desk(DeskMsg::RemoveTip(id));
    assert!(open(&page).contains(&first));
}

#[test]
fn what_is_dropped_stays_away_until_it_is_asked_for() {
    let mut page = opened(&[2]);
    let order = shown(&page);
    let last = *order.last().unwrap();
    watch(&mut page, WatchMsg::Do(Deed::Drop, last));
    // Nothing comes after the last, so the focus goes before it.
    assert_eq!(
        focus(&page),
        format!("drop-proposal-{}", order[order.len() - 2])
    );
    assert_eq!(
        page.open_desk().history.undo_words(),
        Some("drop the proposal at 104")
    );
    assert_eq!(list(&page).dropped(), 1);
    watch(&mut page, WatchMsg::ShowDropped);
    assert_eq!(shown(&page), order);
    for own in order {
        watch(&mut page, WatchMsg::Do(Deed::Drop, own));
    }
    assert_eq!(focus(&page), "watch-title");
    assert!(shown(&page).is_empty());
}

#[test]
fn a_kind_is_kept_or_dropped_as_a_whole_and_in_one_step() {
    let mut page = opened(&[2]);
    let kinds = list(&page).kinds(page.guide());
    let mut many = kinds.iter().filter(|(_, count)| **count > 1);
    let (keep, count) = many.next().map(|(kind, count)| (*kind, *count)).unwrap();
    let drop = many.next().map(|(kind, _)| *kind).unwrap();
    // Without a kind nothing is meant.
    let all = open(&page).len();
    watch(&mut page, WatchMsg::KeepKind);
    watch(&mut page, WatchMsg::DropKind);
    assert_eq!(open(&page).len(), all);
    watch(&mut page, WatchMsg::Kind(Some(keep)));
    watch(&mut page, WatchMsg::KeepKind);
    assert_eq!(page.guide().tips.len(), count);
    assert_eq!(focus(&page), "watch-kind");
    let ids: std::collections::BTreeSet<_> = page.guide().tips.iter().map(|tip| &tip.id).collect();
    assert_eq!(ids.len(), count);
    page.desk(DeskMsg::Undo);
    assert!(page.guide().tips.is_empty());
    watch(&mut page, WatchMsg::Kind(Some(drop)));
    watch(&mut page, WatchMsg::DropKind);
    assert_eq!(list(&page).kinds(page.guide())[&drop], 0);
    assert_eq!(list(&page).kinds(page.guide())[&keep], count);
    // Only what is looked at comes back.
    watch(&mut page, WatchMsg::Kind(Some(keep)));
    watch(&mut page, WatchMsg::ShowDropped);
    assert_eq!(list(&page).kinds(page.guide())[&drop], 0);
    watch(&mut page, WatchMsg::Kind(None));
    watch(&mut page, WatchMsg::ShowDropped);
    assert_eq!(list(&page).kinds(page.guide()), kinds);
}

#[test]
fn several_parts_share_what_they_have_in_common() {
    let mut page = opened(&[2, 3]);
    let ids: Vec<_> = page
        .guide()
        .parts
        .iter()
        .map(|part| part.id.clone())
        .collect();
    let all = open(&page);
    let parts = |page: &Page, index: usize| list(page).get(index).unwrap().parts.clone();
    let shared = all
        .iter()
        .find(|own| parts(&page, **own) == ids)
        .copied()
        .unwrap();
    let alone = all
        .iter()
        .find(|own| parts(&page, **own).len() == 1)
        .copied()
        .unwrap();
    let whose = parts(&page, alone);
    watch(&mut page, WatchMsg::Do(Deed::Keep, shared));
    watch(&mut page, WatchMsg::Do(Deed::Keep, alone));
    assert_eq!(page.guide().tips[0].parts, []);
    assert_eq!(page.guide().tips[1].parts, whose);
}

#[test]
fn other_measures_make_the_places_unsure() {
    let mut page = opened(&[2]);
    let first = shown(&page)[0];
    page.desk(DeskMsg::InsertMeasure);
    assert!(!list(&page).fits(page.guide()));
    watch(&mut page, WatchMsg::Do(Deed::Keep, first));
    assert!(page.guide().tips.is_empty());
    page.desk(DeskMsg::Undo);
    watch(&mut page, WatchMsg::Do(Deed::Keep, first));
    assert_eq!(page.guide().tips.len(), 1);
}

#[test]
fn the_list_is_found_again_in_this_visit() {
    let mut page = opened(&[2]);
    let order = shown(&page);
    watch(&mut page, WatchMsg::Do(Deed::Drop, order[0]));
    let (id, text) = (page.guide().id.to_string(), save(page.guide()));
    page.send(Msg::Opening(Opening::Home))
        .send(Msg::Keeping(Keeping::Loaded {
            id,
            revision: 1,
            texts: KeptTexts {
                guide: text.clone(),
                notes: None,
                dropped: None,
                watch: None,
            },
        }));
    assert_eq!(shown(&page), order[1..]);
    // The notes are nowhere in the document; the next visit knows nothing of them.
    let mut page = Page::new();
    page.file("again.json", text.as_bytes());
    assert_eq!(page.open_desk().watch_list, None);
}

#[test]
fn notes_are_added_to_a_guide_that_came_without_them() {
    let text = save(opened(&[2]).guide());
    let mut page = Page::new();
    page.file("again.json", text.as_bytes())
        .answer(Outcome::Kept(1));
    page.file("mail-boat.musicxml", MAIL_BOAT);
    // The part of the guide is chosen already.
    let Screen::Parts(choice) = &page.state().screen else {
        panic!("no parts");
    };
    assert_eq!(choice.chosen, [false, false, true, false]);
    // To show them is what is offered first.
    let drawn = crate::view::draw(page.state(), None);
    let html: String = drawn.pieces.iter().map(|piece| piece.html()).collect();
    let strong: Vec<&str> = html.split("class=\"strong\" data-do=\"").skip(1).collect();
    assert!(strong.len() == 1 && strong[0].starts_with("add-notes"));
    page.send(Msg::Opening(Opening::AddNotes));
    assert_eq!(focus(&page), "watch-title");
    watch(&mut page, WatchMsg::ToggleOthers);
    assert_eq!(save(page.guide()), text);
    assert_eq!(page.open_desk().room, Room::Tips);
    assert_eq!(shown(&page), shown(&opened(&[2])));
}

#[test]
fn notes_of_other_music_are_told_and_change_nothing() {
    let mut page = opened(&[2]);
    let before = shown(&page);
    for _ in 0..2 {
        page.file("chestnuts.musicxml", SCORE)
            .send(Msg::Opening(Opening::AddNotes));
        assert!(
            page.notice().contains("and this guide 105"),
            "{}",
            page.notice()
        );
        assert_eq!(shown(&page), before);
    }
    let found = page.open_desk().from_file.iter();
    let count = found.filter(|own| own.code == "notes-of-another-length");
    assert_eq!(count.count(), 1);
    // A part of another name.
    let mut page = opened(&[2, 3]);
    page.file("mail-boat.musicxml", MAIL_BOAT);
    for part in [0, 2, 3] {
        page.send(Msg::Opening(Opening::TogglePart(part)));
    }
    page.send(Msg::Opening(Opening::AddNotes));
    assert!(page.notice().contains("has the name"), "{}", page.notice());
    // Without a chosen part it waits, and without a guide aside nothing happens.
    page.file("mail-boat.musicxml", MAIL_BOAT);
    for part in [2, 3] {
        page.send(Msg::Opening(Opening::TogglePart(part)));
    }
    page.send(Msg::Opening(Opening::AddNotes));
    assert_eq!(page.notice(), "Choose at least one part.");
    let mut page = typed();
    page.send(Msg::Opening(Opening::AddNotes));
    assert_eq!(page.open_desk().watch_list, None);
}

fn heard(page: &Page) -> &Heard {
    let Screen::Heard(heard) = &page.state().screen else {
        panic!("nothing is heard");
    };
    heard
}

/// Which statements are ticked, in their order.
fn ticks(page: &Page) -> Vec<bool> {
    let all = 0..heard(page).talk().statements.len();
    all.map(|index| heard(page).is_ticked(index)).collect()
}

fn tick(page: &mut Page, index: usize) {
    page.send(Msg::Heard(HeardMsg::Tick(index)));
}

#[test]
fn a_talk_becomes_what_is_ticked_of_it() {
    let mut page = Page::new();
    page.file("our-talk.vtt", TALK);
    // Place 12, pizz., the tip at 25, place 25, place 28 and the tip with a misheard word.
    assert_eq!(ticks(&page), [true, true, true, true, true, false]);
    for own in &heard(&page).talk().statements {
        assert_eq!(own.confidence < LEAST_SURE, own.words.contains("beau"));
    }
    tick(&mut page, 1);
    tick(&mut page, 99);
    page.send(Msg::Heard(HeardMsg::Make));
    let guide = page.guide();
    assert_eq!(guide.title, "our talk");
    assert_eq!(guide.road_map.measures.len(), 28);
    assert_eq!(guide.parts[0].marks, []);
    let texts: Vec<&str> = guide.tips.iter().map(|tip| tip.text.as_str()).collect();
    assert_eq!(texts, ["Make sure you save the bow in measure 25."]);
    assert_eq!(page.kept().expected, None);
    let misheard = page.open_desk().from_file.iter();
    assert_eq!(misheard.filter(|own| own.code == "misheard").count(), 1);
}

#[test]
fn a_place_takes_what_was_said_about_it_along() {
    let mut page = Page::new();
    page.file("our-talk.vtt", TALK);
    tick(&mut page, 0);
    assert_eq!(ticks(&page), [false, false, true, true, true, false]);
    // What was said in the same breath before its place belongs to it.
    tick(&mut page, 3);
    assert_eq!(ticks(&page), [false, false, false, false, true, false]);
    tick(&mut page, 4);
    page.send(Msg::Heard(HeardMsg::Make));
    assert_eq!(page.notice(), "Tick at least one thing that was said.");
    tick(&mut page, 0);
    assert_eq!(ticks(&page), [true, true, false, false, false, false]);
    page.send(Msg::Heard(HeardMsg::Make));
    assert_eq!(page.guide().road_map.measures.len(), 12);
    assert!(page.guide().tips.is_empty());
}

#[test]
fn statements_are_ticked_by_kind() {
    let mut page = Page::new();
    page.file("our-talk.vtt", TALK);
    let kind = |code: &str| Msg::Heard(HeardMsg::TickKind(code.to_owned()));
    assert_eq!(heard(&page).of_kind(HeardKind::Tip), (1, 2));
    page.send(kind("tip"));
    assert_eq!(heard(&page).of_kind(HeardKind::Tip), (2, 2));
    page.send(kind("tip")).send(kind("no kind"));
    assert_eq!(ticks(&page), [true, true, false, true, true, false]);
    assert!(HeardKind::all().all(|own| HeardKind::find(own.code()) == Some(own)));
}

#[test]
fn a_talk_can_be_given_up_and_never_takes_the_place_of_what_is_not_kept() {
    let mut page = typed();
    page.desk(DeskMsg::GuideField(GuideField::Title, "Mine".to_owned()))
        .file("our-talk.vtt", TALK)
        .answer(Outcome::Kept(2))
        .send(Msg::Opening(Opening::Cancel));
    assert_eq!(page.guide().title, "Mine");
    page.desk(DeskMsg::GuideField(GuideField::Word, "Hello".to_owned()))
        .send(Msg::Keeping(Keeping::Now))
        .answer(Outcome::Conflict)
        .file("our-talk.vtt", TALK);
    assert!(
        page.notice().contains("“our-talk.vtt” was not opened"),
        "{}",
        page.notice()
    );
    assert_eq!(page.guide().word, "Hello");
}

/// What undo says it would take back.
fn undone(page: &mut Page) -> String {
    let words = page.open_desk().history.undo_words().unwrap().to_owned();
    page.desk(DeskMsg::Undo);
    words
}

#[test]
fn undo_takes_back_a_drop_and_not_the_edit_before() {
    let mut page = opened(&[2]);
    let all = open(&page);
    page.desk(DeskMsg::GuideField(GuideField::Title, "Another".to_owned()));
    watch(&mut page, WatchMsg::Do(Deed::Drop, all[0]));
    watch(&mut page, WatchMsg::Do(Deed::Keep, all[1]));
    assert_eq!(open(&page), all[2..]);
    let kept = undone(&mut page);
    assert!(kept.starts_with("keep the proposal at "), "{kept}");
    assert_eq!(open(&page), all[1..]);
    let dropped = undone(&mut page);
    assert!(dropped.starts_with("drop the proposal at "), "{dropped}");
    assert_eq!(open(&page), all);
    assert_eq!(page.guide().title, "Another");
    // What was undone is not kept as dropped, and comes back with redo.
    let known = |page: &Page| page.open_desk().dropped.clone().unwrap().write();
    assert_eq!(known(&page), "");
    page.desk(DeskMsg::Redo);
    assert_eq!(open(&page), all[1..]);
    assert_eq!(known(&page).lines().count(), 1);
    assert_eq!(undone(&mut page), dropped);
    assert_eq!(undone(&mut page), "change the title");
    assert_ne!(page.guide().title, "Another");
}

#[test]
fn undo_takes_back_what_was_done_with_a_kind_and_with_what_was_dropped() {
    let mut page = opened(&[2]);
    let all = open(&page);
    let kinds = list(&page).kinds(page.guide());
    let (kind, count) = kinds.iter().max_by_key(|(_, count)| **count).unwrap();
    watch(&mut page, WatchMsg::Kind(Some(*kind)));
    watch(&mut page, WatchMsg::DropKind);
    assert_eq!(open(&page).len(), all.len() - count);
    watch(&mut page, WatchMsg::ShowDropped);
    assert_eq!(open(&page), all);
    assert_eq!(undone(&mut page), "propose again what was dropped");
    assert_eq!(open(&page).len(), all.len() - count);
    let words = undone(&mut page);
    assert!(
        words.starts_with(&format!("drop {count} proposals, ")),
        "{words}"
    );
    assert_eq!(open(&page), all);
    watch(&mut page, WatchMsg::KeepKind);
    assert_eq!(open(&page).len(), all.len() - count);
    let words = undone(&mut page);
    assert!(
        words.starts_with(&format!("keep {count} proposals, ")),
        "{words}"
    );
    assert_eq!(open(&page), all);
    assert!(page.guide().tips.is_empty());
}

/// Opens on another day what was kept.
fn another_day(kept: &crate::msg::KeepOrder, watch: Option<String>) -> Page {
    let mut page = Page::new();
    page.send(Msg::Keeping(Keeping::Loaded {
        id: kept.id.clone(),
        revision: 3,
        texts: KeptTexts {
            guide: kept.text.clone(),
            notes: None,
            dropped: kept.dropped.clone(),
            watch,
        },
    }));
    page
}

#[test]
fn the_list_is_kept_beside_the_guide_and_never_in_it() {
    let mut page = opened(&[2]);
    let all = open(&page);
    let first = page.kept().watch.clone().unwrap();
    // What changes nothing in the list is kept without it.
    watch(&mut page, WatchMsg::Do(Deed::Drop, all[3]));
    page.send(Msg::Keeping(Keeping::Now))
        .answer(Outcome::Kept(2));
    assert_eq!(page.kept().watch, None);
    watch(&mut page, WatchMsg::Do(Deed::Keep, all[0]));
    let tip = page.guide().tips[0].id.clone();
    // A kept tip that says something else by now is still that of its proposal.
    page.desk(DeskMsg::Tip(
        tip,
        crate::edit::tips::TipChange::Text("Breathe".to_owned()),
    ));
    page.send(Msg::Keeping(Keeping::Now))
        .answer(Outcome::Kept(3));
    let kept = page.kept().clone();
    let second = kept.watch.clone().unwrap();
    assert_ne!(first, second);
    let sentence = &list(&page).get(all[3]).unwrap().watched.sentence;
    assert!(!kept.text.contains(sentence.as_str()));
    let again = another_day(&kept, Some(second.clone()));
    assert_eq!(shown(&again), {
        watch(&mut page, WatchMsg::ToggleOthers);
        shown(&page)
    });
    assert_eq!(open(&again), open(&page));
    assert_eq!(list(&again).dropped(), 1);
    assert_eq!(again.guide(), page.guide());
    // Nothing of it is written until something changes.
    assert_eq!(again.keeps(), 0);
    // Another page of the folder may have written anything.
    for odd in ["", "{", "<script>", &second[1..]] {
        let page = another_day(&kept, Some(odd.to_owned()));
        assert!(page.open_desk().watch_list.is_none());
    }
    assert!(second.len() < crate::kept_list::MAX_KEPT_LIST);
}

#[test]
fn a_list_that_comes_later_is_kept_and_goes_with_a_new_edition() {
    let page = opened(&[2]);
    let kept = page.kept().clone();
    let mut page = another_day(&kept, None);
    page.file("mail-boat.musicxml", MAIL_BOAT)
        .send(Msg::Opening(Opening::AddNotes))
        .send(Msg::Keeping(Keeping::Now));
    let written = page.kept().clone();
    assert_eq!(written.text, kept.text);
    let list = crate::kept_list::read(written.watch.as_deref().unwrap()).unwrap();
    assert_eq!(list.proposals().len(), open(&page).len());
}
