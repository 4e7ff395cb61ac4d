//! When the page cannot go on: it says so and offers the document.

use super::dom::document;
use super::out::address_of;
use crate::state::State;
use cueleaf_guide::{Guide, save};
use std::cell::RefCell;
use std::rc::Rc;

thread_local! {
    /// The document as it was after the last message.
    static LAST: RefCell<Option<Rc<Guide>>> = const { RefCell::new(None) };
}

/// Remembers the document.
pub(super) fn remember(state: &State) {
    let guide = state.desk().map(|desk| Rc::clone(desk.guide()));
    LAST.with(|last| *last.borrow_mut() = guide);
}

/// Watches for the moment in which the program gives up.
pub(super) fn watch() {
    std::panic::set_hook(Box::new(|panic| {
        web_sys::console::error_1(&panic.to_string().into());
        tell();
    }));
}

fn tell() -> Option<()> {
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
    let guide = LAST.with(|last| last.try_borrow().ok().and_then(|last| last.clone()));
    if let Some(address) = guide.and_then(|guide| address_of(&save(&guide), "application/json")) {
        let link = document.create_element("a").ok()?;
        link.set_attribute("href", &address).ok()?;
        link.set_attribute("download", "cueleaf-guide.json").ok()?;
        link.set_text_content(Some("Download the guide as it is now"));
        place.append_child(&link).ok()?;
    }
    document.body()?.prepend_with_node_1(&place).ok()
}
