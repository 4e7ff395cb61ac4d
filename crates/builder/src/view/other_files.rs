//! What leaves the guide besides its pages and links: captions, chapters, MIDI, a click
//! track, the overview on paper, lines for a class page.

use super::{field, findings};
use crate::handing::OtherFile;
use crate::state::Desk;
use crate::update::desk::hand::{FRAME_FIELD, frame_text};
use crate::update::hand_out::{name_of, other_name};
use cueleaf_plan::ClickSound;
use maud::{Markup, html};

pub(super) fn other_files(desk: &Desk) -> Markup {
    html! {
        section id="recording" aria-labelledby="recording-title" {
            h2 id="recording-title" { "Beside a recording, and to play along" }
            (part(desk))
            h3 { "For a recording of the piece" }
            (offset(desk))
            (file(desk, OtherFile::Captions, "Download the tips as captions"))
            (file(desk, OtherFile::Chapters, "Download the sections as chapters"))
            (file(desk, OtherFile::Times, "Download the times as text"))
            p class="hint" {
                "Captions and chapters are WebVTT, which players of video and audio take. The "
                "recording has to keep the tempi of the guide."
            }
            h3 { "For music programs" }
            (file(desk, OtherFile::Midi, "Download MIDI"))
            h3 { "A click track" }
            (choices(desk))
            (file(desk, OtherFile::Clicks, "Download the click track"))
            p class="hint" { "Play clicks no louder than you need, above all through headphones." }
        }
        section id="frame" aria-labelledby="frame-title" {
            h2 id="frame-title" { "On a class page" }
            (frame(desk))
        }
    }
}

/// A button that makes a file, with the file's name and what was found beside it.
pub(super) fn file(desk: &Desk, file: OtherFile, words: &str) -> Markup {
    let guide = desk.guide();
    let part = desk.handing.part_in(guide).filter(|_| !file.is_for_all());
    html! {
        p class="download" {
            button id={ "hand-file-" (file.code()) } type="button" data-do="hand-file" data-value=(file.code()) { (words) }
            span class="file" { (other_name(guide, part.as_ref(), file)) }
        }
        @if let Some(told) = desk.handing.told_of(guide, file) {
            @match &told.found {
                Err(why) => { p class="problem" role="alert" { (crate::opened::sentence(why)) } }
                Ok(found) if found.is_empty() => {}
                Ok(found) => {
                    ul class="file-findings" {
                        @for finding in found.iter().take(MOST) {
                            li class=(findings::class(finding.severity)) {
                                span class="finding-mark" aria-hidden="true" { "!" } " "
                                @if let Some(index) = finding.place.measure { "Measure " (desk.derived.name(index)) ": " }
                                (findings::words(finding))
                            }
                        }
                    }
                    @if found.len() > MOST { p class="hint" { "The first " (MOST) " of " (found.len()) " are shown." } }
                }
            }
        }
    }
}

/// The most findings that are listed beside a button.
const MOST: usize = 8;

fn choice(id: &str, label: &str, value: &str, choices: &[(String, String)]) -> Markup {
    html! {
        div class="field" {
            label for=(id) { (label) }
            select id=(id) data-do=(id) autocomplete="off" {
                @for (own, words) in choices { option value=(own) selected[own == value] { (words) } }
            }
        }
    }
}

fn part(desk: &Desk) -> Markup {
    let guide = desk.guide();
    if guide.parts.len() < 2 {
        return html! {};
    }
    let parts = guide.parts.iter();
    let parts = parts.map(|part| (part.id.to_string(), part.name.clone()));
    let all: Vec<(String, String)> =
        core::iter::once((String::new(), "All parts together".to_owned()))
            .chain(parts)
            .collect();
    let chosen = desk.handing.part_in(guide);
    let value = chosen.as_ref().map_or("", |id| id.as_str());
    choice("hand-part", "For", value, &all)
}

fn offset(desk: &Desk) -> Markup {
    let typed = &desk.handing.offset;
    let why = typed.problem.as_deref();
    html! {
        div class="field" {
            label for="hand-offset" { "The music starts in the recording at, in seconds or minutes:seconds" }
            input id="hand-offset" type="text" value=(typed.text) placeholder="12.5 or 1:20"
                data-do="hand-offset" maxlength="20" autocomplete="off" spellcheck="false"
                aria-invalid=[why.map(|_| "true")]
                aria-describedby=[why.map(|_| "hand-offset-problem")];
            (field::problem("hand-offset-problem", why))
        }
    }
}

fn choices(desk: &Desk) -> Markup {
    let sound = match desk.handing.sound {
        ClickSound::Clear => "clear",
        ClickSound::Wooden => "wooden",
        ClickSound::Dry => "dry",
    };
    html! {
        (choice("hand-sound", "Sound of the clicks", sound, &field::pairs(&[
            ("clear", "clear: a tone"),
            ("wooden", "wooden: like a bar of wood"),
            ("dry", "dry: a short rustle"),
        ])))
        (choice("hand-rate", "Samples a second", &desk.handing.rate.hertz().to_string(), &field::pairs(&[
            ("48000", "48 kHz, as for video"),
            ("44100", "44.1 kHz, as on a CD"),
        ])))
    }
}

fn frame(desk: &Desk) -> Markup {
    let guide = desk.guide();
    let part = desk.handing.part_in(guide);
    let told = desk.handing.copied.unwrap_or_default();
    html! {
        p {
            "Put the file " b { (name_of(guide, part.as_ref())) } " beside the class page, and these lines into it. "
            "In the frame the guide plays and counts; what a student ticks there is not kept."
        }
        div class="field" {
            label for=(FRAME_FIELD) { "Lines for the page" }
            textarea id=(FRAME_FIELD) rows="4" readonly spellcheck="false" autocomplete="off" { (frame_text(desk)) }
        }
        p class="download" {
            button id="frame-copy" type="button" data-do="frame-copy" { "Copy the lines" }
            span id="frame-copied" class="file" role="status" { (told) }
        }
    }
}
