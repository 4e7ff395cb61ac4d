//! Divisions of the beat: where beats are divided otherwise than before.

use crate::line::{Stretch, Struck};
use crate::rhythm::is_on_beat;
use crate::say::{list, vary};
use crate::scene::Scene;
use crate::thresholds::{MOST_PARTS, SUBDIVISION_FACTOR, weight};
use crate::watched::{Kind, Watched};
use cueleaf_guide::{Place, Spot};
use cueleaf_time::BeatSpan;
use std::collections::{BTreeMap, BTreeSet};

/// Tells whether a tuplet goes across beats: it begins on one, and a beat inside it is not
/// struck.
fn goes_across(scene: &Scene<'_>, tuplet: Stretch) -> bool {
    let place = scene.place(tuplet.start);
    let Some(laid) = scene
        .laid(place.measure)
        .filter(|_| is_on_beat(scene, tuplet))
    else {
        return false;
    };
    let struck = scene.line.struck();
    let beats = laid.beats.beats();
    let next = beats.partition_point(|beat| beat.at <= place.at);
    let starts = beats.iter().skip(next).map(|beat| laid.start.plus(beat.at));
    starts
        .map_while(|start| start.ok().filter(|start| *start < tuplet.end))
        .any(|start| {
            let note = struck.get(scene.line.first_from(start));
            note.is_none_or(|note| note.start != start)
        })
}

/// Into how many equal parts the beats of a measure are divided by what is struck in each,
/// without those that others hold already: thirds beside halves stay, halves beside quarters
/// do not. Tuplets across beats divide none. `None` where a beat has more parts than anybody
/// counts, and where there is none to tell.
fn divisions(scene: &Scene<'_>, struck: &[Struck<'_>]) -> Option<Vec<i64>> {
    let mut beats: BTreeMap<u16, i64> = BTreeMap::new();
    let mut last: Option<(Stretch, bool)> = None;
    for one in struck {
        if let Some(tuplet) = one.tuplet {
            let known = last.filter(|(own, _)| *own == tuplet);
            let (_, across) = *last.insert(known.unwrap_or_else(|| {
                let across = goes_across(scene, tuplet);
                (tuplet, across)
            }));
            if across {
                continue;
            }
        }
        let Some(on) = scene.on_beat(one.place) else {
            continue;
        };
        let parts = beats.entry(on.beat.number).or_insert(1);
        *parts = least_common_multiple(*parts, on.past.denominator());
        if *parts > MOST_PARTS {
            return None;
        }
    }
    let all: BTreeSet<i64> = beats.into_values().collect();
    if all.is_empty() {
        return None;
    }
    let held = |parts: i64| all.iter().any(|more| *more > parts && more % parts == 0);
    Some(all.iter().copied().filter(|one| !held(*one)).collect())
}

fn least_common_multiple(one: i64, other: i64) -> i64 {
    let (mut a, mut b) = (one, other);
    while let Some(rest) = a.checked_rem(b) {
        (a, b) = (b, rest);
    }
    one.checked_div(a)
        .and_then(|parts| parts.checked_mul(other))
        .unwrap_or(i64::MAX)
}

/// Names a division of a beat by its notes; `None` where the trade has no name for it.
///
/// # Source
/// Common practice, no source.
fn named(parts: i64, beat: BeatSpan) -> Option<&'static str> {
    let quarters = beat.quarters();
    let of_two = match (quarters.numerator(), quarters.denominator()) {
        (2, 1) => Some(["quarters", "eighths", "sixteenths"]),
        (1, 1) => Some(["eighths", "sixteenths", "thirty-seconds"]),
        (1, 2) => Some(["sixteenths", "thirty-seconds", "sixty-fourths"]),
        _ => None,
    };
    if let Some([two, four, eight]) = of_two {
        return match parts {
            2 => Some(two),
            3 => Some("triplets"),
            4 => Some(four),
            5 => Some("quintuplets"),
            6 => Some("sextuplets"),
            7 => Some("septuplets"),
            8 => Some(eight),
            _ => None,
        };
    }
    let [three, six] = match (quarters.numerator(), quarters.denominator()) {
        (3, 1) => ["quarters", "eighths"],
        (3, 2) => ["eighths", "sixteenths"],
        (3, 4) => ["sixteenths", "thirty-seconds"],
        _ => return None,
    };
    match parts {
        2 => Some("duplets"),
        3 => Some(three),
        4 => Some("quadruplets"),
        6 => Some(six),
        _ => None,
    }
}

