//! The timeline of a guide as data.

use cueleaf_guide::Guide;
use cueleaf_guide::time::{Level, Shape};
use cueleaf_plan::{Plan, TempoSegment};
use serde::Serialize;

/// Everything about the time of a guide. Positions and lengths are quarter
/// notes as reduced fractions.
#[derive(Serialize)]
pub(crate) struct Timeline {
    measures: Vec<Measure>,
    tempo: Vec<Tempo>,
    played: Vec<PlayedMeasure>,
    /// The length of the whole as played.
    seconds: f64,
}

#[derive(Serialize)]
struct Measure {
    index: usize,
    label: String,
    start: String,
    length: String,
    meter: String,
    grouping: String,
    key: Option<i8>,
}

#[derive(Serialize)]
struct Tempo {
    start: String,
    quarters_per_minute: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    end: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    to: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    shape: Option<&'static str>,
}

#[derive(Serialize)]
struct PlayedMeasure {
    index: usize,
    label: String,
    pass: u32,
    start_seconds: f64,
    counts: Vec<CountSaid>,
}

#[derive(Serialize)]
struct CountSaid {
    at: String,
    /// `null` between the numbers.
    say: Option<u16>,
    level: &'static str,
}

/// Gathers the timeline of a guide and its plan.
pub(crate) fn timeline(guide: &Guide, plan: &Plan) -> Timeline {
    let label = |index: usize| {
        let measure = guide.road_map.measures.get(index);
        measure
            .map(|measure| measure.label.clone())
            .unwrap_or_default()
    };
    Timeline {
        measures: plan
            .layout()
            .measures()
            .iter()
            .enumerate()
            .map(|(index, laid)| Measure {
                index,
                label: label(index),
                start: laid.start.to_string(),
                length: laid.length.to_string(),
                meter: laid.meter.to_string(),
                grouping: laid.grouping.to_string(),
                key: laid.key.map(|key| key.fifths()),
            })
            .collect(),
        tempo: plan.tempo().segments().iter().map(tempo).collect(),
        played: plan
            .order()
            .iter()
            .enumerate()
            .map(|(played, own)| PlayedMeasure {
                index: own.measure,
                label: label(own.measure),
                pass: own.pass,
                start_seconds: plan.start_of(played).get(),
                counts: counts(plan, played),
            })
            .collect(),
        seconds: plan.end().get(),
    }
}

fn tempo(segment: &TempoSegment) -> Tempo {
    let gradual = segment.from != segment.to;
    Tempo {
        start: segment.start.to_string(),
        quarters_per_minute: segment.from.quarters_per_minute().to_f64(),
        end: gradual.then(|| segment.arrives.to_string()),
        to: gradual.then(|| segment.to.quarters_per_minute().to_f64()),
        shape: gradual.then_some(match segment.shape {
            Shape::EvenInBeats => "even-in-beats",
            Shape::EvenInTime => "even-in-time",
            Shape::Runner => "runner",
        }),
    }
}

fn counts(plan: &Plan, played: usize) -> Vec<CountSaid> {
    plan.counts(played)
        .into_iter()
        .map(|count| CountSaid {
            at: count.at.to_string(),
            say: count.say.as_number(),
            level: match count.level {
                Level::Downbeat => "downbeat",
                Level::Group => "group",
                Level::Beat => "beat",
                Level::Subdivision => "subdivision",
            },
        })
        .collect()
}
