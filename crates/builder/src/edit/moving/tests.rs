//! Everything stays attached to its measure, whatever is put in, taken out or moved.

use super::*;
use cueleaf_guide::{Extra, Id, MarkKind, Part, Tip, Topic, check, lay_out};
use proptest::prelude::*;

/// One word a measure: its meter, "." for nothing.
fn guide(words: &str) -> Guide {
    let mut guide = Guide::new(Id::new("g").unwrap(), "");
    for (index, word) in words.split(' ').enumerate() {
        let mut measure = Measure::labelled(&(index + 1).to_string());
        measure.meter = word.parse().ok();
        guide.road_map.measures.push(measure);
    }
    guide.parts.push(Part {
        id: Id::new("va").unwrap(),
        name: "Viola".to_owned(),
        marks: Vec::new(),
        extra: Extra::default(),
    });
    guide
}

fn own(guide: &Guide) -> String {
    let measures = guide.road_map.measures.iter();
    let words: Vec<String> = measures
        .map(|own| own.meter.as_ref().map_or(".".to_owned(), Meter::to_string))
        .collect();
    words.join(" ")
}

fn labels(guide: &Guide) -> Vec<&str> {
    let measures = guide.road_map.measures.iter();
    measures.map(|own| own.label.as_str()).collect()
}

fn tip(guide: &mut Guide, name: &str, first: usize, last: usize) {
    let id = Id::new(name).unwrap();
    let spot = Spot::measures(first, last);
    guide.tips.push(Tip::new(id, spot, Topic::Bow, "x"));
}

fn spots(guide: &Guide) -> Vec<(usize, usize)> {
    let ends = |tip: &Tip| (tip.spot.from.measure, tip.spot.last_measure());
    guide.tips.iter().map(ends).collect()
}

fn rit(guide: &mut Guide, measure: usize, end: usize) {
    guide.road_map.measures[measure].tempo.push(TempoMark {
        until: Some(Place::start_of(end)),
        ..TempoMark::at_once(BeatSpan::ZERO, "rit.", "quarter = 40".parse().unwrap())
    });
}

fn hairpin(guide: &mut Guide, measure: usize, end: usize) {
    guide.parts[0].marks.push(Mark {
        measure,
        at: BeatSpan::ZERO,
        kind: MarkKind::Grow,
        to: Some(Place::start_of(end)),
        text: String::new(),
        extra: Extra::default(),
    });
}

/// Where the only rit. and the only hairpin start and end.
fn spans(guide: &Guide) -> [(usize, usize); 2] {
    let measures = guide.road_map.measures.iter().enumerate();
    let rit = measures
        .flat_map(|(index, own)| own.tempo.iter().map(move |mark| (index, mark)))
        .find_map(|(index, mark)| Some((index, mark.until?.measure)));
    let mark = &guide.parts[0].marks[0];
    [rit.unwrap(), (mark.measure, mark.to.unwrap().measure)]
}

#[test]
fn tips_go_with_their_measures() {
    let mut start = guide("4/4 . 3/4 . 2/4");
    tip(&mut start, "a", 0, 1);
    tip(&mut start, "b", 2, 3);
    tip(&mut start, "c", 4, 4);
    let longer = insert_after(&start, 1, 2);
    assert_eq!(own(&longer), "4/4 . . . 3/4 . 2/4");
    assert_eq!(spots(&longer), [(0, 1), (4, 5), (6, 6)]);
    let shorter = remove(&start, (1, 2));
    assert_eq!(own(&shorter), "4/4 3/4 2/4");
    assert_eq!(spots(&shorter), [(0, 0), (1, 1), (2, 2)]);
    assert_eq!(own(&remove(&start, (3, 4))), "4/4 . 3/4");
    assert_eq!(spots(&remove(&start, (3, 4)))[2], (2, 2));
    let none = remove(&start, (0, 4));
    assert!(none.road_map.measures.is_empty());
    assert_eq!(remove(&none, (0, 0)), none);
}

