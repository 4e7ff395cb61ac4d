//! Why a file cannot be read at all.

use core::fmt;
use cueleaf_guide::TooLarge;

/// Why a file cannot be read. Whatever can be read in spite of a mistake is
/// read, and the mistake is a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadError {
    /// The file is not what it should be, or is damaged.
    Malformed {
        /// Where: "line 12", "the zip file"; empty when it concerns the whole file.
        place: String,
        /// What is wrong there, in one sentence without a full stop.
        reason: String,
        /// What to do, in one sentence without a full stop; may be empty.
        hint: &'static str,
    },
    /// The file is sound but of a kind that is not read.
    Unsupported {
        /// What is not supported.
        what: String,
        /// What to do instead.
        hint: &'static str,
    },
    /// Something in the file is above a named limit.
    TooLarge(TooLarge),
    /// A part was asked for that the file does not have.
    UnknownPart {
        /// The name asked for.
        wanted: String,
        /// The names there are, in the order of the score.
        names: Vec<String>,
    },
}

impl ReadError {
    pub(crate) fn malformed(
        place: impl Into<String>,
        reason: impl Into<String>,
        hint: &'static str,
    ) -> Self {
        Self::Malformed {
            place: place.into(),
            reason: reason.into(),
            hint,
        }
    }
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Malformed {
                place,
                reason,
                hint,
            } => {
                if !place.is_empty() {
                    write!(f, "{place}: ")?;
                }
                f.write_str(reason)?;
                if !hint.is_empty() {
                    write!(f, "; {hint}")?;
                }
                Ok(())
            }
            Self::Unsupported { what, hint } => write!(f, "{what}; {hint}"),
            Self::TooLarge(too_large) => {
                write!(f, "{too_large}; ")?;
                f.write_str("save the one part you need as a file of its own and open that")
            }
            Self::UnknownPart { wanted, names } => {
                write!(f, "there is no part \"{wanted}\"; the parts are ")?;
                for (index, name) in names.iter().enumerate() {
                    let comma = if index > 0 { ", " } else { "" };
                    write!(f, "{comma}\"{name}\"")?;
                }
                Ok(())
            }
        }
    }
}

impl core::error::Error for ReadError {}

impl From<TooLarge> for ReadError {
    fn from(too_large: TooLarge) -> Self {
        Self::TooLarge(too_large)
    }
}
