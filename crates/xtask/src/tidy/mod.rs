//! `cargo xtask tidy`: the rules of the house that no compiler knows.
//!
//! Each rule is a function from text, or from `cargo metadata`, to findings; only this file
//! reads anything.

mod edges;
mod lines;
mod manifest;
mod reach;
mod source;

use crate::run::{answer, cargo, program, root, say};
use anyhow::{Context, Result};
use source::Source;
use std::fs;

/// A broken rule.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Finding {
    /// The file's path from the repository's root.
    path: String,
    /// The line, from 1; `None` where the whole file is meant.
    line: Option<usize>,
    message: String,
}

impl Finding {
    fn in_file(path: &str, message: impl Into<String>) -> Self {
        Self {
            path: path.to_owned(),
            line: None,
            message: message.into(),
        }
    }

    fn at_line(path: &str, index: usize, message: impl Into<String>) -> Self {
        Self {
            path: path.to_owned(),
            line: Some(index + 1),
            message: message.into(),
        }
    }
}

impl std::fmt::Display for Finding {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.line {
            Some(line) => write!(out, "{}:{line}: {}", self.path, self.message),
            None => write!(out, "{}: {}", self.path, self.message),
        }
    }
}

/// Checks the whole repository and prints what breaks a rule. Returns how many findings there
/// are; files that are merely long are mentioned and not counted.
///
/// # Errors
/// When git or cargo cannot be asked, or a file cannot be read.
pub(crate) fn tidy() -> Result<usize> {
    let metadata = answer(cargo().args(["metadata", "--format-version=1", "--no-deps"]))
        .context("cargo metadata failed")?;
    let metadata = serde_json::from_str(&metadata)?;
    let mut findings = edges::check(&metadata);
    findings.extend(manifest::licences(&metadata));
    let sources = sources()?;
    for source in &sources {
        findings.extend(lines::check(source));
        findings.extend(reach::check(source));
        findings.extend(manifest::check(source));
    }
    for finding in &findings {
        println!("{finding}");
    }
    for long in sources.iter().filter_map(lines::length) {
        println!("warning: {long}");
    }
    say(&format!(
        "tidy: {} files, {} findings",
        sources.len(),
        findings.len()
    ));
    Ok(findings.len())
}

/// Reads every text that is committed or would be.
fn sources() -> Result<Vec<Source>> {
    let names =
        answer(program("git").args(["ls-files", "--cached", "--others", "--exclude-standard"]))
            .context("git ls-files failed")?;
    let mut sources = Vec::new();
    for path in names.lines() {
        let file = root().join(path);
        // A file deleted but not yet committed as such is still listed.
        if source::is_text(path) && file.is_file() {
            let text = fs::read_to_string(&file).with_context(|| format!("cannot read {path}"))?;
            sources.push(Source::new(path, &text));
        }
    }
    Ok(sources)
}
