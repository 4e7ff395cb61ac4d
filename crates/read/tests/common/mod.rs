//! Small scores for tests, and scores and guides as short text.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::expect_used,
    reason = "helpers of tests may fail loudly, as tests do, and not every test uses each"
)]

use cueleaf_guide::{Checked, Guide, Id, Jump, JumpUntil, Mark, Measure, Place, Return};
use cueleaf_read::{draft, read_score};
use cueleaf_score::Score;

/// 4 units to a quarter note.
pub(crate) const START: &str = "<attributes><divisions>4</divisions></attributes>";

/// The attributes of a first measure: 4 units to a quarter, and a meter.
pub(crate) fn meter(upper: &str, lower: &str) -> String {
    format!(
        "<attributes><divisions>4</divisions><time><beats>{upper}</beats><beat-type>{lower}</beat-type></time></attributes>"
    )
}

/// A note of a length in units with further elements.
pub(crate) fn note(length: u32, more: &str) -> String {
    format!(
        "<note><pitch><step>D</step><octave>4</octave></pitch><duration>{length}</duration>{more}</note>"
    )
}

/// Eighths under one beam.
pub(crate) fn beamed(count: usize) -> String {
    (0..count)
        .map(|index| {
            let beam = match index {
                0 => "begin",
                _ if index + 1 == count => "end",
                _ => "continue",
            };
            note(2, &format!("<beam number=\"1\">{beam}</beam>"))
        })
        .collect()
}

/// A direction with one child of its direction-type and what follows it.
pub(crate) fn direction(kind: &str, more: &str) -> String {
    format!("<direction><direction-type>{kind}</direction-type>{more}</direction>")
}

pub(crate) fn words(text: &str) -> String {
    direction(&format!("<words>{text}</words>"), "")
}

pub(crate) fn rest(length: u32) -> String {
    format!("<note><rest measure=\"yes\"/><duration>{length}</duration></note>")
}

/// A whole file of parts, each with the contents of its measures, numbered from 1.
pub(crate) fn file(parts: &[(&str, &[&str])]) -> String {
    let numbered: Vec<(&str, Vec<String>)> = parts
        .iter()
        .map(|(name, measures)| {
            let measures = measures
                .iter()
                .enumerate()
                .map(|(index, content)| {
                    if content.starts_with("<measure") {
                        (*content).to_owned()
                    } else {
                        format!("<measure number=\"{}\">{content}</measure>", index + 1)
                    }
                })
                .collect();
            (*name, measures)
        })
        .collect();
    let mut list = String::new();
    let mut body = String::new();
    for (index, (name, measures)) in numbered.iter().enumerate() {
        let id = index + 1;
        list += &format!("<score-part id=\"P{id}\"><part-name>{name}</part-name></score-part>");
        body += &format!("<part id=\"P{id}\">{}</part>", measures.concat());
    }
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\">\n<part-list>{list}</part-list>\n{body}\n</score-partwise>\n"
    )
}

pub(crate) fn read(text: &str) -> Checked<Score> {
    read_score(text.as_bytes().to_vec()).unwrap()
}

pub(crate) fn guide_of(score: &Score) -> Checked<Guide> {
    draft(score, &[], Id::new("g").unwrap()).unwrap()
}

/// Reads one part, gives its road map as lines and the codes of all findings but what is said
/// about missing tempi, which most small scores lack.
pub(crate) fn road_map(measures: &[&str]) -> (Vec<String>, Vec<&'static str>) {
    road_map_of(&file(&[("Viola", measures)]))
}

pub(crate) fn road_map_of(text: &str) -> (Vec<String>, Vec<&'static str>) {
    let score = read(text);
    let guide = guide_of(&score.value);
    let lines = guide.value.road_map.measures.iter().map(line).collect();
    let findings = score.findings.iter().chain(&guide.findings);
    let codes = findings.map(|finding| finding.code);
    let about_tempi = ["no-tempo", "tempo-without-number"];
    (
        lines,
        codes.filter(|code| !about_tempi.contains(code)).collect(),
    )
}

/// Checks the road map of one part, of which nothing may be found.
pub(crate) fn check(measures: &[&str], expected: &[&str]) {
    let (lines, codes) = road_map(measures);
    assert_eq!(lines, expected);
    assert_eq!(codes, [""; 0]);
}

/// Checks the marks of one part.
pub(crate) fn check_marks(measures: &[&str], expected: &[&str]) {
    let score = read(&file(&[("Viola", measures)]));
    let guide = guide_of(&score.value).value;
    let marks: Vec<String> = guide.parts[0].marks.iter().map(mark).collect();
    assert_eq!(marks, expected);
}

fn place(place: Place) -> String {
    format!("{}+{}", place.measure, place.at)
}

pub(crate) fn mark(mark: &Mark) -> String {
    let mut text = format!("{}+{} {:?}", mark.measure, mark.at, mark.kind);
    if let Some(to) = mark.to {
        text += &format!(" to {}", place(to));
    }
    if !mark.text.is_empty() {
        text += &format!(" \"{}\"", mark.text);
    }
    text
}

/// Writes one measure of a road map as a line; what is absent is left out.
pub(crate) fn line(measure: &Measure) -> String {
    let mut words = vec![measure.label.clone()];
    let mut say = |text: String| words.push(text);
    if let Some(meter) = &measure.meter {
        say(meter.to_string());
    }
    if let Some(groups) = &measure.groups {
        say(format!("groups {groups}"));
    }
    if let Some(length) = measure.length {
        say(format!("length {length}"));
    }
    if measure.pickup {
        say("pickup".into());
    }
    if let Some(key) = measure.key {
        say(format!("key {}", key.fifths()));
    }
    for mark in &measure.tempo {
        let mut text = format!("@{}", mark.at);
        if !mark.words.is_empty() {
            text += &format!(" \"{}\"", mark.words);
        }
        if let Some(tempo) = mark.tempo {
            text += &format!(" {tempo}");
        }
        if let Some(same) = mark.same_beat {
            text += &format!(" {same}");
        }
        match mark.back {
            Some(Return::ToBefore) => text += " back",
            Some(Return::ToFirst) => text += " back to first",
            None => {}
        }
        if let Some(until) = mark.until {
            text += &format!(" until {}", place(until));
        }
        say(text);
    }
    if let Some(mark) = &measure.mark {
        say(format!("[{mark}]"));
    }
    if measure.repeat_from {
        say("|:".into());
    }
    if !measure.ending.is_empty() {
        say(format!("ending {:?}", measure.ending));
    }
    for (name, sign) in [
        ("segno", &measure.segno),
        ("coda", &measure.coda),
        ("to-coda", &measure.to_coda),
    ] {
        if let Some(sign) = sign {
            say(format!("{name} {sign}").trim_end().to_owned());
        }
    }
    if let Some(times) = measure.repeat_back {
        say(format!(":|{times}"));
    }
    if measure.fine {
        say("fine".into());
    }
    if let Some(jump) = &measure.jump {
        say(jump_text(jump));
    }
    for hold in &measure.holds {
        say(format!("hold {}", hold.at));
    }
    words.join(" ")
}

fn jump_text(jump: &Jump) -> String {
    let mut text = match &jump.to_segno {
        None => "D.C.".to_owned(),
        Some(name) => format!("D.S. {name}").trim_end().to_owned(),
    };
    match jump.until {
        JumpUntil::End => {}
        JumpUntil::Fine => text += " al Fine",
        JumpUntil::Coda => text += " al Coda",
    }
    if jump.with_repeats {
        text += " with repeats";
    }
    text
}
