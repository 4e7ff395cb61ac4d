//! Measures put in, taken out, copied and moved, with all that is attached to them:
//! tips, marks, the ends of hairpins and gradual changes, and what is in force.

use super::measures::{InForce, in_force, in_force_before};
use super::tempo::tempo_in_force;
use cueleaf_guide::{CountHere, Guide, Mark, Measure, Place, Spot, TempoMark};
use cueleaf_time::{BeatSpan, Meter, Tempo};

/// Which way measures are moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// By one measure towards the start.
    Earlier,
    /// By one measure towards the end.
    Later,
}

/// Puts empty measures after one; what stands later moves along, and so do the
/// tips and marks.
#[must_use]
pub fn insert_after(guide: &Guide, index: usize, count: usize) -> Guide {
    let along = |place: Place, moves: bool| Place {
        measure: place.measure + if moves { count } else { 0 },
        ..place
    };
    let mut made = relocated(
        guide,
        |place| along(place, place.measure > index),
        // What ends with a measure is over before the new ones.
        |end| along(end, end.measure > index + usize::from(end.at.is_zero())),
    );
    let at = (index + 1).min(made.road_map.measures.len());
    made.road_map
        .measures
        .splice(at..at, core::iter::repeat_n(Measure::default(), count));
    made
}

/// Takes measures out. What is in force after them stays in force, the sign of a
/// repeat whose other sign is left goes to the measure beside it, and their tips
/// and to-dos go to the measure that takes their place.
#[must_use]
pub fn remove(guide: &Guide, (first, last): (usize, usize)) -> Guide {
    let last = last.min(guide.road_map.measures.len().saturating_sub(1));
    if guide.road_map.measures.is_empty() || first > last {
        return guide.clone();
    }
    let count = last + 1 - first;
    let kept = guide.road_map.measures.len().saturating_sub(count);
    let to = |place: Place, inside: Place| match place.measure {
        measure if measure > last => Place {
            measure: measure - count,
            ..place
        },
        measure if measure >= first => inside,
        _ => place,
    };
    let next = first.min(kept.saturating_sub(1));
    let mut made = relocated(
        guide,
        |place| to(place, Place::start_of(next)),
        |end| to(end, Place::start_of(first)),
    );
    for (tip, old) in made.tips.iter_mut().zip(&guide.tips) {
        // A tip that began before them ends before them.
        if old.spot.from.measure < first && (first..=last).contains(&old.spot.last_measure()) {
            tip.spot = Spot {
                to: Some(Place::start_of(first - 1)),
                ..tip.spot
            };
            if tip.spot.from == Place::start_of(first - 1) {
                tip.spot.to = None;
            }
        }
    }
    for (part, old) in made.parts.iter_mut().zip(&guide.parts) {
        // Marks of the measures themselves go with them.
        let stays = |mark: &Mark| mark.measure < first || mark.measure > last;
        let mut keep = old.marks.iter().map(stays);
        part.marks.retain(|_| keep.next().unwrap_or(true));
    }
    let gone: Vec<Measure> = made.road_map.measures.drain(first..=last).collect();
    hand_on_signs(&mut made, first, &gone);
    let after = in_force(guide, last + 1);
    keep_in_force(&mut made, first, &after, tempo_in_force(guide, last + 1));
    straighten(&mut made);
    made
}

/// Gives the signs of repeats that lost their partner, and the start of a
/// movement, to the measures beside a gap.
fn hand_on_signs(made: &mut Guide, gap: usize, gone: &[Measure]) {
    let (mut open, mut back) = (0usize, None);
    for measure in gone {
        open += usize::from(measure.repeat_from);
        if measure.repeat_back.is_some() {
            match open.checked_sub(1) {
                Some(left) => open = left,
                None => back = Some(measure),
            }
        }
    }
    let movement = gone.iter().rev().find_map(|own| own.movement.clone());
    let measures = &mut made.road_map.measures;
    if let Some(next) = measures.get_mut(gap) {
        next.repeat_from |= open > 0;
        next.movement = next.movement.take().or(movement);
    }
    if let (Some(back), Some(before)) = (
        back,
        gap.checked_sub(1).and_then(|own| measures.get_mut(own)),
    ) && before.ending == back.ending
    {
        before.repeat_back = before.repeat_back.or(back.repeat_back);
    }
}

/// Puts a copy of measures after them, with their tempi, repeats and marks; their
/// tips, numbers and names stand only once.
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
        // Two places of one name would not be told apart.
        copy.label.clear();
        (copy.movement, copy.section, copy.mark) = (None, None, None);
        (copy.segno, copy.coda) = (None, None);
        for mark in &mut copy.tempo {
            mark.until = mark.until.map(along);
        }
        if let Some(place) = made.road_map.measures.get_mut(index + count) {
            *place = copy;
        }
    }
    for (part, old) in made.parts.iter_mut().zip(&guide.parts) {
        let chosen = |mark: &&Mark| (first..=last).contains(&mark.measure);
        part.marks
            .extend(old.marks.iter().filter(chosen).map(|mark| Mark {
                measure: mark.measure + count,
                to: mark.to.map(along),
                ..mark.clone()
            }));
        part.marks.sort_by_key(|mark| (mark.measure, mark.at));
    }
    for (index, like) in [(last + 1, first), (last + 1 + count, last + 1)] {
        let wanted = in_force(guide, like);
        keep_in_force(&mut made, index, &wanted, tempo_in_force(guide, like));
    }
    made
}

