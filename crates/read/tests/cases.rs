//! The thirty cases in tests/cases/musicxml: lengths and tempi against their
//! stated truth. Their order of play is tested where it is made.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

mod common;

use common::{guide_of, read};
use cueleaf_guide::{Settings, lay_out};
use cueleaf_time::{BeatPos, Ratio};
use std::path::Path;

/// Adds up the seconds of every measure as written, in exact fractions.
fn seconds_of(path: &Path) -> Vec<Ratio> {
    let text = std::fs::read_to_string(path).unwrap();
    let guide = guide_of(&read(&text).value).value;
    let laid = lay_out(&guide.road_map, &Settings::default()).value;
    let mut changes: Vec<(BeatPos, Ratio)> = vec![(BeatPos::START, Ratio::whole(120))];
    for (measure, place) in guide.road_map.measures.iter().zip(laid.measures()) {
        for mark in &measure.tempo {
            if let Some(tempo) = mark.tempo {
                assert!(mark.until.is_none());
                changes.push((
                    place.start.plus(mark.at).unwrap(),
                    tempo.quarters_per_minute(),
                ));
            }
        }
    }
    changes.push((laid.end(), Ratio::ONE));
    laid.measures()
        .iter()
        .map(|place| {
            let (from, to) = (place.start, place.start.plus(place.length).unwrap());
            changes.windows(2).fold(Ratio::ZERO, |sum, pair| {
                let (low, high) = (from.max(pair[0].0), to.min(pair[1].0));
                if high <= low {
                    return sum;
                }
                let quarters = high.since(low).unwrap().quarters();
                let seconds = quarters.times(Ratio::whole(60)).unwrap();
                sum.plus(seconds.over(pair[0].1).unwrap()).unwrap()
            })
        })
        .collect()
}

#[test]
fn every_measure_lasts_as_long_as_stated() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/cases/musicxml");
    let truth = std::fs::read_to_string(folder.join("truth.json")).unwrap();
    let truth: serde_json::Value = serde_json::from_str(&truth).unwrap();
    let cases = truth.as_object().unwrap();
    assert_eq!(cases.len(), 30);
    let mut wrong = Vec::new();
    for (name, case) in cases {
        let measures = seconds_of(&folder.join(format!("{name}.musicxml")));
        let order = case["order"].as_array().unwrap();
        let mut starts: Vec<f64> = case["seconds"]
            .as_array()
            .unwrap()
            .iter()
            .map(|second| second.as_f64().unwrap())
            .collect();
        starts.push(case["end"].as_f64().unwrap());
        for (played, index) in order.iter().enumerate() {
            let index = usize::try_from(index.as_u64().unwrap()).unwrap();
            let stated = starts[played + 1] - starts[played];
            let read = measures[index].to_f64();
            if (stated - read).abs() > 1e-9 {
                wrong.push(format!(
                    "{name}: measure {index} lasts {stated} s, read {read}"
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
