//! How markup speaks: from an event on an element to a message.
//!
//! Elements carry `data-do` (what they do) and often `data-value` (to what). The
//! table here is the whole vocabulary.

use crate::edit::Reach;
use crate::edit::moving::Way;
use crate::edit::printed::Printed;
use crate::edit::tip_shows::Shows;
use crate::edit::tips::{TipChange, TipOrder, topic_of};
use crate::handing::OtherFile;
use crate::media::Taken;
use crate::msg::{
    AddingMsg, DeskMsg, Extend, Fact, GuideField, HandMsg, HeardMsg, Keeping, LinkMsg, MediaMsg,
    Msg, NotesMsg, Opening, PhraseMsg, ShortcutsMsg, TodoMsg, WatchMsg,
};
use crate::notes::MapAs;
use crate::phrases::Wish;
use crate::proposals::{Deed, kind_of};
use crate::shortcuts::{QuestionKey, is_listed};
use crate::state::{Room, State};
use cueleaf_guide::{Id, Importance};

/// What happened to an element.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// It was pressed.
    Click,
    /// Its value was settled.
    Change,
    /// Its value changes while typing.
    Input,
}

/// An event on an element with a hook.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hook<'a> {
    /// What happened.
    pub(crate) kind: Kind,
    /// The element's `data-do`.
    pub(crate) name: &'a str,
    /// The element's `data-value`; empty without one.
    pub(crate) value: &'a str,
    /// The text in the element, where it has one.
    pub(crate) text: &'a str,
    /// Whether the choice goes on from where it began.
    pub(crate) extend: Extend,
}

/// Gives the message of an event; `None` when nobody waits for it.
pub(crate) fn msg_of(hook: &Hook<'_>, state: &State) -> Option<Msg> {
    match hook.kind {
        Kind::Click => clicked(hook, state),
        Kind::Change => changed(hook),
        Kind::Input => typed(hook),
    }
}

fn clicked(hook: &Hook<'_>, state: &State) -> Option<Msg> {
    let value = hook.value;
    let text = || value.to_owned();
    let opening = |msg| Some(Msg::Opening(msg));
    let keeping = |msg| Some(Msg::Keeping(msg));
    match hook.name {
        "choose-file" => opening(Opening::ChooseFile),
        "example" => opening(Opening::Example(value.parse().ok()?)),
        "toggle-form" => opening(Opening::ToggleForm),
        "make-typed" => opening(Opening::MakeTyped),
        "home" => opening(Opening::Home),
        "cancel" => opening(Opening::Cancel),
        "make-guide" => opening(Opening::MakeGuide),
        "add-notes" => opening(Opening::AddNotes),
        "add-parts" => Some(Msg::Adding(AddingMsg::Parts)),
        "add-edition" => Some(Msg::Adding(AddingMsg::Edition)),
        "add-heard" => Some(Msg::Adding(AddingMsg::Heard)),
        "adding-add" => Some(Msg::Adding(AddingMsg::Add)),
        "adding-own" => Some(Msg::Adding(AddingMsg::Own)),
        "edition-take" => Some(Msg::Adding(AddingMsg::TakeEdition)),
        "heard-make" => Some(Msg::Heard(HeardMsg::Make)),
        "kept-open" => keeping(Keeping::Open(text())),
        "kept-copy" => keeping(Keeping::Copy(text())),
        "kept-rename" => keeping(Keeping::StartRename(text())),
        "kept-new-name" => keeping(Keeping::Rename),
        "kept-as-it-was" => keeping(Keeping::CancelRename),
        "damaged-take" => keeping(Keeping::TakeDamaged(text())),
        "damaged-remove" => keeping(Keeping::AskToDrop(text())),
        "kept-remove" => keeping(Keeping::Remove(text())),
        "name-it" => Some(Msg::Desk(DeskMsg::NameIt)),
        "why-not-kept" => keeping(Keeping::Why),
        "download-guide" => keeping(Keeping::Download),
        "close-notice" => Some(Msg::CloseNotice),
        "phrases" => Some(Msg::Phrases(PhraseMsg::Toggle)),
        "phrase" => {
            let (tip, index) = value.split_once('/')?;
            let wish = Wish::Insert(Id::new(tip)?, index.parse().ok()?);
            Some(Msg::Phrases(PhraseMsg::Wish(wish)))
        }
        "phrase-keep" => Some(Msg::Phrases(PhraseMsg::Wish(Wish::Keep(Id::new(value)?)))),
        "phrase-remove" => Some(Msg::Phrases(PhraseMsg::Remove(value.parse().ok()?))),
        "phrases-starting" => Some(Msg::Phrases(PhraseMsg::AddStarting)),
        "shortcuts" => Some(Msg::Shortcuts(ShortcutsMsg::Show)),
        "close-shortcuts" => Some(Msg::Shortcuts(ShortcutsMsg::Close)),
        "notice" => {
            let index: usize = value.parse().ok()?;
            let (_, msg) = state.notice.as_ref()?.choices.get(index)?;
            Some(msg.clone())
        }
        _ => desk_clicked(hook).map(Msg::Desk),
    }
}

