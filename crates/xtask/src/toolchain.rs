//! Which compiler builds for WebAssembly on this machine.
//!
//! An ordinary machine has rustup, and one command adds the target. A Debian machine whose
//! rustup cannot fetch has a newer Rust in Debian's security archive, which builds the
//! standard library from its source. [`decide`] says what comes next from the facts alone.

use crate::packages::{apt_install, apt_usable, newest_lld};
use crate::run::{answer, cargo, in_path, must_silently, program, root, say};
use anyhow::{Result, bail};
use std::path::{Path, PathBuf};
use std::process::Command;

/// The target that browsers run.
pub(crate) const TARGET: &str = "wasm32-unknown-unknown";

/// Set to `rustup` or `debian` to allow only that one; for testing both ways on one machine.
const ONLY: &str = "CUELEAF_WASM_TOOLCHAIN";

/// The way to compile for WebAssembly.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Toolchain {
    /// The cargo that runs us has the target's standard library.
    Plain {
        /// The folder of the standard library's source, where the compiler can build from it.
        std_source: Option<PathBuf>,
    },
    /// Debian's `rustc-web`, which builds the standard library from source.
    Debian {
        /// The linker's name, such as `wasm-ld-22`.
        linker: String,
    },
}

/// What is known about this machine.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Facts {
    std_in_sysroot: bool,
    std_source: Option<PathBuf>,
    debian_compiler: bool,
    debian_std_source: bool,
    wasm_linker: Option<String>,
    rustup: Attempt,
    apt: Attempt,
}

/// How far a way of installing has come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Attempt {
    #[default]
    Impossible,
    Open,
    Made,
}

/// What to do next.
#[derive(Debug, PartialEq, Eq)]
enum Next {
    Use(Toolchain),
    AddTarget,
    InstallDebian,
    GiveUp,
}

/// The flags with which a panic stops at once, without any words about it.
const STOP_AT_ONCE: &str = "-Zunstable-options -Cpanic=immediate-abort -Zlocation-detail=none";

/// What a person has to do where no way is open.
const ADVICE: &str = "no compiler for WebAssembly: run `rustup target add \
    wasm32-unknown-unknown` on a machine with a network, or, on Debian, `apt-get install \
    rustc-web cargo-web rust-web-src lld-22` as root";

fn decide(facts: &Facts) -> Next {
    if facts.std_in_sysroot {
        return Next::Use(Toolchain::Plain {
            std_source: facts.std_source.clone(),
        });
    }
    if let (true, true, Some(linker)) = (
        facts.debian_compiler,
        facts.debian_std_source,
        &facts.wasm_linker,
    ) {
        return Next::Use(Toolchain::Debian {
            linker: linker.clone(),
        });
    }
    if facts.rustup == Attempt::Open {
        return Next::AddTarget;
    }
    if facts.apt == Attempt::Open {
        Next::InstallDebian
    } else {
        Next::GiveUp
    }
}

/// Finds the toolchain for WebAssembly, installing one when none is there.
///
/// # Errors
/// When none is there and none can be installed; the message says what to do.
pub(crate) fn find() -> Result<Toolchain> {
    let mut facts = Facts::default();
    let only = std::env::var(ONLY).ok();
    let rustup_allowed = only.as_deref() != Some("debian");
    let debian_allowed = only.as_deref() != Some("rustup");
    if rustup_allowed && in_path("rustup") {
        facts.rustup = Attempt::Open;
    }
    if debian_allowed && apt_usable() {
        facts.apt = Attempt::Open;
    }
    loop {
        facts.std_in_sysroot = rustup_allowed && std_in_sysroot();
        if facts.std_in_sysroot {
            facts.std_source = std_source();
        }
        if debian_allowed && !facts.std_in_sysroot {
            facts.debian_compiler =
                Path::new("/usr/bin/rustc").is_file() && Path::new("/usr/bin/cargo").is_file();
            facts.debian_std_source = facts.debian_compiler && debian_std_source();
            facts.wasm_linker = wasm_linker();
        }
        match decide(&facts) {
            Next::Use(toolchain) => return Ok(toolchain),
            Next::AddTarget => {
                facts.rustup = Attempt::Made;
                add_target();
            }
            Next::InstallDebian => {
                facts.apt = Attempt::Made;
                install_debian()?;
            }
            Next::GiveUp => bail!(ADVICE),
        }
    }
}

