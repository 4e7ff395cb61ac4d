//! Long rests in words.

use crate::{Page, Word, at_text};
use cueleaf_guide::Place;
use cueleaf_plan::RestCount;

/// Tells where in a long rest play is and where the part comes in again:
/// "rest 3 of 8, come in at measure 37, beat 2".
#[must_use]
pub fn rest_text(page: &Page<'_>, rest: &RestCount) -> String {
    let words = page.words;
    let now = words.fill(
        Word::RestNow,
        &[&rest.number.to_string(), &rest.of.to_string()],
    );
    match rest.entry {
        Some(entry) => {
            let place = Place {
                measure: entry.measure,
                at: entry.at,
            };
            words.fill(Word::ComeIn, &[&now, &at_text(page, place)])
        }
        None => now,
    }
}
