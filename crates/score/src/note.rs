//! Notes and rests.

use cueleaf_time::{BeatSpan, NoteValue};

/// A note or a rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// Where it starts, from the measure's start.
    pub at: BeatSpan,
    /// How long it lasts; nothing for a grace note.
    pub length: BeatSpan,
    /// What sounds.
    pub sound: Sound,
    /// The written note value, where the file gives it.
    pub value: Option<NoteValue>,
    /// Whether and how it is a grace note.
    pub grace: Option<Grace>,
    /// Whether it sounds together with the note before it in the list.
    pub chord: bool,
    /// Whether it is a small cue note of another part, not to be played.
    pub cue: bool,
    /// The voice, from 1.
    pub voice: u16,
    /// The staff, from 1.
    pub staff: u16,
    /// Whether a tie leads on from it.
    pub tied_on: bool,
    /// Whether a tie leads to it, so that it is not struck anew.
    pub tied_back: bool,
    /// The slurs that start at it; numbers are the part's own, each used once.
    pub slurs_from: Vec<u32>,
    /// The slurs that end at it.
    pub slurs_to: Vec<u32>,
    /// Signs of articulation.
    pub articulations: Vec<Articulation>,
    /// Bowing and other technical signs.
    pub techniques: Vec<Technique>,
    /// Ornaments.
    pub ornaments: Vec<Ornament>,
    /// A tremolo.
    pub tremolo: Option<Tremolo>,
    /// The beams, the one for eighths first.
    pub beams: Vec<Beam>,
    /// The ratio of the tuplet it belongs to.
    pub tuplet: Option<TupletRatio>,
    /// Whether an accidental is printed before it.
    pub accidental: bool,
}

impl Note {
    /// Makes a note or rest of the first voice, with nothing printed at it.
    #[must_use]
    pub const fn new(at: BeatSpan, length: BeatSpan, sound: Sound) -> Self {
        Self {
            at,
            length,
            sound,
            value: None,
            grace: None,
            chord: false,
            cue: false,
            voice: 1,
            staff: 1,
            tied_on: false,
            tied_back: false,
            slurs_from: Vec::new(),
            slurs_to: Vec::new(),
            articulations: Vec::new(),
            techniques: Vec::new(),
            ornaments: Vec::new(),
            tremolo: None,
            beams: Vec::new(),
            tuplet: None,
            accidental: false,
        }
    }

    /// Tells whether it is a note that this part plays: no rest, no cue note.
    #[must_use]
    pub const fn is_played(&self) -> bool {
        !self.cue && !matches!(self.sound, Sound::Rest { .. })
    }

    /// Tells which bowing sign it bears.
    #[must_use]
    pub fn bowing(&self) -> Option<Bowing> {
        self.techniques
            .iter()
            .find_map(|technique| match technique {
                Technique::Bow(bowing) => Some(*bowing),
                _ => None,
            })
    }
}

/// What a note sounds like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sound {
    /// A pitch, as written (a transposing part sounds elsewhere).
    Pitched(Pitch),
    /// A sound without pitch.
    Unpitched,
    /// Silence.
    Rest {
        /// Whether the rest stands for the whole measure.
        whole_measure: bool,
    },
}

/// A written pitch.
///
/// Pitches have no order of their own: compare [`semitones`](Self::semitones), since the
/// letter and the octave alone do not say which is higher.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Pitch {
    /// The letter.
    pub step: Step,
    /// Quarter tones up from the letter: 2 for a sharp, −2 for a flat.
    pub quarter_tones: i8,
    /// The octave; 4 starts with middle C.
    pub octave: i8,
}

impl Pitch {
    /// Gives the pitch in semitones, middle C being 60; quarter tones are cut off.
    #[must_use]
    pub fn semitones(self) -> i16 {
        12 * (i16::from(self.octave) + 1)
            + self.step.semitones()
            + i16::from(self.quarter_tones).div_euclid(2)
    }
}

