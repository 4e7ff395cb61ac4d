//! Practice runs: what clicks, what loops, and the ladder from slow to full tempo.

use crate::click::Click;
use crate::count::Count;
use crate::playing::Plan;
use crate::say::Say;
use cueleaf_time::math::{exp_m1, ln_1p};
use cueleaf_time::{Level, Ratio, Tempo};

/// On which counts a click sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ClickOn {
    /// On every count.
    #[default]
    Counts,
    /// On the first count of each group.
    Groups,
    /// On the first count of each measure.
    Downbeats,
    /// Half-way between the counts, never on them.
    OffBeats,
    /// Nowhere: only the count-in is heard.
    Nowhere,
}

/// Whether clicks sound between the counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Between {
    /// Never.
    #[default]
    Nothing,
    /// Where they are slow enough to help.
    WhereItHelps,
    /// Always.
    Always,
}

/// What clicks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ClickChoice {
    /// On which counts.
    pub on: ClickOn,
    /// Whether between them.
    pub between: Between,
    /// Every how-manieth measure is silent; 0 for none.
    pub silent_every: u16,
}

/// The quickest subdivision that helps a player, in seconds as it sounds.
///
/// # Source
/// B. Repp (2003), Rate limits in sensorimotor synchronization, Journal of
/// Motor Behavior 35, 355: subdividing becomes a cost below 200 to 250 ms.
pub const QUICKEST_HELP: f64 = 0.225;

impl Plan {
    /// Gives the clicks of a played measure as chosen, in order, in seconds of
    /// the plan.
    ///
    /// `round` is the how-manieth measure of the run it is, from 0; `factor`
    /// how many seconds of the plan pass in a second, which decides what is
    /// too quick to help.
    #[must_use]
    pub fn chosen_clicks(
        &self,
        played: usize,
        choice: ClickChoice,
        round: usize,
        factor: f64,
    ) -> Vec<Click> {
        let every = usize::from(choice.silent_every);
        let silent = every > 0 && round % every == every - 1;
        if silent || choice.on == ClickOn::Nowhere {
            return Vec::new();
        }
        let mut clicks = Vec::new();
        let stops = self.stops(played);
        for count in self.counts(played) {
            let wanted = match choice.on {
                ClickOn::Counts => true,
                ClickOn::Groups => count.level >= Level::Group,
                ClickOn::Downbeats => count.level == Level::Downbeat,
                ClickOn::OffBeats | ClickOn::Nowhere => false,
            };
            let Some(start) = self.seconds_of(played, count.at) else {
                continue;
            };
            if wanted {
                clicks.push(Click {
                    seconds: start,
                    say: count.say,
                    level: count.level,
                });
            }
            let between = match (choice.on, choice.between) {
                (ClickOn::OffBeats, _) | (_, Between::Always) => true,
                (_, Between::WhereItHelps) => {
                    self.division_lasts(played, &count) >= QUICKEST_HELP * factor
                }
                (_, Between::Nothing) => false,
            };
            if !between {
                continue;
            }
            let parts = match choice.on {
                ClickOn::OffBeats => 2,
                _ => count.divisions,
            };
            // Behind a hold there is nothing but the counts that lead on.
            let stop = stops.iter().find(|stop| {
                let behind = stop.minus(count.at);
                behind.is_ok_and(|behind| behind < count.length)
            });
            let inside = count.places_between(parts).into_iter();
            let inside = inside
                .filter(|at| !(wanted && *at == count.at) && stop.is_none_or(|stop| at <= stop));
            let inside = inside.filter_map(|at| self.seconds_of(played, at));
            clicks.extend(inside.map(|seconds| Click {
                seconds,
                say: Say::BETWEEN,
                level: Level::Subdivision,
            }));
        }
        if choice.on != ClickOn::OffBeats {
            self.add_lead_ins(played, &mut clicks);
        }
        clicks
    }

    /// Gives how many seconds of the plan a division of a count lasts in the tempo in
    /// which it begins.
    fn division_lasts(&self, played: usize, count: &Count) -> f64 {
        let laid = self.measure(played);
        laid.and_then(|laid| laid.start.plus(count.at).ok())
            .map_or(0.0, |place| {
                let quarters = count.whole.quarters().to_f64() / f64::from(count.divisions);
                60.0 * quarters / self.tempo().quarters_per_minute_at(place)
            })
    }

