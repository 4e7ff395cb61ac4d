//! What the student does: one set of listeners for the whole page.
//!
//! Elements say in `data-do` what they are for, and in `data-value` with what.

use crate::app::{App, go_to, tick, with};
use crate::audio::copy_from;
use crate::{choices, display, dom, ladder, play, practised, spot, steps, taps};
use cueleaf_guide::Measure;
use cueleaf_view::{Room, Word, labelled, measure_text, number_of, play_sign};
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{
    Element, Event, HtmlElement, HtmlInputElement, KeyboardEvent, PointerEvent, UiEvent,
};

/// Listens for as long as the page is open.
pub(crate) fn listen() {
    on("click", |event: Event| {
        if let Some((what, value, _)) = meant(&event) {
            let by_finger = event
                .dyn_ref::<UiEvent>()
                .is_some_and(|own| own.detail() > 0);
            let at = event.time_stamp() / 1000.0;
            with(|app| match (what.as_str(), &app.tapping) {
                // A finger's tap was taken when it came down.
                ("tap" | "step", Some(_)) if by_finger => {}
                ("tap" | "step", Some(_)) => taps::tapped(app, at),
                _ => clicked(app, &what, &value),
            });
        }
    });
    on("pointerdown", |event: Event| {
        let what = meant(&event).map(|(what, _, _)| what).unwrap_or_default();
        if let Some(pointer) = event.dyn_ref::<PointerEvent>() {
            with(|app| pressed_down(app, &what, pointer));
        }
    });
    on("pointerup", |event: Event| {
        if let Some(pointer) = event.dyn_ref::<PointerEvent>() {
            with(|app| let_go(app, pointer));
        }
    });
    on("change", |event: Event| {
        if let Some((what, value, element)) = meant(&event) {
            let input: HtmlInputElement = element.unchecked_into();
            with(|app| changed(app, &what, &value, &input));
        }
    });
    on("keydown", |event: Event| {
        if let Some(event) = event.dyn_ref::<KeyboardEvent>() {
            let taken = with(|app| pressed(app, event)).unwrap_or(false);
            if taken {
                event.prevent_default();
            }
        }
    });
}

fn on(name: &str, handle: impl FnMut(Event) + 'static) {
    let Some(document) = dom::document() else {
        return;
    };
    let closure = Closure::<dyn FnMut(Event)>::new(handle);
    let _ = document.add_event_listener_with_callback(name, closure.as_ref().unchecked_ref());
    closure.forget();
}

thread_local! {
    static FRAME: Closure<dyn FnMut()> = Closure::new(|| {
        let playing = with(|app| {
            display::frame(app);
            app.playing.is_some()
        });
        if playing == Some(true) {
            next_frame();
        }
    });
}

/// Draws again with the next frame of the screen, and so on while it plays.
pub(crate) fn next_frame() {
    FRAME.with(|frame| {
        if let Some(window) = dom::window() {
            let _ = window.request_animation_frame(frame.as_ref().unchecked_ref());
        }
    });
}

/// Gives what an event is meant for, with what, and the element that says so.
fn meant(event: &Event) -> Option<(String, String, Element)> {
    let target: Element = event.target()?.dyn_into().ok()?;
    let element = target.closest("[data-do]").ok()??;
    let what = element.get_attribute("data-do")?;
    let value = element.get_attribute("data-value").unwrap_or_default();
    Some((what, value, element))
}

/// How far a finger goes to the side to swipe, in CSS pixels.
const SWIPE: i32 = 48;

/// A finger came down: a round takes its tap now, stepping waits for what it becomes.
fn pressed_down(app: &mut App, what: &str, event: &PointerEvent) {
    app.practice.down = None;
    // A swipe on glass is followed by no click that could be taken for a tap.
    app.practice.swiped = false;
    if what != "tap" && what != "step" {
        return;
    }
    if app.tapping.is_some() {
        taps::tapped(app, event.time_stamp() / 1000.0);
    } else if what == "step" {
        app.practice.down = Some((event.client_x(), event.client_y()));
    }
}

