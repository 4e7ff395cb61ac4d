//! The frame of a PNG file.
//!
//! # Source
//! W3C, Portable Network Graphics (PNG) Specification (Third Edition), sections 5 and 11: signature,
//! chunks, IHDR. Sums of chunks are left to the browser.

use super::read::{MediaProblem, high_first_32};

/// How every PNG file begins.
pub(super) const MAGIC: [u8; 8] = *b"\x89PNG\r\n\x1a\n";

/// The chunks that belong to the picture itself.
const PICTURE: [&[u8; 4]; 11] = [
    b"PLTE", b"IDAT", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"pHYs", b"bKGD",
    b"cICP",
];

/// Gives width and height as the file tells them, whatever else it tells.
pub(super) fn told_size(bytes: &[u8]) -> Option<(u32, u32)> {
    if bytes.get(12..16)? != b"IHDR" {
        return None;
    }
    high_first_32(bytes, 16).zip(high_first_32(bytes, 20))
}

/// Walks through all chunks and gives width and height. Chunks that tell about the picture (words,
/// EXIF, times) or move it are refused, and so is what follows the end.
pub(super) fn size(bytes: &[u8]) -> Result<(u32, u32), MediaProblem> {
    let mut at = MAGIC.len();
    let mut size = None;
    let mut has_data = false;
    loop {
        let length = high_first_32(bytes, at)
            .and_then(|length| usize::try_from(length).ok())
            .ok_or(MediaProblem::Damaged)?;
        let name = bytes.get(at + 4..at + 8).ok_or(MediaProblem::Damaged)?;
        let start = at + 8;
        let end = start.checked_add(length).ok_or(MediaProblem::Damaged)?;
        let inside = bytes.get(start..end).ok_or(MediaProblem::Damaged)?;
        // Each chunk ends with its sum.
        let next = end.checked_add(4).ok_or(MediaProblem::Damaged)?;
        if next > bytes.len() {
            return Err(MediaProblem::Damaged);
        }
        match (size, name) {
            (None, b"IHDR") if length == 13 => {
                size = high_first_32(inside, 0).zip(high_first_32(inside, 4));
            }
            (None, _) | (_, b"IHDR") => return Err(MediaProblem::Damaged),
            (Some(_), b"IEND") if !has_data || length > 0 => return Err(MediaProblem::Damaged),
            (Some(_), b"IEND") if next < bytes.len() => return Err(MediaProblem::Metadata),
            (Some(size), b"IEND") => return Ok(size),
            (Some(_), name) if PICTURE.iter().any(|own| *own == name) => {
                has_data |= name == b"IDAT";
            }
            (Some(_), _) => return Err(MediaProblem::Metadata),
        }
        at = next;
    }
}
