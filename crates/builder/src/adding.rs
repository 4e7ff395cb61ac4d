//! What a second file would add to the guide that is open: proposals, each at the place with the
//! same printed number, and where the two disagree.

use crate::edit::marks::KINDS;
use crate::edit::tips::topic_name;
use crate::proposals::WatchList;
use crate::same_measures::Same;
use crate::state::Desk;
use cueleaf_guide::{Finding, Guide, Id, Mark, MarkKind, Measure, Part, Severity, Spot, Tip, Todo};
use cueleaf_time::{BeatSpan, Key, Meter, Tempo};
use std::collections::{BTreeMap, BTreeSet};

/// The most disagreements of one kind that are told; where two files are no editions of the same
/// music, more say nothing.
///
/// # Source
/// Our decision.
const TOLD: usize = 12;

/// What a second file would add.
#[derive(Debug)]
pub struct Adding {
    name: String,
    items: Vec<(Item, bool)>,
    lost: Vec<Lost>,
    known: usize,
    findings: Vec<Finding>,
    /// What the notes of its parts propose, where it has notes.
    pub watch_list: Option<WatchList>,
    /// The same file as a document of its own, where it is a guide.
    pub own: Option<Box<Desk>>,
}

/// Something that can be added.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A part with its marks.
    Part(Part),
    /// Marks that a part of the guide does not have: the part's id, and they.
    Marks(Id, Vec<Mark>),
    /// A tip.
    Tip(Tip),
    /// Another text, place or topic of a tip that is there, with its text now.
    Change(Tip, String),
    /// A task.
    Todo(Todo),
    /// Another text or place of a task that is there, with its text now.
    TodoChange(Todo, String),
}

/// Something whose place the open guide does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// What it is, in words.
    pub what: String,
    /// Where it stands in its own file, such as "measure 98".
    pub at: String,
}

impl Adding {
    /// Compares what a file holds with a guide; `fresh` gives ids that nothing has.
    #[must_use]
    pub fn new(guide: &Guide, other: &Guide, name: &str, mut fresh: impl FnMut() -> Id) -> Self {
        let (ours, theirs) = (&guide.road_map.measures, &other.road_map.measures);
        let same = Same::of(theirs, ours);
        let mut made = Self {
            name: name.to_owned(),
            items: Vec::new(),
            lost: Vec::new(),
            known: 0,
            findings: disagreements(guide, other, &same, name),
            watch_list: None,
            own: None,
        };
        let mut parts: BTreeMap<&Id, Id> = BTreeMap::new();
        for part in &other.parts {
            let mut own = part.clone();
            own.marks = made.placed_marks(part, theirs, &same);
            let there = part_in(guide, part);
            own.id = match there {
                Some(there) => there.id.clone(),
                None if guide.part(&part.id).is_none() => part.id.clone(),
                None => fresh(),
            };
            parts.insert(&part.id, own.id.clone());
            match there {
                None => made.items.push((Item::Part(own), true)),
                Some(there) => {
                    let known: BTreeSet<MarkKey<'_>> = there.marks.iter().map(mark_key).collect();
                    own.marks.retain(|mark| !known.contains(&mark_key(mark)));
                    if !own.marks.is_empty() {
                        made.items.push((Item::Marks(own.id, own.marks), true));
                    }
                }
            }
        }
        let new_parts = parts.values().filter(|id| guide.part(id).is_none());
        let several = guide.parts.len() + new_parts.count() > 1;
        // What is for all parts of a file with one part is for that part.
        let for_parts = |own: &[Id]| -> Vec<Id> {
            match other.parts.as_slice() {
                [only] if own.is_empty() && several => {
                    parts.get(&only.id).cloned().into_iter().collect()
                }
                _ => own.iter().filter_map(|id| parts.get(id).cloned()).collect(),
            }
        };
        // In another guide the same id is chance.
        let is_same_guide = guide.id == other.id;
        let mut taken: BTreeSet<Id> = BTreeSet::new();
        if !is_same_guide {
            taken.extend(guide.tips.iter().map(|tip| tip.id.clone()));
            taken.extend(guide.todos.iter().map(|todo| todo.id.clone()));
        }
        let mut own_id = |id: &Id| {
            if taken.contains(id) {
                fresh()
            } else {
                id.clone()
            }
        };
        for tip in &other.tips {
            let mut own = tip.clone();
            own.id = own_id(&tip.id);
            own.parts = for_parts(&tip.parts);
            made.take_tip(guide, own, &same, theirs);
        }
        for todo in &other.todos {
            let mut own = todo.clone();
            own.id = own_id(&todo.id);
            own.parts = for_parts(&todo.parts);
            made.take_todo(guide, own, &same, theirs);
        }
        made
    }

    fn placed_marks(&mut self, part: &Part, theirs: &[Measure], same: &Same) -> Vec<Mark> {
        let mut marks = Vec::new();
        for mark in &part.marks {
            match moved_mark(mark, same) {
                Some(own) => marks.push(own),
                None => {
                    let what = format!("{} of {}", mark_words(mark), part_words(part));
                    self.lost.push(Lost::at(what, theirs, mark.measure));
                }
            }
        }
        marks
    }