fn sysroot() -> Option<PathBuf> {
    answer(program(rustc()).args(["--print", "sysroot"])).map(PathBuf::from)
}

fn rustc() -> std::ffi::OsString {
    std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into())
}

fn std_in_sysroot() -> bool {
    sysroot().is_some_and(|sysroot| sysroot.join("lib/rustlib").join(TARGET).is_dir())
}

/// Finds the standard library's source, from which the player gets a third smaller than from
/// the compiled one; asks rustup for it once.
fn std_source() -> Option<PathBuf> {
    let folder = sysroot()?.join("lib/rustlib/src/rust");
    let library = folder.join("library/std/Cargo.toml");
    if !library.is_file() && in_path("rustup") {
        say("adding the standard library's source by rustup, for a smaller player");
        // Without it the player is larger and all the same.
        let _ = must_silently(program("rustup").args(["component", "add", "rust-src"]));
    }
    let mut probe = program(rustc());
    probe
        .env("RUSTC_BOOTSTRAP", "1")
        .args(STOP_AT_ONCE.split(' '))
        .args(["--print", "cfg", "--target", TARGET]);
    (library.is_file() && answer(&mut probe).is_some()).then_some(folder)
}

fn debian_std_source() -> bool {
    answer(program("/usr/bin/rustc").args(["--print", "sysroot"])).is_some_and(|sysroot| {
        Path::new(&sysroot)
            .join("lib/rustlib/src/rust/library/std/Cargo.toml")
            .is_file()
    })
}

fn wasm_linker() -> Option<String> {
    let names: String = std::fs::read_dir("/usr/bin")
        .ok()?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|name| Some(format!("lld-{}\n", name.strip_prefix("wasm-ld-")?)))
        .collect();
    newest_lld(&names).map(|number| format!("wasm-ld-{number}"))
}

fn add_target() {
    say("adding the WebAssembly target by rustup");
    // A failure is no error here: the next look at the machine sees that the target is absent.
    if must_silently(program("rustup").args(["target", "add", TARGET])).is_err() {
        say("rustup could not fetch it; trying Debian's compiler");
    }
}

fn install_debian() -> Result<()> {
    must_silently(program("apt-get").args(["update", "-qq"]))?;
    let names = answer(program("apt-cache").args(["search", "--names-only", "^lld-[0-9]+$"]));
    let Some(lld) = newest_lld(&names.unwrap_or_default()) else {
        bail!("apt offers no lld; {ADVICE}");
    };
    apt_install(&[
        "rustc-web",
        "cargo-web",
        "rust-web-src",
        &format!("lld-{lld}"),
    ])
}

/// What a panic does in a module.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Panics {
    /// It says what happened and where.
    Speak,
    /// It stops at once, where the compiler can do that; the words for it take no room.
    Stop,
}

impl Toolchain {
    /// Returns where cargo puts what it builds for WebAssembly, an absolute path.
    pub(crate) fn target_folder(panics: Panics) -> PathBuf {
        let folder = root().join("target/wasm-build");
        // Cargo does not tell builds with different flags apart once one of the flags remaps
        // paths, and would build everything anew for each of the two modules.
        match panics {
            Panics::Stop => folder.join("stop"),
            Panics::Speak => folder,
        }
    }

    /// Gives the source of the standard library where it is built with the module: always with
    /// Debian's compiler, else where it makes the module smaller.
    fn builds_std(&self, panics: Panics) -> Option<&Path> {
        match self {
            Self::Debian { .. } => Some(Path::new("/usr/lib/rustlib/src/rust")),
            Self::Plain { std_source } => std_source.as_deref().filter(|_| panics == Panics::Stop),
        }
    }

