//! What else is printed at the chosen measures: order of play, gradual changes, fermatas, length.

use super::field;
use crate::edit::printed::{Printed, SHAPES};
use crate::edit::tempo::mark_at;
use crate::places::{beat_words, write_spot};
use crate::state::{Desk, Field, Folded};
use cueleaf_guide::{Jump, JumpUntil, Measure, Place, Return, Spot};
use cueleaf_time::BeatSpan;
use maud::{Markup, html};

/// Everything in groups that fold; those that hold something are marked.
pub(super) fn printed(desk: &Desk, first: usize, last: usize) -> Markup {
    let measures = &desk.guide().road_map.measures;
    let (Some(start), Some(end)) = (measures.get(first), measures.get(last)) else {
        return html! {};
    };
    html! {
        (group(desk, "order", "Repeats, endings, jumps, cuts", has_order(start, end), &order(desk, last, start, end)))
        (group(desk, "gradual", "Gradual and returning tempi", has_gradual(start), &gradual(desk, start)))
        (group(desk, "holds", "Fermatas and breaths", !start.holds.is_empty(), &holds(desk, first, start)))
        (group(desk, "length", "Length, pickup, movement", start.length.is_some() || start.movement.is_some(), &length(desk, start)))
    }
}

/// A group of fields that folds.
pub(super) fn group(
    desk: &Desk,
    code: &str,
    title: &str,
    holds_something: bool,
    fields: &Markup,
) -> Markup {
    html! {
        details id={ "group-" (code) } class="facts-group" open[desk.is_open(&format!("group-{code}"), Folded::Yes)] {
            summary {
                (title)
                @if holds_something { " " span class="has" { "set" } }
            }
            div class="fields" { (fields) }
        }
    }
}

fn has_order(start: &Measure, end: &Measure) -> bool {
    start.repeat_from
        || end.repeat_back.is_some()
        || !start.ending.is_empty()
        || start.segno.is_some()
        || start.coda.is_some()
        || end.to_coda.is_some()
        || end.fine
        || end.jump.is_some()
        || start.cut
}

fn order(desk: &Desk, last: usize, start: &Measure, end: &Measure) -> Markup {
    let passes: Vec<String> = start.ending.iter().map(ToString::to_string).collect();
    let times = end
        .repeat_back
        .map_or_else(String::new, |times| times.to_string());
    let jump = match &end.jump {
        None => "",
        Some(Jump { to_segno: None, .. }) => "beginning",
        Some(_) => "segno",
    };
    html! {
        (tick(Printed::RepeatFrom, "A repeat starts here", start.repeat_from))
        div class="pair" {
            (text(desk, Printed::RepeatBack, "A repeat ends here: played", &times, "not"))
            (text(desk, Printed::Ending, "Ending for the passes", &passes.join(", "), "none"))
        }
        (tick(Printed::Cut, "The ensemble leaves these measures out", start.cut))
        (sign(desk, (Printed::Segno, Printed::SegnoName), "A segno stands here", start.segno.as_deref()))
        (choice(Printed::Jump, "At the end jump", jump, &[("", "no"), ("beginning", "D.C., to the beginning"), ("segno", "D.S., to the segno")]))
        @if let Some(own) = &end.jump { (after_jump(desk, own, last)) }
        (sign(desk, (Printed::ToCoda, Printed::ToCodaName), "To the coda from the end of this", end.to_coda.as_deref()))
        (sign(desk, (Printed::Coda, Printed::CodaName), "The coda starts here", start.coda.as_deref()))
        (tick(Printed::Fine, "Fine at the end of this", end.fine))
    }
}

