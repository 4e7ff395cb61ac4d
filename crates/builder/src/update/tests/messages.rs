//! Each message of the open document, and what it does.

use super::{Page, SCORE, typed};
use crate::edit::Reach;
use crate::edit::tips::{TipChange, TipOrder};
use crate::msg::{DeskMsg, Effect, Extend, Fact, GuideField, Msg, Opening};
use crate::places::write_spot;
use crate::state::{Field, Room};
use cueleaf_guide::{CountStyle, Guide, Id, Importance, Language, MeasureWord, Topic, save};

fn focus(id: &str) -> Effect {
    Effect::Focus(id.to_owned())
}

fn problem(page: &Page, field: &Field) -> Option<String> {
    let draft = page.open_desk().drafts.get(field);
    draft.map(|draft| draft.problem.clone())
}

/// Gives the meter, the groups and the tempo in force in a measure, as laid out.
fn in_force(page: &Page, index: usize) -> (String, String, f64) {
    let plan = &page.open_desk().derived.plan;
    let laid = plan.layout().get(index).unwrap();
    let quarters = plan.tempo().quarters_per_minute_at(laid.start);
    (laid.meter.to_string(), laid.grouping.to_string(), quarters)
}

/// A page with the violin, viola and cello of a score.
fn trio() -> Page {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE);
    for index in 0..3 {
        page.send(Msg::Opening(Opening::TogglePart(index)));
    }
    page.send(Msg::Opening(Opening::MakeGuide));
    page
}

/// Adds a tip with a text at a stretch of measures and closes it.
fn with_tip(page: &mut Page, measures: &str, text: &str) -> Id {
    page.desk(DeskMsg::SelectText(measures.to_owned()))
        .desk(DeskMsg::AddTip);
    let id = page.open_desk().open_tip.clone().unwrap();
    page.desk(DeskMsg::Tip(id.clone(), TipChange::Text(text.to_owned())))
        .desk(DeskMsg::CloseTip);
    id
}

fn place(page: &Page, id: &Id) -> String {
    let desk = page.open_desk();
    let tip = desk.guide().tips.iter().find(|tip| tip.id == *id).unwrap();
    write_spot(desk.guide(), desk.derived.plan.layout(), &tip.spot)
}

#[test]
fn facts_reach_to_the_next_change_or_stay_in_the_chosen_measures() {
    let mut page = typed();
    // One measure alone: from there on.
    page.desk(DeskMsg::SelectText("9".to_owned()))
        .fact(Fact::Meter, "7/8")
        .fact(Fact::Groups, "3+2+2");
    assert_eq!(in_force(&page, 7).0, "4/4");
    assert_eq!(in_force(&page, 31).1, "3+2+2");
    // Several: only these, until the teacher says otherwise.
    page.desk(DeskMsg::SelectText("17-20".to_owned()))
        .fact(Fact::Meter, "3/4")
        .fact(Fact::TempoNumber, "60");
    assert_eq!(in_force(&page, 19).0, "3/4");
    assert!((in_force(&page, 19).2 - 60.0).abs() < 1e-9);
    let (meter, groups, tempo) = in_force(&page, 20);
    assert_eq!((meter.as_str(), groups.as_str()), ("7/8", "3+2+2"));
    assert!((tempo - 96.0).abs() < 1e-9);
    page.desk(DeskMsg::Reach(Reach::Onward))
        .fact(Fact::Key, "-1");
    assert_eq!(page.guide().road_map.measures[16].key.unwrap().fifths(), -1);
    assert_eq!(page.guide().road_map.measures[20].key, None);
    // Another choice, and the reach is the usual one again.
    page.desk(DeskMsg::SelectText("22-23".to_owned()));
    assert_eq!(page.open_desk().reach(), Reach::Chosen);
    page.fact(Fact::Key, "2").fact(Fact::Key, "");
    assert_eq!(page.guide().road_map.measures[21].key, None);
}

