//! One part while it is read: its cursor, its open measure, what is in force.

use super::drawn::Waiting;
use super::matching::{Slurs, Spans};
use super::{attributes, barline, direction, note};
use crate::ReadError;
use crate::collect::Findings;
use crate::limits::MAX_NOTES;
use crate::xml::{Element, number, one_line};
use cueleaf_guide::{Finding, Severity, TooLarge};
use cueleaf_score::{KeySign, Measure, MeterSign, Place};
use cueleaf_time::{BeatSpan, Ratio};

/// What all parts of a file share while it is read.
#[derive(Debug, Default)]
pub(super) struct Shared {
    pub(super) findings: Findings,
    notes: usize,
}

impl Shared {
    pub(super) fn count_note(&mut self) -> Result<(), ReadError> {
        self.notes += 1;
        TooLarge::guard("notes and rests", MAX_NOTES, self.notes)?;
        Ok(())
    }
}

/// One part while it is read.
#[derive(Debug)]
pub(super) struct PartBuilder {
    id: String,
    name: String,
    abbreviation: String,
    pub(super) measures: Vec<Measure>,
    pub(super) spans: Spans,
    pub(super) slurs: Slurs,
    /// How many of the file's units a quarter note has.
    divisions: Ratio,
    /// How long a full measure of this part is at present.
    pub(super) full: Option<BeatSpan>,
    /// What stood behind the notes of a measure and holds from the next one on.
    pub(super) late: Late,
    pub(super) repeating: bool,
    open: Option<Cursor>,
    pub(super) listed: bool,
}

/// What holds from the next measure on.
#[derive(Debug, Default)]
pub(super) struct Late {
    pub(super) meter: Option<(MeterSign, Ratio)>,
    pub(super) key: Option<KeySign>,
    pub(super) repeat_from: bool,
}

/// Where reading is inside a measure.
#[derive(Debug)]
pub(super) struct Cursor {
    pub(super) measure: Measure,
    pub(super) at: Ratio,
    pub(super) furthest: Ratio,
    /// Where the last note that moved the cursor started.
    pub(super) chord_at: Ratio,
    /// What is drawn elsewhere than it stands.
    pub(super) waiting: Waiting,
}

impl PartBuilder {
    fn new(id: &str, name: String, abbreviation: String) -> Self {
        Self {
            id: one_line(id),
            name,
            abbreviation,
            measures: Vec::new(),
            spans: Spans::default(),
            slurs: Slurs::default(),
            divisions: Ratio::ONE,
            full: None,
            late: Late::default(),
            repeating: false,
            open: None,
            listed: true,
        }
    }

    /// Makes a part from its entry in the part list.
    pub(super) fn listed(entry: Element<'_>) -> Self {
        let shown = |long: &str| {
            let display = entry.child(&format!("{long}-display"));
            let pieces: Vec<&str> = display
                .into_iter()
                .flat_map(Element::children)
                .map(Element::text)
                .collect();
            let words = entry.child(long).map(Element::words).unwrap_or_default();
            if words.is_empty() {
                one_line(&pieces.join(" "))
            } else {
                words
            }
        };
        let instrument = entry
            .child("score-instrument")
            .and_then(|instrument| instrument.child("instrument-name"))
            .map(Element::words);
        let abbreviation = shown("part-abbreviation");
        let mut name = shown("part-name");
        if name.is_empty() {
            name = instrument.unwrap_or_default();
        }
        if name.is_empty() {
            name.clone_from(&abbreviation);
        }
        let id = entry.attribute("id").unwrap_or_default();
        Self::new(&id, name, abbreviation)
    }

    /// Makes a part that the part list forgot.
    pub(super) fn unlisted(id: &str) -> Self {
        let mut part = Self::new(id, String::new(), String::new());
        part.listed = false;
        part
    }

    pub(super) fn id(&self) -> &str {
        &self.id
    }

    /// Gives the printed name, else the id.
    pub(super) fn name(&self) -> &str {
        if self.name.is_empty() {
            &self.id
        } else {
            &self.name
        }
    }

    pub(super) fn printed_name(&self) -> &str {
        &self.name
    }

    pub(super) fn abbreviation(&self) -> &str {
        &self.abbreviation
    }

    pub(super) const fn is_open(&self) -> bool {
        self.open.is_some()
    }

    pub(super) fn count(&self) -> usize {
        self.measures.len()
    }

    pub(super) fn open_measure(&mut self, label: &str, implicit: bool) {
        let mut measure = Measure {
            label: label.to_owned(),
            implicit,
            repeats_previous: self.repeating,
            ..Measure::default()
        };
        let late = core::mem::take(&mut self.late);
        measure.signs.repeat_from = late.repeat_from;
        measure.key = late.key;
        if let Some((meter, _)) = late.meter {
            self.full = meter.meter.length();
            measure.meter = Some(meter);
        }
        self.open = Some(Cursor {
            measure,
            at: Ratio::ZERO,
            furthest: Ratio::ZERO,
            chord_at: Ratio::ZERO,
            waiting: Waiting::default(),
        });
    }

