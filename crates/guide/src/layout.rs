//! The road map laid out: for each measure, where it starts and what is in force.

use crate::length::length_words;
use crate::limits::MAX_ALL_BEATS;
use crate::road_map::{Measure, RoadMap};
use crate::{Checked, CountStyle, Finding, Settings, Severity, Tell};
use core::ops::Range;
use cueleaf_time::{
    BeatChoice, BeatPos, BeatSpan, Grouping, Incomplete, Key, MeasureBeats, Meter, beats_of,
};

/// One measure with everything that is in force in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// Where it starts on the written line.
    pub start: BeatPos,
    /// How long it lasts.
    pub length: BeatSpan,
    /// Its meter.
    pub meter: Meter,
    /// Its grouping: chosen, or the meter's default.
    pub grouping: Grouping,
    /// In which beat it is counted.
    pub choice: BeatChoice,
    /// Whether, when short, it holds the last beats of its meter.
    pub pickup: bool,
    /// Its counted beats.
    pub beats: MeasureBeats,
    /// Whether its count starts anew in each group.
    pub counts_each_group: bool,
    /// Its key signature, once one was given.
    pub key: Option<Key>,
    /// The index of the measure at which its section starts, once one started.
    pub section: Option<usize>,
}

/// All measures of a road map, laid out in written order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Layout {
    measures: Vec<Laid>,
    end: Option<BeatPos>,
}

impl Layout {
    /// Gives the measures in written order, one for each of the road map.
    #[must_use]
    pub fn measures(&self) -> &[Laid] {
        &self.measures
    }

    /// Gives one measure.
    #[must_use]
    pub fn get(&self, index: usize) -> Option<&Laid> {
        self.measures.get(index)
    }

    /// Gives the end of the written line.
    #[must_use]
    pub fn end(&self) -> BeatPos {
        self.end.unwrap_or(BeatPos::START)
    }
}

struct InForce {
    meter: Meter,
    grouping: Option<Grouping>,
    choice: BeatChoice,
    style: Option<CountStyle>,
    key: Option<Key>,
    section: Option<usize>,
}

/// Lays out a road map. A measure that cannot be laid out as it asks gets its
/// meter's default and a finding.
#[must_use]
pub fn lay_out(road_map: &RoadMap, settings: &Settings) -> Checked<Layout> {
    let mut findings = Vec::new();
    let mut measures = Vec::with_capacity(road_map.measures.len());
    let mut start = BeatPos::START;
    let mut now = InForce {
        meter: common_time(),
        grouping: None,
        choice: BeatChoice::Usual,
        style: None,
        key: None,
        section: None,
    };
    if let Some(first) = road_map.measures.first()
        && first.meter.is_none()
    {
        findings.tell(|| {
            Finding::new(
                Severity::Note,
                "no-first-meter",
                "no meter is given, 4/4 is assumed",
            )
            .hint("give the first measure a meter")
            .at_measure(0, &first.label)
        });
    }
    let mut told = Told::default();
    let (mut all_beats, mut is_cut) = (0, false);
    for (index, measure) in road_map.measures.iter().enumerate() {
        update(&mut now, index, measure);
        let first_new = findings.len();
        // Most measures are laid out as the one before: that is found out, and told, once.
        let before = road_map.measures.get(index.wrapping_sub(1));
        let laid = match measures.last() {
            Some(last) if before.is_some_and(|before| follows(measure, before)) => {
                told.goes_on();
                Laid {
                    start,
                    key: now.key,
                    section: now.section,
                    ..Laid::clone(last)
                }
            }
            _ => {
                told.end(&mut findings);
                let laid = lay_out_one(start, &now, measure, settings, &mut findings);
                told = Told::new(first_new..findings.len());
                laid
            }
        };
        if now.meter.length().is_some_and(|full| laid.length > full) {
            findings.tell(|| longer(&laid));
        }
        let more = laid.beats.beats().len();
        let laid = if is_cut || all_beats + more > MAX_ALL_BEATS {
            // Told where it begins.
            if !is_cut {
                findings.tell(|| {
                    let message = format!(
                        "the measures up to here have {all_beats} beats; more than {MAX_ALL_BEATS} are not counted"
                    );
                    Finding::new(Severity::Error, "too-many-beats", message)
                        .hint("look at the lengths of the measures")
                });
                is_cut = true;
            }
            Laid {
                beats: MeasureBeats::default(),
                ..laid
            }
        } else {
            all_beats += more;
            laid
        };
        for finding in findings.iter_mut().skip(first_new) {
            finding.place.measure = Some(index);
            finding.place.label = Some(measure.label.clone());
        }
        if let Ok(next) = start.plus(laid.length) {
            start = next;
        } else {
            findings.tell(|| {
                Finding::new(
                    Severity::Error,
                    "too-fine",
                    "the lengths up to here are too fine to be added exactly",
                )
                .at_measure(index, &measure.label)
            });
        }
        measures.push(laid);
    }
    told.end(&mut findings);
    Checked {
        value: Layout {
            measures,
            end: Some(start),
        },
        findings,
    }
}

