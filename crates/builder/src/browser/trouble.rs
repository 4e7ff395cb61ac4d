//! When the page cannot go on: it says so and offers the documents.

use super::dom::{document, window};
use super::events::on;
use super::out::address_of;
use crate::state::{Desk, State};
use crate::update::keeping::title;
use cueleaf_guide::{Guide, save};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::JsCast as _;
use web_sys::{Document, Element, Event};

thread_local! {
    /// The documents as they were after the last message.
    static LAST: RefCell<Vec<Rc<Guide>>> = const { RefCell::new(Vec::new()) };
    /// Whether it was told: what the hook tells is an error of the page afterwards.
    static TOLD: Cell<bool> = const { Cell::new(false) };
}

/// Remembers the documents.
pub(super) fn remember(state: &State) {
    let guides = state.documents().map(Desk::guide).map(Rc::clone);
    LAST.with_borrow_mut(|last| {
        last.clear();
        last.extend(guides);
    });
}

/// Watches for the moment in which the program gives up. Where memory ran out no hook is
/// called, and the page sees nothing but an error of the module.
pub(super) fn watch() {
    std::panic::set_hook(Box::new(|panic| {
        web_sys::console::error_1(&panic.to_string().into());
        tell();
    }));
    if let Some(window) = window() {
        on(&window, "error", |event| failed(event, "error"));
        on(&window, "unhandledrejection", |event| {
            failed(event, "reason")
        });
    }
}

fn failed(event: &Event, field: &str) {
    let error = js_sys::Reflect::get(event, &field.into());
    if error.is_ok_and(|error| error.is_instance_of::<js_sys::WebAssembly::RuntimeError>()) {
        tell();
    }
}

fn tell() -> Option<()> {
    if TOLD.replace(true) {
        return None;
    }
    let document = document()?;
    let place = document.create_element("div").ok()?;
    place.set_class_name("trouble");
    place.set_attribute("role", "alert").ok()?;
    let text = document.create_element("p").ok()?;
    text.set_text_content(Some(
        "Something went wrong in this page, and it cannot go on. What was kept is safe: reload \
         the page to go on from there.",
    ));
    place.append_child(&text).ok()?;
    // It is told even where there is no memory left for what follows.
    document.body()?.prepend_with_node_1(&place).ok()?;
    let guides = LAST.with(|last| last.try_borrow().map(|last| last.clone()));
    let guides = guides.unwrap_or_default();
    for (index, guide) in guides.iter().enumerate() {
        let (words, name) = if guides.len() == 1 {
            let words = "Download the guide as it is now".to_owned();
            (words, "cueleaf-guide.json".to_owned())
        } else {
            let words = format!("Download “{}” as it is now", title(&guide.title));
            (words, format!("cueleaf-guide-{}.json", index + 1))
        };
        offer(&document, &place, guide, &words, &name);
    }
    Some(())
}

fn offer(
    document: &Document,
    place: &Element,
    guide: &Guide,
    words: &str,
    name: &str,
) -> Option<()> {
    let address = address_of(&save(guide), "application/json")?;
    let line = document.create_element("p").ok()?;
    let link = document.create_element("a").ok()?;
    link.set_attribute("href", &address).ok()?;
    link.set_attribute("download", name).ok()?;
    link.set_text_content(Some(words));
    line.append_child(&link).ok()?;
    place.append_child(&line).ok().map(drop)
}
