//! The student's page in a frame of its own, fed by messages.

use super::dom::{by_id, document, window};
use super::page::send;
use crate::msg::{DeskMsg, Msg};
use crate::update::hand_out::page_of;
use cueleaf_guide::{Guide, Language, media_count, save_apart, with_shown_media};
use cueleaf_plan::Plan;
use cueleaf_view::{Page, todo_room, walk_room};
use gloo_timers::callback::Timeout;
use js_sys::{Array, Object, Reflect};
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast as _, JsValue};
use web_sys::{HtmlIFrameElement, MessageChannel, MessageEvent, MessagePort};

const FRAME: &str = "preview-frame";

/// How long the frame is asked again and again whether it listens: so many
/// times, with so many milliseconds between.
const ASK: (u32, u32) = (150, 100);

#[derive(Default)]
struct Preview {
    /// The way to the page, once it answered.
    port: Option<MessagePort>,
    /// What it is to show, while it does not answer yet.
    waiting: Option<Rc<Guide>>,
    /// What is sent to it once the page shows the edit.
    next: Option<Rc<Guide>>,
    /// The rooms to read as they were sent last; empty while none were.
    sent: [String; 2],
    /// Which frame it is; answers to an older one are not heard.
    number: u32,
    /// The language in which the frame was made.
    language: Language,
    /// Whether its policy lets voice notes stand in it.
    sounds: bool,
}

thread_local! {
    static PREVIEW: RefCell<Preview> = RefCell::default();
}

/// Shows the page of a guide: in a new frame, or in the one that is there.
pub(super) fn show(guide: &Rc<Guide>) {
    let there = by_id(FRAME).is_some();
    if there {
        update(guide);
        if PREVIEW.with_borrow(|preview| preview.port.is_some()) {
            send(Msg::Desk(DeskMsg::PreviewReady));
        }
        return;
    }
    let Some(html) = page_of(guide) else {
        return;
    };
    let frame = document().and_then(|document| document.create_element("iframe").ok());
    let (Some(place), Some(frame)) = (by_id("preview"), frame) else {
        return;
    };
    let Ok(frame) = frame.dyn_into::<HtmlIFrameElement>() else {
        return;
    };
    frame.set_id(FRAME);
    frame.set_title("The guide as the student sees it");
    let _ = frame.set_attribute("sandbox", "allow-scripts");
    frame.set_srcdoc(&html);
    place.set_text_content(None);
    let _ = place.append_child(&frame);
    let number = PREVIEW.with_borrow_mut(|preview| {
        preview.port = None;
        preview.waiting = None;
        preview.sent = Default::default();
        preview.language = guide.settings.language;
        preview.sounds = has_sounds(guide);
        preview.number += 1;
        preview.number
    });
    ask(number, ASK.0);
}

/// Asks the frame whether it listens, until it answers.
fn ask(number: u32, times: u32) {
    let done = PREVIEW.with_borrow(|preview| preview.port.is_some() || preview.number != number);
    let frame = by_id(FRAME).and_then(|frame| frame.dyn_into::<HtmlIFrameElement>().ok());
    let window = frame.and_then(|frame| frame.content_window());
    if let (false, true, Some(window), Ok(channel)) =
        (done, times > 0, window, MessageChannel::new())
    {
        let (ours, theirs) = (channel.port1(), channel.port2());
        let port = ours.clone();
        let heard = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
            if text(&event.data(), "kind").as_deref() == Some("ready") {
                answered(number, &port);
            }
        });
        ours.set_onmessage(Some(heard.as_ref().unchecked_ref()));
        // The port owns its listener from here on.
        heard.forget();
        let hello = object(&[("cueleaf", "connect".into())]);
        let _ = window.post_message_with_transfer(&hello, "*", &Array::of1(&theirs));
        Timeout::new(ASK.1, move || ask(number, times - 1)).forget();
    }
}

fn answered(number: u32, port: &MessagePort) {
    let waiting = PREVIEW.with_borrow_mut(|preview| {
        if preview.number != number || preview.port.is_some() {
            return None;
        }
        preview.port = Some(port.clone());
        Some(preview.waiting.take())
    });
    if let Some(waiting) = waiting {
        if let Some(guide) = waiting {
            update(&guide);
        }
        send(Msg::Desk(DeskMsg::PreviewReady));
    }
}

/// Tells whether a guide hands voice notes out.
fn has_sounds(guide: &Guide) -> bool {
    media_count(&with_shown_media(guide)).1 > 0
}

/// Sends a guide to the page that is there, after the frame in which the edit itself is
/// drawn; of several edits before that the last.
pub(super) fn update_soon(guide: Rc<Guide>) {
    let waits = PREVIEW.with_borrow_mut(|preview| preview.next.replace(guide).is_some());
    if !waits {
        after_the_frame(|| {
            let next = PREVIEW.with_borrow_mut(|preview| preview.next.take());
            if let Some(guide) = next {
                update(&guide);
            }
        });
    }
}

/// Does something once what the page shows now is drawn. A page that is not seen draws
/// nothing, and does it once it is seen again.
fn after_the_frame(act: impl FnOnce() + 'static) {
    let Some(window) = window() else { return };
    let drawn = Closure::once_into_js(move || Timeout::new(0, act).forget());
    let _ = window.request_animation_frame(drawn.unchecked_ref());
}

/// Sends a guide to the page that is there.
fn update(guide: &Rc<Guide>) {
    // A page names its rooms and its language once, and its policy lets voice notes in or does
    // not: what differs in these is another page.
    let other = PREVIEW.with_borrow(|preview| {
        preview.language != guide.settings.language || preview.sounds != has_sounds(guide)
    });
    if other && let Some(frame) = by_id(FRAME) {
        frame.remove();
        show(guide);
        return;
    }
    let port = PREVIEW.with_borrow_mut(|preview| {
        if preview.port.is_none() {
            preview.waiting = Some(Rc::clone(guide));
        }
        preview.port.clone()
    });
    let Some(port) = port else { return };
    let plan = Plan::new(guide).value;
    let words = Page::words_for(guide);
    let page = Page::new(guide, &plan, &words);
    let list: Vec<&str> = words.texts().collect();
    let rooms = [
        ("walk", walk_room(&page).into_string()),
        ("todo", todo_room(&page).into_string()),
    ];
    let message = object(&[
        ("kind", "guide".into()),
        ("guide", save_apart(guide, |_, _| true).into()),
        ("words", serde_json::json!(list).to_string().into()),
    ]);
    PREVIEW.with_borrow_mut(|preview| {
        // What is left out stays as it is.
        for ((key, html), sent) in rooms.into_iter().zip(&mut preview.sent) {
            if html != *sent {
                let _ = Reflect::set(&message, &key.into(), &JsValue::from_str(&html));
                *sent = html;
            }
        }
    });
    let _ = port.post_message(&message);
}

fn object(fields: &[(&str, JsValue)]) -> Object {
    let object = Object::new();
    for (key, value) in fields {
        let _ = Reflect::set(&object, &JsValue::from_str(key), value);
    }
    object
}

fn text(value: &JsValue, key: &str) -> Option<String> {
    Reflect::get(value, &JsValue::from_str(key))
        .ok()?
        .as_string()
}
