//! What a talk says, as it is labelled and as it is understood.

use cueleaf_guide::Topic;
use cueleaf_read::talk::{FactKind, Point, Said, Statement, Talk, What, listen};
use cueleaf_read::{Caption, read_captions};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// One statement, understood or labelled.
#[derive(Debug)]
pub(crate) struct Item {
    pub(crate) line: usize,
    pub(crate) kind: String,
    /// `from` and `to` of the label format.
    pub(crate) place: (Value, Value),
    /// The value; of a tip its topic, of a correction what was meant.
    pub(crate) value: String,
    /// The excerpt of a tip, what was heard of a correction.
    pub(crate) words: Vec<String>,
}

impl std::fmt::Display for Item {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self {
            kind,
            place: (from, to),
            value,
            words,
            ..
        } = self;
        write!(f, "{kind} [{value}] {from}..{to} {}", words.join(" "))
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/cases/talk")
}

pub(crate) fn captions_of(file: &str) -> Vec<Caption> {
    let bytes = std::fs::read(folder().join(file)).unwrap();
    read_captions(bytes).unwrap().value
}

pub(crate) fn words_of(text: &str) -> Vec<String> {
    text.to_lowercase()
        .replace('’', "'")
        .split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

pub(crate) fn labels(file: &str) -> Vec<Item> {
    labelled(&Path::new(file).with_extension("json"))
}

/// The labels of a second listener, who saw neither the first ones nor the grammar.
pub(crate) fn second(file: &str) -> Vec<Item> {
    labelled(&Path::new(file).with_extension("second.json"))
}

fn labelled(name: &Path) -> Vec<Item> {
    let text = std::fs::read_to_string(folder().join(name)).unwrap();
    let labels: Vec<Value> = serde_json::from_str(&text).unwrap();
    let text = |label: &Value, key: &str| label[key].as_str().unwrap_or_default().to_owned();
    labels
        .iter()
        .map(|label| {
            let (value, words) = match label["kind"].as_str().unwrap() {
                "tip" => ("topic", "excerpt"),
                "correction" => ("meant", "heard"),
                _ => ("value", ""),
            };
            Item {
                line: usize::try_from(label["line"].as_u64().unwrap()).unwrap(),
                kind: text(label, "kind"),
                place: (label["from"].clone(), label["to"].clone()),
                value: text(label, value),
                words: words_of(&text(label, words)),
            }
        })
        .collect()
}

fn point(point: &Point) -> Value {
    match point {
        Point::Measure { number, beat: None } => json!({ "measure": number.to_string() }),
        Point::Measure {
            number,
            beat: Some(beat),
        } => json!({ "measure": number.to_string(), "beat": beat.to_string() }),
        Point::Mark { mark, measures: 0 } => json!({ "mark": mark }),
        Point::Mark { mark, measures } => json!({ "mark": mark, "bars": measures }),
        Point::End { before: 0 } => json!({ "end": true }),
        Point::End { before } => json!({ "end": true, "bars": -i64::from(*before) }),
        Point::Start => Value::Null,
        Point::Pickup(None) => json!({ "pickup": true }),
        Point::Pickup(Some(target)) => {
            let mut value = self::point(target);
            value["pickup"] = json!(true);
            value
        }
    }
}

/// The start of the piece has no name in the labels: it is where no place was named yet.
fn place(said: Option<&Said>) -> (Value, Value) {
    let said = said.filter(|said| said.from != Point::Start);
    let from = said.map_or(Value::Null, |said| point(&said.from));
    let to = said.and_then(|said| said.to.as_ref());
    (from, to.map_or(Value::Null, point))
}

fn topic(topic: Topic) -> String {
    topic.code().replace('-', " ")
}

fn items(file: &str, captions: &[Caption], talk: &Talk) -> Vec<Item> {
    // The labels of plain text count its timed lines, the captions its lines.
    let line = |number: usize| {
        if file.ends_with(".txt") {
            1 + captions
                .iter()
                .position(|own| own.number == number)
                .unwrap()
        } else {
            number
        }
    };
    let corrections = talk.corrections.iter().map(|own| Item {
        line: line(own.caption),
        kind: "correction".to_owned(),
        place: (Value::Null, Value::Null),
        value: own.meant.clone(),
        words: words_of(&own.heard),
    });
    // The labels have no kinds for changes of tempo without a number, fermatas and mutes.
    let labelled = |own: &&Statement| {
        !matches!(
            own.what,
            What::Fact {
                kind: FactKind::Change | FactKind::Fermata | FactKind::Mute,
                ..
            }
        )
    };
    let statements = talk.statements.iter().filter(labelled).map(|own| {
        let (kind, value, words) = match &own.what {
            What::Place => ("place", String::new(), ""),
            What::Fact { kind, value } => (kind.code(), value.clone(), ""),
            What::Tip {
                topic: own,
                excerpt,
            } => ("tip", topic(*own), excerpt.as_str()),
        };
        Item {
            line: line(own.caption),
            kind: kind.to_owned(),
            place: place(own.place.as_ref()),
            value,
            words: words_of(words),
        }
    });
    corrections.chain(statements).collect()
}

pub(crate) fn heard(file: &str) -> Vec<Item> {
    let captions = captions_of(file);
    items(file, &captions, &listen(&captions))
}