fn desk_clicked(hook: &Hook<'_>) -> Option<DeskMsg> {
    let value = hook.value;
    Some(match hook.name {
        "room" => DeskMsg::Room(room_of(value)?),
        "measure" => DeskMsg::Select(value.parse().ok()?, hook.extend),
        "go-measure" => DeskMsg::Go(value.parse().ok()?, Extend::No),
        "extending" => DeskMsg::ToggleExtending,
        "reach" => DeskMsg::Reach(reach_of(value)?),
        "remove-tempo" => {
            let (measure, index) = value.split_once(',')?;
            DeskMsg::RemoveTempo(measure.parse().ok()?, index.parse().ok()?)
        }
        "tempo-beat" => DeskMsg::TempoBeat(value.to_owned()),
        "groups" => DeskMsg::Fact(Fact::Groups, value.to_owned()),
        "number-on" => DeskMsg::NumberOn,
        "make-full" => DeskMsg::MakeFull,
        "printed" => DeskMsg::Printed(Printed::of(value)?, String::new()),
        "mark-add" => DeskMsg::AddMark,
        "mark-remove" => DeskMsg::RemoveMark(value.parse().ok()?),
        "duplicate-measures" => DeskMsg::DuplicateMeasures,
        "shift-measures" if value == "earlier" => DeskMsg::ShiftMeasures(Way::Earlier),
        "shift-measures" => DeskMsg::ShiftMeasures(Way::Later),
        "insert-measure" => DeskMsg::InsertMeasure,
        "remove-measures" => DeskMsg::RemoveMeasures,
        "toggle-facts" => DeskMsg::ToggleFacts,
        "add-tip" => DeskMsg::AddTip,
        "open-tip" => DeskMsg::OpenTip(Id::new(value)?),
        "close-tip" => DeskMsg::CloseTip,
        "add-todo" => DeskMsg::Todo(TodoMsg::Add),
        "raise-todo" => DeskMsg::Todo(TodoMsg::Raise(Id::new(value)?)),
        "remove-todo" => DeskMsg::Todo(TodoMsg::Remove(Id::new(value)?)),
        "photo-choose" => DeskMsg::Media(MediaMsg::Choose(Taken::Photo, Id::new(value)?)),
        "sound-choose" => DeskMsg::Media(MediaMsg::Choose(Taken::Voice, Id::new(value)?)),
        "record" => DeskMsg::Media(MediaMsg::Record(Id::new(value)?)),
        "record-stop" => DeskMsg::Media(MediaMsg::Stop),
        "photo-remove" => DeskMsg::Tip(Id::new(value)?, TipChange::Photo(None)),
        "voice-remove" => DeskMsg::Tip(Id::new(value)?, TipChange::Voice(None)),
        "watch-for-all" => DeskMsg::WatchForAll(Id::new(value)?),
        "remove-tip" => DeskMsg::RemoveTip(Id::new(value)?),
        "show-tip" => DeskMsg::ShowTip(Id::new(value)?),
        "watch-others" => DeskMsg::Watch(WatchMsg::ToggleOthers),
        "watch-keep-kind" => DeskMsg::Watch(WatchMsg::KeepKind),
        "watch-drop-kind" => DeskMsg::Watch(WatchMsg::DropKind),
        "watch-dropped" => DeskMsg::Watch(WatchMsg::ShowDropped),
        "undo" => DeskMsg::Undo,
        "redo" => DeskMsg::Redo,
        "beside" => DeskMsg::ToggleBeside,
        "map-as" if value == "notes" => DeskMsg::Notes(NotesMsg::Show(MapAs::Notes)),
        "map-as" => DeskMsg::Notes(NotesMsg::Show(MapAs::Measures)),
        "go-note" => DeskMsg::Notes(NotesMsg::GoTo(value.parse().ok()?)),
        "download-notes" => DeskMsg::Notes(NotesMsg::Download),
        "hand-out" if value.is_empty() => DeskMsg::HandOut(None),
        "hand-out" => DeskMsg::HandOut(Some(Id::new(value)?)),
        "hand-out-each" => DeskMsg::HandOutEach,
        "link-make" if value.is_empty() => DeskMsg::Link(LinkMsg::Make(None)),
        "link-make" => DeskMsg::Link(LinkMsg::Make(Some(Id::new(value)?))),
        "link-copy" => DeskMsg::Link(LinkMsg::Copy),
        "link-picture" => DeskMsg::Link(LinkMsg::Picture),
        "link-other-picture" => DeskMsg::Link(LinkMsg::OtherPicture),
        "hand-file" => DeskMsg::Hand(HandMsg::Make(OtherFile::of(value)?)),
        "share" if value.is_empty() => DeskMsg::Hand(HandMsg::Share(None)),
        "share" => DeskMsg::Hand(HandMsg::Share(Some(Id::new(value)?))),
        "frame-copy" => DeskMsg::Hand(HandMsg::CopyFrame),
        name => DeskMsg::Watch(WatchMsg::Do(deed_of(name)?, value.parse().ok()?)),
    })
}

