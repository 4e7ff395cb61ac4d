//! Notes and rests with everything attached to them.

use super::part::Reading;
use crate::ReadError;
use crate::xml::{Element, number, one_line};
use cueleaf_score::{
    Articulation, Beam, Bowing, Dynamic, Grace, HoldKind, HoldSign, Note, Ornament, Pitch, Sound,
    Step, Technique, Tremolo, TremoloKind, TupletRatio,
};
use cueleaf_time::{BeatSpan, NoteValue, Ratio};

/// Reads a `note`.
pub(super) fn read(reading: &mut Reading<'_>, element: Element<'_>) -> Result<(), ReadError> {
    reading.shared.count_note()?;
    let mut note = Note::new(BeatSpan::ZERO, BeatSpan::ZERO, Sound::Unpitched);
    let mut dots = 0u8;
    let mut duration = None;
    for child in element.children() {
        match child.name() {
            "pitch" => note.sound = pitch(reading, child),
            "rest" => {
                note.sound = Sound::Rest {
                    whole_measure: child.says_yes("measure"),
                };
            }
            "duration" => duration = Some(child.text()),
            "grace" => {
                note.grace = Some(if child.says_yes("slash") {
                    Grace::Slashed
                } else {
                    Grace::Plain
                });
            }
            "chord" => note.chord = true,
            "cue" => note.cue = true,
            "voice" => note.voice = child.text().parse().unwrap_or(1),
            "staff" => note.staff = child.text().parse().unwrap_or(1),
            "type" => {
                note.value = NoteValue::from_name(child.text());
                note.cue |= child.attribute("size").as_deref() == Some("cue");
            }
            "dot" => dots = dots.saturating_add(1),
            "accidental" => note.accidental = true,
            "time-modification" => note.tuplet = tuplet(child),
            "beam" => note.beams.extend(beam(child.text())),
            "tie" => tie(&mut note, child),
            _ => {}
        }
    }
    note.value = note
        .value
        .map(|value| value.with_dots(dots).unwrap_or(value));
    place(reading, &mut note, duration);
    // Notations come last, since slurs want the voice and breaths the length;
    // slurs that end come before those that start under the same number.
    let notations = element
        .children()
        .filter(|one| one.name() == "notations")
        .flat_map(Element::children);
    let (ends, others): (Vec<_>, Vec<_>) = notations
        .partition(|one| one.name() == "slur" && one.attribute("type").as_deref() == Some("stop"));
    for notation in ends.into_iter().chain(others) {
        read_notation(reading, &mut note, notation);
    }
    reading.cursor.measure.notes.push(note);
    Ok(())
}

/// Finds where a note starts and how long it lasts, and moves the cursor.
fn place(reading: &mut Reading<'_>, note: &mut Note, duration: Option<&str>) {
    if note.grace.is_some() {
        note.at = reading.here();
        return;
    }
    note.length = match duration {
        Some(text) => length(reading, text),
        None => length_without_duration(reading, note),
    };
    if note.chord {
        note.at = BeatSpan::from_quarters(reading.cursor.chord_at).unwrap_or(BeatSpan::ZERO);
    } else {
        note.at = reading.here();
        reading.cursor.chord_at = reading.cursor.at;
        reading.go(note.length);
    }
}

fn length(reading: &mut Reading<'_>, text: &str) -> BeatSpan {
    let span = reading
        .quarters(text)
        .and_then(|quarters| BeatSpan::from_quarters(quarters).ok());
    span.unwrap_or_else(|| {
        let message = format!("\"{}\" is no length of a note", one_line(text));
        reading.found("duration", message);
        BeatSpan::ZERO
    })
}

/// A note that forgot its duration lasts as long as it looks.
fn length_without_duration(reading: &mut Reading<'_>, note: &Note) -> BeatSpan {
    let looks = match (note.sound, note.value) {
        (Sound::Rest { .. }, None) => reading.part.full,
        (_, value) => value.and_then(|value| match note.tuplet {
            Some(ratio) => {
                let factor = Ratio::new(i64::from(ratio.normal), i64::from(ratio.actual)).ok()?;
                value.span().times(factor).ok()
            }
            None => Some(value.span()),
        }),
    };
    if looks.is_none() || !matches!(note.sound, Sound::Rest { .. }) {
        reading.found("duration", "a note has no length".to_owned());
    }
    looks.unwrap_or(BeatSpan::ZERO)
}

fn pitch(reading: &mut Reading<'_>, element: Element<'_>) -> Sound {
    let step = element.child_text("step").and_then(Step::from_letter);
    let octave: Option<i8> = element.child_value("octave");
    let (Some(step), Some(octave)) = (step, octave.filter(|octave| (-1..=10).contains(octave)))
    else {
        reading.found("pitch", "a note has no proper pitch".to_owned());
        return Sound::Unpitched;
    };
    let alter = element.child_text("alter").and_then(number);
    let quarter_tones = alter
        .and_then(|alter| alter.times(Ratio::whole(2)).ok())
        .and_then(|tones| i8::try_from(tones.floor()).ok())
        .unwrap_or(0);
    Sound::Pitched(Pitch {
        step,
        quarter_tones: quarter_tones.clamp(-8, 8),
        octave,
    })
}

