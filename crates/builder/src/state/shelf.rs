//! What is kept on this device.

use cueleaf_guide::Id;
use std::collections::BTreeMap;

/// What is kept on this device.
#[derive(Debug, Default)]
pub struct Shelf {
    /// Whether and why nothing can be kept.
    pub trouble: Option<String>,
    /// What is kept, the newest first.
    pub entries: Vec<KeptEntry>,
    /// What is kept and cannot be read, by the id under which it is kept.
    pub damaged: Vec<String>,
    /// What was removed last, with its texts.
    pub removed: Option<(KeptEntry, KeptTexts)>,
    /// A kept text that could not be opened, or one that could not be kept, with
    /// its id.
    pub rescued: Option<(String, String)>,
    /// The address of the page that opens links; empty without one.
    pub address: String,
    /// The kept guide that gets another name.
    pub renaming: Option<Renaming>,
    /// What is being written of guides that are not open, by id.
    pub writing: BTreeMap<String, ShelfDeed>,
    /// What takes the focus once the list is there.
    pub focus_next: Option<String>,
}

/// A kept guide that gets another name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Renaming {
    /// Its id.
    pub id: String,
    /// The name as it is typed.
    pub name: String,
}

/// What is done with a kept guide that is not open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ShelfDeed {
    /// A copy is made under this id.
    Copy(Id),
    /// It gets this name.
    Rename(String),
}

/// One kept guide, as the list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptEntry {
    /// The guide's id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// The names of its parts; empty for one kept before they were.
    pub parts: String,
    /// When it was kept last, in words of this device.
    pub when: String,
    /// The moment as a number, for sorting.
    pub moment: u64,
    /// The bytes of its text.
    pub bytes: usize,
    /// Its revision.
    pub revision: u64,
}

/// What is kept of one guide.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptTexts {
    /// The guide in its saved form.
    pub guide: String,
    /// The notes that are kept beside it.
    pub notes: Option<String>,
    /// What was dropped of the proposals.
    pub dropped: Option<String>,
    /// The watch list.
    pub watch: Option<String>,
}
