//! From what a talk was heard to say to a guide.

use super::leaving;
use super::opening::{is_in_conflict, name_after_file, open_new, unkept};
use crate::heard::{Heard, HeardKind};
use crate::msg::{Effect, HeardMsg};
use crate::state::{Desk, Keep, Notice, Screen, State};
use cueleaf_guide::{Checked, Finding, Guide};
use cueleaf_read::talk::{Talk, draft_talk};

/// Lists what a talk said, to be ticked.
pub(super) fn list(
    state: &mut State,
    name: String,
    talk: Talk,
    findings: Vec<Finding>,
    effects: &mut Vec<Effect>,
) {
    if is_in_conflict(state) {
        state.notice = Some(unkept(&name));
        return;
    }
    state.notice = None;
    let heard = Box::new(Heard::new(name, talk, findings));
    leaving::put_aside(state, Screen::Heard(heard), effects);
    effects.push(Effect::Focus("main".to_owned()));
}

pub(super) fn update(state: &mut State, msg: HeardMsg, effects: &mut Vec<Effect>) {
    let Screen::Heard(heard) = &mut state.screen else {
        return;
    };
    match msg {
        HeardMsg::Tick(index) => heard.toggle(index),
        HeardMsg::TickKind(code) => {
            if let Some(kind) = HeardKind::find(&code) {
                heard.toggle_kind(kind);
            }
        }
        HeardMsg::Address(text) => heard.say_where(&text),
        HeardMsg::Make => make(state, effects),
    }
}

/// Makes a guide of what is ticked; what could not be placed stands among its findings.
fn make(state: &mut State, effects: &mut Vec<Effect>) {
    let Some((name, Checked { value, findings })) = drafted(state) else {
        return;
    };
    let mut desk = Desk::new(value, Keep::Untouched, None);
    desk.from_file = findings;
    name_after_file(&mut desk, &name);
    open_new(state, desk, effects);
}

/// Drafts what is ticked, with the name of the file and all that was found in it; says why not.
pub(super) fn drafted(state: &mut State) -> Option<(String, Checked<Guide>)> {
    let id = state.fresh_id();
    let Screen::Heard(heard) = &state.screen else {
        return None;
    };
    if heard.count() == 0 {
        state.notice = Some(Notice::trouble("Tick at least one thing that was said."));
        return None;
    }
    if let Some(problem) = heard.address_problem() {
        state.notice = Some(Notice::trouble(problem));
        return None;
    }
    let mut drafted = draft_talk(&heard.chosen(), id);
    for tip in &mut drafted.value.tips {
        if let Some(watch) = &mut tip.watch {
            heard.address().clone_into(&mut watch.address);
        }
    }
    let found = heard.findings().iter().cloned();
    drafted.findings = found.chain(drafted.findings).collect();
    Some((heard.name().to_owned(), drafted))
}
