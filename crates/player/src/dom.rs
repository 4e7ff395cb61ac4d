//! The few ways in which the page is touched. What is not there is passed over:
//! a page that lacks an element still plays.

use wasm_bindgen::JsCast;
use web_sys::{Document, Element, HtmlElement, HtmlInputElement, Node, Window};

pub(crate) fn window() -> Option<Window> {
    web_sys::window()
}

pub(crate) fn document() -> Option<Document> {
    window()?.document()
}

pub(crate) fn by_id(id: &str) -> Option<Element> {
    document()?.get_element_by_id(id)
}

pub(crate) fn find(selector: &str) -> Option<Element> {
    document()?.query_selector(selector).ok()?
}

/// Writes a text; a text that is there already is changed rather than replaced, which spares the
/// page the laying out of a new one.
pub(crate) fn set_text(id: &str, text: &str) {
    let Some(element) = by_id(id) else { return };
    match element.first_child() {
        Some(own) if own.node_type() == Node::TEXT_NODE && own.next_sibling().is_none() => {
            own.set_node_value(Some(text));
        }
        _ => element.set_text_content(Some(text)),
    }
}

/// Shows what a view made. Only views make HTML, and they escape by construction.
pub(crate) fn show(id: &str, view: &cueleaf_view::Markup) {
    if let Some(element) = by_id(id) {
        element.set_inner_html(&view.0);
    }
}

pub(crate) fn set(element: &Element, name: &str, value: &str) {
    // A fixed attribute name cannot be refused.
    let _ = element.set_attribute(name, value);
}

pub(crate) fn mark(element: &Element, class: &str, on: bool) {
    let _ = element.class_list().toggle_with_force(class, on);
}

pub(crate) fn hide(id: &str, hidden: bool) {
    if let Some(element) = by_id(id).and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
        element.set_hidden(hidden);
    }
}

/// Hides or shows everything that a selector finds.
pub(crate) fn hide_all(selector: &str, hidden: bool) {
    each(selector, |element| element.set_hidden(hidden));
}

/// Does something with everything that a selector finds.
pub(crate) fn each(selector: &str, mut act: impl FnMut(HtmlElement)) {
    let found = document().and_then(|document| document.query_selector_all(selector).ok());
    if let Some(found) = found {
        for index in 0..found.length() {
            if let Some(Ok(element)) = found.get(index).map(JsCast::dyn_into::<HtmlElement>) {
                act(element);
            }
        }
    }
}

/// Gives an input or select as an input: both have a value.
pub(crate) fn input(id: &str) -> Option<HtmlInputElement> {
    by_id(id).map(JsCast::unchecked_into)
}

pub(crate) fn value_of(id: &str) -> Option<String> {
    input(id).map(|input| input.value())
}

pub(crate) fn set_value(id: &str, value: &str) {
    if let Some(input) = input(id) {
        input.set_value(value);
    }
}

pub(crate) fn is_ticked(id: &str) -> bool {
    input(id).is_some_and(|input| input.checked())
}

/// Marks the tick of a count, and only that one, in a drawn line.
pub(crate) fn mark_tick(line: &str, count: Option<usize>) {
    let Some(line) = by_id(line) else { return };
    let within = |selector: &str| line.query_selector(selector).ok().flatten();
    let tick = |count: usize| within(&("[data-c=\"".to_owned() + &count.to_string() + "\"]"));
    let new = count.and_then(tick);
    let old = within(".now");
    if old == new {
        return;
    }
    for (own, now) in [(old, false), (new, true)] {
        if let Some(own) = own {
            mark(&own, "now", now);
        }
    }
}

/// Scrolls what has no room to its end, if it is there.
pub(crate) fn show_end(selector: &str) {
    if let Some(element) = find(selector) {
        element.set_scroll_top(element.scroll_height());
    }
}

/// Gives how far down the page is scrolled, in CSS pixels.
pub(crate) fn scrolled() -> f64 {
    window()
        .and_then(|window| window.scroll_y().ok())
        .unwrap_or(0.0)
}

pub(crate) fn scroll_to(y: f64) {
    if let Some(window) = window() {
        window.scroll_to_with_x_and_y(0.0, y);
    }
}
