//! From the chosen parts of a score to their watch list, step by step, and on to what it is for.

use super::{adding, opening, watching};
use crate::making::{Made, Making, Then};
use crate::msg::{Effect, Msg, Opening};
use crate::state::{Home, Screen, State};
use cueleaf_guide::{Guide, Id};

/// How many notes are looked at before the page gets its turn: each note once for each search.
///
/// # Source
/// Our decision: some 10 ms of work on a slow laptop.
const BUDGET: usize = 24_000;

/// Begins with parts of the score whose parts are offered, and a guide drafted of it.
pub(super) fn begin(
    state: &mut State,
    parts: Vec<(usize, Id)>,
    drafted: Guide,
    then: Then,
    effects: &mut Vec<Effect>,
) {
    match core::mem::replace(&mut state.screen, Screen::Home(Home::default())) {
        Screen::Parts(choice) => {
            let mut making = Making::new(choice, parts, drafted, then);
            state.notice = None;
            making.step(BUDGET);
            // What is short is done by now.
            if making.is_done() {
                finish(state, making, effects);
            } else {
                wait(state, Box::new(making), effects);
                effects.push(Effect::Focus("main".to_owned()));
            }
        }
        other => state.screen = other,
    }
}

/// Goes on with what is in the making.
pub(super) fn go_on(state: &mut State, effects: &mut Vec<Effect>) {
    match core::mem::replace(&mut state.screen, Screen::Home(Home::default())) {
        Screen::Making(making) if making.is_done() => finish(state, *making, effects),
        Screen::Making(mut making) => {
            making.step(BUDGET);
            wait(state, making, effects);
        }
        other => state.screen = other,
    }
}

/// Goes back from what is in the making to the choice of parts; tells whether something was.
pub(super) fn give_up(state: &mut State, effects: &mut Vec<Effect>) -> bool {
    match core::mem::replace(&mut state.screen, Screen::Home(Home::default())) {
        Screen::Making(making) => {
            state.screen = Screen::Parts(making.give_up());
            effects.push(Effect::Focus("make-guide".to_owned()));
            true
        }
        other => {
            state.screen = other;
            false
        }
    }
}

fn wait(state: &mut State, making: Box<Making>, effects: &mut Vec<Effect>) {
    state.screen = Screen::Making(making);
    effects.push(Effect::After(0, Msg::Opening(Opening::MakeOn)));
}

fn finish(state: &mut State, making: Making, effects: &mut Vec<Effect>) {
    let Made {
        choice,
        drafted,
        list,
        then,
    } = making.finish();
    // Where what follows does not come about, the parts are still offered.
    let name = choice.name.clone();
    state.screen = Screen::Parts(choice);
    match then {
        Then::Guide(findings) => {
            opening::open_made(state, drafted, list, findings, &name, effects);
        }
        Then::Notes => watching::take(state, list, effects),
        Then::Adding(mut own) => {
            own.watch_list = Some(list);
            adding::show(state, Screen::Adding(own), effects);
        }
        Then::Edition(mut own) => {
            own.watch_list = Some(list);
            adding::show(state, Screen::Edition(own), effects);
        }
    }
}
