//! A guide as a link, and as the picture of one.

use crate::{Failure, of_part, output};
use cueleaf_export::{Address, link, qr_picture};
use cueleaf_guide::{Guide, media_count};
use cueleaf_link::{WIDELY_SAFE, to_fragment};
use std::path::Path;

/// Prints the link of a guide; its fragment where nobody names an address.
pub(crate) fn print(
    guide: &Guide,
    part: Option<&str>,
    address: Option<&str>,
) -> Result<(), Failure> {
    let guide = of_part(guide, part)?;
    tell_what_stays(&guide);
    let text = match wanted(&guide, address)? {
        Some(address) => link(&guide, &address).map(|link| link.text),
        None => to_fragment(&guide),
    };
    let text = text.map_err(|error| Failure::Found(error.to_string()))?;
    if text.len() > WIDELY_SAFE {
        eprintln!(
            "note: some programs cut links of more than {WIDELY_SAFE} letters; this one has {}",
            text.len()
        );
    }
    output::print_text(&format!("{text}\n"))
}

/// Draws the link of a guide as a QR code.
pub(crate) fn draw(
    guide: &Guide,
    part: Option<&str>,
    address: Option<&str>,
    output: &Path,
) -> Result<(), Failure> {
    let guide = of_part(guide, part)?;
    tell_what_stays(&guide);
    let address = wanted(&guide, address)?.ok_or_else(|| {
        Failure::Use("a QR code needs --address: the https address of play.html".to_owned())
    })?;
    let link = link(&guide, &address).map_err(|error| Failure::Found(error.to_string()))?;
    let picture = qr_picture(&link.for_picture, &guide.title)
        .map_err(|error| Failure::Found(error.to_string()))?;
    output::write(output, picture.svg.as_bytes())
}

/// Tells that photos and voice notes are left out.
fn tell_what_stays(guide: &Guide) {
    let (photos, voices) = media_count(guide);
    if photos + voices > 0 {
        eprintln!(
            "note: a link carries no photos or voice notes; left out: {}, {}",
            output::amount(photos, "photo"),
            output::amount(voices, "voice note")
        );
    }
}

/// Reads the address that was given, else the guide's own; `None` where there is neither.
fn wanted(guide: &Guide, given: Option<&str>) -> Result<Option<Address>, Failure> {
    let text = given.unwrap_or(&guide.settings.address);
    if text.is_empty() {
        return Ok(None);
    }
    let address = Address::read(text);
    address
        .map(Some)
        .map_err(|error| Failure::Use(error.to_string()))
}
