//! Keeping documents on this device, and finding them again.
//!
//! An edit is written within a fraction of a second. While one writing is under
//! way, edits wait and are written together after it. The browser compares the
//! revision inside the transaction that writes; what another tab wrote is never
//! overwritten.

use super::desk::refused_words;
use super::{leaving, shelf};
use crate::kept_list;
use crate::msg::{Effect, KeepOrder, Keeping, Msg, Opening, Outcome};
use crate::notes::Notes;
use crate::opened::sentence;
use crate::proposals::Dropped;
use crate::state::{Again, Desk, Keep, KeptTexts, Notice, State};
use cueleaf_guide::{Guide, open, save};

/// How long an edit waits for more of them, in milliseconds.
const PATIENCE: u32 = 250;

pub(super) fn update(state: &mut State, msg: Keeping, effects: &mut Vec<Effect>) {
    match msg {
        Keeping::Listed(Ok(entries)) => {
            state.shelf.trouble = None;
            state.shelf.entries = entries;
            effects.extend(state.shelf.focus_next.take().map(Effect::Focus));
        }
        Keeping::Listed(Err(reason)) => state.shelf.trouble = Some(reason),
        Keeping::ListedDamaged(ids) => state.shelf.damaged = ids,
        Keeping::TakeDamaged(id) => effects.push(Effect::TakeDamaged(id)),
        Keeping::Damaged(id, text) => effects.push(as_it_is(&id, text)),
        Keeping::AskToDrop(id) => {
            let notice = Notice::plain(
                "What cannot be read cannot be brought back once it is removed. Download it first \
                 if somebody may be able to read it.",
            );
            let take = Msg::Keeping(Keeping::TakeDamaged(id.clone()));
            let notice = notice.choice("Download it as it is", take);
            let drop = Msg::Keeping(Keeping::DropDamaged(id));
            state.notice = Some(notice.choice("Remove it", drop));
        }
        Keeping::DropDamaged(id) => {
            state.notice = None;
            effects.push(Effect::DropDamaged(id));
            effects.push(Effect::Focus("shelf-title".to_owned()));
        }
        Keeping::Open(id) => {
            // Its name is being written; opened now, it would be the one before.
            if state.shelf.writing.contains_key(&id) {
                return;
            }
            if !leaving::take_back_by_id(state, &id, effects) {
                effects.push(Effect::Load(id));
            }
        }
        Keeping::Loaded {
            id,
            revision,
            texts,
        } => loaded(state, &id, revision, texts, effects),
        Keeping::NotLoaded(reason) => {
            state.notice = Some(Notice::trouble(format!(
                "This guide could not be read from this device: {reason}"
            )));
        }
        Keeping::Copy(id) => shelf::copy(state, id, effects),
        Keeping::StartRename(id) => shelf::start_rename(state, id, effects),
        Keeping::NewName(text) => {
            if let Some(renaming) = &mut state.shelf.renaming {
                renaming.name = text;
            }
        }
        Keeping::Rename => shelf::rename(state, effects),
        Keeping::CancelRename => shelf::cancel_rename(state, effects),
        Keeping::Read {
            id,
            revision,
            texts,
            deed,
        } => shelf::read(state, &id, revision, texts, deed, effects),
        Keeping::Remove(id) => effects.push(Effect::Remove(id)),
        Keeping::Removed(entry, texts) => {
            let words = format!("“{}” is removed from this device.", title(&entry.title));
            let notice = Notice::plain(words);
            state.notice = Some(notice.choice("Undo", Msg::Keeping(Keeping::Restore)));
            state.shelf.removed = Some((entry, texts));
            effects.push(Effect::List);
        }
        Keeping::Restore => {
            if let Some((entry, texts)) = state.shelf.removed.take() {
                state.notice = None;
                effects.push(Effect::Restore(entry, texts));
            }
        }
        Keeping::Now => {
            if let Some(desk) = state.desk_mut()
                && desk.keep == Keep::Soon
            {
                write(desk, effects);
            }
        }
        Keeping::Done { id, outcome } => {
            if !shelf::done(state, &id, &outcome, effects) {
                done(state, &id, outcome, effects);
            }
        }
        Keeping::Why => {
            state.notice = state.desk().and_then(why_not_kept);
            effects.push(Effect::Focus("choice-0".to_owned()));
        }
        Keeping::AsCopy => as_copy(state, effects),
        Keeping::OpenOther => {
            if let Some(desk) = state.desk() {
                effects.push(Effect::Load(desk.guide().id.to_string()));
            }
        }
        Keeping::Download => {
            if let Some(desk) = state.desk_or_aside() {
                effects.push(saved_file(desk.guide()));
            }
        }
        Keeping::DownloadRescued => {
            if let Some((id, text)) = &state.shelf.rescued {
                effects.push(as_it_is(id, text.clone()));
            }
        }
    }
}

