//! The saved form: versioned JSON.
//!
//! ```json
//! {
//!   "cueleaf": "1.0",
//!   "id": "3f…", "title": "…", "composer": "…", "word": "…",
//!   "settings": {"language": "en", "measure_word": "measure", "count_style": "each-group", "count_in": 1},
//!   "parts": [{"id": "viola", "name": "Viola", "marks": [{"measure": 8, "at": "2", "kind": "pizz"}]}],
//!   "road_map": {"measures": [{"label": "1", "meter": "5/8", "groups": "2+3", "tempo": [{"tempo": "eighth = 180"}]}]},
//!   "tips": [{"id": "…", "spot": {"from": {"measure": 0}}, "topic": "count", "text": "…", "cue": "…"}],
//!   "todos": [{"id": "…", "text": "…"}]
//! }
//! ```
//!
//! Measures are named by index from 0; offsets and lengths are quarter notes as
//! fractions in text. A reader takes every minor version of its own major
//! version and writes fields it does not know back as they were; a newer major
//! version is refused. `guide.schema.json` beside this crate describes every field
//! as a JSON Schema.

use crate::document::Guide;
use crate::limits::{
    MAX_LABEL, MAX_MEASURES, MAX_PARTS, MAX_SAVED_BYTES, MAX_TEXT, MAX_TIPS, TooLarge,
};
use crate::media::MediaBytes;
use core::fmt;
use serde::{Deserialize, Serialize};

/// The version of the saved form that this program writes: "major.minor".
pub const VERSION: &str = "1.0";
const MAJOR: u32 = 1;

/// Why a saved guide cannot be opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OpenError {
    /// The text is no saved guide.
    Malformed {
        /// The line, from 1; 0 when unknown.
        line: usize,
        /// The column, from 1; 0 when unknown.
        column: usize,
        /// What was wrong there.
        reason: String,
    },
    /// The guide was made by a newer Cueleaf.
    Newer {
        /// Its version.
        found: String,
        /// The version known here.
        known: &'static str,
    },
    /// Something in it is above a limit.
    TooLarge(TooLarge),
}

impl fmt::Display for OpenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Malformed {
                line: 0, reason, ..
            } => write!(f, "this is no saved guide: {reason}"),
            Self::Malformed {
                line,
                column,
                reason,
            } => write!(
                f,
                "this is no saved guide, or it is damaged: line {line}, column {column}: {reason}"
            ),
            Self::Newer { found, known } => write!(
                f,
                "this guide was made by a newer Cueleaf (its form is {found}, this program knows {known}); it is left as it is"
            ),
            Self::TooLarge(too_large) => too_large.fmt(f),
        }
    }
}

impl core::error::Error for OpenError {}

impl From<TooLarge> for OpenError {
    fn from(too_large: TooLarge) -> Self {
        Self::TooLarge(too_large)
    }
}

#[derive(Deserialize)]
struct VersionOnly {
    cueleaf: String,
}

#[derive(Serialize)]
struct Versioned<'a> {
    cueleaf: &'static str,
    #[serde(flatten)]
    guide: &'a Guide,
}

/// Writes a guide in its saved form, one line, without a line end.
///
/// The same guide gives the same text.
#[must_use]
pub fn save(guide: &Guide) -> String {
    let versioned = Versioned {
        cueleaf: VERSION,
        guide,
    };
    // Writing plain data with text keys to memory cannot fail; the empty text
    // stands for what cannot happen and is no guide to any reader.
    serde_json::to_string(&versioned).unwrap_or_default()
}

/// Counts the bytes that something of a guide takes in the saved form.
#[must_use]
pub fn saved_bytes<T: Serialize>(value: &T) -> usize {
    // As above. A writer that only counts would be the whole saved form once more in the module.
    serde_json::to_string(value).map_or(0, |text| text.len())
}

/// Gives a guide in its saved form as a tree of values.
///
/// The same guide gives the same tree; numbers are those that [`save`] writes.
#[must_use]
pub fn save_value(guide: &Guide) -> serde_json::Value {
    let versioned = Versioned {
        cueleaf: VERSION,
        guide,
    };
    // As above: what cannot happen gives what is no guide to any reader.
    serde_json::to_value(&versioned).unwrap_or_default()
}

/// A photo or a voice note of a tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Medium {
    /// Its photo.
    Photo,
    /// Its voice note.
    Voice,
}

/// Writes a guide in its saved form as [`save`] does, without the bytes that stand elsewhere:
/// `elsewhere` tells so for the index of a tip. [`open_apart`] brings both together again.
#[must_use]
pub fn save_apart(guide: &Guide, elsewhere: impl Fn(usize, Medium) -> bool) -> String {
    let mut own = guide.clone();
    for (index, tip) in own.tips.iter_mut().enumerate() {
        if let Some(photo) = tip
            .photo
            .as_mut()
            .filter(|_| elsewhere(index, Medium::Photo))
        {
            photo.data = MediaBytes::default();
        }
        if let Some(voice) = tip
            .voice
            .as_mut()
            .filter(|_| elsewhere(index, Medium::Voice))
        {
            voice.data = MediaBytes::default();
        }
    }
    save(&own)
}

