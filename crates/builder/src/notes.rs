//! The guide as plain notes while they are typed: what stands there, what of it is
//! understood, and how it keeps up with the guide.
//!
//! - What is typed stands as it is until something else changes the guide.
//! - Asides and lines that are not understood are never dropped.
//! - A tip, a task or a part whose line is broken for a while gets its id back.

use cueleaf_guide::{Guide, Severity};
use cueleaf_outline::{Comments, LineFinding, Outlined, merge, parse, write, write_with};
use std::collections::BTreeSet;
use std::ops::Range;
use std::rc::Rc;

/// How the road map is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MapAs {
    /// As measures on their lines.
    #[default]
    Measures,
    /// As plain notes.
    Notes,
}

/// How many earlier texts are remembered for taking steps back.
///
/// # Source
/// Our decision: further back than anybody mends a line, and little memory.
const REMEMBERED: usize = 32;

/// The notes of one guide.
#[derive(Debug)]
pub struct Notes {
    text: String,
    /// Whether something was typed that the guide does not know yet.
    waits: bool,
    findings: Vec<LineFinding>,
    comments: Comments,
    /// The guide to which the text belongs.
    says: Rc<Guide>,
    /// The guide as it was when typing began.
    began: Rc<Guide>,
    /// Texts that were taken, the last one last, each with the guide it made.
    past: Vec<Past>,
    /// The line in which the run of typing is; `None` when it has ended.
    run: Option<usize>,
    /// How often something was typed.
    turns: u32,
}

#[derive(Debug)]
struct Past {
    says: Rc<Guide>,
    text: String,
    missed: usize,
}

/// What typing came to.
#[derive(Debug, PartialEq)]
pub struct Taken {
    /// The guide that the text makes.
    pub guide: Guide,
    /// The first line that differs from the text taken before, from 1.
    pub line: usize,
    /// Whether that line was the first to differ the time before as well.
    pub goes_on: bool,
}

impl Notes {
    /// Writes the notes of a guide.
    #[must_use]
    pub fn of(guide: &Rc<Guide>) -> Self {
        Self::standing(guide, write(guide))
    }

    /// Takes the notes of which a guide was made; where their text cannot stand, its asides.
    #[must_use]
    pub fn opened(guide: &Rc<Guide>, text: &str, comments: &Comments) -> Self {
        Self::taken_over(guide, text).unwrap_or_else(|| Self::around(guide, comments))
    }

    /// Takes notes that were kept beside a guide. Where they say something else than the
    /// guide, the guide stands, and only what it cannot say is taken from them.
    #[must_use]
    pub fn kept(guide: &Rc<Guide>, text: &str) -> Self {
        let comments = || parse(text).comments;
        Self::taken_over(guide, text).unwrap_or_else(|| Self::around(guide, &comments()))
    }

    /// Takes a text as it stands, if it says the same as the guide.
    fn taken_over(guide: &Rc<Guide>, text: &str) -> Option<Self> {
        let text = with_plain_ends(text.trim_start_matches('\u{feff}'));
        let same = merge(guide, &parse(&text)) == **guide;
        same.then(|| Self::standing(guide, text))
    }

    fn around(guide: &Rc<Guide>, comments: &Comments) -> Self {
        if comments.is_empty() {
            return Self::of(guide);
        }
        Self::standing(guide, write_with(guide, comments))
    }

    fn standing(guide: &Rc<Guide>, text: String) -> Self {
        let outlined = parse(&text);
        let mut notes = Self {
            text,
            waits: false,
            findings: outlined.findings,
            comments: outlined.comments,
            says: Rc::clone(guide),
            began: Rc::clone(guide),
            past: Vec::new(),
            run: None,
            turns: 0,
        };
        notes.remember();
        notes
    }

    /// Gives the text as it stands.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Gives what is not understood or was assumed, in the order of lines.
    #[must_use]
    pub fn findings(&self) -> &[LineFinding] {
        &self.findings
    }

    /// Counts the lines that are not part of the guide because they are not understood.
    #[must_use]
    pub fn missed(&self) -> usize {
        missed(&self.findings)
    }

