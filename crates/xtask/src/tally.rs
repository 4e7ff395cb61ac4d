//! How many tests passed and failed, read from what the runners print.

/// A number of tests.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    passed: u64,
    failed: u64,
}

impl Tally {
    /// Counts tests.
    pub(crate) fn of(passed: u64, failed: u64) -> Self {
        Self { passed, failed }
    }

    /// Tells whether nothing failed.
    pub(crate) fn all_passed(self) -> bool {
        self.failed == 0
    }

    /// Adds two numbers of tests.
    pub(crate) fn and(self, other: Self) -> Self {
        Self::of(self.passed + other.passed, self.failed + other.failed)
    }

    /// Sums up what a runner printed. A runner that ended badly, or that counted nothing, is
    /// itself a failed test, so that silence never looks like success.
    pub(crate) fn of_runner(printed: &str, ended_well: bool) -> Self {
        let lines: Vec<Self> = printed.lines().filter_map(of_line).collect();
        let sum = lines
            .iter()
            .fold(Self::default(), |sum, line| sum.and(*line));
        let unexplained = sum.all_passed() && (!ended_well || lines.is_empty());
        if unexplained {
            sum.and(Self::of(0, 1))
        } else {
            sum
        }
    }
}

impl std::fmt::Display for Tally {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{} passed, {} failed", self.passed, self.failed)
    }
}

/// Reads `N passed, N failed` alone on a line, or cargo's
/// `test result: ok. N passed; N failed; …`.
fn of_line(line: &str) -> Option<Tally> {
    let (numbers, separator) = match line.strip_prefix("test result: ") {
        Some(rest) => (rest.split_once(". ")?.1, "; "),
        None => (line, ", "),
    };
    let mut items = numbers.split(separator);
    let passed = items.next()?.strip_suffix(" passed")?.parse().ok()?;
    let failed = items.next()?.strip_suffix(" failed")?.parse().ok()?;
    (separator == "; " || items.next().is_none()).then(|| Tally::of(passed, failed))
}

#[cfg(test)]
mod tests {
    use super::Tally;

    #[test]
    fn the_lines_of_cargo_test_are_summed_up() {
        let printed = "test a ... ok\n\
            test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.1s\n\
            test result: FAILED. 3 passed; 2 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0s\n";
        assert_eq!(Tally::of_runner(printed, false), Tally::of(15, 2));
    }

    #[test]
    fn a_closing_line_counts() {
        assert_eq!(
            Tally::of_runner("x: 3 passed, 1 failed\n7 passed, 0 failed\n", true),
            Tally::of(7, 0)
        );
    }

    #[test]
    fn a_runner_that_ends_badly_or_counts_nothing_has_failed() {
        assert_eq!(
            Tally::of_runner("7 passed, 0 failed\n", false),
            Tally::of(7, 1)
        );
        assert_eq!(
            Tally::of_runner("error: could not compile\n", false),
            Tally::of(0, 1)
        );
        assert_eq!(Tally::of_runner("", true), Tally::of(0, 1));
    }

    #[test]
    fn the_last_line_of_all_has_this_form() {
        assert_eq!(Tally::of(7, 1).to_string(), "7 passed, 1 failed");
    }
}
