//! Directions: words, dynamics, hairpins, tempo, jumps, and what they sound like.

use super::drawn::{Place, Sign};
use super::matching::{Line, NoneOpen};
use super::note::dynamic_text;
use super::part::Reading;
use crate::words::{Meaning, meanings};
use crate::xml::{Element, number, one_line};
use cueleaf_score::{
    Dynamic, JumpKind, JumpSign, Metronome, PlayingSign, PlayingWay, SpanKind, TempoSign, Words,
};
use cueleaf_time::{BeatSpan, NoteValue, Ratio};

/// What one `direction` holds, gathered before it is judged as a whole.
#[derive(Default)]
struct Gathered<'t> {
    words: String,
    metronome: Option<Metronome>,
    segno: bool,
    coda: bool,
    sound: Option<Element<'t>>,
}

/// Reads a `direction`.
pub(super) fn read(reading: &mut Reading<'_>, element: Element<'_>) {
    let (printed, sounding) = places(reading, element);
    let mut gathered = Gathered {
        sound: element.child("sound"),
        ..Gathered::default()
    };
    let types = element
        .children()
        .filter(|one| one.name() == "direction-type");
    for child in types.flat_map(Element::children) {
        read_type(reading, child, printed, &mut gathered);
    }
    let meanings = meanings(&gathered.words);
    read_jumps(reading, &gathered, &meanings);
    read_playing(reading, &gathered, &meanings, printed);
    let is_tempo = read_tempo(reading, &gathered, &meanings, printed, sounding);
    let stays_words = meanings
        .iter()
        .any(|one| matches!(one, Meaning::Grow | Meaning::Fade | Meaning::LeftHandPizz));
    // Some fonts print signs as letters of their own; a dash alone says nothing.
    let readable = gathered.words.chars().any(char::is_alphanumeric);
    if readable && ((meanings.is_empty() && !is_tempo) || stays_words) {
        let words = &mut reading.cursor.measure.words;
        let waits = Sign::Words(words.len());
        words.push(Words {
            at: printed.at(),
            text: gathered.words,
        });
        reading.cursor.waiting.push(waits, printed);
    }
}

/// Reads a `sound` that stands in a measure by itself.
pub(super) fn read_sound_alone(reading: &mut Reading<'_>, element: Element<'_>) {
    let gathered = Gathered {
        sound: Some(element),
        ..Gathered::default()
    };
    read_jumps(reading, &gathered, &[]);
    let here = reading.here();
    read_playing(reading, &gathered, &[], Place::here(here));
    read_tempo(reading, &gathered, &[], Place::here(here), here);
}

/// Gives where a direction is printed and where it sounds. An offset moves what
/// sounds only when it says so, and then both to the same place; else it tells where
/// the direction is drawn, which the notes of the measure settle.
///
/// # Source
/// MusicXML 4.0, element offset: where the direction stands, for the eye alone
/// unless `sound` is "yes".
fn places(reading: &Reading<'_>, element: Element<'_>) -> (Place, BeatSpan) {
    let here = reading.here();
    let Some(offset) = element.child("offset") else {
        return (Place::here(here), here);
    };
    let moved = moved(reading, offset);
    if offset.says_yes("sound") {
        return (Place::here(moved), moved);
    }
    let by = reading.quarters(offset.text()).unwrap_or(Ratio::ZERO);
    (Place::drawn(here, moved, by), here)
}

fn moved(reading: &Reading<'_>, offset: Element<'_>) -> BeatSpan {
    reading
        .quarters(offset.text())
        .and_then(|by| reading.cursor.at.plus(by).ok())
        .map_or_else(
            || reading.here(),
            |at| BeatSpan::from_quarters(at).unwrap_or(BeatSpan::ZERO),
        )
}

