//! Numbers of the tempo in which a guide and its new edition disagree: which of them stands, and
//! the other, for who wants it.
//!
//! A number that the teacher wrote at a measure where the file has none stays on purpose: how
//! fast a student plays is hers to say. A number that the file prints at the same beat counts.

use super::Edition;
use crate::beside::{label, tempo_in_force};
use cueleaf_guide::{Measure, TempoMark};
use cueleaf_time::{BeatSpan, Tempo};

/// A place at which the two say another tempo.
#[derive(Debug, Clone, PartialEq)]
pub struct TempoChoice {
    /// The measure of the new road map.
    measure: usize,
    stands: Tempo,
    other: Tempo,
    /// Whose number does not stand.
    other_of: Source,
    /// The measure as it is while the other is not taken.
    before: Measure,
    taken: bool,
    /// The finding that tells of it.
    finding: usize,
}

/// Whose number one is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// The guide's.
    Guide,
    /// The new file's.
    File,
}

impl TempoChoice {
    /// Gives the measure of the new road map, by its index.
    #[must_use]
    pub const fn measure(&self) -> usize {
        self.measure
    }

    /// Gives the number that stands by itself.
    #[must_use]
    pub const fn stands(&self) -> Tempo {
        self.stands
    }

    /// Gives the other number, and whose it is.
    #[must_use]
    pub const fn other(&self) -> (Tempo, Source) {
        (self.other, self.other_of)
    }

    /// Tells whether the other is taken.
    #[must_use]
    pub const fn is_taken(&self) -> bool {
        self.taken
    }

    fn hint(&self) -> String {
        let stands = if self.taken { self.other } else { self.stands };
        format!("{} stands; look at the print", stands.said())
    }
}

impl Edition {
    /// Gives the places at which the two say another tempo.
    #[must_use]
    pub fn tempi(&self) -> &[TempoChoice] {
        &self.tempi
    }

    /// Takes the other tempo at a place, or the one that stands again.
    pub fn toggle_tempo(&mut self, index: usize) {
        let Some(choice) = self.tempi.get_mut(index) else {
            return;
        };
        choice.taken = !choice.taken;
        if let Some(measure) = self.made.road_map.measures.get_mut(choice.measure) {
            measure.clone_from(&choice.before);
            if choice.taken {
                set_tempo(measure, choice.other);
            }
        }
        let (finding, hint) = (choice.finding, choice.hint());
        self.beside.hint(finding, hint);
    }

    /// Finds out which numbers stand where the two disagree, and says so in what is told of it.
    /// What was told first is of the guide's measures; from here on it is of the new ones.
    pub(super) fn settle_tempi(&mut self, first: usize, ours: &[Measure], theirs: &[Measure]) {
        let told = self.beside.findings().iter().take(first).enumerate();
        let told: Vec<(usize, usize, bool)> = told
            .filter_map(|(index, own)| Some((index, own.place.measure?, own.code == "other-tempo")))
            .collect();
        for (finding, at, is_tempo) in told {
            let Some(measure) = self.same.measure(at) else {
                continue;
            };
            let made = &self.made.road_map.measures;
            self.beside.moved(finding, measure, label(made, measure));
            let all = (
                tempo_in_force(ours, at),
                tempo_in_force(theirs, measure),
                tempo_in_force(made, measure),
                made.get(measure),
            );
            let (Some(own), Some(their), Some(stands), Some(before)) = all else {
                continue;
            };
            let (other, other_of) = if stands == own {
                (their, Source::File)
            } else {
                (own, Source::Guide)
            };
            if !is_tempo || stands == other {
                continue;
            }
            let choice = TempoChoice {
                measure,
                stands,
                other,
                other_of,
                before: before.clone(),
                taken: false,
                finding,
            };
            self.beside.hint(finding, choice.hint());
            self.tempi.push(choice);
        }
    }
}

/// Sets the number that a measure leaves in force.
fn set_tempo(measure: &mut Measure, tempo: Tempo) {
    let marks = measure.tempo.iter_mut().rev();
    let mut numbered = marks.filter(|mark| mark.tempo.is_some() && mark.until.is_none());
    if let Some(mark) = numbered.next() {
        mark.tempo = Some(tempo);
        return;
    }
    let mut marks = measure.tempo.iter_mut();
    match marks.find(|mark| mark.at == BeatSpan::ZERO && mark.until.is_none()) {
        Some(mark) => {
            mark.tempo = Some(tempo);
            mark.back = None;
            mark.same_beat = None;
        }
        None => {
            let own = TempoMark::at_once(BeatSpan::ZERO, "", tempo);
            measure.tempo.insert(0, own);
        }
    }
}
