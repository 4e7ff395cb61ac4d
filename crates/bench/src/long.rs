//! A long guide, the same on every run.

use cueleaf_guide::time::{BeatSpan, Ratio, Tempo};
use cueleaf_guide::{Guide, Id, Measure, Part, Place, TempoMark};

/// How many tempo changes a long guide has, where it has room for them.
const TEMPO_CHANGES: usize = 500;

/// Every so many measures a repeat of four measures begins.
const REPEAT_EVERY: usize = 40;

/// Makes a guide of a number of written measures with 500 tempo changes, a
/// quarter of them gradual, changes of meter, and repeats.
#[must_use]
pub fn long_guide(measures: usize) -> Guide {
    let mut guide = Guide::new(Id::from_random(1), "A long way");
    guide.parts.push(Part {
        id: Id::from_random(2),
        name: "Violin".to_owned(),
        marks: Vec::new(),
        extra: Default::default(),
    });
    let apart = (measures / TEMPO_CHANGES).max(2);
    guide.road_map.measures = (0..measures).map(|index| measure(index, apart)).collect();
    guide
}

fn measure(index: usize, apart: usize) -> Measure {
    let mut measure = Measure::labelled(&(index + 1).to_string());
    measure.meter = match index % 64 {
        0 => "4/4".parse().ok(),
        16 => "6/8".parse().ok(),
        32 => "3+2/8".parse().ok(),
        48 => "3/4".parse().ok(),
        _ => None,
    };
    measure.repeat_from = index % REPEAT_EVERY == 8;
    measure.repeat_back = (index % REPEAT_EVERY == 11).then_some(2);
    if index.is_multiple_of(apart) {
        measure.tempo.extend(tempo(index, index / apart, apart));
    }
    measure
}

fn tempo(index: usize, number: usize, apart: usize) -> Option<TempoMark> {
    // Between 60 and 143 quarter notes a minute, in no simple order.
    let per_minute = i64::try_from(60 + number * 37 % 84).ok()?;
    let tempo = Tempo::quarters(Ratio::whole(per_minute)).ok()?;
    let mut mark = TempoMark::at_once(BeatSpan::ZERO, "", tempo);
    mark.until = (number % 4 == 3).then(|| Place::start_of(index + apart.div_ceil(2)));
    Some(mark)
}
