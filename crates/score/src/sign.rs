//! Everything in a measure that is not a note.

use crate::Place;
use cueleaf_time::{BeatSpan, Key, Meter, NoteValue, Ratio};

/// A time signature.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeterSign {
    /// The meter; free without one.
    pub meter: Meter,
    /// How it is printed.
    pub symbol: MeterSymbol,
}

/// How a time signature is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MeterSymbol {
    /// Two figures.
    #[default]
    Figures,
    /// The sign of common time.
    Common,
    /// The sign of cut time.
    Cut,
    /// One figure alone.
    OneFigure,
    /// A figure over a note.
    Note,
}

/// A key signature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeySign {
    /// One from the circle of fifths.
    Fifths(Key),
    /// Any other choice of accidentals.
    Other,
}

/// How far a part sounds from what is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Transposition {
    /// In semitones, without whole octaves where the file keeps these apart.
    pub chromatic: i16,
    /// In octaves on top.
    pub octaves: i16,
}

/// A clef.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clef {
    /// Where it stands.
    pub at: BeatSpan,
    /// The staff, from 1.
    pub staff: u16,
    /// Its letter: 'G', 'F', 'C', or 'P' for percussion and others.
    pub sign: char,
    /// The line it names, from below; 0 when not given.
    pub line: u8,
    /// Octaves up (or down as a negative number).
    pub octaves: i8,
}

/// A tempo mark: words, a metronome mark, a tempo for playback, or several of these.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TempoSign {
    /// Where it holds from.
    pub at: BeatSpan,
    /// The words printed; may be empty.
    pub words: String,
    /// The metronome mark printed.
    pub metronome: Option<Metronome>,
    /// The tempo the file gives for playback, in quarter notes a minute.
    pub sound: Option<Ratio>,
}

/// A printed metronome mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Metronome {
    /// A note and a number.
    PerMinute {
        /// The note.
        unit: NoteValue,
        /// The number as printed: "60", "c. 60", "120-126".
        text: String,
        /// The number read from it.
        number: Option<Ratio>,
    },
    /// A note equals another note across a change of meter.
    Equation {
        /// The left note.
        left: NoteValue,
        /// The right note.
        right: NoteValue,
    },
}

/// A dynamic.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dynamic {
    /// Where it stands.
    pub at: BeatSpan,
    /// Its letters: "mf".
    pub text: String,
}

/// A change of the way of playing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlayingSign {
    /// Where it holds from.
    pub at: BeatSpan,
    /// What changes.
    pub way: PlayingWay,
    /// The words printed; empty where the file only plays it back so.
    pub text: String,
}

/// Ways of playing a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlayingWay {
    /// Plucked.
    Pizzicato,
    /// Bowed.
    Arco,
    /// With mute.
    Muted,
    /// Without mute.
    Unmuted,
}

/// Other words printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// Where they stand.
    pub at: BeatSpan,
    /// The words, with single spaces.
    pub text: String,
}

/// A fermata, breath or caesura.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct HoldSign {
    /// Where the note starts over which it stands, or where the music stops.
    pub at: BeatSpan,
    /// What it is.
    pub kind: HoldKind,
}

/// Kinds of holding up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HoldKind {
    /// A fermata.
    Fermata,
    /// A breath after the note.
    Breath,
    /// A caesura after the note.
    Caesura,
}

/// Repeats, endings and jumps at one measure.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Signs {
    /// A repeat starts with this measure.
    pub repeat_from: bool,
    /// A repeat ends after this measure.
    pub repeat_back: Option<RepeatBack>,
    /// An ending bracket starts with this measure.
    pub ending_from: Option<Ending>,
    /// An ending bracket ends with this measure.
    pub ending_to: bool,
    /// A segno at the start of this measure, by name; "" without one.
    pub segno: Option<String>,
    /// A coda at the start of this measure, by name; "" without one.
    pub coda: Option<String>,
    /// Where to leave for the coda, after this measure, by name; "" without one.
    pub to_coda: Option<String>,
    /// The Fine, after this measure.
    pub fine: bool,
    /// A jump after this measure.
    pub jump: Option<JumpSign>,
    /// The final barline (thin and thick) stands after this measure.
    pub final_bar: bool,
    /// A double barline stands after this measure.
    pub double_bar: bool,
}

/// The sign that ends a repeat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RepeatBack {
    /// How often it is played in all, where the file says so.
    pub times: Option<u16>,
    /// Whether it also holds after a jump.
    pub after_jump: bool,
}

/// An ending bracket.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ending {
    /// The passes it is for; empty when the file does not say.
    pub passes: Vec<u16>,
    /// What is printed, when it is not just the numbers.
    pub text: String,
}

/// A jump back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JumpSign {
    /// The name of the segno to go back to; `None` for the beginning.
    pub to_segno: Option<String>,
    /// How far to play then, as far as words say it.
    pub kind: JumpKind,
    /// The passes on which it is taken; empty when the file does not say.
    pub passes: Vec<u16>,
}

/// How far to play after a jump, as printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JumpKind {
    /// No words say so.
    Plain,
    /// To the Fine.
    ToFine,
    /// To the To Coda, then at the coda.
    ToCoda,
}

/// A hairpin or a dashed line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// What it is.
    pub kind: SpanKind,
    /// Where it starts.
    pub from: Place,
    /// Where it ends; `None` where the file forgot it.
    pub to: Option<Place>,
}

/// Kinds of spans.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpanKind {
    /// A hairpin that opens.
    Grow,
    /// A hairpin that closes.
    Fade,
    /// A dashed line or bracket after words that stand where it starts.
    Dashes,
}
