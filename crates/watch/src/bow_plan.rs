//! A bow plan: where on the bow each stroke of a span begins and ends.

use crate::scene::Scene;
use crate::strokes::{Stroke, Told, strokes};
use cueleaf_guide::{Guide, Place, Spot};
use cueleaf_score::{Bowing, Score};
use cueleaf_time::BeatPos;

/// The length of the bow, in the eighths in which places are planned.
///
/// # Source
/// G. Fischbach, The Strad: plans in eighths of a bow and marks where each
/// stroke starts.
const WHOLE_BOW: f64 = 8.0;

/// Where the first stroke of a plan begins, and how much bow it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BowStart {
    from: f64,
    amount: f64,
    way: Option<Bowing>,
}

impl BowStart {
    /// Makes a start: a place in eighths of the bow from the frog (0 to 8), and
    /// how many eighths the first stroke takes (above 0, at most 8). The way of
    /// the first stroke is the one marked, else the one by the rule of thumb.
    /// `None` outside these.
    #[must_use]
    pub fn new(from: f64, amount: f64) -> Option<Self> {
        let fits = (0.0..=WHOLE_BOW).contains(&from) && amount > 0.0 && amount <= WHOLE_BOW;
        fits.then_some(Self {
            from,
            amount,
            way: None,
        })
    }

    /// Chooses the way of the first stroke; a printed sign is obeyed all the same.
    #[must_use]
    pub const fn going(self, way: Bowing) -> Self {
        Self {
            way: Some(way),
            ..self
        }
    }
}

/// One stroke of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlannedStroke {
    /// Where its first note starts.
    pub place: Place,
    /// How many notes it has.
    pub notes: usize,
    /// Which way it goes.
    pub way: Bowing,
    /// Whether a printed sign says so.
    pub marked: bool,
    /// How long it lasts, in seconds.
    pub seconds: f64,
    /// Where it begins, in eighths of the bow from the frog.
    pub from: f64,
    /// Where it ends, in the same, kept on the bow.
    pub to: f64,
    /// How many eighths of bow there are too few for it; 0 when it fits.
    pub short_by: f64,
}

/// The strokes of a span in order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BowPlan {
    /// The strokes.
    pub strokes: Vec<PlannedStroke>,
}

impl BowPlan {
    /// Gives the index of the first stroke for which the bow runs out.
    #[must_use]
    pub fn runs_out(&self) -> Option<usize> {
        // What rounding leaves is no lack of bow.
        const NOTHING: f64 = 1e-9;
        self.strokes
            .iter()
            .position(|stroke| stroke.short_by > NOTHING)
    }
}

/// Plans the bow for a span of a part; empty where nothing is bowed.
///
/// All strokes are as fast as the first, so each takes bow by its seconds. A
/// printed sign is obeyed; unmarked strokes take turns, and after a rest of a
/// beat a phrase begins anew: down on a strong beat, up on a weak one, a pickup so that the
/// next downbeat comes down. A tremolo has no strokes to plan. Two
/// strokes in one direction: up-bows without a rest between are hooked and go
/// on where the first ended; everything else is a retake, back to where the
/// stroke before began. Where the bow runs out the next stroke begins at its end.
///
/// # Source
/// Length is speed times time: G. Fischbach, The Strad. Rule of thumb: Gehrkens,
/// Essentials in Conducting, "Bowing". Retake and hook: cellofun.eu.
#[must_use]
pub fn bow_plan(score: &Score, part: usize, guide: &Guide, span: Spot, start: BowStart) -> BowPlan {
    let Some(scene) = Scene::new(score, part, guide) else {
        return BowPlan::default();
    };
    let Some((from, to)) = bounds(&scene, span) else {
        return BowPlan::default();
    };
    let all = strokes(&scene);
    let first = all.partition_point(|stroke| stroke.start < from);
    let last = all.partition_point(|stroke| stroke.start < to);
    let inside = all.get(first..last).unwrap_or(&[]);
    BowPlan {
        strokes: plan(&scene, inside, start),
    }
}

/// Gives where the span starts, and where what begins no longer belongs to it.
fn bounds(scene: &Scene<'_>, span: Spot) -> Option<(BeatPos, BeatPos)> {
    let from = scene.position(span.from)?;
    let last = span.to.unwrap_or(span.from);
    let laid = scene.laid(last.measure)?;
    if last.at.is_zero() {
        return Some((from, laid.start.plus(laid.length).ok()?));
    }
    let end = scene.position(last)?;
    let after = scene.on_beat(last)?.beat.length;
    Some((from, end.plus(after).ok()?))
}

fn plan(scene: &Scene<'_>, strokes: &[Stroke], start: BowStart) -> Vec<PlannedStroke> {
    let lasts = |stroke: &Stroke| scene.seconds(stroke.start, stroke.end).max(0.0);
    let struck = scene.line.struck();
    let speed = strokes
        .first()
        .map(lasts)
        .filter(|lasts| *lasts > 0.0)
        .map_or(0.0, |lasts| start.amount / lasts);
    let mut planned: Vec<PlannedStroke> = Vec::with_capacity(strokes.len());
    for stroke in strokes {
        let Some(note) = struck.get(stroke.first) else {
            continue;
        };
        let before = planned.last();
        let way = match (stroke.told, before) {
            (Told::Marked | Told::ByRule, Some(_)) | (Told::Marked, None) => stroke.way,
            (Told::InTurn, Some(before)) => crate::strokes::other(before.way),
            (_, None) => start.way.unwrap_or(stroke.way),
        };
        let from = match before {
            None => start.from,
            Some(before) if before.way != way => before.to,
            Some(before) if way == Bowing::Up && stroke.silence.is_zero() => before.to,
            Some(before) => before.from,
        };
        let seconds = lasts(stroke);
        let takes = speed * seconds;
        let aim = match way {
            Bowing::Down => from + takes,
            Bowing::Up => from - takes,
        };
        let to = aim.clamp(0.0, WHOLE_BOW);
        planned.push(PlannedStroke {
            place: note.place,
            notes: stroke.last - stroke.first + 1,
            way,
            marked: stroke.told == Told::Marked,
            seconds,
            from,
            to,
            short_by: (aim - to).abs(),
        });
    }
    planned
}
