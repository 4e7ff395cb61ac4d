//! What could not be understood: where, why, and what would be understood.

use crate::text::Piece;
use core::fmt;
use core::ops::Range;
use cueleaf_guide::{Finding, Severity};

/// The most findings that are told about one outline; of more, only the number is told.
pub const MAX_FINDINGS: usize = 200;

/// Something found in an outline: where, what, and what would be understood there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineFinding {
    /// How much it matters.
    pub severity: Severity,
    /// A stable word that programs may match, such as "unknown-measure".
    pub code: &'static str,
    /// The line, from 1.
    pub line: usize,
    /// The columns in characters from 1, the end outside.
    pub columns: Range<usize>,
    /// What is the matter, in one sentence.
    pub reason: String,
    /// The nearest thing that would be understood in the place of the columns.
    pub suggestion: Option<String>,
}

impl fmt::Display for LineFinding {
    /// Writes `line 3, columns 5 to 9: reason (understood would be: pizz)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (line, first) = (self.line, self.columns.start);
        let last = self.columns.end.saturating_sub(1).max(first);
        write!(f, "line {line}, columns {first} to {last}: {}", self.reason)?;
        match &self.suggestion {
            Some(suggestion) => write!(f, " (understood would be: {suggestion})"),
            None => Ok(()),
        }
    }
}

impl From<&LineFinding> for Finding {
    fn from(found: &LineFinding) -> Self {
        let first = found.columns.start;
        let message = format!("column {first}: {}", found.reason);
        let finding = Self::new(found.severity, found.code, message).at_line(found.line);
        match &found.suggestion {
            Some(suggestion) => finding.hint(format!("understood would be: {suggestion}")),
            None => finding,
        }
    }
}

/// Something that is not understood, before its line is known.
#[derive(Debug, Clone)]
pub(crate) struct Trouble(Box<Told>);

#[derive(Debug, Clone)]
struct Told {
    code: &'static str,
    columns: Range<usize>,
    reason: String,
    /// The line, where it is not the first of its block.
    line: Option<usize>,
    offers: Offers,
}

/// What may be offered in the place of something, the best first.
#[derive(Debug, Clone, Default)]
struct Offers {
    ready: Vec<String>,
    /// A text, and the phrases of which the nearest to it are offered.
    near: Option<(String, Vec<String>)>,
    otherwise: Vec<String>,
}

/// How many of the nearest phrases are tried.
const MAX_NEAR: usize = 4;

impl Offers {
    fn in_order(self) -> impl Iterator<Item = String> {
        let near = self.near.into_iter();
        let near = near.flat_map(|(text, known)| nearest_first(&text, &known));
        let ready = self.ready.into_iter();
        ready.chain(near.take(MAX_NEAR)).chain(self.otherwise)
    }
}

impl Trouble {
    pub(crate) fn at(piece: Piece<'_>, code: &'static str, reason: impl Into<String>) -> Self {
        Self(Box::new(Told {
            code,
            columns: piece.columns(),
            reason: reason.into(),
            line: None,
            offers: Offers::default(),
        }))
    }

    /// Says in which line it stands.
    pub(crate) fn on_line(mut self, line: usize) -> Self {
        self.0.line = Some(line);
        self
    }

    /// Says what would be understood.
    pub(crate) fn suggest(mut self, suggestion: impl Into<String>) -> Self {
        self.0.offers.ready.push(suggestion.into());
        self
    }

    /// Says what would be understood where nothing nearer is.
    pub(crate) fn otherwise(mut self, suggestion: impl Into<String>) -> Self {
        self.0.offers.otherwise.push(suggestion.into());
        self
    }

    /// Says the nearest of the phrases that are known in this place.
    pub(crate) fn nearest<T: AsRef<str>>(mut self, piece: Piece<'_>, known: &[T]) -> Self {
        let known = known.iter().map(|phrase| phrase.as_ref().to_owned());
        self.0.offers.near = Some((piece.text.to_owned(), known.collect()));
        self
    }
}

/// The findings of an outline, no more than are worth reading.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    told: Vec<(LineFinding, Offers)>,
    untold: usize,
    last_line: usize,
}

impl Findings {
    pub(crate) fn tell(&mut self, severity: Severity, line: usize, trouble: Trouble) {
        if self.told.len() >= MAX_FINDINGS {
            self.untold += 1;
            self.last_line = line;
            return;
        }
        let trouble = *trouble.0;
        let found = LineFinding {
            severity,
            code: trouble.code,
            line: trouble.line.unwrap_or(line),
            columns: trouble.columns,
            reason: trouble.reason,
            suggestion: None,
        };
        self.told.push((found, trouble.offers));
    }

