//! The named limits of reading. All are our decisions, so that a hostile or
//! mistaken file ends with a message instead of a stuck page.

/// The largest file that is read, in bytes, and the largest score that is
/// unpacked from a compressed one.
///
/// Full orchestral scores of an hour take some 50 MB as plain MusicXML; twice
/// that still fits beside a browser in the memory of a school's laptop.
pub const MAX_FILE_BYTES: usize = 128 * 1024 * 1024;
/// The most bytes that one byte of a compressed file may unpack to, once it is
/// larger than [`FREE_UNPACKED_BYTES`]. MusicXML shrinks to about a thirtieth.
pub const MAX_UNPACKED_RATIO: usize = 400;
/// How much may be unpacked without a look at the ratio, in bytes.
pub const FREE_UNPACKED_BYTES: usize = 1024 * 1024;
/// The most files a compressed score may contain.
pub const MAX_ZIP_ENTRIES: usize = 10_000;
/// How deep elements may lie inside each other; MusicXML itself needs about ten.
pub const MAX_DEPTH: usize = 64;
/// The most notes and rests of all parts together.
pub const MAX_NOTES: usize = 2_000_000;
/// The most measures of all parts together.
pub const MAX_PART_MEASURES: usize = 2_000_000;
/// The most letters that are kept of one text; the rest is cut off.
pub const MAX_WORDS: usize = 1_000;
/// The most findings that are kept; further ones are only counted.
pub const MAX_FINDINGS: usize = 300;
/// The most bytes of captions that are read; a talk of ten hours takes about one million.
pub const MAX_CAPTION_BYTES: usize = 8 * 1024 * 1024;
/// The most captions.
pub const MAX_CAPTIONS: usize = 100_000;
