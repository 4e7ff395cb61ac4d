//! Signs drawn by ourselves: phone fonts lack the notes.

use crate::{Word, Words, note_name};
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
    let tail = if flags > 0 { 7 } else { 0 };
    let width = 13 + tail + 6 * u32::from(dots);
    html! {
        svg class="note" role="img" aria-label=(note_name(words, note)) viewBox={ "0,0," (width) ",28" } {
            // The head, a slanted ellipse that ends a tenth before it began, and the stem; what is
            // open or a line is not filled.
            path class=[(halvings < 2).then_some("open")] d={
                "M2.3,23.7a3.8,2.6-20,100-.1z"
                @if halvings > 0 { "M10.3,22V2" }
            } {}
            @if flags > 0 {
                path class="open" d={ @for flag in 0..flags { "M10.3," (2 + 5 * flag) "q1,4,5,6q2,2,.5,6" } } {}
            }
            @for dot in 0..dots { circle cx=(16 + tail + 6 * u32::from(dot)) cy="22" r="1.6" {} }
        }
    }
}

/// Draws a rest with its dots; its name is what a screen reader says.
#[must_use]
pub fn rest_sign(words: &Words, note: NoteValue) -> Markup {
    let name = words.fill(Word::RestOf, &[&note_name(words, note)]);
    // How many hooks a rest has; blocks and the quarter have none.
    let hooks = match note.name() {
        "whole" | "half" | "quarter" => 0,
        "eighth" => 1,
        "16th" => 2,
        "32nd" => 3,
        _ => return html! { i { (name) } },
    };
    let dots = note.dots();
    let width = 14 + 6 * u32::from(dots);
    html! {
        svg class="note" role="img" aria-label=(name) viewBox={ "0,0," (width) ",28" } {
            @match note.name() {
                "whole" => { path d="M0,12h14M3,12h8v5H3z" {} }
                "half" => { path d="M0,16h14M3,11h8v5H3z" {} }
                "quarter" => { path class="open" d="M4,3l5,7q-5,3,0,8q-6-2-3,5" {} }
                _ => {
                    path class="open" d={
                        "M11," (10 - 3 * hooks / 2) "L6,25"
                        @for hook in 0..hooks { "M" (5 - hook) "," (10 - 3 * hooks / 2 + 5 * hook) "q3,3,6,0" }
                    } {}
                    @for hook in 0..hooks { circle cx=(5 - hook) cy=(10 - 3 * hooks / 2 + 5 * hook) r="1.6" {} }
                }
            }
            @for dot in 0..dots { circle cx=(16 + 6 * u32::from(dot)) cy="14" r="1.6" {} }
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
