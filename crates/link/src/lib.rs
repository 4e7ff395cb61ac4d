//! A guide in the fragment of a link.
//!
//! The saved form goes through three steps, each with its way back: a tree of
//! JSON values becomes *tokens*, bytes of which each says one thing
//! (`tokens`); a model that has read our own dictionary foretells them bit by
//! bit, and an arithmetic coder keeps only what it did not foresee (`squeeze`);
//! the bytes become letters that a fragment may hold (`letters`).
//!
//! A fragment is one letter and a text: `a` for the 64 letters of base64url, `A`
//! for the 43 letters that a QR code holds most densely. The next form, whose
//! table of names, dictionary or model differs, will be `b` and `B`: whatever
//! changes what a fragment means needs another letter, and a test holds a
//! fragment of the first form against every change.
//!
//! Invariants of this room:
//! - The same guide gives the same fragment, natively and in wasm.
//! - What comes back is the very guide, fields this version does not know included; photos and
//!   voice notes are left out, since one of them takes ten times the letters of a link.
//! - A fragment is hostile until its checksum, its limits and the reader of the
//!   saved form have said otherwise; no text makes this room panic, and none makes
//!   it work for long.
//!
//! # Why a model of our own
//! Measured on the four guides in `examples`: zlib's DEFLATE at its best, with the
//! same dictionary set before the saved form, makes links of 3,300 to 3,400
//! letters where these have 1,920 to 2,000; a QR code of the former is too fine for
//! paper. `tests/budget.rs` prints the length of every link it makes.
#![forbid(unsafe_code)]

mod checksum;
mod coder;
mod dictionary;
mod fragment;
mod letters;
mod model;
mod names;
mod squeeze;
mod tokens;

pub use fragment::{
    LinkError, MAX_FRAGMENT, TooLong, WIDELY_SAFE, from_fragment, to_capitals, to_fragment,
};
