//! What the notes propose: kept, edited, dropped, one by one or by kind.

use super::super::keeping;
use super::{commit, tips};
use crate::msg::{Effect, WatchMsg};
use crate::proposals::{Deed, WatchList, button_id, kind_name};
use crate::state::{Desk, State};
use cueleaf_guide::Id;
use std::collections::BTreeSet;

/// Where the focus goes when nothing is left to propose.
const TITLE: &str = "watch-title";

/// What shows the others, or folds them away.
const OTHERS: &str = "watch-others";

/// Where a kind is chosen.
const KIND: &str = "watch-kind";

pub(super) fn take(state: &mut State, msg: WatchMsg, effects: &mut Vec<Effect>) {
    let wanted = state
        .desk()
        .map_or_else(Vec::new, |desk| wanted(desk, &msg));
    let ids: Vec<(usize, Id)> = wanted
        .into_iter()
        .map(|index| (index, state.fresh_id()))
        .collect();
    let Some(desk) = state.desk_mut() else { return };
    match msg {
        WatchMsg::Kind(kind) => {
            if let Some(list) = &mut desk.watch_list {
                list.look_at(kind);
            }
        }
        WatchMsg::ShowDropped => {
            if let Some(list) = &mut desk.watch_list {
                list.show_dropped();
            }
            know_dropped(desk, "propose again what was dropped".to_owned(), effects);
            effects.push(Effect::Focus(TITLE.to_owned()));
        }
        WatchMsg::ToggleOthers => {
            if let Some(list) = &mut desk.watch_list {
                list.toggle_others();
            }
            effects.push(Effect::Focus(OTHERS.to_owned()));
        }
        WatchMsg::Go(deed, index, by) => {
            let order = order(desk);
            let at = order.iter().position(|own| *own == index);
            let there = at.and_then(|at| order.get(at.checked_add_signed(by)?));
            effects.extend(there.map(|own| Effect::Focus(button_id(deed, *own))));
        }
        WatchMsg::Do(Deed::Keep, index) => {
            let before = order(desk);
            keep(desk, ids, effects);
            go_on(desk, &before, index, Deed::Keep, effects);
        }
        WatchMsg::Do(Deed::Edit, _) => {
            // A tip that says nothing yet is taken along instead of left behind.
            tips::drop_empty(desk, effects);
            let made = ids.first().map(|(_, id)| id.clone());
            keep(desk, ids, effects);
            if let Some(id) = made {
                effects.push(Effect::Focus(format!("tip-text-{id}")));
                desk.open_tip = Some(id);
            }
        }
        WatchMsg::Do(Deed::Drop, index) => {
            let before = order(desk);
            drop_all(desk, &ids, effects);
            go_on(desk, &before, index, Deed::Drop, effects);
        }
        WatchMsg::KeepKind => {
            keep(desk, ids, effects);
            effects.push(Effect::Focus(KIND.to_owned()));
        }
        WatchMsg::DropKind => {
            drop_all(desk, &ids, effects);
            effects.push(Effect::Focus(KIND.to_owned()));
        }
    }
}

/// Gives the proposals that a message is about, by index: only open ones, of a
/// list that fits the guide.
fn wanted(desk: &Desk, msg: &WatchMsg) -> Vec<usize> {
    let fitting = desk
        .watch_list
        .as_ref()
        .filter(|own| own.fits(desk.guide()));
    let Some(list) = fitting else {
        return Vec::new();
    };
    match msg {
        WatchMsg::Do(_, index) => {
            let open = list.open(desk.guide());
            open.into_iter().filter(|own| own == index).collect()
        }
        WatchMsg::KeepKind | WatchMsg::DropKind if list.kind().is_some() => {
            list.shown(desk.guide()).others
        }
        WatchMsg::Go(..)
        | WatchMsg::ToggleOthers
        | WatchMsg::KeepKind
        | WatchMsg::DropKind
        | WatchMsg::Kind(_)
        | WatchMsg::ShowDropped => Vec::new(),
    }
}

fn order(desk: &Desk) -> Vec<usize> {
    let shown = desk.watch_list.as_ref().map(|own| own.shown(desk.guide()));
    shown.map_or_else(Vec::new, |shown| shown.all().collect())
}

/// Puts the focus on the proposal after the one that went, else on the one before it.
fn go_on(desk: &Desk, before: &[usize], index: usize, deed: Deed, effects: &mut Vec<Effect>) {
    let now = order(desk);
    let at = before.iter().position(|own| *own == index).unwrap_or(0);
    let (earlier, later) = before.split_at_checked(at).unwrap_or((before, &[]));
    let mut near = later.iter().chain(earlier.iter().rev());
    let target = near.find(|own| now.contains(own));
    effects.push(Effect::Focus(match target {
        Some(next) => button_id(deed, *next),
        None => TITLE.to_owned(),
    }));
}

fn keep(desk: &mut Desk, chosen: Vec<(usize, Id)>, effects: &mut Vec<Effect>) {
    let Some((first, _)) = chosen.first() else {
        return;
    };
    let Some(mut list) = desk.watch_list.take() else {
        return;
    };
    let words = words(desk, &list, *first, chosen.len());
    let made = list.keep(desk.guide(), chosen);
    desk.watch_list = Some(list);
    desk.watch_due = true;
    commit(desk, made, format!("keep {words}"), effects);
    effects.push(Effect::Say(format!("Kept: {words}")));
}

fn drop_all(desk: &mut Desk, chosen: &[(usize, Id)], effects: &mut Vec<Effect>) {
    let Some((first, _)) = chosen.first() else {
        return;
    };
    let Some(mut list) = desk.watch_list.take() else {
        return;
    };
    let words = words(desk, &list, *first, chosen.len());
    list.drop_all(chosen.iter().map(|(index, _)| *index));
    desk.watch_list = Some(list);
    know_dropped(desk, format!("drop {words}"), effects);
    effects.push(Effect::Say(format!("Dropped: {words}")));
}

/// Lets what is dropped be kept beside the guide, and be undone under some words.
fn know_dropped(desk: &mut Desk, words: String, effects: &mut Vec<Effect>) {
    let before = desk.dropped.as_ref();
    let list = desk.watch_list.as_ref();
    let Some(now) = list.map(|list| list.known_dropped(before)) else {
        return;
    };
    if before != Some(&now) {
        desk.history.commit_beside(now.since(before), words);
        desk.dropped = Some(now);
        keeping::soon(desk, effects);
    }
}

/// Drops and proposes again as a step back or forth says.
pub(super) fn turn(desk: &mut Desk, dropped: &BTreeSet<String>, shown: &BTreeSet<String>) {
    let now = desk.dropped.take().unwrap_or_default().but(shown, dropped);
    if let Some(list) = &mut desk.watch_list {
        list.drop_only(&now);
    }
    desk.dropped = Some(now);
}

/// Says which proposals are meant: the first, and how many.
fn words(desk: &Desk, list: &WatchList, first: usize, count: usize) -> String {
    let Some(one) = list.get(first) else {
        return String::new();
    };
    if count == 1 {
        let place = desk.derived.name(one.watched.spot.from.measure);
        format!("the proposal at {place}")
    } else {
        format!("{count} proposals, “{}”", kind_name(one.watched.kind))
    }
}