    /// Makes the ladder for a stretch of played measures, both included: from a
    /// percentage to another in so many rungs of equal ratio, or with 0 rungs
    /// over the traditional steps, where one tempo rules the stretch. Over
    /// several tempi these are six equal ratios (our decision).
    #[must_use]
    pub fn ladder(&self, first: usize, last: usize, from: u16, to: u16, rungs: u16) -> Vec<Rung> {
        match (rungs, self.one_tempo(first, last)) {
            (0, Some(tempo)) => traditional_ladder(tempo, from, to),
            (0, None) => even_ladder(from, to, 6),
            (rungs, _) => even_ladder(from, to, rungs),
        }
    }

    /// Gives the tempo that rules all of a stretch of played measures.
    fn one_tempo(&self, first: usize, last: usize) -> Option<Tempo> {
        let mut only = None;
        for played in first..=last {
            let laid = self.measure(played)?;
            let end = laid.start.plus(laid.length).ok()?;
            let segments = self.tempo().segments().iter();
            for segment in segments.filter(|own| own.start < end && own.end > laid.start) {
                if segment.from != segment.to || *only.get_or_insert(segment.from) != segment.from {
                    return None;
                }
            }
        }
        only
    }
}

/// The traditional steps of tempo, in beats a minute.
///
/// # Source
/// The settings of pendulum scales: 40 to 60 by 2, to 72 by 3, to 120 by 4,
/// to 144 by 6, to 208 by 8 (39 steps; list in the horn players' mail archive
/// of the University of Memphis, message 29183).
const TRADITIONAL: [(u16, u16); 5] = [(60, 2), (72, 3), (120, 4), (144, 6), (208, 8)];

/// Gives the traditional steps of tempo in order.
#[must_use]
pub fn traditional_steps() -> Vec<u16> {
    let mut steps = vec![40];
    let mut now = 40;
    for (until, by) in TRADITIONAL {
        while now < until {
            now += by;
            steps.push(now);
        }
    }
    steps
}

/// One rung of a ladder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rung {
    /// Percent of the plan's tempo.
    pub percent: f64,
    /// The tempo of the rung, when one tempo rules the spot.
    pub tempo: Option<Tempo>,
}

/// Makes a ladder over the traditional steps of tempo, for a spot in one tempo:
/// from a percentage of it to another, both ends included.
#[must_use]
pub fn traditional_ladder(tempo: Tempo, from: u16, to: u16) -> Vec<Rung> {
    let full = tempo.per_minute().to_f64();
    let bound = |percent: u16| full * f64::from(percent) / 100.0;
    let (low, high) = (bound(from.min(to)), bound(from.max(to)));
    let inner = traditional_steps()
        .into_iter()
        .filter(|step| f64::from(*step) > low && f64::from(*step) < high)
        .map(|step| Ratio::whole(i64::from(step)));
    let end = |percent: u16| {
        let share = Ratio::new(i64::from(percent), 100).ok()?;
        tempo.per_minute().times(share).ok()
    };
    let mut steps: Vec<Ratio> = end(from.min(to)).into_iter().collect();
    steps.extend(inner);
    if from != to {
        steps.extend(end(from.max(to)));
    }
    if from > to {
        steps.reverse();
    }
    steps
        .into_iter()
        .map(|step| Rung {
            percent: 100.0 * step.to_f64() / full,
            tempo: Tempo::new(tempo.unit(), step).ok(),
        })
        .collect()
}

/// Makes a ladder of equal ratios in percent, for a spot of several tempi:
/// `rungs` of them, at least one, both ends included.
#[must_use]
pub fn even_ladder(from: u16, to: u16, rungs: u16) -> Vec<Rung> {
    let (from, to) = (f64::from(from.max(1)), f64::from(to.max(1)));
    let steps = f64::from(rungs.max(2) - 1);
    let log = ln_1p((to - from) / from);
    (0..rungs.max(1))
        .map(|rung| {
            let part = f64::from(rung) / steps;
            let between = from + from * exp_m1(log * part);
            Rung {
                // The last rung is its end to the last bit.
                percent: if part < 1.0 { between } else { to },
                tempo: None,
            }
        })
        .collect()
}

