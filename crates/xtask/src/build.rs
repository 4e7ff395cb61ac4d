//! `cargo xtask build`: from the sources to dist/ and target/release/cueleaf.

use crate::deflate::deflated;
use crate::kept::kept;
use crate::policy::hash_source;
use crate::run::{cargo, must, root, say};
use crate::wasm::{BUILDER, Files, OPENER, PLAYER, folder, for_guide, make};
use crate::{open_page, pages, setup, toolchain};
use anyhow::Result;
use std::fs;

/// Names the folder of the built player for `crates/bundle`.
const PLAYER_DIR: &str = "CUELEAF_PLAYER_DIR";

/// Builds the pages and the native command.
///
/// # Errors
/// When a tool is missing and cannot be installed, or a step fails.
pub(crate) fn build() -> Result<()> {
    setup::node()?;
    let _alone = alone()?;
    let toolchain = toolchain::find()?;
    let player = make(&PLAYER, &toolchain, &[])?;
    let player_folder = folder(&PLAYER);
    let guide = for_guide(&player)?;
    let packed = kept("player-packed", &guide.packed, || {
        Ok(deflated(&guide.packed))
    })?;
    fs::write(player_folder.join("guide.packed"), &packed)?;
    // The policy of a guide names the packed script, which is not in it as text.
    let hash = hash_source(&player.script);
    fs::write(player_folder.join("live.hash"), hash)?;

    let environment = [(PLAYER_DIR, player_folder.as_path())];
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

    say("compiling the command cueleaf");
    let mut command = cargo();
    command.args(["build", "--quiet", "--release", "--package", "cueleaf"]);
    must(command.envs(environment))?;

    weigh("player", &player, packed.len());
    weigh("opener", &opener, deflated_opener.len());
    weigh("builder", &builder, deflated_builder.len());
    let page = fs::metadata(root().join("dist/cueleaf.html"))?.len();
    say(&format!(
        "done: dist/ (cueleaf.html {page} bytes), target/release/cueleaf"
    ));
    Ok(())
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

fn weigh(name: &str, files: &Files, deflated: usize) {
    say(&format!(
        "{name}: script {} bytes, style {}, module {} (deflated {deflated})",
        files.script.len(),
        files.style.len(),
        files.wasm.len()
    ));
}
