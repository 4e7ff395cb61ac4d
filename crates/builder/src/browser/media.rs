//! Photos and sounds from the browser: files chosen, dropped and pasted, and the microphone.

use super::dom::{by_id, document};
use super::files::read;
use super::page::{send, with_state};
use crate::media::{
    MAX_PICTURE_FILE, MAX_SOUND_FILE, MOST_SECONDS, PHOTO_LIMITS, Taken, drawable, no_picture,
    no_voice, too_heavy,
};
use crate::msg::{DeskMsg, MediaMsg, Msg};
use cueleaf_guide::{Id, MAX_VOICE_MS, Photo, VOICE_RATE, Voice};
use js_sys::{Int16Array, Reflect, Uint8Array};
use std::cell::RefCell;
use wasm_bindgen::prelude::{Closure, wasm_bindgen};
use wasm_bindgen::{JsCast as _, JsValue};
use wasm_bindgen_futures::spawn_local;
use web_sys::{Element, File, FileList, HtmlInputElement};

#[wasm_bindgen(module = "/src/browser/media.js")]
extern "C" {
    #[wasm_bindgen(catch)]
    async fn redrawn(
        bytes: Uint8Array,
        kind: &str,
        side: u32,
        most: u32,
    ) -> Result<JsValue, JsValue>;
    #[wasm_bindgen(catch)]
    async fn samples(bytes: Uint8Array, rate: u32, seconds: u32) -> Result<JsValue, JsValue>;
    #[wasm_bindgen(catch)]
    async fn record(most: u32, second: &Closure<dyn FnMut(u32)>) -> Result<JsValue, JsValue>;
    /// Ends recording.
    #[wasm_bindgen(js_name = stopRecording)]
    pub(super) fn stop_recording();
    /// Lets go of the microphone.
    #[wasm_bindgen(js_name = dropRecording)]
    pub(super) fn drop_recording();
}

/// The id of the field by which a photo or a sound is chosen.
pub(super) const MEDIA_FIELD: &str = "media-file";

thread_local! {
    /// For which tip a file was asked, and what it is taken for.
    static ASKED: RefCell<Option<(Taken, Id)>> = const { RefCell::new(None) };
}

fn tell(msg: MediaMsg) {
    send(Msg::Desk(DeskMsg::Media(msg)));
}

/// Opens the browser's own dialog for a file.
pub(super) fn ask(taken: Taken, tip: Id) {
    let Some(field) = field() else { return };
    field.set_accept(match taken {
        Taken::Photo => "image/*",
        Taken::Voice => "audio/*",
    });
    ASKED.set(Some((taken, tip)));
    field.set_value("");
    field.click();
}

/// Finds the field for files, or makes it.
fn field() -> Option<HtmlInputElement> {
    if let Some(field) = by_id(MEDIA_FIELD) {
        return field.dyn_into().ok();
    }
    let document = document()?;
    let field: HtmlInputElement = document.create_element("input").ok()?.dyn_into().ok()?;
    field.set_id(MEDIA_FIELD);
    field.set_type("file");
    field.set_hidden(true);
    document.body()?.append_child(&field).ok()?;
    Some(field)
}

/// Takes the file that was chosen.
pub(super) fn chosen(file: File) {
    if let Some((taken, tip)) = ASKED.take() {
        take(file, taken, tip);
    }
}

/// Takes a file that was dropped on the open tip, if it is a picture or a sound.
pub(super) fn dropped(files: Option<FileList>, target: Option<Element>) -> bool {
    let on = target.and_then(|target| target.closest("[data-takes]").ok().flatten());
    let tip = on.and_then(|on| Id::new(&on.get_attribute("data-takes")?));
    match (files.and_then(|files| files.get(0)), tip) {
        (Some(file), Some(tip)) => take_if_media(file, tip),
        _ => false,
    }
}

