//! One place on the watch list.

use cueleaf_guide::{Spot, Topic};
use std::collections::BTreeMap;

/// A place to watch, with what makes it one.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// What happens there.
    pub kind: Kind,
    /// Where, by index.
    pub spot: Spot,
    /// Where it starts, as printed: the measure's label and the counted beat,
    /// "12 beat 3"; "12 beat 3+1/2" for half a beat later. A measure without a
    /// label is named by its number in the file, in brackets: `[7] beat 1`.
    pub from: String,
    /// The last place that belongs to it, in the same form; the label alone
    /// ("15") where the whole measure does; `from` again for one place.
    pub to: String,
    /// How much it asks to be pointed at, 0 to 100.
    pub weight: u8,
    /// What a tip about it would be about.
    pub topic: Topic,
    /// A sentence or two that say what there is, with the place.
    pub sentence: String,
    /// The same to propose as a tip, which stands at its place: without the place where
    /// the sentence began with it.
    pub tip: String,
    /// What is shown while playing: at most [`MAX_CUE`](cueleaf_guide::MAX_CUE) letters.
    pub cue: String,
    /// The numbers that make it so, by name. Seconds and notes a second are absent where no
    /// number says how fast it goes.
    pub numbers: BTreeMap<&'static str, Number>,
}

/// A number of the watch list, or a word that stands in for one.
#[derive(Debug, Clone, PartialEq)]
pub enum Number {
    /// A whole number.
    Whole(i64),
    /// Any number: seconds, quarter notes, ratios.
    Real(f64),
    /// A meter, a dynamic, a note, a place.
    Text(String),
    /// Several of these, in order.
    Texts(Vec<String>),
}

impl From<i64> for Number {
    fn from(number: i64) -> Self {
        Self::Whole(number)
    }
}

impl From<usize> for Number {
    fn from(number: usize) -> Self {
        Self::Whole(i64::try_from(number).unwrap_or(i64::MAX))
    }
}

impl From<f64> for Number {
    fn from(number: f64) -> Self {
        Self::Real(number)
    }
}

impl From<&str> for Number {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Number {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<Vec<String>> for Number {
    fn from(texts: Vec<String>) -> Self {
        Self::Texts(texts)
    }
}

/// The families of kinds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// Tempo.
    Tempo,
    /// Meter and grouping.
    Meter,
    /// Key.
    Key,
    /// Bow or plucking, mutes.
    Playing,
    /// Dynamics.
    Dynamics,
    /// Coming in.
    Entries,
    /// Rhythm.
    Rhythm,
    /// The bow.
    Bow,
    /// The left hand.
    LeftHand,
    /// The order of play.
    Order,
    /// The last measures.
    Last,
}

/// One row: the kind, its code, its family, its topic, whether neighbours fold.
type Row = (Kind, &'static str, Family, Topic, Fold);

/// Whether neighbouring places of a kind become one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fold {
    /// They do.
    Neighbours,
    /// Each stands for itself.
    Never,
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident, $code:literal, $family:ident, $topic:ident, $fold:ident;)*) => {
        /// What happens at a place.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Kind {
            $($(#[$doc])* $name,)*
        }

        const ROWS: &[Row] = &[
            $((Kind::$name, $code, Family::$family, Topic::$topic, Fold::$fold),)*
        ];
    };
}

