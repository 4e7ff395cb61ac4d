//! What the student chose for practising: read from the panel of choices, kept
//! on the device, and put into what plays without a gap.

use crate::app::App;
use crate::audio::{Sounding, can_buzz};
use crate::ladder::{self, Ladder};
use crate::schedule::Laps;
use crate::{display, dom, events, kept, play};
use cueleaf_plan::{Between, ClickChoice, ClickOn, ClickSound, Pace};
use cueleaf_time::Level;
use cueleaf_view::{PACES, SectionPace, sections};

/// What the page knows of choices beyond what its fields hold.
#[derive(Debug, Default)]
pub(crate) struct Practice {
    /// The ladder, while one is climbed.
    pub(crate) ladder: Option<Ladder>,
    /// The first of two taps that choose a spot.
    pub(crate) tapped: Option<usize>,
    /// Where a finger came down to step.
    pub(crate) down: Option<(i32, i32)>,
    /// Whether what comes next is the tap of a swipe.
    pub(crate) swiped: bool,
    /// By how many seconds the student asks the display to be later.
    pub(crate) later: f64,
    /// The sections that have a pace of their own.
    pub(crate) paces: Vec<SectionPace>,
}

impl Practice {
    /// Gives the sections that go at a pace of their own now. On a ladder none does: its rungs are
    /// tempi of the whole spot.
    pub(crate) fn paces(&self) -> &[SectionPace] {
        if self.ladder.is_some() {
            &[]
        } else {
            &self.paces
        }
    }
}

/// The fields that are kept: those with a value, and those that are ticked.
const VALUES: [&str; 10] = [
    "click-on",
    "between",
    "silent-every",
    "sound",
    "volume",
    "count-in",
    "rung-from",
    "rung-to",
    "rungs",
    "clean",
];
const TICKS: [&str; 5] = ["accents", "each", "buzz", "letters", "tips-at-rung"];

fn number(id: &str) -> u16 {
    let value = dom::value_of(id).and_then(|value| value.parse().ok());
    value.unwrap_or_default()
}

/// Gives what clicks.
pub(crate) fn click() -> ClickChoice {
    ClickChoice {
        on: match number("click-on") {
            1 => ClickOn::Groups,
            2 => ClickOn::Downbeats,
            3 => ClickOn::OffBeats,
            4 => ClickOn::Nowhere,
            _ => ClickOn::Counts,
        },
        between: match number("between") {
            1 => Between::WhereItHelps,
            2 => Between::Always,
            _ => Between::Nothing,
        },
        silent_every: number("silent-every").min(8),
    }
}

/// Gives how the clicks sound.
pub(crate) fn sounding() -> Sounding {
    // Loudness as it is heard goes nearer to the square than to the number.
    let part = f32::from(number("volume").min(100)) / 100.0;
    Sounding {
        sound: match number("sound") {
            1 => ClickSound::Wooden,
            2 => ClickSound::Dry,
            _ => ClickSound::Clear,
        },
        strongest: if dom::is_ticked("accents") {
            Level::Downbeat
        } else {
            Level::Beat
        },
        volume: part * part,
    }
}

/// Gives how many measures are counted in.
pub(crate) fn count_in() -> u8 {
    u8::try_from(number("count-in")).unwrap_or(0).min(4)
}

/// Gives how often the spot is played.
pub(crate) fn laps() -> Laps {
    match (dom::is_ticked("again"), dom::is_ticked("each")) {
        (false, _) => Laps::Once,
        (true, false) => Laps::Again,
        (true, true) => Laps::AgainCountedIn,
    }
}

/// Gives the pace of the sections as it is now.
pub(crate) fn pace(app: &App) -> Pace {
    let paces = app.practice.paces();
    if paces.is_empty() {
        return Pace::default();
    }
    let all = sections(&app.page());
    all.iter().fold(Pace::default(), |pace, section| {
        pace.with_section(section.first, cueleaf_view::pace_of(paces, section.first))
    })
}

/// Gives the tempo in percent at which the ladder stands, or would start.
pub(crate) fn rung(app: &App) -> f64 {
    let ladder = app.practice.ladder.as_ref().and_then(Ladder::percent);
    ladder.unwrap_or_else(|| f64::from(number("rung-from").clamp(play::SLOWEST, play::FASTEST)))
}

/// Takes the paces of sections up as they are kept, those that the page offers.
pub(crate) fn recall_paces(app: &mut App) {
    let all = sections(&app.page());
    let mut paces = kept::paces(&app.guide);
    paces.retain(|(first, percent)| {
        PACES.contains(percent) && all.iter().any(|section| section.first == *first)
    });
    app.practice.paces = paces;
}

