//! Meters: changes, single odd measures, uneven groups.

use crate::say::vary;
use crate::scene::Scene;
use crate::thresholds::{MOST_GROUPED_UNITS, weight};
use crate::watched::{Kind, Watched};
use cueleaf_guide::{Laid, Spot};
use cueleaf_score::{Articulation, Beam, Note};
use cueleaf_time::Grouping;

/// Finds what happens to the meter.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let measures = scene.plan.layout().measures();
    let starts = changes(measures);
    for (number, (start, end)) in starts.iter().enumerate() {
        let before = number.checked_sub(1).and_then(|one| starts.get(one));
        let before_that = number.checked_sub(2).and_then(|one| starts.get(one));
        let meter = |run: &(usize, usize)| measures.get(run.0).map(|laid| laid.meter.clone());
        let back = before_that.is_some()
            && before.is_some_and(|(from, to)| to - from == 1)
            && before_that.and_then(meter) == meter(&(*start, *end));
        change(scene, *start, *end, back, found);
    }
    for (index, laid) in measures.iter().enumerate() {
        odd_length(scene, index, laid, found);
    }
}

/// Gives the runs of one meter and grouping: first measure, and the one after the last.
fn changes(measures: &[Laid]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    let mut now: Option<&Laid> = None;
    for (index, laid) in measures.iter().enumerate() {
        let same = now.is_some_and(|now| now.meter == laid.meter && now.grouping == laid.grouping);
        match runs.last_mut() {
            Some(last) if same => last.1 = index + 1,
            _ => runs.push((index, index + 1)),
        }
        now = Some(laid);
    }
    runs
}

fn change(scene: &Scene<'_>, start: usize, end: usize, back: bool, found: &mut Vec<Watched>) {
    let Some(now) = scene.laid(start) else { return };
    let before = start.checked_sub(1).and_then(|one| scene.laid(one));
    let new_meter = before.is_some_and(|before| before.meter != now.meter);
    let old = before.map(|before| before.meter.to_string());
    let (meter, measures) = (now.meter.to_string(), end - start);
    let word = scene.word();
    let said = scene.measure(start);
    let spot = Spot::measures(start, start);
    let number = found.len();
    if now.beats.is_uneven() && now.pickup && start == 0 && measures == 1 {
        return;
    }
    if now.beats.is_uneven() {
        let old = old.filter(|_| new_meter);
        found.push(uneven(scene, start, end, now, old, number));
        return;
    }
    let Some(old) = old.filter(|_| new_meter) else {
        return;
    };
    let new_unit = before.is_some_and(|before| {
        let unit = |laid: &Laid| laid.beats.beats().first().map(|beat| beat.length);
        unit(before) != unit(now)
    });
    let single = measures == 1 && end < scene.measure_count() && !back;
    let (kind, base) = match (single, back, new_unit) {
        (true, _, _) => (Kind::OddMeasure, weight::ODD_MEASURE),
        (_, true, _) => (Kind::MeterChange, weight::METER_BACK),
        (_, _, true) => (Kind::MeterChange, weight::METER_NEW_UNIT),
        _ => (Kind::MeterChange, weight::METER_CHANGE),
    };
    let then = scene
        .laid(end)
        .map_or_else(String::new, |then| then.meter.to_string());
    let sentence = if kind == Kind::OddMeasure {
        vary(
            number,
            [
                format!(
                    "{said}: a single {word} of {meter} between {old} and {then}. Mark it, it is easily counted as {old}."
                ),
                format!(
                    "One {word} only, {said}, is in {meter}; {old} before it, {then} after it. Count it aloud."
                ),
            ],
        )
    } else if back {
        format!("{said}, beat 1: back to {meter} after the one {word} of {old}.")
    } else {
        let unit = if new_unit {
            " The beat itself is another note now."
        } else {
            ""
        };
        vary(
            number,
            [
                format!("{said}, beat 1: {meter} instead of {old}.{unit}"),
                format!("The meter becomes {meter} at {said}, beat 1 (it was {old}).{unit}"),
            ],
        )
    };
    let mut one = scene.watched(
        kind,
        spot,
        base,
        &sentence,
        [
            ("old", old.into()),
            ("new", meter.into()),
            ("measures", measures.into()),
        ],
    );
    if kind == Kind::OddMeasure {
        one.numbers.insert("then", then.into());
    } else if back {
        one.numbers.insert("how", "back".into());
    }
    found.push(one);
}

