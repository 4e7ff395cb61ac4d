//! The talk-throughs in tests/cases/talk: what is understood against labels made by hand.
//!
//! A statement matches a label of its kind with the same cue, place and value, one label each.
//! A tip matches by cue (one more or less), place, topic, and when at least half of the words
//! of each excerpt are in the other. A statement at a wrong place counts as wrong.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::Topic;
use cueleaf_read::talk::{Point, Said, Talk, What, listen};
use cueleaf_read::{Caption, read_captions};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The talks on which the grammar was first tuned.
const FIRST: [&str; 6] = ["1.vtt", "2.srt", "3.vtt", "4.txt", "5.vtt", "6.srt"];
/// Those that came later, and whose misses were read, too.
const LATER: [&str; 4] = ["8.vtt", "9.srt", "10.vtt", "11.txt"];
/// Those that no one read: they tell what to expect of a new talk.
const UNREAD: [&str; 2] = ["12.vtt", "13.srt"];

/// One statement, understood or labelled.
#[derive(Debug)]
struct Item {
    line: usize,
    kind: String,
    /// `from` and `to` of the label format.
    place: (Value, Value),
    /// The value; of a tip its topic, of a correction what was meant.
    value: String,
    /// The excerpt of a tip, what was heard of a correction.
    words: Vec<String>,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/cases/talk")
}

fn captions_of(file: &str) -> Vec<Caption> {
    let bytes = std::fs::read(folder().join(file)).unwrap();
    read_captions(bytes).unwrap().value
}

