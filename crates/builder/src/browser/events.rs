//! One set of listeners for the whole page.

use super::dom::{attribute, document, hooked, is_field, text_of, window};
use super::files::{self, FILE_FIELD};
use super::link;
use super::media::{self, MEDIA_FIELD};
use super::notice;
use super::page::{keep_now, send, with_state};
use crate::hooks::{Hook, Key, KeyPlace, Kind, msg_of, msg_of_key, proposal_place};
use crate::msg::{DeskMsg, Extend, Msg};
use crate::state::State;
use std::cell::Cell;
use wasm_bindgen::JsCast as _;
use wasm_bindgen::prelude::Closure;
use web_sys::{
    ClipboardEvent, DragEvent, Element, Event, EventTarget, File, HtmlInputElement, KeyboardEvent,
    MouseEvent, NodeList, PointerEvent, VisibilityState,
};

thread_local! {
    /// The measure over which the pointer drags.
    static DRAGGED: Cell<Option<usize>> = const { Cell::new(None) };
}

/// Starts to listen.
pub(super) fn listen() {
    let (Some(document), Some(window)) = (document(), window()) else {
        return;
    };
    on(&document, "click", clicked);
    on(&document, "submit", submitted);
    on(&document, "change", |event| changed(event, Kind::Change));
    on(&document, "input", |event| changed(event, Kind::Input));
    on(&document, "focusin", notice::focused);
    on(&document, "focusout", left);
    capture(&document, "toggle", folded);
    on(&document, "keydown", pressed);
    on(&document, "pointerdown", drag_begins);
    on(&document, "pointerover", drag_goes_on);
    on(&document, "pointerup", |_| DRAGGED.set(None));
    on(&document, "pointercancel", |_| DRAGGED.set(None));
    on(&document, "dragover", |event| event.prevent_default());
    on(&document, "drop", dropped);
    on(&document, "paste", |event| {
        let pasted = event.dyn_ref::<ClipboardEvent>();
        let transfer = pasted.and_then(ClipboardEvent::clipboard_data);
        // Other programs put a picture of the words beside the words.
        let words = transfer
            .as_ref()
            .and_then(|own| own.get_data("text/plain").ok());
        if words.is_none_or(|words| words.is_empty())
            && media::pasted(transfer.and_then(|own| own.files()))
        {
            event.prevent_default();
        }
    });
    on(&document, "visibilitychange", |_| {
        let hidden = web_sys::window()
            .and_then(|window| window.document())
            .is_some_and(|document| document.visibility_state() == VisibilityState::Hidden);
        if hidden {
            keep_now();
        }
    });
    on(&window, "hashchange", |_| link::open_hash());
    on(&window, "pagehide", |_| keep_now());
    on(&window, "beforeunload", |event| {
        if with_state(State::would_lose) == Some(true) {
            event.prevent_default();
        }
    });
}

/// The listeners stay as long as the page. Each may be called while it runs:
/// an element that is taken away while it has the focus reports its loss at once.
pub(super) fn on(target: &EventTarget, name: &'static str, act: impl Fn(&Event) + 'static) {
    let listener = Closure::<dyn Fn(Event)>::new(move |event: Event| act(&event));
    let _ = target.add_event_listener_with_callback(name, listener.as_ref().unchecked_ref());
    listener.forget();
}

/// Listens to an event that does not rise through the page.
fn capture(target: &EventTarget, name: &'static str, act: impl Fn(&Event) + 'static) {
    let listener = Closure::<dyn Fn(Event)>::new(move |event: Event| act(&event));
    let callback = listener.as_ref().unchecked_ref();
    let _ = target.add_event_listener_with_callback_and_bool(name, callback, true);
    listener.forget();
}

/// Something was unfolded or folded: it is so again when it comes back into the page.
fn folded(event: &Event) {
    let target = event
        .target()
        .and_then(|target| target.dyn_into::<Element>().ok());
    let Some(own) = target.filter(|own| own.tag_name() == "DETAILS") else {
        return;
    };
    let open = if own.has_attribute("open") {
        "open"
    } else {
        ""
    };
    if with_state(|state| state.desk().is_some()) == Some(true) {
        send(Msg::Desk(DeskMsg::Fold(own.id(), open.to_owned())));
    }
}

