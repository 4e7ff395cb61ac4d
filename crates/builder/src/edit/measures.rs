//! Edits of measures: meter, groups, way of counting, key, section, number.

use super::Reach;
use cueleaf_guide::{CountHere, CountStyle, Guide, Measure};
use cueleaf_time::{BeatChoice, Grouping, Key, Meter};

/// What is in force in a measure because it, or one before it, says so.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct InForce {
    pub(super) meter: Option<Meter>,
    pub(super) groups: Option<Grouping>,
    pub(super) count: CountHere,
    pub(super) key: Option<Key>,
}

pub(super) fn in_force(guide: &Guide, index: usize) -> InForce {
    let mut now = InForce::default();
    for measure in guide.road_map.measures.iter().take(index + 1) {
        if measure.meter.is_some() {
            now = InForce {
                meter: measure.meter.clone(),
                key: now.key,
                ..InForce::default()
            };
        }
        if measure.groups.is_some() {
            now.groups.clone_from(&measure.groups);
        }
        if let Some(count) = measure.count {
            now.count.beat = count.beat.or(now.count.beat);
            now.count.style = count.style.or(now.count.style);
        }
        now.key = measure.key.or(now.key);
    }
    now
}

/// Gives what was in force before a measure, nothing before the first.
pub(super) fn in_force_before(guide: &Guide, index: usize) -> InForce {
    index
        .checked_sub(1)
        .map_or_else(InForce::default, |before| in_force(guide, before))
}

/// Sets the meter of measures, by default grouping; `None` takes it away, so
/// that the meter before goes on.
#[must_use]
pub fn set_meter(
    guide: &Guide,
    (first, last): (usize, usize),
    reach: Reach,
    meter: Option<Meter>,
) -> Guide {
    let after = in_force(guide, last + 1);
    let before = in_force_before(guide, first);
    let mut made = guide.clone();
    let goes_on = meter.is_some() && meter == before.meter;
    for (index, measure) in chosen(&mut made, first, last) {
        let own = (index == first && !goes_on).then(|| meter.clone());
        measure.meter = own.flatten();
        measure.groups = None;
        measure.count = None;
    }
    if reach == Reach::Chosen
        && let Some(next) = made.road_map.measures.get_mut(last + 1)
        && next.meter.is_none()
    {
        // What follows keeps the meter it had, with its groups and way of counting.
        next.meter = after.meter;
        next.groups = next.groups.take().or(after.groups);
        let count = (after.count != CountHere::default()).then_some(after.count);
        next.count = next.count.or(count);
    }
    made
}

/// Sets the grouping of measures; `None` gives the meter's usual groups.
#[must_use]
pub fn set_groups(
    guide: &Guide,
    (first, last): (usize, usize),
    reach: Reach,
    groups: Option<Grouping>,
) -> Guide {
    let after = in_force(guide, last + 1);
    let usual = |now: &InForce| now.meter.as_ref().map(Meter::default_grouping);
    let before = in_force_before(guide, first);
    let here = in_force(guide, first);
    let mut made = guide.clone();
    for (index, measure) in chosen(&mut made, first, last) {
        if index > first && measure.meter.is_some() {
            // Another meter has groups of its own.
            break;
        }
        measure.groups = None;
        if index == first {
            let own = measure.meter.is_some();
            let needed = match &groups {
                Some(groups) => own || before.groups.as_ref() != Some(groups),
                None => !own && before.groups.is_some(),
            };
            if needed {
                let plain = if own { None } else { usual(&here) };
                measure.groups = groups.clone().or(plain);
            }
        }
    }
    if reach == Reach::Chosen
        && let Some(next) = made.road_map.measures.get_mut(last + 1)
        && next.meter.is_none()
        && next.groups.is_none()
    {
        next.groups = after.groups.clone().or_else(|| usual(&after));
    }
    made
}

