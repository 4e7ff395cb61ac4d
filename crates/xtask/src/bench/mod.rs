//! `cargo xtask bench`: how fast it is, as ratios within one run.
//!
//! Nothing here is a test: a goal that is not met is said, and only `--strict` makes it a failure.

mod core;
mod page;
mod report;

use crate::run::{cargo, must, root};
use crate::wasm::bound_for_node;
use crate::{build, setup, toolchain};
use anyhow::Result;
use clap::ValueEnum;
use report::Report;
use std::path::PathBuf;

/// What can be timed alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Subject {
    /// A guide made playable, look-ups and counts; natively, in wasm and beside two libraries.
    Plan,
    /// A score read and drafted, beside two libraries and a bare scan of its XML.
    Read,
    /// The guide and the builder in a browser.
    Page,
}

/// The programs that the subjects share.
struct Programs {
    native: PathBuf,
    glue: PathBuf,
    python: PathBuf,
}

/// Runs the subjects, all of them where none is named, and prints the tables. Returns whether
/// every goal was met.
///
/// # Errors
/// When a tool is missing or a program fails.
pub(crate) fn bench(only: &[Subject]) -> Result<bool> {
    let chosen = Subject::value_variants()
        .iter()
        .filter(|subject| only.is_empty() || only.contains(subject));
    let mut report = Report::default();
    setup::node()?;
    for subject in chosen {
        match subject {
            Subject::Plan => core::plan(&programs()?, &mut report)?,
            Subject::Read => core::read(&programs()?, &mut report)?,
            Subject::Page => {
                build::build(None)?;
                native()?;
                setup::browsers()?;
                page::page(&mut report)?;
            }
        }
    }
    report.end(&root().join("target/bench.json"))
}

/// Builds what is timed natively, which also makes the guides and scores of the other subjects.
fn native() -> Result<PathBuf> {
    must(cargo().args([
        "build",
        "--quiet",
        "--release",
        "--locked",
        "--package",
        "cueleaf-bench",
    ]))?;
    Ok(root().join("target/release/cueleaf-bench"))
}

fn programs() -> Result<Programs> {
    Ok(Programs {
        native: native()?,
        glue: bound_for_node("bench", &toolchain::find()?)?,
        python: setup::python("tests/crosscheck/requirements.txt")?,
    })
}
