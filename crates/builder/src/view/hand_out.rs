//! Everything by which the guide leaves, and its settings.

use super::home::weight;
use super::{field, link, other_files, tip_media};
use crate::handing::OtherFile;
use crate::state::Desk;
use crate::update::hand_out::name_of;
use cueleaf_guide::{CountStyle, Id, Language, MeasureWord, media_bytes, media_count};
use maud::{Markup, html};

pub(super) fn hand_out(desk: &Desk) -> Markup {
    html! {
        div class="hand-out" {
            (about(desk))
            (files(desk))
            (link::link(desk))
            (other_files::other_files(desk))
            (settings(desk))
        }
    }
}

fn about(desk: &Desk) -> Markup {
    let guide = desk.guide();
    html! {
        section id="about" aria-labelledby="about-title" {
            h2 id="about-title" { "What the student reads first" }
            div class="field" {
                label for="guide-field-title" { "Title" }
                input id="guide-field-title" type="text" value=(guide.title) data-do="guide" data-value="title" maxlength="200" autocomplete="off";
            }
            div class="field" {
                label for="guide-field-composer" { "Composer" }
                input id="guide-field-composer" type="text" value=(guide.composer) data-do="guide" data-value="composer" maxlength="200" autocomplete="off";
            }
            @for (index, part) in guide.parts.iter().enumerate() {
                div class="field" {
                    label for={ "part-name-" (part.id) } {
                        "Part"
                        @if guide.parts.len() > 1 { " " (index + 1) }
                    }
                    input id={ "part-name-" (part.id) } type="text" value=(part.name) data-do="part-name" data-value=(part.id) maxlength="100" autocomplete="off";
                }
            }
            div class="field" {
                label for="guide-field-word" { "Your word to the student" }
                textarea id="guide-field-word" rows="4" data-do="guide" data-value="word" maxlength="5000"
                    placeholder="By Thursday: measures 25 to 40 at a slow tempo, counting aloud." { (guide.word) }
            }
        }
    }
}

fn settings(desk: &Desk) -> Markup {
    let settings = &desk.guide().settings;
    let choice = |name: &str, label: &str, value: &str, choices: &[(&str, &str)]| {
        html! {
            div class="field" {
                label for={ "guide-field-" (name) } { (label) }
                select id={ "guide-field-" (name) } data-do="guide" data-value=(name) autocomplete="off" {
                    @for (own, words) in field::pairs(choices) {
                        option value=(own) selected[own == value] { (words) }
                    }
                }
            }
        }
    };
    let style = match settings.count_style {
        CountStyle::EachGroup => "each-group",
        CountStyle::Through => "through",
    };
    let word = match settings.measure_word {
        MeasureWord::Measure => "measure",
        MeasureWord::Bar => "bar",
    };
    html! {
        section id="settings" aria-labelledby="settings-title" {
            h2 id="settings-title" { "How the guide speaks and counts" }
            (language(settings.language))
            @if settings.language == Language::English {
                (choice("measure-word", "A measure is called", word, &[("measure", "measure"), ("bar", "bar")]))
            }
            (choice("count-style", "Uneven measures, such as 5/8 in 2 + 3", style, &[
                ("each-group", "anew in each group: 1 2, 1 2 3"),
                ("through", "through the measure: 1 2 3 4 5"),
            ]))
            (choice("count-in", "Count-in before playing", &settings.count_in.to_string(), &[
                ("0", "none"),
                ("1", "1 measure"),
                ("2", "2 measures"),
                ("3", "3 measures"),
                ("4", "4 measures"),
            ]))
        }
    }
}

/// Shows the choice of a language, each under its own name.
fn language(chosen: Language) -> Markup {
    html! {
        div class="field" {
            label for="guide-field-language" { "Words for the student" }
            select id="guide-field-language" data-do="guide" data-value="language" aria-describedby="language-hint" autocomplete="off" {
                @for own in Language::ALL {
                    option value=(own.tag()) lang=(own.tag()) selected[own == chosen] {
                        (match own {
                            Language::English => "English",
                            Language::German => "Deutsch",
                            Language::Spanish => "Español",
                            Language::French => "Français",
                            Language::Italian => "Italiano",
                        })
                    }
                }
            }
            p id="language-hint" class="hint" { "Titles, tips and tasks stay as you write them." }
        }
    }
}

fn files(desk: &Desk) -> Markup {
    let guide = desk.guide();
    html! {
        section id="files" aria-labelledby="files-title" {
            h2 id="files-title" { "The file for the student" }
            p { "One HTML file: send it by mail or put it on the class page. It opens in the phone’s browser and works without network." }
            @match guide.parts.as_slice() {
                [] => { (file(desk, None, "Download the guide")) }
                [part] => { (file(desk, Some(&part.id), "Download the guide")) }
                parts => {
                    @for part in parts { (file(desk, Some(&part.id), &format!("Download for {}", part.name))) }
                    p class="download" {
                        button id="hand-out-each" type="button" data-do="hand-out-each" { "Download all, one file for each part" }
                    }
                    (other_files::file(desk, OtherFile::AllParts, "Download all in a zip"))
                }
            }
            p class="hint" {
                "A guide carries your tips, counts and numbers, not the score. If you copy passages or "
                "printed words from music under copyright into it, make sure that you may."
            }
            (media(desk))
            p class="hint" { "On paper: open the file and print it. It comes out as a practice sheet, with everything but the sound." }
            p class="hint" { "Keep this file: opened here, it can be edited again." }
            h3 { "For yourself" }
            (other_files::file(desk, OtherFile::Overview, "Download an overview to print"))
            p class="download" {
                button id="download-saved" type="button" data-do="download-guide" { "Download the guide for editing" }
                span class="file" { "with all parts; for your own keeping, not for students (.json)" }
            }
        }
    }
}

/// Tells how much of the file photos and voice notes take, where there are some.
fn media(desk: &Desk) -> Markup {
    let guide = desk.guide();
    let (photos, voices) = media_count(guide);
    let (of_photos, of_voices) = media_bytes(guide);
    // In the page base64 takes four letters for three bytes.
    let told = |count: usize, bytes: usize, one: &str| {
        let many = if count == 1 { "" } else { "s" };
        format!("{count} {one}{many}, {}", weight(bytes.div_ceil(3) * 4))
    };
    html! {
        @if photos + voices > 0 {
            p id="media-weight" {
                "Of the whole guide’s files: "
                @if photos > 0 { (told(photos, of_photos, "photo")) }
                @if photos > 0 && voices > 0 { "; " }
                @if voices > 0 { (told(voices, of_voices, "voice note")) }
                "."
            }
            (tip_media::confirmation(desk, "may-share"))
        }
    }
}

fn file(desk: &Desk, part: Option<&Id>, words: &str) -> Markup {
    let arg = part.map_or("", Id::as_str);
    let weighed = desk.handing.weights.of(part);
    html! {
        p class="download" {
            span class="ways" {
                button id={ "hand-out-" (arg) } type="button" class="strong" data-do="hand-out" data-value=(arg) { (words) }
                @if weighed != Some(None) {
                    " " button id={ "share-" (arg) } type="button" class="share" data-do="share" data-value=(arg)
                        aria-label=(words.replacen("Download", "Share", 1)) { "Share" }
                }
            }
            span class="file" {
                (name_of(desk.guide(), part))
                @match weighed {
                    None => { ", being weighed" }
                    Some(Some(bytes)) => { ", " (weight(bytes)) }
                    Some(None) => { ", not possible in this copy of Cueleaf" }
                }
            }
        }
    }
}