/// Says how the beats of a measure are divided.
fn divided(parts: &[i64], beat: BeatSpan) -> String {
    if parts == [1] {
        return "whole beats".to_owned();
    }
    let names: Option<Vec<&str>> = parts.iter().map(|parts| named(*parts, beat)).collect();
    let in_turn = if parts.len() > 1 { " in turn" } else { "" };
    match names {
        Some(names) => {
            let names: Vec<String> = names.into_iter().map(str::to_owned).collect();
            format!("{}{in_turn}", list(&names))
        }
        None => {
            let counts: Vec<String> = parts.iter().map(i64::to_string).collect();
            format!("{} equal parts of a beat{in_turn}", list(&counts))
        }
    }
}

/// Gives the finest of the parts in which beats are divided.
fn finest(parts: &[i64]) -> i64 {
    parts.iter().copied().max().unwrap_or(1)
}

/// Tells whether beats are divided otherwise than before: in another kind of parts, or in many
/// times as many, or in two kinds where there was one.
fn is_otherwise(old: &[i64], new: &[i64]) -> bool {
    let (small, large) = (finest(old).min(finest(new)), finest(old).max(finest(new)));
    if large >= SUBDIVISION_FACTOR * small {
        return true;
    }
    match new {
        [parts] => old.iter().all(|old| old % parts != 0 && parts % old != 0),
        _ => old != new,
    }
}

/// Finds where beats are divided otherwise than before.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let mut before: Option<(usize, Vec<i64>)> = None;
    for own in scene
        .line
        .struck()
        .chunk_by(|one, other| one.place.measure == other.place.measure)
    {
        let Some(first) = own.first() else { continue };
        let measure = first.place.measure;
        let previous = before.take().filter(|(last, _)| last + 1 == measure);
        let Some(parts) = divisions(scene, own) else {
            continue;
        };
        if let Some((_, old)) = previous
            && is_otherwise(&old, &parts)
        {
            found.push(subdivision(scene, first, &old, &parts, found.len()));
        }
        before = Some((measure, parts));
    }
}

fn subdivision(
    scene: &Scene<'_>,
    first: &Struck<'_>,
    old: &[i64],
    new: &[i64],
    number: usize,
) -> Watched {
    let said = scene.said(first.place);
    let beat = |measure: usize| {
        let on = scene.on_beat(Place::start_of(measure));
        on.map_or(BeatSpan::QUARTER, |on| on.beat.length)
    };
    let here = first.place.measure;
    let was = divided(old, beat(here.saturating_sub(1)));
    let is = divided(new, beat(here));
    let sentence = vary(
        number,
        [
            format!("{said}: {is} here, {was} before. Count the new beat in your head first."),
            format!(
                "From {was} to {is} at {said}. Practise one {} of each in turn.",
                scene.word()
            ),
        ],
    );
    let mut one = scene.watched(
        Kind::SubdivisionChange,
        Spot::at(first.place),
        weight::SUBDIVISION,
        &sentence,
        [("old", finest(old).into()), ("new", finest(new).into())],
    );
    if new.len() > 1 {
        let parts: Vec<String> = new.iter().map(i64::to_string).collect();
        one.numbers.insert("in_turn", parts.into());
    }
    one
}

#[cfg(test)]
mod tests {
    use super::{divided, is_otherwise};
    use cueleaf_time::BeatSpan;

    #[test]
    fn divisions_are_named_by_the_beat() {
        for (parts, quarters, said) in [
            (&[2][..], "1", "eighths"),
            (&[3, 4], "1", "triplets and sixteenths in turn"),
            (&[4], "2", "eighths"),
            (&[3], "3/2", "eighths"),
            (&[2, 3], "3/2", "duplets and eighths in turn"),
            (&[8], "3/2", "8 equal parts of a beat"),
            (&[1], "1/2", "whole beats"),
        ] {
            let beat = BeatSpan::from_quarters(quarters.parse().unwrap()).unwrap();
            assert_eq!(divided(parts, beat), said);
        }
    }

    #[test]
    fn from_both_to_one_of_them_nothing_is_new() {
        assert!(!is_otherwise(&[3, 4], &[3]));
        assert!(is_otherwise(&[3], &[3, 4]) && is_otherwise(&[2], &[3]));
        assert!(is_otherwise(&[4], &[1]) && !is_otherwise(&[2], &[4]));
    }
}