/// A finger went: to the right it steps back, and the tap that follows is not one.
fn let_go(app: &mut App, event: &PointerEvent) {
    let Some((x, y)) = app.practice.down.take() else {
        return;
    };
    let (across, down) = (event.client_x() - x, event.client_y() - y);
    if across.abs() > SWIPE && across.abs() > 2 * down.abs() && !taps::is_chosen() {
        if across > 0 {
            steps::back(app);
        } else {
            steps::forward(app);
        }
        app.practice.swiped = true;
    }
}

fn clicked(app: &mut App, what: &str, value: &str) {
    if core::mem::take(&mut app.practice.swiped) && what == "step" {
        return;
    }
    match what {
        "room" => {
            if let Some(room) = Room::from_code(value) {
                if app.tapping.is_some() {
                    play::stop(app);
                }
                go_to(app, room);
            }
        }
        "how" => taps::choose(app, value),
        "tap" => taps::start(app),
        "step" if taps::is_chosen() => {}
        "tap-stop" => play::stop(app),
        "calibrate" => taps::calibrate(app),
        "erase" => practised::erase(app),
        "copy" if copy_from("teacher-line") => {
            dom::set_text("copied", app.words.get(Word::Copied));
            display::say(app.words.get(Word::Copied));
        }
        "play-piece" => {
            app.from = value.parse().unwrap_or(0);
            dom::set_value("to", "");
            play::start(app);
            focus("play");
        }
        "play" if app.playing.is_some() => play::stop(app),
        "play" => play::start(app),
        "slower" => play::set_percent(app, app.percent - 5.0),
        "faster" => play::set_percent(app, app.percent + 5.0),
        "tip" => {
            if let Ok(tip) = value.parse() {
                play::start_before_tip(app, tip);
                focus("play");
            }
        }
        "step" => steps::forward(app),
        "step-back" => steps::back(app),
        "choices" => choices::toggle(),
        "spot" => {
            if let Ok(measure) = value.parse() {
                spot::tapped(app, measure);
            }
        }
        "went-well" => ladder::went_well(app),
        "once-more" => ladder::once_more(app),
        "sound" => play::sound_again(app),
        _ => {}
    }
}

fn changed(app: &mut App, what: &str, value: &str, input: &HtmlInputElement) {
    let number = input.value().trim().parse::<usize>().ok();
    match what {
        "find" => find(app, input.value().trim()),
        "from" => {
            app.from = number.unwrap_or(app.from);
            spot::turn(app);
            if app.playing.is_some() {
                play::start(app);
            } else {
                display::show_start(app);
            }
        }
        "to" => {
            spot::turn(app);
            play::renew(app);
        }
        "again" => play::renew(app),
        "choose" => choices::changed(app, value),
        "of-tip" => {
            if let Some(tip) = number {
                spot::of_tip(app, tip);
            }
        }
        "percent" => {
            let percent = number.and_then(|number| u16::try_from(number).ok());
            play::set_percent(app, percent.map_or(app.percent, f64::from));
        }
        "measure" => {
            if let Some(measure) = number {
                steps::go_to_measure(app, measure);
            }
        }
        "tick" => tick(app, value, input.checked()),
        _ => {}
    }
}

/// Goes to what is said of a measure, by its printed number, or of the nearest before it.
fn find(app: &App, number: &str) {
    let page = app.page();
    if number.is_empty() {
        return play_here(app, None);
    }
    let all = 0..app.guide.road_map.measures.len();
    let measures = &app.guide.road_map.measures;
    // Players name places by their rehearsal marks, too.
    let marked = || {
        let called = |own: &Measure| {
            let mark = own.mark.as_deref();
            mark.is_some_and(|mark| mark.eq_ignore_ascii_case(number))
        };
        measures.iter().position(called)
    };
    let named = all.clone().find(|index| number_of(&page, *index) == number);
    let Some(measure) = named.or_else(marked) else {
        display::say(&app.words.fill(Word::NoSuchMeasure, &[number]));
        if let Some(field) = dom::by_id("find") {
            dom::set(&field, "aria-invalid", "true");
        }
        return;
    };
    if let Some(field) = dom::by_id("find") {
        dom::set(&field, "aria-invalid", "false");
    }
    play_here(app, Some(measure));
    let told = all.take(measure + 1).rev().find_map(|index| {
        dom::by_id(&format!("m{index}")).or_else(|| dom::by_id(&format!("s{index}")))
    });
    if let Some(element) = told.and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
        element.scroll_into_view();
        let _ = element.set_attribute("tabindex", "-1");
        let _ = element.focus();
    }
}