/// Reads what [`save_apart`] wrote: bytes that are missing are asked of `find`, by the index of
/// their tip. What it does not find stays missing, and [`crate::check`] tells.
///
/// # Errors
/// As [`open`].
pub fn open_apart<'a>(
    text: &str,
    find: impl Fn(usize, Medium) -> Option<&'a str>,
) -> Result<Guide, OpenError> {
    let mut guide = open(text)?;
    for (index, tip) in guide.tips.iter_mut().enumerate() {
        let bytes = |medium| find(index, medium).map(|text| MediaBytes::of_text(text.to_owned()));
        if let Some(photo) = tip.photo.as_mut().filter(|photo| photo.data.is_empty()) {
            photo.data = bytes(Medium::Photo).unwrap_or_default();
        }
        if let Some(voice) = tip.voice.as_mut().filter(|voice| voice.data.is_empty()) {
            voice.data = bytes(Medium::Voice).unwrap_or_default();
        }
    }
    Ok(guide)
}

/// Reads a saved guide.
///
/// # Errors
/// [`OpenError`] when the text is no guide, is damaged, was written by a newer
/// major version, or is above a named limit.
pub fn open(text: &str) -> Result<Guide, OpenError> {
    TooLarge::guard("bytes", MAX_SAVED_BYTES, text.len())?;
    let text = text.trim_start_matches('\u{feff}');
    let version: VersionOnly = serde_json::from_str(text).map_err(|e| malformed(&e))?;
    is_known(version)?;
    let guide: Guide = serde_json::from_str(text).map_err(|e| malformed(&e))?;
    checked(guide)
}

/// Reads a guide from the tree of values of its saved form.
///
/// # Errors
/// As [`open`]; what is malformed has no line here.
pub fn open_value(value: serde_json::Value) -> Result<Guide, OpenError> {
    let version = VersionOnly::deserialize(&value).map_err(|e| malformed(&e))?;
    is_known(version)?;
    let guide: Guide = serde_json::from_value(value).map_err(|e| malformed(&e))?;
    checked(guide)
}

/// Refuses what a newer major version wrote.
fn is_known(version: VersionOnly) -> Result<(), OpenError> {
    let major = version
        .cueleaf
        .split('.')
        .next()
        .and_then(|major| major.parse::<u32>().ok())
        .ok_or_else(|| OpenError::Malformed {
            line: 0,
            column: 0,
            reason: "its version is not a number such as 1.0".to_owned(),
        })?;
    if major > MAJOR {
        return Err(OpenError::Newer {
            found: version.cueleaf,
            known: VERSION,
        });
    }
    Ok(())
}

fn checked(mut guide: Guide) -> Result<Guide, OpenError> {
    guide.extra.remove("cueleaf");
    within_limits(&guide)?;
    Ok(guide)
}

fn malformed(error: &serde_json::Error) -> OpenError {
    let full = error.to_string();
    let reason = if error.is_eof() {
        "it ends too early, as a file that was not saved whole"
    } else {
        full.rsplit_once(" at line ")
            .map_or(full.as_str(), |(reason, _)| reason)
    };
    OpenError::Malformed {
        line: error.line(),
        column: error.column(),
        reason: reason.to_owned(),
    }
}

