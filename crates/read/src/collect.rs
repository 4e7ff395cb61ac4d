//! Findings gathered while reading, up to a limit.

use crate::limits::MAX_FINDINGS;
use cueleaf_guide::{Finding, Severity};

/// Findings in the order in which they were made.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    kept: Vec<Finding>,
    more: usize,
}

impl Findings {
    pub(crate) fn push(&mut self, finding: Finding) {
        if self.kept.len() < MAX_FINDINGS {
            self.kept.push(finding);
        } else {
            self.more += 1;
        }
    }

    pub(crate) fn warn(&mut self, code: &'static str, message: impl Into<String>) {
        self.push(Finding::new(Severity::Warning, code, message));
    }

    /// Gives the findings in order of place, those without a place first.
    pub(crate) fn in_order(self) -> Vec<Finding> {
        let mut findings = self.kept;
        findings.sort_by_key(|finding| finding.place.measure);
        if self.more > 0 {
            findings.push(Finding::new(
                Severity::Warning,
                "more-findings",
                format!("there are {} more findings like these", self.more),
            ));
        }
        findings
    }
}
