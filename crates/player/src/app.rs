//! The state of a live page, and its start.

use crate::audio::Audio;
use crate::choices::Practice;
use crate::play::Playing;
use crate::taps::Tapping;
use crate::{choices, display, dom, events, kept, play, practised, reader, steps, taps};
use cueleaf_guide::Guide;
use cueleaf_plan::{CueLine, Plan, Step};
use cueleaf_view::{
    Markup, Page, Room, Words, bottom, count_room, empty_rooms, is_played, play_room,
    practised_place, room_tabs, speaker, stop_bar, tip_button,
};
use std::cell::RefCell;
use wasm_bindgen::JsCast;
use web_sys::HtmlInputElement;

/// Everything a live page knows.
#[derive(Debug)]
pub(crate) struct App {
    pub(crate) guide: Guide,
    pub(crate) plan: Plan,
    pub(crate) cues: CueLine,
    pub(crate) words: Words,
    pub(crate) room: Room,
    /// The pace in percent.
    pub(crate) percent: f64,
    /// The written measure at which play starts.
    pub(crate) from: usize,
    /// Where the count room stands.
    pub(crate) step: Step,
    /// How far down the text was read, in CSS pixels.
    read_to: f64,
    pub(crate) done: Vec<String>,
    pub(crate) audio: Option<Audio>,
    pub(crate) playing: Option<Playing>,
    /// The rooms that only a live page has, as they were drawn.
    rooms: [String; 2],
    pub(crate) drawn: display::Drawn,
    pub(crate) practice: Practice,
    /// The round that is being tapped, while one is.
    pub(crate) tapping: Option<Tapping>,
}

thread_local! {
    static APP: RefCell<Option<App>> = const { RefCell::new(None) };
}

/// Does something with the state; nothing when it is not there yet, or while it
/// is in use: an event that an element sends because it is being changed.
pub(crate) fn with<T>(act: impl FnOnce(&mut App) -> T) -> Option<T> {
    APP.with(|app| app.try_borrow_mut().ok()?.as_mut().map(act))
}

impl App {
    pub(crate) const fn page(&self) -> Page<'_> {
        Page::new(&self.guide, &self.plan, &self.words)
    }

    /// Ticks the tasks that are done, and no others.
    pub(crate) fn show_ticks(&self) {
        for todo in &self.guide.todos {
            let selector = format!("[data-do=tick][data-value=\"{}\"]", todo.id);
            let ticked = self.done.iter().any(|id| id == todo.id.as_str());
            if let Some(Ok(input)) = dom::find(&selector).map(JsCast::dyn_into::<HtmlInputElement>)
            {
                input.set_checked(ticked);
            }
        }
    }
}

pub(crate) fn start(guide: &str, words: &str) -> Option<()> {
    let guide = reader::guide(guide)?;
    let plan = Plan::new(&guide).value;
    let mut app = App {
        cues: CueLine::new(&guide, &plan).value,
        words: Words::from_texts(reader::texts(words)?),
        room: Room::Walk,
        read_to: 0.0,
        percent: 100.0,
        from: 0,
        step: steps::first_worth_counting(&plan),
        done: kept::done(&guide).unwrap_or_default(),
        audio: None,
        playing: None,
        rooms: Default::default(),
        drawn: display::Drawn::default(),
        practice: Practice::default(),
        tapping: None,
        guide,
        plan,
    };
    furnish(&app)?;
    draw(&mut app);
    events::listen();
    APP.with(|slot| slot.replace(Some(app)));
    Some(())
}

pub(crate) fn replace(guide: &str, words: Option<&str>) {
    let Some(guide) = reader::guide(guide) else {
        return;
    };
    let words = words.and_then(reader::texts).map(Words::from_texts);
    with(|app| {
        play::stop(app);
        app.plan = Plan::new(&guide).value;
        app.cues = CueLine::new(&guide, &app.plan).value;
        app.guide = guide;
        if let Some(words) = words {
            app.words = words;
        }
        enliven(app);
        app.step = steps::still_there(&app.plan, app.step);
        app.done = kept::done(&app.guide).unwrap_or_default();
        draw(app);
    });
}

