//! Playing: clicks queued ahead, a clock that goes on without sound, changes on the way.

use crate::app::{App, go_to};
use crate::audio::{Audio, Output, Sounds, as_base, stay_awake};
use crate::schedule::{Clock, Laps, Moment, Run};
use crate::{display, dom, events};
use cueleaf_view::{Room, Word, measure_text};
use gloo_timers::callback::Interval;
use web_sys::BaseAudioContext;

/// How far ahead clicks are queued, in seconds of the audio clock, and how
/// often the queue is looked after, in milliseconds.
///
/// # Source
/// Measured: half a second ahead survived blocks of 300 ms, two seconds ahead
/// blocks of 1.5 s.
const AHEAD: f64 = 4.0;
const LOOK_EVERY: u32 = 100;

/// The least time from the tap to the first click, in seconds: the system needs
/// some to start.
const FIRST: f64 = 0.35;

/// How long the audio clock may stand still, in seconds, before play goes on
/// without it: once it runs, and while it starts.
///
/// # Source
/// Measured: one browser took 1.4 s to start; another says at once that it runs,
/// moves by a hundredth of a second, and stands for half a second.
const STANDS: f64 = 0.5;
const STARTS: f64 = 2.5;

/// How far the audio clock has gone, in seconds, when it counts as running.
const RUNS: f64 = 0.1;

/// A run that is being played.
#[derive(Debug)]
pub(crate) struct Playing {
    pub(crate) run: Run,
    pub(crate) clock: Clock,
    output: Option<Output>,
    /// Up to which second of the run clicks are queued.
    queued: f64,
    /// When play goes on without sound: what to add to the page's clock.
    silent: Option<f64>,
    /// The audio clock at the start.
    began: f64,
    /// The audio clock when it last moved, and the page's clock then.
    moved: (f64, f64),
    _look: Interval,
}

/// Gives the page's clock in seconds.
fn page_clock() -> f64 {
    dom::window()
        .and_then(|window| window.performance())
        .map_or(0.0, |performance| performance.now() / 1000.0)
}

/// Makes the run that the choices in the page ask for, from a played measure.
fn run_from(app: &App, first: usize) -> Option<Run> {
    let order = app.plan.order();
    let chosen: Option<usize> = dom::value_of("to").and_then(|value| value.parse().ok());
    let last = chosen.and_then(|to| {
        let after = order.iter().skip(first).position(|own| own.measure == to);
        after.map(|after| first + after)
    });
    let laps = if dom::is_ticked("again") {
        Laps::Again
    } else {
        Laps::Once
    };
    let last = last.unwrap_or_else(|| order.len().saturating_sub(1));
    Run::new(
        &app.plan,
        first,
        last,
        laps,
        app.guide.settings.count_in.min(4),
    )
}

/// Starts at a played measure. Only inside the handler of a tap or key.
pub(crate) fn start_at(app: &mut App, first: usize) {
    stop(app);
    let Some(run) = run_from(app, first) else {
        return;
    };
    if let Some(own) = app.plan.order().get(first) {
        app.from = own.measure;
        dom::set_value("from", &app.from.to_string());
    }
    // A context whose clock stands still, or that was closed, is not worth keeping.
    if app.audio.is_none() {
        app.audio = Audio::new().ok();
    }
    let output = app.audio.as_ref().and_then(|audio| {
        audio.resume();
        Output::new(as_base(&audio.context)).ok()
    });
    let page = page_clock();
    let (now, silent) = match (&app.audio, &output) {
        (Some(audio), Some(_)) => (audio.context.current_time(), None),
        _ => (page, Some(0.0)),
    };
    app.playing = Some(Playing {
        run,
        clock: Clock::starting(now + FIRST, app.percent),
        output,
        queued: 0.0,
        silent,
        began: now,
        moved: (now, page),
        _look: Interval::new(LOOK_EVERY, || {
            crate::app::with(look_after);
        }),
    });
    stay_awake(true);
    go_to(app, Room::Play);
    // With very large text the button that was pressed stands below the count.
    dom::scroll_to(0.0);
    dom::hide("silent", silent.is_none());
    let page = app.page();
    let place = measure_text(&page, app.from);
    display::say(&app.words.fill(Word::Playing, &[&place]));
    display::show_play_button(app);
    look_after(app);
    events::next_frame();
}

/// Starts at the measure chosen in the page.
pub(crate) fn start(app: &mut App) {
    if let Some(first) = app.plan.first_played(app.from) {
        start_at(app, first);
    }
}

/// Stops, if it plays.
pub(crate) fn stop(app: &mut App) {
    let Some(playing) = app.playing.take() else {
        return;
    };
    if let (Some(audio), Some(output)) = (&app.audio, playing.output) {
        output.silence(&audio.context);
    }
    if playing.silent.is_some()
        && let Some(audio) = app.audio.take()
    {
        audio.close();
    }
    stay_awake(false);
    display::show_play_button(app);
    display::show_start(app);
}

