//! Which click falls when: a run through the plan.
//!
//! Everything here is arithmetic without a browser. Seconds of a *run* count
//! from its first click, count-in included, at the plan's own tempo or, where
//! sections have one of their own, at theirs; a [`Clock`](crate::clock::Clock) turns them into seconds of the audio clock at the pace of the
//! moment.

use cueleaf_plan::{ClickChoice, CountIn, Pace, PacedLine, Plan};
use cueleaf_time::{Level, Seconds};

/// How often a stretch is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Laps {
    /// Once, then play ends.
    Once,
    /// Again and again, counted in before the first time.
    Again,
    /// Again and again, counted in before each time.
    AgainCountedIn,
}

/// A stretch of the order of play, with its count-in and what clicks in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    first: usize,
    last: usize,
    laps: Laps,
    count_in: CountIn,
    choice: ClickChoice,
    /// The plan's seconds as the sections go.
    line: PacedLine,
    /// Seconds of that line at which the stretch starts and ends.
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
        Self::paced(plan, &Pace::default(), (first, last), laps, count_in)
    }

    /// Makes the same run with sections that go at a pace of their own.
    #[must_use]
    pub fn paced(
        plan: &Plan,
        pace: &Pace,
        (first, last): (usize, usize),
        laps: Laps,
        count_in: u8,
    ) -> Option<Self> {
        let last = last.min(plan.order().len().checked_sub(1)?);
        let line = PacedLine::new(plan, pace);
        let [start, end] = [first, last + 1].map(|at| line.sounding(plan.start_of(at)).get());
        // It is counted in as quick as the music goes on.
        let count_in = plan
            .count_in(first, 0, count_in)
            .at_pace(line.factor_at(plan.start_of(first)));
        (first <= last && end > start).then_some(Self {
            first,
            last,
            laps,
            count_in,
            choice: ClickChoice::default(),
            line,
            start,
            end,
        })
    }

    /// Gives the same run with other clicks; its count-in clicks on every count.
    #[must_use]
    pub const fn clicking(mut self, choice: ClickChoice) -> Self {
        self.choice = choice;
        self
    }

    /// Gives the index in the order of play at which the run starts.
    #[must_use]
    pub const fn first(&self) -> usize {
        self.first
    }

    /// Gives the played measures of the run, both included.
    #[must_use]
    pub const fn measures(&self) -> (usize, usize) {
        (self.first, self.last)
    }

    /// Gives the seconds of all counts of so many rounds of a run that goes round, without its
    /// count-in, and of their end. What leads on after a hold is no count of its own.
    #[must_use]
    pub fn counts(&self, plan: &Plan, rounds: u16) -> Vec<f64> {
        let begins = |round: u16| self.count_in.length() + f64::from(round) * self.length();
        let mut counts = Vec::new();
        for round in 0..rounds {
            for played in self.first..=self.last {
                let own = plan.counts(played).into_iter();
                let seconds = own.filter_map(|count| plan.seconds_of(played, count.at));
                counts.extend(seconds.map(|at| begins(round) + self.sounding(at) - self.start));
            }
        }
        counts.push(begins(rounds));
        counts
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
            Laps::Again | Laps::AgainCountedIn => Some(self.first),
        }
    }

    /// Gives the second of the plan at which the stretch starts.
    #[must_use]
    pub fn start(&self) -> Seconds {
        self.plan_at(self.start).unwrap_or(Seconds::ZERO)
    }

    /// Gives the second of the plan at a second of the paced line.
    fn plan_at(&self, sounding: f64) -> Option<Seconds> {
        Some(self.line.plan(Seconds::new(sounding)?))
    }

    /// Gives the second of the paced line at a second of the plan.
    fn sounding(&self, plan: Seconds) -> f64 {
        self.line.sounding(plan).get()
    }

    fn length(&self) -> f64 {
        self.end - self.start
    }

    /// Gives the seconds from one lap to the next.
    fn period(&self) -> f64 {
        match self.laps {
            Laps::AgainCountedIn => self.count_in.length() + self.length(),
            Laps::Once | Laps::Again => self.length(),
        }
    }

    /// Gives the second of the run at which a lap begins, its count-in included.
    fn lap_begins(&self, lap: u32) -> f64 {
        let before = match self.laps {
            Laps::Again if lap > 0 => self.count_in.length(),
            _ => 0.0,
        };
        before + f64::from(lap) * self.period()
    }

    /// Tells in which lap, from 0, a second of the run is.
    fn lap_of(&self, at: f64) -> u32 {
        let into = match self.laps {
            Laps::Once => return 0,
            Laps::Again => at - self.count_in.length(),
            Laps::AgainCountedIn => at,
        };
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a cast of what is out of range stops at the limit, which no one reaches"
        )]
        let lap = (into / self.period()) as u32;
        lap
    }

    /// Gives the second of the run at which the lap after the present one
    /// begins; `None` where there is no other.
    #[must_use]
    pub fn next_lap(&self, at: f64) -> Option<f64> {
        (self.laps != Laps::Once).then(|| self.lap_begins(self.lap_of(at) + 1))
    }

    /// Gives the clicks from one second of the run up to, without, another, as
    /// it goes `rate` times as quick as the plan.
    ///
    /// A click has the same second in every window, so windows that touch
    /// neither lose nor double one, and laps do not drift.
    #[must_use]
    pub fn clicks(&self, plan: &Plan, from: f64, to: f64, rate: f64) -> Vec<RunClick> {
        let before = self.count_in.length();
        let mut clicks = Vec::new();
        // One lap and one measure too early is filtered away below.
        let mut lap = self.lap_of(from).saturating_sub(1);
        while self.lap_begins(lap) < to && (lap == 0 || self.laps != Laps::Once) {
            let music = before + f64::from(lap) * self.period();
            if lap == 0 || self.laps == Laps::AgainCountedIn {
                clicks.extend(self.count_in.clicks.iter().map(|click| RunClick {
                    at: music + click.seconds.get(),
                    level: click.level,
                }));
            }
            // Of a lap that is over nothing is left.
            if from - music >= self.length() {
                lap += 1;
                continue;
            }
            let begins = self.plan_at(self.start + from - music);
            let begins = begins.and_then(|at| plan.at(at));
            let begins = begins.map_or(self.first, |instant| instant.played.saturating_sub(1));
            for played in begins.max(self.first)..=self.last {
                let start = plan.start_of(played);
                if music + self.sounding(start) - self.start >= to {
                    break;
                }
                let measures = self.last - self.first + 1;
                let round = played - self.first + lap as usize * measures;
                let rate = rate * self.line.factor_at(start);
                let chosen = plan.chosen_clicks(played, self.choice, round, rate);
                clicks.extend(chosen.into_iter().map(|click| RunClick {
                    at: music + (self.sounding(click.seconds) - self.start),
                    level: click.level,
                }));
            }
            lap += 1;
        }
        clicks.retain(|click| click.at >= from && click.at < to);
        clicks
    }

    /// Tells what the run is at.
    #[must_use]
    pub fn moment(&self, at: f64) -> Moment {
        if at < 0.0 {
            return Moment::Before;
        }
        let before = self.count_in.length();
        let into = at - f64::from(self.lap_of(at)) * self.period() - before;
        if into < 0.0 {
            let clicks = &self.count_in.clicks;
            let next = clicks.partition_point(|click| click.seconds.get() <= into);
            let now = next.checked_sub(1).and_then(|now| clicks.get(now));
            let said = now.and_then(|click| click.say.as_number());
            return said.map_or(Moment::Before, Moment::CountIn);
        }
        if self.laps == Laps::Once && into >= self.length() {
            return Moment::Over;
        }
        self.plan_at(self.start + into)
            .map_or(Moment::Over, Moment::Music)
    }

    /// Gives by how many seconds a second of this run is renamed when another
    /// run takes its place and the music goes on; `None` where the other run
    /// does not hold what is being played.
    #[must_use]
    pub fn shift_into(&self, other: &Self, at: f64) -> Option<f64> {
        let before = self.count_in.length();
        let longer = other.count_in.length() - before;
        let lap = self.lap_of(at);
        let local = at - f64::from(lap) * self.period();
        let in_music = local >= before;
        // The same second of the plan comes earlier or later at another pace.
        let same_pace = self.line == other.line;
        let local_there = if same_pace || !in_music {
            local
        } else {
            let plan = self.plan_at(self.start + local - before)?;
            before + other.sounding(plan) - other.start
        };
        let still_there = local_there < before + other.length();
        if self.first != other.first || !still_there || (!in_music && longer.abs() > 0.0) {
            return None;
        }
        if (self.laps, self.last) == (other.laps, other.last) && longer.abs() <= 0.0 && same_pace {
            return Some(0.0);
        }
        // What was heard a moment ago may belong to the lap before.
        let laps_kept = if other.laps == Laps::Once {
            0
        } else {
            lap.min(1)
        };
        Some(local_there + longer + f64::from(laps_kept) * other.period() - at)
    }
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
        let clicks = run.clicks(&plan, 0.0, 100.0, 1.0);
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
        assert_eq!(times(&run.clicks(&plan, 0.0, 2.0, 1.0)), [0.0, 1.0]);
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
            let whole = run.clicks(&plan, 0.0, 60.0, 1.0);
            let mut pieces = Vec::new();
            let mut from = 0.0;
            let mut width = 0.013;
            while from < 60.0 {
                let to = f64::min(from + width, 60.0);
                pieces.extend(run.clicks(&plan, from, to, 1.0));
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
        let far = run.clicks(&plan, 7200.0, 7202.5, 1.0);
        assert_eq!(times(&far), [7200.0, 7200.5, 7201.0, 7201.5, 7202.0]);
        assert_eq!(far[0].level, Level::Downbeat);
        assert_eq!(
            run.moment(7201.0),
            Moment::Music(Seconds::new(1.0).unwrap())
        );
    }

    #[test]
    fn a_loop_may_be_counted_in_each_time() {
        let plan = plan();
        let run = Run::new(&plan, 1, 1, Laps::AgainCountedIn, 1).unwrap();
        let times = times(&run.clicks(&plan, 0.0, 13.0, 1.0));
        assert_eq!(times, (0..13).map(f64::from).collect::<Vec<_>>());
        assert_eq!(run.moment(7.2), Moment::CountIn(2));
        assert_eq!(run.moment(10.0), Moment::Music(Seconds::new(3.5).unwrap()));
        assert_eq!(run.next_lap(7.2), Some(12.0));
        let again = Run::new(&plan, 1, 1, Laps::Again, 1).unwrap();
        assert_eq!(again.next_lap(7.2), Some(9.0));
        assert_eq!(
            Run::new(&plan, 1, 1, Laps::Once, 1).unwrap().next_lap(0.0),
            None
        );
    }

    #[test]
    fn silent_measures_go_on_over_the_laps() {
        let plan = plan();
        let choice = ClickChoice {
            silent_every: 2,
            ..ClickChoice::default()
        };
        // Three measures a lap: the second, then the first and the third are silent.
        let run = Run::new(&plan, 0, 2, Laps::Again, 0)
            .unwrap()
            .clicking(choice);
        let clicks = times(&run.clicks(&plan, 0.0, 17.0, 1.0));
        assert_eq!(
            clicks,
            [0.0, 0.5, 1.0, 1.5, 2.0, 5.5, 6.5, 7.5, 11.0, 12.0, 13.0]
        );
    }

    #[test]
    fn another_run_takes_over_where_the_music_is() {
        let plan = plan();
        let run = |last, laps, count_in| Run::new(&plan, 1, last, laps, count_in).unwrap();
        let again = run(1, Laps::Again, 1);
        // In its third lap, after a count-in of three seconds.
        let at = 3.0 + 2.0 * 3.0 + 0.75;
        let music = again.moment(at);
        for other in [
            run(2, Laps::Again, 1),
            run(2, Laps::AgainCountedIn, 2),
            run(2, Laps::Once, 0),
            run(1, Laps::Again, 1).clicking(ClickChoice {
                silent_every: 3,
                ..ClickChoice::default()
            }),
        ] {
            let by = again.shift_into(&other, at).unwrap();
            assert_eq!(other.moment(at + by), music, "{other:?}");
        }
        assert_eq!(run(2, Laps::Once, 1).shift_into(&again, 7.0), None);
        assert_eq!(again.shift_into(&run(1, Laps::Again, 2), 1.0), None);
        assert_eq!(again.shift_into(&run(2, Laps::Again, 1), 1.0), Some(0.0));
        let elsewhere = Run::new(&plan, 0, 2, Laps::Again, 1).unwrap();
        assert_eq!(again.shift_into(&elsewhere, at), None);
    }

    #[test]
    fn a_section_goes_at_its_own_pace_and_is_counted_in_at_it() {
        let plan = plan();
        // 5/8 at full pace, 3/4 at half, the last 3/4 at full pace.
        let pace = Pace::default().with_section(1, 50).with_section(2, 100);
        let run = |first, last| Run::paced(&plan, &pace, (first, last), Laps::Once, 1).unwrap();
        let whole = times(&run(0, 2).clicks(&plan, 2.5, 100.0, 1.0));
        assert_eq!(
            whole,
            [2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 7.0, 9.0, 11.0, 12.0, 13.0]
        );
        let slow = times(&run(1, 1).clicks(&plan, 0.0, 100.0, 1.0));
        assert_eq!(slow, [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]);
        let one_second_in = Moment::Music(Seconds::new(3.5).unwrap());
        assert_eq!(run(1, 1).moment(8.0), one_second_in);
        assert_eq!(run(0, 2).moment(7.0), one_second_in);
        // What plays goes on at the pace of another choice, at the same place.
        let even = Run::new(&plan, 0, 2, Laps::Once, 1).unwrap();
        let by = even.shift_into(&run(0, 2), 6.0).unwrap();
        assert_eq!(run(0, 2).moment(6.0 + by), one_second_in);
        assert_eq!(
            run(1, 1).shift_into(&Run::new(&plan, 1, 1, Laps::Once, 1).unwrap(), 1.0),
            None
        );
    }

    /// Two hours of a loop of 7/8 at quarter = 126, taken in the windows of the
    /// player, at two paces: each click is on the sample that whole numbers give.
    #[test]
    fn two_hours_do_not_drift_by_a_sample() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "Test");
        guide.road_map.measures = vec![Measure {
            meter: Some("7/8".parse().unwrap()),
            tempo: vec![TempoMark::at_once(
                BeatSpan::ZERO,
                "",
                "quarter = 126".parse().unwrap(),
            )],
            ..Measure::labelled("1")
        }];
        let plan = Plan::new(&guide).value;
        let run = Run::new(&plan, 0, 0, Laps::Again, 1).unwrap();
        for (percent, rate) in [(100_u64, 44_100_u64), (73, 48_000)] {
            let clock =
                crate::clock::Clock::starting(0.0, f64::from(u32::try_from(percent).unwrap()));
            let sample_rate = f64::from(u32::try_from(rate).unwrap());
            let (mut from, mut number) = (0.0, 0_u64);
            while from < 7200.0 {
                let to = from + 0.1;
                for click in run.clicks(&plan, from, to, 1.0) {
                    let time = crate::clock::on_grid(clock.time_of(click.at), sample_rate);
                    // An eighth lasts 60 / 252 s at full pace; halves go up.
                    let (top, bottom) = (number * 60 * 100 * rate, 252 * percent);
                    let exact = (2 * top + bottom) / (2 * bottom);
                    let tie = (2 * top) % (2 * bottom) == bottom;
                    let sample = (time * sample_rate).round();
                    let off = (sample - f64::from(u32::try_from(exact).unwrap())).abs();
                    assert!(off < 0.5 || tie && off < 1.5, "{number}: {sample} {exact}");
                    number += 1;
                }
                from = to;
            }
            assert!(number > 30_239, "{number}");
        }
    }
}
