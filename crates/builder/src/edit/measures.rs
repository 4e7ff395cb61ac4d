//! Edits of measures: meter, groups, way of counting, key, section, number.

use super::Reach;
use cueleaf_guide::{CountHere, CountStyle, Guide, Mark, Measure, Place, Spot};
use cueleaf_time::{BeatChoice, Grouping, Key, Meter};

/// What is in force in a measure because it, or one before it, says so.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct InForce {
    meter: Option<Meter>,
    groups: Option<Grouping>,
    count: CountHere,
    key: Option<Key>,
}

fn in_force(guide: &Guide, index: usize) -> InForce {
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
fn in_force_before(guide: &Guide, index: usize) -> InForce {
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

/// Puts empty measures after one; what stands later moves along, and so do the
/// tips and marks.
#[must_use]
pub fn insert_after(guide: &Guide, index: usize, count: usize) -> Guide {
    let mut made = moved(guide, |place| {
        let moves = place.measure > index;
        Place {
            measure: place.measure + if moves { count } else { 0 },
            ..place
        }
    });
    let at = (index + 1).min(made.road_map.measures.len());
    made.road_map
        .measures
        .splice(at..at, core::iter::repeat_n(Measure::default(), count));
    made
}

/// Takes measures out. What is in force after them stays in force; their tips
/// and to-dos go to the measure that takes their place.
#[must_use]
pub fn remove(guide: &Guide, (first, last): (usize, usize)) -> Guide {
    let last = last.min(guide.road_map.measures.len().saturating_sub(1));
    if guide.road_map.measures.is_empty() || first > last {
        return guide.clone();
    }
    let count = last + 1 - first;
    let after = in_force(guide, last + 1);
    let kept = guide.road_map.measures.len().saturating_sub(count);
    let end = kept.saturating_sub(1);
    let mut made = moved(guide, |place| {
        if place.measure > last {
            return Place {
                measure: place.measure - count,
                ..place
            };
        }
        if place.measure >= first {
            return Place::start_of(first.min(end));
        }
        place
    });
    for part in &mut made.parts {
        // Marks of the measures themselves go with them.
        let old = guide.part(&part.id).map_or(&[][..], |old| &old.marks);
        let stays = |mark: &Mark| mark.measure < first || mark.measure > last;
        let keep: Vec<bool> = old.iter().map(stays).collect();
        let mut keep = keep.into_iter();
        part.marks.retain(|_| keep.next().unwrap_or(true));
    }
    made.road_map.measures.drain(first..=last);
    if let Some(next) = made.road_map.measures.get_mut(first) {
        if next.meter.is_none() {
            next.meter = after.meter;
            next.groups = next.groups.take().or(after.groups);
            let count = (after.count != CountHere::default()).then_some(after.count);
            next.count = next.count.or(count);
        }
        next.key = next.key.or(after.key);
    }
    made
}

/// Puts a copy of measures after them, without their tips; tempo, signs and marks are copied along.
#[must_use]
pub fn duplicate(guide: &Guide, (first, last): (usize, usize)) -> Guide {
    let count = last + 1 - first;
    let mut made = insert_after(guide, last, count);
    let along = |place: Place| Place {
        measure: place.measure + count,
        ..place
    };
    for index in first..=last {
        let Some(mut copy) = guide.road_map.measures.get(index).cloned() else {
            continue;
        };
        // Two measures of one number would not be told apart.
        copy.label.clear();
        for mark in &mut copy.tempo {
            mark.until = mark.until.map(along);
        }
        if let Some(place) = made.road_map.measures.get_mut(index + count) {
            *place = copy;
        }
    }
    for part in &mut made.parts {
        let old = guide.part(&part.id).map_or(&[][..], |old| &old.marks);
        let copies = old
            .iter()
            .filter(|mark| (first..=last).contains(&mark.measure));
        part.marks.extend(copies.map(|mark| Mark {
            measure: mark.measure + count,
            to: mark.to.map(along),
            ..mark.clone()
        }));
        part.marks.sort_by_key(|mark| (mark.measure, mark.at));
    }
    made
}

/// Which way measures are moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// By one measure towards the start.
    Earlier,
    /// By one measure towards the end.
    Later,
}

/// Moves measures by one; what was beside them takes their place, and tips and
/// marks go with their measures. `None` at the end of the music.
#[must_use]
pub fn shift(guide: &Guide, (first, last): (usize, usize), way: Way) -> Option<Guide> {
    let (from, to, other) = match way {
        Way::Earlier => (first, first.checked_sub(1)?, last),
        Way::Later => (last + 1, first, last + 1),
    };
    if other >= guide.road_map.measures.len() {
        return None;
    }
    // The one measure beside them goes to the other side.
    let (jumps, lands) = match way {
        Way::Earlier => (to, last),
        Way::Later => (from, first),
    };
    let place = |place: Place| {
        let measure = if place.measure == jumps {
            lands
        } else if (first..=last).contains(&place.measure) {
            match way {
                Way::Earlier => place.measure - 1,
                Way::Later => place.measure + 1,
            }
        } else {
            place.measure
        };
        Place { measure, ..place }
    };
    let mut made = moved(guide, place);
    let measure = made.road_map.measures.remove(jumps);
    made.road_map.measures.insert(lands, measure);
    for part in &mut made.parts {
        part.marks.sort_by_key(|mark| (mark.measure, mark.at));
    }
    Some(made)
}

/// Gives the guide with every place in it changed.
fn moved(guide: &Guide, place: impl Fn(Place) -> Place) -> Guide {
    let mut made = guide.clone();
    let spot = |spot: Spot| Spot {
        from: place(spot.from),
        to: spot.to.map(&place),
    };
    for tip in &mut made.tips {
        tip.spot = spot(tip.spot);
    }
    for todo in &mut made.todos {
        todo.spot = todo.spot.map(spot);
    }
    for mark in made.parts.iter_mut().flat_map(|part| &mut part.marks) {
        let from = place(Place {
            measure: mark.measure,
            at: mark.at,
        });
        (mark.measure, mark.at) = (from.measure, from.at);
        mark.to = mark.to.map(&place);
    }
    let tempo = made.road_map.measures.iter_mut().flat_map(|m| &mut m.tempo);
    for mark in tempo {
        mark.until = mark.until.map(&place);
    }
    made
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Id, Tip, Topic, lay_out};

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
    fn measures_move_with_their_tips_and_back_again() {
        let mut start = guide("4/4 . 3/4 . .");
        let spot = Spot::measures(2, 3);
        start
            .tips
            .push(Tip::new(Id::new("t").unwrap(), spot, Topic::Bow, "x"));
        let later = shift(&start, (2, 3), Way::Later).unwrap();
        let labels: Vec<&str> = later
            .road_map
            .measures
            .iter()
            .map(|m| m.label.as_str())
            .collect();
        assert_eq!(labels, ["1", "2", "5", "3", "4"]);
        assert_eq!(later.tips[0].spot, Spot::measures(3, 4));
        assert_eq!(shift(&later, (3, 4), Way::Earlier), Some(start.clone()));
        assert_eq!(shift(&start, (0, 0), Way::Earlier), None);
        assert_eq!(shift(&start, (3, 4), Way::Later), None);
        let copied = duplicate(&start, (2, 3));
        assert_eq!(copied.road_map.measures.len(), 7);
        assert_eq!(
            copied.road_map.measures[4].meter,
            start.road_map.measures[2].meter
        );
        assert_eq!(copied.tips, start.tips);
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

    #[test]
    fn tips_move_with_their_measures() {
        let mut start = guide("4/4 . 3/4 . 2/4");
        for (name, first, last) in [("a", 0, 1), ("b", 2, 3), ("c", 4, 4)] {
            let id = Id::new(name).unwrap();
            start
                .tips
                .push(Tip::new(id, Spot::measures(first, last), Topic::Bow, ""));
        }
        let longer = insert_after(&start, 1, 2);
        assert_eq!(own(&longer), "4/4 . . . 3/4 . 2/4");
        let spots = |guide: &Guide| -> Vec<(usize, usize)> {
            let ends = |tip: &Tip| (tip.spot.from.measure, tip.spot.last_measure());
            guide.tips.iter().map(ends).collect()
        };
        assert_eq!(spots(&longer), [(0, 1), (4, 5), (6, 6)]);
        let shorter = remove(&start, (1, 2));
        assert_eq!(own(&shorter), "4/4 3/4 2/4");
        assert_eq!(spots(&shorter), [(0, 1), (1, 1), (2, 2)]);
        assert_eq!(own(&remove(&start, (3, 4))), "4/4 . 3/4");
        assert_eq!(spots(&remove(&start, (3, 4)))[2], (2, 2));
        let none = remove(&start, (0, 4));
        assert!(none.road_map.measures.is_empty());
        assert_eq!(remove(&none, (0, 0)), none);
    }
}