/// Gives the second of the run that is heard now.
pub(crate) fn heard_now(app: &App) -> Option<f64> {
    let playing = app.playing.as_ref()?;
    let time = match (playing.silent, &app.audio) {
        (None, Some(audio)) => audio.heard(),
        (silent, _) => page_clock() + silent.unwrap_or(0.0),
    };
    Some(playing.clock.at(time))
}

/// Queues what comes, and sees whether the audio clock still goes.
pub(crate) fn look_after(app: &mut App) {
    let (Some(playing), plan) = (&mut app.playing, &app.plan) else {
        return;
    };
    if playing.silent.is_none()
        && let Some(audio) = &app.audio
        && let Some(output) = &mut playing.output
    {
        let now = audio.context.current_time();
        let page = page_clock();
        if now > playing.moved.0 {
            playing.moved = (now, page);
        }
        let runs = audio.is_running() && now > playing.began + RUNS;
        let patience = if runs { STANDS } else { STARTS };
        if page - playing.moved.1 > patience {
            go_on_silently(playing, audio);
            return;
        }
        let to = playing.clock.at(now + AHEAD);
        let reached = playing.clock.at(now);
        for click in playing.run.clicks(plan, playing.queued, to) {
            let time = playing.clock.time_of(click.at);
            // A click whose time has passed is dropped, never played late.
            if time < now {
                continue;
            }
            let queued =
                audio
                    .sounds
                    .queue(as_base(&audio.context), output.gain(), click.level, time);
            if let Ok((source, _)) = queued {
                output.keep(click.at, source, reached);
            }
        }
        playing.queued = playing.queued.max(to);
    }
    if heard_now(app).is_some_and(|at| {
        let run = app.playing.as_ref().map(|playing| playing.run.moment(at));
        run == Some(Moment::Over)
    }) {
        stop(app);
        display::say(app.words.get(Word::Finished));
    }
}

fn go_on_silently(playing: &mut Playing, audio: &Audio) {
    let (time, then) = playing.moved;
    // Whatever the context still holds would sound at the wrong time.
    if let Some(output) = playing.output.take() {
        output.silence(&audio.context);
    }
    playing.silent = Some(time - then);
    dom::hide("silent", false);
}

/// Sets the pace; while playing it changes with the next beat.
pub(crate) fn set_percent(app: &mut App, percent: u16) {
    app.percent = percent.clamp(25, 150);
    dom::set_value("percent", &app.percent.to_string());
    let (Some(playing), plan) = (&mut app.playing, &app.plan) else {
        return;
    };
    let now = match (playing.silent, &app.audio) {
        (None, Some(audio)) => audio.context.current_time(),
        (silent, _) => page_clock() + silent.unwrap_or(0.0),
    };
    let reached = playing.clock.at(now).max(0.0);
    // The next click keeps its time; what comes after it goes at the new pace.
    // Ten seconds hold a click at any tempo a person counts in.
    let next = playing.run.clicks(plan, reached, reached + 10.0);
    let Some(next) = next.first() else {
        return;
    };
    playing.clock.change(next.at, app.percent);
    if let Some(output) = &mut playing.output {
        let after = next.at + f64::EPSILON * next.at.max(1.0);
        output.cancel_from(after);
        playing.queued = playing.queued.min(after);
    }
    look_after(app);
}

/// Moves the start by a measure; while playing it goes on from there.
pub(crate) fn move_start(app: &mut App, forward: bool) {
    let now = match (&app.playing, app.drawn.played()) {
        (Some(_), Some(played)) => Some(played),
        _ => app.plan.first_played(app.from),
    };
    let Some(now) = now else { return };
    let last = app.plan.order().len().saturating_sub(1);
    let next = if forward {
        (now + 1).min(last)
    } else {
        now.saturating_sub(1)
    };
    if app.playing.is_some() {
        start_at(app, next);
    } else if let Some(own) = app.plan.order().get(next) {
        app.from = own.measure;
        dom::set_value("from", &app.from.to_string());
        display::show_start(app);
    }
}

/// Plays from one measure before a tip.
pub(crate) fn start_before_tip(app: &mut App, tip: usize) {
    let Some(tip) = app.guide.tips.get(tip) else {
        return;
    };
    if let Some(played) = app.plan.first_played(tip.spot.from.measure) {
        dom::set_value("to", "");
        start_at(app, played.saturating_sub(1));
    }
}

/// Queues clicks into any context; see [`crate::clicks_into`].
pub(crate) fn clicks_into(app: &App, context: &BaseAudioContext, from: f64, to: f64) -> Vec<f64> {
    let queue = || {
        let run = run_from(app, app.plan.first_played(app.from)?)?;
        let clock = Clock::starting(0.0, app.percent);
        let sounds = Sounds::new(context).ok()?;
        let output = Output::new(context).ok()?;
        let begins = clock.time_of(from);
        let clicks = run.clicks(&app.plan, from, to);
        let times = clicks.into_iter().filter_map(|click| {
            let time = clock.time_of(click.at) - begins;
            let queued = sounds.queue(context, output.gain(), click.level, time);
            queued.ok().map(|(_, time)| time)
        });
        Some(times.collect())
    };
    queue().unwrap_or_default()
}
