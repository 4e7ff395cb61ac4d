//! Notes put into measures.

use super::event::{Mode, Played, Signature};
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
    keys: &[(Ratio, Signature)],
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

fn sound(own: &Played, keys: &[(Ratio, Signature)], at: Ratio) -> Sound {
    if own.channel == PERCUSSION {
        return Sound::Unpitched;
    }
    let after = keys.partition_point(|key| key.0 <= at);
    let key = after.checked_sub(1).and_then(|index| keys.get(index));
    Sound::Pitched(pitch(own.key, key.map_or(Signature::NONE, |key| key.1)))
}

/// Spells a key of the keyboard by the twelve neighbours on the line of fifths round the tonic:
/// in major from its minor third up to its raised fifth, in minor from its lowered second up to
/// its raised fourth, so that the raised sixth and seventh are among them.
///
/// # Source
/// Our decision; a MIDI file does not tell F sharp from G flat. The line of fifths: common
/// practice.
fn pitch(key: u8, signature: Signature) -> Pitch {
    let fifths = i32::from(signature.fifths);
    // The tonic of a minor key lies three fifths above that of the major key.
    let lowest = match signature.mode {
        Mode::Major => fifths - 3,
        Mode::Minor => fifths + 3 - 5,
    };
    // C is 0, G is 1; seven fifths are a half tone and some octaves, and twelve come round.
    let place = lowest + (7 * i32::from(key) - lowest).rem_euclid(12);
    let letter = usize::try_from((place + 1).rem_euclid(7)).unwrap_or(0);
    let alters = (place + 1).div_euclid(7);
    // Key 60 is middle C, with which octave 4 starts.
    let octave = (i32::from(key) - alters).div_euclid(12) - 1;
    Pitch {
        step: Step::BY_FIFTHS.get(letter).copied().unwrap_or(Step::C),
        quarter_tones: i8::try_from(2 * alters).unwrap_or(0),
        octave: i8::try_from(octave).unwrap_or(4),
    }
}

/// Onsets that are played in lie off this grid, in parts of a quarter: every written note down
/// to the 32nd and its triplets lies on it.
const GRID: i64 = 24;

/// Fewer notes than these tell nothing.
const LEAST_PLAYED: usize = 8;

/// Tells whether most notes lie a little off every place that print has, as when somebody has
/// played them in.
///
/// # Source
/// Our decision.
pub(super) fn is_played_in(played: &[(Ratio, Ratio, Played)]) -> bool {
    let off = |(from, _, _): &&(Ratio, Ratio, Played)| {
        let on = from.times(Ratio::whole(GRID));
        on.is_ok_and(|on| on.denominator() != 1)
    };
    played.len() >= LEAST_PLAYED && played.iter().filter(off).count() * 2 > played.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spelled(key: u8, fifths: i8, mode: Mode) -> String {
        let pitch = pitch(key, Signature { fifths, mode });
        let sign = match pitch.quarter_tones {
            -4 => "bb",
            -2 => "b",
            0 => "",
            2 => "#",
            4 => "##",
            _ => "?",
        };
        format!("{}{sign}{}", pitch.step.letter(), pitch.octave)
    }

    /// Source: scales with raised sixth and seventh in minor, common practice.
    #[test]
    fn notes_are_spelled_round_their_tonic() {
        for (fifths, mode, keys, expected) in [
            (
                -1,
                Mode::Minor,
                [61, 66, 68, 70, 71, 73],
                "C#4 F#4 G#4 Bb4 B4 C#5",
            ),
            (
                -3,
                Mode::Minor,
                [60, 61, 68, 70, 71, 66],
                "C4 Db4 Ab4 Bb4 B4 F#4",
            ),
            (
                5,
                Mode::Minor,
                [67, 66, 59, 60, 68, 70],
                "F##4 F#4 B3 B#3 G#4 A#4",
            ),
            (
                0,
                Mode::Major,
                [60, 61, 63, 66, 68, 70],
                "C4 C#4 Eb4 F#4 G#4 Bb4",
            ),
            (
                -4,
                Mode::Major,
                [59, 60, 61, 68, 62, 64],
                "Cb4 C4 Db4 Ab4 D4 E4",
            ),
            (
                2,
                Mode::Major,
                [61, 66, 68, 0, 127, 70],
                "C#4 F#4 G#4 C-1 G9 A#4",
            ),
        ] {
            let all: Vec<String> = keys.iter().map(|key| spelled(*key, fifths, mode)).collect();
            assert_eq!(all.join(" "), expected, "{fifths} {mode:?}");
        }
    }
}