#[test]
fn names_numbers_and_counting() {
    let mut page = typed();
    page.desk(DeskMsg::Select(4, Extend::No))
        .fact(Fact::Section, "  Ferry ")
        .fact(Fact::Mark, "B")
        .fact(Fact::Label, "20")
        .desk(DeskMsg::NumberOn);
    let measure = &page.guide().road_map.measures[4];
    assert_eq!(measure.section.as_deref(), Some("Ferry"));
    assert_eq!(measure.mark.as_deref(), Some("B"));
    assert_eq!(page.open_desk().derived.name(31), "47");
    page.fact(Fact::Label, "4a").desk(DeskMsg::NumberOn);
    let label = Field::Fact(Fact::Label);
    assert!(problem(&page, &label).unwrap().contains("plain number"));
    page.fact(Fact::Label, "").desk(DeskMsg::NumberOn);
    assert_eq!(page.open_desk().drafts[&label].text, "");
    page.fact(Fact::Label, "5").desk(DeskMsg::NumberOn);
    assert_eq!(problem(&page, &label), None);

    page.fact(Fact::Meter, "5/8")
        .fact(Fact::Groups, "2+3")
        .fact(Fact::CountStyle, "through");
    let counts = |page: &Page| {
        let laid = page.open_desk().derived.plan.layout().get(4).unwrap();
        let all = cueleaf_plan::counts_of(laid);
        let words: Vec<String> = all.iter().map(|count| count.say.to_string()).collect();
        words.join(" ")
    };
    assert_eq!(counts(&page), "1 2 3 4 5");
    page.fact(Fact::CountStyle, "each-group");
    assert_eq!(counts(&page), "1 2 1 2 3");
    page.fact(Fact::Meter, "6/8").fact(Fact::CountBeat, "small");
    assert_eq!(counts(&page), "1 2 3 4 5 6");
    page.fact(Fact::CountBeat, "big");
    let big = counts(&page);
    page.fact(Fact::CountBeat, "usual");
    assert_eq!(counts(&page), big);
}

#[test]
fn a_tempo_is_typed_field_by_field() {
    let mut page = typed();
    page.desk(DeskMsg::Select(8, Extend::No))
        .fact(Fact::TempoUnit, "half");
    // The unit alone changes nothing yet.
    assert!(page.guide().road_map.measures[8].tempo.is_empty());
    page.fact(Fact::TempoNumber, "50")
        .fact(Fact::TempoWords, "Broad");
    let mark = &page.guide().road_map.measures[8].tempo[0];
    assert_eq!(
        (mark.words.as_str(), in_force(&page, 8).2),
        ("Broad", 100.0)
    );
    page.fact(Fact::TempoUnit, "quarter").desk(DeskMsg::Undo);
    // Undone is undone: the next number counts halves again.
    page.fact(Fact::TempoNumber, "60");
    assert!((in_force(&page, 8).2 - 120.0).abs() < 1e-9);
    // A number too fast for one unit may be right for another.
    page.fact(Fact::TempoNumber, "1500");
    let number = Field::Fact(Fact::TempoNumber);
    assert!(problem(&page, &number).is_some());
    page.fact(Fact::TempoUnit, "eighth");
    assert_eq!(problem(&page, &number), None);
    assert!((in_force(&page, 8).2 - 750.0).abs() < 1e-9);

    page.desk(DeskMsg::Select(16, Extend::No))
        .desk(DeskMsg::Select(19, Extend::Yes))
        .fact(Fact::TempoNumber, "40")
        .fact(Fact::TempoManner, "gradual");
    let until = page.guide().road_map.measures[16].tempo[0].until.unwrap();
    assert_eq!(until.measure, 20);
    page.fact(Fact::TempoManner, "at-once");
    assert_eq!(page.guide().road_map.measures[16].tempo[0].until, None);
    page.desk(DeskMsg::RemoveTempo(16, 0));
    assert!(page.guide().road_map.measures[16].tempo.is_empty());
    assert_eq!(page.asked.last(), Some(&focus("fact-tempo-number")));
    let before = page.guide().clone();
    page.desk(DeskMsg::RemoveTempo(16, 0))
        .desk(DeskMsg::RemoveTempo(99, 3));
    assert_eq!(*page.guide(), before);
}

