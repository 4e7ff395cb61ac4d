//! A guide as a teacher's plain notes: written, read and merged back.
//!
//! ```
//! let outlined = cueleaf_outline::parse("\
//! Guide to Rain on the Roof
//! For Viola
//! Measures 0 to 40
//!
//! 0  pickup of 1 quarter, 3/4, 1 flat, Calmly, quarter = 66
//! 25  Lively, quarter = 132, pizz
//! 25-28  Pluck: Keep the bow in your hand while you pluck.
//!     cue: pizz, bow in hand
//! ");
//! assert!(outlined.findings.is_empty());
//! assert_eq!(outlined.guide.tips[0].cue, "pizz, bow in hand");
//! ```
//!
//! Invariants of this room:
//! - Every guide can be written, and reading it back gives the same guide but for ids and
//!   fields of other versions, which stand in no text; [`merge`] brings those back.
//! - Nothing a teacher typed is lost: what is not understood is told with its line and
//!   columns, and kept as it stands, as are blank lines and asides in parentheses.
//! - Marks and tips stand in the order of their places.
//! - The same text gives the same guide.
#![forbid(unsafe_code)]

mod commas;
mod comments;
mod detail;
mod fact;
mod ground;
mod heads;
mod item;
mod lines;
mod mark;
mod measure;
mod merge;
mod offered;
mod read;
mod tempo;
mod text;
mod trouble;
mod write;

pub use comments::Comments;
pub use merge::merge;
pub use trouble::{LineFinding, MAX_FINDINGS};

use cueleaf_guide::{Guide, TooLarge};

/// The largest outline that is read, in bytes.
pub const MAX_OUTLINE_BYTES: usize = 16 * 1024 * 1024;
/// The most lines that are read.
pub const MAX_OUTLINE_LINES: usize = 200_000;

/// What an outline says.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlined {
    /// The guide, as good as it could be made. Its ids are made up: [`merge`] gives those of
    /// the guide it was written from, and the id of a new guide is the caller's to give.
    pub guide: Guide,
    /// What was not understood or assumed, in order of lines.
    pub findings: Vec<LineFinding>,
    /// The lines that say nothing about the guide.
    pub comments: Comments,
    /// The limit above which nothing was read at all.
    pub too_large: Option<TooLarge>,
}

/// Writes a guide as an outline, with blank lines where a new section begins.
///
/// The same guide gives the same text.
#[must_use]
pub fn write(guide: &Guide) -> String {
    comments::weave_alone(&write::blocks_of(guide))
}

/// Writes a guide as an outline with the blank lines, asides and lines not understood of an
/// earlier one, each where it stood, or where the measure is now at which it stood.
#[must_use]
pub fn write_with(guide: &Guide, comments: &Comments) -> String {
    comments::weave(guide, write::blocks_of(guide), comments)
}

/// Reads an outline. There is always a guide: a line that is not understood is told and kept.
#[must_use]
pub fn parse(text: &str) -> Outlined {
    read::read(text)
}

/// Tells whether a text is an outline: its first line, asides aside, begins with "Guide to".
#[must_use]
pub fn looks_like_outline(text: &str) -> bool {
    let text = text.trim_start_matches('\u{feff}');
    let mut lines = text.lines().map(str::trim);
    let first = lines.find(|line| !line.is_empty() && !line.starts_with('('));
    first.is_some_and(|line| text::Piece::line(line).after("guide to").is_some())
}
