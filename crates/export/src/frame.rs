//! A guide in a frame of a class page.

use crate::class::encoded;
use crate::file_name;
use cueleaf_guide::{Guide, Part};
use maud::html;

/// How large the frame is, in CSS pixels: an upright phone, for which the guide is made.
///
/// # Source
/// Our decision: wider than the narrowest page the guide is tested with, 360 by 640.
const WIDTH: u32 = 400;
const HEIGHT: u32 = 720;

/// Writes the lines for a class page that show the file of a part, or of the whole guide,
/// which lies beside that page.
///
/// The frame may run the guide's scripts and nothing else: it has no origin, so it neither
/// stores anything nor reads the page around it.
///
/// ```
/// use cueleaf_export::frame_snippet;
/// use cueleaf_guide::{Guide, Id};
/// let guide = Guide::new(Id::new("g").unwrap(), "Fog \"Bank\"");
/// assert_eq!(
///     frame_snippet(&guide, None),
///     "<iframe src=\"Fog-Bank.html\" title=\"Fog &quot;Bank&quot;\" width=\"400\" \
///      height=\"720\" sandbox=\"allow-scripts\"></iframe>"
/// );
/// ```
#[must_use]
pub fn frame_snippet(guide: &Guide, part: Option<&Part>) -> String {
    let name = file_name(guide, part);
    let title = match part.map(|part| part.name.as_str()) {
        None | Some("") => guide.title.clone(),
        Some(part) => format!("{} – {part}", guide.title),
    };
    html! {
        iframe src=(encoded(&name)) title=(title) width=(WIDTH) height=(HEIGHT) sandbox="allow-scripts" {}
    }
    .into_string()
}
