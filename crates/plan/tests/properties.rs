//! What holds for every guide, tried on random ones.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::time::{BeatSpan, Ratio, Seconds, Shape, Tempo};
use cueleaf_guide::{Guide, Hold, Id, Measure, Place, Spot, TempoMark};
use cueleaf_plan::{Pace, PacedLine, Plan, Step};
use proptest::prelude::*;

fn quarters(numerator: i64, denominator: i64) -> BeatSpan {
    BeatSpan::from_quarters(Ratio::new(numerator, denominator).unwrap()).unwrap()
}

fn any_mark(measures: usize) -> impl Strategy<Value = TempoMark> {
    let until = prop::option::weighted(0.4, (0..=measures, 0i64..8));
    (0i64..8, 30i64..240, until, 0usize..3).prop_map(|(at, bpm, until, shape)| TempoMark {
        until: until.map(|(measure, at)| Place {
            measure,
            at: quarters(at, 2),
        }),
        shape: [Shape::EvenInBeats, Shape::EvenInTime, Shape::Runner][shape],
        ..TempoMark::at_once(
            quarters(at, 2),
            "",
            Tempo::quarters(Ratio::whole(bpm)).unwrap(),
        )
    })
}

fn any_measure(measures: usize) -> impl Strategy<Value = Measure> {
    let meter = prop::option::weighted(
        0.4,
        prop::sample::select(vec![
            "2/4", "3/4", "4/4", "5/4", "5/8", "6/8", "7/8", "9/8", "3+2/8", "2/4+3/8", "2/2",
        ]),
    );
    let length = prop::option::weighted(0.15, 1i64..12);
    let marks = prop::collection::vec(any_mark(measures), 0..2);
    let hold = prop::option::weighted(0.1, (0i64..4, 1i64..8));
    let flags = (0u8..10, 0u8..10, 0u8..14);
    (meter, length, marks, hold, flags).prop_map(|(meter, length, tempo, hold, (a, b, c))| {
        Measure {
            meter: meter.map(|text| text.parse().unwrap()),
            length: length.map(|length| quarters(length, 2)),
            pickup: a == 0,
            tempo,
            holds: hold
                .map(|(at, longer)| Hold::new(quarters(at, 2), Some(quarters(longer, 2))))
                .into_iter()
                .collect(),
            repeat_from: b == 0,
            repeat_back: (b == 1).then_some(2),
            cut: c == 0,
            ..Measure::default()
        }
    })
}

fn any_guide() -> impl Strategy<Value = Guide> {
    prop::collection::vec(any_measure(12), 1..12).prop_map(|measures| {
        let mut guide = Guide::new(Id::new("random").unwrap(), "Random");
        guide.road_map.measures = measures;
        guide
    })
}

proptest! {
    #[test]
    fn clicks_come_strictly_later_and_later(guide in any_guide()) {
        let plan = Plan::new(&guide).value;
        let mut last = -1.0;
        for played in 0..plan.order().len() {
            for click in plan.clicks(played) {
                prop_assert!(click.seconds.get() > last, "{} after {last}", click.seconds.get());
                last = click.seconds.get();
            }
        }
        prop_assert!(last < plan.end().get() || plan.order().is_empty());
    }

    #[test]
    fn measures_add_up_to_the_whole(guide in any_guide()) {
        let plan = Plan::new(&guide).value;
        let sum: f64 = (0..plan.order().len())
            .map(|k| plan.start_of(k + 1).get() - plan.start_of(k).get())
            .sum();
        prop_assert!((sum - plan.end().get()).abs() < 1e-9);
    }

    #[test]
    fn every_count_is_found_again_at_its_second(guide in any_guide()) {
        let plan = Plan::new(&guide).value;
        for played in 0..plan.order().len() {
            for (index, count) in plan.counts(played).iter().enumerate() {
                let seconds = plan.seconds_of(played, count.at).unwrap();
                let later = Seconds::new(seconds.get() + 1e-7).unwrap();
                let instant = plan.at(later).unwrap();
                prop_assert_eq!((instant.played, instant.count), (played, index));
            }
        }
    }

    #[test]
    fn a_stretch_of_the_whole_is_the_whole(count in 1usize..20) {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = vec![Measure::default(); count];
        let plan = Plan::new(&guide).value;
        let whole = plan.stretch_from(&Spot::measures(0, count - 1), 0).unwrap();
        prop_assert_eq!(whole.starts, Seconds::ZERO);
        prop_assert_eq!(whole.ends, plan.end());
    }

    #[test]
    fn stepping_there_and_back_again(guide in any_guide(), steps in 0usize..100) {
        let plan = Plan::new(&guide).value;
        let Some(first) = (0..plan.order().len()).find(|k| !plan.counts(*k).is_empty()) else {
            return Ok(());
        };
        let mut path = vec![Step::on(first, 0)];
        for _ in 0..steps {
            match plan.step_forward(*path.last().unwrap()) {
                Some(next) => path.push(next),
                None => break,
            }
        }
        while path.len() > 1 {
            let last = path.pop().unwrap();
            prop_assert_eq!(plan.step_back(last), path.last().copied());
        }
    }

    #[test]
    fn a_pace_only_stretches(guide in any_guide(), percent in 10u16..300) {
        let plan = Plan::new(&guide).value;
        let line = PacedLine::new(&plan, &Pace::percent(percent));
        let expected = plan.end().get() * 100.0 / f64::from(percent);
        prop_assert!((line.sounding(plan.end()).get() - expected).abs() < 1e-6);
    }
}

/// Ten hours of music with a tempo change in every measure: seconds and
/// positions stay inverse to a billionth of a second.
#[test]
fn ten_hours_stay_exact() {
    let mut guide = Guide::new(Id::new("long").unwrap(), "Long");
    guide.road_map.measures = (0..18_000i64)
        .map(|index| {
            let bpm = Ratio::new(90_000 + (index * 7_919) % 60_000, 1_000).unwrap();
            let mut mark = TempoMark::at_once(BeatSpan::ZERO, "", Tempo::quarters(bpm).unwrap());
            if index % 5 == 0 {
                mark.until = Some(Place::start_of(usize::try_from(index).unwrap() + 1));
            }
            Measure {
                tempo: vec![mark],
                ..Measure::default()
            }
        })
        .collect();
    let plan = Plan::new(&guide).value;
    assert!(plan.end().get() > 35_000.0, "{}", plan.end().get());
    for part in 0..10_000i64 {
        let position =
            cueleaf_guide::time::BeatPos::from_quarters(Ratio::new(part * 72_000, 10_007).unwrap())
                .unwrap();
        let seconds = plan.tempo().seconds_at(position);
        let back = plan.tempo().quarters_after(seconds);
        // At most 150 quarters a minute: 2.5 quarters a second.
        let error = (back - position.quarters().to_f64()).abs() / 2.5;
        assert!(error < 1e-9, "{part}: {error}");
    }
}
