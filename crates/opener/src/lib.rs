//! The page that opens links: what stands after the `#` of its address becomes
//! the very file that a teacher would have sent.
//!
//! Invariants of this room:
//! - A link is hostile: whatever it is, the answer is a page or a sentence.
//! - The page shown and the file saved are one text, that of `cueleaf_export`.
//! - No request, and nothing of the guide leaves the page.
#![forbid(unsafe_code)]

use cueleaf_export::{Address, PlayerFiles, file_name, guide_page};
use cueleaf_guide::Guide;
use cueleaf_link::{LinkError, from_fragment};
use wasm_bindgen::prelude::{JsError, wasm_bindgen};

/// A link that was opened.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Opened {
    guide: Guide,
}

/// Opens what stands after the `#`. The page's own address becomes that of the
/// guide, so that a saved file can say where it opens on the web.
///
/// # Errors
/// A sentence for the student, and what to do about it.
#[wasm_bindgen]
pub fn open(fragment: &str, address: &str) -> Result<Opened, JsError> {
    opened(fragment, address).map_err(|error| JsError::new(&words(&error)))
}

#[wasm_bindgen]
impl Opened {
    /// Writes the exported page of the guide, given the player that stands in this page.
    #[must_use]
    pub fn page(&self, start: &str, live_hash: &str, style: &str, packed: &[u8]) -> String {
        let player = PlayerFiles {
            start,
            live_hash,
            style,
            packed,
        };
        guide_page(&self.guide, &player)
    }

    /// Names the file of the guide.
    #[must_use]
    pub fn name(&self) -> String {
        let part = match self.guide.parts.as_slice() {
            [part] => Some(part),
            _ => None,
        };
        file_name(&self.guide, part)
    }
}

fn opened(fragment: &str, address: &str) -> Result<Opened, LinkError> {
    let mut guide = from_fragment(fragment)?;
    guide.settings.address = Address::read(address)
        .map(|address| address.as_str().to_owned())
        .unwrap_or_default();
    Ok(Opened { guide })
}

/// Says why a link does not open, in one sentence, and in another what to do.
fn words(error: &LinkError) -> String {
    let what_to_do = match error {
        LinkError::Empty => {
            "A link from your teacher is longer: it has many letters after a #. Open that one."
        }
        LinkError::Newer => {
            "Load this page again while you are online; if that does not help, ask your teacher for the guide as a file."
        }
        LinkError::NoGuide | LinkError::TooLong(_) | LinkError::Damaged | LinkError::Refused(_) => {
            "Copy the whole link from your teacher’s message, or ask for the guide as a file."
        }
    };
    let mut sentence = error.to_string();
    if let Some(first) = sentence.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    format!("{sentence}.\n{what_to_do}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::Id;
    use cueleaf_link::to_fragment;

    #[test]
    fn the_page_of_a_link_is_the_file_of_the_guide() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "Fog </script>");
        let fragment = to_fragment(&guide).unwrap();
        let address = "https://a.example/play.html#old";
        let opened = opened(&format!("#{fragment}"), address).unwrap();
        let page = opened.page("run()", "'sha256-x'", "p{}", &[1, 2]);
        guide.settings.address = "https://a.example/play.html".to_owned();
        let player = PlayerFiles {
            start: "run()",
            live_hash: "'sha256-x'",
            style: "p{}",
            packed: &[1, 2],
        };
        assert_eq!(page, guide_page(&guide, &player));
        assert_eq!(opened.name(), "Fog-script.html");
        // Opened from a disk or a test server, the page has no address to pass on.
        let here = super::opened(&fragment, "file:///tmp/play.html").unwrap();
        assert_eq!(here.guide.settings.address, "");
    }

    #[test]
    fn every_refusal_is_two_sentences() {
        for fragment in ["", "#", "b1", "?", "aAAAA", &"a".repeat(20_000)] {
            let error = opened(fragment, "").unwrap_err();
            let words = words(&error);
            let lines: Vec<&str> = words.lines().collect();
            assert_eq!(lines.len(), 2);
            for line in lines {
                assert!(line.starts_with(|c: char| c.is_uppercase()) && line.ends_with('.'));
            }
        }
    }
}
