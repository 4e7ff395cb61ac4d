//! Tapping along in the count room, and finding the delay of the device by it.

use crate::app::{App, go_to};
use crate::schedule::{Laps, Moment, Run};
use crate::{choices, display, dom, kept, play};
use cueleaf_guide::{Guide, Id, Measure, TempoMark};
use cueleaf_plan::{
    ClickChoice, ClickOn, FINDING, LEAST_TAPS, Plan, Say, device_delay, judge_taps,
};
use cueleaf_time::BeatSpan;
use cueleaf_view::{Room, Word, labelled, play_sign, taps_result};
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// A round that is being tapped.
#[derive(Debug)]
pub(crate) struct Tapping {
    /// The seconds of the run at which the counts fall, and the one after the last.
    counts: Vec<f64>,
    taps: Vec<f64>,
    /// What to add to the page's clock to get what is heard, the most that was seen: the audio
    /// clock moves in steps, so at any moment it says at most what is true.
    ahead: Option<f64>,
    aim: Aim,
    drawn: Option<(usize, usize)>,
}

/// What a round is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Aim {
    Steadiness,
    Delay,
}

/// The clicks of a calibration: three measures of four at this tempo.
const EVEN: &str = "quarter = 100";
const EVEN_MEASURES: usize = 3;

/// How long before the end of the last count a round ends, in seconds of the run: the click that
/// would begin another is not heard.
const BEFORE_END: f64 = 0.03;

/// Shows stepping or tapping.
pub(crate) fn choose(app: &mut App, how: &str) {
    play::stop(app);
    let tap = how == "tap";
    show_measure(true);
    // What to do stands where the count will be.
    dom::hide("step-count", tap);
    dom::set_text("tapped", app.words.get(Word::HowToTap));
    dom::hide_all(".tapping", !tap);
    dom::hide_all(".stepping", tap);
    for (value, on) in [("step", !tap), ("tap", tap)] {
        if let Some(button) = dom::find(&format!("[data-do=how][data-value={value}]")) {
            dom::set(&button, "aria-pressed", if on { "true" } else { "false" });
        }
    }
    show_button(app);
    show_percent(app);
    dom::show_end("#room-count > .controls");
}

/// Shows or hides what is about the measure that is counted, and the choice of one.
fn show_measure(shown: bool) {
    dom::hide_all("#room-count .choose", !shown);
    for id in ["tap-here", "step-line", "step-said"] {
        dom::hide(id, !shown);
    }
}

/// Tells whether the room is for tapping along now.
pub(crate) fn is_chosen() -> bool {
    dom::by_id("tap").is_some_and(|button| !button.has_attribute("hidden"))
}

/// Writes on the buttons what they do now.
pub(crate) fn show_button(app: &App) {
    let (sign, word) = match &app.tapping {
        Some(_) => (None, Word::TapNow),
        None => (Some(play_sign()), Word::TapAlong),
    };
    let text = app.words.get(word);
    match sign {
        Some(sign) => dom::show("tap", &labelled(&sign, text)),
        None => dom::set_text("tap", text),
    }
    dom::hide("tap-stop", app.tapping.is_none());
    // The two have one place, so that a small phone keeps its row.
    dom::hide("tap-clicks", app.tapping.is_some());
}

/// Writes the tempo in percent.
pub(crate) fn show_percent(app: &App) {
    let percent = app
        .words
        .fill(Word::Percent, &[&cueleaf_view::whole(app.percent)]);
    dom::set_text("tap-percent", &percent);
}

/// Starts a round over the measure where the count room stands. Only inside the handler of a tap
/// or key.
pub(crate) fn start(app: &mut App) {
    let first = app.step.played;
    let long = dom::value_of("tap-long").and_then(|value| value.parse::<usize>().ok());
    let last = first + long.unwrap_or(1).clamp(1, 8) - 1;
    let count_in = choices::count_in().max(1);
    let Some(run) = Run::new(&app.plan, first, last, Laps::Again, count_in) else {
        return;
    };
    let on = if dom::is_ticked("tap-click") {
        ClickOn::Counts
    } else {
        ClickOn::Nowhere
    };
    // The measure is gone through until there is room for eight taps beside those that find it,
    // and a long one twice.
    let once = run.counts(&app.plan, 1).len().saturating_sub(1);
    let rounds = (LEAST_TAPS + FINDING).div_ceil(once.max(1)).max(2);
    let counts = run.counts(&app.plan, u16::try_from(rounds).unwrap_or_default());
    let run = run.clicking(ClickChoice {
        on,
        ..ClickChoice::default()
    });
    begin(app, run, None, counts, Aim::Steadiness);
}

/// Goes to the count room and starts even clicks there, by which the delay of the device is found.
pub(crate) fn calibrate(app: &mut App) {
    choices::show(choices::Panel::Closed);
    go_to(app, Room::Count);
    choose(app, "tap");
    let Some(plan) = even_plan() else { return };
    let Some(run) = Run::new(&plan, 0, EVEN_MEASURES - 1, Laps::Again, 1) else {
        return;
    };
    let counts = run.counts(&plan, 1);
    begin(app, run, Some(plan), counts, Aim::Delay);
    // These clicks are none of its measures.
    show_measure(false);
    dom::hide("tap-here", false);
    dom::set_text("tapped", app.words.get(Word::CalibrateHow));
    if let Some(button) = dom::by_id("tap").and_then(|own| own.dyn_into::<HtmlElement>().ok()) {
        let _ = button.focus();
    }
}

