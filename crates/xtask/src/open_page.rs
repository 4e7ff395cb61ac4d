//! `dist/play.html`: the page that opens links, in one file.

use crate::pages::fill;
use crate::policy::{Inlined, hash_source, opener_policy};
use crate::run::root;
use crate::wasm::Files;
use anyhow::{Context, Result};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::fs;

/// What the page is made of.
pub(crate) struct Pieces<'a> {
    /// What opens links.
    pub(crate) opener: &'a Files,
    /// The opener's module as a raw DEFLATE stream.
    pub(crate) deflated: &'a [u8],
    /// What brings a guide to life, and its style.
    pub(crate) player: &'a Files,
    /// The script that unpacks it.
    pub(crate) start: &'a str,
    /// The player packed, as exported guides carry it.
    pub(crate) packed: &'a [u8],
}

/// Writes the page.
///
/// # Errors
/// When the template cannot be read or lacks a place.
pub(crate) fn written(pieces: &Pieces<'_>) -> Result<String> {
    let path = root().join("www/play.html");
    let template = fs::read_to_string(path).context("cannot read www/play.html")?;
    filled(&template, pieces)
}

fn filled(template: &str, pieces: &Pieces<'_>) -> Result<String> {
    let Pieces {
        opener,
        player,
        start,
        ..
    } = pieces;
    let policy = opener_policy(&Inlined {
        scripts: &[&opener.script, start, &player.script],
        styles: &[&player.style, &opener.style],
    });
    let styles = format!(
        "<style id=\"cueleaf-style\">{}</style>\n<style>{}</style>",
        player.style, opener.style
    );
    let data = "type=\"application/octet-stream\"";
    let scripts = format!(
        "<script type=\"text/plain\" id=\"cueleaf-start\">{start}</script>\n\
         <script {data} id=\"cueleaf-player\" data-hash=\"{}\">{}</script>\n\
         <script {data} id=\"cueleaf-wasm\">{}</script>\n\
         <script>{}</script>",
        hash_source(&player.script),
        STANDARD.encode(pieces.packed),
        STANDARD.encode(pieces.deflated),
        opener.script
    );
    fill(template, &policy, &styles, &scripts)
}

#[cfg(test)]
mod tests {
    use super::{Pieces, filled};
    use crate::policy::hash_source;
    use crate::wasm::Files;

    #[test]
    fn the_page_is_one_file_and_lists_what_may_run() {
        let files = |name: &str| Files {
            script: format!("run('{name}')"),
            style: format!(".{name}{{}}"),
            wasm: Vec::new(),
        };
        let template = "<!-- cueleaf: policy --><!-- cueleaf: style --><!-- cueleaf: scripts -->";
        let page = filled(
            template,
            &Pieces {
                opener: &files("o"),
                deflated: b"deflated",
                player: &files("p"),
                start: "start()",
                packed: b"packed",
            },
        )
        .unwrap();
        let policy = page.split("\">").next().unwrap();
        for text in ["run('o')", "run('p')", "start()", ".o{}", ".p{}"] {
            assert!(policy.contains(&hash_source(text)), "{text}");
        }
        // "deflated" and "packed" in base64.
        assert!(page.contains(">ZGVmbGF0ZWQ=<") && page.contains(">cGFja2Vk<"));
        assert!(
            !page.contains("src=") && !page.contains("href=") && !policy.contains("connect-src")
        );
        assert!(!policy.contains("unsafe-inline") && !policy.contains("'unsafe-eval'"));
    }
}