/// Moves measures by one; what was beside them takes their place. Tips, marks and
/// what is in force go with their measures. `None` at the end of the music.
#[must_use]
pub fn shift(guide: &Guide, (first, last): (usize, usize), way: Way) -> Option<Guide> {
    // The one measure beside them goes to the other side.
    let (jumps, lands) = match way {
        Way::Earlier => (first.checked_sub(1)?, last),
        Way::Later => (last + 1, first),
    };
    if jumps.max(last) >= guide.road_map.measures.len() {
        return None;
    }
    let index_of = |measure: usize| match way {
        _ if measure == jumps => lands,
        Way::Earlier if (first..=last).contains(&measure) => measure - 1,
        Way::Later if (first..=last).contains(&measure) => measure + 1,
        _ => measure,
    };
    let mut made = relocated(
        guide,
        |place| Place {
            measure: index_of(place.measure),
            ..place
        },
        |end| match end.measure.checked_sub(1) {
            // What ends with a measure goes with that measure.
            Some(measure) if end.at.is_zero() => Place::start_of(index_of(measure) + 1),
            _ => Place {
                measure: index_of(end.measure),
                ..end
            },
        },
    );
    let measure = made.road_map.measures.remove(jumps);
    made.road_map.measures.insert(lands, measure);
    for part in &mut made.parts {
        part.marks.sort_by_key(|mark| (mark.measure, mark.at));
    }
    straighten(&mut made);
    // The new place and the old one of each measure that has another before it now.
    let (low, high) = (first.min(jumps), last.max(jumps));
    let seams = match way {
        Way::Earlier => [(low, first), (high, jumps), (high + 1, high + 1)],
        Way::Later => [(low, jumps), (low + 1, first), (high + 1, high + 1)],
    };
    for (index, old) in seams {
        let wanted = in_force(guide, old);
        keep_in_force(&mut made, index, &wanted, tempo_in_force(guide, old));
    }
    Some(made)
}

/// Lets a measure have what was in force in it, with no more said than needed.
fn keep_in_force(made: &mut Guide, index: usize, wanted: &InForce, tempo: Option<Tempo>) {
    let before = in_force_before(made, index);
    let Some(measure) = made.road_map.measures.get_mut(index) else {
        return;
    };
    let said = |count: CountHere| (count != CountHere::default()).then_some(count);
    if wanted.meter == before.meter {
        measure.meter = None;
        let usual = || wanted.meter.as_ref().map(Meter::default_grouping);
        measure.groups = (wanted.groups != before.groups)
            .then(|| wanted.groups.clone().or_else(usual))
            .flatten();
        measure.count = (wanted.count != before.count).then(|| CountHere {
            beat: Some(wanted.count.beat.unwrap_or_default()),
            style: wanted.count.style,
        });
    } else if wanted.meter.is_some() {
        measure.meter.clone_from(&wanted.meter);
        measure.groups.clone_from(&wanted.groups);
        measure.count = said(wanted.count);
    }
    if wanted.key == before.key {
        measure.key = None;
    } else if wanted.key.is_some() {
        measure.key = wanted.key;
    }
    if let Some(tempo) = tempo {
        keep_tempo(made, index, tempo);
    }
}

/// Lets a measure have a tempo; a number that only repeats it is not said.
fn keep_tempo(made: &mut Guide, index: usize, tempo: Tempo) {
    let said = TempoMark::at_once(BeatSpan::ZERO, "", tempo);
    let Some(measure) = made.road_map.measures.get_mut(index) else {
        return;
    };
    match measure.tempo.iter().position(|mark| mark.at.is_zero()) {
        Some(at) if measure.tempo.get(at) == Some(&said) => {
            measure.tempo.remove(at);
        }
        // Whatever is printed there stands for itself.
        Some(_) => return,
        None => {}
    }
    if tempo_in_force(made, index) != Some(tempo)
        && let Some(measure) = made.road_map.measures.get_mut(index)
    {
        measure.tempo.insert(0, said);
    }
}

/// Gives the guide with every place in it changed; ends, before which something is
/// over, in a way of their own.
fn relocated(guide: &Guide, place: impl Fn(Place) -> Place, end: impl Fn(Place) -> Place) -> Guide {
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
        mark.to = mark.to.map(&end);
    }
    let tempo = made.road_map.measures.iter_mut().flat_map(|m| &mut m.tempo);
    for mark in tempo {
        mark.until = mark.until.map(&end);
    }
    made
}

/// Mends what ends before it starts since its measures changed their order: it
/// lasts to the end of the measure where it starts, and a spot is turned round.
fn straighten(made: &mut Guide) {
    let to_the_end = |from: Place, end: &mut Option<Place>| {
        if end.is_some_and(|end| end <= from) {
            *end = Some(Place::start_of(from.measure + 1));
        }
    };
    for (measure, own) in made.road_map.measures.iter_mut().enumerate() {
        for mark in &mut own.tempo {
            to_the_end(
                Place {
                    measure,
                    at: mark.at,
                },
                &mut mark.until,
            );
        }
    }
    for mark in made.parts.iter_mut().flat_map(|part| &mut part.marks) {
        let from = Place {
            measure: mark.measure,
            at: mark.at,
        };
        to_the_end(from, &mut mark.to);
    }
    let tips = made.tips.iter_mut().map(|tip| &mut tip.spot);
    let todos = made.todos.iter_mut().filter_map(|todo| todo.spot.as_mut());
    for spot in tips.chain(todos) {
        if let Some(to) = spot.to
            && to.measure < spot.from.measure
        {
            *spot = Spot::measures(to.measure, spot.from.measure);
        }
    }
}

#[cfg(test)]
mod tests;
