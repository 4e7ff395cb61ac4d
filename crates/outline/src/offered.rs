//! Whether what may be offered for something that is not understood would be understood itself.

use crate::ground::Ground;
use crate::read::Reader;
use crate::trouble::LineFinding;
use cueleaf_guide::{Guide, Part, Severity};

/// The longest lines that are read again for a trial, in bytes.
///
/// # Source
/// Our decision: many times what anyone writes, and far below what would keep a page waiting.
const MAX_TRIAL: usize = 4_000;

/// The lines of an outline, into which offers are put for a trial.
pub(crate) struct Offered<'a> {
    text: &'a str,
    ground: &'a Ground,
    /// The lines and the parts without their marks, once they are needed.
    made: Option<(Vec<&'a str>, Vec<Part>)>,
    parts: &'a [Part],
    measures: usize,
}

impl<'a> Offered<'a> {
    pub(crate) fn new(text: &'a str, guide: &'a Guide, ground: &'a Ground) -> Self {
        Self {
            text,
            ground,
            made: None,
            parts: &guide.parts,
            measures: guide.road_map.measures.len(),
        }
    }

    /// Reads a line anew with an offer in the place of what was not understood, and tells
    /// whether nothing is told of that place any more.
    ///
    /// A note offers a line that is still to come, which is no matter of this one.
    pub(crate) fn is_understood(&mut self, found: &LineFinding, offer: &str) -> bool {
        if found.severity == Severity::Note {
            return true;
        }
        let text = self.text;
        let parts = self.parts;
        let (lines, parts) = self.made.get_or_insert_with(|| {
            let lines = text.trim_start_matches('\u{feff}').lines();
            let bare = |part: &Part| Part {
                id: part.id.clone(),
                name: part.name.clone(),
                marks: Vec::new(),
                extra: Default::default(),
            };
            (lines.collect(), parts.iter().map(bare).collect())
        });
        let Some(line) = found.line.checked_sub(1).and_then(|at| lines.get(at)) else {
            return false;
        };
        let (start, end) = (found.columns.start - 1, found.columns.end - 1);
        let left: String = line.chars().take(start).collect();
        let right: String = line.chars().skip(end).collect();
        let mut trial = format!("{left}{offer}{right}");
        let mut at = 1;
        // An indented line goes on with the block above it.
        if line.starts_with(char::is_whitespace) {
            let above = lines.iter().take(found.line - 1).rev();
            let mut above = above.filter(|own| !own.is_empty());
            let goes_on =
                |own: &&&str| own.starts_with(|sign: char| sign.is_whitespace() || sign == '(');
            if let Some(first) = above.find(|own| !goes_on(own)) {
                trial = format!("{first}\n{trial}");
                at = 2;
            }
        }
        if trial.len() > MAX_TRIAL {
            return false;
        }
        let columns = found.columns.start..found.columns.start + offer.chars().count();
        let reader = Reader::beside(parts, self.measures);
        let told = reader.tell_of(&trial, self.ground);
        !told.iter().any(|own| {
            own.line == at && own.columns.start < columns.end && columns.start < own.columns.end
        })
    }
}
