//! Parts brought onto one line: measures of one index start and end together.

use super::part::PartBuilder;
use crate::ReadError;
use crate::collect::Findings;
use cueleaf_guide::{Finding, MAX_MEASURES, Severity, TooLarge, length_words};
use cueleaf_score::{Measure, Part, Place, Score};
use cueleaf_time::{BeatPos, BeatSpan, Meter};

/// Makes the score: names the parts, fills up short ones, settles the length of
/// every measure, and brings every place inside its measure.
pub(super) fn align(
    mut score: Score,
    builders: Vec<PartBuilder>,
    findings: &mut Findings,
) -> Result<Score, ReadError> {
    let count = builders.iter().map(PartBuilder::count).max().unwrap_or(0);
    if count == 0 {
        let reason = if builders.is_empty() {
            "there is no part in this score"
        } else {
            "there are no measures in this score"
        };
        return Err(ReadError::malformed(
            "",
            reason,
            "export the part again, with its notes",
        ));
    }
    TooLarge::guard("measures", MAX_MEASURES, count)?;
    for builder in builders {
        let part = finish_part(builder, count, &score.parts, findings);
        score.parts.push(part);
    }
    let lengths = settle_lengths(&mut score.parts, findings);
    for part in &mut score.parts {
        let mut start = BeatPos::START;
        for (measure, length) in part.measures.iter_mut().zip(&lengths) {
            measure.start = start;
            measure.length = *length;
            start = start.plus(*length).unwrap_or(start);
            keep_inside(measure);
        }
        for span in &mut part.spans {
            span.from = inside(span.from, &lengths);
            span.to = span.to.map(|to| inside(to, &lengths));
        }
    }
    Ok(score)
}

fn finish_part(
    builder: PartBuilder,
    count: usize,
    before: &[Part],
    findings: &mut Findings,
) -> Part {
    let name = new_name(&builder, before);
    let (id, abbreviation) = (builder.id().to_owned(), builder.abbreviation().to_owned());
    let mut warn = |code, message: String| {
        findings.push(Finding::new(Severity::Warning, code, message).about(&id));
    };
    if !builder.listed {
        warn(
            "part-not-listed",
            format!("the file forgot to list the part {name}"),
        );
    }
    if builder.count() == 0 {
        warn(
            "part-without-measures",
            format!("{name} has no measures; it is taken to rest throughout"),
        );
    } else if builder.count() < count {
        warn(
            "part-ends-early",
            format!(
                "{name} has {} measures where others have {count}; it is taken to rest then",
                builder.count()
            ),
        );
    }
    let mut measures = builder.measures;
    let unfinished = builder.slurs.unfinished();
    if let Some((_, first)) = unfinished.first() {
        for (slur, index) in &unfinished {
            let notes = measures.get_mut(*index).map(|one| &mut one.notes);
            for note in notes.into_iter().flatten() {
                note.slurs_from.retain(|id| id != slur);
            }
        }
        let message = format!("{name}: {}", some(&unfinished, "slur"));
        findings.push(at(&measures, *first, "slur-without-end", message).about(&id));
    }
    let spans = builder.spans.into_spans();
    let endless: Vec<_> = spans.iter().filter(|span| span.to.is_none()).collect();
    if let Some(first) = endless.first() {
        let index = first.from.measure;
        let message = format!("{name}: {}", some(&endless, "hairpin or dashed line"));
        findings.push(at(&measures, index, "line-without-end", message).about(&id));
    }
    measures.resize_with(count, Measure::default);
    Part {
        id,
        name,
        abbreviation,
        measures,
        spans,
        played_in: false,
    }
}

fn some<T>(all: &[T], what: &str) -> String {
    match all.len() {
        1 => format!("this {what} never ends"),
        count => format!("this {what} never ends, nor do {} more", count - 1),
    }
}

fn at(measures: &[Measure], index: usize, code: &'static str, message: String) -> Finding {
    let label = measures.get(index).map_or("", |measure| &measure.label);
    Finding::new(Severity::Note, code, message).at_measure(index, label)
}

/// Gives a name that no part before has: "Violin", "Violin (2)".
fn new_name(builder: &PartBuilder, before: &[Part]) -> String {
    let printed = match builder.printed_name() {
        "" => format!("Part {}", before.len() + 1),
        name => name.to_owned(),
    };
    let taken = |name: &str| {
        before
            .iter()
            .any(|part| part.name.eq_ignore_ascii_case(name))
    };
    if !taken(&printed) {
        return printed;
    }
    (2..=before.len() + 2)
        .map(|number| format!("{printed} ({number})"))
        .find(|name| !taken(name))
        .unwrap_or(printed)
}

