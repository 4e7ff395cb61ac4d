//! The link of a guide and its QR code.

use crate::linking::{Made, Ready};
use crate::state::Desk;
use cueleaf_export::{QrPicture, WIDTH_MM};
use cueleaf_guide::{Id, media_count};
use cueleaf_link::WIDELY_SAFE;
use maud::{Markup, PreEscaped, html};

pub(super) fn link(desk: &Desk) -> Markup {
    let guide = desk.guide();
    let linking = &desk.linking;
    html! {
        section id="link" aria-labelledby="link-title" {
            h2 id="link-title" { "A link and a QR code" }
            p {
                "The whole guide stands in the link itself, after the #, which browsers send to nobody. "
                "Phones that show only a preview of files, as iPhones do, open it at once."
            }
            @if media_count(guide) != (0, 0) {
                p id="link-bare" class="hint" { "A link carries no photos and no voice notes: for these, hand out the file." }
            }
            div class="field" {
                label for="link-address" { "Address of play.html on the web" }
                input id="link-address" type="text" inputmode="url" value=(linking.shown(guide))
                    data-do="link-address" maxlength="300" autocomplete="off" spellcheck="false"
                    placeholder="https://music.school.example/play.html"
                    aria-invalid=(if linking.wrong.is_some() { "true" } else { "false" })
                    aria-describedby="link-address-hint";
                p id="link-address-hint" class=(if linking.wrong.is_some() { "problem" } else { "hint" }) {
                    @match &linking.wrong {
                        Some((_, why)) => { (why) }
                        None => {
                            "Typed once and remembered on this device; a folder stands for the play.html in it. Files of this guide then show its link, too."
                        }
                    }
                }
            }
            p class="download" {
                @match guide.parts.as_slice() {
                    [] => { (button(None, "Make the link")) }
                    [part] => { (button(Some(&part.id), "Make the link")) }
                    parts => {
                        @for part in parts { (button(Some(&part.id), &format!("Make the link for {}", part.name))) " " }
                    }
                }
            }
            @match linking.fresh(guide) {
                Some(made) => { (shown(desk, made)) }
                None if linking.made.is_some() => {
                    p class="hint" { "The guide has changed since its link was made: make it again." }
                }
                None => {}
            }
            (other(desk))
        }
    }
}

fn button(part: Option<&Id>, words: &str) -> Markup {
    let value = part.map_or("", Id::as_str);
    html! {
        button id={ "link-make-" (value) } type="button" data-do="link-make" data-value=(value) { (words) }
    }
}

fn shown(desk: &Desk, made: &Made) -> Markup {
    let name = made.part.as_ref().and_then(|id| desk.guide().part(id));
    let of = name.map_or("The link", |part| part.name.as_str());
    html! {
        @match &made.link {
            Err(why) => { p id="link-trouble" class="problem" tabindex="-1" { (why) } }
            Ok(ready) => {
                div class="field" {
                    label for="link-text" {
                        @if name.is_some() { "Link for " (of) } @else { (of) }
                    }
                    textarea id="link-text" rows="4" readonly spellcheck="false" autocomplete="off" { (ready.text) }
                    p class="hint" { (length(ready)) }
                }
                p class="download" {
                    button id="link-copy" type="button" class="strong" data-do="link-copy" { "Copy the link" }
                    span id="link-copied" class="file" role="status" { (made.copied.unwrap_or_default()) }
                }
                @match &ready.picture {
                    Err(why) => { p class="hint" { (why) } }
                    Ok(picture) => { (figure(picture, "link-picture")) }
                }
            }
        }
        @if let Some((address, picture)) = &made.instead {
            p id="link-instead" {
                "This code holds the address alone, " b { (address) } ". It leads students to the page; "
                "the guide itself they get as a link or a file."
            }
            (figure(picture, "link-picture"))
        }
    }
}

fn length(ready: &Ready) -> String {
    let letters = ready.text.len();
    if letters > WIDELY_SAFE {
        return format!(
            "{letters} letters. Some mail programs cut links of more than {WIDELY_SAFE}: send one to yourself first."
        );
    }
    format!("{letters} letters.")
}

/// Shows a picture with its download.
fn figure(picture: &QrPicture, hook: &str) -> Markup {
    html! {
        div class="qr" { (PreEscaped(&picture.svg)) }
        p class="download" {
            button id=(hook) type="button" data-do=(hook) { "Download the QR code" }
            span class="file" {
                "SVG; print it " (WIDTH_MM) " mm wide or larger"
            }
        }
    }
}

fn other(desk: &Desk) -> Markup {
    let other = desk.linking.other.as_ref();
    html! {
        div class="field" {
            label for="link-other" { "QR code for another address, such as the page where you put the file" }
            input id="link-other" type="text" inputmode="url" value=(other.map_or("", |(text, _)| text))
                data-do="link-other" maxlength="2000" autocomplete="off" spellcheck="false";
        }
        @match other.map(|(_, picture)| picture) {
            None => {}
            Some(Err(why)) => { p class="hint" { (why) } }
            Some(Ok(picture)) => { (figure(picture, "link-other-picture")) }
        }
    }
}
