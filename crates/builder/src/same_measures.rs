//! Which measures of two road maps are the same, and where a place of one lies in the other.

mod content;

use self::content::Contents;
use core::cmp::Reverse;
use cueleaf_guide::{Guide, Measure, Place, Spot};
use std::collections::BTreeMap;

/// How many measures on either side are looked at where a printed number stands several times.
///
/// # Source
/// Our decision: about half a line of print.
const NEIGHBOURS: usize = 3;

/// How many measures with the same printed number are compared, the nearest ones.
///
/// # Source
/// Our decision: more movements than one file has.
const CANDIDATES: usize = 16;

/// For each measure of one road map, the measure of another that is the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Same(Vec<Option<usize>>);

impl Same {
    /// Compares two road maps: by printed numbers; where a number stands several times, by the
    /// neighbours; where it is absent or was corrected, by what lies between measures that are
    /// the same. Two of equal length whose numbers disagree with everything else that is printed
    /// are the same measure by measure, and where the numbers moved behind a measure that was put
    /// in or taken out, what is printed tells. The order of measures is kept.
    #[must_use]
    pub fn of(from: &[Measure], to: &[Measure]) -> Self {
        Self::told_by(from, to, &Contents::of_measures(from, to))
    }

    /// Compares the road maps of two guides; the marks of their parts tell measures, too.
    #[must_use]
    pub fn between(from: &Guide, to: &Guide) -> Self {
        let contents = Contents::of_guides(from, to);
        Self::told_by(&from.road_map.measures, &to.road_map.measures, &contents)
    }

    fn told_by(from: &[Measure], to: &[Measure], contents: &Contents) -> Self {
        let labelled = filled(in_order(&by_label(from, to)), to.len());
        if from.len() == to.len() {
            let straight: Vec<Option<usize>> = (0..from.len()).map(Some).collect();
            if agreeing(from, to, &straight) > agreeing(from, to, &labelled) {
                return Self(straight);
            }
        }
        if let Some(laid) = contents.laid_beside()
            && contents.speaks_for(&laid, &labelled)
        {
            return Self(laid);
        }
        Self(labelled)
    }

    /// Gives the same measure.
    #[must_use]
    pub fn measure(&self, index: usize) -> Option<usize> {
        self.0.get(index).copied().flatten()
    }

    /// Gives the measures that are the same, in order: the one and the other.
    pub fn pairs(&self) -> impl Iterator<Item = (usize, usize)> {
        let all = self.0.iter().enumerate();
        all.filter_map(|(index, own)| Some((index, (*own)?)))
    }

    /// Gives the same place.
    #[must_use]
    pub fn place(&self, place: Place) -> Option<Place> {
        let measure = self.measure(place.measure)?;
        Some(Place { measure, ..place })
    }

    /// Gives the same end of something that begins at a measure and goes to a place outside of
    /// it, such as a rest or a rit. The start of a measure is the end of the one before it, so
    /// that the end of the piece has a place, too. An end that is nowhere is drawn back to the
    /// last measure before it that is somewhere.
    #[must_use]
    pub fn end(&self, from: usize, end: Place) -> Option<Place> {
        let before = end.measure.checked_sub(1).filter(|_| end.at.is_zero());
        let inside = before.filter(|last| *last >= from);
        if let Some(last) = inside.and_then(|last| self.measure(last)) {
            return Some(Place::start_of(last.saturating_add(1)));
        }
        self.place(end).or_else(|| {
            let last = self.last_of(from, end.measure)?;
            Some(Place::start_of(last.saturating_add(1)))
        })
    }

    /// Gives the same spot. An end that is nowhere is drawn back to the last measure before it
    /// that is somewhere.
    #[must_use]
    pub fn spot(&self, spot: &Spot) -> Option<Spot> {
        let from = self.place(spot.from)?;
        let drawn_back = |to: Place| {
            let last = self.last_of(spot.from.measure, to.measure);
            let to = Place::start_of(last.unwrap_or(from.measure));
            // The whole of one measure needs no end, its rest from a beat on does.
            (to != from).then_some(to)
        };
        let to = spot
            .to
            .and_then(|to| self.place(to).or_else(|| drawn_back(to)));
        Some(Spot { from, to })
    }

