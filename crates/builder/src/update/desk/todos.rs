//! What the student is asked to do: to add, to write, to order, to remove.

use super::{commit, commit_run};
use crate::edit::todos as edit;
use crate::msg::{Effect, TodoMsg};
use crate::state::{Desk, Draft, Field};
use cueleaf_guide::Id;

pub(super) fn take(desk: &mut Desk, msg: TodoMsg, fresh: Id, effects: &mut Vec<Effect>) {
    match msg {
        TodoMsg::Add => {
            let made = edit::add(desk.guide(), fresh.clone());
            commit(desk, made, "add a task", effects);
            effects.push(Effect::Focus(format!("todo-text-{fresh}")));
        }
        TodoMsg::Text(id, text) => {
            let made = edit::set_text(desk.guide(), &id, &text);
            let run = format!("todo-{id}");
            commit_run(desk, made, "write a task".to_owned(), &run, effects);
        }
        TodoMsg::Place(id, text) => {
            let field = Field::TodoPlace(id.clone());
            match edit::set_place(desk.guide(), desk.derived.plan.layout(), &id, &text) {
                Ok(made) => {
                    desk.drafts.remove(&field);
                    commit(desk, made, "move a task", effects);
                }
                Err(problem) => {
                    desk.drafts.insert(field, Draft { text, problem });
                }
            }
        }
        TodoMsg::Raise(id) => {
            let made = edit::raise(desk.guide(), &id);
            commit(desk, made, "change the order of the tasks", effects);
            effects.push(Effect::Focus(format!("todo-text-{id}")));
        }
        TodoMsg::Remove(id) => {
            let made = edit::remove(desk.guide(), &id);
            commit(desk, made, "remove a task", effects);
            effects.push(Effect::Focus("add-todo".to_owned()));
        }
    }
}
