//! The frame of a JPEG file.
//!
//! # Source
//! ITU-T T.81, Annex B: markers, segments and their lengths; JFIF 1.02 for APP0; ICC.1 Annex B.4
//! for APP2.

use super::read::{MediaProblem, high_first_16};

/// How every JPEG file begins: the start of the image, then a marker.
pub(super) const MAGIC: [u8; 3] = [0xff, 0xd8, 0xff];

/// Walks through all segments and gives width and height. Segments that tell about the picture
/// (EXIF, XMP, comments and whatever else may stand there) are refused, and so is what
/// follows the end.
pub(super) fn size(bytes: &[u8]) -> Result<(u32, u32), MediaProblem> {
    let mut at = 2;
    let mut size = None;
    let mut scanned = false;
    loop {
        if bytes.get(at) != Some(&0xff) {
            return Err(MediaProblem::Damaged);
        }
        let marker = *bytes.get(at + 1).ok_or(MediaProblem::Damaged)?;
        at += 2;
        match marker {
            // A marker may be filled up with more of the same.
            0xff => {
                at -= 1;
                continue;
            }
            0xd9 if at == bytes.len() && scanned => return size.ok_or(MediaProblem::Damaged),
            0xd9 if scanned => return Err(MediaProblem::Metadata),
            0x00 | 0x01 | 0xd0..=0xd9 => return Err(MediaProblem::Damaged),
            _ => {}
        }
        let length = high_first_16(bytes, at)
            .and_then(|length| usize::try_from(length).ok())
            .filter(|length| *length >= 2)
            .ok_or(MediaProblem::Damaged)?;
        let end = at + length;
        let segment = bytes.get(at + 2..end).ok_or(MediaProblem::Damaged)?;
        match marker {
            // The frames, tables and the like of the three processes that browsers show.
            0xc0..=0xc2 => {
                if size.is_some() {
                    return Err(MediaProblem::Damaged);
                }
                let (height, width) = (high_first_16(segment, 1), high_first_16(segment, 3));
                size = width.zip(height);
                if size.is_none() {
                    return Err(MediaProblem::Damaged);
                }
            }
            0xc4 | 0xdb | 0xdd => {}
            0xe0 if segment.starts_with(b"JFIF\0") => {}
            0xe2 if segment.starts_with(b"ICC_PROFILE\0") => {}
            0xee if segment.starts_with(b"Adobe") => {}
            0xe0..=0xef | 0xfe => return Err(MediaProblem::Metadata),
            0xda if size.is_some() => {
                scanned = true;
                at = end_of_scan(bytes, end)?;
                continue;
            }
            _ => return Err(MediaProblem::Damaged),
        }
        at = end;
    }
}

/// Gives width and height as the file tells them, whatever else it tells.
pub(super) fn told_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut at = 2;
    loop {
        let marker = match bytes.get(at..at + 2)? {
            [0xff, 0xff] => {
                at += 1;
                continue;
            }
            [0xff, marker] => *marker,
            _ => return None,
        };
        let start = at + 4;
        if matches!(marker, 0xc0..=0xc2) {
            let (height, width) = (
                high_first_16(bytes, start + 1)?,
                high_first_16(bytes, start + 3)?,
            );
            return Some((width, height));
        }
        let length = high_first_16(bytes, at + 2).filter(|length| *length >= 2)?;
        at += 2 + usize::try_from(length).ok()?;
    }
}

/// Finds the marker after the data of a scan: not a filled zero, not a restart.
fn end_of_scan(bytes: &[u8], from: usize) -> Result<usize, MediaProblem> {
    let rest = bytes.get(from..).ok_or(MediaProblem::Damaged)?;
    let mut pairs = rest.windows(2);
    pairs
        .position(|pair| matches!(pair, [0xff, next] if !matches!(next, 0x00 | 0xd0..=0xd7 | 0xff)))
        .map(|found| from + found)
        .ok_or(MediaProblem::Damaged)
}
