//! What moves while playing: the count, the line, the cue, the change ahead.

use crate::app::App;
use crate::audio::buzz;
use crate::dom;
use crate::message;
use crate::play;
use crate::schedule::Moment;
use crate::taps;
use cueleaf_plan::cue_text;
use cueleaf_time::Seconds;
use cueleaf_view::{
    Page, Width, Word, labelled, measure_text, next_text, play_sign, played_line, rest_text,
    paced_section_at, stop_sign, strip, strip_mark,
};

/// How wide the line of two measures is, in its own units.
pub(crate) const LINE: Width = Width::Whole(360.0);

/// What stands on the page now, so that only what is new is drawn.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Drawn {
    played: Option<usize>,
    count: Option<usize>,
    counted_in: Option<u16>,
    cue: Option<usize>,
    section: Option<String>,
    /// The number of the measure in a long rest.
    rest: Option<u16>,
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

/// Writes on the large button what it does now.
pub(crate) fn show_play_button(app: &App) {
    let (sign, word) = if app.playing.is_some() {
        (stop_sign(), Word::Stop)
    } else {
        (play_sign(), Word::Play)
    };
    dom::show("play", &labelled(&sign, app.words.get(word)));
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
    app.drawn = Drawn::default();
    for id in ["count", "cue", "next", "section"] {
        dom::set_text(id, "");
    }
    if let Some(played) = app.plan.first_played(app.from) {
        let follows = (played + 1 < app.plan.order().len()).then_some(played + 1);
        show_measure(app, played, follows);
        dom::set_text("count", &said(app, played, 0));
    }
    rest(true);
}

/// Writes what is said on a count of the measure on view: in a long rest its
/// number takes the place of "one".
fn said(app: &App, played: usize, count: usize) -> String {
    let own = app.plan.counts(played).get(count).map(|count| count.say);
    let rest = app.drawn.rest.filter(|_| count == 0);
    rest.or(own).map_or_else(String::new, |say| say.to_string())
}

/// Shows the count as one that does not sound yet.
fn rest(resting: bool) {
    if let Some(count) = dom::by_id("count") {
        dom::mark(&count, "resting", resting);
    }
}

/// Draws a played measure and the one after it; gives the section when it is new.
fn show_measure(app: &mut App, played: usize, follows: Option<usize>) -> Option<String> {
    let page = app.page();
    let measures: Vec<usize> = [Some(played), follows].into_iter().flatten().collect();
    dom::show("line", &played_line(&page, &measures, LINE));
    let measure = app.plan.order().get(played)?.measure;
    dom::set_text("where", &measure_text(&page, measure));
    if let Some(here) = dom::by_id("here-now") {
        dom::set(&here, "d", &strip_mark(&page, measure));
    }
    let section = paced_section_at(&page, measure, app.practice.paces());
    dom::set_text("section", section.as_deref().unwrap_or_default());
    let new = app.drawn.section != section;
    let rest = app.plan.rest_at(played);
    let resting = rest.as_ref().map(|rest| rest_text(&page, rest));
    dom::set_text("rest", &resting.unwrap_or_default());
    app.drawn.rest = rest.map(|rest| rest.number);
    app.drawn.played = Some(played);
    app.drawn.count = None;
    app.drawn.section.clone_from(&section);
    section.filter(|_| new)
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
    match playing.run.moment(at) {
        Moment::Before => {}
        Moment::CountIn(number) => {
            let first = playing.run.first();
            if app.drawn.counted_in != Some(number) {
                app.drawn.counted_in = Some(number);
                dom::set_text("count", &number.to_string());
                let word = app.words.get(Word::CountInWord);
                dom::set_text("section", word);
                dom::mark_tick("line", None);
                rest(true);
            }
            if app.drawn.played != Some(first) {
                let follows = playing.run.after(first);
                show_measure(app, first, follows);
            }
            let mut said = Vec::new();
            show_cue(app, start, &mut said);
            if let Some(cue) = said.first() {
                say(cue);
            }
        }
        Moment::Music(seconds) => music(app, seconds),
        // The timer that queues clicks ends the run.
        Moment::Over => {}
    }
}

fn music(app: &mut App, seconds: Seconds) {
    let (Some(instant), Some(playing)) = (app.plan.at(seconds), &app.playing) else {
        return;
    };
    let mut said_now: Vec<String> = Vec::new();
    let new_measure = app.drawn.played != Some(instant.played) || app.drawn.counted_in.is_some();
    if new_measure {
        app.drawn.counted_in = None;
        rest(false);
        let goes_on = playing.run.goes_on_after(instant.played);
        let follows = playing.run.after(instant.played);
        let section = show_measure(app, instant.played, follows);
        message::tell_at(app, instant.played);
        said_now.extend(section.map(|name| app.words.fill(Word::SectionNow, &[&name])));
        if dom::is_ticked("buzz") {
            buzz();
        }
        let page = app.page();
        let rest = app.plan.rest_at(instant.played);
        // A long rest is told when it starts; its numbers are for the eye.
        said_now.extend(
            rest.filter(|rest| rest.number == 1)
                .map(|rest| rest_text(&page, &rest)),
        );
        let next = goes_on
            .then(|| next_text(&page, instant.played + 1))
            .flatten();
        dom::set_text("next", next.as_deref().unwrap_or_default());
        said_now.extend(next);
    }
    if app.drawn.count != Some(instant.count) {
        app.drawn.count = Some(instant.count);
        dom::set_text("count", &said(app, instant.played, instant.count));
        dom::mark_tick("line", Some(&format!("0.{}", instant.count)));
    }
    show_cue(app, seconds, &mut said_now);
    if !said_now.is_empty() {
        say(&said_now.join(". "));
    }
}

fn show_cue(app: &mut App, seconds: Seconds, said: &mut Vec<String>) {
    let cue = app.cues.at(seconds).map(|cue| cue.tip);
    if app.drawn.cue == cue {
        return;
    }
    app.drawn.cue = cue;
    let tip = cue.and_then(|tip| app.guide.tips.get(tip));
    let text = tip.map(cue_text).unwrap_or_default();
    dom::set_text("cue", &text);
    if !text.is_empty() {
        said.push(text.into_owned());
    }
}

/// Draws counts of one measure and the next for the count room.
pub(crate) fn show_step_line(page: &Page<'_>, played: usize) {
    let next = (played + 1 < page.plan.order().len()).then_some(played + 1);
    let measures: Vec<usize> = [Some(played), next].into_iter().flatten().collect();
    dom::show("step-line", &played_line(page, &measures, LINE));
}
