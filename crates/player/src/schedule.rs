//! Which click falls when: a run through the plan, and the clock it runs by.
//!
//! Everything here is arithmetic without a browser. Seconds of a *run* count
//! from its first click, count-in included, at the plan's own tempo; a
//! [`Clock`] turns them into seconds of the audio clock at the pace of the
//! moment.

use cueleaf_plan::{CountIn, Plan};
use cueleaf_time::{Level, Seconds};

/// How often a stretch is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Laps {
    /// Once, then play ends.
    Once,
    /// Again and again.
    Again,
}

/// A stretch of the order of play, with its count-in.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    first: usize,
    last: usize,
    laps: Laps,
    count_in: CountIn,
    /// Seconds of the plan at which the stretch starts and ends.
    start: f64,
    end: f64,
}

/// One click of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunClick {
    /// When, in seconds of the run.
    pub at: f64,
    /// How strong.
    pub level: Level,
}

/// What a run is at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Moment {
    /// Before the first click.
    Before,
    /// In the count-in; the number is said.
    CountIn(u16),
    /// In the music, at a second of the plan.
    Music(Seconds),
    /// After the end.
    Over,
}

impl Run {
    /// Makes a run over played measures, both included, after so many measures
    /// of count-in. `None` where nothing is to be played.
    #[must_use]
    pub fn new(plan: &Plan, first: usize, last: usize, laps: Laps, count_in: u8) -> Option<Self> {
        let last = last.min(plan.order().len().checked_sub(1)?);
        let start = plan.start_of(first).get();
        let end = plan.start_of(last + 1).get();
        (first <= last && end > start).then(|| Self {
            first,
            last,
            laps,
            count_in: plan.count_in(first, 0, count_in),
            start,
            end,
        })
    }

    /// Gives the index in the order of play at which the run starts.
    #[must_use]
    pub const fn first(&self) -> usize {
        self.first
    }

    /// Tells whether the run goes from one played measure to the one after it.
    #[must_use]
    pub const fn goes_on_after(&self, played: usize) -> bool {
        played < self.last
    }

    /// Gives the index of the played measure that comes after one in the run.
    #[must_use]
    pub fn after(&self, played: usize) -> Option<usize> {
        match self.laps {
            _ if played < self.last => Some(played + 1),
            Laps::Once => None,
            Laps::Again => Some(self.first),
        }
    }

    /// Gives the second of the plan at which the stretch starts.
    #[must_use]
    pub fn start(&self) -> Seconds {
        Seconds::new(self.start).unwrap_or(Seconds::ZERO)
    }

    fn lap_length(&self) -> f64 {
        self.end - self.start
    }

    /// Gives the clicks from one second of the run up to, without, another.
    ///
    /// A click has the same second in every window, so windows that touch
    /// neither lose nor double one, and laps do not drift.
    #[must_use]
    pub fn clicks(&self, plan: &Plan, from: f64, to: f64) -> Vec<RunClick> {
        let before = self.count_in.length();
        let counted = self.count_in.clicks.iter().map(|click| RunClick {
            at: before + click.seconds.get(),
            level: click.level,
        });
        let mut clicks: Vec<RunClick> = counted.collect();
        // One lap and one measure too early is filtered away below.
        let mut lap = ((from - before) / self.lap_length()).floor().max(1.0) - 1.0;
        while before + lap * self.lap_length() < to {
            if self.laps == Laps::Once && lap > 0.0 {
                break;
            }
            self.lap_clicks(plan, lap, from - before, to - before, &mut clicks);
            lap += 1.0;
        }
        clicks.retain(|click| click.at >= from && click.at < to);
        clicks
    }

    fn lap_clicks(&self, plan: &Plan, lap: f64, from: f64, to: f64, clicks: &mut Vec<RunClick>) {
        let into = lap * self.lap_length();
        let begins = Seconds::new(self.start + from - into).and_then(|at| plan.at(at));
        let begins = begins.map_or(self.first, |instant| instant.played.saturating_sub(1));
        for played in begins.max(self.first)..=self.last {
            if into + plan.start_of(played).get() - self.start >= to {
                break;
            }
            clicks.extend(plan.clicks(played).into_iter().map(|click| RunClick {
                at: self.count_in.length() + into + (click.seconds.get() - self.start),
                level: click.level,
            }));
        }
    }