fn common_time() -> Meter {
    Meter::simple(4, 4).unwrap_or_else(|_| Meter::free())
}

fn update(now: &mut InForce, index: usize, measure: &Measure) {
    if let Some(meter) = &measure.meter {
        now.meter = meter.clone();
        now.grouping = None;
        now.choice = BeatChoice::Usual;
        now.style = None;
    }
    if let Some(groups) = &measure.groups {
        now.grouping = Some(groups.clone());
    }
    if let Some(count) = measure.count {
        now.choice = count.beat.unwrap_or(now.choice);
        now.style = count.style.or(now.style);
    }
    if measure.key.is_some() {
        now.key = measure.key;
    }
    if measure.section.is_some() {
        now.section = Some(index);
    }
}

/// What was told of a measure holds for those that follow it, too: how many these are.
#[derive(Default)]
struct Told {
    findings: Range<usize>,
    more: usize,
}

impl Told {
    const fn new(findings: Range<usize>) -> Self {
        Self { findings, more: 0 }
    }

    const fn goes_on(&mut self) {
        self.more += 1;
    }

    /// Adds to what was told for how many more measures it holds.
    fn end(&mut self, findings: &mut [Finding]) {
        let Self {
            findings: own,
            more,
        } = core::mem::take(self);
        // Nothing is told where nothing is shown: see `Tell`.
        if cfg!(cueleaf_lean) {
            return;
        }
        let and_more = match more {
            0 => return,
            1 => ", here and in the next measure".to_owned(),
            more => format!(", here and in the {more} measures after it"),
        };
        for finding in findings.get_mut(own).into_iter().flatten() {
            finding.message.push_str(&and_more);
        }
    }
}

fn longer(laid: &Laid) -> Finding {
    let message = format!(
        "the measure lasts {}, more than its meter {}",
        length_words(laid.length),
        laid.meter
    );
    Finding::new(Severity::Warning, "longer-than-meter", message)
        .hint("change the meter here, or the measure's length")
        .field("length")
}

/// Tells whether a measure is counted as the one before, since it says nothing else.
fn follows(measure: &Measure, before: &Measure) -> bool {
    measure.meter.is_none()
        && measure.groups.is_none()
        && measure.count.is_none()
        && measure.length == before.length
        && measure.pickup == before.pickup
}

