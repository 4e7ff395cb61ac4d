//! Small looks into the page.

use wasm_bindgen::JsCast as _;
use wasm_bindgen::prelude::wasm_bindgen;
use web_sys::{
    Document, Element, Event, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement, Window,
};

#[wasm_bindgen(module = "/src/browser/morph.js")]
extern "C" {
    /// Morphs markup into an element.
    pub(super) fn morph(element: &Element, html: &str);
    /// Morphs an element into the one that the markup is.
    #[wasm_bindgen(js_name = morphElement)]
    pub(super) fn morph_element(element: &Element, html: &str);
}

pub(super) fn window() -> Option<Window> {
    web_sys::window()
}

/// Tells whether the page is as narrow as a phone, where the style has the facts in a sheet.
pub(super) fn is_narrow() -> bool {
    let query = window().and_then(|window| window.match_media("(max-width: 760px)").ok().flatten());
    query.is_some_and(|query| query.matches())
}

pub(super) fn document() -> Option<Document> {
    window()?.document()
}

pub(super) fn by_id(id: &str) -> Option<Element> {
    document()?.get_element_by_id(id)
}

/// Finds the element with a hook on which an event happened.
pub(super) fn hooked(event: &Event) -> Option<Element> {
    let target: Element = event.target()?.dyn_into().ok()?;
    target.closest("[data-do]").ok().flatten()
}

pub(super) fn attribute(element: &Element, name: &str) -> String {
    element.get_attribute(name).unwrap_or_default()
}

/// Tells whether an element speaks by its value rather than by being pressed.
pub(super) fn is_field(element: &Element) -> bool {
    matches!(element.tag_name().as_str(), "INPUT" | "SELECT" | "TEXTAREA")
}

/// Gives what stands in a field; "on" or "off" for a box to tick.
pub(super) fn text_of(element: &Element) -> String {
    if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
        return match (input.type_().as_str(), input.checked()) {
            ("checkbox", true) => "on".to_owned(),
            ("checkbox", false) => "off".to_owned(),
            _ => input.value(),
        };
    }
    if let Some(area) = element.dyn_ref::<HtmlTextAreaElement>() {
        return area.value();
    }
    element
        .dyn_ref::<HtmlSelectElement>()
        .map(HtmlSelectElement::value)
        .unwrap_or_default()
}
