//! The frame of a page without scripts.

use crate::lean::written;
use crate::policy::{hash_source, policy_of_list};
use cueleaf_view::{Word, Words};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Writes a page that is only read: its title, its own style (without `</style`) and its body. It
/// may run nothing and ask for nothing.
pub(crate) fn still_page(words: &Words, title: &str, style: &str, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang=(words.get(Word::LanguageTag)) {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy_of_list(&hash_source(style)));
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content="Cueleaf";
                title { (title) }
                link rel="icon" href="data:,";
                style { (PreEscaped(style)) }
            }
            body { main { (body) } }
        }
    };
    written(page)
}
