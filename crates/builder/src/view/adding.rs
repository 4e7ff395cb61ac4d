//! What a second file would do to the guide that is open, to be looked at first.

use super::{findings, folded};
use crate::adding::{Adding, Item};
use crate::beside::{Lost, label, mark_words, part_words};
use crate::edit::tips::topic_name;
use crate::edition::{Edition, Source};
use crate::state::{Desk, State};
use crate::update::keeping::title as title_words;
use cueleaf_guide::{Finding, Id, Mark, Spot, Tip, Todo};
use maud::{Markup, html};

/// How many marks of a part are named; the others are counted.
const NAMED: usize = 6;

pub(super) fn adding(state: &State, adding: &Adding) -> Markup {
    let Some(desk) = state.aside.as_deref() else {
        return html! {};
    };
    let title = title_words(&desk.guide().title);
    let (count, all) = (adding.count(), adding.items().len());
    html! {
        section id="adding" class="parts heard" aria-labelledby="adding-title" {
            h1 id="adding-title" { "From “" (adding.beside().name()) "” to “" (title) "”" }
            @if all > 0 {
                p class="hint" {
                    "Take what is right and untick the rest. Everything stands at the measure with the same printed number; "
                    "undo takes it back."
                }
                fieldset class="said" {
                    legend { "What can be added" }
                    (folded::list("adding-more", None, &rows(desk, adding)))
                }
            } @else {
                p { "There is nothing in it to add." }
            }
            @if adding.known() > 0 {
                p class="hint" { (counted(adding.known(), "tip or task is", "tips and tasks are")) " in that guide already." }
            }
            (lost(adding.beside().lost(), "Found no place", "That guide has no such measures; these are not added."))
            (disagreeing(desk, adding.beside().findings()))
            div class="go stay" {
                @if all > 0 {
                    button id="adding-add" type="button" class="strong" data-do="adding-add"
                        aria-disabled=[(count == 0).then_some("true")] { "Add " (count) " of " (all) }
                }
                @if adding.own.is_some() {
                    button id="adding-own" type="button" data-do="adding-own" { "Open it as a guide of its own" }
                }
                button id="cancel" type="button" class="quiet" data-do="cancel" { "Back" }
            }
        }
    }
}

pub(super) fn edition(state: &State, edition: &Edition) -> Markup {
    let Some(desk) = state.aside.as_deref() else {
        return html! {};
    };
    let title = title_words(&desk.guide().title);
    let (placed, moved) = edition.placed();
    let (before, after) = (
        desk.guide().road_map.measures.len(),
        edition.guide().road_map.measures.len(),
    );
    html! {
        section id="edition" class="parts heard" aria-labelledby="edition-title" {
            h1 id="edition-title" { "“" (edition.beside().name()) "” as a new edition of “" (title) "”" }
            p {
                (counted(before, "measure", "measures")) " before, " (after) " after. "
                (counted(placed, "tip or task finds its measure", "tips and tasks find their measures"))
                @if moved > 0 { ", " (moved) " of them further on or back" }
                "."
            }
            p class="hint" {
                "What is printed is taken from the file; what you wrote stays where the file says nothing. "
                "Where it says otherwise, that is listed. Undo takes it back."
            }
            (lost(edition.beside().lost(), "Found no place", "Tips and tasks stay in the guide, near where they were; the rest is gone with its measure."))
            (tempi(edition))
            (disagreeing(desk, edition.beside().findings()))
            div class="go stay" {
                button id="edition-take" type="button" class="strong" data-do="edition-take" { "Take this edition" }
                button id="cancel" type="button" class="quiet" data-do="cancel" { "Back" }
            }
        }
    }
}

