//! The teacher's page: from a part to a finished guide.
//!
//! Everything goes one way: an event becomes a message, [`update`] makes the next
//! state of it and says what to ask of the browser, the view draws the state, and
//! what changed is morphed into the page.
//!
//! Invariants of this room:
//! - State, update and view know no browser; only the room `browser` does.
//! - No edit is lost: the document is kept after every edit, or the page says
//!   that it is not and offers it as a download.
//! - What is read from storage or from a file is hostile until read.
#![forbid(unsafe_code)]

pub mod adding;
pub mod beside;
mod browser;
pub mod derived;
pub mod edit;
pub mod edition;
mod examples;
pub mod handing;
pub mod heard;
pub mod history;
mod hooks;
pub mod kept_list;
pub mod linking;
pub mod making;
pub mod media;
pub mod msg;
pub mod notes;
mod opened;
pub mod phrases;
pub mod places;
mod previewing;
pub mod proposals;
pub mod same_measures;
pub mod shortcuts;
pub mod state;
mod update;
mod view;

pub use browser::start;
pub use msg::{Effect, Msg};
pub use state::State;
pub use update::update;