fn after_jump(desk: &Desk, jump: &Jump, last: usize) -> Markup {
    let choices = [
        ("end", "to the end"),
        ("fine", "to the Fine"),
        ("coda", "to the coda sign, then the coda"),
    ];
    // Where a Fine or a To Coda stands on the way, play does not go to the end.
    let until = desk.guide().road_map.jump_until(last).unwrap_or_default();
    let stops = jump.until == JumpUntil::End && until != JumpUntil::End;
    let choices = choices.get(usize::from(stops)..).unwrap_or_default();
    let until = match until {
        JumpUntil::End => "end",
        JumpUntil::Fine => "fine",
        JumpUntil::Coda => "coda",
    };
    html! {
        div class="pair" {
            (choice(Printed::JumpUntil, "and play", until, choices))
            @if let Some(name) = &jump.to_segno {
                (text(desk, Printed::JumpSegno, "The segno’s name", name, "the only one"))
            }
        }
        (tick(Printed::JumpRepeats, "Take repeats again after the jump", jump.with_repeats))
    }
}

fn has_gradual(start: &Measure) -> bool {
    start
        .tempo
        .iter()
        .any(|mark| mark.until.is_some() || mark.back.is_some() || mark.same_beat.is_some())
}

fn gradual(desk: &Desk, start: &Measure) -> Markup {
    let place = desk.tempo_place();
    let mark = start.tempo.iter().find(|mark| mark.at == place.at);
    let shape = mark.map_or("even-in-beats", |mark| {
        SHAPES
            .iter()
            .find(|(_, shape)| *shape == mark.shape)
            .map_or("", |(code, _)| code)
    });
    let back = match mark.and_then(|mark| mark.back) {
        None => "",
        Some(Return::ToBefore) => "to-before",
        Some(Return::ToFirst) => "to-first",
    };
    let same = mark
        .and_then(|mark| mark.same_beat)
        .map_or_else(String::new, |same| same.to_string());
    let shapes = [
        (SHAPES[0].0, "evenly over the beats"),
        (SHAPES[1].0, "evenly in time"),
        (SHAPES[2].0, "as a runner stops"),
    ];
    html! {
        p class="hint" {
            "A rit. or accel. starts at " (end_text(desk, place)) " and arrives at the tempo above where you say. "
            "Without a place it is meant at once."
        }
        div class="pair" {
            // Where it comes little by little, this stands with the tempo.
            @if mark.is_none_or(|mark| mark.until.is_none()) { (tempo_until(desk)) }
            (choice(Printed::TempoShape, "It changes", shape, &shapes))
        }
        p class="hint" id="shape-words" { (shape_words(shape)) }
        div class="pair" {
            (choice(Printed::TempoBack, "An earlier tempo comes back", back, &[("", "no"), ("to-before", "a tempo"), ("to-first", "tempo primo")]))
            (text(desk, Printed::TempoSame, "The same beat as before", &same, "quarter = dotted quarter"))
        }
    }
}

/// The field for the place at which a gradual change has arrived.
pub(super) fn tempo_until(desk: &Desk) -> Markup {
    let until = mark_at(desk.guide(), desk.tempo_place()).and_then(|mark| mark.until);
    let until = until.map_or_else(String::new, |place| end_text(desk, place));
    text(
        desk,
        Printed::TempoUntil,
        "It has arrived at",
        &until,
        "15 or 15 beat 3, or end",
    )
}

/// Says in a sentence what a shape sounds like.
fn shape_words(code: &str) -> &'static str {
    match code {
        "even-in-time" => {
            "Evenly in time: each second changes the tempo by as much, so a rit. slows more from beat to beat."
        }
        "runner" => {
            "As a runner stops: little at first and most at the end, as in many a final rit."
        }
        _ => "Evenly over the beats: each beat changes the tempo by as much.",
    }
}

fn end_text(desk: &Desk, place: Place) -> String {
    if place.measure >= desk.guide().road_map.measures.len() {
        return "end".to_owned();
    }
    write_spot(desk.guide(), desk.derived.plan.layout(), &Spot::at(place))
}

