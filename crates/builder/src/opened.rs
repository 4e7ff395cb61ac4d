//! What the bytes of a file turn out to be.

use cueleaf_guide::{Finding, Guide, OpenError, open};
use cueleaf_outline::Outlined;
use cueleaf_read::talk::{Talk, listen};
use cueleaf_read::{Kind, guide_in_page, limits, read_captions, read_outline, sniff};

/// What can be done with a file.
#[derive(Debug)]
pub(crate) enum Opened {
    /// It is a score, to be read in steps.
    Score(Vec<u8>),
    /// It is a guide.
    Guide(Box<Guide>),
    /// It is captions of somebody talking about measures, with what was found.
    Talk(Box<Talk>, Vec<Finding>),
    /// It is a guide as plain notes, with their text.
    Outline(Box<Outlined>, String),
    /// It cannot be opened, for this reason.
    No(String),
}

/// Finds out what a file is, by its content.
pub(crate) fn opened(bytes: Vec<u8>) -> Opened {
    if bytes.is_empty() {
        return Opened::No("The file is empty. Save it again in the program it comes from.".into());
    }
    if bytes.len() > limits::MAX_FILE_BYTES {
        return Opened::No(too_large(bytes.len()));
    }
    match sniff(&bytes) {
        Kind::MusicXml | Kind::CompressedMusicXml | Kind::Midi => Opened::Score(bytes),
        Kind::SavedGuide => saved(open(&String::from_utf8_lossy(&bytes))),
        Kind::ExportedGuide => match guide_in_page(&String::from_utf8_lossy(&bytes)) {
            Some(opened) => saved(opened),
            None => Opened::No(
                "This looks like a guide for students, but the guide inside it is gone or damaged. \
                 Look for another copy of the file."
                    .into(),
            ),
        },
        Kind::Captions => match read_captions(bytes) {
            Ok(captions) => {
                let talk = listen(&captions.value);
                if talk.statements.is_empty() {
                    return Opened::No(
                        "No measures are named in these captions, so nothing can be made of them. \
                         Say the numbers of the measures while you talk, or open the part."
                            .into(),
                    );
                }
                Opened::Talk(Box::new(talk), captions.findings)
            }
            Err(error) => Opened::No(sentence(&error.to_string())),
        },
        Kind::Outline => {
            // What is not plain UTF-8 says something else than the guide, and then only its
            // asides are taken from it.
            let text = String::from_utf8_lossy(&bytes).into_owned();
            match read_outline(bytes) {
                Ok(outlined) => Opened::Outline(Box::new(outlined), text),
                Err(error) => Opened::No(sentence(&error.to_string())),
            }
        }
        Kind::Unknown => Opened::No(
            "This is neither a part in MusicXML (.musicxml, .xml or .mxl) or MIDI (.mid), nor captions (.vtt, .srt), nor a guide, nor notes that begin with “Guide to”. In the \
             program that made the part, look for “export” and choose MusicXML."
                .into(),
        ),
    }
}

/// Says that a file is too large.
pub(crate) fn too_large(bytes: usize) -> String {
    let megabytes = |bytes: usize| bytes.div_ceil(1_000_000);
    format!(
        "The file has {} MB, and the most that is read is {} MB. Save the one part you need as a \
         file of its own and open that.",
        megabytes(bytes),
        megabytes(limits::MAX_FILE_BYTES)
    )
}

fn saved(opened: Result<Guide, OpenError>) -> Opened {
    match opened {
        Ok(guide) => Opened::Guide(Box::new(guide)),
        Err(error) => Opened::No(sentence(&error.to_string())),
    }
}

/// Makes a message a sentence: a capital letter first, a full stop last.
pub(crate) fn sentence(message: &str) -> String {
    let mut letters = message.chars();
    let first: String = letters
        .next()
        .map(|first| first.to_uppercase().collect())
        .unwrap_or_default();
    let rest = letters.as_str();
    let stop = if message.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    format!("{first}{rest}{stop}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_export::{PlayerFiles, guide_page};
    use cueleaf_guide::{Id, Measure, save};

    fn guide() -> Guide {
        let mut guide = Guide::new(Id::new("g").unwrap(), "</script> & so");
        guide.road_map.measures = vec![Measure::labelled("1")];
        guide
    }

    fn no(bytes: &[u8]) -> String {
        match opened(bytes.to_vec()) {
            Opened::No(reason) => reason,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn guides_open_again() {
        let player = PlayerFiles {
            start: "x",
            live_hash: "'sha256-x'",
            style: "y",
            packed: &[1],
        };
        for text in [save(&guide()), guide_page(&guide(), &player)] {
            match opened(text.into_bytes()) {
                Opened::Guide(opened) => assert_eq!(*opened, guide()),
                other => panic!("{other:?}"),
            }
        }
    }

    #[test]
    fn notes_open_as_a_guide() {
        match opened(b"Guide to Rain\nMeasures 1 to 9\n5  pizzz\n".to_vec()) {
            Opened::Outline(outlined, _) => {
                assert_eq!(outlined.guide.road_map.measures.len(), 9);
                assert_eq!(outlined.findings.len(), 1);
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_cannot_be_opened_says_why() {
        for (bytes, expected) in [
            (&b""[..], "empty"),
            (b"hello", "neither a part"),
            (b"WEBVTT\n\n", "no captions"),
            (b"WEBVTT\n\n00:01.000 --> 00:02.000\nhello\n", "No measures"),
            (b"{\"cueleaf\":\"9.0\",\"id\":\"a\"}", "newer Cueleaf"),
            (b"{\"cueleaf\":\"1.0\",\"id\":", "damaged"),
            (b"<!doctype html><html>cueleaf-guide", "damaged"),
        ] {
            let reason = no(bytes);
            assert!(reason.contains(expected), "{reason}");
            assert!(reason.ends_with('.'), "{reason}");
        }
        assert!(too_large(300_000_000).contains("300 MB"));
    }
}
