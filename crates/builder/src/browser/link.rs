//! Links: what stands after the # of the page's address, the clipboard, and the one
//! address that this device remembers.

use super::dom::{by_id, window};
use super::page::send;
use crate::msg::{DeskMsg, HandMsg, LinkMsg, Msg, Opening};
use crate::update::desk::hand::FRAME_FIELD;
use cueleaf_export::Address;
use wasm_bindgen::JsCast as _;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use web_sys::{HtmlTextAreaElement, Storage};

/// Under what the address is remembered.
const ADDRESS: &str = "cueleaf-address";

/// How long what stands after the # is at least, if it is a guide; the names of
/// places in the page are shorter.
const LEAST: usize = 24;

/// Opens the guide that stands after the # of the address, and takes it off there, so
/// that loading the page again does not open it twice.
pub(super) fn open_hash() {
    let Some(window) = window() else { return };
    let hash = window.location().hash().unwrap_or_default();
    if hash.len() <= LEAST {
        return;
    }
    if let (Ok(history), Ok(path)) = (window.history(), window.location().pathname()) {
        // A file's address cannot be changed everywhere; then it stays.
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(&path));
    }
    send(Msg::Opening(Opening::Link(hash)));
}

/// Copies a text; where the browser refuses, marks it in its field.
pub(super) async fn copy(text: String, field: String) {
    let told = match written(&text).await {
        Some(()) => "Copied.",
        None => {
            let area = by_id(&field).and_then(|own| own.dyn_into::<HtmlTextAreaElement>().ok());
            if let Some(area) = area {
                let _ = area.focus();
                area.select();
            }
            "This browser does not let a page copy. The text is marked: copy it by hand."
        }
    };
    send(Msg::Desk(match field.as_str() {
        FRAME_FIELD => DeskMsg::Hand(HandMsg::Copied(told)),
        _ => DeskMsg::Link(LinkMsg::Copied(told)),
    }));
}

async fn written(text: &str) -> Option<()> {
    let navigator = window()?.navigator();
    // Absent where a page is neither served over https nor opened from the disk.
    let has = js_sys::Reflect::get(&navigator, &"clipboard".into()).ok()?;
    if has.is_undefined() {
        return None;
    }
    JsFuture::from(navigator.clipboard().write_text(text))
        .await
        .ok()
        .map(drop)
}

fn storage() -> Option<Storage> {
    window()?.local_storage().ok().flatten()
}

/// Gives the address that is remembered; empty without one. Other pages of the same
/// folder or site may have written it, so it is read as typed.
pub(super) fn known_address() -> String {
    let kept = storage().and_then(|storage| storage.get_item(ADDRESS).ok().flatten());
    kept.and_then(|text| Address::read(&text).ok())
        .map(|address| address.as_str().to_owned())
        .unwrap_or_default()
}

/// Remembers an address; forgets it when there is none.
pub(super) fn keep_address(address: &str) {
    let Some(storage) = storage() else { return };
    // Without room to remember it, it is typed again.
    let _ = if address.is_empty() {
        storage.remove_item(ADDRESS)
    } else {
        storage.set_item(ADDRESS, address)
    };
}
