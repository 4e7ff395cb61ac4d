//! The caret in a field.

use super::dom::{by_id, document};
use crate::notes::carried;
use std::ops::Range;
use wasm_bindgen::JsCast as _;
use web_sys::{HtmlInputElement, HtmlTextAreaElement};

fn area(id: &str) -> Option<HtmlTextAreaElement> {
    by_id(id)?.dyn_into().ok()
}

fn units(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(u32::MAX)
}

/// Puts the focus into a field and chooses a stretch of its text.
pub(super) fn choose(id: &str, stretch: &Range<usize>) {
    if let Some(line) = by_id(id).and_then(|own| own.dyn_into::<HtmlInputElement>().ok()) {
        let _ = line.focus();
        let _ = line.set_selection_range(units(stretch.start), units(stretch.end));
        return;
    }
    let Some(area) = area(id) else { return };
    let _ = area.focus();
    let _ = area.set_selection_range(units(stretch.start), units(stretch.end));
}

/// Fills a field. What has the focus was left alone when the page was drawn, and its caret
/// would jump to the end.
pub(super) fn fill(id: &str, text: &str) {
    let Some(area) = area(id) else { return };
    let before = area.value();
    if before == text {
        return;
    }
    let place = |place: Option<u32>| {
        let place = usize::try_from(place.unwrap_or(0)).unwrap_or(0);
        units(carried(&before, text, place))
    };
    let start = place(area.selection_start().ok().flatten());
    let end = place(area.selection_end().ok().flatten());
    area.set_value(text);
    let has_focus = document()
        .and_then(|document| document.active_element())
        .is_some_and(|active| active.id() == id);
    // Choosing a place moves the focus in some browsers, so only where it is already.
    if has_focus {
        let _ = area.set_selection_range(start, end);
    }
}