/// Settles how long every measure lasts.
///
/// # Source
/// Our decision: as long as the fullest part, unless that part alone is longer
/// than the meter, then as long as the meter; with nothing written, as long as
/// the meter.
fn settle_lengths(parts: &mut [Part], findings: &mut Findings) -> Vec<BeatSpan> {
    let count = parts.first().map_or(0, |part| part.measures.len());
    let mut lengths = Vec::with_capacity(count);
    let mut full = Meter::simple(4, 4).ok().and_then(|meter| meter.length());
    let mut named = false;
    let mut end = BeatPos::START;
    for index in 0..count {
        let column = || parts.iter().filter_map(|part| part.measures.get(index));
        let label = column().next().map_or("", |measure| &measure.label);
        let meters: Vec<&Meter> = column()
            .filter_map(|measure| measure.meter.as_ref())
            .map(|sign| &sign.meter)
            .collect();
        if let Some(meter) = meters.first() {
            full = meter.length();
            named = true;
            if let Some(other) = meters.iter().find(|other| other != &meter) {
                let finding = Finding::new(
                    Severity::Warning,
                    "meters-disagree",
                    format!("some parts have {meter} here, others {other}; {meter} is taken"),
                );
                findings.push(finding.at_measure(index, label));
            }
        }
        let mut length = settle_length(parts, index, full, |finding| {
            findings.push(finding.at_measure(index, label));
        });
        if let Some(full) = full.filter(|full| *full < length && named)
            && is_alone(parts, index)
        {
            let message = format!(
                "this measure has {}, more than its meter's {}; all are kept",
                length_words(length),
                length_words(full)
            );
            let finding = Finding::new(Severity::Warning, "longer-than-meter", message)
                .hint("give it a meter of its own if that is meant");
            findings.push(finding.at_measure(index, label));
        }
        match end.plus(length) {
            Ok(next) => end = next,
            Err(_) => {
                let finding = Finding::new(
                    Severity::Error,
                    "too-fine",
                    "the lengths up to here are too fine to be added exactly",
                );
                findings.push(finding.at_measure(index, label));
                length = BeatSpan::ZERO;
            }
        }
        lengths.push(length);
    }
    // What a short part lacks at its end has the names of the others' measures.
    for index in 0..count {
        let named = parts
            .iter()
            .filter_map(|part| part.measures.get(index))
            .find(|measure| !measure.label.is_empty());
        let Some(label) = named.map(|measure| measure.label.clone()) else {
            continue;
        };
        for part in parts.iter_mut() {
            if let Some(measure) = part.measures.get_mut(index)
                && measure.label.is_empty()
            {
                measure.label.clone_from(&label);
            }
        }
    }
    lengths
}

/// Whether only one part has written something in a measure, so that no other part says how long
/// it is.
fn is_alone(parts: &[Part], index: usize) -> bool {
    let measures = parts.iter().filter_map(|part| part.measures.get(index));
    measures.filter(|own| !own.written.is_zero()).count() == 1
}

fn settle_length(
    parts: &[Part],
    index: usize,
    full: Option<BeatSpan>,
    mut found: impl FnMut(Finding),
) -> BeatSpan {
    let written: Vec<(&str, BeatSpan)> = parts
        .iter()
        .filter_map(|part| Some((part.name.as_str(), part.measures.get(index)?.written)))
        .filter(|(_, written)| !written.is_zero())
        .collect();
    let Some((name, longest)) = written.iter().max_by_key(|(_, written)| *written) else {
        return full.unwrap_or(BeatSpan::ZERO);
    };
    let overfull = written
        .iter()
        .filter(|(_, written)| full.is_some_and(|full| *written > full))
        .count();
    if let Some(full) = full
        && overfull == 1
        && written.len() > 1
    {
        found(
            Finding::new(
                Severity::Warning,
                "part-overfull",
                format!(
                    "{name} has {} here, more than the meter's {}, which counts",
                    length_words(*longest),
                    length_words(full)
                ),
            )
            .hint("look at this measure in the part"),
        );
        return full;
    }
    if let Some((short_name, short)) = written.iter().find(|(_, written)| written < longest) {
        found(
            Finding::new(
                Severity::Warning,
                "parts-disagree",
                format!(
                    "{short_name} has {} here and {name} has {}; the longer one counts",
                    length_words(*short),
                    length_words(*longest)
                ),
            )
            .hint("look at this measure in the parts"),
        );
    }
    *longest
}

/// Brings everything in a measure to its end at the latest.
fn keep_inside(measure: &mut Measure) {
    let end = measure.length;
    let clip = |at: &mut BeatSpan| *at = (*at).min(end);
    for note in &mut measure.notes {
        clip(&mut note.at);
        note.length = note.length.min(end.minus_down_to_zero(note.at));
    }
    measure.clefs.iter_mut().for_each(|sign| clip(&mut sign.at));
    measure.tempo.iter_mut().for_each(|sign| clip(&mut sign.at));
    measure
        .dynamics
        .iter_mut()
        .for_each(|sign| clip(&mut sign.at));
    measure
        .playing
        .iter_mut()
        .for_each(|sign| clip(&mut sign.at));
    measure.words.iter_mut().for_each(|sign| clip(&mut sign.at));
    measure.holds.iter_mut().for_each(|sign| clip(&mut sign.at));
}

fn inside(place: Place, lengths: &[BeatSpan]) -> Place {
    let end = lengths.get(place.measure).copied();
    Place {
        at: end.map_or(place.at, |end| place.at.min(end)),
        ..place
    }
}
