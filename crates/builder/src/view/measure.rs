//! One measure on the map: what changes there, its beats on the ruled line, its
//! number and its tips.

use crate::derived::{DOWN_BOW, Derived, MapLine, UP_BOW};
use crate::state::{Desk, Selection};
use crate::update::desk::measure_id;
use cueleaf_guide::{Guide, Laid, Measure, TempoMark};
use cueleaf_plan::counts_of;
use cueleaf_time::Level;
use cueleaf_view::{Words, key_text, note_sign};
use maud::{Markup, html};
use std::collections::BTreeSet;
use std::rc::Rc;

/// How wide a quarter note is drawn, in CSS pixels.
const QUARTER: f64 = 24.0;
/// No measure is drawn narrower: it has to be hit with a finger.
const NARROWEST: f64 = 44.0;
/// No measure is drawn wider than a narrow screen.
const WIDEST: f64 = 300.0;
const HEIGHT: u32 = 34;
const RULE: u32 = 28;

/// Draws a measure. What is written at it may reach over the next measure of
/// its line as far as that leaves room: `next` is how many rows stand there.
pub(super) fn measure(desk: &Desk, words: &Words, index: usize, next: usize) -> Markup {
    let derived = &desk.derived;
    let Some(own) = desk.guide().road_map.measures.get(index) else {
        return html! {};
    };
    let laid = derived.plan.layout().get(index);
    let tips = derived.tips_on.get(index).copied().unwrap_or(0);
    let found = found_at(desk, index);
    let notes = notes(derived, own, index, words);
    let chosen = desk.selection.has(index);
    html! {
        div id=(measure_id(index)) class={ "measure" @if found { " found" } @if chosen { " chosen" } }
            role="option" aria-selected=(chosen) data-do="measure" data-value=(index)
            tabindex=(if index == desk.selection.focus { "0" } else { "-1" }) {
            span class="unseen" { (said(derived, own, laid, index, &notes, tips, found)) }
            div class="notes" aria-hidden="true" {
                @for (row, note) in notes.iter().enumerate() {
                    div class={ "note-" (note.class) @if notes.len() - row > next { " roomy" } } title=(note.said) { (note.shown) }
                }
            }
            (drawn(laid))
            div class="foot" aria-hidden="true" {
                span class="number" { (derived.name(index)) }
                @if found { span class="finding-mark" title="Something to look at" { "!" } }
                @if tips > 0 { span class="tips" { (tips) " tip" @if tips > 1 { "s" } } }
            }
        }
    }
}

/// Tells how many rows are written at a measure.
pub(super) fn rows(desk: &Desk, words: &Words, index: usize) -> usize {
    let own = desk.guide().road_map.measures.get(index);
    own.map_or(0, |own| notes(&desk.derived, own, index, words).len())
}

fn found_at(desk: &Desk, index: usize) -> bool {
    let from_file = &desk.from_file;
    desk.derived.findings_at.contains_key(&index)
        || from_file.iter().any(|own| own.place.measure == Some(index))
}

/// What a measure's picture is drawn of, while it was on view.
#[derive(Debug, Clone)]
pub(crate) struct MapLooks {
    guide: Rc<Guide>,
    derived: Rc<Derived>,
    selection: Selection,
    from_file: Vec<Option<usize>>,
    /// The lines that wait to be drawn, by their first measures.
    waiting: BTreeSet<usize>,
}

impl MapLooks {
    /// Remembers what the measures are drawn of now, but for the lines that wait.
    pub(super) fn of(desk: &Desk, waiting: BTreeSet<usize>) -> Self {
        Self {
            guide: Rc::clone(desk.guide()),
            derived: Rc::clone(&desk.derived),
            selection: desk.selection,
            from_file: places(desk),
            waiting,
        }
    }

    /// Tells whether lines wait to be drawn.
    pub(crate) fn has_waiting(&self) -> bool {
        !self.waiting.is_empty()
    }

    /// Tells whether a line waits to be drawn.
    pub(super) fn waits(&self, first: usize) -> bool {
        self.waiting.contains(&first)
    }

    /// Tells whether all measures have to be drawn, whatever stands in them.
    pub(super) fn all_differ(&self, desk: &Desk) -> bool {
        self.guide.settings != desk.guide().settings || self.from_file != places(desk)
    }

    /// Gives the lines as they were.
    pub(super) fn lines(&self) -> &[MapLine] {
        &self.derived.lines
    }

    /// Says which measures a line had.
    pub(super) fn line_words(&self, line: &MapLine) -> String {
        super::map::line_words(&self.derived, line)
    }

