//! The document a teacher makes and a student opens: a *guide*.
//!
//! A guide is one road map (measures with their meters, tempi, keys, sections,
//! repeats and jumps), the parts that play from it, the tips at their spots,
//! a to-do list and a few settings.
//!
//! Invariants of this room:
//! - A teacher's mistake is data, not an error: a guide that makes no sense can
//!   be held, saved and shown, and [`check`] says what is wrong with it, where,
//!   and what to do.
//! - A measure's index (from 0) is never its printed label ("0", "12a").
//! - Fields this version does not know are kept and written back.
//! - The same guide gives the same bytes.
#![forbid(unsafe_code)]

mod check;
mod document;
mod finding;
mod id;
mod layout;
mod length;
mod limits;
mod media;
mod project;
mod road_map;
#[cfg(feature = "saved")]
mod saved;
mod tempo_word;
mod text;
mod tip_picture;

pub use check::{check, check_laid};
pub use document::{
    CountStyle, Extra, Guide, Importance, Language, Mark, MarkKind, MeasureWord, Part, Settings,
    Spot, Tip, Todo, Topic,
};
pub use finding::{Checked, Finding, FindingPlace, Severity, Tell};
pub use id::Id;
pub use layout::{Laid, Layout, lay_out};
pub use length::length_words;
pub use limits::{
    MAX_ALL_BEATS, MAX_COUNT_IN, MAX_CUE, MAX_LABEL, MAX_MEASURES, MAX_PARTS, MAX_RHYTHM,
    MAX_SAVED_BYTES, MAX_TEXT, MAX_TIPS, TooLarge,
};
pub use media::{
    MAX_MEDIA_BYTES, MAX_PHOTO_BYTES, MAX_PHOTO_SIDE, MAX_VOICE_BYTES, MAX_VOICE_MS, MediaBytes,
    Photo, PhotoKind, VOICE_RATE, Voice, media_bytes, media_count, with_shown_media, without_media,
};
#[cfg(feature = "saved")]
pub use media::{MediaProblem, told_picture};
pub use project::{for_part, for_student, says_nothing};
pub use road_map::{CountHere, Hold, Jump, JumpUntil, Measure, Place, Return, RoadMap, TempoMark};
#[cfg(feature = "saved")]
pub use saved::{
    Medium, OpenError, VERSION, open, open_apart, open_value, save, save_apart, save_value,
    saved_bytes, within_limits,
};

pub use tempo_word::{NamedRange, is_gradual, ranges_of};
pub use tip_picture::{BowAmount, BowPart, BowWay, RhythmKind, RhythmLength, Stroke, Watch};

pub use cueleaf_time as time;
