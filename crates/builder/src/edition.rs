//! A corrected edition of the part: the road map and marks of a new file, under what the teacher
//! wrote.

mod measure;
mod tempi;

pub use tempi::{Source, TempoChoice};

use self::measure::{At, Became, Speaks, keep, keep_unknown, written_at};
use crate::beside::{
    Beside, MarkKey, Says, disagreements, label, mark_key, mark_words, moved_mark, part_in,
    part_words,
};
use crate::edit::tips::topic_name;
use crate::proposals::WatchList;
use crate::same_measures::Same;
use cueleaf_guide::{Finding, Guide, Measure, Part, Place, Severity, Spot};
use std::collections::BTreeMap;

/// A guide under which the road map of another file was put.
#[derive(Debug)]
pub struct Edition {
    beside: Beside,
    same: Same,
    made: Guide,
    placed: usize,
    moved: usize,
    tempi: Vec<TempoChoice>,
    /// What the notes of the new file propose.
    pub watch_list: Option<WatchList>,
}

impl Edition {
    /// Puts the road map and the marks of a file under the tips, tasks and settings of a guide.
    ///
    /// What the file does not say at a measure and the teacher wrote there stays, and where the
    /// file says otherwise, what she wrote is told. Repeats and jumps belong together: they stay
    /// where the file has none at all. Tips and tasks go to the same measures; what finds none
    /// stays in the guide, near where it was, and is listed.
    #[must_use]
    pub fn new(guide: &Guide, other: &Guide, name: &str) -> Self {
        let (ours, theirs) = (&guide.road_map.measures, &other.road_map.measures);
        let same = Same::between(guide, other);
        let back = Same::between(other, guide);
        let mut made = guide.clone();
        let mut edition = Self {
            beside: Beside::new(name, disagreements(guide, other, &back, (name, Says::All))),
            same: same.clone(),
            placed: 0,
            moved: 0,
            tempi: Vec::new(),
            watch_list: None,
            made: guide.clone(),
        };
        made.road_map.measures.clone_from(theirs);
        let first = edition.beside.findings().len();
        edition.tell_moved(ours, theirs);
        edition.take_measures(&mut made.road_map.measures, ours, &same);
        for index in (0..ours.len()).filter(|index| same.measure(*index).is_none()) {
            let what = ours.get(index).map(written_at).unwrap_or_default();
            if !what.is_empty() {
                edition.beside.lose(what.join(", "), ours, index);
            }
        }
        for part in &mut made.parts {
            edition.take_part(part, other, guide, &same);
        }
        for tip in &mut made.tips {
            let what = format!("{}: “{}”", topic_name(tip.topic), tip.text.trim());
            tip.spot = edition.spot(&tip.spot, what, ours, &same);
        }
        for todo in &mut made.todos {
            let what = format!("to do: “{}”", todo.text.trim());
            todo.spot = todo.spot.map(|spot| edition.spot(&spot, what, ours, &same));
        }
        edition.made = made;
        edition.settle_tempi(first, ours, theirs);
        edition
    }

    fn spot(&mut self, spot: &Spot, what: String, ours: &[Measure], same: &Same) -> Spot {
        match same.spot(spot) {
            Some(found) => {
                self.placed += 1;
                self.moved += usize::from(found != *spot);
                found
            }
            None => {
                self.beside.lose(what, ours, spot.from.measure);
                let near = same.near(spot.from.measure);
                Spot::at(Place::start_of(near))
            }
        }
    }

    /// Keeps at the measures of the file what was written at the same measures before.
    fn take_measures(&mut self, made: &mut [Measure], ours: &[Measure], same: &Same) {
        let speaks = Speaks::of(made);
        let (mut repeats, mut jumps) = (false, false);
        for (ours_at, theirs_at) in same.pairs() {
            let at = At {
                ours: ours_at,
                theirs: theirs_at,
            };
            let Some((own, new)) = ours.get(ours_at).zip(made.get_mut(theirs_at)) else {
                continue;
            };
            let became = keep(new, own, at, speaks, same);
            repeats |= became.repeats_stay;
            jumps |= became.jumps_stay;
            self.tell_became(became, made, theirs_at);
        }
        let families = [(repeats, "repeats and endings"), (jumps, "jumps")];
        for (_, what) in families.into_iter().filter(|(stay, _)| *stay) {
            let message = format!(
                "“{}” has no {what}; those of this guide stay",
                self.beside.name()
            );
            self.beside
                .tell([Finding::new(Severity::Note, "order-stays", message)
                    .hint("take them away if the new edition corrected them")]);
        }
    }