    fn take_tip(&mut self, guide: &Guide, mut tip: Tip, same: &Same, theirs: &[Measure]) {
        let there = guide.tips.iter().find(|own| own.id == tip.id);
        let Some(spot) = same.spot(&tip.spot) else {
            let what = format!("{}: “{}”", topic_name(tip.topic), tip.text.trim());
            self.lost
                .push(Lost::at(what, theirs, tip.spot.from.measure));
            return;
        };
        tip.spot = spot;
        match there {
            None if guide.tips.iter().any(|own| says_the_same(own, &tip)) => self.known += 1,
            None => self.items.push((Item::Tip(tip), true)),
            Some(own) => {
                // For whom it is, is decided in the guide that is open.
                tip.parts.clone_from(&own.parts);
                if tip == *own {
                    self.known += 1;
                } else {
                    let before = own.text.clone();
                    self.items.push((Item::Change(tip, before), false));
                }
            }
        }
    }

    fn take_todo(&mut self, guide: &Guide, mut todo: Todo, same: &Same, theirs: &[Measure]) {
        let there = guide.todos.iter().find(|own| own.id == todo.id);
        if let Some(spot) = &todo.spot {
            let Some(moved) = same.spot(spot) else {
                let what = format!("to do: “{}”", todo.text.trim());
                self.lost.push(Lost::at(what, theirs, spot.from.measure));
                return;
            };
            todo.spot = Some(moved);
        }
        match there {
            None if guide.todos.iter().any(|own| asks_the_same(own, &todo)) => self.known += 1,
            None => self.items.push((Item::Todo(todo), true)),
            Some(own) => {
                todo.parts.clone_from(&own.parts);
                if todo == *own {
                    self.known += 1;
                } else {
                    let before = own.text.clone();
                    self.items.push((Item::TodoChange(todo, before), false));
                }
            }
        }
    }

    /// Gives the file's name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Gives what can be added, each with its tick.
    #[must_use]
    pub fn items(&self) -> &[(Item, bool)] {
        &self.items
    }

    /// Gives what has no place in the open guide.
    #[must_use]
    pub fn lost(&self) -> &[Lost] {
        &self.lost
    }

    /// Gives the number of tips and tasks that are in the open guide already.
    #[must_use]
    pub const fn known(&self) -> usize {
        self.known
    }

    /// Gives where the two disagree.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Adds what was found while the file was read.
    pub fn tell(&mut self, findings: impl IntoIterator<Item = Finding>) {
        self.findings.extend(findings);
    }

    /// Gives the number of ticked items.
    #[must_use]
    pub fn count(&self) -> usize {
        self.items.iter().filter(|(_, ticked)| *ticked).count()
    }

    /// Ticks an item, or takes its tick away.
    pub fn toggle(&mut self, index: usize) {
        if let Some((_, ticked)) = self.items.get_mut(index) {
            *ticked = !*ticked;
        }
    }

    /// Gives the guide with what is ticked; and what was left out though it was ticked or has no
    /// place, and where the two disagree, as findings.
    #[must_use]
    pub fn added(&self, guide: &Guide) -> (Guide, Vec<Finding>) {
        let mut made = guide.clone();
        let mut findings = self.findings.clone();
        findings.extend(self.lost.iter().map(|own| own.finding(&self.name)));
        let ticked = || self.items.iter().filter(|(_, ticked)| *ticked);
        let new_parts: Vec<&Part> = ticked()
            .filter_map(|(item, _)| match item {
                Item::Part(part) => Some(part),
                _ => None,
            })
            .collect();
        if !new_parts.is_empty() {
            keep_to_its_part(&mut made);
        }
        made.parts.extend(new_parts.into_iter().cloned());
        for (item, _) in ticked() {
            match item {
                Item::Part(_) => {}
                Item::Marks(id, marks) => {
                    if let Some(part) = made.parts.iter_mut().find(|part| part.id == *id) {
                        part.marks.extend(marks.iter().cloned());
                        part.marks.sort_by_key(|mark| (mark.measure, mark.at));
                    }
                }
                Item::Tip(tip) => match for_those_there(&made, &tip.parts) {
                    Some(parts) => made.tips.push(Tip {
                        parts,
                        ..tip.clone()
                    }),
                    None => findings.push(without_part(&tip.text, &self.name)),
                },
                Item::Change(tip, _) => {
                    if let Some(own) = made.tips.iter_mut().find(|own| own.id == tip.id) {
                        own.clone_from(tip);
                    }
                }
                Item::TodoChange(todo, _) => {
                    if let Some(own) = made.todos.iter_mut().find(|own| own.id == todo.id) {
                        own.clone_from(todo);
                    }
                }
                Item::Todo(todo) => match for_those_there(&made, &todo.parts) {
                    Some(parts) => made.todos.push(Todo {
                        parts,
                        ..todo.clone()
                    }),
                    None => findings.push(without_part(&todo.text, &self.name)),
                },
            }
        }
        let with_media = |(item, _): &(Item, bool)| match item {
            Item::Tip(tip) | Item::Change(tip, _) => tip.photo.is_some() || tip.voice.is_some(),
            _ => false,
        };
        if made.settings.may_share && ticked().any(with_media) {
            // What she confirmed was about her own.
            made.settings.may_share = false;
            let message = format!("photos or voice notes came with “{}”", self.name);
            findings.push(
                Finding::new(Severity::Warning, "media-from-elsewhere", message)
                    .hint("say anew, where you hand out, that you may hand them out"),
            );
        }
        (made, findings)
    }
}