/// Lets the large button under the text play from a measure that was found, else from the start.
fn play_here(app: &App, measure: Option<usize>) {
    let place = measure.map(|measure| measure_text(&app.page(), measure));
    let text = match &place {
        Some(place) => app.words.fill(Word::PlayAt, &[place]),
        None => app.words.get(Word::PlayPiece).to_owned(),
    };
    if let Some(button) = dom::find("[data-do=play-piece]") {
        let value = measure.unwrap_or_default().to_string();
        dom::set(&button, "data-value", &value);
        button.set_inner_html(&labelled(&play_sign(), &text).0);
    }
}

/// Does what a key asks for; tells whether it did.
///
/// Letters are shortcuts only where they are switched on. Fields keep their own keys, buttons keep
/// space and Enter.
fn pressed(app: &mut App, event: &KeyboardEvent) -> bool {
    if event.ctrl_key() || event.alt_key() || event.meta_key() {
        return false;
    }
    let target: Option<Element> = event.target().and_then(|target| target.dyn_into().ok());
    let is = |selector: &str| {
        target
            .as_ref()
            .is_some_and(|own| own.matches(selector).unwrap_or(false))
    };
    let key = event.key();
    if app.tapping.is_some() && matches!(key.as_str(), " " | "Enter" | "ArrowRight" | "PageDown") {
        if !event.repeat() && !is("select, #tap-stop, [data-do=slower], [data-do=faster]") {
            taps::tapped(app, event.time_stamp() / 1000.0);
            return true;
        }
        return false;
    }
    let takes_text = is("select, input:not([type=checkbox])");
    if app.room == Room::Play && !takes_text && choices::letter(app, &key) {
        return true;
    }
    let forward = match key.as_str() {
        " " => None,
        "ArrowRight" | "PageDown" => Some(true),
        "ArrowLeft" | "PageUp" => Some(false),
        _ => return false,
    };
    if is("[role=tab]") && key.starts_with("Arrow") {
        turn(app, forward == Some(true));
        return true;
    }
    // Ticks and buttons leave the arrows free; a space is theirs.
    if takes_text || forward.is_none() && is("button, input, summary") {
        return false;
    }
    match (app.room, forward) {
        (Room::Play, None) if app.playing.is_some() => play::stop(app),
        (Room::Play, None) => play::start(app),
        (Room::Play, Some(forward)) => play::move_start(app, forward),
        (Room::Count, None) if taps::is_chosen() => taps::start(app),
        (Room::Count, None | Some(true)) => steps::forward(app),
        (Room::Count, Some(false)) => steps::back(app),
        (Room::Walk | Room::Todo, _) => return false,
    }
    true
}

/// Turns to the next tab or the one before, round and round.
fn turn(app: &mut App, forward: bool) {
    let now = Room::ALL.iter().position(|room| *room == app.room);
    let step = if forward { 1 } else { Room::ALL.len() - 1 };
    let next = now.map(|now| (now + step) % Room::ALL.len());
    if let Some(room) = next.and_then(|next| Room::ALL.get(next)) {
        go_to(app, *room);
        focus(&format!("tab-{}", room.code()));
    }
}

fn focus(id: &str) {
    if let Some(element) = dom::by_id(id).and_then(|element| element.dyn_into::<HtmlElement>().ok())
    {
        let _ = element.focus();
    }
}
