//! Getting at a document.

use super::{adding, heard, leaving, making, watching};
use crate::edit::new_guide::{NewFields, make};
use crate::examples::EXAMPLES;
use crate::making::Then;
use crate::msg::{Effect, Keeping, Msg, Opening};
use crate::notes::{MapAs, Notes};
use crate::opened::{Opened, opened, sentence};
use crate::proposals::WatchList;
use crate::state::{Desk, Home, Keep, Notice, PartChoice, Reading, Room, Screen, State};
use cueleaf_guide::{Checked, Finding, Guide};
use cueleaf_link::from_fragment;
use cueleaf_outline::Outlined;
use cueleaf_read::{Progress, ScoreReader, draft_checked};

/// How many bytes are read before the page gets its turn.
///
/// # Source
/// Our decision: some 10 ms of work on a slow laptop.
const SLICE: usize = 256 * 1024;

pub(super) fn update(state: &mut State, msg: Opening, effects: &mut Vec<Effect>) {
    match msg {
        Opening::ChooseFile => effects.push(Effect::AskForFile),
        Opening::File { name, bytes } => file(state, name, bytes, effects),
        Opening::Link(text) => link(state, &text, effects),
        Opening::NoFile(name, reason) => no_file(state, &name, &reason),
        Opening::ReadOn => read_on(state, effects),
        Opening::MakeOn => making::go_on(state, effects),
        Opening::Cancel => {
            if !making::give_up(state, effects) {
                come_back(state, effects);
            }
        }
        Opening::Home => home(state, effects),
        Opening::Abandon => go_home(state, effects),
        Opening::Example(index) => example(state, index, effects),
        Opening::TogglePart(index) => {
            if let Screen::Parts(choice) = &mut state.screen
                && let Some(chosen) = choice.chosen.get_mut(index)
            {
                *chosen = !*chosen;
            }
        }
        Opening::MakeGuide => make_guide(state, effects),
        Opening::AddNotes => watching::add(state, effects),
        Opening::ToggleForm => {
            if let Screen::Home(home) = &mut state.screen {
                home.problem = None;
                home.form = match home.form.take() {
                    Some(_) => None,
                    None => {
                        effects.push(Effect::Focus("new-title".to_owned()));
                        Some(NewFields::default())
                    }
                };
            }
        }
        Opening::Field(name, value) => {
            if let Screen::Home(Home {
                form: Some(form), ..
            }) = &mut state.screen
            {
                set_field(form, &name, value);
            }
        }
        Opening::MakeTyped => make_typed(state, effects),
        Opening::OpenWaiting => {
            if let Some(desk) = state.waiting.take() {
                open_and_keep(state, *desk, effects);
            }
        }
    }
}

fn set_field(form: &mut NewFields, name: &str, value: String) {
    let field = match name {
        "title" => &mut form.title,
        "part" => &mut form.part,
        "measures" => &mut form.measures,
        "meter" => &mut form.meter,
        "pickup" => &mut form.pickup,
        "unit" => &mut form.unit,
        "tempo" => &mut form.tempo,
        _ => return,
    };
    *field = value;
}

pub(super) fn no_file(state: &mut State, name: &str, reason: &str) {
    state.notice = Some(Notice::trouble(format!(
        "“{name}” was not opened. {reason}"
    )));
}

/// Opens the guide of a link as a new one: whatever is kept of the guide it was made
/// from stays as it is.
fn link(state: &mut State, text: &str, effects: &mut Vec<Effect>) {
    match from_fragment(text) {
        Ok(mut guide) => {
            guide.id = state.fresh_id();
            let desk = Desk::new(guide, Keep::Untouched, None);
            open_new(state, desk, effects);
        }
        Err(error) => state.notice = Some(Notice::trouble(sentence(&error.to_string()))),
    }
}

fn file(state: &mut State, name: String, bytes: Vec<u8>, effects: &mut Vec<Effect>) {
    match opened(bytes) {
        Opened::Guide(guide) => {
            let desk = Desk::new(*guide, Keep::Untouched, None);
            take_guide(state, name, desk, effects);
        }
        Opened::No(reason) => no_file(state, &name, &reason),
        Opened::Talk(talk, findings) => heard::list(state, name, *talk, findings, effects),
        Opened::Outline(outlined, text) => {
            take_outline(state, name, *outlined, &text, effects);
        }
        Opened::Score(bytes) => {
            if is_in_conflict(state) {
                state.notice = Some(unkept(&name));
                return;
            }
            state.notice = None;
            let reading = Screen::Reading(Reading {
                name,
                reader: ScoreReader::new(bytes),
                percent: 0,
            });
            leaving::put_aside(state, reading, effects);
            effects.push(Effect::After(0, Msg::Opening(Opening::ReadOn)));
        }
    }
}