fn holds(desk: &Desk, first: usize, start: &Measure) -> Markup {
    html! {
        @for (index, hold) in start.holds.iter().enumerate() {
            @let beat = match beat_words(desk.derived.plan.layout(), first, hold.at) { own if own.is_empty() => "beat 1".to_owned(), own => own };
            div class="hold" role="group" aria-label={ "At " (beat) } {
                div class="pair" {
                    (text_at(desk, Printed::HoldLonger(index), &format!("At {beat}: longer by, in quarters"), &hold.longer.map_or_else(String::new, span), "nothing"))
                    (text_at(desk, Printed::HoldLeadIn(index), "Counts that lead on", &hold.lead_in.to_string(), "1"))
                }
                button id={ "printed-hold-remove-" (index) } type="button" class="quiet" data-do="printed" data-value={ "hold-remove/" (index) }
                    aria-label={ "Remove the fermata at " (beat) } { "Remove" }
            }
        }
        (text(desk, Printed::HoldAt, "Add a fermata or breath at beat", "", "3"))
        p class="hint" { "The click is silent while the note is held, then leads on." }
    }
}

fn length(desk: &Desk, start: &Measure) -> Markup {
    let own = start.length.map_or_else(String::new, span);
    html! {
        div class="pair" {
            (text(desk, Printed::Length, "Lasts, in quarters", &own, "its meter"))
            @if start.length.is_some() { (tick(Printed::Pickup, "It is a pickup", start.pickup)) }
        }
        (sign(desk, (Printed::Movement, Printed::MovementName), "A movement starts here", start.movement.as_deref()))
    }
}

fn span(span: BeatSpan) -> String {
    span.quarters().to_decimal()
}

/// A sign that stands or not, and its name once it stands.
fn sign(
    desk: &Desk,
    (printed, name): (Printed, Printed),
    label: &str,
    own: Option<&str>,
) -> Markup {
    html! {
        div class="road-sign" {
            (tick(printed, label, own.is_some()))
            @if let Some(own) = own { (text(desk, name, "Its name", own, "none needed")) }
        }
    }
}

fn tick(printed: Printed, label: &str, on: bool) -> Markup {
    let code = printed.code();
    html! {
        label class="check" for={ "printed-" (code) } {
            input id={ "printed-" (code) } type="checkbox" data-do="printed" data-value=(code) autocomplete="off" checked[on];
            (label)
        }
    }
}

fn choice(printed: Printed, label: &str, value: &str, choices: &[(&str, &str)]) -> Markup {
    let code = printed.code();
    html! {
        div class="field" {
            label for={ "printed-" (code) } { (label) }
            select id={ "printed-" (code) } data-do="printed" data-value=(code) autocomplete="off" {
                @for (own, words) in choices { option value=(own) selected[*own == value] { (words) } }
            }
        }
    }
}

fn text(desk: &Desk, printed: Printed, label: &str, value: &str, placeholder: &str) -> Markup {
    input(
        desk,
        printed,
        printed.code(),
        printed.code(),
        label,
        value,
        placeholder,
    )
}

/// A field of one of several fermatas.
fn text_at(desk: &Desk, printed: Printed, label: &str, value: &str, placeholder: &str) -> Markup {
    let (code, index) = match printed {
        Printed::HoldLonger(index) => ("hold-longer", index),
        Printed::HoldLeadIn(index) => ("hold-lead-in", index),
        _ => return html! {},
    };
    let (id, hook) = (format!("{code}-{index}"), format!("{code}/{index}"));
    input(desk, printed, &id, &hook, label, value, placeholder)
}

fn input(
    desk: &Desk,
    printed: Printed,
    id: &str,
    hook: &str,
    label: &str,
    value: &str,
    placeholder: &str,
) -> Markup {
    let draft = desk.drafts.get(&Field::Printed(printed));
    let (value, why) = field::shown(draft, value);
    let problem = format!("printed-{id}-problem");
    html! {
        div class="field" {
            label for={ "printed-" (id) } { (label) }
            input id={ "printed-" (id) } type="text" value=(value) placeholder=(placeholder)
                data-do="printed" data-value=(hook) autocomplete="off" spellcheck="false"
                aria-invalid=[why.map(|_| "true")] aria-describedby=[why.map(|_| problem.as_str())];
            (field::problem(&problem, why))
        }
    }
}
