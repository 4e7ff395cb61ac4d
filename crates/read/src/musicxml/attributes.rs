//! Meter, key, clef, transposition and multi-measure rests.

use super::part::Reading;
use crate::xml::Element;
use cueleaf_score::{Clef, KeySign, MeterSign, MeterSymbol, Transposition};
use cueleaf_time::{Key, Meter, MeterPart, Ratio};

/// Reads `attributes`.
pub(super) fn read(reading: &mut Reading<'_>, element: Element<'_>) {
    let mut staves_with_key = 0;
    let mut staves_with_time = 0;
    for child in element.children() {
        match child.name() {
            "divisions" => reading.set_divisions(child.text()),
            "key" => {
                staves_with_key += 1;
                if staves_with_key == 1 {
                    key(reading, child);
                }
            }
            "time" => {
                staves_with_time += 1;
                if staves_with_time == 1 {
                    time(reading, child);
                }
            }
            "clef" => clef(reading, child),
            "transpose" => {
                reading.cursor.measure.transposition = Some(Transposition {
                    chromatic: child.child_value("chromatic").unwrap_or(0),
                    octaves: child.child_value("octave-change").unwrap_or(0),
                });
            }
            "measure-style" => style(reading, child),
            _ => {}
        }
    }
}

fn key(reading: &mut Reading<'_>, element: Element<'_>) {
    let fifths = element.child_value::<i8>("fifths");
    let sign = match fifths.map(Key::from_fifths) {
        Some(Ok(key)) => KeySign::Fifths(key),
        _ => {
            reading.found(
                "unusual-key",
                "this key signature is none of the usual ones, and the guide goes on with the one before"
                    .to_owned(),
            );
            KeySign::Other
        }
    };
    if reading.cursor.at == Ratio::ZERO {
        reading.cursor.measure.key = Some(sign);
    } else {
        reading.part.late.key = Some(sign);
    }
}

fn time(reading: &mut Reading<'_>, element: Element<'_>) {
    let meter = if element.child("senza-misura").is_some() {
        Some(Meter::free())
    } else {
        meter_of(element)
    };
    let Some(meter) = meter else {
        reading.found(
            "meter-not-understood",
            "this time signature makes no meter; the meter before it goes on".to_owned(),
        );
        return;
    };
    let symbol = match element.attribute("symbol").as_deref() {
        Some("common") => MeterSymbol::Common,
        Some("cut") => MeterSymbol::Cut,
        Some("single-number") => MeterSymbol::OneFigure,
        Some("note" | "dotted-note") => MeterSymbol::Note,
        _ => MeterSymbol::Figures,
    };
    let sign = MeterSign { meter, symbol };
    if reading.cursor.at == Ratio::ZERO {
        reading.part.full = sign.meter.length();
        reading.cursor.measure.meter = Some(sign);
    } else {
        reading.part.late.meter = Some((sign, reading.cursor.at));
    }
}

/// Makes the meter from pairs of `beats` and `beat-type`. The pair of an
/// `interchangeable` lies deeper and is not taken.
fn meter_of(element: Element<'_>) -> Option<Meter> {
    let mut parts = Vec::new();
    let mut upper: Option<Vec<u16>> = None;
    for child in element.children() {
        match child.name() {
            "beats" => {
                let figures = child.text().split('+').map(|text| text.trim().parse());
                upper = Some(figures.collect::<Result<_, _>>().ok()?);
            }
            "beat-type" => {
                let lower = child.text().parse().ok()?;
                parts.push(MeterPart::new(upper.take()?, lower).ok()?);
            }
            _ => {}
        }
    }
    Meter::of_parts(parts).ok()
}

fn clef(reading: &mut Reading<'_>, element: Element<'_>) {
    let sign = match element.child_text("sign").unwrap_or_default() {
        "G" => 'G',
        "F" => 'F',
        "C" => 'C',
        _ => 'P',
    };
    let staff = element.attribute("number");
    let clef = Clef {
        at: reading.here(),
        staff: staff.and_then(|text| text.trim().parse().ok()).unwrap_or(1),
        sign,
        line: element.child_value("line").unwrap_or(0),
        octaves: element.child_value("clef-octave-change").unwrap_or(0),
    };
    reading.cursor.measure.clefs.push(clef);
}

fn style(reading: &mut Reading<'_>, element: Element<'_>) {
    if let Some(count) = element.child_value::<u16>("multiple-rest") {
        reading.cursor.measure.multiple_rest = (count > 0).then_some(count);
    }
    if let Some(repeat) = element.child("measure-repeat") {
        reading.part.repeating = repeat.attribute("type").as_deref() != Some("stop");
        reading.cursor.measure.repeats_previous = reading.part.repeating;
    }
}
