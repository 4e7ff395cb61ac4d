//! What is said about tempi that nobody gives: that there is none at the start, and words
//! without a number.

use crate::collect::Findings;
use crate::words::{Meaning, meanings};
use cueleaf_guide::{Finding, Measure, Return, Severity, TempoMark};
use cueleaf_time::Tempo;

/// The code of the finding that comes first of a draft.
pub(super) const NO_TEMPO: &str = "no-tempo";

/// How many tempo words are named in one finding.
const MOST_NAMED: usize = 4;

/// Tells of what the guide plays at a tempo that is only assumed, in at most two findings.
pub(super) fn tell(measures: &[Measure], findings: &mut Findings) {
    let marks = measures.iter().enumerate().flat_map(|(index, measure)| {
        let own = measure.tempo.iter();
        own.map(move |mark| (index, measure, mark))
    });
    let opens = |index: usize, mark: &TempoMark| index == 0 && mark.at.is_zero();
    let numbered = |mark: &TempoMark| mark.tempo.is_some() && mark.until.is_none();
    let first = marks.clone().find(|(_, _, mark)| numbered(mark));
    let at_start = first.is_some_and(|(index, _, mark)| opens(index, mark));
    let opening = marks
        .clone()
        .find(|(index, _, mark)| opens(*index, mark) && !mark.words.is_empty());
    if !at_start && let Some(start) = measures.first() {
        let words = opening.map_or_else(String::new, |(_, _, mark)| {
            format!(" for \u{201c}{}\u{201d}", mark.words)
        });
        let until = first.map_or_else(
            || "until you say".to_owned(),
            |(_, measure, _)| format!("up to measure {}", measure.label),
        );
        let message = format!(
            "No tempo is given{words}; {} is used {until}",
            Tempo::ASSUMED.said()
        );
        let finding = Finding::new(Severity::Warning, NO_TEMPO, message)
            .hint("type the tempo at the first measure; the click and all seconds follow it");
        findings.push(finding.at_measure(0, &start.label));
    }
    let mut now = Tempo::ASSUMED;
    let mut unnumbered: Vec<(usize, &Measure, &TempoMark, Tempo)> = Vec::new();
    for (index, measure, mark) in marks {
        if let Some(tempo) = mark.tempo {
            now = tempo;
        } else if mark.back == Some(Return::ToFirst) {
            now = first.and_then(|(_, _, mark)| mark.tempo).unwrap_or(now);
        } else if is_unnumbered(mark) && !opens(index, mark) {
            unnumbered.push((index, measure, mark, now));
        }
    }
    if let Some(finding) = without_number(&unnumbered) {
        findings.push(finding);
    }
}

/// Whether a mark is a word that asks for another tempo and gives none.
fn is_unnumbered(mark: &TempoMark) -> bool {
    let bare = mark.same_beat.is_none() && mark.back.is_none() && mark.until.is_none();
    let says = meanings(&mark.words);
    let asks = says.contains(&Meaning::Tempo) || says.contains(&Meaning::Same);
    bare && asks && !says.contains(&Meaning::Gradual)
}

fn without_number(found: &[(usize, &Measure, &TempoMark, Tempo)]) -> Option<Finding> {
    let (index, measure, mark, tempo) = found.first()?;
    let message = if let [_] = found {
        format!(
            "\u{201c}{}\u{201d} has no number, so it goes on at {}",
            mark.words,
            tempo.said()
        )
    } else {
        let named: Vec<String> = found
            .iter()
            .take(MOST_NAMED)
            .map(|(_, measure, mark, _)| {
                format!("\u{201c}{}\u{201d} at {}", mark.words, measure.label)
            })
            .collect();
        let more = match found.len() - named.len() {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        format!(
            "{} tempo words have no number, so each goes on at the tempo before it: {}{more}",
            found.len(),
            named.join(", ")
        )
    };
    let finding = Finding::new(Severity::Warning, "tempo-without-number", message)
        .hint("give each a tempo where it stands, or ask for it");
    Some(finding.at_measure(*index, &measure.label))
}
