//! Counting in words.

use crate::{Word, Words};
use cueleaf_guide::Laid;
use cueleaf_plan::Count;
use cueleaf_time::Grouping;

/// Writes a measure's counts, the groups of an uneven meter apart:
/// "1 2, 1 2 3" or, with another sign between them, "1 2 | 1 2 3".
#[must_use]
pub fn counts_text(laid: &Laid, counts: &[Count], between: &str) -> String {
    let mut text = String::new();
    let mut group = 0;
    for (index, count) in counts.iter().enumerate() {
        if index > 0 {
            let apart = laid.beats.is_uneven() && count.group != group;
            text.push_str(if apart { between } else { " " });
        }
        group = count.group;
        text.push_str(&count.say.to_string());
    }
    text
}

/// Writes a meter and, when its groups differ, the groups: "5/8, 2 + 3".
#[must_use]
pub fn meter_text(words: &Words, laid: &Laid) -> String {
    if laid.meter.is_free() {
        return words.get(Word::FreeMeter).to_owned();
    }
    let meter = laid.meter.to_string();
    if laid.grouping.is_uneven() {
        return words.fill(Word::MeterIn, &[&meter, &groups_text(&laid.grouping)]);
    }
    meter
}

/// Writes groups with room around the signs: "2 + 3".
pub(crate) fn groups_text(grouping: &Grouping) -> String {
    grouping.to_string().replace('+', " + ")
}
