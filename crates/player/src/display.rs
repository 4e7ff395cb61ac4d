//! What moves while playing: the count, the line, the cue, the change ahead.

use crate::app::App;
use crate::audio::buzz;
use crate::dom;
use crate::lines::{self, Lines};
use crate::message;
use crate::play;
use crate::schedule::Moment;
use crate::taps;
use cueleaf_plan::{Say, cue_text};
use cueleaf_time::Seconds;
use cueleaf_view::{
    Page, Width, Word, capital, kept_together, labelled, measure_text, next_text, number_of,
    paced_section_at, play_sign, played_line, rest_text, stop_sign, strip, strip_mark,
};

/// How wide the line of two measures is, in its own units.
pub(crate) const LINE: Width = Width::Whole(360.0);

/// What stands on the page now, so that only what is new is drawn.
#[derive(Debug, Clone, Default)]
pub(crate) struct Drawn {
    played: Option<usize>,
    count: Option<usize>,
    counted_in: Option<u16>,
    /// The tip whose cue is shown, and whether its place is still to come.
    cue: Option<(usize, bool)>,
    section: Option<String>,
    /// The number of the measure in a long rest.
    rest: Option<u16>,
    pub(crate) lines: Lines,
    /// What of the measure is still to be drawn, a piece a frame, last first.
    chores: Vec<Chore>,
    /// Whether the last measure was over before all of it was drawn: counts are quick, or frames few.
    hurried: bool,
    /// What a screen reader shall say of it.
    said: Vec<String>,
}

/// A piece of what a new measure brings. Each has a frame to itself, so that none is long; the
/// count waits for none of them.
#[derive(Debug, Clone, Copy)]
enum Chore {
    /// The line of the measure, and on it the tick of the count.
    Line,
    /// The measure's number and its section.
    Place,
    /// The rest, and the mark on the strip.
    Rest,
    /// The change that the next measure brings.
    Next,
    /// To say what is new.
    Say,
    /// To write the line of the next measure.
    WriteAhead,
    /// To put it into the page.
    DrawAhead,
    /// To lay out the next of its measures behind the line that is seen.
    LayOut,
}

impl Drawn {
    /// Gives the played measure that is on view.
    pub(crate) const fn played(&self) -> Option<usize> {
        self.played
    }
}

/// Lets a screen reader say something.
pub(crate) fn say(text: &str) {
    dom::set_text("speaker", text);
}

/// Writes on the large buttons what they do now; while it plays, every room has one that stops.
pub(crate) fn show_play_button(app: &App) {
    let stop = labelled(&stop_sign(), app.words.get(Word::Stop));
    let plays = app.playing.is_some();
    dom::hide_all(".stops", !plays);
    if plays {
        dom::show("play", &stop);
        dom::show("play-piece", &stop);
        return;
    }
    dom::show("play", &labelled(&play_sign(), app.words.get(Word::Play)));
    let found = dom::by_id("play-piece").and_then(|button| button.get_attribute("data-value"));
    let text = match found.and_then(|value| value.parse().ok()) {
        Some(measure) => {
            let place = measure_text(&app.page(), measure);
            app.words.fill(Word::PlayAt, &[&place])
        }
        None => app.words.get(Word::PlayPiece).to_owned(),
    };
    dom::show("play-piece", &labelled(&play_sign(), &text));
}

/// Draws the strip of the sections anew, with the paces they have now.
pub(crate) fn show_strip(app: &mut App) {
    let page = app.page();
    dom::show("strip", &strip(&page, app.practice.paces()));
    let played = app.drawn.played;
    let measure = played.and_then(|played| app.plan.order().get(played));
    if let (Some(own), Some(here)) = (measure, dom::by_id("here-now")) {
        dom::set(&here, "d", &strip_mark(&page, own.measure));
    }
}

/// Draws the place at which play would start.
pub(crate) fn show_start(app: &mut App) {
    app.drawn = Drawn {
        lines: app.drawn.lines.forgotten(),
        ..Drawn::default()
    };
    for id in ["count", "cue", "next", "section"] {
        dom::set_text(id, "");
    }
    if let Some(played) = app.plan.first_played(app.from) {
        let follows = (played + 1 < app.plan.order().len()).then_some(played + 1);
        lines::show(app, (played, follows));
        begin_measure(app, played);
        // At rest there is time for all at once, and nothing to say or to draw ahead.
        show_place(app, played);
        show_rest(app, played);
        app.drawn.chores.clear();
        app.drawn.said.clear();
        dom::set_text("count", &said(app, app.drawn.rest, played, 0));
    }
    rest(true);
}

