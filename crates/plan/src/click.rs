//! Clicks: where they fall, and the count-in before them.

use crate::count::{Count, full_counts_of};
use crate::playing::Plan;
use crate::say::Say;
use crate::tempo_map::held_at;
use cueleaf_guide::{Hold, MAX_COUNT_IN};
use cueleaf_time::{BeatSpan, Level, Seconds};

/// One click.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Click {
    /// When it sounds, in seconds of the plan; in a count-in below zero, the
    /// seconds before the start of play.
    pub seconds: Seconds,
    /// What is said with it.
    pub say: Say,
    /// How strong it is.
    pub level: Level,
}

/// How much longer than a hold a lead-in may seem by rounding, in seconds.
const NEAR: f64 = 1e-9;

/// The counts before play starts.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CountIn {
    /// The clicks in order, their seconds below zero.
    pub clicks: Vec<Click>,
}

impl CountIn {
    /// Gives how long the count-in lasts, in seconds.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.clicks
            .first()
            .map_or(0.0, |first| -first.seconds.get())
    }

    /// Gives the same counts where the music goes `factor` times as quick.
    #[must_use]
    pub fn at_pace(mut self, factor: f64) -> Self {
        for click in &mut self.clicks {
            click.seconds = Seconds::new(click.seconds.get() / factor).unwrap_or(click.seconds);
        }
        self
    }
}

impl Plan {
    /// Gives the clicks of a played measure, in order; their seconds are those
    /// of the plan. A hold is silent but for the counts that lead on after it.
    #[must_use]
    pub fn clicks(&self, played: usize) -> Vec<Click> {
        let counts = self.counts(played).into_iter();
        let mut clicks: Vec<Click> = counts
            .filter_map(|count| {
                Some(Click {
                    seconds: self.seconds_of(played, count.at)?,
                    say: count.say,
                    level: count.level,
                })
            })
            .collect();
        self.add_lead_ins(played, &mut clicks);
        clicks
    }

    /// Adds the clicks that lead on at the end of the holds of a measure.
    pub(crate) fn add_lead_ins(&self, played: usize, clicks: &mut Vec<Click>) {
        if self.holds(played).is_empty() {
            return;
        }
        let counts = self.counts(played);
        for hold in self.holds(played) {
            clicks.extend(self.lead_in(played, hold, &counts));
        }
        clicks.sort_by_key(|click| click.seconds);
        clicks.dedup_by_key(|click| click.seconds);
    }

    fn lead_in(&self, played: usize, hold: &Hold, counts: &[Count]) -> Vec<Click> {
        let Some(laid) = self.measure(played) else {
            return Vec::new();
        };
        let held_at = held_at(laid, hold);
        let next = counts.partition_point(|count| count.at <= held_at);
        let held = next.checked_sub(1).and_then(|held| counts.get(held));
        let position = laid.start.plus(held_at).ok();
        let (Some(held), Some(position), Some(longer)) = (held, position, hold.longer) else {
            return Vec::new();
        };
        let per_quarter = 60.0 / self.tempo().quarters_per_minute_at(position);
        let beat = held.whole.quarters().to_f64() * per_quarter;
        let extra = longer.quarters().to_f64() * per_quarter;
        let on = match counts.get(next) {
            Some(count) => self.seconds_of(played, count.at),
            None => Some(self.start_of(played + 1)),
        };
        let (Some(on), Some(from)) = (on, self.seconds_of(played, held_at)) else {
            return Vec::new();
        };
        (1..=usize::from(hold.lead_in))
            .rev()
            .filter_map(|back| {
                #[allow(clippy::cast_precision_loss, reason = "at most 255")]
                let ahead = back as f64 * beat;
                // Only what the hold itself made room for.
                if ahead > extra + NEAR || on.get() - ahead <= from.get() + NEAR {
                    return None;
                }
                let said = counts.get(next.checked_sub(back)?)?;
                Some(Click {
                    seconds: Seconds::new(on.get() - ahead)?,
                    say: said.say,
                    level: Level::Beat,
                })
            })
            .collect()
    }

