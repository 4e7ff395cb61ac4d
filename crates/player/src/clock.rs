//! The clock of a run: from its seconds to those of the audio clock, at the pace
//! of the moment, and onto the grid of samples.

/// From seconds of a run to seconds of the audio clock, through changes of pace.
#[derive(Debug, Clone, PartialEq)]
pub struct Clock {
    anchors: Vec<Anchor>,
}

/// From `at` on, which sounds at `time`, the run goes `rate` times as quick.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Anchor {
    at: f64,
    time: f64,
    rate: f64,
}

impl Clock {
    /// Starts a clock: the run's first click sounds at `time`.
    #[must_use]
    pub fn starting(time: f64, percent: f64) -> Self {
        Self {
            anchors: vec![Anchor {
                at: 0.0,
                time,
                rate: percent / 100.0,
            }],
        }
    }

    /// Changes the pace from a second of the run on; what comes before keeps its time.
    pub fn change(&mut self, at: f64, percent: f64) {
        let time = self.time_of(at);
        self.anchors.retain(|anchor| anchor.at < at);
        self.anchors.push(Anchor {
            at,
            time,
            rate: percent / 100.0,
        });
    }

    /// Renames the seconds of the run by so many, where another run takes its
    /// place; nothing sounds at another time for it.
    pub fn shift(&mut self, by: f64) {
        for anchor in &mut self.anchors {
            anchor.at += by;
        }
    }

    /// Gives how many seconds of the run pass in a second, at a second of it.
    #[must_use]
    pub fn rate_at(&self, at: f64) -> f64 {
        self.anchor(|anchor| anchor.at <= at)
            .map_or(1.0, |own| own.rate)
    }

    /// Gives the second of the audio clock at which a second of the run sounds.
    #[must_use]
    pub fn time_of(&self, at: f64) -> f64 {
        self.anchor(|anchor| anchor.at <= at)
            .map_or(at, |own| own.time + (at - own.at) / own.rate)
    }

    /// Gives the second of the run that sounds at a second of the audio clock;
    /// negative before the first click.
    #[must_use]
    pub fn at(&self, time: f64) -> f64 {
        self.anchor(|anchor| anchor.time <= time)
            .map_or(time, |own| own.at + (time - own.time) * own.rate)
    }

    fn anchor(&self, reached: impl Fn(&Anchor) -> bool) -> Option<&Anchor> {
        let last = self.anchors.iter().rev().find(|anchor| reached(anchor));
        last.or_else(|| self.anchors.first())
    }
}

/// Moves a time onto the grid of samples.
///
/// # Source
/// Measured: a source started between two samples is moved or blended by the
/// browsers; on the grid it starts at the exact sample in all of them.
#[must_use]
pub fn on_grid(time: f64, sample_rate: f64) -> f64 {
    (time * sample_rate).round() / sample_rate
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_of_pace_keeps_the_beat_it_starts_from() {
        let mut clock = Clock::starting(10.0, 100.0);
        clock.change(2.0, 50.0);
        assert_eq!(clock.time_of(2.0).to_bits(), 12.0_f64.to_bits());
        assert_eq!(clock.time_of(3.0).to_bits(), 14.0_f64.to_bits());
        assert_eq!(clock.time_of(1.0).to_bits(), 11.0_f64.to_bits());
        assert_eq!(clock.at(14.0).to_bits(), 3.0_f64.to_bits());
        assert_eq!(clock.at(9.0).to_bits(), (-1.0_f64).to_bits());
        // A second change before the first has come takes its place.
        clock.change(2.0, 200.0);
        assert_eq!(clock.time_of(3.0).to_bits(), 12.5_f64.to_bits());
    }

    #[test]
    fn a_shift_changes_no_time() {
        let mut clock = Clock::starting(10.0, 100.0);
        clock.change(2.0, 50.0);
        clock.shift(5.0);
        assert_eq!(clock.time_of(7.0).to_bits(), 12.0_f64.to_bits());
        assert_eq!(clock.at(14.0).to_bits(), 8.0_f64.to_bits());
        assert_eq!(clock.rate_at(6.0).to_bits(), 1.0_f64.to_bits());
        assert_eq!(clock.rate_at(7.0).to_bits(), 0.5_f64.to_bits());
    }

    #[test]
    fn the_grid_is_the_samples() {
        for rate in [44_100.0, 48_000.0] {
            for sample in [0.0, 1.0, 44_101.0, 26_460_007.0] {
                let time = (sample + 0.4) / rate;
                let snapped = on_grid(time, rate) * rate;
                assert!((snapped - sample).abs() < 1e-6);
            }
        }
    }
}