/// Refuses a guide of which there is more than [`open`] takes; the bytes in all, which only the
/// whole text tells, aside.
///
/// # Errors
/// What there is too much of.
pub fn within_limits(guide: &Guide) -> Result<(), TooLarge> {
    TooLarge::guard("measures", MAX_MEASURES, guide.road_map.measures.len())?;
    TooLarge::guard("parts", MAX_PARTS, guide.parts.len())?;
    TooLarge::guard("tips", MAX_TIPS, guide.tips.len())?;
    TooLarge::guard("to-dos", MAX_TIPS, guide.todos.len())?;
    let texts = [&guide.title, &guide.composer, &guide.word];
    let tips = guide.tips.iter().flat_map(|tip| [&tip.text, &tip.cue]);
    let todos = guide.todos.iter().map(|todo| &todo.text);
    let photos = guide.tips.iter().filter_map(|tip| tip.photo.as_ref());
    let voices = guide.tips.iter().filter_map(|tip| tip.voice.as_ref());
    let words = photos
        .map(|own| &own.alt)
        .chain(voices.map(|own| &own.words));
    for text in texts.into_iter().chain(tips).chain(todos).chain(words) {
        TooLarge::guard("characters in one text", MAX_TEXT, text.chars().count())?;
    }
    for measure in &guide.road_map.measures {
        // Labels are cut for show; only what no print has is refused.
        let letters = measure.label.chars().count();
        TooLarge::guard("letters in a measure's number", MAX_LABEL * 8, letters)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const FULL: &str = r#"{"cueleaf":"1.7","id":"g1","title":"T","settings":{"language":"de","measure_word":"bar","count_style":"through","count_in":2,"glow":3},"parts":[{"id":"va","name":"Viola","marks":[{"measure":0,"at":"3/2","kind":"pizz","loud":true}]}],"road_map":{"measures":[{"label":"0","length":"1","pickup":true,"meter":"3/4","key":-2,"tempo":[{"words":"Calm","tempo":"quarter = 60","sway":[1]}],"section":"A","repeat_from":true},{"label":"1","groups":"3","count":{"beat":"big","style":"through"},"tempo":[{"at":"1","words":"rit.","tempo":"quarter = 40","until":{"measure":1,"at":"2"},"shape":"runner"},{"at":"2","back":"to-before"}],"repeat_back":2,"ending":[1],"segno":"","jump":{"to_segno":"","until":"fine","with_repeats":true},"holds":[{"at":"2","longer":"1"}],"odd":"kept"}],"more":null},"tips":[{"id":"t","spot":{"from":{"measure":0},"to":{"measure":1,"at":"1"}},"topic":"left-hand","text":"x","cue":"y","parts":["va"],"ahead":3,"unknown":{"a":[1,2]}}],"todos":[{"id":"d","text":"z"}],"future":{"b":1}}"#;

    #[test]
    fn unknown_fields_come_back_as_they_were() {
        let guide = open(FULL).unwrap();
        let saved = save(&guide);
        let expected: serde_json::Value = serde_json::from_str(FULL).unwrap();
        let mut actual: serde_json::Value = serde_json::from_str(&saved).unwrap();
        assert_eq!(actual["cueleaf"], "1.0");
        actual["cueleaf"] = "1.7".into();
        assert_eq!(actual, expected);
        assert_eq!(open(&saved).unwrap(), guide);
        assert_eq!(save(&open(&saved).unwrap()), saved);
    }

    #[test]
    fn a_newer_version_is_refused_with_both_numbers() {
        let text = r#"{"cueleaf":"2.0","anything":[]}"#;
        assert_eq!(
            open(text).unwrap_err().to_string(),
            "this guide was made by a newer Cueleaf (its form is 2.0, this program knows 1.0); it is left as it is"
        );
    }

    #[test]
    fn damage_is_told_with_its_place() {
        for (text, expected) in [
            ("", "it ends too early, as a file that was not saved whole"),
            ("{}", "missing field `cueleaf`"),
            (r#"{"cueleaf":"x"}"#, "its version is not a number"),
            (
                r#"{"cueleaf":"1.0","id":"a","road_map":{"measures":[{"meter":"4/5"}]}}"#,
                "expected a meter such as",
            ),
            (r#"{"cueleaf":"1.0","id":"no spaces"}"#, "expected an id"),
            (
                r#"{"cueleaf":"1.0","id":"a","road_map":{"measures":[{"key":9}]}}"#,
                "expected a key from -7 to 7",
            ),
            (
                &FULL[..700],
                "it ends too early, as a file that was not saved whole",
            ),
        ] {
            let message = open(text).unwrap_err().to_string();
            assert!(message.contains(expected), "{message}");
        }
    }

    #[test]
    fn bytes_that_stand_elsewhere_come_back() {
        let voice = crate::Voice::of_samples(&[7; 800]).unwrap();
        let mut guide = open(FULL).unwrap();
        guide.tips[0].voice = Some(voice.clone());
        let whole = save(&guide);
        let apart = save_apart(&guide, |index, medium| {
            (index, medium) == (0, Medium::Voice)
        });
        assert!(!apart.contains(voice.data.text()) && apart.contains("\"milliseconds\":50"));
        let back = open_apart(&apart, |_, _| Some(voice.data.text())).unwrap();
        assert_eq!(save(&back), whole);
        let gone = open_apart(&apart, |_, _| None).unwrap();
        let told = gone.tips[0].voice.as_ref().unwrap().sound();
        assert_eq!(told, Err(crate::MediaProblem::Missing));
        assert_eq!(save_apart(&guide, |_, _| false), whole);
    }

    #[test]
    fn bytes_are_counted_as_they_are_written() {
        let guide = open(FULL).unwrap();
        let text = save(&guide);
        for tip in &guide.tips {
            let own = serde_json::to_string(tip).unwrap();
            assert!(text.contains(&own));
            assert_eq!(saved_bytes(tip), own.len());
        }
        assert_eq!(saved_bytes(&"é\""), 6);
    }

    #[test]
    fn limits_are_named() {
        let long = "x".repeat(MAX_TEXT + 1);
        let text = format!(r#"{{"cueleaf":"1.0","id":"a","title":"{long}"}}"#);
        assert_eq!(
            open(&text).unwrap_err().to_string(),
            "too large: 20001 characters in one text, and the limit is 20000"
        );
    }
}
