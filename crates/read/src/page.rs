//! The guide inside a page for students.

use cueleaf_guide::{Guide, Medium, OpenError, open_apart};
use cueleaf_pack::{MAX_BESIDE, from_letters, unpack};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// The id of the element that holds the guide in its saved form.
const GUIDE_ID: &str = "id=\"cueleaf-guide\"";

/// How an element with something packed begins.
const PACKED: &str = "<script type=\"application/octet-stream\" ";

/// Opens the guide of a page for students; `None` when it holds none.
///
/// The bytes of photos and voice notes stand in the text of the page, and come from there.
///
/// # Errors
/// As [`cueleaf_guide::open`].
#[must_use = "a page may hold no guide"]
pub fn guide_in_page(page: &str) -> Option<Result<Guide, OpenError>> {
    let photos = bytes_in(page, "<img data-photo=\"");
    let voices = bytes_in(page, "<audio data-voice=\"");
    Some(open_apart(&saved_in(page)?, |tip, medium| {
        let bytes = match medium {
            Medium::Photo => &photos,
            Medium::Voice => &voices,
        };
        bytes.get(&tip).copied()
    }))
}

/// Takes the saved form out of a page, where it stands plain, as it always did once, or packed.
fn saved_in(page: &str) -> Option<Cow<'_, str>> {
    let (before, after) = page.split_once(GUIDE_ID)?;
    let (_, inside) = after.split_once('>')?;
    let (saved, _) = inside.split_once("</script")?;
    if before.ends_with(PACKED) {
        // What does not unpack is no guide, as an empty text is none.
        return Some(unpacked(saved).unwrap_or_default().into());
    }
    Some(saved.into())
}

/// Gives the first line of what is packed; after it come the words of the page.
fn unpacked(letters: &str) -> Option<String> {
    let bytes = unpack(from_letters(letters)?, MAX_BESIDE)?;
    let text = String::from_utf8(bytes).ok()?;
    Some(text.lines().next()?.to_owned())
}

/// Gathers the bytes, as text, of the elements that begin in this way, by the index of their tip.
/// What a teacher types never begins an element: its "<" is written as "&lt;" in the text and as
/// "\u003c" in the saved form.
fn bytes_in<'a>(page: &'a str, start: &str) -> BTreeMap<usize, &'a str> {
    let elements = page.split(start).skip(1);
    let mut all = BTreeMap::new();
    for (index, bytes) in elements.filter_map(bytes_of) {
        all.entry(index).or_insert(bytes);
    }
    all
}

fn bytes_of(element: &str) -> Option<(usize, &str)> {
    let (index, rest) = element.split_once('"')?;
    let source = rest.strip_prefix(" src=\"data:")?;
    let (address, _) = source.split_once('"')?;
    let (_, bytes) = address.split_once(";base64,")?;
    Some((index.parse().ok()?, bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inside(text: &str) -> Option<Result<Guide, OpenError>> {
        let page = format!(
            "<p>x</p><script type=\"application/json\" id=\"cueleaf-guide\">{text}</script><p>"
        );
        guide_in_page(&page)
    }

    #[test]
    fn the_guide_is_found_in_its_element() {
        let guide = inside(r#"{"cueleaf":"1.0","id":"g"}"#).unwrap().unwrap();
        assert_eq!(guide.id.as_str(), "g");
        assert!(inside("{}").unwrap().is_err());
        assert!(guide_in_page("<p>cueleaf-guide</p>").is_none());
        assert!(guide_in_page("<script id=\"cueleaf-guide\">{").is_none());
    }

    #[test]
    fn what_is_packed_and_no_guide_is_refused() {
        let page = |text: &str| {
            format!(
                "<script type=\"application/octet-stream\" id=\"cueleaf-guide\">{text}</script>"
            )
        };
        let packed = |text: &str| cueleaf_pack::letters(&cueleaf_pack::pack(text.as_bytes()));
        let own = page(&packed("{\"cueleaf\":\"1.0\",\"id\":\"g\"}\n[\"Play\"]"));
        let guide = guide_in_page(&own).unwrap().unwrap();
        assert_eq!(guide.id.as_str(), "g");
        // Nothing, no letters of ours, no guide.
        for text in ["", "<&", &packed("{}\n[]")] {
            assert!(guide_in_page(&page(text)).unwrap().is_err(), "{text}");
        }
        // In each way, and one that is none: one byte too many, and what nobody packed.
        for way in 0..3 {
            let [_, size @ ..] = u32::try_from(MAX_BESIDE + 1).unwrap().to_be_bytes();
            let long = cueleaf_pack::letters(&[&[way], &size[..], &[0; 40]].concat());
            assert_eq!(unpacked(&long), None);
            let noise = cueleaf_pack::letters(&[way, 0, 1, 0, 9, 200, 3, 77, 5, 6, 1, 255]);
            assert!(guide_in_page(&page(&noise)).unwrap().is_err());
        }
    }

    #[test]
    fn bytes_come_from_the_text() {
        let page = "<img data-photo=\"3\" src=\"data:image/png;base64,AA==\" alt=\"x\">\
            <img data-photo=\"3\" src=\"data:image/png;base64,BB==\"><img data-photo=\"x\" src=\"data:a;base64,C\">\
            <img data-photo=\"4\" src=\"https://a.example/x.png\"><img data-photo=\"5";
        let found = bytes_in(page, "<img data-photo=\"");
        assert_eq!(found, BTreeMap::from([(3, "AA==")]));
    }
}
