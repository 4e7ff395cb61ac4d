//! How steady a student taps along: judged around the student's own median.

/// The fewest taps that are judged.
///
/// # Source
/// Our decision, with the handbook's remark that a tempo found with six to eight taps is good to
/// three in a hundred.
pub const LEAST_TAPS: usize = 8;

/// How many counts a student may need at first to find the beat; they are not missed.
///
/// # Source
/// Our decision: a measure of four.
pub const FINDING: usize = 4;

/// What is never faulted, as a part of the interval.
///
/// # Source
/// A displaced click is noticed at about 2.5 percent of its interval (perception studies, from
/// memory); no student is held to less.
pub const NEVER_FAULTED: f64 = 0.03;

/// How far the usual tap may lie from the student's middle, as a part of the interval, to count
/// as steady and as settling.
///
/// # Source
/// Our decision: an adult's taps scatter by some 2 to 5 percent, a child's by about twice that
/// (from memory).
const STEADY: f64 = 0.05;
const SETTLING: f64 = 0.1;

/// How a tap lay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lay {
    /// Before the student's middle.
    Early,
    /// On it.
    On,
    /// After it.
    Late,
}

/// One tap, matched with the count it was meant for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tap {
    /// The index of the count among those expected.
    pub count: usize,
    /// How far it lies after the student's middle, as a part of the interval; negative before.
    pub off: f64,
}

impl Tap {
    /// Tells how it lay; less than [`NEVER_FAULTED`] is on.
    #[must_use]
    pub fn lay(&self) -> Lay {
        if self.off < -NEVER_FAULTED {
            Lay::Early
        } else if self.off > NEVER_FAULTED {
            Lay::Late
        } else {
            Lay::On
        }
    }
}

/// What a round of taps shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The taps keep together.
    Steady,
    /// They nearly do.
    Settling,
    /// A slower tempo will help.
    TrySlower,
}

/// A round of taps, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct TapRound {
    /// The taps that were matched, in order of their counts.
    pub taps: Vec<Tap>,
    /// How far the middle tap lies after its count, in seconds; negative before. The device's
    /// delay and the student's habit are both in it, so it is no fault.
    pub median: f64,
    /// How many counts had no tap, but for the [`FINDING`] at the start.
    pub missed: usize,
    /// What it shows.
    pub verdict: Verdict,
}

/// Judges taps against the counts they were meant for.
///
/// `counts` are the seconds of the counts in order, and of the one after the last, which ends
/// the last interval; `taps` are seconds of the same clock in any order. A tap belongs to the
/// nearest count, by at most half of the interval after it, or before it by less than half of
/// the shorter of its two intervals, once the taps' common delay is taken off; of several the
/// nearest counts. `None` with fewer than [`LEAST_TAPS`] matched.
///
/// ```
/// use cueleaf_plan::{Verdict, judge_taps};
/// let counts: Vec<f64> = (0..=8).map(f64::from).collect();
/// // Always a twentieth of a second early: steady all the same.
/// let taps: Vec<f64> = counts.iter().take(8).map(|at| at - 0.05).collect();
/// let round = judge_taps(&counts, &taps).unwrap();
/// assert_eq!(round.verdict, Verdict::Steady);
/// assert!((round.median + 0.05).abs() < 1e-9);
/// ```
#[must_use]
pub fn judge_taps(counts: &[f64], taps: &[f64]) -> Option<TapRound> {
    // The delay shows first as the middle of what lies nearest; around it they are matched anew.
    let rough = median(matched(counts, taps, 0.0).into_iter().map(|(_, off)| off))?;
    let matched = matched(counts, taps, rough);
    if matched.len() < LEAST_TAPS {
        return None;
    }
    let median_off = median(matched.iter().map(|(_, off)| *off))?;
    let parts: Vec<Tap> = matched
        .iter()
        .filter_map(|(count, off)| {
            let interval = counts.get(count + 1)? - counts.get(*count)?;
            let off = (off - median_off) / interval;
            Some(Tap { count: *count, off })
        })
        .collect();
    let usual = median(parts.iter().map(|tap| tap.off.abs()))?;
    let verdict = if usual <= STEADY {
        Verdict::Steady
    } else if usual <= SETTLING {
        Verdict::Settling
    } else {
        Verdict::TrySlower
    };
    let finding = parts.first().map_or(0, |first| first.count.min(FINDING));
    let missed = counts.len().saturating_sub(1 + parts.len() + finding);
    // With many counts untapped the others say little about steadiness.
    let verdict = if missed > parts.len() / 3 {
        Verdict::TrySlower
    } else {
        verdict
    };
    Some(TapRound {
        taps: parts,
        median: median_off,
        missed,
        verdict,
    })
}

