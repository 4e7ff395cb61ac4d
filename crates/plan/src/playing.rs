//! The plan: measures in the order of play on a line of seconds.

use crate::count::{Count, counts_of};
use crate::order::{Played, ordered};
use crate::repeats::RepeatSign;
use crate::tempo_map::{Sum, TempoMap, held_at};
use cueleaf_guide::{
    Checked, Finding, Guide, Hold, Laid, Layout, Mark, MarkKind, RoadMap, Severity, Tell, lay_out,
};
use cueleaf_time::{BeatPos, BeatSpan, Seconds};

/// A guide made playable.
#[derive(Debug, Clone)]
pub struct Plan {
    layout: Layout,
    tempo: TempoMap,
    order: Vec<Played>,
    /// The signs that go back, in order of measure.
    repeats: Vec<RepeatSign>,
    /// The start of each played measure, and the end of the last.
    starts: Vec<f64>,
    marks: Vec<Mark>,
    /// The holds of the written measures that have some, in order of measure.
    holds: Vec<(usize, Vec<Hold>)>,
}

/// Where play is at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instant {
    /// The index in the order of play.
    pub played: usize,
    /// How far into the measure, in quarter notes.
    pub quarters: f64,
    /// The index of the count that is sounding, from 0.
    pub count: usize,
    /// How far through that count, from 0 to 1.
    pub part: f64,
}

impl Plan {
    /// Makes a guide playable. What does not fit is assumed and found.
    ///
    /// With exactly one part in the guide, that part's changes of playing are
    /// announced, too.
    #[must_use]
    pub fn new(guide: &Guide) -> Checked<Self> {
        let laid = lay_out(&guide.road_map, &guide.settings);
        let ordered = ordered(&guide.road_map);
        let (order, repeats) = ordered.value;
        let layout = laid.value;
        let tempo = TempoMap::new(&guide.road_map, &layout);
        let mut findings = laid.findings;
        findings.extend(ordered.findings);
        long_holds(&guide.road_map, &layout, &tempo, &mut findings);
        let starts = starts_of(&layout, &tempo, &order);
        let marks = match guide.parts.as_slice() {
            [part] => part.marks.clone(),
            _ => Vec::new(),
        };
        let measures = guide.road_map.measures.iter().enumerate();
        let holds = measures
            .filter(|(_, measure)| !measure.holds.is_empty())
            .map(|(index, measure)| (index, measure.holds.clone()))
            .collect();
        Checked {
            value: Self {
                layout,
                tempo,
                order,
                repeats,
                starts,
                marks,
                holds,
            },
            findings,
        }
    }

    /// Gives the measures in written order.
    #[must_use]
    pub const fn layout(&self) -> &Layout {
        &self.layout
    }

    /// Gives the tempo of the written line.
    #[must_use]
    pub const fn tempo(&self) -> &TempoMap {
        &self.tempo
    }

    /// Gives the order of play.
    #[must_use]
    pub fn order(&self) -> &[Played] {
        &self.order
    }

    /// Gives the signs that go back, in order of measure.
    #[must_use]
    pub fn repeats(&self) -> &[RepeatSign] {
        &self.repeats
    }

    /// Gives the sign at the end of a written measure that goes back.
    #[must_use]
    pub fn repeat_at(&self, measure: usize) -> Option<RepeatSign> {
        let found = self
            .repeats
            .binary_search_by_key(&measure, |own| own.measure);
        self.repeats.get(found.ok()?).copied()
    }

    /// Gives the written measure that is played at an index of the order.
    #[must_use]
    pub fn measure(&self, played: usize) -> Option<&Laid> {
        self.layout.get(self.order.get(played)?.measure)
    }

    /// Finds where a written measure is played for the first time; for a
    /// measure that is never played, the first one after it that is.
    #[must_use]
    pub fn first_played(&self, measure: usize) -> Option<usize> {
        let exact = self.order.iter().position(|own| own.measure == measure);
        exact.or_else(|| self.order.iter().position(|own| own.measure > measure))
    }

    /// Gives the counts of a played measure in order.
    #[must_use]
    pub fn counts(&self, played: usize) -> Vec<Count> {
        self.measure(played).map(counts_of).unwrap_or_default()
    }

    /// Gives the second at which a played measure starts; the index after the
    /// last gives the end.
    #[must_use]
    pub fn start_of(&self, played: usize) -> Seconds {
        let index = played.min(self.order.len());
        self.starts
            .get(index)
            .and_then(|start| Seconds::new(*start))
            .unwrap_or(Seconds::ZERO)
    }

    /// Gives the length of the whole in seconds.
    #[must_use]
    pub fn end(&self) -> Seconds {
        self.start_of(self.order.len())
    }

    /// Gives the second of an offset inside a played measure; `None` outside.
    #[must_use]
    pub fn seconds_of(&self, played: usize, at: BeatSpan) -> Option<Seconds> {
        let laid = self.measure(played)?;
        if at.is_zero() {
            return Some(self.start_of(played));
        }
        let position = laid.start.plus(at.min(laid.length)).ok()?;
        let inside = self.between(laid.start, position);
        Seconds::new(self.start_of(played).get() + inside)
    }

