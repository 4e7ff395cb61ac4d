//! The left hand: leaps, the highest note, the usual compass left, notes outside
//! the key.

use crate::key::alteration;
use crate::line::Struck;
use crate::say::{list, vary};
use crate::scene::{Scene, spot};
use crate::thresholds::{
    COMPASS_BEYOND, COMPASS_NOTES, COMPASS_PERCENT, ENTRY_REST_BEATS, HIGHEST_TIMES,
    LEAP_SEMITONES, weight,
};
use crate::watched::{Kind, Watched};
use cueleaf_guide::Spot;
use cueleaf_score::Pitch;

/// Finds what the left hand has to prepare.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    leaps(scene, found);
    compass(scene, found);
    outside_key(scene, found);
}

fn leaps(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let struck = scene.line.struck();
    for (index, other) in struck.iter().enumerate() {
        let before = scene.struck_before(index);
        let Some(one) = before.and_then(|before| struck.get(before)) else {
            continue;
        };
        let wide = leap(one, other).filter(|(_, _, size)| *size >= LEAP_SEMITONES);
        let Some((from, to, size)) = wide else {
            continue;
        };
        let silence = scene.played_span(scene.ended(one.end, other.start), other.start);
        if scene.in_beats(silence, other.place) >= ENTRY_REST_BEATS {
            continue;
        }
        let lasts = scene.told_played_seconds(one.start, other.start);
        let added = i64::from(size - LEAP_SEMITONES);
        let said = scene.said(one.place);
        let direction = if to.semitones() > from.semitones() {
            "up"
        } else {
            "down"
        };
        let from_name = scene.named(from, one.place.measure);
        let to_name = scene.named(to, other.place.measure);
        let sentence = vary(
            found.len(),
            [
                format!(
                    "{said}: a leap {direction} from {from_name} to {to_name}. Hear the note in your head before the hand goes."
                ),
                format!(
                    "From {from_name} ({said}) {direction} to {to_name}: find the way slowly, with the bow stopped."
                ),
            ],
        );
        let mut leap = scene.watched(
            Kind::Leap,
            spot(one.place, other.place),
            (weight::LEAP + added).min(weight::LEAP_MOST),
            &sentence,
            [
                ("semitones", i64::from(size).into()),
                ("from_note", from_name.into()),
                ("to_note", to_name.into()),
            ],
        );
        if let Some(lasts) = lasts {
            leap.numbers.insert("seconds", lasts.into());
        }
        found.push(leap);
    }
}

/// Gives the widest way between two struck notes: of chords, from the near note
/// to the near one, since the hand spans a chord anyway.
fn leap(one: &Struck<'_>, other: &Struck<'_>) -> Option<(Pitch, Pitch, i16)> {
    let up = (one.highest()?, other.lowest()?);
    let down = (one.lowest()?, other.highest()?);
    let size = |(from, to): (Pitch, Pitch)| to.semitones() - from.semitones();
    if size(up) > 0 {
        Some((up.0, up.1, size(up)))
    } else if size(down) < 0 {
        Some((down.0, down.1, -size(down)))
    } else {
        Some((up.0, up.1, 0))
    }
}

