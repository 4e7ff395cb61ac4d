//! Cues: which tip is shown when.

use crate::playing::Plan;
use crate::stretch::entered_at;
use cueleaf_guide::{
    Checked, Finding, Guide, Importance, MAX_CUE, Severity, Spot, Tell, Tip, Topic,
};
use cueleaf_time::Seconds;
use std::borrow::Cow;

/// The least and the most seconds that a cue comes ahead of its spot, when the
/// tip itself does not say how many beats.
///
/// # Source
/// Our decision: long enough to read and to act, short enough not to be about
/// something else still.
const AHEAD_SECONDS: (f64, f64) = (2.0, 4.0);

/// The least seconds that a tip has to itself where its spot starts, and those that it leaves to
/// what is announced at that time where its spot or measure is short, if not half.
///
/// # Source
/// Our decision: time for one glance.
const TURN: f64 = 1.0;
const ANNOUNCED: f64 = 0.5;

/// The most showings of tips at measures that were played before.
///
/// # Source
/// Our decision: no student reads ten hours of tips three seconds apart.
pub const MAX_SHOWN_AGAIN: usize = 20_000;

/// How many leaps are looked at for tips into whose spots they lead.
///
/// # Source
/// Our decision: a theme with a dozen variations, every half repeated, has some fifty.
const MAX_LEAPS: usize = 256;

/// One showing of a tip. A tip at a repeated measure is shown each time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cue {
    /// The index of the tip in the guide.
    pub tip: usize,
    /// The index in the order of play of the measure where its spot starts, or where
    /// play leaps into it.
    pub played: usize,
    /// When it appears.
    pub shows: Seconds,
    /// When its spot starts.
    pub starts: Seconds,
    /// When its spot ends and it goes.
    pub ends: Seconds,
    /// When its turn, which no other of its kind takes from it, starts and ends.
    turn: (Seconds, Seconds),
    /// When the first measure of it is over, and what is new goes before it.
    stands: Seconds,
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
        let mut leaps = 0;
        let mut cues = Vec::new();
        let mut tips: Vec<(usize, &Tip)> = guide.tips.iter().enumerate().collect();
        tips.sort_unstable_by_key(|(index, tip)| (tip.spot.from.measure, *index));
        let mut before = None;
        for (played, own) in plan.order().iter().enumerate() {
            let from = tips.partition_point(|(_, tip)| tip.spot.from.measure < own.measure);
            let here = tips.iter().skip(from);
            let here = here.take_while(|(_, tip)| tip.spot.from.measure == own.measure);
            let mut here: Vec<(usize, &Tip, Entry)> = here
                .map(|(index, tip)| (*index, *tip, Entry::Start))
                .collect();
            // A spot is entered beyond its first measure only where play leaps.
            let leapt = before.filter(|before| before + 1 != own.measure);
            if let Some(before) = leapt
                && leaps < MAX_LEAPS
            {
                leaps += 1;
                let around = tips.iter().take(from);
                let around = around.filter(|(_, tip)| tip.spot.last_measure() >= own.measure);
                here.extend(around.filter_map(|(index, tip)| {
                    let entry = Entry::by_leap(&tip.spot, before, own.measure)?;
                    Some((*index, *tip, entry))
                }));
            }
            before = Some(own.measure);
            if own.pass > 1 {
                let Some(left) = room else { continue };
                room = left.checked_sub(here.len());
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
            let here = here.into_iter();
            cues.extend(
                here.filter_map(|(index, tip, entry)| cue_of(plan, index, tip, played, entry)),
            );
        }
        cues.sort_unstable_by_key(|cue: &Cue| (cue.starts, cue.rank, cue.tip));
        for same in cues.chunk_by_mut(|one, other| one.starts == other.starts) {
            take_turns(same);
        }
        cues.sort_unstable_by_key(|cue| (cue.shows, cue.starts, cue.tip));
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

    /// Gives the one showing that matters at a moment: what the teacher wants first goes before all
    /// else; then what has its turn, as its spot has just started; then what is to come or in its
    /// first measure; of these the most important, then the one whose spot starts sooner.
    #[must_use]
    pub fn at(&self, seconds: Seconds) -> Option<&Cue> {
        let shown = self.cues.partition_point(|cue| cue.shows <= seconds);
        self.cues
            .get(..shown)?
            .iter()
            .filter(|cue| seconds < cue.ends)
            .min_by_key(|cue| {
                let stands = if cue.turn.0 <= seconds && seconds < cue.turn.1 {
                    0
                } else if seconds < cue.stands {
                    1
                } else {
                    2
                };
                (cue.rank >= USUAL, stands, cue.rank, cue.starts, cue.tip)
            })
    }
}

