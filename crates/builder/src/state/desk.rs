//! An open document and all that is open around it.

use crate::derived::Derived;
use crate::edit::Reach;
use crate::edit::marks::NewMark;
use crate::edit::printed::Printed;
use crate::edit::tempo::TempoWish;
use crate::edit::tip_shows::Shows;
use crate::edit::tips::TipOrder;
use crate::handing::Handing;
use crate::history::History;
use crate::linking::Linking;
use crate::media::MediaDesk;
use crate::msg::Fact;
use crate::notes::{MapAs, Notes};
use crate::proposals::{Dropped, WatchList};
use cueleaf_guide::{Finding, Guide, Id, Place, TooLarge, Topic, for_student};
use cueleaf_time::BeatSpan;
use std::collections::BTreeMap;
use std::rc::Rc;

/// The rooms of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Room {
    /// The measures.
    #[default]
    RoadMap,
    /// The tips.
    Tips,
    /// The student's page.
    TryIt,
    /// Everything by which the guide leaves.
    HandOut,
}

impl Room {
    /// All rooms in the order of their tabs.
    pub const ALL: [Self; 4] = [Self::RoadMap, Self::Tips, Self::TryIt, Self::HandOut];

    /// Gives the room's name in markup.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::RoadMap => "road-map",
            Self::Tips => "tips",
            Self::TryIt => "try-it",
            Self::HandOut => "hand-out",
        }
    }

    /// Gives the room's name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::RoadMap => "Road map",
            Self::Tips => "Tips",
            Self::TryIt => "Try it",
            Self::HandOut => "Hand out",
        }
    }
}

/// An open document and all that is open around it.
#[derive(Debug)]
pub struct Desk {
    /// The document with its past.
    pub history: History,
    /// What follows from it.
    pub derived: Rc<Derived>,
    /// The document of which it follows.
    derived_of: Rc<Guide>,
    /// What the last edit would have made too much of, until it is told.
    pub refused: Option<TooLarge>,
    /// What was found while it was read from a file.
    pub from_file: Vec<Finding>,
    /// What the notes propose; `None` while the part was not read.
    pub watch_list: Option<WatchList>,
    /// Whether another list than this one is kept.
    pub watch_due: bool,
    /// The room.
    pub room: Room,
    /// How the road map is shown.
    pub map_as: MapAs,
    /// The guide as plain notes, once they were looked at.
    pub notes: Option<Notes>,
    /// The chosen measures.
    pub selection: Selection,
    /// Whether the next tap extends the choice.
    pub extending: bool,
    /// How far edits reach, when the teacher said so.
    pub reach: Option<Reach>,
    /// Fields that hold something that cannot be understood, and why.
    pub drafts: BTreeMap<Field, Draft>,
    /// How far into the first chosen measure the tempo mark stands that is edited.
    pub tempo_at: BeatSpan,
    /// What is chosen for a tempo whose number is still to come.
    pub tempo_wish: TempoWish,
    /// Whether the facts are shown on a narrow screen.
    pub facts_open: bool,
    /// What opened them, which gets the focus back.
    pub facts_by: FactsBy,
    /// What gets the focus when the open tip is done.
    pub tip_by: TipBy,
    /// What was typed of a place on the map; empty after anything else.
    pub typed_place: String,
    /// What was unfolded or folded by hand, by id.
    pub folds: BTreeMap<String, Folded>,
    /// What was dropped of the proposals, in this visit or before; `None` when nothing was
    /// ever decided.
    pub dropped: Option<Dropped>,
    /// The part whose marks are shown; the first without one.
    pub mark_part: Option<Id>,
    /// The mark that is being written, and what is wrong with it.
    pub new_mark: NewMark,
    /// Why it was not added.
    pub mark_problem: Option<String>,
    /// The tip that is being edited.
    pub open_tip: Option<Id>,
    /// The refused field of the open tip that was to be left, and its text: once more lets it go.
    pub held: Option<(String, String)>,
    /// In which order the tips are listed.
    pub tip_order: TipOrder,
    /// Whether the phrases are shown beside the open tip.
    pub phrases_open: bool,
    /// Photos and voice notes on their way.
    pub media: MediaDesk,
    /// The topic of the next tip.
    pub topic: Topic,
    /// Whose guide is tried; the first part's without one.
    pub try_part: Option<Id>,
    /// Whether the student's page stands beside the rooms.
    pub beside: bool,
    /// How far the preview is.
    pub preview: Preview,
    /// What is known about links to it.
    pub linking: Linking,
    /// What is known about other files of it.
    pub handing: Handing,
    /// Whether the document is kept.
    pub keep: Keep,
    /// The revision that is kept as far as is known.
    pub revision: Option<u64>,
}

