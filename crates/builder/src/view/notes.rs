//! The road map as plain notes: a field for text, behind it the same text with the numbers
//! of its lines and marks at what is not understood, below it what to do.
//!
//! The text behind has the measurements of the field, so that it gives the field its height
//! and every mark its place. It is for the eyes only; the list below says the same.

use super::{Piece, findings, place, place_id};
use crate::notes::{MapAs, Notes};
use crate::opened::sentence;
use crate::state::{Desk, Folded};
use crate::update::desk::notes::{FIELD, line_id};
use cueleaf_outline::LineFinding;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// The most mistakes that are listed at once.
const LISTED: usize = 40;

/// What can be typed, and what it means.
pub(super) const EXAMPLES: [(&str, &str); 34] = [
    ("By A. Nobody", "who wrote the music"),
    (
        "For Violin 2 and Cello",
        "the parts; at the top, in place of the line that is there",
    ),
    (
        "Measures 1 to 40",
        "the printed numbers, from first to last",
    ),
    (
        "To the student: Sing each line first.",
        "your word to the student",
    ),
    ("12  3/4", "a meter"),
    ("12  7/8, grouped 2+2+3", "a meter with its groups"),
    (
        "12  2 sharps",
        "a key signature; “no sharps or flats” ends it",
    ),
    ("12  Lively, quarter = 132", "a tempo with its words"),
    (
        "12  rit., to quarter = 60 by 15",
        "slower little by little, until 15",
    ),
    (
        "16  a tempo",
        "the tempo before comes back; “tempo primo” is the first one",
    ),
    (
        "1  pickup of 1 quarter",
        "the music starts before its first full measure",
    ),
    (
        "12  lasts 5/2 quarters",
        "a measure longer or shorter than its meter",
    ),
    ("12  section The boats", "where a section begins"),
    ("12  rehearsal mark B", "a printed letter"),
    (
        "12  repeat starts",
        "a forward repeat sign; “repeat ends” is the backward one",
    ),
    (
        "12  first ending",
        "a bracket; its repeat ends with “repeat ends” at its last measure",
    ),
    ("12  segno", "the sign to go back to"),
    (
        "12  to coda",
        "play leaves here after the jump; the other place says “coda”",
    ),
    ("12  fine", "where the music ends after the jump"),
    (
        "20  D.C. al Fine",
        "back to the beginning and to the Fine; also “D.S. al Coda” and the like",
    ),
    ("12-15  cut", "what the ensemble leaves out"),
    (
        "12 beat 3  fermata 2 quarters longer",
        "something on a beat",
    ),
    (
        "12  pizz, mf",
        "what the part does from there; with several parts, “12  for Viola: pizz”",
    ),
    (
        "12  cresc. until 15",
        "louder little by little; “dim.” is softer",
    ),
    ("12  con sord.", "mute on; “senza sord.” takes it off"),
    ("12 beat 3  down-bow", "a bow sign; “up-bow” is the other"),
    ("12  rest until 20", "measures of rest"),
    ("12-15  Bow: Near the frog, small strokes.", "a tip"),
    (
        "12  Count: Clap it first.\n    importance: start here",
        "a tip that the student begins with; “when there is time” for one that can wait",
    ),
    (
        "12  Get ready: Mute on.\n    cue: mute on",
        "a tip with its cue on a line of its own under it, four spaces in",
    ),
    (
        "12 beat 2-14  Listen: The cellos have the tune.",
        "a tip from a beat to a measure",
    ),
    (
        "#5  Count: Think in eighths.",
        "the fifth measure, whatever its number",
    ),
    ("To do: Clap 12 to 15 with the click.", "a task"),
    (
        "(ask about the mutes)",
        "a line of your own; it is not part of the guide",
    ),
];

/// Gives the places in which the notes stand.
pub(super) fn places() -> Markup {
    html! {
        div class="notes-room" {
            (place("map-as"))
            (place("findings"))
            div id="notes-in" {
                label for=(FIELD) { "The guide as notes" }
                div class="notes-field" {
                    div id=(place_id("notes-behind")) class="notes-behind" aria-hidden="true" data-fragment="notes-behind" {}
                    (place("notes"))
                }
            }
            (place("notes-wrong"))
            (place("notes-help"))
        }
    }
}

pub(super) fn pieces(desk: &Desk, pieces: &mut Vec<Piece>) {
    pieces.push(Piece::new("map-as", choice(desk)));
    pieces.push(Piece::new("findings", findings::findings(desk)));
    if let Some(notes) = &desk.notes {
        pieces.push(Piece::new("notes", field(notes)));
        pieces.push(Piece::new("notes-wrong", wrong(notes)));
    }
    pieces.push(Piece::new("notes-help", help(desk)));
}

/// The choice how the road map is shown.
pub(super) fn choice(desk: &Desk) -> Markup {
    let button = |how: MapAs, value: &str, words: &str| {
        html! {
            button id={ "as-" (value) } type="button" data-do="map-as" data-value=(value)
                aria-pressed=(if desk.map_as == how { "true" } else { "false" }) { (words) }
        }
    };
    let missed = desk.notes.as_ref().map_or(0, Notes::missed);
    html! {
        div id="map-as-in" class="map-as" role="group" aria-label="The road map" {
            (button(MapAs::Measures, "measures", "As measures"))
            (button(MapAs::Notes, "notes", "As notes"))
            @if desk.map_as == MapAs::Measures && missed > 0 {
                p class="hint" { (missed_words(missed)) }
            }
        }
    }
}

