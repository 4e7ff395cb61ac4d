//! Photos and voice notes on their way into a tip: what is going on, and what is told about it.

use cueleaf_guide::{
    Id, MAX_PHOTO_BYTES, MAX_PHOTO_SIDE, MAX_VOICE_MS, MediaProblem, told_picture,
};

/// The most bytes of a picture's file that are read.
pub const MAX_PICTURE_FILE: usize = 40_000_000;
/// The most bytes of a sound file that are read; 20 seconds never take so many.
pub const MAX_SOUND_FILE: usize = 20_000_000;
/// The most pixels of a picture that is redrawn, in millions.
///
/// # Source
/// Our decision: what a telephone takes by itself; drawn, each takes four bytes of memory.
const MAX_MEGAPIXELS: u64 = 60;

/// What a file is taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taken {
    /// A photo.
    Photo,
    /// A voice note.
    Voice,
}

/// What the page knows about photos and voice notes on their way.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct MediaDesk {
    /// What is going on.
    pub going_on: Option<GoingOn>,
    /// The tip at which something was wanted: its fields stay open, whatever became of it.
    pub wanted_at: Option<Id>,
    /// What is told at which tip, and about what.
    pub told: Option<(Id, Taken, String)>,
}

/// Something that takes a while.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum GoingOn {
    /// A file is read for a tip.
    Reading(Id, Taken),
    /// The browser asks for the microphone.
    Asking(Id),
    /// The microphone is on, since so many seconds.
    Recording(Id, u32),
}

impl MediaDesk {
    /// Tells whether the microphone is asked for or on.
    #[must_use]
    pub const fn wants_microphone(&self) -> bool {
        matches!(
            self.going_on,
            Some(GoingOn::Asking(_) | GoingOn::Recording(..))
        )
    }

    /// Gives the tip for which something goes on.
    #[must_use]
    pub const fn tip(&self) -> Option<&Id> {
        match &self.going_on {
            Some(GoingOn::Reading(tip, _) | GoingOn::Asking(tip) | GoingOn::Recording(tip, _)) => {
                Some(tip)
            }
            None => None,
        }
    }

    /// Gives what is told at a tip about its photo or voice note.
    #[must_use]
    pub fn told_of(&self, tip: &Id, taken: Taken) -> Option<&str> {
        let (own, about, text) = self.told.as_ref()?;
        (own == tip && *about == taken).then_some(text.as_str())
    }
}

/// Tells whether a picture may be drawn; gives its media type.
///
/// # Errors
/// A sentence for the teacher.
pub fn drawable(bytes: &[u8]) -> Result<&'static str, String> {
    let (kind, width, height) = told_picture(bytes).map_err(|problem| match problem {
        MediaProblem::OtherKind => OTHER_PICTURE.to_owned(),
        _ => DAMAGED_PICTURE.to_owned(),
    })?;
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MAX_MEGAPIXELS * 1_000_000 {
        return Err(format!(
            "This picture says that it is {width} pixels wide and {height} high. The most that is drawn \
             here is {MAX_MEGAPIXELS} million in all: make it smaller first."
        ));
    }
    Ok(kind.media_type())
}

const OTHER_PICTURE: &str = "This is no picture in JPEG, PNG or WebP. Save it as one of these, or take a \
screenshot of it.";
const DAMAGED_PICTURE: &str =
    "This picture is damaged, and the browser cannot draw it. Look for another copy.";

/// Says that a file is too large to be taken.
#[must_use]
pub fn too_heavy(taken: Taken, bytes: usize) -> String {
    let (what, most) = match taken {
        Taken::Photo => ("picture", MAX_PICTURE_FILE),
        Taken::Voice => ("sound file", MAX_SOUND_FILE),
    };
    format!(
        "This {what} has {} MB, and the most that is read is {} MB.",
        bytes.div_ceil(1_000_000),
        most / 1_000_000
    )
}

/// Says in words why the browser could not draw a picture: by the name of its error.
#[must_use]
pub fn no_picture(error: &str) -> String {
    match error {
        "TooHeavy" => format!(
            "This picture does not get as small as {} kB. Take one with less in it.",
            MAX_PHOTO_BYTES / 1_000
        ),
        _ => DAMAGED_PICTURE.to_owned(),
    }
}

/// Says in words why there is no voice note: by the name of the browser's error.
///
/// # Source
/// Media Capture and Streams (W3C), section 10.2, for the names; `Insecure`, `Unsupported`,
/// `TooLong` and `Nothing` are our own.
#[must_use]
pub fn no_voice(error: &str) -> &'static str {
    match error {
        "NotAllowedError" | "SecurityError" => {
            "The browser was not allowed to use the microphone. Allow it beside the address of this page, then press Record again. Or take a sound file."
        }
        "NotFoundError" | "OverconstrainedError" => {
            "This device has no microphone that the browser finds. Plug one in, or take a sound file."
        }
        "NotReadableError" | "AbortError" => {
            "The microphone is in use by another program, or it does not answer. Close that program, then press Record again."
        }
        "Insecure" => {
            "Browsers give the microphone only to pages that were served safely (https) or opened from disk. Open this page by https, or take a sound file."
        }
        "Unsupported" => {
            "This browser cannot record. Record with another program, and take its file here."
        }
        "TooLong" => {
            "This sound lasts longer than 20 seconds. Cut it to the part that matters, and take that."
        }
        "Nothing" => "Nothing was recorded. Keep it running for a moment before you press Stop.",
        _ => "The browser cannot read this sound. Save it as WAV, MP3 or M4A, and take that.",
    }
}

/// The longer side and the bytes that a redrawn photo may have.
pub const PHOTO_LIMITS: (u16, usize) = (MAX_PHOTO_SIDE, MAX_PHOTO_BYTES);
/// How long a voice note lasts at most, in seconds.
pub const MOST_SECONDS: u32 = MAX_VOICE_MS / 1000;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_may_be_drawn() {
        let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\x10\0\0\0\x0c\0".to_vec();
        assert_eq!(drawable(&png), Ok("image/png"));
        png[16..20].copy_from_slice(&40_000u32.to_be_bytes());
        assert!(
            drawable(&png)
                .unwrap_err()
                .contains("40000 pixels wide and 3072 high")
        );
        assert!(drawable(&png[..15]).unwrap_err().contains("damaged"));
        assert!(
            drawable(b"<svg/>")
                .unwrap_err()
                .contains("JPEG, PNG or WebP")
        );
    }

    #[test]
    fn every_refusal_is_a_sentence() {
        let names = [
            "NotAllowedError",
            "NotFoundError",
            "NotReadableError",
            "Insecure",
            "Unsupported",
        ];
        let more = ["TooLong", "Nothing", "EncodingError"];
        let all: std::collections::BTreeSet<&str> =
            names.into_iter().chain(more).map(no_voice).collect();
        assert_eq!(all.len(), 8);
        assert!(all.iter().all(|text| text.ends_with('.')));
        assert!(no_picture("TooHeavy").contains("120 kB"));
        assert!(too_heavy(Taken::Voice, 20_000_001).contains("21 MB"));
    }
}
