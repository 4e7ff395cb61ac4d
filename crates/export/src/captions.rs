//! Captions and chapters for a recording, and its times as plain text.
//!
//! # Source
//! WebVTT: The Web Video Text Tracks Format, W3C Candidate Recommendation, 4 April 2019:
//! section 4 (syntax), section 4.3 (cue text), section 4.6 (chapters).

use crate::chapter::chapters;
use core::fmt::Write as _;
use cueleaf_guide::{Checked, Finding, Guide, Severity};
use cueleaf_plan::{CueLine, Plan};

/// The largest offset between a recording and the music, in hours.
///
/// # Source
/// Our decision: far beyond any rehearsal, far inside what the times of captions hold.
pub const MAX_OFFSET_HOURS: u32 = 100;

/// How many seconds after the start of a recording the music starts; below zero when the
/// recording starts later than the music.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offset(f64);

impl Offset {
    /// The recording starts with the music.
    pub const NONE: Self = Self(0.0);

    /// Makes an offset from seconds; `None` for what is no number or beyond
    /// [`MAX_OFFSET_HOURS`] either way.
    #[must_use]
    pub fn new(seconds: f64) -> Option<Self> {
        let most = f64::from(MAX_OFFSET_HOURS) * 3600.0;
        (seconds.abs() <= most).then_some(Self(seconds))
    }
}

/// A stretch of a recording with its text, in milliseconds.
struct Shown {
    from: u64,
    to: u64,
    text: String,
}

/// How much was shown, and what lies before the start of the recording.
#[derive(Default)]
struct Placing {
    shown: usize,
    cut: usize,
    dropped: usize,
}

/// Writes the tips of a guide as WebVTT captions: each while the guide would show it.
///
/// Give the guide of one part to have its tips alone. What lies before the start of the
/// recording is cut or left out, and told.
///
/// ```
/// use cueleaf_export::{Offset, tip_captions};
/// use cueleaf_guide::{Guide, Id, Measure, Spot, Tip, Topic};
/// let id = |text| Id::new(text).unwrap();
/// let mut guide = Guide::new(id("g"), "Fog Bank");
/// guide.road_map.measures = vec![Measure::labelled("1"), Measure::labelled("2")];
/// guide.tips = vec![Tip::new(id("t"), Spot::measures(1, 1), Topic::Bow, "At the frog")];
/// let captions = tip_captions(&guide, Offset::new(10.0).unwrap()).value;
/// assert_eq!(captions, "WEBVTT\n\n1\n00:00:10.000 --> 00:00:14.000\nAt the frog\n");
/// ```
#[must_use]
pub fn tip_captions(guide: &Guide, offset: Offset) -> Checked<String> {
    let mut planned = Plan::new(guide);
    let mut placing = Placing::default();
    let line = CueLine::new(guide, &planned.value);
    planned.findings.extend(line.findings);
    let shown = line.value.cues().iter().filter_map(|cue| {
        let tip = guide.tips.get(cue.tip)?;
        let text = if tip.text.trim().is_empty() {
            tip.cue.as_str()
        } else {
            tip.text.as_str()
        };
        let text = lines_of(text).join("\n");
        if text.is_empty() {
            return None;
        }
        let (shows, ends) = (cue.shows.get(), cue.ends.get());
        placed(shows, ends, offset, text, &mut placing)
    });
    // What was cut starts with the recording, so the order of starts stays.
    let text = web_vtt(shown);
    let nothing = "there are no tips to show, so there are no captions";
    told(text, planned.findings, &placing, "caption", nothing)
}

/// Writes the sections of a guide as WebVTT chapters, in the order of play, each up to
/// the next.
///
/// What lies before the start of the recording is cut or left out, and told.
#[must_use]
pub fn section_chapters(guide: &Guide, offset: Offset) -> Checked<String> {
    let planned = Plan::new(guide);
    let plan = &planned.value;
    let mut placing = Placing::default();
    let text = web_vtt(sections_placed(guide, plan, offset, &mut placing).into_iter());
    let nothing = "the guide has no measures, so there are no chapters";
    told(text, planned.findings, &placing, "chapter", nothing)
}

/// Writes the times at which sections start as plain text, one a line: "1:02 Trio".
///
/// Times are cut down to whole seconds, so that who goes there misses nothing. What lies
/// before the start of the recording is cut or left out, and told.
#[must_use]
pub fn section_times(guide: &Guide, offset: Offset) -> Checked<String> {
    let planned = Plan::new(guide);
    let plan = &planned.value;
    let mut placing = Placing::default();
    let shown = sections_placed(guide, plan, offset, &mut placing);
    let lines = shown
        .iter()
        .map(|own| format!("{} {}\n", clock(own.from), own.text));
    let text = lines.collect();
    let nothing = "the guide has no measures, so there are no times";
    told(text, planned.findings, &placing, "section", nothing)
}

