//! One measure on the map: what changes there, its beats on the ruled line, its
//! number and its tips.

use crate::derived::Derived;
use crate::state::Desk;
use crate::update::desk::measure_id;
use cueleaf_guide::{Guide, Laid, MarkKind, Measure, TempoMark};
use cueleaf_plan::counts_of;
use cueleaf_time::Level;
use cueleaf_view::{Words, key_text, note_sign};
use maud::{Markup, html};

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
pub(super) fn measure(
    desk: &Desk,
    words: &Words,
    (index, own): (usize, &Measure),
    next: usize,
) -> Markup {
    let guide = desk.guide();
    let derived = &desk.derived;
    let laid = derived.plan.layout().get(index);
    let tips = derived.tips_on.get(index).copied().unwrap_or(0);
    let found = derived.findings_at.contains_key(&index)
        || desk
            .from_file
            .iter()
            .any(|finding| finding.place.measure == Some(index));
    let notes = notes(guide, own, index, words);
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
    own.map_or(0, |own| notes(desk.guide(), own, index, words).len())
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

fn notes(guide: &Guide, own: &Measure, index: usize, words: &Words) -> Vec<Note> {
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
    notes.extend(playing(guide, index));
    notes
}

fn tempo(mark: &TempoMark, words: &Words) -> Note {
    let arrow = if mark.until.is_some() { "→ " } else { "" };
    let number = mark
        .tempo
        .map(|tempo| (tempo.unit(), tempo.per_minute().to_decimal()));
    let said = match &number {
        Some((unit, number)) => format!("{} {unit} = {number}", mark.words),
        None => mark.words.clone(),
    };
    Note {
        class: "tempo",
        shown: html! {
            @if let Some((unit, number)) = &number {
                (arrow) (note_sign(words, *unit)) "=" (number) " "
            }
            @if !mark.words.is_empty() { i { (mark.words) } }
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

/// What changes in the way of playing: the marks of the only part; with several
/// parts fewer kinds, each once, with the parts that have it unless all do.
fn playing(guide: &Guide, index: usize) -> Vec<Note> {
    let alone = guide.parts.len() == 1;
    let mut found: Vec<(&str, Vec<usize>)> = Vec::new();
    for (which, part) in guide.parts.iter().enumerate() {
        for mark in part.marks.iter().filter(|mark| mark.measure == index) {
            let text = match mark.kind {
                MarkKind::Pizz => "pizz.",
                MarkKind::Arco => "arco",
                MarkKind::MuteOn => "mute on",
                MarkKind::MuteOff => "mute off",
                MarkKind::Rest if alone => "rest",
                MarkKind::Dynamic if alone && !mark.text.is_empty() => &mark.text,
                MarkKind::Grow if alone => "cresc.",
                MarkKind::Fade if alone => "dim.",
                _ => continue,
            };
            match found.iter_mut().find(|(own, _)| *own == text) {
                Some((_, parts)) if parts.last() == Some(&which) => {}
                Some((_, parts)) => parts.push(which),
                None => found.push((text, vec![which])),
            }
        }
    }
    let written = found.into_iter().map(|(text, parts)| {
        if parts.len() == guide.parts.len() {
            note("playing", text)
        } else {
            let name = |which: usize| guide.parts.get(which).map(|part| part.name.as_str());
            let names: Vec<&str> = parts.into_iter().filter_map(name).collect();
            note("playing", format!("{}: {text}", names.join(", ")))
        }
    });
    // More would hide the measure itself.
    written.take(4).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Extra, Id, Mark, Part};
    use cueleaf_time::BeatSpan;

    #[test]
    fn a_mark_is_written_once_with_the_parts_that_have_it() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        for (name, kinds) in [
            ("Violin", vec![MarkKind::Arco, MarkKind::MuteOn]),
            ("Viola", vec![MarkKind::Pizz, MarkKind::Arco]),
            (
                "Cello",
                vec![MarkKind::Pizz, MarkKind::Arco, MarkKind::Arco],
            ),
        ] {
            let marks = kinds.into_iter().map(|kind| Mark {
                measure: 0,
                at: BeatSpan::ZERO,
                kind,
                to: None,
                text: String::new(),
                extra: Extra::default(),
            });
            guide.parts.push(Part {
                id: Id::new(name).unwrap(),
                name: name.to_owned(),
                marks: marks.collect(),
                extra: Extra::default(),
            });
        }
        let said: Vec<String> = playing(&guide, 0)
            .into_iter()
            .map(|note| note.said)
            .collect();
        assert_eq!(said, ["arco", "Violin: mute on", "Viola, Cello: pizz."]);
        assert!(playing(&guide, 1).is_empty());
    }
}