/// Hands out a kept text that is no guide.
fn as_it_is(id: &str, text: String) -> Effect {
    // What is kept under a strange key has a plain name, too.
    let letters = id.chars().map(|sign| {
        let plain = sign.is_ascii_alphanumeric() || sign == '-';
        if plain { sign } else { '-' }
    });
    let id: String = letters.take(40).collect();
    Effect::Download {
        name: format!("cueleaf-{id}.json"),
        media: "application/json",
        text,
    }
}

/// Gives the words for a guide's title, which may be empty.
pub(crate) fn title(title: &str) -> &str {
    if title.trim().is_empty() {
        "Untitled"
    } else {
        title
    }
}

/// How many parts are named in the list of guides.
const NAMED_PARTS: usize = 4;

/// Names the parts of a guide, by which guides of one piece are told apart.
pub(super) fn part_names(guide: &Guide) -> String {
    let names = guide.parts.iter().map(|part| part.name.trim());
    let names: Vec<&str> = names.filter(|name| !name.is_empty()).collect();
    let more = names.len().saturating_sub(NAMED_PARTS);
    let named = names
        .get(..names.len() - more)
        .unwrap_or_default()
        .join(", ");
    if more > 0 {
        format!("{named} and {more} more")
    } else {
        named
    }
}

/// Gives the name of a guide's files, without what tells their kind.
pub(super) fn file_stem(guide: &Guide) -> String {
    let page = cueleaf_export::file_name(guide, None);
    page.strip_suffix(".html").unwrap_or(&page).to_owned()
}

/// Makes the file in which a guide is saved.
pub(super) fn saved_file(guide: &Guide) -> Effect {
    Effect::Download {
        name: format!("{}.json", file_stem(guide)),
        media: "application/json",
        text: save(guide),
    }
}

/// Lets the document be kept soon, after an edit.
pub(super) fn soon(desk: &mut Desk, effects: &mut Vec<Effect>) {
    match &mut desk.keep {
        Keep::Untouched | Keep::Kept => {
            desk.keep = Keep::Soon;
            effects.push(Effect::After(PATIENCE, Msg::Keeping(Keeping::Now)));
        }
        Keep::Writing(again) => *again = Again::Yes,
        Keep::Soon | Keep::Conflict | Keep::Off(_) => {}
    }
}

/// Writes the document at once.
pub(super) fn write(desk: &mut Desk, effects: &mut Vec<Effect>) {
    desk.keep = Keep::Writing(Again::No);
    let due = core::mem::take(&mut desk.watch_due);
    let list = desk.watch_list.as_ref();
    let watch = due.then(|| list.map_or_else(String::new, kept_list::write));
    let guide = desk.guide();
    effects.push(Effect::Keep(KeepOrder {
        id: guide.id.to_string(),
        title: guide.title.clone(),
        parts: part_names(guide),
        expected: desk.revision,
        text: save(guide),
        notes: desk.notes.as_ref().map(|notes| notes.text().to_owned()),
        dropped: desk.dropped.as_ref().map(Dropped::write),
        watch,
    }));
}