    /// Reads one element of the open measure.
    pub(super) fn content(
        &mut self,
        element: Element<'_>,
        shared: &mut Shared,
    ) -> Result<(), ReadError> {
        let Some(mut cursor) = self.open.take() else {
            return Ok(());
        };
        let mut reading = Reading {
            part: self,
            cursor: &mut cursor,
            shared,
        };
        match element.name() {
            "note" => note::read(&mut reading, element)?,
            "attributes" => attributes::read(&mut reading, element),
            "direction" => direction::read(&mut reading, element),
            "sound" => direction::read_sound_alone(&mut reading, element),
            "barline" => barline::read(&mut reading, element),
            "backup" => reading.back(element),
            "forward" => {
                if let Some(length) = reading.duration(element) {
                    reading.go(length);
                }
            }
            _ => {}
        }
        self.open = Some(cursor);
        Ok(())
    }

    pub(super) fn close_measure(&mut self, shared: &mut Shared) {
        let Some(mut cursor) = self.open.take() else {
            return;
        };
        if let Some((_, at)) = &self.late.meter
            && *at < cursor.furthest
        {
            let finding = Finding::new(
                Severity::Warning,
                "meter-inside",
                format!(
                    "the meter changes inside the measure of {}; it is taken from the next measure on",
                    self.name()
                ),
            );
            let finding = finding.at_measure(self.measures.len(), &cursor.measure.label);
            shared.findings.push(finding);
        }
        let measure = &mut cursor.measure;
        measure.written = BeatSpan::from_quarters(cursor.furthest).unwrap_or(BeatSpan::ZERO);
        let end = measure.written;
        cursor.waiting.settle(measure, &mut self.spans, end);
        measure.clefs.sort_by_key(|sign| sign.at);
        measure.tempo.sort_by_key(|sign| sign.at);
        measure.dynamics.sort_by_key(|sign| sign.at);
        measure.playing.sort_by_key(|sign| sign.at);
        measure.words.sort_by_key(|sign| sign.at);
        measure.holds.sort_unstable();
        measure.holds.dedup();
        self.measures.push(cursor.measure);
    }
}

/// A part, its open measure and what is shared: all that reading an element needs.
pub(super) struct Reading<'r> {
    pub(super) part: &'r mut PartBuilder,
    pub(super) cursor: &'r mut Cursor,
    pub(super) shared: &'r mut Shared,
}

impl Reading<'_> {
    /// Reads a number of the file's units as quarter notes.
    pub(super) fn quarters(&self, text: &str) -> Option<Ratio> {
        number(text)?.over(self.part.divisions).ok()
    }

    pub(super) fn set_divisions(&mut self, text: &str) {
        match number(text).filter(|divisions| *divisions > Ratio::ZERO) {
            Some(divisions) => self.part.divisions = divisions,
            None => self.found(
                "divisions",
                format!("\"{}\" is no number of units to a quarter", one_line(text)),
            ),
        }
    }

    /// Reads the duration of an element; a finding when there is none.
    pub(super) fn duration(&mut self, element: Element<'_>) -> Option<BeatSpan> {
        let text = element.child_text("duration").unwrap_or_default();
        let span = self
            .quarters(text)
            .and_then(|quarters| BeatSpan::from_quarters(quarters).ok());
        if span.is_none() {
            self.found(
                "duration",
                format!("\"{}\" is no length of a note", one_line(text)),
            );
        }
        span
    }

    /// Moves the cursor on.
    pub(super) fn go(&mut self, length: BeatSpan) {
        match self.cursor.at.plus(length.quarters()) {
            Ok(at) => {
                self.cursor.at = at;
                self.cursor.furthest = self.cursor.furthest.max(at);
            }
            Err(_) => self.found(
                "too-fine",
                "the lengths here are too fine to be added exactly".to_owned(),
            ),
        }
    }

    fn back(&mut self, element: Element<'_>) {
        let Some(length) = self.duration(element) else {
            return;
        };
        match self.cursor.at.minus(length.quarters()) {
            Ok(at) if at >= Ratio::ZERO => self.cursor.at = at,
            _ => {
                self.cursor.at = Ratio::ZERO;
                self.found(
                    "back-too-far",
                    "a step back goes beyond the measure's start".to_owned(),
                );
            }
        }
    }

    /// Gives the place of the cursor in the measure.
    pub(super) fn here(&self) -> BeatSpan {
        BeatSpan::from_quarters(self.cursor.at).unwrap_or(BeatSpan::ZERO)
    }

    /// Gives a place in the measure as a place in the part.
    pub(super) fn place(&self, at: BeatSpan) -> Place {
        Place {
            measure: self.part.measures.len(),
            at,
        }
    }

    /// Tells of something assumed about this part at the open measure.
    pub(super) fn found(&mut self, code: &'static str, message: String) {
        self.tell(Severity::Warning, code, &message);
    }

    /// Tells of something about this part that is worth knowing.
    pub(super) fn noted(&mut self, code: &'static str, message: &str) {
        self.tell(Severity::Note, code, message);
    }

    fn tell(&mut self, severity: Severity, code: &'static str, message: &str) {
        let text = format!("{}: {message}", self.part.name());
        let finding = Finding::new(severity, code, text)
            .at_measure(self.part.measures.len(), &self.cursor.measure.label)
            .about(self.part.id());
        self.shared.findings.push(finding);
    }
}
