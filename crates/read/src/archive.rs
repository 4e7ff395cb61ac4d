//! The score inside a compressed MusicXML file (.mxl).
//!
//! # Source
//! MusicXML 4.0, "Compressed .mxl files": a zip file whose
//! META-INF/container.xml names the score as its first rootfile.

use crate::limits::{FREE_UNPACKED_BYTES, MAX_FILE_BYTES, MAX_UNPACKED_RATIO, MAX_ZIP_ENTRIES};
use crate::{ReadError, encoding, xml};
use cueleaf_guide::TooLarge;
use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_with_limit};
use rawzip::{CompressionMethod, ZipArchive, ZipArchiveEntryWayfinder};

const CONTAINER: &str = "META-INF/container.xml";
const PLACE: &str = "the zip file";
const DAMAGED: &str = "it may be damaged: export or download it again";

struct Entry {
    name: String,
    method: CompressionMethod,
    encrypted: bool,
    wayfinder: ZipArchiveEntryWayfinder,
}

/// Tells whether a file is a zip file.
pub(crate) fn is_zip(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06")
}

/// Unpacks the score.
pub(crate) fn unpack(bytes: &[u8]) -> Result<Vec<u8>, ReadError> {
    let archive = ZipArchive::from_slice(bytes).map_err(damaged)?;
    let mut entries = Vec::new();
    let mut walk = archive.entries();
    while let Some(header) = walk.next_entry().map_err(damaged)? {
        TooLarge::guard("files in the zip file", MAX_ZIP_ENTRIES, entries.len() + 1)?;
        entries.push(Entry {
            name: String::from_utf8_lossy(header.file_path().as_ref()).into_owned(),
            method: header.compression_method(),
            encrypted: header.flags().is_encrypted(),
            wayfinder: header.wayfinder(),
        });
    }
    let entry = find_score(bytes, &entries)?;
    inflate(bytes, entry)
}

fn find_score<'e>(bytes: &[u8], entries: &'e [Entry]) -> Result<&'e Entry, ReadError> {
    let named = |name: &str| entries.iter().find(|entry| entry.name == name);
    if let Some(container) = named(CONTAINER) {
        let text = encoding::decode(inflate(bytes, container)?)?.text;
        // A container that cannot be read is no reason to give up the score.
        let path = xml::first_attribute(&text, "rootfile", "full-path");
        if let Some(entry) = path.and_then(|path| named(&path)) {
            return Ok(entry);
        }
    }
    let is_score = |entry: &&Entry| {
        let name = entry.name.to_ascii_lowercase();
        !name.starts_with("meta-inf/")
            && !name.starts_with("__macosx/")
            && (name.ends_with(".musicxml") || name.ends_with(".xml"))
    };
    entries.iter().find(is_score).ok_or_else(|| {
        ReadError::malformed(
            PLACE,
            "there is no score in it",
            "open the .musicxml or .mxl file itself",
        )
    })
}

fn inflate(bytes: &[u8], entry: &Entry) -> Result<Vec<u8>, ReadError> {
    if entry.encrypted {
        return Err(ReadError::Unsupported {
            what: format!(
                "\"{}\" in the zip file is locked with a password",
                entry.name
            ),
            hint: "save it without a password",
        });
    }
    let archive = ZipArchive::from_slice(bytes).map_err(damaged)?;
    let local = archive.get_entry(entry.wayfinder).map_err(damaged)?;
    let packed = local.data();
    let by_ratio = packed.len().saturating_mul(MAX_UNPACKED_RATIO);
    let limit = by_ratio.clamp(FREE_UNPACKED_BYTES, MAX_FILE_BYTES);
    let unpacked = match entry.method {
        CompressionMethod::STORE => {
            TooLarge::guard("bytes in the score", limit, packed.len())?;
            packed.to_vec()
        }
        CompressionMethod::DEFLATE => {
            decompress_to_vec_with_limit(packed, limit).map_err(|error| {
                if error.status == TINFLStatus::HasMoreOutput {
                    let claimed = usize::try_from(entry.wayfinder.uncompressed_size_hint());
                    return ReadError::TooLarge(TooLarge {
                        what: "bytes in the unpacked score",
                        limit,
                        actual: claimed.unwrap_or(usize::MAX).max(limit.saturating_add(1)),
                    });
                }
                ReadError::malformed(PLACE, "its contents cannot be unpacked", DAMAGED)
            })?
        }
        _ => {
            return Err(ReadError::Unsupported {
                what: format!(
                    "\"{}\" in the zip file is packed in a way that MusicXML does not use",
                    entry.name
                ),
                hint: "export the part again as .mxl or .musicxml",
            });
        }
    };
    Ok(unpacked)
}

fn damaged(_: rawzip::Error) -> ReadError {
    ReadError::malformed(PLACE, "it is incomplete or no zip file", DAMAGED)
}
