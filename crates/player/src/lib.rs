//! Brings an exported guide to life.
//!
//! The page is readable before this module runs and stays so when it cannot.
//! The module adds four rooms: walk through, play, count, to do.
//!
//! Invariants of this room:
//! - Which click falls when is arithmetic ([`schedule`]), apart from the browser
//!   that plays it; clicks lie on the grid of samples and are queued seconds ahead.
//! - Only the path that runs every frame touches single elements; everything
//!   else is drawn by the same views as the page itself.
//! - What is read from storage or from the page around is hostile until checked.
//! - No request, ever.

pub mod clock;
pub mod json;
pub mod reader;
pub mod schedule;

mod app;
mod audio;
mod choices;
mod display;
mod dom;
mod events;
mod kept;
mod ladder;
mod lines;
mod memory;
mod message;
mod play;
mod practised;
mod spot;
mod steps;
mod taps;

use wasm_bindgen::prelude::{JsError, wasm_bindgen};
use web_sys::BaseAudioContext;

/// Starts the page: the guide in its saved form, and the words as a list.
///
/// # Errors
/// When the text is no guide, or the page lacks what every exported page has.
#[wasm_bindgen]
pub fn start(guide: &str, words: &str) -> Result<(), JsError> {
    app::start(guide, words).ok_or_else(|| JsError::new("this page holds no guide"))
}

/// Shows another state of the guide, in the same room and at the same place,
/// with other words when some come along. Does nothing when the text is no guide.
#[wasm_bindgen(js_name = replaceGuide)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "what comes from JavaScript comes by value"
)]
pub fn replace_guide(guide: &str, words: Option<String>) {
    app::replace(guide, words.as_deref());
}

/// Queues the clicks of what the page would play now, count-in included, into a
/// context: those from one second of it up to another, the first of which falls
/// at the context's own zero. Gives the seconds at which they start there.
///
/// This is the page's own scheduler; with an `OfflineAudioContext` a test hears
/// exactly what a student would.
#[wasm_bindgen(js_name = clicksInto)]
pub fn clicks_into(context: &BaseAudioContext, from: f64, to: f64) -> Vec<f64> {
    app::with(|app| play::clicks_into(app, context, from, to)).unwrap_or_default()
}

/// Goes to the first measure with a printed number, in every room; tells whether there is
/// one.
#[wasm_bindgen(js_name = goTo)]
pub fn go_to(measure: &str) -> bool {
    app::with(|app| message::go_to_label(app, measure)) == Some(message::Gone::There)
}
