//! The files by which a guide leaves.

use crate::msg::Effect;
use cueleaf_export::{PlayerFiles, file_name, guide_page};
use cueleaf_guide::{Guide, Id, for_part};

/// Writes the student's page of a guide; `None` where this build carries no player.
#[must_use]
pub(crate) fn page_of(guide: &Guide) -> Option<String> {
    let player = cueleaf_bundle::player()?;
    let files = PlayerFiles {
        script: player.script,
        style: player.style,
        wasm_deflated: player.wasm_deflated,
    };
    Some(guide_page(guide, &files))
}

/// Gives the guide of one part, or the whole when it has no such part or only that.
#[must_use]
pub(crate) fn guide_of(guide: &Guide, part: Option<&Id>) -> Guide {
    match part.filter(|id| guide.part(id).is_some()) {
        Some(part) => for_part(guide, part),
        None => guide.clone(),
    }
}

/// Names the file of a part, or of the whole.
#[must_use]
pub(crate) fn name_of(guide: &Guide, part: Option<&Id>) -> String {
    file_name(guide, part.and_then(|id| guide.part(id)))
}

/// Makes the downloads of some parts; of the whole guide when none is named.
///
/// # Errors
/// A sentence for the teacher when this build carries no player.
pub(super) fn pages(guide: &Guide, parts: Vec<Id>) -> Result<Vec<Effect>, String> {
    let wanted: Vec<Option<Id>> = if parts.is_empty() {
        vec![None]
    } else {
        parts.into_iter().map(Some).collect()
    };
    wanted
        .iter()
        .map(|part| {
            let own = guide_of(guide, part.as_ref());
            let text = page_of(&own).ok_or(
                "This copy of Cueleaf was built without the student's player and cannot make the \
                 page. The guide itself can still be downloaded.",
            )?;
            Ok(Effect::Download {
                name: name_of(guide, part.as_ref()),
                media: "text/html",
                text,
            })
        })
        .collect()
}
