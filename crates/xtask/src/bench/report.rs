//! What a bench found: lines of numbers and goals.

use anyhow::{Context, Result};
use serde_json::{Value, json};
use std::path::Path;

/// The findings of one run.
#[derive(Default)]
pub(crate) struct Report {
    lines: Vec<Value>,
    missed: usize,
}

/// Where a goal lies.
#[derive(Clone, Copy)]
pub(crate) enum Goal {
    /// None is set.
    None,
    /// At least so much.
    AtLeast(f64),
    /// At most so much.
    AtMost(f64),
}

impl Goal {
    fn met(self, value: f64) -> Option<bool> {
        match self {
            Self::None => None,
            Self::AtLeast(least) => Some(value >= least),
            Self::AtMost(most) => Some(value <= most),
        }
    }

    fn words(self, value: f64) -> String {
        let verdict = match self.met(value) {
            Some(true) => "met",
            Some(false) => "NOT met",
            None => return String::new(),
        };
        match self {
            Self::AtLeast(goal) => format!("goal: at least {goal}, {verdict}"),
            Self::AtMost(goal) => format!("goal: at most {goal}, {verdict}"),
            Self::None => String::new(),
        }
    }
}

impl Report {
    /// Begins a table.
    pub(crate) fn title(&mut self, text: &str) {
        println!("\n== {text}");
        self.lines.push(json!({ "title": text }));
    }

    /// Adds a number with its unit and goal.
    pub(crate) fn number(&mut self, what: &str, value: f64, unit: &str, goal: Goal) {
        println!(
            "{what:<80} {:>12} {unit:<8} {}",
            shown(value),
            goal.words(value)
        );
        let met = goal.met(value);
        self.missed += usize::from(met == Some(false));
        self.lines
            .push(json!({ "what": what, "value": value, "unit": unit, "met": met }));
    }

    /// Writes everything down and tells whether every goal was met.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub(crate) fn end(self, path: &Path) -> Result<bool> {
        let text = serde_json::to_string_pretty(&self.lines)?;
        std::fs::write(path, text).context("cannot write target/bench.json")?;
        println!("\n{} goals not met", self.missed);
        Ok(self.missed == 0)
    }
}

fn shown(value: f64) -> String {
    match value.abs() {
        size if size >= 100.0 => format!("{value:.0}"),
        size if size >= 1.0 => format!("{value:.2}"),
        _ => format!("{value:.4}"),
    }
}