/// Where the two say another tempo: which stands, and the other for a tick.
fn tempi(edition: &Edition) -> Markup {
    let file = edition.beside().name();
    let measures = &edition.guide().road_map.measures;
    html! {
        @if !edition.tempi().is_empty() {
            fieldset class="said" {
                legend { "Which tempo stands" }
                ul {
                    @for (index, choice) in edition.tempi().iter().enumerate() {
                        @let (other, of) = choice.other();
                        li {
                            label class="check" for={ "edition-tempo-" (index) } {
                                input id={ "edition-tempo-" (index) } type="checkbox" data-do="edition-tempo" data-value=(index)
                                    autocomplete="off" checked[choice.is_taken()];
                                span {
                                    b { "Measure " (label(measures, choice.measure())) ": " (choice.stands().said()) " stands" }
                                    @match of {
                                        Source::File => { ", as this guide says. Take " (other.said()) " of “" (file) "” instead" }
                                        Source::Guide => { ", as “" (file) "” says. Take " (other.said()) " of this guide instead" }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn counted(count: usize, one: &str, more: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { more })
}

fn rows(desk: &Desk, adding: &Adding) -> Vec<Markup> {
    let all = adding.items().iter().enumerate();
    let rows = all.map(|(index, (item, ticked))| row(desk, adding, index, item, *ticked));
    rows.collect()
}

fn row(desk: &Desk, adding: &Adding, index: usize, item: &Item, ticked: bool) -> Markup {
    html! {
        li {
            label class="check" for={ "adding-" (index) } {
                input id={ "adding-" (index) } type="checkbox" data-do="adding" data-value=(index) autocomplete="off"
                    checked[ticked] aria-describedby={ "adding-" (index) "-about" };
                span {
                    b {
                        @match item {
                            Item::Part(part) => { "A new part: " (part_words(part)) }
                            Item::Marks(id, _) => { "Marks for " (part_name(desk, adding, id)) }
                            Item::Tip(tip) => { (place(desk, &tip.spot)) ": " (topic_name(tip.topic)) }
                            Item::Change(tip, _) => { (place(desk, &tip.spot)) ": " (topic_name(tip.topic)) ", changed" }
                            Item::Todo(todo) => { "To do" (at(desk, todo.spot.as_ref())) }
                            Item::TodoChange(todo, _) => { "To do" (at(desk, todo.spot.as_ref())) ", changed" }
                        }
                    }
                }
            }
            p id={ "adding-" (index) "-about" } class="hint" {
                @match item {
                    Item::Part(part) => { (marks(desk, &part.marks)) }
                    Item::Marks(_, own) => { (marks(desk, own)) }
                    Item::Tip(tip) => { "“" (tip.text.trim()) "”" (for_parts(desk, adding, &tip.parts)) }
                    Item::Change(Tip { text, .. }, before) | Item::TodoChange(Todo { text, .. }, before) => {
                        "Here “" (before.trim()) "”, there “" (text.trim()) "”"
                    }
                    Item::Todo(todo) => { "“" (todo.text.trim()) "”" (for_parts(desk, adding, &todo.parts)) }
                }
            }
        }
    }
}

fn place(desk: &Desk, spot: &Spot) -> String {
    let (first, last) = (spot.from.measure, spot.last_measure());
    let word = if first == last { "Measure" } else { "Measures" };
    format!("{word} {}", desk.derived.stretch(first, last))
}

fn at(desk: &Desk, spot: Option<&Spot>) -> String {
    spot.map_or_else(String::new, |spot| format!(", {}", place(desk, spot)))
}

fn marks(desk: &Desk, marks: &[Mark]) -> String {
    if marks.is_empty() {
        return "Without marks".to_owned();
    }
    let named = marks.iter().take(NAMED);
    let named: Vec<String> = named
        .map(|mark| {
            format!(
                "{} at {}",
                mark_words(mark),
                desk.derived.name(mark.measure)
            )
        })
        .collect();
    let more = marks.len().saturating_sub(NAMED);
    let rest = if more > 0 {
        format!("; and {more} more")
    } else {
        String::new()
    };
    format!(
        "{}: {}{rest}",
        counted(marks.len(), "mark", "marks"),
        named.join("; ")
    )
}

/// Names a part that is there or would come.
fn part_name(desk: &Desk, adding: &Adding, id: &Id) -> String {
    let coming = adding.items().iter().filter_map(|(item, _)| match item {
        Item::Part(part) => Some(part),
        _ => None,
    });
    let mut all = desk.guide().parts.iter().chain(coming);
    all.find(|part| part.id == *id)
        .map_or_else(String::new, |part| part_words(part).to_owned())
}

fn for_parts(desk: &Desk, adding: &Adding, ids: &[Id]) -> String {
    let names: Vec<String> = ids.iter().map(|id| part_name(desk, adding, id)).collect();
    if names.is_empty() {
        return String::new();
    }
    format!(", for {}", names.join(", "))
}

fn lost(lost: &[Lost], title: &str, about: &str) -> Markup {
    html! {
        @if !lost.is_empty() {
            h2 { (title) }
            p class="hint" { (about) }
            @let rows = lost.iter().map(|own| html! { li { (own.what) ", at " (own.at) } });
            (folded::list("lost-more", Some("lost"), &rows.collect::<Vec<_>>()))
        }
    }
}

fn disagreeing(desk: &Desk, all: &[Finding]) -> Markup {
    let rows = all.iter().map(|finding| {
        html! {
            li class=(findings::class(finding.severity)) {
                @if let Some(label) = &finding.place.label { "Measure " (label) ": " }
                @else if let Some(index) = finding.place.measure { "Measure " (desk.derived.name(index)) ": " }
                (findings::words(finding))
            }
        }
    });
    html! {
        @if !all.is_empty() {
            h2 { "What to look at" }
            (folded::list("disagreeing-more", Some("disagreeing"), &rows.collect::<Vec<_>>()))
        }
    }
}