    /// Gives them in the order of their places, each with the first of what may be offered that
    /// would be understood.
    pub(crate) fn in_order(
        mut self,
        mut understood: impl FnMut(&LineFinding, &str) -> bool,
    ) -> Vec<LineFinding> {
        self.told
            .sort_by_key(|(found, _)| (found.line, found.columns.start));
        let told = self.told.into_iter().map(|(mut found, offers)| {
            let mut offers = offers.in_order();
            found.suggestion = offers.find(|offer| understood(&found, offer));
            found
        });
        let mut told: Vec<LineFinding> = told.collect();
        if self.untold > 0 {
            told.push(LineFinding {
                severity: Severity::Note,
                code: "more-findings",
                line: self.last_line,
                columns: 1..2,
                reason: format!("{} more findings are not listed", self.untold),
                suggestion: None,
            });
        }
        told
    }
}

/// The longest text for which a nearest phrase is looked for, in characters.
const MAX_MISSPELLED: usize = 60;

/// Finds the nearest of some phrases; `None` when none is near.
pub(crate) fn nearest(text: &str, known: &[String]) -> Option<String> {
    nearest_first(text, known).into_iter().next()
}

/// Finds those of some phrases that are near, the nearest first, compared with as many of the
/// first words of a text as the phrase has; the rest of the text stays.
///
/// Near is what differs in no more than a third of its letters, our decision.
fn nearest_first(text: &str, known: &[String]) -> Vec<String> {
    if text.chars().count() > MAX_MISSPELLED {
        return Vec::new();
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    let candidates = known.iter().filter_map(|phrase| {
        let taken = phrase.split_whitespace().count().min(words.len());
        let (head, rest) = words.split_at_checked(taken)?;
        let head = head.join(" ").to_lowercase();
        let length = phrase.chars().count().max(head.chars().count());
        let changes = distance(&head, &phrase.to_lowercase());
        let near = changes * 3 <= length;
        near.then(|| (changes * 60 / length.max(1), rest.len(), phrase, rest))
    });
    let mut candidates: Vec<_> = candidates.collect();
    candidates.sort_by_key(|(changes, left, ..)| (*changes, *left));
    let candidates = candidates.into_iter().map(|(_, _, phrase, rest)| {
        let own = core::iter::once(phrase.as_str());
        let words: Vec<&str> = own.chain(rest.iter().copied()).collect();
        words.join(" ")
    });
    candidates.collect()
}

/// Counts the letters that must be put in, taken out, changed, or swapped with their
/// neighbour to make one text of another.
///
/// # Source
/// The optimal string alignment distance, after Damerau (1964), from memory.
fn distance(from: &str, to: &str) -> usize {
    let to: Vec<char> = to.chars().collect();
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=to.len()).collect();
    let mut left = None;
    for (row, own) in from.chars().enumerate() {
        let mut current = vec![row + 1];
        for (column, other) in to.iter().enumerate() {
            let get = |cells: &[usize], at: usize| cells.get(at).copied().unwrap_or(usize::MAX - 9);
            let changed = get(&last, column) + usize::from(own != *other);
            let mut least = changed
                .min(get(&last, column + 1) + 1)
                .min(get(&current, column) + 1);
            let above = column.checked_sub(1).and_then(|at| Some((at, to.get(at)?)));
            if let Some((at, above)) = above
                && left == Some(*other)
                && own == *above
            {
                least = least.min(get(&before, at) + 1);
            }
            current.push(least);
        }
        left = Some(own);
        before = core::mem::replace(&mut last, current);
    }
    last.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances() {
        for (from, to, changes) in [
            ("", "", 0),
            ("pizz", "pizz", 0),
            ("pizzz", "pizz", 1),
            ("psizz", "pizz", 1),
            ("pzizz", "pizz", 1),
            ("ipzz", "pizz", 1),
            ("", "arco", 4),
            ("cut", "coda", 3),
        ] {
            assert_eq!(distance(from, to), changes, "{from} {to}");
            assert_eq!(distance(to, from), changes, "{to} {from}");
        }
    }

    #[test]
    fn the_nearest_phrase_keeps_the_rest() {
        let known = ["section", "pizz", "repeat starts"].map(str::to_owned);
        let near = |text: &str| nearest(text, &known);
        assert_eq!(
            near("secton Storm at sea").as_deref(),
            Some("section Storm at sea")
        );
        assert_eq!(near("Repaet starts").as_deref(), Some("repeat starts"));
        assert_eq!(near("watch the leader"), None);
        assert_eq!(near(""), None);
    }
}
