//! Long rests: counted with the measure's number in the place of "one".

use crate::count::Count;
use crate::playing::Plan;
use crate::say::Say;
use cueleaf_guide::{Mark, MarkKind};
use cueleaf_time::BeatSpan;

/// A measure inside a printed block of rest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestCount {
    /// Which of the measures played of the block it is, from 1.
    pub number: u16,
    /// How many whole measures are played of the block in a row.
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
    /// The numbering runs on through a block, also over a change of meter, by the measures
    /// that are played of it one after the other.
    ///
    /// # Source
    /// 1 2 3 4, 2 2 3 4, 3 2 3 4: Multiple measure rests, band lesson; common practice.
    #[must_use]
    pub fn rest_at(&self, played: usize) -> Option<RestCount> {
        let order = self.order();
        let written = |played: usize| order.get(played).map(|own| own.measure);
        let measure = written(played)?;
        let mark = self.resting(measure)?;
        // What begins inside a measure is numbered from the next; what is left out or lies behind
        // a leap is not waited for.
        let first = mark.measure + usize::from(!mark.at.is_zero());
        let to = rested_to(mark);
        if measure < first {
            return None;
        }
        let goes_on = |now: usize| match (written(now), written(now + 1)) {
            (Some(now), Some(next)) => first <= now && now < next && next < to,
            _ => false,
        };
        let (mut before, mut after) = (played, played);
        while before > 0 && goes_on(before - 1) {
            before -= 1;
        }
        while goes_on(after) {
            after += 1;
        }
        let number = u16::try_from(played - before + 1).ok()?;
        let of = u16::try_from(after - before + 1).ok()?;
        let mut counts = self.counts(played);
        if let Some(one) = counts.first_mut() {
            one.say = Say::number(number);
        }
        let entry = written(after + 1).and_then(|next| {
            let at = mark.to.filter(|to| to.measure == next);
            let at = at.map_or(BeatSpan::ZERO, |to| to.at);
            // Where one printed rest follows another, nobody comes in between.
            if at.is_zero()
                && self
                    .resting(next)
                    .is_some_and(|mark| mark.measure < next || mark.at.is_zero())
            {
                return None;
            }
            let counts = crate::counts_of(self.layout().get(next)?);
            let on = counts.iter().find(|count| count.at == at);
            Some(Entry {
                measure: next,
                at,
                say: on.map(|count| count.say),
            })
        });
        Some(RestCount {
            number,
            of,
            counts,
            entry,
        })
    }

    /// Gives the printed rest in which a written measure lies.
    fn resting(&self, measure: usize) -> Option<&Mark> {
        self.marks().iter().find(|mark| {
            mark.kind == MarkKind::Rest && mark.measure <= measure && measure < rested_to(mark)
        })
    }
}

/// Gives the written measure up to which a printed rest lasts.
fn rested_to(mark: &Mark) -> usize {
    mark.to.map_or(mark.measure + 1, |to| to.measure)
}

#[cfg(test)]
mod tests {
    use crate::{Plan, Say};
    use cueleaf_guide::{Extra, Guide, Id, Mark, MarkKind, Measure, Part, Place};

    fn plan(meters: &[Option<&str>], from: &str, to: Place) -> Plan {
        Plan::new(&guide(meters, from, to)).value
    }

    fn guide(meters: &[Option<&str>], from: &str, to: Place) -> Guide {
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
        guide
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

    /// What is left out, or lies behind a leap, is neither counted nor waited for; where one rest
    /// follows another nobody comes in.
    #[test]
    fn only_what_is_played_is_counted() {
        let told = |cut: &[usize], back_at: Option<usize>, ends: usize| {
            let mut guide = guide(
                &[Some("2/4"), None, None, None, None],
                "0",
                Place::start_of(ends),
            );
            for measure in cut {
                guide.road_map.measures[*measure].cut = true;
            }
            if let Some(measure) = back_at {
                guide.road_map.measures[measure].repeat_back = Some(2);
            }
            guide.parts[0].marks[0].measure = 1;
            let plan = Plan::new(&guide).value;
            let rows = (0..plan.order().len()).map(|played| {
                plan.rest_at(played).map_or("-".to_owned(), |rest| {
                    let entry = rest.entry.map(|entry| entry.measure);
                    format!("{}/{} {entry:?}", rest.number, rest.of)
                })
            });
            rows.collect::<Vec<String>>().join(", ")
        };
        assert_eq!(told(&[2], None, 4), "-, 1/2 Some(4), 2/2 Some(4), -");
        assert_eq!(told(&[4], None, 4), "-, 1/3 None, 2/3 None, 3/3 None");
        assert_eq!(
            told(&[], Some(2), 4),
            "-, 1/2 Some(0), 2/2 Some(0), -, 1/3 Some(4), 2/3 Some(4), 3/3 Some(4), -"
        );
    }
}
