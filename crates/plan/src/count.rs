//! What is counted in a measure.

use crate::say::Say;
use cueleaf_guide::Laid;
use cueleaf_time::{Beat, BeatSpan, Incomplete, Level, Ratio, beats_of};

/// One count of a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    /// Where it falls, from the start of the measure.
    pub at: BeatSpan,
    /// How long it lasts.
    pub length: BeatSpan,
    /// How long the whole beat is, of which an incomplete measure may have a part.
    pub whole: BeatSpan,
    /// How far into the whole beat it starts.
    pub into: BeatSpan,
    /// What is said.
    pub say: Say,
    /// How strong it is.
    pub level: Level,
    /// Which group it belongs to, from 0.
    pub group: usize,
    /// Into how many equal parts the whole beat divides.
    pub divisions: u16,
}

impl Count {
    /// Gives the places, from the start of the measure, at which the count divides
    /// when its whole beat has so many equal parts; its own start among them only when
    /// that is inside the beat.
    #[must_use]
    pub fn places_between(&self, parts: u16) -> Vec<BeatSpan> {
        let place = |part: u16| {
            let share = Ratio::new(i64::from(part), i64::from(parts)).ok()?;
            let after = self.whole.times(share).ok()?.minus(self.into).ok()?;
            let inside = after < self.length;
            inside.then(|| self.at.plus(after).ok())?
        };
        (1..parts).filter_map(place).collect()
    }
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

fn counts(laid: &Laid, beats: &[Beat]) -> Vec<Count> {
    let groups_have_beats = beats.iter().any(|beat| beat.in_group > 1);
    let anew = laid.counts_each_group && groups_have_beats;
    beats
        .iter()
        .map(|beat| Count {
            at: beat.at,
            length: beat.length,
            whole: beat.whole,
            into: beat.into,
            say: match beat.level {
                Level::Subdivision => Say::BETWEEN,
                _ if anew => Say::number(beat.in_group),
                _ => Say::number(beat.number),
            },
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
    use cueleaf_time::BeatChoice;

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

    /// Common practice, no source.
    #[test]
    fn what_is_left_of_a_beat_has_no_number() {
        let pickup = |meter: &str, length: &str| Measure {
            length: length.parse().ok(),
            pickup: true,
            ..measure(meter, None)
        };
        for (meter, length, expected) in [
            ("6/8", "1/2", "&"),
            ("6/8", "1", "&"),
            ("4/4", "1/2", "&"),
            ("4/4", "3/2", "& 4"),
            ("4/4", "1", "4"),
            ("5/8", "1/2", "2"),
        ] {
            let settings = Settings::default();
            assert_eq!(said(&pickup(meter, length), &settings), expected, "{meter}");
        }
    }

    #[test]
    fn a_count_divides_as_its_whole_beat_does() {
        let check = |meter: &str, length: &str, pickup, expected: &[&str]| {
            let road_map = RoadMap {
                measures: vec![Measure {
                    length: length.parse().ok(),
                    pickup,
                    ..measure(meter, None)
                }],
                ..RoadMap::default()
            };
            let layout = lay_out(&road_map, &Settings::default()).value;
            let counts = counts_of(&layout.measures()[0]);
            let between = |count: &Count| count.places_between(count.divisions);
            let places: Vec<String> = counts
                .iter()
                .flat_map(between)
                .map(|at| at.to_string())
                .collect();
            assert_eq!(places, expected, "{meter} {length}");
        };
        check("6/8", "5/2", false, &["1/2", "1", "2"]);
        check("4/4", "7/2", false, &["1/2", "3/2", "5/2"]);
        check("6/8", "1", true, &["0", "1/2"]);
        check("4/4", "1/4", true, &[]);
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
