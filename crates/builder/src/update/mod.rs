//! State and message make the next state, and what to ask of the browser.

mod adding;
pub(crate) mod desk;
pub(crate) mod hand_out;
mod heard;
pub(crate) mod keeping;
mod leaving;
mod making;
mod opening;
mod shelf;
mod shortcuts;
#[cfg(test)]
mod tests;
pub(crate) mod watching;

use crate::media::MediaDesk;
use crate::msg::{DeskMsg, Effect, Msg};
use crate::state::State;

/// Takes a message in. Nothing here knows a browser, a clock or chance.
#[must_use]
pub fn update(mut state: State, msg: Msg) -> (State, Vec<Effect>) {
    let mut effects = Vec::new();
    // What was typed into the notes is taken before anything else happens.
    if !matches!(msg, Msg::Desk(DeskMsg::Notes(_)))
        && let Some(desk) = state.desk_mut()
    {
        desk::notes::take(desk, &mut effects);
    }
    let room = state.desk().map(|desk| desk.room);
    let records = wants_microphone(&state);
    match msg {
        Msg::Opening(msg) => opening::update(&mut state, msg, &mut effects),
        Msg::Keeping(msg) => keeping::update(&mut state, msg, &mut effects),
        Msg::Desk(msg) => desk::update(&mut state, msg, &mut effects),
        Msg::Shortcuts(msg) => shortcuts::update(&mut state, msg, &mut effects),
        Msg::Adding(msg) => adding::update(&mut state, msg, &mut effects),
        Msg::Heard(msg) => heard::update(&mut state, msg, &mut effects),
        Msg::Phrases(msg) => desk::phrases::take(&mut state, msg, &mut effects),
        Msg::CloseNotice => state.notice = None,
    }
    desk::tell_refused(&mut state, &mut effects);
    if let (Some(desk), Some(room)) = (state.desk_mut(), room) {
        desk::media::look_away(desk, room, &mut effects);
    }
    if let Some(aside) = &mut state.aside {
        aside.media = MediaDesk::default();
    }
    if records && !wants_microphone(&state) {
        effects.push(Effect::DropRecording);
    }
    (state, effects)
}

fn wants_microphone(state: &State) -> bool {
    let desk = state.desk();
    desk.is_some_and(|desk| desk.media.wants_microphone())
}
