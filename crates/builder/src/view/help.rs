//! Help in the page: how places are typed, what the signs mean, what keys do.

use crate::shortcuts::{DIALOG, QuestionKey, SHORTCUTS};
use crate::state::State;
use maud::{Markup, html};

/// What can be typed where a place is asked for, and what it means.
const PLACES: [(&str, &str); 9] = [
    ("33", "measure 33"),
    ("33-40", "measures 33 to 40"),
    ("33-", "from 33 to the end"),
    ("all", "everything"),
    ("12 beat 3", "beat 3 of measure 12"),
    ("C", "the measure with rehearsal mark C"),
    ("4 after C", "the fourth measure after it"),
    ("C-D", "from C up to D"),
    (
        "#5",
        "the fifth measure, where the printed number is missing or stands twice",
    ),
];

pub(super) fn help(state: &State) -> Markup {
    html! {
        button id="show-shortcuts" type="button" class="quiet" data-do="shortcuts" { "Keys and what they do" }
        details id="help" class="help" {
            summary { "Help: places, signs, links" }
            div class="help-in" {
                (list("Places are typed so", &PLACES))
                section {
                    h3 { "Signs over a measure" }
                    p { "A stroke stands over a group of two, a triangle over a group of three. The line of a measure is as long as its beats." }
                    p { "A fermata adds nothing until you say by how much. A rit. needs a tempo to arrive at and a place; without a place it is meant at once." }
                }
                section {
                    h3 { "Watch list" }
                    p { "When you open a part, its notes are looked through for places that change or get hard; what they propose stands beside your tips, and nothing of it is in the guide until you keep it. What you drop stays dropped, on this device, until you show it again; undo takes back what you kept and what you dropped. The list stays beside the guide on this device, in no file; the notes do not: on another device, open the part again to see it." }
                    p { "What you keep brings a few words for playing, such as \"arco, 1 beat\"; change them in the tip. Where the part gives no number for the tempo, the guide plays at quarter = 120 until you type one, and the list names no seconds there." }
                    p { "From captions, everything that was heard is listed with its line and words. What is less than half sure is not ticked. What was said at a measure and not understood is quoted among the findings of the draft." }
                }
                section {
                    h3 { "A second file" }
                    p { "With a guide open, another file can be a guide of its own or add to the open one: parts, marks, tips and tasks, each at the measure with the same printed number. You see them first, with what finds no place and where the two disagree." }
                    p { "A corrected edition of the part takes the place of the road map; tips and tasks go along to the same measures. What you wrote and the file does not have stays, or is listed." }
                }
                section {
                    h3 { "Your phrases" }
                    p { "Sentences that you use again and again: while you write a tip, put one in, or keep what you wrote as a new one. They stay on this device and go with no guide. Below the tips they are edited and removed." }
                }
                section {
                    h3 { "Photos and voice notes" }
                    p { "Open a tip to add them. A photo is drawn anew and made small, so that nothing but the picture is left; a voice note of 20 seconds takes as much room as five large photos. Both go with the file, not with a link, and only when you have ticked that you may hand them out. Say in words what a photo shows and a voice note says: they are what is printed and read aloud." }
                    p { "The microphone is asked for when you press Record, and let go at Stop or when you leave the tip." }
                }
                section {
                    h3 { "Where your guides are" }
                    p { "Only in this browser, on this device, and in the files that you download. Clearing the browser’s data removes them: keep a file of each guide." }
                }
                section {
                    h3 { "Beside a recording" }
                    p { "Captions show each tip while its place is heard, chapters name the sections. Both follow the tempi of the guide: set them as the recording plays, and say at which second the music starts." }
                }
                section {
                    h3 { "Links" }
                    p { "A link holds a guide as it is when you make it: after a change, make and send it again. Opened in play.html it shows the guide; opened in this page, as a new guide." }
                }
            }
        }
        (shortcuts(state))
    }
}

/// The list of keys, which opens over the page.
fn shortcuts(state: &State) -> Markup {
    html! {
        dialog id=(DIALOG) class="shortcuts" aria-labelledby="shortcuts-title" {
            h2 id={ (DIALOG) "-title" } tabindex="-1" { "Keys and what they do" }
            dl {
                @for own in &SHORTCUTS { dt { (own.keys) } dd { (own.means) } }
            }
            label class="tick" for="question-key" {
                input id="question-key" type="checkbox" data-do="question-key"
                    checked[state.question_key == QuestionKey::Opens] autocomplete="off";
                " The key ? opens this list"
            }
            p class="hint" { "Speech input can press a single key by mistake; then switch it off." }
            button id="close-shortcuts" type="button" data-do="close-shortcuts" { "Close" }
        }
    }
}

fn list(title: &str, rows: &[(&str, &str)]) -> Markup {
    html! {
        section {
            h3 { (title) }
            dl { @for (what, means) in rows { dt { (what) } dd { (means) } } }
        }
    }
}
