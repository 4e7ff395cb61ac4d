//! Long rests: counted with the measure's number in the place of "one".

use crate::count::Count;
use crate::playing::Plan;
use crate::say::Say;
use cueleaf_guide::MarkKind;
use cueleaf_time::BeatSpan;

/// A measure inside a printed block of rest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestCount {
    /// Which measure of the block it is, from 1.
    pub number: u16,
    /// How many whole measures the block has.
    pub of: u16,
    /// The counts of the measure; the first says the number of the measure.
    pub counts: Vec<Count>,
    /// When the part comes in again; `None` when it does not.
    pub entry: Option<Entry>,
}

/// Where a part comes in after a rest: "rest 7, come in on 2 of the 8th".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Entry {
    /// The index of the written measure.
    pub measure: usize,
    /// How far into it, in quarter notes.
    pub at: BeatSpan,
    /// The number said there; `None` between two counts.
    pub say: Option<Say>,
}

impl Plan {
    /// Tells which measure of which printed rest a played measure is; `None`
    /// when the part plays, or when the guide has not exactly one part.
    ///
    /// The numbering runs on through a block, also over a change of meter.
    ///
    /// # Source
    /// 1 2 3 4, 2 2 3 4, 3 2 3 4: Multiple measure rests, band lesson; common practice.
    #[must_use]
    pub fn rest_at(&self, played: usize) -> Option<RestCount> {
        let measure = self.order().get(played)?.measure;
        let end = self.layout().measures().len();
        let mark = self.marks().iter().find(|mark| {
            let last = mark.to.map_or(mark.measure + 1, |to| to.measure);
            mark.kind == MarkKind::Rest && mark.measure <= measure && measure < last
        })?;
        let first = if mark.at.is_zero() {
            mark.measure
        } else {
            mark.measure + 1
        };
        let number = u16::try_from(measure.checked_sub(first)? + 1).ok()?;
        let last = mark.to.map_or(mark.measure + 1, |to| to.measure);
        let of = u16::try_from(last.checked_sub(first)?).ok()?;
        let mut counts = self.counts(played);
        if let Some(one) = counts.first_mut() {
            one.say = Say::number(number);
        }
        let at = mark.to.map_or(BeatSpan::ZERO, |to| to.at);
        let entry = (last < end).then(|| Entry {
            measure: last,
            at,
            say: self.layout().get(last).and_then(|laid| {
                let counts = crate::counts_of(laid);
                counts
                    .iter()
                    .find(|count| count.at == at)
                    .map(|count| count.say)
            }),
        });
        Some(RestCount {
            number,
            of,
            counts,
            entry,
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::{Plan, Say};
    use cueleaf_guide::{Extra, Guide, Id, Mark, MarkKind, Measure, Part, Place};

    fn plan(meters: &[Option<&str>], from: &str, to: Place) -> Plan {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = meters
            .iter()
            .map(|meter| Measure {
                meter: meter.map(|meter| meter.parse().unwrap()),
                ..Measure::default()
            })
            .collect();
        guide.parts = vec![Part {
            id: Id::new("p").unwrap(),
            name: String::new(),
            marks: vec![Mark {
                measure: 0,
                at: from.parse().unwrap(),
                kind: MarkKind::Rest,
                to: Some(to),
                text: String::new(),
                extra: Extra::default(),
            }],
            extra: Extra::default(),
        }];
        Plan::new(&guide).value
    }

    fn said(plan: &Plan) -> String {
        let rows: Vec<String> = (0..plan.order().len())
            .filter_map(|played| plan.rest_at(played))
            .map(|rest| {
                let counts: Vec<String> = rest
                    .counts
                    .iter()
                    .map(|count| count.say.to_string())
                    .collect();
                counts.join(" ")
            })
            .collect();
        rows.join(" | ")
    }

    /// Source: Multiple measure rests, band lesson.
    #[test]
    fn the_number_of_the_measure_takes_the_place_of_one() {
        let place = Place {
            measure: 5,
            at: "1".parse().unwrap(),
        };
        let plan = plan(&[Some("4/4"), None, None, None, None, None], "0", place);
        assert_eq!(
            said(&plan),
            "1 2 3 4 | 2 2 3 4 | 3 2 3 4 | 4 2 3 4 | 5 2 3 4"
        );
        let rest = plan.rest_at(2).unwrap();
        assert_eq!((rest.number, rest.of), (3, 5));
        let entry = rest.entry.unwrap();
        assert_eq!((entry.measure, entry.say), (5, Some(Say::number(2))));
        assert_eq!(plan.rest_at(5), None);
    }

    /// By the rule of the same source; common practice.
    #[test]
    fn the_numbering_runs_on_over_a_change_of_meter() {
        let plan = plan(&[Some("3/4"), None, Some("2/4")], "0", Place::start_of(3));
        assert_eq!(said(&plan), "1 2 3 | 2 2 3 | 3 2");
        assert_eq!(plan.rest_at(0).unwrap().entry, None);
    }

    #[test]
    fn a_rest_that_starts_inside_a_measure_counts_from_the_next() {
        let plan = plan(&[Some("3/4"), None, None, None], "1", Place::start_of(3));
        assert_eq!(said(&plan), "1 2 3 | 2 2 3");
        assert_eq!(plan.rest_at(0), None);
    }
}
