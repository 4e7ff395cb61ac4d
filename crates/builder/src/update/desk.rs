//! In the open document: rooms, choosing, editing, undoing.

mod facts;
pub(crate) mod hand;
mod link;
mod marks;
pub(crate) mod media;
pub(crate) mod notes;
pub(crate) mod phrases;
mod proposals;
mod tips;
mod todos;

use super::{hand_out, keeping};
use crate::edit::tempo::{TempoWish, remove_mark};
use crate::edit::tip_shows::address_for_all;
use crate::edit::tips::toggle_part;
use crate::edit::{measures, moving};
use crate::history::Beside;
use crate::msg::{DeskMsg, Effect, Extend, GuideField};
use crate::notes::MapAs;
use crate::phrases::tip_of;
use crate::places::read_measures;
use crate::state::{
    Desk, Draft, FactsBy, Field, Folded, Notice, Preview, Room, Selection, State, TipBy,
};
use cueleaf_guide::{CountStyle, Guide, Id, Language, MAX_COUNT_IN, MeasureWord, TooLarge};
use cueleaf_time::BeatSpan;
use std::rc::Rc;

pub(super) fn update(state: &mut State, msg: DeskMsg, effects: &mut Vec<Effect>) {
    let fresh = state.fresh_id();
    let Some(desk) = state.desk_mut() else { return };
    if !matches!(msg, DeskMsg::TypePlace(_) | DeskMsg::Settle) {
        desk.typed_place.clear();
    }
    match msg {
        DeskMsg::Room(room) => {
            go_to(desk, room, effects);
            // An arrow key goes on from the tab that it went to.
            effects.push(Effect::Focus(format!("tab-{}", room.code())));
        }
        DeskMsg::NameIt => {
            go_to(desk, Room::HandOut, effects);
            effects.push(Effect::Focus("guide-field-title".to_owned()));
        }
        DeskMsg::Select(index, extend) => select(desk, index, extend, effects),
        DeskMsg::Move(by, extend) => {
            let index = desk.selection.focus.saturating_add_signed(by);
            select(desk, index, extend, effects);
            effects.push(Effect::Focus(measure_id(desk.selection.focus)));
        }
        DeskMsg::Go(index, extend) => {
            desk.map_as = MapAs::Measures;
            select(desk, index, extend, effects);
            effects.push(Effect::Focus(measure_id(desk.selection.focus)));
        }
        DeskMsg::Seek(index) => {
            select(desk, index, Extend::No, effects);
            effects.push(Effect::Reveal(measure_id(desk.selection.focus)));
        }
        DeskMsg::SelectText(text) => select_text(desk, text, effects),
        DeskMsg::ToggleExtending => desk.extending = !desk.extending,
        DeskMsg::Reach(reach) => desk.reach = Some(reach),
        DeskMsg::Fact(fact, text) => facts::set_fact(desk, fact, text, effects),
        DeskMsg::TempoBeat(text) => facts::tempo_beat(desk, text),
        DeskMsg::RemoveTempo(index, mark) => {
            let made = remove_mark(desk.guide(), index, mark);
            let words = format!("remove a tempo mark at {}", desk.derived.name(index));
            commit(desk, made, words, effects);
            effects.push(Effect::Focus("fact-tempo-number".to_owned()));
        }
        DeskMsg::NumberOn => facts::number_on(desk, effects),
        DeskMsg::MakeFull => {
            let made = measures::make_full(desk.guide(), chosen(desk));
            let words = format!("make {} full", stretch(desk));
            commit(desk, made, words, effects);
            effects.push(Effect::Focus("fact-meter".to_owned()));
        }
        DeskMsg::InsertMeasure => {
            let last = desk.selection.last();
            let made = moving::insert_after(desk.guide(), last, 1);
            let words = format!("insert a measure after {}", desk.derived.name(last));
            commit(desk, made, words, effects);
            let index = last + 1;
            select(desk, index, Extend::No, effects);
            if desk.guide().road_map.measures.len() == 1 {
                // The button stood in the place of the map.
                effects.push(Effect::Focus(measure_id(desk.selection.focus)));
            }
        }
        DeskMsg::Printed(what, text) => facts::set_printed(desk, what, text, effects),
        DeskMsg::NewMark(field, text) => marks::write(desk, &field, text),
        DeskMsg::AddMark => marks::add(desk, effects),
        DeskMsg::RemoveMark(index) => marks::remove(desk, index, effects),
        DeskMsg::DuplicateMeasures => {
            let made = moving::duplicate(desk.guide(), chosen(desk));
            let words = format!("copy {}", stretch(desk));
            commit(desk, made, words, effects);
        }
        DeskMsg::ShiftMeasures(way) => shift(desk, way, effects),
        DeskMsg::RemoveMeasures => {
            let made = moving::remove(desk.guide(), chosen(desk));
            let words = format!("remove {}", stretch(desk));
            let first = desk.selection.first();
            commit(desk, made, words, effects);
            select(desk, first, Extend::No, effects);
            let none_left = desk.guide().road_map.measures.is_empty();
            effects.push(Effect::Focus(if none_left {
                "undo".to_owned()
            } else {
                measure_id(desk.selection.focus)
            }));
        }
        DeskMsg::ToggleFacts => {
            desk.facts_open = !desk.facts_open;
            desk.facts_by = FactsBy::Button;
            let target = if desk.facts_open {
                "facts-title"
            } else {
                "open-facts"
            };
            effects.push(Effect::Focus(target.to_owned()));
        }
        DeskMsg::OpenFacts => {
            desk.facts_open = true;
            desk.facts_by = FactsBy::Map;
            effects.push(Effect::Focus("facts-title".to_owned()));
        }
        DeskMsg::CloseFacts => {
            let by = if desk.facts_open {
                desk.facts_by
            } else {
                FactsBy::Map
            };
            desk.facts_open = false;
            effects.push(Effect::Focus(match by {
                FactsBy::Map => measure_id(desk.selection.focus),
                FactsBy::Button => "open-facts".to_owned(),
            }));
        }
        DeskMsg::Fold(id, open) => {
            let folded = if open == "open" {
                Folded::No
            } else {
                Folded::Yes
            };
            desk.folds.insert(id, folded);
        }
        DeskMsg::OrderTips(order) => {
            desk.tip_order = order;
            state.tip_order = order;
        }
        DeskMsg::TypePlace(letter) => type_place(desk, letter, effects),
        DeskMsg::AddTip => {
            let by = if desk.room == Room::RoadMap && !desk.facts_open {
                TipBy::Button
            } else {
                TipBy::List
            };
            tips::add(desk, fresh, by, effects);
        }
        DeskMsg::AddTipFromMap => tips::add(desk, fresh, TipBy::Map, effects),
        DeskMsg::OpenTip(id) => {
            if desk.open_tip.as_ref() != Some(&id) {
                tips::drop_empty(desk, effects);
            }
            // Who opens a tip again goes on after its last word.
            let text = tip_of(desk.guide(), &id).map_or("", |(text, _)| text);
            let end = text.encode_utf16().count();
            effects.push(Effect::Caret(format!("tip-text-{id}"), end..end));
            desk.open_tip = Some(id);
            desk.tip_by = TipBy::List;
        }
        DeskMsg::CloseTip => tips::close(desk, effects),
        DeskMsg::LeaveTip => tips::leave(desk, effects),
        DeskMsg::Tip(id, change) => tips::change(desk, &id, change, effects),
        DeskMsg::TipPlace(id, text) => tips::set_place(desk, &id, text, effects),
        DeskMsg::TipShows(id, shows, text) => tips::set_shows(desk, &id, shows, text, effects),
        DeskMsg::TipPart(id, part) => {
            let made = toggle_part(desk.guide(), &id, &part);
            let words = tips::words_for(desk, &id, "change the parts of");
            commit(desk, made, words, effects);
        }
        DeskMsg::Media(msg) => media::take(desk, msg, effects),
        DeskMsg::Todo(msg) => todos::take(desk, msg, fresh, effects),
        DeskMsg::WatchForAll(id) => {
            let made = address_for_all(desk.guide(), &id);
            let words = "say where the recording of all tips is";
            commit(desk, made, words, effects);
            effects.push(Effect::Focus(format!("tip-watch-address-{id}")));
        }
        DeskMsg::RemoveTip(id) => tips::remove(desk, &id, effects),
        DeskMsg::ShowTip(id) => tips::show(desk, &id, effects),
        DeskMsg::GuideField(field, text) => guide_field(desk, field, &text, effects),
        DeskMsg::PartName(id, name) => part_name(desk, &id, name, effects),
        DeskMsg::Notes(msg) => notes::update(desk, msg, effects),
        DeskMsg::Settle => notes::settle(desk),
        DeskMsg::Undo => {
            let words = desk.history.undo_words().map(str::to_owned);
            turn(desk, Turn::Undo, effects);
            let told = state
                .notice
                .as_ref()
                .and_then(|notice| notice.step.as_ref());
            if words.is_some() && words.as_ref() == told {
                state.notice = None;
            }
        }
        DeskMsg::Redo => turn(desk, Turn::Redo, effects),
        DeskMsg::TryPart(id) => {
            desk.try_part = Id::new(&id);
            update_preview(desk, effects);
        }
        DeskMsg::ToggleBeside => {
            desk.beside = !desk.beside;
            show_preview(desk, effects);
        }
        DeskMsg::PreviewReady => {
            if desk.preview == Preview::Loading {
                desk.preview = Preview::Following;
                // Edits may have come while it was loading.
                update_preview(desk, effects);
            }
        }
        DeskMsg::HandOut(part) => {
            let result =
                hand_out::pages(desk.guide(), part.into_iter().collect(), hand_out::page_of);
            take(state, result, effects);
        }
        DeskMsg::HandOutEach => {
            let parts: Vec<Id> = desk.guide().parts.iter().map(|p| p.id.clone()).collect();
            let result = hand_out::pages(desk.guide(), parts, hand_out::page_of);
            take(state, result, effects);
        }
        DeskMsg::Watch(msg) => proposals::take(state, msg, effects),
        DeskMsg::Link(msg) => {
            if let Some(address) = link::take(desk, msg, effects) {
                state.shelf.address.clone_from(&address);
                effects.push(Effect::KeepAddress(address));
            }
        }
        DeskMsg::Hand(msg) => hand::take(desk, msg, effects),
    }
}

