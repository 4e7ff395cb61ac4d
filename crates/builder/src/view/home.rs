//! The first page: the ways in, and the guides kept on this device.

use super::field;
use crate::edit::new_guide::NewFields;
use crate::edit::tempo::UNITS;
use crate::examples::EXAMPLES;
use crate::making::Making;
use crate::state::{Home, KeptEntry, PartChoice, Reading, Renaming, Shelf, State};
use crate::update::keeping::title as title_words;
use crate::update::watching::is_same_music;
use maud::{Markup, html};

/// How many kept guides are listed at once; the older ones are one click away.
const LISTED: usize = 6;

pub(super) fn home(state: &State, home: &Home) -> Markup {
    // Who comes back looks for her own guides first.
    let has_guides = !state.shelf.entries.is_empty();
    html! {
        div id="welcome" {
            h1 { "Help your students practise one part at home" }
            @if !has_guides { p class="lead" {
                "Open the part, write tips at its measures, and hand out one file. It counts, clicks and "
                "shows your tips on the student’s phone, without account or network."
            } }
        }
        @if has_guides { (shelf(state)) }
        (ways(home))
        @if !has_guides { (shelf(state)) }
        (promise())
    }
}

fn ways(home: &Home) -> Markup {
    html! {
        section id="ways" class="ways" aria-label="Start a guide" {
            div class="doors" {
                div class="door" {
                    h2 { "Open a part, a talk or a guide" }
                    p id="open-about" { "A MusicXML file (.musicxml, .xml, .mxl), a MIDI file (.mid), captions of a talk you recorded (.vtt, .srt), plain notes (.txt), or a guide you made before. You can also drop it on this page." }
                    button id="choose-file" type="button" class="strong" data-do="choose-file"
                        aria-describedby="open-about" { "Choose a file" }
                }
                div class="door" {
                    h2 { "Type it in" }
                    p id="type-about" { "You have the part on paper: say how many measures, and start from there." }
                    button id="type-in" type="button" data-do="toggle-form"
                        aria-expanded=(home.form.is_some()) aria-describedby="type-about" { "Type it in" }
                }
                @if let Some(form) = &home.form { (type_in(form, home)) }
                div class="door examples" {
                    h2 { "Look at an example" }
                    div class="list" {
                        @for (index, example) in EXAMPLES.iter().enumerate() {
                            button id={ "example-" (index) } type="button" data-do="example" data-value=(index) {
                                (example.title)
                                " " span class="about" { (example.about) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn type_in(form: &NewFields, home: &Home) -> Markup {
    let text = |name: &str, label: &str, value: &str, hint: &str| {
        let own = home.problem.as_ref().filter(|(field, _)| *field == name);
        let why = own.map(|(_, why)| why.as_str());
        html! {
            div class="field" {
                label for={ "new-" (name) } { (label) }
                input id={ "new-" (name) } type="text" value=(value) placeholder=(hint)
                    data-do="field" data-value=(name) autocomplete="off"
                    aria-invalid=[why.map(|_| "true")]
                    aria-describedby=[why.map(|_| format!("new-{name}-problem"))];
                (field::problem(&format!("new-{name}-problem"), why))
            }
        }
    };
    html! {
        form class="type-in" data-do="make-typed" aria-label="Type it in" novalidate {
            (text("title", "Title", &form.title, "The title of the piece"))
            (text("part", "Part", &form.part, "Viola"))
            (text("measures", "How many measures", &form.measures, ""))
            (text("meter", "Meter", &form.meter, "4/4"))
            (text("pickup", "Beats in the pickup, if any", &form.pickup, "none"))
            div class="field" {
                label for="new-unit" { "Tempo counts" }
                select id="new-unit" data-do="field" data-value="unit" autocomplete="off" {
                    @for unit in UNITS {
                        option value=(unit) selected[unit == form.unit] { (unit) " notes" }
                    }
                }
            }
            (text("tempo", "How many a minute", &form.tempo, ""))
            div class="go" {
                button id="make-typed" type="submit" class="strong" { "Make the road map" }
                p class="hint" { "Meters, tempi and sections that change later are set in the road map." }
            }
        }
    }
}

fn shelf(state: &State) -> Markup {
    let shelf = &state.shelf;
    html! {
        section id="shelf" class="shelf" aria-labelledby="shelf-title" {
            h2 id="shelf-title" tabindex="-1" { "Your guides on this device" }
            @if let Some(reason) = &shelf.trouble {
                p class="warn" {
                    "This browser does not let the page keep anything (" (reason.trim_end_matches('.')) "). Everything else works: "
                    "download your guide before you close the page."
                }
            } @else if shelf.entries.is_empty() {
                p class="quiet-text" { "None yet. Each guide you make is kept here, edit by edit, until you remove it." }
            } @else {
                (kept_list(shelf, shelf.entries.iter().take(LISTED)))
                @if shelf.entries.len() > LISTED {
                    details id="older" {
                        summary { "Older ones: " (shelf.entries.len() - LISTED) }
                        (kept_list(shelf, shelf.entries.iter().skip(LISTED)))
                    }
                }
            }
            (damaged(&shelf.damaged))
        }
    }
}

/// What is kept and cannot be read, with what can be done with it.
fn damaged(ids: &[String]) -> Markup {
    html! {
        @if !ids.is_empty() {
            h3 { "Cannot be read" }
            p class="hint" { "Something is kept under these names that is no guide, or is damaged. It was left as it is." }
            ul class="kept-list" {
                @for (index, id) in ids.iter().enumerate() {
                    li id={ "damaged-" (index) } {
                        span class="open" { span class="name" { (id) } }
                        div class="entry-do" {
                            button id={ "damaged-take-" (index) } type="button" class="quiet" data-do="damaged-take" data-value=(id)
                                aria-label={ "Download as it is: " (id) } { "Download as it is" }
                            button id={ "damaged-remove-" (index) } type="button" class="quiet" data-do="damaged-remove" data-value=(id)
                                aria-label={ "Remove " (id) } { "Remove" }
                        }
                    }
                }
            }
        }
    }
}

fn kept_list<'a>(shelf: &Shelf, entries: impl Iterator<Item = &'a KeptEntry>) -> Markup {
    html! {
        ul class="kept-list" {
            @for entry in entries {
                @let renaming = shelf.renaming.as_ref().filter(|own| own.id == entry.id);
                li id={ "kept-" (entry.id) } {
                    @if let Some(renaming) = renaming { (new_name(renaming)) } @else { (kept_entry(entry)) }
                }
            }
        }
    }
}

fn new_name(renaming: &Renaming) -> Markup {
    let id = &renaming.id;
    html! {
        form class="new-name" data-do="kept-new-name" aria-label="Another name" {
            label for={ "new-name-" (id) } { "Title" }
            input id={ "new-name-" (id) } type="text" value=(renaming.name) data-do="kept-name" autocomplete="off";
            button id={ "take-name-" (id) } type="submit" class="strong" { "Keep" }
            button id={ "leave-name-" (id) } type="button" class="quiet" data-do="kept-as-it-was" { "Leave it" }
        }
    }
}

fn kept_entry(entry: &KeptEntry) -> Markup {
    let title = title_words(&entry.title);
    let parts = Some(entry.parts.as_str()).filter(|parts| !parts.is_empty());
    let other = |name: &str, words: &str| {
        html! {
            button id={ (name) "-" (entry.id) } type="button" class="quiet" data-do={ "kept-" (name) } data-value=(entry.id)
                aria-label={ (words) " " (title) @if let Some(parts) = parts { ", " (parts) } } { (words) }
        }
    };
    // What a guide weighs matters once it holds photos or voice notes.
    let heavy = (entry.bytes >= 1_000_000).then(|| weight(entry.bytes));
    html! {
                    button id={ "open-" (entry.id) } type="button" class="open" data-do="kept-open" data-value=(entry.id) {
                        span class="name" { (title) }
                        @if let Some(parts) = parts { " " span class="of-part" { (parts) } }
                        " " span class="when" { (entry.when) @if let Some(heavy) = heavy { ", " (heavy) } }
                    }
                    div class="entry-do" {
                        (other("rename", "Rename"))
                        (other("copy", "Copy"))
                        (other("remove", "Remove"))
                    }
    }
}
/// Writes a number of bytes for people.
pub(super) fn weight(bytes: usize) -> String {
    if bytes < 1_000_000 {
        format!("{} kB", bytes.div_ceil(1_000))
    } else {
        let tenths = bytes.div_ceil(100_000);
        format!("{}.{} MB", tenths / 10, tenths % 10)
    }
}

fn promise() -> Markup {
    html! {
        p id="promise" class="quiet-text" {
            "What you open stays in this browser; nothing is sent anywhere."
        }
    }
}

pub(super) fn reading(reading: &Reading) -> Markup {
    html! {
            section id="reading" class="reading" aria-labelledby="reading-title" {
                h1 id="reading-title" { "Reading " (reading.name) }
                progress id="reading-bar" max="100" value=(reading.percent) aria-labelledby="reading-title" {}
                p { (reading.percent) " %" }
                button id="cancel" type="button" data-do="cancel" { "Stop" }
            }
    }
}

pub(super) fn making(making: &Making) -> Markup {
    html! {
            section id="making" class="reading" aria-labelledby="making-title" {
                h1 id="making-title" { "Looking through the notes" }
                progress id="making-bar" max="100" value=(making.percent()) aria-labelledby="making-title" {}
                p { (making.part_name()) " " (making.percent()) " %" }
                button id="cancel" type="button" data-do="cancel" { "Stop" }
            }
    }
}

pub(super) fn parts(state: &State, choice: &PartChoice) -> Markup {
    let count = choice.chosen.iter().filter(|chosen| **chosen).count();
    let title = [&choice.score.value.title, &choice.score.value.movement]
        .into_iter()
        .find(|title| !title.is_empty())
        .map_or(choice.name.as_str(), String::as_str);
    let aside = state.aside.as_deref();
    // Of the music that is open the notes are wanted most often.
    let strong = match aside {
        Some(desk) if is_same_music(&choice.score.value, desk.guide()) => "add-notes",
        _ => "make-guide",
    };
    html! {
            section id="parts" class="parts" aria-labelledby="parts-title" {
                h1 id="parts-title" { (title) }
                fieldset {
                    legend { "For which part is the guide? Choose one or more." }
                    @for (index, part) in choice.score.value.parts.iter().enumerate() {
                        label class="check" for={ "part-" (index) } {
                            input id={ "part-" (index) } type="checkbox" data-do="toggle-part" data-value=(index) autocomplete="off"
                                checked[choice.chosen.get(index).copied().unwrap_or(false)];
                            (part.name)
                        }
                    }
                }
                p class="hint" { "With several parts, the road map is shared; each tip can be for all or for some, and each part gets its own file." }
                div class="go" {
                    button id="make-guide" type="button" class=[strong_class("make-guide", strong)] data-do="make-guide"
                        aria-disabled=[(count == 0).then_some("true")] {
                        @if aside.is_some() { "Make a new guide" } @else { "Make the guide" }
                        @if count > 1 { " for " (count) " parts" }
                    }
                    button id="cancel" type="button" class="quiet" data-do="cancel" { "Back" }
                }
                @if let Some(aside) = aside { (for_open(title_words(&aside.guide().title), count, strong)) }
            }
    }
}

/// Gives the class of the button that is meant most often.
fn strong_class(hook: &str, strong: &str) -> Option<&'static str> {
    (hook == strong).then_some("strong")
}

/// What the chosen parts can be for the guide that is open.
fn for_open(title: &str, count: usize, strong: &str) -> Markup {
    let mut ways = [
        (
            "add-parts",
            "Add to it",
            "Its parts come into that guide by printed measure numbers, with their marks and what their notes propose. You see everything first.",
        ),
        (
            "add-edition",
            "Take it as a corrected edition",
            "The road map becomes that of this file; tips and tasks go along to the same measures. You see first what finds no place.",
        ),
        (
            "add-notes",
            "Only show what its notes propose",
            "That guide stays as it is; its watch list is made from these notes.",
        ),
    ];
    ways.sort_by_key(|(hook, ..)| *hook != strong);
    html! {
        section id="for-open" class="for-open" aria-labelledby="for-open-title" {
            h2 id="for-open-title" { "Or for the guide that is open, “" (title) "”" }
            @for (hook, words, about) in ways {
                div class="go" {
                    button id=(hook) type="button" class=[strong_class(hook, strong)] data-do=(hook) aria-describedby={ (hook) "-about" }
                        aria-disabled=[(count == 0).then_some("true")] { (words) }
                    p id={ (hook) "-about" } class="hint" { (about) }
                }
            }
        }
    }
}
