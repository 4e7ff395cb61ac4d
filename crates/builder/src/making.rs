//! A watch list in the making: the notes of the chosen parts are looked through in steps, so that
//! a long score does not stop the page.

use crate::adding::Adding;
use crate::edition::Edition;
use crate::proposals::WatchList;
use crate::state::PartChoice;
use cueleaf_guide::{Finding, Guide, Id};
use cueleaf_watch::{Watched, Watching};

/// What the watch list is for.
#[derive(Debug)]
pub enum Then {
    /// A guide of its own, with what was found while it was read and drafted.
    Guide(Vec<Finding>),
    /// The guide that was put aside.
    Notes,
    /// What the file would add to it.
    Adding(Box<Adding>),
    /// The file as a new edition under it.
    Edition(Box<Edition>),
}

/// A watch list in the making.
#[derive(Debug)]
pub struct Making {
    choice: PartChoice,
    /// The guide that was drafted of the parts.
    drafted: Guide,
    /// The parts: each by its index in the score, with its id in the guide.
    parts: Vec<(usize, Id)>,
    /// The part that is looked through; those before it are done.
    now: Option<Watching>,
    found: Vec<(Id, Vec<Watched>)>,
    then: Then,
}

/// A watch list that is made, with all that it was made of and for.
#[derive(Debug)]
pub struct Made {
    /// The score and what was chosen of it.
    pub choice: PartChoice,
    /// The guide that was drafted of the chosen parts.
    pub drafted: Guide,
    /// The watch list.
    pub list: WatchList,
    /// What it is for.
    pub then: Then,
}

impl Making {
    /// Begins with the parts of a score, each by its index, with its id in the guide.
    #[must_use]
    pub const fn new(
        choice: PartChoice,
        parts: Vec<(usize, Id)>,
        drafted: Guide,
        then: Then,
    ) -> Self {
        Self {
            choice,
            drafted,
            parts,
            now: None,
            found: Vec::new(),
            then,
        }
    }

    /// Looks on. The budget is in notes looked at.
    pub fn step(&mut self, budget: usize) {
        let Some((part, id)) = self.parts.get(self.found.len()) else {
            return;
        };
        let mut now = self.now.take().unwrap_or_else(|| Watching::of(*part));
        if now.step(&self.choice.score.value, &self.drafted, budget) {
            self.now = Some(now);
        } else {
            self.found.push((id.clone(), now.finish()));
        }
    }

    /// Tells whether all parts are looked through.
    #[must_use]
    pub const fn is_done(&self) -> bool {
        self.found.len() == self.parts.len()
    }

    /// Gives the name of the part that is looked through.
    #[must_use]
    pub fn part_name(&self) -> &str {
        let part = self.parts.get(self.found.len());
        let part = part.and_then(|(index, _)| self.choice.score.value.parts.get(*index));
        part.map_or("", |part| part.name.as_str())
    }

    /// Gives how much is done, of a hundred.
    #[must_use]
    pub fn percent(&self) -> usize {
        let now = self.now.as_ref().map_or(0, Watching::done);
        let done = self.found.len() * Watching::STEPS + now;
        done * 100 / (self.parts.len() * Watching::STEPS).max(1)
    }

    /// Gives the choice back, without a list.
    #[must_use]
    pub fn give_up(self) -> PartChoice {
        self.choice
    }

    /// Gives the list of what was found.
    #[must_use]
    pub fn finish(self) -> Made {
        Made {
            list: WatchList::of(self.found, self.choice.score.value.measure_count()),
            choice: self.choice,
            drafted: self.drafted,
            then: self.then,
        }
    }
}
