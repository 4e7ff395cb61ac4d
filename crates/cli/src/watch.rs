//! The watch list as data.

use cueleaf_watch::{Number, Watched};
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeMap;

/// One place of the list. `from` and `to` are the printed label and the counted
/// beat, "12 beat 3" or "12 beat 3+1/2"; `to` is a label alone where its whole
/// measure belongs to the place.
#[derive(Serialize)]
pub(crate) struct Row<'a> {
    kind: &'static str,
    from: &'a str,
    to: &'a str,
    weight: u8,
    topic: &'static str,
    sentence: &'a str,
    cue: &'a str,
    numbers: BTreeMap<&'static str, Value>,
}

/// Gives the list as rows in its order.
pub(crate) fn rows(list: &[Watched]) -> Vec<Row<'_>> {
    list.iter()
        .map(|one| Row {
            kind: one.kind.code(),
            from: &one.from,
            to: &one.to,
            weight: one.weight,
            topic: one.topic.code(),
            sentence: &one.sentence,
            cue: &one.cue,
            numbers: one
                .numbers
                .iter()
                .map(|(name, number)| (*name, value(number)))
                .collect(),
        })
        .collect()
}

fn value(number: &Number) -> Value {
    match number {
        Number::Whole(number) => Value::from(*number),
        Number::Real(number) => Value::from(*number),
        Number::Text(text) => Value::from(text.as_str()),
        Number::Texts(texts) => Value::from(texts.clone()),
    }
}