/// Writes what is said on a count of a played measure: in a long rest its
/// number takes the place of "one".
pub(crate) fn said(app: &App, rest: Option<u16>, played: usize, count: usize) -> String {
    let own = app.plan.counts(played).get(count).map(|count| count.say);
    let rest = rest.filter(|_| count == 0).map(Say::number);
    rest.or(own).map_or_else(String::new, |say| say.to_string())
}

/// Shows the count as one that does not sound yet.
fn rest(resting: bool) {
    if let Some(count) = dom::by_id("count") {
        dom::mark(&count, "resting", resting);
    }
}

/// Begins a played measure, of which all is left to be done.
fn begin_measure(app: &mut App, played: usize) {
    app.drawn.rest = app.plan.rest_at(played).map(|rest| rest.number);
    app.drawn.played = Some(played);
    app.drawn.count = None;
    app.drawn.hurried = !app.drawn.chores.is_empty();
    app.drawn.chores.clear();
    app.drawn.chores.extend([
        Chore::LayOut,
        Chore::LayOut,
        Chore::DrawAhead,
        Chore::WriteAhead,
        Chore::Say,
        Chore::Next,
        Chore::Rest,
        Chore::Place,
    ]);
}

/// Writes where a played measure is; a new section is to be said. In the count-in its name stands
/// where the section will.
fn show_place(app: &mut App, played: usize) {
    let Some(own) = app.plan.order().get(played) else {
        return;
    };
    let page = app.page();
    dom::set_text("where", &capital(&measure_text(&page, own.measure)));
    if app.drawn.counted_in.is_some() {
        return;
    }
    let section = paced_section_at(&page, own.measure, app.practice.paces());
    dom::set_text("section", section.as_deref().unwrap_or_default());
    if app.drawn.section != section {
        app.drawn.section.clone_from(&section);
        let new = section.map(|name| app.words.fill(Word::SectionNow, &[&name]));
        app.drawn.said.extend(new);
    }
}

/// Writes where in a long rest a played measure is, and marks it on the strip. A long rest is told
/// when it starts; its numbers are for the eye.
fn show_rest(app: &mut App, played: usize) {
    let page = app.page();
    let rest = app.plan.rest_at(played);
    let resting = rest.as_ref().map(|rest| rest_text(&page, rest));
    dom::set_text("rest", resting.as_deref().unwrap_or_default());
    if let (Some(own), Some(here)) = (app.plan.order().get(played), dom::by_id("here-now")) {
        dom::set(&here, "d", &strip_mark(&page, own.measure));
    }
    if rest.is_some_and(|rest| rest.number == 1) && app.drawn.counted_in.is_none() {
        app.drawn.said.extend(resting);
    }
}

/// Writes the change that the measure after a played one brings, where it is played next.
fn show_next(app: &mut App, played: usize) {
    let next = app
        .playing
        .as_ref()
        .filter(|playing| app.drawn.counted_in.is_none() && playing.run.goes_on_after(played))
        .and_then(|_| next_text(&app.page(), played + 1));
    dom::set_text("next", next.as_deref().unwrap_or_default());
    app.drawn.said.extend(next);
}

/// Does one of the pieces that are left of a measure.
fn do_chore(app: &mut App) {
    let (Some(chore), Some(played)) = (app.drawn.chores.pop(), app.drawn.played) else {
        return;
    };
    match chore {
        Chore::Line => {
            let playing = app.playing.as_ref();
            let follows = playing.and_then(|playing| playing.run.after(played));
            lines::show(app, (played, follows));
            dom::mark_tick(app.drawn.lines.seen(), app.drawn.count);
        }
        Chore::Place => {
            show_place(app, played);
            if app.drawn.counted_in.is_none() {
                message::tell_at(app, played);
            }
        }
        Chore::Rest => show_rest(app, played),
        Chore::Next => show_next(app, played),
        Chore::Say => say_new(app),
        Chore::WriteAhead => {
            let run = app.playing.as_ref().map(|playing| &playing.run);
            if let Some((run, next)) = run.and_then(|run| Some((run, run.after(played)?))) {
                let pair = (next, run.after(next));
                lines::write_ahead(app, pair);
            }
        }
        Chore::DrawAhead => lines::draw_ahead(app),
        Chore::LayOut => lines::lay_out(&mut app.drawn.lines),
    }
}

