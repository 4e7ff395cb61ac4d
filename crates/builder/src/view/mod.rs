//! The page drawn.

use crate::state::State;

/// Draws the places of the page.
pub(crate) fn skeleton(_state: &State) -> String {
    String::new()
}

/// Draws what stands in the places, by their keys.
pub(crate) fn fragments(_state: &State) -> Vec<(String, String)> {
    Vec::new()
}
