//! Notes put into measures.

use super::event::Played;
use super::measure::index_at;
use cueleaf_score::{Measure, Note, Pitch, Sound, Step};
use cueleaf_time::{BeatSpan, Ratio};

/// The channel of percussion, from 0.
///
/// # Source
/// General MIDI, "Channel 10 is reserved for percussion" (from memory).
const PERCUSSION: u8 = 9;

/// Puts notes into the measures, cut at barlines and tied over them; a measure
/// without notes gets a rest.
pub(super) fn place(
    measures: &mut [Measure],
    played: &[(Ratio, Ratio, Played)],
    keys: &[(Ratio, i8)],
) {
    for (from, to, own) in played {
        let Some(first) = index_at(measures, *from) else {
            continue;
        };
        let sound = sound(own, keys, *from);
        for measure in measures.iter_mut().skip(first) {
            let start = measure.start.quarters();
            let Ok(end) = start.plus(measure.length.quarters()) else {
                break;
            };
            if start >= *to {
                break;
            }
            let (begin, stop) = ((*from).max(start), (*to).min(end));
            let span =
                |late: Ratio, early: Ratio| late.minus(early).and_then(BeatSpan::from_quarters);
            let (Ok(at), Ok(length)) = (span(begin, start), span(stop, begin)) else {
                break;
            };
            let chord = measure
                .notes
                .last()
                .is_some_and(|last| last.at == at && last.length == length);
            measure.notes.push(Note {
                chord,
                tied_back: *from < start,
                tied_on: *to > end,
                ..Note::new(at, length, sound)
            });
            measure.written = measure.length;
        }
    }
    for measure in measures.iter_mut().filter(|own| own.notes.is_empty()) {
        let rest = Sound::Rest {
            whole_measure: true,
        };
        measure
            .notes
            .push(Note::new(BeatSpan::ZERO, measure.length, rest));
        measure.written = measure.length;
    }
}

fn sound(own: &Played, keys: &[(Ratio, i8)], at: Ratio) -> Sound {
    if own.channel == PERCUSSION {
        return Sound::Unpitched;
    }
    let after = keys.partition_point(|key| key.0 <= at);
    let fifths = after
        .checked_sub(1)
        .and_then(|index| keys.get(index))
        .map_or(0, |key| key.1);
    Sound::Pitched(pitch(own.key, fifths))
}

/// Spells a key of the keyboard: with sharps in keys of sharps, with flats in keys of flats.
///
/// # Source
/// Our decision; a MIDI file does not tell F sharp from G flat.
fn pitch(key: u8, fifths: i8) -> Pitch {
    let sharp = [
        (Step::C, 0),
        (Step::C, 2),
        (Step::D, 0),
        (Step::D, 2),
        (Step::E, 0),
        (Step::F, 0),
        (Step::F, 2),
        (Step::G, 0),
        (Step::G, 2),
        (Step::A, 0),
        (Step::A, 2),
        (Step::B, 0),
    ];
    let flat = [
        (Step::C, 0),
        (Step::D, -2),
        (Step::D, 0),
        (Step::E, -2),
        (Step::E, 0),
        (Step::F, 0),
        (Step::G, -2),
        (Step::G, 0),
        (Step::A, -2),
        (Step::A, 0),
        (Step::B, -2),
        (Step::B, 0),
    ];
    let table = if fifths < 0 { flat } else { sharp };
    let (step, quarter_tones) = table
        .get(usize::from(key % 12))
        .copied()
        .unwrap_or((Step::C, 0));
    // Key 60 is middle C, with which octave 4 starts; 127 keys reach from -1 to 9.
    let octave = i8::try_from(key / 12).unwrap_or(5) - 1;
    Pitch {
        step,
        quarter_tones,
        octave,
    }
}
