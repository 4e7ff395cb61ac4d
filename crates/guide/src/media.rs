//! What a tip may show or play besides words: a photo, and a short voice note.
//!
//! Their bytes are text (base64) in the document. Every one is hostile until it was
//! read: what they are is told by the bytes themselves, and what does not fit what the
//! document tells is kept but never shown.

mod findings;
#[cfg(feature = "saved")]
mod jpeg;
#[cfg(feature = "saved")]
mod png;
#[cfg(feature = "saved")]
mod read;
#[cfg(feature = "saved")]
mod wav;
#[cfg(feature = "saved")]
mod webp;

use crate::document::{Extra, Guide, Tip};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::sync::Arc;

pub(crate) use findings::{findings_of_guide, findings_of_tip};
#[cfg(all(test, feature = "saved"))]
pub(crate) use read::tests as read_tests;
#[cfg(feature = "saved")]
pub use read::{MediaProblem, told_picture};

/// The most bytes of a photo.
///
/// # Source
/// Our decision: legible on a phone, and ten of them weigh little more than a song.
pub const MAX_PHOTO_BYTES: usize = 120_000;
/// The longer side of a photo at most, in pixels.
pub const MAX_PHOTO_SIDE: u16 = 1_280;
/// How long a voice note lasts at most, in milliseconds.
pub const MAX_VOICE_MS: u32 = 20_000;
/// The samples a second of a voice note.
pub const VOICE_RATE: u32 = 16_000;
/// The most bytes of a voice note: its header of 44, then two for each sample.
pub const MAX_VOICE_BYTES: usize = 44 + 2 * 20 * 16_000;
/// How many bytes the photos and voice notes of one guide should have at most.
///
/// # Source
/// Our decision: what most mail still takes as an attachment, with a third for base64.
pub const MAX_MEDIA_BYTES: usize = 15_000_000;

/// Bytes as text in base64, shared by all states of a document that hold them.
#[derive(Clone, PartialEq, Eq, Default)]
pub struct MediaBytes(Option<Arc<Held>>);

struct Held {
    text: String,
    /// What the bytes are, once somebody asked.
    #[cfg(feature = "saved")]
    read: std::sync::OnceLock<Result<read::Content, MediaProblem>>,
}

impl PartialEq for Held {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
    }
}

impl Eq for Held {}

impl fmt::Debug for MediaBytes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "MediaBytes({} letters)", self.text().len())
    }
}

impl MediaBytes {
    /// Holds a text that should be base64.
    #[must_use]
    pub fn of_text(text: String) -> Self {
        if text.is_empty() {
            return Self(None);
        }
        Self(Some(Arc::new(Held {
            text,
            #[cfg(feature = "saved")]
            read: std::sync::OnceLock::new(),
        })))
    }

    /// Gives the text.
    #[must_use]
    pub fn text(&self) -> &str {
        self.0.as_ref().map_or("", |held| &held.text)
    }

    /// Tells whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.0.is_none()
    }

    /// Gives how many bytes the text stands for.
    #[must_use]
    pub fn len(&self) -> usize {
        self.text().trim_end_matches('=').len() * 3 / 4
    }

    /// Tells whether both share the same memory.
    #[must_use]
    pub fn is_shared_with(&self, other: &Self) -> bool {
        match (&self.0, &other.0) {
            (Some(own), Some(other)) => Arc::ptr_eq(own, other),
            _ => false,
        }
    }
}

impl Serialize for MediaBytes {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.text())
    }
}

impl<'de> Deserialize<'de> for MediaBytes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer).map(Self::of_text)
    }
}

/// A kind of picture file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PhotoKind {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
    /// WebP.
    Webp,
}

impl PhotoKind {
    /// Gives the media type.
    ///
    /// # Source
    /// IANA's registry of media types.
    #[must_use]
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Webp => "image/webp",
        }
    }
}

