//! `dist/sw.js`: the service worker, which keeps the pages of this very build.

use crate::run::root;
use anyhow::{Context, Result, ensure};
use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// The worker's name in dist/.
pub(crate) const NAME: &str = "sw.js";

/// Where www/sw.js takes the list of files and the name of the build.
const FILES: &str = "[\"FILES\"]";
const BUILD: &str = "BUILD`";

/// What needs no keeping: the builder as one file is for disks, not for visits.
const LEFT_OUT: &str = "cueleaf.html";

/// Writes the worker for the files that stand in a folder; those in folders inside it are left
/// out. The same files give the same worker, so nothing is loaded again where nothing changed.
///
/// # Errors
/// When a file cannot be read, or www/sw.js lacks a place.
pub(crate) fn worker(folder: &Path) -> Result<String> {
    let template = fs::read_to_string(root().join("www/sw.js")).context("cannot read www/sw.js")?;
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.file_type()?.is_file() && name != LEFT_OUT && name != NAME {
            files.push((name, fs::read(entry.path())?));
        }
    }
    files.sort();
    filled(&template, &files)
}

fn filled(template: &str, files: &[(String, Vec<u8>)]) -> Result<String> {
    let mut hash = Sha256::new();
    for (name, bytes) in files {
        hash.update(name);
        hash.update(Sha256::digest(bytes));
    }
    let mut build = String::new();
    for byte in hash.finalize().iter().take(8) {
        write!(build, "{byte:02x}")?;
    }
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    for place in [FILES, BUILD] {
        let times = template.matches(place).count();
        ensure!(times == 1, "www/sw.js has `{place}` {times} times");
    }
    Ok(template
        .replace(FILES, &serde_json::to_string(&names)?)
        .replace(BUILD, &format!("{build}`")))
}

#[cfg(test)]
mod tests {
    use super::filled;

    const TEMPLATE: &str = "const FILES = [\"FILES\"]; const BUILD = `x BUILD`;";

    #[test]
    fn a_build_is_named_after_its_files() {
        let file = |name: &str, text: &str| (name.to_owned(), text.as_bytes().to_vec());
        let one = filled(TEMPLATE, &[file("a.html", "1"), file("b.js", "2")]).unwrap();
        assert!(one.contains("[\"a.html\",\"b.js\"]"));
        let again = filled(TEMPLATE, &[file("a.html", "1"), file("b.js", "2")]).unwrap();
        assert_eq!(one, again);
        let other = filled(TEMPLATE, &[file("a.html", "1"), file("b.js", "3")]).unwrap();
        assert_ne!(one, other);
        assert!(filled("nothing", &[]).is_err());
    }
}