/// Sets in which beat and in which way measures are counted.
#[must_use]
pub fn set_count(
    guide: &Guide,
    (first, last): (usize, usize),
    reach: Reach,
    beat: Option<BeatChoice>,
    style: Option<CountStyle>,
) -> Guide {
    let after = in_force(guide, last + 1);
    let mut made = guide.clone();
    for (index, measure) in chosen(&mut made, first, last) {
        if index == first {
            let own = measure.count.unwrap_or_default();
            let count = CountHere {
                beat: beat.or(own.beat),
                style: style.or(own.style),
            };
            measure.count = Some(count);
        } else {
            measure.count = None;
        }
    }
    if reach == Reach::Chosen
        && let Some(next) = made.road_map.measures.get_mut(last + 1)
        && next.meter.is_none()
        && next.count.is_none()
    {
        next.count = Some(CountHere {
            beat: Some(after.count.beat.unwrap_or_default()),
            style: after.count.style,
        });
    }
    made
}

/// Sets the key signature of measures; `None` takes it away, so that the key
/// before goes on.
#[must_use]
pub fn set_key(
    guide: &Guide,
    (first, last): (usize, usize),
    reach: Reach,
    key: Option<Key>,
) -> Guide {
    let after = in_force(guide, last + 1);
    let before = in_force_before(guide, first);
    let mut made = guide.clone();
    for (index, measure) in chosen(&mut made, first, last) {
        let own = (index == first && key != before.key).then_some(key);
        measure.key = own.flatten();
    }
    if reach == Reach::Chosen
        && let Some(next) = made.road_map.measures.get_mut(last + 1)
        && next.key.is_none()
    {
        next.key = after.key;
    }
    made
}

fn chosen(
    guide: &mut Guide,
    first: usize,
    last: usize,
) -> impl Iterator<Item = (usize, &mut Measure)> {
    guide
        .road_map
        .measures
        .iter_mut()
        .enumerate()
        .take(last + 1)
        .skip(first)
}

/// Changes one measure.
fn with_measure(guide: &Guide, index: usize, change: impl FnOnce(&mut Measure)) -> Guide {
    let mut made = guide.clone();
    if let Some(measure) = made.road_map.measures.get_mut(index) {
        change(measure);
    }
    made
}

