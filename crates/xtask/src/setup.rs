//! Node, Python, their packages and the browsers, made ready before a step that needs them.

use crate::packages::apt_install;
use crate::run::{answer, in_path, must_silently, program, root, say};
use anyhow::{Context, Result, bail};
use serde_json::Value;
use std::fs;
use std::path::PathBuf;
use std::process::Command;

/// The oldest Node.js on which the browser tests run: they ask for `import.meta.dirname`.
///
/// # Source
/// Node.js documentation, "ECMAScript modules": added in 21.2.0 and 20.11.0; from memory.
const OLDEST_NODE: (u32, u32) = (20, 11);

/// Prepares a program that an npm package brings.
///
/// # Errors
/// When the package is not among the installed ones.
pub(crate) fn npm_program(name: &str) -> Result<Command> {
    let path: PathBuf = root().join("node_modules/.bin").join(name);
    if !path.exists() {
        bail!("package.json brings no program `{name}`");
    }
    Ok(program(path))
}

/// Lists the files of a folder of the repository that have an extension, in order of name.
///
/// # Errors
/// When the folder cannot be read.
pub(crate) fn files_in(folder: &str, extension: &str) -> Result<Vec<PathBuf>> {
    let entries = fs::read_dir(root().join(folder)).with_context(|| format!("no {folder}/"))?;
    let mut files = Vec::new();
    for entry in entries {
        let path = entry?.path();
        if path.extension().is_some_and(|own| own == extension) {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Makes Node and the packages of package-lock.json ready.
///
/// # Errors
/// When Node is missing and cannot be installed, or npm fails.
pub(crate) fn node() -> Result<()> {
    if !in_path("node") || !in_path("npm") {
        apt_install(&["nodejs", "npm"]).context("Node.js is missing")?;
    }
    let version = answer(program("node").arg("--version")).unwrap_or_default();
    if numbers(&version).is_none_or(|own| own < OLDEST_NODE) {
        let (major, minor) = OLDEST_NODE;
        bail!("Node.js {version} is too old: please install {major}.{minor} or newer");
    }
    if npm_packages_match() {
        return Ok(());
    }
    say("installing the npm packages");
    must_silently(program("npm").args(["ci", "--no-audit", "--no-fund", "--loglevel=error"]))
}

/// Reads the first two numbers of a version such as `v20.20.2`.
fn numbers(version: &str) -> Option<(u32, u32)> {
    let mut numbers = version.strip_prefix('v')?.split('.');
    let mut next = || numbers.next()?.parse().ok();
    Some((next()?, next()?))
}

/// Programs that the browser tests run, and the Debian packages that bring them.
const BROWSERS: [(&str, &str); 6] = [
    ("chromium", "chromium"),
    ("firefox-esr", "firefox-esr"),
    ("WebKitWebDriver", "webkit2gtk-driver"),
    ("Xvfb", "xvfb"),
    ("pulseaudio", "pulseaudio"),
    ("parec", "pulseaudio-utils"),
];

/// Makes the three browsers ready, with a screen and a sound device that exist only in memory.
///
/// # Errors
/// When one is missing and cannot be installed.
pub(crate) fn browsers() -> Result<()> {
    let missing: Vec<&str> = BROWSERS
        .iter()
        .filter(|(program, _)| !in_path(program))
        .map(|(_, package)| *package)
        .collect();
    if missing.is_empty() {
        Ok(())
    } else {
        apt_install(&missing)
    }
}

/// Makes a virtual environment in target/venv with the packages of a requirements file, and
/// returns its Python. It is made anew when the file changes.
///
/// # Errors
/// When the file is missing, Python cannot be had, or pip fails.
pub(crate) fn python(requirements: &str) -> Result<PathBuf> {
    let wanted = fs::read_to_string(root().join(requirements))
        .with_context(|| format!("cannot read {requirements}"))?;
    let folder = root().join("target/venv");
    let python = folder.join("bin/python");
    let note = folder.join("requirements.txt");
    if python.exists() && fs::read_to_string(&note).is_ok_and(|made_for| made_for == wanted) {
        return Ok(python);
    }
    say("making the Python environment of the cross-check");
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    if !in_path("python3") || answer(program("python3").args(["-c", "import ensurepip"])).is_none()
    {
        apt_install(&["python3", "python3-venv"]).context("Python's venv is missing")?;
    }
    must_silently(program("python3").args(["-m", "venv"]).arg(&folder))?;
    must_silently(
        program(&python)
            .args([
                "-m",
                "pip",
                "install",
                "--quiet",
                "--disable-pip-version-check",
                "-r",
            ])
            .arg(requirements),
    )?;
    // Written last: an environment that was not finished is made again.
    fs::write(note, wanted)?;
    Ok(python)
}

/// Tells whether node_modules holds what package-lock.json asks for. Their times are no sign:
/// a checkout writes the lock file anew, and npm writes both at once.
fn npm_packages_match() -> bool {
    let read = |path: &str| -> Option<Value> {
        serde_json::from_str(&fs::read_to_string(root().join(path)).ok()?).ok()
    };
    match (
        read("package-lock.json"),
        read("node_modules/.package-lock.json"),
    ) {
        (Some(asked), Some(there)) => lock_holds(&asked, &there),
        _ => false,
    }
}

/// Tells whether the lock file of node_modules (`there`) fulfils the committed one (`asked`).
/// Packages for other machines are optional and may be absent.
fn lock_holds(asked: &Value, there: &Value) -> bool {
    let packages = |lock: &Value| lock.get("packages").and_then(Value::as_object).cloned();
    let (Some(asked), Some(there)) = (packages(asked), packages(there)) else {
        return false;
    };
    let nothing_missing = asked
        .iter()
        .filter(|(path, _)| !path.is_empty())
        .all(|(path, entry)| {
            let optional = entry
                .get("optional")
                .and_then(Value::as_bool)
                .unwrap_or_default();
            match there.get(path) {
                Some(found) => found.get("version") == entry.get("version"),
                None => optional,
            }
        });
    nothing_missing && there.keys().all(|path| asked.contains_key(path))
}

#[cfg(test)]
mod tests {
    use super::{lock_holds, numbers};
    use serde_json::json;

    #[test]
    fn the_first_two_numbers_are_read_from_a_version() {
        assert_eq!(numbers("v20.20.2"), Some((20, 20)));
        assert_eq!(numbers("v8.0.0"), Some((8, 0)));
        assert_eq!(numbers(""), None);
    }

    #[test]
    fn installed_packages_are_compared_with_the_lock_file() {
        let asked = json!({"packages": {
            "": {"name": "x"},
            "node_modules/a": {"version": "1.0.0"},
            "node_modules/b": {"version": "2.0.0", "optional": true},
        }});
        let whole = json!({"packages": {"node_modules/a": {"version": "1.0.0"}}});
        assert!(lock_holds(&asked, &whole));
        let older = json!({"packages": {"node_modules/a": {"version": "0.9.0"}}});
        assert!(!lock_holds(&asked, &older));
        let missing = json!({"packages": {}});
        assert!(!lock_holds(&asked, &missing));
        let left_over = json!({"packages": {
            "node_modules/a": {"version": "1.0.0"},
            "node_modules/c": {"version": "1.0.0"},
        }});
        assert!(!lock_holds(&asked, &left_over));
    }
}
