//! Looking through a part in steps, so that a page is not held up by a long one.

use crate::scene::Scene;
use crate::watched::{Family, Kind, Watched};
use crate::{
    alone, bow, clefs, divisions, dynamics, entries, fold, holds, key, last, left_hand, meter,
    named, order, playing, rhythm, tempo, who_plays,
};
use cueleaf_guide::Guide;
use cueleaf_score::Score;

/// What is looked for, one after the other.
const SEARCHES: [fn(&Scene<'_>, &mut Vec<Watched>); 18] = [
    tempo::find,
    meter::find,
    key::find,
    playing::find,
    dynamics::find,
    entries::find,
    rhythm::held_over,
    divisions::find,
    rhythm::fastest,
    alone::find,
    bow::find,
    named::find,
    left_hand::find,
    clefs::find,
    who_plays::find,
    order::find,
    holds::find,
    // Looks at what the others found.
    last::find,
];

/// Tells whether a kind is found by where in the beat notes lie and how long they are.
fn is_of_the_rhythm(kind: Kind) -> bool {
    kind.family() == Family::Rhythm || kind == Kind::EntryOffBeat
}

/// A part that is being looked through.
///
/// ```
/// use cueleaf_guide::{Guide, Id};
/// use cueleaf_score::Score;
/// use cueleaf_watch::{Watching, watch};
///
/// let (score, guide) = (Score::default(), Guide::new(Id::new("mine").unwrap(), ""));
/// let mut watching = Watching::of(0);
/// while watching.step(&score, &guide, 1) {}
/// assert_eq!(watching.finish(), watch(&score, 0, &guide));
/// ```
#[derive(Debug, Clone)]
pub struct Watching {
    part: usize,
    /// How many searches are done.
    done: usize,
    found: Vec<Watched>,
    /// What a measure is called.
    word: &'static str,
}

impl Watching {
    /// How many steps there are at most.
    pub const STEPS: usize = SEARCHES.len();

    /// Begins with a part, by its index in the score.
    #[must_use]
    pub const fn of(part: usize) -> Self {
        Self {
            part,
            done: 0,
            found: Vec::new(),
            word: "measure",
        }
    }

    /// Gives how many of the [`STEPS`](Self::STEPS) are done.
    #[must_use]
    pub const fn done(&self) -> usize {
        self.done
    }

    /// Looks for some more, in the score and guide that [`watch`](crate::watch) takes; tells
    /// whether there is more to look for.
    ///
    /// The budget is in notes looked at; one search is done in any case.
    pub fn step(&mut self, score: &Score, guide: &Guide, budget: usize) -> bool {
        let Some(scene) = Scene::new(score, self.part, guide) else {
            self.done = SEARCHES.len();
            return false;
        };
        self.word = scene.word();
        let notes = scene.part.measures.iter().map(|own| own.notes.len());
        let notes: usize = notes.sum();
        let at_once = budget.checked_div(notes).unwrap_or(usize::MAX).max(1);
        let searches = SEARCHES.iter().skip(self.done).take(at_once);
        for search in searches {
            let before = self.found.len();
            search(&scene, &mut self.found);
            if scene.part.played_in {
                self.found.retain(|one| !is_of_the_rhythm(one.kind));
            }
            for one in self.found.iter_mut().skip(before) {
                scene.tell(one);
            }
            self.done += 1;
        }
        self.done < SEARCHES.len()
    }

    /// Gives the list, as far as it was looked for.
    #[must_use]
    pub fn finish(self) -> Vec<Watched> {
        fold::fold(self.found, self.word)
    }
}