    /// Tells what the run is at.
    #[must_use]
    pub fn moment(&self, at: f64) -> Moment {
        let before = self.count_in.length();
        if at < before {
            let clicks = &self.count_in.clicks;
            let next = clicks.partition_point(|click| before + click.seconds.get() <= at);
            let now = next.checked_sub(1).and_then(|now| clicks.get(now));
            return now.map_or(Moment::Before, |click| Moment::CountIn(click.say));
        }
        if at < 0.0 {
            return Moment::Before;
        }
        let into = at - before;
        let into = match self.laps {
            Laps::Once if into >= self.lap_length() => return Moment::Over,
            Laps::Once => into,
            Laps::Again => into % self.lap_length(),
        };
        Seconds::new(self.start + into).map_or(Moment::Over, Moment::Music)
    }
}

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
    pub fn starting(time: f64, percent: u16) -> Self {
        Self {
            anchors: vec![Anchor {
                at: 0.0,
                time,
                rate: f64::from(percent) / 100.0,
            }],
        }
    }

    /// Changes the pace from a second of the run on; what comes before keeps its time.
    pub fn change(&mut self, at: f64, percent: u16) {
        let time = self.time_of(at);
        self.anchors.retain(|anchor| anchor.at < at);
        self.anchors.push(Anchor {
            at,
            time,
            rate: f64::from(percent) / 100.0,
        });
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
    use cueleaf_guide::{Guide, Id, Measure, TempoMark};
    use cueleaf_time::BeatSpan;

    /// 5/8 in 2+3 and two measures of 3/4, all with a quarter of one second.
    fn plan() -> Plan {
        let mut guide = Guide::new(Id::new("g").unwrap(), "Test");
        guide.road_map.measures = vec![
            Measure {
                meter: Some("5/8".parse().unwrap()),
                groups: Some("2+3".parse().unwrap()),
                tempo: vec![TempoMark::at_once(
                    BeatSpan::ZERO,
                    "",
                    "quarter = 60".parse().unwrap(),
                )],
                ..Measure::labelled("1")
            },
            Measure {
                meter: Some("3/4".parse().unwrap()),
                ..Measure::labelled("2")
            },
            Measure::labelled("3"),
        ];
        Plan::new(&guide).value
    }

    fn times(clicks: &[RunClick]) -> Vec<f64> {
        clicks.iter().map(|click| click.at).collect()
    }

    #[test]
    fn a_run_counts_in_and_plays() {
        let plan = plan();
        let run = Run::new(&plan, 0, 1, Laps::Once, 1).unwrap();
        let clicks = run.clicks(&plan, 0.0, 100.0);
        assert_eq!(
            times(&clicks),
            [
                0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0, 7.0
            ]
        );
        assert_eq!(clicks[7].level, Level::Group);
        assert_eq!(run.moment(-0.1), Moment::Before);
        assert_eq!(run.moment(1.2), Moment::CountIn(1));
        assert_eq!(run.moment(2.5), Moment::Music(Seconds::ZERO));
        assert_eq!(run.moment(8.0), Moment::Over);
        assert!(run.goes_on_after(0) && !run.goes_on_after(1));
    }

    #[test]
    fn without_count_in_it_starts_at_once() {
        let plan = plan();
        let run = Run::new(&plan, 1, 2, Laps::Once, 0).unwrap();
        assert_eq!(times(&run.clicks(&plan, 0.0, 2.0)), [0.0, 1.0]);
        assert_eq!(run.moment(-0.1), Moment::Before);
        assert_eq!(run.moment(0.0), Moment::Music(Seconds::new(2.5).unwrap()));
        assert_eq!(Run::new(&plan, 2, 1, Laps::Once, 0), None);
        assert_eq!(Run::new(&plan, 9, 9, Laps::Once, 0), None);
    }

    #[test]
    fn windows_that_touch_lose_and_double_nothing() {
        let plan = plan();
        for laps in [Laps::Once, Laps::Again] {
            let run = Run::new(&plan, 0, 2, laps, 1).unwrap();
            let whole = run.clicks(&plan, 0.0, 60.0);
            let mut pieces = Vec::new();
            let mut from = 0.0;
            let mut width = 0.013;
            while from < 60.0 {
                let to = f64::min(from + width, 60.0);
                pieces.extend(run.clicks(&plan, from, to));
                from = to;
                width = width * 1.37 % 1.0 + 0.01;
            }
            assert_eq!(pieces, whole);
        }
    }

    #[test]
    fn laps_do_not_drift() {
        let plan = plan();
        let run = Run::new(&plan, 0, 0, Laps::Again, 0).unwrap();
        let far = run.clicks(&plan, 7200.0, 7202.5);
        assert_eq!(times(&far), [7200.0, 7200.5, 7201.0, 7201.5, 7202.0]);
        assert_eq!(far[0].level, Level::Downbeat);
        assert_eq!(
            run.moment(7201.0),
            Moment::Music(Seconds::new(1.0).unwrap())
        );
    }

    #[test]
    fn a_change_of_pace_keeps_the_beat_it_starts_from() {
        let mut clock = Clock::starting(10.0, 100);
        clock.change(2.0, 50);
        assert_eq!(clock.time_of(2.0).to_bits(), 12.0_f64.to_bits());
        assert_eq!(clock.time_of(3.0).to_bits(), 14.0_f64.to_bits());
        assert_eq!(clock.time_of(1.0).to_bits(), 11.0_f64.to_bits());
        assert_eq!(clock.at(14.0).to_bits(), 3.0_f64.to_bits());
        assert_eq!(clock.at(9.0).to_bits(), (-1.0_f64).to_bits());
        // A second change before the first has come takes its place.
        clock.change(2.0, 200);
        assert_eq!(clock.time_of(3.0).to_bits(), 12.5_f64.to_bits());
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
