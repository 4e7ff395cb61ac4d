//! The road map as plain notes.
//!
//! What is typed stands in the state at once. The guide follows after a short rest, or
//! before anything else happens, so that a word is not told wrong while it is being typed.

use super::super::keeping;
use super::commit_run;
use crate::msg::{DeskMsg, Effect, Msg, NotesMsg};
use crate::notes::{Notes, stretch_of};
use crate::state::Desk;

/// How long typing rests before the guide follows, in milliseconds.
///
/// # Source
/// Our decision: longer than between two keys, shorter than a look up.
const REST: u32 = 400;

/// The id of the field.
pub(crate) const FIELD: &str = "notes";

pub(super) fn update(desk: &mut Desk, msg: NotesMsg, effects: &mut Vec<Effect>) {
    if !matches!(msg, NotesMsg::Typed(_) | NotesMsg::Rest(_)) {
        take(desk, effects);
    }
    match msg {
        NotesMsg::Show(how) => {
            settle(desk);
            desk.map_as = how;
            desk.facts_open = false;
            desk.look_at_notes();
        }
        NotesMsg::Typed(text) => {
            let notes = desk.notes();
            notes.typed(&text);
            let turns = notes.turns();
            effects.push(Effect::After(
                REST,
                Msg::Desk(DeskMsg::Notes(NotesMsg::Rest(turns))),
            ));
        }
        NotesMsg::Rest(turns) => {
            if desk.notes().turns() == turns {
                take(desk, effects);
            }
        }
        NotesMsg::GoTo(index) => {
            let notes = desk.notes();
            let Some(found) = notes.findings().get(index) else {
                return;
            };
            let stretch = stretch_of(notes.text(), found.line, &found.columns);
            effects.push(Effect::Caret(FIELD.to_owned(), stretch));
            effects.push(Effect::Reveal(line_id(found.line)));
        }
        NotesMsg::Download => {
            let name = keeping::file_stem(desk.guide());
            effects.push(Effect::Download {
                name: format!("{name}.txt"),
                media: "text/plain",
                text: desk.notes().text().to_owned(),
            });
            effects.push(Effect::Say("The notes went to your downloads.".to_owned()));
        }
    }
}

/// Gives the id of a line behind the field.
pub(crate) fn line_id(line: usize) -> String {
    format!("note-line-{line}")
}

/// Lets the guide follow what was typed and waits.
pub(crate) fn take(desk: &mut Desk, effects: &mut Vec<Effect>) {
    let Some(taken) = desk.notes.as_mut().and_then(Notes::take) else {
        return;
    };
    if !taken.goes_on {
        // Each line is a step of its own.
        desk.history.settle();
    }
    let words = format!("change line {} of the notes", taken.line);
    commit_run(desk, taken.guide, words, "notes", effects);
    // An aside changes no guide, and is kept all the same.
    keeping::soon(desk, effects);
}

/// Ends a run of typing.
pub(super) fn settle(desk: &mut Desk) {
    desk.history.settle();
    if let Some(notes) = &mut desk.notes {
        notes.settle();
    }
}

/// Fills the field where the notes were written anew while somebody types in it.
pub(super) fn fill(desk: &Desk, effects: &mut Vec<Effect>) {
    if let (true, Some(notes)) = (desk.shows_notes(), &desk.notes) {
        effects.push(Effect::Fill(FIELD.to_owned(), notes.text().to_owned()));
    }
}