impl Desk {
    /// Puts a document on the desk.
    #[must_use]
    pub fn new(guide: Guide, keep: Keep, revision: Option<u64>) -> Self {
        let derived = Rc::new(Derived::of(&guide));
        let history = History::new(guide);
        Self {
            derived,
            derived_of: Rc::clone(history.guide()),
            history,
            refused: None,
            from_file: Vec::new(),
            watch_list: None,
            watch_due: false,
            room: Room::default(),
            map_as: MapAs::default(),
            notes: None,
            selection: Selection::default(),
            extending: false,
            reach: None,
            drafts: BTreeMap::new(),
            tempo_at: BeatSpan::ZERO,
            tempo_wish: TempoWish::default(),
            facts_open: false,
            facts_by: FactsBy::default(),
            tip_by: TipBy::default(),
            typed_place: String::new(),
            folds: BTreeMap::new(),
            dropped: None,
            mark_part: None,
            new_mark: NewMark::default(),
            mark_problem: None,
            open_tip: None,
            held: None,
            tip_order: TipOrder::default(),
            phrases_open: false,
            media: MediaDesk::default(),
            topic: Topic::Bow,
            try_part: None,
            beside: false,
            preview: Preview::default(),
            linking: Linking::default(),
            handing: Handing::default(),
            keep,
            revision,
        }
    }

    /// Looks anew at what follows from the document, and keeps the choice inside it.
    pub fn refresh(&mut self) {
        let guide = Rc::clone(self.history.guide());
        self.derived = Rc::new(self.derived.after(&self.derived_of, &guide));
        self.derived_of = guide;
        let last = self.guide().road_map.measures.len().saturating_sub(1);
        self.selection.anchor = self.selection.anchor.min(last);
        self.selection.focus = self.selection.focus.min(last);
        if let Some(open) = &self.open_tip
            && !self.guide().tips.iter().any(|tip| tip.id == *open)
        {
            self.open_tip = None;
        }
        let layout = self.derived.plan.layout();
        let first = layout.get(self.selection.first());
        if first.is_none_or(|laid| self.tempo_at >= laid.length) {
            self.tempo_at = BeatSpan::ZERO;
        }
        self.look_at_notes();
    }

    /// Takes the list of what the notes propose, without what was dropped before; the rows of parts
    /// that it does not look at stay.
    pub fn take_watch_list(&mut self, mut list: WatchList) {
        if let Some(earlier) = &self.watch_list {
            list = list.with_others_of(earlier, self.guide());
        }
        if let Some(dropped) = &self.dropped {
            list.drop_known(dropped);
        }
        self.watch_list = Some(list);
        self.watch_due = true;
    }

    /// Tells whether something that folds is open; told is how it is by itself.
    #[must_use]
    pub fn is_open(&self, id: &str, by_itself: Folded) -> bool {
        self.folds.get(id).copied().unwrap_or(by_itself) == Folded::No
    }

    /// Tells whether the tips are on view as a room.
    #[must_use]
    pub fn shows_tips(&self) -> bool {
        self.room == Room::Tips
    }

    /// Gives the notes, written when they are first asked for.
    pub fn notes(&mut self) -> &mut Notes {
        let guide = Rc::clone(self.guide());
        self.notes.get_or_insert_with(|| Notes::of(&guide))
    }

    /// Tells whether the notes are on view.
    #[must_use]
    pub fn shows_notes(&self) -> bool {
        self.room == Room::RoadMap && self.map_as == MapAs::Notes
    }

    /// Brings the notes up to the guide where they are on view.
    pub fn look_at_notes(&mut self) {
        if self.shows_notes() {
            let guide = Rc::clone(self.guide());
            self.notes().follow(&guide);
        }
    }

