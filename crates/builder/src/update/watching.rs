//! The watch list of a guide: made with it from the score, or added to it later.

use super::opening::no_file;
use super::{keeping, leaving, making};
use crate::making::Then;
use crate::msg::Effect;
use crate::opened::sentence;
use crate::proposals::WatchList;
use crate::state::{Desk, Keep, Notice, PartChoice, Room, Screen, State};
use cueleaf_guide::{Checked, Finding, Guide, Id, Severity};
use cueleaf_read::draft;
use cueleaf_score::Score;

/// Finds the parts of a score in a guide, each by its index in the score.
pub(super) fn parts_in(guide: &Guide, score: &Score) -> Vec<(usize, Id)> {
    let all = 0..score.parts.len();
    all.filter_map(|index| Some((index, part_in(guide, score, index)?)))
        .collect()
}

pub(super) fn part_in(guide: &Guide, score: &Score, index: usize) -> Option<Id> {
    let name = score.parts.get(index)?.name.trim().to_lowercase();
    let mut parts = guide.parts.iter();
    let own = parts.find(|part| part.name.trim().to_lowercase() == name);
    own.map(|part| part.id.clone())
}

/// Chooses the parts of a score that have a name of the open guide's parts.
pub(super) fn choose_same(score: &Score, guide: &Guide) -> Vec<bool> {
    let parts = 0..score.parts.len();
    parts
        .map(|index| part_in(guide, score, index).is_some())
        .collect()
}

/// Tells whether a score looks like the music of a guide: as many measures, and one of its parts.
pub(crate) fn is_same_music(score: &Score, guide: &Guide) -> bool {
    score.measure_count() == guide.road_map.measures.len()
        && choose_same(score, guide).contains(&true)
}

/// Takes the chosen parts of the read score as the notes of the guide that was put
/// aside; the guide itself stays as it is.
pub(super) fn add(state: &mut State, effects: &mut Vec<Effect>) {
    let Screen::Parts(choice) = &state.screen else {
        return;
    };
    if !choice.chosen.contains(&true) {
        state.notice = Some(Notice::trouble("Choose at least one part."));
        return;
    }
    let Some(guide) = state.aside.as_ref().map(|desk| desk.guide().clone()) else {
        return;
    };
    let name = choice.name.clone();
    let refused = match noted(choice, &guide) {
        Ok((parts, drafted)) => {
            making::begin(state, parts, drafted, Then::Notes, effects);
            return;
        }
        Err(refused) => refused,
    };
    if !leaving::take_back(state, effects) {
        return;
    }
    match refused {
        Refused::Unread(reason) => no_file(state, &name, &reason),
        Refused::Other(finding) => {
            state.notice = Some(Notice::trouble(format!(
                "{} {}",
                sentence(&finding.message),
                sentence(&finding.hint)
            )));
            if let Some(desk) = state.desk_mut() {
                told_once(desk, *finding);
            }
        }
    }
}

/// Gives the watch list to the guide that was put aside.
pub(super) fn take(state: &mut State, list: WatchList, effects: &mut Vec<Effect>) {
    if !leaving::take_back(state, effects) {
        return;
    }
    state.notice = None;
    if let Some(desk) = state.desk_mut() {
        desk.take_watch_list(list);
        desk.room = Room::Tips;
        // A guide that was only looked at is not kept for the sake of its list.
        if desk.keep != Keep::Untouched {
            keeping::soon(desk, effects);
        }
    }
    effects.push(Effect::Focus("watch-title".to_owned()));
}

fn told_once(desk: &mut Desk, finding: Finding) {
    if !desk.from_file.contains(&finding) {
        desk.from_file.push(finding);
    }
}

/// Why a score gives a guide no watch list.
enum Refused {
    /// It cannot be drafted.
    Unread(String),
    /// It is not the music of the guide.
    Other(Box<Finding>),
}

/// Gives the parts whose notes are those of a guide, and what is drafted of them.
fn noted(choice: &PartChoice, guide: &Guide) -> Result<(Vec<(usize, Id)>, Guide), Refused> {
    let score = &choice.score.value;
    let (theirs, ours) = (score.measure_count(), guide.road_map.measures.len());
    let other = |code, message: String, hint: &str| {
        let finding = Finding::new(Severity::Warning, code, message).hint(hint);
        Refused::Other(Box::new(finding))
    };
    if theirs != ours {
        let message = format!(
            "“{}” has {theirs} measures and this guide {ours}, so its notes say nothing about the guide",
            choice.name
        );
        let hint = "open the edition from which the guide was made";
        return Err(other("notes-of-another-length", message, hint));
    }
    let chosen = choice.chosen.iter().enumerate();
    let chosen: Vec<usize> = chosen
        .filter(|(_, chosen)| **chosen)
        .map(|(index, _)| index)
        .collect();
    let mut parts: Vec<(usize, Id)> = chosen
        .iter()
        .filter_map(|index| Some((*index, part_in(guide, score, *index)?)))
        .collect();
    // One part for a guide of one part is meant for it, whatever its name.
    if let ([], [index], [part]) = (parts.as_slice(), chosen.as_slice(), guide.parts.as_slice()) {
        parts.push((*index, part.id.clone()));
    }
    if parts.is_empty() {
        let message = format!(
            "no chosen part of “{}” has the name of a part of this guide",
            choice.name
        );
        let hint = "choose the part that the guide is for, or give it that name";
        return Err(other("notes-of-another-part", message, hint));
    }
    let wanted: Vec<&str> = parts
        .iter()
        .filter_map(|(index, _)| score.parts.get(*index).map(|part| part.id.as_str()))
        .collect();
    match draft(score, &wanted, guide.id.clone()) {
        Ok(Checked { value, .. }) => Ok((parts, value)),
        Err(error) => Err(Refused::Unread(sentence(&error.to_string()))),
    }
}