fn words_of(text: &str) -> Vec<String> {
    text.to_lowercase()
        .replace('’', "'")
        .split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn labels(file: &str) -> Vec<Item> {
    let name = Path::new(file).with_extension("json");
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
    let statements = talk.statements.iter().map(|own| {
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

fn matches(label: &Item, own: &Item) -> bool {
    // Whether a name is told with its article is a matter of taste.
    let bare = |item: &Item| item.value.trim_start_matches("the ").to_owned();
    let same = label.kind == own.kind && label.place == own.place && bare(label) == bare(own);
    if label.kind == "tip" {
        return same && label.line.abs_diff(own.line) <= 1 && overlap(&label.words, &own.words);
    }
    same && label.line == own.line && label.words == own.words
}

/// Tells whether at least half of the words of each are in the other: where exactly an excerpt
/// begins and ends is a matter of taste.
fn overlap(one: &[String], other: &[String]) -> bool {
    let mut left = other.to_vec();
    let common = one
        .iter()
        .filter(|word| {
            let found = left.iter().position(|own| own == *word);
            found.map(|index| left.swap_remove(index)).is_some()
        })
        .count();
    2 * common >= one.len().max(other.len())
}

#[derive(Debug, Default, Clone, Copy)]
struct Score {
    right: usize,
    said: usize,
    labelled: usize,
}

impl Score {
    #[allow(clippy::cast_precision_loss, reason = "small counts")]
    fn precision(self) -> f64 {
        self.right as f64 / self.said.max(1) as f64
    }

    #[allow(clippy::cast_precision_loss, reason = "small counts")]
    fn recall(self) -> f64 {
        self.right as f64 / self.labelled.max(1) as f64
    }

    fn row(self, name: &str) -> String {
        let (precision, recall) = (self.precision(), self.recall());
        let Self {
            right,
            said,
            labelled,
        } = self;
        format!(
            "{name:12} {right:4} right of {said:4} said and {labelled:4} labelled: precision {precision:.3}, recall {recall:.3}"
        )
    }
}

/// Compares talks with their labels; gives the scores by kind, by file and of all.
fn scores(files: &[&str], show: bool) -> BTreeMap<String, Score> {
    let mut scores: BTreeMap<String, Score> = BTreeMap::new();
    let mut advised = 0;
    for &file in files {
        let captions = captions_of(file);
        let mut wrong = items(file, &captions, &listen(&captions));
        let said = wrong.len();
        let mut rows: Vec<(usize, String)> = Vec::new();
        for label in labels(file) {
            let found = wrong.iter().position(|own| matches(&label, own));
            let right = usize::from(found.is_some());
            for key in [label.kind.as_str(), file, "all"] {
                let score = scores.entry(key.to_owned()).or_default();
                score.labelled += 1;
                score.right += right;
                score.said += right;
            }
            // How far an advice is found at its place, whatever it is said to be about.
            let near = |own: &&Item| {
                own.kind == "tip"
                    && own.place == label.place
                    && label.line.abs_diff(own.line) <= 1
                    && own
                        .words
                        .iter()
                        .any(|word| word.len() > 3 && label.words.contains(word))
            };
            if label.kind == "tip" && (right > 0 || wrong.iter().any(|own| near(&own))) {
                advised += 1;
            }
            match found {
                Some(index) => drop(wrong.remove(index)),
                None => rows.push((label.line, format!("missed {label:?}"))),
            }
        }
        for own in wrong {
            for key in [own.kind.as_str(), file, "all"] {
                scores.entry(key.to_owned()).or_default().said += 1;
            }
            rows.push((own.line, format!("wrong  {own:?}")));
        }
        assert_eq!(scores[file].said, said);
        rows.sort();
        for (_, row) in rows.into_iter().filter(|_| show) {
            println!("{file} {row}");
        }
    }
    for (name, score) in &scores {
        println!("{}", score.row(name));
    }
    println!("tips at their place, of any topic and length: {advised}");
    scores
}

#[test]
fn talks_are_understood_as_labelled() {
    let all = scores(&FIRST, true)["all"];
    assert!(all.precision() >= 0.95, "{}", all.row("all"));
    assert!(all.recall() >= 0.90, "{}", all.row("all"));
}

#[test]
fn facts_and_places_are_understood_as_labelled_kind_by_kind() {
    let files: Vec<&str> = FIRST.into_iter().chain(LATER).collect();
    let scores = scores(&files, true);
    for kind in [
        "correction",
        "dynamic",
        "grouping",
        "key",
        "meter",
        "place",
        "pluck",
        "tempo",
    ] {
        let score = scores[kind];
        assert!(score.precision() >= 0.95, "{}", score.row(kind));
        assert!(score.recall() >= 0.95, "{}", score.row(kind));
    }
    // Where advice begins and ends, and what it is about, two people would not say alike.
    let all = scores["all"];
    assert!(all.precision() >= 0.88, "{}", all.row("all"));
    assert!(all.recall() >= 0.85, "{}", all.row("all"));
}

#[test]
fn talks_that_nobody_tuned_for_are_understood_for_the_most_part() {
    let all = scores(&UNREAD, false)["all"];
    assert!(all.precision() >= 0.75, "{}", all.row("all"));
    assert!(all.recall() >= 0.62, "{}", all.row("all"));
}

#[test]
fn a_talk_about_soup_yields_nothing() {
    assert_eq!(listen(&captions_of("7.vtt")), Talk::default());
}

#[test]
fn every_statement_quotes_the_cue_it_points_at() {
    for file in FIRST.into_iter().chain(LATER).chain(UNREAD) {
        let captions = captions_of(file);
        let mut facts = 0;
        for statement in listen(&captions).statements {
            let at = captions
                .iter()
                .position(|own| own.number == statement.caption)
                .unwrap();
            assert_eq!(captions[at].from, statement.from);
            // A sentence may run on over a few cues; its first word is in the cue named.
            let first = words_of(&captions[at].text);
            let near: Vec<&str> = captions[at..]
                .iter()
                .take(4)
                .map(|own| own.text.as_str())
                .collect();
            let near = words_of(&near.join(" "));
            let quote = words_of(&statement.words);
            assert!(!quote.is_empty(), "{file} {statement:?}");
            assert!(first.contains(&quote[0]), "{file} {statement:?}");
            let mut rest = near.iter();
            assert!(
                quote.iter().all(|word| rest.any(|own| own == word)),
                "{file} {statement:?}"
            );
            facts += usize::from(matches!(statement.what, What::Fact { .. }));
        }
        assert!(facts > 10, "{file}");
    }
}
