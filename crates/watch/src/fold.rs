//! Duplicates folded, the order of the list, and its strongest places.

use crate::thresholds::{MAX_WATCHED, MOST_OF_ONE_KIND, weight};
use crate::watched::{Fold, Kind, Number, Watched};
use std::collections::BTreeMap;

/// Puts the list in order and folds what says the same of neighbouring measures.
pub(crate) fn fold(mut found: Vec<Watched>) -> Vec<Watched> {
    found.sort_by_key(key);
    let mut folded: Vec<Watched> = Vec::with_capacity(found.len());
    // The last entry of each kind, to which a neighbour may be added.
    let mut open: BTreeMap<Kind, usize> = BTreeMap::new();
    for one in found {
        let index = open.get(&one.kind).copied();
        if let Some(last) = index.and_then(|index| folded.get_mut(index)) {
            if last.spot == one.spot && last.numbers == one.numbers {
                continue;
            }
            let near = one.spot.from.measure <= last.spot.last_measure() + 1;
            if one.kind.fold() == Fold::Neighbours && near {
                add(last, one);
                continue;
            }
        }
        open.insert(one.kind, folded.len());
        folded.push(one);
    }
    for one in &mut folded {
        close(one);
    }
    if folded.len() > MAX_WATCHED {
        folded.sort_by_key(|one| (core::cmp::Reverse(one.weight), key(one)));
        folded.truncate(MAX_WATCHED);
    }
    folded.sort_by_key(key);
    folded
}

type Key = (
    usize,
    cueleaf_time::BeatSpan,
    Kind,
    Option<cueleaf_guide::Place>,
);

fn key(one: &Watched) -> Key {
    (
        one.spot.from.measure,
        one.spot.from.at,
        one.kind,
        one.spot.to,
    )
}

/// Adds a neighbour: the stretch grows, the numbers are those of the strongest.
fn add(last: &mut Watched, one: Watched) {
    let places = match last.numbers.get("places") {
        Some(Number::Whole(places)) => places.saturating_add(1),
        _ => 2,
    };
    let end = one.spot.to.unwrap_or(one.spot.from);
    if end > last.spot.to.unwrap_or(last.spot.from) {
        last.spot.to = Some(end);
        last.to = one.to;
    }
    if one.weight > last.weight {
        last.weight = one.weight;
        last.numbers = one.numbers;
        last.numbers.insert("hardest", Number::Text(one.from));
    }
    last.numbers.insert("places", Number::Whole(places));
}

/// Says how often the same comes.
fn close(one: &mut Watched) {
    let Some(Number::Whole(places)) = one.numbers.get("places") else {
        return;
    };
    let (each, most) = weight::FOLDED;
    let more = (each * (places - 1)).min(most);
    one.weight = u8::try_from((i64::from(one.weight) + more).clamp(0, 100)).unwrap_or(100);
    let until = one.to.split(" beat").next().unwrap_or_default();
    let hardest = match one.numbers.get("hardest") {
        Some(Number::Text(place)) => format!(", hardest at {place}"),
        _ => String::new(),
    };
    one.sentence = format!(
        "{} It comes {places} times up to {until}{hardest}.",
        one.sentence
    );
}

/// Picks the strongest of a list, the strongest first: at most four of one kind,
/// and at one place nothing twice about one topic. Equal weights go by place.
#[must_use]
pub fn strongest(list: &[Watched], count: usize) -> Vec<&Watched> {
    let mut by_weight: Vec<&Watched> = list.iter().collect();
    by_weight.sort_by_key(|one| (core::cmp::Reverse(one.weight), key(one)));
    let mut chosen: Vec<&Watched> = Vec::new();
    for one in by_weight {
        let of_kind = chosen.iter().filter(|other| other.kind == one.kind).count();
        let said = chosen
            .iter()
            .any(|other| other.spot.from == one.spot.from && other.topic == one.topic);
        if chosen.len() < count && of_kind < MOST_OF_ONE_KIND && !said {
            chosen.push(one);
        }
    }
    chosen
}
