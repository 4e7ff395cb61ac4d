//! Tempo as steps of whole microseconds.

use super::MidiError;
use super::grid::Grid;
use cueleaf_plan::Plan;
use cueleaf_time::{BeatSpan, Seconds};

/// How far the middle of a step of a gradual change may lie from where it sounds, in
/// seconds; with it nothing inside the step is off by more than
/// [`MAX_STEP_SECONDS`](super::MAX_STEP_SECONDS).
const MIDDLE: f64 = 0.000_25;

/// The slowest tempo that a file holds, in microseconds a quarter note.
///
/// # Source
/// RP-001: a tempo is a number of 24 bits.
const SLOWEST: f64 = 16_777_215.0;

/// How near to the half a rounded tempo may lie and count for both sides, in microseconds:
/// seconds are rounded, and the same tempo shall not flicker.
const NEAR: f64 = 1e-6;

/// A stretch of a played measure with one tempo.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    /// Where it starts and ends, in ticks from the start of the measure.
    pub(super) ticks: (u64, u64),
    /// The same places in seconds of the plan.
    pub(super) seconds: (f64, f64),
    /// Its tempo, in microseconds a quarter note.
    pub(super) micros: u32,
    /// How many seconds of a fermata the slowest tempo of a file leaves out.
    pub(super) missing: f64,
}

impl Step {
    /// Gives the tick at a second inside the step.
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "ticks of one measure, far below 2^52, and never below zero"
    )]
    pub(super) fn tick_at(&self, seconds: Seconds) -> u64 {
        let part = (seconds.get() - self.seconds.0) / (self.seconds.1 - self.seconds.0);
        let long = (self.ticks.1 - self.ticks.0) as f64;
        self.ticks.0 + (part.clamp(0.0, 1.0) * long).round() as u64
    }
}

/// Cuts played measures into steps, and remembers the tempo from one to the next.
pub(super) struct Stepper<'a> {
    pub(super) plan: &'a Plan,
    pub(super) grid: Grid,
    pub(super) now: Option<u32>,
}

impl Stepper<'_> {
    /// Cuts one played measure into steps, in order.
    pub(super) fn steps(
        &mut self,
        played: usize,
        name: &dyn Fn() -> String,
    ) -> Result<Vec<Step>, MidiError> {
        let stops = self.plan.stops(played);
        let mut steps = Vec::new();
        for (from, to) in pairs(&self.places(played, &stops)) {
            let ticks = (self.grid.ticks(from), self.grid.ticks(to));
            // Where time stands still one slow step holds the waiting, too.
            let whole = stops.contains(&from);
            self.cut(played, ticks, whole, name, &mut steps)?;
        }
        Ok(steps)
    }

    /// Gives where a step has to end or start: counts, changes of tempo, holds, barlines.
    fn places(&self, played: usize, stops: &[BeatSpan]) -> Vec<BeatSpan> {
        let Some(laid) = self.plan.measure(played) else {
            return Vec::new();
        };
        let segments = self.plan.tempo().segments();
        let first = segments.partition_point(|segment| segment.start <= laid.start);
        let inside = segments.iter().skip(first).map_while(|segment| {
            let at = segment.start.since(laid.start).ok()?.forward()?;
            (at < laid.length).then_some(at)
        });
        let counts = laid.beats.beats().iter().map(|beat| beat.at);
        let mut places: Vec<BeatSpan> = inside
            .chain(counts)
            .chain(stops.iter().copied())
            .chain([BeatSpan::ZERO, laid.length])
            .collect();
        places.sort();
        places.dedup();
        places
    }

    /// Halves a stretch until each step is near enough to the curve.
    fn cut(
        &mut self,
        played: usize,
        ticks: (u64, u64),
        whole: bool,
        name: &dyn Fn() -> String,
        steps: &mut Vec<Step>,
    ) -> Result<(), MidiError> {
        let (from, to) = ticks;
        if from >= to {
            return Ok(());
        }
        let seconds = (self.seconds(played, from), self.seconds(played, to));
        let middle = from + (to - from) / 2;
        if !whole && middle > from {
            let bent = self.seconds(played, middle) - between(seconds, ticks, middle);
            if bent.abs() > MIDDLE {
                self.cut(played, (from, middle), false, name, steps)?;
                return self.cut(played, (middle, to), false, name, steps);
            }
        }
        let quarters = self.quarters(ticks);
        let most = SLOWEST * quarters / 1_000_000.0;
        let lasts = seconds.1 - seconds.0;
        // A short note may be held longer than a file can say; the music itself may not.
        let waits = whole && self.moves(played, from);
        let micros = self.micros(lasts.min(if waits { most } else { lasts }), quarters, name)?;
        self.now = Some(micros);
        steps.push(Step {
            ticks,
            seconds,
            micros,
            missing: if waits { (lasts - most).max(0.0) } else { 0.0 },
        });
        Ok(())
    }

    /// Tells whether a file has a number for the tempo at a tick.
    fn moves(&self, played: usize, tick: u64) -> bool {
        let laid = self.plan.measure(played);
        let place = laid.and_then(|laid| laid.start.plus(self.grid.offset(tick)?).ok());
        place.is_some_and(|place| {
            60_000_000.0 / self.plan.tempo().quarters_per_minute_at(place) <= SLOWEST
        })
    }

    #[allow(
        clippy::cast_precision_loss,
        reason = "ticks of one measure, far below 2^52"
    )]
    fn quarters(&self, ticks: (u64, u64)) -> f64 {
        (ticks.1 - ticks.0) as f64 / f64::from(self.grid.per_quarter())
    }

    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 1 and the limit of 24 bits"
    )]
    fn micros(
        &self,
        seconds: f64,
        quarters: f64,
        name: &dyn Fn() -> String,
    ) -> Result<u32, MidiError> {
        let exact = seconds * 1_000_000.0 / quarters;
        let kept = self
            .now
            .filter(|now| (f64::from(*now) - exact).abs() <= 0.5 + NEAR);
        if exact.round() > SLOWEST {
            return Err(MidiError::TooSlow { measure: name() });
        }
        Ok(kept.unwrap_or(exact.round().max(1.0) as u32))
    }

    fn seconds(&self, played: usize, tick: u64) -> f64 {
        let seconds = self.grid.offset(tick);
        let seconds = seconds.and_then(|at| self.plan.seconds_of(played, at));
        seconds.unwrap_or(Seconds::ZERO).get()
    }
}

#[allow(
    clippy::cast_precision_loss,
    reason = "ticks of one measure, far below 2^52"
)]
fn between(seconds: (f64, f64), ticks: (u64, u64), at: u64) -> f64 {
    let part = (at - ticks.0) as f64 / (ticks.1 - ticks.0) as f64;
    seconds.0 + part * (seconds.1 - seconds.0)
}

fn pairs(places: &[BeatSpan]) -> Vec<(BeatSpan, BeatSpan)> {
    let next = places.iter().skip(1);
    places
        .iter()
        .zip(next)
        .map(|(from, to)| (*from, *to))
        .collect()
}