fn text_or_none(text: &str) -> Option<String> {
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

/// Names the section that starts at a measure; an empty name takes it away.
#[must_use]
pub fn set_section(guide: &Guide, index: usize, name: &str) -> Guide {
    with_measure(guide, index, |measure| measure.section = text_or_none(name))
}

/// Sets the rehearsal mark of a measure; an empty one takes it away.
#[must_use]
pub fn set_mark(guide: &Guide, index: usize, name: &str) -> Guide {
    with_measure(guide, index, |measure| measure.mark = text_or_none(name))
}

/// Sets the printed number of one measure.
#[must_use]
pub fn set_label(guide: &Guide, index: usize, label: &str) -> Guide {
    with_measure(guide, index, |measure| {
        label.trim().clone_into(&mut measure.label)
    })
}

/// Numbers the measures after one on from its own number, as print does: a
/// pickup and the second half of a divided measure bear no number of their own.
///
/// # Errors
/// A sentence for the teacher when the measure's own number is no number.
pub fn number_on(guide: &Guide, index: usize) -> Result<Guide, String> {
    let label = guide
        .road_map
        .measures
        .get(index)
        .map_or("", |measure| measure.label.trim());
    let mut number: u32 = label
        .parse()
        .map_err(|_| "Give this measure a plain number first; the next ones count on from it.")?;
    let mut made = guide.clone();
    for measure in made.road_map.measures.iter_mut().skip(index + 1) {
        if measure.pickup {
            continue;
        }
        number = number.saturating_add(1);
        measure.label = number.to_string();
    }
    Ok(made)
}

/// Lets measures last as long as their meter again.
#[must_use]
pub fn make_full(guide: &Guide, (first, last): (usize, usize)) -> Guide {
    let mut made = guide.clone();
    for (_, measure) in chosen(&mut made, first, last) {
        measure.length = None;
        measure.pickup = false;
    }
    made
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Id, lay_out};

    /// One word a measure: meter and groups, "." for nothing.
    fn guide(words: &str) -> Guide {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        for (index, word) in words.split(' ').enumerate() {
            let mut measure = Measure::labelled(&(index + 1).to_string());
            let (meter, groups) = word.split_once('=').unwrap_or((word, ""));
            measure.meter = meter.parse().ok();
            measure.groups = groups.parse().ok();
            guide.road_map.measures.push(measure);
        }
        guide
    }

    fn laid(guide: &Guide) -> String {
        let layout = lay_out(&guide.road_map, &guide.settings).value;
        let words: Vec<String> = layout
            .measures()
            .iter()
            .map(|laid| format!("{}={}", laid.meter, laid.grouping))
            .collect();
        words.join(" ")
    }

    fn own(guide: &Guide) -> String {
        let words: Vec<String> = guide
            .road_map
            .measures
            .iter()
            .map(|m| match (&m.meter, &m.groups) {
                (Some(meter), Some(groups)) => format!("{meter}={groups}"),
                (Some(meter), None) => meter.to_string(),
                (None, Some(groups)) => format!("={groups}"),
                (None, None) => ".".to_owned(),
            })
            .collect();
        words.join(" ")
    }

    #[test]
    fn a_meter_reaches_on_or_stays_in_its_measures() {
        let start = guide("4/4 . . 3/4 .");
        let five: Option<Meter> = "5/8".parse().ok();
        let onward = set_meter(&start, (1, 1), Reach::Onward, five.clone());
        assert_eq!(own(&onward), "4/4 5/8 . 3/4 .");
        let only = set_meter(&start, (1, 1), Reach::Chosen, five.clone());
        assert_eq!(own(&only), "4/4 5/8 4/4 3/4 .");
        let over = set_meter(&start, (1, 3), Reach::Chosen, five.clone());
        assert_eq!(own(&over), "4/4 5/8 . . 3/4");
        let back = set_meter(&only, (1, 1), Reach::Onward, "4/4".parse().ok());
        assert_eq!(own(&back), "4/4 . 4/4 3/4 .");
        let none = set_meter(&start, (3, 3), Reach::Onward, None);
        assert_eq!(own(&none), "4/4 . . . .");
        let to_the_end = set_meter(&start, (4, 4), Reach::Chosen, five);
        assert_eq!(own(&to_the_end), "4/4 . . 3/4 5/8");
    }

    #[test]
    fn groups_come_back_after_the_chosen_measures() {
        let start = guide("5/8=2+3 . . . 7/8");
        let groups: Option<Grouping> = "3+2".parse().ok();
        let only = set_groups(&start, (1, 2), Reach::Chosen, groups.clone());
        assert_eq!(laid(&only), "5/8=2+3 5/8=3+2 5/8=3+2 5/8=2+3 7/8=2+2+3");
        let onward = set_groups(&start, (1, 1), Reach::Onward, groups);
        assert_eq!(laid(&onward), "5/8=2+3 5/8=3+2 5/8=3+2 5/8=3+2 7/8=2+2+3");
        let usual = set_groups(&start, (1, 1), Reach::Onward, None);
        assert_eq!(laid(&usual), "5/8=2+3 5/8=3+2 5/8=3+2 5/8=3+2 7/8=2+2+3");
        let of_first = set_groups(&start, (0, 0), Reach::Onward, None);
        assert_eq!(own(&of_first), "5/8 . . . 7/8");
    }

    #[test]
    fn keys_and_counts() {
        let start = guide("6/8 . . .");
        let two = Key::from_fifths(2).ok();
        let keyed = set_key(&start, (1, 1), Reach::Chosen, two);
        assert_eq!(keyed.road_map.measures[1].key, two);
        assert_eq!(keyed.road_map.measures[2].key, None);
        let six = set_count(&start, (1, 1), Reach::Chosen, Some(BeatChoice::Small), None);
        let layout = lay_out(&six.road_map, &six.settings).value;
        let counts: Vec<usize> = layout
            .measures()
            .iter()
            .map(|laid| laid.beats.beats().len())
            .collect();
        assert_eq!(counts, [2, 6, 2, 2]);
    }

    #[test]
    fn numbers_go_on() {
        let mut start = guide("4/4 . . .");
        start.road_map.measures[2].pickup = true;
        let start = set_label(&start, 0, " 40 ");
        let numbered = number_on(&start, 0).unwrap();
        let labels: Vec<&str> = numbered
            .road_map
            .measures
            .iter()
            .map(|m| m.label.as_str())
            .collect();
        assert_eq!(labels, ["40", "41", "3", "42"]);
        assert!(number_on(&set_label(&start, 0, "12a"), 0).is_err());
    }
}
