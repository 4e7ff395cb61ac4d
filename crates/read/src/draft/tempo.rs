//! Tempo marks from all parts, one for each place.

use super::steps;
use crate::collect::Findings;
use crate::words::{Meaning, meanings};
use cueleaf_guide::{Finding, Measure, Place, Return, Severity, TempoMark};
use cueleaf_score::{Metronome, Score, SpanKind};
use cueleaf_time::{BeatSpan, Meter, NoteValue, Ratio, SameBeat, Tempo};
use std::collections::BTreeMap;

/// How many measures "rit." goes on at most when nothing says where it ends.
///
/// # Source
/// Our decision: what comes later than that has nothing to do with it.
const MAX_GRADUAL_MEASURES: usize = 16;

/// What the parts say about the tempo at one place.
#[derive(Default)]
pub(super) struct Here {
    pub(super) words: Vec<String>,
    pub(super) sound: Option<Ratio>,
    pub(super) printed: Option<(NoteValue, Ratio)>,
    pub(super) equation: Option<(NoteValue, NoteValue)>,
    /// Where a dashed line that starts here ends.
    line_to: Option<Place>,
    /// Where a gradual change that the file plays in steps arrives.
    pub(super) steps_to: Option<Place>,
}

impl Here {
    /// Whether nothing but a tempo for playback stands here.
    pub(super) fn is_bare(&self) -> bool {
        self.words.is_empty()
            && self.printed.is_none()
            && self.equation.is_none()
            && self.line_to.is_none()
    }

    /// Gives the quarters a minute from here on, where a number says them.
    pub(super) fn quarters(&self) -> Option<Ratio> {
        let printed = self.printed.and_then(|(unit, number)| {
            let quarters = unit.span().quarters();
            quarters.times(number).ok()
        });
        self.sound.or(printed)
    }
}

/// Sets the tempo marks.
///
/// # Source
/// Where playback and print disagree playback counts: MusicXML 4.0, element
/// sound ("tempo" is what is played); our decision for parts that disagree: the
/// first part counts.
pub(super) fn set_tempi(
    score: &Score,
    meters: &[Option<Meter>],
    measures: &mut [Measure],
    findings: &mut Findings,
) {
    let places = gather(score, measures.len(), findings);
    let own = score.parts.first().map_or(&[][..], |part| &part.measures);
    let starts: Vec<Ratio> = own.iter().map(|own| own.start.quarters()).collect();
    let starts = &starts;
    let places = steps::folded(places, &steps::Line { starts, meters });
    let starts: Vec<Place> = places.keys().copied().collect();
    for (position, (place, here)) in places.iter().enumerate() {
        let meter = meters.get(place.measure).and_then(Option::as_ref);
        let Some(measure) = measures.get_mut(place.measure) else {
            continue;
        };
        let mut found = |severity, code, message: String| {
            let finding = Finding::new(severity, code, message);
            findings.push(finding.at_measure(place.measure, &measure.label));
        };
        let mut mark = TempoMark::words(place.at, &here.words.join(", "));
        let says = |meaning| {
            here.words
                .iter()
                .any(|text| meanings(text).contains(&meaning))
        };
        mark.tempo = tempo_of(here, meter, &mut found);
        mark.until = here.steps_to;
        if mark.tempo.is_none() {
            if let Some((was, now)) = here.equation {
                mark.same_beat = SameBeat::new(was.span(), now).ok();
            } else if says(Meaning::Double) {
                let half = BeatSpan::QUARTER.times(Ratio::new(1, 2).unwrap_or(Ratio::ONE));
                mark.same_beat = half
                    .and_then(|half| SameBeat::new(half, NoteValue::QUARTER))
                    .ok();
            } else if says(Meaning::Same) && goes_on(meters, *place) {
                let beat = meter.filter(|meter| meter.is_compound());
                let beat = beat.map_or(NoteValue::QUARTER, dotted_beat);
                mark.same_beat = SameBeat::new(beat.span(), beat).ok();
            } else if says(Meaning::ToFirst) {
                mark.back = Some(Return::ToFirst);
            } else if says(Meaning::ToBefore) {
                mark.back = Some(Return::ToBefore);
            } else if says(Meaning::Gradual) {
                let next = starts.get(position + 1).copied();
                let near = next.filter(|next| {
                    next.measure <= place.measure.saturating_add(MAX_GRADUAL_MEASURES)
                });
                mark.until = here.line_to.or(near);
            }
        }
        measure.tempo.push(mark);
    }
}

/// Whether no other meter begins at a place, so that the beat is the same whatever it is.
fn goes_on(meters: &[Option<Meter>], place: Place) -> bool {
    let before = place.measure.checked_sub(1).and_then(|one| meters.get(one));
    !place.at.is_zero() || before.is_none_or(|before| meters.get(place.measure) == Some(before))
}