/// Gives each count that has a tap, with how far that lies after it, in seconds.
fn matched(counts: &[f64], taps: &[f64], delay: f64) -> Vec<(usize, f64)> {
    let intervals = counts.windows(2).filter_map(|pair| match pair {
        [from, to] => Some((*from, to - from)),
        _ => None,
    });
    let mut before = f64::MAX;
    let mut found = Vec::new();
    for (count, (at, after)) in intervals.enumerate() {
        let near = |off: f64| off > -before.min(after) / 2.0 && off <= after / 2.0;
        let offs = taps.iter().map(|tap| tap - delay - at);
        let nearest = offs
            .filter(|off| near(*off))
            .reduce(|one, other| if other.abs() < one.abs() { other } else { one });
        found.extend(nearest.map(|off| (count, off + delay)));
        before = after;
    }
    found
}

/// Gives the middle value; of an even number the mean of the two. `None` of nothing.
fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    // Put in order one by one: there are a few dozen, and the page stays light.
    let mut sorted: Vec<f64> = Vec::new();
    for value in values {
        let at = sorted.partition_point(|own| *own <= value);
        sorted.insert(at, value);
    }
    let upper = *sorted.get(sorted.len() / 2)?;
    let lower = *sorted.get(sorted.len().checked_sub(1)? / 2)?;
    Some(f64::midpoint(lower, upper))
}

/// Gives by how many milliseconds the display should be later, from taps along with even clicks:
/// what of their middle is not the habit of tapping ahead; between 0 and 500, in tens.
/// `None` when the taps are too few or too unsteady to say.
///
/// # Source
/// People tap some 20 to 80 ms ahead of a click (secondary source); the middle of that is taken
/// off, our decision.
#[must_use]
pub fn device_delay(counts: &[f64], taps: &[f64]) -> Option<u16> {
    const AHEAD: f64 = 0.05;
    let round = judge_taps(counts, taps)?;
    if round.verdict == Verdict::TrySlower {
        return None;
    }
    let tens = ((round.median + AHEAD) * 100.0).round().clamp(0.0, 50.0);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 50"
    )]
    let tens = tens as u16;
    Some(tens * 10)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two rounds of 5/8 in 2 + 3 at a quarter of half a second: long and short counts.
    fn uneven() -> Vec<f64> {
        let mut at = 0.0;
        let mut counts = vec![at];
        for length in [0.5, 0.75].repeat(6) {
            at += length;
            counts.push(at);
        }
        counts
    }

    fn taps(off: impl Fn(usize) -> f64) -> Vec<f64> {
        let counts = uneven();
        let own = counts.iter().take(counts.len() - 1).enumerate();
        own.map(|(index, at)| at + off(index)).collect()
    }

    #[test]
    fn the_verdict_follows_the_scatter_and_not_the_delay() {
        let cases = [
            (0.00, 0.18, Verdict::Steady),
            (0.03, -0.08, Verdict::Steady),
            (0.08, 0.04, Verdict::Settling),
            (0.16, 0.00, Verdict::TrySlower),
        ];
        for (scatter, delay, expected) in cases {
            let counts = uneven();
            let off = |index: usize| {
                let interval = counts[index + 1] - counts[index];
                delay + interval * if index % 4 < 2 { scatter } else { -scatter }
            };
            let round = judge_taps(&counts, &taps(off)).unwrap();
            assert_eq!(round.verdict, expected, "{scatter} {delay}");
            assert_eq!(round.missed, 0);
        }
    }

    #[test]
    fn three_in_a_hundred_are_never_faulted() {
        let off = |index: usize| match index {
            3 => 0.02,
            6 => 0.06,
            9 => -0.1,
            _ => 0.0,
        };
        let round = judge_taps(&uneven(), &taps(off)).unwrap();
        let lay = |index: usize| round.taps[index].lay();
        assert_eq!(
            [lay(0), lay(3), lay(6), lay(9)],
            [Lay::On, Lay::On, Lay::Late, Lay::Early]
        );
    }

    #[test]
    fn too_few_taps_are_not_judged_and_doubled_ones_count_once() {
        let all = taps(|_| 0.01);
        assert_eq!(judge_taps(&uneven(), &all[..7]), None);
        assert_eq!(judge_taps(&uneven(), &[]), None);
        assert_eq!(judge_taps(&[], &all), None);
        let mut doubled = all.clone();
        doubled.extend(all.iter().map(|at| at + 0.1));
        let round = judge_taps(&uneven(), &doubled).unwrap();
        assert_eq!(round.taps.len(), 12);
        // Eight of twelve counts: the rest is too much to leave out.
        let round = judge_taps(&uneven(), &all[..8]).unwrap();
        assert_eq!((round.missed, round.verdict), (4, Verdict::TrySlower));
    }

    #[test]
    fn the_delay_of_a_device_leaves_the_habit_out() {
        let counts: Vec<f64> = (0..=12).map(|count| f64::from(count) * 0.6).collect();
        let tapped = |off: f64| -> Vec<f64> { counts[..12].iter().map(|at| at + off).collect() };
        assert_eq!(device_delay(&counts, &tapped(-0.05)), Some(0));
        assert_eq!(device_delay(&counts, &tapped(-0.2)), Some(0));
        assert_eq!(device_delay(&counts, &tapped(0.134)), Some(180));
        assert_eq!(device_delay(&counts, &tapped(0.1)[..6]), None);
    }
}