kinds! {
    /// Another tempo at once.
    TempoChange, "tempo-change", Tempo, Count, Never;
    /// A tempo word without a number.
    TempoWords, "tempo-words", Tempo, Count, Never;
    /// A gradual change of tempo, and what follows it.
    TempoGradual, "tempo-gradual", Tempo, Count, Never;
    /// Another meter.
    MeterChange, "meter-change", Meter, Count, Never;
    /// One measure of another length among equal ones.
    OddMeasure, "odd-measure", Meter, Count, Never;
    /// A meter of unequal groups, or other groups.
    UnevenMeter, "uneven-meter", Meter, Count, Never;
    /// Another key signature.
    KeyChange, "key-change", Key, LeftHand, Never;
    /// From the bow to plucking.
    ToPizz, "to-pizz", Playing, Pluck, Never;
    /// From plucking to the bow.
    ToArco, "to-arco", Playing, Pluck, Never;
    /// The mute goes on.
    MuteOn, "mute-on", Playing, GetReady, Never;
    /// The mute comes off.
    MuteOff, "mute-off", Playing, GetReady, Never;
    /// Another dynamic.
    Dynamic, "dynamic", Dynamics, Sound, Never;
    /// Another dynamic at once, two steps or more away.
    SuddenDynamic, "sudden-dynamic", Dynamics, Sound, Never;
    /// A crescendo after which nothing louder is printed: it starts too loud, or is taken
    /// back at once.
    NoRoomToGrow, "no-room-to-grow", Dynamics, Sound, Never;
    /// The loudest place of the part.
    Loudest, "loudest", Dynamics, Sound, Never;
    /// Coming in after a long rest.
    EntryAfterRest, "entry-after-rest", Entries, Listen, Never;
    /// Coming in off the beat.
    EntryOffBeat, "entry-off-beat", Entries, Count, Neighbours;
    /// Coming in on another beat than the first.
    EntryInside, "entry-inside", Entries, Count, Neighbours;
    /// A pickup to a phrase.
    Pickup, "pickup", Entries, Bow, Neighbours;
    /// A note off the beat held through the next.
    Syncopation, "syncopation", Rhythm, Count, Neighbours;
    /// Equal notes over several beats, as three over two.
    TupletAcross, "tuplet-across", Rhythm, Count, Neighbours;
    /// A note held over the barline.
    TieOverBar, "tie-over-bar", Rhythm, Count, Neighbours;
    /// Beats divided in another way than before.
    SubdivisionChange, "subdivision-change", Rhythm, Count, Neighbours;
    /// The fastest notes.
    FastestNotes, "fastest-notes", Rhythm, LeftHand, Never;
    /// The part moves while nobody else does.
    MovesAlone, "moves-alone", Rhythm, Listen, Neighbours;
    /// The part plays in the gaps that the others leave.
    BetweenOthers, "between-others", Rhythm, Listen, Neighbours;
    /// Notes told apart within one bow.
    ArticulatedSlur, "articulated-slur", Bow, Bow, Neighbours;
    /// A stroke or a place of the bow named by words, or the way back from it.
    NamedStroke, "named-stroke", Bow, Bow, Never;
    /// Two strokes in one direction.
    SameDirection, "same-direction", Bow, Bow, Neighbours;
    /// A long time in one bow.
    LongBow, "long-bow", Bow, Bow, Neighbours;
    /// Long and short strokes that carry the hand to one end.
    UnevenBowing, "uneven-bowing", Bow, Bow, Neighbours;
    /// A large leap.
    Leap, "leap", LeftHand, LeftHand, Neighbours;
    /// The highest note.
    HighestNote, "highest-note", LeftHand, LeftHand, Never;
    /// Beyond where the part usually lies.
    OutOfCompass, "out-of-compass", LeftHand, LeftHand, Neighbours;
    /// Notes outside the key signature.
    OutsideKey, "outside-key", LeftHand, LeftHand, Neighbours;
    /// The part is read in another clef.
    ClefChange, "clef-change", LeftHand, LeftHand, Never;
    /// A string named by words.
    NamedString, "named-string", LeftHand, LeftHand, Never;
    /// Others of the section play than before: solo, tutti, divided, together.
    WhoPlays, "who-plays", Order, GetReady, Never;
    /// A repeat.
    Repeat, "repeat", Order, Note, Never;
    /// An ending.
    Ending, "ending", Order, Note, Never;
    /// A jump, or a place where a jump leads or ends.
    Jump, "jump", Order, Note, Never;
    /// Measures that are left out.
    Cut, "cut", Order, Note, Never;
    /// A fermata.
    Fermata, "fermata", Order, GetReady, Never;
    /// A breath or a caesura.
    Breath, "breath", Order, GetReady, Never;
    /// The last measures, where several things come together.
    LastMeasures, "last-measures", Last, Note, Never;
}

impl Kind {
    /// Gives all kinds, in the order in which they are listed at one place.
    pub fn all() -> impl Iterator<Item = Self> {
        ROWS.iter().map(|row| row.0)
    }

    fn row(self) -> Option<&'static Row> {
        ROWS.iter().find(|row| row.0 == self)
    }

    /// Gives the stable word that programs match: "tempo-change".
    #[must_use]
    pub fn code(self) -> &'static str {
        self.row().map_or("", |row| row.1)
    }

    /// Gives the family.
    #[must_use]
    pub fn family(self) -> Family {
        self.row().map_or(Family::Order, |row| row.2)
    }

    /// Gives the topic of a tip about it.
    #[must_use]
    pub fn topic(self) -> Topic {
        self.row().map_or(Topic::Note, |row| row.3)
    }

    pub(crate) fn fold(self) -> Fold {
        self.row().map_or(Fold::Never, |row| row.4)
    }
}