/// Finds what a button of a proposal does by its hook.
fn deed_of(name: &str) -> Option<Deed> {
    let code = name.strip_prefix("watch-")?;
    Deed::ALL.into_iter().find(|deed| deed.code() == code)
}

fn changed(hook: &Hook<'_>) -> Option<Msg> {
    let (value, text) = (hook.value, hook.text.to_owned());
    let desk = match hook.name {
        "toggle-part" => {
            return Some(Msg::Opening(Opening::TogglePart(value.parse().ok()?)));
        }
        "adding" => return Some(Msg::Adding(AddingMsg::Tick(value.parse().ok()?))),
        "edition-tempo" => {
            let tempo = AddingMsg::EditionTempo(value.parse().ok()?);
            return Some(Msg::Adding(tempo));
        }
        "heard" => return Some(Msg::Heard(HeardMsg::Tick(value.parse().ok()?))),
        "heard-kind" => return Some(Msg::Heard(HeardMsg::TickKind(value.to_owned()))),
        "phrase-text" => {
            let edited = PhraseMsg::Edit(value.parse().ok()?, text);
            return Some(Msg::Phrases(edited));
        }
        "phrase-topic" => {
            let about = PhraseMsg::About(value.parse().ok()?, topic_of(&text)?);
            return Some(Msg::Phrases(about));
        }
        "watch-kind" => DeskMsg::Watch(WatchMsg::Kind(kind_of(&text))),
        "field" => return Some(Msg::Opening(Opening::Field(value.to_owned(), text))),
        "question-key" => {
            let key = QuestionKey::of(&text);
            return Some(Msg::Shortcuts(ShortcutsMsg::Key(key)));
        }
        "select-text" => DeskMsg::SelectText(text),
        "printed" => DeskMsg::Printed(Printed::of(value)?, text),
        "tempo-beat" => DeskMsg::TempoBeat(text),
        "seek" => DeskMsg::Seek(text.parse().ok()?),
        "mark" => DeskMsg::NewMark(value.to_owned(), text),
        "fact" => DeskMsg::Fact(fact_of(value)?, text),
        "reach" => DeskMsg::Reach(reach_of(if value.is_empty() { hook.text } else { value })?),
        "tip-topic" => DeskMsg::Tip(Id::new(value)?, TipChange::Topic(topic_of(&text)?)),
        "tip-importance" => {
            let importance = Importance::find(&text)?;
            DeskMsg::Tip(Id::new(value)?, TipChange::Importance(importance))
        }
        "order-tips" => {
            let order = TipOrder::ALL.into_iter().find(|own| own.code() == text);
            DeskMsg::OrderTips(order?)
        }
        "todo-place" => DeskMsg::Todo(TodoMsg::Place(Id::new(value)?, text)),
        "tip-place" => DeskMsg::TipPlace(Id::new(value)?, text),
        "tip-shows" => {
            let (tip, code) = value.split_once('/')?;
            let shows = Shows::ALL.into_iter().find(|own| own.code() == code)?;
            DeskMsg::TipShows(Id::new(tip)?, shows, text)
        }
        "tip-part" => {
            let (tip, part) = value.split_once('/')?;
            DeskMsg::TipPart(Id::new(tip)?, Id::new(part)?)
        }
        "guide" => DeskMsg::GuideField(guide_field_of(value)?, text),
        "part-name" => DeskMsg::PartName(Id::new(value)?, text),
        "try-part" => DeskMsg::TryPart(text),
        "heard-address" => return Some(Msg::Heard(HeardMsg::Address(text))),
        "link-address" => DeskMsg::Link(LinkMsg::Address(text)),
        "link-other" => DeskMsg::Link(LinkMsg::Other(text)),
        "hand-part" => DeskMsg::Hand(HandMsg::Part(text)),
        "hand-offset" => DeskMsg::Hand(HandMsg::Offset(text)),
        "hand-rate" => DeskMsg::Hand(HandMsg::Rate(text)),
        "hand-sound" => DeskMsg::Hand(HandMsg::Sound(text)),
        _ => return None,
    };
    Some(Msg::Desk(desk))
}

