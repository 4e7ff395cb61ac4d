//! Clefs: where the part is read in another one.

use crate::say::vary;
use crate::scene::Scene;
use crate::thresholds::weight;
use crate::watched::{Kind, Watched};
use cueleaf_guide::Spot;
use cueleaf_score::Clef;
use cueleaf_time::BeatPos;
use std::collections::BTreeMap;

/// What makes a clef another one.
type Look = (char, u8, i8);

/// Finds the first note that is read in another clef than the note before it on its staff.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let measures = scene.part.measures.iter().enumerate();
    let mut clefs: Vec<(BeatPos, &Clef)> = measures
        .filter_map(|(index, measure)| Some((scene.laid(index)?.start, measure)))
        .flat_map(|(start, measure)| {
            let at = move |clef: &Clef| start.plus(clef.at);
            measure
                .clefs
                .iter()
                .filter_map(move |clef| Some((at(clef).ok()?, clef)))
        })
        .collect();
    clefs.sort_by_key(|(at, _)| *at);
    let mut coming = clefs.into_iter().peekable();
    let mut now: BTreeMap<u16, Look> = BTreeMap::new();
    let mut read: BTreeMap<u16, (Look, Look)> = BTreeMap::new();
    for one in scene.line.struck() {
        while let Some((_, clef)) = coming.next_if(|(at, _)| *at <= one.start) {
            now.insert(clef.staff, (clef.sign, clef.line, clef.octaves));
        }
        let staff = one.note.staff;
        let Some(new) = now.get(&staff).copied() else {
            continue;
        };
        let (first, old) = *read.entry(staff).or_insert((new, new));
        read.insert(staff, (first, new));
        if let (Some(old_name), Some(name)) = (name(old), name(new))
            && old != new
        {
            let weight = if new == first {
                weight::CLEF_BACK
            } else {
                weight::CLEF_CHANGE
            };
            let said = scene.said(one.place);
            let note = one
                .highest()
                .map(|pitch| scene.named(pitch, one.place.measure));
            let note = note.unwrap_or_default();
            let sentence = vary(
                found.len(),
                [
                    format!(
                        "{said}: {name} clef from here on, {old_name} clef before. The first note is {note}; say the names of the next few before you play."
                    ),
                    format!(
                        "You read {name} clef instead of {old_name} clef from {said} on, beginning with {note}. Mark it, and look ahead."
                    ),
                ],
            );
            found.push(scene.watched(
                Kind::ClefChange,
                Spot::at(one.place),
                weight,
                &sentence,
                [
                    ("old", old_name.into()),
                    ("new", name.into()),
                    ("note", note.into()),
                ],
            ));
        }
    }
}

/// Names a clef; `None` for one without pitches.
///
/// # Source
/// Common practice, no source.
fn name((sign, line, octaves): Look) -> Option<&'static str> {
    Some(match (sign, line, octaves) {
        ('G', 2 | 0, 0) => "treble",
        ('G', 2 | 0, -1) => "treble (an octave lower)",
        ('G', 2 | 0, 1) => "treble (an octave higher)",
        ('G', 1, 0) => "French violin",
        ('C', 1, _) => "soprano",
        ('C', 2, _) => "mezzo-soprano",
        ('C', 3 | 0, _) => "alto",
        ('C', 4, _) => "tenor",
        ('C', 5, _) | ('F', 3, 0) => "baritone",
        ('F', 4 | 0, 0) => "bass",
        ('F', 4 | 0, -1) => "bass (an octave lower)",
        ('F', 4 | 0, 1) => "bass (an octave higher)",
        _ => return None,
    })
}
