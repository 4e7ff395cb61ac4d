//! The road map room: what is printed, message by message, with its words for undo.

use super::{Page, typed};
use crate::edit::moving::Way;
use crate::edit::printed::Printed;
use crate::msg::{DeskMsg, Extend, Fact};
use crate::state::Field;
use cueleaf_guide::{MarkKind, Place, TempoMark};

fn printed(page: &mut Page, measures: &str, code: &str, text: &str) {
    page.desk(DeskMsg::SelectText(measures.to_owned()))
        .desk(DeskMsg::Printed(
            Printed::of(code).unwrap(),
            text.to_owned(),
        ));
}

fn undo_words(page: &Page) -> &str {
    page.open_desk().history.undo_words().unwrap_or("")
}

fn order(page: &Page, measures: usize) -> Vec<usize> {
    let order = page.open_desk().derived.plan.order();
    order
        .iter()
        .map(|own| own.measure + 1)
        .take(measures)
        .collect()
}

fn mark(page: &Page, measure: usize, index: usize) -> &TempoMark {
    &page.guide().road_map.measures[measure].tempo[index]
}

fn quarters_at(page: &Page, measure: usize) -> f64 {
    let plan = &page.open_desk().derived.plan;
    plan.tempo()
        .quarters_per_minute_at(plan.layout().get(measure).unwrap().start)
}

/// Every entry is one step with its own words, and the order of play follows.
#[test]
fn each_entry_is_one_step_with_words() {
    let mut page = typed();
    let start = page.guide().clone();
    let entries = [
        ("2", "repeat-from", "on", "change the repeat at 2"),
        ("4", "ending", "1", "change the ending at 4"),
        ("4", "repeat-back", "2", "change the repeat at 4"),
        ("5", "ending", "2", "change the ending at 5"),
        ("1", "segno", "on", "change the segno at 1"),
        ("6", "to-coda", "on", "change the coda at 6"),
        ("7", "jump", "segno", "change the jump at 7"),
        ("7", "jump-until", "coda", "change the jump at 7"),
        ("9", "coda", "on", "change the coda at 9"),
        ("11-12", "cut", "on", "change the cut at 11–12"),
        ("20", "hold-at", "4", "change the fermata at 20"),
        ("20", "hold-longer/0", "2", "change the fermata at 20"),
        ("32", "length", "3", "change the length at 32"),
        ("21", "movement", "on", "change the movement at 21"),
        ("8", "fine", "on", "change the Fine at 8"),
    ];
    for (measures, code, text, words) in entries {
        printed(&mut page, measures, code, text);
        assert_eq!(undo_words(&page), words);
    }
    assert_eq!(
        order(&page, 16),
        [1, 2, 3, 4, 2, 3, 5, 6, 7, 1, 2, 3, 5, 6, 9, 10]
    );
    let seconds = page.open_desk().derived.plan.end().get();
    for _ in entries {
        page.desk(DeskMsg::Undo);
    }
    assert_eq!(page.guide(), &start);
    assert!((page.open_desk().derived.plan.end().get() - seconds).abs() > 1.0);
}

#[test]
fn a_tempo_stands_on_any_beat() {
    let mut page = typed();
    page.desk(DeskMsg::SelectText("9".to_owned()))
        .fact(Fact::TempoNumber, "120")
        .desk(DeskMsg::SelectText("13".to_owned()))
        .desk(DeskMsg::TempoBeat("5".to_owned()));
    let draft = page.open_desk().drafts.get(&Field::TempoBeat).unwrap();
    assert!(draft.problem.contains("has the beats 1, 2, 3, 4"));
    page.desk(DeskMsg::TempoBeat("3".to_owned()))
        .fact(Fact::TempoWords, "rit.")
        .fact(Fact::TempoNumber, "60")
        .desk(DeskMsg::Printed(Printed::TempoUntil, "15".to_owned()))
        .desk(DeskMsg::Printed(Printed::TempoShape, "runner".to_owned()));
    let rit = mark(&page, 12, 0);
    assert_eq!(
        (rit.at.to_string().as_str(), rit.words.as_str()),
        ("2", "rit.")
    );
    assert_eq!(rit.until, Some(Place::start_of(14)));
    assert!((quarters_at(&page, 12) - 120.0).abs() < 1e-9);
    assert!((quarters_at(&page, 14) - 60.0).abs() < 1e-9);
    assert!((61.0..119.0).contains(&quarters_at(&page, 13)));
    // One more at the first beat of the same measure, then back to the rit.
    page.desk(DeskMsg::TempoBeat("1".to_owned()))
        .fact(Fact::TempoWords, "Calm");
    assert_eq!(mark(&page, 12, 0).words, "Calm");
    page.desk(DeskMsg::TempoBeat("3".to_owned()))
        .desk(DeskMsg::Printed(Printed::TempoUntil, "2".to_owned()));
    assert_eq!(mark(&page, 12, 1).until, Some(Place::start_of(14)));
    // Another measure starts at its first beat.
    page.desk(DeskMsg::SelectText("14".to_owned()));
    assert!(page.open_desk().tempo_at.is_zero());
}

