//! The player, not written yet: only its way into the page is there.

use wasm_bindgen::prelude::wasm_bindgen;

/// Starts the page.
#[wasm_bindgen]
pub fn start() {}
