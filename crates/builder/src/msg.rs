//! What can happen to the page, and what the page asks of the browser.

use crate::edit::Reach;
use crate::edit::moving::Way;
use crate::edit::printed::Printed;
use crate::edit::tip_shows::Shows;
use crate::edit::tips::{TipChange, TipOrder};
use crate::handing::OtherFile;
use crate::media::Taken;
use crate::notes::MapAs;
use crate::phrases::Wish;
use crate::proposals::Deed;
use crate::shortcuts::QuestionKey;
use crate::state::{KeptEntry, KeptTexts, Room, ShelfDeed};
use cueleaf_export::ClickTrack;
use cueleaf_guide::{Guide, Id, Photo, Topic, Voice};
use cueleaf_watch::Kind;
use std::ops::Range;
use std::rc::Rc;

/// Something happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Msg {
    /// Something about getting at a document.
    Opening(Opening),
    /// Something about keeping documents on this device.
    Keeping(Keeping),
    /// Something about what a talk was heard to say.
    Heard(HeardMsg),
    /// Something about adding a second file to the open document.
    Adding(AddingMsg),
    /// Something in the open document.
    Desk(DeskMsg),
    /// Closes the message at the top of the page.
    CloseNotice,
    /// Something about the list of keys.
    Shortcuts(ShortcutsMsg),
    /// Something about the teacher's phrases.
    Phrases(PhraseMsg),
}

/// Getting at a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Opening {
    /// Asks for a file.
    ChooseFile,
    /// A file arrived.
    File {
        /// Its name.
        name: String,
        /// Its bytes.
        bytes: Vec<u8>,
    },
    /// The page was opened with something after the # of its address.
    Link(String),
    /// A file could not be taken: its name, and why in a sentence.
    NoFile(String, String),
    /// Reads on.
    ReadOn,
    /// Goes on looking through the notes.
    MakeOn,
    /// Gives up reading or choosing.
    Cancel,
    /// Opens an example by its index.
    Example(usize),
    /// Takes a part of the read score, or leaves it.
    TogglePart(usize),
    /// Makes the guide of the chosen parts.
    MakeGuide,
    /// Takes the notes of the chosen parts for the guide that was put aside.
    AddNotes,
    /// Shows or hides the form for typing a road map in.
    ToggleForm,
    /// A field of that form changed.
    Field(String, String),
    /// Makes the guide that the form describes.
    MakeTyped,
    /// Opens the document that waits for a decision, and lets go of the open one.
    OpenWaiting,
    /// Goes to the first page.
    Home,
    /// Goes to the first page, though the open document is not kept.
    Abandon,
}

/// Keeping documents on this device.
#[derive(Debug, Clone, PartialEq)]
pub enum Keeping {
    /// What is kept, or why nothing can be.
    Listed(Result<Vec<KeptEntry>, String>),
    /// What is kept and cannot be read, by the id under which it is kept.
    ListedDamaged(Vec<String>),
    /// Hands out what cannot be read, as it is.
    TakeDamaged(String),
    /// What cannot be read was taken as it is: its id and text.
    Damaged(String, String),
    /// Asks whether what cannot be read may be removed.
    AskToDrop(String),
    /// Removes what cannot be read.
    DropDamaged(String),
    /// Opens a kept guide.
    Open(String),
    /// A kept guide was read: its id, revision and text.
    Loaded {
        /// Its id.
        id: String,
        /// Its revision.
        revision: u64,
        /// What is kept of it.
        texts: KeptTexts,
    },
    /// A kept guide could not be read.
    NotLoaded(String),
    /// Makes a copy of a kept guide.
    Copy(String),
    /// Asks for another name of a kept guide.
    StartRename(String),
    /// The name as it is typed.
    NewName(String),
    /// Takes the name that was typed.
    Rename,
    /// Leaves the name as it is.
    CancelRename,
    /// A kept guide was read to be copied or renamed.
    Read {
        /// Its id.
        id: String,
        /// Its revision.
        revision: u64,
        /// What is kept of it.
        texts: KeptTexts,
        /// What is done with it.
        deed: ShelfDeed,
    },
    /// Removes a kept guide.
    Remove(String),
    /// A kept guide was removed; this is what it was.
    Removed(KeptEntry, KeptTexts),
    /// Brings the guide removed last back.
    Restore,
    /// It is time to keep the document.
    Now,
    /// The document was kept, or not.
    Done {
        /// The guide's id.
        id: String,
        /// What became of it.
        outcome: Outcome,
    },
    /// Says again why the open document is not kept, and what can be done.
    Why,
    /// Keeps the open document under a new id.
    AsCopy,
    /// Opens what is kept in the place of the open document.
    OpenOther,
    /// Hands the document out as it is saved.
    Download,
    /// Hands out a text that could not be opened, or not be kept.
    DownloadRescued,
}

