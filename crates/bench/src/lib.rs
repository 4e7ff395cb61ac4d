//! The same work natively and in wasm: what the bench times, and every export of random guides.
//!
//! The work has no clock. The native program and the script that runs the
//! module each bring their own, and both print what the work gave, so that it is
//! seen to be the same work.

mod exports;
mod long;
mod random;

pub use exports::exports_of;
pub use long::long_guide;
pub use random::random_guide;

use cueleaf_guide::time::Seconds;
use cueleaf_guide::{Guide, Id};
use cueleaf_plan::Plan;
use wasm_bindgen::prelude::wasm_bindgen;

/// A guide, its plan and the bytes of a score, ready to be worked on.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Bench {
    guide: Guide,
    plan: Plan,
    bytes: Vec<u8>,
}

#[wasm_bindgen]
impl Bench {
    /// Makes the guide of a number of written measures, ready for the other work.
    #[must_use]
    pub fn of_measures(measures: usize) -> Self {
        let guide = long_guide(measures);
        Self {
            plan: Plan::new(&guide).value,
            guide,
            bytes: Vec::new(),
        }
    }

    /// Takes the bytes of a score in, ready to be read.
    #[must_use]
    pub fn of_score(bytes: Vec<u8>) -> Self {
        Self {
            bytes,
            ..Self::of_measures(1)
        }
    }

    /// Makes the guide playable; gives the length of the whole in seconds.
    #[must_use]
    pub fn build(&self) -> f64 {
        Plan::new(&self.guide).value.end().get()
    }

    /// Looks up places of time, spread over the piece, and the seconds between which
    /// each one's measure sounds; gives how many lie outside their measure.
    #[must_use]
    pub fn look_up(&self, times: u32) -> u32 {
        let end = self.plan.end().get();
        let mut outside = 0;
        for step in 0..times {
            // The golden ratio's multiples are spread evenly and in no order.
            let spread = f64::from(step) * 0.618_033_988_749_894_9;
            let wanted = (spread - spread.floor()) * end;
            let there = Seconds::new(wanted).and_then(|seconds| self.plan.at(seconds));
            let inside = there.is_some_and(|there| {
                let starts = self.plan.start_of(there.played).get();
                (starts..self.plan.start_of(there.played + 1).get()).contains(&wanted)
            });
            outside += u32::from(!inside);
        }
        outside
    }

    /// Counts every played measure; gives the number of counts.
    #[must_use]
    pub fn count(&self) -> usize {
        (0..self.plan.order().len())
            .map(|played| self.plan.counts(played).len())
            .sum()
    }

    /// Gives the number of played measures.
    #[must_use]
    pub fn played(&self) -> usize {
        self.plan.order().len()
    }

    /// Reads the score and drafts the guide of its first part; gives the
    /// number of measures, 0 when the file cannot be read.
    #[must_use]
    pub fn read(&self) -> usize {
        let id = Id::from_random(0);
        cueleaf_read::read_score(self.bytes.clone())
            .ok()
            .and_then(|score| {
                let first = score.value.parts.first()?.id.clone();
                cueleaf_read::draft(&score.value, &[&first], id).ok()
            })
            .map_or(0, |guide| guide.value.road_map.measures.len())
    }

    /// Reads the score, drafts the guide of its first part and looks through its
    /// notes; gives the number of places found, 0 when the file cannot be read.
    #[must_use]
    pub fn watch(&self) -> usize {
        let id = Id::from_random(0);
        let watched = || {
            let score = cueleaf_read::read_score(self.bytes.clone()).ok()?.value;
            let first = score.parts.first()?.id.clone();
            let guide = cueleaf_read::draft(&score, &[&first], id).ok()?.value;
            Some(cueleaf_watch::watch(&score, 0, &guide).len())
        };
        watched().unwrap_or(0)
    }

    /// Goes over the score as bare XML; gives the number of its events.
    #[must_use]
    pub fn scan(&self) -> usize {
        let mut reader = quick_xml::Reader::from_reader(self.bytes.as_slice());
        let mut events = 0;
        while let Ok(event) = reader.read_event() {
            if event == quick_xml::events::Event::Eof {
                break;
            }
            events += 1;
        }
        events
    }
}

/// Gives the saved form of the guide of a number of written measures.
#[must_use]
pub fn saved(measures: usize) -> String {
    cueleaf_guide::save(&long_guide(measures))
}