    /// Makes the count-in before a count of a played measure: so many full
    /// measures of its meter, at most [`MAX_COUNT_IN`], then the beats before the place
    /// itself, all in the tempo of the place.
    ///
    /// Before a pickup of one beat in 4/4 one measure of count-in is
    /// "1 2 3 4, 1 2 3".
    ///
    /// # Source
    /// Common practice, no source.
    #[must_use]
    pub fn count_in(&self, played: usize, count: usize, measures: u8) -> CountIn {
        let Some(laid) = self.measure(played) else {
            return CountIn::default();
        };
        if measures == 0 {
            return CountIn::default();
        }
        let at = self
            .counts(played)
            .get(count)
            .map_or(BeatSpan::ZERO, |count| count.at);
        let Ok(place) = laid.start.plus(at) else {
            return CountIn::default();
        };
        let seconds_per_quarter = 60.0 / self.tempo().quarters_per_minute_at(place);
        let full_length = laid.meter.length().unwrap_or(laid.length);
        let missing = if laid.pickup {
            full_length.minus_down_to_zero(laid.length)
        } else {
            BeatSpan::ZERO
        };
        // How far into the full measure play starts.
        let lead = missing.plus(at).unwrap_or(at);
        let full = full_counts_of(laid);
        let before_start = full.iter().filter(|count| count.at < lead);
        let lead_quarters = lead.quarters().to_f64();
        let full_quarters = full_length.quarters().to_f64();
        let whole = (1..=measures.min(MAX_COUNT_IN)).rev().flat_map(|back| {
            let shift = f64::from(back) * full_quarters;
            full.iter().map(move |count| (count, shift))
        });
        let clicks = whole
            .chain(before_start.map(|count| (count, 0.0)))
            .filter_map(|(count, shift): (&Count, f64)| {
                let quarters = count.at.quarters().to_f64() - lead_quarters - shift;
                Some(Click {
                    seconds: Seconds::new(quarters * seconds_per_quarter)?,
                    say: count.say,
                    level: count.level,
                })
            })
            .collect();
        CountIn { clicks }
    }
}

#[cfg(test)]
mod tests {
    use crate::Plan;
    use crate::playing::tests::guide;

    fn said(plan: &Plan, played: usize, count: usize, measures: u8) -> String {
        let words: Vec<String> = plan
            .count_in(played, count, measures)
            .clicks
            .iter()
            .map(|click| format!("{}@{}", click.say, click.seconds.get()))
            .collect();
        words.join(" ")
    }

    #[test]
    fn clicks_fall_on_the_counts() {
        let plan = Plan::new(&guide()).value;
        let all: Vec<f64> = (0..plan.order().len())
            .flat_map(|k| plan.clicks(k))
            .map(|click| click.seconds.get())
            .collect();
        assert_eq!(
            all,
            [0.0, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0]
        );
    }

    #[test]
    fn a_hold_is_silent_and_leads_on() {
        let mut guide = guide();
        let holds = &mut guide.road_map.measures[1].holds;
        holds.push(cueleaf_guide::Hold::new(
            "2".parse().unwrap(),
            "1".parse().ok(),
        ));
        let said = |guide: &cueleaf_guide::Guide| {
            let plan = Plan::new(guide).value;
            let words: Vec<String> = plan
                .clicks(1)
                .iter()
                .map(|click| format!("{}@{}", click.say, click.seconds.get()))
                .collect();
            words.join(" ")
        };
        // The last eighth is held for a quarter, one second, and one count leads on.
        assert_eq!(said(&guide), "1@1 2@1.5 1@2 2@2.5 3@3 3@4");
        guide.road_map.measures[1].holds[0].lead_in = 2;
        assert_eq!(said(&guide), "1@1 2@1.5 1@2 2@2.5 3@3 2@3.5 3@4");
        guide.road_map.measures[1].holds[0].lead_in = 0;
        assert_eq!(said(&guide), "1@1 2@1.5 1@2 2@2.5 3@3");
    }

    #[test]
    fn the_count_in_leads_to_the_place() {
        let plan = Plan::new(&guide()).value;
        // A pickup of one beat in 3/4: a measure, then the two beats before it.
        assert_eq!(said(&plan, 0, 0, 1), "1@-5 2@-4 3@-3 1@-2 2@-1");
        // From the third eighth of 5/8, in its groups.
        assert_eq!(
            said(&plan, 1, 2, 1),
            "1@-3.5 2@-3 1@-2.5 2@-2 3@-1.5 1@-1 2@-0.5"
        );
        assert_eq!(said(&plan, 2, 0, 1), "1@-1.5 2@-1 3@-0.5");
        assert_eq!(said(&plan, 2, 0, 0), "");
        assert!((plan.count_in(2, 0, 2).length() - 3.0).abs() < 1e-12);
        assert_eq!(said(&plan, 99, 0, 1), "");
        assert_eq!(plan.count_in(2, 0, 255), plan.count_in(2, 0, 4));
    }
}