fn typed(hook: &Hook<'_>) -> Option<Msg> {
    let text = hook.text.to_owned();
    let desk = match hook.name {
        "field" => return Some(Msg::Opening(Opening::Field(hook.value.to_owned(), text))),
        "kept-name" => return Some(Msg::Keeping(Keeping::NewName(text))),
        "notes" => DeskMsg::Notes(NotesMsg::Typed(text)),
        "todo-text" => DeskMsg::Todo(TodoMsg::Text(Id::new(hook.value)?, text)),
        "tip-text" => DeskMsg::Tip(Id::new(hook.value)?, TipChange::Text(text)),
        "tip-cue" => DeskMsg::Tip(Id::new(hook.value)?, TipChange::Cue(text)),
        "tip-photo-words" => DeskMsg::Tip(Id::new(hook.value)?, TipChange::PhotoWords(text)),
        "tip-voice-words" => DeskMsg::Tip(Id::new(hook.value)?, TipChange::VoiceWords(text)),
        "guide" => match guide_field_of(hook.value)? {
            field @ (GuideField::Title | GuideField::Composer | GuideField::Word) => {
                DeskMsg::GuideField(field, text)
            }
            _ => return None,
        },
        _ => return None,
    };
    Some(Msg::Desk(desk))
}

/// Finds a room by its name in markup.
pub(crate) fn room_of(code: &str) -> Option<Room> {
    Room::ALL.into_iter().find(|room| room.code() == code)
}

