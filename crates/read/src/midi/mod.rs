//! Standard MIDI Files 0 and 1: tempi, meters, keys, markers, and tracks as parts.
//!
//! The bytes are read by ourselves: the libraries there are tell no places, and
//! silently drop what is damaged.
//!
//! A tempo in whole microseconds a quarter note stands for the simplest number
//! a minute that is written so: 476,190 for 126.
//!
//! # Source
//! "Standard MIDI Files 1.0", MIDI Manufacturers Association, RP-001 (from memory;
//! read against the library mido in `tests/crosscheck`).

mod event;
mod measure;
mod note;

use crate::ReadError;
use crate::collect::Findings;
use cueleaf_guide::{Checked, Finding, MAX_PARTS, Severity, TooLarge};
use cueleaf_score::{Part, Score};
use event::{File, Track};

/// Tells whether bytes are a Standard MIDI File, plain or in a RIFF frame.
pub(crate) fn is_midi(bytes: &[u8]) -> bool {
    bytes.starts_with(b"MThd") || bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"RMID")
}

/// Reads a file.
///
/// # Errors
/// [`ReadError`] when its head is damaged, it is of format 2, or above a limit.
pub(crate) fn read(bytes: &[u8]) -> Result<Checked<Score>, ReadError> {
    let mut findings = Findings::default();
    let file = File::read(bytes, &mut findings)?;
    let plan = measure::Line::of(&file, &mut findings)?;
    let played: Vec<(String, Vec<event::Played>)> = parts_of(&file);
    TooLarge::guard("parts", MAX_PARTS, played.len())?;
    let mut score = Score {
        title: file.title(),
        ..Score::default()
    };
    if played.is_empty() {
        findings.warn(
            "no-notes",
            "the file has no notes; its tempi and meters are taken",
        );
    }
    let names = if played.is_empty() {
        vec![("Part 1".to_owned(), Vec::new())]
    } else {
        played
    };
    let mut notes = 0;
    for (index, (name, played)) in names.into_iter().enumerate() {
        notes += played.len();
        TooLarge::guard("notes", crate::limits::MAX_NOTES, notes)?;
        let mut measures = plan.measures(if index == 0 {
            measure::Whose::First
        } else {
            measure::Whose::Other
        });
        let placed: Vec<_> = played
            .iter()
            .filter_map(|own| Some((file.quarters(own.from)?, file.quarters(own.to)?, *own)))
            .collect();
        note::place(&mut measures, &placed, plan.keys());
        let name = new_name(&name, &score.parts);
        let played_in = note::is_played_in(&placed);
        if played_in {
            let message = format!("{name} was played in by hand, so its rhythm is not told");
            findings.push(
                Finding::new(Severity::Note, "played-in", message)
                    .hint("a file whose notes are set to the beats tells more"),
            );
        }
        score.parts.push(Part {
            id: format!("P{}", index + 1),
            name,
            measures,
            played_in,
            ..Part::default()
        });
    }
    Ok(Checked {
        value: score,
        findings: findings.in_order(),
    })
}

/// Gathers what is played by part: by track, or by channel where all is in one track.
fn parts_of(file: &File) -> Vec<(String, Vec<event::Played>)> {
    let sounding: Vec<&Track> = file
        .tracks
        .iter()
        .filter(|own| !own.played.is_empty())
        .collect();
    match sounding.as_slice() {
        [only] if file.is_one_track() => {
            let mut parts: Vec<(String, Vec<event::Played>)> = Vec::new();
            for channel in 0..16 {
                let played: Vec<event::Played> = only
                    .played
                    .iter()
                    .filter(|own| own.channel == channel)
                    .copied()
                    .collect();
                if !played.is_empty() {
                    parts.push((format!("Channel {}", channel + 1), played));
                }
            }
            parts
        }
        tracks => tracks
            .iter()
            .map(|track| (track.name.clone(), track.played.clone()))
            .collect(),
    }
}

fn new_name(name: &str, before: &[Part]) -> String {
    let stem = if name.is_empty() {
        format!("Part {}", before.len() + 1)
    } else {
        name.to_owned()
    };
    let taken = |name: &str| before.iter().any(|part| part.name == name);
    if !taken(&stem) {
        return stem;
    }
    (2..=before.len() + 2)
        .map(|number| format!("{stem} {number}"))
        .find(|name| !taken(name))
        .unwrap_or(stem)
}
