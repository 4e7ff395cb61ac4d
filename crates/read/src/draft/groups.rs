//! The grouping of uneven meters, told from the beams.

use super::road_map::column;
use cueleaf_guide::Measure;
use cueleaf_score::{Beam, Note, Score};
use cueleaf_time::{Grouping, Meter, Ratio};

/// Sets the grouping at measures of uneven meters where the beams of all parts
/// leave only one. Where they say nothing, nothing is set.
pub(super) fn set_groups(score: &Score, measures: &mut [Measure]) {
    let mut start = 0;
    while start < measures.len() {
        let next = (start + 1..measures.len())
            .find(|index| measures.get(*index).is_some_and(|one| one.meter.is_some()))
            .unwrap_or(measures.len());
        let meter = measures.get(start).and_then(|one| one.meter.clone());
        if let Some(meter) = meter
            && let Some(choices) = choices(&meter)
        {
            set_run(score, measures, start..next, &meter, &choices);
        }
        start = next;
    }
}

/// Within one meter: the first grouping told counts from the start, when all
/// measures agree; else each holds from where it is told.
fn set_run(
    score: &Score,
    measures: &mut [Measure],
    run: core::ops::Range<usize>,
    meter: &Meter,
    choices: &[Vec<u16>],
) {
    let told: Vec<(usize, &Vec<u16>)> = run
        .clone()
        .filter_map(|index| Some((index, grouping_of(score, index, meter, choices)?)))
        .collect();
    let mut now: Option<&Vec<u16>> = None;
    let agree = told.windows(2).all(|pair| match pair {
        [(_, one), (_, other)] => one == other,
        _ => true,
    });
    for (index, groups) in &told {
        let at = if agree { run.start } else { *index };
        if now != Some(groups)
            && let Some(measure) = measures.get_mut(at)
        {
            measure.groups = Grouping::new((*groups).clone()).ok();
        }
        now = Some(groups);
    }
}

/// Gives the groupings an uneven meter may have, in groups of two to four of
/// its unit; `None` for meters that are not uneven or are written as a sum.
fn choices(meter: &Meter) -> Option<Vec<Vec<u16>>> {
    let [part] = meter.parts() else { return None };
    let units = part.units();
    let uneven = part.denominator() >= 8 && matches!(units, 5 | 7 | 8 | 10 | 11 | 13);
    if !uneven || part.beats().len() != 1 {
        return None;
    }
    let mut whole = Vec::new();
    let mut begun: Vec<Vec<u16>> = vec![Vec::new()];
    while let Some(groups) = begun.pop() {
        let rest = units - groups.iter().sum::<u16>();
        if rest == 0 {
            whole.push(groups);
            continue;
        }
        for group in (2..=rest.min(4)).filter(|group| rest - group != 1) {
            let mut longer = groups.clone();
            longer.push(group);
            begun.push(longer);
        }
    }
    whole.sort_unstable();
    Some(whole)
}

/// What is written under one stroke: from and to, in units of the meter.
#[derive(Clone, Copy)]
struct Stroke {
    from: Ratio,
    to: Ratio,
}

impl Stroke {
    fn has_inside(&self, place: Ratio) -> bool {
        self.from < place && place < self.to
    }
}

/// Finds the only grouping that goes with what all parts show in a measure: no
/// beam reaches over a group's start, and where two beams meet a group starts.
/// If beams alone leave several, no note may reach over a group's start either.
fn grouping_of<'c>(
    score: &Score,
    index: usize,
    meter: &Meter,
    choices: &'c [Vec<u16>],
) -> Option<&'c Vec<u16>> {
    let unit = meter.finest_span().quarters();
    let mut beams = Vec::new();
    let mut meets = Vec::new();
    let mut notes = Vec::new();
    for measure in column(score, index) {
        for voice in voices(&measure.notes) {
            let own: Vec<Stroke> = beams_of(&voice, unit);
            for pair in own.windows(2) {
                if let [one, other] = pair
                    && one.to == other.from
                {
                    meets.push(one.to);
                }
            }
            beams.extend(own);
            notes.extend(voice.iter().filter_map(|note| stroke(note, note, unit)));
        }
    }
    if beams.is_empty() {
        return None;
    }
    let starts = |groups: &[u16]| -> Vec<Ratio> {
        let mut at = 0i64;
        let ends = groups.iter().map(|group| {
            at += i64::from(*group);
            Ratio::whole(at)
        });
        let mut starts: Vec<Ratio> = ends.collect();
        starts.pop();
        starts
    };
    let clear_of = |groups: &[u16], strokes: &[Stroke]| {
        let starts = starts(groups);
        !strokes
            .iter()
            .any(|stroke| starts.iter().any(|start| stroke.has_inside(*start)))
    };
    let fitting: Vec<&Vec<u16>> = choices
        .iter()
        .filter(|groups| {
            let starts = starts(groups);
            clear_of(groups, &beams) && meets.iter().all(|place| starts.contains(place))
        })
        .collect();
    match fitting.as_slice() {
        [only] => Some(only),
        _ => {
            let mut closer = fitting
                .into_iter()
                .filter(|groups| clear_of(groups, &notes));
            let first = closer.next()?;
            closer.next().is_none().then_some(first)
        }
    }
}

/// Sorts the notes that last by voice, without the upper notes of chords.
fn voices(notes: &[Note]) -> Vec<Vec<&Note>> {
    let mut numbers: Vec<(u16, u16)> = notes.iter().map(|one| (one.staff, one.voice)).collect();
    numbers.sort_unstable();
    numbers.dedup();
    numbers
        .into_iter()
        .map(|number| {
            let own = notes.iter().filter(|note| {
                (note.staff, note.voice) == number && note.grace.is_none() && !note.chord
            });
            own.collect()
        })
        .collect()
}

fn stroke(first: &Note, last: &Note, unit: Ratio) -> Option<Stroke> {
    let end = last.at.plus(last.length).ok()?;
    Some(Stroke {
        from: first.at.quarters().over(unit).ok()?,
        to: end.quarters().over(unit).ok()?,
    })
}

fn beams_of(voice: &[&Note], unit: Ratio) -> Vec<Stroke> {
    let mut beams = Vec::new();
    let mut first: Option<&Note> = None;
    for note in voice {
        match (note.beams.first(), first) {
            (Some(Beam::Begin), _) => first = Some(note),
            (Some(Beam::End), Some(begun)) => {
                beams.extend(stroke(begun, note, unit));
                first = None;
            }
            _ => {}
        }
    }
    beams
}
