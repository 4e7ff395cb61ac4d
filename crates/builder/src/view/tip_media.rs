//! The photo and the voice note of a tip: to add, to look at, to put in words, to take away.

use super::home::weight;
use crate::media::{GoingOn, MOST_SECONDS, PHOTO_LIMITS, Taken};
use crate::state::Desk;
use crate::update::desk::media::tick_id;
use cueleaf_guide::{Id, Photo, Tip, Voice};
use cueleaf_view::{Page, photo_figure, voice_figure};
use maud::{Markup, html};

/// Names the photo and the voice note of a closed tip. Their bytes would be drawn with every key
/// that is typed, so they stand in the open tip alone.
pub(super) fn named(tip: &Tip) -> Markup {
    html! {
        @if let Some(photo) = &tip.photo {
            p class="media-line" {
                "Photo, " (weight(photo.data.len()))
                @if !photo.alt.trim().is_empty() { ": " (photo.alt) }
            }
        }
        @if let Some(voice) = &tip.voice {
            p class="media-line" {
                "Voice note, " (voice.seconds()) " s, " (weight(voice.data.len()))
                @if !voice.words.trim().is_empty() { ": " (voice.words) }
            }
        }
    }
}

/// The fields for them, folded away until they are wanted.
pub(super) fn editor(desk: &Desk, tip: &Tip) -> Markup {
    let id = &tip.id;
    let going_on = desk
        .media
        .going_on
        .as_ref()
        .filter(|_| desk.media.tip() == Some(id));
    let told = [Taken::Photo, Taken::Voice].map(|taken| desk.media.told_of(id, taken));
    let has = tip.photo.is_some() || tip.voice.is_some();
    let wanted = has || desk.media.wanted_at.as_ref() == Some(id);
    // What the teacher opened stays open; what has come opens by itself, since it is another one.
    let name = if wanted {
        "tip-media"
    } else {
        "tip-media-none"
    };
    html! {
        details id={ (name) "-" (id) } class="tip-more" open[wanted] {
            summary { "A photo, a voice note" }
            (confirmation(desk, tick_id(id).as_str()))
            div class="media" {
                @match &tip.photo {
                    Some(photo) => { (photo_editor(desk, id, photo)) }
                    None => { (photo_ways(id, going_on)) }
                }
                (problem(told[0]))
            }
            div class="media" {
                @match (&tip.voice, going_on) {
                    (_, Some(GoingOn::Asking(_) | GoingOn::Recording(..))) => { (recorder(id, going_on)) }
                    (Some(voice), _) => { (voice_editor(desk, id, voice)) }
                    (None, _) => { (voice_ways(id, going_on)) }
                }
                (problem(told[1]))
            }
        }
    }
}

/// The tick by which the teacher confirms that she may hand them out; one for the whole guide.
pub(super) fn confirmation(desk: &Desk, id: &str) -> Markup {
    let hint = format!("{id}-hint");
    html! {
        label class="check" for=(id) {
            input id=(id) type="checkbox" data-do="guide" data-value="may-share" autocomplete="off"
                checked[desk.guide().settings.may_share] aria-describedby=(hint);
            span { "The photos and voice notes in this guide are mine, or I may hand them out" }
        }
        p id=(hint) class="hint" {
            "Ask before you photograph or record others; for children, their parents. Without the tick "
            "none of them leaves this page."
        }
    }
}

fn problem(told: Option<&str>) -> Markup {
    html! { @if let Some(told) = told { p class="problem" { (told) } } }
}

fn photo_ways(id: &Id, going_on: Option<&GoingOn>) -> Markup {
    let (side, most) = PHOTO_LIMITS;
    html! {
        button id={ "photo-choose-" (id) } type="button" data-do="photo-choose" data-value=(id) { "Add a photo" }
        @if matches!(going_on, Some(GoingOn::Reading(_, Taken::Photo))) {
            p class="hint" { "The picture is being drawn …" }
        } @else {
            p class="hint" {
                "JPEG, PNG or WebP; also dropped or pasted here. It is drawn anew, at most " (side)
                " pixels long and " (weight(most)) ": where and when it was taken is left out."
            }
        }
    }
}

fn photo_editor(desk: &Desk, id: &Id, photo: &Photo) -> Markup {
    let words = Page::words_for(desk.guide());
    html! {
        @match photo.sound() {
            Ok(()) => { (photo_figure(&words, 0, photo)) }
            Err(why) => { p class="problem" { "This photo cannot be shown: " (why) "." } }
        }
        p class="media-line" { "Photo, " (photo.width) " × " (photo.height) " pixels, " (weight(photo.data.len())) }
        div class="field" {
            label for={ "tip-photo-words-" (id) } { "What it shows, in words" }
            input id={ "tip-photo-words-" (id) } type="text" value=(photo.alt) maxlength="300" autocomplete="off"
                data-do="tip-photo-words" data-value=(id) placeholder="The bow at the frog, thumb bent";
        }
        button id={ "photo-remove-" (id) } type="button" class="quiet" data-do="photo-remove" data-value=(id) { "Remove the photo" }
    }
}

fn voice_ways(id: &Id, going_on: Option<&GoingOn>) -> Markup {
    html! {
        div class="ways" {
            (record_button(id, "Record a voice note")) " "
            button id={ "sound-choose-" (id) } type="button" data-do="sound-choose" data-value=(id) { "Take a sound file" }
        }
        @if matches!(going_on, Some(GoingOn::Reading(_, Taken::Voice))) {
            p class="hint" { "The sound is being read …" }
        } @else {
            p class="hint" {
                "At most " (MOST_SECONDS) " seconds, 32 kB a second. The browser asks for the microphone "
                "when you press Record; it is off again at Stop."
            }
        }
    }
}

fn record_button(id: &Id, words: &str) -> Markup {
    html! { button id={ "record-" (id) } type="button" data-do="record" data-value=(id) { (words) } }
}

fn recorder(id: &Id, going_on: Option<&GoingOn>) -> Markup {
    let stands = match going_on {
        Some(GoingOn::Recording(_, second)) => {
            format!("Recording: {second} of {MOST_SECONDS} seconds")
        }
        _ => "The browser asks whether this page may use the microphone.".to_owned(),
    };
    html! {
        p class="recording" { (stands) }
        button id={ "record-stop-" (id) } type="button" class="strong" data-do="record-stop" { "Stop" }
    }
}

fn voice_editor(desk: &Desk, id: &Id, voice: &Voice) -> Markup {
    let words = Page::words_for(desk.guide());
    // Its words stand in the field below.
    let silent = Voice {
        words: String::new(),
        ..voice.clone()
    };
    html! {
        @match voice.sound() {
            Ok(()) => { (voice_figure(&words, 0, &silent)) }
            Err(why) => { p class="problem" { "This voice note cannot be played: " (why) "." } }
        }
        p class="media-line" { "Voice note, " (weight(voice.data.len())) }
        div class="field" {
            label for={ "tip-voice-words-" (id) } { "What is said, in words" }
            textarea id={ "tip-voice-words-" (id) } rows="2" maxlength="1000" data-do="tip-voice-words" data-value=(id)
                placeholder="For the printed page, and for who cannot hear it" { (voice.words) }
        }
        div class="ways" {
            (record_button(id, "Record anew")) " "
            button id={ "voice-remove-" (id) } type="button" class="quiet" data-do="voice-remove" data-value=(id) { "Remove the voice note" }
        }
    }
}
