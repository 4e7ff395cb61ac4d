//! Everything by which a guide leaves: the one HTML file, the link, its QR code, captions and
//! chapters for a recording, MIDI, a click track, all parts in a zip, the overview to print.
//!
//! Invariants of this room:
//! - The same guide and the same player give the same bytes.
//! - The file is one: it asks for nothing else, and its policy says so.
//! - No page holds a letter that HTML refuses; the saved form inside keeps every letter.
//! - What is shown stands first, as plain HTML; scripts only add to it.
#![forbid(unsafe_code)]

mod captions;
mod chapter;
mod class;
mod file_name;
mod frame;
mod lean;
mod letters;
mod link;
mod midi;
mod overview;
mod page;
mod policy;
mod qr;
mod still;
mod wav;
mod zip;

pub use captions::{MAX_OFFSET_HOURS, Offset, section_chapters, section_times, tip_captions};
pub use class::{HandOut, MAX_FILES, class_files};
pub use file_name::file_name;
pub use frame::frame_snippet;
pub use link::{Address, AddressError, Link, link, link_of_file};
pub use midi::{MAX_DRIFT_SECONDS, MAX_STEP_SECONDS, MAX_TICKS, MidiError, midi_file};
pub use overview::overview_page;
pub use page::{GUIDE_ID, PlayerFiles, guide_page};
pub use qr::{QrError, QrPicture, WIDTH_MM, qr_picture};
pub use wav::{ClickTrack, MAX_CLICK_HOURS, SampleRate, click_track};
pub use zip::zip;
