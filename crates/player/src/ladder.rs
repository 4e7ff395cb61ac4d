//! The ladder: the same spot from slow to full tempo, up by the student's tap.

use crate::app::App;
use crate::{choices, display, dom, play};
use cueleaf_plan::{Climb, Rung};
use cueleaf_view::rung_text;

/// A ladder that is being climbed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Ladder {
    rungs: Vec<Rung>,
    climb: Climb,
    needed: u16,
    /// Whether any of it was played.
    begun: bool,
}

impl Ladder {
    /// Makes a ladder from its lowest rung, which goes up after so many times
    /// that went well; `None` without rungs.
    pub(crate) fn new(rungs: Vec<Rung>, needed: u16) -> Option<Self> {
        (!rungs.is_empty()).then_some(Self {
            rungs,
            climb: Climb::default(),
            needed,
            begun: false,
        })
    }

    /// Notes that it is played.
    pub(crate) const fn begin(&mut self) {
        self.begun = true;
    }

    /// Gives the pace of the present rung in percent.
    pub(crate) fn percent(&self) -> Option<f64> {
        Some(self.rungs.get(self.climb.rung)?.percent)
    }
}

/// Begins the ladder that the page asks for anew, or leaves it.
pub(crate) fn renew(app: &mut App) {
    app.practice.ladder = choices::ladder(app);
    // What plays already goes on as its first rung.
    if app.playing.is_some()
        && let Some(ladder) = &mut app.practice.ladder
    {
        ladder.begin();
    }
    let percent = app.practice.ladder.as_ref().and_then(Ladder::percent);
    if let Some(percent) = percent {
        if let Some(input) = dom::input("again") {
            input.set_checked(true);
        }
        play::renew(app);
        play::set_percent(app, percent);
    } else {
        // The sections go at their own tempo again.
        play::renew(app);
    }
    show(app);
    display::show_strip(app);
}

/// Goes on after a time that went well; the new tempo comes with the next time
/// round, or at once where play goes on.
pub(crate) fn went_well(app: &mut App) {
    let Some(ladder) = &mut app.practice.ladder else {
        return;
    };
    let rung = ladder.climb.rung;
    // What was not played did not go well: the first tap begins.
    if ladder.begun {
        ladder.climb = ladder.climb.went_well(ladder.needed, ladder.rungs.len());
    }
    let up = ladder.climb.rung != rung;
    go_on(app, up);
}

/// Stays on the rung after a time that did not go well.
pub(crate) fn once_more(app: &mut App) {
    if let Some(ladder) = &mut app.practice.ladder {
        ladder.climb = ladder.climb.once_more();
        go_on(app, false);
    }
}

fn go_on(app: &mut App, up: bool) {
    let percent = app.practice.ladder.as_ref().and_then(Ladder::percent);
    if up && let Some(percent) = percent {
        play::set_percent_next_lap(app, percent);
    }
    if app.playing.is_none() {
        play::start(app);
    }
    if let Some(text) = show(app) {
        display::say(&text);
    }
}

/// Shows where on the ladder the student is, and gives it in words.
pub(crate) fn show(app: &App) -> Option<String> {
    let ladder = app.practice.ladder.as_ref();
    dom::hide("climb", ladder.is_none());
    // Their room is needed for the ladder; the choices hold the spot, too.
    dom::hide("spot", ladder.is_some());
    let ladder = ladder?;
    let page = app.page();
    let text = rung_text(&page, &ladder.rungs, ladder.climb, ladder.needed);
    dom::set_text("rung", &text);
    dom::show_end("#room-play > .controls");
    Some(text)
}