    /// Gives the place whose tempo mark is edited.
    #[must_use]
    pub fn tempo_place(&self) -> Place {
        Place {
            measure: self.selection.first(),
            at: self.tempo_at,
        }
    }

    /// Gives the document.
    #[must_use]
    pub fn guide(&self) -> &Rc<Guide> {
        self.history.guide()
    }

    /// Tells whether the document has an id.
    #[must_use]
    pub fn is(&self, id: &str) -> bool {
        self.guide().id.as_str() == id
    }

    /// Tells how far edits reach: as the teacher said, else a single measure
    /// onward and several only themselves.
    #[must_use]
    pub fn reach(&self) -> Reach {
        let usual = if self.selection.first() == self.selection.last() {
            Reach::Onward
        } else {
            Reach::Chosen
        };
        self.reach.unwrap_or(usual)
    }

    /// Gives the part whose marks are shown.
    #[must_use]
    pub fn marks_part(&self) -> Option<&cueleaf_guide::Part> {
        let guide = self.guide();
        let chosen = self.mark_part.as_ref().and_then(|id| guide.part(id));
        chosen.or_else(|| guide.parts.first())
    }

    /// Tells whether the student's page is on view.
    #[must_use]
    pub fn shows_preview(&self) -> bool {
        self.room == Room::TryIt || self.beside
    }

    /// Gives the guide as the preview shows it, which is as it is handed out.
    #[must_use]
    pub fn tried(&self) -> Rc<Guide> {
        let guide = self.guide();
        let chosen = self
            .try_part
            .as_ref()
            .filter(|id| guide.part(id).is_some())
            .or_else(|| guide.parts.first().map(|part| &part.id));
        Rc::new(for_student(guide, chosen))
    }
}

/// What opened the facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FactsBy {
    /// A key on the map, or nothing, where there is room for them.
    #[default]
    Map,
    /// The button above the map.
    Button,
}

/// What the open tip was added by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TipBy {
    /// It was there before, or stands in a list of tips.
    #[default]
    List,
    /// A key on the map.
    Map,
    /// The button above the map, while the facts were not open.
    Button,
}

/// Whether something is folded away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Folded {
    /// It is.
    Yes,
    /// It is open.
    No,
}

/// A field whose text may for a while mean nothing.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Field {
    /// A fact of the chosen measures.
    Fact(Fact),
    /// Something printed at the chosen measures.
    Printed(Printed),
    /// The beat at which the tempo stands.
    TempoBeat,
    /// The choice of measures.
    Selection,
    /// The place of a tip.
    TipPlace(Id),
    /// The place of a task.
    TodoPlace(Id),
    /// What a tip shows besides words.
    TipShows(Id, Shows),
}

/// A text that could not be understood, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// The text.
    pub text: String,
    /// What is wrong, and what to do.
    pub problem: String,
}

/// The chosen measures: a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Selection {
    /// Where choosing began.
    pub anchor: usize,
    /// Where it has come to; the measure with the focus.
    pub focus: usize,
}

impl Selection {
    /// Gives the first chosen measure.
    #[must_use]
    pub fn first(self) -> usize {
        self.anchor.min(self.focus)
    }

    /// Gives the last chosen measure.
    #[must_use]
    pub fn last(self) -> usize {
        self.anchor.max(self.focus)
    }

    /// Tells whether a measure is chosen.
    #[must_use]
    pub fn has(self, index: usize) -> bool {
        (self.first()..=self.last()).contains(&index)
    }
}

/// How far the preview is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Preview {
    /// Nothing is there.
    #[default]
    Absent,
    /// The page is loading.
    Loading,
    /// The page is there and follows.
    Following,
}

/// Whether a document is kept on this device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Keep {
    /// Nothing was changed yet, and nothing needs to be kept.
    Untouched,
    /// It is kept.
    Kept,
    /// An edit waits for its turn.
    Soon,
    /// It is being written; the flag tells whether edits came in the meantime.
    Writing(Again),
    /// Something else is kept under its id.
    Conflict,
    /// It cannot be kept, for this reason.
    Off(String),
}

/// Whether a document changed while it was being written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Again {
    /// It did not.
    No,
    /// It did, and is written once more.
    Yes,
}
