//! Duplicates folded, the order of the list, and its strongest places.

use crate::thresholds::{MAX_WATCHED, MOST_OF_ONE_KIND, weight};
use crate::watched::{Fold, Kind, Number, Watched};
use std::collections::BTreeMap;

/// An entry, and what was added to it.
struct Folded {
    one: Watched,
    /// Whether all that was added says the same as the first.
    alike: bool,
    /// What the first says.
    first: BTreeMap<&'static str, Number>,
}

/// Puts the list in order and folds what says the same of neighbouring measures; `word` is
/// what a measure is called.
pub(crate) fn fold(mut found: Vec<Watched>, word: &str) -> Vec<Watched> {
    found.sort_by_key(key);
    let mut folded: Vec<Folded> = Vec::with_capacity(found.len());
    // The last entry of each kind, to which a neighbour may be added.
    let mut open: BTreeMap<Kind, usize> = BTreeMap::new();
    for one in found {
        let index = open.get(&one.kind).copied();
        if let Some(last) = index.and_then(|index| folded.get_mut(index)) {
            if last.one.spot == one.spot && last.one.numbers == one.numbers {
                continue;
            }
            let near = one.spot.from.measure <= last.one.spot.last_measure() + 1;
            if one.kind.fold() == Fold::Neighbours && near && names_all(&last.first, &one) {
                last.alike &= says(&one) == last.first;
                add(&mut last.one, one);
                continue;
            }
        }
        open.insert(one.kind, folded.len());
        folded.push(Folded {
            first: says(&one),
            one,
            alike: true,
        });
    }
    let mut list: Vec<Watched> = folded
        .into_iter()
        .map(|own| close(own.one, own.alike, word))
        .collect();
    if list.len() > MAX_WATCHED {
        list.sort_by_key(|one| (core::cmp::Reverse(one.weight), key(one)));
        list.truncate(MAX_WATCHED);
    }
    list.sort_by_key(key);
    list
}

/// Tells whether an entry names all the notes of a neighbour, if it names any: another
/// accidental is told apart.
fn names_all(first: &BTreeMap<&'static str, Number>, one: &Watched) -> bool {
    match (first.get("notes"), one.numbers.get("notes")) {
        (Some(Number::Texts(named)), Some(Number::Texts(own))) => {
            own.iter().all(|note| named.contains(note))
        }
        _ => true,
    }
}

/// Gives the numbers that a sentence says: how long it takes may differ from place to place.
fn says(one: &Watched) -> BTreeMap<&'static str, Number> {
    const MAY_DIFFER: [&str; 2] = ["seconds", "rest_beats"];
    let mut numbers = one.numbers.clone();
    numbers.retain(|name, _| !MAY_DIFFER.contains(name));
    numbers
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
    if last.cue != one.cue {
        crate::cue::several(last.kind).clone_into(&mut last.cue);
    }
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

/// Says how often the same comes, or how many more places of the kind there are.
fn close(mut one: Watched, alike: bool, word: &str) -> Watched {
    let Some(Number::Whole(places)) = one.numbers.get("places") else {
        return one;
    };
    let places = *places;
    let (each, most) = weight::FOLDED;
    let more = (each * (places - 1)).min(most);
    one.weight = u8::try_from((i64::from(one.weight) + more).clamp(0, 100)).unwrap_or(100);
    let how_many = match (alike, places) {
        (true, 2) => "It comes twice".to_owned(),
        (true, places) => format!("It comes {places} times"),
        (false, 2) => "One more such place".to_owned(),
        (false, places) => format!("{} more such places", places - 1),
    };
    let inside = one.spot.last_measure() == one.spot.from.measure;
    let until = if inside {
        format!("in this {word}")
    } else {
        format!("up to {word} {}", label(&one.to))
    };
    let hardest = match one.numbers.get("hardest") {
        Some(Number::Text(place)) if !inside => format!(", hardest in {word} {}", label(place)),
        _ => String::new(),
    };
    let more = format!(" {how_many} {until}{hardest}.");
    one.sentence.push_str(&more);
    one.tip.push_str(&more);
    one
}

/// Gives the label of a measure from a printed place.
fn label(place: &str) -> &str {
    place.split(" beat ").next().unwrap_or_default()
}