fn read_type<'t>(
    reading: &mut Reading<'_>,
    element: Element<'t>,
    printed: Place,
    gathered: &mut Gathered<'t>,
) {
    match element.name() {
        "words" => {
            let joined = format!("{} {}", gathered.words, element.text());
            gathered.words = one_line(&joined);
        }
        "rehearsal" => {
            let text = element.words();
            if !text.is_empty() {
                reading.cursor.measure.rehearsal.get_or_insert(text);
            }
        }
        "dynamics" => {
            let text = dynamic_text(element);
            if !text.is_empty() {
                let dynamics = &mut reading.cursor.measure.dynamics;
                let index = dynamics.len();
                let waits = if is_accent(&text) {
                    Sign::Accent(index)
                } else {
                    Sign::Dynamic(index)
                };
                let at = printed.at();
                dynamics.push(Dynamic { at, text });
                reading.cursor.waiting.push(waits, printed);
            }
        }
        "wedge" => {
            let kind = match element.attribute("type").as_deref() {
                Some("crescendo") => Some(SpanKind::Grow),
                Some("diminuendo") => Some(SpanKind::Fade),
                _ => None,
            };
            span(reading, element, Line::Wedge, kind, printed);
        }
        "dashes" => {
            let kind = starts(element).then_some(SpanKind::Dashes);
            span(reading, element, Line::Dashes, kind, printed);
        }
        "bracket" => {
            let kind = starts(element).then_some(SpanKind::Dashes);
            span(reading, element, Line::Bracket, kind, printed);
        }
        "metronome" => gathered.metronome = metronome(reading, element),
        "segno" => gathered.segno = true,
        "coda" => gathered.coda = true,
        "string-mute" => {
            let way = if element.attribute("type").as_deref() == Some("off") {
                PlayingWay::Unmuted
            } else {
                PlayingWay::Muted
            };
            push_playing(reading, way, "", printed);
        }
        _ => {}
    }
}

/// Whether a dynamic is an accent, with a level after it or none: sf, fz, rf, sfp, fp.
fn is_accent(text: &str) -> bool {
    text.contains(['s', 'z', 'r']) || (text.contains('f') && text.ends_with('p'))
}

fn starts(element: Element<'_>) -> bool {
    element.attribute("type").as_deref() == Some("start")
}

/// Opens a span of a kind or, without one, closes the open span of that number.
fn span(
    reading: &mut Reading<'_>,
    element: Element<'_>,
    line: Line,
    kind: Option<SpanKind>,
    at: Place,
) {
    let number = element
        .attribute("number")
        .and_then(|text| text.trim().parse().ok())
        .unwrap_or(1);
    let place = reading.place(at.at());
    if let Some(kind) = kind {
        let index = reading.part.spans.start(line, number, kind, place);
        reading.cursor.waiting.push(Sign::SpanFrom(index), at);
    } else if element.attribute("type").as_deref() == Some("stop") {
        match reading.part.spans.stop(line, number, place) {
            Ok(index) => reading.cursor.waiting.push(Sign::SpanTo(index), at),
            Err(NoneOpen) => reading.noted(
                "line-without-start",
                "a hairpin or dashed line ends that never started",
            ),
        }
    }
}

/// Reads a metronome mark: a note and a number, or two notes.
fn metronome(reading: &mut Reading<'_>, element: Element<'_>) -> Option<Metronome> {
    let mut units: Vec<NoteValue> = Vec::new();
    let mut text = None;
    let dotted = |note: NoteValue| note.with_dots(note.dots() + 1).unwrap_or(note);
    for child in element.children() {
        match child.name() {
            "beat-unit" => units.extend(NoteValue::from_name(child.text())),
            "beat-unit-dot" => {
                if let Some(last) = units.last_mut() {
                    *last = dotted(*last);
                }
            }
            "metronome-note" => {
                let name = child.child_text("metronome-type").unwrap_or_default();
                let dots = child.children().filter(|one| one.name() == "metronome-dot");
                let note = NoteValue::from_name(name);
                units.extend(note.map(|note| dots.fold(note, |note, _| dotted(note))));
            }
            "per-minute" => text = Some(child.words()),
            _ => {}
        }
    }
    let mark = match (units.as_slice(), text) {
        ([unit], Some(text)) => {
            let number = number_in(&text);
            if number.is_none() {
                reading.found(
                    "metronome-without-number",
                    format!("the metronome mark \"{text}\" has no number"),
                );
            } else if text
                .trim_end_matches(|c: char| !c.is_ascii_digit())
                .contains(['-', '–'])
            {
                reading.found(
                    "metronome-range",
                    format!("of the tempi \"{text}\" the first is taken"),
                );
            }
            Some(Metronome::PerMinute {
                unit: *unit,
                text,
                number,
            })
        }
        ([left, right], None) => Some(Metronome::Equation {
            left: *left,
            right: *right,
        }),
        _ => None,
    };
    if mark.is_none() {
        reading.found(
            "metronome-not-understood",
            "a metronome mark is neither a note with a number nor an equation of two notes"
                .to_owned(),
        );
    }
    mark
}

