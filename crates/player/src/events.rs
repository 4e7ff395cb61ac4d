//! What the student does: one set of listeners for the whole page.
//!
//! Elements say in `data-do` what they are for, and in `data-value` with what.

use crate::app::{App, go_to, tick, with};
use crate::audio::copy_from;
use crate::{choices, display, dom, ladder, play, practised, spot, steps, taps};
use cueleaf_guide::Measure;
use cueleaf_view::{Room, Word, number_of, whole};
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
                    taps::choose(app, "tap");
                }
                go_to(app, room);
            }
        }
        "how" => taps::choose(app, value),
        "tap" => taps::start(app),
        "step" if taps::is_chosen() => {}
        "tap-stop" => taps::choose(app, "tap"),
        "calibrate" => taps::calibrate(app),
        "erase" => practised::erase(app),
        "copy" if copy_from("teacher-line") => {
            dom::set_text("copied", app.words.get(Word::Copied));
            display::say(app.words.get(Word::Copied));
        }
        "play-piece" | "play" if app.playing.is_some() => play::stop(app),
        "play-piece" => {
            app.from = value.parse().unwrap_or(0);
            dom::set_value("to", "");
            play::start(app);
            focus("play");
        }
        "play" => play::start(app),
        "slower" => change_percent(app, -5.0),
        "faster" => change_percent(app, 5.0),
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

/// Changes the pace and says it.
pub(crate) fn change_percent(app: &mut App, by: f64) {
    play::set_percent(app, app.percent + by);
    let text = whole(app.percent);
    display::say(&app.words.fill(Word::Percent, &[&text]));
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

/// Goes to what is said of a measure, by its printed number, or of the nearest before it. What
/// people write before a number ("m. 32") is no part of it.
fn find(app: &App, typed: &str) {
    let page = app.page();
    let all = 0..app.guide.road_map.measures.len();
    let numbered = |number: &str| all.clone().find(|index| number_of(&page, *index) == number);
    let bare = typed.trim_start_matches(|letter: char| !letter.is_ascii_digit());
    // Players name places by their rehearsal marks, too.
    let marked = || {
        let called = |own: &Measure| {
            let mark = own.mark.as_deref().filter(|mark| !mark.is_empty());
            mark.is_some_and(|mark| mark.eq_ignore_ascii_case(typed))
        };
        app.guide.road_map.measures.iter().position(called)
    };
    let found = numbered(typed).or_else(marked).or_else(|| numbered(bare));
    let missing = found.is_none() && !typed.is_empty();
    let text = if missing {
        app.words.fill(Word::NoSuchMeasure, &[typed])
    } else {
        String::new()
    };
    dom::set_text("find-said", &text);
    if let Some(field) = dom::by_id("find") {
        dom::set(
            &field,
            "aria-invalid",
            if missing { "true" } else { "false" },
        );
    }
    if missing {
        return display::say(&text);
    }
    // Of what is left out, the button names where play goes on.
    let played = found.and_then(|measure| app.plan.first_played(measure));
    let own = played.and_then(|played| app.plan.order().get(played));
    if let Some(button) = dom::by_id("play-piece") {
        let value = own.map_or_else(String::new, |own| own.measure.to_string());
        dom::set(&button, "data-value", &value);
    }
    display::show_play_button(app);
    let Some(measure) = found else { return };
    let told = all.take(measure + 1).rev().find_map(|index| {
        dom::by_id(&format!("m{index}")).or_else(|| dom::by_id(&format!("s{index}")))
    });
    if let Some(element) = told.and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
        element.scroll_into_view();
        let _ = element.set_attribute("tabindex", "-1");
        let _ = element.focus();
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
    if is("[role=tab]")
        && let Some(room) = match key.as_str() {
            "Home" => Room::ALL.first(),
            "End" => Room::ALL.last(),
            _ => None,
        }
    {
        turn_to(app, *room);
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
        (Room::Walk | Room::Todo, None) if app.playing.is_some() => play::stop(app),
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
        turn_to(app, *room);
    }
}

fn turn_to(app: &mut App, room: Room) {
    go_to(app, room);
    focus(&format!("tab-{}", room.code()));
}

fn focus(id: &str) {
    if let Some(element) = dom::by_id(id).and_then(|element| element.dyn_into::<HtmlElement>().ok())
    {
        let _ = element.focus();
    }
}