/// How play comes to a spot.
#[derive(Clone, Copy, PartialEq)]
enum Entry {
    /// At its start, or by a leap from elsewhere.
    Start,
    /// By a leap back inside it.
    Back,
}

impl Entry {
    /// Tells how a leap from one measure to another, beyond the first of a spot, comes into it;
    /// `None` for one on inside it. Where play leaps back within it, its tip has been read.
    fn by_leap(spot: &Spot, from: usize, to: usize) -> Option<Self> {
        if !(spot.from.measure..=spot.last_measure()).contains(&from) {
            return Some(Self::Start);
        }
        (to <= from).then_some(Self::Back)
    }
}

fn cue_of(plan: &Plan, index: usize, tip: &Tip, played: usize, entry: Entry) -> Option<Cue> {
    let stretch = plan.stretch_from(&tip.spot, played)?;
    let starts = stretch.starts;
    let own = plan.measure(played)?;
    let ahead = match tip.ahead {
        _ if entry == Entry::Back => 0.0,
        Some(beats) => {
            let from = entered_at(&tip.spot, plan.order().get(played)?.measure);
            let place = own.start.plus(from).ok()?;
            let beat = plan.counts(played).first()?.whole.quarters().to_f64();
            f64::from(beats) * beat * 60.0 / plan.tempo().quarters_per_minute_at(place)
        }
        None => {
            let measure_before = match played.checked_sub(1) {
                Some(before) => plan.start_of(played).get() - plan.start_of(before).get(),
                None => 0.0,
            };
            measure_before.clamp(AHEAD_SECONDS.0, AHEAD_SECONDS.1)
        }
    };
    let measure = plan.start_of(played + 1).get() - plan.start_of(played).get();
    let stands = match entry {
        Entry::Start => Seconds::new(starts.get() + measure)?,
        Entry::Back => starts,
    };
    Some(Cue {
        tip: index,
        played,
        shows: Seconds::new((starts.get() - ahead).max(0.0))?,
        starts,
        ends: stretch.ends,
        turn: (starts, stands),
        stands,
        rank: rank(tip),
    })
}

/// Gives each of the showings that start together, the most important first, a turn of its own.
fn take_turns(same: &mut [Cue]) {
    // What was read before a leap back inside it needs none.
    let new: Vec<&mut Cue> = same
        .iter_mut()
        .filter(|cue| cue.stands > cue.starts)
        .collect();
    let mut from = 0.0_f64;
    let all = new.iter().map(|cue| cue.stands.min(cue.ends).get());
    let Some(first) = all.reduce(f64::min) else {
        return;
    };
    let many = u16::try_from(new.len()).unwrap_or(u16::MAX);
    for cue in new {
        let starts = cue.starts.get();
        let time = first - starts;
        // One alone leaves some time to what is announced meanwhile.
        let share = match many {
            1 => (time / 2.0).max(time - ANNOUNCED),
            _ => time / f64::from(many),
        };
        let turn = share.min(TURN);
        let at = |seconds: f64| Seconds::new(starts + seconds).unwrap_or(cue.starts);
        cue.turn = (at(from), at(from + turn));
        from += turn;
    }
}

/// Where the ranks of usual tips begin: those below are to be started with.
const USUAL: u8 = 8;

