//! Guides kept in this browser's own database.
//!
//! Two stores, written in one transaction: the shelf (what the list shows) and
//! the texts. A guide is written only when the revision on the shelf is the one
//! the page knows. Over file:// every page of the folder sees the same database,
//! so what is read here is hostile until `cueleaf_guide::open` read it.

use super::damaged;
use super::effects::when;
use crate::msg::{KeepOrder, Outcome};
use crate::state::{KeptEntry, KeptTexts};
use idb::{
    Database, DatabaseEvent as _, Factory, ObjectStore, ObjectStoreParams, Query, Transaction,
    TransactionMode,
};
use serde::{Deserialize, Serialize};
use wasm_bindgen::JsValue;

const NAME: &str = "cueleaf-builder";
pub(super) const SHELF: &str = "shelf";
pub(super) const TEXTS: &str = "texts";

/// What the shelf holds of one guide.
#[derive(Serialize, Deserialize)]
pub(super) struct Card {
    pub(super) id: String,
    title: String,
    #[serde(default)]
    parts: String,
    /// Milliseconds since 1970.
    moment: f64,
    bytes: u32,
    revision: u32,
}

impl Card {
    fn entry(self) -> KeptEntry {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a moment is a whole number of milliseconds; nonsense becomes 0"
        )]
        let moment = self.moment as u64;
        KeptEntry {
            id: self.id,
            title: self.title,
            parts: self.parts,
            when: when(self.moment),
            moment,
            bytes: usize::try_from(self.bytes).unwrap_or(usize::MAX),
            revision: u64::from(self.revision),
        }
    }
}

pub(super) fn words(error: &idb::Error) -> String {
    let text = error.to_string();
    if text.contains("Quota") {
        "there is no room left on this device.".to_owned()
    } else {
        "this browser keeps nothing for this page (a private window, or a setting).".to_owned()
    }
}

pub(super) async fn database() -> Result<Database, idb::Error> {
    let factory = Factory::new()?;
    let mut request = factory.open(NAME, Some(1))?;
    request.on_upgrade_needed(|event| {
        // A store that cannot be made shows itself when it is first used.
        if let Ok(database) = event.database() {
            for store in [SHELF, TEXTS] {
                let _ = database.create_object_store(store, ObjectStoreParams::new());
            }
        }
    });
    request.await
}

pub(super) fn key(id: &str) -> JsValue {
    JsValue::from_str(id)
}

/// Gives the key of the notes beside a guide; no id has a stroke in it.
fn notes_key(id: &str) -> JsValue {
    JsValue::from_str(&format!("{id}/notes"))
}

/// Gives the key of what was dropped of a guide's proposals.
fn dropped_key(id: &str) -> JsValue {
    JsValue::from_str(&format!("{id}/dropped"))
}

/// Gives the key of a guide's watch list.
fn watch_key(id: &str) -> JsValue {
    JsValue::from_str(&format!("{id}/watch"))
}

pub(super) async fn text_at(
    texts: &ObjectStore,
    key: JsValue,
) -> Result<Option<String>, idb::Error> {
    let text = texts.get(Query::Key(key))?.await?;
    Ok(text.and_then(|text| text.as_string()))
}

/// Lists what is kept, the newest first; and by their ids what of it cannot be read.
pub(super) async fn list() -> Result<(Vec<KeptEntry>, Vec<String>), String> {
    let (shelf, texts) = all().await.map_err(|error| words(&error))?;
    let ids = shelf
        .iter()
        .map(|(key, card)| (key.clone(), card.as_ref().map(|own| own.id.clone())));
    let damaged = damaged::among(&ids.collect::<Vec<_>>(), &texts);
    let cards = shelf.into_iter().filter_map(|(_, card)| card);
    let sound = cards.filter(|card| !damaged.contains(&card.id));
    let mut entries: Vec<KeptEntry> = sound.map(Card::entry).collect();
    entries.sort_by_key(|entry| core::cmp::Reverse(entry.moment));
    Ok((entries, damaged))
}

type Shelf = Vec<(JsValue, Option<Card>)>;

