//! The one room that knows a browser: events in, effects out.

mod damaged;
mod dialog;
mod dom;
mod effects;
mod events;
mod field;
mod files;
mod link;
mod media;
mod notice;
mod out;
mod page;
mod phrases;
mod preview;
mod storage;
mod trouble;

pub use page::start;
