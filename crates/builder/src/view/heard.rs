//! What a talk was heard to say, with a tick for each statement.

use super::folded;
use crate::edit::tips::topic_name;
use crate::heard::{Heard, HeardKind};
use crate::state::State;
use crate::update::keeping::title as title_words;
use cueleaf_read::talk::{Correction, FactKind, Point, Said, Statement, What};
use maud::{Markup, html};

pub(super) fn heard(state: &State, heard: &Heard) -> Markup {
    let statements = &heard.talk().statements;
    let count = heard.count();
    html! {
        section id="heard" class="parts heard" aria-labelledby="heard-title" {
            h1 id="heard-title" { "Heard in " (heard.name()) }
            p class="hint" {
                "Take what is right and untick the rest. Taking a place away takes what was said about it along; "
                "whatever you take can be changed afterwards."
            }
            (recording(heard))
            (kinds(heard))
            fieldset class="said" {
                legend { "What was said" }
                @let rows = statements.iter().enumerate();
                @let rows = rows.map(|(index, statement)| row(index, statement, heard.is_ticked(index)));
                (folded::list("heard-more", None, &rows.collect::<Vec<_>>()))
            }
            (corrections(&heard.talk().corrections))
            div class="go stay" {
                button id="heard-make" type="button" class="strong" data-do="heard-make"
                    aria-disabled=[(count == 0).then_some("true")] {
                    "Make a draft of " (count) " of " (statements.len())
                }
                @if let Some(aside) = &state.aside {
                    button id="add-heard" type="button" data-do="add-heard"
                        aria-disabled=[(count == 0).then_some("true")] {
                        "Add them to “" (title_words(&aside.guide().title)) "”"
                    }
                }
                button id="cancel" type="button" class="quiet" data-do="cancel" { "Back" }
            }
        }
    }
}

/// Where the recording is, once for all tips that come from it.
fn recording(heard: &Heard) -> Markup {
    let wrong = heard.address_problem();
    html! {
        @if heard.of_kind(HeardKind::Tip).1 > 0 {
            div class="field" {
                label for="heard-address" { "Where the recording is on the web, for all its tips" }
                input id="heard-address" type="text" inputmode="url" value=(heard.address()) data-do="heard-address"
                    maxlength="300" autocomplete="off" spellcheck="false" placeholder="https://…"
                    aria-invalid=(if wrong.is_some() { "true" } else { "false" }) aria-describedby="heard-address-hint";
                p id="heard-address-hint" class=(if wrong.is_some() { "problem" } else { "hint" }) {
                    (wrong.unwrap_or("Each tip says when to watch; with an address it leads there. It can stay empty."))
                }
            }
        }
    }
}

fn kinds(heard: &Heard) -> Markup {
    let all = HeardKind::all().map(|kind| (kind, heard.of_kind(kind)));
    html! {
        fieldset class="kinds" {
            legend { "All of a kind" }
            @for (kind, (ticked, count)) in all.filter(|(_, (_, count))| *count > 0) {
                label class="check" for={ "heard-kind-" (kind.code()) } {
                    input id={ "heard-kind-" (kind.code()) } type="checkbox" data-do="heard-kind" data-value=(kind.code())
                        autocomplete="off" checked[ticked == count];
                    (kind_words(kind)) " (" (ticked) " of " (count) ")"
                }
            }
        }
    }
}

fn row(index: usize, statement: &Statement, ticked: bool) -> Markup {
    let place = statement.place.as_ref().map(said_words);
    html! {
        li {
            label class="check" for={ "heard-" (index) } {
                input id={ "heard-" (index) } type="checkbox" data-do="heard" data-value=(index) autocomplete="off"
                    checked[ticked] aria-describedby={ "heard-" (index) "-from" };
                span {
                    b { (place.as_deref().unwrap_or("No place named")) }
                    @match &statement.what {
                        What::Place => {}
                        What::Fact { kind, value } => { ": " (kind_words(HeardKind::Fact(*kind))) ", " (value) }
                        What::Tip { topic, excerpt } => { ": " (topic_name(*topic)) ", “" (excerpt) "”" }
                    }
                }
            }
            p id={ "heard-" (index) "-from" } class="hint" {
                "Line " (statement.caption) ", at " (clock(statement.from)) ", " (percent(statement.confidence)) " % sure"
                @if !matches!(&statement.what, What::Tip { excerpt, .. } if *excerpt == statement.words) {
                    ", from the words “" (statement.words) "”"
                }
            }
        }
    }
}

fn corrections(all: &[Correction]) -> Markup {
    html! {
        @if !all.is_empty() {
            h2 { "Probably misheard" }
            p class="hint" { "These words were understood in another way than they are written in the captions." }
            @let rows = all.iter().map(|own| html! {
                li { "Line " (own.caption) ": “" (own.heard) "” is taken for “" (own.meant) "”" }
            });
            (folded::list("misheard-more", Some("misheard"), &rows.collect::<Vec<_>>()))
        }
    }
}

const fn kind_words(kind: HeardKind) -> &'static str {
    match kind {
        HeardKind::Place => "Place",
        HeardKind::Tip => "Tip",
        HeardKind::Fact(FactKind::Tempo) => "Tempo",
        HeardKind::Fact(FactKind::Meter) => "Meter",
        HeardKind::Fact(FactKind::Grouping) => "Groups",
        HeardKind::Fact(FactKind::Key) => "Key",
        HeardKind::Fact(FactKind::Pluck) => "Pizz. or arco",
        HeardKind::Fact(FactKind::Dynamic) => "Dynamic",
        HeardKind::Fact(FactKind::Section) => "Section",
        HeardKind::Fact(FactKind::Change) => "Rit., accel. or a tempo",
        HeardKind::Fact(FactKind::Fermata) => "Fermata",
        HeardKind::Fact(FactKind::Mute) => "Mute",
    }
}

/// Writes a time as minutes and seconds.
fn clock(milliseconds: u64) -> String {
    let seconds = milliseconds / 1_000;
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

fn percent(confidence: f64) -> String {
    format!("{:.0}", confidence * 100.0)
}

fn said_words(said: &Said) -> String {
    let from = point_words(&said.from);
    match &said.to {
        Some(to) => format!("{from} to {}", inside(&point_words(to))),
        None => from,
    }
}

/// Writes the words of a place as they stand inside a sentence; the letters of marks stay.
fn inside(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_lowercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

fn point_words(point: &Point) -> String {
    match point {
        Point::Measure {
            number,
            beat: Some(beat),
        } => format!("Measure {number} beat {beat}"),
        Point::Measure { number, beat: None } => format!("Measure {number}"),
        Point::Mark { mark, measures: 0 } => format!("Mark {mark}"),
        Point::Mark { mark, measures } if *measures < 0 => {
            format!("{} before mark {mark}", measures.unsigned_abs())
        }
        Point::Mark { mark, measures } => format!("{measures} after mark {mark}"),
        Point::End { before: 0 } => "The last measure".to_owned(),
        Point::End { before } => format!("{before} before the last measure"),
        Point::Start => "The start".to_owned(),
        Point::Pickup(None) => "The pickup".to_owned(),
        Point::Pickup(Some(to)) => format!("The pickup to {}", inside(&point_words(to))),
    }
}
