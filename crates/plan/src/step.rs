//! Stepping through the counts, one at a time.

use crate::playing::Plan;

/// How far one step goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepBy {
    /// From count to count.
    Count,
    /// Through the subdivisions between the counts, too.
    Subdivision,
}

/// A place in the counting, in the order of play.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Step {
    /// The index in the order of play.
    pub played: usize,
    /// The index of the count in its measure, from 0.
    pub count: usize,
    /// The subdivision inside the count, from 0 for the count itself.
    pub division: u16,
}

impl Step {
    /// Makes the place of a count.
    #[must_use]
    pub const fn on(played: usize, count: usize) -> Self {
        Self {
            played,
            count,
            division: 0,
        }
    }
}

impl Plan {
    /// Gives the next place; `None` after the last.
    #[must_use]
    pub fn step_forward(&self, step: Step, by: StepBy) -> Option<Step> {
        let counts = self.counts(step.played);
        if by == StepBy::Subdivision
            && let Some(count) = counts.get(step.count)
            && step.division + 1 < count.divisions
        {
            return Some(Step {
                division: step.division + 1,
                ..step
            });
        }
        if step.count + 1 < counts.len() {
            return Some(Step::on(step.played, step.count + 1));
        }
        (step.played + 1..self.order().len())
            .find(|played| !self.counts(*played).is_empty())
            .map(|played| Step::on(played, 0))
    }

    /// Gives the place before; `None` before the first.
    #[must_use]
    pub fn step_back(&self, step: Step, by: StepBy) -> Option<Step> {
        if step.division > 0 {
            let division = match by {
                StepBy::Count => 0,
                StepBy::Subdivision => step.division - 1,
            };
            return Some(Step { division, ..step });
        }
        let (played, count) = if let Some(count) = step.count.checked_sub(1) {
            (step.played, count)
        } else {
            let played = (0..step.played)
                .rev()
                .find(|played| !self.counts(*played).is_empty())?;
            (played, self.counts(played).len() - 1)
        };
        let division = match by {
            StepBy::Count => 0,
            StepBy::Subdivision => self
                .counts(played)
                .get(count)
                .map_or(0, |count| count.divisions.saturating_sub(1)),
        };
        Some(Step {
            played,
            count,
            division,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::playing::tests::guide;
    use proptest::prelude::*;

    #[test]
    fn steps_lead_over_the_repeat_to_the_end() {
        let plan = Plan::new(&guide()).value;
        let mut step = Step::on(0, 0);
        let mut path = vec![(0, 0)];
        while let Some(next) = plan.step_forward(step, StepBy::Count) {
            path.push((next.played, next.count));
            step = next;
        }
        let expected = [1usize, 5, 3, 3]
            .into_iter()
            .enumerate()
            .flat_map(|(played, counts)| (0..counts).map(move |count| (played, count)));
        assert_eq!(path, expected.collect::<Vec<_>>());
    }

    proptest! {
        #[test]
        fn forward_and_back_again_is_where_it_was(steps in 0usize..60, fine in any::<bool>()) {
            let by = if fine { StepBy::Subdivision } else { StepBy::Count };
            let plan = Plan::new(&guide()).value;
            let start = Step::on(0, 0);
            let mut step = start;
            let mut taken = 0;
            for _ in 0..steps {
                match plan.step_forward(step, by) {
                    Some(next) => step = next,
                    None => break,
                }
                taken += 1;
            }
            for _ in 0..taken {
                step = plan.step_back(step, by).unwrap();
            }
            prop_assert_eq!(step, start);
            prop_assert_eq!(plan.step_back(start, by), None);
        }
    }
}
