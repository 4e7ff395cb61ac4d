//! Seconds of written lines with marks of every kind.

use super::*;
use cueleaf_guide::{Hold, Measure, Settings, TempoMark, lay_out};
use proptest::prelude::*;

fn tempo(text: &str) -> Tempo {
    text.parse().unwrap()
}

fn span(text: &str) -> BeatSpan {
    text.parse().unwrap()
}

fn place(measure: usize, at: &str) -> Place {
    Place {
        measure,
        at: span(at),
    }
}

fn gradual(at: &str, to: &str, until: Place) -> TempoMark {
    TempoMark {
        tempo: Some(tempo(to)),
        until: Some(until),
        ..TempoMark::words(span(at), "rit.")
    }
}

fn back(at: &str, back: Return) -> TempoMark {
    TempoMark {
        back: Some(back),
        ..TempoMark::words(span(at), "a tempo")
    }
}

/// Four measures of 4/4 with marks at some of them.
fn map(marks: &[(usize, TempoMark)], holds: &[(usize, &str, &str)]) -> TempoMap {
    let mut measures = vec![Measure::default(); 4];
    measures[0].meter = Some("4/4".parse().unwrap());
    for (index, mark) in marks {
        measures[*index].tempo.push(mark.clone());
    }
    for (index, at, longer) in holds {
        measures[*index]
            .holds
            .push(Hold::new(span(at), Some(span(longer))));
    }
    let road_map = RoadMap {
        measures,
        ..RoadMap::default()
    };
    let layout = lay_out(&road_map, &Settings::default()).value;
    TempoMap::new(&road_map, &layout)
}

fn seconds(map: &TempoMap, at: &str) -> f64 {
    map.seconds_at(at.parse().unwrap()).get()
}

fn near(actual: f64, expected: f64) {
    assert!((actual - expected).abs() < 1e-5, "{actual} {expected}");
}

#[test]
fn marks_at_once_count_in_their_own_unit() {
    let map = map(
        &[
            (
                1,
                TempoMark::at_once(BeatSpan::ZERO, "", tempo("dotted quarter = 60")),
            ),
            (2, TempoMark::at_once(span("2"), "", tempo("eighth = 60"))),
        ],
        &[],
    );
    near(seconds(&map, "4"), 2.0);
    near(seconds(&map, "8"), 2.0 + 4.0 * 60.0 / 90.0);
    near(seconds(&map, "16"), 2.0 + 6.0 * 60.0 / 90.0 + 6.0 * 2.0);
    assert_eq!(map.segments().len(), 3);
}

#[test]
fn a_gradual_change_arrives_and_stays() {
    // From 120 to 60 over four quarters, even in beats: 2.77259 s (closed form,
    // checked against numeric integration).
    let map = map(&[(1, gradual("0", "quarter = 60", place(2, "0")))], &[]);
    near(seconds(&map, "8"), 2.0 + 2.77259);
    near(seconds(&map, "12"), 2.0 + 2.77259 + 4.0);
    near(map.quarters_per_minute_at("6".parse().unwrap()), 90.0);
}

#[test]
fn a_tempo_returns_to_before_the_slowing() {
    let slow = gradual("0", "quarter = 60", place(2, "0"));
    let map = map(
        &[
            (
                0,
                TempoMark::at_once(BeatSpan::ZERO, "", tempo("quarter = 100")),
            ),
            (1, slow),
            (2, back("0", Return::ToBefore)),
            (3, back("0", Return::ToFirst)),
        ],
        &[],
    );
    let last = map.segments().last().unwrap();
    assert_eq!(last.from, tempo("quarter = 100"));
    near(map.quarters_per_minute_at("9".parse().unwrap()), 100.0);
}

#[test]
fn a_tempo_after_a_steady_stretch_returns_to_it() {
    let marks = |words_only: bool| {
        let mut slowing = gradual("0", "quarter = 100", place(3, "2"));
        if words_only {
            slowing.tempo = None;
        }
        [
            (
                0,
                TempoMark::at_once(BeatSpan::ZERO, "", tempo("quarter = 80")),
            ),
            (0, gradual("0", "quarter = 140", place(1, "0"))),
            (2, slowing),
            (3, back("2", Return::ToBefore)),
        ]
    };
    for words_only in [false, true] {
        let map = map(&marks(words_only), &[]);
        near(map.quarters_per_minute_at("6".parse().unwrap()), 140.0);
        near(map.quarters_per_minute_at("15".parse().unwrap()), 140.0);
    }
    // One that begins where another arrives, or before, goes on with it.
    for second in ["0", "1"] {
        let first = gradual("0", "quarter = 100", place(2, "1"));
        let map = map(
            &[
                (1, first),
                (2, gradual(second, "quarter = 60", place(3, "0"))),
                (3, back("0", Return::ToBefore)),
            ],
            &[],
        );
        near(map.quarters_per_minute_at("15".parse().unwrap()), 120.0);
    }
}

