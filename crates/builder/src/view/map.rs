//! The road map: measures in lines, and the tools above them.

use super::{Piece, field, measure};
use crate::derived::MapLine;
use crate::state::{Desk, Field};
use cueleaf_view::{Page, Words};
use maud::{Markup, html};

pub(super) fn tools(desk: &Desk) -> Markup {
    let stretch = desk
        .derived
        .stretch(desk.selection.first(), desk.selection.last());
    let (shown, why) = field::shown(desk.drafts.get(&Field::Selection), &stretch);
    html! {
            div id="map-tools-in" class="map-tools" {
                div class="field inline" {
                    label for="select-text" { "Measures" }
                    input id="select-text" type="text" value=(shown) data-do="select-text"
                        autocomplete="off" spellcheck="false" inputmode="text" size="9"
                        aria-invalid=[why.map(|_| "true")]
                        aria-describedby=(if why.is_some() { "select-problem" } else { "select-hint" });
                    span id="select-hint" class="hint wide-only" { "33 or 33-40; or choose below, with Shift for several" }
                }
                button id="extending" type="button" data-do="extending" aria-pressed=(desk.extending) {
                    @if desk.extending { "Tap the last measure" } @else { "Choose up to…" }
                }
                button id="open-facts" type="button" class="narrow-only" data-do="toggle-facts"
                    aria-expanded=(desk.facts_open) { "Edit" }
                button id="add-tip" type="button" class="strong" data-do="add-tip"
                    aria-disabled=[stretch.is_empty().then_some("true")] { "Add a tip" }
                (field::problem("select-problem", why))
            }
    }
}

/// Gives the lines of the map, each a piece of its own.
pub(super) fn lines(desk: &Desk) -> Vec<Piece> {
    let words = Page::words_for(desk.guide());
    desk.derived
        .lines
        .iter()
        .map(|line| Piece::new(format!("line-{}", line.first), of_line(desk, &words, line)))
        .collect()
}

/// What stands there when no measures are left.
pub(super) fn empty() -> Markup {
    html! {
        div id="map-empty" {
            p { "No measures are left. Undo brings them back." }
            button id="insert-measure" type="button" data-do="insert-measure" { "Insert a measure" }
        }
    }
}

/// Says which measures a line has.
pub(super) fn line_words(desk: &Desk, line: &MapLine) -> String {
    let measures = desk.derived.stretch(line.first, line.end.saturating_sub(1));
    match &line.heading {
        Some(heading) => format!("{heading}, measures {measures}"),
        None => format!("Measures {measures}"),
    }
}

fn of_line(desk: &Desk, words: &Words, line: &MapLine) -> Markup {
    let measures = desk.guide().road_map.measures.iter().enumerate();
    html! {
        @if let Some(heading) = &line.heading {
            div class="heading" aria-hidden="true" { (heading) }
        }
        div class="row" role="presentation" {
            @for (index, own) in measures.skip(line.first).take(line.end - line.first) {
                @let next = if index + 1 < line.end { measure::rows(desk, words, index + 1) } else { 0 };
                (measure::measure(desk, words, (index, own), next))
            }
        }
    }
}
