//! What the student is asked to do, to be written.

use super::field;
use crate::edit::todos::MAX_TASK;
use crate::places::write_spot;
use crate::state::{Desk, Field};
use cueleaf_guide::Todo;
use maud::{Markup, html};

pub(super) fn todos(desk: &Desk) -> Markup {
    let all = &desk.guide().todos;
    html! {
        section id="todos" class="todos" aria-labelledby="todos-title" {
            h2 id="todos-title" { "To do at home" }
            p class="hint" { "The student ticks these off; the ticks stay on the student’s device." }
            @if !all.is_empty() {
                ol { @for (index, own) in all.iter().enumerate() { (todo(desk, index, own)) } }
            }
            button id="add-todo" type="button" data-do="add-todo" { "Add a task" }
        }
    }
}

fn todo(desk: &Desk, index: usize, todo: &Todo) -> Markup {
    let id = &todo.id;
    let own = todo.spot.map_or_else(String::new, |spot| {
        write_spot(desk.guide(), desk.derived.plan.layout(), &spot)
    });
    let draft = desk.drafts.get(&Field::TodoPlace(id.clone()));
    let (place, why) = field::shown(draft, &own);
    let problem = format!("todo-place-{id}-problem");
    html! {
        li id={ "todo-" (id) } {
            div class="field" {
                label for={ "todo-text-" (id) } { "Task " (index + 1) }
                textarea id={ "todo-text-" (id) } rows="2" data-do="todo-text" data-value=(id) maxlength=(MAX_TASK)
                    placeholder="Clap 25 to 28 three times before you play." { (todo.text) }
            }
            div class="pair" {
                div class="field" {
                    label for={ "todo-place-" (id) } { "Where, if at a place" }
                    input id={ "todo-place-" (id) } type="text" value=(place) placeholder="25-28"
                        data-do="todo-place" data-value=(id) autocomplete="off" spellcheck="false"
                        aria-invalid=[why.map(|_| "true")] aria-describedby=[why.map(|_| problem.as_str())];
                    (field::problem(&problem, why))
                }
                div class="tip-do" {
                    @if index > 0 {
                        button id={ "raise-" (id) } type="button" class="quiet" data-do="raise-todo" data-value=(id)
                            aria-label={ "Move up task " (index + 1) } { "Move up" }
                    }
                    button id={ "drop-todo-" (id) } type="button" class="quiet" data-do="remove-todo" data-value=(id)
                        aria-label={ "Remove task " (index + 1) } { "Remove" }
                }
            }
        }
    }
}