    /// Tells whether something was typed that the guide does not know yet.
    #[must_use]
    pub const fn waits(&self) -> bool {
        self.waits
    }

    /// Gives how often something was typed, by which the last time is known.
    #[must_use]
    pub const fn turns(&self) -> u32 {
        self.turns
    }

    /// Takes what stands in the field now.
    pub fn typed(&mut self, text: &str) {
        self.turns = self.turns.wrapping_add(1);
        self.text = with_plain_ends(text);
        self.waits = true;
    }

    /// Reads what was typed, and makes it the guide of these notes; `None` when nothing
    /// waits.
    pub fn take(&mut self) -> Option<Taken> {
        if !core::mem::take(&mut self.waits) {
            return None;
        }
        let outlined = parse(&self.text);
        let guide = merge(&remembered(&self.began, &self.says, &outlined), &outlined);
        let before = self.past.last().map_or("", |past| &past.text);
        let line = first_difference(before, &self.text);
        self.findings = outlined.findings;
        self.comments = outlined.comments;
        self.says = Rc::new(guide.clone());
        self.remember();
        let goes_on = self.run.replace(line) == Some(line);
        Some(Taken {
            guide,
            line,
            goes_on,
        })
    }

    /// Ends a run of typing. While a line is broken, what it said is remembered on.
    pub fn settle(&mut self) {
        self.run = None;
        if self.missed() == 0 {
            self.began = Rc::clone(&self.says);
        }
    }

    /// Writes the text anew when the guide is another one by now.
    pub fn follow(&mut self, guide: &Rc<Guide>) {
        if Rc::ptr_eq(&self.says, guide) || self.says == *guide {
            self.says = Rc::clone(guide);
            return;
        }
        let known = self.past.iter().rev().find(|past| past.says == *guide);
        // A step back over a broken line, or forth to one, gives the text that stood there.
        // Otherwise the guide is written around the asides, which belong to no step.
        let stood = known.filter(|past| past.missed > 0 || self.missed() > 0);
        self.text = match stood {
            Some(past) => past.text.clone(),
            None => write_with(guide, &self.comments),
        };
        let outlined = parse(&self.text);
        self.findings = outlined.findings;
        self.comments = outlined.comments;
        self.began = Rc::new(remembered_all(&self.began, guide));
        self.says = Rc::clone(guide);
        self.remember();
        self.settle();
    }

    fn remember(&mut self) {
        let entry = Past {
            says: Rc::clone(&self.says),
            text: self.text.clone(),
            missed: self.missed(),
        };
        if self.past.last().is_some_and(|past| past.says == self.says) {
            self.past.pop();
        } else if self.past.len() >= REMEMBERED {
            self.past.remove(0);
        }
        self.past.push(entry);
    }
}

fn missed(findings: &[LineFinding]) -> usize {
    let wrong = findings
        .iter()
        .filter(|found| found.severity != Severity::Note);
    wrong.map(|found| found.line).collect::<BTreeSet<_>>().len()
}

/// Ends every line alike, as a field in a page does.
fn with_plain_ends(text: &str) -> String {
    text.replace("\r\n", "\n").replace('\r', "\n")
}

/// Gives the guide whose ids a text gets: that of now, with what is missing in it.
fn remembered(began: &Guide, now: &Guide, outlined: &Outlined) -> Guide {
    let mut all = remembered_all(began, now);
    let count = outlined.guide.road_map.measures.len();
    if now.road_map.measures.len() != count && began.road_map.measures.len() == count {
        // The line that numbers the measures was broken, and is whole again.
        all.road_map.clone_from(&began.road_map);
    }
    all
}