fn take(state: &mut State, result: Result<Vec<Effect>, String>, effects: &mut Vec<Effect>) {
    match result {
        Ok(made) => {
            let count = made.len();
            effects.extend(made);
            effects.push(Effect::Say(if count == 1 {
                "The file went to your downloads.".to_owned()
            } else {
                format!("{count} files went to your downloads.")
            }));
        }
        Err(reason) => state.notice = Some(Notice::trouble(reason)),
    }
}

/// Gives the id of a measure's element.
#[must_use]
pub(crate) fn measure_id(index: usize) -> String {
    format!("m-{index}")
}

fn chosen(desk: &Desk) -> (usize, usize) {
    (desk.selection.first(), desk.selection.last())
}

fn stretch(desk: &Desk) -> String {
    desk.derived
        .stretch(desk.selection.first(), desk.selection.last())
}

fn go_to(desk: &mut Desk, room: Room, effects: &mut Vec<Effect>) {
    desk.history.settle();
    desk.room = room;
    desk.facts_open = false;
    desk.look_at_notes();
    show_preview(desk, effects);
    hand::enter(desk, effects);
}

fn select(desk: &mut Desk, index: usize, extend: Extend, effects: &mut Vec<Effect>) {
    let Some(last) = desk.guide().road_map.measures.len().checked_sub(1) else {
        return;
    };
    let index = index.min(last);
    let before = desk.selection;
    desk.selection.focus = index;
    if extend == Extend::No && !desk.extending {
        desk.selection.anchor = index;
    }
    if extend == Extend::No {
        desk.extending = false;
    }
    if before != desk.selection {
        desk.history.settle();
        desk.drafts.retain(|field, _| {
            matches!(
                field,
                Field::TipPlace(_) | Field::TipShows(..) | Field::TodoPlace(_)
            )
        });
        desk.tempo_wish = TempoWish::default();
        desk.tempo_at = BeatSpan::ZERO;
        desk.new_mark.at.clear();
        desk.new_mark.to.clear();
        desk.mark_problem = None;
        desk.reach = None;
        if desk.selection.anchor != desk.selection.focus {
            effects.push(Effect::Say(format!("{} chosen", stretch(desk))));
        }
    }
}

