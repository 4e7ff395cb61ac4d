//! Phrases: put into tips, kept from them, edited, removed.

use super::commit;
use crate::edit::tips::{self as edit, TipChange};
use crate::msg::{Effect, Msg, PhraseMsg};
use crate::phrases::{MAX_TIP, Phrases, Wish, chosen_of, inserted, tip_of};
use crate::state::{Desk, Notice, State};
use std::ops::Range;

/// The list of phrases in the room of the tips.
const LIST: &str = "own-phrases-title";

/// Gives the id of the button that puts a phrase in.
pub(crate) fn phrase_id(index: usize) -> String {
    format!("phrase-{index}")
}

/// Gives the id of a phrase's own field.
pub(crate) fn field_id(index: usize) -> String {
    format!("phrase-text-{index}")
}

/// Gives the id of the field that tells what a phrase is about.
pub(crate) fn topic_id(index: usize) -> String {
    format!("phrase-topic-{index}")
}

pub(in crate::update) fn take(state: &mut State, msg: PhraseMsg, effects: &mut Vec<Effect>) {
    match msg {
        PhraseMsg::Known(text) => state.phrases = Phrases::read(&text),
        PhraseMsg::Toggle => {
            if let Some(desk) = state.desk_mut() {
                desk.phrases_open = !desk.phrases_open;
            }
        }
        PhraseMsg::Enter => enter(state, effects),
        PhraseMsg::Leave => {
            let open = state.desk().and_then(|desk| desk.open_tip.clone());
            effects.extend(open.map(|id| Effect::Focus(format!("tip-text-{id}"))));
        }
        PhraseMsg::Go(index, by) => {
            let order = offered(state);
            let at = order.iter().position(|own| *own == index);
            let there = at.and_then(|at| order.get(at.checked_add_signed(by)?));
            effects.extend(there.map(|own| Effect::Focus(phrase_id(*own))));
        }
        PhraseMsg::Nth(place) => {
            let open = state.desk().and_then(|desk| desk.open_tip.clone());
            let order = offered(state);
            if let (Some(tip), Some(index)) = (open, order.get(place)) {
                ask(Wish::Insert(tip, *index), effects);
            }
        }
        PhraseMsg::Wish(wish) => ask(wish, effects),
        PhraseMsg::At(Wish::Insert(tip, index), stretch) => {
            let text = state.phrases.get(index).map(|own| own.text.clone());
            if let (Some(text), Some(desk)) = (text, state.desk_mut()) {
                insert(desk, &Wish::Insert(tip, index), &stretch, &text, effects);
            }
        }
        PhraseMsg::At(Wish::Keep(tip), stretch) => {
            let found = state.desk().and_then(|desk| tip_of(desk.guide(), &tip));
            let Some((text, topic)) = found else { return };
            let words = chosen_of(text, &stretch).to_owned();
            let kept = state.phrases.keep(topic, &words);
            effects.push(Effect::Say(if kept {
                "Kept as a phrase of yours.".to_owned()
            } else {
                "It is a phrase of yours already, or there is no room for more.".to_owned()
            }));
            if kept {
                keep(state, effects);
            }
        }
        PhraseMsg::Edit(index, text) => {
            if state.phrases.edit(index, &text) {
                keep(state, effects);
            }
        }
        PhraseMsg::About(index, topic) => {
            if state.phrases.file_under(index, topic) {
                keep(state, effects);
                // It stands in another list now.
                effects.push(Effect::Focus(topic_id(index)));
            }
        }
        PhraseMsg::Remove(index) => remove(state, index, effects),
        PhraseMsg::Restore => {
            if let Some((index, phrase)) = state.removed_phrase.take() {
                state.notice = None;
                state.phrases.put_back(index, phrase);
                keep(state, effects);
                if state.desk().is_some_and(Desk::shows_tips) {
                    effects.push(Effect::Focus(field_id(index)));
                }
            }
        }
        PhraseMsg::AddStarting => {
            state.phrases.add_starting();
            keep(state, effects);
            effects.push(Effect::Focus(LIST.to_owned()));
        }
    }
}

fn keep(state: &State, effects: &mut Vec<Effect>) {
    effects.push(Effect::KeepPhrases(state.phrases.write()));
}

/// Only the browser knows where the caret stands.
fn ask(wish: Wish, effects: &mut Vec<Effect>) {
    effects.push(Effect::AskStretch(format!("tip-text-{}", wish.tip()), wish));
}

fn offered(state: &State) -> Vec<usize> {
    let tip = state.desk().and_then(|desk| {
        let open = desk.open_tip.as_ref()?;
        tip_of(desk.guide(), open)
    });
    tip.map_or_else(Vec::new, |(_, topic)| state.phrases.offered(topic))
}

/// Shows the phrases of the open tip and goes to the first.
fn enter(state: &mut State, effects: &mut Vec<Effect>) {
    let first = offered(state).first().copied();
    let Some(desk) = state.desk_mut() else { return };
    let Some(open) = desk.open_tip.clone() else {
        return;
    };
    desk.phrases_open = true;
    effects.push(Effect::Focus(match first {
        Some(index) => phrase_id(index),
        None => format!("phrases-{open}"),
    }));
}

fn insert(
    desk: &mut Desk,
    wish: &Wish,
    stretch: &Range<usize>,
    words: &str,
    effects: &mut Vec<Effect>,
) {
    let id = wish.tip();
    let Some((text, _)) = tip_of(desk.guide(), id) else {
        return;
    };
    let (text, caret) = inserted(text, stretch, words);
    if text.chars().count() > MAX_TIP {
        effects.push(Effect::Say("The tip is too long for it.".to_owned()));
        return;
    }
    let made = edit::change(desk.guide(), id, TipChange::Text(text.clone()));
    let words = super::tips::words_for(desk, id, "put a phrase into");
    commit(desk, made, words, effects);
    let field = format!("tip-text-{id}");
    effects.push(Effect::Fill(field.clone(), text));
    effects.push(Effect::Caret(field, caret..caret));
}

fn remove(state: &mut State, index: usize, effects: &mut Vec<Effect>) {
    let Some(phrase) = state.phrases.remove(index) else {
        return;
    };
    let notice = Notice::plain(format!("“{}” is no phrase of yours any more.", phrase.text));
    state.notice = Some(notice.choice("Undo", Msg::Phrases(PhraseMsg::Restore)));
    state.removed_phrase = Some((index, phrase));
    keep(state, effects);
    let near = index.min(state.phrases.all().count().saturating_sub(1));
    effects.push(Effect::Focus(match state.phrases.get(near) {
        Some(_) => field_id(near),
        None => LIST.to_owned(),
    }));
}
