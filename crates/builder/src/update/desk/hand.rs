//! What leaves the guide besides its pages and links: to make, to choose for, to weigh.

use crate::handing::{OtherFile, Told, Typed};
use crate::msg::{DeskMsg, Effect, HandMsg, Msg};
use crate::state::{Desk, Room};
use crate::update::hand_out::{self, other_name};
use cueleaf_export::{
    PlayerFiles, SampleRate, class_files, click_track, frame_snippet, midi_file, overview_page,
    section_chapters, section_times, tip_captions, zip,
};
use cueleaf_guide::{Checked, Finding, Guide, Id, for_student};
use cueleaf_plan::ClickSound;
use std::rc::Rc;

/// How long the document has to stay as it is before its pages are weighed again, in
/// milliseconds.
///
/// # Source
/// Our decision: longer than between two keys of a person who types.
const IDLE: u32 = 400;

/// Takes a message in.
pub(super) fn take(desk: &mut Desk, msg: HandMsg, effects: &mut Vec<Effect>) {
    let handing = &mut desk.handing;
    match msg {
        HandMsg::Part(part) => {
            handing.part = Id::new(&part);
            handing.told = None;
            handing.copied = None;
        }
        HandMsg::Offset(text) => handing.offset = Typed::new(text),
        HandMsg::Rate(text) => {
            let rate = text.parse().ok().and_then(SampleRate::of_hertz);
            handing.rate = rate.unwrap_or_default();
        }
        HandMsg::Sound(text) => {
            handing.sound = match text.as_str() {
                "wooden" => ClickSound::Wooden,
                "dry" => ClickSound::Dry,
                _ => ClickSound::Clear,
            };
        }
        HandMsg::Make(file) => make(desk, file, hand_out::player().as_ref(), effects),
        HandMsg::Share(part) => {
            // The button is shown only where its file can be made.
            let own = for_student(desk.guide(), part.as_ref());
            if let Some(text) = hand_out::page_of(&own) {
                effects.push(Effect::Share {
                    name: hand_out::name_of(desk.guide(), part.as_ref()),
                    media: "text/html",
                    text,
                });
            }
        }
        HandMsg::CopyFrame => {
            let text = frame_text(desk);
            effects.push(Effect::Copy(text, FRAME_FIELD.to_owned()));
        }
        HandMsg::Copied(told) => handing.copied = Some(told),
        HandMsg::Weigh => weigh(desk, effects),
    }
}

/// The id of the field with the lines for a class page.
pub(crate) const FRAME_FIELD: &str = "frame-text";

/// Writes the lines for a class page that show the file of the chosen part.
#[must_use]
pub(crate) fn frame_text(desk: &Desk) -> String {
    let guide = desk.guide();
    let part = desk.handing.part_in(guide);
    frame_snippet(guide, part.as_ref().and_then(|id| guide.part(id)))
}

/// Makes a file, downloads it, and tells what was found beside its button.
pub(crate) fn make(
    desk: &mut Desk,
    file: OtherFile,
    player: Option<&PlayerFiles<'_>>,
    effects: &mut Vec<Effect>,
) {
    if desk.handing.offset.problem.is_some() && takes_offset(file) {
        effects.push(Effect::Focus("hand-offset".to_owned()));
        return;
    }
    let guide = Rc::clone(desk.guide());
    let part = desk.handing.part_in(&guide).filter(|_| !file.is_for_all());
    let name = other_name(&guide, part.as_ref(), file);
    let own = for_student(&guide, part.as_ref());
    let found = match written(desk, &own, name, file, player) {
        Ok(made) => {
            effects.push(made.value);
            effects.push(Effect::Say("The file went to your downloads.".to_owned()));
            Ok(made.findings)
        }
        Err(why) => {
            effects.push(Effect::Say("No file was made.".to_owned()));
            Err(why)
        }
    };
    desk.handing.told = Some(Told::new(&guide, file, found));
}

const fn takes_offset(file: OtherFile) -> bool {
    matches!(
        file,
        OtherFile::Captions | OtherFile::Chapters | OtherFile::Times
    )
}

/// Writes a file of a guide; gives its download, or why there is none.
fn written(
    desk: &Desk,
    own: &Guide,
    name: String,
    file: OtherFile,
    player: Option<&PlayerFiles<'_>>,
) -> Result<Checked<Effect>, String> {
    let offset = desk
        .handing
        .offset
        .offset()
        .unwrap_or(cueleaf_export::Offset::NONE);
    let text = |made: Checked<String>, name, media| {
        with(
            made.findings,
            Effect::Download {
                name,
                media,
                text: made.value,
            },
        )
    };
    let bytes = |bytes, name, media| Effect::DownloadBytes { name, media, bytes };
    Ok(match file {
        OtherFile::AllParts => {
            let player = player.ok_or(hand_out::NO_PLAYER)?;
            let files = class_files(core::slice::from_ref(own), player)
                .map_err(|error| error.to_string())?;
            let packed = zip(&files).map_err(|error| error.to_string())?;
            with(Vec::new(), bytes(packed, name, "application/zip"))
        }
        OtherFile::Overview => text(Checked::clean(overview_page(own)), name, "text/html"),
        OtherFile::Captions => text(tip_captions(own, offset), name, "text/vtt"),
        OtherFile::Chapters => text(section_chapters(own, offset), name, "text/vtt"),
        OtherFile::Times => text(section_times(own, offset), name, "text/plain"),
        OtherFile::Midi => {
            let made = midi_file(own).map_err(|error| error.to_string())?;
            with(made.findings, bytes(made.value, name, "audio/midi"))
        }
        OtherFile::Clicks => {
            let handing = &desk.handing;
            let made =
                click_track(own, handing.sound, handing.rate).map_err(|error| error.to_string())?;
            with(
                made.findings,
                Effect::DownloadClicks(name, Rc::new(made.value)),
            )
        }
    })
}

const fn with(findings: Vec<Finding>, value: Effect) -> Checked<Effect> {
    Checked { value, findings }
}

/// Weighs the pages soon after the room is entered: first it is shown.
pub(super) fn enter(desk: &mut Desk, effects: &mut Vec<Effect>) {
    if desk.room == Room::HandOut {
        let guide = Rc::clone(desk.guide());
        desk.handing.weights.turn_to(&guide);
        ask(desk, 0, effects);
    }
}

/// Weighs the pages anew once the document that has just changed stays as it is.
pub(super) fn follow(desk: &mut Desk, effects: &mut Vec<Effect>) {
    if desk.room == Room::HandOut {
        desk.handing.weights.soon();
        ask(desk, IDLE, effects);
    }
}

fn ask(desk: &mut Desk, after: u32, effects: &mut Vec<Effect>) {
    if desk.handing.weights.ask(desk.history.guide()) {
        effects.push(Effect::After(
            after,
            Msg::Desk(DeskMsg::Hand(HandMsg::Weigh)),
        ));
    }
}

fn weigh(desk: &mut Desk, effects: &mut Vec<Effect>) {
    let guide = Rc::clone(desk.guide());
    let weights = &mut desk.handing.weights;
    weights.asked = false;
    if desk.room != Room::HandOut {
        return;
    }
    if weights.turn_to(&guide) {
        ask(desk, IDLE, effects);
        return;
    }
    let Some(part) = weights.next(&guide) else {
        return;
    };
    let mut own = for_student(&guide, part.as_ref());
    // Its link is made when the file is: it would take longer than all the rest.
    own.settings.address = String::new();
    let bytes = hand_out::page_of(&own).map(|page| page.len());
    desk.handing.weights.note(part, bytes);
    ask(desk, 0, effects);
}
