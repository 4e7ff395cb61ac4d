//! Changes of tempo little by little that a file plays in steps.

use super::tempo::Here;
use crate::words::{Meaning, meanings};
use cueleaf_guide::Place;
use cueleaf_time::{BeatSpan, Meter, Ratio};
use std::collections::BTreeMap;

/// How many steps in one direction are one gradual change: two where a word such as "rit." stands
/// over them, else three.
///
/// # Source
/// Our decision. So programs play what print says by one word or not at all.
const STEPS_UNDER_WORDS: usize = 2;
const STEPS: usize = 3;

/// A step is less than so many hundredths of the tempo before it; what is more is a new tempo.
///
/// # Source
/// Our decision.
const MOST_STEP: i64 = 15;

/// Where the measures begin, in quarters, and the meters in force.
pub(super) struct Line<'a> {
    pub(super) starts: &'a [Ratio],
    pub(super) meters: &'a [Option<Meter>],
}

impl Line<'_> {
    fn position(&self, place: Place) -> Option<Ratio> {
        let start = self.starts.get(place.measure)?;
        start.plus(place.at.quarters()).ok()
    }

    /// Gives the length of a beat at a place, at least a quarter.
    fn beat(&self, place: Place) -> Ratio {
        let meter = self.meters.get(place.measure).and_then(Option::as_ref);
        let beat = meter.map_or(Ratio::ONE, |meter| {
            let finest = meter.finest_span().quarters();
            let beats = if meter.is_compound() { 3 } else { 1 };
            finest.times(Ratio::whole(beats)).unwrap_or(finest)
        });
        beat.max(BeatSpan::QUARTER.quarters())
    }
}

/// Makes one gradual change of steps in one direction that follow each other by a beat at most.
pub(super) fn folded(places: BTreeMap<Place, Here>, line: &Line<'_>) -> BTreeMap<Place, Here> {
    let mut all: Vec<(Place, Here)> = places.into_iter().collect();
    let mut kept = BTreeMap::new();
    let mut now: Option<Ratio> = None;
    let mut index = 0;
    while let Some((place, here)) = all.get(index) {
        let place = *place;
        let end = now.and_then(|now| end_of_steps(&all, index, now, line));
        let last = end.and_then(|end| Some(all.get(end)?.0).zip(all.get(end)?.1.sound));
        now = here.quarters().or(now);
        let mut own = all.get_mut(index).map(|(_, here)| core::mem::take(here));
        index += 1;
        if let (Some(own), Some(end), Some((to, arrives))) = (own.as_mut(), end, last) {
            own.sound = Some(arrives);
            own.steps_to = Some(to);
            now = Some(arrives);
            index = end + 1;
        }
        kept.extend(own.map(|own| (place, own)));
    }
    kept
}

/// Gives the last of the steps that begin at an index, where there are enough of them.
fn end_of_steps(all: &[(Place, Here)], index: usize, now: Ratio, line: &Line<'_>) -> Option<usize> {
    let (_, here) = all.get(index)?;
    if here.printed.is_some() || here.equation.is_some() {
        return None;
    }
    let says = |meaning| {
        here.words
            .iter()
            .any(|text| meanings(text).contains(&meaning))
    };
    let gradual = says(Meaning::Gradual);
    if !gradual && !here.words.is_empty() {
        return None;
    }
    // Where nothing changes yet, the change begins.
    let waits = here.sound.is_none_or(|sound| sound == now);
    let first = index + usize::from(waits);
    let (mut before, mut count, mut last) = (now, 0, index);
    let mut faster = None;
    for (at, (place, step)) in all.iter().enumerate().skip(first) {
        let Some(sound) = step.sound.filter(|_| at == index || step.is_bare()) else {
            break;
        };
        let apart = || {
            let (from, _) = all.get(last)?;
            let apart = line.position(*place)?.minus(line.position(*from)?).ok()?;
            (apart <= line.beat(*place)).then_some(())
        };
        let same_way = *faster.get_or_insert(sound > before) == (sound > before);
        if sound == before || !same_way || !is_small(before, sound) || apart().is_none() {
            break;
        }
        (before, last) = (sound, at);
        count += 1;
    }
    let least = if gradual { STEPS_UNDER_WORDS } else { STEPS };
    (count >= least).then_some(last)
}

fn is_small(before: Ratio, now: Ratio) -> bool {
    let share = now
        .minus(before)
        .and_then(|by| by.times(Ratio::whole(100)))
        .and_then(|by| by.over(before));
    share.is_ok_and(|share| share < Ratio::whole(MOST_STEP) && share > Ratio::whole(-MOST_STEP))
}