/// Puts what only a live page has around what every page has.
fn furnish(app: &App) -> Option<()> {
    let root = dom::document()?.document_element()?;
    let main = dom::by_id("cueleaf")?;
    dom::mark(&root, "live", true);
    // A page that a browser saved while it lived has these from its earlier life.
    while let Some(left) =
        dom::find("#cueleaf > :is(.tabs, [data-room=play], [data-room=count], #speaker)")
    {
        left.remove();
    }
    let _ = main.insert_adjacent_html("afterbegin", &room_tabs(&app.words).0);
    let _ = main.insert_adjacent_html("beforeend", &speaker().0);
    for room in [Room::Walk, Room::Todo] {
        let element = dom::find(&format!("[data-room={}]", room.code()))?;
        if room == Room::Walk {
            let more = empty_rooms();
            let _ = element.insert_adjacent_html("afterend", &more.0);
        }
    }
    for room in Room::ALL {
        let element = dom::find(&format!("[data-room={}]", room.code()))?;
        let code = room.code();
        element.set_id(&format!("room-{code}"));
        dom::set(&element, "role", "tabpanel");
        dom::set(&element, "aria-labelledby", &format!("tab-{code}"));
    }
    enliven(app);
    Some(())
}

/// Adds to the text what only a live page has in it.
fn enliven(app: &App) {
    let page = app.page();
    for (index, tip) in app.guide.tips.iter().enumerate() {
        if let Some(shown) = dom::find(&format!("[data-tip=\"{index}\"]")) {
            if !is_played(&page, tip) || matches!(shown.query_selector("button"), Ok(Some(_))) {
                continue;
            }
            let button = tip_button(&page, index, tip);
            let _ = shown.insert_adjacent_html("beforeend", &button.0);
        }
    }

    if let Some(walk) = dom::by_id("room-walk")
        && dom::find("#room-walk > .controls").is_none()
        && !app.plan.order().is_empty()
    {
        let _ = walk.insert_adjacent_html("beforeend", &bottom(&app.words).0);
    }
    if let Some(todo) = dom::by_id("room-todo")
        && dom::by_id("practised").is_none()
    {
        let _ = todo.insert_adjacent_html("beforeend", &practised_place().0);
        let _ = todo.insert_adjacent_html("beforeend", &stop_bar(&app.words).0);
    }
}

/// Draws the rooms that only a live page has, with what is chosen in them.
pub(crate) fn draw(app: &mut App) {
    let chosen = ["to", "again"].map(|id| (dom::value_of(id), dom::is_ticked(id)));
    choices::recall_paces(app);
    let page = app.page();
    let rooms: [(Room, Markup); 2] = [
        (Room::Play, play_room(&page, app.practice.paces())),
        (Room::Count, count_room(&page)),
    ];
    for ((room, view), drawn) in rooms.into_iter().zip(&mut app.rooms) {
        // It lists all measures twice, which takes a browser long.
        if *drawn != view.0 {
            dom::show(&format!("room-{}", room.code()), &view);
            *drawn = view.0;
        }
    }
    let last = app.guide.road_map.measures.len().saturating_sub(1);
    app.from = app.from.min(last);
    dom::set_value("from", &app.from.to_string());
    dom::set_value("percent", &cueleaf_view::whole(app.percent));
    let [(to, _), (_, again)] = chosen;
    dom::set_value("to", &to.unwrap_or_default());
    if let Some(input) = dom::input("again") {
        input.set_checked(again);
    }
    choices::furnish(app);
    display::show_play_button(app);
    display::show_start(app);
    taps::choose(app, "step");
    steps::show(app);
    app.show_ticks();
    practised::show(app);
    go_to(app, app.room);
}

/// Opens a room and closes the others. The text keeps the place to which it was
/// scrolled; the other rooms open at their top.
pub(crate) fn go_to(app: &mut App, room: Room) {
    if app.room == Room::Walk && room != Room::Walk {
        app.read_to = dom::scrolled();
    }
    let moved = app.room != room;
    app.room = room;
    for own in Room::ALL {
        let here = own == room;
        dom::hide(&format!("room-{}", own.code()), !here);
        if let Some(tab) = dom::by_id(&format!("tab-{}", own.code())) {
            dom::set(&tab, "aria-selected", if here { "true" } else { "false" });
            dom::set(&tab, "tabindex", if here { "0" } else { "-1" });
        }
    }
    if let Some(root) = dom::document().and_then(|document| document.document_element()) {
        dom::set(&root, "data-in", room.code());
    }
    if matches!(room, Room::Play | Room::Count) {
        dom::show_end(&format!("#room-{} > .controls", room.code()));
    }
    if moved {
        dom::scroll_to(if room == Room::Walk { app.read_to } else { 0.0 });
    }
}

/// Keeps a tick.
pub(crate) fn tick(app: &mut App, id: &str, on: bool) {
    // Another tab may have kept more, or less, in the meantime.
    if let Some(kept) = kept::done(&app.guide) {
        app.done = kept;
    }
    app.done.retain(|own| own != id);
    if on {
        app.done.push(id.to_owned());
    }
    if !kept::keep(&app.guide, &app.done) {
        display::say(app.words.get(cueleaf_view::Word::NotKept));
        dom::hide("not-kept", false);
    }
    practised::show(app);
}
