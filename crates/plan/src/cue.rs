//! Cues: which tip is shown when.

use crate::playing::Plan;
use cueleaf_guide::{Checked, Finding, Guide, Importance, MAX_CUE, Severity, Tell, Tip, Topic};
use cueleaf_time::Seconds;
use std::borrow::Cow;

/// The least and the most seconds that a cue comes ahead of its spot, when the
/// tip itself does not say how many beats.
///
/// # Source
/// Our decision: long enough to read and to act, short enough not to be about
/// something else still.
const AHEAD_SECONDS: (f64, f64) = (2.0, 4.0);

/// The most showings of tips at measures that were played before.
///
/// # Source
/// Our decision: no student reads ten hours of tips three seconds apart.
pub const MAX_SHOWN_AGAIN: usize = 20_000;

/// One showing of a tip. A tip at a repeated measure is shown each time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cue {
    /// The index of the tip in the guide.
    pub tip: usize,
    /// The index in the order of play of the measure where its spot starts.
    pub played: usize,
    /// When it appears.
    pub shows: Seconds,
    /// When its spot starts.
    pub starts: Seconds,
    /// When its spot ends and it goes.
    pub ends: Seconds,
    rank: u8,
}

/// All showings in the order in which they appear.
#[derive(Debug, Clone, Default)]
pub struct CueLine {
    cues: Vec<Cue>,
}

impl CueLine {
    /// Lays the tips of a guide on the line of its plan. Each is shown the first time
    /// its measure is played; of the times after that only so many as
    /// [`MAX_SHOWN_AGAIN`] leaves room for, and where it leaves none is found.
    #[must_use]
    pub fn new(guide: &Guide, plan: &Plan) -> Checked<Self> {
        let mut findings = Vec::new();
        let mut room = Some(MAX_SHOWN_AGAIN);
        let mut cues = Vec::new();
        let mut tips: Vec<(usize, &Tip)> = guide.tips.iter().enumerate().collect();
        tips.sort_by_key(|(_, tip)| tip.spot.from.measure);
        for (played, own) in plan.order().iter().enumerate() {
            let from = tips.partition_point(|(_, tip)| tip.spot.from.measure < own.measure);
            let here = tips
                .iter()
                .skip(from)
                .take_while(|(_, tip)| tip.spot.from.measure == own.measure);
            if own.pass > 1 {
                let Some(left) = room else { continue };
                room = left.checked_sub(here.clone().count());
                if room.is_none() {
                    findings.tell(|| {
                        let label = guide.road_map.measures.get(own.measure);
                        let label = label.map_or("", |measure| measure.label.as_str());
                        Finding::new(
                            Severity::Warning,
                            "shown-too-often",
                            "from here on tips are not shown again, since that would be too often",
                        )
                        .hint("look at the repeats around this measure")
                        .at_measure(own.measure, label)
                    });
                    continue;
                }
            }
            cues.extend(here.filter_map(|(index, tip)| cue_of(plan, *index, tip, played)));
        }
        cues.sort_by_key(|cue| (cue.shows, cue.starts, cue.tip));
        Checked {
            value: Self { cues },
            findings,
        }
    }

    /// Gives all showings in the order in which they appear.
    #[must_use]
    pub fn cues(&self) -> &[Cue] {
        &self.cues
    }

    /// Gives the one showing that matters at a moment: the most important of
    /// those on view, then the one whose spot starts sooner.
    #[must_use]
    pub fn at(&self, seconds: Seconds) -> Option<&Cue> {
        let shown = self.cues.partition_point(|cue| cue.shows <= seconds);
        self.cues
            .get(..shown)?
            .iter()
            .filter(|cue| seconds < cue.ends)
            .min_by_key(|cue| (cue.rank, cue.starts, cue.tip))
    }
}

fn cue_of(plan: &Plan, index: usize, tip: &Tip, played: usize) -> Option<Cue> {
    let stretch = plan.stretch_from(&tip.spot, played)?;
    let starts = stretch.starts;
    let shows = match tip.ahead {
        Some(beats) => {
            let place = plan.measure(played)?.start.plus(tip.spot.from.at).ok()?;
            let beat = plan.counts(played).first()?.whole.quarters().to_f64();
            let per_quarter = 60.0 / plan.tempo().quarters_per_minute_at(place);
            starts.get() - f64::from(beats) * beat * per_quarter
        }
        None => {
            let measure_before = match played.checked_sub(1) {
                Some(before) => plan.start_of(played).get() - plan.start_of(before).get(),
                None => 0.0,
            };
            starts.get() - measure_before.clamp(AHEAD_SECONDS.0, AHEAD_SECONDS.1)
        }
    };
    Some(Cue {
        tip: index,
        played,
        shows: Seconds::new(shows.max(0.0))?,
        starts,
        ends: stretch.ends,
        rank: rank(tip),
    })
}

/// Ranks tips by what the teacher says of them, then by what cannot wait: getting ready
/// comes before sound.
///
/// # Source
/// Our decision.
const fn rank(tip: &Tip) -> u8 {
    let first = match tip.importance {
        Importance::StartHere => 0,
        Importance::Usual => 8,
        Importance::WhenTime => 16,
    };
    first
        + match tip.topic {
            Topic::GetReady => 0,
            Topic::Pluck => 1,
            Topic::Count => 2,
            Topic::Bow => 3,
            Topic::LeftHand => 4,
            Topic::Listen => 5,
            Topic::Sound => 6,
            Topic::Note => 7,
        }
}

