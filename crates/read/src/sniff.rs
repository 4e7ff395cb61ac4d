//! What kind of file it is, by its content.

use crate::{archive, captions, encoding, midi};
use cueleaf_outline::looks_like_outline;

/// The kinds of files that can be opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// A score in MusicXML.
    MusicXml,
    /// A zip file, as compressed MusicXML is; what is in it shows when it is read.
    CompressedMusicXml,
    /// A Standard MIDI File.
    Midi,
    /// A guide in its saved form.
    SavedGuide,
    /// A guide as a page for students, which can be edited again.
    ExportedGuide,
    /// Captions of a recording: WebVTT, SRT, or plain text with times.
    Captions,
    /// A guide as a teacher's plain notes.
    Outline,
    /// None of these.
    Unknown,
}

/// How many bytes are looked at.
const PEEK_BYTES: usize = 64 * 1024;

/// Finds out what kind of file it is. The name of a file never matters.
#[must_use]
pub fn sniff(bytes: &[u8]) -> Kind {
    if archive::is_zip(bytes) {
        return Kind::CompressedMusicXml;
    }
    if midi::is_midi(bytes) {
        return Kind::Midi;
    }
    let head = encoding::peek(bytes.get(..bytes.len().min(PEEK_BYTES)).unwrap_or_default());
    let head = head.trim_start();
    if head.starts_with('{') {
        return if head.contains("\"cueleaf\"") {
            Kind::SavedGuide
        } else {
            Kind::Unknown
        };
    }
    if head.starts_with('<') {
        return markup_kind(head);
    }
    if looks_like_outline(head) {
        return Kind::Outline;
    }
    if captions::is_captions(head) {
        return Kind::Captions;
    }
    Kind::Unknown
}

fn markup_kind(head: &str) -> Kind {
    for root in ["<score-partwise", "<score-timewise", "<opus"] {
        if head.contains(root) {
            return Kind::MusicXml;
        }
    }
    let start: String = head
        .chars()
        .take(1_000)
        .collect::<String>()
        .to_ascii_lowercase();
    let is_page = start.contains("<!doctype html") || start.contains("<html");
    if is_page && head.contains("cueleaf") {
        return Kind::ExportedGuide;
    }
    Kind::Unknown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_told_by_content() {
        let wide: Vec<u8> = "<?xml version=\"1.0\"?><score-partwise>"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        let cases: [(&[u8], Kind); 15] = [
            (
                b"<?xml version=\"1.0\"?>\n<score-partwise version=\"4.0\">",
                Kind::MusicXml,
            ),
            (b"\xef\xbb\xbf<score-timewise>", Kind::MusicXml),
            (&wide, Kind::MusicXml),
            (b"PK\x03\x04....", Kind::CompressedMusicXml),
            (b"MThd\0\0\0\x06", Kind::Midi),
            (b" {\"cueleaf\":\"1.0\"}", Kind::SavedGuide),
            (b"{\"name\":1}", Kind::Unknown),
            (
                b"<!doctype html><html><script id=\"cueleaf-guide\">",
                Kind::ExportedGuide,
            ),
            (b"<!doctype html><html><p>cue", Kind::Unknown),
            (b"WEBVTT\n\n00:01.000 --> 00:02.000\nhello", Kind::Captions),
            (
                b"1\r\n00:00:01,000 --> 00:00:02,000\r\nhello",
                Kind::Captions,
            ),
            (b"1\nmeasure one --> two", Kind::Unknown),
            (b"", Kind::Unknown),
            (b"25  Lively", Kind::Unknown),
            (b"(mine)\n\nGuide to Rain\n25  Lively", Kind::Outline),
        ];
        for (bytes, kind) in cases {
            assert_eq!(sniff(bytes), kind, "{}", String::from_utf8_lossy(bytes));
        }
    }
}