    fn between(&self, from: BeatPos, to: BeatPos) -> f64 {
        self.tempo.seconds_at(to).get() - self.tempo.seconds_at(from).get()
    }

    /// Tells where play is after some seconds; `None` before the start and from
    /// the end on.
    #[must_use]
    pub fn at(&self, seconds: Seconds) -> Option<Instant> {
        if seconds < Seconds::ZERO || seconds >= self.end() {
            return None;
        }
        let next = self.starts.partition_point(|start| *start <= seconds.get());
        let played = next.checked_sub(1)?.min(self.order.len().checked_sub(1)?);
        let laid = self.measure(played)?;
        let written = self.tempo.seconds_at(laid.start).get();
        let inside = Seconds::new(written + seconds.get() - self.start_of(played).get())?;
        let start = laid.start.quarters().to_f64();
        let length = laid.length.quarters().to_f64();
        let quarters = (self.tempo.quarters_after(inside) - start).clamp(0.0, length);
        let counts = laid.beats.beats();
        let after = counts.partition_point(|beat| beat.at.quarters().to_f64() <= quarters + NEAR);
        let count = after.saturating_sub(1);
        let part = counts.get(count).map_or(0.0, |beat| {
            let length = beat.length.quarters().to_f64();
            ((quarters - beat.at.quarters().to_f64()) / length).clamp(0.0, 1.0)
        });
        Some(Instant {
            played,
            quarters,
            count,
            part,
        })
    }

    /// Gives the marks of the part, when the guide has exactly one.
    pub(crate) fn marks(&self) -> &[Mark] {
        &self.marks
    }

    /// Gives the holds of a played measure, in order.
    pub(crate) fn holds(&self, played: usize) -> &[Hold] {
        let found = self.order.get(played).and_then(|own| {
            let measure = own.measure;
            let index = self.holds.binary_search_by_key(&measure, |(at, _)| *at);
            self.holds.get(index.ok()?)
        });
        found.map_or(&[], |(_, holds)| holds.as_slice())
    }

    /// Gives where in a played measure time stands still for a while, from the start of
    /// the measure, in order.
    #[must_use]
    pub fn stops(&self, played: usize) -> Vec<BeatSpan> {
        let Some(laid) = self.measure(played) else {
            return Vec::new();
        };
        let lasting = self.holds(played).iter().filter(|hold| {
            let longer = hold.longer.unwrap_or(BeatSpan::ZERO);
            !longer.is_zero()
        });
        let mut stops: Vec<BeatSpan> = lasting.map(|hold| held_at(laid, hold)).collect();
        stops.sort_unstable();
        stops.dedup();
        stops
    }

    /// Gives the changes of playing (pizz., arco, mutes) in a written measure with their places in
    /// it, in order, where another measure is played before it. What is so already is none.
    pub(crate) fn playing_changes(
        &self,
        before: usize,
        measure: usize,
    ) -> Vec<(BeatSpan, MarkKind)> {
        let last = |pair| {
            let marks = self.marks.iter();
            let own =
                marks.filter(|mark| mark.measure <= before && pair_of(mark.kind) == Some(pair));
            own.max_by_key(|mark| (mark.measure, mark.at))
                .map(|mark| mark.kind)
        };
        let marks = self.marks.iter().enumerate();
        let mut marks: Vec<(usize, &Mark)> =
            marks.filter(|(_, mark)| mark.measure == measure).collect();
        marks.sort_unstable_by_key(|(index, mark)| (mark.at, *index));
        let mut changes = Vec::new();
        let mut now: [Option<Option<MarkKind>>; 2] = [None; 2];
        for (_, mark) in marks {
            let Some(pair) = pair_of(mark.kind) else {
                continue;
            };
            let [hand, mute] = &mut now;
            let state = match pair {
                Pair::Hand => hand,
                Pair::Mute => mute,
            };
            if *state.get_or_insert_with(|| last(pair)) != Some(mark.kind) {
                changes.push((mark.at, mark.kind));
            }
            *state = Some(Some(mark.kind));
        }
        changes
    }
}

/// What a change of playing is about: of each pair one holds at a time.
#[derive(Clone, Copy, PartialEq)]
enum Pair {
    /// Pizz. or arco.
    Hand,
    /// With the mute or without.
    Mute,
}

const fn pair_of(kind: MarkKind) -> Option<Pair> {
    match kind {
        MarkKind::Pizz | MarkKind::Arco => Some(Pair::Hand),
        MarkKind::MuteOn | MarkKind::MuteOff => Some(Pair::Mute),
        _ => None,
    }
}

/// How near to a beat, in quarter notes, a moment counts as on it: far below
/// anything audible, above the rounding of seconds.
const NEAR: f64 = 1e-9;

/// The longest fermata that is not asked about, in seconds.
///
/// # Source
/// Our decision: no bow and no breath lasts as long.
const LONGEST_HOLD: f64 = 60.0;

