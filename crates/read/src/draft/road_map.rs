//! The measures: labels, lengths, pickups, meters, keys, rehearsal marks, holds.

use super::{groups, order, tempo};
use crate::collect::Findings;
use cueleaf_guide::{Extra, Finding, Hold, MAX_LABEL, Measure, RoadMap, Severity, length_words};
use cueleaf_score::{HoldKind, HoldSign, KeySign, Score};
use cueleaf_time::{BeatSpan, Key, Meter};

/// Drafts the road map. Signs are taken from all parts, since many files print
/// them in one part only; breaths from the chosen parts alone.
pub(super) fn road_map(score: &Score, chosen: &[usize], findings: &mut Findings) -> RoadMap {
    let mut measures: Vec<Measure> = labels(score, chosen);
    let meters = set_meters(score, &mut measures);
    set_lengths(score, &meters, &mut measures, findings);
    set_keys(score, chosen, &mut measures, findings);
    set_marks_and_holds(score, chosen, &mut measures);
    order::set_order(score, &mut measures, findings);
    tempo::set_tempi(score, &meters, &mut measures, findings);
    groups::set_groups(score, &mut measures);
    RoadMap {
        measures,
        extra: Extra::default(),
    }
}

fn labels(score: &Score, chosen: &[usize]) -> Vec<Measure> {
    let first = chosen.first().and_then(|index| score.parts.get(*index));
    let measures = first.map_or(&[][..], |part| &part.measures);
    let label = |text: &str| text.chars().take(MAX_LABEL).collect::<String>();
    measures
        .iter()
        .map(|measure| Measure::labelled(&label(&measure.label)))
        .collect()
}

/// Sets each meter where it changes; gives the meter in force in every measure.
fn set_meters(score: &Score, measures: &mut [Measure]) -> Vec<Option<Meter>> {
    let mut now: Option<Meter> = None;
    let mut meters = Vec::with_capacity(measures.len());
    for (index, measure) in measures.iter_mut().enumerate() {
        let sign = column(score, index).find_map(|one| one.meter.as_ref());
        if let Some(sign) = sign
            && now.as_ref() != Some(&sign.meter)
        {
            measure.meter = Some(sign.meter.clone());
            now = Some(sign.meter.clone());
        }
        meters.push(now.clone());
    }
    meters
}

/// Gives the measures of one index, part after part.
pub(super) fn column(score: &Score, index: usize) -> impl Iterator<Item = &cueleaf_score::Measure> {
    score
        .parts
        .iter()
        .filter_map(move |part| part.measures.get(index))
}

/// Sets lengths where they differ from the meter, and tells pickups from
/// measures that are just short.
fn set_lengths(
    score: &Score,
    meters: &[Option<Meter>],
    measures: &mut [Measure],
    findings: &mut Findings,
) {
    let count = measures.len();
    let common = Meter::simple(4, 4).unwrap_or_else(|_| Meter::free());
    let mut before: Option<Short> = None;
    for (index, (measure, meter)) in measures.iter_mut().zip(meters).enumerate() {
        let Some(read) = column(score, index).next() else {
            continue;
        };
        let full = meter.as_ref().unwrap_or(&common).length();
        let short = Short {
            lacks: full.unwrap_or(read.length).minus_down_to_zero(read.length),
            length: read.length,
            pickup: false,
        };
        if Some(read.length) != full && !(full.is_none() && read.length.is_zero()) {
            measure.length = Some(read.length);
        }
        if short.lacks.is_zero() {
            before = None;
            continue;
        }
        let completes = before.is_some_and(|before| {
            !before.pickup && before.lacks == short.length && before.length == short.lacks
        });
        let starts_anew = index.checked_sub(1).is_some_and(|previous| {
            column(score, previous).any(|one| {
                one.signs.repeat_back.is_some() || one.signs.double_bar || one.signs.final_bar
            })
        }) || read.signs.repeat_from;
        measure.pickup = (index == 0 && count > 1)
            || (completes && (splits(read) || starts_anew))
            || (read.implicit && starts_anew);
        if !measure.pickup && !is_expected(score, index, count, read.implicit) {
            let next_completes = column(score, index + 1)
                .next()
                .is_some_and(|next| splits(next) && next.length == short.lacks);
            if !next_completes {
                let message = format!(
                    "this measure has {}, fewer than its meter",
                    length_words(read.length)
                );
                findings.push(
                    Finding::new(Severity::Warning, "shorter-than-meter", message)
                        .hint("give it a meter of its own if that is meant")
                        .at_measure(index, &measure.label),
                );
            }
        }
        before = Some(Short {
            pickup: measure.pickup,
            ..short
        });
    }
}

/// A measure shorter than its meter.
#[derive(Clone, Copy)]
struct Short {
    lacks: BeatSpan,
    length: BeatSpan,
    pickup: bool,
}

/// Tells whether a measure may be the second half of a split one: it is not
/// counted, or its number is none of the plain ones.
fn splits(measure: &cueleaf_score::Measure) -> bool {
    measure.implicit || !measure.label.bytes().all(|byte| byte.is_ascii_digit())
}

/// A short measure surprises nobody where the music ends or a repeat does: it
/// makes room for the pickup.
fn is_expected(score: &Score, index: usize, count: usize, implicit: bool) -> bool {
    implicit
        || index + 1 == count
        || column(score, index).any(|one| {
            one.signs.repeat_back.is_some() || one.signs.final_bar || one.signs.double_bar
        })
}

fn set_keys(score: &Score, chosen: &[usize], measures: &mut [Measure], findings: &mut Findings) {
    let parts: Vec<_> = chosen
        .iter()
        .filter_map(|index| score.parts.get(*index))
        .collect();
    let mut now: Option<Key> = None;
    let mut told = false;
    for (index, measure) in measures.iter_mut().enumerate() {
        let mut signs = parts
            .iter()
            .filter_map(|part| part.measures.get(index)?.key);
        let first = parts.first().and_then(|part| part.measures.get(index)?.key);
        if let Some(KeySign::Fifths(key)) = first {
            if now != Some(key) {
                measure.key = Some(key);
            }
            now = Some(key);
            let differs = signs.any(|sign| sign != KeySign::Fifths(key));
            if differs && !told {
                told = true;
                findings.push(
                    Finding::new(
                        Severity::Note,
                        "keys-differ",
                        "some chosen parts have another key signature; the first part's is taken",
                    )
                    .at_measure(index, &measure.label),
                );
            }
        }
    }
}

fn set_marks_and_holds(score: &Score, chosen: &[usize], measures: &mut [Measure]) {
    for (index, measure) in measures.iter_mut().enumerate() {
        measure.mark = column(score, index).find_map(|one| one.rehearsal.clone());
        let mut places: Vec<BeatSpan> = Vec::new();
        for (part, one) in column(score, index).enumerate() {
            let holds = |sign: &&HoldSign| sign.kind != HoldKind::Breath || chosen.contains(&part);
            places.extend(one.holds.iter().filter(holds).map(|sign| sign.at));
        }
        places.sort_unstable();
        places.dedup();
        measure.holds = places.into_iter().map(|at| Hold::new(at, None)).collect();
    }
}
