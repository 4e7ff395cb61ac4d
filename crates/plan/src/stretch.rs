//! Stretches of play: where a spot lies in the order of play.

use crate::playing::Plan;
use cueleaf_guide::Spot;
use cueleaf_time::{BeatSpan, Seconds};

/// A stretch of play without a leap back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// The index in the order of play of its first measure.
    pub first: usize,
    /// The index in the order of play of its last measure.
    pub last: usize,
    /// The second of the plan at which it starts.
    pub starts: Seconds,
    /// The second of the plan at which it ends.
    pub ends: Seconds,
}

impl Plan {
    /// Finds the stretch of play that covers a spot from a measure of it that is played at an
    /// index of the order: up to the end of its last measure or beat, or to
    /// where play leaps back or beyond it.
    #[must_use]
    pub fn stretch_from(&self, spot: &Spot, first: usize) -> Option<Stretch> {
        let written = |played: usize| self.order().get(played).map(|own| own.measure);
        let mut last = first;
        let mut now = written(first)?;
        while let Some(next) = written(last + 1)
            && next > now
            && next <= spot.last_measure()
        {
            last += 1;
            now = next;
        }
        let from = entered_at(spot, written(first)?);
        let starts = self.seconds_of(first, from)?;
        let last_beat = spot.to.filter(|to| !to.at.is_zero() && to.measure == now);
        let after_last_beat = last_beat.and_then(|to| {
            let counts = self.counts(last);
            let next = counts.iter().find(|count| count.at > to.at)?;
            self.seconds_of(last, next.at)
        });
        let ends = after_last_beat.unwrap_or_else(|| self.start_of(last + 1));
        Some(Stretch {
            first,
            last,
            starts,
            ends: ends.max(starts),
        })
    }
}

/// Gives where in a measure of a spot it begins: its own beat in its first one, else the start.
pub(crate) fn entered_at(spot: &Spot, measure: usize) -> BeatSpan {
    if measure == spot.from.measure {
        spot.from.at
    } else {
        BeatSpan::ZERO
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::playing::tests::guide;
    use cueleaf_guide::Place;

    #[test]
    fn a_spot_is_found_in_the_order_of_play() {
        let plan = Plan::new(&guide()).value;
        let whole = plan.stretch_from(&Spot::measures(0, 2), 0).unwrap();
        assert_eq!((whole.first, whole.last), (0, 2));
        assert!((whole.ends.get() - 5.0).abs() < 1e-12);
        let second_pass = plan.stretch_from(&Spot::measures(2, 2), 3).unwrap();
        assert!((second_pass.starts.get() - 5.0).abs() < 1e-12);
        let two_beats = Spot {
            from: Place {
                measure: 1,
                at: "1".parse().unwrap(),
            },
            to: Some(Place {
                measure: 1,
                at: "3/2".parse().unwrap(),
            }),
        };
        let stretch = plan.stretch_from(&two_beats, 1).unwrap();
        assert!((stretch.starts.get() - 2.0).abs() < 1e-12);
        assert!((stretch.ends.get() - 3.0).abs() < 1e-12);
        assert_eq!(plan.stretch_from(&Spot::measures(9, 9), 9), None);
    }
}
