//! What the model has read before: a sample of the saved form and what teachers
//! say, in five languages.
//!
//! Decisions, all our own:
//! - The sample has every field, each in the company it usually has, so that the
//!   saved form itself weighs next to nothing.
//! - A language's text holds short cues first, then whole sentences about what the
//!   topics of a tip are about: bow, left hand, pizz., counting, listening, sound,
//!   getting ready. It is written for this purpose; no guide's tip is in it.
//! - Only one language is read for one guide, the one that makes its link shortest,
//!   named in the link: the model then has less to unlearn, a phone less to read.
//! - The same sentences stand in all five, so none is served worse by our choice.
//! - The texts are part of the form `a`: not a letter may change.

use crate::model::Model;
use crate::tokens::{write, write_text};

/// The sample of the saved form.
const SAMPLE: &str = include_str!("dictionary/sample.json");

/// A language whose dictionary the model can have read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tongue {
    English,
    German,
    Spanish,
    French,
    Italian,
}

impl Tongue {
    /// All of them, each at the place of its number in a link.
    pub(crate) const ALL: [Self; 5] = [
        Self::English,
        Self::German,
        Self::Spanish,
        Self::French,
        Self::Italian,
    ];

    /// Gives its number in a link.
    pub(crate) const fn number(self) -> u8 {
        match self {
            Self::English => 0,
            Self::German => 1,
            Self::Spanish => 2,
            Self::French => 3,
            Self::Italian => 4,
        }
    }

    /// Gives what teachers say in it, a text a line.
    pub(crate) const fn text(self) -> &'static str {
        match self {
            Self::English => include_str!("dictionary/en.txt"),
            Self::German => include_str!("dictionary/de.txt"),
            Self::Spanish => include_str!("dictionary/es.txt"),
            Self::French => include_str!("dictionary/fr.txt"),
            Self::Italian => include_str!("dictionary/it.txt"),
        }
    }

    /// Gives a model that has read the sample and the language.
    pub(crate) fn model(self) -> Model {
        let mut model = Model::new();
        for line in self.text().lines() {
            model.learn(&write_text(line));
        }
        // Last, since a guide begins as the sample does.
        let sample = serde_json::from_str(SAMPLE).unwrap_or_default();
        model.learn(&write(&sample));
        model
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sample_is_a_guide_of_the_form_written_today() {
        let guide = cueleaf_guide::open(SAMPLE).unwrap();
        let saved: serde_json::Value = serde_json::from_str(&cueleaf_guide::save(&guide)).unwrap();
        let sample: serde_json::Value = serde_json::from_str(SAMPLE).unwrap();
        assert!(saved == sample);
    }

    #[test]
    fn languages_stand_at_their_numbers() {
        for (place, tongue) in Tongue::ALL.iter().enumerate() {
            assert_eq!(usize::from(tongue.number()), place);
            assert!(
                tongue
                    .text()
                    .lines()
                    .all(|line| line == line.trim() && !line.is_empty())
            );
        }
    }
}