/// Puts the sections on the recording, in the order of play, each up to the next.
fn sections_placed(
    guide: &Guide,
    plan: &Plan,
    offset: Offset,
    placing: &mut Placing,
) -> Vec<Shown> {
    let chapters = chapters(guide, plan);
    let ends = chapters.iter().skip(1).map(|next| next.played);
    let ends = ends.chain([plan.order().len()]);
    let placed = chapters.iter().zip(ends).filter_map(|(chapter, end)| {
        let (from, to) = (plan.start_of(chapter.played), plan.start_of(end));
        let text = lines_of(&chapter.name).join(" ");
        placed(from.get(), to.get(), offset, text, placing)
    });
    placed.collect()
}

/// Puts a stretch of the music on the recording; `None` when it lies before its start.
fn placed(
    from: f64,
    to: f64,
    offset: Offset,
    text: String,
    placing: &mut Placing,
) -> Option<Shown> {
    let (from, to) = (milliseconds(from + offset.0), milliseconds(to + offset.0));
    let Ok(end @ 1..) = u64::try_from(to) else {
        placing.dropped += 1;
        return None;
    };
    let start = u64::try_from(from).unwrap_or_else(|_| {
        placing.cut += 1;
        0
    });
    placing.shown += 1;
    Some(Shown {
        from: start,
        // A cue must end after its start.
        to: end.max(start + 1),
        text,
    })
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "the length of a guide and the largest offset lie far inside an i64"
)]
fn milliseconds(seconds: f64) -> i64 {
    (seconds * 1000.0).round() as i64
}

/// Gives the lines of a text that have something on them, without control characters.
fn lines_of(text: &str) -> Vec<String> {
    text.split(['\n', '\r', '\u{2028}', '\u{2029}'])
        .map(|line| {
            let plain = line.split(|c: char| c.is_control() || c.is_whitespace());
            let words: Vec<&str> = plain.filter(|word| !word.is_empty()).collect();
            words.join(" ")
        })
        .filter(|line| !line.is_empty())
        .collect()
}

fn web_vtt(shown: impl Iterator<Item = Shown>) -> String {
    let mut text = "WEBVTT\n".to_owned();
    for (index, one) in shown.enumerate() {
        // Writing to memory cannot fail.
        let _ = write!(
            text,
            "\n{}\n{} --> {}\n{}\n",
            index + 1,
            stamp(one.from),
            stamp(one.to),
            escaped(&one.text)
        );
    }
    text
}

/// Escapes what cue text reserves; without ">" there is no arrow in it either.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

/// Writes milliseconds as WebVTT wants them: "00:01:02.500".
fn stamp(milliseconds: u64) -> String {
    let (seconds, part) = (milliseconds / 1000, milliseconds % 1000);
    let (minutes, seconds) = (seconds / 60, seconds % 60);
    format!(
        "{:02}:{:02}:{seconds:02}.{part:03}",
        minutes / 60,
        minutes % 60
    )
}

/// Writes milliseconds as people say them: "1:02", "1:00:02".
fn clock(milliseconds: u64) -> String {
    let seconds = milliseconds / 1000;
    let (minutes, seconds) = (seconds / 60, seconds % 60);
    if minutes < 60 {
        return format!("{minutes}:{seconds:02}");
    }
    format!("{}:{:02}:{seconds:02}", minutes / 60, minutes % 60)
}

fn told(
    text: String,
    mut findings: Vec<Finding>,
    placing: &Placing,
    what: &str,
    nothing: &str,
) -> Checked<String> {
    if placing.dropped > 0 {
        let count = amount(placing.dropped, what);
        findings.push(
            Finding::new(
                Severity::Warning,
                "before-the-recording",
                format!("{count} would end before the recording starts: left out"),
            )
            .hint("look at the offset"),
        );
    }
    if placing.cut > 0 {
        let count = amount(placing.cut, what);
        findings.push(
            Finding::new(
                Severity::Note,
                "cut-by-the-recording",
                format!("{count} would start before the recording: cut to its start"),
            )
            .hint("look at the offset"),
        );
    }
    if placing.dropped + placing.shown == 0 {
        findings.push(Finding::new(Severity::Warning, "nothing-to-show", nothing));
    }
    Checked {
        value: text,
        findings,
    }
}

fn amount(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

#[cfg(test)]
mod tests;
