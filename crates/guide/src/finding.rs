//! Findings: what is wrong, where, and what to do.

use core::fmt;

/// A value together with what was found while making it.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked<T> {
    /// The value, as good as it could be made.
    pub value: T,
    /// What was found, in order of place.
    pub findings: Vec<Finding>,
}

impl<T> Checked<T> {
    /// Makes a value about which nothing was found.
    #[must_use]
    pub const fn clean(value: T) -> Self {
        Self {
            value,
            findings: Vec::new(),
        }
    }
}

/// Where findings gather.
pub trait Tell {
    /// Adds a finding.
    ///
    /// The player shows none and is built with `--cfg cueleaf_lean`: there what
    /// would be said is not even put into words, so that the words take no room
    /// in the file that goes to a phone.
    fn tell(&mut self, finding: impl FnOnce() -> Finding);
}

impl Tell for Vec<Finding> {
    fn tell(&mut self, finding: impl FnOnce() -> Finding) {
        if cfg!(not(cueleaf_lean)) {
            self.push(finding());
        }
    }
}

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing; nothing is wrong.
    Note,
    /// Probably not what was meant; something was assumed.
    Warning,
    /// Prevents the result.
    Error,
}

/// Where a finding points; whatever is absent is not meant.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FindingPlace {
    /// The index of a measure, from 0.
    pub measure: Option<usize>,
    /// The printed label of that measure.
    pub label: Option<String>,
    /// How far into the measure, in quarter notes, as text.
    pub at: Option<String>,
    /// The id of a tip, to-do or part.
    pub id: Option<String>,
    /// A line of a file, from 1.
    pub line: Option<usize>,
    /// The field meant.
    pub field: Option<&'static str>,
}

/// Something found: what, where, how bad, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// How much it matters.
    pub severity: Severity,
    /// A stable word that programs may match, such as "groups-do-not-fill".
    pub code: &'static str,
    /// Where.
    pub place: FindingPlace,
    /// What is the matter, in one sentence.
    pub message: String,
    /// What to do, in one sentence; empty when there is nothing to do.
    pub hint: String,
}

impl Finding {
    /// Makes a finding without a place.
    #[must_use]
    pub fn new(severity: Severity, code: &'static str, message: impl Into<String>) -> Self {
        Self {
            severity,
            code,
            place: FindingPlace::default(),
            message: message.into(),
            hint: String::new(),
        }
    }

    /// Adds what to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// Points at a measure by index and printed label.
    #[must_use]
    pub fn at_measure(mut self, index: usize, label: &str) -> Self {
        self.place.measure = Some(index);
        self.place.label = Some(label.to_owned());
        self
    }

    /// Points at a tip, to-do or part.
    #[must_use]
    pub fn about(mut self, id: &str) -> Self {
        self.place.id = Some(id.to_owned());
        self
    }

    /// Points at a field.
    #[must_use]
    pub const fn field(mut self, field: &'static str) -> Self {
        self.place.field = Some(field);
        self
    }

    /// Points at a line of a file, from 1.
    #[must_use]
    pub const fn at_line(mut self, line: usize) -> Self {
        self.place.line = Some(line);
        self
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        })
    }
}

impl fmt::Display for Finding {
    /// Writes one line: `warning: measure 12: message (hint) [code]`. A measure without a number
    /// is named as plain notes name it: `measure #7` is the seventh.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: ", self.severity)?;
        if let Some(line) = self.place.line {
            write!(f, "line {line}: ")?;
        }
        match (&self.place.label, self.place.measure) {
            (Some(label), _) if !label.is_empty() => write!(f, "measure {label}: ")?,
            (_, Some(index)) => write!(f, "measure #{}: ", index.saturating_add(1))?,
            _ => {}
        }
        if let Some(id) = &self.place.id {
            write!(f, "{id}: ")?;
        }
        f.write_str(&self.message)?;
        if !self.hint.is_empty() {
            write!(f, " ({})", self.hint)?;
        }
        write!(f, " [{}]", self.code)
    }
}
