//! Playing: clicks queued ahead, a clock that goes on without sound, changes on the way.

use crate::app::{App, go_to};
use crate::audio::{Audio, Output, Sounds, as_base, hush_notes, stay_awake};
use crate::clock::Clock;
use crate::schedule::{Moment, Run};
use crate::{choices, display, dom, events, practised, spot, steps, taps};
use cueleaf_plan::{ClickChoice, Plan};
use cueleaf_view::{Practised, Room, Word, measure_text, whole};
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

/// The slowest and the quickest pace of the page, in percent.
///
/// # Source
/// Our decision: what a student's hands make sense of.
pub(crate) const SLOWEST: u16 = 25;
pub(crate) const FASTEST: u16 = 150;

/// How often the time practised is noted while it plays, in seconds.
const NOTED_EVERY: f64 = 10.0;

/// How far ahead of the audio clock, in seconds, clicks are no longer touched:
/// they may already be on their way.
const SAFE: f64 = 0.1;

/// A run that is being played.
#[derive(Debug)]
pub(crate) struct Playing {
    pub(crate) run: Run,
    pub(crate) clock: Clock,
    /// Another plan than the guide's, where even clicks are wanted.
    pub(crate) plan: Option<Plan>,
    /// The page's clock up to which practice is noted.
    pub(crate) noted: f64,
    /// What of this run is noted: its measures so far, and for how long.
    pub(crate) practised: Option<Practised>,
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
pub(crate) fn page_clock() -> f64 {
    dom::window()
        .and_then(|window| window.performance())
        .map_or(0.0, |performance| performance.now() / 1000.0)
}

/// Gives the played measures, both included, that the page asks for from one on.
pub(crate) fn ends(app: &App, first: usize) -> Option<(usize, usize)> {
    let chosen: Option<usize> = dom::value_of("to").and_then(|value| value.parse().ok());
    let last = chosen.and_then(|to| spot::end_of(&app.plan, first, to));
    Some((
        first,
        last.unwrap_or(app.plan.order().len().checked_sub(1)?),
    ))
}

/// Makes the run that the choices in the page ask for, from a played measure.
fn run_from(app: &App, first: usize) -> Option<Run> {
    let ends = ends(app, first)?;
    let (laps, count_in) = (choices::laps(), choices::count_in());
    let run = Run::paced(&app.plan, &choices::pace(app), ends, laps, count_in);
    run.map(|run| run.clicking(choices::click()))
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
    let silent = begin(app, run, None, app.percent);
    if let Some(ladder) = &mut app.practice.ladder {
        ladder.begin();
    }
    go_to(app, Room::Play);
    // With very large text the count may stand below what is seen.
    if let Some(count) = dom::by_id("count") {
        count.scroll_into_view_with_bool(false);
    }
    dom::hide("silent", !silent);
    let page = app.page();
    let place = measure_text(&page, app.from);
    display::say(&app.words.fill(Word::Playing, &[&place]));
    display::show_play_button(app);
}

/// Begins a run in the room where the page is; tells whether it goes without sound from the
/// start. Only inside the handler of a tap or key.
pub(crate) fn begin(app: &mut App, run: Run, plan: Option<Plan>, percent: f64) -> bool {
    stop(app);
    hush_notes();
    // A context whose clock stands still, or that was closed, is not worth keeping.
    let how = choices::sounding();
    if app.audio.is_none() {
        app.audio = Audio::new(how).ok();
    }
    let output = app.audio.as_mut().and_then(|audio| {
        audio.resume();
        audio.sounds = Sounds::new(as_base(&audio.context), how).ok()?;
        Output::new(as_base(&audio.context), how.volume).ok()
    });
    let page = page_clock();
    let (now, silent) = match (&app.audio, &output) {
        (Some(audio), Some(_)) => (audio.context.current_time(), None),
        _ => (page, Some(0.0)),
    };
    app.playing = Some(Playing {
        run,
        plan,
        noted: page + FIRST,
        practised: None,
        clock: Clock::starting(now + FIRST, percent),
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
    look_after(app);
    events::next_frame();
    silent.is_some()
}

/// Starts at the measure chosen in the page.
pub(crate) fn start(app: &mut App) {
    // Where nothing from there on is played, it goes from the beginning.
    let first = app.plan.first_played(app.from).unwrap_or(0);
    choices::show(choices::Panel::Closed);
    start_at(app, first);
}

/// Goes on with what was chosen anew: without a gap where what plays is still in
/// the spot, else from its start.
pub(crate) fn renew(app: &mut App) {
    let Some(playing) = &app.playing else {
        return;
    };
    // A measure that is played several times goes on where it is.
    let first = playing.run.first();
    let here = app.plan.order().get(first).map(|own| own.measure) == Some(app.from);
    let first = here
        .then_some(first)
        .or_else(|| app.plan.first_played(app.from));
    let run = first.and_then(|first| run_from(app, first));
    let how = choices::sounding();
    let safe = playing.clock.at(now(app, playing) + SAFE).max(0.0);
    let shift = run
        .as_ref()
        .and_then(|run| playing.run.shift_into(run, safe));
    let (Some(run), Some(by)) = (run, shift) else {
        match first {
            Some(first) => start_at(app, first),
            None => stop(app),
        }
        return;
    };
    let Some(playing) = &mut app.playing else {
        return;
    };
    playing.run = run;
    playing.clock.shift(by);
    playing.queued = playing.queued.min(safe) + by;
    if let (Some(audio), Some(output)) = (&mut app.audio, &mut playing.output) {
        output.shift(by);
        output.cancel_from(safe + by);
        output.fade(&audio.context, how.volume);
        if let Ok(sounds) = Sounds::new(as_base(&audio.context), how) {
            audio.sounds = sounds;
        }
    }
    look_after(app);
}

/// Gives the second of the clock by which it plays.
pub(crate) fn now(app: &App, playing: &Playing) -> f64 {
    match (playing.silent, &app.audio) {
        (None, Some(audio)) => audio.context.current_time(),
        (silent, _) => page_clock() + silent.unwrap_or(0.0),
    }
}

/// Brings the sound back from the measure where play is. Only inside the handler
/// of a tap or key.
pub(crate) fn sound_again(app: &mut App) {
    if let Some(played) = app.drawn.played() {
        start_at(app, played);
    }
}

/// Stops, if it plays.
pub(crate) fn stop(app: &mut App) {
    practised::note(app);
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
    app.tapping = None;
    display::show_play_button(app);
    display::show_start(app);
    taps::show_button(app);
    steps::show(app);
    practised::show(app);
}

/// Gives the second of the run that is heard now.
pub(crate) fn heard_now(app: &App) -> Option<f64> {
    let playing = app.playing.as_ref()?;
    Some(playing.clock.at(heard(app) - app.practice.later))
}

/// Gives the second of the clock by which it plays that is heard now, as the device says.
pub(crate) fn heard(app: &App) -> f64 {
    let silent = app.playing.as_ref().and_then(|playing| playing.silent);
    match (silent, &app.audio) {
        (None, Some(audio)) => audio.heard(),
        (silent, _) => page_clock() + silent.unwrap_or(0.0),
    }
}

/// Queues what comes, and sees whether the audio clock still goes.
pub(crate) fn look_after(app: &mut App) {
    if let Some(playing) = &app.playing
        && page_clock() > playing.noted + NOTED_EVERY
    {
        practised::note(app);
    }
    let Some(playing) = &mut app.playing else {
        return;
    };
    let plan = playing.plan.as_ref().unwrap_or(&app.plan);
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
        let rate = playing.clock.rate_at(playing.queued);
        for click in playing.run.clicks(plan, playing.queued, to, rate) {
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

/// Sets the pace; while playing it changes with the next count, which keeps its
/// time.
pub(crate) fn set_percent(app: &mut App, percent: f64) {
    note_percent(app, percent);
    let Some(playing) = &app.playing else { return };
    let reached = playing.clock.at(now(app, playing)).max(0.0);
    // Ten seconds hold a count at any tempo a person counts in; every count is
    // looked for, not only those that click. A longer wait on a fermata changes at once.
    let run = playing.run.clone().clicking(ClickChoice::default());
    let plan = playing.plan.as_ref().unwrap_or(&app.plan);
    let counts = run.clicks(plan, reached, reached + 10.0, 1.0);
    let next = counts.first().map_or(reached + SAFE, |next| next.at);
    change_pace(app, next);
}

/// Sets the pace; while a loop plays it changes with the next time round.
pub(crate) fn set_percent_next_lap(app: &mut App, percent: f64) {
    let next = app.playing.as_ref().and_then(|playing| {
        let reached = playing.clock.at(now(app, playing) + SAFE);
        playing.run.next_lap(reached.max(0.0))
    });
    match next {
        Some(at) => {
            note_percent(app, percent);
            change_pace(app, at - NEAR);
        }
        None => set_percent(app, percent),
    }
}

/// How much before a lap its pace begins, in seconds: its first click may lie
/// this much early by rounding.
const NEAR: f64 = 1e-9;

fn note_percent(app: &mut App, percent: f64) {
    app.percent = percent.clamp(f64::from(SLOWEST), f64::from(FASTEST));
    dom::set_value("percent", &whole(app.percent));
    taps::show_percent(app);
}

/// Lets what comes after a second of the run go at the pace of the page.
fn change_pace(app: &mut App, at: f64) {
    let Some(playing) = &mut app.playing else {
        return;
    };
    playing.clock.change(at, app.percent);
    if let Some(output) = &mut playing.output {
        let after = at + f64::EPSILON * at.max(1.0);
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

/// Plays from one measure before a tip; at the ladder's tempo where that is chosen.
pub(crate) fn start_before_tip(app: &mut App, tip: usize) {
    let Some(tip) = app.guide.tips.get(tip) else {
        return;
    };
    if let Some(played) = app.plan.first_played(tip.spot.from.measure) {
        dom::set_value("to", "");
        if dom::is_ticked("tips-at-rung") {
            stop(app);
            note_percent(app, choices::rung(app));
        }
        start_at(app, played.saturating_sub(1));
    }
}

/// Queues clicks into any context; see [`crate::clicks_into`].
pub(crate) fn clicks_into(app: &App, context: &BaseAudioContext, from: f64, to: f64) -> Vec<f64> {
    let queue = || {
        let run = run_from(app, app.plan.first_played(app.from)?)?;
        let clock = Clock::starting(0.0, app.percent);
        let how = choices::sounding();
        let sounds = Sounds::new(context, how).ok()?;
        let output = Output::new(context, how.volume).ok()?;
        let begins = clock.time_of(from);
        let clicks = run.clicks(&app.plan, from, to, clock.rate_at(0.0));
        let times = clicks.into_iter().filter_map(|click| {
            let time = clock.time_of(click.at) - begins;
            let queued = sounds.queue(context, output.gain(), click.level, time);
            queued.ok().map(|(_, time)| time)
        });
        Some(times.collect())
    };
    queue().unwrap_or_default()
}
