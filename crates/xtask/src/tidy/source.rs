//! A committed text, and which of its lines are tests.

/// The endings of the texts that people write here.
const ENDINGS: [&str; 12] = [
    "rs",
    "toml",
    "js",
    "mjs",
    "css",
    "html",
    "svg",
    "py",
    "md",
    "json",
    "sh",
    "webmanifest",
];

/// Texts that keep the form they were given: cases for the readers.
const AS_GIVEN: [&str; 1] = ["tests/cases/"];

/// A text file of the repository.
pub(super) struct Source {
    path: String,
    text: String,
}

impl Source {
    /// Takes a file's path from the repository's root, and its text.
    pub(super) fn new(path: &str, text: &str) -> Self {
        Self {
            path: path.to_owned(),
            text: text.to_owned(),
        }
    }

    pub(super) fn path(&self) -> &str {
        &self.path
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Tells whether the file's name ends in `.ending`.
    pub(super) fn ends_in(&self, ending: &str) -> bool {
        self.path
            .rsplit_once('.')
            .is_some_and(|(_, found)| found == ending)
    }

    /// Returns the name of the folder in crates/ that the file is in.
    pub(super) fn crate_folder(&self) -> Option<&str> {
        self.path.strip_prefix("crates/")?.split('/').next()
    }

    /// Returns the lines that are no tests. A Rust file's tests begin at `#[cfg(test)]` at the
    /// margin and run to its end; whole files of tests have no other lines.
    pub(super) fn lines_outside_tests(&self) -> impl Iterator<Item = &str> {
        let all_tests = ["tests/", "benches/"].iter().any(|folder| {
            self.path.starts_with(folder) || self.path.contains(&format!("/{folder}"))
        }) || self.path.ends_with("/tests.rs");
        let lines = if all_tests { "" } else { self.text.as_str() };
        lines.lines().take_while(|line| *line != "#[cfg(test)]")
    }
}

/// Tells whether the rules for texts apply to a path.
pub(super) fn is_text(path: &str) -> bool {
    let known = path
        .rsplit_once('.')
        .is_some_and(|(_, ending)| ENDINGS.contains(&ending));
    known && !AS_GIVEN.iter().any(|folder| path.starts_with(folder))
}

#[cfg(test)]
mod tests {
    use super::{Source, is_text};

    #[test]
    fn tests_are_told_apart() {
        let count = |path: &str, text: &str| Source::new(path, text).lines_outside_tests().count();
        assert_eq!(
            count(
                "crates/a/src/lib.rs",
                "a\nb\n#[cfg(test)]\nmod tests {\n}\n"
            ),
            2
        );
        assert_eq!(count("crates/a/tests/whole.rs", "a\nb\n"), 0);
        assert_eq!(count("crates/a/src/tests.rs", "a\n"), 0);
        assert_eq!(count("tests/browser/run.mjs", "a\n"), 0);
    }

    #[test]
    fn given_cases_and_binaries_are_left_alone() {
        assert!(is_text("crates/a/src/lib.rs"));
        assert!(!is_text("tests/cases/musicxml/truth.json"));
        assert!(!is_text("examples/a.mid"));
        assert!(!is_text("Cargo.lock"));
    }
}
