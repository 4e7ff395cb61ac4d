//! Key changes: which letters change, and where it first matters.

use crate::say::{letter, list, vary};
use crate::scene::Scene;
use crate::thresholds::weight;
use crate::watched::{Kind, Watched};
use cueleaf_guide::{Place, Spot};
use cueleaf_score::{Pitch, Step};
use cueleaf_time::Key;

/// Gives by how many semitones a key alters a letter.
pub(crate) fn alteration(key: Key, step: Step) -> i8 {
    let fifths = i64::from(key.fifths());
    let place = Step::BY_FIFTHS.iter().position(|one| *one == step);
    let Some(place) = place.and_then(|place| i64::try_from(place).ok()) else {
        return 0;
    };
    if place < fifths {
        1
    } else if 6 - place < -fifths {
        -1
    } else {
        0
    }
}

/// Finds changes of key.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let mut changes: Vec<(usize, Key, Key)> = Vec::new();
    let mut now: Option<Key> = None;
    for (index, laid) in scene.plan.layout().measures().iter().enumerate() {
        if let (Some(old), Some(new)) = (now, laid.key)
            && old != new
        {
            changes.push((index, old, new));
        }
        now = laid.key.or(now);
    }
    for (number, (start, old, new)) in changes.iter().enumerate() {
        let next = changes.get(number + 1);
        let end = next.map_or(scene.measure_count(), |(start, _, _)| *start);
        found.push(change(scene, (*start, end), *old, *new, number));
    }
}

fn change(
    scene: &Scene<'_>,
    (start, end): (usize, usize),
    old: Key,
    new: Key,
    number: usize,
) -> Watched {
    let changed: Vec<Step> = Step::BY_FIFTHS
        .into_iter()
        .filter(|step| alteration(old, *step) != alteration(new, *step))
        .collect();
    let altered: Vec<String> = changed
        .iter()
        .map(|step| letter(*step, alteration(new, *step)))
        .collect();
    let place = Place::start_of(start);
    let first = scene.position(place).and_then(|position| {
        let struck = scene
            .line
            .struck()
            .iter()
            .skip(scene.line.first_from(position));
        struck
            .take_while(|one| one.place.measure < end)
            .find_map(|one| {
                let pitch = one
                    .pitches
                    .iter()
                    .find(|pitch| changed.contains(&pitch.step))?;
                Some((one.place, *pitch))
            })
    });
    let (said, now) = (scene.said(place), list(&altered));
    // A natural is the point of it where one of the two keys alters the letter.
    let named = |pitch: Pitch| {
        let (before, after) = (alteration(old, pitch.step), alteration(new, pitch.step));
        crate::say::pitch(pitch, if after == 0 { before } else { after })
    };
    let (weight, sentence) = match first {
        None => {
            let until = if end < scene.measure_count() {
                "before the next change"
            } else {
                "any more"
            };
            (
                weight::KEY_UNTOUCHED,
                format!(
                    "{said}: a new key, {now} from here on; your part does not meet these notes {until}."
                ),
            )
        }
        Some((at, pitch)) => {
            let (at, note) = (scene.said(at), named(pitch));
            let sentence = vary(
                number,
                [
                    format!(
                        "{said}: a new key, {now} from here on. It first matters at {at} ({note})."
                    ),
                    format!(
                        "The key changes at {said}: play {now}. The first such note is {note}, {at}."
                    ),
                ],
            );
            let many = i64::try_from(changed.len()).unwrap_or(0);
            (weight::KEY_CHANGE + 2 * many, sentence)
        }
    };
    let mut one = scene.watched(
        Kind::KeyChange,
        Spot::at(place),
        weight,
        &sentence,
        [
            ("old", i64::from(old.fifths()).into()),
            ("new", i64::from(new.fifths()).into()),
            ("altered", altered.into()),
        ],
    );
    if let Some((at, pitch)) = first {
        one.numbers.insert("first", scene.printed(at).into());
        one.numbers.insert("first_note", named(pitch).into());
    }
    one
}
