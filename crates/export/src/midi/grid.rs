//! The grid of ticks on which everything that matters has a place.

use super::MidiError;
use cueleaf_guide::Guide;
use cueleaf_plan::Plan;
use cueleaf_time::{BeatSpan, Ratio};

/// The most ticks a quarter note may have.
///
/// # Source
/// RP-001: the division of a file is a number of 15 bits.
pub const MAX_TICKS: u16 = 32_767;

/// The fewest ticks a quarter note gets.
///
/// # Source
/// Our decision: at 60 quarters a minute about a millisecond.
const FEWEST: u16 = 960;

/// The fewest ticks where time stands still somewhere, so that counts inside a slow
/// stretch still fall well.
const FEWEST_WITH_STOPS: u16 = 9_600;

/// Ticks of which so many make a quarter note.
#[derive(Debug, Clone, Copy)]
pub(super) struct Grid(u16);

impl Grid {
    /// Finds the coarsest usable grid on which every measure, count, change of tempo and
    /// hold lies exactly.
    pub(super) fn of(guide: &Guide, plan: &Plan) -> Result<Self, MidiError> {
        let mut common = Common(1);
        let layout = plan.layout();
        let name = |index: usize| move || guide.road_map.number_of(index).into_owned();
        for (index, laid) in layout.measures().iter().enumerate() {
            let counts = laid.beats.beats().iter().map(|beat| beat.at.quarters());
            for place in counts.chain([laid.length.quarters()]) {
                common.take(place, name(index))?;
            }
        }
        for segment in plan.tempo().segments() {
            let before = layout.measures();
            let next = before.partition_point(|laid| laid.start <= segment.start);
            common.take(segment.start.quarters(), name(next.saturating_sub(1)))?;
        }
        let mut stands_still = false;
        for (played, own) in plan.order().iter().enumerate() {
            for stop in plan.stops(played) {
                stands_still = true;
                common.take(stop.quarters(), name(own.measure))?;
            }
        }
        let fewest = if stands_still {
            FEWEST_WITH_STOPS
        } else {
            FEWEST
        };
        let times = (MAX_TICKS / common.0).min(fewest.div_ceil(common.0));
        Ok(Self(common.0 * times))
    }

    /// Gives how many ticks make a quarter note.
    pub(super) const fn per_quarter(self) -> u16 {
        self.0
    }

    /// Gives the tick of an offset that lies on the grid.
    pub(super) fn ticks(self, at: BeatSpan) -> u64 {
        let ticks = at.quarters().times(Ratio::whole(i64::from(self.0)));
        ticks.map_or(0, |ticks| u64::try_from(ticks.floor()).unwrap_or(0))
    }

    /// Gives the offset of a tick.
    pub(super) fn offset(self, tick: u64) -> Option<BeatSpan> {
        let quarters = Ratio::new(i64::try_from(tick).ok()?, i64::from(self.0)).ok()?;
        BeatSpan::from_quarters(quarters).ok()
    }
}

/// The least common multiple of denominators.
struct Common(u16);

impl Common {
    fn take(&mut self, place: Ratio, name: impl FnOnce() -> String) -> Result<(), MidiError> {
        let own = i64::from(self.0);
        let common = Ratio::new(own, place.denominator())
            // The denominator that is left is what the common one lacks.
            .map(|rest| own.saturating_mul(rest.denominator()))
            .unwrap_or(i64::MAX);
        let fits = u16::try_from(common)
            .ok()
            .filter(|common| *common <= MAX_TICKS);
        self.0 = fits.ok_or_else(|| MidiError::TooFine { measure: name() })?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_common_multiple_has_a_limit() {
        let mut common = Common(1);
        for (denominator, expected) in [(4, 4), (6, 12), (1, 12), (7, 84), (60, 420)] {
            common
                .take(Ratio::new(1, denominator).unwrap(), || "1".to_owned())
                .unwrap();
            assert_eq!(common.0, expected);
        }
        let refused = common.take(Ratio::new(1, 101).unwrap(), || "12a".to_owned());
        let expected = MidiError::TooFine {
            measure: "12a".to_owned(),
        };
        assert_eq!(refused, Err(expected));
    }
}