    /// Tells whether a measure has to be drawn anew. It is drawn of what is compared here
    /// and of nothing else, but for what [`all_differ`](Self::all_differ) compares.
    pub(super) fn differ(&self, desk: &Desk, index: usize) -> bool {
        let (old, new) = (self.selection, desk.selection);
        let chosen = old.has(index) != new.has(index);
        let focus = old.focus != new.focus && (old.focus == index || new.focus == index);
        chosen || focus || !Rc::ptr_eq(&self.derived, &desk.derived) && self.music(desk, index)
    }

    fn music(&self, desk: &Desk, index: usize) -> bool {
        let (old, new) = (&self.derived, &desk.derived);
        let written = |index| {
            self.guide.road_map.measures.get(index) != desk.guide().road_map.measures.get(index)
                || old.playing.get(&index) != new.playing.get(&index)
        };
        let laid = || match (old.plan.layout().get(index), new.plan.layout().get(index)) {
            (Some(old), Some(new)) => !same_beats(old, new),
            (old, new) => old.is_some() != new.is_some(),
        };
        // What is written at a measure may reach over the next one.
        written(index)
            || written(index + 1)
            || !Rc::ptr_eq(&old.plan, &new.plan) && laid()
            || old.name(index) != new.name(index)
            || old.tips_on.get(index) != new.tips_on.get(index)
            || old.findings_at.contains_key(&index) != new.findings_at.contains_key(&index)
    }
}

fn places(desk: &Desk) -> Vec<Option<usize>> {
    let found = desk.from_file.iter();
    found.map(|finding| finding.place.measure).collect()
}

/// Tells whether two measures are counted and drawn alike, wherever they stand.
fn same_beats(old: &Laid, new: &Laid) -> bool {
    let look = |laid: &'_ Laid| {
        (
            laid.length,
            laid.choice,
            laid.pickup,
            laid.counts_each_group,
        )
    };
    look(old) == look(new)
        && old.beats == new.beats
        && old.meter == new.meter
        && old.grouping == new.grouping
}

/// Something that changes at a measure, as shown and as said.
struct Note {
    class: &'static str,
    shown: Markup,
    said: String,
}

fn note(class: &'static str, text: impl Into<String>) -> Note {
    let said = text.into();
    Note {
        class,
        shown: html! { (said) },
        said,
    }
}

fn notes(derived: &Derived, own: &Measure, index: usize, words: &Words) -> Vec<Note> {
    let mut notes = Vec::new();
    if let Some(mark) = own.mark.as_deref().filter(|mark| !mark.is_empty()) {
        notes.push(Note {
            said: format!("rehearsal mark {mark}"),
            ..note("mark", mark)
        });
    }
    notes.extend(own.tempo.iter().map(|mark| tempo(mark, words)));
    if let Some(key) = own.key {
        notes.push(note("key", key_text(words, key)));
    }
    if let Some(meter) = &own.meter {
        notes.push(Note {
            said: format!("meter {meter}"),
            ..note("meter", meter.to_string())
        });
    }
    if let Some(groups) = &own.groups {
        notes.push(Note {
            said: format!("groups {groups}"),
            ..note("groups", groups.to_string())
        });
    }
    notes.extend(order(own));
    let playing = derived.playing.get(&index).into_iter().flatten();
    notes.extend(playing.map(|text| match text.as_str() {
        DOWN_BOW => bow(text, "M4 14V4h10v10", "M4 5h10"),
        UP_BOW => bow(text, "M4 3l5 12l5-12", ""),
        _ => note("playing", text),
    }));
    notes
}

/// A bow sign, as it is printed.
fn bow(said: &str, line: &str, bar: &str) -> Note {
    let shown = html! {
        svg class="note" viewBox="0 0 18 18" width="18" height="18" aria-hidden="true" focusable="false" {
            path class="open" d={ (line) (bar) } {}
        }
    };
    Note {
        shown,
        ..note("playing", said)
    }
}

fn tempo(mark: &TempoMark, words: &Words) -> Note {
    let arrow = if mark.until.is_some() { "→ " } else { "" };
    let number = mark.tempo.map(|tempo| (tempo.unit(), tempo.number()));
    let beats = mark.same_beat.filter(|_| number.is_none());
    let back = mark.back.filter(|_| number.is_none() && beats.is_none());
    // A change that gives no tempo has no words of its own.
    let printed = match (mark.words.trim(), back) {
        ("", Some(back)) => back.words(),
        ("", None) if number.is_none() && beats.is_none() => "little by little",
        (words, _) => words,
    };
    let said = match (&number, beats) {
        (Some((unit, number)), _) => format!("{printed} {unit} = {number}"),
        (None, Some(beats)) => format!("{printed} {beats}"),
        (None, None) => printed.to_owned(),
    };
    Note {
        class: "tempo",
        shown: html! {
            @if let Some((unit, number)) = &number {
                (arrow) (note_sign(words, *unit)) "=" (number) " "
            }
            @if let Some(beats) = beats { (beats) " " }
            @if !printed.is_empty() { i { (printed) } }
        },
        said: said.trim().to_owned(),
    }
}

