//! Automatic captions roll: each cue repeats the line before. Said once, it stays once.

use super::{Caption, Cue};

/// Makes captions of cues, without the lines that only repeat.
pub(super) fn folded(cues: Vec<Cue>) -> Vec<Caption> {
    let mut captions = Vec::with_capacity(cues.len());
    // What the last cue showed.
    let mut shown: Vec<String> = Vec::new();
    for cue in cues {
        let new: Vec<&str> = cue
            .lines
            .iter()
            .filter(|line| !line.is_empty() && !shown.contains(line))
            .map(String::as_str)
            .collect();
        if !new.is_empty() {
            captions.push(Caption {
                number: cue.number,
                from: cue.from,
                text: new.join(" "),
            });
        }
        if cue.lines.iter().any(|line| !line.is_empty()) {
            shown = cue.lines;
        }
    }
    captions
}
