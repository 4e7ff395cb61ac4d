//! The state of the page.

mod desk;
mod notice;
mod shelf;

pub use desk::{Again, Desk, Draft, FactsBy, Field, Folded, Keep, Preview, Room, Selection, TipBy};
pub use notice::{Notice, Tone};
pub use shelf::{KeptEntry, KeptTexts, Renaming, Shelf, ShelfDeed};

use crate::adding::Adding;
use crate::edit::new_guide::{FieldProblem, NewFields};
use crate::edit::tips::TipOrder;
use crate::edition::Edition;
use crate::heard::Heard;
use crate::making::Making;
use crate::notes::Notes;
use crate::phrases::{Phrase, Phrases};
use crate::proposals::WatchList;
use crate::shortcuts::QuestionKey;
use cueleaf_guide::{Checked, Id};
use cueleaf_read::ScoreReader;
use cueleaf_score::Score;
use std::collections::BTreeMap;

/// Everything the page knows.
#[derive(Debug)]
pub struct State {
    /// What is shown.
    pub screen: Screen,
    /// What is kept on this device.
    pub shelf: Shelf,
    /// A message at the top of the page.
    pub notice: Option<Notice>,
    /// The document that was open, put aside while a file is read; it comes back
    /// when the file cannot be opened.
    pub aside: Option<Box<Desk>>,
    /// Documents that have left the page while they are being written.
    pub leaving: Vec<Box<Desk>>,
    /// A document that waits for the open one to be let go of.
    pub waiting: Option<Box<Desk>>,
    /// What the key "?" does.
    pub question_key: QuestionKey,
    /// The watch lists of guides that have left the page, by id: for this visit only.
    pub watch_lists: BTreeMap<Id, WatchList>,
    /// The teacher's phrases on this device.
    pub phrases: Phrases,
    /// What is folded away at first in each document, by id: what a small screen has no room
    /// for.
    pub folds: BTreeMap<String, Folded>,
    /// The order of tips that was chosen in this visit.
    pub tip_order: TipOrder,
    /// The phrase that was removed last, and where it stood.
    pub removed_phrase: Option<(usize, Phrase)>,
    ids: IdSource,
}

impl State {
    /// Starts with the first page. The caller brings a random number, so that no
    /// two pages make the same ids.
    #[must_use]
    pub fn new(random: u64) -> Self {
        Self {
            screen: Screen::Home(Home::default()),
            shelf: Shelf::default(),
            notice: None,
            aside: None,
            leaving: Vec::new(),
            waiting: None,
            question_key: QuestionKey::default(),
            watch_lists: BTreeMap::new(),
            phrases: Phrases::starting(),
            tip_order: TipOrder::default(),
            folds: BTreeMap::new(),
            removed_phrase: None,
            ids: IdSource(random),
        }
    }

    /// Folds away what a small screen has no room for, until the teacher wants it.
    pub fn fold_for_small(&mut self) {
        self.folds.insert("whole-piece".to_owned(), Folded::Yes);
    }

    /// Makes an id that nothing else has.
    pub fn fresh_id(&mut self) -> Id {
        self.ids.next()
    }

    /// Gives the open document.
    #[must_use]
    pub fn desk(&self) -> Option<&Desk> {
        match &self.screen {
            Screen::Desk(desk) => Some(desk),
            _ => None,
        }
    }

    /// Gives the open document, or the one that was put aside while a file is looked at.
    #[must_use]
    pub fn desk_or_aside(&self) -> Option<&Desk> {
        self.desk().or(self.aside.as_deref())
    }

    /// Gives the documents that the page holds: the open one or the one that was put aside, and
    /// those that have left while they are being written.
    pub fn documents(&self) -> impl Iterator<Item = &Desk> {
        let all = self.desk().into_iter();
        all.chain(self.aside.as_deref())
            .chain(self.leaving.iter().map(Box::as_ref))
    }

    /// Tells whether edits are lost when the page goes away now.
    #[must_use]
    pub fn would_lose(&self) -> bool {
        self.documents().any(|desk| {
            let safe = matches!(desk.keep, Keep::Kept | Keep::Untouched);
            let waits = desk.notes.as_ref().is_some_and(Notes::waits);
            waits || !safe && desk.history.undo_words().is_some()
        })
    }

    /// Gives the document with an id that is being written. One that has left
    /// comes before the open one, as it was written first.
    pub fn written_mut(&mut self, id: &str) -> Option<&mut Desk> {
        let open = match &mut self.screen {
            Screen::Desk(desk) => Some(desk),
            _ => None,
        };
        self.leaving
            .iter_mut()
            .chain(&mut self.aside)
            .chain(open)
            .map(Box::as_mut)
            .find(|desk| desk.is(id) && matches!(desk.keep, Keep::Writing(_)))
    }

    /// Gives the open document, to change it.
    pub fn desk_mut(&mut self) -> Option<&mut Desk> {
        match &mut self.screen {
            Screen::Desk(desk) => Some(desk),
            _ => None,
        }
    }
}

/// Makes ids from one random number.
///
/// # Source
/// Steele, Lea, Flood: Fast Splittable Pseudorandom Number Generators (2014),
/// the finalizer of SplitMix64; the constants are from memory.
#[derive(Debug)]
struct IdSource(u64);

impl IdSource {
    fn next(&mut self) -> Id {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        Id::from_random(bits ^ (bits >> 31))
    }
}

/// What is shown.
#[derive(Debug)]
pub enum Screen {
    /// The ways in.
    Home(Home),
    /// A file is being read.
    Reading(Reading),
    /// The parts of a read score are offered.
    Parts(PartChoice),
    /// The notes of the chosen parts are being looked through.
    Making(Box<Making>),
    /// What a talk was heard to say is offered.
    Heard(Box<Heard>),
    /// What a second file would add to the document that was put aside.
    Adding(Box<Adding>),
    /// A new edition under the document that was put aside.
    Edition(Box<Edition>),
    /// A document is open.
    Desk(Box<Desk>),
}

/// The ways in.
#[derive(Debug, Default)]
pub struct Home {
    /// The form for typing a road map in, when it is shown.
    pub form: Option<NewFields>,
    /// What is wrong in it.
    pub problem: Option<FieldProblem>,
}

/// A file that is being read.
#[derive(Debug)]
pub struct Reading {
    /// The file's name.
    pub name: String,
    /// The reader.
    pub reader: ScoreReader,
    /// How much is read, of a hundred.
    pub percent: usize,
}

/// A read score whose parts are offered.
#[derive(Debug)]
pub struct PartChoice {
    /// The file's name.
    pub name: String,
    /// The score, with what was found while reading.
    pub score: Checked<Score>,
    /// For each part, whether it is chosen.
    pub chosen: Vec<bool>,
}