#[test]
fn a_change_cut_short_keeps_the_unit_of_its_mark() {
    let quick = TempoMark::at_once(BeatSpan::ZERO, "", tempo("half = 120"));
    let map = map(
        &[
            (0, quick),
            (1, gradual("0", "half = 60", place(3, "0"))),
            (2, gradual("0", "half = 140", place(3, "0"))),
        ],
        &[],
    );
    let cut = map.segments()[2];
    assert_eq!(cut.from, tempo("half = 90"));
    near(map.quarters_per_minute_at("8".parse().unwrap()), 180.0);
}

/// The doc of `seconds_at` says it of every place: one that is held has not been waited for.
#[test]
fn a_hold_at_the_very_start_is_waited_for() {
    let map = map(&[], &[(0, "0", "2"), (1, "0", "2")]);
    near(seconds(&map, "0"), 0.0);
    near(seconds(&map, "1"), 1.5);
    near(seconds(&map, "4"), 3.0);
    near(seconds(&map, "16"), 10.0);
    near(map.quarters_after(Seconds::new(0.5).unwrap()), 0.0);
    near(map.quarters_after(Seconds::new(1.5).unwrap()), 1.0);
}

#[test]
fn a_tempo_after_words_alone_keeps_the_tempo() {
    let slowing = TempoMark {
        until: Some(place(2, "0")),
        ..TempoMark::words(BeatSpan::ZERO, "poco rit.")
    };
    let quick = TempoMark::at_once(BeatSpan::ZERO, "", tempo("quarter = 100"));
    let again = back("0", Return::ToBefore);
    for between in [Some((1, slowing)), None] {
        let mut marks = vec![(0, quick.clone())];
        marks.extend(between);
        marks.push((2, again.clone()));
        let map = map(&marks, &[]);
        near(map.quarters_per_minute_at("9".parse().unwrap()), 100.0);
    }
}

#[test]
fn a_second_return_changes_nothing() {
    let quick = TempoMark::at_once(BeatSpan::ZERO, "", tempo("quarter = 100"));
    let slow = gradual("0", "quarter = 60", place(2, "0"));
    let again = back("0", Return::ToBefore);
    let words = TempoMark::words(span("2"), "rit.");
    let marks = [
        (0, quick),
        (1, slow),
        (2, again.clone()),
        (2, words),
        (3, again),
    ];
    let map = map(&marks, &[]);
    near(map.quarters_per_minute_at("9".parse().unwrap()), 100.0);
    near(map.quarters_per_minute_at("13".parse().unwrap()), 100.0);
}

/// Source: l'istesso tempo, Gehrkens 1914, §115: the same rate of beats.
#[test]
fn the_same_beat_goes_on_in_another_unit() {
    let same = TempoMark {
        same_beat: Some("quarter = dotted quarter".parse().unwrap()),
        ..TempoMark::words(BeatSpan::ZERO, "")
    };
    let map = map(
        &[
            (
                0,
                TempoMark::at_once(BeatSpan::ZERO, "", tempo("quarter = 80")),
            ),
            (1, same),
        ],
        &[],
    );
    near(map.quarters_per_minute_at("5".parse().unwrap()), 120.0);
}

#[test]
fn an_equation_goes_by_the_tempo_that_was_reached() {
    let same = TempoMark {
        same_beat: Some("quarter = dotted quarter".parse().unwrap()),
        ..TempoMark::words(BeatSpan::ZERO, "")
    };
    let map = map(
        &[
            (
                0,
                TempoMark::at_once(BeatSpan::ZERO, "", tempo("quarter = 80")),
            ),
            (1, gradual("0", "quarter = 120", place(3, "0"))),
            (2, same),
        ],
        &[],
    );
    // Half-way from 80 to 120 the quarter is at 100.
    near(map.quarters_per_minute_at("9".parse().unwrap()), 150.0);
}

#[test]
fn a_hold_at_the_barline_holds_the_last_beat() {
    let at_the_end = map(&[], &[(3, "4", "2")]);
    near(seconds(&at_the_end, "16"), 8.0 + 1.0);
    let inside = map(&[], &[(1, "4", "2")]);
    near(seconds(&inside, "8"), 4.0 + 1.0);
}

#[test]
fn a_mark_cuts_a_gradual_change_short() {
    let map = map(
        &[
            (1, gradual("0", "quarter = 60", place(3, "0"))),
            (
                2,
                TempoMark::at_once(BeatSpan::ZERO, "", tempo("quarter = 120")),
            ),
        ],
        &[],
    );
    near(map.quarters_per_minute_at("15/2".parse().unwrap()), 93.75);
    near(map.quarters_per_minute_at("9".parse().unwrap()), 120.0);
    assert_eq!(map.segments()[1].arrives.to_string(), "12");
    assert_eq!(map.segments()[1].end.to_string(), "8");
}