/// Whether these groups of this meter were there before; a return is easier than what is new.
fn counted_before(scene: &Scene<'_>, start: usize, now: &Laid) -> bool {
    let before = scene.plan.layout().measures().iter().take(start);
    before
        .filter(|laid| laid.beats.is_uneven() && !laid.pickup)
        .any(|laid| laid.meter == now.meter && laid.grouping == now.grouping)
}

fn uneven(
    scene: &Scene<'_>,
    start: usize,
    end: usize,
    now: &Laid,
    old: Option<String>,
    number: usize,
) -> Watched {
    let evidence = Evidence::gather(scene, start, end, now);
    let suggested = evidence.suggest(&now.grouping);
    let (accents, beams) = evidence.at_starts_of(&suggested);
    let said = scene.measure(start);
    let (meter, grouping) = (&now.meter, &now.grouping);
    let told = match (accents, beams) {
        (0, 0) => {
            "Neither beams nor accents show the groups; these are the usual ones, so ask your teacher.".to_owned()
        }
        (0, _) => "The beams show it.".to_owned(),
        (_, 0) => "The accents show it.".to_owned(),
        _ => "Beams and accents show it.".to_owned(),
    };
    let other = if suggested == *grouping {
        String::new()
    } else {
        format!(" The notes suggest {suggested}.")
    };
    let sentence = vary(
        number,
        [
            format!(
                "{said}, beat 1: {meter} in groups of {grouping}. {told}{other} Clap the first beat of each group first."
            ),
            format!(
                "Count {meter} from {said}, beat 1, as {grouping}. {told}{other} Long and short beats stay unequal, do not even them out."
            ),
        ],
    );
    let base = if counted_before(scene, start, now) {
        weight::UNEVEN_AGAIN
    } else {
        weight::UNEVEN_METER
    };
    let mut one = scene.watched(
        Kind::UnevenMeter,
        Spot::measures(start, start),
        base,
        &sentence,
        [
            ("new", meter.to_string().into()),
            ("grouping", grouping.to_string().into()),
            ("suggested", suggested.to_string().into()),
            ("accents", accents.into()),
            ("beams", beams.into()),
            ("measures", (end - start).into()),
        ],
    );
    if let Some(old) = old {
        one.numbers.insert("old", old.into());
    }
    one
}

/// What all parts have at each unit of an uneven measure: accents and starts of beams.
struct Evidence {
    accents: Vec<i64>,
    beams: Vec<i64>,
}

impl Evidence {
    fn gather(scene: &Scene<'_>, start: usize, end: usize, now: &Laid) -> Self {
        let units = usize::from(now.meter.finest_units());
        let unit = now.meter.finest_span();
        let mut evidence = Self {
            accents: vec![0; units],
            beams: vec![0; units],
        };
        let parts = scene.score.parts.iter();
        let measures = parts.flat_map(|part| part.measures.iter().take(end).skip(start));
        for note in measures.flat_map(|measure| &measure.notes) {
            let at = note.at.over(unit).ok().filter(|at| at.denominator() == 1);
            let at = at.and_then(|at| usize::try_from(at.numerator()).ok());
            let Some(at) = at.filter(|_| note.is_played()) else {
                continue;
            };
            if is_accented(note)
                && let Some(count) = evidence.accents.get_mut(at)
            {
                *count += 1;
            }
            if note.beams.first() == Some(&Beam::Begin)
                && let Some(count) = evidence.beams.get_mut(at)
            {
                *count += 1;
            }
        }
        evidence
    }