fn reach_of(code: &str) -> Option<Reach> {
    match code {
        "onward" => Some(Reach::Onward),
        "chosen" => Some(Reach::Chosen),
        _ => None,
    }
}

fn fact_of(code: &str) -> Option<Fact> {
    Some(match code {
        "meter" => Fact::Meter,
        "groups" => Fact::Groups,
        "tempo-words" => Fact::TempoWords,
        "tempo-unit" => Fact::TempoUnit,
        "tempo-number" => Fact::TempoNumber,
        "tempo-manner" => Fact::TempoManner,
        "section" => Fact::Section,
        "mark" => Fact::Mark,
        "label" => Fact::Label,
        "key" => Fact::Key,
        "count-beat" => Fact::CountBeat,
        "count-style" => Fact::CountStyle,
        _ => return None,
    })
}

fn guide_field_of(code: &str) -> Option<GuideField> {
    Some(match code {
        "title" => GuideField::Title,
        "composer" => GuideField::Composer,
        "word" => GuideField::Word,
        "count-style" => GuideField::CountStyle,
        "measure-word" => GuideField::MeasureWord,
        "language" => GuideField::Language,
        "count-in" => GuideField::CountIn,
        "may-share" => GuideField::MayShare,
        _ => return None,
    })
}

/// A key that was pressed, as far as it matters.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Key<'a> {
    /// Its name, as browsers have it: "ArrowLeft".
    pub(crate) name: &'a str,
    /// Whether Control or Command is held.
    pub(crate) command: bool,
    /// Whether Shift is held.
    pub(crate) shift: bool,
    /// Where it was pressed.
    pub(crate) on: KeyPlace<'a>,
}

/// Where a key was pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum KeyPlace<'a> {
    /// On a measure of the map.
    Measure,
    /// On the tab of a room, with its code.
    Tab(&'a str),
    /// On a button of a proposal: what it does and for which.
    Proposal(Deed, usize),
    /// On the button of a phrase, by its place in the list.
    Phrase(usize),
    /// In the field for a kept guide's new name.
    Name,
    /// In a field of the open tip.
    Tip,
    /// Among the facts of the chosen measures, for the key Escape.
    Facts,
    /// In a field for text, which has its own undo.
    Text,
    /// Elsewhere.
    Elsewhere,
}

/// How many measures Page Up and Page Down go.
const PAGE: isize = 8;

/// Gives the message of a key; `None` leaves the key to the browser.
pub(crate) fn msg_of_key(key: &Key<'_>) -> Option<Msg> {
    if !is_listed(key) {
        return None;
    }
    if key.command {
        let lower = key.name.to_lowercase();
        let desk = match (lower.as_str(), key.shift, key.on) {
            ("enter", false, KeyPlace::Tip) => DeskMsg::CloseTip,
            ("enter", false, KeyPlace::Measure) => DeskMsg::AddTipFromMap,
            (".", false, KeyPlace::Tip) => return Some(Msg::Phrases(PhraseMsg::Enter)),
            (_, _, KeyPlace::Text | KeyPlace::Tip | KeyPlace::Name) => return None,
            ("z", false, _) => DeskMsg::Undo,
            ("z", true, _) | ("y", false, _) => DeskMsg::Redo,
            _ => return None,
        };
        return Some(Msg::Desk(desk));
    }
    if key.name == "?" {
        return Some(Msg::Shortcuts(ShortcutsMsg::Asked));
    }
    match key.on {
        KeyPlace::Measure => map_key(key).map(Msg::Desk),
        KeyPlace::Tab(code) => tab_key(key.name, code).map(|room| Msg::Desk(DeskMsg::Room(room))),
        KeyPlace::Proposal(deed, index) => proposal_key(key.name, deed, index).map(Msg::Desk),
        KeyPlace::Phrase(index) => phrase_key(key.name, index).map(Msg::Phrases),
        KeyPlace::Facts if key.name == "Escape" => Some(Msg::Desk(DeskMsg::CloseFacts)),
        KeyPlace::Name if key.name == "Escape" => Some(Msg::Keeping(Keeping::CancelRename)),
        KeyPlace::Tip if key.name == "Escape" => Some(Msg::Desk(DeskMsg::LeaveTip)),
        KeyPlace::Tip | KeyPlace::Name | KeyPlace::Facts | KeyPlace::Text | KeyPlace::Elsewhere => {
            None
        }
    }
}