/// Says that a file waits until the open document is safe.
pub(super) fn unkept(name: &str) -> Notice {
    Notice::trouble(format!(
        "“{name}” was not opened, because the guide on this page is not kept. Download it first; \
         then go to the first page and open the file there."
    ))
    .choice("Download the guide", Msg::Keeping(Keeping::Download))
}

/// Tells whether two versions of the open document wait for a decision, before which nothing
/// else can happen to it.
pub(super) fn is_in_conflict(state: &State) -> bool {
    let open = state.desk_or_aside();
    open.is_some_and(|desk| desk.keep == Keep::Conflict)
}

/// Tells whether the open document may be let go of.
fn may_leave(state: &State) -> bool {
    state.desk_or_aside().is_none_or(|desk| match desk.keep {
        Keep::Conflict => false,
        Keep::Off(_) => desk.history.undo_words().is_none(),
        Keep::Untouched | Keep::Kept | Keep::Soon | Keep::Writing(_) => true,
    })
}

/// Opens a document; where the open one would be lost, asks first.
pub(super) fn open_new(state: &mut State, desk: Desk, effects: &mut Vec<Effect>) {
    if may_leave(state) {
        open_and_keep(state, desk, effects);
        return;
    }
    state.waiting = Some(Box::new(desk));
    state.notice = Some(
        Notice::trouble("The guide on this page is not kept. Opening another lets it go.")
            .choice("Download this one", Msg::Keeping(Keeping::Download))
            .choice("Open the other", Msg::Opening(Opening::OpenWaiting)),
    );
}

/// Opens the guide of a file; with another one open, offers what it would add to that.
fn take_guide(state: &mut State, name: String, desk: Desk, effects: &mut Vec<Effect>) {
    if state.desk_or_aside().is_none() || is_in_conflict(state) {
        open_new(state, desk, effects);
    } else {
        adding::offer(state, name, desk, effects);
    }
}

/// Opens a guide of plain notes, with the asides in them; where something was not understood,
/// the notes are shown.
fn take_outline(
    state: &mut State,
    name: String,
    outlined: Outlined,
    text: &str,
    effects: &mut Vec<Effect>,
) {
    let mut guide = outlined.guide;
    guide.id = state.fresh_id();
    let mut desk = Desk::new(guide, Keep::Untouched, None);
    let notes = Notes::opened(desk.guide(), text, &outlined.comments);
    if notes.missed() > 0 {
        desk.map_as = MapAs::Notes;
    }
    desk.notes = Some(notes);
    take_guide(state, name, desk, effects);
}

pub(super) fn open_and_keep(state: &mut State, desk: Desk, effects: &mut Vec<Effect>) {
    show(state, desk, effects);
    let trouble = state.shelf.trouble.clone();
    if let Some(desk) = state.desk_mut() {
        match trouble {
            Some(reason) => desk.keep = Keep::Off(reason),
            None => super::keeping::write(desk, effects),
        }
    }
}

/// Shows a document.
pub(super) fn show(state: &mut State, mut desk: Desk, effects: &mut Vec<Effect>) {
    desk.linking.known.clone_from(&state.shelf.address);
    desk.tip_order = state.tip_order;
    desk.folds.clone_from(&state.folds);
    state.notice = None;
    leaving::turn_to(state, Screen::Desk(Box::new(desk)), effects);
    effects.push(Effect::Focus("main".to_owned()));
}

fn home(state: &mut State, effects: &mut Vec<Effect>) {
    if !may_leave(state) {
        state.notice = Some(
            Notice::trouble("This guide is not kept. Going on lets it go.")
                .choice("Download it", Msg::Keeping(Keeping::Download))
                .choice("Let it go", Msg::Opening(Opening::Abandon)),
        );
        return;
    }
    go_home(state, effects);
}

/// Goes back to the document that was put aside, or to the first page.
fn come_back(state: &mut State, effects: &mut Vec<Effect>) {
    if !leaving::take_back(state, effects) {
        go_home(state, effects);
    }
}

fn go_home(state: &mut State, effects: &mut Vec<Effect>) {
    state.notice = None;
    leaving::turn_to(state, Screen::Home(Home::default()), effects);
    effects.push(Effect::List);
    effects.push(Effect::Focus("main".to_owned()));
}

fn read_on(state: &mut State, effects: &mut Vec<Effect>) {
    let Screen::Reading(reading) = &mut state.screen else {
        return;
    };
    match reading.reader.step(SLICE) {
        Progress::Working { read, of } => {
            reading.percent = read.saturating_mul(100) / of.max(1);
            effects.push(Effect::After(0, Msg::Opening(Opening::ReadOn)));
        }
        Progress::Done => read_done(state, effects),
    }
}

