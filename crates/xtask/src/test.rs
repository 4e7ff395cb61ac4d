//! `cargo xtask test`: all that CI checks, one step after the other.

use crate::run::{cargo, must, program, watched};
use crate::tally::Tally;
use crate::toolchain::{Panics, Toolchain};
use crate::{build, same, setup, tidy, toolchain, weigh};
use anyhow::{Result, ensure};
use clap::ValueEnum;
use std::process::Command;

/// A step, in the order in which they run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Step {
    /// The form of the Rust sources.
    Fmt,
    /// Clippy for this machine.
    Clippy,
    /// Clippy, or the compiler's own warnings, for WebAssembly.
    ClippyWasm,
    /// The documentation's links and examples' form.
    Docs,
    /// Unit tests, property tests and the documentation's examples.
    Unit,
    /// The rules of the house.
    Tidy,
    /// The pages and the command.
    Build,
    /// What an exported guide weighs.
    Weigh,
    /// Every export of random guides, natively and in wasm.
    Same,
    /// What we read from scores against other readers.
    Crosscheck,
    /// The pages in three browsers.
    Browser,
}

/// Runs the steps, all of them where none is named, and prints the sum. Returns whether all
/// passed.
pub(crate) fn test(only: &[Step]) -> bool {
    let chosen = Step::value_variants()
        .iter()
        .copied()
        .filter(|step| only.is_empty() || only.contains(step));
    let mut sum = Tally::default();
    let mut summary = Vec::new();
    let mut pages_are_there = true;
    for step in chosen {
        let name = name(step);
        println!("\n== {name}");
        let start = now();
        let tally = if pages_are_there || !needs_pages(step) {
            run(step).unwrap_or_else(|error| {
                eprintln!("xtask: {error:#}");
                Tally::of(0, 1)
            })
        } else {
            println!("not run, because the build failed");
            Tally::of(0, 1)
        };
        pages_are_there &= step != Step::Build || tally.all_passed();
        let line = format!(
            "{name:<11} {:>6.1} s  {tally}",
            start.elapsed().as_secs_f64()
        );
        println!("-- {line}");
        summary.push(line);
        sum = sum.and(tally);
    }
    println!("\n== summary");
    for line in summary {
        println!("{line}");
    }
    println!("\n{sum}");
    sum.all_passed()
}

#[allow(
    clippy::disallowed_types,
    reason = "the clock only tells developers how long a step took"
)]
fn now() -> std::time::Instant {
    std::time::Instant::now()
}

fn name(step: Step) -> String {
    step.to_possible_value()
        .map_or_else(String::new, |value| value.get_name().to_owned())
}

fn needs_pages(step: Step) -> bool {
    matches!(step, Step::Weigh | Step::Crosscheck | Step::Browser)
}

fn run(step: Step) -> Result<Tally> {
    match step {
        Step::Fmt => must(cargo().args(["fmt", "--all", "--check"]))?,
        Step::Clippy => must(
            cargo()
                .args([
                    "clippy",
                    "--workspace",
                    "--all-targets",
                    "--locked",
                    "--quiet",
                ])
                .args(["--", "-D", "warnings"]),
        )?,
        Step::ClippyWasm => must(&mut warnings_for_wasm(&toolchain::find()?))?,
        Step::Docs => must(
            cargo()
                .args(["doc", "--workspace", "--no-deps", "--locked", "--quiet"])
                .env("RUSTDOCFLAGS", "-D warnings"),
        )?,
        Step::Unit => {
            return runner(cargo().args(["test", "--workspace", "--no-fail-fast", "--locked"]));
        }
        Step::Tidy => {
            let findings = tidy::tidy()?;
            ensure!(findings == 0, "{findings} rules are broken");
        }
        Step::Build => build::build(None)?,
        Step::Weigh => weigh::weigh(weigh::Table::Compare)?,
        Step::Same => {
            setup::node()?;
            return same::same();
        }
        Step::Crosscheck => {
            let python = setup::python("tests/crosscheck/requirements.txt")?;
            return runner(program(python).arg("tests/crosscheck/run.py"));
        }
        Step::Browser => {
            setup::node()?;
            setup::browsers()?;
            return runner(program("node").arg("tests/browser/run.mjs"));
        }
    }
    Ok(Tally::of(1, 0))
}

fn runner(command: &mut Command) -> Result<Tally> {
    let (printed, ended_well) = watched(command)?;
    Ok(Tally::of_runner(&printed, ended_well))
}

/// Prepares the check of the wasm crates of the pages. Debian brings no clippy for its compiler, so there
/// the compiler's own warnings must do; the native step runs clippy over the same sources.
fn warnings_for_wasm(toolchain: &Toolchain) -> Command {
    let packages = [
        "--package",
        "cueleaf-player",
        "--package",
        "cueleaf-opener",
        "--package",
        "cueleaf-builder",
        "--lib",
    ];
    let with_packages = |subcommand| [&[subcommand, "--quiet", "--locked"][..], &packages].concat();
    match toolchain {
        Toolchain::Plain { .. } => {
            let mut command = toolchain.cargo(&with_packages("clippy"), Panics::Speak);
            command.args(["--", "-D", "warnings"]);
            command
        }
        Toolchain::Debian { .. } => {
            let mut command = toolchain.cargo(&with_packages("check"), Panics::Speak);
            command.args(["-Z", "warnings", "--config", "build.warnings='deny'"]);
            command
        }
    }
}
