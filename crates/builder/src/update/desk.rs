//! In the open document: rooms, choosing, editing, undoing.

use super::{hand_out, keeping};
use crate::edit::tempo::{Manner, fields_of, remove_mark, set_tempo};
use crate::edit::tips::{self, TipChange};
use crate::edit::{Reach, measures};
use crate::msg::{DeskMsg, Effect, Extend, Fact, GuideField};
use crate::places::{read_measures, read_spot};
use crate::state::{Desk, Draft, Field, Notice, Preview, Room, Selection, State};
use cueleaf_guide::{CountStyle, Guide, Id, MeasureWord, Spot};
use cueleaf_time::{BeatChoice, Grouping, Key, Meter};
use std::rc::Rc;

pub(super) fn update(state: &mut State, msg: DeskMsg, effects: &mut Vec<Effect>) {
    let fresh = state.fresh_id();
    let Some(desk) = state.desk_mut() else { return };
    match msg {
        DeskMsg::Room(room) => go_to(desk, room, effects),
        DeskMsg::Select(index, extend) => select(desk, index, extend, effects),
        DeskMsg::Move(by, extend) => {
            let index = desk.selection.focus.saturating_add_signed(by);
            select(desk, index, extend, effects);
            effects.push(Effect::Focus(measure_id(desk.selection.focus)));
        }
        DeskMsg::Go(index, extend) => {
            select(desk, index, extend, effects);
            effects.push(Effect::Focus(measure_id(desk.selection.focus)));
        }
        DeskMsg::SelectText(text) => select_text(desk, text, effects),
        DeskMsg::ToggleExtending => desk.extending = !desk.extending,
        DeskMsg::Reach(reach) => desk.reach = Some(reach),
        DeskMsg::Fact(fact, text) => set_fact(desk, fact, text, effects),
        DeskMsg::RemoveTempo(index, mark) => {
            let made = remove_mark(desk.guide(), index, mark);
            let words = format!("remove a tempo mark at {}", desk.derived.name(index));
            commit(desk, made, words, effects);
            effects.push(Effect::Focus("fact-tempo-number".to_owned()));
        }
        DeskMsg::NumberOn => number_on(desk, effects),
        DeskMsg::MakeFull => {
            let made = measures::make_full(desk.guide(), chosen(desk));
            let words = format!("make {} full", stretch(desk));
            commit(desk, made, words, effects);
            effects.push(Effect::Focus("fact-meter".to_owned()));
        }
        DeskMsg::InsertMeasure => {
            let last = desk.selection.last();
            let made = measures::insert_after(desk.guide(), last, 1);
            let words = format!("insert a measure after {}", desk.derived.name(last));
            commit(desk, made, words, effects);
            let index = last + 1;
            select(desk, index, Extend::No, effects);
        }
        DeskMsg::RemoveMeasures => {
            let made = measures::remove(desk.guide(), chosen(desk));
            let words = format!("remove {}", stretch(desk));
            let first = desk.selection.first();
            commit(desk, made, words, effects);
            select(desk, first, Extend::No, effects);
            effects.push(Effect::Focus(measure_id(desk.selection.focus)));
        }
        DeskMsg::ToggleFacts => {
            desk.facts_open = !desk.facts_open;
            let target = if desk.facts_open {
                "facts-title"
            } else {
                "open-facts"
            };
            effects.push(Effect::Focus(target.to_owned()));
        }
        DeskMsg::AddTip => add_tip(desk, fresh, effects),
        DeskMsg::OpenTip(id) => {
            if desk.open_tip.as_ref() != Some(&id) {
                drop_empty(desk, effects);
            }
            effects.push(Effect::Focus(format!("tip-text-{id}")));
            desk.open_tip = Some(id);
        }
        DeskMsg::CloseTip => close_tip(desk, effects),
        DeskMsg::Tip(id, change) => change_tip(desk, &id, change, effects),
        DeskMsg::TipPlace(id, text) => tip_place(desk, &id, text, effects),
        DeskMsg::TipPart(id, part) => {
            let made = tips::toggle_part(desk.guide(), &id, &part);
            let words = tip_words(desk, &id, "change the parts of");
            commit(desk, made, words, effects);
        }
        DeskMsg::RemoveTip(id) => remove_tip(desk, &id, effects),
        DeskMsg::ShowTip(id) => show_tip(desk, &id, effects),
        DeskMsg::GuideField(field, text) => guide_field(desk, field, &text, effects),
        DeskMsg::PartName(id, name) => part_name(desk, &id, name, effects),
        DeskMsg::Settle => desk.history.settle(),
        DeskMsg::Undo => turn(desk, Turn::Undo, effects),
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
    show_preview(desk, effects);
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
        desk.drafts
            .retain(|field, _| matches!(field, Field::TipPlace(_)));
        desk.tempo_unit = None;
        desk.reach = None;
        if desk.selection.anchor != desk.selection.focus {
            effects.push(Effect::Say(format!("{} chosen", stretch(desk))));
        }
    }
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

/// Takes an edited document, and lets everything follow.
fn commit(desk: &mut Desk, made: Guide, words: impl Into<String>, effects: &mut Vec<Effect>) {
    if desk.history.commit(made, words) {
        follow(desk, effects);
    }
}

fn commit_run(desk: &mut Desk, made: Guide, words: String, run: &str, effects: &mut Vec<Effect>) {
    if desk.history.commit_run(made, words, run) {
        follow(desk, effects);
    }
}

fn follow(desk: &mut Desk, effects: &mut Vec<Effect>) {
    desk.refresh();
    keeping::soon(desk, effects);
    update_preview(desk, effects);
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
    let told = match way {
        Turn::Undo => desk.history.undo().map(|words| format!("Undone: {words}")),
        Turn::Redo => desk
            .history
            .redo()
            .map(|words| format!("Done again: {words}")),
    };
    let Some(told) = told else { return };
    desk.drafts.clear();
    desk.tempo_unit = None;
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

fn number_on(desk: &mut Desk, effects: &mut Vec<Effect>) {
    let first = desk.selection.first();
    match measures::number_on(desk.guide(), first) {
        Ok(made) => {
            let words = format!("number on from {}", desk.derived.name(first));
            commit(desk, made, words, effects);
            desk.drafts.remove(&Field::Fact(Fact::Label));
        }
        Err(problem) => {
            let measure = desk.guide().road_map.measures.get(first);
            let text = measure.map_or_else(String::new, |own| own.label.clone());
            let draft = Draft { text, problem };
            desk.drafts.insert(Field::Fact(Fact::Label), draft);
        }
    }
}

fn set_fact(desk: &mut Desk, fact: Fact, text: String, effects: &mut Vec<Effect>) {
    let field = Field::Fact(fact);
    match changed(desk, fact, &text) {
        Ok(None) => {}
        Ok(Some((made, what))) => {
            desk.drafts.remove(&field);
            let words = format!("{what} at {}", stretch(desk));
            commit(desk, made, words, effects);
        }
        Err(problem) => {
            desk.drafts.insert(field, Draft { text, problem });
        }
    }
}

type Changed = Result<Option<(Guide, &'static str)>, String>;

/// Gives the document with a fact of the chosen measures changed, and words for
/// it; `None` when the fact waits for another field.
fn changed(desk: &mut Desk, fact: Fact, text: &str) -> Changed {
    let (guide, chosen, reach) = (Rc::clone(desk.guide()), chosen(desk), desk.reach());
    let text = text.trim();
    let (made, words) = match fact {
        Fact::Meter => (meter(&guide, chosen, reach, text)?, "change the meter"),
        Fact::Groups => (groups(desk, &guide, reach, text)?, "change the groups"),
        Fact::Section => (
            measures::set_section(&guide, chosen.0, text),
            "name the section",
        ),
        Fact::Mark => (
            measures::set_mark(&guide, chosen.0, text),
            "change the rehearsal mark",
        ),
        Fact::Label => {
            if text.chars().count() > cueleaf_guide::MAX_LABEL {
                return Err("A printed number has at most 32 letters.".to_owned());
            }
            (
                measures::set_label(&guide, chosen.0, text),
                "change the printed number",
            )
        }
        Fact::Key => {
            let key = text
                .parse()
                .ok()
                .and_then(|fifths| Key::from_fifths(fifths).ok());
            (
                measures::set_key(&guide, chosen, reach, key),
                "change the key",
            )
        }
        Fact::CountBeat => {
            let beat = match text {
                "big" => BeatChoice::Big,
                "small" => BeatChoice::Small,
                _ => BeatChoice::Usual,
            };
            let made = measures::set_count(&guide, chosen, reach, Some(beat), None);
            (made, "change the counted beat")
        }
        Fact::CountStyle => {
            let style = match text {
                "through" => CountStyle::Through,
                _ => CountStyle::EachGroup,
            };
            let made = measures::set_count(&guide, chosen, reach, None, Some(style));
            (made, "change the counting")
        }
        Fact::TempoWords | Fact::TempoUnit | Fact::TempoNumber | Fact::TempoManner => {
            return tempo(desk, &guide, fact, text);
        }
    };
    Ok(Some((made, words)))
}

fn meter(guide: &Guide, chosen: (usize, usize), reach: Reach, text: &str) -> Result<Guide, String> {
    let meter = if text.is_empty() {
        None
    } else {
        let meter: Meter = text
            .parse()
            .map_err(|_| "Type a meter such as 4/4, 6/8 or 3+2/8.")?;
        Some(meter)
    };
    Ok(measures::set_meter(guide, chosen, reach, meter))
}

fn groups(desk: &Desk, guide: &Guide, reach: Reach, text: &str) -> Result<Guide, String> {
    let chosen = chosen(desk);
    let laid = desk.derived.plan.layout().get(chosen.0);
    let groups = if text.is_empty() {
        None
    } else {
        let groups: Grouping = text
            .parse()
            .map_err(|_| "Type groups such as 2+3 or 2+2+3.")?;
        let units = laid.map_or(0, |laid| laid.meter.finest_units());
        if groups.units() != units {
            let meter = laid.map_or_else(String::new, |laid| laid.meter.to_string());
            return Err(format!(
                "The groups of {meter} have to add up to {units}; {groups} makes {}.",
                groups.units()
            ));
        }
        let usual = laid.map(|laid| laid.meter.default_grouping());
        (usual.as_ref() != Some(&groups)).then_some(groups)
    };
    Ok(measures::set_groups(guide, chosen, reach, groups))
}

fn tempo(desk: &mut Desk, guide: &Guide, fact: Fact, text: &str) -> Changed {
    let (first, last) = chosen(desk);
    let mut fields = fields_of(guide, desk.derived.plan.tempo(), first);
    if let Some(unit) = &desk.tempo_unit {
        fields.unit.clone_from(unit);
    }
    // A number that could not be understood before may be meant by now.
    if let Some(draft) = desk.drafts.get(&Field::Fact(Fact::TempoNumber))
        && fact == Fact::TempoUnit
    {
        fields.number.clone_from(&draft.text);
    }
    match fact {
        Fact::TempoWords => text.clone_into(&mut fields.words),
        Fact::TempoUnit => {
            text.clone_into(&mut fields.unit);
            desk.tempo_unit = Some(text.to_owned());
        }
        Fact::TempoManner => {
            fields.manner = match text {
                "gradual" => Manner::Gradual,
                _ => Manner::AtOnce,
            };
        }
        _ => text.clone_into(&mut fields.number),
    }
    if fields.number.is_empty() && fields.words.is_empty() && fact == Fact::TempoUnit {
        return Ok(None);
    }
    let made = set_tempo(guide, (first, last), desk.reach(), &fields)?;
    if matches!(fact, Fact::TempoUnit | Fact::TempoNumber) {
        desk.drafts.remove(&Field::Fact(Fact::TempoNumber));
    }
    if !fields.number.is_empty() {
        // From here on the mark itself knows its unit.
        desk.tempo_unit = None;
    }
    Ok(Some((made, "change the tempo")))
}

fn add_tip(desk: &mut Desk, id: Id, effects: &mut Vec<Effect>) {
    if desk.guide().road_map.measures.is_empty() {
        return;
    }
    // A tip that says nothing yet is taken along instead of left behind.
    drop_empty(desk, effects);
    let (first, last) = chosen(desk);
    let made = tips::add(
        desk.guide(),
        id.clone(),
        Spot::measures(first, last),
        desk.topic,
    );
    let words = format!("add a tip at {}", stretch(desk));
    commit(desk, made, words, effects);
    effects.push(Effect::Focus(format!("tip-text-{id}")));
    desk.open_tip = Some(id);
    // On a narrow screen the tip stands in the sheet of the facts.
    desk.facts_open = desk.room == Room::RoadMap;
}

/// Takes the open tip away if it says nothing.
fn drop_empty(desk: &mut Desk, effects: &mut Vec<Effect>) {
    let Some(open) = desk.open_tip.clone() else {
        return;
    };
    let empty = desk
        .guide()
        .tips
        .iter()
        .any(|tip| tip.id == open && tips::says_nothing(tip));
    if empty {
        let made = tips::remove(desk.guide(), &open);
        commit(desk, made, "remove an empty tip", effects);
    }
}

fn close_tip(desk: &mut Desk, effects: &mut Vec<Effect>) {
    desk.history.settle();
    let Some(open) = desk.open_tip.clone() else {
        return;
    };
    desk.drafts.remove(&Field::TipPlace(open.clone()));
    drop_empty(desk, effects);
    let stays = desk.guide().tips.iter().any(|tip| tip.id == open);
    desk.open_tip = None;
    effects.push(Effect::Focus(if stays {
        format!("edit-{open}")
    } else {
        "add-tip".to_owned()
    }));
}

fn tip_words(desk: &Desk, id: &Id, what: &str) -> String {
    let tip = desk.guide().tips.iter().find(|tip| tip.id == *id);
    let place = tip.map_or("", |tip| desk.derived.name(tip.spot.from.measure));
    format!("{what} the tip at {place}")
}

fn change_tip(desk: &mut Desk, id: &Id, change: TipChange, effects: &mut Vec<Effect>) {
    if let TipChange::Topic(topic) = &change {
        desk.topic = *topic;
    }
    let (what, run) = match &change {
        TipChange::Text(_) => ("write", Some(format!("text-{id}"))),
        TipChange::Cue(_) => ("change the cue of", Some(format!("cue-{id}"))),
        TipChange::Topic(_) => ("change the topic of", None),
        TipChange::Spot(_) => ("move", None),
        TipChange::Parts(_) => ("change the parts of", None),
    };
    let words = tip_words(desk, id, what);
    let made = tips::change(desk.guide(), id, change);
    match run {
        Some(run) => commit_run(desk, made, words, &run, effects),
        None => commit(desk, made, words, effects),
    }
}

fn tip_place(desk: &mut Desk, id: &Id, text: String, effects: &mut Vec<Effect>) {
    let field = Field::TipPlace(id.clone());
    match read_spot(desk.guide(), desk.derived.plan.layout(), &text) {
        Ok(spot) => {
            desk.drafts.remove(&field);
            change_tip(desk, id, TipChange::Spot(spot), effects);
        }
        Err(problem) => {
            desk.drafts.insert(field, Draft { text, problem });
        }
    }
}

fn remove_tip(desk: &mut Desk, id: &Id, effects: &mut Vec<Effect>) {
    let order = tips::in_order(desk.guide());
    let ids: Vec<&Id> = order
        .iter()
        .filter_map(|index| desk.guide().tips.get(*index).map(|tip| &tip.id))
        .collect();
    // The focus goes to the tip after it, else to the one before it.
    let at = ids.iter().position(|own| *own == id).unwrap_or(0);
    let neighbour = ids
        .get(at + 1)
        .or_else(|| at.checked_sub(1).and_then(|before| ids.get(before)));
    let target = match neighbour {
        Some(id) => format!("edit-{id}"),
        None => "add-tip".to_owned(),
    };
    let made = tips::remove(desk.guide(), id);
    let words = tip_words(desk, id, "remove");
    commit(desk, made, words, effects);
    effects.push(Effect::Focus(target));
}

fn show_tip(desk: &mut Desk, id: &Id, effects: &mut Vec<Effect>) {
    let Some(spot) = desk
        .guide()
        .tips
        .iter()
        .find(|tip| tip.id == *id)
        .map(|tip| tip.spot)
    else {
        return;
    };
    go_to(desk, Room::RoadMap, effects);
    let last = desk.guide().road_map.measures.len().saturating_sub(1);
    desk.selection = Selection {
        anchor: spot.from.measure.min(last),
        focus: spot.last_measure().min(last),
    };
    effects.push(Effect::Focus(measure_id(desk.selection.focus)));
    effects.push(Effect::Reveal(measure_id(desk.selection.first())));
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
        GuideField::CountIn => {
            made.settings.count_in = text.parse().unwrap_or(1).min(4);
            ("change the count-in", None)
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