/// What became of keeping a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// It is kept, as this revision.
    Kept(u64),
    /// Something else is kept under its id; nothing was written.
    Conflict,
    /// It could not be kept, for this reason.
    Failed(String),
}

/// In the open document.
#[derive(Debug, Clone, PartialEq)]
pub enum DeskMsg {
    /// Goes to a room.
    Room(Room),
    /// Goes to the fields for the title and the part.
    NameIt,
    /// Chooses a measure, or with the second value extends the choice to it.
    Select(usize, Extend),
    /// Moves the choice by measures; far moves stop at the ends.
    Move(isize, Extend),
    /// Goes to a measure, with the focus.
    Go(usize, Extend),
    /// Chooses a measure in the picture of the whole piece, and brings it into view.
    Seek(usize),
    /// Chooses the measures that a text names.
    SelectText(String),
    /// The next tap extends the choice.
    ToggleExtending,
    /// How far edits reach.
    Reach(Reach),
    /// Changes a fact of the chosen measures.
    Fact(Fact, String),
    /// Goes to the tempo mark at a beat of the first chosen measure, or to where one
    /// is to be made.
    TempoBeat(String),
    /// Takes a tempo mark away: the measure, and which of its marks.
    RemoveTempo(usize, usize),
    /// Changes something printed at the chosen measures.
    Printed(Printed, String),
    /// Changes a field of the mark that is being written: its name in markup.
    NewMark(String, String),
    /// Adds that mark to the part.
    AddMark,
    /// Takes a mark of the part away.
    RemoveMark(usize),
    /// Puts a copy of the chosen measures after them.
    DuplicateMeasures,
    /// Moves the chosen measures by one.
    ShiftMeasures(Way),
    /// Numbers the measures on from the first chosen one.
    NumberOn,
    /// Lets the chosen measures last as long as their meter.
    MakeFull,
    /// Puts a measure after the chosen ones.
    InsertMeasure,
    /// Takes the chosen measures out.
    RemoveMeasures,
    /// Shows the facts of the chosen measures on a narrow screen, or hides them.
    ToggleFacts,
    /// Goes to the facts of the chosen measures.
    OpenFacts,
    /// Goes back from the facts to where they were opened.
    CloseFacts,
    /// Something was unfolded or folded: its id, and "open" or nothing.
    Fold(String, String),
    /// Lists the tips in an order.
    OrderTips(TipOrder),
    /// A letter of a place was typed on the map: a digit, or the dash of a stretch.
    TypePlace(char),
    /// Adds a tip at the chosen measures.
    AddTip,
    /// The same by a key on the map, which gets the focus back when the tip is done.
    AddTipFromMap,
    /// Opens a tip for editing.
    OpenTip(Id),
    /// Closes the open tip, unless something typed in it was refused.
    CloseTip,
    /// Leaves the open tip, the second time without what was refused.
    LeaveTip,
    /// Changes a tip.
    Tip(Id, TipChange),
    /// Changes where a tip is, from a text.
    TipPlace(Id, String),
    /// Changes what a tip shows besides words, from a text.
    TipShows(Id, Shows, String),
    /// Adds a part to a tip or takes it away.
    TipPart(Id, Id),
    /// Something about photos and voice notes.
    Media(MediaMsg),
    /// Something about what the student is asked to do.
    Todo(TodoMsg),
    /// Gives the address of a tip's recording to all tips that name none.
    WatchForAll(Id),
    /// Removes a tip.
    RemoveTip(Id),
    /// Chooses the measures of a tip, in the road map.
    ShowTip(Id),
    /// A text field of the guide changed.
    GuideField(GuideField, String),
    /// The name of a part changed.
    PartName(Id, String),
    /// Ends a run of typing, so that the next edit is a step of its own.
    Settle,
    /// Takes the last step back.
    Undo,
    /// Does it again.
    Redo,
    /// Chooses whose guide is tried.
    TryPart(String),
    /// Shows the student's page beside the rooms, or no longer.
    ToggleBeside,
    /// The student's page is there and listens.
    PreviewReady,
    /// Hands out the guide of one part; of all parts without one.
    HandOut(Option<Id>),
    /// Hands out one file for each part.
    HandOutEach,
    /// Something about links.
    Link(LinkMsg),
    /// Something about the guide as plain notes.
    Notes(NotesMsg),
    /// Something about what the notes propose.
    Watch(WatchMsg),
    /// Something about what else leaves the guide.
    Hand(HandMsg),
}

