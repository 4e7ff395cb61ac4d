//! The count room: one count at a time, by the student's tap.

use crate::app::App;
use crate::audio::{can_speak, speak};
use crate::{display, dom, taps};
use cueleaf_plan::{Plan, Step};
use cueleaf_view::{Word, capital, counts_text, measure_text, meter_text};

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
    let next = app.plan.step_forward(app.step);
    // At the end it goes round in the last measure.
    move_to(app, next.unwrap_or(Step::on(app.step.played, 0)));
}

pub(crate) fn back(app: &mut App) {
    if let Some(before) = app.plan.step_back(app.step) {
        move_to(app, before);
    }
}

fn move_to(app: &mut App, step: Step) {
    let before = core::mem::replace(&mut app.step, step);
    let count = said(app);
    let aloud = dom::is_ticked("speak");
    if aloud {
        speak(&count);
    }
    let mut told = Vec::new();
    if before.played == step.played {
        show_count(app);
    } else {
        // A measure that is counted as the one before is named alone.
        let measure = |played: usize| app.plan.measure(played);
        let same = match (measure(before.played), measure(step.played)) {
            (Some(one), Some(other)) => one.beats == other.beats && one.meter == other.meter,
            _ => false,
        };
        let own = app.plan.order().get(step.played);
        told.extend(match own.filter(|_| same) {
            Some(own) => Some(measure_text(&app.page(), own.measure)),
            None => counted(app),
        });
        show(app);
    }
    // The student's own pace leaves time to say each count, which playing does not.
    if !aloud {
        told.push(count);
    }
    display::say(&told.join(". "));
}

/// Draws the measure and the count.
pub(crate) fn show(app: &App) {
    dom::hide("can-speak", !can_speak() || taps::is_chosen());
    let page = app.page();
    let played = app.step.played;
    display::show_step_line(&page, played);
    if let (Some(own), Some(counted)) = (app.plan.order().get(played), counted(app)) {
        dom::set_text("step-said", &capital(&counted));
        // A measure that stands twice in the list is chosen where it stands already.
        let value = own.measure.to_string();
        if dom::value_of("measure").as_deref() != Some(value.as_str()) {
            dom::set_value("measure", &value);
        }
    }
    show_count(app);
}

/// Says where the step is and how the measure is counted.
fn counted(app: &App) -> Option<String> {
    let played = app.step.played;
    let laid = app.plan.measure(played)?;
    let counted = counts_text(laid, &app.plan.counts(played), " | ");
    let meter = meter_text(&app.words, laid);
    let counted = app.words.fill(Word::MeterCounted, &[&meter, &counted]);
    let measure = measure_text(&app.page(), app.plan.order().get(played)?.measure);
    Some(app.words.fill(Word::MeasureIs, &[&measure, &counted]))
}

/// Gives what is said on the count where the step is.
fn said(app: &App) -> String {
    let Step { played, count, .. } = app.step;
    let rest = app.plan.rest_at(played).map(|rest| rest.number);
    display::said(app, rest, played, count)
}

fn show_count(app: &App) {
    dom::set_text("step-count", &said(app));
    if let Some(count) = dom::by_id("step-count") {
        dom::mark(&count, "resting", false);
    }
    dom::mark_tick("step-line", Some(app.step.count));
}