/// Finds the first number in a text: 60 in "c. 60".
fn number_in(text: &str) -> Option<Ratio> {
    let start = text.find(|c: char| c.is_ascii_digit())?;
    let rest = text.get(start..)?;
    let end = rest
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(rest.len());
    let number = number(rest.get(..end)?.trim_end_matches('.'))?;
    (number > Ratio::ZERO).then_some(number)
}

/// Notes jumps and the signs they lead to. What the file plays back comes first,
/// then what is printed.
fn read_jumps(reading: &mut Reading<'_>, gathered: &Gathered<'_>, meanings: &[Meaning]) {
    let sounds = |name: &str| gathered.sound.and_then(|sound| sound.attribute(name));
    let jump = meanings.iter().find_map(|one| match one {
        Meaning::DaCapo(kind) => Some((false, *kind)),
        Meaning::DalSegno(kind) => Some((true, *kind)),
        _ => None,
    });
    let kind = jump.map_or(JumpKind::Plain, |(_, kind)| kind);
    let passes = sounds("time-only").unwrap_or_default();
    let passes: Vec<u16> = passes
        .split(',')
        .filter_map(|text| text.trim().parse().ok())
        .collect();
    let da_capo = sounds("dacapo").is_some_and(|value| value.trim() == "yes");
    let to_segno = match (sounds("dalsegno"), jump) {
        (Some(name), _) => Some(Some(name)),
        _ if da_capo => Some(None),
        (None, Some((to_segno, _))) => Some(to_segno.then(String::new)),
        (None, None) => None,
    };
    let signs = &mut reading.cursor.measure.signs;
    if let Some(to_segno) = to_segno {
        let jump = JumpSign {
            to_segno,
            kind,
            passes,
        };
        // Of words in one element and playback in another, neither forgets the other.
        match &mut signs.jump {
            Some(old) if old.kind == JumpKind::Plain => *old = jump,
            Some(_) => {}
            None => signs.jump = Some(jump),
        }
    }
    let to_coda = meanings.contains(&Meaning::ToCoda);
    let named = ["dalsegno", "dacapo", "tocoda"]
        .iter()
        .any(|name| sounds(name).is_some());
    if let Some(name) = sounds("segno") {
        signs.segno = Some(name);
    } else if gathered.segno && !named && jump.is_none() {
        signs.segno.get_or_insert_default();
    }
    if let Some(name) = sounds("tocoda") {
        signs.to_coda = Some(name);
    } else if to_coda {
        signs.to_coda.get_or_insert_default();
    }
    if let Some(name) = sounds("coda") {
        signs.coda = Some(name);
    } else if (gathered.coda || meanings.contains(&Meaning::Coda))
        && !named
        && !to_coda
        && jump.is_none()
    {
        signs.coda.get_or_insert_default();
    }
    // "fine" is "yes" or a number of units; its presence is what counts.
    signs.fine |= sounds("fine").is_some() || meanings.contains(&Meaning::Fine);
    signs.repeat_from |= sounds("forward-repeat").is_some_and(|value| value.trim() == "yes");
}

/// Notes pizzicato, arco and mutes: by words, else by what is played back.
fn read_playing(
    reading: &mut Reading<'_>,
    gathered: &Gathered<'_>,
    meanings: &[Meaning],
    at: Place,
) {
    // Plucked by the left hand, only what the words stand at is.
    let mut plucks_or_bows = meanings.contains(&Meaning::LeftHandPizz);
    for meaning in meanings {
        if let Meaning::Play(way) = meaning {
            plucks_or_bows |= matches!(way, PlayingWay::Pizzicato | PlayingWay::Arco);
            push_playing(reading, *way, &gathered.words, at);
        }
    }
    if plucks_or_bows {
        return;
    }
    match gathered
        .sound
        .and_then(|sound| sound.attribute("pizzicato"))
        .as_deref()
    {
        Some("yes") => push_playing(reading, PlayingWay::Pizzicato, "", at),
        Some("no") => push_playing(reading, PlayingWay::Arco, "", at),
        _ => {}
    }
}

