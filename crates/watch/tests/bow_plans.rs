//! Bow plans reckoned by hand, in eighths of the bow from the frog.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests may fail loudly, as tests do"
)]

mod common;

use common::{guide, score};
use cueleaf_guide::Spot;
use cueleaf_score::Bowing;
use cueleaf_watch::{BowPlan, BowStart, bow_plan};

fn plan(measures: &[&str], from: f64, amount: f64) -> BowPlan {
    let score = score(&[("Viola", measures)]);
    let span = Spot::measures(0, measures.len() - 1);
    let start = BowStart::new(from, amount).unwrap();
    bow_plan(&score, 0, &guide(&score), span, start)
}

fn lines(plan: &BowPlan) -> Vec<String> {
    let rounded = |number: f64| (number * 100.0).round() / 100.0;
    plan.strokes
        .iter()
        .map(|stroke| {
            let way = match stroke.way {
                Bowing::Down => "down",
                Bowing::Up => "up",
            };
            let mark = if stroke.marked { " marked" } else { "" };
            let short = match rounded(stroke.short_by) {
                0.0 => String::new(),
                short => format!(", {short} short"),
            };
            format!(
                "{way}{mark} {} to {}{short}",
                rounded(stroke.from),
                rounded(stroke.to)
            )
        })
        .collect()
}

#[test]
fn at_one_speed_half_the_time_takes_half_the_bow() {
    // A half note takes the whole bow, so a quarter takes half of it: Fischbach's example.
    let plan = plan(&["[4/4 @60 D4:8 D4:4 D4:4"], 0.0, 8.0);
    assert_eq!(lines(&plan), ["down 0 to 8", "up 8 to 4", "down 4 to 8"]);
    assert_eq!(plan.runs_out(), None);
}

#[test]
fn three_to_one_runs_out_on_the_second_long_stroke() {
    // Six eighths for three quarters, two for one: back only to 4, and 4 + 6 is 2 too many.
    let plan = plan(&["[4/4 @60 D4:12 D4:4", "D4:12 D4:4"], 0.0, 6.0);
    let expected = [
        "down 0 to 6",
        "up 6 to 4",
        "down 4 to 8, 2 short",
        "up 8 to 6",
    ];
    assert_eq!(lines(&plan), expected);
    assert_eq!(plan.runs_out(), Some(2));
}

#[test]
fn marked_bowings_are_obeyed() {
    // Down and down again is a retake to where the first began; up after up goes on.
    let retake = plan(&["[4/4 @60 D4:8n D4:8n"], 1.0, 4.0);
    assert_eq!(lines(&retake), ["down marked 1 to 5", "down marked 1 to 5"]);
    let hook = plan(&["[4/4 @60 D4:4v D4:4v D4:8"], 8.0, 2.0);
    assert_eq!(
        lines(&hook),
        ["up marked 8 to 6", "up marked 6 to 4", "down 4 to 8"]
    );
}

#[test]
fn unmarked_a_phrase_goes_down_on_a_strong_beat_and_up_on_a_weak_one() {
    let plan = plan(&["[4/4 @60 r:12 D4:4", "E4:8 r:8", "D4:16"], 8.0, 2.0);
    // The pickup up, the downbeat down; after two beats of rest down on the downbeat.
    assert_eq!(
        lines(&plan),
        ["up 8 to 6", "down 6 to 8, 2 short", "down 6 to 8, 6 short"]
    );
}

#[test]
fn a_slur_is_one_stroke_and_a_change_of_tempo_takes_bow() {
    // One slur over two quarters; then at half the tempo a quarter lasts as long.
    let plan = plan(&["[2/4 @120 D4:4( E4:4)", "@60 D4:4 D4:4"], 0.0, 4.0);
    assert_eq!(lines(&plan), ["down 0 to 4", "up 4 to 0", "down 0 to 4"]);
    assert_eq!(plan.strokes.first().map(|stroke| stroke.notes), Some(2));
}

#[test]
fn a_sign_inside_a_slur_begins_one_stroke_for_all_that_is_left() {
    let plan = plan(&["[4/4 @60 D4:4( E4:4 F#4:4v G4:4)"], 0.0, 4.0);
    let notes: Vec<usize> = plan.strokes.iter().map(|stroke| stroke.notes).collect();
    assert_eq!(notes, [2, 2]);
    assert_eq!(lines(&plan), ["down 0 to 4", "up marked 4 to 0"]);
}

#[test]
fn plucked_notes_take_no_bow() {
    assert_eq!(
        plan(&["[4/4 !pizz. D4:8 D4:8"], 0.0, 4.0),
        BowPlan::default()
    );
}

#[test]
fn the_first_way_may_be_chosen_where_no_sign_stands() {
    let score = score(&[("Viola", &["[4/4 @60 D4:8 D4:8"])]);
    let start = BowStart::new(4.0, 4.0).unwrap().going(Bowing::Up);
    let span = Spot::measures(0, 0);
    let plan = bow_plan(&score, 0, &guide(&score), span, start);
    assert_eq!(lines(&plan), ["up 4 to 0", "down 0 to 4"]);
}

#[test]
fn a_start_lies_on_the_bow() {
    assert!(BowStart::new(-0.5, 4.0).is_none());
    assert!(BowStart::new(8.5, 4.0).is_none());
    assert!(BowStart::new(0.0, 0.0).is_none());
    assert!(BowStart::new(0.0, f64::NAN).is_none());
}
