//! The pages in a browser.
#![allow(
    clippy::indexing_slicing,
    reason = "what a JSON value does not hold is null, not a panic"
)]

use super::core::{number, told};
use super::report::{Goal, Report};
use crate::run::program;
use anyhow::Result;

/// The sizes of the guides that are edited, in measures.
const EDITED: [u32; 3] = [100, 1_000, 5_000];

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
    for (field, what, goal) in [
        ("cells", "a key pressed to a measure redrawn", 16.0),
        ("cells_beside", "the same with the preview beside it", 16.0),
        ("preview", "a key pressed to the preview redrawn", 16.0),
        ("task", "longest task of both until then", 16.0),
        ("task_resting", "longest task of both once that rests", 50.0),
        ("tip", "a letter typed into a tip", 16.0),
        ("notes", "a letter typed into the notes", 16.0),
        (
            "notes_follow",
            "longest task when typing in the notes rests",
            100.0,
        ),
    ] {
        let of = |size: u32| number(&told["edit"][size.to_string()], field);
        for size in EDITED {
            let goal = if size == 1_000 {
                Goal::AtMost(goal)
            } else {
                Goal::None
            };
            let name = format!("builder: {what}, {size} measures");
            report.number(&name, of(size)?, "ms", goal);
        }
        let growth = of(5_000)? / of(1_000)?;
        let name = format!("builder: {what}, 5000 / 1000 measures");
        report.number(&name, growth, "×", Goal::AtMost(5.0));
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
