//! Dialogs of the page, which the browser itself makes modal, and what one of them remembers.

use super::dom::{by_id, window};
use crate::shortcuts::QuestionKey;
use wasm_bindgen::JsCast as _;
use web_sys::{HtmlDialogElement, HtmlElement, Storage};

/// Under what it is remembered what the key "?" does.
const QUESTION_KEY: &str = "cueleaf-question-key";

fn dialog(id: &str) -> Option<HtmlDialogElement> {
    by_id(id)?.dyn_into().ok()
}

/// Shows a dialog over the page from its beginning, unless it is there already. The browser
/// would put the focus on the first thing that can be pressed, which may stand at its end.
pub(super) fn show(id: &str) {
    if let Some(dialog) = dialog(id)
        && !dialog.open()
    {
        let _ = dialog.show_modal();
        let title = by_id(&format!("{id}-title"));
        if let Some(title) = title.and_then(|own| own.dyn_into::<HtmlElement>().ok()) {
            let _ = title.focus();
        }
        dialog.set_scroll_top(0);
    }
}

/// Closes a dialog; the browser gives the focus back.
pub(super) fn close(id: &str) {
    if let Some(dialog) = dialog(id) {
        dialog.close();
    }
}

fn storage() -> Option<Storage> {
    window()?.local_storage().ok().flatten()
}

/// Gives what the key "?" does on this device.
pub(super) fn known_question_key() -> QuestionKey {
    let kept = storage().and_then(|storage| storage.get_item(QUESTION_KEY).ok().flatten());
    QuestionKey::of(&kept.unwrap_or_default())
}

/// Remembers what the key "?" does; without room for it, it is chosen again.
pub(super) fn keep_question_key(key: QuestionKey) {
    if let Some(storage) = storage() {
        let _ = storage.set_item(QUESTION_KEY, key.text());
    }
}
