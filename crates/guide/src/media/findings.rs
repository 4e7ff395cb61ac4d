//! What is wrong with photos and voice notes.

use super::{MAX_MEDIA_BYTES, media_bytes, media_count};
use crate::document::{Guide, Tip};
use crate::{Finding, Severity, Tell as _};

/// Looks at the photos and voice notes as a whole.
pub(crate) fn findings_of_guide(guide: &Guide, findings: &mut Vec<Finding>) {
    let (photos, voices) = media_count(guide);
    if photos + voices > 0 && !guide.settings.may_share {
        findings.tell(|| {
            Finding::new(
                Severity::Warning,
                "media-not-confirmed",
                "photos and voice notes stay with you until you confirm that you may hand them out",
            )
            .hint("make the tick where they are added, or in Hand out")
            .field("may_share")
        });
    }
    let (photos, voices) = media_bytes(guide);
    if photos + voices > MAX_MEDIA_BYTES {
        findings.tell(|| {
            Finding::new(
                Severity::Warning,
                "media-too-much",
                format!(
                    "photos and voice notes weigh {} MB together; above {} MB many a mail does not arrive",
                    (photos + voices).div_ceil(1_000_000),
                    MAX_MEDIA_BYTES / 1_000_000
                ),
            )
            .hint("take some away, or make one guide for each movement")
        });
    }
}

/// Looks at the photo and the voice note of a tip.
pub(crate) fn findings_of_tip(tip: &Tip, findings: &mut Vec<Finding>) {
    if let Some(photo) = &tip.photo {
        #[cfg(feature = "saved")]
        if let Err(problem) = photo.sound() {
            findings.push(not_shown("photo", "photo-refused", problem, tip));
        }
        if photo.alt.trim().is_empty() {
            let message = "this photo has no words for students whom it does not reach";
            findings.push(
                Finding::new(Severity::Warning, "photo-without-words", message)
                    .hint("say in a few words what it shows")
                    .about(tip.id.as_str()),
            );
        }
    }
    if let Some(voice) = &tip.voice {
        #[cfg(feature = "saved")]
        if let Err(problem) = voice.sound() {
            findings.push(not_shown("voice note", "voice-refused", problem, tip));
        }
        if voice.words.trim().is_empty() {
            let message =
                "this voice note has no words for paper, and for students who cannot hear it";
            findings.push(
                Finding::new(Severity::Note, "voice-without-words", message)
                    .hint("write down what is said, or what there is to hear")
                    .about(tip.id.as_str()),
            );
        }
    }
}

#[cfg(feature = "saved")]
fn not_shown(what: &str, code: &'static str, problem: super::MediaProblem, tip: &Tip) -> Finding {
    let message = format!("the {what} of this tip is left out: {problem}");
    Finding::new(Severity::Warning, code, message)
        .hint("add it anew")
        .about(tip.id.as_str())
}
