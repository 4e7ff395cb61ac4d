//! What is different from one played measure to the next.

use crate::playing::Plan;
use crate::tempo_map::TempoSegment;
use cueleaf_guide::MarkKind;
use cueleaf_time::{BeatSpan, Grouping, Key, Meter, Tempo};

/// What changes when a measure comes; whatever is absent stays as it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Change {
    /// A new meter or grouping.
    pub meter: Option<(Meter, Grouping)>,
    /// A new tempo at the start of the measure.
    pub tempo: Option<Tempo>,
    /// The first new tempo inside the measure, with its place from the start of it.
    pub tempo_inside: Option<(BeatSpan, Tempo)>,
    /// A tempo toward which the music moves from somewhere in the measure on.
    pub toward: Option<Tempo>,
    /// A new key signature.
    pub key: Option<Key>,
    /// Where in the measure time stands still for a while, in order.
    pub stops: Vec<BeatSpan>,
    /// Changes of playing inside the measure with their places from the start of it, in order.
    pub playing: Vec<(BeatSpan, MarkKind)>,
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
            (Some(old), Some(new)) if new.start != old.start && new.is_news_after(old) => {
                Some(new.from)
            }
            _ => None,
        };
        let inside = |segment: &&TempoSegment| segment.start < end;
        let own = segments.iter().skip(next).take_while(inside);
        let tempo_inside = here
            .into_iter()
            .chain(own.clone())
            .zip(own)
            .find(|(old, new)| new.is_news_after(old))
            .and_then(|(_, new)| Some((new.start.since(now.start).ok()?.forward()?, new.from)));
        let toward = segments
            .iter()
            .skip(next.saturating_sub(1))
            .take_while(inside)
            .find(|segment| segment.from != segment.to && segment.start >= now.start)
            .map(|segment| segment.to);
        Change {
            meter,
            tempo,
            tempo_inside,
            toward,
            stops: self.stops(played),
            key: now.key.filter(|_| before.key != now.key),
            playing: self.playing_changes(index_before, index),
            leaps: index != index_before + 1,
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::Plan;
    use crate::playing::tests::guide;
    use cueleaf_guide::{Hold, Place, TempoMark};

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

    #[test]
    fn what_is_so_already_is_no_change_of_playing() {
        use cueleaf_guide::{Extra, Id, Mark, MarkKind, Part};
        let mark = |measure, at: &str, kind| Mark {
            measure,
            at: at.parse().unwrap(),
            kind,
            to: None,
            text: String::new(),
            extra: Extra::default(),
        };
        let mut guide = guide();
        guide.parts = vec![Part {
            id: Id::new("p").unwrap(),
            name: String::new(),
            marks: vec![
                mark(1, "0", MarkKind::MuteOn),
                mark(2, "0", MarkKind::Pizz),
                mark(2, "0", MarkKind::MuteOn),
                mark(2, "2", MarkKind::Arco),
            ],
            extra: Extra::default(),
        }];
        let told = |guide: &cueleaf_guide::Guide, played| {
            let playing = Plan::new(guide).value.change_into(played).playing;
            let texts = playing.iter().map(|(at, kind)| format!("{at} {kind:?}"));
            texts.collect::<Vec<String>>()
        };
        assert_eq!(told(&guide, 1), ["0 MuteOn"]);
        assert_eq!(told(&guide, 2), ["0 Pizz", "2 Arco"]);
        // The second time it is bowed before, too; without the arco it is plucked already.
        assert_eq!(told(&guide, 3), ["0 Pizz", "2 Arco"]);
        guide.parts[0].marks.truncate(3);
        assert!(told(&guide, 3).is_empty());
    }

    #[test]
    fn a_tempo_inside_a_measure_is_told_with_its_place() {
        let mut guide = guide();
        let at_once = |at: &str, tempo: &str| {
            TempoMark::at_once(at.parse().unwrap(), "", tempo.parse().unwrap())
        };
        let slower = TempoMark {
            until: Some(Place {
                measure: 1,
                at: "2".parse().unwrap(),
            }),
            ..at_once("1/2", "quarter = 50")
        };
        guide.road_map.measures[1].tempo = vec![slower, at_once("2", "quarter = 80")];
        guide.road_map.measures[2]
            .tempo
            .push(at_once("1", "half = 100"));
        let plan = Plan::new(&guide).value;
        let inside = |played| {
            let (at, tempo) = plan.change_into(played).tempo_inside?;
            Some(format!("{tempo} at {at}"))
        };
        // Where the gradual change begins is no news, nor where it would arrive.
        assert_eq!(inside(1).unwrap(), "quarter = 80 at 2");
        assert_eq!(
            plan.change_into(1).toward.unwrap().to_string(),
            "quarter = 50"
        );
        assert_eq!(inside(2).unwrap(), "half = 100 at 1");
        let into_three = plan.change_into(2).tempo.unwrap();
        assert_eq!(into_three.to_string(), "quarter = 120");
        guide.road_map.measures[1].tempo.truncate(1);
        let plan = Plan::new(&guide).value;
        assert_eq!(plan.change_into(1).tempo_inside, None);
    }

    #[test]
    fn a_gradual_change_cut_short_by_another_tells_where_both_go() {
        let mut guide = guide();
        let toward = |tempo: &str, measure| TempoMark {
            until: Some(Place::start_of(measure)),
            ..TempoMark::at_once("0".parse().unwrap(), "", tempo.parse().unwrap())
        };
        guide.road_map.measures[1].tempo = vec![toward("half = 10", 3)];
        guide.road_map.measures[2].tempo = vec![toward("half = 100", 3)];
        let into_three = Plan::new(&guide).value.change_into(2);
        assert_eq!(into_three.tempo, None);
        assert_eq!(into_three.toward.unwrap().to_string(), "half = 100");
        // A tempo set there is told, though it changes at once.
        let mark = TempoMark::at_once("0".parse().unwrap(), "", "half = 40".parse().unwrap());
        guide.road_map.measures[2].tempo.insert(0, mark);
        let into_three = Plan::new(&guide).value.change_into(2);
        assert_eq!(into_three.tempo.unwrap().to_string(), "half = 40");
    }

    #[test]
    fn fermatas_with_a_length_are_told() {
        let mut guide = guide();
        let hold = |at: &str, longer: Option<&str>| {
            Hold::new(
                at.parse().unwrap(),
                longer.and_then(|span| span.parse().ok()),
            )
        };
        guide.road_map.measures[1].holds = vec![hold("1/2", None), hold("1", Some("2"))];
        let plan = Plan::new(&guide).value;
        assert_eq!(plan.change_into(1).stops, ["1".parse().unwrap()]);
        assert!(plan.change_into(2).stops.is_empty());
    }
}
