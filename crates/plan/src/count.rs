//! What is counted in a measure.

use cueleaf_guide::Laid;
use cueleaf_time::{Beat, BeatChoice, BeatSpan, Incomplete, Level, beats_of};

/// One count of a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    /// Where it falls, from the start of the measure.
    pub at: BeatSpan,
    /// How long it lasts.
    pub length: BeatSpan,
    /// The number that is said.
    pub say: u16,
    /// How strong it is.
    pub level: Level,
    /// Which group it belongs to, from 0.
    pub group: usize,
    /// Into how many equal parts it divides.
    pub divisions: u16,
}

/// Gives the counts of a measure in order.
///
/// Unequal groups are counted anew in each group or through the measure, as the
/// guide or the measure says; groups of one beat each are counted through.
///
/// # Source
/// Both ways for 5/4 and 7/4: rhythm-in-music.com, lesson 19, practice
/// suggestions for odd meters.
#[must_use]
pub fn counts_of(laid: &Laid) -> Vec<Count> {
    counts(laid, laid.beats.beats())
}

/// Gives the counts of a full measure of the same meter, however short the
/// measure itself is.
pub(crate) fn full_counts_of(laid: &Laid) -> Vec<Count> {
    let length = laid.meter.length().unwrap_or(laid.length);
    let full = beats_of(
        &laid.meter,
        Some(&laid.grouping),
        laid.choice,
        length,
        Incomplete::FirstBeats,
    );
    match full {
        Ok(full) => counts(laid, full.beats()),
        Err(_) => counts_of(laid),
    }
}

/// The slowest counted beat, in beats a minute, that a player still feels as one.
///
/// # Source
/// Our decision: beyond about 1.5 s to 2 s between beats players anticipate
/// (Repp and Doggett, 2007); Gehrkens (1914) beats a very slow compound measure
/// in its small beats.
const SLOWEST_BEAT: f64 = 40.0;

/// The quickest counted beat, in beats a minute, that is still said in time.
///
/// # Source
/// Our decision; 208 is the top of the traditional tempo steps.
const QUICKEST_BEAT: f64 = 208.0;

/// Suggests another beat to count a measure in when its own is too slow or too
/// quick at a tempo in quarter notes a minute; `None` when it is fine.
#[must_use]
pub fn suggested_beat(laid: &Laid, quarters_per_minute: f64) -> Option<BeatChoice> {
    let beats = laid.beats.beats();
    let longest = beats.iter().map(|beat| beat.length).max()?;
    let shortest = beats.iter().map(|beat| beat.length).min()?;
    let a_minute = |span: BeatSpan| quarters_per_minute / span.quarters().to_f64();
    let divides_in_three = beats.iter().all(|beat| beat.divisions == 3);
    if divides_in_three && a_minute(longest) < SLOWEST_BEAT {
        return Some(BeatChoice::Small);
    }
    let has_groups = laid.beats.is_uneven() || laid.grouping.groups() == [3];
    let counts_small = beats.len() > laid.grouping.groups().len();
    (has_groups && counts_small && a_minute(shortest) > QUICKEST_BEAT).then_some(BeatChoice::Big)
}