fn speak(kind: Kind, element: &Element, extend: Extend) -> bool {
    let (name, value) = (
        attribute(element, "data-do"),
        attribute(element, "data-value"),
    );
    let text = if is_field(element) {
        text_of(element)
    } else {
        String::new()
    };
    let hook = Hook {
        kind,
        name: &name,
        value: &value,
        text: &text,
        extend,
    };
    let msg = with_state(|state| msg_of(&hook, state)).flatten();
    let speaks = msg.is_some();
    if let Some(msg) = msg {
        send(msg);
    }
    speaks
}

fn clicked(event: &Event) {
    let Some(element) = hooked(event) else { return };
    if is_field(&element) || element.tag_name() == "FORM" {
        return;
    }
    let shift = event
        .dyn_ref::<MouseEvent>()
        .is_some_and(MouseEvent::shift_key);
    let extend = if shift { Extend::Yes } else { Extend::No };
    speak(Kind::Click, &element, extend);
}

fn submitted(event: &Event) {
    event.prevent_default();
    if let Some(form) = hooked(event) {
        speak(Kind::Click, &form, Extend::No);
    }
}

fn changed(event: &Event, kind: Kind) {
    let target = event
        .target()
        .and_then(|target| target.dyn_into::<Element>().ok());
    let Some(element) = target else { return };
    if element.id() == FILE_FIELD {
        if kind == Kind::Change
            && let Some(file) = chosen_file(&element)
        {
            files::take(file);
        }
        return;
    }
    if element.id() == MEDIA_FIELD {
        if kind == Kind::Change
            && let Some(file) = chosen_file(&element)
        {
            media::chosen(file);
        }
        return;
    }
    if element.has_attribute("data-do") {
        speak(kind, &element, Extend::No);
    }
}

fn chosen_file(field: &Element) -> Option<File> {
    field.dyn_ref::<HtmlInputElement>()?.files()?.get(0)
}

fn left(event: &Event) {
    let typed = hooked(event).is_some_and(|element| is_field(&element));
    if typed && with_state(|state| state.desk().is_some()) == Some(true) {
        send(Msg::Desk(DeskMsg::Settle));
    }
}

fn pressed(event: &Event) {
    let (Some(key), Some(target)) = (
        event.dyn_ref::<KeyboardEvent>(),
        event
            .target()
            .and_then(|target| target.dyn_into::<Element>().ok()),
    ) else {
        return;
    };
    let hook = target.closest("[data-do]").ok().flatten();
    let name = hook.as_ref().map(|hook| attribute(hook, "data-do"));
    let value = hook.as_ref().map(|hook| attribute(hook, "data-value"));
    let is_text = is_field(&target)
        && target
            .dyn_ref::<HtmlInputElement>()
            .is_none_or(|input| !matches!(input.type_().as_str(), "checkbox" | "radio"));
    let place = match name.as_deref() {
        Some("measure") => KeyPlace::Measure,
        Some("room") => KeyPlace::Tab(value.as_deref().unwrap_or_default()),
        Some(name) if name.starts_with("watch-") && !is_field(&target) => {
            proposal_place(name, value.as_deref().unwrap_or_default())
                .unwrap_or(KeyPlace::Elsewhere)
        }
        Some("phrase") => value
            .as_deref()
            .and_then(|value| value.split_once('/')?.1.parse().ok())
            .map_or(KeyPlace::Elsewhere, KeyPlace::Phrase),
        Some("kept-name") => KeyPlace::Name,
        Some(name) if name.starts_with("tip-") && is_field(&target) => KeyPlace::Tip,
        _ if is_text => KeyPlace::Text,
        _ => KeyPlace::Elsewhere,
    };
    let for_facts = key.key() == "Escape"
        && matches!(place, KeyPlace::Text | KeyPlace::Elsewhere)
        && target.closest(".facts-side").ok().flatten().is_some();
    let place = if for_facts { KeyPlace::Facts } else { place };
    if place == KeyPlace::Measure
        && let Some(way) = vertical(&key.key())
        && let Some(index) = hook.as_ref().and_then(|hook| above_or_below(hook, way))
    {
        event.prevent_default();
        let extend = if key.shift_key() {
            Extend::Yes
        } else {
            Extend::No
        };
        send(Msg::Desk(DeskMsg::Go(index, extend)));
        return;
    }
    let msg = msg_of_key(&Key {
        name: &key.key(),
        command: key.ctrl_key() || key.meta_key(),
        shift: key.shift_key(),
        on: place,
    });
    if let Some(msg) = msg {
        event.prevent_default();
        if is_text && matches!(msg, Msg::Desk(DeskMsg::CloseTip | DeskMsg::LeaveTip)) {
            // What was typed counts, though its field was not left yet.
            speak(Kind::Change, &target, Extend::No);
        }
        send(msg);
    }
}

