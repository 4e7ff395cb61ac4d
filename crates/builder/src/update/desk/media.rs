//! Photos and voice notes: to choose, to record, to take in.

use super::tips;
use crate::edit::tips::TipChange;
use crate::media::{GoingOn, Taken};
use crate::msg::{Effect, MediaMsg};
use crate::state::{Desk, Room};
use cueleaf_guide::Id;

/// The id of the tick by which a teacher confirms that she may hand out photos and voice notes.
pub(crate) fn tick_id(tip: &Id) -> String {
    format!("may-share-{tip}")
}

/// Takes a message in.
pub(super) fn take(desk: &mut Desk, msg: MediaMsg, effects: &mut Vec<Effect>) {
    match msg {
        MediaMsg::Choose(taken, tip) => {
            if may(desk, &tip, taken, effects) {
                effects.push(Effect::AskForMedia(taken, tip));
            }
        }
        MediaMsg::Reading(taken, tip) => {
            if may(desk, &tip, taken, effects) {
                desk.media.going_on = Some(GoingOn::Reading(tip, taken));
            }
        }
        MediaMsg::Record(tip) => {
            if may(desk, &tip, Taken::Voice, effects) && !desk.media.wants_microphone() {
                desk.media.going_on = Some(GoingOn::Asking(tip.clone()));
                effects.push(Effect::Focus(format!("record-stop-{tip}")));
                effects.push(Effect::Record(tip));
            }
        }
        MediaMsg::Second(second) => tick(desk, second, effects),
        MediaMsg::Stop => match desk.media.going_on.take() {
            // The browser still asks: there is nothing to keep, and whoever pressed Stop wants none.
            Some(GoingOn::Asking(tip)) => effects.push(Effect::Focus(format!("record-{tip}"))),
            going_on => {
                desk.media.going_on = going_on;
                effects.push(Effect::StopRecording);
            }
        },
        MediaMsg::Photo(tip, made) => {
            if is_awaited(desk, &tip) {
                let made = made.map(|photo| TipChange::Photo(Some(photo)));
                end(desk, &tip, Taken::Photo, made, effects);
            }
        }
        MediaMsg::Voice(tip, made) => {
            if is_awaited(desk, &tip) {
                let made = made.map(|voice| TipChange::Voice(Some(voice)));
                end(desk, &tip, Taken::Voice, made, effects);
            }
        }
    }
}

/// Notes how long the microphone is on.
fn tick(desk: &mut Desk, second: u32, effects: &mut Vec<Effect>) {
    match desk.media.going_on.take() {
        Some(GoingOn::Asking(tip)) => {
            effects.push(Effect::Say("Recording.".to_owned()));
            desk.media.going_on = Some(GoingOn::Recording(tip, second));
        }
        Some(GoingOn::Recording(tip, _)) => {
            desk.media.going_on = Some(GoingOn::Recording(tip, second));
        }
        other => desk.media.going_on = other,
    }
}

/// Tells whether the teacher confirmed that she may; else the focus goes to where she does.
fn may(desk: &mut Desk, tip: &Id, taken: Taken, effects: &mut Vec<Effect>) -> bool {
    desk.media.told = None;
    desk.media.wanted_at = Some(tip.clone());
    if desk.guide().settings.may_share {
        return true;
    }
    let text = "First say with the tick that you may hand it out.";
    desk.media.told = Some((tip.clone(), taken, text.to_owned()));
    effects.push(Effect::Focus(tick_id(tip)));
    effects.push(Effect::Say(text.to_owned()));
    false
}

/// Tells whether something is still wanted for a tip: another one may have been opened, or the
/// recording given up.
fn is_awaited(desk: &Desk, tip: &Id) -> bool {
    desk.media.tip() == Some(tip)
}

fn end(
    desk: &mut Desk,
    tip: &Id,
    taken: Taken,
    made: Result<TipChange, String>,
    effects: &mut Vec<Effect>,
) {
    desk.media.going_on = None;
    match made {
        Ok(change) => {
            tips::change(desk, tip, change, effects);
            let (field, said) = match taken {
                Taken::Photo => ("photo", "The photo is there. Say in words what it shows."),
                Taken::Voice => ("voice", "The voice note is there."),
            };
            effects.push(Effect::Focus(format!("tip-{field}-words-{tip}")));
            effects.push(Effect::Say(said.to_owned()));
        }
        Err(why) => {
            let button = match taken {
                Taken::Photo => "photo-choose",
                Taken::Voice => "record",
            };
            effects.push(Effect::Focus(format!("{button}-{tip}")));
            effects.push(Effect::Say(why.clone()));
            desk.media.told = Some((tip.clone(), taken, why));
        }
    }
}

/// Lets go of the microphone when its tip is no longer on view, and of what was told there.
pub(crate) fn look_away(desk: &mut Desk, room_before: Room, effects: &mut Vec<Effect>) {
    let stays = desk.room == room_before && !desk.shows_notes();
    let is_on_view = |tip: &Id| desk.open_tip.as_ref() == Some(tip) && stays;
    let left = desk.media.tip().is_some_and(|tip| !is_on_view(tip));
    let stale = desk
        .media
        .told
        .as_ref()
        .is_some_and(|(tip, ..)| !is_on_view(tip));
    if left {
        let microphone = desk.media.wants_microphone();
        desk.media.going_on = None;
        if microphone {
            effects.push(Effect::Say("The recording was given up.".to_owned()));
        }
    }
    if stale {
        desk.media.told = None;
    }
    if desk.media.wanted_at.as_ref() != desk.open_tip.as_ref() {
        desk.media.wanted_at = None;
    }
}
