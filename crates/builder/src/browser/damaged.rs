//! What is kept in the browser's database and cannot be read: told, taken as it is, removed.

use super::storage::{OnShelf, SHELF, TEXTS, all_keys, database, delete, key, text_at, words};
use idb::{Query, Transaction, TransactionMode};
use wasm_bindgen::JsValue;

/// Tells which of what is kept cannot be read, by the key: what has no card, or a card that is
/// none, or no text.
pub(super) fn among(shelf: &[(JsValue, Option<String>)], texts: &[JsValue]) -> Vec<String> {
    let texts: Vec<String> = texts.iter().filter_map(JsValue::as_string).collect();
    let has_text = |id: &String| texts.contains(id);
    let cards = shelf.iter().filter_map(|(key, card)| {
        let key = key.as_string()?;
        let sound = card.as_ref() == Some(&key) && has_text(&key);
        (!sound).then_some(key)
    });
    let known: Vec<String> = shelf
        .iter()
        .filter_map(|(key, _)| key.as_string())
        .collect();
    // What lies beside a guide has a stroke in its key, which no id has.
    let alone = texts
        .iter()
        .filter(|id| !id.contains('/') && !known.contains(id));
    cards.chain(alone.cloned()).collect()
}

/// Gives what is kept under an id as it is: its text, else its card.
pub(super) async fn text(id: &str) -> Result<String, String> {
    raw(id).await.map_err(|error| words(&error))
}

async fn raw(id: &str) -> Result<String, idb::Error> {
    let database = database().await?;
    let transaction = database.transaction(&[SHELF, TEXTS], TransactionMode::ReadOnly)?;
    let text = text_at(&transaction.object_store(TEXTS)?, key(id)).await?;
    let card = transaction
        .object_store(SHELF)?
        .get(Query::Key(key(id)))?
        .await?;
    database.close();
    let card = card.unwrap_or(JsValue::NULL);
    let card = || {
        let written = js_sys::JSON::stringify(&card)
            .ok()
            .and_then(|own| own.as_string());
        written.unwrap_or_default()
    };
    Ok(text.unwrap_or_else(card))
}

/// Removes what is kept under an id, unless it can be read by now.
pub(super) async fn remove(id: &str) -> Result<(), String> {
    take(id).await.map_err(|error| words(&error))
}

async fn take(id: &str) -> Result<(), idb::Error> {
    let database = database().await?;
    let transaction = database.transaction(&[SHELF, TEXTS], TransactionMode::ReadWrite)?;
    if !is_sound(&transaction, id).await? {
        delete(&transaction, id).await?;
        transaction.commit()?.await?;
    }
    database.close();
    Ok(())
}

async fn is_sound(transaction: &Transaction, id: &str) -> Result<bool, idb::Error> {
    let card = OnShelf::of(transaction, id).await?;
    let texts = all_keys(transaction, TEXTS).await?;
    let shelf = match card {
        OnShelf::Nothing => Vec::new(),
        OnShelf::Card(card) => vec![(key(id), Some(card.id))],
        OnShelf::Unread => vec![(key(id), None)],
    };
    Ok(!among(&shelf, &texts).iter().any(|own| own == id))
}
