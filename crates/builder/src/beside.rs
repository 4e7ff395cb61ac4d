//! A second file beside the open guide: how its parts, marks and measures are known and named,
//! what finds no place, and where the two disagree.

use crate::edit::marks::KINDS;
use crate::same_measures::Same;
use cueleaf_guide::{Finding, Guide, Mark, MarkKind, Measure, Part, Severity};
use cueleaf_time::{BeatSpan, Key, Meter, Tempo};
use std::collections::BTreeMap;

/// The most disagreements of one kind that are told; where two files are no editions of the same
/// music, more say nothing.
///
/// # Source
/// Our decision.
pub(crate) const TOLD: usize = 12;

/// What a second file says of the piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Says {
    /// All of it: what holds at a measure holds until something else stands.
    All,
    /// Something here and there, as a talk does: only where it stands, and not how long the
    /// piece is.
    Remarks,
}

/// A second file beside the open guide.
#[derive(Debug)]
pub struct Beside {
    name: String,
    lost: Vec<Lost>,
    findings: Vec<Finding>,
}

/// Something whose place the open guide does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// What it is, in words.
    pub what: String,
    /// Where it stands in its own file, such as "measure 98".
    pub at: String,
}

impl Beside {
    pub(crate) fn new(name: &str, findings: Vec<Finding>) -> Self {
        Self {
            name: name.to_owned(),
            lost: Vec::new(),
            findings,
        }
    }

    /// Gives the file's name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Gives what finds no place.
    #[must_use]
    pub fn lost(&self) -> &[Lost] {
        &self.lost
    }

    /// Gives what is to be looked at, such as where the two disagree.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Adds what was found.
    pub(crate) fn tell(&mut self, findings: impl IntoIterator<Item = Finding>) {
        self.findings.extend(findings);
    }

    /// Says anew what to do about something that was found.
    pub(crate) fn hint(&mut self, index: usize, hint: String) {
        if let Some(finding) = self.findings.get_mut(index) {
            finding.hint = hint;
        }
    }

    /// Says at which measure something is that was found, by index and number.
    pub(crate) fn moved(&mut self, index: usize, measure: usize, number: String) {
        if let Some(finding) = self.findings.get_mut(index) {
            finding.place.measure = Some(measure);
            finding.place.label = Some(number);
        }
    }

    /// Lists what finds no place, by the measure at which it stands.
    pub(crate) fn lose(&mut self, what: String, measures: &[Measure], index: usize) {
        self.lost.push(Lost::at(what, measures, index));
    }
}

impl Lost {
    /// Tells of something at a measure of its own file.
    fn at(what: String, measures: &[Measure], index: usize) -> Self {
        let at = format!("measure {}", label(measures, index));
        Self { what, at }
    }
}

/// Gives the printed number of a measure, or "#5" for the fifth.
pub(crate) fn label(measures: &[Measure], index: usize) -> String {
    let own = measures.get(index).map_or("", |own| own.label.trim());
    if own.is_empty() {
        format!("#{}", index.saturating_add(1))
    } else {
        own.to_owned()
    }
}

/// Finds the part of a guide that a part of another is: the one of that name; a part without a
/// name is the only one there is.
pub(crate) fn part_in<'a>(guide: &'a Guide, part: &Part) -> Option<&'a Part> {
    let name = |part: &Part| part.name.trim().to_lowercase();
    match guide.parts.as_slice() {
        [only] if part.name.trim().is_empty() => Some(only),
        parts => parts.iter().find(|own| name(own) == name(part)),
    }
}

/// Gives a mark at the same place; `None` where there is none.
pub(crate) fn moved_mark(mark: &Mark, same: &Same) -> Option<Mark> {
    let mut own = mark.clone();
    own.measure = same.measure(mark.measure)?;
    own.to = mark.to.and_then(|to| same.end(mark.measure, to));
    Some(own)
}

/// By what a mark is known: its place, its kind and what is printed.
pub(crate) type MarkKey<'a> = (usize, BeatSpan, MarkKind, &'a str);

/// Tells by what a mark is known.
pub(crate) fn mark_key(mark: &Mark) -> MarkKey<'_> {
    (mark.measure, mark.at, mark.kind, mark.text.trim())
}

/// Names a mark: "pizz.", "a dynamic, mf".
pub(crate) fn mark_words(mark: &Mark) -> String {
    let name = KINDS.iter().find(|(_, kind, _)| *kind == mark.kind);
    let name = name.map_or("a mark", |(_, _, name)| *name);
    match mark.text.trim() {
        "" => name.to_owned(),
        text => format!("{name}, {text}"),
    }
}

/// Names a part, also one without a name.
pub(crate) fn part_words(part: &Part) -> &str {
    match part.name.trim() {
        "" => "the part",
        name => name,
    }
}