fn remembered_all(began: &Guide, now: &Guide) -> Guide {
    let mut all = now.clone();
    let missing = |known: BTreeSet<&str>, id: &str| !known.contains(id);
    let known = || now.parts.iter().map(|own| own.id.as_str()).collect();
    let parts = began.parts.iter();
    let parts = parts.filter(|own| missing(known(), own.id.as_str()));
    all.parts.extend(parts.cloned());
    let known = || now.tips.iter().map(|own| own.id.as_str()).collect();
    let tips = began.tips.iter();
    let tips = tips.filter(|own| missing(known(), own.id.as_str()));
    all.tips.extend(tips.cloned());
    let known = || now.todos.iter().map(|own| own.id.as_str()).collect();
    let todos = began.todos.iter();
    let todos = todos.filter(|own| missing(known(), own.id.as_str()));
    all.todos.extend(todos.cloned());
    all
}

/// Gives the first line in which two texts differ, from 1.
fn first_difference(before: &str, after: &str) -> usize {
    let same = before.split('\n').zip(after.split('\n'));
    same.take_while(|(old, new)| old == new).count() + 1
}

/// Gives where columns of a line stand in a text, in UTF-16 units, as fields in pages count.
/// Lines and columns count from 1; what is beyond the end is the end.
#[must_use]
pub fn stretch_of(text: &str, line: usize, columns: &Range<usize>) -> Range<usize> {
    let units = |part: &str| part.encode_utf16().count();
    let mut lines = text.split('\n');
    let before = lines.by_ref().take(line.saturating_sub(1));
    let start: usize = before.map(|own| units(own) + 1).sum();
    let own = lines.next().unwrap_or_default();
    let upto = |column: usize| -> usize {
        let letters = own.chars().take(column.saturating_sub(1));
        letters.map(char::len_utf16).sum()
    };
    let start = start.min(units(text));
    start + upto(columns.start)..start + upto(columns.end.max(columns.start))
}

