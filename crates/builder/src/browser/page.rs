//! The page: messages in a row, one state, what is shown of it.

use super::dom::{self, by_id, document, morph, morph_element};
use super::{dialog, effects, events, link, notice, out, phrases, trouble};
use crate::msg::{Effect, Keeping, Msg};
use crate::state::State;
use crate::update::update;
use crate::view::{self, Drawn, Looks, Piece, PieceKind, place_id};
use gloo_timers::callback::Timeout;
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
    title: String,
    skeleton: String,
    /// The markup of the pieces that are compared, by their keys.
    pieces: BTreeMap<String, String>,
    /// What the measures were drawn of.
    looks: Option<Looks>,
    /// Whether those that wait have their turn already.
    goes_on: bool,
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
    PAGE.with_borrow_mut(|page| page.queue.push_back(msg));
    change(|| ());
}

/// Changes the page, and then by the messages that wait until there are none.
fn change(first: impl FnOnce()) {
    let starts = PAGE.with_borrow_mut(|page| !core::mem::replace(&mut page.busy, true));
    if !starts {
        return;
    }
    first();
    loop {
        let done = PAGE.with_borrow_mut(|page| {
            page.busy = !page.queue.is_empty();
            !page.busy
        });
        if done {
            return;
        }
        let in_notice = notice::has_focus();
        take_all();
        show();
        let afterwards = PAGE.with_borrow_mut(|page| core::mem::take(&mut page.afterwards));
        for effect in afterwards {
            effects::perform(effect);
        }
        if in_notice {
            notice::bring_back();
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

/// Morphs into the page what changed. The state is not looked at meanwhile: what is
/// morphed may lose the focus, and that is told at once.
fn show() {
    let mut shown = PAGE.with_borrow_mut(|page| core::mem::take(&mut page.shown));
    let before = shown.looks.take();
    let drawn = with_state(|state| {
        let drawn = view::draw(state, before.as_ref());
        (view::title(state), view::skeleton(state), drawn)
    });
    if let Some((title, skeleton, drawn)) = drawn {
        show_drawn(&mut shown, title, skeleton, drawn);
    }
    PAGE.with_borrow_mut(|page| page.shown = shown);
}

fn show_drawn(shown: &mut Shown, title: String, skeleton: String, drawn: Drawn) {
    let Some(app) = by_id("app") else { return };
    if let Some(document) = document().filter(|_| title != shown.title) {
        document.set_title(&title);
        shown.title = title;
    }
    let Drawn { mut pieces, looks } = drawn;
    pieces.retain(|piece| {
        piece.kind() != PieceKind::Compared
            || shown.pieces.get(piece.key()).map(String::as_str) != Some(piece.html())
    });
    if shown.skeleton == skeleton {
        put(&pieces);
    } else {
        // Elements stand in places that are not drawn anew.
        let (elements, pieces): (Vec<Piece>, Vec<Piece>) = pieces
            .iter()
            .cloned()
            .partition(|piece| piece.kind() == PieceKind::Element);
        put(&elements);
        morph(&app, &filled(&skeleton, &pieces, &shown.skeleton));
        // What stood in places that are gone is gone.
        shown
            .pieces
            .retain(|key, _| skeleton.contains(&marked(key)));
        shown.skeleton = skeleton;
    }
    let compared = pieces.into_iter();
    let compared = compared.filter(|piece| piece.kind() == PieceKind::Compared);
    shown.pieces.extend(compared.map(Piece::into_parts));
    show_on_later(shown, looks);
}

/// Shows some of the measures that wait.
fn show_on() {
    let mut shown = PAGE.with_borrow_mut(|page| core::mem::take(&mut page.shown));
    shown.goes_on = false;
    if let Some(before) = shown.looks.take()
        && let Some(drawn) = with_state(|state| view::draw_on(state, &before))
    {
        put(&drawn.pieces);
        show_on_later(&mut shown, drawn.looks);
    }
    PAGE.with_borrow_mut(|page| page.shown = shown);
}

/// Remembers what the measures look like, and shows those that wait after the next events.
fn show_on_later(shown: &mut Shown, looks: Option<Looks>) {
    let waits = looks.as_ref().is_some_and(Looks::has_waiting);
    shown.looks = looks;
    if waits && !shown.goes_on {
        shown.goes_on = true;
        Timeout::new(0, || change(show_on)).forget();
    }
}

/// Morphs pieces into their places, and elements into what they are now.
fn put(pieces: &[Piece]) {
    for piece in pieces {
        if piece.kind() == PieceKind::Element {
            if let Some(element) = by_id(piece.key()) {
                morph_element(&element, piece.html());
            }
        } else if let Some(place) = by_id(&place_id(piece.key())) {
            if piece.kind() == PieceKind::Plain {
                place.set_inner_html(piece.html());
            } else {
                morph(&place, piece.html());
            }
        }
    }
}

/// Gives the attribute of the place with a key.
fn marked(key: &str) -> String {
    format!("data-fragment=\"{key}\"")
}

/// Puts pieces into their places in a skeleton. A place that gets none and was in the
/// skeleton before keeps what stands in it; it is marked for the morph.
fn filled(skeleton: &str, pieces: &[Piece], before: &str) -> String {
    let mut by_key: BTreeMap<&str, &str> = BTreeMap::new();
    by_key.extend(pieces.iter().map(|piece| (piece.key(), piece.html())));
    let mut html = String::with_capacity(skeleton.len());
    let mut rest = skeleton;
    let start = "data-fragment=\"";
    while let Some((head, tail)) = rest.split_once(start) {
        html.push_str(head);
        html.push_str(start);
        let key = tail.split('"').next().unwrap_or_default();
        let end = tail.find('>').unwrap_or(0);
        let (attributes, inside) = tail.split_at(end);
        html.push_str(attributes);
        match by_key.get(key) {
            Some(own) => {
                html.push('>');
                html.push_str(own);
            }
            None if before.contains(&marked(key)) => html.push_str(" data-same>"),
            None => html.push('>'),
        }
        rest = inside.strip_prefix('>').unwrap_or(inside);
    }
    html.push_str(rest);
    html
}

/// Keeps the document before the page goes away.
pub(super) fn keep_now() {
    send(Msg::Keeping(Keeping::Now));
}

#[cfg(test)]
mod tests {
    use super::filled;
    use crate::view::Piece;

    #[test]
    fn pieces_stand_in_their_places_and_what_is_the_same_stays() {
        let skeleton = r#"<p data-fragment="a" class="x"></p><p data-fragment="b"></p><p data-fragment="c"></p>"#;
        let pieces = [Piece::sample("b", "2"), Piece::sample("a", "<i>1</i>")];
        assert_eq!(
            filled(skeleton, &pieces, ""),
            r#"<p data-fragment="a" class="x"><i>1</i></p><p data-fragment="b">2</p><p data-fragment="c"></p>"#
        );
        assert_eq!(
            filled(skeleton, &pieces[..1], skeleton),
            r#"<p data-fragment="a" class="x" data-same></p><p data-fragment="b">2</p><p data-fragment="c" data-same></p>"#
        );
    }
}
