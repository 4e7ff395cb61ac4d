//! What a tip shows besides words: to choose and to see.

use super::field;
use crate::edit::tip_shows::{Shows, rhythm_text, without_address};
use crate::state::{Desk, Field, Folded};
use cueleaf_guide::{BowAmount, BowPart, BowWay, Id, Tip};
use cueleaf_view::{Page, rhythm_line, stroke_picture, watch_line};
use maud::{Markup, html};

/// Shows the stroke, the rhythm and the recording of a tip, as the student sees them.
pub(super) fn shown(desk: &Desk, tip: &Tip) -> Markup {
    let words = Page::words_for(desk.guide());
    let page = Page::new(desk.guide(), &desk.derived.plan, &words);
    html! {
        @if let Some(stroke) = &tip.bow { (stroke_picture(&words, stroke)) }
        (rhythm_line(&page, tip))
        @if let Some(watch) = &tip.watch { (watch_line(&words, watch)) }
    }
}

/// The fields for them, folded away until they are wanted.
pub(super) fn editor(desk: &Desk, tip: &Tip) -> Markup {
    let id = &tip.id;
    let bow = tip.bow.as_ref();
    html! {
        details id={ "tip-more-" (id) } class="tip-more" open[desk.is_open(&format!("tip-more-{id}"), Folded::Yes)] {
            summary { "A bow stroke, a rhythm, a recording" }
            div class="pair" {
                (choice(id, Shows::BowFrom, "The bow begins", bow.map_or("", |own| own.from.code()), &from_choices()))
                @if let Some(own) = bow {
                    (choice(id, Shows::BowWay, "goes", own.way.code(), &BowWay::ALL.map(|way| (way.code(), way_name(way)))))
                    (choice(id, Shows::BowAmount, "and takes", own.amount.code(), &BowAmount::ALL.map(|own| (own.code(), amount_name(own)))))
                }
            }
            (text(desk, id, Shows::Rhythm, "Rhythm, note by note", &rhythm_text(&tip.rhythm), "dotted quarter, eighth, 2 quarters, half rest"))
            div class="pair" {
                (text(desk, id, Shows::WatchAt, "Watch at", &tip.watch.as_ref().map_or_else(String::new, cueleaf_guide::Watch::clock), "3:20"))
                (text(desk, id, Shows::WatchAddress, "in the recording at", tip.watch.as_ref().map_or("", |own| own.address.as_str()), "https://…"))
            }
            (for_all(desk, tip))
            div class="as-shown" { (shown(desk, tip)) }
        }
    }
}

/// Gives the address of a recording to all tips that name none, which are those of a talk.
fn for_all(desk: &Desk, tip: &Tip) -> Markup {
    let has_address = tip
        .watch
        .as_ref()
        .is_some_and(|own| !own.address.is_empty());
    let others = if has_address {
        without_address(desk.guide(), &tip.id)
    } else {
        0
    };
    html! {
        @if others > 0 {
            p {
                button id={ "watch-for-all-" (tip.id) } type="button" class="quiet" data-do="watch-for-all" data-value=(tip.id) {
                    "Take this address for "
                    @if others == 1 { "the other tip without one" } @else { "all " (others) " other tips without one" }
                }
            }
        }
    }
}

fn choice(id: &Id, shows: Shows, label: &str, value: &str, choices: &[(&str, &str)]) -> Markup {
    let code = shows.code();
    html! {
        div class="field" {
            label for={ "tip-" (code) "-" (id) } { (label) }
            select id={ "tip-" (code) "-" (id) } data-do="tip-shows" data-value={ (id) "/" (code) } autocomplete="off" {
                @for (own, words) in choices {
                    option value=(own) selected[*own == value] { (words) }
                }
            }
        }
    }
}

fn text(desk: &Desk, id: &Id, shows: Shows, label: &str, value: &str, placeholder: &str) -> Markup {
    let code = shows.code();
    let draft = desk.drafts.get(&Field::TipShows(id.clone(), shows));
    let (value, why) = field::shown(draft, value);
    let problem = format!("tip-{code}-{id}-problem");
    html! {
        div class="field" {
            label for={ "tip-" (code) "-" (id) } { (label) }
            input id={ "tip-" (code) "-" (id) } type="text" value=(value) placeholder=(placeholder)
                data-do="tip-shows" data-value={ (id) "/" (code) } autocomplete="off" spellcheck="false"
                aria-invalid=[why.map(|_| "true")] aria-describedby=[why.map(|_| problem.as_str())];
            (field::problem(&problem, why))
        }
    }
}

fn from_choices() -> Vec<(&'static str, &'static str)> {
    let parts = BowPart::ALL.map(|own| (own.code(), part_name(own)));
    [("", "no stroke shown")].into_iter().chain(parts).collect()
}

const fn part_name(part: BowPart) -> &'static str {
    match part {
        BowPart::Frog => "at the frog",
        BowPart::LowerHalf => "in the lower half",
        BowPart::Middle => "in the middle",
        BowPart::UpperHalf => "in the upper half",
        BowPart::Tip => "at the tip",
    }
}

const fn way_name(way: BowWay) -> &'static str {
    match way {
        BowWay::Down => "down",
        BowWay::Up => "up",
    }
}

const fn amount_name(amount: BowAmount) -> &'static str {
    match amount {
        BowAmount::Little => "a little bow",
        BowAmount::Quarter => "a quarter",
        BowAmount::Half => "half the bow",
        BowAmount::Whole => "the whole bow",
    }
}
