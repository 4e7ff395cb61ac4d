//! The frame of a WebP file.
//!
//! # Source
//! RFC 9649 (WebP Image Format): the RIFF header, VP8, VP8L and VP8X; RFC 6386, section 9.1, for the
//! size in a VP8 frame.

use super::read::{MediaProblem, low_first_16, low_first_32};

/// Tells whether bytes begin as a WebP file does.
pub(super) fn is_webp(bytes: &[u8]) -> bool {
    bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP")
}

/// Gives width and height as the file tells them, whatever else it tells.
pub(super) fn told_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let inside = bytes.get(20..)?;
    match bytes.get(12..16)? {
        b"VP8X" => canvas_size(inside.get(..10)?).ok(),
        b"VP8 " => lossy_size(inside).ok(),
        b"VP8L" => lossless_size(inside).ok(),
        _ => None,
    }
}

/// Walks through all chunks and gives width and height. Chunks that tell about the picture (EXIF,
/// XMP) or move it are refused, and so is what follows the end.
pub(super) fn size(bytes: &[u8]) -> Result<(u32, u32), MediaProblem> {
    let told = low_first_32(bytes, 4).and_then(|told| usize::try_from(told).ok());
    match told.and_then(|told| told.checked_add(8)) {
        Some(told) if told == bytes.len() => {}
        Some(told) if told < bytes.len() => return Err(MediaProblem::Metadata),
        _ => return Err(MediaProblem::Damaged),
    }
    let mut at = 12;
    let mut canvas = None;
    let mut picture = None;
    while at < bytes.len() {
        let name = bytes.get(at..at + 4).ok_or(MediaProblem::Damaged)?;
        let length = low_first_32(bytes, at + 4)
            .and_then(|length| usize::try_from(length).ok())
            .ok_or(MediaProblem::Damaged)?;
        let start = at + 8;
        let end = start.checked_add(length).ok_or(MediaProblem::Damaged)?;
        let inside = bytes.get(start..end).ok_or(MediaProblem::Damaged)?;
        match name {
            b"VP8X" if at == 12 => canvas = Some(canvas_size(inside)?),
            b"VP8 " if picture.is_none() => picture = Some(lossy_size(inside)?),
            b"VP8L" if picture.is_none() => picture = Some(lossless_size(inside)?),
            b"ALPH" | b"ICCP" if canvas.is_some() => {}
            b"VP8X" | b"VP8 " | b"VP8L" => return Err(MediaProblem::Damaged),
            _ => return Err(MediaProblem::Metadata),
        }
        // Chunks are filled up to an even length.
        at = end + (length & 1);
    }
    match (canvas, picture) {
        (None, Some(size)) => Ok(size),
        (Some(canvas), Some(size)) if canvas == size => Ok(size),
        _ => Err(MediaProblem::Damaged),
    }
}

fn canvas_size(inside: &[u8]) -> Result<(u32, u32), MediaProblem> {
    let side = |at: usize| {
        let low = low_first_16(inside, at)?;
        let high = u32::from(*inside.get(at + 2)?);
        Some((high << 16) + low + 1)
    };
    let size = side(4).zip(side(7));
    size.filter(|_| inside.len() == 10)
        .ok_or(MediaProblem::Damaged)
}

fn lossy_size(inside: &[u8]) -> Result<(u32, u32), MediaProblem> {
    let is_key = inside.first().is_some_and(|first| first & 1 == 0)
        && inside.get(3..6) == Some(&[0x9d, 0x01, 0x2a]);
    // The two highest bits of each side only scale it.
    let side = |at: usize| low_first_16(inside, at).map(|side| side & 0x3fff);
    let size = side(6).zip(side(8));
    size.filter(|_| is_key).ok_or(MediaProblem::Damaged)
}

fn lossless_size(inside: &[u8]) -> Result<(u32, u32), MediaProblem> {
    let bits = low_first_32(inside, 1).ok_or(MediaProblem::Damaged)?;
    if inside.first() != Some(&0x2f) {
        return Err(MediaProblem::Damaged);
    }
    Ok(((bits & 0x3fff) + 1, ((bits >> 14) & 0x3fff) + 1))
}
