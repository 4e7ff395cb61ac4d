//! A second file, while a guide is open: what it would add, and a new edition under it.

use super::opening::{drafted, open_new};
use super::{desk, leaving, making, watching};
use crate::adding::{Adding, Item};
use crate::edition::Edition;
use crate::making::Then;
use crate::msg::{AddingMsg, Effect};
use crate::state::{Desk, Notice, PartChoice, Room, Screen, State};
use cueleaf_guide::{Checked, Finding, Guide, Id};

/// Lists what the guide of a file would add to the open one; it can be opened by itself, too.
pub(super) fn offer(state: &mut State, name: String, own: Desk, effects: &mut Vec<Effect>) {
    let other = own.guide().as_ref().clone();
    let Some(mut adding) = compared(state, &other, &name) else {
        return;
    };
    adding.own = Some(Box::new(own));
    show(state, Screen::Adding(Box::new(adding)), effects);
}

pub(super) fn update(state: &mut State, msg: AddingMsg, effects: &mut Vec<Effect>) {
    match msg {
        AddingMsg::Parts => parts(state, effects),
        AddingMsg::Heard => heard(state, effects),
        AddingMsg::Edition => edition(state, effects),
        AddingMsg::Tick(index) => {
            if let Screen::Adding(adding) = &mut state.screen {
                adding.toggle(index);
            }
        }
        AddingMsg::Add => add(state, effects),
        AddingMsg::Own => {
            if let Screen::Adding(adding) = &mut state.screen
                && let Some(own) = adding.own.take()
            {
                open_new(state, *own, effects);
            }
        }
        AddingMsg::EditionTempo(index) => {
            if let Screen::Edition(edition) = &mut state.screen {
                edition.toggle_tempo(index);
            }
        }
        AddingMsg::TakeEdition => take_edition(state, effects),
    }
}

pub(super) fn show(state: &mut State, screen: Screen, effects: &mut Vec<Effect>) {
    state.notice = None;
    leaving::put_aside(state, screen, effects);
    effects.push(Effect::Focus("main".to_owned()));
}

fn compared(state: &mut State, other: &Guide, name: &str) -> Option<Adding> {
    let guide = state.desk_or_aside()?.guide().clone();
    Some(Adding::new(&guide, other, name, || state.fresh_id()))
}

/// Finds the chosen parts as they are called in a guide; none where its measures are others.
fn chosen_in(choice: &PartChoice, made: &Guide) -> Vec<(usize, Id)> {
    if choice.score.value.measure_count() != made.road_map.measures.len() {
        return Vec::new();
    }
    let mut parts = watching::parts_in(made, &choice.score.value);
    parts.retain(|(index, _)| choice.chosen.get(*index) == Some(&true));
    parts
}

fn parts(state: &mut State, effects: &mut Vec<Effect>) {
    let Some(Checked { value: other, .. }) = drafted(state) else {
        return;
    };
    let Screen::Parts(choice) = &state.screen else {
        return;
    };
    let name = choice.name.clone();
    let Some(adding) = compared(state, &other, &name) else {
        return;
    };
    let made = state
        .desk_or_aside()
        .map(|desk| adding.added(desk.guide()).0);
    let parts = match (&state.screen, made) {
        (Screen::Parts(choice), Some(made)) => chosen_in(choice, &made),
        _ => Vec::new(),
    };
    let adding = Box::new(adding);
    if parts.is_empty() {
        show(state, Screen::Adding(adding), effects);
    } else {
        making::begin(state, parts, other, Then::Adding(adding), effects);
    }
}

fn heard(state: &mut State, effects: &mut Vec<Effect>) {
    let Some((
        name,
        Checked {
            mut value,
            findings,
        },
    )) = super::heard::drafted(state)
    else {
        return;
    };
    let several = state
        .desk_or_aside()
        .is_some_and(|desk| desk.guide().parts.len() > 1);
    // A talk names no part: it is about the one there is, or about all.
    for part in &mut value.parts {
        part.name.clear();
    }
    value
        .parts
        .retain(|part| !several || !part.marks.is_empty());
    let Some(guide) = state.desk_or_aside().map(|desk| desk.guide().clone()) else {
        return;
    };
    let mut adding = Adding::of_talk(&guide, &value, &name, || state.fresh_id());
    adding.tell(findings);
    show(state, Screen::Adding(Box::new(adding)), effects);
}

