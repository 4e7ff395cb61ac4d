//! The text of captions without marks, and plain text with times.

use super::{Cue, time};

/// Takes the tags away and resolves the few entities there are.
///
/// # Source
/// WebVTT, "WebVTT cue text tokenizer": tags in angle brackets, timestamps among them;
/// `&amp; &lt; &gt; &lrm; &rlm; &nbsp;`. SRT files also hold `{\an8}` and the like.
pub(super) fn plain(line: &str) -> String {
    let mut text = String::with_capacity(line.len());
    let mut rest = line;
    while let Some(at) = rest.find(['<', '{', '&']) {
        text.push_str(rest.get(..at).unwrap_or_default());
        rest = rest.get(at..).unwrap_or_default();
        let mark = rest.chars().next();
        let end = match mark {
            Some('<') => rest.find('>'),
            Some('{') if rest.starts_with("{\\") => rest.find('}'),
            Some('&') => {
                let end = rest.find(';').filter(|end| *end < 8);
                let entity = end.and_then(|end| rest.get(1..end));
                match entity {
                    Some("amp") => text.push('&'),
                    Some("lt") => text.push('<'),
                    Some("gt") => text.push('>'),
                    Some("nbsp") => text.push(' '),
                    Some("quot") => text.push('"'),
                    Some("#39" | "apos") => text.push('\''),
                    Some("lrm" | "rlm") => {}
                    _ => {
                        text.push('&');
                        rest = rest.get(1..).unwrap_or_default();
                        continue;
                    }
                }
                end
            }
            _ => None,
        };
        match end {
            Some(end) => rest = rest.get(end + 1..).unwrap_or_default(),
            // A mark that does not end is text.
            None => {
                text.extend(mark);
                rest = rest
                    .get(mark.map_or(0, char::len_utf8)..)
                    .unwrap_or_default();
            }
        }
    }
    text.push_str(rest);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Splits a line such as "1:23 now the bow" or "[01:23] now" into its time and its text.
fn timed(line: &str) -> Option<(u64, &str)> {
    let line = line.trim_start().trim_start_matches(['[', '(']);
    let end = line.find(|c: char| !(c.is_ascii_digit() || ":.,".contains(c)))?;
    let from = time::clock(line.get(..end)?.trim_end_matches(['.', ',', ':']))?;
    let text = line.get(end..)?;
    let sign = |c: char| "])-–:".contains(c) || c.is_whitespace();
    Some((from, text.trim_start_matches(sign).trim_end()))
}

/// Tells whether a text is lines that begin with times: of the first lines that say
/// anything at least two and at least a half do.
pub(super) fn is_timed(head: &str) -> bool {
    let lines: Vec<&str> = head
        .lines()
        .filter(|line| !line.trim().is_empty())
        .take(12)
        .collect();
    let times = lines.iter().filter(|line| timed(line).is_some()).count();
    times >= 2 && times * 2 >= lines.len()
}

/// Reads lines that begin with times; a line without one goes on with the line before.
pub(super) fn timed_lines(text: &str) -> Vec<Cue> {
    let mut cues: Vec<Cue> = Vec::new();
    for (index, line) in text.lines().enumerate() {
        if let Some((from, text)) = timed(line) {
            cues.push(Cue {
                number: index + 1,
                from,
                lines: vec![plain(text)],
            });
        } else if let Some(last) = cues.last_mut() {
            last.lines.push(plain(line));
        }
    }
    cues
}
