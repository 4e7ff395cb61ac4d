//! The road map: measures in lines, and the tools above them.

use super::measure::MapLooks;
use super::{Piece, field, measure};
use crate::derived::{Derived, MapLine};
use crate::state::{Desk, Field};
use crate::update::desk::measure_id;
use cueleaf_view::{Page, Words};
use maud::{Markup, html};
use std::collections::BTreeSet;

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

/// The most measures of whole lines that are drawn at once. The other lines are empty at
/// first and follow in turns of their own, so that a long piece does not stop the page.
///
/// # Source
/// Our decision: as many as fill a screen, drawn and laid out in some 20 ms.
const AT_ONCE: usize = 96;

/// Gives the lines of the map that look other than they did, each as a piece of its own, or
/// where a line has the same measures as before, those of them that do; and which lines,
/// by their first measures, wait for their turn. Those near the focus come first.
pub(super) fn lines(desk: &Desk, before: Option<&MapLooks>) -> (Vec<Piece>, BTreeSet<usize>) {
    let words = Page::words_for(desk.guide());
    let before = before.filter(|looks| !looks.all_differ(desk));
    let mut pieces = Vec::new();
    let mut anew: Vec<&MapLine> = Vec::new();
    for line in desk.derived.lines.iter() {
        let Some(looks) = before.filter(|looks| has(looks, desk, line)) else {
            anew.push(line);
            continue;
        };
        for index in (line.first..line.end).filter(|index| looks.differ(desk, *index)) {
            let drawn = of_measure(desk, &words, line, index);
            pieces.push(Piece::element(measure_id(index), drawn));
        }
    }
    let focus = desk.selection.focus;
    anew.sort_by_key(|line| match (line.first..line.end).contains(&focus) {
        true => 0,
        false => line.first.abs_diff(focus).max(1),
    });
    let mut waiting = BTreeSet::new();
    let mut drawn = 0;
    for line in anew {
        let key = format!("line-{}", line.first);
        if drawn == 0 || drawn + line.end - line.first <= AT_ONCE {
            drawn += line.end - line.first;
            pieces.push(Piece::drawn(key, of_line(desk, &words, line)));
        } else {
            waiting.insert(line.first);
            // What stood there has other measures.
            if !before.is_some_and(|looks| looks.waits(line.first)) {
                pieces.push(Piece::drawn(key, html! {}));
            }
        }
    }
    (pieces, waiting)
}

/// Tells whether a line was there before, with as many measures under the same name.
fn has(looks: &MapLooks, desk: &Desk, line: &MapLine) -> bool {
    let own = looks
        .lines()
        .binary_search_by_key(&line.first, |own| own.first);
    let own = own.ok().and_then(|index| looks.lines().get(index));
    own == Some(line)
        && !looks.waits(line.first)
        && looks.line_words(line) == line_words(&desk.derived, line)
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
pub(super) fn line_words(derived: &Derived, line: &MapLine) -> String {
    let measures = derived.stretch(line.first, line.end.saturating_sub(1));
    match &line.heading {
        Some(heading) => format!("{heading}, measures {measures}"),
        None => format!("Measures {measures}"),
    }
}

fn of_line(desk: &Desk, words: &Words, line: &MapLine) -> Markup {
    html! {
        @if let Some(heading) = &line.heading {
            div class="heading" aria-hidden="true" { (heading) }
        }
        div class="row" role="presentation" {
            @for index in line.first..line.end { (of_measure(desk, words, line, index)) }
        }
    }
}

fn of_measure(desk: &Desk, words: &Words, line: &MapLine, index: usize) -> Markup {
    let next = if index + 1 < line.end {
        measure::rows(desk, words, index + 1)
    } else {
        0
    };
    measure::measure(desk, words, index, next)
}
