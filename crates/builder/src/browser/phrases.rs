//! The teacher's phrases in the browser's storage, and where the caret stands.

use super::dom::{by_id, window};
use super::page::send;
use crate::msg::{Msg, PhraseMsg};
use crate::phrases::{Phrases, Wish};
use wasm_bindgen::JsCast as _;
use wasm_bindgen::prelude::Closure;
use web_sys::{HtmlTextAreaElement, Storage, StorageEvent};

/// Under what they are kept.
const PHRASES: &str = "cueleaf-phrases";

fn storage() -> Option<Storage> {
    window()?.local_storage().ok().flatten()
}

/// Gives the phrases of this device; those to begin with where none were ever kept.
pub(super) fn known() -> Phrases {
    let kept = storage().and_then(|storage| storage.get_item(PHRASES).ok().flatten());
    kept.map_or_else(Phrases::starting, |text| Phrases::read(&text))
}

/// Keeps them; without room they last as long as the page.
pub(super) fn keep(text: &str) {
    if let Some(storage) = storage() {
        let _ = storage.set_item(PHRASES, text);
    }
}

/// Follows what another tab keeps.
pub(super) fn follow() {
    let listener = Closure::<dyn Fn(StorageEvent)>::new(|event: StorageEvent| {
        if event.key().as_deref() == Some(PHRASES)
            && let Some(text) = event.new_value()
        {
            send(Msg::Phrases(PhraseMsg::Known(text)));
        }
    });
    if let Some(window) = window() {
        let target = listener.as_ref().unchecked_ref();
        let _ = window.add_event_listener_with_callback("storage", target);
    }
    listener.forget();
}

/// Tells where the caret stands in a field, or what is chosen there.
pub(super) fn tell_stretch(field: &str, wish: Wish) {
    let area = by_id(field).and_then(|own| own.dyn_into::<HtmlTextAreaElement>().ok());
    let Some(area) = area else { return };
    let place =
        |place: Option<u32>| usize::try_from(place.unwrap_or(u32::MAX)).unwrap_or(usize::MAX);
    let start = place(area.selection_start().ok().flatten());
    let end = place(area.selection_end().ok().flatten());
    send(Msg::Phrases(PhraseMsg::At(wish, start..end)));
}
