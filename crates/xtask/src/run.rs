//! Running other programs, and where the project's folders are.

use anyhow::{Context, Result, bail};
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Returns the folder of the repository, an absolute path.
pub(crate) fn root() -> PathBuf {
    // crates/xtask is two levels below the root; cargo sets the variable when it runs us.
    let here = std::env::var_os("CARGO_MANIFEST_DIR")
        .map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
    here.ancestors()
        .nth(2)
        .map_or(here.clone(), Path::to_path_buf)
}

/// Says what is being done, on a line of its own.
pub(crate) fn say(what: &str) {
    println!("· {what}");
}

/// Prepares a program to run in the repository's root.
pub(crate) fn program(name: impl AsRef<std::ffi::OsStr>) -> Command {
    let mut command = Command::new(name);
    command.current_dir(root());
    // `cargo run` sets the library path to its own toolchain's folder, where another
    // toolchain's compiler must not look.
    command.env_remove("LD_LIBRARY_PATH");
    command
}

/// Prepares the cargo that runs us.
pub(crate) fn cargo() -> Command {
    program(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
}

/// Runs a program whose output goes to the terminal.
///
/// # Errors
/// When it cannot be started or ends with another status than 0.
pub(crate) fn must(command: &mut Command) -> Result<()> {
    let status = command
        .status()
        .with_context(|| format!("cannot run {}", shown(command)))?;
    if !status.success() {
        bail!("{} ended with {status}", shown(command));
    }
    Ok(())
}

/// Runs a program silently; what it printed is shown only when it fails.
///
/// # Errors
/// When it cannot be started or ends with another status than 0.
pub(crate) fn must_silently(command: &mut Command) -> Result<()> {
    let output = command
        .stdin(Stdio::null())
        .output()
        .with_context(|| format!("cannot run {}", shown(command)))?;
    if !output.status.success() {
        print!("{}", String::from_utf8_lossy(&output.stdout));
        eprint!("{}", String::from_utf8_lossy(&output.stderr));
        bail!("{} ended with {}", shown(command), output.status);
    }
    Ok(())
}

/// Runs a program whose output goes to the terminal, and returns what it printed on standard
/// output, and whether it ended with status 0.
///
/// # Errors
/// When it cannot be started or its output cannot be read.
pub(crate) fn watched(command: &mut Command) -> Result<(String, bool)> {
    let cannot = |command: &Command| format!("cannot run {}", shown(command));
    let mut child = command
        .stdout(Stdio::piped())
        .spawn()
        .with_context(|| cannot(command))?;
    let mut printed = String::new();
    if let Some(output) = child.stdout.take() {
        for line in BufReader::new(output).split(b'\n') {
            let line = line?;
            let line = String::from_utf8_lossy(&line);
            println!("{line}");
            printed.push_str(&line);
            printed.push('\n');
        }
    }
    Ok((printed, child.wait()?.success()))
}

/// Returns what a program prints, without surrounding white space, or `None` when it cannot be
/// run or fails.
pub(crate) fn answer(command: &mut Command) -> Option<String> {
    let output = command
        .stdin(Stdio::null())
        .stderr(Stdio::null())
        .output()
        .ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    output.status.success().then(|| text.trim().to_owned())
}

/// Tells whether a program of this name is in PATH.
pub(crate) fn in_path(name: &str) -> bool {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path).any(|folder| folder.join(name).is_file())
}

fn shown(command: &Command) -> String {
    let name = Path::new(command.get_program())
        .file_name()
        .unwrap_or(command.get_program());
    let mut text = name.to_string_lossy().into_owned();
    for argument in command.get_args().take(4) {
        text.push(' ');
        text.push_str(&argument.to_string_lossy());
    }
    text
}