/// Picks the strongest of a list, the strongest first: at most four of one kind, and one
/// for a measure, since what comes together there is told together; the last measures are
/// one place. Equal weights go by place.
#[must_use]
pub fn strongest(list: &[Watched], count: usize) -> Vec<&Watched> {
    let closing = list.iter().filter(|one| one.kind == Kind::LastMeasures);
    let closing = closing.map(|one| one.spot.from.measure).min();
    let place = |one: &Watched| {
        let measure = one.spot.from.measure;
        closing.map_or(measure, |closing| measure.min(closing))
    };
    let mut by_weight: Vec<&Watched> = list.iter().collect();
    by_weight.sort_by_key(|one| (core::cmp::Reverse(one.weight), key(one)));
    let mut chosen: Vec<&Watched> = Vec::new();
    for one in by_weight {
        let of_kind = chosen.iter().filter(|other| other.kind == one.kind).count();
        let told = chosen.iter().any(|other| place(other) == place(one));
        if chosen.len() < count && of_kind < MOST_OF_ONE_KIND && !told {
            chosen.push(one);
        }
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::{fold, strongest};
    use crate::thresholds::MAX_WATCHED;
    use crate::watched::{Kind, Watched};
    use cueleaf_guide::Spot;
    use std::collections::BTreeMap;

    fn at(kind: Kind, measure: usize, weight: u8) -> Watched {
        Watched {
            kind,
            spot: Spot::measures(measure, measure),
            from: format!("{measure} beat 1"),
            to: format!("{measure} beat 1"),
            weight,
            topic: kind.topic(),
            sentence: "A place.".to_owned(),
            tip: "A place.".to_owned(),
            cue: "here".to_owned(),
            numbers: BTreeMap::new(),
        }
    }

    #[test]
    fn a_list_has_a_limit_and_keeps_the_strongest() {
        let mut many: Vec<Watched> = (0..MAX_WATCHED + 5)
            .map(|measure| at(Kind::Fermata, measure, 10))
            .collect();
        many.push(at(Kind::Cut, MAX_WATCHED + 5, 70));
        let list = fold(many, "measure");
        assert_eq!(list.len(), MAX_WATCHED);
        assert_eq!(list.last().map(|one| one.kind), Some(Kind::Cut));
        assert!(list.is_sorted_by_key(|one| one.spot.from));
    }

    #[test]
    fn neighbours_fold_and_the_hardest_lends_its_weight() {
        let list = fold(
            vec![
                at(Kind::Leap, 3, 44),
                at(Kind::Leap, 1, 44),
                at(Kind::Leap, 2, 50),
                at(Kind::Leap, 5, 44),
            ],
            "measure",
        );
        let told: Vec<(&str, &str, u8)> = list
            .iter()
            .map(|one| (one.from.as_str(), one.to.as_str(), one.weight))
            .collect();
        assert_eq!(
            told,
            [("1 beat 1", "3 beat 1", 52), ("5 beat 1", "5 beat 1", 44)]
        );
        let sentence = list.first().map(|one| one.sentence.as_str());
        let expected = "A place. It comes 3 times up to measure 3, hardest in measure 2.";
        assert_eq!(sentence, Some(expected));
    }

    #[test]
    fn what_is_found_twice_is_told_once() {
        let twice = vec![at(Kind::Fermata, 1, 64), at(Kind::Fermata, 1, 64)];
        assert_eq!(fold(twice, "measure").len(), 1);
    }

    #[test]
    fn the_strongest_are_mixed() {
        let mut list: Vec<Watched> = (0..9)
            .map(|measure| at(Kind::Fermata, measure, 90))
            .collect();
        list.push(at(Kind::Cut, 20, 40));
        // What comes together in a measure is one place, and so are the last measures.
        list.push(at(Kind::TempoChange, 21, 80));
        list.push(at(Kind::MeterChange, 21, 70));
        list.push(at(Kind::LastMeasures, 30, 85));
        list.push(at(Kind::ToArco, 31, 79));
        let chosen: Vec<Kind> = strongest(&list, 10).iter().map(|one| one.kind).collect();
        let fermata = Kind::Fermata;
        let expected = [
            fermata,
            fermata,
            fermata,
            fermata,
            Kind::LastMeasures,
            Kind::TempoChange,
            Kind::Cut,
        ];
        assert_eq!(chosen, expected);
    }
}
