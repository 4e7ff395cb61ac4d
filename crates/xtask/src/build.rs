//! `cargo xtask build`: from the sources to dist/ and target/release/cueleaf.

use crate::deflate::deflated;
use crate::kept::kept;
use crate::policy::hash_source;
use crate::run::{cargo, must, root, say};
use crate::wasm::{BUILDER, Files, OPENER, PLAYER, folder, for_guide, make, unpacker};
use crate::{licences, open_page, pages, setup, toolchain};
use anyhow::{Result, ensure};
use std::fs;
use std::path::Path;

/// Names the folder of the built player for `crates/bundle`.
const PLAYER_DIR: &str = "CUELEAF_PLAYER_DIR";

/// What is built.
#[derive(Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum Only {
    /// The player and the command that exports with it: what a guide needs.
    Guide,
}

/// Builds the pages and the native command, or only a part of them.
///
/// # Errors
/// When a tool is missing and cannot be installed, or a step fails.
pub(crate) fn build(only: Option<Only>) -> Result<()> {
    setup::node()?;
    let _alone = alone()?;
    let toolchain = toolchain::find()?;
    let player = make(&PLAYER, &toolchain, &[])?;
    let player_folder = folder(&PLAYER);
    let guide = for_guide(&player, &unpacker(&toolchain)?)?;
    let packed = cueleaf_pack::pack(&guide.packed);
    // Where functions end is read off their instructions: a page has to find the same ends.
    let back = cueleaf_pack::with_sizes(packed.clone());
    ensure!(
        back.is_some_and(|back| back.ends_with(&player.wasm)),
        "the packer reads an instruction of the player wrong: see `begin` of crates/pack/src/place.rs"
    );
    fs::write(player_folder.join("guide.packed"), &packed)?;
    // The policy of a guide names the packed script, which is not in it as text.
    let hash = hash_source(&player.script);
    fs::write(player_folder.join("live.hash"), hash)?;

    let environment = [(PLAYER_DIR, player_folder.as_path())];
    weigh("player", &player, packed.len());
    if only == Some(Only::Guide) {
        return command(&environment);
    }
    let opener = make(&OPENER, &toolchain, &[])?;
    let deflated_opener = kept("opener-deflated", &opener.wasm, || {
        Ok(deflated(&opener.wasm))
    })?;
    let play = open_page::written(&open_page::Pieces {
        opener: &opener,
        deflated: &deflated_opener,
        player: &player,
        start: &guide.start,
        packed: &packed,
    })?;

    let builder = make(&BUILDER, &toolchain, &environment)?;
    let deflated_builder = kept("builder-deflated", &builder.wasm, || {
        Ok(deflated(&builder.wasm))
    })?;
    let inside = [guide.start.as_str(), player.script.as_str()];
    let more = [("play.html", play.as_str())];
    pages::write(&builder, &deflated_builder, (&inside, &player.style), &more)?;

    licences::write()?;
    command(&environment)?;
    weigh("opener", &opener, deflated_opener.len());
    weigh("builder", &builder, deflated_builder.len());
    let page = fs::metadata(root().join("dist/cueleaf.html"))?.len();
    say(&format!(
        "done: dist/ (cueleaf.html {page} bytes), target/release/cueleaf"
    ));
    Ok(())
}

/// Compiles the command `cueleaf` with the built player inside.
fn command(environment: &[(&str, &Path)]) -> Result<()> {
    say("compiling the command cueleaf");
    let mut command = cargo();
    command.args(["build", "--quiet", "--release", "--package", "cueleaf"]);
    must(command.envs(environment.iter().copied()))
}

/// Waits until no other build writes the same folders; the lock goes with the value.
fn alone() -> Result<fs::File> {
    let folder = root().join("target");
    fs::create_dir_all(&folder)?;
    let lock = fs::File::create(folder.join("xtask-build.lock"))?;
    if lock.try_lock().is_err() {
        say("waiting for another build to end");
        lock.lock()?;
    }
    Ok(lock)
}

fn weigh(name: &str, files: &Files, packed: usize) {
    say(&format!(
        "{name}: script {} bytes, style {}, module {} (packed {packed})",
        files.script.len(),
        files.style.len(),
        files.wasm.len()
    ));
}
