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

proptest! {
    #[test]
    fn seconds_and_positions_are_inverse(
        marks in prop::collection::vec((0usize..4, 0i64..4, 30i64..200, prop::option::of((0usize..5, 0i64..4))), 0..6),
        parts in prop::collection::vec(0i64..1600, 1..20),
    ) {
        let marks: Vec<(usize, TempoMark)> = marks
            .into_iter()
            .map(|(measure, at, bpm, until)| {
                let text = format!("quarter = {bpm}");
                let at = at.to_string();
                let mark = match until {
                    Some((to, beat)) => gradual(&at, &text, place(to, &beat.to_string())),
                    None => TempoMark::at_once(span(&at), "", tempo(&text)),
                };
                (measure, mark)
            })
            .collect();
        let map = map(&marks, &[]);
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
