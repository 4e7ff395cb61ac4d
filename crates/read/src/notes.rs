//! A file of a teacher's plain notes.

use crate::{ReadError, encoding};
use cueleaf_guide::TooLarge;
use cueleaf_outline::{MAX_OUTLINE_BYTES, Outlined, parse};

/// Reads an outline from a file, in any encoding that text files have.
///
/// # Errors
/// [`ReadError`] when the file is above a limit; a line that is not understood is a finding
/// instead.
pub fn read_outline(bytes: Vec<u8>) -> Result<Outlined, ReadError> {
    TooLarge::guard("bytes in the outline", MAX_OUTLINE_BYTES, bytes.len())?;
    let text = encoding::decode(bytes)?.text;
    let outlined = parse(&text.replace("\r\n", "\n").replace('\r', "\n"));
    match outlined.too_large {
        Some(too_large) => Err(too_large.into()),
        None => Ok(outlined),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_in_the_encodings_and_line_ends_of_old_programs() {
        for bytes in [
            &b"Guide to F\xfcnf\r\nMeasures 1 to 3\r\n2  free\r\n"[..],
            b"\xef\xbb\xbfGuide to F\xc3\xbcnf\rMeasures 1 to 3\r2  free",
        ] {
            let outlined = read_outline(bytes.to_vec()).unwrap();
            assert_eq!(outlined.guide.title, "F\u{fc}nf");
            assert_eq!(outlined.findings, []);
            assert!(outlined.guide.road_map.measures[1].meter.is_some());
        }
        let large = read_outline(vec![b'\n'; MAX_OUTLINE_BYTES + 1]);
        assert!(matches!(large, Err(ReadError::TooLarge(_))));
    }
}
