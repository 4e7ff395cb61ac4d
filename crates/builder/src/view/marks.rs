//! The marks of a part at the chosen measures, and one more.

use super::printed::group;
use crate::edit::marks::{KINDS, has_end, has_text};
use crate::places::{beat_words, name_of, write_spot};
use crate::state::Desk;
use cueleaf_guide::{Mark, Place, Spot};
use maud::{Markup, html};

pub(super) fn marks(desk: &Desk, first: usize, last: usize) -> Markup {
    let Some(part) = desk.marks_part() else {
        return html! {};
    };
    let here: Vec<(usize, &Mark)> = part
        .marks
        .iter()
        .enumerate()
        .filter(|(_, mark)| (first..=last).contains(&mark.measure))
        .collect();
    let fields = html! {
        @if desk.guide().parts.len() > 1 {
            div class="field" {
                label for="mark-part" { "In the part" }
                select id="mark-part" data-do="mark" data-value="part" autocomplete="off" {
                    @for own in &desk.guide().parts { option value=(own.id) selected[own.id == part.id] { (own.name) } }
                }
            }
        }
        @if !here.is_empty() {
            ul class="marks-here" {
                @for (index, mark) in &here {
                    li {
                        (said(desk, mark)) " "
                        button id={ "mark-remove-" (index) } type="button" class="quiet" data-do="mark-remove" data-value=(index)
                            aria-label={ "Remove " (said(desk, mark)) } { "Remove" }
                    }
                }
            }
        }
        (new(desk, first))
    };
    group(
        desk,
        "marks",
        &format!("Printed in {}", part.name),
        !here.is_empty(),
        &fields,
    )
}

fn new(desk: &Desk, first: usize) -> Markup {
    let new = &desk.new_mark;
    let input = |code: &str, label: &str, value: &str, placeholder: &str| {
        html! {
            div class="field" {
                label for={ "mark-" (code) } { (label) }
                input id={ "mark-" (code) } type="text" value=(value) placeholder=(placeholder)
                    data-do="mark" data-value=(code) autocomplete="off" spellcheck="false";
            }
        }
    };
    html! {
        fieldset class="new-mark" {
            legend { "Add at " (name_of(desk.guide(), first)) }
            div class="pair" {
                div class="field" {
                    label for="mark-kind" { "What" }
                    select id="mark-kind" data-do="mark" data-value="kind" autocomplete="off" {
                        @for (code, kind, words) in KINDS { option value=(code) selected[kind == new.kind] { (words) } }
                    }
                }
                (input("at", "on beat", &new.at, "1"))
            }
            @if has_text(new.kind) { (input("text", "as printed", &new.text, "mf")) }
            @if has_end(new.kind) { (input("to", "up to the end of", &new.to, "this measure")) }
            @if let Some(problem) = &desk.mark_problem { p class="problem" id="mark-problem" role="alert" { (problem) } }
            button id="mark-add" type="button" data-do="mark-add" { "Add" }
        }
    }
}

/// Says a mark: "mf at 12 beat 3", "crescendo from 12 to 16".
pub(super) fn said(desk: &Desk, mark: &Mark) -> String {
    let words = KINDS
        .iter()
        .find(|(_, kind, _)| *kind == mark.kind)
        .map_or("", |(_, _, words)| words);
    let what = if mark.text.is_empty() {
        words
    } else {
        &mark.text
    };
    let name = desk.derived.name(mark.measure);
    let beat = beat_words(desk.derived.plan.layout(), mark.measure, mark.at);
    let at = if beat.is_empty() {
        name.to_owned()
    } else {
        format!("{name} {beat}")
    };
    let Some(to) = mark.to else {
        return format!("{what} at {at}");
    };
    let end = if to.at.is_zero() && to.measure > mark.measure {
        format!("the end of {}", desk.derived.name(to.measure - 1))
    } else {
        write_spot(
            desk.guide(),
            desk.derived.plan.layout(),
            &Spot::at(Place { ..to }),
        )
    };
    format!("{what} from {at} to {end}")
}