fn shift(desk: &mut Desk, way: moving::Way, effects: &mut Vec<Effect>) {
    let Some(made) = moving::shift(desk.guide(), chosen(desk), way) else {
        effects.push(Effect::Say("That is the end of the music".to_owned()));
        return;
    };
    let words = format!("move {}", stretch(desk));
    let moved = |index: usize| match way {
        moving::Way::Earlier => index.saturating_sub(1),
        moving::Way::Later => index + 1,
    };
    let selection = Selection {
        anchor: moved(desk.selection.anchor),
        focus: moved(desk.selection.focus),
    };
    commit(desk, made, words, effects);
    desk.selection = selection;
}

/// Goes on with a place that is typed on the map: "3", "33", "33-", "33-4", "33-40". What
/// goes on to no measure begins anew.
fn type_place(desk: &mut Desk, letter: char, effects: &mut Vec<Effect>) {
    let longer = format!("{}{letter}", desk.typed_place);
    let typed = [longer, letter.to_string()];
    let place = |text: &String| {
        let whole = text.trim_end_matches('-');
        let (first, last) = read_measures(desk.guide(), whole).ok()?;
        // Of "33-4" the end is still to come.
        let start = whole.split('-').next().unwrap_or_default();
        let (start, _) = read_measures(desk.guide(), start).ok()?;
        let stretch = if first < start {
            (start, start)
        } else {
            (first, last)
        };
        Some((text.clone(), stretch))
    };
    let Some((text, (first, last))) = typed.iter().find_map(place) else {
        return;
    };
    select(desk, first, Extend::No, effects);
    select(desk, last, Extend::Yes, effects);
    desk.typed_place = text;
    effects.push(Effect::Focus(measure_id(last)));
}

