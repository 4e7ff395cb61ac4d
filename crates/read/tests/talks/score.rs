//! How what was heard is held against labels.

use crate::item::{Item, words_of};
use std::collections::BTreeMap;

/// How like its label a statement has to be.
///
/// Always alike are the kind and the place, and the value of a fact or place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Measure {
    /// To the letter: the cue of a fact, a mis-hearing word for word; advice about the same topic,
    /// with at least half of the words of each excerpt in the other.
    Letter,
    /// In sense: a fact may begin one cue off, of a mis-hearing the words that differ count; of
    /// advice twice the words that both excerpts have are at least half of all words of both, so
    /// neither a whole page nor a single word matches a sentence. Its topic is counted apart, of
    /// the tips found.
    Sense,
}

/// How well something heard fits a label, from 0 to 1; `None` when it does not match.
fn fit(measure: Measure, label: &Item, own: &Item) -> Option<f64> {
    if label.kind != own.kind || label.place != own.place {
        return None;
    }
    let apart = label.line.abs_diff(own.line);
    // Whether a name is told with its article is a matter of taste.
    let bare = |item: &Item| item.value.trim_start_matches("the ").to_owned();
    let same_value = bare(label) == bare(own);
    let same = match (label.kind.as_str(), measure) {
        ("tip", _) => {
            let fit = shared(measure, &label.words, &own.words);
            let about = same_value || measure == Measure::Sense;
            return Some(fit).filter(|fit| about && apart <= 1 && *fit >= HALF);
        }
        ("correction", Measure::Sense) => apart == 0 && misheard(label) == misheard(own),
        ("place" | "correction", _) | (_, Measure::Letter) => {
            apart == 0 && same_value && label.words == own.words
        }
        // Where a cue ends in "and it's", listeners differ in whether the fact begins there.
        (_, Measure::Sense) => apart <= 1 && same_value && label.words == own.words,
    };
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

/// Gives the share of words that two excerpts have in common, from 0 to 1: of all words, or of
/// those of the longer one.
fn shared(measure: Measure, one: &[String], other: &[String]) -> f64 {
    let mut left = other.to_vec();
    let common = one
        .iter()
        .filter(|word| {
            let found = left.iter().position(|own| own == *word);
            found.map(|index| left.swap_remove(index)).is_some()
        })
        .count();
    match measure {
        Measure::Letter => ratio(common, one.len().max(other.len())),
        Measure::Sense => ratio(2 * common, one.len() + other.len()),
    }
}

/// Pairs labels with what was heard, one each, the best fits first; gives indices of both.
pub(crate) fn pairs(measure: Measure, labels: &[Item], heard: &[Item]) -> Vec<(usize, usize)> {
    let mut fits: Vec<(f64, usize, usize)> = Vec::new();
    for (index, label) in labels.iter().enumerate() {
        for (own, item) in heard.iter().enumerate() {
            fits.extend(fit(measure, label, item).map(|fit| (fit, index, own)));
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
pub(crate) struct Score {
    pub(crate) right: usize,
    pub(crate) said: usize,
    pub(crate) found: usize,
    pub(crate) labelled: usize,
}

impl Score {
    pub(crate) fn precision(self) -> f64 {
        ratio(self.right, self.said)
    }

    pub(crate) fn recall(self) -> f64 {
        ratio(self.found, self.labelled)
    }

    pub(crate) fn row(self, name: &str) -> String {
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

pub(crate) type Scores = BTreeMap<String, Score>;

/// Adds what was heard in a talk, against labels, by kind, by file and in all.
pub(crate) fn add(
    scores: &mut Scores,
    measure: Measure,
    file: &str,
    labels: &[Item],
    heard: &[Item],
) {
    let pairs = pairs(measure, labels, heard);
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
    // To the letter a tip has its topic.
    let tips = pairs
        .iter()
        .filter(|(label, _)| labels[*label].kind == "tip" && measure == Measure::Sense);
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
pub(crate) fn show(file: &str, labels: &[Item], heard: &[Item]) {
    let pairs = pairs(Measure::Sense, labels, heard);
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

pub(crate) fn print(title: &str, scores: &Scores) {
    println!("{title}");
    for (name, score) in scores {
        println!("{}", score.row(name));
    }
}