#[test]
fn a_hold_adds_its_length_after_its_place() {
    let map = map(&[], &[(1, "2", "4")]);
    near(seconds(&map, "6"), 3.0);
    near(seconds(&map, "7"), 3.0 + 2.0 + 0.5);
    near(map.quarters_after(Seconds::new(4.0).unwrap()), 6.0);
    near(map.quarters_after(Seconds::new(5.5).unwrap()), 7.0);
}

#[test]
fn a_hold_inside_a_gradual_change_interrupts_it_only() {
    let plain = map(&[(1, gradual("0", "quarter = 60", place(2, "0")))], &[]);
    let held = map(
        &[(1, gradual("0", "quarter = 60", place(2, "0")))],
        &[(1, "2", "1")],
    );
    let pause = 60.0 / 90.0;
    near(seconds(&held, "6"), seconds(&plain, "6"));
    near(seconds(&held, "7"), seconds(&plain, "7") + pause);
    near(seconds(&held, "16"), seconds(&plain, "16") + pause);
}

#[test]
fn a_hold_lasts_by_the_very_tempo_of_its_place() {
    // Even in time from 120 to 60 over four quarters: halfway the tempo is
    // 60 · √(5/2), no whole number of thousandths.
    let mut slow = gradual("0", "quarter = 60", place(2, "0"));
    slow.shape = Shape::EvenInTime;
    let plain = map(&[(1, slow.clone())], &[]);
    let held = map(&[(1, slow)], &[(1, "2", "1")]);
    let waited = seconds(&held, "16") - seconds(&plain, "16");
    assert!((waited - 1.0 / 2.5f64.sqrt()).abs() < 1e-12, "{waited}");
}

#[test]
fn a_hold_leaves_the_stretches_whole() {
    let slow = gradual("0", "quarter = 60", place(3, "0"));
    let plain = map(&[(1, slow.clone())], &[]);
    let held = map(&[(1, slow)], &[(0, "1", "1"), (2, "0", "1"), (3, "2", "1")]);
    assert_eq!(plain.segments(), held.segments());
}

fn any_marks() -> impl Strategy<Value = Vec<(usize, TempoMark)>> {
    let until = prop::option::of((0usize..5, 0i64..4));
    let mark = (0usize..4, 0i64..4, 30i64..200, until).prop_map(|(measure, at, bpm, until)| {
        let text = format!("quarter = {bpm}");
        let at = at.to_string();
        let mark = match until {
            Some((to, beat)) => gradual(&at, &text, place(to, &beat.to_string())),
            None => TempoMark::at_once(span(&at), "", tempo(&text)),
        };
        (measure, mark)
    });
    prop::collection::vec(mark, 0..6)
}

/// Holds by measure, eighths into it and eighths that they wait.
fn any_holds() -> impl Strategy<Value = Vec<(usize, i64, i64)>> {
    prop::collection::vec((0usize..4, 0i64..8, 1i64..9), 0..5)
}

fn held_map(marks: &[(usize, TempoMark)], holds: &[(usize, i64, i64)]) -> TempoMap {
    let texts: Vec<(usize, String, String)> = holds
        .iter()
        .map(|(measure, at, longer)| (*measure, format!("{at}/2"), format!("{longer}/2")))
        .collect();
    let holds: Vec<(usize, &str, &str)> = texts
        .iter()
        .map(|(measure, at, longer)| (*measure, at.as_str(), longer.as_str()))
        .collect();
    map(marks, &holds)
}

proptest! {
    #[test]
    fn every_hold_is_waited_for(marks in any_marks(), holds in any_holds(), measure in 0usize..=4) {
        let (held, even) = (held_map(&marks, &holds), held_map(&marks, &[]));
        let position: BeatPos = (4 * measure).to_string().parse().unwrap();
        let waits = |(measure, at, longer): &(usize, i64, i64)| {
            let at: BeatPos = format!("{}/2", 8 * measure + usize::try_from(*at).unwrap()).parse().unwrap();
            let quarters = f64::from(i32::try_from(*longer).unwrap()) / 2.0;
            let waits = 60.0 * quarters / even.quarters_per_minute_at(at);
            if at < position { waits } else { 0.0 }
        };
        let expected: f64 = holds.iter().map(waits).sum();
        let waited = held.seconds_at(position).get() - even.seconds_at(position).get();
        prop_assert!((waited - expected).abs() < 1e-9, "{waited} {expected}");
    }

    #[test]
    fn seconds_and_positions_are_inverse(
        marks in any_marks(),
        holds in any_holds(),
        parts in prop::collection::vec(0i64..1600, 1..20),
    ) {
        let map = held_map(&marks, &holds);
        let mut last = -1.0;
        let mut sorted = parts;
        sorted.sort_unstable();
        sorted.dedup();
        for part in sorted {
            let position: BeatPos = format!("{part}/100").parse().unwrap();
            let seconds = map.seconds_at(position);
            prop_assert!(seconds.get() > last);
            last = seconds.get();
            let back = map.quarters_after(seconds);
            prop_assert!((back - position.quarters().to_f64()).abs() < 1e-9);
        }
    }
}