/// Says how many lines are kept without being part of the guide.
fn missed_words(missed: usize) -> String {
    if missed == 1 {
        "1 line of the notes is not understood; it is kept there and is not part of the guide."
            .to_owned()
    } else {
        format!(
            "{missed} lines of the notes are not understood; they are kept there and are not \
             part of the guide."
        )
    }
}

/// What the lines behind the field are drawn of, while they were on view.
#[derive(Debug, Clone)]
pub(crate) struct NotesLooks {
    text: String,
    found: BTreeMap<usize, LineFinding>,
}

/// Draws the lines behind the field that look other than before; all where there were more
/// or fewer of them.
pub(super) fn lines(notes: &Notes, before: Option<&NotesLooks>) -> (Vec<Piece>, NotesLooks) {
    let mut found = BTreeMap::new();
    for own in notes.findings() {
        found.entry(own.line).or_insert_with(|| own.clone());
    }
    let looks = NotesLooks {
        text: notes.text().to_owned(),
        found,
    };
    let count = |text: &str| text.split('\n').count();
    let lines = || (1..).zip(looks.text.split('\n'));
    let before = before.filter(|before| count(&before.text) == count(&looks.text));
    let pieces = match before {
        Some(before) => lines()
            .zip(before.text.split('\n'))
            .filter(|((number, line), old)| {
                line != old || before.found.get(number) != looks.found.get(number)
            })
            .map(|((number, line), _)| {
                Piece::element(line_id(number), behind(&looks, number, line))
            })
            .collect(),
        None => {
            let all = html! { @for (number, line) in lines() { (behind(&looks, number, line)) } };
            vec![Piece::plain("notes-behind", all)]
        }
    };
    (pieces, looks)
}

fn field(notes: &Notes) -> Markup {
    let missed = notes.missed();
    html! {
        // The first line break after the tag is not part of the text.
        textarea id=(FIELD) data-do="notes" spellcheck="false" autocomplete="off"
            autocapitalize="off" aria-describedby="notes-told"
            aria-invalid=[(missed > 0).then_some("true")] { "\n" (notes.text()) }
    }
}

fn behind(looks: &NotesLooks, number: usize, line: &str) -> Markup {
    let found = looks.found.get(&number);
    html! {
        div id=(line_id(number)) class=[found.map(|own| findings::class(own.severity))] {
            @match found {
                Some(found) => {
                    @let (before, own, after) = split(line, found);
                    (before) mark { (own) } (after)
                }
                None => (line),
            }
        }
    }
}

/// Splits a line at the columns of a finding, which may lie beyond its end.
fn split(line: &str, found: &LineFinding) -> (String, String, String) {
    let first = found.columns.start.saturating_sub(1);
    let count = found.columns.len();
    let letters = line.chars();
    (
        letters.clone().take(first).collect(),
        letters.clone().skip(first).take(count).collect(),
        letters.skip(first + count).collect(),
    )
}

/// What is not understood, with the way to it, and what the notes are good for.
fn wrong(notes: &Notes) -> Markup {
    let (found, missed) = (notes.findings(), notes.missed());
    html! {
        div id="notes-wrong-in" class="notes-wrong" {
            p id="notes-told" role="status" {
                @if missed > 0 { (missed_words(missed)) } @else { "Every line is understood." }
            }
            @if !found.is_empty() {
                ul {
                    @for (index, own) in found.iter().take(LISTED).enumerate() {
                        li class=(findings::class(own.severity)) {
                            button id={ "go-note-" (index) } type="button" class="link"
                                data-do="go-note" data-value=(index) { "Line " (own.line) }
                            ": " (sentence(&own.reason))
                            @if let Some(suggestion) = &own.suggestion {
                                " " span class="todo" { "This would be understood: " code { (suggestion) } }
                            }
                        }
                    }
                }
                @if found.len() > LISTED { p class="hint" { "The first " (LISTED) " are listed." } }
            }
            button id="download-notes" type="button" data-do="download-notes" { "Download these notes" }
            " " span class="hint" { "Open the file here again, or in any editor for plain text." }
        }
    }
}

fn help(desk: &Desk) -> Markup {
    html! {
        details id="notes-help-in" class="help" open[desk.is_open("notes-help-in", Folded::Yes)] {
            summary { "How notes are written" }
            p {
                "One line for a place: its printed number, two spaces, and what changes there, with \
                 commas; or a tip after its topic and a colon. The topics are Bow, Left hand, Pluck, \
                 Sound, Count, Listen, Get ready and Note. The first line begins with “Guide to”. \
                 Names with commas stand in straight quotes. A rehearsal mark is a place, too: C, 4 after C."
            }
            dl class="notes-examples" {
                @for (text, means) in &EXAMPLES {
                    div { dt { code { (text) } } dd { (means) } }
                }
            }
            p class="hint" { "Lines of your own and lines that are not understood stay in these notes on this device and in their file. The guide for students does not have them." }
        }
    }
}