fn map_key(key: &Key<'_>) -> Option<DeskMsg> {
    let extend = if key.shift { Extend::Yes } else { Extend::No };
    let by = match key.name {
        "ArrowRight" | "ArrowDown" => 1,
        "ArrowLeft" | "ArrowUp" => -1,
        "PageDown" => PAGE,
        "PageUp" => -PAGE,
        "Home" => isize::MIN,
        "End" => isize::MAX,
        "Enter" => return Some(DeskMsg::OpenFacts),
        "Escape" => return Some(DeskMsg::CloseFacts),
        "-" => return Some(DeskMsg::TypePlace('-')),
        digit if digit.len() == 1 => {
            let digit = digit.chars().next().filter(char::is_ascii_digit)?;
            return Some(DeskMsg::TypePlace(digit));
        }
        _ => return None,
    };
    Some(DeskMsg::Move(by, extend))
}

/// Gives the place of a button by its hook; `None` when it is none of a proposal.
pub(crate) fn proposal_place(name: &str, value: &str) -> Option<KeyPlace<'static>> {
    Some(KeyPlace::Proposal(deed_of(name)?, value.parse().ok()?))
}

/// The buttons of a proposal are one stop: arrows go to the others and to its neighbours.
fn proposal_key(name: &str, deed: Deed, index: usize) -> Option<DeskMsg> {
    let at = Deed::ALL.iter().position(|own| *own == deed)?;
    let (at, by) = match name {
        "ArrowRight" => (at + 1, 0),
        "ArrowLeft" => (at.checked_sub(1)?, 0),
        "ArrowDown" => (at, 1),
        "ArrowUp" => (at, -1),
        _ => return None,
    };
    Some(DeskMsg::Watch(WatchMsg::Go(*Deed::ALL.get(at)?, index, by)))
}

/// The digits put in one of the first phrases, arrows go from one to the next.
fn phrase_key(name: &str, index: usize) -> Option<PhraseMsg> {
    Some(match name {
        "ArrowDown" | "ArrowRight" => PhraseMsg::Go(index, 1),
        "ArrowUp" | "ArrowLeft" => PhraseMsg::Go(index, -1),
        "Escape" => PhraseMsg::Leave,
        digit => PhraseMsg::Nth(digit.parse::<usize>().ok()?.checked_sub(1)?),
    })
}

