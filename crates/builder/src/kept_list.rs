//! The watch list as it is kept on this device beside its guide: what it proposes and what was
//! kept of it, not the notes that it was made of.

use crate::proposals::{Proposal, WatchList, kind_of};
use cueleaf_guide::{Id, Spot, Topic};
use cueleaf_watch::Watched;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The largest list that is kept, in bytes.
///
/// # Source
/// Our decision: several times what a symphony's part proposes, and little beside a photo.
pub const MAX_KEPT_LIST: usize = 1_000_000;

#[derive(Serialize, Deserialize)]
struct List {
    measures: usize,
    strongest: Vec<usize>,
    proposals: Vec<Row>,
    kept: Vec<(usize, Id)>,
}

#[derive(Serialize, Deserialize)]
struct Row {
    kind: String,
    spot: Spot,
    from: String,
    to: String,
    weight: u8,
    topic: Topic,
    sentence: String,
    tip: String,
    cue: String,
    parts: Vec<Id>,
}

/// Writes a list; nothing of one that is too large to be kept.
#[must_use]
pub fn write(list: &WatchList) -> String {
    let rows = list.proposals().iter().map(|one| {
        let own = one.watched.clone();
        Row {
            kind: own.kind.code().to_owned(),
            spot: own.spot,
            from: own.from,
            to: own.to,
            weight: own.weight,
            topic: own.topic,
            sentence: own.sentence,
            tip: own.tip,
            cue: own.cue,
            parts: one.parts.clone(),
        }
    });
    let kept = list.kept().iter();
    let whole = List {
        measures: list.measures(),
        strongest: list.strongest().to_vec(),
        proposals: rows.collect(),
        kept: kept.map(|(index, id)| (*index, id.clone())).collect(),
    };
    let text = serde_json::to_string(&whole).unwrap_or_default();
    if text.len() > MAX_KEPT_LIST {
        return String::new();
    }
    text
}

/// Reads what is kept, which any page of the folder may have written; `None` for what is no
/// list.
#[must_use]
pub fn read(text: &str) -> Option<WatchList> {
    if text.len() > MAX_KEPT_LIST {
        return None;
    }
    let whole: List = serde_json::from_str(text).ok()?;
    let rows = whole.proposals.into_iter().map(|own| {
        let watched = Watched {
            kind: kind_of(&own.kind)?,
            spot: own.spot,
            from: own.from,
            to: own.to,
            weight: own.weight,
            topic: own.topic,
            sentence: own.sentence,
            tip: own.tip,
            cue: own.cue,
            // They say why it is on the list, which the sentence says as well.
            numbers: BTreeMap::new(),
        };
        let parts = own.parts;
        Some(Proposal { watched, parts })
    });
    let rows: Option<Vec<Proposal>> = rows.collect();
    let kept = whole.kept.into_iter().collect();
    Some(WatchList::kept_before(
        rows?,
        whole.strongest,
        whole.measures,
        kept,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_list_is_none() {
        for text in [
            "",
            "{}",
            "[]",
            "null",
            r#"{"measures":1,"strongest":[],"proposals":[{}],"kept":[]}"#,
            r#"{"measures":1,"strongest":[],"proposals":[],"kept":[[0,"<b>"]]}"#,
            &" ".repeat(MAX_KEPT_LIST + 1),
        ] {
            assert!(read(text).is_none(), "{}", text.len());
        }
        // Places in the list that are not there are left out.
        let odd = r#"{"measures":3,"strongest":[0,7],"proposals":[],"kept":[[9,"a"]]}"#;
        let list = read(odd).unwrap();
        assert!(list.strongest().is_empty() && list.kept().is_empty());
        assert_eq!(list.measures(), 3);
        assert_eq!(
            write(&list),
            r#"{"measures":3,"strongest":[],"proposals":[],"kept":[]}"#
        );
    }
}
