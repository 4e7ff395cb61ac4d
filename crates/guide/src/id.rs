//! Names of things that survive every export.

use core::fmt;
use serde::{Deserialize, Serialize};

/// The name of a guide, part, tip or to-do: 1 to 64 letters, digits, "-" or "_".
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String")]
pub struct Id(String);

impl Id {
    /// Makes an id from text; `None` when it has other characters or another length.
    #[must_use]
    pub fn new(text: &str) -> Option<Self> {
        let fits = (1..=64).contains(&text.len())
            && text
                .bytes()
                .all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_');
        fits.then(|| Self(text.to_owned()))
    }

    /// Makes an id from 64 random bits that the caller brings.
    #[must_use]
    pub fn from_random(bits: u64) -> Self {
        Self(format!("{bits:016x}"))
    }

    /// Gives the text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for Id {
    type Error = &'static str;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        Self::new(&text).ok_or("expected an id of 1 to 64 letters, digits, - or _")
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