/// Whether choosing starts anew or goes on from where it began.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extend {
    /// A new choice.
    No,
    /// From where the choice began to here.
    Yes,
}

/// A fact of measures that is changed by a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fact {
    /// The meter.
    Meter,
    /// The groups.
    Groups,
    /// The words of the tempo.
    TempoWords,
    /// The note that the tempo counts.
    TempoUnit,
    /// How many a minute.
    TempoNumber,
    /// At once or little by little.
    TempoManner,
    /// The section's name.
    Section,
    /// The rehearsal mark.
    Mark,
    /// The printed number.
    Label,
    /// The key signature.
    Key,
    /// In which beat it is counted.
    CountBeat,
    /// Anew in each group or through.
    CountStyle,
}

/// A field of the guide as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GuideField {
    /// The title.
    Title,
    /// The composer.
    Composer,
    /// The teacher's word.
    Word,
    /// How uneven measures are counted.
    CountStyle,
    /// "measure" or "bar".
    MeasureWord,
    /// The language of the words for the student.
    Language,
    /// How many measures are counted in.
    CountIn,
    /// Whether photos and voice notes may be handed out: "on" or "off".
    MayShare,
}

/// About photos and voice notes on their way into a tip.
#[derive(Debug, Clone, PartialEq)]
pub enum MediaMsg {
    /// Asks for a file.
    Choose(Taken, Id),
    /// A file came and is being read.
    Reading(Taken, Id),
    /// A photo is ready, or why there is none.
    Photo(Id, Result<Photo, String>),
    /// A voice note is ready, or why there is none.
    Voice(Id, Result<Voice, String>),
    /// Asks for the microphone, and records.
    Record(Id),
    /// The microphone is on, since so many seconds.
    Second(u32),
    /// Ends recording.
    Stop,
}

/// About what the student is asked to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TodoMsg {
    /// Adds a task.
    Add,
    /// Changes what one says.
    Text(Id, String),
    /// Changes where one is to be done, from a text.
    Place(Id, String),
    /// Moves one up.
    Raise(Id),
    /// Removes one.
    Remove(Id),
}

