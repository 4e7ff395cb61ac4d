//! A guide made visible.
//!
//! Every view is a pure function from the model to HTML: the exported file, the
//! practice sheet on paper, the player and the builder's preview all show the
//! same thing because they call the same function.
//!
//! Invariants of this room:
//! - No I/O and no DOM; what changes while playing is marked with `data-`
//!   attributes that the player looks up.
//! - Text is escaped by construction (maud); nothing is ever passed through as
//!   ready HTML.
//! - No `style` attributes: the pages' policy blocks them. Geometry stands in
//!   SVG attributes.
//! - Words the student sees come from [`Words`], one table per language.
#![forbid(unsafe_code)]

mod body;
mod change;
mod counts;
mod dynamics;
mod facts;
mod key;
mod line;
mod media;
mod page;
mod pieces;
mod place;
mod practice;
mod practised;
mod rest;
mod rooms;
mod sections;
mod signs;
mod strip;
mod taps;
mod tempo;
mod tenths;
mod tip;
mod words;

pub use body::{care, guide_body, head, todo_room, todos, uneven_counts, walk_room};
pub use change::{change_text, next_text};
pub use counts::{counts_text, meter_text};
pub use facts::{facts_at, order_text};
pub use key::key_text;
pub use line::{Drawn, LineMeasure, Run, Width, line, line_of_runs, played_line};
pub use media::{photo_figure, voice_figure, voice_text};
pub use page::Page;
pub use pieces::{
    EntryPiece, SectionPiece, TextPieces, TipPiece, entry_in_full, section_in_full, text_pieces,
};
pub use place::{at_text, measure_text, measures_text, number_of, spot_text};
pub use practice::{PACES, SectionPace, choices, pace_of, paced_section_at, rung_text, whole};
pub use practised::{Practised, practised, practised_place, teacher_line};
pub use rest::rest_text;
pub use rooms::{
    Room, bottom, count_room, empty_rooms, labelled, measure_options, play_room, room_tabs,
    speaker, stop_bar, tip_button,
};
pub use sections::{Section, section_at, section_name, sections, walk};
pub use signs::{note_sign, play_sign, rest_sign, stop_sign};
pub use strip::{strip, strip_mark};
pub use taps::taps_result;
pub use tempo::{note_name, same_beat_text, tempo_sign, tempo_text};
pub use tenths::{Tenths, rounded};
pub use tip::{
    importance_mark, is_played, rhythm_line, spoken, stroke_picture, stroke_text, watch_line,
};
pub use words::{Word, Words, capital, kept_together};

pub use maud::{Markup, PreEscaped};
