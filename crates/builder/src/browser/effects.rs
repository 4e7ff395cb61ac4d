//! What the page asks of the browser.

use super::dom::{by_id, window};
use super::page::send;
use super::{damaged, dialog, field, files, link, media, out, phrases, preview, storage};
use crate::msg::{Effect, Keeping, Msg, Outcome};
use gloo_timers::callback::Timeout;
use wasm_bindgen::{JsCast as _, JsValue};
use wasm_bindgen_futures::spawn_local;
use web_sys::{HtmlElement, ScrollIntoViewOptions, ScrollLogicalPosition};

/// Does what the page asks.
pub(super) fn perform(effect: Effect) {
    match effect {
        Effect::AskForFile => files::ask(),
        Effect::AskForMedia(taken, tip) => media::ask(taken, tip),
        Effect::Record(tip) => media::start_recording(tip),
        Effect::StopRecording => media::stop_recording(),
        Effect::DropRecording => media::drop_recording(),
        Effect::After(milliseconds, msg) => {
            Timeout::new(milliseconds, move || send(msg)).forget();
        }
        Effect::List => spawn_local(tell_list()),
        Effect::TakeDamaged(id) => spawn_local(async move {
            send(Msg::Keeping(match damaged::text(&id).await {
                Ok(text) => Keeping::Damaged(id, text),
                Err(reason) => Keeping::NotLoaded(reason),
            }));
        }),
        Effect::DropDamaged(id) => spawn_local(async move {
            if let Err(reason) = damaged::remove(&id).await {
                send(Msg::Keeping(Keeping::NotLoaded(reason)));
            }
            tell_list().await;
        }),
        Effect::Load(id) => spawn_local(async move {
            let msg = match storage::load(&id).await {
                Ok((revision, texts)) => Keeping::Loaded {
                    id,
                    revision,
                    texts,
                },
                Err(reason) => Keeping::NotLoaded(reason),
            };
            send(Msg::Keeping(msg));
        }),
        Effect::Read(id, deed) => spawn_local(async move {
            let msg = match storage::load(&id).await {
                Ok((revision, texts)) => Keeping::Read {
                    id,
                    revision,
                    texts,
                    deed,
                },
                Err(reason) => Keeping::NotLoaded(reason),
            };
            send(Msg::Keeping(msg));
        }),
        Effect::Remove(id) => spawn_local(async move {
            let msg = match storage::remove(&id).await {
                Ok((entry, texts)) => Keeping::Removed(entry, texts),
                Err(reason) => Keeping::NotLoaded(reason),
            };
            send(Msg::Keeping(msg));
        }),
        Effect::Restore(entry, texts) => spawn_local(async move {
            // What took its place in the meantime stays; the list tells.
            if let Err(reason) = storage::restore(&entry, texts).await {
                send(Msg::Keeping(Keeping::NotLoaded(reason)));
            }
            tell_list().await;
        }),
        Effect::Keep(order) => spawn_local(async move {
            let outcome = storage::keep(&order).await.unwrap_or_else(Outcome::Failed);
            send(Msg::Keeping(Keeping::Done {
                id: order.id,
                outcome,
            }));
        }),
        Effect::Download { name, media, text } => out::download(&name, media, &text),
        Effect::DownloadBytes { name, media, bytes } => {
            out::download_pieces(&name, media, core::iter::once(bytes));
        }
        Effect::DownloadClicks(name, track) => {
            out::download_pieces(&name, "audio/wav", track.pieces());
        }
        Effect::Share { name, media, text } => out::share(&name, media, &text),
        Effect::Copy(text, field) => spawn_local(link::copy(text, field)),
        Effect::KeepPhrases(text) => phrases::keep(&text),
        Effect::AskStretch(field, wish) => phrases::tell_stretch(&field, wish),
        Effect::KeepAddress(address) => link::keep_address(&address),
        Effect::Caret(field, stretch) => field::choose(&field, &stretch),
        Effect::Fill(field, text) => field::fill(&field, &text),
        Effect::ShowDialog(id) => dialog::show(&id),
        Effect::CloseDialog(id) => dialog::close(&id),
        Effect::KeepQuestionKey(key) => dialog::keep_question_key(key),
        Effect::Focus(id) => focus(&id),
        Effect::Reveal(id) => reveal(&id),
        Effect::Say(text) => {
            if let Some(live) = by_id("live") {
                live.set_text_content(Some(&text));
            }
        }
        Effect::ShowPreview(guide) => preview::show(&guide),
        Effect::UpdatePreview(guide) => preview::update(&guide),
    }
}

async fn tell_list() {
    let (entries, damaged) = match storage::list().await {
        Ok((entries, damaged)) => (Ok(entries), damaged),
        Err(reason) => (Err(reason), Vec::new()),
    };
    send(Msg::Keeping(Keeping::ListedDamaged(damaged)));
    send(Msg::Keeping(Keeping::Listed(entries)));
}

/// Puts the focus on an element; a new screen is shown from its top.
fn focus(id: &str) {
    if let Some(element) = by_id(id).and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
        let _ = element.focus();
    }
    // The focus scrolls its element into view, and the head of the page out of it.
    if id == "main"
        && let Some(window) = window()
    {
        window.scroll_to_with_x_and_y(0.0, 0.0);
    }
}

fn reveal(id: &str) {
    let Some(element) = by_id(id) else { return };
    let options = ScrollIntoViewOptions::new();
    options.set_block(ScrollLogicalPosition::Nearest);
    options.set_inline(ScrollLogicalPosition::Nearest);
    element.scroll_into_view_with_scroll_into_view_options(&options);
}

/// Writes a moment in the words of this device.
pub(super) fn when(moment: f64) -> String {
    if window().is_none() {
        return String::new();
    }
    let date = js_sys::Date::new(&JsValue::from_f64(moment));
    let options = js_sys::Object::new();
    for (key, value) in [("dateStyle", "medium"), ("timeStyle", "short")] {
        let _ = js_sys::Reflect::set(&options, &key.into(), &value.into());
    }
    String::from(date.to_locale_string("default", &options))
}
