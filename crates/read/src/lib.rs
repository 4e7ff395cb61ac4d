//! Files in: bytes become a score, a draft of a guide, and findings.
//!
//! Invariants of this room:
//! - What can be read is read: a mistake of a teacher or an encoder is a finding
//!   with its measure, and the draft still comes out. An error is left for what
//!   cannot be read at all.
//! - Reading goes in steps, since a page opened from a file cannot use workers.
//! - Every untrusted size has a limit named in [`limits`]. No entity is expanded
//!   but the five that XML predefines; nothing outside the file is looked at.
//! - The same bytes give the same score, and the same score the same draft.
//!
//! ```
//! use cueleaf_guide::Id;
//! let file = br#"<score-partwise version="4.0">
//!   <part-list><score-part id="P1"><part-name>Viola</part-name></score-part></part-list>
//!   <part id="P1"><measure number="1">
//!     <attributes><divisions>1</divisions><time><beats>3</beats><beat-type>4</beat-type></time></attributes>
//!     <note><rest measure="yes"/><duration>3</duration></note>
//!   </measure></part>
//! </score-partwise>"#;
//! let score = cueleaf_read::read_score(file.to_vec()).unwrap();
//! assert!(score.findings.is_empty());
//! let guide = cueleaf_read::draft(&score.value, &["viola"], Id::new("mine").unwrap()).unwrap();
//! assert_eq!(guide.value.parts[0].name, "Viola");
//! ```
#![forbid(unsafe_code)]

mod archive;
mod captions;
mod collect;
mod draft;
mod encoding;
mod error;
pub mod limits;
mod midi;
mod musicxml;
mod notes;
mod page;
mod score_reader;
mod sniff;
pub mod talk;
mod words;
mod xml;

pub use captions::{Caption, read_captions};
pub use draft::{draft, draft_checked, part_ids};
pub use error::ReadError;

pub use notes::read_outline;
pub use page::guide_in_page;
pub use score_reader::{Progress, ScoreReader, read_score};
pub use sniff::{Kind, sniff};
