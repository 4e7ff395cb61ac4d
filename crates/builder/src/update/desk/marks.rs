//! The marks of a part: to write one, add it, take one away.

use super::{chosen, commit};
use crate::edit::marks::{self, KINDS};
use crate::msg::Effect;
use crate::state::Desk;
use cueleaf_guide::Id;

pub(super) fn write(desk: &mut Desk, field: &str, text: String) {
    // What was wrong stays to be read until it is tried again: the button must not
    // move away under the finger.
    match field {
        "part" => desk.mark_part = Id::new(&text),
        "kind" => {
            if let Some((_, kind, _)) = KINDS.iter().find(|(code, ..)| *code == text) {
                desk.new_mark.kind = *kind;
            }
        }
        "at" => desk.new_mark.at = text,
        "text" => desk.new_mark.text = text,
        "to" => desk.new_mark.to = text,
        _ => {}
    }
}

pub(super) fn add(desk: &mut Desk, effects: &mut Vec<Effect>) {
    let Some(part) = desk.marks_part().map(|part| part.id.clone()) else {
        return;
    };
    let (first, _) = chosen(desk);
    let layout = desk.derived.plan.layout();
    match marks::add(desk.guide(), layout, &part, first, &desk.new_mark) {
        Ok(made) => {
            let words = format!("add a mark at {}", desk.derived.name(first));
            desk.mark_problem = None;
            // The next mark stands at a place of its own.
            desk.new_mark.at.clear();
            desk.new_mark.to.clear();
            commit(desk, made, words, effects);
        }
        Err(problem) => desk.mark_problem = Some(problem),
    }
}

pub(super) fn remove(desk: &mut Desk, index: usize, effects: &mut Vec<Effect>) {
    let Some(part) = desk.marks_part().map(|part| part.id.clone()) else {
        return;
    };
    let made = marks::remove(desk.guide(), &part, index);
    commit(desk, made, "remove a mark", effects);
    effects.push(Effect::Focus("mark-add".to_owned()));
}