fn long_holds(road_map: &RoadMap, layout: &Layout, tempo: &TempoMap, findings: &mut Vec<Finding>) {
    // Nothing is told where nothing is shown: see `Tell`.
    if cfg!(cueleaf_lean) {
        return;
    }
    for (index, measure) in road_map.measures.iter().enumerate() {
        let is_long = |hold: &Hold| {
            let laid = layout.get(index)?;
            let place = laid.start.plus(held_at(laid, hold)).ok()?;
            let quarters = hold.longer?.quarters().to_f64();
            let seconds = 60.0 * quarters / tempo.quarters_per_minute_at(place);
            Some(seconds > LONGEST_HOLD)
        };
        if measure.holds.iter().any(|hold| is_long(hold) == Some(true)) {
            findings.tell(|| {
                Finding::new(
                    Severity::Warning,
                    "fermata-very-long",
                    "a fermata in this measure lasts more than a minute",
                )
                .hint("say how many quarters longer than written it is held")
                .field("holds")
                .at_measure(index, &measure.label)
            });
        }
    }
}

fn starts_of(layout: &Layout, tempo: &TempoMap, order: &[Played]) -> Vec<f64> {
    let mut sum = Sum::default();
    let mut starts = Vec::with_capacity(order.len() + 1);
    for played in order {
        starts.push(sum.get());
        let Some(laid) = layout.get(played.measure) else {
            continue;
        };
        let end = laid.start.plus(laid.length).unwrap_or(laid.start);
        sum.add(tempo.seconds_at(end).get() - tempo.seconds_at(laid.start).get());
    }
    starts.push(sum.get());
    starts
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use cueleaf_guide::{Id, Measure, TempoMark};

    /// A pickup, 5/8 in 2+3 and a repeated measure of 3/4.
    pub(crate) fn guide() -> Guide {
        let mut guide = Guide::new(Id::new("g").unwrap(), "Test");
        let tempo = |text: &str| {
            vec![TempoMark::at_once(
                BeatSpan::ZERO,
                "",
                text.parse().unwrap(),
            )]
        };
        guide.road_map.measures = vec![
            Measure {
                meter: Some("3/4".parse().unwrap()),
                length: Some("1".parse().unwrap()),
                pickup: true,
                tempo: tempo("quarter = 60"),
                ..Measure::labelled("0")
            },
            Measure {
                meter: Some("5/8".parse().unwrap()),
                groups: Some("2+3".parse().unwrap()),
                ..Measure::labelled("1")
            },
            Measure {
                meter: Some("3/4".parse().unwrap()),
                tempo: tempo("quarter = 120"),
                repeat_from: true,
                repeat_back: Some(2),
                ..Measure::labelled("2")
            },
        ];
        guide
    }

    #[test]
    fn measures_lie_on_the_seconds() {
        let plan = Plan::new(&guide()).value;
        let starts: Vec<f64> = (0..=4).map(|k| plan.start_of(k).get()).collect();
        assert_eq!(starts, [0.0, 1.0, 3.5, 5.0, 6.5]);
        assert_eq!(plan.end(), Seconds::new(6.5).unwrap());
        let instant = plan.at(Seconds::new(1.75).unwrap()).unwrap();
        assert_eq!((instant.played, instant.count), (1, 1));
        assert!((instant.part - 0.5).abs() < 1e-9);
        assert!(plan.at(Seconds::new(-0.1).unwrap()).is_none());
        assert!(plan.at(Seconds::new(6.5).unwrap()).is_none());
        let second_pass = plan.at(Seconds::new(5.5).unwrap()).unwrap();
        assert_eq!((second_pass.played, second_pass.count), (3, 1));
        assert_eq!(plan.seconds_of(3, "1".parse().unwrap()), Seconds::new(5.5));
        assert_eq!(plan.first_played(2), Some(2));
    }
    #[test]
    fn time_stands_still_where_a_hold_lasts() {
        let mut guide = guide();
        let hold = |at: &str, longer: Option<&str>| {
            Hold::new(
                at.parse().unwrap(),
                longer.map(|span| span.parse().unwrap()),
            )
        };
        // One that nobody chose a length for, and one beyond the barline, which holds the
        // last beat.
        guide.road_map.measures[1].holds = vec![hold("1/2", None), hold("9", Some("1"))];
        let plan = Plan::new(&guide).value;
        assert_eq!(plan.stops(1), ["2".parse().unwrap()]);
        let codes = |guide: &Guide| {
            let found = Plan::new(guide).findings;
            found.iter().map(|own| own.code).collect::<Vec<_>>()
        };
        assert!(codes(&guide).is_empty());
        // At 60 quarters a minute: a second for each, and the one that is written.
        guide.road_map.measures[1].holds = vec![hold("2", Some("60"))];
        assert!(codes(&guide).is_empty());
        guide.road_map.measures[1].holds = vec![hold("2", Some("61"))];
        assert_eq!(codes(&guide), ["fermata-very-long"]);
        assert!(plan.stops(0).is_empty() && plan.stops(99).is_empty());
    }
}