/// What stands there about the order of play.
fn order(own: &Measure) -> Vec<Note> {
    let mut notes = Vec::new();
    if own.repeat_from {
        notes.push(note("order", "repeat from here"));
    }
    if !own.ending.is_empty() {
        let passes: Vec<String> = own.ending.iter().map(u16::to_string).collect();
        notes.push(note("order", format!("ending {}", passes.join(", "))));
    }
    if own.segno.is_some() {
        notes.push(note("order", "segno"));
    }
    if own.coda.is_some() {
        notes.push(note("order", "coda"));
    }
    if own.to_coda.is_some() {
        notes.push(note("order", "to coda"));
    }
    if own.fine {
        notes.push(note("order", "Fine"));
    }
    if let Some(times) = own.repeat_back {
        let times = if times > 2 {
            format!("repeat, {times} times")
        } else {
            "repeat".to_owned()
        };
        notes.push(note("order", times));
    }
    if let Some(jump) = &own.jump {
        let text = if jump.to_segno.is_some() {
            "D.S."
        } else {
            "D.C."
        };
        notes.push(note("order", text));
    }
    if own.cut {
        notes.push(note("order", "cut"));
    }
    if !own.holds.is_empty() {
        notes.push(note("order", "fermata"));
    }
    notes
}

fn said(
    derived: &Derived,
    own: &Measure,
    laid: Option<&Laid>,
    index: usize,
    notes: &[Note],
    tips: u16,
    found: bool,
) -> String {
    let mut words = vec![format!("Measure {}", derived.name(index))];
    if own.pickup {
        words.push("pickup".to_owned());
    }
    if own.meter.is_none()
        && let Some(laid) = laid
    {
        words.push(laid.meter.to_string());
    }
    words.extend(notes.iter().map(|note| note.said.clone()));
    match tips {
        0 => {}
        1 => words.push("1 tip".to_owned()),
        many => words.push(format!("{many} tips")),
    }
    if found {
        words.push("something to look at".to_owned());
    }
    words.join(", ")
}

/// Draws the beats: ticks on the ruled line, pencil marks over unequal groups.
fn drawn(laid: Option<&Laid>) -> Markup {
    let Some(laid) = laid else {
        return html! {};
    };
    let quarters = laid.length.quarters().to_f64();
    let width = (quarters * QUARTER).clamp(NARROWEST, WIDEST);
    let scale = width / quarters.max(0.01);
    let x_of = |quarters: f64| rounded(quarters * scale + 3.0);
    let counts = counts_of(laid);
    let mut groups: Vec<(usize, f64, f64, usize)> = Vec::new();
    for count in &counts {
        let at = count.at.quarters().to_f64();
        let end = at + count.length.quarters().to_f64();
        match groups.last_mut() {
            Some(last) if last.0 == count.group => {
                last.2 = end;
                last.3 += 1;
            }
            _ => groups.push((count.group, at, end, 1)),
        }
    }
    let width = rounded(width);
    html! {
        svg class="beats" width=(width) height=(HEIGHT) viewBox={ "0 0 " (width) " " (HEIGHT) } aria-hidden="true" focusable="false" {
            path class="rule" d={ "M0 " (RULE) "H" (width) } {}
            @if laid.beats.is_uneven() {
                @for (_, from, to, beats) in &groups { (pencil(x_of(*from), x_of(*to) - 5.0, *beats)) }
            }
            @for count in &counts {
                @let x = x_of(count.at.quarters().to_f64());
                @match count.level {
                    Level::Downbeat => { path class="tick down" d={ "M" (x) " " (RULE) "v-12" } {} }
                    Level::Group => { path class="tick group" d={ "M" (x) " " (RULE) "v-9" } {} }
                    Level::Beat | Level::Subdivision => { path class="tick" d={ "M" (x) " " (RULE) "v-6" } {} }
                }
            }
            path class="bar" d={ "M" (rounded(width - 0.75)) " 12V" (RULE) } {}
        }
    }
}

/// A stroke over a group of two, a triangle over a group of three, as players
/// pencil them.
fn pencil(from: f64, to: f64, beats: usize) -> Markup {
    let middle = rounded(f64::midpoint(from, to));
    match beats {
        2 => html! { path class="pencil" d={ "M" (middle) " 3v9" } {} },
        3 => html! {
            path class="pencil" d={ "M" (middle) " 3l5 9h-10z" } {}
        },
        _ => html! {
            path class="pencil" d={ "M" (from) " 11v-5H" (rounded(to)) "v5" } {}
        },
    }
}

fn rounded(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