/// Ranks tips by what the teacher says of them, then by what cannot wait: getting ready
/// comes before sound.
///
/// # Source
/// Our decision.
const fn rank(tip: &Tip) -> u8 {
    let first = match tip.importance {
        Importance::StartHere => 0,
        Importance::Usual => USUAL,
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

    /// Gives the tips that are shown at some seconds.
    fn shown(guide: &Guide, seconds: &[f64]) -> Vec<String> {
        let plan = Plan::new(guide).value;
        let line = CueLine::new(guide, &plan).value;
        let at = |seconds: &f64| line.at(Seconds::new(*seconds).unwrap());
        let text = |cue: &Cue| guide.tips[cue.tip].text.clone();
        let shown = seconds
            .iter()
            .map(|at_second| at(at_second).map_or(String::new(), text));
        shown.collect()
    }

    /// Eight measures of two seconds each.
    fn eight() -> Guide {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = vec![cueleaf_guide::Measure::default(); 8];
        guide.road_map.measures[0].meter = Some("2/4".parse().unwrap());
        let tempo = "quarter = 60".parse().unwrap();
        let mark = cueleaf_guide::TempoMark::at_once(cueleaf_time::BeatSpan::ZERO, "", tempo);
        guide.road_map.measures[0].tempo = vec![mark];
        guide
    }

    #[test]
    fn what_is_new_goes_before_what_stands() {
        let mut guide = eight();
        guide.tips = vec![
            tip("all", Spot::measures(0, 7), Topic::GetReady),
            tip("bow", Spot::measures(4, 4), Topic::Bow),
        ];
        let times = [1.0, 5.9, 6.0, 8.0, 9.9, 10.0];
        assert_eq!(
            shown(&guide, &times),
            ["all", "all", "bow", "bow", "bow", "all"]
        );
        // What the teacher wants first stands before all.
        guide.tips[0].importance = Importance::StartHere;
        assert_eq!(shown(&guide, &times), ["all"; 6]);
    }

    #[test]
    fn each_tip_has_its_turn() {
        let mut guide = eight();
        guide.tips = vec![
            tip("note", Spot::measures(3, 3), Topic::Note),
            tip("bow", Spot::measures(3, 3), Topic::Bow),
            tip("ready", Spot::measures(4, 4), Topic::GetReady),
        ];
        // "ready" is on view from second 6 on, where the other two start.
        let times = [5.0, 6.0, 6.9, 7.0, 7.9, 8.0];
        assert_eq!(
            shown(&guide, &times),
            ["bow", "bow", "bow", "note", "note", "ready"]
        );
    }

    #[test]
    fn a_leap_into_a_spot_shows_its_tip() {
        let mut guide = eight();
        guide.road_map.measures[2].repeat_from = true;
        guide.road_map.measures[4].ending = vec![1];
        guide.road_map.measures[4].repeat_back = Some(2);
        guide.road_map.measures[5].ending = vec![2];
        guide.tips = vec![tip("endings", Spot::measures(4, 5), Topic::Note)];
        // 0 1 2 3 4, 2 3 5: the second time at once from 3 to 5, in second 14.
        assert_eq!(
            shown(&guide, &[7.9, 8.0, 10.0, 11.9, 12.0, 14.0, 16.0]),
            ["endings", "endings", "", "", "endings", "endings", ""]
        );
        // A leap back inside the spot goes on with it.
        guide.tips[0].spot = Spot::measures(0, 7);
        guide
            .tips
            .push(tip("bow", Spot::measures(3, 3), Topic::LeftHand));
        assert_eq!(
            shown(&guide, &[9.0, 10.0, 12.0, 14.0]),
            ["endings", "bow", "bow", "endings"]
        );
        // What goes on takes no turn from the two that start where play leaps to.
        guide.tips[1].spot = Spot::measures(2, 2);
        guide
            .tips
            .push(tip("sound", Spot::measures(2, 2), Topic::Sound));
        let seen = shown(&guide, &[10.0, 10.3, 10.6, 10.9, 11.2, 11.5, 11.8]);
        assert!(seen.contains(&"bow".to_owned()), "{seen:?}");
        assert!(seen.contains(&"sound".to_owned()), "{seen:?}");
    }

    #[test]
    fn two_that_the_teacher_wants_first_have_a_turn_each() {
        let mut guide = eight();
        guide.tips = vec![
            tip("one", Spot::measures(2, 5), Topic::Bow),
            tip("two", Spot::measures(2, 5), Topic::Sound),
            tip("inside", Spot::measures(4, 4), Topic::Note),
        ];
        for tip in &mut guide.tips {
            tip.importance = Importance::StartHere;
        }
        let times: Vec<f64> = (16..40).map(|quarter| f64::from(quarter) / 4.0).collect();
        let seen = shown(&guide, &times);
        for name in ["one", "two", "inside"] {
            assert!(seen.contains(&name.to_owned()), "{name}: {seen:?}");
        }
    }
}
