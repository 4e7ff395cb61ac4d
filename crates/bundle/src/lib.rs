//! The built player, carried as bytes by whatever exports a guide.
//!
//! The files are those that `cargo xtask build` left in `target/web/player`. A build that did
//! not go through it (an editor, `cargo test`) has no player, and [`player`] says so.

/// The three files that bring an exported guide to life.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlayerFiles {
    /// One classic script, safe to inline: it holds neither `</script` nor `<!--`.
    pub script: &'static str,
    /// One style sheet, safe to inline: it holds no `</style`.
    pub style: &'static str,
    /// The WebAssembly module as a raw DEFLATE stream (RFC 1951), for
    /// `DecompressionStream("deflate-raw")`.
    pub wasm_deflated: &'static [u8],
}

/// Returns the built player, or `None` where the build was made without one.
#[must_use]
pub fn player() -> Option<PlayerFiles> {
    include!(concat!(env!("OUT_DIR"), "/player.rs"))
}
