//! Where nobody says how fast it goes: before the first number, and after a tempo word without
//! one; a gradual change without a number leaves known what was. The plan plays on there at what
//! it assumes; the watch list tells no seconds.

use crate::line::Stretch;
use cueleaf_guide::{Guide, Layout, Place, Return, TempoMark, is_gradual};
use cueleaf_time::BeatPos;

/// Gives the stretches of the written line without a known tempo, in order.
pub(crate) fn assumed(guide: &Guide, layout: &Layout) -> Vec<Stretch> {
    let mut knowing = Knowing {
        now: false,
        before: false,
        first: None,
    };
    let mut steps = vec![(BeatPos::START, false)];
    for (measure, own) in guide.road_map.measures.iter().enumerate() {
        for mark in &own.tempo {
            let at = mark.at;
            let from = position(layout, Place { measure, at });
            if let Some(until) = mark.until {
                knowing.before = knowing.now;
                if mark.tempo.is_some() {
                    // On the way to a number it is known when it has arrived.
                    knowing.now = true;
                    steps.push((position(layout, until).unwrap_or(layout.end()), true));
                }
            } else if let Some(from) = from {
                knowing.at_once(mark);
                if from == BeatPos::START {
                    knowing.before = knowing.now;
                }
                steps.push((from, knowing.now));
            }
        }
    }
    let ends = steps.iter().map(|(at, _)| *at).skip(1);
    let ends = ends.chain(core::iter::once(layout.end()));
    let stretches = steps.iter().zip(ends);
    let unknown = stretches.filter(|((start, known), end)| !known && start < end);
    unknown
        .map(|((start, _), end)| Stretch { start: *start, end })
        .collect()
}

/// Whether the tempo is known, and whether those that marks return to are.
struct Knowing {
    now: bool,
    before: bool,
    first: Option<bool>,
}

impl Knowing {
    fn at_once(&mut self, mark: &TempoMark) {
        match mark.back {
            _ if mark.tempo.is_some() => self.to(true),
            _ if mark.same_beat.is_some() => {}
            Some(Return::ToFirst) => self.to(self.first.unwrap_or(self.now)),
            Some(Return::ToBefore) => self.to(self.before),
            // Where a rit. ends nobody says, but it starts from what was.
            None if is_gradual(&mark.words) => {}
            None => self.to(false),
        }
    }

    fn to(&mut self, known: bool) {
        self.before = self.now;
        self.now = known;
        self.first.get_or_insert(known);
    }
}

fn position(layout: &Layout, place: Place) -> Option<BeatPos> {
    let laid = layout.get(place.measure)?;
    laid.start.plus(place.at.min(laid.length)).ok()
}
