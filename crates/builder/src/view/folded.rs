//! Long lists: what is beyond a screenful or two is folded away.

use maud::{Markup, html};

/// How many rows of a list are shown at once.
///
/// # Source
/// Our decision.
pub(super) const SHOWN: usize = 50;

/// A list whose rows beyond the first are folded away; each row is an `li`.
pub(super) fn list(id: &str, class: Option<&str>, rows: &[Markup]) -> Markup {
    let (first, rest) = rows.split_at_checked(SHOWN).unwrap_or((rows, &[]));
    html! {
        ul class=[class] { @for row in first { (row) } }
        @if !rest.is_empty() {
            details id=(id) class="further" {
                summary { (rest.len()) " more" }
                ul class=[class] { @for row in rest { (row) } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_beyond_is_folded_away() {
        let rows = |count: usize| -> Vec<Markup> {
            (0..count).map(|own| html! { li { (own) } }).collect()
        };
        let all = list("more", None, &rows(SHOWN)).into_string();
        assert_eq!(all.matches("<li>").count(), SHOWN);
        assert!(!all.contains("<details"));
        let more = list("more", Some("lost"), &rows(SHOWN + 7)).into_string();
        let (shown, folded) = more.split_once("<details id=\"more\"").unwrap();
        assert_eq!(shown.matches("<li>").count(), SHOWN);
        assert_eq!(folded.matches("<li>").count(), 7);
        assert!(folded.contains("<summary>7 more</summary>"), "{folded}");
    }
}
