//! Help in the page: how places are typed, what keys do, what the signs mean.

use maud::{Markup, html};

/// What can be typed where a place is asked for, and what it means.
const PLACES: [(&str, &str); 6] = [
    ("33", "measure 33"),
    ("33-40", "measures 33 to 40"),
    ("33-", "from 33 to the end"),
    ("all", "everything"),
    ("12 beat 3", "beat 3 of measure 12"),
    (
        "#5",
        "the fifth measure, where the printed number is missing or stands twice",
    ),
];

/// What keys do.
const KEYS: [(&str, &str); 8] = [
    (
        "Left, Right, Home, End, Page Up, Page Down",
        "in the road map: choose another measure; with Shift, several",
    ),
    (
        "Enter",
        "in the road map: edit the chosen measures; in a field: take what is typed",
    ),
    ("Left, Right", "on the tabs: another room"),
    (
        "Left, Right, Up, Down",
        "on a proposal of the watch list: keep, edit, drop; the one before or after",
    ),
    ("Escape", "close the open tip"),
    ("Ctrl or Cmd and Enter", "in a tip: done"),
    ("Ctrl or Cmd and Z", "undo"),
    ("Ctrl or Cmd and Shift and Z, or Y", "redo"),
];

pub(super) fn help() -> Markup {
    html! {
        details id="help" class="help" {
            summary { "Help: places, keys, signs" }
            div class="help-in" {
                (list("Places are typed so", &PLACES))
                (list("Keys", &KEYS))
                section {
                    h3 { "Signs over a measure" }
                    p { "A stroke stands over a group of two, a triangle over a group of three. The line of a measure is as long as its beats." }
                    p { "A fermata adds nothing until you say by how much. A rit. needs a tempo to arrive at and a place; without a place it is meant at once." }
                }
                section {
                    h3 { "Watch list" }
                    p { "When you open a part, its notes are looked through for places that change or get hard; what they propose stands beside your tips, and nothing of it is in the guide until you keep it. Dropping is for this visit; undo takes back what you kept. The notes are not kept with the guide: open the part again to see its list another day." }
                    p { "From captions, everything that was heard is listed with its line and words. What is less than half sure is not ticked." }
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
