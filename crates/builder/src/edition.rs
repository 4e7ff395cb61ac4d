//! A corrected edition of the part: the road map and marks of a new file, under what the teacher
//! wrote.

use crate::adding::{
    Lost, disagreements, is_same_mark, label, mark_words, moved_mark, part_in, part_words,
};
use crate::edit::tips::topic_name;
use crate::proposals::WatchList;
use crate::same_measures::Same;
use cueleaf_guide::{Finding, Guide, Hold, Measure, Part, Place, Severity, Spot, TempoMark};

/// A guide under which the road map of another file was put.
#[derive(Debug)]
pub struct Edition {
    name: String,
    made: Guide,
    placed: usize,
    moved: usize,
    lost: Vec<Lost>,
    findings: Vec<Finding>,
    /// What the notes of the new file propose.
    pub watch_list: Option<WatchList>,
}

impl Edition {
    /// Puts the road map and the marks of a file under the tips, tasks and settings of a guide.
    ///
    /// What the file does not say at a measure and the teacher wrote there stays: groups, counts,
    /// sections, tempi and the lengths of holds. Tips and tasks go to the same measures; what
    /// finds none stays in the guide, near where it was, and is listed.
    #[must_use]
    pub fn new(guide: &Guide, other: &Guide, name: &str) -> Self {
        let (ours, theirs) = (&guide.road_map.measures, &other.road_map.measures);
        let same = Same::of(ours, theirs);
        let back = Same::of(theirs, ours);
        let mut made = guide.clone();
        let mut edition = Self {
            name: name.to_owned(),
            placed: 0,
            moved: 0,
            lost: Vec::new(),
            findings: disagreements(guide, other, &back, name),
            watch_list: None,
            made: guide.clone(),
        };
        made.road_map.measures.clone_from(theirs);
        for (ours_at, theirs_at) in same.pairs() {
            if let (Some(own), Some(new)) =
                (ours.get(ours_at), made.road_map.measures.get_mut(theirs_at))
            {
                keep_what_was_written(new, own, &same);
            }
        }
        for index in (0..ours.len()).filter(|index| same.measure(*index).is_none()) {
            let what = ours.get(index).map(written_at).unwrap_or_default();
            if !what.is_empty() {
                edition.lost.push(Lost::at(what.join(", "), ours, index));
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
                self.lost.push(Lost::at(what, ours, spot.from.measure));
                let near = same.near(spot.from.measure);
                Spot::at(Place::start_of(near))
            }
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
        for mark in before {
            let Some(own) = moved_mark(&mark, same) else {
                let what = format!("{} of {}", mark_words(&mark), part_words(part));
                self.lost.push(Lost::at(what, ours, mark.measure));
                continue;
            };
            if part.marks.iter().any(|there| is_same_mark(there, &own)) {
                continue;
            }
            if new.is_some() {
                let message = format!(
                    "{} of {} is not in “{}”, and stays",
                    mark_words(&own),
                    part_words(part),
                    self.name
                );
                let measures = &other.road_map.measures;
                self.findings.push(
                    Finding::new(Severity::Note, "mark-stays", message)
                        .at_measure(own.measure, &label(measures, own.measure))
                        .hint("take it away if the new edition corrected it"),
                );
            }
            part.marks.push(own);
        }
        part.marks.sort_by_key(|mark| (mark.measure, mark.at));
    }

    /// Gives the file's name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
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

    /// Gives what found no place: tips and tasks, which stay near where they were, and what was
    /// written at measures that the new edition does not have.
    #[must_use]
    pub fn lost(&self) -> &[Lost] {
        &self.lost
    }

    /// Gives where the two disagree. The new edition is right about what is printed.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Adds what was found while the file was read.
    pub fn tell(&mut self, findings: impl IntoIterator<Item = Finding>) {
        self.findings.extend(findings);
    }

    /// Gives everything that is to be looked at once the edition is taken.
    #[must_use]
    pub fn all_findings(&self) -> Vec<Finding> {
        let lost = self.lost.iter().map(|own| {
            let message = format!(
                "{}, at {} before, has no place in “{}”",
                own.what, own.at, self.name
            );
            Finding::new(Severity::Warning, "found-no-place", message)
                .hint("a tip or task stands near where it was; give it its measure")
        });
        self.findings.iter().cloned().chain(lost).collect()
    }
}

/// Keeps at a measure of the new edition what the teacher wrote at the same measure, where the
/// edition says nothing.
fn keep_what_was_written(new: &mut Measure, own: &Measure, same: &Same) {
    fn keep<T: Clone>(new: &mut Option<T>, own: &Option<T>) {
        if new.is_none() {
            new.clone_from(own);
        }
    }
    if new.meter.is_none() || new.meter == own.meter {
        keep(&mut new.groups, &own.groups);
    }
    keep(&mut new.count, &own.count);
    keep(&mut new.section, &own.section);
    keep(&mut new.mark, &own.mark);
    keep(&mut new.movement, &own.movement);
    new.cut |= own.cut;
    for hold in &mut new.holds {
        let before = own.holds.iter().find(|before| before.at == hold.at);
        keep(&mut hold.longer, &before.and_then(|before| before.longer));
    }
    let moved = |mark: &TempoMark| {
        let mut mark = mark.clone();
        mark.until = mark.until.and_then(|to| same.place(to));
        mark
    };
    if new.tempo.is_empty() {
        new.tempo = own.tempo.iter().map(moved).collect();
        return;
    }
    for mark in &mut new.tempo {
        let says_nothing = mark.tempo.is_none() && mark.back.is_none() && mark.same_beat.is_none();
        let before = own.tempo.iter().find(|before| before.at == mark.at);
        if let Some(before) = before.filter(|_| says_nothing).map(moved) {
            mark.tempo = before.tempo;
            mark.back = before.back;
            mark.same_beat = before.same_beat;
            mark.until = mark.until.or(before.until);
            mark.shape = before.shape;
        }
    }
}

/// Names what a teacher can write at a measure and no print has to have.
fn written_at(measure: &Measure) -> Vec<String> {
    let mut words = Vec::new();
    words.extend(measure.section.as_ref().map(|own| format!("section {own}")));
    words.extend(measure.mark.as_ref().map(|own| format!("mark {own}")));
    words.extend(measure.groups.as_ref().map(|own| format!("groups {own}")));
    let tempi = measure.tempo.iter().filter_map(|mark| mark.tempo);
    words.extend(tempi.map(|own| own.to_string()));
    let held = |hold: &Hold| hold.longer.is_some();
    if measure.holds.iter().any(held) {
        words.push("the length of a hold".to_owned());
    }
    words
}

#[cfg(test)]
mod tests;
