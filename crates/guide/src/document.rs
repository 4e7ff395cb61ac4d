//! The guide itself, its parts, tips, to-dos and settings.

use crate::media::{Photo, Voice};
use crate::road_map::{Place, RoadMap};
use crate::tip_picture::{RhythmLength, Stroke, Watch};
use crate::{Id, text};
use cueleaf_time::BeatSpan;
use serde::{Deserialize, Serialize};

/// The fields of a saved guide that this version does not know.
#[cfg(feature = "saved")]
pub type Extra = std::collections::BTreeMap<String, serde_json::Value>;
/// Without the saved form unknown fields are not kept.
#[cfg(not(feature = "saved"))]
pub type Extra = ();

/// A guide: what a teacher makes and a student opens.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Guide {
    /// The guide's own name, the same in every export.
    pub id: Id,
    /// The title of the piece.
    #[serde(default)]
    pub title: String,
    /// Who composed it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub composer: String,
    /// The teacher's word to the student; lines are paragraphs.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub word: String,
    /// How the guide speaks and counts.
    #[serde(default)]
    pub settings: Settings,
    /// The parts that play from the road map.
    #[serde(default)]
    pub parts: Vec<Part>,
    /// The measures in written order.
    #[serde(default)]
    pub road_map: RoadMap,
    /// The tips, in no particular order.
    #[serde(default)]
    pub tips: Vec<Tip>,
    /// What the student is asked to do, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub todos: Vec<Todo>,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

impl Guide {
    /// Makes an empty guide with a title.
    #[must_use]
    pub fn new(id: Id, title: &str) -> Self {
        Self {
            id,
            title: title.to_owned(),
            composer: String::new(),
            word: String::new(),
            settings: Settings::default(),
            parts: Vec::new(),
            road_map: RoadMap::default(),
            tips: Vec::new(),
            todos: Vec::new(),
            extra: Extra::default(),
        }
    }

    /// Finds a part by its id.
    #[must_use]
    pub fn part(&self, id: &Id) -> Option<&Part> {
        self.parts.iter().find(|part| part.id == *id)
    }
}

/// How a guide speaks and counts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// The language of the words the student sees.
    #[serde(default)]
    pub language: Language,
    /// Whether a measure is called "measure" or "bar".
    #[serde(default)]
    pub measure_word: MeasureWord,
    /// How uneven measures are counted where a measure does not say.
    #[serde(default)]
    pub count_style: CountStyle,
    /// How many measures are counted in before play starts, 0 to 4.
    #[serde(default = "one")]
    pub count_in: u8,
    /// The address of the teacher's copy of the page that opens links; empty without one.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub address: String,
    /// Whether the teacher confirms that she may hand out the photos and voice notes: without it
    /// they stay with her.
    #[serde(default, skip_serializing_if = "core::ops::Not::not")]
    pub may_share: bool,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

const fn one() -> u8 {
    1
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            language: Language::default(),
            measure_word: MeasureWord::default(),
            count_style: CountStyle::default(),
            count_in: one(),
            address: String::new(),
            may_share: false,
            extra: Extra::default(),
        }
    }
}

/// A language for the words the student sees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Language {
    /// English.
    #[default]
    #[serde(rename = "en")]
    English,
    /// German.
    #[serde(rename = "de")]
    German,
    /// Spanish.
    #[serde(rename = "es")]
    Spanish,
    /// French.
    #[serde(rename = "fr")]
    French,
    /// Italian.
    #[serde(rename = "it")]
    Italian,
}

impl Language {
    /// All languages, the usual one first.
    pub const ALL: [Self; 5] = [
        Self::English,
        Self::German,
        Self::Spanish,
        Self::French,
        Self::Italian,
    ];

    /// Gives the language's tag, as it is saved.
    ///
    /// # Source
    ///
    /// ISO 639-1, whose two letters BCP 47 (RFC 5646) takes over.
    #[must_use]
    pub const fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
            Self::Spanish => "es",
            Self::French => "fr",
            Self::Italian => "it",
        }
    }

    /// Finds a language by its tag.
    ///
    /// ```
    /// use cueleaf_guide::Language;
    ///
    /// assert_eq!(Language::find("de"), Some(Language::German));
    /// assert_eq!(Language::find("de-CH"), None);
    /// ```
    #[must_use]
    pub fn find(tag: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|language| language.tag() == tag)
    }
}

/// What a measure is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MeasureWord {
    /// "measure".
    #[default]
    Measure,
    /// "bar".
    Bar,
}

/// How a measure of unequal groups is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CountStyle {
    /// Anew in each group: 1 2 1 2 3.
    #[default]
    EachGroup,
    /// Through the measure: 1 2 3 4 5.
    Through,
}

/// One part of the ensemble.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// The part's own name, the same in every export.
    pub id: Id,
    /// The name as printed: "Viola".
    pub name: String,
    /// What the part does besides the notes, in order of place.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Mark>,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

/// Something printed in one part: pizz., a mute, a dynamic, a bowing, a rest.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Mark {
    /// The index of the measure, from 0.
    pub measure: usize,
    /// How far into the measure, in quarter notes.
    #[serde(
        default = "text::zero",
        skip_serializing_if = "text::is_zero",
        with = "text::plain"
    )]
    pub at: BeatSpan,
    /// What it is.
    pub kind: MarkKind,
    /// Where it ends, for what has a length (hairpins, rests); the end is outside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Place>,
    /// What is printed, where the kind does not say all: "mf", "con sord.".
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