fn vertical(key: &str) -> Option<f64> {
    match key {
        "ArrowUp" => Some(-1.0),
        "ArrowDown" => Some(1.0),
        _ => None,
    }
}

/// Finds the measure that is seen above or below another: of those in the
/// nearest row, the one whose start is nearest. It is in the same line of the map or
/// in the next one that way; further ones are not even laid out while they are out of sight.
fn above_or_below(from: &Element, way: f64) -> Option<usize> {
    let start = from.get_bounding_client_rect();
    let line = from.closest(".map-line").ok()??;
    let next = if way < 0.0 {
        line.previous_element_sibling()
    } else {
        line.next_element_sibling()
    };
    let mut best: Option<(f64, f64, Element)> = None;
    for other in measures_in(&line).chain(next.iter().flat_map(measures_in)) {
        let place = other.get_bounding_client_rect();
        // Measures of one row share their bottom line.
        let down = (place.bottom() - start.bottom()) * way;
        if down < 4.0 {
            continue;
        }
        let aside = (place.left() - start.left()).abs();
        let nearer = best
            .as_ref()
            .is_none_or(|(row, far, _)| down < row - 4.0 || (down < row + 4.0 && aside < *far));
        if nearer {
            best = Some((down, aside, other));
        }
    }
    attribute(&best?.2, "data-value").parse().ok()
}

fn measures_in(line: &Element) -> impl Iterator<Item = Element> + use<> {
    let all = line.query_selector_all("[data-do=measure]").ok();
    let count = all.as_ref().map_or(0, NodeList::length);
    (0..count).filter_map(move |index| all.as_ref()?.get(index)?.dyn_into().ok())
}

fn measure_under(event: &Event) -> Option<usize> {
    let element = hooked(event)?;
    (attribute(&element, "data-do") == "measure")
        .then(|| attribute(&element, "data-value").parse().ok())
        .flatten()
}

/// A mouse drags over measures; a finger scrolls and chooses by two taps.
fn drag_begins(event: &Event) {
    let by_mouse = event
        .dyn_ref::<PointerEvent>()
        .is_some_and(|pointer| pointer.pointer_type() == "mouse" && pointer.button() == 0);
    DRAGGED.set(measure_under(event).filter(|_| by_mouse));
}

fn drag_goes_on(event: &Event) {
    let (Some(from), Some(to)) = (DRAGGED.get(), measure_under(event)) else {
        return;
    };
    let held = event
        .dyn_ref::<MouseEvent>()
        .is_some_and(|mouse| mouse.buttons() & 1 == 1);
    if !held || from == to {
        return;
    }
    let begins = with_state(|state| state.desk().map(|desk| desk.selection.anchor)).flatten();
    if begins != Some(from) {
        send(Msg::Desk(DeskMsg::Select(from, Extend::No)));
    }
    send(Msg::Desk(DeskMsg::Select(to, Extend::Yes)));
}

fn dropped(event: &Event) {
    event.prevent_default();
    let files = event
        .dyn_ref::<DragEvent>()
        .and_then(DragEvent::data_transfer)
        .and_then(|transfer| transfer.files());
    let target = event.target().and_then(|target| target.dyn_into().ok());
    if media::dropped(files.clone(), target) {
        return;
    }
    if let Some(file) = files.and_then(|files| files.get(0)) {
        files::take(file);
    }
}