    /// Tells from where on the file numbers the same measures otherwise.
    fn tell_moved(&mut self, ours: &[Measure], theirs: &[Measure]) {
        let number = |own: Option<&Measure>| own.map(|own| own.label.trim().to_owned());
        let moved = self.same.pairs().find_map(|(from, to)| {
            let (own, new) = (number(ours.get(from))?, number(theirs.get(to))?);
            let differs = own != new && !own.is_empty() && !new.is_empty();
            differs.then_some((own, new, to))
        });
        let Some((own, new, at)) = moved else { return };
        let message = format!(
            "measure {own} of this guide is {new} in “{}”, by what is printed around it",
            self.beside.name()
        );
        self.beside
            .tell([Finding::new(Severity::Note, "numbers-moved", message)
                .at_measure(at, &new)
                .hint("look at the tips and tasks after it")]);
    }

    fn tell_became(&mut self, became: Became, made: &[Measure], at: usize) {
        let label = label(made, at);
        for what in became.stays {
            let message = format!("{what}: not in “{}”, and stays", self.beside.name());
            self.beside
                .tell([Finding::new(Severity::Note, "sign-stays", message)
                    .at_measure(at, &label)
                    .hint("take it away if the new edition corrected it")]);
        }
        for what in became.gone {
            let message = format!("{what}: not in “{}”, and is gone", self.beside.name());
            self.beside
                .tell([Finding::new(Severity::Warning, "sign-gone", message)
                    .at_measure(at, &label)
                    .hint("write it again if the print has it")]);
        }
    }

    /// Gives a part the marks of the file, and those of the teacher that the file lacks.
    fn take_part(&mut self, part: &mut Part, other: &Guide, guide: &Guide, same: &Same) {
        let ours = &guide.road_map.measures;
        let theirs = other.parts.iter();
        let new = match (other.parts.as_slice(), guide.parts.as_slice()) {
            ([only], [_]) => Some(only),
            _ => theirs
                .into_iter()
                .find(|own| part_in(guide, own).is_some_and(|there| there.id == part.id)),
        };
        let before = core::mem::take(&mut part.marks);
        part.marks = new.map(|own| own.marks.clone()).unwrap_or_default();
        let known: BTreeMap<MarkKey<'_>, usize> = new
            .iter()
            .flat_map(|own| own.marks.iter().enumerate())
            .map(|(index, mark)| (mark_key(mark), index))
            .collect();
        for mark in before {
            let Some(own) = moved_mark(&mark, same) else {
                let what = format!("{} of {}", mark_words(&mark), part_words(part));
                self.beside.lose(what, ours, mark.measure);
                continue;
            };
            let there = known.get(&mark_key(&own)).copied();
            if let Some(there) = there.and_then(|index| part.marks.get_mut(index)) {
                there.to = there.to.or(own.to);
                keep_unknown(&mut there.extra, &own.extra);
                continue;
            }
            if new.is_some() {
                let message = format!(
                    "{} of {} is not in “{}”, and stays",
                    mark_words(&own),
                    part_words(part),
                    self.beside.name()
                );
                let measures = &other.road_map.measures;
                self.beside
                    .tell([Finding::new(Severity::Note, "mark-stays", message)
                        .at_measure(own.measure, &label(measures, own.measure))
                        .hint("take it away if the new edition corrected it")]);
            }
            part.marks.push(own);
        }
        part.marks.sort_by_key(|mark| (mark.measure, mark.at));
    }

    /// Gives the file beside the guide: what found no place, which is tips and tasks, which stay
    /// near where they were, and what was written at measures that the new edition does not have;
    /// and where the two disagree. The new edition is right about what is printed.
    #[must_use]
    pub const fn beside(&self) -> &Beside {
        &self.beside
    }

    /// Gives which measures of the guide are which of the new road map.
    #[must_use]
    pub const fn same(&self) -> &Same {
        &self.same
    }

    /// Gives the guide with the new road map.
    #[must_use]
    pub const fn guide(&self) -> &Guide {
        &self.made
    }

    /// Gives how many tips and tasks found their measure, and how many of these have another
    /// index now.
    #[must_use]
    pub const fn placed(&self) -> (usize, usize) {
        (self.placed, self.moved)
    }

    /// Adds what was found while the file was read.
    pub fn tell(&mut self, findings: impl IntoIterator<Item = Finding>) {
        self.beside.tell(findings);
    }

    /// Gives everything that is to be looked at once the edition is taken.
    #[must_use]
    pub fn all_findings(&self) -> Vec<Finding> {
        let lost = self.beside.lost().iter().map(|own| {
            let message = format!(
                "{}, at {} before, has no place in “{}”",
                own.what,
                own.at,
                self.beside.name()
            );
            Finding::new(Severity::Warning, "found-no-place", message)
                .hint("a tip or task stands near where it was; give it its measure")
        });
        self.beside.findings().iter().cloned().chain(lost).collect()
    }
}

#[cfg(test)]
mod tests;