impl Item {
    /// Gives where it stands in the open guide, where it has one place.
    #[must_use]
    pub const fn spot(&self) -> Option<&Spot> {
        match self {
            Self::Part(_) | Self::Marks(..) => None,
            Self::Tip(tip) | Self::Change(tip, _) => Some(&tip.spot),
            Self::Todo(todo) | Self::TodoChange(todo, _) => todo.spot.as_ref(),
        }
    }
}

impl Lost {
    /// Tells of something at a measure of its own file.
    #[must_use]
    pub fn at(what: String, measures: &[Measure], index: usize) -> Self {
        let at = format!("measure {}", label(measures, index));
        Self { what, at }
    }

    /// Gives it as a finding about a file.
    #[must_use]
    pub fn finding(&self, name: &str) -> Finding {
        let message = format!(
            "{}, at {} of “{name}”, has no place in this guide and was not added",
            self.what, self.at
        );
        Finding::new(Severity::Warning, "found-no-place", message)
            .hint("write it at the measure where it belongs")
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

fn says_the_same(one: &Tip, other: &Tip) -> bool {
    (one.spot, one.topic, one.text.trim()) == (other.spot, other.topic, other.text.trim())
        && one.parts == other.parts
        && (other.photo.is_none() || one.photo == other.photo)
        && (other.voice.is_none() || one.voice == other.voice)
}

fn asks_the_same(one: &Todo, other: &Todo) -> bool {
    one.text.trim() == other.text.trim() && one.spot == other.spot && one.parts == other.parts
}

/// Once a guide has a second part, what was for all of its one part stays with that.
fn keep_to_its_part(guide: &mut Guide) {
    let [only] = guide.parts.as_slice() else {
        return;
    };
    let only = only.id.clone();
    let all = guide.tips.iter_mut().map(|tip| &mut tip.parts);
    let all = all.chain(guide.todos.iter_mut().map(|todo| &mut todo.parts));
    for parts in all.filter(|parts| parts.is_empty()) {
        parts.push(only.clone());
    }
}

/// Gives the parts that a guide has; `None` when it was for parts of which it has none.
fn for_those_there(guide: &Guide, parts: &[Id]) -> Option<Vec<Id>> {
    let there = parts.iter().filter(|id| guide.part(id).is_some());
    let there: Vec<Id> = there.cloned().collect();
    (parts.is_empty() || !there.is_empty()).then_some(there)
}

fn without_part(text: &str, name: &str) -> Finding {
    let message = format!(
        "“{}” of “{name}” is for a part that was not added, and was not added either",
        text.trim()
    );
    Finding::new(Severity::Note, "for-another-part", message)
}

/// What stands at a measure, from there or from before.
#[derive(Clone, Default)]
struct InForce<'a> {
    meter: Option<&'a Meter>,
    key: Option<Key>,
    tempo: Option<Tempo>,
}

fn in_force(measures: &[Measure]) -> Vec<InForce<'_>> {
    let mut now = InForce::default();
    let each = measures.iter().map(|measure| {
        now.meter = measure.meter.as_ref().or(now.meter);
        now.key = measure.key.or(now.key);
        let marks = measure.tempo.iter().rev();
        now.tempo = marks.filter_map(|mark| mark.tempo).next().or(now.tempo);
        now.clone()
    });
    each.collect()
}

/// Tells where a guide and what a file holds disagree, quoting both: in the number of measures,
/// and in meter, key and tempo wherever a difference begins. What the file does not say is no
/// disagreement; what the guide does not say is worth knowing. `same` leads from the file to the
/// guide.
pub(crate) fn disagreements(guide: &Guide, other: &Guide, same: &Same, name: &str) -> Vec<Finding> {
    let (ours, theirs) = (&guide.road_map.measures, &other.road_map.measures);
    let mut findings = Vec::new();
    let title = guide.title.trim();
    let title = if title.is_empty() {
        "this guide".to_owned()
    } else {
        format!("“{title}”")
    };
    if ours.len() != theirs.len() {
        let message = format!(
            "{title} has {} measures, “{name}” has {}",
            ours.len(),
            theirs.len()
        );
        findings.push(Finding::new(Severity::Warning, "other-length", message));
    }
    let (here, there) = (in_force(ours), in_force(theirs));
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
    differs("other-tempo", &|own| {
        own.tempo.map(|tempo| tempo.to_string())
    });
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

#[cfg(test)]
mod tests;
