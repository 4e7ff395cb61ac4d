//! `cargo xtask build`: from the sources to dist/ and target/release/cueleaf.

use crate::deflate::deflated;
use crate::kept::kept;
use crate::run::{cargo, must, root, say};
use crate::wasm::{BUILDER, Files, PLAYER, folder, make};
use crate::{pages, setup, toolchain};
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
    let deflated_player = kept("player-deflated", &player.wasm, || {
        Ok(deflated(&player.wasm))
    })?;
    fs::write(player_folder.join("player.wasm.deflate"), &deflated_player)?;

    let environment = [(PLAYER_DIR, player_folder.as_path())];
    let builder = make(&BUILDER, &toolchain, &environment)?;
    let deflated_builder = kept("builder-deflated", &builder.wasm, || {
        Ok(deflated(&builder.wasm))
    })?;
    pages::write(&builder, &deflated_builder, &player)?;

    say("compiling the command cueleaf");
    let mut command = cargo();
    command.args(["build", "--quiet", "--release", "--package", "cueleaf"]);
    must(command.envs(environment))?;

    weigh("player", &player, deflated_player.len());
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
