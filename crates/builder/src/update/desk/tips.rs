//! Tips: to add, to write, to move, to remove.

use super::{chosen, commit, commit_run, go_to, measure_id, stretch};
use crate::edit::tip_shows::{self, Shows};
use crate::edit::tips::{self as edit, TipChange};
use crate::msg::Effect;
use crate::notes::MapAs;
use crate::places::read_spot;
use crate::state::{Desk, Draft, FactsBy, Field, Folded, Room, Selection, TipBy};
use cueleaf_guide::{Id, Spot, says_nothing};

pub(super) fn add(desk: &mut Desk, id: Id, by: TipBy, effects: &mut Vec<Effect>) {
    if desk.guide().road_map.measures.is_empty() {
        return;
    }
    // A tip that says nothing yet is taken along instead of left behind.
    drop_empty(desk, effects);
    let (first, last) = chosen(desk);
    let made = edit::add(
        desk.guide(),
        id.clone(),
        Spot::measures(first, last),
        desk.topic,
    );
    let words = format!("add a tip at {}", stretch(desk));
    commit(desk, made, words, effects);
    effects.push(Effect::Focus(format!("tip-text-{id}")));
    desk.open_tip = Some(id);
    desk.tip_by = by;
    // On a narrow screen the tip stands in the sheet of the facts.
    desk.facts_open = desk.room == Room::RoadMap;
    desk.facts_by = FactsBy::Button;
}

/// Takes the open tip away if it says nothing.
pub(super) fn drop_empty(desk: &mut Desk, effects: &mut Vec<Effect>) {
    let Some(open) = desk.open_tip.clone() else {
        return;
    };
    let empty = desk
        .guide()
        .tips
        .iter()
        .any(|tip| tip.id == open && says_nothing(tip));
    if empty {
        let made = edit::remove(desk.guide(), &open);
        commit(desk, made, "remove an empty tip", effects);
    }
}

/// Closes the open tip, unless something typed in it was refused: that gets the focus instead.
pub(super) fn close(desk: &mut Desk, effects: &mut Vec<Effect>) {
    match refused(desk) {
        Some((field, _)) => show_refused(desk, field, effects),
        None => shut(desk, effects),
    }
}

/// Closes the open tip; something refused in it gets the focus first, and is let go of when it
/// is left once more as it is.
pub(super) fn leave(desk: &mut Desk, effects: &mut Vec<Effect>) {
    let held = refused(desk);
    if let Some((field, _)) = &held
        && desk.held != held
    {
        show_refused(desk, field.clone(), effects);
        effects.push(Effect::Say(
            "Not understood. Escape once more lets it go.".to_owned(),
        ));
        desk.held = held;
        return;
    }
    shut(desk, effects);
}

/// Gives the first field of the open tip whose text was refused, as it is called in markup, and
/// the text.
fn refused(desk: &Desk) -> Option<(String, String)> {
    let open = desk.open_tip.as_ref()?;
    desk.drafts.iter().find_map(|(field, draft)| {
        let name = match field {
            Field::TipPlace(id) if id == open => format!("tip-place-{id}"),
            Field::TipShows(id, shows) if id == open => format!("tip-{}-{id}", shows.code()),
            _ => return None,
        };
        Some((name, draft.text.clone()))
    })
}

fn show_refused(desk: &mut Desk, field: String, effects: &mut Vec<Effect>) {
    if let Some(open) = &desk.open_tip {
        // It may have been folded away meanwhile.
        desk.folds.insert(format!("tip-more-{open}"), Folded::No);
    }
    effects.push(Effect::Focus(field));
}

fn shut(desk: &mut Desk, effects: &mut Vec<Effect>) {
    desk.history.settle();
    desk.held = None;
    let Some(open) = desk.open_tip.clone() else {
        return;
    };
    desk.drafts.retain(|field, _| match field {
        Field::TipPlace(id) | Field::TipShows(id, _) => *id != open,
        Field::Fact(_)
        | Field::Printed(_)
        | Field::TempoBeat
        | Field::Selection
        | Field::TodoPlace(_) => true,
    });
    drop_empty(desk, effects);
    let stays = desk.guide().tips.iter().any(|tip| tip.id == open);
    desk.open_tip = None;
    let by = core::mem::take(&mut desk.tip_by);
    if desk.room == Room::RoadMap && by != TipBy::List {
        // The sheet was opened for this tip alone.
        desk.facts_open = false;
    }
    effects.push(Effect::Focus(match by {
        TipBy::Map if desk.room == Room::RoadMap => measure_id(desk.selection.focus),
        TipBy::List if stays => format!("edit-{open}"),
        TipBy::Map | TipBy::Button | TipBy::List => "add-tip".to_owned(),
    }));
}

