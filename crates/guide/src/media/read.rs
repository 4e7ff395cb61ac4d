//! What the bytes of a photo or a voice note really are.

use super::{
    MAX_PHOTO_BYTES, MAX_PHOTO_SIDE, MAX_VOICE_BYTES, MAX_VOICE_MS, MediaBytes, Photo, PhotoKind,
    Voice, jpeg, png, wav, webp,
};
use crate::document::Extra;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use core::fmt;

/// Why a photo or a voice note is not shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MediaProblem {
    /// Its bytes are missing.
    Missing,
    /// Its bytes are not written as base64.
    NoBase64,
    /// It is none of the kinds that are taken.
    OtherKind,
    /// It is cut off or does not hold together.
    Damaged,
    /// It carries more than a picture: where and when it was taken, or words.
    Metadata,
    /// The bytes are something else than the document tells: another kind, size or length.
    NotAsTold,
    /// It has too many bytes or pixels, or lasts too long.
    TooLarge,
}

impl fmt::Display for MediaProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Missing => "its bytes are missing",
            Self::NoBase64 => "its bytes are not written as base64",
            Self::OtherKind => {
                "it is of no kind that is taken: JPEG, PNG or WebP for photos, WAV (mono, 16 kHz, 16 bits) for voice notes"
            }
            Self::Damaged => "it is damaged",
            Self::Metadata => {
                "it carries more than a picture, such as where and when it was taken"
            }
            Self::NotAsTold => "it is something else than the guide says",
            Self::TooLarge => "it is too large",
        })
    }
}

impl core::error::Error for MediaProblem {}

/// What bytes turned out to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Content {
    Photo {
        kind: PhotoKind,
        width: u16,
        height: u16,
    },
    Voice {
        milliseconds: u32,
    },
}

impl MediaBytes {
    /// Holds bytes.
    #[must_use]
    pub fn of_bytes(bytes: &[u8]) -> Self {
        Self::of_text(STANDARD.encode(bytes))
    }

    /// Gives the bytes.
    ///
    /// # Errors
    /// [`MediaProblem::NoBase64`] when the text is none, [`MediaProblem::Missing`] when there is none.
    pub fn bytes(&self) -> Result<Vec<u8>, MediaProblem> {
        if self.is_empty() {
            return Err(MediaProblem::Missing);
        }
        STANDARD
            .decode(self.text())
            .map_err(|_| MediaProblem::NoBase64)
    }

    /// Reads what the bytes are; once for all documents that share them.
    fn content(&self) -> Result<Content, MediaProblem> {
        let Some(held) = &self.0 else {
            return Err(MediaProblem::Missing);
        };
        *held.read.get_or_init(|| {
            // Whatever is so long is refused before memory is taken for it.
            if self.len() > MAX_PHOTO_BYTES.max(MAX_VOICE_BYTES) {
                return Err(MediaProblem::TooLarge);
            }
            content(&self.bytes()?)
        })
    }
}

fn content(bytes: &[u8]) -> Result<Content, MediaProblem> {
    let (kind, size) = if bytes.starts_with(&jpeg::MAGIC) {
        (PhotoKind::Jpeg, jpeg::size(bytes)?)
    } else if bytes.starts_with(&png::MAGIC) {
        (PhotoKind::Png, png::size(bytes)?)
    } else if webp::is_webp(bytes) {
        (PhotoKind::Webp, webp::size(bytes)?)
    } else if wav::is_wav(bytes) {
        let milliseconds = wav::milliseconds(bytes)?;
        return if milliseconds > MAX_VOICE_MS {
            Err(MediaProblem::TooLarge)
        } else {
            Ok(Content::Voice { milliseconds })
        };
    } else {
        return Err(MediaProblem::OtherKind);
    };
    let side = |side: u32| {
        let fits = u16::try_from(side)
            .ok()
            .filter(|side| *side <= MAX_PHOTO_SIDE);
        match fits {
            Some(0) => Err(MediaProblem::Damaged),
            Some(side) => Ok(side),
            None => Err(MediaProblem::TooLarge),
        }
    };
    if bytes.len() > MAX_PHOTO_BYTES {
        return Err(MediaProblem::TooLarge);
    }
    Ok(Content::Photo {
        kind,
        width: side(size.0)?,
        height: side(size.1)?,
    })
}