#[test]
fn choosing_by_text_says_what_it_cannot_find_until_it_finds() {
    let mut page = typed();
    page.desk(DeskMsg::Select(4, Extend::No))
        .desk(DeskMsg::SelectText("99".to_owned()));
    assert!(problem(&page, &Field::Selection).unwrap().contains("“99”"));
    // The measure that is chosen already is a good answer too.
    page.desk(DeskMsg::SelectText("5".to_owned()));
    assert_eq!(problem(&page, &Field::Selection), None);
    page.desk(DeskMsg::SelectText("30-".to_owned()));
    let selection = page.open_desk().selection;
    assert_eq!((selection.first(), selection.last()), (29, 31));
    assert!(page.asked.contains(&Effect::Reveal("m-29".to_owned())));
    page.desk(DeskMsg::Go(2, Extend::No));
    assert_eq!(page.asked.last(), Some(&focus("m-2")));
    page.desk(DeskMsg::Go(7, Extend::Yes));
    assert!(page.asked.contains(&Effect::Say("3–8 chosen".to_owned())));
    page.desk(DeskMsg::Select(500, Extend::No));
    assert_eq!(page.open_desk().selection.focus, 31);
}

#[test]
fn measures_come_and_go_with_their_tips() {
    let mut page = typed();
    let tip = with_tip(&mut page, "10-12", "Count");
    page.desk(DeskMsg::Select(4, Extend::No))
        .desk(DeskMsg::InsertMeasure);
    assert_eq!(page.guide().road_map.measures.len(), 33);
    assert_eq!(page.open_desk().selection.focus, 5);
    assert_eq!(place(&page, &tip), "10–12");
    assert_eq!(page.open_desk().derived.tips_on[10], 1);
    page.desk(DeskMsg::SelectText("1-4".to_owned()))
        .desk(DeskMsg::RemoveMeasures);
    assert_eq!(page.asked.last(), Some(&focus("m-0")));
    assert_eq!(in_force(&page, 0).0, "4/4");
    assert_eq!(place(&page, &tip), "10–12");
    page.desk(DeskMsg::SelectText("all".to_owned()))
        .desk(DeskMsg::RemoveMeasures);
    assert!(page.guide().road_map.measures.is_empty());
    // Nothing to choose, nothing breaks.
    for msg in [
        DeskMsg::AddTip,
        DeskMsg::Move(1, Extend::No),
        DeskMsg::NumberOn,
        DeskMsg::MakeFull,
        DeskMsg::RemoveMeasures,
        DeskMsg::Fact(Fact::Section, "A".to_owned()),
        DeskMsg::SelectText("1".to_owned()),
    ] {
        page.desk(msg);
    }
    assert!(page.guide().road_map.measures.is_empty());
    page.desk(DeskMsg::InsertMeasure);
    assert_eq!(page.guide().road_map.measures.len(), 1);
}

#[test]
fn a_pickup_is_made_full() {
    let mut page = trio();
    assert!(page.guide().road_map.measures[0].pickup);
    page.desk(DeskMsg::Select(0, Extend::No))
        .desk(DeskMsg::MakeFull);
    let first = &page.guide().road_map.measures[0];
    assert!(!first.pickup && first.length.is_none());
    assert_eq!(page.asked.last(), Some(&focus("fact-meter")));
}

