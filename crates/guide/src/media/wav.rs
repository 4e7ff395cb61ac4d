//! WAV files of voice notes: one header, samples of 16 bits, nothing else.
//!
//! # Source
//! IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0 (1991): the RIFF
//! WAVE form with a `fmt ` chunk of PCM and a `data` chunk.

use super::VOICE_RATE;
use super::read::{MediaProblem, low_first_16, low_first_32};

const HEADER: usize = 44;

/// Tells whether bytes begin as a WAV file does.
pub(super) fn is_wav(bytes: &[u8]) -> bool {
    bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WAVE")
}

/// Gives how long a voice note lasts, in whole milliseconds. It has the very header that
/// [`write`] gives it: another one belongs to another recording.
pub(super) fn milliseconds(bytes: &[u8]) -> Result<u32, MediaProblem> {
    let is_pcm = bytes.get(12..16) == Some(b"fmt ")
        && low_first_32(bytes, 16) == Some(16)
        && low_first_16(bytes, 20) == Some(1);
    let is_mono = low_first_16(bytes, 22) == Some(1)
        && low_first_32(bytes, 24) == Some(VOICE_RATE)
        && low_first_32(bytes, 28) == Some(2 * VOICE_RATE)
        && low_first_16(bytes, 32) == Some(2)
        && low_first_16(bytes, 34) == Some(16);
    if !is_pcm || !is_mono || bytes.get(36..40) != Some(b"data") {
        return Err(MediaProblem::OtherKind);
    }
    let rest = bytes.len().saturating_sub(HEADER);
    let told = |at: usize| low_first_32(bytes, at).and_then(|own| usize::try_from(own).ok());
    if told(40) != Some(rest) || told(4) != Some(rest + HEADER - 8) || !rest.is_multiple_of(2) {
        return Err(MediaProblem::Damaged);
    }
    let samples = u32::try_from(rest / 2).map_err(|_| MediaProblem::TooLarge)?;
    match samples / (VOICE_RATE / 1000) {
        0 => Err(MediaProblem::Damaged),
        milliseconds => Ok(milliseconds),
    }
}

/// Writes samples as a file.
pub(super) fn write(samples: &[i16]) -> Vec<u8> {
    let length = u32::try_from(samples.len().saturating_mul(2)).unwrap_or(u32::MAX);
    let mut bytes = Vec::with_capacity(HEADER + samples.len() * 2);
    bytes.extend_from_slice(b"RIFF");
    bytes.extend_from_slice(&length.saturating_add(36).to_le_bytes());
    bytes.extend_from_slice(b"WAVEfmt \x10\0\0\0\x01\0\x01\0");
    bytes.extend_from_slice(&VOICE_RATE.to_le_bytes());
    bytes.extend_from_slice(&(2 * VOICE_RATE).to_le_bytes());
    bytes.extend_from_slice(b"\x02\0\x10\0data");
    bytes.extend_from_slice(&length.to_le_bytes());
    for sample in samples {
        bytes.extend_from_slice(&sample.to_le_bytes());
    }
    bytes
}