/// Gives where a caret stands after a text was written anew: at the same words, where they
/// are still there. All in UTF-16 units.
#[must_use]
pub fn carried(before: &str, after: &str, caret: usize) -> usize {
    let old: Vec<u16> = before.encode_utf16().collect();
    let new: Vec<u16> = after.encode_utf16().collect();
    let shorter = old.len().min(new.len());
    let pairs = old.iter().zip(&new);
    let head = pairs.take_while(|(old, new)| old == new).count();
    let pairs = old.iter().rev().zip(new.iter().rev());
    let pairs = pairs.take(shorter - head);
    let tail = pairs.take_while(|(old, new)| old == new).count();
    let caret = caret.min(old.len());
    if caret <= head {
        caret
    } else if caret >= old.len() - tail {
        new.len() - (old.len() - caret)
    } else {
        caret.min(new.len() - tail)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Id, Measure};

    const TEXT: &str = "\
Guide to Rain
For Viola
Measures 1 to 40

(mine: ask about the mutes)
5  pizz
9-12  Bow: Near the frog.
20  Listen: Cellos.

To do: Clap 9 to 12.
";

    fn notes(text: &str) -> Notes {
        let guide = Rc::new(parse(text).guide);
        Notes::kept(&guide, text)
    }

    /// Types a text and lets the guide follow.
    fn type_in(notes: &mut Notes, text: &str) -> Rc<Guide> {
        notes.typed(text);
        Rc::new(notes.take().unwrap().guide)
    }

    #[test]
    fn a_tip_whose_line_was_broken_keeps_its_id() {
        let mut notes = notes(TEXT);
        let ids = |guide: &Guide| -> Vec<Id> {
            let tips = guide.tips.iter().map(|own| own.id.clone());
            tips.chain(guide.todos.iter().map(|own| own.id.clone()))
                .collect()
        };
        let before = ids(&notes.says);
        let broken = TEXT.replace("20  Listen", "x20  Listen");
        assert_eq!(type_in(&mut notes, &broken).tips.len(), 1);
        assert_eq!(notes.missed(), 1);
        assert_eq!(notes.text(), broken);
        // The field loses the focus, something else is edited: the line is not forgotten.
        notes.settle();
        let mut other = notes.says.as_ref().clone();
        "Rain on the Roof".clone_into(&mut other.title);
        notes.follow(&Rc::new(other));
        assert!(notes.text().starts_with("Guide to Rain on the Roof\n"));
        assert!(notes.text().contains("x20  Listen: Cellos."));
        let mended = notes.text().replace("x20  Listen", "20  Listen");
        let mut after = ids(&type_in(&mut notes, &mended));
        assert_eq!(notes.missed(), 0);
        after.sort();
        let mut before = before;
        before.sort();
        assert_eq!(after, before);
        // Nor when all measures were gone for a moment.
        let none = TEXT.replace("Measures 1 to 40", "Measures");
        assert!(type_in(&mut notes, &none).tips.is_empty());
        let mut whole = ids(&type_in(&mut notes, TEXT));
        whole.sort();
        assert_eq!(whole, before);
    }

    #[test]
    fn edits_elsewhere_keep_asides_and_the_same_guide_keeps_the_text() {
        let odd = TEXT.replace("5  pizz", "5 ,  pizz");
        let mut notes = notes(&odd);
        let same = Rc::new(notes.says.as_ref().clone());
        notes.follow(&same);
        assert_eq!(notes.text(), odd);
        let mut longer = same.as_ref().clone();
        longer.road_map.measures.push(Measure::labelled("41"));
        notes.follow(&Rc::new(longer));
        let text = notes.text();
        assert!(text.contains("Measures 1 to 41\n"), "{text}");
        assert!(
            text.contains("(mine: ask about the mutes)\n5  pizz\n"),
            "{text}"
        );
    }

    #[test]
    fn a_step_back_over_a_broken_line_gives_the_text_before_it() {
        let mut notes = notes(TEXT);
        let first = Rc::clone(&notes.says);
        let broken = TEXT.replace("5  pizz", "5  pizzz");
        let second = type_in(&mut notes, &broken);
        assert_ne!(first, second);
        notes.follow(&first);
        assert_eq!(notes.text(), TEXT);
        notes.follow(&second);
        assert_eq!(notes.text(), broken);
    }

    #[test]
    fn kept_notes_never_overrule_the_guide() {
        let mut guide = parse(TEXT).guide;
        "Another".clone_into(&mut guide.title);
        let notes = Notes::kept(&Rc::new(guide), TEXT);
        assert!(notes.text().starts_with("Guide to Another\n"));
        assert!(notes.text().contains("(mine: ask about the mutes)"));
    }

    #[test]
    fn the_first_line_that_differs() {
        for (before, after, line) in [
            ("a\nb\nc", "a\nx\nc", 2),
            ("a\nb", "a\nb\nc", 3),
            ("a\nb\n", "a\nb\n5", 3),
            ("", "x", 1),
        ] {
            assert_eq!(
                first_difference(before, after),
                line,
                "{before:?} {after:?}"
            );
        }
    }

    #[test]
    fn columns_count_letters_and_carets_units() {
        let text = "ab\n\u{1d11e}5  pizzz\n";
        assert_eq!(stretch_of(text, 2, &(5..10)), 8..13);
        assert_eq!(stretch_of(text, 1, &(1..9)), 0..2);
        assert_eq!(
            stretch_of(text, 9, &(1..2)),
            text.encode_utf16().count()..text.encode_utf16().count()
        );
    }

    /// The caret is marked by `|`.
    #[test]
    fn the_caret_stays_at_its_words() {
        for (before, after, expected) in [
            (
                "5  pi|zz\n9  arco",
                "1  mf\n5  pizz\n9  arco",
                "1  mf\n5  pi|zz\n9  arco",
            ),
            ("5  pi|zz\n9  arco", "5  pizz\n9  mf", "5  pi|zz\n9  mf"),
            ("5  pizz\n9  ar|co", "9  arco", "9  ar|co"),
            ("5  piz|z\n", "", "|"),
            ("\u{1d11e}|a", "b\u{1d11e}a", "b\u{1d11e}|a"),
        ] {
            let at = |text: &str| {
                let (before, _) = text.split_once('|').unwrap();
                before.encode_utf16().count()
            };
            let plain = before.replace('|', "");
            assert_eq!(carried(&plain, after, at(before)), at(expected), "{before}");
        }
    }
}