/// Takes a picture or a sound that was pasted into the open tip.
pub(super) fn pasted(files: Option<FileList>) -> bool {
    let tip = with_state(|state| state.desk().and_then(|desk| desk.open_tip.clone())).flatten();
    match (files.and_then(|files| files.get(0)), tip) {
        (Some(file), Some(tip)) => take_if_media(file, tip),
        _ => false,
    }
}

fn take_if_media(file: File, tip: Id) -> bool {
    let kind = file.type_();
    let taken = if kind.starts_with("image/") {
        Taken::Photo
    } else if kind.starts_with("audio/") && !kind.contains("mid") {
        // A MIDI file is a part.
        Taken::Voice
    } else {
        return false;
    };
    take(file, taken, tip);
    true
}

fn take(file: File, taken: Taken, tip: Id) {
    tell(MediaMsg::Reading(taken, tip.clone()));
    // Without her confirmation nothing is read.
    let reads = with_state(|state| state.desk().and_then(|desk| desk.media.tip()) == Some(&tip));
    if reads != Some(true) {
        return;
    }
    spawn_local(async move {
        tell(match taken {
            Taken::Photo => MediaMsg::Photo(tip, photo_of(&file).await),
            Taken::Voice => MediaMsg::Voice(tip, voice_of(&file).await),
        });
    });
}

async fn bytes_of(file: &File, taken: Taken, most: usize) -> Result<Vec<u8>, String> {
    let size = file.size();
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "sizes of files are far below 2^53 and never negative"
    )]
    let weight = size as usize;
    if weight > most {
        return Err(too_heavy(taken, weight));
    }
    let bytes = read(file, size).await;
    bytes.ok_or_else(|| {
        "The browser could not read it. Is it still there, and may it be read?".to_owned()
    })
}

async fn photo_of(file: &File) -> Result<Photo, String> {
    let bytes = bytes_of(file, Taken::Photo, MAX_PICTURE_FILE).await?;
    let kind = drawable(&bytes)?;
    let (side, most) = PHOTO_LIMITS;
    let most = u32::try_from(most).unwrap_or(u32::MAX);
    let bytes = Uint8Array::from(bytes.as_slice());
    let drawn = redrawn(bytes, kind, u32::from(side), most).await;
    let drawn = drawn.map_err(|error| no_picture(&name_of(&error)))?;
    Photo::read(&Uint8Array::new(&drawn).to_vec()).map_err(|_| no_picture(""))
}

async fn voice_of(file: &File) -> Result<Voice, String> {
    let bytes = bytes_of(file, Taken::Voice, MAX_SOUND_FILE).await?;
    decoded(Uint8Array::from(bytes.as_slice())).await
}

async fn decoded(bytes: Uint8Array) -> Result<Voice, String> {
    let sound = samples(bytes, VOICE_RATE, MOST_SECONDS).await;
    let sound = sound.map_err(|error| no_voice(&name_of(&error)).to_owned())?;
    let sound = Int16Array::new(&sound).to_vec();
    Voice::of_samples(&sound).ok_or_else(|| no_voice("Nothing").to_owned())
}

/// Records for a tip.
pub(super) fn start_recording(tip: Id) {
    spawn_local(async move {
        let second = Closure::<dyn FnMut(u32)>::new(|second| tell(MediaMsg::Second(second)));
        let heard = record(MAX_VOICE_MS, &second).await;
        drop(second);
        tell(match heard {
            // It was given up, and the page knows.
            Ok(bytes) if bytes.is_undefined() => return,
            Ok(bytes) => MediaMsg::Voice(tip, decoded(Uint8Array::new(&bytes)).await),
            Err(error) => MediaMsg::Voice(tip, Err(no_voice(&name_of(&error)).to_owned())),
        });
    });
}

fn name_of(error: &JsValue) -> String {
    let name = Reflect::get(error, &"name".into()).ok();
    name.and_then(|name| name.as_string()).unwrap_or_default()
}
