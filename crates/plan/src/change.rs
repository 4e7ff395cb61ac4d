//! What is different from one played measure to the next.

use crate::playing::Plan;
use cueleaf_guide::MarkKind;
use cueleaf_time::{Grouping, Key, Meter, Tempo};

/// What changes when a measure comes; whatever is absent stays as it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Change {
    /// A new meter or grouping.
    pub meter: Option<(Meter, Grouping)>,
    /// A new tempo at the start of the measure.
    pub tempo: Option<Tempo>,
    /// A tempo toward which the music moves from somewhere in the measure on.
    pub toward: Option<Tempo>,
    /// A new key signature.
    pub key: Option<Key>,
    /// Changes of playing inside the measure, in order.
    pub playing: Vec<MarkKind>,
    /// Whether the measure does not follow the one before it on paper.
    pub leaps: bool,
}

impl Change {
    /// Tells whether nothing changes.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }
}

impl Plan {
    /// Tells what changes when a played measure comes after the one before it;
    /// nothing for the first.
    #[must_use]
    pub fn change_into(&self, played: usize) -> Change {
        let before = played
            .checked_sub(1)
            .and_then(|before| Some((self.order().get(before)?.measure, self.measure(before)?)));
        let now = self
            .order()
            .get(played)
            .and_then(|own| Some((own.measure, self.measure(played)?)));
        let (Some((index_before, before)), Some((index, now))) = (before, now) else {
            return Change::default();
        };
        let meter = (before.meter != now.meter || before.grouping != now.grouping)
            .then(|| (now.meter.clone(), now.grouping.clone()));
        let end = now.start.plus(now.length).unwrap_or(now.start);
        let segments = self.tempo().segments();
        let at_end_of = |laid: &cueleaf_guide::Laid| {
            let end = laid.start.plus(laid.length).unwrap_or(laid.start);
            let next = segments.partition_point(|segment| segment.start < end);
            segments.get(next.saturating_sub(1))
        };
        let next = segments.partition_point(|segment| segment.start <= now.start);
        let here = segments.get(next.saturating_sub(1));
        let tempo = match (at_end_of(before), here) {
            // A gradual change that arrives, or goes on, is no news.
            (Some(old), Some(new)) if new.from != old.to || old.arrives > old.end => {
                let same = old.start == new.start && old.end == new.end;
                (!same).then_some(new.from)
            }
            _ => None,
        };
        let toward = segments
            .iter()
            .skip(next.saturating_sub(1))
            .take_while(|segment| segment.start < end)
            .find(|segment| segment.from != segment.to && segment.start >= now.start)
            .map(|segment| segment.to);
        Change {
            meter,
            tempo,
            toward,
            key: now.key.filter(|_| before.key != now.key),
            playing: self.playing_changes(index).map(|mark| mark.kind).collect(),
            leaps: index != index_before + 1,
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::Plan;
    use crate::playing::tests::guide;

    #[test]
    fn changes_are_told_once() {
        let mut guide = guide();
        guide.road_map.measures[2].key = cueleaf_time::Key::from_fifths(2).ok();
        let plan = Plan::new(&guide).value;
        assert!(plan.change_into(0).is_nothing());
        let into_five = plan.change_into(1);
        assert_eq!(into_five.meter.unwrap().1.to_string(), "2+3");
        assert_eq!(into_five.tempo, None);
        let into_three = plan.change_into(2);
        assert_eq!(into_three.tempo.unwrap().to_string(), "quarter = 120");
        assert_eq!(into_three.key.unwrap().fifths(), 2);
        let again = plan.change_into(3);
        assert!(again.leaps);
        assert_eq!((again.meter, again.tempo, again.key), (None, None, None));
    }
}
