//! The head of the page: the guide's name, undo, whether it is kept, the tabs.

use crate::state::{Desk, Keep, Notice, Room, State, Tone};
use crate::update::keeping::title as title_words;
use maud::{Markup, html};

pub(super) fn top(state: &State) -> Markup {
    match state.desk() {
        None => html! {
            div id="top-in" class="top start" {
                p class="brand" { "Cueleaf" }
                p class="motto" { "Guides for practising a part at home" }
            }
        },
        Some(desk) => html! {
            div id="top-in" class="top" {
                div class="bar" {
                    button id="home" type="button" class="quiet" data-do="home" { "All guides" }
                    h1 id="guide-title" {
                        button id="name-it" type="button" class="link" data-do="name-it" title="Change what it is called" {
                            (title_words(&desk.guide().title))
                            @if let [part] = desk.guide().parts.as_slice() { " " span class="of-part" { (part.name) } }
                        }
                    }
                    (kept(&desk.keep))
                    div class="turns" {
                        (turn("undo", "Undo", desk.history.undo_words()))
                        (turn("redo", "Redo", desk.history.redo_words()))
                    }
                }
                (tabs(desk))
            }
        },
    }
}

/// The button stays in place and takes the focus also when there is nothing to
/// do, so that the focus is not lost after the last step.
fn turn(name: &str, label: &str, words: Option<&str>) -> Markup {
    let said = match words {
        Some(words) => format!("{label}: {words}"),
        None => format!("{label}: nothing"),
    };
    html! {
        button id=(name) type="button" class="quiet" data-do=(name)
            aria-disabled=[words.is_none().then_some("true")] aria-label=(said) title=(said) { (label) }
    }
}

fn kept(keep: &Keep) -> Markup {
    let (class, words, title) = match keep {
        Keep::Kept => ("kept", "Kept", "Every edit is kept on this device."),
        Keep::Soon | Keep::Writing(_) => ("keeping", "Keeping…", "The last edit is being kept."),
        Keep::Untouched => (
            "untouched",
            "Not changed yet",
            "It is kept on this device once you change it.",
        ),
        Keep::Conflict => (
            "not-kept",
            "Not kept",
            "Another version is kept under its name.",
        ),
        Keep::Off(_) => (
            "not-kept",
            "Not kept",
            "Download the guide before you close this page.",
        ),
    };
    html! {
        p id="kept" class={ "kept-state " (class) } title=(title) {
            // What the message about it offers has to stay within reach once it is closed.
            @if matches!(keep, Keep::Conflict | Keep::Off(_)) {
                button id="why-not-kept" type="button" class="link" data-do="why-not-kept" aria-label={ (words) ": why, and what to do" } { (words) }
            } @else { (words) }
        }
    }
}

fn tabs(desk: &Desk) -> Markup {
    let tips = desk.guide().tips.len();
    html! {
        nav class="tabs" aria-label="Rooms" {
            ul {
                @for room in Room::ALL {
                    li {
                        button id={ "tab-" (room.code()) } type="button" data-do="room" data-value=(room.code())
                            aria-current=[(room == desk.room).then_some("page")] {
                            (room.name())
                            @if room == Room::Tips && tips > 0 { " " span class="count" { (tips) } }
                        }
                    }
                }
            }
            @if desk.room != Room::TryIt {
                button id="beside" type="button" class="quiet wide-only" data-do="beside"
                    aria-pressed=(desk.beside) { "Try it beside" }
            }
        }
    }
}

pub(super) fn notice(notice: &Notice) -> Markup {
    let (class, role) = match notice.tone {
        Tone::Plain => ("notice", "status"),
        Tone::Trouble => ("notice trouble", "alert"),
    };
    html! {
            div id="notice-in" class=(class) role=(role) {
                p { (notice.text) }
                div class="choices" {
                    @for (index, (words, _)) in notice.choices.iter().enumerate() {
                        button id={ "choice-" (index) } type="button" data-do="notice" data-value=(index) { (words) }
                    }
                    button id="close-notice" type="button" class="quiet" data-do="close-notice" { "Close" }
                }
            }
    }
}
