//! MusicXML: partwise and timewise, plain and compressed, up to version 4.0.
//!
//! # Source
//! W3C MusicXML 4.0, <https://www.w3.org/2021/06/musicxml40/>; element and
//! attribute names below are its own.

mod align;
mod attributes;
mod barline;
mod build;
mod direction;
mod drawn;
mod matching;
mod note;
mod part;
mod stream;

pub(crate) use stream::Stream;
