//! A guide as a Standard MIDI File: its tempo, meters, keys, markers and clicks, in the
//! order of play.
//!
//! # Source
//! Standard MIDI Files 1.0, RP-001, and General MIDI System Level 1, RP-003, MIDI
//! Manufacturers Association.

mod file;
mod grid;
mod tempo;

use crate::chapter::chapters;
use core::fmt;
use cueleaf_guide::{Checked, Finding, Guide, Laid, Severity};
use cueleaf_plan::{Click, Plan};
use cueleaf_time::{Key, Level, Ratio};
use cueleaf_view::{Page, Word};
use file::{KEY, MARKER, METER, NAME, TEMPO, Track, written};
use grid::Grid;
pub use grid::MAX_TICKS;
use std::collections::BTreeSet;
use tempo::{Step, Stepper};

/// How far a barline, a count or a change of tempo may lie from the guide's own seconds,
/// for each quarter note played before it, in seconds: tempi are whole microseconds a
/// quarter note.
pub const MAX_DRIFT_SECONDS: f64 = 0.000_000_51;

/// How far a place between counts may lie off besides, while the tempo changes gradually,
/// in seconds: there it changes in steps.
pub const MAX_STEP_SECONDS: f64 = 0.000_5;

/// Why a guide cannot be written as MIDI.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MidiError {
    /// A measure, count, hold or change of tempo lies between all grids of up to
    /// [`MAX_TICKS`] ticks a quarter note.
    TooFine {
        /// The number of the first measure that does not fit.
        measure: String,
    },
    /// A tempo is slower than a file can say: 16.8 seconds a quarter note.
    TooSlow {
        /// The number of the measure.
        measure: String,
    },
}

impl fmt::Display for MidiError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (Self::TooFine { measure } | Self::TooSlow { measure }) = self;
        write!(f, "measure {measure}: ")?;
        match self {
            Self::TooFine { .. } => write!(
                f,
                "its fractions need more than {MAX_TICKS} ticks a quarter note, the most that MIDI has"
            ),
            Self::TooSlow { .. } => {
                f.write_str("MIDI has no tempo slower than 16.8 seconds a quarter note")
            }
        }
    }
}

impl core::error::Error for MidiError {}

/// Writes a guide as a Standard MIDI File of format 1: a track of tempo, meters, keys and
/// markers, and a track of clicks on channel 10, in the order of play at the full tempo.
///
/// Every barline and every count lies on its exact tick. Seconds agree within
/// [`MAX_DRIFT_SECONDS`] and [`MAX_STEP_SECONDS`]. A hold becomes a slow stretch up to the
/// next count, and one that is slower than a file can say waits less, which is found; a key is written as major, since a signature alone does not tell; a
/// measure that is not as long as its meter has a meter of its own length.
///
/// # Errors
/// [`MidiError`] where the file format has no number for what the guide says.
pub fn midi_file(guide: &Guide) -> Result<Checked<Vec<u8>>, MidiError> {
    let planned = Plan::new(guide);
    let plan = &planned.value;
    let grid = Grid::of(guide, plan)?;
    let words = Page::words_for(guide);
    let mut score = Score {
        guide,
        head: Track::default(),
        clicks: Track::default(),
        findings: planned.findings,
        told: BTreeSet::new(),
        told_less: BTreeSet::new(),
        tempo: None,
        meter: None,
        key: None,
        sounding: None,
    };
    score.head.push_meta(0, NAME, guide.title.as_bytes());
    let name = words.get(Word::Click);
    score.clicks.push_meta(0, NAME, name.as_bytes());
    let mut stepper = Stepper {
        plan,
        grid,
        now: None,
    };
    let measures = &guide.road_map.measures;
    let named = measures
        .iter()
        .any(|own| own.section.is_some() || own.movement.is_some());
    let chapters = if named {
        chapters(guide, plan)
    } else {
        Vec::new()
    };
    let mut chapters = chapters.iter().peekable();
    let mut start = 0;
    for (played, own) in plan.order().iter().enumerate() {
        let (Some(laid), Some(measure)) = (plan.measure(played), measures.get(own.measure)) else {
            continue;
        };
        score.meter(start, own.measure, laid);
        score.key(start, laid.key);
        let chapter = chapters.next_if(|chapter| chapter.played == played);
        let section = chapter.map(|chapter| chapter.name.as_str());
        let mark = measure.mark.as_deref().filter(|mark| section != Some(mark));
        for text in section.into_iter().chain(mark) {
            score.head.push_meta(start, MARKER, text.as_bytes());
        }
        let steps = stepper.steps(played, &|| {
            guide.road_map.number_of(own.measure).into_owned()
        })?;
        for step in &steps {
            score.tempo(start + step.ticks.0, step.micros);
            score.waits_less(own.measure, step.missing);
        }
        for (tick, level) in clicks(plan, played, grid, &steps) {
            score.click(start + tick, level, grid);
        }
        start += grid.ticks(laid.length);
    }
    score.silence(start);
    Ok(Checked {
        value: written(grid.per_quarter(), vec![score.head, score.clicks], start),
        findings: score.findings,
    })
}

