//! Rules for single lines, and the length of files.

use super::Finding;
use super::source::Source;

/// The first folder of paths that exist on somebody's machine only.
const MACHINE_FOLDERS: [&str; 4] = ["root", "home", "Users", "work"];

/// A file with more lines is worth another look.
const LONG: usize = 500;

/// Checks each line of a text.
pub(super) fn check(source: &Source) -> Vec<Finding> {
    let path = source.path();
    let mut findings = Vec::new();
    if !source.text().is_empty() && !source.text().ends_with('\n') {
        findings.push(Finding::in_file(path, "the last line has no end"));
    }
    for (index, line) in source.text().split('\n').enumerate() {
        let mut find = |message: &str| findings.push(Finding::at_line(path, index, message));
        if line.ends_with('\r') {
            find("a carriage return");
        } else if line.ends_with([' ', '\t']) {
            find("white space at the end");
        }
        if line.contains('\t') {
            find("a tab");
        }
        if has_machine_path(line) {
            find("a path of somebody's machine");
        }
    }
    if source.ends_in("rs") || source.ends_in("html") {
        for (index, line) in source.lines_outside_tests().enumerate() {
            if has_style_attribute(line) {
                let message = "a style attribute, which the pages' policy blocks";
                findings.push(Finding::at_line(path, index, message));
            }
        }
    }
    findings
}

/// Mentions a file that has grown long.
pub(super) fn length(source: &Source) -> Option<Finding> {
    let written = ["rs", "js", "mjs", "css", "py"]
        .iter()
        .any(|ending| source.ends_in(ending));
    let lines = source.text().lines().count();
    (written && lines > LONG).then(|| {
        Finding::in_file(
            source.path(),
            format!("{lines} lines; is it about one thing?"),
        )
    })
}

fn has_machine_path(line: &str) -> bool {
    MACHINE_FOLDERS.iter().any(|folder| {
        line.match_indices(&format!("/{folder}/")).any(|(at, _)| {
            // Within a longer path or an address it is something else.
            let before = line.get(..at).and_then(|text| text.chars().next_back());
            before.is_none_or(|c| !c.is_alphanumeric() && !"._-}~*/".contains(c))
        })
    })
}

fn has_style_attribute(line: &str) -> bool {
    ["=\"", "=\\\"", "='"].iter().any(|assignment| {
        line.match_indices(&format!("style{assignment}"))
            .any(|(at, _)| {
                let before = line.get(..at).and_then(|text| text.chars().next_back());
                before.is_none_or(|c| c.is_whitespace() || "\"'`".contains(c))
            })
    })
}

#[cfg(test)]
mod tests {
    use super::{LONG, Source, check, length};

    fn found(path: &str, text: &str) -> Vec<String> {
        check(&Source::new(path, text))
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    #[test]
    fn white_space_is_checked() {
        assert_eq!(found("a.rs", "a\r\n"), ["a.rs:1: a carriage return"]);
        assert_eq!(found("a.rs", "a\nb \n"), ["a.rs:2: white space at the end"]);
        assert_eq!(found("a.css", "\ta\n"), ["a.css:1: a tab"]);
        assert_eq!(found("a.css", "a"), ["a.css: the last line has no end"]);
        assert!(found("a.rs", "a\n\n    b\n").is_empty());
    }

    #[test]
    fn machine_paths_are_found() {
        for folder in super::MACHINE_FOLDERS {
            let line = format!("let path = \"/{folder}/someone/x\";\n");
            assert_eq!(
                found("a.rs", &line),
                ["a.rs:1: a path of somebody's machine"]
            );
        }
        assert!(found("a.md", "see crates/home/x and www.example.org/home/page\n").is_empty());
    }

    #[test]
    fn style_attributes_are_found_outside_tests() {
        let attribute = concat!("<p sty", "le=\"color:red\">\n");
        assert_eq!(found("a.html", attribute).len(), 1);
        let macro_line = concat!("p sty", "le=\"color:red\" { \"x\" }\n");
        assert_eq!(found("crates/a/src/a.rs", macro_line).len(), 1);
        let escaped = concat!("\"<p sty", "le=\\\"color:red\\\">\"\n");
        assert_eq!(found("crates/a/src/a.rs", escaped).len(), 1);
        assert!(found("crates/a/src/a.rs", &format!("#[cfg(test)]\n{attribute}")).is_empty());
        assert!(found("a.mjs", attribute).is_empty());
    }

    #[test]
    fn long_files_are_mentioned() {
        let long = "a\n".repeat(LONG + 1);
        assert!(length(&Source::new("a.rs", &long)).is_some());
        assert!(length(&Source::new("a.rs", "a\n")).is_none());
        assert!(length(&Source::new("a.json", &long)).is_none());
    }
}
