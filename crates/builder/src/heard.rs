//! What a talk was heard to say, to be ticked before a guide is made of it.

use cueleaf_guide::{Finding, Watch};
use cueleaf_read::talk::{FactKind, Statement, Talk, What};

/// What is less sure than this is not ticked at first.
///
/// # Source
/// Our decision: it lies below a plain advice (0.7) and a bare number, and above
/// an advice that rests on a misheard word (0.42).
pub const LEAST_SURE: f64 = 0.5;

/// What a talk said, with a tick for each statement.
#[derive(Debug, Clone, PartialEq)]
pub struct Heard {
    name: String,
    talk: Talk,
    findings: Vec<Finding>,
    ticked: Vec<bool>,
    address: String,
}

/// The kinds of statements.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HeardKind {
    /// A place is named.
    Place,
    /// A fact.
    Fact(FactKind),
    /// An advice.
    Tip,
}

impl HeardKind {
    /// Gives the kind of a statement.
    #[must_use]
    pub const fn of(what: &What) -> Self {
        match what {
            What::Place => Self::Place,
            What::Fact { kind, .. } => Self::Fact(*kind),
            What::Tip { .. } => Self::Tip,
        }
    }

    /// Gives all kinds in the order in which they are listed.
    pub fn all() -> impl Iterator<Item = Self> {
        let facts = FactKind::ALL.into_iter().map(Self::Fact);
        [Self::Tip].into_iter().chain(facts).chain([Self::Place])
    }

    /// Gives the kind's name in markup.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Place => "place",
            Self::Fact(kind) => kind.code(),
            Self::Tip => "tip",
        }
    }

    /// Finds a kind by its name in markup.
    #[must_use]
    pub fn find(code: &str) -> Option<Self> {
        Self::all().find(|kind| kind.code() == code)
    }
}

impl Heard {
    /// Takes a talk from a file, with what was found while it was read.
    #[must_use]
    pub fn new(name: String, talk: Talk, findings: Vec<Finding>) -> Self {
        let sure = |own: &Statement| own.confidence >= LEAST_SURE;
        let ticked = talk.statements.iter().map(sure).collect();
        Self {
            name,
            talk,
            findings,
            ticked,
            address: String::new(),
        }
    }

    /// Gives the address of the recording, as typed; empty without one.
    #[must_use]
    pub fn address(&self) -> &str {
        &self.address
    }

    /// Takes the address of the recording.
    pub fn say_where(&mut self, address: &str) {
        address.trim().clone_into(&mut self.address);
    }

    /// Tells what is wrong with the address, if anything.
    #[must_use]
    pub fn address_problem(&self) -> Option<&'static str> {
        let watch = Watch {
            address: self.address.clone(),
            ..Watch::at(0)
        };
        let fine = self.address.is_empty() || watch.link().is_some();
        (!fine).then_some("An address begins with https:// and has no spaces.")
    }

    /// Gives the file's name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Gives what was found while the file was read.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Gives the talk with everything that was heard.
    #[must_use]
    pub const fn talk(&self) -> &Talk {
        &self.talk
    }

    /// Tells whether a statement is ticked.
    #[must_use]
    pub fn is_ticked(&self, index: usize) -> bool {
        self.ticked.get(index).copied().unwrap_or(false)
    }

    /// Gives the number of ticked statements.
    #[must_use]
    pub fn count(&self) -> usize {
        self.ticked.iter().filter(|ticked| **ticked).count()
    }

    /// Gives how many statements of a kind are ticked, and how many there are.
    #[must_use]
    pub fn of_kind(&self, kind: HeardKind) -> (usize, usize) {
        let own = self.rows().filter(|(own, _)| HeardKind::of(own) == kind);
        let ticks: Vec<bool> = own.map(|(_, ticked)| ticked).collect();
        (ticks.iter().filter(|own| **own).count(), ticks.len())
    }

    fn rows(&self) -> impl Iterator<Item = (&What, bool)> {
        let ticks = self.ticked.iter().copied();
        let whats = self.talk.statements.iter().map(|own| &own.what);
        whats.zip(ticks)
    }

    /// Ticks a statement, or takes its tick away. A named place takes what was said
    /// about it along, as far as no other place stands between.
    pub fn toggle(&mut self, index: usize) {
        let ticked = !self.is_ticked(index);
        let statements = &self.talk.statements;
        let Some((before, [own, after @ ..])) = statements.split_at_checked(index) else {
            return;
        };
        let along = |other: &&Statement| {
            own.what == What::Place && other.what != What::Place && other.place == own.place
        };
        let earlier = before.iter().rev().take_while(along).count();
        let later = after.iter().take_while(along).count();
        let first = index.saturating_sub(earlier);
        for own in self.ticked.iter_mut().skip(first).take(earlier + 1 + later) {
            *own = ticked;
        }
    }

    /// Ticks all statements of a kind; when all are, takes the ticks away.
    pub fn toggle_kind(&mut self, kind: HeardKind) {
        let (ticked, all) = self.of_kind(kind);
        let tick = ticked < all;
        for (own, statement) in self.ticked.iter_mut().zip(&self.talk.statements) {
            if HeardKind::of(&statement.what) == kind {
                *own = tick;
            }
        }
    }

    /// Gives the talk with the ticked statements only.
    #[must_use]
    pub fn chosen(&self) -> Talk {
        let all = self.talk.statements.iter().zip(&self.ticked);
        let ticked = all.filter(|(_, ticked)| **ticked);
        Talk {
            statements: ticked.map(|(own, _)| own.clone()).collect(),
            corrections: self.talk.corrections.clone(),
            unheard: self.talk.unheard.clone(),
        }
    }
}
