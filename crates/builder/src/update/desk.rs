//! In the open document.
use crate::msg::{DeskMsg, Effect};
use crate::state::State;
pub(super) fn update(_state: &mut State, _msg: DeskMsg, _effects: &mut Vec<Effect>) {}
