//! The page: messages in a row, one state, what is shown of it.

use super::dom::{self, by_id, document, morph};
use super::{dialog, effects, events, link, out, phrases, trouble};
use crate::msg::{Effect, Keeping, Msg};
use crate::state::State;
use crate::update::update;
use crate::view;
use std::cell::RefCell;
use std::collections::{BTreeMap, VecDeque};
use wasm_bindgen::prelude::wasm_bindgen;

#[derive(Default)]
struct Page {
    /// The state; away while a message is taken in.
    state: Option<State>,
    queue: VecDeque<Msg>,
    busy: bool,
    shown: Shown,
    /// What is to be done once the page shows the new state.
    afterwards: Vec<Effect>,
}

/// What the page shows.
#[derive(Default)]
struct Shown {
    skeleton: String,
    fragments: BTreeMap<String, String>,
}

thread_local! {
    static PAGE: RefCell<Page> = RefCell::default();
}

/// Starts the page.
#[wasm_bindgen]
pub fn start() {
    trouble::watch();
    let mut state = State::new(random());
    state.shelf.address = link::known_address();
    state.phrases = phrases::known();
    state.question_key = dialog::known_question_key();
    if dom::is_narrow() {
        state.fold_for_small();
    }
    PAGE.with_borrow_mut(|page| page.state = Some(state));
    out::mark_sharing();
    events::listen();
    phrases::follow();
    effects::perform(Effect::List);
    show();
    link::open_hash();
}

/// Makes the random number from which ids are made.
fn random() -> u64 {
    let mut bytes = [0u8; 8];
    let crypto = super::dom::window().and_then(|window| window.crypto().ok());
    let filled = crypto.and_then(|crypto| crypto.get_random_values_with_u8_array(&mut bytes).ok());
    if filled.is_none() {
        // Without randomness the clock and a pseudorandom number must do.
        return js_sys::Date::now().to_bits() ^ js_sys::Math::random().to_bits();
    }
    u64::from_le_bytes(bytes)
}

/// Looks at the state between two messages.
pub(super) fn with_state<T>(look: impl FnOnce(&State) -> T) -> Option<T> {
    PAGE.with_borrow(|page| page.state.as_ref().map(look))
}

/// Takes a message in, after those that wait already. Changing the page moves
/// the focus, which sends messages in turn; they wait until the page is whole.
pub(super) fn send(msg: Msg) {
    let starts = PAGE.with_borrow_mut(|page| {
        page.queue.push_back(msg);
        !core::mem::replace(&mut page.busy, true)
    });
    if !starts {
        return;
    }
    loop {
        take_all();
        show();
        let afterwards = PAGE.with_borrow_mut(|page| core::mem::take(&mut page.afterwards));
        for effect in afterwards {
            effects::perform(effect);
        }
        let done = PAGE.with_borrow_mut(|page| {
            page.busy = !page.queue.is_empty();
            !page.busy
        });
        if done {
            return;
        }
    }
}

fn take_all() {
    while let Some((state, msg)) = next() {
        let (state, asked) = update(state, msg);
        trouble::remember(&state);
        PAGE.with_borrow_mut(|page| page.state = Some(state));
        for effect in asked {
            if needs_the_view(&effect) {
                PAGE.with_borrow_mut(|page| page.afterwards.push(effect));
            } else {
                effects::perform(effect);
            }
        }
    }
}

fn next() -> Option<(State, Msg)> {
    PAGE.with_borrow_mut(|page| {
        let msg = page.queue.pop_front()?;
        page.state.take().map(|state| (state, msg))
    })
}

const fn needs_the_view(effect: &Effect) -> bool {
    matches!(
        effect,
        Effect::Caret(..)
            | Effect::Fill(..)
            | Effect::Focus(_)
            | Effect::Reveal(_)
            | Effect::Say(_)
            | Effect::ShowPreview(_)
            | Effect::UpdatePreview(_)
    )
}

/// Morphs into the page what changed.
fn show() {
    let Some((skeleton, fragments)) =
        with_state(|state| (view::skeleton(state), view::fragments(state)))
    else {
        return;
    };
    let Some(app) = by_id("app") else { return };
    if let (Some(document), Some(title)) = (document(), with_state(view::title)) {
        document.set_title(&title);
    }
    let whole = PAGE.with_borrow(|page| page.shown.skeleton != skeleton);
    if whole {
        morph(&app, &filled(&skeleton, &fragments));
    } else {
        for (key, html) in &fragments {
            let same = PAGE.with_borrow(|page| page.shown.fragments.get(key) == Some(html));
            if !same
                && let Ok(Some(place)) = app.query_selector(&format!("[data-fragment=\"{key}\"]"))
            {
                morph(&place, html);
            }
        }
    }
    PAGE.with_borrow_mut(|page| {
        page.shown = Shown {
            skeleton,
            fragments: fragments.into_iter().collect(),
        };
    });
}

/// Puts fragments into their places in a skeleton.
fn filled(skeleton: &str, fragments: &[(String, String)]) -> String {
    let mut html = skeleton.to_owned();
    for (key, inside) in fragments {
        let place = format!("data-fragment=\"{key}\"");
        if let Some(at) = html.find(&place)
            && let Some(end) = html.get(at..).and_then(|rest| rest.find('>'))
        {
            html.insert_str(at + end + 1, inside);
        }
    }
    html
}

/// Keeps the document before the page goes away.
pub(super) fn keep_now() {
    send(Msg::Keeping(Keeping::Now));
}

#[cfg(test)]
mod tests {
    use super::filled;

    #[test]
    fn fragments_stand_in_their_places() {
        let skeleton = r#"<p data-fragment="a" class="x"></p><p data-fragment="b"></p>"#;
        let fragments = [
            ("b".to_owned(), "2".to_owned()),
            ("a".to_owned(), "<i>1</i>".to_owned()),
        ];
        assert_eq!(
            filled(skeleton, &fragments),
            r#"<p data-fragment="a" class="x"><i>1</i></p><p data-fragment="b">2</p>"#
        );
    }
}
