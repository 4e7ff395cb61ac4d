//! The pages in a browser.
#![allow(
    clippy::indexing_slicing,
    reason = "what a JSON value does not hold is null, not a panic"
)]

use super::core::{number, told};
use super::report::{Goal, Report};
use crate::run::program;
use anyhow::Result;

pub(super) fn page(report: &mut Report) -> Result<()> {
    report.title("the pages in Chromium");
    let told = told(program("node").arg("tests/bench/page.mjs"))?;
    let slow = "with the processor slowed six times";
    report.number(
        &format!("guide: opening to usable, {slow}"),
        number(&told, "usable")?,
        "ms",
        Goal::None,
    );
    report.number(
        &format!("guide: longest task while playing, {slow}"),
        number(&told, "longest_task")?,
        "ms",
        Goal::AtMost(16.0),
    );
    for (size, goal) in [
        (100, Goal::None),
        (1_000, Goal::AtMost(16.0)),
        (5_000, Goal::None),
    ] {
        report.number(
            &format!("builder: a key pressed to a measure redrawn, {size} measures"),
            number(&told["edit"], &size.to_string())?,
            "ms",
            goal,
        );
    }
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
        "builder: longest time it stood still while opening",
        number(&told, "stood_still")?,
        "ms",
        Goal::AtMost(100.0),
    );
    Ok(())
}
