//! Practising slower or faster than the plan: percentages, also by section.

use crate::playing::Plan;
use crate::tempo_map::Sum;
use cueleaf_time::Seconds;

/// The slowest pace, in percent of the plan.
///
/// # Source
/// Our decision: below it single counts no longer feel connected.
pub const SLOWEST_PERCENT: u16 = 10;
/// The fastest pace, in percent of the plan.
pub const FASTEST_PERCENT: u16 = 300;

/// A pace: percent of the plan's tempo, for the whole and for single sections.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pace {
    percent: u16,
    /// Where a section starts as written, and its own percentage; by rising start.
    sections: Vec<(usize, u16)>,
}

impl Default for Pace {
    fn default() -> Self {
        Self::percent(100)
    }
}

impl Pace {
    /// Makes a pace for the whole, brought inside the limits.
    #[must_use]
    pub fn percent(percent: u16) -> Self {
        Self {
            percent: percent.clamp(SLOWEST_PERCENT, FASTEST_PERCENT),
            sections: Vec::new(),
        }
    }

    /// Gives the same pace with another one for the section that starts at a
    /// written measure and goes on until the next one given; the two are
    /// multiplied.
    #[must_use]
    pub fn with_section(mut self, start: usize, percent: u16) -> Self {
        let percent = percent.clamp(SLOWEST_PERCENT, FASTEST_PERCENT);
        let at = self.sections.partition_point(|own| own.0 < start);
        self.sections.retain(|own| own.0 != start);
        self.sections.insert(at, (start, percent));
        self
    }

    /// Gives the factor by which a written measure is quicker than the plan.
    fn factor(&self, measure: usize) -> f64 {
        let after = self.sections.partition_point(|own| own.0 <= measure);
        let own = after.checked_sub(1).and_then(|at| self.sections.get(at));
        let own = own.map_or(100, |own| own.1);
        f64::from(self.percent) * f64::from(own) / 10_000.0
    }
}

/// The line of seconds as it sounds at a pace.
#[derive(Debug, Clone, PartialEq)]
pub struct PacedLine {
    pieces: Vec<Piece>,
}

/// A stretch of one pace.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    plan: f64,
    sounding: f64,
    factor: f64,
}

impl PacedLine {
    /// Lays a plan out at a pace.
    #[must_use]
    pub fn new(plan: &Plan, pace: &Pace) -> Self {
        let mut pieces: Vec<Piece> = Vec::new();
        let mut sounding = Sum::default();
        let mut last = 0.0;
        for (played, own) in plan.order().iter().enumerate() {
            let factor = pace.factor(own.measure);
            let start = plan.start_of(played).get();
            let same = pieces
                .last()
                .is_some_and(|piece| piece.factor.to_bits() == factor.to_bits());
            if same {
                continue;
            }
            if let Some(piece) = pieces.last() {
                sounding.add((start - last) / piece.factor);
            }
            last = start;
            pieces.push(Piece {
                plan: start,
                sounding: sounding.get(),
                factor,
            });
        }
        if pieces.is_empty() {
            pieces.push(Piece {
                plan: 0.0,
                sounding: 0.0,
                factor: pace.factor(0),
            });
        }
        Self { pieces }
    }

    /// Gives the second at which a second of the plan sounds.
    #[must_use]
    pub fn sounding(&self, plan: Seconds) -> Seconds {
        let next = self
            .pieces
            .partition_point(|piece| piece.plan <= plan.get());
        let piece = self.pieces.get(next.saturating_sub(1));
        piece
            .and_then(|piece| {
                Seconds::new(piece.sounding + (plan.get() - piece.plan) / piece.factor)
            })
            .unwrap_or(plan)
    }

    /// Gives the second of the plan that sounds at a second: the inverse of
    /// [`sounding`](Self::sounding).
    #[must_use]
    pub fn plan(&self, sounding: Seconds) -> Seconds {
        let next = self
            .pieces
            .partition_point(|piece| piece.sounding <= sounding.get());
        let piece = self.pieces.get(next.saturating_sub(1));
        piece
            .and_then(|piece| {
                Seconds::new(piece.plan + (sounding.get() - piece.sounding) * piece.factor)
            })
            .unwrap_or(sounding)
    }

    /// Gives how many seconds of the plan pass in a second at a place of it.
    #[must_use]
    pub fn factor_at(&self, plan: Seconds) -> f64 {
        let next = self
            .pieces
            .partition_point(|piece| piece.plan <= plan.get());
        self.pieces
            .get(next.saturating_sub(1))
            .map_or(1.0, |piece| piece.factor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::playing::tests::guide;
    use proptest::prelude::*;

    #[test]
    fn a_section_may_have_its_own_pace() {
        let plan = Plan::new(&guide()).value;
        let pace = Pace::percent(50).with_section(2, 200);
        let line = PacedLine::new(&plan, &pace);
        let at = |plan: f64| line.sounding(Seconds::new(plan).unwrap()).get();
        assert!((at(1.0) - 2.0).abs() < 1e-12);
        assert!((at(3.5) - 7.0).abs() < 1e-12);
        assert!((at(6.5) - 10.0).abs() < 1e-12);
        // Until the next one given, in whichever order they are; the last word counts.
        let both = pace.with_section(2, 100).with_section(1, 50);
        let line = PacedLine::new(&plan, &both);
        let at = |plan: f64| line.factor_at(Seconds::new(plan).unwrap());
        let measures = [0, 1, 2].map(|played| at(plan.start_of(played).get()));
        assert_eq!(
            measures.map(f64::to_bits),
            [0.5, 0.25, 0.5].map(f64::to_bits)
        );
    }

    #[test]
    fn the_limits_hold() {
        assert_eq!(Pace::percent(0), Pace::percent(SLOWEST_PERCENT));
        assert_eq!(Pace::percent(9_999), Pace::percent(FASTEST_PERCENT));
    }

    proptest! {
        #[test]
        fn sounding_and_plan_are_inverse(percent in 10u16..300, own in 10u16..300, at in 0.0f64..6.5) {
            let plan = Plan::new(&guide()).value;
            let line = PacedLine::new(&plan, &Pace::percent(percent).with_section(1, own));
            let at = Seconds::new(at).unwrap();
            prop_assert!((line.plan(line.sounding(at)).get() - at.get()).abs() < 1e-9);
        }
    }
}
