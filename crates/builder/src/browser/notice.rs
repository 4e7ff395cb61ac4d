//! The focus, when a message at the top of the page goes while it has it: it goes back to where
//! it was before, else to the room.

use super::dom::{by_id, document};
use super::page::with_state;
use crate::state::State;
use std::cell::RefCell;
use wasm_bindgen::JsCast as _;
use web_sys::{Element, Event, HtmlElement};

/// The element of a message.
const NOTICE: &str = "notice-in";

thread_local! {
    /// What had the focus last outside a message.
    static BEFORE: RefCell<Option<HtmlElement>> = const { RefCell::new(None) };
}

/// Remembers what has the focus, unless it is in a message.
pub(super) fn focused(event: &Event) {
    let target: Option<HtmlElement> = event.target().and_then(|target| target.dyn_into().ok());
    if let Some(own) = target.filter(|own| !is_in_notice(own)) {
        BEFORE.set(Some(own));
    }
}

fn is_in_notice(element: &Element) -> bool {
    by_id(NOTICE).is_some_and(|notice| notice.contains(Some(element)))
}

fn active() -> Option<Element> {
    document()?.active_element()
}

/// Tells whether a message has the focus.
pub(super) fn has_focus() -> bool {
    active().is_some_and(|own| is_in_notice(&own))
}

/// Brings the focus back when nothing has it.
pub(super) fn bring_back() {
    let is_lost = || active().is_none_or(|own| own.tag_name() == "BODY");
    if !is_lost() {
        return;
    }
    if let Some(before) = BEFORE.take() {
        // What was drawn anew has its name again.
        let own = Some(before.clone()).filter(|own| own.is_connected());
        let named = || by_id(&before.id()).and_then(|own| own.dyn_into::<HtmlElement>().ok());
        if let Some(own) = own.or_else(named) {
            let _ = own.focus();
        }
    }
    let room = with_state(|state: &State| state.desk().map(|desk| desk.room)).flatten();
    let room = room.map_or_else(|| "main".to_owned(), |room| format!("tab-{}", room.code()));
    if is_lost()
        && let Some(own) = by_id(&room).and_then(|own| own.dyn_into::<HtmlElement>().ok())
    {
        let _ = own.focus();
    }
}