async fn all() -> Result<(Shelf, Vec<JsValue>), idb::Error> {
    let database = database().await?;
    let transaction = database.transaction(&[SHELF, TEXTS], TransactionMode::ReadOnly)?;
    let cards = transaction
        .object_store(SHELF)?
        .get_all(None, None)?
        .await?;
    let keys = all_keys(&transaction, SHELF).await?;
    let texts = all_keys(&transaction, TEXTS).await?;
    database.close();
    let cards = cards
        .into_iter()
        .map(|value| serde_wasm_bindgen::from_value(value).ok());
    Ok((keys.into_iter().zip(cards).collect(), texts))
}

pub(super) async fn all_keys(
    transaction: &Transaction,
    store: &str,
) -> Result<Vec<JsValue>, idb::Error> {
    transaction
        .object_store(store)?
        .get_all_keys(None, None)?
        .await
}

/// What the shelf holds under an id.
pub(super) enum OnShelf {
    Nothing,
    Card(Card),
    /// Something that is no card: who wrote it is not known, so it is left as it is.
    Unread,
}

impl OnShelf {
    pub(super) async fn of(transaction: &Transaction, id: &str) -> Result<Self, idb::Error> {
        let shelf = transaction.object_store(SHELF)?;
        let value = shelf.get(Query::Key(key(id)))?.await?;
        Ok(value.map_or(Self::Nothing, |value| {
            serde_wasm_bindgen::from_value(value).map_or(Self::Unread, Self::Card)
        }))
    }
}

/// Reads a kept guide: its revision and its texts.
pub(super) async fn load(id: &str) -> Result<(u64, KeptTexts), String> {
    let found = found(id).await.map_err(|error| words(&error))?;
    let (card, texts) = there(found)?;
    Ok((u64::from(card.revision), texts))
}

fn there(found: (OnShelf, Option<KeptTexts>)) -> Result<(Card, KeptTexts), String> {
    match found {
        (OnShelf::Card(card), Some(texts)) => Ok((card, texts)),
        (OnShelf::Unread, _) => {
            Err("what is kept of it is damaged, and was left as it is.".to_owned())
        }
        _ => Err("it is not there any more.".to_owned()),
    }
}

async fn found(id: &str) -> Result<(OnShelf, Option<KeptTexts>), idb::Error> {
    let database = database().await?;
    let transaction = database.transaction(&[SHELF, TEXTS], TransactionMode::ReadOnly)?;
    let found = (
        OnShelf::of(&transaction, id).await?,
        texts_at(&transaction, id).await?,
    );
    database.close();
    Ok(found)
}

async fn texts_at(transaction: &Transaction, id: &str) -> Result<Option<KeptTexts>, idb::Error> {
    let texts = transaction.object_store(TEXTS)?;
    let guide = text_at(&texts, key(id)).await?;
    let notes = text_at(&texts, notes_key(id)).await?;
    let dropped = text_at(&texts, dropped_key(id)).await?;
    let watch = text_at(&texts, watch_key(id)).await?;
    Ok(guide.map(|guide| KeptTexts {
        guide,
        notes,
        dropped,
        watch,
    }))
}

/// Keeps a document, unless another revision than the known one is kept.
///
/// # Errors
/// Why nothing can be kept, in words.
pub(super) async fn keep(order: &KeepOrder) -> Result<Outcome, String> {
    let moment = js_sys::Date::now();
    let mut kept = write(order, moment).await;
    if kept.is_err() && order.watch.as_ref().is_some_and(|list| !list.is_empty()) {
        // The list can be made again: the guide is kept without it, and no other list stands
        // in its place.
        let without = KeepOrder {
            watch: Some(String::new()),
            ..order.clone()
        };
        kept = write(&without, moment).await;
    }
    kept.map_err(|error| words(&error))
}

