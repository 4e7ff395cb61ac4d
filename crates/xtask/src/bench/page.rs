//! The pages in a browser.
#![allow(
    clippy::indexing_slicing,
    reason = "what a JSON value does not hold is null, not a panic"
)]

use super::core::{number, told};
use super::report::{Goal, Report};
use crate::run::program;
use anyhow::Result;
use serde_json::Value;

/// The sizes of the guides that are edited, in measures.
const EDITED: [u32; 3] = [100, 1_000, 5_000];

pub(super) fn page(report: &mut Report) -> Result<()> {
    report.title("the pages in Chromium");
    let told = told(program("node").arg("tests/bench/page.mjs"))?;
    guide(&told, report)?;
    for size in EDITED {
        edits(&told["edit"][size.to_string()], size, report)?;
    }
    growth(&told["edit"], report)?;
    report.number(
        "builder: opening a large score, megabytes",
        number(&told, "opened_megabytes")?,
        "MB",
        Goal::None,
    );
    report.number(
        "builder: opening it, in all",
        number(&told, "opened")?,
        "ms",
        Goal::None,
    );
    report.number(
        "builder: longest task while opening it",
        number(&told, "stood_still")?,
        "ms",
        Goal::AtMost(50.0),
    );
    report.number(
        "builder: longest task while its guide is made and drawn",
        number(&told, "made")?,
        "ms",
        Goal::AtMost(50.0),
    );
    Ok(())
}

fn guide(told: &Value, report: &mut Report) -> Result<()> {
    let slow = "with the processor slowed six times";
    let mut tell = |what: &str, field: &str, unit: &str, goal: Goal| -> Result<()> {
        report.number(what, number(told, field)?, unit, goal);
        Ok(())
    };
    tell(
        &format!("guide: opening to usable, {slow}"),
        "usable",
        "ms",
        Goal::None,
    )?;
    tell(
        &format!("guide: longest task while playing, {slow}"),
        "longest_task",
        "ms",
        Goal::AtMost(16.0),
    )?;
    tell(
        &format!("guide: costliest frame, median of its rounds, {slow}"),
        "costliest",
        "ms",
        Goal::AtMost(16.0),
    )?;
    tell("guide: frames compared", "frames", "", Goal::None)?;
    tell(
        &format!("guide: frames above 16 ms, {slow}"),
        "above",
        "%",
        Goal::None,
    )?;
    tell(
        "guide: longest task, as this machine is",
        "longest_plain",
        "ms",
        Goal::None,
    )?;
    tell(
        "guide: how much longer other work takes, so slowed",
        "slowing",
        "×",
        Goal::None,
    )
}

/// What is timed of an edit, and the goal in milliseconds at [`AIMED`] measures. When it is held
/// depends on the work alone; when it is seen also on when the next frame is due, up to 17 ms later.
const OF_AN_EDIT: [(&str, &str, f64); 13] = [
    ("cells_held", "a key until a measure holds the edit", 16.0),
    ("cells", "a key until that is seen", 16.0),
    (
        "cells_beside_held",
        "a key until a measure holds it, beside the preview",
        16.0,
    ),
    (
        "cells_beside",
        "a key until that is seen, beside the preview",
        16.0,
    ),
    ("preview_held", "a key until the preview holds it", 16.0),
    ("preview", "a key until that is seen in the preview", 16.0),
    ("task", "longest task of both until then", 16.0),
    ("task_resting", "longest task of both once that rests", 50.0),
    (
        "tip_held",
        "a letter in a tip until the page holds it",
        16.0,
    ),
    ("tip", "a letter in a tip until that is seen", 16.0),
    (
        "notes_held",
        "a letter in the notes until the page holds it",
        16.0,
    ),
    ("notes", "a letter in the notes until that is seen", 16.0),
    (
        "notes_follow",
        "longest task when typing in the notes rests",
        100.0,
    ),
];

/// The size at which the goals hold.
const AIMED: u32 = 1_000;

fn edits(told: &Value, size: u32, report: &mut Report) -> Result<()> {
    for (field, what, goal) in OF_AN_EDIT {
        let goal = if size == AIMED {
            Goal::AtMost(goal)
        } else {
            Goal::None
        };
        let name = format!("builder: {what}, {size} measures");
        report.number(&name, number(told, field)?, "ms", goal);
        let field = format!("{field}_worst");
        if told[&field].is_number() {
            let name = format!("builder: {what}, {size} measures, the worst");
            report.number(&name, number(told, &field)?, "ms", Goal::None);
        }
    }
    Ok(())
}

fn growth(told: &Value, report: &mut Report) -> Result<()> {
    for (field, what, _) in OF_AN_EDIT {
        let of = |size: u32| number(&told[size.to_string()], field);
        let growth = of(5_000)? / of(AIMED)?;
        let name = format!("builder: {what}, 5000 / 1000 measures");
        report.number(&name, growth, "×", Goal::AtMost(5.0));
    }
    Ok(())
}