    /// Gives the same as the last measure of a stretch that is somewhere; the end is outside.
    fn last_of(&self, from: usize, end: usize) -> Option<usize> {
        let end = end.min(self.0.len());
        (from..end).rev().find_map(|index| self.measure(index))
    }

    /// Gives the measure nearest to one that is nowhere: the last before it that is somewhere,
    /// else the first.
    #[must_use]
    pub fn near(&self, index: usize) -> usize {
        let before = self.0.iter().take(index.saturating_add(1)).rev();
        before.copied().flatten().next().unwrap_or(0)
    }
}

/// Picks for each measure the one with its printed number whose neighbours agree most.
fn by_label(from: &[Measure], to: &[Measure]) -> Vec<Option<usize>> {
    let mut places: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (index, measure) in to.iter().enumerate() {
        let label = measure.label.trim();
        if !label.is_empty() {
            places.entry(label).or_default().push(index);
        }
    }
    let pick = |(index, measure): (usize, &Measure)| {
        let all = places.get(measure.label.trim())?;
        if let [only] = all.as_slice() {
            return Some(*only);
        }
        let middle = all.partition_point(|own| *own < index);
        let start = middle.saturating_sub(CANDIDATES / 2);
        let near = all.iter().skip(start).take(CANDIDATES).copied();
        near.max_by_key(|own| {
            let likeness = likeness(from, index, to, *own);
            (likeness, Reverse(own.abs_diff(index)))
        })
    };
    from.iter().enumerate().map(pick).collect()
}

/// Counts in how much the surroundings of two measures agree.
fn likeness(from: &[Measure], index: usize, to: &[Measure], other: usize) -> usize {
    let near = |measures, own: usize, away: usize| {
        let at = (own + away).checked_sub(NEIGHBOURS)?;
        <[Measure]>::get(measures, at)
    };
    (0..=2 * NEIGHBOURS)
        .map(
            |away| match (near(from, index, away), near(to, other, away)) {
                (Some(one), Some(two)) => {
                    usize::from(one.label.trim() == two.label.trim())
                        + 2 * usize::from(alike(one, two))
                }
                (None, None) => 1,
                _ => 0,
            },
        )
        .sum()
}

/// Tells whether something is printed at two measures, and the same.
fn alike(one: &Measure, two: &Measure) -> bool {
    let printed = one.meter.is_some()
        || one.key.is_some()
        || one.section.is_some()
        || one.mark.is_some()
        || one.repeat_from
        || one.repeat_back.is_some()
        || !one.ending.is_empty()
        || !one.tempo.is_empty();
    let words = |own: &Measure| -> Vec<String> {
        let words = own.tempo.iter().map(|mark| mark.words.trim().to_owned());
        words.collect()
    };
    printed
        && one.meter == two.meter
        && one.key == two.key
        && one.section == two.section
        && one.mark == two.mark
        && one.repeat_from == two.repeat_from
        && one.repeat_back == two.repeat_back
        && one.ending == two.ending
        && words(one) == words(two)
}

/// Counts the measures at which the same is printed.
fn agreeing(from: &[Measure], to: &[Measure], same: &[Option<usize>]) -> usize {
    let pairs = from.iter().zip(same);
    let agree = |(one, other): &(&Measure, &Option<usize>)| {
        other
            .and_then(|other| to.get(other))
            .is_some_and(|other| alike(one, other))
    };
    pairs.filter(agree).count()
}

/// Leaves of what was picked the longest row that keeps the order of the measures.
///
/// # Source
/// The longest increasing subsequence by piles, as in patience sorting (from memory).
fn in_order(picked: &[Option<usize>]) -> Vec<Option<usize>> {
    // Of each length the row that ends lowest, by the place of its last member.
    let mut ends: Vec<(usize, usize)> = Vec::new();
    let mut before: Vec<Option<usize>> = vec![None; picked.len()];
    for (index, other) in picked.iter().enumerate() {
        let Some(other) = *other else { continue };
        let pile = ends.partition_point(|(end, _)| *end < other);
        let last = pile.checked_sub(1).and_then(|pile| ends.get(pile));
        if let Some(own) = before.get_mut(index) {
            *own = last.map(|(_, index)| *index);
        }
        match ends.get_mut(pile) {
            Some(end) => *end = (other, index),
            None => ends.push((other, index)),
        }
    }
    let mut kept = vec![None; picked.len()];
    let mut next = ends.last().map(|(_, index)| *index);
    while let Some(index) = next {
        if let (Some(own), Some(other)) = (kept.get_mut(index), picked.get(index)) {
            *own = *other;
        }
        next = before.get(index).copied().flatten();
    }
    kept
}

