//! The talk-throughs in tests/cases/talk: what is understood against labels made by hand.
//!
//! A statement matches a label of its kind with the same cue (of a fact one more or less), place
//! and value, one label each.
//! A tip matches by cue (one more or less), place and words: twice the words that both excerpts
//! have are at least half of all words of both, so neither a whole page nor a single word
//! matches a sentence. Whether its topic is the labelled one is counted apart, of the tips found.
//! A statement at a wrong place counts as wrong.
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

/// The talks whose misses were read.
const READ: [&str; 14] = [
    "1.vtt", "2.srt", "3.vtt", "4.txt", "5.vtt", "6.srt", "8.vtt", "9.srt", "10.vtt", "11.txt",
    "12.vtt", "13.srt", "14.vtt", "15.srt",
];

/// Those that no one read: they tell what to expect of a new talk.
const UNREAD: [&str; 2] = ["16.vtt", "17.srt"];

/// Those that a second listener labelled, too: places and advice.
const SECOND: [&str; 6] = ["1.vtt", "4.txt", "8.vtt", "9.srt", "10.vtt", "12.vtt"];

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
    labelled(&Path::new(file).with_extension("json"))
}

/// The labels of a second listener, who saw neither the first ones nor the grammar.
fn second(file: &str) -> Vec<Item> {
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

/// How well something heard fits a label, from 0 to 1; `None` when it does not match.
fn fit(label: &Item, own: &Item) -> Option<f64> {
    if label.kind != own.kind || label.place != own.place {
        return None;
    }
    let apart = label.line.abs_diff(own.line);
    if label.kind == "tip" {
        return Some(shared(&label.words, &own.words)).filter(|fit| apart <= 1 && *fit >= HALF);
    }
    // Where a cue ends in "and it's", listeners differ in whether the fact begins there.
    let exact = matches!(label.kind.as_str(), "place" | "correction");
    let near = apart == 0 || apart == 1 && !exact;
    // Whether a name is told with its article is a matter of taste.
    let bare = |item: &Item| item.value.trim_start_matches("the ").to_owned();
    if label.kind == "correction" {
        return (near && misheard(label) == misheard(own)).then_some(1.0);
    }
    let same = near && label.words == own.words && bare(label) == bare(own);
    same.then_some(1.0)
}

/// What was misheard and what was meant, without the words that both have: "letter see" for
/// "letter C" is "see" for "c".
fn misheard(item: &Item) -> (Vec<String>, Vec<String>) {
    let mut heard = words_of(&item.words.join(" ").replace('-', " "));
    let mut meant = words_of(&item.value.replace('-', " "));
    while heard.len() > 1 && meant.len() > 1 && heard.last() == meant.last() {
        heard.pop();
        meant.pop();
    }
    while heard.len() > 1 && meant.len() > 1 && heard.first() == meant.first() {
        heard.remove(0);
        meant.remove(0);
    }
    (heard, meant)
}

/// How much of their words two excerpts share at least to be the same advice.
const HALF: f64 = 0.5;

/// Gives the share of words that two excerpts have in common, from 0 to 1.
fn shared(one: &[String], other: &[String]) -> f64 {
    let mut left = other.to_vec();
    let common = one
        .iter()
        .filter(|word| {
            let found = left.iter().position(|own| own == *word);
            found.map(|index| left.swap_remove(index)).is_some()
        })
        .count();
    ratio(2 * common, one.len() + other.len())
}

/// Pairs labels with what was heard, one each, the best fits first; gives indices of both.
fn pairs(labels: &[Item], heard: &[Item]) -> Vec<(usize, usize)> {
    let mut fits: Vec<(f64, usize, usize)> = Vec::new();
    for (index, label) in labels.iter().enumerate() {
        for (own, item) in heard.iter().enumerate() {
            fits.extend(fit(label, item).map(|fit| (fit, index, own)));
        }
    }
    fits.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for (_, label, own) in fits {
        if !pairs.iter().any(|pair| pair.0 == label || pair.1 == own) {
            pairs.push((label, own));
        }
    }
    pairs
}

/// How much of what is said is right, and how much of what is labelled is found.
#[derive(Debug, Default, Clone, Copy)]
struct Score {
    right: usize,
    said: usize,
    found: usize,
    labelled: usize,
}

impl Score {
    fn precision(self) -> f64 {
        ratio(self.right, self.said)
    }

    fn recall(self) -> f64 {
        ratio(self.found, self.labelled)
    }

    fn row(self, name: &str) -> String {
        let (precision, recall) = (self.precision(), self.recall());
        let Self {
            right,
            said,
            found,
            labelled,
        } = self;
        format!(
            "{name:12} {right:4} right of {said:4} said, {found:4} found of {labelled:4} labelled: precision {precision:.3}, recall {recall:.3}"
        )
    }
}

#[allow(clippy::cast_precision_loss, reason = "small counts")]
fn ratio(part: usize, whole: usize) -> f64 {
    part as f64 / whole.max(1) as f64
}

type Scores = BTreeMap<String, Score>;

/// Adds what was heard in a talk, against labels, by kind, by file and in all.
fn add(scores: &mut Scores, file: &str, labels: &[Item], heard: &[Item]) {
    let pairs = pairs(labels, heard);
    let mut count = |kind: &str, change: &dyn Fn(&mut Score)| {
        for key in [kind, file, "all"] {
            change(scores.entry(key.to_owned()).or_default());
        }
    };
    for label in labels {
        count(&label.kind, &|score| score.labelled += 1);
    }
    for own in heard {
        count(&own.kind, &|score| score.said += 1);
    }
    for (label, _) in &pairs {
        count(&labels[*label].kind, &|score| {
            score.right += 1;
            score.found += 1;
        });
    }
    let tips = pairs
        .iter()
        .filter(|(label, _)| labels[*label].kind == "tip");
    for (label, own) in tips {
        let score = scores.entry("topic".to_owned()).or_default();
        score.labelled += 1;
        score.said += 1;
        let same = usize::from(labels[*label].value == heard[*own].value);
        score.right += same;
        score.found += same;
    }
}

/// Prints what was missed and what is wrong, in the order of the talk.
fn show(file: &str, labels: &[Item], heard: &[Item]) {
    let pairs = pairs(labels, heard);
    let mut rows: Vec<(usize, usize, String)> = Vec::new();
    for (index, label) in labels.iter().enumerate() {
        match pairs.iter().find(|pair| pair.0 == index) {
            None => rows.push((label.line, 0, format!("missed {label}"))),
            Some((_, own)) if heard[*own].value != label.value => {
                rows.push((label.line, 2, format!("topic  {label} — {}", heard[*own])));
            }
            Some(_) => {}
        }
    }
    for (index, own) in heard.iter().enumerate() {
        if !pairs.iter().any(|pair| pair.1 == index) {
            rows.push((own.line, 1, format!("wrong  {own}")));
        }
    }
    rows.sort();
    for (line, _, row) in rows {
        println!("{file} {line}: {row}");
    }
}

fn heard(file: &str) -> Vec<Item> {
    let captions = captions_of(file);
    items(file, &captions, &listen(&captions))
}

fn print(title: &str, scores: &Scores) {
    println!("{title}");
    for (name, score) in scores {
        println!("{}", score.row(name));
    }
}

/// Compares talks with their labels; gives the scores by kind, by file and of all.
fn scores(title: &str, files: &[&str]) -> Scores {
    let mut scores = Scores::new();
    for &file in files {
        add(&mut scores, file, &labels(file), &heard(file));
    }
    print(title, &scores);
    scores
}

#[test]
fn talks_that_were_read_are_understood_as_labelled_kind_by_kind() {
    for file in READ {
        show(file, &labels(file), &heard(file));
    }
    let scores = scores("read", &READ);
    for (kind, precision, recall) in [
        ("correction", 0.95, 0.95),
        ("dynamic", 0.98, 0.98),
        ("grouping", 0.97, 0.97),
        ("key", 0.98, 0.97),
        ("meter", 0.98, 0.98),
        ("place", 0.98, 0.98),
        ("pluck", 0.98, 0.97),
        ("section", 0.95, 0.90),
        ("tempo", 0.97, 0.97),
        ("tip", 0.95, 0.90),
        ("topic", 0.88, 0.88),
        ("all", 0.97, 0.96),
    ] {
        let score = scores[kind];
        assert!(score.precision() >= precision, "{}", score.row(kind));
        assert!(score.recall() >= recall, "{}", score.row(kind));
    }
}

/// What both listeners were asked for.
fn both(mut items: Vec<Item>) -> Vec<Item> {
    items.retain(|own| ["place", "tip"].contains(&own.kind.as_str()));
    items
}

/// Two people do not label alike; how far they agree is as much as can be asked for.
#[test]
fn what_is_heard_agrees_with_listeners_as_they_agree_with_each_other() {
    let mut listeners = Scores::new();
    let mut first = Scores::new();
    let mut other = Scores::new();
    let mut either = Scores::new();
    for file in SECOND {
        let (one, two, own) = (both(labels(file)), both(second(file)), both(heard(file)));
        add(&mut listeners, file, &one, &two);
        add(&mut first, file, &one, &own);
        add(&mut other, file, &two, &own);
        add_either(&mut either, &one, &two, &own);
    }
    print("the second listener, against the first", &listeners);
    print("ours, against the first", &first);
    print("ours, against the second", &other);
    print(
        "ours: wrong is what neither listener has, missed what both have",
        &either,
    );
    assert!(
        either["tip"].precision() >= 0.95,
        "{}",
        either["tip"].row("tip")
    );
    assert!(
        either["tip"].recall() >= 0.93,
        "{}",
        either["tip"].row("tip")
    );
    // Ours is no further from a listener than the other one is.
    assert!(first["tip"].precision() >= listeners["tip"].precision());
    assert!(first["tip"].recall() >= listeners["tip"].recall());
}

/// Adds what was heard against two listeners: right is what one of them has; of the labels only
/// those count that both have.
fn add_either(scores: &mut Scores, one: &[Item], two: &[Item], heard: &[Item]) {
    let (first, other) = (pairs(one, heard), pairs(two, heard));
    let has = |own: usize| first.iter().chain(&other).any(|pair| pair.1 == own);
    for kind in ["tip", "place"] {
        let score = scores.entry(kind.to_owned()).or_default();
        for (index, _) in heard.iter().enumerate().filter(|(_, own)| own.kind == kind) {
            score.said += 1;
            score.right += usize::from(has(index));
        }
        let agreed = pairs(one, two);
        for (label, second) in agreed.iter().filter(|(label, _)| one[*label].kind == kind) {
            let found = first.iter().any(|pair| pair.0 == *label)
                || other.iter().any(|pair| pair.0 == *second);
            score.labelled += 1;
            score.found += usize::from(found);
        }
    }
}

#[test]
fn talks_that_nobody_tuned_for_are_understood_for_the_most_part() {
    let scores = scores("unread", &UNREAD);
    let all = scores["all"];
    assert!(all.precision() >= 0.75, "{}", all.row("all"));
    assert!(all.recall() >= 0.70, "{}", all.row("all"));
}

#[test]
fn a_talk_about_soup_yields_nothing() {
    assert_eq!(listen(&captions_of("7.vtt")), Talk::default());
}

#[test]
fn every_statement_quotes_the_cue_it_points_at() {
    for file in READ.into_iter().chain(UNREAD) {
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
