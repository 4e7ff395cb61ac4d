//! `cargo xtask weigh`: what of an exported guide weighs what, and that it is not too much.

use crate::run::{answer, program, root};
use crate::setup::files_in;
use anyhow::{Context, Result, bail, ensure};
use std::fmt::Write as _;
use std::path::Path;

/// The most that an exported example may weigh, in bytes.
const BUDGET: usize = 110_000;

/// Between these lines DEVELOPERS.md shows the table.
const BEGIN: &str = "<!-- weights: written by `cargo xtask weigh --update` -->";
const END: &str = "<!-- weights: end -->";

/// The parts of a page: what they are called, and how each one's element begins.
const PARTS: [(&str, &str, &str); 4] = [
    (
        "module, script and style, packed",
        "<script type=\"application/octet-stream\" id=\"cueleaf-packed\"",
        "</script>",
    ),
    ("the script that unpacks them", "<script>", "</script>"),
    ("the style of the text", "<style>", "</style>"),
    (
        "the guide and the words as data, packed",
        "<script type=\"application/octet-stream\" id=\"cueleaf-guide\"",
        "</script>",
    ),
];

/// What to do about the table in DEVELOPERS.md.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Table {
    /// Compare it with what was weighed.
    Compare,
    /// Write it anew.
    Update,
}

/// Weighs the exported examples and prints the table. Needs the built command.
///
/// # Errors
/// When a page is above the budget, the table of DEVELOPERS.md is out of date, or
/// something cannot be exported, read or written.
pub(crate) fn weigh(table: Table) -> Result<()> {
    let mut rows = Vec::new();
    for path in files_in("examples", "json")? {
        rows.push(row(&path)?);
    }
    ensure!(!rows.is_empty(), "no example guide was found");
    let text = written(&rows);
    println!("{text}");
    for (name, weights) in &rows {
        let whole: usize = weights.iter().sum();
        ensure!(
            whole <= BUDGET,
            "{name} weighs {whole} bytes, more than {BUDGET}"
        );
    }
    let path = root().join("DEVELOPERS.md");
    let page = std::fs::read_to_string(&path).context("cannot read DEVELOPERS.md")?;
    let (before, rest) = page
        .split_once(BEGIN)
        .context("DEVELOPERS.md has no weights")?;
    let (there, after) = rest.split_once(END).context("the weights do not end")?;
    if there.trim() == text.trim() {
        return Ok(());
    }
    if table == Table::Compare {
        bail!("the weights in DEVELOPERS.md are out of date: run `cargo xtask weigh --update`");
    }
    let page = format!("{before}{BEGIN}\n{}\n{END}{after}", text.trim());
    std::fs::write(&path, page).context("cannot write DEVELOPERS.md")
}

/// Exports one guide; gives its name and the bytes of each part, the rest last.
fn row(guide: &Path) -> Result<(String, Vec<usize>)> {
    let name = guide.file_stem().unwrap_or_default().to_string_lossy();
    let page = root().join("target/weighed.html");
    let mut export = program(root().join("target/release/cueleaf"));
    answer(export.arg("export").arg(guide).arg("-o").arg(&page))
        .with_context(|| format!("cannot export {name}"))?;
    let html = std::fs::read_to_string(&page)?;
    let mut weights = Vec::new();
    for (part, begin, end) in PARTS {
        let from = html
            .find(begin)
            .with_context(|| format!("no {part} in {name}"))?;
        let rest = html.get(from..).unwrap_or_default();
        let to = rest
            .find(end)
            .with_context(|| format!("{part} does not end in {name}"))?;
        weights.push(to + end.len());
    }
    weights.push(html.len() - weights.iter().sum::<usize>());
    Ok((name.into_owned(), weights))
}

/// Writes the table in kilobytes of 1,000 bytes, so that it changes only with what matters.
fn written(rows: &[(String, Vec<usize>)]) -> String {
    let mut text = String::from("| kB |");
    for (name, _) in rows {
        let _ = write!(text, " {name} |");
    }
    text.push_str("\n|-|");
    text.push_str(&"-:|".repeat(rows.len()));
    let names = PARTS
        .iter()
        .map(|(name, _, _)| *name)
        .chain(["the guide as text"]);
    for (index, name) in names.enumerate() {
        let _ = write!(text, "\n| {name} |");
        for (_, weights) in rows {
            let _ = write!(
                text,
                " {} |",
                kilobytes(weights.get(index).copied().unwrap_or(0))
            );
        }
    }
    text.push_str("\n| **in all** |");
    for (_, weights) in rows {
        let _ = write!(text, " {} |", kilobytes(weights.iter().sum()));
    }
    text
}

const fn kilobytes(bytes: usize) -> usize {
    (bytes + 500) / 1_000
}

#[cfg(test)]
mod tests {
    use super::written;

    #[test]
    fn the_table_has_a_row_for_each_part_and_the_sum() {
        let rows = [(
            "viola".to_owned(),
            vec![80_400, 14_000, 8_000, 12_600, 20_000],
        )];
        let text = written(&rows);
        assert!(
            text.contains("| module, script and style, packed | 80 |"),
            "{text}"
        );
        assert!(text.ends_with("| **in all** | 135 |"), "{text}");
    }
}