/// Lets every section go as planned.
pub(crate) fn even_paces(app: &mut App) {
    for section in sections(&app.page()) {
        dom::set_value(&("pace-".to_owned() + &section.first.to_string()), "100");
    }
    take_paces(app);
}

/// Takes the paces of sections up from the panel, and keeps them.
fn take_paces(app: &mut App) {
    let all = sections(&app.page());
    let own = all.iter().map(|section| {
        let id = "pace-".to_owned() + &section.first.to_string();
        (section.first, number(&id))
    });
    app.practice.paces = own
        .filter(|(_, percent)| PACES.contains(percent) && *percent != 100)
        .collect();
    kept::keep_paces(&app.guide, &app.practice.paces);
    display::show_strip(app);
    if app.playing.is_some() {
        play::renew(app);
    } else {
        display::show_start(app);
    }
}

/// Makes the ladder that is asked for; none when none is.
pub(crate) fn ladder(app: &App) -> Option<Ladder> {
    if !dom::is_ticked("ladder") {
        return None;
    }
    let (first, last) = play::ends(app, app.plan.first_played(app.from)?)?;
    let percent = |id| number(id).clamp(play::SLOWEST, play::FASTEST);
    let (from, to) = (percent("rung-from"), percent("rung-to"));
    let rungs = app.plan.ladder(first, last, from, to, number("rungs"));
    Ladder::new(rungs, number("clean").max(1))
}

/// Puts what is kept into a panel that was just drawn. What the panel does not
/// offer is passed over.
pub(crate) fn furnish(app: &mut App) {
    let found = kept::choices();
    let mut found = found.split(' ');
    for id in VALUES {
        let before = dom::value_of(id).unwrap_or_default();
        if let Some(value) = found.next().filter(|value| !value.is_empty()) {
            dom::set_value(id, value);
        }
        if dom::value_of(id).is_none_or(|value| value.is_empty()) {
            dom::set_value(id, &before);
        }
    }
    for (id, value) in TICKS.into_iter().zip(found) {
        if let Some(input) = dom::input(id) {
            input.set_checked(value == "1");
        }
    }
    let later = kept::latency();
    app.practice.later = f64::from(later) / 1000.0;
    dom::set_value("later", &later.to_string());
    dom::hide("can-buzz", !can_buzz());
    ladder::show(app);
}

/// Follows a choice, also while it plays, and keeps it.
pub(crate) fn changed(app: &mut App, group: &str) {
    match group {
        "ladder" => ladder::renew(app),
        "sections" => take_paces(app),
        "later" => {
            let later = dom::value_of("later").and_then(|value| value.parse().ok());
            let later = kept::keep_latency(later.unwrap_or(0));
            app.practice.later = f64::from(later) / 1000.0;
            dom::set_value("later", &later.to_string());
        }
        _ => play::renew(app),
    }
    let values = VALUES.map(|id| dom::value_of(id).unwrap_or_default());
    let ticks = TICKS.map(|id| if dom::is_ticked(id) { "1" } else { "0" });
    kept::keep_choices(&(values.join(" ") + " " + &ticks.join(" ")));
}

/// Opens the panel of choices, or closes it.
pub(crate) fn toggle() {
    if dom::by_id("choices").is_some_and(|panel| panel.has_attribute("hidden")) {
        show(Panel::Open);
    } else {
        show(Panel::Closed);
    }
}

/// How the panel of choices is to be.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Panel {
    /// In the place of the stage.
    Open,
    /// Away, so that the count is seen.
    Closed,
}

/// Shows the panel of choices or the stage.
pub(crate) fn show(panel: Panel) {
    let open = panel == Panel::Open;
    dom::hide("choices", !open);
    dom::hide("stage", open);
    if let Some(button) = dom::find("[data-do=choices]") {
        dom::set(
            &button,
            "aria-expanded",
            if open { "true" } else { "false" },
        );
    }
    dom::scroll_to(0.0);
}

/// Does what a letter asks for, where letters are switched on; tells whether it did.
pub(crate) fn letter(app: &mut App, key: &str) -> bool {
    if !dom::is_ticked("letters") {
        return false;
    }
    match key {
        "c" => toggle(),
        "l" => {
            if let Some(input) = dom::input("again") {
                input.set_checked(!input.checked());
            }
            play::renew(app);
        }
        "w" => ladder::went_well(app),
        "o" => ladder::once_more(app),
        "+" => events::change_percent(app, 5.0),
        "-" => events::change_percent(app, -5.0),
        _ => return false,
    }
    true
}