/// The letter of a pitch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// C.
    C,
    /// D.
    D,
    /// E.
    E,
    /// F.
    F,
    /// G.
    G,
    /// A.
    A,
    /// B.
    B,
}

impl Step {
    /// The letters in the order in which sharps are added, a fifth from one to the next; flats come
    /// from the end.
    ///
    /// # Source
    /// The circle of fifths, common practice.
    pub const BY_FIFTHS: [Self; 7] = [
        Self::F,
        Self::C,
        Self::G,
        Self::D,
        Self::A,
        Self::E,
        Self::B,
    ];

    /// Reads a letter "A" to "G".
    #[must_use]
    pub fn from_letter(letter: &str) -> Option<Self> {
        Some(match letter {
            "C" | "c" => Self::C,
            "D" | "d" => Self::D,
            "E" | "e" => Self::E,
            "F" | "f" => Self::F,
            "G" | "g" => Self::G,
            "A" | "a" => Self::A,
            "B" | "b" => Self::B,
            _ => return None,
        })
    }

    /// Gives the letter.
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::C => "C",
            Self::D => "D",
            Self::E => "E",
            Self::F => "F",
            Self::G => "G",
            Self::A => "A",
            Self::B => "B",
        }
    }

    /// Gives the distance from C in semitones.
    #[must_use]
    pub const fn semitones(self) -> i16 {
        match self {
            Self::C => 0,
            Self::D => 2,
            Self::E => 4,
            Self::F => 5,
            Self::G => 7,
            Self::A => 9,
            Self::B => 11,
        }
    }
}

/// How a grace note is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grace {
    /// Without a stroke through its stem.
    Plain,
    /// With a stroke through its stem.
    Slashed,
}

/// Signs of articulation.
///
/// # Source
/// MusicXML 4.0, element articulations.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Articulation {
    /// A wedge lying on its side.
    Accent,
    /// An upright wedge (marcato).
    StrongAccent,
    /// A dot.
    Staccato,
    /// A dash.
    Tenuto,
    /// A dash with a dot.
    DetachedLegato,
    /// A filled upright wedge.
    Staccatissimo,
    /// A small bounced dot, as some prints have it.
    Spiccato,
    /// A scoop, fall or the like into or out of the note.
    Slide,
    /// A stress sign.
    Stress,
    /// An unstress sign.
    Unstress,
}

/// Technical signs.
///
/// # Source
/// MusicXML 4.0, element technical.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Technique {
    /// A bowing sign.
    Bow(Bowing),
    /// An open string.
    OpenString,
    /// A harmonic.
    Harmonic,
    /// A pizzicato that snaps against the fingerboard.
    SnapPizzicato,
    /// A plus sign: a left-hand pizzicato for strings.
    LeftHandPizzicato,
    /// The thumb position of the cello.
    ThumbPosition,
    /// A fingering, as printed.
    Fingering(String),
    /// A string, 1 the highest.
    String(u8),
}

/// A bowing sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bowing {
    /// From the frog to the point.
    Down,
    /// From the point to the frog.
    Up,
}

/// Ornaments.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ornament {
    /// A trill.
    Trill,
    /// A turn of any kind.
    Turn,
    /// A mordent of any kind.
    Mordent,
}

/// A tremolo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tremolo {
    /// How many strokes, 0 to 8; 0 for an unmeasured one.
    pub strokes: u8,
    /// On one note or between two.
    pub kind: TremoloKind,
}

/// Where a tremolo moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TremoloKind {
    /// On the note itself.
    Single,
    /// Between this note and another; this is the first.
    First,
    /// Between this note and another; this is the second.
    Second,
}

/// One beam at a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beam {
    /// It starts here.
    Begin,
    /// It goes on.
    Continue,
    /// It ends here.
    End,
    /// A short piece of beam at one side of the stem.
    Hook,
}

/// The ratio of a tuplet: three notes in the time of two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TupletRatio {
    /// How many are played.
    pub actual: u16,
    /// In the time of how many.
    pub normal: u16,
}