fn tab_key(name: &str, code: &str) -> Option<Room> {
    let now = Room::ALL.iter().position(|room| room.code() == code)?;
    let last = Room::ALL.len() - 1;
    let next = match name {
        "ArrowRight" if now == last => 0,
        "ArrowRight" => now + 1,
        "ArrowLeft" if now == 0 => last,
        "ArrowLeft" => now - 1,
        "Home" => 0,
        "End" => last,
        _ => return None,
    };
    Room::ALL.get(next).copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::Notice;

    fn hook<'a>(kind: Kind, name: &'a str, value: &'a str, text: &'a str) -> Hook<'a> {
        Hook {
            kind,
            name,
            value,
            text,
            extend: Extend::No,
        }
    }

    #[test]
    fn every_hook_has_its_message() {
        let mut state = State::new(1);
        state.notice = Some(Notice::plain("x").choice("Do", Msg::CloseNotice));
        let id = |text: &str| Id::new(text).unwrap();
        for (kind, name, value, text, expected) in [
            (
                Kind::Click,
                "choose-file",
                "",
                "",
                Msg::Opening(Opening::ChooseFile),
            ),
            (
                Kind::Click,
                "example",
                "1",
                "",
                Msg::Opening(Opening::Example(1)),
            ),
            (Kind::Click, "notice", "0", "", Msg::CloseNotice),
            (
                Kind::Click,
                "room",
                "tips",
                "",
                Msg::Desk(DeskMsg::Room(Room::Tips)),
            ),
            (
                Kind::Click,
                "remove-tempo",
                "12,1",
                "",
                Msg::Desk(DeskMsg::RemoveTempo(12, 1)),
            ),
            (
                Kind::Click,
                "hand-out",
                "",
                "",
                Msg::Desk(DeskMsg::HandOut(None)),
            ),
            (
                Kind::Change,
                "fact",
                "groups",
                "2+3",
                Msg::Desk(DeskMsg::Fact(Fact::Groups, "2+3".to_owned())),
            ),
            (
                Kind::Change,
                "tip-part",
                "t/va",
                "on",
                Msg::Desk(DeskMsg::TipPart(id("t"), id("va"))),
            ),
            (
                Kind::Input,
                "tip-text",
                "t",
                "Frog",
                Msg::Desk(DeskMsg::Tip(id("t"), TipChange::Text("Frog".to_owned()))),
            ),
        ] {
            assert_eq!(
                msg_of(&hook(kind, name, value, text), &state),
                Some(expected),
                "{name}"
            );
        }
        for (kind, name, value) in [
            (Kind::Click, "example", "x"),
            (Kind::Click, "notice", "7"),
            (Kind::Click, "nothing", ""),
            (Kind::Click, "open-tip", "no id"),
            (Kind::Change, "fact", "colour"),
            (Kind::Input, "guide", "count-in"),
        ] {
            assert_eq!(msg_of(&hook(kind, name, value, ""), &state), None, "{name}");
        }
    }

    #[test]
    fn keys_move_the_choice_and_take_steps_back() {
        let key = |name, command, shift, on| {
            msg_of_key(&Key {
                name,
                command,
                shift,
                on,
            })
        };
        let desk = |msg| Some(Msg::Desk(msg));
        assert_eq!(
            key("ArrowRight", false, true, KeyPlace::Measure),
            desk(DeskMsg::Move(1, Extend::Yes))
        );
        assert_eq!(key("ArrowRight", false, false, KeyPlace::Elsewhere), None);
        assert_eq!(
            key("z", true, false, KeyPlace::Elsewhere),
            desk(DeskMsg::Undo)
        );
        assert_eq!(key("Z", true, true, KeyPlace::Measure), desk(DeskMsg::Redo));
        assert_eq!(key("z", true, false, KeyPlace::Text), None);
        let go = |deed, by| desk(DeskMsg::Watch(WatchMsg::Go(deed, 4, by)));
        for (name, deed, expected) in [
            ("ArrowRight", Deed::Keep, go(Deed::Edit, 0)),
            ("ArrowLeft", Deed::Drop, go(Deed::Edit, 0)),
            ("ArrowDown", Deed::Drop, go(Deed::Drop, 1)),
            ("ArrowUp", Deed::Keep, go(Deed::Keep, -1)),
            ("ArrowRight", Deed::Drop, None),
            ("ArrowLeft", Deed::Keep, None),
            ("Enter", Deed::Keep, None),
        ] {
            let place = proposal_place(&format!("watch-{}", deed.code()), "4").unwrap();
            assert_eq!(key(name, false, false, place), expected, "{name}");
        }
        assert_eq!(proposal_place("watch-kind", "4"), None);
        assert_eq!(
            key("ArrowLeft", false, false, KeyPlace::Tab("road-map")),
            desk(DeskMsg::Room(Room::HandOut))
        );
    }
}
