//! Files out: to the browser's downloads, or to the device's own way of sharing.

use super::dom::{document, window};
use gloo_timers::callback::Timeout;
use js_sys::{Array, Function, Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::{JsCast as _, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{Blob, BlobPropertyBag, File, FilePropertyBag, HtmlAnchorElement, Url};

/// How long a file stays ready for the browser's downloads, in milliseconds.
const HAND_OUT_TIME: u32 = 60_000;

/// How many pieces are handed over before the browser may put them elsewhere than into
/// memory: some ten megabytes of sound.
const AT_ONCE: u32 = 100;

/// Makes an address under which a text can be downloaded.
pub(super) fn address_of(text: &str, media: &str) -> Option<String> {
    let blob = blob(&Array::of1(&JsValue::from_str(text)), media)?;
    Url::create_object_url_with_blob(&blob).ok()
}

/// Hands a text to the browser's downloads.
pub(super) fn download(name: &str, media: &str, text: &str) {
    if let Some(address) = address_of(text, media) {
        hand_over(name, address);
    }
}

/// Hands bytes to the browser's downloads, piece by piece.
pub(super) fn download_pieces(name: &str, media: &str, pieces: impl Iterator<Item = Vec<u8>>) {
    let mut waiting = Array::new();
    for piece in pieces {
        waiting.push(&Uint8Array::from(piece.as_slice()));
        if waiting.length() > AT_ONCE
            && let Some(blob) = blob(&waiting, media)
        {
            waiting = Array::of1(&blob);
        }
    }
    let blob = blob(&waiting, media);
    if let Some(address) = blob.and_then(|blob| Url::create_object_url_with_blob(&blob).ok()) {
        hand_over(name, address);
    }
}

fn blob(pieces: &Array, media: &str) -> Option<Blob> {
    let options = BlobPropertyBag::new();
    options.set_type(media);
    // The constructor takes texts, bytes and blobs alike.
    Blob::new_with_blob_sequence_and_options(pieces, &options).ok()
}

fn hand_over(name: &str, address: String) {
    let link = document().and_then(|document| document.create_element("a").ok());
    if let Some(link) = link.and_then(|link| link.dyn_into::<HtmlAnchorElement>().ok()) {
        link.set_href(&address);
        link.set_download(name);
        link.click();
    }
    Timeout::new(HAND_OUT_TIME, move || {
        let _ = Url::revoke_object_url(&address);
    })
    .forget();
}

/// Marks the page where the device shares files, so that its style shows the buttons.
pub(super) fn mark_sharing() {
    let root = document().and_then(|document| document.document_element());
    let can = data_of("guide.html", "text/html", "x").and_then(|data| ask("canShare", &data));
    if let (Some(root), Some(can)) = (root, can)
        && can.is_truthy()
    {
        let _ = root.set_attribute("data-shares", "");
    }
}

/// Offers a file to the device's own way of sharing. Only inside the handler of a tap or
/// key. Whoever changes their mind there has nothing to be told.
pub(super) fn share(name: &str, media: &str, text: &str) {
    let asked = data_of(name, media, text).and_then(|data| ask("share", &data));
    if let Some(promise) = asked.and_then(|asked| asked.dyn_into::<Promise>().ok()) {
        spawn_local(async move {
            let _ = JsFuture::from(promise).await;
        });
    }
}

/// Makes what the Web Share API takes: one file.
fn data_of(name: &str, media: &str, text: &str) -> Option<Object> {
    let options = FilePropertyBag::new();
    options.set_type(media);
    let content = Array::of1(&JsValue::from_str(text));
    let file = File::new_with_str_sequence_and_options(&content, name, &options).ok()?;
    let data = Object::new();
    Reflect::set(&data, &"files".into(), &Array::of1(&file)).ok()?;
    Some(data)
}

/// Calls a function of the navigator that not every browser has.
fn ask(function: &str, data: &Object) -> Option<JsValue> {
    let navigator = window()?.navigator();
    let own = Reflect::get(&navigator, &function.into()).ok()?;
    let own = own.dyn_into::<Function>().ok()?;
    own.call1(&navigator, data).ok()
}