/// About adding a second file to the document that was open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AddingMsg {
    /// Lists what the chosen parts of the read score would add.
    Parts,
    /// Lists what the ticked statements of a talk would add.
    Heard,
    /// Puts the chosen parts of the read score under the document, to be looked at.
    Edition,
    /// Ticks something by its index, or takes its tick away.
    Tick(usize),
    /// Adds what is ticked.
    Add,
    /// Opens the file as a document of its own.
    Own,
    /// Takes the other tempo at a place of the new edition, or the one that stands, by index.
    EditionTempo(usize),
    /// Takes the new edition.
    TakeEdition,
}

/// About what a talk was heard to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HeardMsg {
    /// Ticks a statement by its index, or takes its tick away.
    Tick(usize),
    /// Ticks all of a kind, or takes their ticks away: its name in markup.
    TickKind(String),
    /// Says where the recording is.
    Address(String),
    /// Makes a guide of what is ticked.
    Make,
}

/// About what the notes propose, by index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WatchMsg {
    /// Does something with a proposal.
    Do(Deed, usize),
    /// Puts the focus on a button of the proposal that is so many places further.
    Go(Deed, usize, isize),
    /// Shows the others beside the strongest, or folds them away.
    ToggleOthers,
    /// Looks at one kind, or at all.
    Kind(Option<Kind>),
    /// Makes tips of all of the kind that is looked at.
    KeepKind,
    /// Drops all of the kind that is looked at.
    DropKind,
    /// Proposes again what was dropped.
    ShowDropped,
}

/// About links to the open document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LinkMsg {
    /// The address of the page that opens links was typed.
    Address(String),
    /// Makes the link of a part, or of the whole guide.
    Make(Option<Id>),
    /// Copies the link that was made last.
    Copy,
    /// It was copied, or not: a sentence about it.
    Copied(&'static str),
    /// Downloads its picture.
    Picture,
    /// Another address is to be drawn.
    Other(String),
    /// Downloads that picture.
    OtherPicture,
}

/// About the list of keys.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShortcutsMsg {
    /// Shows it.
    Show,
    /// The key "?" was pressed outside a field.
    Asked,
    /// Closes it.
    Close,
    /// Chooses what the key "?" does.
    Key(QuestionKey),
}

/// About the teacher's phrases.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PhraseMsg {
    /// What is kept, as another tab wrote it.
    Known(String),
    /// Shows the phrases beside the open tip, or folds them away.
    Toggle,
    /// Goes from the tip to its phrases.
    Enter,
    /// Goes back to the tip.
    Leave,
    /// Puts the focus on the phrase that is so many places further.
    Go(usize, isize),
    /// Puts in the phrase at a place of those that are offered, from 0.
    Nth(usize),
    /// Wants something where the caret stands.
    Wish(Wish),
    /// The caret stands here, or this is chosen, in UTF-16 units.
    At(Wish, Range<usize>),
    /// Changes the words of a phrase.
    Edit(usize, String),
    /// Files a phrase under another topic.
    About(usize, Topic),
    /// Removes a phrase.
    Remove(usize),
    /// Brings the phrase removed last back.
    Restore,
    /// Adds the phrases to begin with.
    AddStarting,
}

/// About the guide as plain notes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotesMsg {
    /// Shows the road map as measures or as notes.
    Show(MapAs),
    /// The text in the field, after each key.
    Typed(String),
    /// Typing may have come to rest: how often something had been typed by then.
    Rest(u32),
    /// Goes to where something is not understood, by its place in the list.
    GoTo(usize),
    /// Downloads the notes.
    Download,
}

/// About what leaves the guide besides its pages and links.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HandMsg {
    /// Chooses for which part; the whole guide with an empty text.
    Part(String),
    /// How many seconds after the start of the recording the music starts was typed.
    Offset(String),
    /// Chooses the samples a second of the click track.
    Rate(String),
    /// Chooses what its clicks are made of.
    Sound(String),
    /// Makes a file and downloads it.
    Make(OtherFile),
    /// Hands the guide of a part, or the whole, to the device's own way of sharing.
    Share(Option<Id>),
    /// Copies the lines for a class page.
    CopyFrame,
    /// They were copied, or not: a sentence about it.
    Copied(&'static str),
    /// The page is idle: weighs the next page.
    Weigh,
}

