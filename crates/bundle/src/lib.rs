//! The built player, carried as bytes by whatever exports a guide.
//!
//! The files are those that `cargo xtask build` left in `target/web/player`. A build that did
//! not go through it (an editor, `cargo test`) has no player, and [`player`] says so.

/// The files that bring an exported guide to life.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlayerFiles {
    /// The script that unpacks the rest, safe to inline: it holds neither `</script` nor `<!--`.
    pub start: &'static str,
    /// The hash of the packed script, as a policy names it: `'sha256-…'`.
    pub live_hash: &'static str,
    /// One style sheet, safe to inline: it holds no `</style`.
    pub style: &'static str,
    /// The live script, the live style and the module, packed as `www/player/start.js` reads them.
    pub packed: &'static [u8],
}

/// Returns the built player, or `None` where the build was made without one.
#[must_use]
pub fn player() -> Option<PlayerFiles> {
    include!(concat!(env!("OUT_DIR"), "/player.rs"))
}
