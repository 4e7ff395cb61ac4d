//! The last measures, where several things come together.

use crate::say::list;
use crate::scene::Scene;
use crate::thresholds::{LAST_FAMILIES, LAST_MEASURES, weight};
use crate::watched::{Family, Kind, Watched};
use cueleaf_guide::Spot;
use std::collections::BTreeSet;

/// Looks whether enough families of things were found in the last measures.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let count = scene.measure_count();
    let Some(first) = count.checked_sub(LAST_MEASURES) else {
        return;
    };
    let families: BTreeSet<Family> = found
        .iter()
        .filter(|one| one.spot.last_measure() >= first)
        .map(|one| one.kind.family())
        .collect();
    if families.len() < LAST_FAMILIES {
        return;
    }
    let names: Vec<String> = families.iter().map(|one| name(*one).to_owned()).collect();
    let many = i64::try_from(families.len()).unwrap_or(0);
    let sentence = format!(
        "{}, beat 1, to the end: {} come together. Practise the last {} alone, then with what leads there.",
        scene.measure(first),
        list(&names),
        scene.measures(LAST_MEASURES),
    );
    found.push(scene.watched(
        Kind::LastMeasures,
        Spot::measures(first, count - 1),
        (weight::LAST + weight::LAST_FAMILY * many).min(weight::LAST_MOST),
        &sentence,
        [("families", families.len().into()), ("what", names.into())],
    ));
}

const fn name(family: Family) -> &'static str {
    match family {
        Family::Tempo => "tempo",
        Family::Meter => "meter",
        Family::Key => "key",
        Family::Playing => "bow and plucking",
        Family::Dynamics => "dynamics",
        Family::Entries => "an entry",
        Family::Rhythm => "rhythm",
        Family::Bow => "bowing",
        Family::LeftHand => "the left hand",
        Family::Order => "signs",
        Family::Last => "the end",
    }
}