fn read_done(state: &mut State, effects: &mut Vec<Effect>) {
    let before = std::mem::replace(&mut state.screen, Screen::Home(Home::default()));
    let Screen::Reading(reading) = before else {
        return;
    };
    effects.push(Effect::Focus("main".to_owned()));
    match reading.reader.finish() {
        Err(error) => {
            come_back(state, effects);
            no_file(state, &reading.name, &sentence(&error.to_string()));
        }
        Ok(score) => {
            // With a guide aside, the notes may be meant for it.
            let aside = state.aside.as_ref();
            let parts = score.value.parts.len();
            let alone = parts == 1;
            let chosen = match aside {
                Some(desk) if !alone => watching::choose_same(&score.value, desk.guide()),
                _ => vec![alone; parts],
            };
            let at_once = alone && aside.is_none();
            state.screen = Screen::Parts(PartChoice {
                name: reading.name,
                score,
                chosen,
            });
            if at_once {
                make_guide(state, effects);
            }
        }
    }
}

/// Drafts the chosen parts of the read score, with what was found about them; says why not.
pub(super) fn drafted(state: &mut State) -> Option<Checked<Guide>> {
    let id = state.fresh_id();
    let Screen::Parts(choice) = &state.screen else {
        return None;
    };
    let parts = choice.score.value.parts.iter().zip(&choice.chosen);
    let chosen = parts.filter(|(_, chosen)| **chosen);
    let wanted: Vec<&str> = chosen.map(|(part, _)| part.id.as_str()).collect();
    if wanted.is_empty() {
        state.notice = Some(Notice::trouble("Choose at least one part."));
        return None;
    }
    match draft_checked(&choice.score, &wanted, id) {
        Ok(drafted) => Some(drafted),
        Err(error) => {
            let (name, reason) = (choice.name.clone(), sentence(&error.to_string()));
            no_file(state, &name, &reason);
            None
        }
    }
}

fn make_guide(state: &mut State, effects: &mut Vec<Effect>) {
    if let Some(Checked { value, findings }) = drafted(state)
        && let Screen::Parts(choice) = &state.screen
    {
        let parts = watching::parts_in(&value, &choice.score.value);
        making::begin(state, parts, value, Then::Guide(findings), effects);
    }
}

/// Opens a guide that was made of a score, with its watch list.
pub(super) fn open_made(
    state: &mut State,
    drafted: Guide,
    list: WatchList,
    findings: Vec<Finding>,
    file: &str,
    effects: &mut Vec<Effect>,
) {
    let mut desk = Desk::new(drafted, Keep::Untouched, None);
    desk.take_watch_list(list);
    desk.from_file = findings;
    if desk.guide().title.is_empty() {
        name_after_file(&mut desk, file);
    }
    open_new(state, desk, effects);
}

/// Gives a guide without a title the name of its file.
pub(super) fn name_after_file(desk: &mut Desk, file: &str) {
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let mut guide = desk.guide().as_ref().clone();
    stem.replace(['_', '-'], " ")
        .trim()
        .clone_into(&mut guide.title);
    desk.history.replace(guide);
    desk.refresh();
}

fn make_typed(state: &mut State, effects: &mut Vec<Effect>) {
    let (id, part) = (state.fresh_id(), state.fresh_id());
    let Screen::Home(home) = &mut state.screen else {
        return;
    };
    let Some(form) = &home.form else { return };
    match make(id, part, form) {
        Ok(guide) => open_and_keep(state, Desk::new(guide, Keep::Untouched, None), effects),
        Err((field, reason)) => {
            home.problem = Some((field, reason));
            effects.push(Effect::Focus(format!("new-{field}")));
        }
    }
}

/// Opens an example as a guide of the teacher's own; it is kept once she changes it.
fn example(state: &mut State, index: usize, effects: &mut Vec<Effect>) {
    let Some(example) = EXAMPLES.get(index) else {
        return;
    };
    match opened(example.bytes.to_vec()) {
        Opened::Guide(mut guide) => {
            guide.id = state.fresh_id();
            let mut desk = Desk::new(*guide, Keep::Untouched, None);
            if let Some(reason) = &state.shelf.trouble {
                desk.keep = Keep::Off(reason.clone());
            }
            desk.room = Room::RoadMap;
            show(state, desk, effects);
        }
        Opened::Score(bytes) => file(state, example.name.to_owned(), bytes, effects),
        Opened::Talk(..) | Opened::Outline(..) => {}
        Opened::No(reason) => no_file(state, example.name, &reason),
    }
}