fn compass(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let struck = scene.line.struck();
    let mut heights: Vec<i16> = struck
        .iter()
        .filter_map(|one| one.highest().map(Pitch::semitones))
        .collect();
    if heights.len() < COMPASS_NOTES {
        return;
    }
    heights.sort_unstable();
    let few = heights.len() * COMPASS_PERCENT / 100;
    let usual = (heights.get(few), heights.get(heights.len() - 1 - few));
    let (Some(low), Some(high), Some(top)) = (usual.0, usual.1, heights.last()) else {
        return;
    };
    let (low, high, top) = (*low, *high, *top);
    let times = heights.iter().filter(|height| **height == top).count();
    let highest = struck.iter().find_map(|one| {
        let pitch = one.highest()?;
        (pitch.semitones() == top).then_some((one.place, pitch))
    });
    let seldom = highest.filter(|_| times <= HIGHEST_TIMES);
    if let Some((place, pitch)) = seldom {
        let said = scene.said(place);
        let again = match times {
            1 => "It comes once.".to_owned(),
            2 => "It comes twice.".to_owned(),
            times => format!("It comes {times} times."),
        };
        let name = scene.named(pitch, place.measure);
        let sentence = format!(
            "{said}: {name}, the highest note of the part. {again} Know the finger before you get there."
        );
        found.push(scene.watched(
            Kind::HighestNote,
            Spot::at(place),
            weight::HIGHEST,
            &sentence,
            [
                ("note", name.into()),
                ("semitones", i64::from(top).into()),
                ("times", times.into()),
            ],
        ));
    }
    for one in struck {
        let Some(pitch) = one.highest() else { continue };
        let height = pitch.semitones();
        let beyond = (height - high).max(low - height);
        if beyond < COMPASS_BEYOND {
            continue;
        }
        let name = scene.named(pitch, one.place.measure);
        let side = if height > high { "higher" } else { "lower" };
        let said = scene.said(one.place);
        let sentence = vary(
            found.len(),
            [
                format!(
                    "{said}: {name} lies {side} than the part usually goes. Look at the fingering first."
                ),
                format!("The part goes {side} than usual at {said} ({name}). Prepare the hand."),
            ],
        );
        found.push(scene.watched(
            Kind::OutOfCompass,
            Spot::at(one.place),
            weight::OUT_OF_COMPASS,
            &sentence,
            [
                ("note", name.into()),
                ("beyond", i64::from(beyond).into()),
                ("usual_low", i64::from(low).into()),
                ("usual_high", i64::from(high).into()),
            ],
        ));
    }
}

/// Finds the notes outside the key signature, told together for each measure.
fn outside_key(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let struck = scene.line.struck();
    for measure in struck.chunk_by(|one, next| one.place.measure == next.place.measure) {
        found.extend(outside_in(scene, measure, found.len()));
    }
}

fn outside_in(scene: &Scene<'_>, struck: &[Struck<'_>], number: usize) -> Option<Watched> {
    let measure = struck.first()?.place.measure;
    let key = scene.laid(measure)?.key?;
    let is_outside = |pitch: &&Pitch| pitch.quarter_tones != 2 * alteration(key, pitch.step);
    let mut names: Vec<String> = Vec::new();
    let mut places = Vec::new();
    for one in struck {
        for pitch in one.pitches.iter().filter(is_outside) {
            places.push(one.place);
            let name = scene.named(*pitch, measure);
            if !names.contains(&name) {
                names.push(name);
            }
        }
    }
    let (first, last) = (*places.first()?, *places.last()?);
    let sentence = match names.as_slice() {
        [name] => {
            let said = scene.said(first);
            vary(
                number,
                [
                    format!(
                        "{said}: {name} is not in the key signature. Play the notes around it slowly and listen."
                    ),
                    format!(
                        "Against the key signature there is {name} at {said}; mark it, and hear it before you play it."
                    ),
                ],
            )
        }
        names => {
            let letters = letters(names);
            let (said, all) = (scene.measure(measure), list(&letters));
            let (is, it) = match letters.len() {
                1 => ("is", "it"),
                _ => ("are", "them"),
            };
            vary(
                number,
                [
                    format!(
                        "{said}: {all} {is} not in the key signature. Play the notes around {it} slowly and listen."
                    ),
                    format!(
                        "Against the key signature there {is} {all} in {said}; mark {it}, and hear {it} before you play."
                    ),
                ],
            )
        }
    };
    let mut one = scene.watched(
        Kind::OutsideKey,
        spot(first, last),
        weight::OUTSIDE_KEY,
        &sentence,
        [("key", i64::from(key.fifths()).into())],
    );
    if let [only] = names.as_slice() {
        one.numbers.insert("note", only.as_str().into());
    }
    one.numbers.insert("notes", names.into());
    Some(one)
}

/// Gives the names of notes without their octaves, each once.
pub(crate) fn letters(names: &[String]) -> Vec<String> {
    let mut letters: Vec<String> = Vec::new();
    for name in names {
        let letter = name
            .rsplit_once(' ')
            .map_or(name.as_str(), |(letter, _)| letter);
        if !letters.iter().any(|own| own == letter) {
            letters.push(letter.to_owned());
        }
    }
    letters
}
