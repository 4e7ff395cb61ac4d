//! Kept guides that are copied or renamed without being opened.
//!
//! Each is read, changed and written under the revision that was read, like an edit: what
//! another tab wrote in the meantime is never overwritten.

use super::desk::refused_words;
use super::keeping::{part_names, title};
use crate::history::History;
use crate::msg::{Effect, KeepOrder, Outcome};
use crate::opened::sentence;
use crate::state::{KeptTexts, Notice, Renaming, ShelfDeed, State};
use cueleaf_guide::{Guide, Id, open, save};

/// Asks for the guide of which a copy is wanted.
pub(super) fn copy(state: &mut State, id: String, effects: &mut Vec<Effect>) {
    let deed = ShelfDeed::Copy(state.fresh_id());
    ask(state, id, deed, effects);
}

/// Shows the field for another name.
pub(super) fn start_rename(state: &mut State, id: String, effects: &mut Vec<Effect>) {
    let entry = state.shelf.entries.iter().find(|own| own.id == id);
    let Some(entry) = entry else { return };
    let name = entry.title.clone();
    let length = name.encode_utf16().count();
    effects.push(Effect::Caret(format!("new-name-{id}"), 0..length));
    state.shelf.renaming = Some(Renaming { id, name });
}

/// Leaves the name as it is.
pub(super) fn cancel_rename(state: &mut State, effects: &mut Vec<Effect>) {
    if let Some(Renaming { id, .. }) = state.shelf.renaming.take() {
        effects.push(Effect::Focus(format!("rename-{id}")));
    }
}

/// Takes the name that was typed.
pub(super) fn rename(state: &mut State, effects: &mut Vec<Effect>) {
    let Some(Renaming { id, name }) = state.shelf.renaming.take() else {
        return;
    };
    effects.push(Effect::Focus(format!("rename-{id}")));
    let name = name.trim().to_owned();
    let same = |entry: &crate::state::KeptEntry| entry.id == id && entry.title == name;
    if !state.shelf.entries.iter().any(same) {
        ask(state, id, ShelfDeed::Rename(name), effects);
    }
}

fn ask(state: &mut State, id: String, deed: ShelfDeed, effects: &mut Vec<Effect>) {
    let busy = state.leaving.iter().any(|own| own.is(&id));
    if busy || state.shelf.writing.contains_key(&id) {
        state.notice = Some(Notice::plain(
            "This guide is still being kept. Try again in a moment.",
        ));
        return;
    }
    effects.push(Effect::Read(id, deed));
}

/// Changes what was read and writes it.
pub(super) fn read(
    state: &mut State,
    id: &str,
    revision: u64,
    texts: KeptTexts,
    deed: ShelfDeed,
    effects: &mut Vec<Effect>,
) {
    // What is read from storage may have been written by any page of the folder.
    let mut guide = match open(&texts.guide) {
        Ok(guide) if guide.id.as_str() == id => guide,
        Ok(_) => {
            state.notice = Some(Notice::trouble(
                "What is kept under this name is another guide. It is left as it is.",
            ));
            return;
        }
        Err(error) => {
            state.notice = Some(Notice::trouble(sentence(&error.to_string())));
            return;
        }
    };
    let before = History::new(guide.clone());
    let expected = change(&mut guide, &deed, revision);
    if let Err(over) = before.may_become(&guide) {
        state.notice = Some(Notice::trouble(refused_words(over)));
        return;
    }
    let id = guide.id.to_string();
    effects.push(Effect::Keep(KeepOrder {
        id: id.clone(),
        title: guide.title.clone(),
        parts: part_names(&guide),
        expected,
        text: save(&guide),
        notes: texts.notes,
        dropped: texts.dropped,
        watch: texts.watch,
    }));
    state.shelf.writing.insert(id, deed);
}

/// Makes the copy or the guide with its new name; gives the revision that must be kept.
fn change(guide: &mut Guide, deed: &ShelfDeed, revision: u64) -> Option<u64> {
    match deed {
        ShelfDeed::Copy(id) => {
            guide.id = Id::clone(id);
            guide.title = format!("{} (copy)", title(&guide.title));
            None
        }
        ShelfDeed::Rename(name) => {
            name.clone_into(&mut guide.title);
            Some(revision)
        }
    }
}

/// Takes the answer to such a writing; tells whether it was one.
pub(super) fn done(
    state: &mut State,
    id: &str,
    outcome: &Outcome,
    effects: &mut Vec<Effect>,
) -> bool {
    let Some(deed) = state.shelf.writing.remove(id) else {
        return false;
    };
    match outcome {
        Outcome::Kept(_) => {
            if let ShelfDeed::Copy(_) = deed {
                state.shelf.focus_next = Some(format!("open-{id}"));
            }
            effects.push(Effect::Say(match deed {
                ShelfDeed::Copy(_) => "Copied.".to_owned(),
                ShelfDeed::Rename(name) => format!("It is called “{}” now.", title(&name)),
            }));
        }
        Outcome::Conflict => {
            state.notice = Some(Notice::trouble(
                "This guide was changed in another tab or window. Nothing was overwritten; its \
                 name is as it was.",
            ));
        }
        Outcome::Failed(reason) => {
            state.notice = Some(Notice::trouble(format!(
                "This could not be kept on this device: {reason}"
            )));
        }
    }
    effects.push(Effect::List);
    true
}
