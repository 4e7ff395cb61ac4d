//! The engine and the readers, natively, in wasm and beside reference libraries.
#![allow(
    clippy::indexing_slicing,
    reason = "what a JSON value does not hold is null, not a panic"
)]

use super::Programs;
use super::report::{Goal, Report};
use crate::run::{answer, program, root};
use anyhow::{Context, Result, ensure};
use serde_json::Value;
use std::path::PathBuf;
use std::process::Command;

/// Sizes in measures; each is ten times the one before.
const SIZES: [u32; 3] = [1_000, 10_000, 100_000];

/// The exponent with which the cost may grow: linear, with room for what the caches miss.
const LINEAR: f64 = 1.25;

/// Below music21/corpus, and one of our own.
const SCORES: [&str; 2] = [
    "schumann_clara/opus17/movement3.xml",
    "schubert/Lindenbaum.xml",
];
const OWN_SCORE: &str = "examples/mail-boat.musicxml";

pub(super) fn plan(programs: &Programs, report: &mut Report) -> Result<()> {
    report.title("a guide made playable: 500 tempo changes, repeats");
    let mut first: Option<Value> = None;
    for size in SIZES {
        let size = size.to_string();
        let native = told(Command::new(&programs.native).args(["plan", &size]))?;
        let wasm = told(module(programs).args(["plan", &size]))?;
        for field in ["played", "seconds", "outside", "counts"] {
            ensure!(
                native[field] == wasm[field],
                "native and wasm differ in {field}"
            );
        }
        ensure!(native["outside"] == 0, "a look-up missed its measure");
        for (field, what, unit, scale) in [
            ("build", "making it playable", "ms", 1e3),
            ("look_up", "a look-up", "µs", 1e6),
            ("count", "all counts", "ms", 1e3),
        ] {
            let one = number(&native, field)?;
            let name = format!("{size} measures: {what}");
            report.number(&name, one * scale, unit, Goal::None);
            let ratio = number(&wasm, field)? / one;
            report.number(&format!("{name}, wasm / native"), ratio, "×", Goal::None);
            if let Some(first) = first.as_ref().filter(|_| size == "100000") {
                let times = f64::from(SIZES[2]) / f64::from(SIZES[0]);
                let growth = (one / number(first, field)?).log10() / times.log10();
                // A look-up is logarithmic; what grows beside it is what the caches miss.
                let goal = Goal::AtMost(if field == "look_up" { 0.5 } else { LINEAR });
                let name = format!("1000 to {name}, exponent of growth");
                report.number(&name, growth, "", goal);
            }
        }
        first = first.or(Some(native));
    }
    for (size, libraries) in [
        ("1000", &["pretty_midi", "music21"][..]),
        ("10000", &["pretty_midi"]),
    ] {
        let native = told(Command::new(&programs.native).args(["plan", size]))?;
        let guide = root().join(format!("target/bench-{size}.json"));
        let saved = answer(Command::new(&programs.native).args(["guide", size]));
        std::fs::write(&guide, saved.context("no guide was printed")?)?;
        let theirs = told(references(programs).arg("plan").arg(&guide))?;
        for library in libraries {
            let theirs = &theirs[*library];
            let ratio = number(theirs, "build")? / number(&native, "build")?;
            let name = format!("{size} measures: the same map, {library} / ours");
            report.number(&name, ratio, "×", Goal::AtLeast(1.0));
            if let Ok(look_up) = number(theirs, "look_up") {
                let ratio = look_up / number(&native, "look_up")?;
                let name = format!("{size} measures: a look-up, {library} / ours");
                report.number(&name, ratio, "×", Goal::AtLeast(1.0));
            }
        }
    }
    Ok(())
}

pub(super) fn read(programs: &Programs, report: &mut Report) -> Result<()> {
    report.title("MusicXML to a road map, one part drafted, and to its watch list");
    let corpus = answer(program(&programs.python).args([
        "-c",
        "import music21, pathlib; print(pathlib.Path(music21.__file__).parent / 'corpus')",
    ]))
    .context("music21 is not there")?;
    let paths: Vec<PathBuf> = SCORES
        .iter()
        .map(|name| PathBuf::from(&corpus).join(name))
        .chain([root().join(OWN_SCORE)])
        .collect();
    let theirs = told(references(programs).arg("read").args(&paths))?;
    for path in &paths {
        let native = told(Command::new(&programs.native).arg("read").arg(path))?;
        let wasm = told(module(programs).arg("read").arg(path))?;
        ensure!(
            native["measures"] == wasm["measures"] && native["measures"] != 0,
            "native and wasm differ, or nothing was read"
        );
        ensure!(
            native["watched"] == wasm["watched"] && native["watched"] != 0,
            "native and wasm differ in the watch list, or nothing was found"
        );
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let own = number(&native, "read")?;
        let row = &theirs[path.to_string_lossy().as_ref()];
        for (library, goal) in [("partitura", Goal::AtLeast(30.0)), ("music21", Goal::None)] {
            let ratio = number(row, library)? / own;
            report.number(&format!("{name}: {library} / ours"), ratio, "×", goal);
        }
        let scan = own / number(&native, "scan")?;
        report.number(
            &format!("{name}: ours / bare scan"),
            scan,
            "×",
            Goal::AtMost(3.0),
        );
        let ratio = number(&wasm, "read")? / own;
        report.number(
            &format!("{name}: wasm / native"),
            ratio,
            "×",
            Goal::AtMost(2.0),
        );
        watch_list(&name, &native, row, report)?;
    }
    Ok(())
}

/// Tells what reading costs with the watch list, which the others do not make: they
/// only read.
fn watch_list(name: &str, native: &Value, theirs: &Value, report: &mut Report) -> Result<()> {
    let own = number(native, "watch")?;
    let name = format!("{name}: with the watch list");
    for library in ["partitura", "music21"] {
        let ratio = number(theirs, library)? / own;
        let name = format!("{name}, {library} reading / ours");
        report.number(&name, ratio, "×", Goal::None);
    }
    let read = own / number(native, "read")?;
    report.number(&format!("{name} / reading alone"), read, "×", Goal::None);
    let scan = own / number(native, "scan")?;
    report.number(&format!("{name}, ours / bare scan"), scan, "×", Goal::None);
    Ok(())
}

fn module(programs: &Programs) -> Command {
    let mut command = program("node");
    command.arg("tests/bench/module.mjs").arg(&programs.glue);
    command
}

fn references(programs: &Programs) -> Command {
    let mut command = program(&programs.python);
    command.arg("tests/bench/references.py");
    command
}

/// Runs a program that prints one line of JSON.
pub(super) fn told(command: &mut Command) -> Result<Value> {
    let text = answer(command).context("a program of the bench failed")?;
    serde_json::from_str(&text).context("a program of the bench printed no JSON")
}

/// Takes a number out of what was told.
pub(super) fn number(value: &Value, field: &str) -> Result<f64> {
    value[field]
        .as_f64()
        .with_context(|| format!("no {field} was told"))
}
