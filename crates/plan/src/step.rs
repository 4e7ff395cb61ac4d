//! Stepping through the counts, one at a time.

use crate::playing::Plan;

/// A place in the counting, in the order of play.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Step {
    /// The index in the order of play.
    pub played: usize,
    /// The index of the count in its measure, from 0.
    pub count: usize,
}

impl Step {
    /// Makes the place of a count.
    #[must_use]
    pub const fn on(played: usize, count: usize) -> Self {
        Self { played, count }
    }
}

impl Plan {
    /// Gives the next place; `None` after the last.
    #[must_use]
    pub fn step_forward(&self, step: Step) -> Option<Step> {
        if step.count + 1 < self.counts(step.played).len() {
            return Some(Step::on(step.played, step.count + 1));
        }
        (step.played + 1..self.order().len())
            .find(|played| !self.counts(*played).is_empty())
            .map(|played| Step::on(played, 0))
    }

    /// Gives the place before; `None` before the first.
    #[must_use]
    pub fn step_back(&self, step: Step) -> Option<Step> {
        if let Some(count) = step.count.checked_sub(1) {
            return Some(Step::on(step.played, count));
        }
        (0..step.played).rev().find_map(|played| {
            let last = self.counts(played).len().checked_sub(1)?;
            Some(Step::on(played, last))
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
        while let Some(next) = plan.step_forward(step) {
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
        fn forward_and_back_again_is_where_it_was(steps in 0usize..60) {
            let plan = Plan::new(&guide()).value;
            let start = Step::on(0, 0);
            let mut step = start;
            let mut taken = 0;
            for _ in 0..steps {
                match plan.step_forward(step) {
                    Some(next) => step = next,
                    None => break,
                }
                taken += 1;
            }
            for _ in 0..taken {
                step = plan.step_back(step).unwrap();
            }
            prop_assert_eq!(step, start);
            prop_assert_eq!(plan.step_back(start), None);
        }
    }
}