/// Gives the ticks of the clicks of a played measure, from its start.
fn clicks(plan: &Plan, played: usize, grid: Grid, steps: &[Step]) -> Vec<(u64, Level)> {
    let counts = plan.counts(played);
    let place = |click: &Click| {
        let counted = counts
            .iter()
            .find(|count| plan.seconds_of(played, count.at) == Some(click.seconds));
        if let Some(count) = counted {
            return Some(grid.ticks(count.at));
        }
        // A count that leads on after a hold lies between the counts of the measure.
        let seconds = click.seconds.get();
        let step = steps.iter().find(|step| step.seconds.1 > seconds)?;
        Some(step.tick_at(click.seconds))
    };
    let clicks = plan.clicks(played);
    let placed = clicks
        .iter()
        .filter_map(|click| Some((place(click)?, click.level)));
    placed.collect()
}

/// The two tracks while they are written, and what is in force.
struct Score<'a> {
    guide: &'a Guide,
    head: Track,
    clicks: Track,
    findings: Vec<Finding>,
    /// The measures of which something was found.
    told: BTreeSet<usize>,
    /// The measures of which it was told that their fermata waits less.
    told_less: BTreeSet<usize>,
    tempo: Option<u32>,
    meter: Option<[u8; 4]>,
    key: Option<Key>,
    /// The note that sounds, and the tick at which it ends.
    sounding: Option<(u8, u64)>,
}

impl Score<'_> {
    fn tempo(&mut self, tick: u64, micros: u32) {
        if self.tempo != Some(micros) {
            self.tempo = Some(micros);
            let [_, bytes @ ..] = micros.to_be_bytes();
            self.head.push_meta(tick, TEMPO, &bytes);
        }
    }

    fn waits_less(&mut self, index: usize, missing: f64) {
        // Less than this nobody hears, and it would be written as 0.0.
        if missing < 0.05 || !self.told_less.insert(index) {
            return;
        }
        let measures = &self.guide.road_map.measures;
        let label = measures.get(index).map_or("", |own| &own.label);
        let message = format!(
            "this fermata is slower than MIDI can say, and the file waits {missing:.1} seconds less than the guide"
        );
        let finding = Finding::new(Severity::Warning, "fermata-short-in-midi", message)
            .hint("let the fermata stand on a longer note, or make it shorter");
        self.findings.push(finding.at_measure(index, label));
    }

    fn meter(&mut self, tick: u64, index: usize, laid: &Laid) {
        let Some(meter) = meter_bytes(laid) else {
            // A measure is told once, however often it is played.
            if self.told.insert(index) {
                let measures = &self.guide.road_map.measures;
                let label = measures.get(index).map_or("", |own| &own.label);
                let message = format!(
                    "MIDI has no meter for a measure of {} quarters; other programs will count its barlines wrongly",
                    laid.length
                );
                let finding = Finding::new(Severity::Warning, "no-meter-in-midi", message);
                self.findings.push(finding.at_measure(index, label));
            }
            return;
        };
        if self.meter != Some(meter) {
            self.meter = Some(meter);
            self.head.push_meta(tick, METER, &meter);
        }
    }

    fn key(&mut self, tick: u64, key: Option<Key>) {
        if let Some(key) = key.filter(|key| self.key != Some(*key)) {
            self.key = Some(key);
            let [fifths] = key.fifths().to_be_bytes();
            self.head.push_meta(tick, KEY, &[fifths, 0]);
        }
    }

    fn click(&mut self, tick: u64, level: Level, grid: Grid) {
        self.silence(tick);
        let (note, loudness) = voice(level);
        self.clicks.push(tick, &[NOTE_ON, note, loudness]);
        let long = u64::from(grid.per_quarter() / 8).max(1);
        self.sounding = Some((note, tick + long));
    }

    /// Ends the note that sounds, at the latest at a tick.
    fn silence(&mut self, tick: u64) {
        if let Some((note, end)) = self.sounding.take() {
            self.clicks.push(end.min(tick), &[NOTE_OFF, note, 64]);
        }
    }
}

/// Note on and note off, on channel 10, the one of the percussion (RP-003).
const NOTE_ON: u8 = 0x99;
const NOTE_OFF: u8 = 0x89;

/// Gives the note of the percussion and its loudness: the high wood block (76) for the
/// starts of groups, the low one (77) for the rest.
///
/// # Source
/// The notes: RP-003, percussion map. The loudness: our decision.
const fn voice(level: Level) -> (u8, u8) {
    match level {
        Level::Downbeat => (76, 120),
        Level::Group => (76, 92),
        Level::Beat => (77, 84),
        Level::Subdivision => (77, 52),
    }
}

/// Gives the meter of a measure as the file says it: units, the power of two of the unit,
/// clocks of 24 to a quarter for a click, thirty-seconds in a quarter.
///
/// `None` for a length that is no whole number of units of a power of two.
fn meter_bytes(laid: &Laid) -> Option<[u8; 4]> {
    let whole = laid.meter.length() == Some(laid.length);
    let quarters = laid.length.quarters();
    let unit = i64::from(laid.meter.finest());
    let needed = quarters.over(Ratio::whole(4)).ok()?.denominator();
    let unit = if whole { unit } else { unit.max(needed) };
    let units = quarters.times(Ratio::new(unit, 4).ok()?).ok()?;
    if units.denominator() != 1 || unit.count_ones() != 1 {
        return None;
    }
    let units = u8::try_from(units.numerator()).ok()?;
    let power = u8::try_from(unit.trailing_zeros()).ok()?;
    let first = laid.beats.beats().first();
    let clocks = first
        .and_then(|beat| beat.length.quarters().times(Ratio::whole(24)).ok())
        .filter(|clocks| clocks.denominator() == 1)
        .and_then(|clocks| u8::try_from(clocks.numerator()).ok());
    Some([units, power, clocks.unwrap_or(24), 8])
}

#[cfg(test)]
mod tests;
