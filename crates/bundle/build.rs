//! Takes the built player in when `CUELEAF_PLAYER_DIR` names the folder that holds it.
//!
//! Without the variable the crate still builds, so that `cargo test` and an editor need no
//! wasm toolchain; `cargo xtask build` sets it.

use std::path::{Path, PathBuf};
use std::{env, fs, io};

const FILES: [&str; 4] = ["start.js", "live.hash", "guide.css", "guide.packed"];

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-env-changed=CUELEAF_PLAYER_DIR");
    let code = match env::var_os("CUELEAF_PLAYER_DIR") {
        Some(folder) => with_player(Path::new(&folder))?,
        None => "None".to_owned(),
    };
    let out = env::var_os("OUT_DIR").ok_or(io::ErrorKind::NotFound)?;
    fs::write(PathBuf::from(out).join("player.rs"), code)
}

fn with_player(folder: &Path) -> io::Result<String> {
    let mut paths = Vec::new();
    for name in FILES {
        let path = folder.join(name);
        if !path.is_file() {
            let message = format!("the player is not built: {} is missing", path.display());
            return Err(io::Error::new(io::ErrorKind::NotFound, message));
        }
        println!("cargo::rerun-if-changed={}", path.display());
        paths.push(path.display().to_string());
    }
    // The debug form of a string is a Rust string literal with what must be escaped escaped.
    let [start, live, style, packed] = paths.as_slice() else {
        return Err(io::ErrorKind::InvalidData.into());
    };
    Ok(format!(
        "Some(PlayerFiles {{ start: include_str!({start:?}), live_hash: include_str!({live:?}), \
         style: include_str!({style:?}), packed: include_bytes!({packed:?}) }})"
    ))
}