/// Adds what is ticked, as one step.
fn add(state: &mut State, effects: &mut Vec<Effect>) {
    let Screen::Adding(adding) = &mut state.screen else {
        return;
    };
    let count = adding.count();
    if count == 0 {
        state.notice = Some(Notice::trouble("Tick at least one thing to add."));
        return;
    }
    let all_parts = |(item, ticked): &(Item, bool)| *ticked || !matches!(item, Item::Part(_));
    let list = adding.watch_list.take();
    let list = list.filter(|_| adding.items().iter().all(all_parts));
    let name = adding.beside().name().to_owned();
    let Some(guide) = state.aside.as_ref().map(|desk| desk.guide().clone()) else {
        return;
    };
    let Screen::Adding(adding) = &state.screen else {
        return;
    };
    let (made, findings) = adding.added(&guide);
    if !leaving::take_back(state, effects) {
        return;
    }
    let Some(desk) = state.desk_mut() else { return };
    let step = format!("add from “{name}”");
    desk::commit(desk, made, step.clone(), effects);
    if desk.refused.is_some() {
        return;
    }
    if let Some(list) = list {
        desk.take_watch_list(list);
    }
    desk.room = Room::Tips;
    let things = if count == 1 { "thing" } else { "things" };
    let told = told(desk, findings);
    let notice = Notice::plain(format!(
        "{count} {things} of “{name}” came into this guide; undo takes them back.{told}"
    ));
    state.notice = Some(notice.of_step(step));
}

/// Lists findings with the document; says in a sentence where they are.
fn told(desk: &mut Desk, findings: Vec<Finding>) -> &'static str {
    let any = !findings.is_empty();
    for finding in findings {
        if !desk.from_file.contains(&finding) {
            desk.from_file.push(finding);
        }
    }
    if any {
        " What was found is listed in the road map."
    } else {
        ""
    }
}

fn edition(state: &mut State, effects: &mut Vec<Effect>) {
    let Some(Checked {
        value: other,
        findings,
    }) = drafted(state)
    else {
        return;
    };
    let Some(guide) = state.desk_or_aside().map(|desk| desk.guide().clone()) else {
        return;
    };
    let Screen::Parts(choice) = &state.screen else {
        return;
    };
    let mut edition = Edition::new(&guide, &other, &choice.name);
    edition.tell(findings);
    let parts = chosen_in(choice, edition.guide());
    let edition = Box::new(edition);
    if parts.is_empty() {
        show(state, Screen::Edition(edition), effects);
    } else {
        making::begin(state, parts, other, Then::Edition(edition), effects);
    }
}

/// Takes the new edition, as one step.
fn take_edition(state: &mut State, effects: &mut Vec<Effect>) {
    let Screen::Edition(edition) = &mut state.screen else {
        return;
    };
    let list = edition.watch_list.take();
    let (made, name) = (edition.guide().clone(), edition.beside().name().to_owned());
    let findings = edition.all_findings();
    let same = edition.same().clone();
    if !leaving::take_back(state, effects) {
        return;
    }
    let Some(desk) = state.desk_mut() else { return };
    let step = format!("take the edition “{name}”");
    desk::commit(desk, made, step.clone(), effects);
    if desk.refused.is_some() {
        return;
    }
    // What was found in the old file was about other measures.
    desk.from_file.clear();
    desk.dropped = desk.dropped.as_ref().map(|own| own.along(&same));
    desk.watch_list = None;
    desk.watch_due = true;
    if let Some(list) = list {
        desk.take_watch_list(list);
    }
    desk.room = Room::RoadMap;
    let told = told(desk, findings);
    let notice = Notice::plain(format!(
        "The road map is that of “{name}” now; undo takes it back.{told}"
    ));
    state.notice = Some(notice.of_step(step));
}