fn counts(laid: &Laid, beats: &[Beat]) -> Vec<Count> {
    let groups_have_beats = beats.iter().any(|beat| beat.in_group > 1);
    let anew = laid.counts_each_group && groups_have_beats;
    beats
        .iter()
        .map(|beat| Count {
            at: beat.at,
            length: beat.length,
            say: if anew { beat.in_group } else { beat.number },
            level: beat.level,
            group: beat.group,
            divisions: beat.divisions,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{CountHere, CountStyle, Measure, RoadMap, Settings, lay_out};

    fn said(measure: &Measure, settings: &Settings) -> String {
        let road_map = RoadMap {
            measures: vec![measure.clone()],
            ..RoadMap::default()
        };
        let layout = lay_out(&road_map, settings).value;
        let counts = counts_of(&layout.measures()[0]);
        let words: Vec<String> = counts.iter().map(|count| count.say.to_string()).collect();
        words.join(" ")
    }

    fn measure(meter: &str, groups: Option<&str>) -> Measure {
        Measure {
            meter: Some(meter.parse().unwrap()),
            groups: groups.map(|groups| groups.parse().unwrap()),
            ..Measure::default()
        }
    }

    /// Sources: 5/4 and 7/4 in both ways, rhythm-in-music.com, lesson 19; 7 as
    /// 4+3 and 3+4, Gehrkens 1914, §102; groups of eighths, Integrated
    /// Musicianship, lesson 22a; 6/8 in a slow six, Gehrkens.
    #[test]
    fn both_ways_of_counting() {
        let anew = Settings::default();
        let through = Settings {
            count_style: CountStyle::Through,
            ..Settings::default()
        };
        for (meter, groups, each_group, count_through) in [
            ("5/4", Some("2+3"), "1 2 1 2 3", "1 2 3 4 5"),
            ("5/4", Some("3+2"), "1 2 3 1 2", "1 2 3 4 5"),
            ("7/4", Some("2+2+3"), "1 2 1 2 1 2 3", "1 2 3 4 5 6 7"),
            ("7/4", Some("3+4"), "1 2 3 1 2 3 4", "1 2 3 4 5 6 7"),
            ("7/4", Some("4+3"), "1 2 3 4 1 2 3", "1 2 3 4 5 6 7"),
            ("7/8", Some("3+2+2"), "1 2 3 1 2 1 2", "1 2 3 4 5 6 7"),
            ("7/8", Some("2+3+2"), "1 2 1 2 3 1 2", "1 2 3 4 5 6 7"),
            ("8/8", Some("3+3+2"), "1 2 3 1 2 3 1 2", "1 2 3 4 5 6 7 8"),
            ("4/4", None, "1 2 3 4", "1 2 3 4"),
            ("6/8", None, "1 2", "1 2"),
            ("12/8", None, "1 2 3 4", "1 2 3 4"),
        ] {
            let measure = measure(meter, groups);
            assert_eq!(said(&measure, &anew), each_group, "{meter}");
            assert_eq!(said(&measure, &through), count_through, "{meter}");
        }
    }

    #[test]
    fn another_beat_is_suggested_by_tempo() {
        for (meter, quarters_per_minute, expected) in [
            ("6/8", 50.0, Some(BeatChoice::Small)),
            ("6/8", 100.0, None),
            ("5/8", 90.0, None),
            ("5/8", 150.0, Some(BeatChoice::Big)),
            ("3/8", 150.0, Some(BeatChoice::Big)),
            ("3/4", 230.0, Some(BeatChoice::Big)),
            ("4/4", 30.0, None),
            ("4/4", 240.0, None),
        ] {
            let road_map = RoadMap {
                measures: vec![measure(meter, None)],
                ..RoadMap::default()
            };
            let layout = lay_out(&road_map, &Settings::default()).value;
            let suggested = suggested_beat(&layout.measures()[0], quarters_per_minute);
            assert_eq!(suggested, expected, "{meter}");
        }
    }

    #[test]
    fn a_measure_may_ask_for_its_own_way() {
        let settings = Settings::default();
        let mut slow_six = measure("6/8", None);
        slow_six.count = Some(CountHere {
            beat: Some(BeatChoice::Small),
            style: None,
        });
        assert_eq!(said(&slow_six, &settings), "1 2 3 4 5 6");
        slow_six.count = Some(CountHere {
            beat: Some(BeatChoice::Small),
            style: Some(CountStyle::EachGroup),
        });
        assert_eq!(said(&slow_six, &settings), "1 2 3 1 2 3");
        let mut quick_five = measure("5/8", Some("2+3"));
        quick_five.count = Some(CountHere {
            beat: Some(BeatChoice::Big),
            style: None,
        });
        assert_eq!(said(&quick_five, &settings), "1 2");
    }
}