/// Makes a plan of even measures.
fn even_plan() -> Option<Plan> {
    let mut guide = Guide::new(Id::new("even")?, "");
    // Made one by one: to copy a measure needs code that nothing else does.
    let measures = core::iter::repeat_with(|| Measure::labelled("1"));
    guide.road_map.measures = measures.take(EVEN_MEASURES).collect();
    let first = guide.road_map.measures.first_mut()?;
    first.meter = "4/4".parse().ok();
    first.tempo = vec![TempoMark::at_once(BeatSpan::ZERO, "", EVEN.parse().ok()?)];
    Some(Plan::new(&guide).value)
}

fn begin(app: &mut App, run: Run, plan: Option<Plan>, counts: Vec<f64>, aim: Aim) {
    let percent = match aim {
        Aim::Steadiness => app.percent,
        Aim::Delay => 100.0,
    };
    play::begin(app, run, plan, percent);
    app.tapping = Some(Tapping {
        counts,
        taps: Vec::new(),
        ahead: None,
        aim,
        drawn: None,
    });
    show_measure(true);
    dom::hide("step-count", false);
    dom::set_text("tapped", "");
    show_button(app);
}

/// Takes a tap made at a time of the page's clock, in seconds.
pub(crate) fn tapped(app: &mut App, at: f64) {
    notice(app);
    let Some(playing) = &app.playing else { return };
    if let Some(tapping) = &mut app.tapping
        && let Some(ahead) = tapping.ahead
    {
        tapping.taps.push(playing.clock.at(at + ahead));
        if let Some(button) = dom::by_id("tap") {
            // Seen by who taps without hearing: the button is marked until the next frame.
            dom::mark(&button, "hit", true);
        }
    }
}

/// Notices how far what is heard is ahead of the page's clock.
fn notice(app: &mut App) {
    let now = play::heard(app) - play::page_clock();
    if let Some(tapping) = &mut app.tapping {
        let before = tapping.ahead.unwrap_or(f64::MIN);
        tapping.ahead = Some(before.max(now));
    }
}

/// Draws what is heard now; runs every frame of a round.
pub(crate) fn frame(app: &mut App) {
    notice(app);
    if let Some(button) = dom::by_id("tap") {
        dom::mark(&button, "hit", false);
    }
    let Some(at) = play::heard_now(app) else {
        return;
    };
    let (Some(playing), Some(tapping)) = (&app.playing, &app.tapping) else {
        return;
    };
    let ends = tapping.counts.last().copied().unwrap_or_default();
    if at >= ends - BEFORE_END {
        finish(app);
        return;
    }
    let plan = playing.plan.as_ref().unwrap_or(&app.plan);
    let (place, say, resting) = match playing.run.moment(at) {
        Moment::CountIn(number) => {
            let say = Some(Say::number(number));
            ((usize::MAX, usize::from(number)), say, true)
        }
        Moment::Music(seconds) => {
            let Some(instant) = plan.at(seconds) else {
                return;
            };
            let counts = plan.counts(instant.played);
            let say = counts.get(instant.count).map(|count| count.say);
            ((instant.played, instant.count), say, false)
        }
        Moment::Before | Moment::Over => return,
    };
    let before = tapping.drawn;
    if before == Some(place) {
        return;
    }
    let even = playing.plan.is_some();
    if !resting && !even {
        if before.map(|(played, _)| played) != Some(place.0) {
            display::show_step_line(&app.page(), place.0);
        }
        dom::mark_tick("step-line", Some(place.1));
    }
    let text = say.map_or_else(String::new, |say| say.to_string());
    dom::set_text("step-count", &text);
    if let Some(count) = dom::by_id("step-count") {
        dom::mark(&count, "resting", resting);
    }
    if let Some(tapping) = &mut app.tapping {
        tapping.drawn = Some(place);
    }
}

/// Ends a round and shows what it showed.
fn finish(app: &mut App) {
    let Some(tapping) = app.tapping.take() else {
        return;
    };
    play::stop(app);
    match tapping.aim {
        Aim::Steadiness => {
            let round = judge_taps(&tapping.counts, &tapping.taps);
            dom::show("tapped", &taps_result(&app.words, round.as_ref()));
        }
        Aim::Delay => {
            let delay = device_delay(&tapping.counts, &tapping.taps);
            let text = match delay {
                Some(delay) => {
                    let delay = kept::keep_latency(i16::try_from(delay).unwrap_or_default());
                    app.practice.later = f64::from(delay) / 1000.0;
                    dom::set_value("later", &delay.to_string());
                    app.words.fill(Word::DelayIs, &[&delay.to_string()])
                }
                None => app.words.get(Word::TooFewTaps).to_owned(),
            };
            // Back to where the round was asked for.
            choose(app, "step");
            go_to(app, Room::Play);
            choices::show(choices::Panel::Open);
            dom::set_text("delay-said", &text);
            if let Some(field) = dom::by_id("later") {
                field.scroll_into_view();
            }
            display::say(&text);
            return;
        }
    }
    // What it showed stands where the count was.
    for id in ["tap-here", "step-said"] {
        dom::hide(id, true);
    }
    dom::scroll_to(0.0);
}