    /// Adds up accents and beams where groups start, the first left out: it
    /// starts one in every grouping.
    fn at_starts_of(&self, grouping: &Grouping) -> (i64, i64) {
        let mut at = 0usize;
        let (mut accents, mut beams) = (0, 0);
        for group in grouping.groups() {
            if at > 0 {
                accents += self.accents.get(at).copied().unwrap_or(0);
                beams += self.beams.get(at).copied().unwrap_or(0);
            }
            at += usize::from(*group);
        }
        (accents, beams)
    }

    /// Gives the grouping in twos and threes on whose starts most is written and
    /// beside which least, the guide's where it is as good as any.
    fn suggest(&self, usual: &Grouping) -> Grouping {
        let score = |grouping: &Grouping| {
            let (accents, beams) = self.at_starts_of(grouping);
            2 * accents + beams
        };
        let units = usual.units();
        let mut best = usual.clone();
        if units > MOST_GROUPED_UNITS {
            return best;
        }
        // What stands beside the starts is all that is written less what stands on
        // them, the same for every grouping: the most on the starts decides. More
        // groups have more starts, so each start costs half a beam.
        let value = |grouping: &Grouping| {
            let starts = i64::try_from(grouping.groups().len()).unwrap_or(0);
            4 * score(grouping) - starts
        };
        for groups in twos_and_threes(units) {
            if let Ok(grouping) = Grouping::new(groups)
                && value(&grouping) > value(&best)
                && score(&grouping) > score(usual)
            {
                best = grouping;
            }
        }
        best
    }
}

fn is_accented(note: &Note) -> bool {
    let marked = note.articulations.iter();
    marked
        .filter(|one| {
            matches!(
                one,
                Articulation::Accent | Articulation::StrongAccent | Articulation::Stress
            )
        })
        .count()
        > 0
}

fn twos_and_threes(units: u16) -> Vec<Vec<u16>> {
    let mut whole = Vec::new();
    let mut begun = vec![Vec::new()];
    while let Some(groups) = begun.pop() {
        let rest = units - groups.iter().sum::<u16>();
        if rest == 0 {
            whole.push(groups);
            continue;
        }
        for group in (2..=rest.min(3)).filter(|group| rest - group != 1) {
            let mut longer: Vec<u16> = groups.clone();
            longer.push(group);
            begun.push(longer);
        }
    }
    whole.sort_unstable();
    whole
}

/// Finds measures that are longer or shorter than their meter in the middle of
/// things; a measure broken by a repeat sign, and its other half, are none.
fn odd_length(scene: &Scene<'_>, index: usize, laid: &Laid, found: &mut Vec<Watched>) {
    let measures = scene.plan.layout().measures();
    let Some(full) = laid.meter.length() else {
        return;
    };
    let inside = index > 0 && index + 1 < measures.len();
    if !inside || laid.pickup || laid.length == full {
        return;
    }
    let map = &scene.guide.road_map.measures;
    let broken = [index, index + 1]
        .into_iter()
        .filter_map(|one| map.get(one))
        .any(|one| one.repeat_from || !one.ending.is_empty())
        || map.get(index).is_some_and(|one| one.repeat_back.is_some())
        || map
            .get(index - 1)
            .is_some_and(|one| one.repeat_back.is_some());
    let half = [index - 1, index + 1]
        .into_iter()
        .filter_map(|one| measures.get(one));
    let completes = half
        .clone()
        .any(|other| laid.length < full && laid.length.plus(other.length) == Ok(full));
    if broken || completes {
        return;
    }
    let said = scene.measure(index);
    let (lasts, meter) = (laid.length.quarters().to_f64(), &laid.meter);
    let sentence = format!(
        "{said} lasts {}, not the {} of {meter}. Count it on its own.",
        crate::say::quarters(lasts),
        crate::say::decimal(full.quarters().to_f64()),
    );
    found.push(scene.watched(
        Kind::OddMeasure,
        Spot::measures(index, index),
        weight::ODD_MEASURE,
        &sentence,
        [
            ("quarters", lasts.into()),
            ("full", full.quarters().to_f64().into()),
        ],
    ));
}