/// Gives what a tip shows while playing: its cue, or the beginning of its text,
/// at most 24 letters, cut between words.
#[must_use]
pub fn cue_text(tip: &Tip) -> Cow<'_, str> {
    let own = tip.cue.trim();
    let text = if own.is_empty() { tip.text.trim() } else { own };
    if text.chars().count() <= MAX_CUE {
        return Cow::Borrowed(text);
    }
    let kept: String = text.chars().take(MAX_CUE - 1).collect();
    let whole = text
        .chars()
        .nth(MAX_CUE - 1)
        .is_some_and(char::is_whitespace);
    let cut = match kept.rsplit_once(char::is_whitespace) {
        Some((words, _)) if !whole && !words.trim().is_empty() => words,
        _ => kept.as_str(),
    };
    let cut = cut.trim_end_matches(|c: char| c.is_whitespace() || ",;:.".contains(c));
    Cow::Owned(format!("{cut}…"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::playing::tests::guide;
    use cueleaf_guide::{Id, Place, Spot};

    fn tip(id: &str, spot: Spot, topic: Topic) -> Tip {
        Tip::new(Id::new(id).unwrap(), spot, topic, id)
    }

    #[test]
    fn a_cue_comes_ahead_and_goes_with_its_spot() {
        let mut guide = guide();
        guide.tips = vec![
            tip("five", Spot::measures(1, 1), Topic::Count),
            tip("three", Spot::measures(2, 2), Topic::Sound),
            tip("span", Spot::measures(0, 1), Topic::Note),
            tip(
                "beat",
                Spot {
                    from: Place {
                        measure: 1,
                        at: "1".parse().unwrap(),
                    },
                    to: Some(Place {
                        measure: 1,
                        at: "3/2".parse().unwrap(),
                    }),
                },
                Topic::Bow,
            ),
        ];
        guide.tips[3].ahead = Some(1);
        let plan = Plan::new(&guide).value;
        let line = CueLine::new(&guide, &plan).value;
        let rows: Vec<String> = line
            .cues()
            .iter()
            .map(|cue| {
                format!(
                    "{} {} {} {}",
                    guide.tips[cue.tip].text,
                    cue.shows.get(),
                    cue.starts.get(),
                    cue.ends.get()
                )
            })
            .collect();
        assert_eq!(
            rows,
            [
                "span 0 0 3.5",
                "five 0 1 3.5",
                "three 1 3.5 5",
                "beat 1.5 2 3",
                "three 3 5 6.5",
            ]
        );
        let shown = |seconds: f64| {
            line.at(Seconds::new(seconds).unwrap())
                .map(|cue| guide.tips[cue.tip].text.clone())
        };
        assert_eq!(shown(0.5).as_deref(), Some("five"));
        assert_eq!(shown(2.5).as_deref(), Some("five"));
        assert_eq!(shown(4.0).as_deref(), Some("three"));
        assert_eq!(shown(6.5), None);
        // What the teacher says of a tip goes before what its topic says.
        guide.tips[2].importance = Importance::StartHere;
        let line = CueLine::new(&guide, &plan).value;
        let shown = line.at(Seconds::new(2.5).unwrap()).unwrap();
        assert_eq!(guide.tips[shown.tip].text, "span");
        guide.tips[2].importance = Importance::Usual;
        guide.tips[0].importance = Importance::WhenTime;
        let line = CueLine::new(&guide, &plan).value;
        let shown = line.at(Seconds::new(2.5).unwrap()).unwrap();
        assert_ne!(guide.tips[shown.tip].text, "five");
    }

    #[test]
    fn tips_are_shown_again_only_so_often() {
        let mut guide = guide();
        let tips = 7;
        for number in 0..tips {
            let name = format!("t{number}");
            let measure = usize::from(number % 2 == 0) * 2;
            guide
                .tips
                .push(tip(&name, Spot::measures(measure, measure), Topic::Bow));
        }
        guide.road_map.measures[0].repeat_from = true;
        guide.road_map.measures[2].repeat_from = false;
        guide.road_map.measures[2].repeat_back = Some(9_000);
        let plan = Plan::new(&guide).value;
        let line = CueLine::new(&guide, &plan);
        let codes: Vec<&str> = line.findings.iter().map(|finding| finding.code).collect();
        assert_eq!(codes, ["shown-too-often"]);
        let shown = line.value.cues().len();
        assert!(shown <= MAX_SHOWN_AGAIN + tips, "{shown}");
        assert!(shown > MAX_SHOWN_AGAIN, "{shown}");
        // Few times again are all shown.
        guide.road_map.measures[2].repeat_back = Some(3);
        let plan = Plan::new(&guide).value;
        let line = CueLine::new(&guide, &plan);
        assert!(line.findings.is_empty());
        assert_eq!(line.value.cues().len(), 3 * tips);
    }

    #[test]
    fn a_cue_is_derived_and_cut_between_words() {
        let mut tip = tip("x", Spot::at(Place::start_of(0)), Topic::Bow);
        tip.text = "Start at the frog, and save the bow".to_owned();
        assert_eq!(cue_text(&tip), "Start at the frog, and…");
        // A last word that just fits stays.
        tip.text = "Bring the bow to a halt and rest".to_owned();
        assert_eq!(cue_text(&tip), "Bring the bow to a halt…");
        tip.cue = "frog".to_owned();
        assert_eq!(cue_text(&tip), "frog");
        tip.cue = "x".repeat(40);
        assert_eq!(cue_text(&tip).chars().count(), 24);
    }
}
