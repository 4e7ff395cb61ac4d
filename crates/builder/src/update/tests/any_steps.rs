//! Whatever a teacher does in whatever order can be undone: edits of the map mixed with
//! proposals kept and dropped, phrases, importance, and typing in the notes.

use super::{Page, SCORE, any_edit};
use crate::edit::tips::{TipChange, TipOrder};
use crate::msg::{DeskMsg, Msg, NotesMsg, Opening, Outcome, PhraseMsg, WatchMsg};
use crate::notes::MapAs;
use crate::phrases::Wish;
use crate::proposals::Deed;
use cueleaf_guide::{Id, Importance, open, save};
use proptest::prelude::*;
use proptest::sample::Index;

/// Something that is done, by places that are looked up when it is its turn.
#[derive(Debug, Clone)]
enum Step {
    Edit(DeskMsg),
    Propose(Deed, Index),
    Kind(Index),
    OfKind(WatchMsg),
    Insert(Index, Index, usize),
    KeepPhrase(Index),
    RemovePhrase(Index),
    Matters(Index, Importance),
    Order(TipOrder),
    Line(Index, Option<&'static str>),
}

const LINES: [&str; 8] = [
    "3  Slow, quarter = 52",
    "5-6  Bow: At the frog.\n    importance: start here",
    "7  section Rain, 5/8, grouped 3+2",
    "(an aside of mine)",
    "nothing that is understood",
    "To do: Clap 3.",
    "4  pizz, p",
    "9  fermata 2 quarters longer",
];

fn any_step() -> impl Strategy<Value = Step> {
    let deed = prop::sample::select(Deed::ALL.to_vec());
    let matters = prop::sample::select(Importance::ALL.to_vec());
    let line = prop::option::of(prop::sample::select(LINES.to_vec()));
    let index = any::<Index>;
    prop_oneof![
        8 => any_edit().prop_map(Step::Edit),
        4 => (deed, index()).prop_map(|(deed, own)| Step::Propose(deed, own)),
        1 => index().prop_map(Step::Kind),
        1 => prop::sample::select(vec![WatchMsg::KeepKind, WatchMsg::DropKind, WatchMsg::ShowDropped, WatchMsg::ToggleOthers])
            .prop_map(Step::OfKind),
        2 => (index(), index(), 0usize..40).prop_map(|(tip, phrase, at)| Step::Insert(tip, phrase, at)),
        1 => index().prop_map(Step::KeepPhrase),
        1 => index().prop_map(Step::RemovePhrase),
        2 => (index(), matters).prop_map(|(tip, own)| Step::Matters(tip, own)),
        1 => prop::sample::select(TipOrder::ALL.to_vec()).prop_map(Step::Order),
        3 => (index(), line).prop_map(|(at, line)| Step::Line(at, line)),
    ]
}

fn one<T: Clone>(all: &[T], index: &Index) -> Option<T> {
    (!all.is_empty()).then(|| index.get(all).clone())
}

fn tip(page: &Page, index: &Index) -> Option<Id> {
    let ids: Vec<Id> = page.guide().tips.iter().map(|tip| tip.id.clone()).collect();
    one(&ids, index)
}

/// Does a step; `None` when it meets nothing that it could be done to.
fn go(page: &mut Page, step: &Step) -> Option<()> {
    let desk = page.open_desk();
    let msg = match step {
        Step::Edit(msg) => Msg::Desk(msg.clone()),
        Step::Propose(deed, index) => {
            let open = desk.watch_list.as_ref()?.open(desk.guide());
            Msg::Desk(DeskMsg::Watch(WatchMsg::Do(*deed, one(&open, index)?)))
        }
        Step::Kind(index) => {
            let kinds = desk.watch_list.as_ref()?.kinds(desk.guide());
            let kinds: Vec<_> = kinds.into_keys().map(Some).chain([None]).collect();
            Msg::Desk(DeskMsg::Watch(WatchMsg::Kind(one(&kinds, index)?)))
        }
        Step::OfKind(msg) => Msg::Desk(DeskMsg::Watch(*msg)),
        Step::Insert(own, phrase, at) => {
            let all: Vec<usize> = page.state().phrases.all().map(|(index, _)| index).collect();
            let wish = Wish::Insert(tip(page, own)?, one(&all, phrase)?);
            Msg::Phrases(PhraseMsg::At(wish, *at..*at))
        }
        Step::KeepPhrase(own) => Msg::Phrases(PhraseMsg::At(Wish::Keep(tip(page, own)?), 0..9)),
        Step::RemovePhrase(index) => Msg::Phrases(PhraseMsg::Remove(index.index(30))),
        Step::Matters(own, importance) => {
            let change = TipChange::Importance(*importance);
            Msg::Desk(DeskMsg::Tip(tip(page, own)?, change))
        }
        Step::Order(order) => Msg::Desk(DeskMsg::OrderTips(*order)),
        Step::Line(at, line) => {
            let notes = |msg| Msg::Desk(DeskMsg::Notes(msg));
            page.send(notes(NotesMsg::Show(MapAs::Notes)));
            let notes_now = page.open_desk().notes.as_ref()?.text().to_owned();
            let mut lines: Vec<&str> = notes_now.split('\n').collect();
            // The head stays, so that it is the same piece.
            let at = (at.index(lines.len()) + 4).min(lines.len());
            match line {
                Some(line) => lines.insert(at, line),
                None if at < lines.len() => drop(lines.remove(at)),
                None => {}
            }
            page.send(notes(NotesMsg::Typed(lines.join("\n"))));
            notes(NotesMsg::Show(MapAs::Measures))
        }
    };
    page.send(msg);
    Some(())
}

/// A kept guide for the viola of a short score, with its watch list.
fn opened() -> Page {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE)
        .send(Msg::Opening(Opening::TogglePart(1)))
        .send(Msg::Opening(Opening::MakeGuide))
        .answer(Outcome::Kept(1));
    page
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_steps_can_be_undone_and_done_again(steps in prop::collection::vec(any_step(), 1..30)) {
        let mut page = opened();
        let start = page.guide().clone();
        for step in &steps {
            page.desk(DeskMsg::Settle);
            let _ = go(&mut page, step);
            let text = save(page.guide());
            prop_assert_eq!(&open(&text).unwrap(), page.guide());
            page.has_its_places();
        }
        page.goes_back_to(&start);
    }

    /// One step alone: what it did is taken back whole, in as many steps as it made.
    #[test]
    fn a_step_and_its_undoing_leave_what_was(before in prop::collection::vec(any_step(), 0..6), step in any_step()) {
        let mut page = opened();
        for own in &before {
            let _ = go(&mut page, own);
        }
        page.desk(DeskMsg::Settle);
        page.redo_all();
        let steps = |page: &Page| page.open_desk().history.steps();
        let (was, count) = (page.guide().clone(), steps(&page));
        let _ = go(&mut page, &step);
        prop_assume!(steps(&page) >= count);
        while steps(&page) > count {
            page.desk(DeskMsg::Undo);
        }
        prop_assert_eq!(page.guide(), &was);
    }
}
