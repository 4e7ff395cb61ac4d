//! Photos and voice notes of a tip, message by message.

use super::*;
use crate::media::{GoingOn, Taken};
use crate::msg::{MediaMsg, NotesMsg};
use crate::notes::MapAs;
use crate::view;
use cueleaf_guide::{MediaBytes, Photo, PhotoKind, Voice};

/// A picture of three by two pixels.
const PNG: &str = "iVBORw0KGgo";

fn photo() -> Photo {
    Photo {
        kind: PhotoKind::Png,
        width: 3,
        height: 2,
        alt: String::new(),
        data: MediaBytes::of_text(PNG.to_owned()),
        extra: Default::default(),
    }
}

fn voice() -> Voice {
    Voice::of_samples(&[5; 112_000]).unwrap()
}

impl Page {
    fn media(&mut self, msg: MediaMsg) -> &mut Self {
        self.desk(DeskMsg::Media(msg))
    }

    /// Opens a new tip in the room of the tips; gives its id.
    fn with_a_tip(&mut self) -> Id {
        self.desk(DeskMsg::Room(Room::Tips)).desk(DeskMsg::AddTip);
        self.open_desk().open_tip.clone().unwrap()
    }

    fn may_share(&mut self) -> &mut Self {
        self.desk(DeskMsg::GuideField(GuideField::MayShare, "on".to_owned()))
    }

    fn shown(&self) -> String {
        let all = view::fragments(self.state());
        all.into_iter().map(|(_, html)| html).collect()
    }

    fn asked_for(&self, wanted: &Effect) -> bool {
        self.asked.contains(wanted)
    }
}

#[test]
fn nothing_is_taken_before_the_teacher_says_that_she_may() {
    let mut page = typed();
    let tip = page.with_a_tip();
    page.media(MediaMsg::Choose(Taken::Photo, tip.clone()));
    assert!(!page.asked_for(&Effect::AskForMedia(Taken::Photo, tip.clone())));
    assert!(page.asked_for(&Effect::Focus(format!("may-share-{tip}"))));
    assert!(page.shown().contains("First say with the tick"));
    page.media(MediaMsg::Record(tip.clone()));
    assert!(!page.asked_for(&Effect::Record(tip.clone())));
    assert!(page.shown().contains(&format!(
        "<details id=\"tip-media-{tip}\" class=\"tip-more\" open>"
    )));
    page.may_share();
    assert!(!page.shown().contains("First say with the tick"));
    // Whoever made the tick finds the fields still open.
    assert!(page.shown().contains(&format!(
        "<details id=\"tip-media-{tip}\" class=\"tip-more\" open>"
    )));
    page.media(MediaMsg::Choose(Taken::Photo, tip.clone()));
    assert!(page.asked_for(&Effect::AskForMedia(Taken::Photo, tip)));
}

#[test]
fn a_photo_is_a_step_of_its_own_and_shares_its_bytes() {
    let mut page = typed();
    let tip = page.with_a_tip();
    page.may_share();
    page.media(MediaMsg::Reading(Taken::Photo, tip.clone()));
    assert!(page.shown().contains("The picture is being drawn"));
    let own = photo();
    page.media(MediaMsg::Photo(tip.clone(), Ok(own.clone())));
    let words = TipChange::PhotoWords("the <bow>".to_owned());
    page.desk(DeskMsg::Tip(tip.clone(), words));
    let held = |page: &Page| {
        let guide = page.guide();
        let own = guide.tips.iter().find(|own| own.id == tip).unwrap();
        own.photo.clone()
    };
    let with_words = held(&page).unwrap();
    assert_eq!(with_words.alt, "the <bow>");
    assert!(with_words.data.is_shared_with(&own.data));
    assert!(page.shown().contains("value=\"the &lt;bow&gt;\""));
    // Bytes that are no picture are told and not drawn.
    assert!(page.shown().contains("This photo cannot be shown: "));
    assert!(!page.shown().contains(&format!("base64,{PNG}")));
    page.desk(DeskMsg::Tip(tip.clone(), TipChange::Photo(None)));
    assert_eq!(held(&page), None);
    page.desk(DeskMsg::Undo);
    assert!(held(&page).unwrap().data.is_shared_with(&own.data));
    assert!(page.asked.iter().any(|effect| {
        matches!(effect, Effect::Say(text) if text.starts_with("Undone: remove the photo of the tip at"))
    }));
    page.desk(DeskMsg::Undo).desk(DeskMsg::Undo);
    assert_eq!(held(&page), None);
    page.desk(DeskMsg::Redo);
    assert_eq!(held(&page), Some(own));
}