fn select_text(desk: &mut Desk, text: String, effects: &mut Vec<Effect>) {
    match read_measures(desk.guide(), &text) {
        Ok((first, last)) => {
            desk.drafts.remove(&Field::Selection);
            desk.extending = false;
            select(desk, first, Extend::No, effects);
            select(desk, last, Extend::Yes, effects);
            desk.selection = Selection {
                anchor: first,
                focus: last,
            };
            effects.push(Effect::Reveal(measure_id(first)));
        }
        Err(problem) => {
            let draft = Draft { text, problem };
            desk.drafts.insert(Field::Selection, draft);
        }
    }
}

/// Takes an edited document, and lets everything follow. One that could not be opened again is
/// refused, and nothing changes.
pub(super) fn commit(
    desk: &mut Desk,
    made: Guide,
    words: impl Into<String>,
    effects: &mut Vec<Effect>,
) {
    let taken = desk.history.commit(made, words);
    taken_or_refused(desk, taken, effects);
}

fn commit_run(desk: &mut Desk, made: Guide, words: String, run: &str, effects: &mut Vec<Effect>) {
    let taken = desk.history.commit_run(made, words, run);
    taken_or_refused(desk, taken, effects);
}

fn taken_or_refused(desk: &mut Desk, taken: Result<bool, TooLarge>, effects: &mut Vec<Effect>) {
    match taken {
        Ok(true) => follow(desk, effects),
        Ok(false) => {}
        Err(over) => desk.refused = Some(over),
    }
}

/// Tells that an edit was refused, in the place of what is said of edits that were taken.
pub(super) fn tell_refused(state: &mut State, effects: &mut Vec<Effect>) {
    let Some(desk) = state.desk_mut() else { return };
    let Some(over) = desk.refused.take() else {
        return;
    };
    // What was open for the edit goes, and the fields show again what stands.
    desk.refresh();
    notes::fill(desk, effects);
    effects.retain(|effect| !matches!(effect, Effect::Say(_)));
    state.notice = Some(Notice::trouble(refused_words(over)));
}

/// Says why an edit was refused.
pub(crate) fn refused_words(over: TooLarge) -> String {
    match over.what {
        "bytes" => format!(
            "Nothing was changed: the guide would take more than {} MB, and could not be opened \
             again. Photos and voice notes weigh most.",
            over.limit / 1_000_000
        ),
        what => format!(
            "Nothing was changed: that would be {} {what}, and a guide can have {}.",
            over.actual, over.limit
        ),
    }
}

