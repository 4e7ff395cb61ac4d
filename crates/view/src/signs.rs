//! Signs drawn by ourselves: phone fonts lack the notes.

use crate::{Words, note_name};
use cueleaf_time::NoteValue;
use maud::{Markup, html};

/// Draws a note with its dots; its name is what a screen reader says.
#[must_use]
pub fn note_sign(words: &Words, note: NoteValue) -> Markup {
    // By how often a whole note is halved: the stem, the filled head, the flags.
    let halvings = match note.name() {
        "whole" => 0,
        "half" => 1,
        "quarter" => 2,
        "eighth" => 3,
        "16th" => 4,
        "32nd" => 5,
        _ => return html! { span { (note_name(words, note)) } },
    };
    let dots = note.dots();
    let flags = if halvings > 2 { halvings - 2 } else { 0 };
    let head_class = if halvings < 2 { "head open" } else { "head" };
    let tail = if flags > 0 { 7 } else { 0 };
    let width = 13 + tail + 6 * u32::from(dots);
    html! {
        svg class="note" role="img" aria-label=(note_name(words, note))
            viewBox={ "0 0 " (width) " 28" } width=(width) height="28" {
            ellipse class=(head_class) cx="6" cy="23" rx="4.6" ry="3.4" transform="rotate(-20 6 23)" {}
            @if halvings > 0 { path class="stem" d="M10.3 22V2" {} }
            @for flag in 0..flags {
                path class="stem" d={ "M10.3 " (2 + 5 * flag) "q1 4 5 6q2 2 .5 6" } {}
            }
            @for dot in 0..dots {
                circle cx=(16 + tail + 6 * u32::from(dot)) cy="22" r="2.4" {}
            }
        }
    }
}

/// Draws the sign for playing, as decoration beside a word.
#[must_use]
pub fn play_sign() -> Markup {
    html! { svg class="sign" aria-hidden="true" viewBox="0 0 20 20" width="20" height="20" { path d="M5 2.5v15l12-7.5z" {} } }
}

/// Draws the sign for stopping, as decoration beside a word.
#[must_use]
pub fn stop_sign() -> Markup {
    html! { svg class="sign" aria-hidden="true" viewBox="0 0 20 20" width="20" height="20" { path d="M4 4h12v12H4z" {} } }
}