#[test]
fn measures_move_and_come_back() {
    let mut start = guide("4/4 . 3/4 . .");
    tip(&mut start, "t", 2, 3);
    let later = shift(&start, (2, 3), Way::Later).unwrap();
    assert_eq!(labels(&later), ["1", "2", "5", "3", "4"]);
    // The fifth was in 3/4 and stays so.
    assert_eq!(own(&later), "4/4 . 3/4 . .");
    assert_eq!(spots(&later), [(3, 4)]);
    assert_eq!(shift(&later, (3, 4), Way::Earlier), Some(start.clone()));
    let first = shift(&start, (2, 2), Way::Earlier).unwrap();
    assert_eq!(own(&first), "4/4 3/4 4/4 3/4 .");
    assert_eq!(shift(&first, (1, 1), Way::Later), Some(start.clone()));
    assert_eq!(shift(&start, (0, 0), Way::Earlier), None);
    assert_eq!(shift(&start, (3, 4), Way::Later), None);
}

#[test]
fn what_ends_with_a_measure_ends_there_still() {
    let mut start = guide("4/4 . . . . .");
    rit(&mut start, 1, 3);
    hairpin(&mut start, 2, 3);
    assert_eq!(spans(&insert_after(&start, 2, 2)), [(1, 3), (2, 3)]);
    assert_eq!(spans(&insert_after(&start, 1, 1)), [(1, 4), (3, 4)]);
    assert_eq!(spans(&insert_after(&start, 0, 1)), [(2, 4), (3, 4)]);
    assert_eq!(spans(&remove(&start, (3, 4))), [(1, 3), (2, 3)]);
    assert_eq!(spans(&remove(&start, (0, 0))), [(0, 2), (1, 2)]);
    let later = shift(&start, (2, 2), Way::Later).unwrap();
    assert_eq!(spans(&later), [(1, 4), (3, 4)]);
    let turned = shift(&start, (1, 1), Way::Later).unwrap();
    assert_eq!(spans(&turned), [(2, 3), (1, 2)]);
    let copied = duplicate(&start, (1, 2));
    assert_eq!(spans(&copied), [(1, 3), (2, 3)]);
    assert_eq!(copied.parts[0].marks[1].measure, 4);
    assert_eq!(copied.parts[0].marks[1].to, Some(Place::start_of(5)));
}

#[test]
fn a_copy_has_what_was_in_force_and_no_names() {
    let mut start = guide("4/4 . 3/4 .");
    start.road_map.measures[1].section = Some("Evening".to_owned());
    start.road_map.measures[1].segno = Some(String::new());
    start.road_map.measures[1].repeat_from = true;
    tip(&mut start, "t", 1, 1);
    let copied = duplicate(&start, (1, 2));
    assert_eq!(own(&copied), "4/4 . 3/4 4/4 3/4 .");
    let copy = &copied.road_map.measures[3];
    assert_eq!((&copy.section, &copy.segno), (&None, &None));
    assert!(copy.repeat_from && copy.label.is_empty());
    assert_eq!(copied.tips, start.tips);
}

#[test]
fn taking_measures_out_keeps_tempo_repeats_and_movements() {
    let mut start = guide("4/4 . . . . .");
    let quick = TempoMark::at_once(BeatSpan::ZERO, "Brisk", "quarter = 132".parse().unwrap());
    start.road_map.measures[2].tempo.push(quick);
    start.road_map.measures[1].repeat_from = true;
    start.road_map.measures[4].repeat_back = Some(3);
    start.road_map.measures[1].movement = Some("Second".to_owned());
    let made = remove(&start, (1, 2));
    let next = &made.road_map.measures[1];
    assert_eq!(next.tempo[0].tempo, "quarter = 132".parse().ok());
    assert!(next.repeat_from);
    assert_eq!(next.movement.as_deref(), Some("Second"));
    let made = remove(&start, (4, 5));
    assert_eq!(made.road_map.measures[3].repeat_back, Some(3));
    // Both signs of a repeat go together.
    let made = remove(&start, (1, 4));
    assert!(!made.road_map.measures[1].repeat_from);
    assert_eq!(made.road_map.measures[0].repeat_back, None);
}