fn follow(desk: &mut Desk, effects: &mut Vec<Effect>) {
    desk.refresh();
    notes::fill(desk, effects);
    keeping::soon(desk, effects);
    update_preview(desk, effects);
    hand::follow(desk, effects);
}

fn update_preview(desk: &Desk, effects: &mut Vec<Effect>) {
    if desk.preview == Preview::Following {
        effects.push(Effect::UpdatePreview(desk.tried()));
    }
}

pub(super) fn show_preview(desk: &mut Desk, effects: &mut Vec<Effect>) {
    if desk.shows_preview() && desk.preview == Preview::Absent {
        desk.preview = Preview::Loading;
        effects.push(Effect::ShowPreview(desk.tried()));
    }
}

enum Turn {
    Undo,
    Redo,
}

fn turn(desk: &mut Desk, way: Turn, effects: &mut Vec<Effect>) {
    let before = Rc::clone(desk.guide());
    let beside = match way {
        Turn::Undo => desk.history.beside_of_undo(),
        Turn::Redo => desk.history.beside_of_redo(),
    };
    let told = match way {
        Turn::Undo => desk.history.undo().map(|words| format!("Undone: {words}")),
        Turn::Redo => desk
            .history
            .redo()
            .map(|words| format!("Done again: {words}")),
    };
    let Some(told) = told else { return };
    if let Some(beside) = beside {
        let Beside { dropped, shown } = beside.as_ref();
        match way {
            Turn::Undo => proposals::turn(desk, shown, dropped),
            Turn::Redo => proposals::turn(desk, dropped, shown),
        }
    }
    desk.drafts.clear();
    desk.tempo_wish = TempoWish::default();
    follow(desk, effects);
    effects.push(Effect::Say(told));
    // The place that changed comes into view.
    let lists = (&before.road_map.measures, &desk.guide().road_map.measures);
    let first = lists
        .0
        .iter()
        .zip(lists.1)
        .position(|(old, new)| old != new);
    if let (Some(index), Room::RoadMap) = (first, desk.room) {
        effects.push(Effect::Reveal(measure_id(index)));
    }
}

fn guide_field(desk: &mut Desk, field: GuideField, text: &str, effects: &mut Vec<Effect>) {
    let mut made = desk.guide().as_ref().clone();
    let (words, run) = match field {
        GuideField::Title => {
            text.clone_into(&mut made.title);
            ("change the title", Some("title"))
        }
        GuideField::Composer => {
            text.clone_into(&mut made.composer);
            ("change the composer", Some("composer"))
        }
        GuideField::Word => {
            text.clone_into(&mut made.word);
            ("change your word to the student", Some("word"))
        }
        GuideField::CountStyle => {
            made.settings.count_style = match text {
                "through" => CountStyle::Through,
                _ => CountStyle::EachGroup,
            };
            ("change how uneven measures are counted", None)
        }
        GuideField::MeasureWord => {
            made.settings.measure_word = match text {
                "bar" => MeasureWord::Bar,
                _ => MeasureWord::Measure,
            };
            ("change what a measure is called", None)
        }
        GuideField::Language => {
            made.settings.language = Language::find(text).unwrap_or_default();
            ("change the words for the student", None)
        }
        GuideField::CountIn => {
            made.settings.count_in = text.parse().unwrap_or(1).min(MAX_COUNT_IN);
            ("change the count-in", None)
        }
        GuideField::MayShare => {
            made.settings.may_share = text == "on";
            desk.media.told = None;
            let words = "say whether photos and voice notes may be handed out";
            (words, None)
        }
    };
    match run {
        Some(run) => commit_run(desk, made, words.to_owned(), run, effects),
        None => commit(desk, made, words, effects),
    }
}

fn part_name(desk: &mut Desk, id: &Id, name: String, effects: &mut Vec<Effect>) {
    let mut made = desk.guide().as_ref().clone();
    if let Some(part) = made.parts.iter_mut().find(|part| part.id == *id) {
        part.name = name;
    }
    let run = format!("part-{id}");
    commit_run(desk, made, "rename a part".to_owned(), &run, effects);
}
