//! Documents that leave the page while they are being written.
//!
//! A document may go before the browser has answered. It stays in the state until
//! it is kept; when it cannot be kept, it comes back or is offered as a file.

use super::{desk, keeping};
use crate::msg::{Effect, Keeping, Msg};
use crate::state::{Desk, Keep, Notice, Preview, Screen, State};
use cueleaf_guide::save;

/// Shows another screen. What is still to be written of the document before it
/// is written.
pub(super) fn turn_to(state: &mut State, screen: Screen, effects: &mut Vec<Effect>) {
    let before = core::mem::replace(&mut state.screen, screen);
    if let Screen::Desk(desk) = before {
        let_go(state, desk, effects);
    }
    if let Some(aside) = state.aside.take() {
        let_go(state, aside, effects);
    }
    // A guide that was open before in this visit finds its watch list again.
    if let Screen::Desk(desk) = &mut state.screen
        && desk.watch_list.is_none()
        && let Some(list) = state.watch_lists.remove(&desk.guide().id)
    {
        desk.take_watch_list(list);
    }
}

fn let_go(state: &mut State, mut desk: Box<Desk>, effects: &mut Vec<Effect>) {
    write_if_due(&mut desk, effects);
    // It stays with the document, too, which may be written once more.
    let id = desk.guide().id.clone();
    match &desk.watch_list {
        Some(list) => state.watch_lists.insert(id, list.clone()),
        None => state.watch_lists.remove(&id),
    };
    if matches!(desk.keep, Keep::Writing(_)) {
        desk.preview = Preview::Absent;
        state.leaving.push(desk);
    }
}

fn write_if_due(desk: &mut Desk, effects: &mut Vec<Effect>) {
    // While it is being written, the answer brings what came in the meantime.
    if desk.keep == Keep::Soon {
        keeping::write(desk, effects);
    }
}

/// Shows another screen from which the document may come back.
pub(super) fn put_aside(state: &mut State, screen: Screen, effects: &mut Vec<Effect>) {
    if let Screen::Desk(mut desk) = core::mem::replace(&mut state.screen, screen) {
        write_if_due(&mut desk, effects);
        desk.preview = Preview::Absent;
        state.aside = Some(desk);
    }
}

/// Brings back the document that was put aside; tells whether there was one.
pub(super) fn take_back(state: &mut State, effects: &mut Vec<Effect>) -> bool {
    let aside = state.aside.take();
    let there = aside.is_some();
    if let Some(desk) = aside {
        show_again(state, desk, effects);
    }
    there
}

/// Brings back a document that is being written; tells whether there was one.
pub(super) fn take_back_by_id(state: &mut State, id: &str, effects: &mut Vec<Effect>) -> bool {
    let at = state.leaving.iter().position(|own| own.is(id));
    let there = at.is_some();
    if let Some(at) = at {
        let desk = state.leaving.remove(at);
        show_again(state, desk, effects);
    }
    there
}

fn show_again(state: &mut State, mut desk: Box<Desk>, effects: &mut Vec<Effect>) {
    desk::show_preview(&mut desk, effects);
    turn_to(state, Screen::Desk(desk), effects);
    effects.push(Effect::Focus("main".to_owned()));
}

/// Lets go of a document that is kept by now.
pub(super) fn is_kept(state: &mut State, effects: &mut Vec<Effect>) {
    state.leaving.retain(|own| own.keep != Keep::Kept);
    if matches!(state.screen, Screen::Home(_)) {
        effects.push(Effect::List);
    }
}

/// Brings back a document that could not be kept after it had left; where
/// another one is open by then, it is offered as a file.
pub(super) fn is_not_kept(state: &mut State, id: &str, effects: &mut Vec<Effect>) {
    let at = state.leaving.iter().position(|own| own.is(id));
    let gone = match at {
        Some(at) => Some(state.leaving.remove(at)),
        None => state.aside.take_if(|own| own.is(id)),
    };
    let Some(gone) = gone else { return };
    if state.desk().is_none() {
        show_again(state, gone, effects);
        return;
    }
    let text = format!(
        "The last edits of “{}” could not be kept on this device.",
        keeping::title(&gone.guide().title)
    );
    state.shelf.rescued = Some((id.to_owned(), save(gone.guide())));
    state.notice =
        Some(Notice::trouble(text).choice("Download it", Msg::Keeping(Keeping::DownloadRescued)));
}