/// Where a student is on a ladder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Climb {
    /// The rung, from 0.
    pub rung: usize,
    /// How many times in a row went well on it, at most as many as are needed.
    pub clean: u16,
}

impl Climb {
    /// Goes on after a time that went well: up when it was the `needed`-th in a
    /// row, at most to the last of `rungs`.
    #[must_use]
    pub fn went_well(self, needed: u16, rungs: usize) -> Self {
        let clean = self.clean.saturating_add(1).min(needed);
        if clean < needed || self.rung + 1 >= rungs {
            return Self { clean, ..self };
        }
        Self {
            rung: self.rung + 1,
            clean: 0,
        }
    }

    /// Stays on the rung after a time that did not go well.
    #[must_use]
    pub const fn once_more(self) -> Self {
        Self { clean: 0, ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::playing::tests::guide;

    fn seconds(plan: &Plan, played: usize, choice: ClickChoice, factor: f64) -> Vec<f64> {
        plan.chosen_clicks(played, choice, 0, factor)
            .iter()
            .map(|click| click.seconds.get())
            .collect()
    }

    #[test]
    fn clicks_as_chosen() {
        let plan = Plan::new(&guide()).value;
        let on = |on| ClickChoice {
            on,
            ..ClickChoice::default()
        };
        assert_eq!(
            seconds(&plan, 1, on(ClickOn::Counts), 1.0),
            [1.0, 1.5, 2.0, 2.5, 3.0]
        );
        assert_eq!(seconds(&plan, 1, on(ClickOn::Groups), 1.0), [1.0, 2.0]);
        assert_eq!(seconds(&plan, 1, on(ClickOn::Downbeats), 1.0), [1.0]);
        assert_eq!(
            seconds(&plan, 2, on(ClickOn::OffBeats), 1.0),
            [3.75, 4.25, 4.75]
        );
    }

    #[test]
    fn what_is_too_quick_is_left_out_at_the_sounding_tempo() {
        let plan = Plan::new(&guide()).value;
        let choice = ClickChoice {
            between: Between::WhereItHelps,
            ..ClickChoice::default()
        };
        // Eighths of quarter = 120 are 250 ms apart: they help, but not at 120 %.
        assert_eq!(seconds(&plan, 2, choice, 1.0).len(), 6);
        assert_eq!(seconds(&plan, 2, choice, 1.2).len(), 3);
        let always = ClickChoice {
            between: Between::Always,
            ..choice
        };
        assert_eq!(seconds(&plan, 2, always, 1.2).len(), 6);
    }

    #[test]
    fn nothing_clicks_behind_a_hold_but_what_leads_on() {
        let mut guide = guide();
        let held = cueleaf_guide::Hold::new("1".parse().unwrap(), "4".parse().ok());
        guide.road_map.measures[2].holds = vec![held];
        guide.road_map.measures[2].tempo[0].tempo = "quarter = 200".parse().ok();
        let plan = Plan::new(&guide).value;
        let check = |between, on, factor, expected: &[f64]| {
            let choice = ClickChoice {
                on,
                between,
                ..ClickChoice::default()
            };
            let clicks = seconds(&plan, 2, choice, factor);
            let from = plan.start_of(2).get();
            let after: Vec<f64> = clicks
                .iter()
                .map(|seconds| ((seconds - from) * 1000.0).round() / 1000.0)
                .collect();
            assert_eq!(after, expected, "{between:?} {on:?}");
        };
        // Beats at 0, 0.3, and after the hold of 1.2 s at 1.8; one leads on at 1.5.
        let counts = [0.0, 0.3, 1.5, 1.8];
        check(Between::WhereItHelps, ClickOn::Counts, 1.0, &counts);
        let always = [0.0, 0.15, 0.3, 1.5, 1.8, 1.95];
        check(Between::Always, ClickOn::Counts, 1.0, &always);
        check(Between::WhereItHelps, ClickOn::Counts, 0.5, &always);
        check(Between::Nothing, ClickOn::OffBeats, 1.0, &[0.15, 1.95]);
    }

    #[test]
    fn a_pickup_inside_a_beat_clicks_as_a_subdivision() {
        let mut guide = guide();
        guide.road_map.measures[0].length = "1/2".parse().ok();
        let plan = Plan::new(&guide).value;
        let levels = |on, between| {
            let choice = ClickChoice {
                on,
                between,
                ..ClickChoice::default()
            };
            let clicks = plan.chosen_clicks(0, choice, 0, 1.0);
            clicks.iter().map(|click| click.level).collect::<Vec<_>>()
        };
        let once = [Level::Subdivision];
        assert_eq!(levels(ClickOn::Counts, Between::Nothing), once);
        assert_eq!(levels(ClickOn::Counts, Between::Always), once);
        assert_eq!(levels(ClickOn::OffBeats, Between::Nothing), once);
        assert_eq!(levels(ClickOn::Groups, Between::Nothing), []);
        assert_eq!(levels(ClickOn::Downbeats, Between::Always), once);
        // The measure and the two beats before it are counted in as ever.
        let count_in = plan.count_in(0, 0, 1);
        let said: Vec<String> = count_in
            .clicks
            .iter()
            .map(|click| click.say.to_string())
            .collect();
        assert_eq!(said.join(" "), "1 2 3 1 2 3");
        assert_eq!(plan.clicks(0)[0].say.to_string(), "&");
    }

    #[test]
    fn every_nth_measure_is_silent() {
        let plan = Plan::new(&guide()).value;
        let choice = ClickChoice {
            silent_every: 2,
            ..ClickChoice::default()
        };
        assert!(!plan.chosen_clicks(2, choice, 0, 1.0).is_empty());
        assert!(plan.chosen_clicks(2, choice, 1, 1.0).is_empty());
    }

    /// Source: the list of settings named above: 39 steps.
    #[test]
    fn the_traditional_steps() {
        let steps = traditional_steps();
        assert_eq!(steps.len(), 39);
        assert_eq!(
            (steps[0], steps[10], steps[14], steps[38]),
            (40, 60, 72, 208)
        );
        assert!(steps.contains(&56));
    }

    #[test]
    fn ladders_reach_both_ends() {
        let tempo: Tempo = "quarter = 132".parse().unwrap();
        let percents: Vec<String> = traditional_ladder(tempo, 60, 100)
            .iter()
            .map(|rung| rung.tempo.unwrap().per_minute().to_string())
            .collect();
        assert_eq!(
            percents,
            [
                "396/5", "80", "84", "88", "92", "96", "100", "104", "108", "112", "116", "120",
                "126", "132"
            ]
        );
        let down = traditional_ladder(tempo, 100, 60);
        assert!(down.first().unwrap().percent > down.last().unwrap().percent);
        let even = even_ladder(50, 100, 3);
        assert!((even[1].percent - 70.710_678_118_654_76).abs() < 1e-9);
        assert_eq!(even_ladder(50, 100, 1).len(), 1);
        // 30 · (100 ÷ 30) is a little more.
        let last = even_ladder(30, 100, 6).pop().map(|rung| rung.percent);
        assert_eq!(last, Some(100.0));
        assert_eq!(traditional_ladder(tempo, 100, 100).len(), 1);
    }

    #[test]
    fn a_ladder_over_several_tempi_goes_in_percent() {
        let plan = Plan::new(&guide()).value;
        let one = plan.ladder(2, 3, 50, 100, 0);
        assert_eq!(one[0].tempo.unwrap().to_string(), "quarter = 60");
        assert_eq!(one[4].tempo.unwrap().to_string(), "quarter = 72");
        let several = plan.ladder(1, 2, 50, 100, 0);
        assert_eq!((several.len(), several[0].tempo), (6, None));
        assert_eq!(plan.ladder(2, 3, 50, 100, 3).len(), 3);
        assert_eq!(plan.ladder(9, 9, 50, 100, 3).len(), 3);
    }

    #[test]
    fn a_climb_goes_up_after_enough_clean_times() {
        let climb = Climb::default().went_well(2, 3);
        assert_eq!(climb, Climb { rung: 0, clean: 1 });
        let up = climb.went_well(2, 3);
        assert_eq!(up, Climb { rung: 1, clean: 0 });
        assert_eq!(up.went_well(2, 3).once_more(), Climb { rung: 1, clean: 0 });
        let top = Climb { rung: 2, clean: 1 };
        let reached = top.went_well(2, 3);
        assert_eq!(reached, Climb { rung: 2, clean: 2 });
        // It stays there: three of two would be no count.
        assert_eq!(reached.went_well(2, 3), reached);
    }
}
