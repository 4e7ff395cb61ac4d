//! The list of keys.

use crate::msg::{Effect, ShortcutsMsg};
use crate::shortcuts::{DIALOG, QuestionKey};
use crate::state::State;

pub(super) fn update(state: &mut State, msg: ShortcutsMsg, effects: &mut Vec<Effect>) {
    match msg {
        ShortcutsMsg::Asked if state.question_key == QuestionKey::Nothing => {}
        ShortcutsMsg::Asked | ShortcutsMsg::Show => {
            effects.push(Effect::ShowDialog(DIALOG.to_owned()));
        }
        ShortcutsMsg::Close => effects.push(Effect::CloseDialog(DIALOG.to_owned())),
        ShortcutsMsg::Key(key) => {
            state.question_key = key;
            effects.push(Effect::KeepQuestionKey(key));
        }
    }
}