#[test]
fn a_tip_with_a_photo_alone_is_kept_and_handed_out() {
    let mut page = typed();
    let tip = page.with_a_tip();
    page.may_share();
    page.media(MediaMsg::Reading(Taken::Voice, tip.clone()));
    page.media(MediaMsg::Voice(tip.clone(), Ok(voice())));
    page.desk(DeskMsg::CloseTip);
    assert!(page.guide().tips.iter().any(|own| own.id == tip));
    assert!(page.shown().contains("Voice note, 7 s, 225 kB"));
    page.desk(DeskMsg::Room(Room::HandOut));
    assert!(page.shown().contains("1 voice note, 299 kB"));
    assert!(
        page.shown()
            .contains("A link carries no photos and no voice notes")
    );
}

#[test]
fn recording_tells_its_seconds_and_ends() {
    let mut page = typed();
    let tip = page.with_a_tip();
    page.may_share().media(MediaMsg::Record(tip.clone()));
    assert!(page.asked_for(&Effect::Record(tip.clone())));
    assert!(page.shown().contains("The browser asks whether"));
    page.media(MediaMsg::Second(0)).media(MediaMsg::Second(3));
    assert!(page.shown().contains("Recording: 3 of 20 seconds"));
    page.media(MediaMsg::Stop);
    assert!(page.asked_for(&Effect::StopRecording));
    page.media(MediaMsg::Voice(tip.clone(), Ok(voice())));
    let shown = page.shown();
    assert!(shown.contains("<audio") && shown.contains("What is said, in words"));
    assert!(!shown.contains("Recording: "));
    assert!(!page.asked_for(&Effect::Say("The recording was given up.".to_owned())));
}

#[test]
fn a_refusal_is_told_at_the_tip() {
    let mut page = typed();
    let tip = page.with_a_tip();
    page.may_share().media(MediaMsg::Record(tip.clone()));
    let why = crate::media::no_voice("NotFoundError").to_owned();
    page.media(MediaMsg::Voice(tip.clone(), Err(why.clone())));
    assert!(page.shown().contains(&why));
    assert!(page.asked_for(&Effect::Focus(format!("record-{tip}"))));
    assert_eq!(page.open_desk().media.going_on, None);
    page.desk(DeskMsg::CloseTip);
    assert_eq!(page.open_desk().media.told, None);
}

#[test]
fn whoever_looks_away_lets_go_of_the_microphone() {
    let leave: [fn(&mut Page); 5] = [
        |page| _ = page.desk(DeskMsg::Room(Room::RoadMap)),
        |page| _ = page.desk(DeskMsg::CloseTip),
        |page| _ = page.desk(DeskMsg::AddTip),
        |page| _ = page.send(Msg::Opening(Opening::Home)),
        |page| {
            page.send(Msg::Opening(Opening::File {
                name: "x.json".to_owned(),
                bytes: save(&Guide::new(Id::new("other").unwrap(), "Other")).into_bytes(),
            }));
        },
    ];
    for leave in leave {
        let mut page = typed();
        let tip = page.with_a_tip();
        page.may_share().media(MediaMsg::Record(tip.clone()));
        page.media(MediaMsg::Second(1));
        leave(&mut page);
        assert!(page.asked_for(&Effect::DropRecording));
        // What comes too late changes nothing.
        page.media(MediaMsg::Voice(tip, Ok(voice())));
        let desk = page.state().desk();
        assert!(desk.is_none_or(|desk| {
            desk.guide().tips.iter().all(|own| own.voice.is_none()) && desk.media.going_on.is_none()
        }));
    }
    // The notes of the road map hide the tip, too.
    let mut page = typed();
    page.desk(DeskMsg::AddTip).may_share();
    let tip = page.open_desk().open_tip.clone().unwrap();
    page.media(MediaMsg::Record(tip));
    assert!(!page.asked_for(&Effect::DropRecording));
    page.desk(DeskMsg::Notes(NotesMsg::Show(MapAs::Notes)));
    assert!(page.asked_for(&Effect::DropRecording));
    // Stop while the browser still asks is the same.
    let mut page = typed();
    let tip = page.with_a_tip();
    page.may_share().media(MediaMsg::Record(tip.clone()));
    page.media(MediaMsg::Stop);
    assert!(page.asked_for(&Effect::DropRecording));
    assert!(!matches!(
        page.open_desk().media.going_on,
        Some(GoingOn::Asking(_))
    ));
}