fn tuplet(element: Element<'_>) -> Option<TupletRatio> {
    let actual: u16 = element.child_value("actual-notes")?;
    let normal: u16 = element.child_value("normal-notes")?;
    (actual > 0 && normal > 0).then_some(TupletRatio { actual, normal })
}

fn beam(text: &str) -> Option<Beam> {
    Some(match text {
        "begin" => Beam::Begin,
        "continue" => Beam::Continue,
        "end" => Beam::End,
        "forward hook" | "backward hook" => Beam::Hook,
        _ => return None,
    })
}

/// `tie` says what sounds, `tied` what is printed; either is taken.
fn tie(note: &mut Note, element: Element<'_>) {
    match element.attribute("type").as_deref() {
        Some("start") => note.tied_on = true,
        Some("stop") => note.tied_back = true,
        Some("continue") => {
            note.tied_on = true;
            note.tied_back = true;
        }
        _ => {}
    }
}

fn read_notation(reading: &mut Reading<'_>, note: &mut Note, element: Element<'_>) {
    match element.name() {
        "tied" => tie(note, element),
        "slur" => slur(reading, note, element),
        "fermata" => hold(reading, note.at, HoldKind::Fermata),
        "articulations" => {
            let after = note.at.plus(note.length).unwrap_or(note.at);
            for sign in element.children() {
                match sign.name() {
                    "breath-mark" => hold(reading, after, HoldKind::Breath),
                    "caesura" => hold(reading, after, HoldKind::Caesura),
                    name => note.articulations.extend(articulation(name)),
                }
            }
        }
        "technical" => note
            .techniques
            .extend(element.children().filter_map(technique)),
        "ornaments" => {
            for sign in element.children() {
                match sign.name() {
                    "trill-mark" => note.ornaments.push(Ornament::Trill),
                    "tremolo" => note.tremolo = Some(tremolo(sign)),
                    "turn"
                    | "delayed-turn"
                    | "inverted-turn"
                    | "delayed-inverted-turn"
                    | "vertical-turn"
                    | "inverted-vertical-turn" => {
                        note.ornaments.push(Ornament::Turn);
                    }
                    "mordent" | "inverted-mordent" => note.ornaments.push(Ornament::Mordent),
                    _ => {}
                }
            }
        }
        "dynamics" => {
            let text = dynamic_text(element);
            if !text.is_empty() {
                let at = note.at;
                reading.cursor.measure.dynamics.push(Dynamic { at, text });
            }
        }
        _ => {}
    }
}

fn hold(reading: &mut Reading<'_>, at: BeatSpan, kind: HoldKind) {
    reading.cursor.measure.holds.push(HoldSign { at, kind });
}

fn slur(reading: &mut Reading<'_>, note: &mut Note, element: Element<'_>) {
    let number = element
        .attribute("number")
        .and_then(|text| text.trim().parse().ok())
        .unwrap_or(1);
    let measure = reading.part.measures.len();
    match element.attribute("type").as_deref() {
        Some("start") => {
            let id = reading.part.slurs.start(note.voice, number, measure);
            note.slurs_from.push(id);
        }
        Some("stop") => match reading.part.slurs.stop(note.voice, number) {
            Some(id) => note.slurs_to.push(id),
            None => reading.noted("slur-without-start", "a slur ends that never started"),
        },
        _ => {}
    }
}

fn articulation(name: &str) -> Option<Articulation> {
    Some(match name {
        "accent" => Articulation::Accent,
        "strong-accent" => Articulation::StrongAccent,
        "staccato" => Articulation::Staccato,
        "tenuto" => Articulation::Tenuto,
        "detached-legato" => Articulation::DetachedLegato,
        "staccatissimo" => Articulation::Staccatissimo,
        "spiccato" => Articulation::Spiccato,
        "scoop" | "plop" | "doit" | "falloff" => Articulation::Slide,
        "stress" => Articulation::Stress,
        "unstress" => Articulation::Unstress,
        _ => return None,
    })
}

fn technique(element: Element<'_>) -> Option<Technique> {
    Some(match element.name() {
        "up-bow" => Technique::Bow(Bowing::Up),
        "down-bow" => Technique::Bow(Bowing::Down),
        "open-string" => Technique::OpenString,
        "harmonic" => Technique::Harmonic,
        "snap-pizzicato" => Technique::SnapPizzicato,
        "stopped" => Technique::LeftHandPizzicato,
        "thumb-position" => Technique::ThumbPosition,
        "fingering" => Technique::Fingering(element.words()),
        "string" => Technique::String(element.text().parse().ok()?),
        _ => return None,
    })
}

fn tremolo(element: Element<'_>) -> Tremolo {
    let kind = match element.attribute("type").as_deref() {
        Some("start") => TremoloKind::First,
        Some("stop") => TremoloKind::Second,
        _ => TremoloKind::Single,
    };
    let strokes = element.text().parse().unwrap_or(0u8).min(8);
    Tremolo { strokes, kind }
}

/// Joins the letters of a `dynamics` element: "sf" and "p" beside each other are "sfp".
pub(super) fn dynamic_text(element: Element<'_>) -> String {
    let mut text = String::new();
    for sign in element.children() {
        if sign.name() == "other-dynamics" {
            text.push_str(&sign.words());
        } else {
            text.push_str(sign.name());
        }
    }
    one_line(&text)
}