    /// Prepares a cargo call for the WebAssembly target in its own target directory, so that
    /// wasm and native builds keep each other's work. The arguments begin with the subcommand.
    pub(crate) fn cargo(&self, arguments: &[&str], panics: Panics) -> Command {
        let mut flags = hidden_paths();
        let mut command = match self {
            Self::Plain { .. } => cargo(),
            Self::Debian { linker } => {
                let mut command = program("/usr/bin/cargo");
                let path = std::env::var_os("PATH").unwrap_or_default();
                let debian_first =
                    std::iter::once(PathBuf::from("/usr/bin")).chain(std::env::split_paths(&path));
                if let Ok(path) = std::env::join_paths(debian_first) {
                    command.env("PATH", path);
                }
                command
                    .env("RUSTC", "/usr/bin/rustc")
                    .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker)
                    .env_remove("RUSTUP_TOOLCHAIN")
                    .env_remove("RUSTDOC");
                command
            }
        };
        command.args(arguments).args(["--target", TARGET]);
        if panics == Panics::Stop {
            // What only the makers of a guide see is left out; see cueleaf_guide::Tell.
            flags.push("--cfg cueleaf_lean".to_owned());
        }
        if let Some(source) = self.builds_std(panics) {
            command.env("RUSTC_BOOTSTRAP", "1");
            command.args(["-Z", "build-std=std,panic_abort"]);
            command.args(["-Z", "build-std-features=optimize_for_size"]);
            flags.push(format!("--remap-path-prefix={}=rust", source.display()));
            if panics == Panics::Stop {
                flags.push(STOP_AT_ONCE.to_owned());
            }
        }
        command
            .env("CARGO_TARGET_DIR", Self::target_folder(panics))
            .env_remove("RUSTFLAGS")
            .env_remove("CARGO_ENCODED_RUSTFLAGS")
            .env(
                "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS",
                flags.join(" "),
            );
        command
    }
}

/// Flags that keep this machine's paths out of panic messages and so out of the pages.
fn hidden_paths() -> Vec<String> {
    let home = std::env::var_os("CARGO_HOME")
        .map(PathBuf::from)
        .or_else(|| Some(PathBuf::from(std::env::var_os("HOME")?).join(".cargo")));
    home.into_iter()
        .map(|folder| (folder, "cargo"))
        .chain([(root(), "cueleaf")])
        // Cargo splits this variable at spaces, so a path with one cannot be given this way.
        .filter(|(folder, _)| !folder.to_string_lossy().contains(' '))
        .map(|(folder, name)| format!("--remap-path-prefix={}={name}", folder.display()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{Attempt, Facts, Next, Toolchain, decide};

    fn debian() -> Facts {
        Facts {
            debian_compiler: true,
            debian_std_source: true,
            wasm_linker: Some("wasm-ld-22".to_owned()),
            ..Facts::default()
        }
    }

    #[test]
    fn the_target_of_the_running_compiler_comes_first() {
        let facts = Facts {
            std_in_sysroot: true,
            rustup: Attempt::Open,
            ..debian()
        };
        let std_source = None;
        assert_eq!(decide(&facts), Next::Use(Toolchain::Plain { std_source }));
    }

    #[test]
    fn an_installed_debian_compiler_is_used_without_asking_the_network() {
        let facts = Facts {
            rustup: Attempt::Open,
            apt: Attempt::Open,
            ..debian()
        };
        let linker = "wasm-ld-22".to_owned();
        assert_eq!(decide(&facts), Next::Use(Toolchain::Debian { linker }));
    }

    #[test]
    fn rustup_is_tried_before_apt_and_each_only_once() {
        let mut facts = Facts {
            rustup: Attempt::Open,
            apt: Attempt::Open,
            ..Facts::default()
        };
        assert_eq!(decide(&facts), Next::AddTarget);
        facts.rustup = Attempt::Made;
        assert_eq!(decide(&facts), Next::InstallDebian);
        facts.apt = Attempt::Made;
        assert_eq!(decide(&facts), Next::GiveUp);
    }

    #[test]
    fn a_debian_compiler_with_a_piece_missing_is_completed() {
        for facts in [
            Facts {
                debian_std_source: false,
                ..debian()
            },
            Facts {
                wasm_linker: None,
                ..debian()
            },
            Facts {
                debian_compiler: false,
                ..debian()
            },
        ] {
            assert_eq!(
                decide(&Facts {
                    apt: Attempt::Open,
                    ..facts
                }),
                Next::InstallDebian
            );
        }
    }

    #[test]
    fn without_rustup_and_without_apt_a_person_must_act() {
        assert_eq!(decide(&Facts::default()), Next::GiveUp);
    }
}
