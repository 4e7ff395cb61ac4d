//! Files in one zip.
//!
//! # Source
//! .ZIP File Format Specification 6.3.10, PKWARE: local headers (4.3.7), the central
//! directory (4.3.12), its end (4.3.16), bit 11 for names in UTF-8 (4.4.4).

use crate::HandOut;
use cueleaf_guide::TooLarge;
use miniz_oxide::deflate::compress_to_vec;

/// The most files a zip of this form holds.
const MAX_ENTRIES: usize = 65_534;
/// The most bytes a zip of this form holds.
const MAX_BYTES: usize = u32::MAX as usize - 1;

/// How hard to compress: the middle, since most of a guide's file is compressed already.
const EFFORT: u8 = 6;

/// Version 2.0 unpacks it: DEFLATE.
const VERSION: u16 = 20;
/// Names are UTF-8.
const FLAGS: u16 = 1 << 11;
const DEFLATED: u16 = 8;
/// Midnight of the 1 January 1980, the first date there is: the same files give the same zip.
const TIME: u16 = 0;
const DATE: u16 = (1 << 5) | 1;

/// Packs files into one zip, in their order; the same files give the same bytes.
///
/// # Errors
/// [`TooLarge`] when there are more files or bytes than this form of zip holds.
pub fn zip(files: &[HandOut]) -> Result<Vec<u8>, TooLarge> {
    TooLarge::guard("files in one zip", MAX_ENTRIES, files.len())?;
    let mut bytes = Vec::new();
    let mut directory = Vec::new();
    for file in files {
        let start = size("bytes in one zip", bytes.len())?;
        let packed = compress_to_vec(&file.bytes, EFFORT);
        let shared = shared_fields(file, &packed)?;
        bytes.extend(b"PK\x03\x04");
        bytes.extend(&shared);
        bytes.extend(file.name.as_bytes());
        bytes.extend(packed);
        directory.extend(b"PK\x01\x02");
        directory.extend(VERSION.to_le_bytes());
        directory.extend(&shared);
        // No comment, first disk, no attributes.
        directory.extend([0; 10]);
        directory.extend(start.to_le_bytes());
        directory.extend(file.name.as_bytes());
    }
    let start = size("bytes in one zip", bytes.len())?;
    size(
        "bytes in one zip",
        bytes.len().saturating_add(directory.len()),
    )?;
    let length = size("bytes in one zip", directory.len())?;
    let count = short("files in one zip", files.len())?;
    bytes.extend(directory);
    bytes.extend(b"PK\x05\x06\0\0\0\0");
    bytes.extend(count.to_le_bytes());
    bytes.extend(count.to_le_bytes());
    bytes.extend(length.to_le_bytes());
    bytes.extend(start.to_le_bytes());
    bytes.extend([0; 2]);
    Ok(bytes)
}

/// Writes what the header before a file and its entry in the directory share: from the
/// version that unpacks it to the length of what follows the name.
fn shared_fields(file: &HandOut, packed: &[u8]) -> Result<Vec<u8>, TooLarge> {
    let mut fields = Vec::with_capacity(26);
    for field in [VERSION, FLAGS, DEFLATED, TIME, DATE] {
        fields.extend(field.to_le_bytes());
    }
    fields.extend(check_sum(&file.bytes).to_le_bytes());
    fields.extend(size("bytes in one file", packed.len())?.to_le_bytes());
    fields.extend(size("bytes in one file", file.bytes.len())?.to_le_bytes());
    fields.extend(short("bytes in a file's name", file.name.len())?.to_le_bytes());
    fields.extend(0_u16.to_le_bytes());
    Ok(fields)
}

fn size(what: &'static str, actual: usize) -> Result<u32, TooLarge> {
    TooLarge::guard(what, MAX_BYTES, actual)?;
    Ok(u32::try_from(actual).unwrap_or(u32::MAX))
}

fn short(what: &'static str, actual: usize) -> Result<u16, TooLarge> {
    TooLarge::guard(what, MAX_ENTRIES, actual)?;
    Ok(u16::try_from(actual).unwrap_or(u16::MAX))
}

/// Gives the check sum of a file.
///
/// # Source
/// CRC-32 of the specification, 4.4.7: the polynomial 0xEDB88320, bits turned round.
fn check_sum(bytes: &[u8]) -> u32 {
    let sum = bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            let out = 0_u32.wrapping_sub(sum & 1);
            (sum >> 1) ^ (0xEDB8_8320 & out)
        })
    });
    !sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_check_sum_is_the_known_one() {
        // The check value of CRC-32, as catalogues of check sums give it (from memory).
        assert_eq!(check_sum(b"123456789"), 0xCBF4_3926);
        assert_eq!(check_sum(b""), 0);
    }

    #[test]
    fn every_file_comes_back() {
        let files = [
            HandOut::new("index.html", b"<p>".to_vec()),
            HandOut::new("Überfahrt.html", vec![b'x'; 70_000]),
            HandOut::new("empty", Vec::new()),
        ];
        let bytes = zip(&files).unwrap();
        assert_eq!(zip(&files).unwrap(), bytes);
        assert!(bytes.len() < 1_000);
        let word = |at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
        let half =
            |at: usize| usize::from(u16::from_le_bytes(bytes[at..at + 2].try_into().unwrap()));
        let end = bytes.len() - 22;
        assert_eq!(&bytes[end..end + 4], b"PK\x05\x06");
        let mut entry = word(end + 16);
        assert_eq!(entry + word(end + 12), end);
        assert_eq!(half(end + 10), files.len());
        for file in &files {
            assert_eq!(&bytes[entry..entry + 4], b"PK\x01\x02");
            let name = half(entry + 28);
            assert_eq!(&bytes[entry + 46..entry + 46 + name], file.name.as_bytes());
            let start = word(entry + 42);
            assert_eq!(&bytes[start..start + 4], b"PK\x03\x04");
            assert_eq!(&bytes[start + 4..start + 30], &bytes[entry + 6..entry + 32]);
            let content = start + 30 + name;
            let packed = &bytes[content..content + word(entry + 20)];
            let back = miniz_oxide::inflate::decompress_to_vec(packed).unwrap();
            assert_eq!(back, file.bytes);
            entry += 46 + name;
        }
        assert_eq!(entry, end);
    }

    #[test]
    fn too_many_files_are_refused() {
        let files = vec![HandOut::new("a", Vec::new()); MAX_ENTRIES + 1];
        assert_eq!(
            zip(&files).unwrap_err().to_string(),
            "too large: 65535 files in one zip, and the limit is 65534"
        );
    }
}
