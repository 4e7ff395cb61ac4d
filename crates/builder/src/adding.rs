//! What a second file would add to the guide that is open: proposals, each at the place with the
//! same printed number, and where the two disagree.

use crate::beside::{
    Beside, Lost, MarkKey, Says, disagreements, mark_key, mark_words, moved_mark, part_in,
    part_words,
};
use crate::edit::tips::topic_name;
use crate::proposals::WatchList;
use crate::same_measures::Same;
use crate::state::Desk;
use cueleaf_guide::{Finding, Guide, Id, Mark, Measure, Part, Severity, Spot, Tip, Todo};
use std::collections::{BTreeMap, BTreeSet};

/// What a second file would add.
#[derive(Debug)]
pub struct Adding {
    beside: Beside,
    items: Vec<(Item, bool)>,
    known: usize,
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

impl Adding {
    /// Compares what a file holds with a guide; `fresh` gives ids that nothing has.
    #[must_use]
    pub fn new(guide: &Guide, other: &Guide, name: &str, fresh: impl FnMut() -> Id) -> Self {
        Self::compared(guide, other, (name, Says::All), fresh)
    }

    /// Compares what was heard in a talk with a guide: the two disagree only where the talk says
    /// something.
    #[must_use]
    pub fn of_talk(guide: &Guide, talk: &Guide, name: &str, fresh: impl FnMut() -> Id) -> Self {
        Self::compared(guide, talk, (name, Says::Remarks), fresh)
    }

    fn compared(
        guide: &Guide,
        other: &Guide,
        (name, says): (&str, Says),
        mut fresh: impl FnMut() -> Id,
    ) -> Self {
        let theirs = &other.road_map.measures;
        let same = Same::between(other, guide);
        let mut made = Self {
            beside: Beside::new(name, disagreements(guide, other, &same, (name, says))),
            items: Vec::new(),
            known: 0,
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
                    self.beside.lose(what, theirs, mark.measure);
                }
            }
        }
        marks
    }

    fn take_tip(&mut self, guide: &Guide, mut tip: Tip, same: &Same, theirs: &[Measure]) {
        let there = guide.tips.iter().find(|own| own.id == tip.id);
        let Some(spot) = same.spot(&tip.spot) else {
            let what = format!("{}: “{}”", topic_name(tip.topic), tip.text.trim());
            self.beside.lose(what, theirs, tip.spot.from.measure);
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
                self.beside.lose(what, theirs, spot.from.measure);
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

    /// Gives the file beside the open guide: what has no place in the guide, and where the two
    /// disagree.
    #[must_use]
    pub const fn beside(&self) -> &Beside {
        &self.beside
    }

    /// Adds what was found while the file was read.
    pub fn tell(&mut self, findings: impl IntoIterator<Item = Finding>) {
        self.beside.tell(findings);
    }

    /// Gives what can be added, each with its tick.
    #[must_use]
    pub fn items(&self) -> &[(Item, bool)] {
        &self.items
    }

    /// Gives the number of tips and tasks that are in the open guide already.
    #[must_use]
    pub const fn known(&self) -> usize {
        self.known
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
        let name = self.beside.name();
        let mut findings = self.beside.findings().to_vec();
        findings.extend(self.beside.lost().iter().map(|own| not_added(own, name)));
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
                    None => findings.push(without_part(&tip.text, name)),
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
                    None => findings.push(without_part(&todo.text, name)),
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
            let message = format!("photos or voice notes came with “{name}”");
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

fn not_added(lost: &Lost, name: &str) -> Finding {
    let message = format!(
        "{}, at {} of “{name}”, has no place in this guide and was not added",
        lost.what, lost.at
    );
    Finding::new(Severity::Warning, "found-no-place", message)
        .hint("write it at the measure where it belongs")
}

fn without_part(text: &str, name: &str) -> Finding {
    let message = format!(
        "“{}” of “{name}” is for a part that was not added, and was not added either",
        text.trim()
    );
    Finding::new(Severity::Note, "for-another-part", message)
}

#[cfg(test)]
mod tests;