async fn write(order: &KeepOrder, moment: f64) -> Result<Outcome, idb::Error> {
    let database = database().await?;
    let transaction = database.transaction(&[SHELF, TEXTS], TransactionMode::ReadWrite)?;
    let kept: Option<u32> = match OnShelf::of(&transaction, &order.id).await? {
        OnShelf::Nothing => None,
        OnShelf::Card(card) => Some(card.revision),
        OnShelf::Unread => {
            database.close();
            return Ok(Outcome::Conflict);
        }
    };
    // What was removed in the meantime may be written again; what was changed may not.
    if let Some(kept) = kept
        && Some(u64::from(kept)) != order.expected
    {
        // The same document twice, such as an exported file opened again, is no conflict.
        let texts = transaction.object_store(TEXTS)?;
        let text = text_at(&texts, key(&order.id)).await?;
        let notes = text_at(&texts, notes_key(&order.id)).await?;
        let dropped = text_at(&texts, dropped_key(&order.id)).await?;
        database.close();
        let same_notes = order.notes.is_none() || order.notes == notes;
        let same_dropped = order.dropped.is_none() || order.dropped == dropped;
        return Ok(
            if text.as_ref() == Some(&order.text) && same_notes && same_dropped {
                Outcome::Kept(u64::from(kept))
            } else {
                Outcome::Conflict
            },
        );
    }
    let last = kept.map_or_else(|| order.expected.unwrap_or(0), u64::from);
    let revision = u32::try_from(last + 1).unwrap_or(1);
    let card = Card {
        id: order.id.clone(),
        title: order.title.clone(),
        parts: order.parts.clone(),
        moment,
        bytes: u32::try_from(order.text.len()).unwrap_or(u32::MAX),
        revision,
    };
    put(&transaction, &card, order).await?;
    transaction.commit()?.await?;
    database.close();
    Ok(Outcome::Kept(u64::from(revision)))
}

async fn put(transaction: &Transaction, card: &Card, order: &KeepOrder) -> Result<(), idb::Error> {
    let id = key(&card.id);
    let card = serde_wasm_bindgen::to_value(card).unwrap_or(JsValue::NULL);
    transaction
        .object_store(SHELF)?
        .put(&card, Some(&id))?
        .await?;
    let texts = transaction.object_store(TEXTS)?;
    texts
        .put(&JsValue::from_str(&order.text), Some(&id))?
        .await?;
    let beside = [
        (&order.notes, notes_key(&order.id)),
        (&order.dropped, dropped_key(&order.id)),
        (&order.watch, watch_key(&order.id)),
    ];
    for (text, key) in beside {
        if let Some(text) = text {
            texts.put(&JsValue::from_str(text), Some(&key))?.await?;
        }
    }
    Ok(())
}

/// Removes a kept guide and gives what it was, in one transaction: what another tab kept in the
/// meantime comes back with it.
pub(super) async fn remove(id: &str) -> Result<(KeptEntry, KeptTexts), String> {
    let taken = take(id).await.map_err(|error| words(&error))?;
    let (card, texts) = there(taken)?;
    Ok((card.entry(), texts))
}

async fn take(id: &str) -> Result<(OnShelf, Option<KeptTexts>), idb::Error> {
    let database = database().await?;
    let transaction = database.transaction(&[SHELF, TEXTS], TransactionMode::ReadWrite)?;
    let card = OnShelf::of(&transaction, id).await?;
    let texts = texts_at(&transaction, id).await?;
    if matches!((&card, &texts), (OnShelf::Card(_), Some(_))) {
        delete(&transaction, id).await?;
        transaction.commit()?.await?;
    }
    database.close();
    Ok((card, texts))
}

pub(super) async fn delete(transaction: &Transaction, id: &str) -> Result<(), idb::Error> {
    let all = [
        (SHELF, key(id)),
        (TEXTS, key(id)),
        (TEXTS, notes_key(id)),
        (TEXTS, dropped_key(id)),
        (TEXTS, watch_key(id)),
    ];
    for (store, key) in all {
        let store = transaction.object_store(store)?;
        store.delete(Query::Key(key))?.await?;
    }
    Ok(())
}

/// Puts a removed guide back, unless something took its place.
pub(super) async fn restore(entry: &KeptEntry, texts: KeptTexts) -> Result<(), String> {
    let order = KeepOrder {
        id: entry.id.clone(),
        title: entry.title.clone(),
        parts: entry.parts.clone(),
        expected: None,
        text: texts.guide,
        notes: texts.notes,
        dropped: texts.dropped,
        watch: texts.watch,
    };
    #[allow(
        clippy::cast_precision_loss,
        reason = "milliseconds stay far below 2^53"
    )]
    let moment = entry.moment as f64;
    match write(&order, moment).await {
        Ok(Outcome::Conflict) => Err("another version of it is kept already.".to_owned()),
        Ok(_) => Ok(()),
        Err(error) => Err(words(&error)),
    }
}