#[test]
fn other_words_and_numbers_leave_the_end_of_a_rit_where_it_is() {
    let mut page = typed();
    page.desk(DeskMsg::SelectText("3".to_owned()))
        .fact(Fact::TempoNumber, "60")
        .desk(DeskMsg::Printed(Printed::TempoUntil, "4 beat 3".to_owned()));
    let until = mark(&page, 2, 0).until;
    page.fact(Fact::TempoWords, "allargando")
        .fact(Fact::TempoNumber, "54");
    assert_eq!(mark(&page, 2, 0).until, until);
    // A rit. that is meant at once is the teacher's choice.
    page.fact(Fact::TempoManner, "at-once");
    assert_eq!(mark(&page, 2, 0).until, None);
    assert!((quarters_at(&page, 2) - 54.0).abs() < 1e-9);
}

#[test]
fn a_tempo_word_offers_ranges_and_sets_no_number() {
    let mut page = typed();
    page.desk(DeskMsg::SelectText("5".to_owned()));
    let before = quarters_at(&page, 4);
    page.fact(Fact::TempoWords, "Moderato");
    assert_eq!(mark(&page, 4, 0).tempo, None);
    assert!((quarters_at(&page, 4) - before).abs() < 1e-9);
    let fragments = crate::view::fragments(page.state());
    let (_, facts) = fragments
        .iter()
        .find(|(key, _)| key == "facts-tempo")
        .unwrap();
    // Source: the table of freemusicdictionary.com, as in the guide's own.
    assert!(facts.contains("108–120 (freemusicdictionary.com"));
}

#[test]
fn an_edit_of_one_fact_draws_the_others_as_they_were() {
    let mut page = typed();
    page.desk(DeskMsg::SelectText("5".to_owned()));
    let before = crate::view::fragments(page.state());
    page.fact(Fact::TempoWords, "Moderato");
    let after = crate::view::fragments(page.state());
    let facts = |(key, _): &&(String, String)| key.starts_with("facts");
    assert!(after.iter().filter(facts).count() > 8);
    let differ: Vec<&str> = before
        .iter()
        .zip(&after)
        .filter(|(old, new)| old != new)
        .map(|(_, (key, _))| key.as_str())
        .collect();
    assert_eq!(differ, ["facts-tempo", "line-0", "top"]);
}

#[test]
fn marks_follow_their_measures_and_the_picture_says_them() {
    let mut page = typed();
    page.desk(DeskMsg::SelectText("8".to_owned()));
    for (field, text) in [("kind", "grow"), ("to", "10")] {
        page.desk(DeskMsg::NewMark(field.to_owned(), text.to_owned()));
    }
    page.desk(DeskMsg::AddMark);
    assert_eq!(undo_words(&page), "add a mark at 8");
    page.desk(DeskMsg::SelectText("1".to_owned()))
        .desk(DeskMsg::InsertMeasure);
    let hairpin = &page.guide().parts[0].marks[0];
    assert_eq!((hairpin.kind, hairpin.measure), (MarkKind::Grow, 8));
    assert_eq!(hairpin.to, Some(Place::start_of(11)));
    let fragments = crate::view::fragments(page.state());
    let (_, picture) = fragments.iter().find(|(key, _)| key == "curve").unwrap();
    assert!(picture.contains("crescendo from 8 to the end of 10"));
    assert!(picture.contains("data-do=\"go-measure\" data-value=\"32\""));
    page.desk(DeskMsg::SelectText("8".to_owned()))
        .desk(DeskMsg::ShiftMeasures(Way::Later));
    assert_eq!(undo_words(&page), "move 8");
    assert_eq!(page.open_desk().selection.first(), 9);
    assert_eq!(page.guide().parts[0].marks[0].measure, 9);
    page.desk(DeskMsg::RemoveMark(0));
    assert!(page.guide().parts[0].marks.is_empty());
    assert_eq!(undo_words(&page), "remove a mark");
}

#[test]
fn little_by_little_may_be_chosen_before_the_number() {
    let mut page = typed();
    page.desk(DeskMsg::Select(2, Extend::No))
        .desk(DeskMsg::Select(5, Extend::Yes));
    page.fact(Fact::TempoManner, "gradual");
    assert!(page.guide().road_map.measures[2].tempo.is_empty());
    page.fact(Fact::TempoNumber, "90");
    let mark = &page.guide().road_map.measures[2].tempo[0];
    assert_eq!(mark.until, Some(Place::start_of(6)));
    // Elsewhere nothing of it is meant.
    page.desk(DeskMsg::Select(8, Extend::No));
    page.fact(Fact::TempoNumber, "70");
    assert_eq!(page.guide().road_map.measures[8].tempo[0].until, None);
}

#[test]
fn what_was_typed_for_one_mark_is_not_meant_for_the_next() {
    let mut page = typed();
    let write = |page: &mut Page, field: &str, text: &str| {
        page.desk(DeskMsg::NewMark(field.to_owned(), text.to_owned()));
    };
    write(&mut page, "at", "2");
    page.desk(DeskMsg::AddMark);
    assert_eq!(page.open_desk().new_mark.at, "");
    write(&mut page, "at", "3");
    page.desk(DeskMsg::Select(4, Extend::No));
    assert_eq!(page.open_desk().new_mark.at, "");
}
