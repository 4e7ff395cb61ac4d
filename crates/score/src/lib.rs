//! The notes of a piece as read from a file: parts, measures, notes, signs.
//!
//! This is what a reader found, not what a teacher wants: nothing is judged
//! here and nothing is stored in a guide. The structs are plain data.
//!
//! Invariants of this room:
//! - Every part has the same number of measures, and the measures of one index
//!   have the same start and length in all parts.
//! - A place inside a measure is its exact distance from the measure's start,
//!   in quarter notes, and never lies beyond the measure's end. A place at the
//!   very end of a measure belongs to what has just sounded.
//! - Spans (hairpins, dashes) and slurs are matched: nothing starts here that
//!   does not end, except where the file forgot the end; then the end is `None`.
#![forbid(unsafe_code)]

mod note;
mod sign;

pub use note::{
    Articulation, Beam, Bowing, Grace, Note, Ornament, Pitch, Sound, Step, Technique, Tremolo,
    TremoloKind, TupletRatio,
};
pub use sign::{
    Clef, Dynamic, Ending, HoldKind, HoldSign, JumpKind, JumpSign, KeySign, MeterSign, MeterSymbol,
    Metronome, PlayingSign, PlayingWay, RepeatBack, Signs, Span, SpanKind, TempoSign,
    Transposition, Words,
};

pub use cueleaf_time as time;
use cueleaf_time::{BeatPos, BeatSpan};

/// A piece as read: its names and its parts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Score {
    /// The title of the work; empty when none is given.
    pub title: String,
    /// The title of the movement; empty when none is given.
    pub movement: String,
    /// Who composed it; empty when nobody is named.
    pub composer: String,
    /// The parts in the order of the score.
    pub parts: Vec<Part>,
}

impl Score {
    /// Gives the number of measures, the same in every part.
    #[must_use]
    pub fn measure_count(&self) -> usize {
        self.parts.first().map_or(0, |part| part.measures.len())
    }
}

/// One part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Part {
    /// The id by which the file names it: "P1".
    pub id: String,
    /// The printed name, never empty and different from the other parts' names.
    pub name: String,
    /// The printed short name; empty when none is given.
    pub abbreviation: String,
    /// The measures in written order.
    pub measures: Vec<Measure>,
    /// Hairpins and dashed lines, in order of their start.
    pub spans: Vec<Span>,
    /// Whether the notes were played in by hand, so that their places and lengths tell no rhythm.
    pub played_in: bool,
}

/// A place in the written music of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The index of the measure, from 0.
    pub measure: usize,
    /// How far into the measure, in quarter notes.
    pub at: BeatSpan,
}

/// One measure of one part.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// The number as the file gives it: "12", "X1", "0"; may be empty.
    pub label: String,
    /// Whether the file says that this measure is not counted.
    pub implicit: bool,
    /// Where it starts on the written line.
    pub start: BeatPos,
    /// How long it lasts, agreed among all parts.
    pub length: BeatSpan,
    /// How much of it this part's own notes and rests fill.
    pub written: BeatSpan,
    /// The time signature that starts to hold with this measure.
    pub meter: Option<MeterSign>,
    /// The key signature that starts to hold with this measure.
    pub key: Option<KeySign>,
    /// The transposition that starts to hold with this measure.
    pub transposition: Option<Transposition>,
    /// Clefs set in this measure, in order of place.
    pub clefs: Vec<Clef>,
    /// Notes and rests, in the file's order: voice after voice.
    pub notes: Vec<Note>,
    /// Tempo marks, in order of place.
    pub tempo: Vec<TempoSign>,
    /// Dynamics, in order of place.
    pub dynamics: Vec<Dynamic>,
    /// Changes between bow and plucking, mute on and off, in order of place.
    pub playing: Vec<PlayingSign>,
    /// All other words, in order of place.
    pub words: Vec<Words>,
    /// The rehearsal mark at this measure.
    pub rehearsal: Option<String>,
    /// Fermatas, breaths and caesuras, in order of place.
    pub holds: Vec<HoldSign>,
    /// Repeats, endings, jumps.
    pub signs: Signs,
    /// How many measures of rest the printed block that starts here counts.
    pub multiple_rest: Option<u16>,
    /// Whether a sign in this measure stands for a repetition of what was before.
    pub repeats_previous: bool,
}

impl Default for Measure {
    fn default() -> Self {
        Self {
            label: String::new(),
            implicit: false,
            start: BeatPos::START,
            length: BeatSpan::ZERO,
            written: BeatSpan::ZERO,
            meter: None,
            key: None,
            transposition: None,
            clefs: Vec::new(),
            notes: Vec::new(),
            tempo: Vec::new(),
            dynamics: Vec::new(),
            playing: Vec::new(),
            words: Vec::new(),
            rehearsal: None,
            holds: Vec::new(),
            signs: Signs::default(),
            multiple_rest: None,
            repeats_previous: false,
        }
    }
}

impl Measure {
    /// Tells whether the part rests through the whole measure: it has no note
    /// to play, and no sign says to repeat what was before.
    #[must_use]
    pub fn is_rest(&self) -> bool {
        !self.repeats_previous && !self.notes.iter().any(Note::is_played)
    }
}