#[derive(Debug, Clone)]
enum Edit {
    Insert(usize),
    Remove(usize, usize),
    Copy(usize, usize),
    Shift(usize, usize, Way),
}

fn any_edit() -> impl Strategy<Value = Edit> {
    let two = || (0usize..8, 0usize..3).prop_map(|(first, more)| (first, first + more));
    prop_oneof![
        (0usize..8).prop_map(Edit::Insert),
        two().prop_map(|(first, last)| Edit::Remove(first, last)),
        two().prop_map(|(first, last)| Edit::Copy(first, last)),
        two().prop_map(|(first, last)| Edit::Shift(first, last, Way::Earlier)),
        two().prop_map(|(first, last)| Edit::Shift(first, last, Way::Later)),
    ]
}

fn any_guide() -> impl Strategy<Value = Guide> {
    let meters = prop::collection::vec(prop::sample::select(vec![".", ".", "3/4", "5/8"]), 7);
    let span = || prop::collection::vec((0usize..8, 1usize..4), 0..3);
    let tempi = prop::collection::vec((0usize..8, 40u16..44), 0..3);
    (meters, span(), span(), span(), tempi).prop_map(|(meters, rits, hairpins, tips, tempi)| {
        let mut made = guide(&format!("4/4 {}", meters.join(" ")));
        for (measure, length) in rits {
            if made.road_map.measures[measure].tempo.is_empty() {
                rit(&mut made, measure, (measure + length).min(8));
            }
        }
        for (measure, number) in tempi {
            if made.road_map.measures[measure].tempo.is_empty() {
                let tempo = format!("quarter = {number}").parse().unwrap();
                let mark = TempoMark::at_once(BeatSpan::ZERO, "", tempo);
                made.road_map.measures[measure].tempo.push(mark);
            }
        }
        for (measure, length) in hairpins {
            hairpin(&mut made, measure, (measure + length).min(8));
        }
        for (index, (measure, length)) in tips.into_iter().enumerate() {
            let last = (measure + length).min(7);
            tip(&mut made, &format!("t{index}"), measure, last);
        }
        made
    })
}

/// The label of each measure that has one, with the meter in which it is.
fn meters(guide: &Guide) -> Vec<(String, String)> {
    let layout = lay_out(&guide.road_map, &guide.settings).value;
    let measures = guide.road_map.measures.iter().zip(layout.measures());
    let mut all: Vec<(String, String)> = measures
        .filter(|(own, _)| !own.label.is_empty())
        .map(|(own, laid)| (own.label.clone(), laid.meter.to_string()))
        .collect();
    all.sort();
    all
}

proptest! {
    #[test]
    fn nothing_comes_loose(start in any_guide(), edit in any_edit()) {
        let made = match edit {
            Edit::Insert(index) => insert_after(&start, index, 2),
            Edit::Remove(first, last) => remove(&start, (first, last)),
            Edit::Copy(first, last) => duplicate(&start, (first, last.min(7))),
            Edit::Shift(first, last, way) => {
                shift(&start, (first, last), way).unwrap_or_else(|| start.clone())
            }
        };
        let codes = |guide: &Guide| -> Vec<&'static str> {
            check(guide).iter().map(|finding| finding.code).collect()
        };
        prop_assert_eq!(codes(&start), Vec::<&str>::new());
        if !made.road_map.measures.is_empty() {
            prop_assert_eq!(codes(&made), Vec::<&str>::new());
        }
        let before = meters(&start);
        for measure in meters(&made) {
            prop_assert!(before.contains(&measure), "{:?}", measure);
        }
        if matches!(edit, Edit::Shift(..)) {
            // Nothing is gained or lost.
            prop_assert_eq!(meters(&made), before);
        }
        prop_assert_eq!(made.tips.len(), start.tips.len());
    }
}