/// Fills what lies between two measures that are the same, or before the first or after the
/// last, where as many measures lie there in both.
fn filled(mut same: Vec<Option<usize>>, count: usize) -> Vec<Option<usize>> {
    let length = same.len();
    let anchors: Vec<(usize, usize)> = same
        .iter()
        .enumerate()
        .filter_map(|(index, other)| Some((index, (*other)?)))
        .chain([(length, count)])
        .collect();
    let (mut from, mut to) = (0, 0);
    for (index, other) in anchors {
        if index - from == other - to {
            let gap = same.iter_mut().take(index).skip(from);
            for (own, other) in gap.zip(to..) {
                *own = Some(other);
            }
        }
        (from, to) = (index + 1, other + 1);
    }
    same
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Extra, Id, Mark, MarkKind, Part};
    use cueleaf_time::BeatSpan;

    fn measures(labels: &str) -> Vec<Measure> {
        let label = |own: &str| Measure::labelled(if own == "_" { "" } else { own });
        labels.split_whitespace().map(label).collect()
    }

    fn same(from: &str, to: &str) -> Vec<Option<usize>> {
        Same::of(&measures(from), &measures(to)).0
    }

    #[test]
    fn measures_are_found_by_their_printed_numbers() {
        assert_eq!(same("1 2 3", "0 1 2 3"), [Some(1), Some(2), Some(3)]);
        assert_eq!(same("1 2 3 4", "1 2 4"), [Some(0), Some(1), None, Some(2)]);
        assert_eq!(same("1 2", ""), [None, None]);
        assert_eq!(same("", "1 2"), []);
    }

    #[test]
    fn numbers_that_stand_twice_are_told_by_their_neighbours() {
        // Two movements, each numbered from 1; the second edition has a measure more in the first.
        let found = same("1 2 3 1 2 3 4", "1 2 3 4 1 2 3 4");
        let expected = [0, 1, 2, 4, 5, 6, 7].map(Some);
        assert_eq!(found, expected);
    }

    #[test]
    fn a_number_that_is_absent_or_corrected_is_told_by_what_lies_around() {
        let found = same("1 2 _ 4", "1 2 3 4");
        assert_eq!(found, [0, 1, 2, 3].map(Some));
        let found = same("1 2 33 4", "1 2 3 4");
        assert_eq!(found, [0, 1, 2, 3].map(Some));
        // Nothing is numbered: only the whole can be compared.
        assert_eq!(same("_ _", "_ _"), [Some(0), Some(1)]);
        assert_eq!(same("_ _", "_ _ _"), [None, None]);
    }

    #[test]
    fn an_edition_that_counts_otherwise_is_the_same_measure_by_measure() {
        // The pickup is counted now, so that every number is one higher.
        let mut from = measures("0 1 2 3 4 5");
        let mut to = measures("1 2 3 4 5 6");
        for (index, meter) in [(0, "4/4"), (2, "5/8"), (4, "3/4")] {
            from[index].meter = meter.parse().ok();
            to[index].meter = meter.parse().ok();
        }
        assert_eq!(Same::of(&from, &to).0, [0, 1, 2, 3, 4, 5].map(Some));
    }

    /// Measures numbered through, with meters and marks at some.
    fn printed(labels: usize, at: &[(usize, &str, &str)]) -> Vec<Measure> {
        let mut made: Vec<Measure> = (0..labels)
            .map(|own| Measure::labelled(&own.to_string()))
            .collect();
        for (index, meter, mark) in at {
            made[*index].meter = meter.parse().ok();
            made[*index].mark = (!mark.is_empty()).then(|| (*mark).to_owned());
        }
        made
    }

    #[test]
    fn numbers_that_moved_behind_a_measure_put_in_are_told_by_what_is_printed() {
        let from = printed(
            38,
            &[
                (0, "6/8", ""),
                (10, "", "A"),
                (27, "2/4", "C"),
                (33, "", "D"),
            ],
        );
        let to = printed(
            39,
            &[
                (0, "6/8", ""),
                (10, "", "A"),
                (28, "2/4", "C"),
                (34, "", "D"),
            ],
        );
        let same = Same::of(&from, &to);
        assert_eq!((same.measure(10), same.measure(12)), (Some(10), Some(12)));
        assert_eq!((same.measure(27), same.measure(37)), (Some(28), Some(38)));
        let back = Same::of(&to, &from);
        assert_eq!((back.measure(28), back.measure(38)), (Some(27), Some(37)));
        // One thing alone may have been corrected; the numbers stay right.
        let to = printed(39, &[(0, "6/8", ""), (10, "", "A"), (28, "", "C")]);
        assert_eq!(Same::of(&from, &to).measure(27), Some(27));
    }

    #[test]
    fn the_marks_of_a_part_tell_where_a_measure_was_put_in() {
        let guide = |count: usize, signs: &[usize]| {
            let mut guide = Guide::new(Id::new("g").unwrap(), "");
            guide.road_map.measures = printed(count, &[]);
            let mark = |measure: &usize| Mark {
                measure: *measure,
                at: BeatSpan::ZERO,
                kind: MarkKind::Dynamic,
                to: None,
                text: format!("p{}", measure % 2),
                extra: Extra::default(),
            };
            guide.parts = vec![Part {
                id: Id::new("va").unwrap(),
                name: format!("Part of {count}"),
                marks: signs.iter().map(mark).collect(),
                extra: Extra::default(),
            }];
            guide
        };
        let from = guide(20, &[2, 4, 7, 9, 11, 13, 15, 17]);
        let mut to = guide(21, &[2, 4, 8, 10, 12, 14, 16, 18]);
        for mark in &mut to.parts[0].marks[2..] {
            mark.text = "p1".to_owned();
        }
        let same = Same::between(&from, &to);
        assert_eq!((same.measure(4), same.measure(7)), (Some(4), Some(8)));
        assert_eq!(same.measure(19), Some(20));
        assert_eq!(
            Same::of(&from.road_map.measures, &to.road_map.measures).measure(7),
            Some(7)
        );
    }

    #[test]
    fn spots_move_along_and_their_ends_are_drawn_back() {
        let same = Same::of(&measures("1 2 3 4"), &measures("0 1 2 4"));
        let moved = |first, last| same.spot(&Spot::measures(first, last));
        assert_eq!(moved(0, 1), Some(Spot::measures(1, 2)));
        assert_eq!(moved(0, 2), Some(Spot::measures(1, 2)));
        assert_eq!(moved(1, 2), Some(Spot::measures(2, 2)));
        assert_eq!(moved(2, 3), None);
        assert_eq!((same.near(2), same.near(9)), (2, 3));
        // "2 beat 3 to 2", and "2 beat 3 to 3" without a measure 3.
        let at = "2".parse::<BeatSpan>().unwrap();
        let tail = |measure, to| Spot {
            from: Place { measure, at },
            to: Some(Place::start_of(to)),
        };
        assert_eq!(same.spot(&tail(1, 1)), Some(tail(2, 2)));
        assert_eq!(same.spot(&tail(1, 2)), Some(tail(2, 2)));
    }

    #[test]
    fn ends_that_are_outside_have_a_place_at_the_end_of_the_piece_too() {
        let same = Same::of(&measures("1 2 3 4"), &measures("0 1 2 4"));
        let end = |from, end| same.end(from, Place::start_of(end));
        assert_eq!(end(0, 1), Some(Place::start_of(2)));
        // Measure 3 is gone.
        assert_eq!(end(0, 2), Some(Place::start_of(3)));
        assert_eq!(end(0, 3), Some(Place::start_of(3)));
        assert_eq!(end(2, 3), Some(Place::start_of(3)));
        assert_eq!(end(0, 4), Some(Place::start_of(4)));
        // What ends inside a measure ends inside it, or where the last before it does.
        let at = "2".parse::<BeatSpan>().unwrap();
        let inside = |measure| Place { measure, at };
        assert_eq!(same.end(0, inside(1)), Some(inside(2)));
        assert_eq!(same.end(1, inside(2)), Some(Place::start_of(3)));
        assert_eq!(same.end(2, inside(2)), None);
        assert_eq!(
            same.end(0, Place::start_of(usize::MAX)),
            Some(Place::start_of(4))
        );
    }
}
