//! Bytes made as small as they get, and as letters of a page.
//!
//! What an exported guide carries for its phone goes through here: [`pack`] lets a model guess
//! each bit from what came before and writes only what the guesses leave open, a quarter less than
//! LZMA leaves of a module. [`letters`] writes the bytes as text of a page. The same code goes
//! both ways, natively and in the page, where `crates/unpacker` runs it.
//!
//! ```
//! let packed = cueleaf_pack::pack(b"down-bow, up-bow, down-bow, up-bow");
//! assert!(packed.len() < 30);
//! let text = cueleaf_pack::letters(&packed);
//! let back = cueleaf_pack::from_letters(&text).unwrap_or_default();
//! let bytes = cueleaf_pack::unpack(back, 100);
//! assert_eq!(bytes.as_deref(), Some(&b"down-bow, up-bow, down-bow, up-bow"[..]));
//! ```

#![forbid(unsafe_code)]
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "bits are taken apart and put together: each number is made to fit just before"
)]

mod coder;
mod earlier;
mod letters;
mod model;
mod place;
mod sizes;

/// The most bytes that stand packed in a page beside what plays it: unpacking takes a phone about
/// a second for so many. What is longer stands plain.
///
/// # Source
/// Our decision.
pub const MAX_BESIDE: usize = 64 * 1024;

pub use coder::{Next, Pieces, pack, unpack};
pub use letters::{from_letters, letters};
pub use sizes::{with_sizes, without_sizes};