fn gather(score: &Score, count: usize, findings: &mut Findings) -> BTreeMap<Place, Here> {
    let mut places: BTreeMap<Place, Here> = BTreeMap::new();
    for part in &score.parts {
        for (index, measure) in part.measures.iter().enumerate() {
            for sign in &measure.tempo {
                // What stands at the end of a measure holds from the next one on.
                let place = if sign.at >= measure.length && index + 1 < count {
                    Place::start_of(index + 1)
                } else {
                    Place {
                        measure: index,
                        at: sign.at,
                    }
                };
                let here = places.entry(place).or_default();
                if !sign.words.is_empty() && !here.words.contains(&sign.words) {
                    here.words.push(sign.words.clone());
                }
                if let (Some(old), Some(new)) = (here.sound, sign.sound)
                    && old != new
                {
                    let message = format!(
                        "the parts play {0} and {1} quarters a minute here; {0} are taken",
                        old.said(),
                        new.said()
                    );
                    let finding = Finding::new(Severity::Warning, "tempi-disagree", message);
                    findings.push(finding.at_measure(index, &measure.label));
                }
                here.sound = here.sound.or(sign.sound);
                match &sign.metronome {
                    Some(Metronome::PerMinute { unit, number, .. }) => {
                        here.printed = here.printed.or(number.map(|number| (*unit, number)));
                    }
                    Some(Metronome::Equation { left, right }) => {
                        here.equation = here.equation.or(Some((*left, *right)));
                    }
                    None => {}
                }
            }
        }
    }
    for part in &score.parts {
        let lengths = |index: usize| part.measures.get(index).map(|measure| measure.length);
        for span in part
            .spans
            .iter()
            .filter(|span| span.kind == SpanKind::Dashes)
        {
            let from = outside_place(span.from, lengths(span.from.measure));
            if let (Some(here), Some(to)) = (places.get_mut(&from), span.to) {
                let to = outside_place(to, lengths(to.measure));
                here.line_to = here.line_to.or(Some(to));
            }
        }
    }
    places
}

/// Turns the very end of a measure into the start of the next.
pub(super) fn outside_place(place: cueleaf_score::Place, length: Option<BeatSpan>) -> Place {
    if length.is_some_and(|length| place.at >= length) && !place.at.is_zero() {
        Place::start_of(place.measure + 1)
    } else {
        Place {
            measure: place.measure,
            at: place.at,
        }
    }
}

fn tempo_of(
    here: &Here,
    meter: Option<&Meter>,
    found: &mut impl FnMut(Severity, &'static str, String),
) -> Option<Tempo> {
    let tempo = match (here.sound, here.printed) {
        (None, None) => return None,
        (None, Some((unit, number))) => Tempo::new(unit, number),
        (Some(sound), Some((unit, number))) => {
            let printed = unit.span().quarters().times(number).ok();
            if printed.is_some_and(|printed| is_rounded(printed, sound)) {
                Tempo::new(unit, number)
            } else {
                found(
                    Severity::Note,
                    "tempo-sounds-otherwise",
                    format!(
                        "{unit} = {} is printed, but the file plays {} quarters a minute, which are taken",
                        number.said(),
                        sound.said()
                    ),
                );
                in_unit(sound, unit)
            }
        }
        (Some(sound), None) => match meter.filter(|meter| meter.is_compound()) {
            Some(meter) => in_unit(sound, dotted_beat(meter)),
            None => Tempo::quarters(sound),
        },
    };
    if tempo.is_err() {
        found(
            Severity::Warning,
            "tempo-out-of-range",
            "the tempo here is too slow or too fast to be one and is left out".to_owned(),
        );
    }
    tempo.ok()
}

/// Whether what sounds is what is printed but for a hundredth: print rounds.
fn is_rounded(printed: Ratio, sounds: Ratio) -> bool {
    let off = printed
        .minus(sounds)
        .and_then(|off| off.times(Ratio::whole(100)));
    off.is_ok_and(|off| off <= Ratio::ONE && off >= Ratio::whole(-1))
}

/// Writes quarters a minute in another unit where that gives a whole number.
fn in_unit(quarters: Ratio, unit: NoteValue) -> Result<Tempo, cueleaf_time::TimeError> {
    match quarters.over(unit.span().quarters()) {
        Ok(number) if number.denominator() == 1 => Tempo::new(unit, number),
        _ => Tempo::quarters(quarters),
    }
}

fn dotted_beat(meter: &Meter) -> NoteValue {
    meter
        .finest_span()
        .times(Ratio::whole(3))
        .ok()
        .and_then(NoteValue::of_span)
        .unwrap_or(NoteValue::QUARTER)
}
