//! Barlines: repeats, endings, fermatas over the bar.

use super::part::Reading;
use crate::xml::Element;
use cueleaf_score::{Ending, HoldKind, HoldSign, RepeatBack, Signs};
use cueleaf_time::BeatSpan;

/// Which passes of an ending are taken from its numbers.
///
/// # Source
/// Our decision: more passes than this are no music.
const MAX_PASSES: u16 = 99;

/// Reads a `barline`.
pub(super) fn read(reading: &mut Reading<'_>, element: Element<'_>) {
    let location = element.attribute("location");
    let left = location.as_deref() == Some("left");
    if location.as_deref() == Some("middle") && element.child("repeat").is_some() {
        reading.found(
            "repeat-inside",
            "a repeat sign stands inside the measure; it is taken at the measure's end".to_owned(),
        );
    }
    for child in element.children() {
        match child.name() {
            "bar-style" if !left => {
                let signs = &mut reading.cursor.measure.signs;
                signs.final_bar |= child.text() == "light-heavy";
                signs.double_bar |= matches!(child.text(), "light-light" | "heavy-heavy");
            }
            "repeat" => repeat(reading, child, left),
            "ending" => ending(reading, child),
            "fermata" => {
                let end = BeatSpan::from_quarters(reading.cursor.furthest);
                let at = if left { Ok(BeatSpan::ZERO) } else { end };
                let sign = HoldSign {
                    at: at.unwrap_or(BeatSpan::ZERO),
                    kind: HoldKind::Fermata,
                };
                reading.cursor.measure.holds.push(sign);
            }
            "segno" => {
                let name = element.attribute("segno").unwrap_or_default();
                reading.cursor.measure.signs.segno.get_or_insert(name);
            }
            "coda" => {
                let name = element.attribute("coda").unwrap_or_default();
                reading.cursor.measure.signs.coda.get_or_insert(name);
            }
            _ => {}
        }
    }
}

fn repeat(reading: &mut Reading<'_>, element: Element<'_>, left: bool) {
    if element.attribute("direction").as_deref() == Some("forward") {
        if left {
            reading.cursor.measure.signs.repeat_from = true;
        } else {
            reading.part.late.repeat_from = true;
        }
        return;
    }
    let back = RepeatBack {
        times: element
            .attribute("times")
            .and_then(|text| text.trim().parse().ok()),
        after_jump: element.says_yes("after-jump"),
    };
    // A backward sign on a left barline closes the measure before.
    let signs: Option<&mut Signs> = if left {
        reading.part.measures.last_mut().map(|one| &mut one.signs)
    } else {
        Some(&mut reading.cursor.measure.signs)
    };
    match signs {
        Some(signs) => signs.repeat_back = Some(back),
        None => reading.found(
            "repeat-of-nothing",
            "a repeat ends before the first measure".to_owned(),
        ),
    }
}

fn ending(reading: &mut Reading<'_>, element: Element<'_>) {
    if element.attribute("type").as_deref() != Some("start") {
        reading.cursor.measure.signs.ending_to = true;
        return;
    }
    let text = element.words();
    let number = element.attribute("number").unwrap_or_default();
    let mut passes = passes_of(&number);
    if passes.is_empty() {
        passes = passes_of(&text);
    }
    reading.cursor.measure.signs.ending_from = Some(Ending { passes, text });
}

/// Reads "1", "1, 2", "1-3", "1.2." as passes in order.
fn passes_of(text: &str) -> Vec<u16> {
    let mut passes: Vec<u16> = Vec::new();
    let mut range = false;
    let mut digits = String::new();
    for letter in text.chars().chain([' ']) {
        if letter.is_ascii_digit() {
            digits.push(letter);
            continue;
        }
        if let Ok(number) = digits.parse::<u16>()
            && (1..=MAX_PASSES).contains(&number)
        {
            let from = match passes.last() {
                Some(last) if range => last + 1,
                _ => number,
            };
            passes.extend(from..=number);
            range = false;
        }
        digits.clear();
        if matches!(letter, '-' | '–') {
            range = true;
        }
    }
    passes.sort_unstable();
    passes.dedup();
    passes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ending_numbers_are_lists_and_ranges() {
        for (text, expected) in [
            ("1", vec![1]),
            ("1, 2", vec![1, 2]),
            ("1-3", vec![1, 2, 3]),
            ("1.–3. 5.", vec![1, 2, 3, 5]),
            ("2,1", vec![1, 2]),
            ("", vec![]),
            ("last", vec![]),
            ("0 999999", vec![]),
            ("5-3", vec![5]),
        ] {
            assert_eq!(passes_of(text), expected, "{text}");
        }
    }
}
