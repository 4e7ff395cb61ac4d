//! What a teacher writes for herself, and where it stands: blank lines, asides in
//! parentheses, and lines that were not understood.

use crate::write::{Block, Spacing};
use cueleaf_guide::{Guide, Place};
use std::collections::BTreeMap;

/// The lines of an outline that say nothing about the guide, each with the place where it
/// stands, so that they stay there when the guide is edited.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Comments {
    kept: Vec<Kept>,
}

impl Comments {
    pub(crate) const fn new(kept: Vec<Kept>) -> Self {
        Self { kept }
    }

    /// Tells whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }
}

/// One line, or a few that belong together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kept {
    pub(crate) text: String,
    pub(crate) side: Side,
    pub(crate) anchor: Anchor,
    /// The printed number of the measure of its anchor, to find it again when measures
    /// were put in or taken out.
    pub(crate) label: String,
}

/// On which side of its anchor something is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    Before,
    /// Right after it, as a line that belongs to it.
    Under,
}

/// What a kept line stands at, in the order of an outline.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Anchor {
    /// A line about the whole, by its number.
    Head(u8),
    /// What stands at a place: facts (0), marks of a part (1) or a tip (2), and its text.
    Place(Place, u8, String),
    /// A to-do by its text.
    Todo(String),
    /// The end.
    End,
}

impl Anchor {
    pub(crate) fn place(place: Place, what: u8, text: &str) -> Self {
        Self::Place(place, what, text.to_owned())
    }
}

/// Puts the blocks of a guide and the kept lines together.
pub(crate) fn weave(guide: &Guide, blocks: Vec<Block>, comments: &Comments) -> String {
    let finder = Finder::new(guide, &blocks);
    let mut before: BTreeMap<usize, Vec<&str>> = BTreeMap::new();
    let mut under: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for kept in &comments.kept {
        let (index, exact) = finder.find(kept);
        match (kept.side, exact) {
            (Side::Before, _) => before.entry(index).or_default().push(&kept.text),
            (Side::Under, Found::Itself) => {
                under
                    .entry(index)
                    .or_default()
                    .push(format!("    {}", kept.text));
            }
            // What it belonged to is gone: it becomes an aside.
            (Side::Under, Found::Next) => {
                under
                    .entry(index)
                    .or_default()
                    .push(format!("({})", kept.text));
            }
        }
    }
    let mut text = String::new();
    let mut line = |own: &str| {
        text.push_str(own);
        text.push('\n');
    };
    let end = blocks.len();
    for (index, block) in blocks.iter().enumerate() {
        before
            .remove(&index)
            .iter()
            .flatten()
            .for_each(|own| line(own));
        block.lines.iter().for_each(|own| line(own));
        under
            .remove(&index)
            .iter()
            .flatten()
            .for_each(|own| line(own));
    }
    before
        .remove(&end)
        .iter()
        .flatten()
        .for_each(|own| line(own));
    under
        .remove(&end)
        .iter()
        .flatten()
        .for_each(|own| line(own));
    text
}

/// Puts the blocks of a guide together with the blank lines that make them easy to read.
pub(crate) fn weave_alone(blocks: &[Block]) -> String {
    let mut text = String::new();
    for (index, block) in blocks.iter().enumerate() {
        if index > 0 && block.spacing == Spacing::Apart {
            text.push('\n');
        }
        for line in &block.lines {
            text.push_str(line);
            text.push('\n');
        }
    }
    text
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Found {
    Itself,
    Next,
}

struct Finder<'a> {
    guide: &'a Guide,
    end: usize,
    by_anchor: BTreeMap<&'a Anchor, usize>,
    by_label: BTreeMap<&'a str, Vec<usize>>,
}

impl<'a> Finder<'a> {
    fn new(guide: &'a Guide, blocks: &'a [Block]) -> Self {
        let mut by_anchor = BTreeMap::new();
        for (index, block) in blocks.iter().enumerate() {
            by_anchor.entry(&block.anchor).or_insert(index);
        }
        let mut by_label: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (index, measure) in guide.road_map.measures.iter().enumerate() {
            by_label.entry(&measure.label).or_default().push(index);
        }
        Self {
            guide,
            end: blocks.len(),
            by_anchor,
            by_label,
        }
    }

    /// Finds the block at which a kept line stands: its own, or the next after its place.
    fn find(&self, kept: &Kept) -> (usize, Found) {
        let moved = self.moved(kept);
        let anchor = moved.as_ref().unwrap_or(&kept.anchor);
        if let Some(index) = self.by_anchor.get(anchor) {
            return (*index, Found::Itself);
        }
        let from = match anchor {
            Anchor::Place(place, what, _) => Anchor::place(*place, *what, ""),
            other => other.clone(),
        };
        let mut next = self.by_anchor.range::<Anchor, _>(&from..);
        let next = next.next().map(|(_, index)| *index);
        (next.unwrap_or(self.end), Found::Next)
    }

    /// Gives the anchor at the measure that has the printed number now.
    fn moved(&self, kept: &Kept) -> Option<Anchor> {
        let Anchor::Place(place, what, text) = &kept.anchor else {
            return None;
        };
        let label = |index: usize| {
            self.guide
                .road_map
                .measures
                .get(index)
                .map(|own| &own.label)
        };
        if kept.label.is_empty() || label(place.measure) == Some(&kept.label) {
            return None;
        }
        let same = self.by_label.get(kept.label.as_str())?.iter();
        let measure = *same.min_by_key(|index| index.abs_diff(place.measure))?;
        Some(Anchor::place(Place { measure, ..*place }, *what, text))
    }
}