/// What stands at a measure, from there or from before.
#[derive(Clone, Default)]
struct InForce<'a> {
    meter: Option<&'a Meter>,
    key: Option<Key>,
    tempo: Option<Tempo>,
    /// Where a gradual change that begins here goes.
    aim: Option<Tempo>,
}

/// Gives the number of the tempo that is in force at a measure.
pub(crate) fn tempo_in_force(measures: &[Measure], index: usize) -> Option<Tempo> {
    in_force(measures.get(..=index)?).pop()?.tempo
}

/// A gradual change is on its way until it is where it goes; where that is, is known of the
/// measure at which it begins alone.
fn in_force(measures: &[Measure]) -> Vec<InForce<'_>> {
    let mut now = InForce::default();
    let mut reached: BTreeMap<usize, Tempo> = BTreeMap::new();
    let each = measures.iter().enumerate().map(|(index, measure)| {
        now.meter = measure.meter.as_ref().or(now.meter);
        now.key = measure.key.or(now.key);
        now.tempo = reached.remove(&index).or(now.tempo);
        now.aim = None;
        for mark in &measure.tempo {
            match mark.until {
                None => now.tempo = mark.tempo.or(now.tempo),
                Some(until) => {
                    now.aim = mark.tempo.or(now.aim);
                    if until.measure > index {
                        reached.extend(mark.tempo.map(|tempo| (until.measure, tempo)));
                    } else {
                        now.tempo = mark.tempo.or(now.tempo);
                    }
                }
            }
        }
        now.clone()
    });
    each.collect()
}

/// Tells where a guide and what a file holds disagree, quoting both: in the number of measures,
/// and in meter, key and tempo wherever a difference begins. What the file does not say is no
/// disagreement; what the guide does not say is worth knowing. `same` leads from the file to the
/// guide.
pub(crate) fn disagreements(
    guide: &Guide,
    other: &Guide,
    same: &Same,
    (name, says): (&str, Says),
) -> Vec<Finding> {
    let (ours, theirs) = (&guide.road_map.measures, &other.road_map.measures);
    let mut findings = Vec::new();
    let title = guide.title.trim();
    let title = if title.is_empty() {
        "this guide".to_owned()
    } else {
        format!("“{title}”")
    };
    if ours.len() != theirs.len() && says == Says::All {
        let message = format!(
            "{title} has {} measures, “{name}” has {}",
            ours.len(),
            theirs.len()
        );
        findings.push(Finding::new(Severity::Warning, "other-length", message));
    }
    let here = in_force(ours);
    let there = match says {
        Says::All => in_force(theirs),
        Says::Remarks => theirs
            .iter()
            .flat_map(|measure| in_force(core::slice::from_ref(measure)))
            .collect(),
    };
    let mut differs = |code: &'static str, text: &dyn Fn(&InForce<'_>) -> Option<String>| {
        let mut before = None;
        let mut count = 0;
        for (theirs_at, ours_at) in same.pairs() {
            let own = here.get(ours_at).and_then(text);
            let their = there.get(theirs_at).and_then(text);
            let now = their.filter(|their| own.as_ref() != Some(their));
            let now = now.map(|their| (own, their));
            if now == before {
                continue;
            }
            if let Some((own, their)) = &now {
                count += 1;
                let at = label(theirs, theirs_at);
                let (severity, code, message) = match own {
                    Some(own) => (
                        Severity::Warning,
                        code,
                        format!("{title} has {own} here, “{name}” has {their} at its measure {at}"),
                    ),
                    None => (
                        Severity::Note,
                        "said-there-only",
                        format!(
                            "{title} says nothing here, “{name}” has {their} at its measure {at}"
                        ),
                    ),
                };
                if count <= TOLD {
                    findings.push(
                        Finding::new(severity, code, message)
                            .at_measure(ours_at, &label(ours, ours_at))
                            .hint("look at the print"),
                    );
                }
            }
            before = now;
        }
        if count > TOLD {
            let more = count - TOLD;
            let message = format!("{title} and “{name}” disagree like this at {more} more places");
            findings.push(Finding::new(Severity::Warning, code, message));
        }
    };
    differs("other-meter", &|own| own.meter.map(ToString::to_string));
    differs("other-key", &|own| own.key.map(key_words));
    differs("other-tempo", &|own| own.tempo.map(Tempo::said));
    differs("other-aim", &|own| own.aim.map(Tempo::said));
    findings
}

pub(crate) fn key_words(key: Key) -> String {
    let fifths = key.fifths();
    let count = fifths.unsigned_abs();
    let sign = if fifths < 0 { "flat" } else { "sharp" };
    match count {
        0 => "no sharps or flats".to_owned(),
        1 => format!("1 {sign}"),
        _ => format!("{count} {sign}s"),
    }
}