fn lay_out_one(
    start: BeatPos,
    now: &InForce,
    measure: &Measure,
    settings: &Settings,
    findings: &mut Vec<Finding>,
) -> Laid {
    let full = now.meter.length();
    let length = measure.length.or(full).unwrap_or_else(|| {
        findings.tell(|| {
            Finding::new(
                Severity::Warning,
                "free-without-length",
                "a measure without a meter has no length of its own, four quarters are assumed",
            )
            .hint("give the measure a length")
        });
        BeatSpan::QUARTER
            .times(cueleaf_time::Ratio::whole(4))
            .unwrap_or(BeatSpan::QUARTER)
    });
    let place = if measure.pickup {
        Incomplete::LastBeats
    } else {
        Incomplete::FirstBeats
    };
    let chosen = now.grouping.as_ref();
    let default = now.meter.default_grouping();
    let (grouping, beats) = match beats_of(&now.meter, chosen, now.choice, length, place) {
        Ok(beats) => (chosen.cloned().unwrap_or(default), beats),
        Err(_) => {
            findings.tell(|| Finding::new(
                    Severity::Warning,
                    "groups-do-not-fill",
                    match chosen {
                        Some(groups) => format!(
                            "the groups {groups} do not fill {}, its usual groups {default} are used",
                            now.meter
                        ),
                        None => format!("{} cannot be counted exactly here", now.meter),
                    },
                )
                .hint(format!(
                    "choose groups that add up to {}",
                    now.meter.finest_units()
                ))
                .field("groups"));
            let beats = beats_of(&now.meter, None, now.choice, length, place).unwrap_or_default();
            (default, beats)
        }
    };
    let uneven = beats.is_uneven();
    let style = now.style.unwrap_or(settings.count_style);
    // Equal groups are counted through unless the measure itself asks otherwise:
    // 4/4 stays 1 2 3 4.
    let counts_each_group = style == CountStyle::EachGroup && (uneven || now.style.is_some());
    Laid {
        start,
        length,
        meter: now.meter.clone(),
        grouping,
        choice: now.choice,
        pickup: measure.pickup,
        beats,
        counts_each_group,
        key: now.key,
        section: now.section,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn road_map(texts: &[(&str, Option<&str>, Option<&str>)]) -> RoadMap {
        RoadMap {
            measures: texts
                .iter()
                .map(|(label, meter, groups)| Measure {
                    meter: meter.map(|text| text.parse().unwrap()),
                    groups: groups.map(|text| text.parse().unwrap()),
                    ..Measure::labelled(label)
                })
                .collect(),
            ..RoadMap::default()
        }
    }

    #[test]
    fn beats_in_all_have_a_limit() {
        let measure = Measure {
            length: "4000".parse().ok(),
            ..Measure::default()
        };
        let map = RoadMap {
            measures: vec![measure; 1_100],
            ..RoadMap::default()
        };
        let laid = lay_out(&map, &Settings::default());
        let counted = |own: &Laid| own.beats.beats().len();
        let all: usize = laid.value.measures().iter().map(counted).sum();
        assert_eq!(all, MAX_ALL_BEATS);
        assert_eq!(laid.value.measures().len(), 1_100);
        let told = laid
            .findings
            .iter()
            .filter(|own| own.code == "too-many-beats");
        assert_eq!(told.count(), 1);
    }

    #[test]
    fn what_is_in_force_goes_on_until_it_changes() {
        let map = road_map(&[
            ("1", Some("5/8"), Some("2+3")),
            ("2", None, None),
            ("3", None, Some("3+2")),
            ("4", Some("5/8"), None),
            ("5", Some("3/4"), None),
        ]);
        let laid = lay_out(&map, &Settings::default());
        assert!(laid.findings.is_empty());
        let rows: Vec<String> = laid
            .value
            .measures()
            .iter()
            .map(|m| format!("{} {} {}", m.start, m.meter, m.grouping))
            .collect();
        assert_eq!(
            rows,
            [
                "0 5/8 2+3",
                "5/2 5/8 2+3",
                "5 5/8 3+2",
                "15/2 5/8 3+2",
                "10 3/4 3"
            ]
        );
        assert_eq!(laid.value.end().to_string(), "13");
        assert!(laid.value.measures()[0].counts_each_group);
        assert!(!laid.value.measures()[4].counts_each_group);
    }

    #[test]
    fn a_measure_that_follows_is_laid_out_as_if_it_stood_alone() {
        let mut map = road_map(&[
            ("1", Some("7/8"), Some("2+2+3")),
            ("2", None, None),
            ("3", None, None),
            ("4", None, Some("2+2+2")),
            ("5", None, None),
            ("6", Some("3/4"), None),
            ("7", None, None),
        ]);
        map.measures[2].length = Some("2".parse().unwrap());
        map.measures[5].length = Some("4".parse().unwrap());
        map.measures[6].length = Some("4".parse().unwrap());
        map.measures[1].section = Some("A".to_owned());
        let laid = lay_out(&map, &Settings::default());
        let told: Vec<_> = laid
            .findings
            .iter()
            .map(|f| (f.place.measure, f.code))
            .collect();
        // Groups are told where they were chosen, a length at each measure that has it.
        let groups = "groups-do-not-fill";
        let longer = "longer-than-meter";
        assert_eq!(
            told,
            [(Some(3), groups), (Some(5), longer), (Some(6), longer)]
        );
        assert_eq!(
            laid.findings[0].message,
            "the groups 2+2+2 do not fill 7/8, its usual groups 2+2+3 are used, here and in the next measure"
        );
        let rows: Vec<String> = laid
            .value
            .measures()
            .iter()
            .map(|m| format!("{} {} {} {:?}", m.start, m.length, m.grouping, m.section))
            .collect();
        assert_eq!(
            rows,
            [
                "0 7/2 2+2+3 None",
                "7/2 7/2 2+2+3 Some(1)",
                "7 2 2+2+3 Some(1)",
                "9 7/2 2+2+3 Some(1)",
                "25/2 7/2 2+2+3 Some(1)",
                "16 4 3 Some(1)",
                "20 4 3 Some(1)"
            ]
        );
        assert_eq!(laid.value.measures()[2].beats.beats().len(), 4);
    }

    #[test]
    fn mistakes_become_findings_and_a_usable_measure() {
        let mut map = road_map(&[("1", Some("5/8"), Some("2+2")), ("2", Some("free"), None)]);
        map.measures.push(Measure {
            length: Some("5".parse().unwrap()),
            meter: Some("4/4".parse().unwrap()),
            ..Measure::labelled("3")
        });
        let laid = lay_out(&map, &Settings::default());
        let codes: Vec<&str> = laid.findings.iter().map(|f| f.code).collect();
        assert_eq!(
            codes,
            [
                "groups-do-not-fill",
                "free-without-length",
                "longer-than-meter"
            ]
        );
        assert_eq!(laid.value.measures()[0].grouping.to_string(), "3+2");
        assert_eq!(laid.value.measures()[2].beats.beats().len(), 5);
        assert_eq!(
            laid.findings[0].to_string(),
            "warning: measure 1: the groups 2+2 do not fill 5/8, its usual groups 3+2 are used (choose groups that add up to 5) [groups-do-not-fill]"
        );
    }
}
