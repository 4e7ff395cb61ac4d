//! A score growing part by part and measure by measure.

use super::align::align;
use super::part::{PartBuilder, Shared};
use crate::ReadError;
use crate::limits::MAX_PART_MEASURES;
use crate::xml::Element;
use cueleaf_guide::{Checked, MAX_PARTS, TooLarge};
use cueleaf_score::Score;

/// A score while it is read.
#[derive(Debug, Default)]
pub(super) struct ScoreBuilder {
    score: Score,
    parts: Vec<PartBuilder>,
    /// The index of the part that is being read.
    part: usize,
    label: String,
    implicit: bool,
    measures: usize,
    entity_told: bool,
    shared: Shared,
}

impl ScoreBuilder {
    pub(super) fn found(&mut self, code: &'static str, message: &str) {
        self.shared.findings.warn(code, message);
    }

    pub(super) fn unknown_entity(&mut self) {
        if !self.entity_told {
            self.entity_told = true;
            self.found(
                "entity-left-out",
                "the file uses abbreviations of its own (entities), which are left out",
            );
        }
    }

    /// Says where reading is, for a message: " in measure 12 of Viola".
    pub(super) fn place(&self) -> String {
        match self.parts.get(self.part) {
            Some(part) if part.is_open() => {
                format!(" in measure {} of {}", self.label, part.name())
            }
            Some(part) => format!(" in {}", part.name()),
            None => String::new(),
        }
    }

    /// Reads an element that stands beside the parts.
    pub(super) fn header(&mut self, element: Element<'_>) -> Result<(), ReadError> {
        match element.name() {
            "work" => {
                if let Some(title) = element.child("work-title") {
                    self.score.title = title.words();
                }
            }
            "movement-title" => self.score.movement = element.words(),
            "identification" => {
                for creator in element.children().filter(|child| child.name() == "creator") {
                    let role = creator.attribute("type").unwrap_or_default();
                    if role == "composer" || (role.is_empty() && self.score.composer.is_empty()) {
                        self.score.composer = creator.words();
                    }
                }
            }
            "part-list" => {
                for entry in element.children().filter(|one| one.name() == "score-part") {
                    TooLarge::guard("parts", MAX_PARTS, self.parts.len() + 1)?;
                    self.parts.push(PartBuilder::listed(entry));
                }
            }
            _ => {}
        }
        Ok(())
    }

    pub(super) fn choose_part(&mut self, id: &str) -> Result<(), ReadError> {
        if let Some(index) = self.parts.iter().position(|part| part.id() == id) {
            self.part = index;
            return Ok(());
        }
        TooLarge::guard("parts", MAX_PARTS, self.parts.len() + 1)?;
        self.part = self.parts.len();
        self.parts.push(PartBuilder::unlisted(id));
        Ok(())
    }

    pub(super) fn name_measure(&mut self, number: &str, implicit: bool) {
        self.label = crate::xml::one_line(number);
        self.implicit = implicit;
    }

    pub(super) fn open_measure(&mut self) -> Result<(), ReadError> {
        self.measures += 1;
        TooLarge::guard("measures in all parts", MAX_PART_MEASURES, self.measures)?;
        if let Some(part) = self.parts.get_mut(self.part) {
            part.open_measure(&self.label, self.implicit);
        }
        Ok(())
    }

    pub(super) fn content(&mut self, element: Element<'_>) -> Result<(), ReadError> {
        match self.parts.get_mut(self.part) {
            Some(part) => part.content(element, &mut self.shared),
            None => Ok(()),
        }
    }

    pub(super) fn close_measure(&mut self) {
        if let Some(part) = self.parts.get_mut(self.part) {
            part.close_measure(&mut self.shared);
        }
    }

    /// Gives parts that a timewise measure left out an empty measure.
    pub(super) fn fill_up(&mut self) {
        let longest = self.parts.iter().map(PartBuilder::count).max().unwrap_or(0);
        for part in &mut self.parts {
            while part.count() < longest {
                part.open_measure(&self.label, self.implicit);
                part.close_measure(&mut self.shared);
            }
        }
    }

    pub(super) fn finish(self) -> Result<Checked<Score>, ReadError> {
        let Self {
            score,
            parts,
            mut shared,
            ..
        } = self;
        let score = align(score, parts, &mut shared.findings)?;
        Ok(Checked {
            value: score,
            findings: shared.findings.in_order(),
        })
    }
}
