//! Choosing a spot to loop: by two taps on its measures, or from a tip.

use crate::app::App;
use crate::{display, dom, ladder, play};
use cueleaf_view::{Word, measure_text, measures_text};

/// Takes a tap on a measure: the first and the second make a spot, whichever
/// of them lies earlier.
pub(crate) fn tapped(app: &mut App, measure: usize) {
    match app.practice.tapped.take() {
        Some(other) => choose(app, measure.min(other), measure.max(other)),
        None => {
            app.practice.tapped = Some(measure);
            let text = measure_text(&app.page(), measure);
            mark(app, measure, measure);
            tell(&app.words.fill(Word::NowTheLast, &[&text]));
        }
    }
}

/// Loops the spot of a tip.
pub(crate) fn of_tip(app: &mut App, tip: usize) {
    if let Some(tip) = app.guide.tips.get(tip) {
        let (first, last) = (tip.spot.from.measure, tip.spot.last_measure());
        choose(app, first, last);
    }
}

fn choose(app: &mut App, first: usize, last: usize) {
    app.practice.tapped = None;
    app.from = first;
    dom::set_value("from", &first.to_string());
    dom::set_value("to", &last.to_string());
    if let Some(input) = dom::input("again") {
        input.set_checked(true);
    }
    mark(app, first, last);
    let text = measures_text(&app.page(), first, last);
    tell(&app.words.fill(Word::LoopIs, &[&text]));
    if app.playing.is_some() {
        play::renew(app);
    } else {
        display::show_start(app);
    }
    ladder::renew(app);
}

fn tell(text: &str) {
    dom::set_text("spot-said", text);
    display::say(text);
}

/// Shows which measures are chosen.
fn mark(app: &App, first: usize, last: usize) {
    for measure in 0..app.guide.road_map.measures.len() {
        if let Some(button) =
            dom::find(&("[data-do=spot][data-value=\"".to_owned() + &measure.to_string() + "\"]"))
        {
            let chosen = (first..=last).contains(&measure);
            dom::set(
                &button,
                "aria-pressed",
                if chosen { "true" } else { "false" },
            );
        }
    }
}