/// The kinds of marks in a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkKind {
    /// Pluck from here on.
    Pizz,
    /// Bow from here on.
    Arco,
    /// Mute on.
    MuteOn,
    /// Mute off.
    MuteOff,
    /// A dynamic; the text says which.
    Dynamic,
    /// A crescendo or its hairpin.
    Grow,
    /// A diminuendo or its hairpin.
    Fade,
    /// A down-bow sign.
    DownBow,
    /// An up-bow sign.
    UpBow,
    /// Measures of rest; the end is outside.
    Rest,
    /// Other words printed in the part.
    Words,
}

/// A place or a stretch of music.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Spot {
    /// Where it starts.
    pub from: Place,
    /// The last measure or beat that belongs to it; absent for one place alone.
    /// Without an offset the whole measure belongs to it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Place>,
}

impl Spot {
    /// Makes the spot of one place.
    #[must_use]
    pub const fn at(place: Place) -> Self {
        Self {
            from: place,
            to: None,
        }
    }

    /// Makes the spot of whole measures, both included.
    #[must_use]
    pub const fn measures(first: usize, last: usize) -> Self {
        Self {
            from: Place::start_of(first),
            to: if first == last {
                None
            } else {
                Some(Place::start_of(last))
            },
        }
    }

    /// Gives the index of the last measure that belongs to the spot.
    #[must_use]
    pub fn last_measure(&self) -> usize {
        self.to.map_or(self.from.measure, |to| to.measure)
    }
}

/// A short advice at a spot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Tip {
    /// The tip's own name, the same in every export.
    pub id: Id,
    /// Where it belongs.
    pub spot: Spot,
    /// What it is about.
    #[serde(default)]
    pub topic: Topic,
    /// The advice, to read at rest.
    #[serde(default)]
    pub text: String,
    /// How much it matters among the others.
    #[serde(default, skip_serializing_if = "Importance::is_usual")]
    pub importance: Importance,
    /// What is shown while playing, at most 24 letters; when empty it is derived.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub cue: String,
    /// For which parts; empty for all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Id>,
    /// How many beats ahead of its spot the cue appears; absent for the guide's usual way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ahead: Option<u8>,
    /// The stroke of the bow that it shows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bow: Option<Stroke>,
    /// The rhythm that it shows with its counts, from the start of the spot.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rhythm: Vec<RhythmLength>,
    /// Where in a recording it is shown or heard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watch: Option<Watch>,
    /// A photo beside it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<Photo>,
    /// A short recording of the teacher's voice beside it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub voice: Option<Voice>,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

impl Tip {
    /// Makes a tip for all parts.
    #[must_use]
    pub fn new(id: Id, spot: Spot, topic: Topic, text: &str) -> Self {
        Self {
            id,
            spot,
            topic,
            text: text.to_owned(),
            importance: Importance::default(),
            cue: String::new(),
            parts: Vec::new(),
            ahead: None,
            bow: None,
            rhythm: Vec::new(),
            watch: None,
            photo: None,
            voice: None,
            extra: Extra::default(),
        }
    }

    /// Tells whether the tip is for a part.
    #[must_use]
    pub fn is_for(&self, part: &Id) -> bool {
        self.parts.is_empty() || self.parts.contains(part)
    }
}

/// What a tip is about.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Topic {
    /// The bow: place, direction, amount.
    Bow,
    /// The left hand: shifts, fingers, accidentals.
    LeftHand,
    /// Plucking, and the way there and back.
    Pluck,
    /// Sound: dynamics, articulation, colour.
    Sound,
    /// Counting.
    Count,
    /// Listening to the others.
    Listen,
    /// Getting ready for what comes.
    GetReady,
    /// Anything else.
    #[default]
    Note,
}

impl Topic {
    /// All topics in the order in which they are offered.
    pub const ALL: [Self; 8] = [
        Self::Bow,
        Self::LeftHand,
        Self::Pluck,
        Self::Sound,
        Self::Count,
        Self::Listen,
        Self::GetReady,
        Self::Note,
    ];

    /// Gives the name used in saved guides: "left-hand".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Bow => "bow",
            Self::LeftHand => "left-hand",
            Self::Pluck => "pluck",
            Self::Sound => "sound",
            Self::Count => "count",
            Self::Listen => "listen",
            Self::GetReady => "get-ready",
            Self::Note => "note",
        }
    }
}

/// How much a tip matters among the others, the most important first.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Importance {
    /// The student starts here.
    StartHere,
    /// As much as most.
    #[default]
    Usual,
    /// For when there is time left.
    WhenTime,
}

impl Importance {
    /// All of them, the most important first.
    pub const ALL: [Self; 3] = [Self::StartHere, Self::Usual, Self::WhenTime];

    /// Gives the name used in saved guides: "start-here".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::StartHere => "start-here",
            Self::Usual => "usual",
            Self::WhenTime => "when-time",
        }
    }

    /// Finds it by its saved name.
    ///
    /// ```
    /// use cueleaf_guide::Importance;
    ///
    /// assert_eq!(Importance::find("start-here"), Some(Importance::StartHere));
    /// assert_eq!(Importance::find("urgent"), None);
    /// ```
    #[must_use]
    pub fn find(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|own| own.code() == code)
    }

    /// Tells whether it is as usual, which is not saved.
    #[must_use]
    pub fn is_usual(&self) -> bool {
        *self == Self::Usual
    }
}

/// Something the student is asked to do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Todo {
    /// The to-do's own name, the same in every export.
    pub id: Id,
    /// What to do.
    pub text: String,
    /// Where, if at a spot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spot: Option<Spot>,
    /// For which parts; empty for all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Id>,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}
