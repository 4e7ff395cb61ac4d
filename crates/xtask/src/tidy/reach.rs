//! Which crates may reach files, clocks, other programs and the network.

use super::Finding;
use super::source::Source;

/// The folders in crates/ whose code may reach out of the program.
const MAY_REACH: [&str; 3] = ["cli", "xtask", "bench"];

/// The one build script that reads files: it takes the built player in.
const MAY_READ: &str = "crates/bundle/build.rs";

/// What reaches out, as paths after `std::`; whatever is in them is out of reach with them.
const REACHING: [&str; 5] = ["fs", "net", "process", "time::Instant", "time::SystemTime"];

/// Checks that a source file of a core crate reaches for nothing outside the program.
pub(super) fn check(source: &Source) -> Vec<Finding> {
    let held = source
        .crate_folder()
        .is_some_and(|folder| !MAY_REACH.contains(&folder));
    if !held || !source.ends_in("rs") || source.path() == MAY_READ {
        return Vec::new();
    }
    let code: String = source
        .lines_outside_tests()
        .map(|line| line.split("//").next().unwrap_or_default())
        .fold(String::new(), |code, line| code + line + "\n");
    let mut findings = Vec::new();
    for (at, found) in code.match_indices("std::") {
        // `mystd::` is another crate.
        let before = code.get(..at).unwrap_or_default();
        if before.ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let index = before.matches('\n').count();
        let tree = code.get(at + found.len()..).unwrap_or_default();
        for path in paths(tree).iter().filter(|path| reaches(path)) {
            let message = format!("std::{path} is for cli, bench and xtask only");
            findings.push(Finding::at_line(source.path(), index, message));
        }
    }
    findings
}

fn reaches(path: &str) -> bool {
    // `use std::time;` and `use std::time::*;` would hide a clock behind a shorter name.
    ["time", "time::*", "*"].contains(&path)
        || REACHING.iter().any(|reaching| {
            path.strip_prefix(reaching)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with(':'))
        })
}

/// Writes out the paths of a use tree: `{fs, time::{self, Instant}}` stands for `fs`, `time` and
/// `time::Instant`. The text may go on after the tree.
fn paths(tree: &str) -> Vec<String> {
    let tree = tree.trim_start();
    if let Some(group) = tree.strip_prefix('{') {
        return members(group)
            .iter()
            .flat_map(|member| paths(member))
            .collect();
    }
    let end = tree
        .find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '*'))
        .unwrap_or(tree.len());
    let (name, rest) = tree.split_at(end);
    match rest.strip_prefix("::") {
        Some(rest) if !rest.starts_with('<') => paths(rest)
            .into_iter()
            .map(|path| {
                if path == "self" {
                    name.to_owned()
                } else {
                    format!("{name}::{path}")
                }
            })
            .collect(),
        _ => vec![name.to_owned()],
    }
}

/// Splits a group at its own commas, up to its closing brace.
fn members(group: &str) -> Vec<String> {
    let mut depth = 0_usize;
    let mut members = vec![String::new()];
    for letter in group.chars() {
        match letter {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                members.push(String::new());
                continue;
            }
            _ => {}
        }
        if let Some(last) = members.last_mut() {
            last.push(letter);
        }
    }
    members
}

#[cfg(test)]
mod tests {
    use super::{Source, check};

    fn found(path: &str, text: &str) -> Vec<String> {
        check(&Source::new(path, text))
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    #[test]
    fn files_programs_and_the_network_are_out_of_reach() {
        let path = "crates/plan/src/lib.rs";
        for module in ["fs", "net", "process"] {
            let whole = found(path, &format!("\nuse std::{module};\n"));
            assert_eq!(
                whole,
                [format!(
                    "{path}:2: std::{module} is for cli, bench and xtask only"
                )]
            );
            let group = format!("use std::{{fmt::{{self}},\n  {module}::X, io}};\n");
            assert_eq!(found(path, &group).len(), 1);
            assert_eq!(
                found(path, &format!("let x = std::{module}::go(y);\n")).len(),
                1
            );
        }
        let harmless =
            "use std::fmt; // not std::fs\nlet x = std::mem::take(a);\nuse my_std::fs;\n";
        assert!(found(path, harmless).is_empty());
    }

    #[test]
    fn clocks_are_out_of_reach_and_other_things_of_that_name_are_not() {
        let path = "crates/view/src/lib.rs";
        for line in [
            "use std::time::Instant;",
            "use std::time::{Duration, SystemTime};",
            "use std::{fmt, time::{Duration, Instant as Now}};",
            "use std::time::{self, Duration};",
            "use std::time;",
            "let x = std::time::Instant::now();",
        ] {
            assert_eq!(found(path, line).len(), 1, "{line}");
        }
        for line in [
            "use std::time::Duration;",
            "struct Instant;",
            "use crate::time::Instant;",
        ] {
            assert!(found(path, line).is_empty(), "{line}");
        }
    }

    #[test]
    fn some_places_may_reach_out() {
        let text = "use std::fs;\n";
        for path in [
            "crates/cli/src/main.rs",
            "crates/xtask/src/main.rs",
            "crates/bundle/build.rs",
            "crates/plan/tests/cases.rs",
        ] {
            assert!(found(path, text).is_empty(), "{path}");
        }
        assert!(found("crates/plan/src/lib.rs", &format!("#[cfg(test)]\n{text}")).is_empty());
        assert_eq!(found("crates/plan/build.rs", text).len(), 1);
    }
}
