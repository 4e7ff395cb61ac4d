//! The student's page in a frame of its own, fed by messages.

use super::dom::{by_id, document};
use super::page::{send, with_state};
use crate::msg::{DeskMsg, Msg};
use crate::previewing::{ShownText, Swap};
use crate::update::hand_out::page_of;
use cueleaf_guide::{Guide, Language, save_apart};
use cueleaf_plan::Plan;
use cueleaf_view::Page;
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

/// How many milliseconds after the last edit the page is told what it plays. What it shows is told
/// at once.
const REST: u32 = 250;

#[derive(Default)]
struct Preview {
    /// The way to the page, once it answered.
    port: Option<MessagePort>,
    /// The text that the page shows.
    shown: Option<ShownText>,
    /// What sends the page the guide to play.
    rest: Option<Timeout>,
    /// Which frame it is; answers to an older one are not heard.
    number: u32,
    /// What the frame was made for.
    made_for: MadeFor,
}

/// What a page has once and for all: it names its rooms in one language, and its policy lets voice
/// notes stand in it or does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct MadeFor {
    language: Language,
    sounds: bool,
}

impl MadeFor {
    fn of(guide: &Guide) -> Self {
        let mut tips = guide.tips.iter();
        Self {
            language: guide.settings.language,
            sounds: tips.any(|tip| guide.shown_voice(tip).is_some()),
        }
    }
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
        *preview = Preview {
            shown: Some(with_page(guide, ShownText::of)),
            number: preview.number + 1,
            made_for: MadeFor::of(guide),
            ..Preview::default()
        };
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
    let first = PREVIEW.with_borrow_mut(|preview| {
        let first = preview.number == number && preview.port.is_none();
        if first {
            preview.port = Some(port.clone());
        }
        first
    });
    // Then it is sent what was edited meanwhile.
    if first {
        send(Msg::Desk(DeskMsg::PreviewReady));
    }
}

/// Does something with a guide as a page. Its plan is there already: the preview shows one part of
/// the document, with the same road map and settings.
fn with_page<T>(guide: &Guide, act: impl FnOnce(&Page<'_>) -> T) -> T {
    let plan = with_state(|state| Some(Rc::clone(&state.desk()?.derived.plan))).flatten();
    let plan = plan.unwrap_or_else(|| Rc::new(Plan::new(guide).value));
    let words = Page::words_for(guide);
    act(&Page::new(guide, &plan, &words))
}

/// Sends a guide to the page that is there: what it shows at once, so that both pages are drawn
/// at the same time, and what it plays once the edits rest.
pub(super) fn update(guide: &Rc<Guide>) {
    if PREVIEW.with_borrow(|preview| preview.made_for != MadeFor::of(guide))
        && let Some(frame) = by_id(FRAME)
    {
        frame.remove();
        show(guide);
        return;
    }
    PREVIEW.with_borrow_mut(|preview| {
        let (Some(port), Some(shown)) = (preview.port.clone(), &mut preview.shown) else {
            return;
        };
        let swaps = with_page(guide, |page| shown.follow(page));
        if !swaps.is_empty() {
            let pieces: Array = swaps.iter().map(piece).collect();
            let message = object(&[("kind", "guide".into()), ("pieces", pieces.into())]);
            let _ = port.post_message(&message);
        }
        // The timer of an earlier edit ends with it.
        let guide = Rc::clone(guide);
        preview.rest = Some(Timeout::new(REST, move || send_what_plays(&port, &guide)));
    });
}

fn piece(swap: &Swap) -> Array {
    Array::of3(
        &(&swap.first).into(),
        &(&swap.last).into(),
        &(&swap.html).into(),
    )
}

/// Sends the page what it plays.
fn send_what_plays(port: &MessagePort, guide: &Guide) {
    let words = Page::words_for(guide);
    let list: Vec<&str> = words.texts().collect();
    let _ = port.post_message(&object(&[
        ("kind", "guide".into()),
        ("guide", save_apart(guide, |_, _| true).into()),
        ("words", serde_json::json!(list).to_string().into()),
    ]));
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