pub(super) fn words_for(desk: &Desk, id: &Id, what: &str) -> String {
    let tip = desk.guide().tips.iter().find(|tip| tip.id == *id);
    let place = tip.map_or("", |tip| desk.derived.name(tip.spot.from.measure));
    format!("{what} the tip at {place}")
}

pub(super) fn change(desk: &mut Desk, id: &Id, change: TipChange, effects: &mut Vec<Effect>) {
    if let TipChange::Topic(topic) = &change {
        desk.topic = *topic;
    }
    let (what, run) = match &change {
        TipChange::Text(_) => ("write", Some(format!("text-{id}"))),
        TipChange::Cue(_) => ("change the cue of", Some(format!("cue-{id}"))),
        TipChange::Topic(_) => ("change the topic of", None),
        TipChange::Importance(_) => ("change the importance of", None),
        TipChange::Spot(_) => ("move", None),
        TipChange::Parts(_) => ("change the parts of", None),
        TipChange::Photo(Some(_)) => ("add a photo to", None),
        TipChange::Photo(None) => ("remove the photo of", None),
        TipChange::PhotoWords(_) => ("say what the photo shows at", Some(format!("photo-{id}"))),
        TipChange::Voice(Some(_)) => ("add a voice note to", None),
        TipChange::Voice(None) => ("remove the voice note of", None),
        TipChange::VoiceWords(_) => ("write out the voice note of", Some(format!("voice-{id}"))),
    };
    let words = words_for(desk, id, what);
    let made = edit::change(desk.guide(), id, change);
    match run {
        Some(run) => commit_run(desk, made, words, &run, effects),
        None => commit(desk, made, words, effects),
    }
}

pub(super) fn set_place(desk: &mut Desk, id: &Id, text: String, effects: &mut Vec<Effect>) {
    let field = Field::TipPlace(id.clone());
    match read_spot(desk.guide(), desk.derived.plan.layout(), &text) {
        Ok(spot) => {
            desk.drafts.remove(&field);
            change(desk, id, TipChange::Spot(spot), effects);
        }
        Err(problem) => {
            desk.drafts.insert(field, Draft { text, problem });
        }
    }
}

pub(super) fn set_shows(
    desk: &mut Desk,
    id: &Id,
    shows: Shows,
    text: String,
    effects: &mut Vec<Effect>,
) {
    let field = Field::TipShows(id.clone(), shows);
    match tip_shows::change(desk.guide(), id, shows, &text) {
        Ok(made) => {
            desk.drafts.remove(&field);
            let what = match shows {
                Shows::BowFrom | Shows::BowWay | Shows::BowAmount => "change the bow stroke of",
                Shows::Rhythm => "change the rhythm of",
                Shows::WatchAt | Shows::WatchAddress => "change the recording of",
            };
            let words = words_for(desk, id, what);
            commit(desk, made, words, effects);
        }
        Err(problem) => {
            desk.drafts.insert(field, Draft { text, problem });
        }
    }
}

pub(super) fn remove(desk: &mut Desk, id: &Id, effects: &mut Vec<Effect>) {
    let order = desk.tip_order.of(desk.guide());
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
    let made = edit::remove(desk.guide(), id);
    let words = words_for(desk, id, "remove");
    commit(desk, made, words, effects);
    effects.push(Effect::Focus(target));
}

pub(super) fn show(desk: &mut Desk, id: &Id, effects: &mut Vec<Effect>) {
    let Some(spot) = desk
        .guide()
        .tips
        .iter()
        .find(|tip| tip.id == *id)
        .map(|tip| tip.spot)
    else {
        return;
    };
    desk.map_as = MapAs::Measures;
    go_to(desk, Room::RoadMap, effects);
    let last = desk.guide().road_map.measures.len().saturating_sub(1);
    desk.selection = Selection {
        anchor: spot.from.measure.min(last),
        focus: spot.last_measure().min(last),
    };
    effects.push(Effect::Focus(measure_id(desk.selection.focus)));
    effects.push(Effect::Reveal(measure_id(desk.selection.first())));
}