#[test]
fn a_tip_is_changed_in_every_field() {
    let mut page = trio();
    let tip = with_tip(&mut page, "3", "Lift");
    assert_eq!(page.asked.last(), Some(&focus("add-tip")));
    page.desk(DeskMsg::OpenTip(tip.clone()));
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Caret(format!("tip-text-{tip}"), 4..4))
    );
    let parts: Vec<Id> = page.guide().parts.iter().map(|p| p.id.clone()).collect();
    page.desk(DeskMsg::Tip(tip.clone(), TipChange::Topic(Topic::Pluck)))
        .desk(DeskMsg::Tip(
            tip.clone(),
            TipChange::Cue("lift!".to_owned()),
        ))
        .desk(DeskMsg::TipPart(tip.clone(), parts[1].clone()))
        .desk(DeskMsg::TipPlace(tip.clone(), "4 beat 2".to_owned()));
    let own = page.guide().tips[0].clone();
    assert_eq!((own.topic, own.cue.as_str()), (Topic::Pluck, "lift!"));
    assert_eq!(own.parts, [parts[0].clone(), parts[2].clone()]);
    assert_eq!(place(&page, &tip), "4 beat 2");
    // A place that is none changes nothing and stays in its field.
    page.desk(DeskMsg::TipPlace(tip.clone(), "nowhere".to_owned()));
    let field = Field::TipPlace(tip.clone());
    assert!(problem(&page, &field).unwrap().contains("nowhere"));
    assert_eq!(place(&page, &tip), "4 beat 2");
    page.desk(DeskMsg::TipPlace(tip.clone(), "4-6".to_owned()));
    assert_eq!(problem(&page, &field), None);
    assert_eq!(place(&page, &tip), "4–6");
    // The next tip is about the same.
    page.desk(DeskMsg::AddTip);
    assert_eq!(page.guide().tips[1].topic, Topic::Pluck);
    // An id that nothing has changes nothing.
    let before = page.guide().clone();
    let nobody = Id::new("nobody").unwrap();
    page.desk(DeskMsg::RemoveTip(nobody.clone()))
        .desk(DeskMsg::ShowTip(nobody.clone()))
        .desk(DeskMsg::Tip(nobody, TipChange::Text("x".to_owned())));
    assert_eq!(*page.guide(), before);
}

#[test]
fn tips_are_ordered_by_importance_for_the_visit() {
    let mut page = typed();
    let first = with_tip(&mut page, "2", "a");
    let second = with_tip(&mut page, "5", "b");
    let third = with_tip(&mut page, "9", "c");
    let start = TipChange::Importance(Importance::StartHere);
    page.desk(DeskMsg::Tip(third.clone(), start))
        .desk(DeskMsg::OrderTips(TipOrder::Importance));
    let order = |page: &Page| page.open_desk().tip_order.of(page.guide());
    assert_eq!(order(&page), [2, 0, 1]);
    // The neighbour is the one that is seen as one.
    page.desk(DeskMsg::RemoveTip(third));
    assert_eq!(page.asked.last(), Some(&focus(&format!("edit-{first}"))));
    page.desk(DeskMsg::Undo);
    assert_eq!(page.guide().tips[2].importance, Importance::StartHere);
    page.desk(DeskMsg::RemoveTip(second));
    // Another guide of this visit is listed the same way.
    let other = Guide::new(Id::new("other").unwrap(), "Other");
    page.own("other.json", save(&other).as_bytes());
    assert_eq!(page.open_desk().tip_order, TipOrder::Importance);
}

#[test]
fn a_removed_tip_gives_the_focus_to_its_neighbour() {
    let mut page = typed();
    let first = with_tip(&mut page, "2", "a");
    let second = with_tip(&mut page, "5", "b");
    let third = with_tip(&mut page, "9", "c");
    page.desk(DeskMsg::RemoveTip(second));
    assert_eq!(page.asked.last(), Some(&focus(&format!("edit-{third}"))));
    page.desk(DeskMsg::RemoveTip(third));
    assert_eq!(page.asked.last(), Some(&focus(&format!("edit-{first}"))));
    page.desk(DeskMsg::RemoveTip(first));
    assert_eq!(page.asked.last(), Some(&focus("add-tip")));
    page.desk(DeskMsg::Undo);
    assert_eq!(page.guide().tips[0].text, "a");
}

#[test]
fn opening_another_tip_leaves_no_empty_one_behind() {
    let mut page = typed();
    let written = with_tip(&mut page, "2", "a");
    page.desk(DeskMsg::AddTip)
        .desk(DeskMsg::OpenTip(written.clone()));
    assert_eq!(page.guide().tips.len(), 1);
    assert_eq!(page.open_desk().open_tip, Some(written));
}

#[test]
fn a_tip_is_shown_in_the_road_map() {
    let mut page = typed();
    let tip = with_tip(&mut page, "20-22", "a");
    page.desk(DeskMsg::Select(0, Extend::No))
        .desk(DeskMsg::Room(Room::Tips))
        .desk(DeskMsg::ShowTip(tip));
    let desk = page.open_desk();
    assert_eq!(desk.room, Room::RoadMap);
    assert_eq!((desk.selection.first(), desk.selection.last()), (19, 21));
    assert!(page.asked.contains(&focus("m-21")));
}