fn push_playing(reading: &mut Reading<'_>, way: PlayingWay, text: &str, at: Place) {
    let playing = &mut reading.cursor.measure.playing;
    let waits = Sign::Playing(playing.len());
    playing.push(PlayingSign {
        at: at.at(),
        way,
        text: text.to_owned(),
    });
    reading.cursor.waiting.push(waits, at);
}

/// Notes a tempo mark; tells whether the direction was one.
fn read_tempo(
    reading: &mut Reading<'_>,
    gathered: &Gathered<'_>,
    meanings: &[Meaning],
    printed: Place,
    at: BeatSpan,
) -> bool {
    let by_words = meanings.iter().any(|one| {
        matches!(
            one,
            Meaning::Gradual
                | Meaning::Tempo
                | Meaning::Same
                | Meaning::Double
                | Meaning::ToBefore
                | Meaning::ToFirst
        )
    });
    let text = gathered.sound.and_then(|sound| sound.attribute("tempo"));
    let sound = text.as_deref().and_then(number);
    let sound = sound
        .filter(|tempo| *tempo > Ratio::ZERO)
        .map(without_noise);
    if let (Some(text), None) = (&text, sound) {
        reading.found(
            "tempo-not-understood",
            format!(
                "the tempo for playback, \"{}\", is no tempo",
                one_line(text)
            ),
        );
    }
    if !by_words && gathered.metronome.is_none() && sound.is_none() {
        return false;
    }
    let words = if by_words || meanings.is_empty() {
        gathered.words.clone()
    } else {
        String::new()
    };
    // A sound may stand elsewhere than the direction it belongs to.
    let own_offset = gathered.sound.and_then(|sound| sound.child("offset"));
    let sound_at = own_offset.map_or(at, |offset| moved(reading, offset));
    // What has a number is heard where it stands; a word alone is read where it is drawn.
    let numbered = sound.is_some() || gathered.metronome.is_some();
    let place = if numbered { Place::here(at) } else { printed };
    let mut mark = TempoSign {
        at: place.at(),
        words,
        metronome: gathered.metronome.clone(),
        sound,
    };
    let tempi = &mut reading.cursor.measure.tempo;
    if sound.is_some() && sound_at != at {
        mark.sound = None;
        tempi.push(TempoSign {
            at: sound_at,
            words: String::new(),
            metronome: None,
            sound,
        });
    }
    if mark.sound.is_some() || mark.metronome.is_some() || !mark.words.is_empty() {
        let waits = Sign::Tempo(tempi.len());
        tempi.push(mark);
        reading.cursor.waiting.push(waits, place);
    }
    true
}

/// Takes a tempo for playback that misses a whole or half number by a hundredth at most for
/// that number: programs come by it over microseconds and write 119.99999 for 120.
///
/// # Source
/// Our decision; a hundredth of a beat a minute cannot be heard.
fn without_noise(tempo: Ratio) -> Ratio {
    let near = || {
        let doubled = tempo.times(Ratio::whole(2)).ok()?;
        let nearest = doubled.plus(Ratio::new(1, 2).ok()?).ok()?.floor();
        let near = Ratio::new(nearest, 2).ok()?;
        let off = tempo.minus(near).ok()?.times(Ratio::whole(100)).ok()?;
        let close = off <= Ratio::ONE && off >= Ratio::whole(-1);
        (close && near > Ratio::ZERO).then_some(near)
    };
    near().unwrap_or(tempo)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tempo_for_playback_loses_its_noise() {
        for (file, taken) in [
            ("119.99999", "120"),
            ("120.01", "120"),
            ("119.99", "120"),
            ("67.504", "135/2"),
            ("120.02", "6001/50"),
            ("52.17391", "5217391/100000"),
            ("96", "96"),
            ("66.5", "133/2"),
        ] {
            assert_eq!(without_noise(number(file).unwrap()).to_string(), taken);
        }
    }

    #[test]
    fn the_first_number_of_a_mark_counts() {
        for (text, expected) in [
            ("60", Some("60")),
            ("c. 60", Some("60")),
            ("ca. 66.5", Some("133/2")),
            ("120-126", Some("120")),
            ("(100)", Some("100")),
            ("72.", Some("72")),
            ("", None),
            ("lively", None),
            ("0", None),
        ] {
            let number = number_in(text).map(|number| number.to_string());
            assert_eq!(number.as_deref(), expected, "{text}");
        }
    }
}