/// What the page asks of the browser.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Opens the browser's own dialog for a file.
    AskForFile,
    /// Opens the browser's own dialog for a photo or a sound of a tip.
    AskForMedia(Taken, Id),
    /// Asks for the microphone and records for a tip.
    Record(Id),
    /// Ends recording, and makes a voice note of it.
    StopRecording,
    /// Lets go of the microphone, and of what was recorded.
    DropRecording,
    /// Sends a message after some milliseconds.
    After(u32, Msg),
    /// Looks what is kept.
    List,
    /// Reads a kept guide.
    Load(String),
    /// Reads a kept guide to copy or rename it.
    Read(String, ShelfDeed),
    /// Reads what is kept under an id and cannot be read as a guide.
    TakeDamaged(String),
    /// Removes what is kept under an id, unless it can be read.
    DropDamaged(String),
    /// Removes a kept guide.
    Remove(String),
    /// Puts a removed guide back, if nothing took its place.
    Restore(KeptEntry, KeptTexts),
    /// Keeps a document if nothing else was kept in the meantime.
    Keep(KeepOrder),
    /// Hands a file to the browser's downloads.
    Download {
        /// Its name.
        name: String,
        /// Its media type.
        media: &'static str,
        /// Its content.
        text: String,
    },
    /// Hands a file that is no text to the browser's downloads.
    DownloadBytes {
        /// Its name.
        name: String,
        /// Its media type.
        media: &'static str,
        /// Its content.
        bytes: Vec<u8>,
    },
    /// Hands a click track to the browser's downloads, piece by piece: its name and itself.
    DownloadClicks(String, Rc<ClickTrack>),
    /// Offers a file to the device's own way of sharing.
    Share {
        /// Its name.
        name: String,
        /// Its media type.
        media: &'static str,
        /// Its content.
        text: String,
    },
    /// Copies a text; where that is refused, marks the text in the field with this id.
    Copy(String, String),
    /// Remembers the teacher's phrases.
    KeepPhrases(String),
    /// Asks where the caret stands in a field, for a wish.
    AskStretch(String, Wish),
    /// Remembers the address of the page that opens links.
    KeepAddress(String),
    /// Shows a dialog by its id.
    ShowDialog(String),
    /// Closes a dialog by its id; the focus goes back to where it was.
    CloseDialog(String),
    /// Remembers what the key "?" does.
    KeepQuestionKey(QuestionKey),
    /// Puts the focus into a field and chooses a stretch of its text, in UTF-16 units.
    Caret(String, Range<usize>),
    /// Fills a field in which somebody may be typing; the caret stays at its words.
    Fill(String, String),
    /// Puts the focus on an element, once it is shown.
    Focus(String),
    /// Scrolls an element into view.
    Reveal(String),
    /// Says something to screen readers.
    Say(String),
    /// Puts the student's page of a guide into the preview.
    ShowPreview(Rc<Guide>),
    /// Sends the guide to the preview that is there.
    UpdatePreview(Rc<Guide>),
}

/// A document to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeepOrder {
    /// The guide's id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// The names of its parts, for the list.
    pub parts: String,
    /// The revision that is kept as far as is known; `None` when nothing is.
    pub expected: Option<u64>,
    /// The document in its saved form.
    pub text: String,
    /// The guide as plain notes, with what the document cannot say; `None` leaves what is
    /// kept of them.
    pub notes: Option<String>,
    /// What was dropped of the proposals, a line each; `None` leaves what is kept of it.
    pub dropped: Option<String>,
    /// The watch list, as `kept_list` writes it; `None` leaves what is kept of it. Where there
    /// is no room for it, the guide is kept without.
    pub watch: Option<String>,
}
