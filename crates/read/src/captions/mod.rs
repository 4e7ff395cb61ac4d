//! Captions of somebody talking: WebVTT, SRT, and plain text with times.
//!
//! # Source
//! WebVTT: The Web Video Text Tracks Format, W3C Candidate Recommendation, 4 April
//! 2019. SRT has no standard; read as common players read it.

mod fold;
mod text;
mod time;

use crate::collect::Findings;
use crate::limits::{MAX_CAPTION_BYTES, MAX_CAPTIONS, MAX_WORDS};
use crate::{ReadError, encoding};
use cueleaf_guide::{Checked, Severity, TooLarge};

/// Something said at a time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caption {
    /// Its number in the file, from 1: of its cue, or of its line in plain text.
    pub number: usize,
    /// When it begins, in milliseconds.
    pub from: u64,
    /// What is said, on one line, without marks of the format.
    pub text: String,
}

/// Tells whether a text is captions: WebVTT, SRT, or lines that begin with times.
pub(crate) fn is_captions(head: &str) -> bool {
    head.starts_with("WEBVTT") || is_srt(head) || text::is_timed(head)
}

/// SRT: a number alone on a line, then a line of two times with an arrow.
fn is_srt(head: &str) -> bool {
    let mut lines = head.lines().map(str::trim).filter(|line| !line.is_empty());
    let first = lines.next().unwrap_or_default();
    if time::arrow(first).is_some() {
        return true;
    }
    first.parse::<u32>().is_ok() && lines.next().is_some_and(|line| time::arrow(line).is_some())
}

/// Reads captions. A cue that cannot be read is left out, and a finding names its line.
///
/// # Errors
/// [`ReadError`] when the file is above a limit or no cue can be read.
pub fn read_captions(bytes: Vec<u8>) -> Result<Checked<Vec<Caption>>, ReadError> {
    TooLarge::guard("bytes in the captions", MAX_CAPTION_BYTES, bytes.len())?;
    let text = encoding::decode(bytes)?.text;
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let mut findings = Findings::default();
    let cues = if text::is_timed(&text) && !text.starts_with("WEBVTT") && !is_srt(&text) {
        text::timed_lines(&text)
    } else {
        blocks(&text, &mut findings)
    };
    TooLarge::guard("captions", MAX_CAPTIONS, cues.len())?;
    if cues.is_empty() {
        return Err(ReadError::malformed(
            "",
            "there are no captions with times in this file",
            "download the captions as WebVTT (.vtt) or SRT (.srt)",
        ));
    }
    Ok(Checked {
        value: fold::folded(cues),
        findings: findings.in_order(),
    })
}

/// A cue as it stands in the file.
struct Cue {
    number: usize,
    from: u64,
    lines: Vec<String>,
}

/// Reads the blocks between empty lines: of WebVTT the notes, styles and regions are passed over.
fn blocks(text: &str, findings: &mut Findings) -> Vec<Cue> {
    let mut cues: Vec<Cue> = Vec::new();
    let is_vtt = text.starts_with("WEBVTT");
    let mut lines = text.lines().enumerate().peekable();
    while let Some((index, line)) = lines.next() {
        if line.trim().is_empty() {
            continue;
        }
        let mut block = vec![(index, line)];
        // In WebVTT only an empty line ends a cue; rolling captions have lines of one space.
        let goes_on = |line: &str| !line.is_empty() && (is_vtt || !line.trim().is_empty());
        while let Some((index, line)) = lines.next_if(|(_, line)| goes_on(line)) {
            block.push((index, line));
        }
        let word = line.split_whitespace().next().unwrap_or_default();
        if is_vtt && (index == 0 || ["NOTE", "STYLE", "REGION"].contains(&word)) {
            continue;
        }
        let at = block.iter().position(|(_, line)| line.contains("-->"));
        let Some((at, from)) = at.and_then(|at| Some((at, time::arrow(block.get(at)?.1)?))) else {
            if at.is_some() || !is_vtt {
                let message = format!(
                    "line {}: this has no times that can be read and is left out",
                    index + 1
                );
                findings.push(cueleaf_guide::Finding::new(
                    Severity::Warning,
                    "caption-without-time",
                    message,
                ));
            }
            continue;
        };
        let lines = block
            .iter()
            .skip(at + 1)
            .map(|(_, line)| text::plain(line).chars().take(MAX_WORDS).collect())
            .collect();
        cues.push(Cue {
            number: cues.len() + 1,
            from,
            lines,
        });
    }
    cues
}

#[cfg(test)]
mod tests;