#[test]
fn the_facts_open_and_close_with_the_focus() {
    let mut page = typed();
    page.desk(DeskMsg::ToggleFacts);
    assert!(page.open_desk().facts_open);
    assert_eq!(page.asked.last(), Some(&focus("facts-title")));
    page.desk(DeskMsg::ToggleFacts);
    assert_eq!(page.asked.last(), Some(&focus("open-facts")));
    page.desk(DeskMsg::ToggleFacts)
        .desk(DeskMsg::Room(Room::Tips));
    assert!(!page.open_desk().facts_open);
}

#[test]
fn the_guide_itself_is_changed_in_every_field() {
    let mut page = typed();
    let part = page.guide().parts[0].id.clone();
    for (field, text) in [
        (GuideField::Title, "Ferry"),
        (GuideField::Composer, "Nobody"),
        (GuideField::Word, "Slowly first."),
        (GuideField::CountStyle, "through"),
        (GuideField::MeasureWord, "bar"),
        (GuideField::Language, "de"),
        (GuideField::CountIn, "2"),
    ] {
        page.desk(DeskMsg::GuideField(field, text.to_owned()));
    }
    page.desk(DeskMsg::PartName(part, "Viola".to_owned()));
    let guide = page.guide();
    assert_eq!(
        [
            &guide.title,
            &guide.composer,
            &guide.word,
            &guide.parts[0].name
        ],
        ["Ferry", "Nobody", "Slowly first.", "Viola"]
    );
    assert_eq!(guide.settings.count_style, CountStyle::Through);
    assert_eq!(guide.settings.measure_word, MeasureWord::Bar);
    assert_eq!(guide.settings.language, Language::German);
    assert_eq!(guide.settings.count_in, 2);
    page.desk(DeskMsg::GuideField(GuideField::CountIn, "9".to_owned()));
    assert_eq!(page.guide().settings.count_in, 4);
    assert_eq!(
        page.open_desk().history.undo_words(),
        Some("change the count-in")
    );
}

#[test]
fn typing_is_one_step_until_the_field_is_left() {
    let mut page = typed();
    let title = |text: &str| DeskMsg::GuideField(GuideField::Title, text.to_owned());
    page.desk(title("F"))
        .desk(title("Fe"))
        .desk(DeskMsg::Settle)
        .desk(title("Fer"));
    page.desk(DeskMsg::Undo);
    assert_eq!(page.guide().title, "Fe");
    page.desk(DeskMsg::Undo);
    assert_eq!(page.guide().title, "Untitled");
    let told = Effect::Say("Undone: change the title".to_owned());
    assert!(page.asked.contains(&told));
    page.desk(DeskMsg::Redo).desk(DeskMsg::Redo);
    assert_eq!(page.guide().title, "Fer");
    let told = Effect::Say("Done again: change the title".to_owned());
    assert!(page.asked.contains(&told));
    let effects = page.asked.len();
    page.desk(DeskMsg::Redo);
    assert_eq!(page.asked.len(), effects);
}

#[test]
fn handing_out_tells_how_many_files_went_or_why_none() {
    let mut page = trio();
    let part = page.guide().parts[0].id.clone();
    for (msg, count) in [
        (DeskMsg::HandOut(Some(part)), 1),
        (DeskMsg::HandOut(None), 1),
        (DeskMsg::HandOutEach, 3),
    ] {
        page.asked.clear();
        page.desk(msg);
        let downloads = |effect: &&Effect| matches!(effect, Effect::Download { .. });
        let files = page.asked.iter().filter(downloads).count();
        if cueleaf_bundle::player().is_some() {
            assert_eq!(files, count);
            assert!(matches!(page.asked.last(), Some(Effect::Say(_))));
        } else {
            assert_eq!(files, 0);
            assert!(page.notice().contains("without the student’s player"));
        }
    }
}

#[test]
fn messages_for_a_document_do_nothing_without_one() {
    let mut page = Page::new();
    for msg in [DeskMsg::AddTip, DeskMsg::Undo, DeskMsg::HandOutEach] {
        page.desk(msg);
    }
    assert!(page.asked.is_empty() && page.notice().is_empty());
}