/// A picture as its file tells it, before anybody draws it: its kind, width and height. It may
/// hold more than a photo of a guide.
///
/// # Errors
/// [`MediaProblem`] when it is none of the kinds, or tells no size.
pub fn told_picture(bytes: &[u8]) -> Result<(PhotoKind, u32, u32), MediaProblem> {
    let (kind, size) = if bytes.starts_with(&jpeg::MAGIC) {
        (PhotoKind::Jpeg, jpeg::told_size(bytes))
    } else if bytes.starts_with(&png::MAGIC) {
        (PhotoKind::Png, png::told_size(bytes))
    } else if webp::is_webp(bytes) {
        (PhotoKind::Webp, webp::told_size(bytes))
    } else {
        return Err(MediaProblem::OtherKind);
    };
    match size {
        Some((width, height)) if width > 0 && height > 0 => Ok((kind, width, height)),
        _ => Err(MediaProblem::Damaged),
    }
}

impl Photo {
    /// Reads a photo from the bytes of its file.
    ///
    /// # Errors
    /// [`MediaProblem`] when they are no photo that may be shown.
    pub fn read(bytes: &[u8]) -> Result<Self, MediaProblem> {
        let data = MediaBytes::of_bytes(bytes);
        let Content::Photo {
            kind,
            width,
            height,
        } = data.content()?
        else {
            return Err(MediaProblem::OtherKind);
        };
        Ok(Self {
            kind,
            width,
            height,
            alt: String::new(),
            data,
            extra: Extra::default(),
        })
    }

    /// Tells whether the bytes are what the document says, and may be shown.
    ///
    /// # Errors
    /// [`MediaProblem`] when not.
    pub fn sound(&self) -> Result<(), MediaProblem> {
        match self.data.content()? {
            Content::Photo {
                kind,
                width,
                height,
            } if (kind, width, height) == (self.kind, self.width, self.height) => Ok(()),
            _ => Err(MediaProblem::NotAsTold),
        }
    }
}

impl Voice {
    /// Makes a voice note of samples, [`super::VOICE_RATE`] a second; what is beyond the
    /// longest is left out. `None` without a millisecond of sound.
    ///
    /// ```
    /// use cueleaf_guide::Voice;
    ///
    /// let voice = Voice::of_samples(&[0; 16_000]).unwrap();
    /// assert_eq!(voice.milliseconds, 1_000);
    /// assert!(voice.sound().is_ok());
    /// ```
    #[must_use]
    pub fn of_samples(samples: &[i16]) -> Option<Self> {
        let most = (MAX_VOICE_BYTES - 44) / 2;
        let samples = samples.get(..most).unwrap_or(samples);
        Self::read(&wav::write(samples)).ok()
    }

    /// Reads a voice note from the bytes of its file.
    ///
    /// # Errors
    /// [`MediaProblem`] when they are no voice note that may be played.
    pub fn read(bytes: &[u8]) -> Result<Self, MediaProblem> {
        let data = MediaBytes::of_bytes(bytes);
        let Content::Voice { milliseconds } = data.content()? else {
            return Err(MediaProblem::OtherKind);
        };
        Ok(Self {
            milliseconds,
            words: String::new(),
            data,
            extra: Extra::default(),
        })
    }

    /// Tells whether the bytes are what the document says, and may be played.
    ///
    /// # Errors
    /// [`MediaProblem`] when not.
    pub fn sound(&self) -> Result<(), MediaProblem> {
        match self.data.content()? {
            Content::Voice { milliseconds } if milliseconds == self.milliseconds => Ok(()),
            _ => Err(MediaProblem::NotAsTold),
        }
    }
}

/// Reads a number of two bytes, the higher first, at a place.
pub(super) fn high_first_16(bytes: &[u8], at: usize) -> Option<u32> {
    let own = bytes.get(at..at.checked_add(2)?)?;
    Some(u32::from(u16::from_be_bytes(own.try_into().ok()?)))
}

/// Reads a number of four bytes, the highest first, at a place.
pub(super) fn high_first_32(bytes: &[u8], at: usize) -> Option<u32> {
    let own = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_be_bytes(own.try_into().ok()?))
}

/// Reads a number of two bytes, the lower first, at a place.
pub(super) fn low_first_16(bytes: &[u8], at: usize) -> Option<u32> {
    let own = bytes.get(at..at.checked_add(2)?)?;
    Some(u32::from(u16::from_le_bytes(own.try_into().ok()?)))
}

/// Reads a number of four bytes, the lowest first, at a place.
pub(super) fn low_first_32(bytes: &[u8], at: usize) -> Option<u32> {
    let own = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_le_bytes(own.try_into().ok()?))
}

#[cfg(test)]
pub(crate) mod tests;
