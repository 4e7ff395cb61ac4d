//! Tempi in words and signs.

use crate::{Word, Words, note_sign};
use cueleaf_time::{NoteValue, SameBeat, Tempo};
use maud::{Markup, html};

/// Names a note value: "dotted quarter".
#[must_use]
pub fn note_name(words: &Words, note: NoteValue) -> String {
    let name = match note.name() {
        "whole" => words.get(Word::Whole),
        "half" => words.get(Word::Half),
        "quarter" => words.get(Word::Quarter),
        "eighth" => words.get(Word::Eighth),
        "16th" => words.get(Word::Sixteenth),
        "32nd" => words.get(Word::ThirtySecond),
        other => other,
    };
    match note.dots() {
        0 => name.to_owned(),
        1 => words.fill(Word::Dotted, &[name]),
        2 => words.fill(Word::DoubleDotted, &[name]),
        // No print has more; the exact name is better than none.
        _ => note.to_string(),
    }
}

/// Writes a tempo in words: "dotted quarter = 66".
#[must_use]
pub fn tempo_text(words: &Words, tempo: Tempo) -> String {
    let name = note_name(words, tempo.unit());
    words.fill(Word::TempoIs, &[&name, &number(words, tempo)])
}

/// Writes an equation of beats: "quarter = dotted quarter". A beat of a tuplet
/// has no name and stands as a fraction of a quarter.
#[must_use]
pub fn same_beat_text(words: &Words, same: SameBeat) -> String {
    let was = NoteValue::of_span(same.was());
    let was = was.map_or_else(|| same.was().to_string(), |note| note_name(words, note));
    words.fill(Word::TempoIs, &[&was, &note_name(words, same.now())])
}

/// Writes a tempo with the sign of its note, which carries its name.
#[must_use]
pub fn tempo_sign(words: &Words, tempo: Tempo) -> Markup {
    html! {
        span class="tempo" { (note_sign(words, tempo.unit())) " = " (number(words, tempo)) }
    }
}

/// Writes the number with at most two decimals: print has no fractions.
fn number(words: &Words, tempo: Tempo) -> String {
    let (whole, figures) = tempo.per_minute().to_read();
    let whole = whole.to_string();
    if figures.is_empty() {
        return whole;
    }
    words.fill(Word::Decimal, &[&whole, &figures])
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Language, MeasureWord};

    #[test]
    fn a_tempo_is_written_with_its_unit() {
        let words = Words::of(Language::English, MeasureWord::Measure);
        for text in [
            "dotted quarter = 66",
            "half = 72",
            "double-dotted quarter = 40",
            "128th = 90",
        ] {
            assert_eq!(tempo_text(&words, text.parse().unwrap()), text);
        }
        assert_eq!(
            tempo_text(&words, "quarter = 200/3".parse().unwrap()),
            "quarter = 66.67"
        );
        let same = "quarter = dotted quarter";
        assert_eq!(same_beat_text(&words, same.parse().unwrap()), same);
        let sign = tempo_sign(&words, "dotted half = 50".parse().unwrap()).into_string();
        assert!(sign.contains("aria-label=\"dotted half\"") && sign.ends_with(" = 50</span>"));
    }
}
