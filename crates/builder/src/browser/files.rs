//! Files in, in pieces, so that the page stays awake.

use super::dom::{by_id, document};
use super::page::send;
use crate::msg::{Msg, Opening};
use crate::opened::too_large;
use cueleaf_read::limits::MAX_FILE_BYTES;
use wasm_bindgen::JsCast as _;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{File, HtmlInputElement};

/// The id of the field by which a file is chosen.
pub(super) const FILE_FIELD: &str = "file";

/// How many bytes are taken at once.
const PIECE: f64 = 4.0 * 1024.0 * 1024.0;

/// Opens the browser's own dialog for a file.
pub(super) fn ask() {
    if let Some(field) = field() {
        field.set_value("");
        field.click();
    }
}

/// Finds the field for files, or makes it.
fn field() -> Option<HtmlInputElement> {
    if let Some(field) = by_id(FILE_FIELD) {
        return field.dyn_into().ok();
    }
    let document = document()?;
    let field: HtmlInputElement = document.create_element("input").ok()?.dyn_into().ok()?;
    field.set_id(FILE_FIELD);
    field.set_type("file");
    field.set_hidden(true);
    document.body()?.append_child(&field).ok()?;
    Some(field)
}

/// Takes a file in.
pub(super) fn take(file: File) {
    let name = file.name();
    let size = file.size();
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "sizes of files are far below 2^53 and never negative"
    )]
    let (limit, bytes) = (MAX_FILE_BYTES as f64, size as usize);
    if size > limit {
        send(Msg::Opening(Opening::NoFile(name, too_large(bytes))));
        return;
    }
    spawn_local(async move {
        let msg = match read(&file, size).await {
            Some(bytes) => Opening::File { name, bytes },
            None => Opening::NoFile(
                name,
                "The browser could not read it. Is it still there, and may it be read?".to_owned(),
            ),
        };
        send(Msg::Opening(msg));
    });
}

/// Reads a file in pieces; `None` when the browser could not.
pub(super) async fn read(file: &File, size: f64) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut from = 0.0;
    while from < size {
        let to = (from + PIECE).min(size);
        let piece = file.slice_with_f64_and_f64(from, to).ok()?;
        let buffer = JsFuture::from(piece.array_buffer()).await.ok()?;
        bytes.extend(js_sys::Uint8Array::new(&buffer).to_vec());
        from = to;
    }
    Some(bytes)
}