fn say_new(app: &mut App) {
    let said = core::mem::take(&mut app.drawn.said);
    if !said.is_empty() {
        say(&said.join(". "));
    }
}

/// Draws what is heard now; runs every frame while playing.
pub(crate) fn frame(app: &mut App) {
    if app.tapping.is_some() {
        taps::frame(app);
        return;
    }
    let Some(at) = play::heard_now(app) else {
        return;
    };
    let Some(playing) = &app.playing else { return };
    let start = playing.run.start();
    let (counted, seconds) = match playing.run.moment(at) {
        Moment::CountIn(number) => (count_in(app, number), start),
        Moment::Music(seconds) => (music(app, seconds), seconds),
        // The timer that queues clicks ends the run.
        Moment::Before | Moment::Over => return,
    };
    // A count has its frame to itself, and its line the next.
    let line = matches!(app.drawn.chores.last(), Some(Chore::Line));
    if !counted && (line || !show_cue(app, seconds)) {
        do_chore(app);
    }
}

/// Shows a number of the count-in; tells whether it is new.
fn count_in(app: &mut App, number: u16) -> bool {
    let Some(playing) = &app.playing else {
        return false;
    };
    let first = playing.run.first();
    if app.drawn.counted_in == Some(number) {
        return false;
    }
    if app.drawn.played != Some(first) {
        begin_measure(app, first);
    }
    let begins = app.drawn.counted_in.replace(number).is_none();
    dom::set_text("count", &number.to_string());
    if begins {
        dom::set_text("section", app.words.get(Word::CountInWord));
        // A loop of one measure comes back to one that was counted.
        app.drawn.count = None;
        app.drawn.chores.push(Chore::Line);
        rest(true);
    }
    true
}

/// Shows the count of the music that is heard; tells whether it is new.
fn music(app: &mut App, seconds: Seconds) -> bool {
    let Some(instant) = app.plan.at(seconds) else {
        return false;
    };
    // A loop of one measure comes back to an earlier count of it.
    let turns = app.drawn.count.is_some_and(|before| instant.count < before);
    if app.drawn.played != Some(instant.played) || app.drawn.counted_in.is_some() || turns {
        if app.drawn.count.is_none() {
            rest(false);
        }
        app.drawn.counted_in = None;
        begin_measure(app, instant.played);
        if dom::is_ticked("buzz") {
            buzz();
        }
    }
    if app.drawn.count == Some(instant.count) {
        return false;
    }
    app.drawn.count = Some(instant.count);
    dom::set_text(
        "count",
        &said(app, app.drawn.rest, instant.played, instant.count),
    );
    app.drawn.chores.push(Chore::Line);
    if app.drawn.hurried {
        do_chore(app);
    }
    true
}

/// Shows the cue of a second of the plan and says it; tells whether it is new.
fn show_cue(app: &mut App, seconds: Seconds) -> bool {
    let shown = app.cues.at(seconds);
    let cue = shown.map(|cue| (cue.tip, seconds < cue.starts));
    let before = core::mem::replace(&mut app.drawn.cue, cue);
    if before == cue {
        return false;
    }
    let tip = shown.and_then(|cue| app.guide.tips.get(cue.tip));
    let mut text = tip.map(cue_text).unwrap_or_default().into_owned();
    let ahead = cue.is_some_and(|(_, ahead)| ahead);
    // What is still to come says where it comes.
    if ahead && let Some(own) = shown.and_then(|cue| app.plan.order().get(cue.played)) {
        let page = app.page();
        text = page
            .words
            .fill(Word::MeasureIs, &[&number_of(&page, own.measure), &text]);
    }
    dom::set_text("cue", &kept_together(&text));
    if let Some(element) = dom::by_id("cue") {
        dom::mark(&element, "ahead", ahead);
    }
    let is_new = before.map(|(tip, _)| tip) != cue.map(|(tip, _)| tip);
    if is_new && !text.is_empty() {
        app.drawn.said.push(text);
        app.drawn.chores.push(Chore::Say);
    }
    true
}

/// Draws counts of one measure and the next for the count room.
pub(crate) fn show_step_line(page: &Page<'_>, played: usize) {
    let next = (played + 1 < page.plan.order().len()).then_some(played + 1);
    let measures: Vec<usize> = [Some(played), next].into_iter().flatten().collect();
    dom::show("step-line", &played_line(page, &measures, LINE));
}
