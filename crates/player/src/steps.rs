//! The count room: one count at a time, by the student's tap.

use crate::app::App;
use crate::audio::{can_speak, speak};
use crate::{display, dom, taps};
use cueleaf_plan::{Plan, Step};
use cueleaf_view::{Word, counts_text, measure_text, meter_text};

/// Finds the first uneven measure; without one, the beginning.
pub(crate) fn first_worth_counting(plan: &Plan) -> Step {
    let mut all = 0..plan.order().len();
    let uneven = all.find(|played| {
        plan.measure(*played)
            .is_some_and(|laid| laid.beats.is_uneven())
    });
    Step::on(uneven.unwrap_or(0), 0)
}

/// Keeps a place that still exists; else goes to the nearest before it.
pub(crate) fn still_there(plan: &Plan, step: Step) -> Step {
    let played = step.played.min(plan.order().len().saturating_sub(1));
    let last = plan.counts(played).len().saturating_sub(1);
    Step::on(played, step.count.min(last))
}

/// Goes to the first count of a written measure.
pub(crate) fn go_to_measure(app: &mut App, measure: usize) {
    if let Some(played) = app.plan.first_played(measure) {
        app.step = Step::on(played, 0);
        show(app);
    }
}

pub(crate) fn forward(app: &mut App) {
    if let Some(next) = app.plan.step_forward(app.step) {
        move_to(app, next);
    }
}

pub(crate) fn back(app: &mut App) {
    if let Some(before) = app.plan.step_back(app.step) {
        move_to(app, before);
    }
}

fn move_to(app: &mut App, step: Step) {
    if dom::is_ticked("speak") {
        let counts = app.plan.counts(step.played);
        if let Some(count) = counts.get(step.count) {
            speak(&count.say.to_string());
        }
    }
    let same_measure = app.step.played == step.played;
    app.step = step;
    if same_measure {
        show_count(app);
    } else {
        show(app);
    }
}

/// Draws the measure and the count.
pub(crate) fn show(app: &App) {
    dom::hide("can-speak", !can_speak() || taps::is_chosen());
    let page = app.page();
    let played = app.step.played;
    display::show_step_line(&page, played);
    if let (Some(own), Some(laid)) = (app.plan.order().get(played), app.plan.measure(played)) {
        let counted = counts_text(laid, &app.plan.counts(played), " | ");
        let meter = meter_text(&app.words, laid);
        let counted = app.words.fill(Word::MeterCounted, &[&meter, &counted]);
        let measure = measure_text(&page, own.measure);
        dom::set_text(
            "step-said",
            &app.words.fill(Word::MeasureIs, &[&measure, &counted]),
        );
        // A measure that stands twice in the list is chosen where it stands already.
        let value = own.measure.to_string();
        if dom::value_of("measure").as_deref() != Some(value.as_str()) {
            dom::set_value("measure", &value);
        }
    }
    show_count(app);
}

fn show_count(app: &App) {
    let counts = app.plan.counts(app.step.played);
    let count = counts.get(app.step.count);
    dom::set_text(
        "step-count",
        &count.map_or_else(String::new, |count| count.say.to_string()),
    );
    if let Some(count) = dom::by_id("step-count") {
        dom::mark(&count, "resting", false);
    }
    dom::mark_tick("step-line", Some(&format!("0.{}", app.step.count)));
}
