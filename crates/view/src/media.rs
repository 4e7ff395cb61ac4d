//! The photo and the voice note of a tip. Both work where no script runs.

use crate::{Word, Words};
use cueleaf_guide::{Photo, Voice};
use maud::{Markup, html};

/// Shows a photo, with the index of its tip, by which it is found again in the page. It is not put
/// off until it comes into view: its bytes are there, and paper would miss it.
#[must_use]
pub fn photo_figure(words: &Words, index: usize, photo: &Photo) -> Markup {
    let alt = match photo.alt.trim() {
        "" => words.get(Word::Photo),
        alt => alt,
    };
    let source = data_address(photo.kind.media_type(), photo.data.text());
    html! {
        figure class="photo" {
            img data-photo=(index) src=(source) alt=(alt) width=(photo.width) height=(photo.height)
                decoding="async";
        }
    }
}

/// Shows a voice note with its words, and with the index of its tip.
#[must_use]
pub fn voice_figure(words: &Words, index: usize, voice: &Voice) -> Markup {
    let name = voice_name(words, voice);
    let source = data_address("audio/wav", voice.data.text());
    html! {
        figure class="voice" {
            figcaption { (name) }
            audio data-voice=(index) src=(source) controls preload="metadata" aria-label=(name) {}
            @for line in voice.words.lines().filter(|line| !line.trim().is_empty()) {
                p class="said" { (line) }
            }
        }
    }
}

/// Says on paper what a voice note is: "Voice note, 7 s: Listen to the cellos".
#[must_use]
pub fn voice_text(words: &Words, voice: &Voice) -> String {
    let name = voice_name(words, voice);
    match voice.words.trim() {
        "" => name,
        said => format!("{name}: {said}"),
    }
}

fn voice_name(words: &Words, voice: &Voice) -> String {
    words.fill(Word::VoiceNote, &[&voice.seconds().to_string()])
}

/// Writes bytes as an address.
///
/// # Source
/// RFC 2397.
fn data_address(media_type: &str, base64: &str) -> String {
    format!("data:{media_type};base64,{base64}")
}