fn done(state: &mut State, id: &str, outcome: Outcome, effects: &mut Vec<Effect>) {
    let Some(desk) = state.written_mut(id) else {
        return;
    };
    match outcome {
        Outcome::Kept(revision) => {
            desk.revision = Some(revision);
            if desk.keep == Keep::Writing(Again::Yes) {
                write(desk, effects);
            } else {
                desk.keep = Keep::Kept;
                leaving::is_kept(state, effects);
            }
        }
        Outcome::Conflict => {
            desk.keep = Keep::Conflict;
            state.notice = why_not_kept(desk);
            leaving::is_not_kept(state, id, effects);
        }
        Outcome::Failed(reason) => {
            desk.keep = Keep::Off(reason);
            state.notice = why_not_kept(desk);
            leaving::is_not_kept(state, id, effects);
        }
    }
}

/// Says why a document is not kept, and what can be done; nothing where it is.
fn why_not_kept(desk: &Desk) -> Option<Notice> {
    match &desk.keep {
        Keep::Conflict => Some(conflict(if desk.revision.is_some() {
            "This guide was changed in another tab or window. Nothing was overwritten: what \
             you see here is not kept until you choose."
        } else {
            "Another version of this guide is kept on this device already. Nothing was \
             overwritten: what you see here is not kept until you choose."
        })),
        Keep::Off(reason) => {
            let text = format!(
                "Your edits cannot be kept on this device: {reason} Go on if you like, and \
                 download the guide before you close this page."
            );
            let notice = Notice::trouble(text);
            Some(notice.choice("Download the guide", Msg::Keeping(Keeping::Download)))
        }
        Keep::Untouched | Keep::Kept | Keep::Soon | Keep::Writing(_) => None,
    }
}

fn conflict(text: &str) -> Notice {
    Notice::trouble(text)
        .choice("Keep this one as a copy", Msg::Keeping(Keeping::AsCopy))
        .choice("Open the kept one", Msg::Keeping(Keeping::OpenOther))
        .choice("Download this one", Msg::Keeping(Keeping::Download))
}

fn as_copy(state: &mut State, effects: &mut Vec<Effect>) {
    let id = state.fresh_id();
    let Some(desk) = state.desk_mut() else { return };
    let mut copy = desk.guide().as_ref().clone();
    copy.id = id;
    copy.title = format!("{} (copy)", title(&copy.title));
    if let Err(over) = desk.history.may_become(&copy) {
        state.notice = Some(Notice::trouble(refused_words(over)));
        return;
    }
    desk.history.replace(copy);
    desk.refresh();
    desk.revision = None;
    desk.watch_due = desk.watch_list.is_some();
    write(desk, effects);
    state.notice = None;
}

fn loaded(state: &mut State, id: &str, revision: u64, texts: KeptTexts, effects: &mut Vec<Effect>) {
    // What is read from storage may have been written by any page of the folder.
    match open(&texts.guide) {
        Ok(guide) if guide.id.as_str() == id => {
            let mut desk = Desk::new(guide, Keep::Kept, Some(revision));
            desk.dropped = texts.dropped.as_deref().map(Dropped::read);
            if let Some(list) = texts.watch.as_deref().and_then(kept_list::read) {
                desk.take_watch_list(list);
                desk.watch_due = false;
            }
            let notes = texts.notes.as_deref();
            desk.notes = notes.map(|notes| Notes::kept(desk.guide(), notes));
            super::opening::show(state, desk, effects);
        }
        Ok(_) => {
            state.notice = Some(Notice::trouble(
                "What is kept under this name is another guide. It is left as it is.",
            ));
        }
        Err(error) => {
            state.shelf.rescued = Some((id.to_owned(), texts.guide));
            let notice = Notice::trouble(sentence(&error.to_string())).choice(
                "Download it as it is",
                Msg::Keeping(Keeping::DownloadRescued),
            );
            state.notice = Some(notice.choice("Back", Msg::Opening(Opening::Home)));
        }
    }
}