/// A photo beside a tip.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Photo {
    /// What kind of file its bytes are.
    pub kind: PhotoKind,
    /// Its width in pixels.
    pub width: u16,
    /// Its height in pixels.
    pub height: u16,
    /// What it shows, in words, for whom the picture does not reach.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub alt: String,
    /// Its bytes.
    #[serde(default, skip_serializing_if = "MediaBytes::is_empty")]
    pub data: MediaBytes,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

/// A short recording of the teacher's voice beside a tip: mono, 16 kHz, 16 bits, WAV.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Voice {
    /// How long it lasts, in whole milliseconds.
    pub milliseconds: u32,
    /// What is said, in words, for whom the sound does not reach.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// Its bytes.
    #[serde(default, skip_serializing_if = "MediaBytes::is_empty")]
    pub data: MediaBytes,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

impl Voice {
    /// Gives how many seconds it lasts, rounded up.
    #[must_use]
    pub const fn seconds(&self) -> u32 {
        self.milliseconds.div_ceil(1000)
    }
}

impl Guide {
    /// Gives the photo of a tip if it is what it should be and may be handed out. A reader without
    /// the saved form cannot tell, and shows none.
    #[must_use]
    pub fn shown_photo<'a>(&self, tip: &'a Tip) -> Option<&'a Photo> {
        let own = tip.photo.as_ref().filter(|_| self.settings.may_share);
        own.filter(|photo| is_sound_photo(photo))
    }

    /// Gives the voice note of a tip if it is what it should be and may be handed out, as
    /// [`Guide::shown_photo`] does.
    #[must_use]
    pub fn shown_voice<'a>(&self, tip: &'a Tip) -> Option<&'a Voice> {
        let own = tip.voice.as_ref().filter(|_| self.settings.may_share);
        own.filter(|voice| is_sound_voice(voice))
    }
}

#[cfg(feature = "saved")]
fn is_sound_photo(photo: &Photo) -> bool {
    photo.sound().is_ok()
}

#[cfg(feature = "saved")]
fn is_sound_voice(voice: &Voice) -> bool {
    voice.sound().is_ok()
}

#[cfg(not(feature = "saved"))]
const fn is_sound_photo(_: &Photo) -> bool {
    false
}

#[cfg(not(feature = "saved"))]
const fn is_sound_voice(_: &Voice) -> bool {
    false
}

/// Gives a guide as it leaves the teacher: without photos and voice notes that she may not hand
/// out, and without those that are not what they should be.
#[must_use]
pub fn with_shown_media(guide: &Guide) -> Guide {
    let mut made = guide.clone();
    for (tip, own) in made.tips.iter_mut().zip(&guide.tips) {
        if guide.shown_photo(own).is_none() {
            tip.photo = None;
        }
        if guide.shown_voice(own).is_none() {
            tip.voice = None;
        }
    }
    made
}

/// Gives a guide without any photo or voice note.
///
/// ```
/// use cueleaf_guide::{Guide, Id, without_media};
///
/// let guide = Guide::new(Id::new("g").unwrap(), "Fog");
/// assert_eq!(without_media(&guide), guide);
/// ```
#[must_use]
pub fn without_media(guide: &Guide) -> Guide {
    let mut made = guide.clone();
    for tip in &mut made.tips {
        tip.photo = None;
        tip.voice = None;
    }
    made
}

/// Counts the photos and the voice notes of a guide.
#[must_use]
pub fn media_count(guide: &Guide) -> (usize, usize) {
    let tips = guide.tips.iter();
    let photos = tips.clone().filter(|tip| tip.photo.is_some()).count();
    (photos, tips.filter(|tip| tip.voice.is_some()).count())
}

/// Gives how many bytes the photos and the voice notes of a guide have.
#[must_use]
pub fn media_bytes(guide: &Guide) -> (usize, usize) {
    let photos = guide.tips.iter().filter_map(|tip| tip.photo.as_ref());
    let voices = guide.tips.iter().filter_map(|tip| tip.voice.as_ref());
    (
        photos.map(|photo| photo.data.len()).sum(),
        voices.map(|voice| voice.data.len()).sum(),
    )
}
