//! Repeats, endings and jumps, marked where they stand. The order of play is
//! made elsewhere.

use super::road_map::column;
use crate::collect::Findings;
use cueleaf_guide::{Extra, Finding, Jump, JumpUntil, Measure, Severity};
use cueleaf_score::{JumpKind, Score, Signs};

/// Marks repeats, endings and jumps in the measures.
pub(super) fn set_order(score: &Score, measures: &mut [Measure], findings: &mut Findings) {
    let mut signs: Vec<Signs> = (0..measures.len())
        .map(|index| union(column(score, index).map(|one| &one.signs)))
        .collect();
    leave_at_first_coda(&mut signs, measures, findings);
    let one_segno = signs.iter().filter(|one| one.segno.is_some()).count() <= 1;
    let one_coda = signs.iter().filter(|one| one.coda.is_some()).count() <= 1;
    // The only one of its kind needs no name.
    let named =
        |name: Option<String>, only: bool| name.map(|name| if only { String::new() } else { name });
    let with_repeats = signs
        .iter()
        .any(|one| one.repeat_back.is_some_and(|back| back.after_jump));
    for (index, (measure, one)) in measures.iter_mut().zip(&signs).enumerate() {
        measure.repeat_from = one.repeat_from;
        measure.repeat_back = one.repeat_back.map(|back| back.times.unwrap_or(2));
        measure.segno = named(one.segno.clone(), one_segno);
        measure.coda = named(one.coda.clone(), one_coda);
        measure.to_coda = named(one.to_coda.clone(), one_coda);
        measure.fine = one.fine;
        if let Some(jump) = &one.jump {
            measure.jump = Some(Jump {
                to_segno: named(jump.to_segno.clone(), one_segno),
                until: match jump.kind {
                    JumpKind::Plain => JumpUntil::End,
                    JumpKind::ToFine => JumpUntil::Fine,
                    JumpKind::ToCoda => JumpUntil::Coda,
                },
                with_repeats,
                extra: Extra::default(),
            });
            if !jump.passes.is_empty() {
                findings.push(note(
                    index,
                    measure,
                    "jump-on-pass",
                    "the file ties this jump to a certain time through; it is taken once, after the repeats",
                ));
            }
        }
    }
    set_endings(&signs, measures, findings);
    warn_of_movements(&signs, measures, findings);
}

fn note(index: usize, measure: &Measure, code: &'static str, message: &str) -> Finding {
    Finding::new(Severity::Note, code, message).at_measure(index, &measure.label)
}

/// Joins what the parts show at one measure; of two names the first counts.
fn union<'s>(all: impl Iterator<Item = &'s Signs>) -> Signs {
    let mut joined = Signs::default();
    for one in all {
        joined.repeat_from |= one.repeat_from;
        joined.ending_to |= one.ending_to;
        joined.fine |= one.fine;
        joined.final_bar |= one.final_bar;
        joined.double_bar |= one.double_bar;
        let texts = [
            (&mut joined.segno, &one.segno),
            (&mut joined.coda, &one.coda),
            (&mut joined.to_coda, &one.to_coda),
        ];
        for (to, from) in texts {
            // A name beats a sign without one.
            if to.as_ref().is_none_or(String::is_empty) && from.is_some() {
                to.clone_from(from);
            }
        }
        joined.repeat_back = joined.repeat_back.or(one.repeat_back);
        if joined.ending_from.is_none() {
            joined.ending_from.clone_from(&one.ending_from);
        }
        match (&joined.jump, &one.jump) {
            (None, Some(_)) => joined.jump.clone_from(&one.jump),
            (Some(old), Some(new)) if old.kind == JumpKind::Plain && new.kind != old.kind => {
                joined.jump.clone_from(&one.jump);
            }
            _ => {}
        }
    }
    joined
}

/// Many prints show the same sign where one leaves and where one goes on. When
/// nothing says where to leave, the first of two coda signs does.
fn leave_at_first_coda(signs: &mut [Signs], measures: &[Measure], findings: &mut Findings) {
    let jumps = signs.iter().any(|one| {
        one.jump
            .as_ref()
            .is_some_and(|jump| jump.kind == JumpKind::ToCoda)
    });
    let leaves = signs.iter().any(|one| one.to_coda.is_some());
    let codas = signs.iter().filter(|one| one.coda.is_some()).count();
    if !jumps || leaves || codas < 2 {
        return;
    }
    let first = signs.iter().position(|one| one.coda.is_some());
    if let Some(index) = first
        && let (Some(one), Some(measure)) = (signs.get_mut(index), measures.get(index))
    {
        one.to_coda = one.coda.take();
        findings.push(note(
            index,
            measure,
            "coda-sign-to-leave",
            "the first of two coda signs is taken as the place to leave for the coda",
        ));
    }
}

/// Spreads each ending bracket over its measures.
///
/// # Source
/// Our decision: a bracket that stops short of its repeat sign, when the next
/// ending starts right after the sign, reaches to the sign; one that never ends
/// reaches to its repeat sign, else over its first measure.
fn set_endings(signs: &[Signs], measures: &mut [Measure], findings: &mut Findings) {
    let starts: Vec<usize> = signs
        .iter()
        .enumerate()
        .filter(|(_, one)| one.ending_from.is_some())
        .map(|(index, _)| index)
        .collect();
    let has_sign = |index: usize| {
        signs
            .get(index)
            .is_some_and(|one| one.repeat_back.is_some())
    };
    let mut passes_before: Option<(usize, u16)> = None;
    for (position, first) in starts.iter().copied().enumerate() {
        let border = starts.get(position + 1).copied().unwrap_or(signs.len());
        let printed = signs
            .get(first)
            .and_then(|one| one.ending_from.as_ref())
            .map(|ending| ending.passes.clone())
            .unwrap_or_default();
        let stop = (first..border).find(|index| signs.get(*index).is_some_and(|one| one.ending_to));
        let mut last = stop.unwrap_or_else(|| {
            if let Some(measure) = measures.get(first) {
                findings.push(
                    Finding::new(
                        Severity::Warning,
                        "ending-without-end",
                        "the bracket over this ending never ends",
                    )
                    .hint("mark the measures that belong to the ending")
                    .at_measure(first, &measure.label),
                );
            }
            (first..border)
                .find(|index| has_sign(*index))
                .unwrap_or(first)
        });
        let inside = (first..=last).any(has_sign);
        if !inside && border < signs.len() && border > first && has_sign(border - 1) {
            last = border - 1;
        }
        let passes = if printed.is_empty() {
            let next = passes_before
                .filter(|(end, _)| *end == first)
                .map_or(1, |(_, highest)| highest.saturating_add(1));
            if let Some(measure) = measures.get(first) {
                findings.push(
                    Finding::new(
                        Severity::Warning,
                        "ending-without-number",
                        format!("the ending here has no number; it is taken as number {next}"),
                    )
                    .at_measure(first, &measure.label),
                );
            }
            vec![next]
        } else {
            printed
        };
        passes_before = passes.last().map(|highest| (last + 1, *highest));
        for measure in measures.iter_mut().take(last + 1).skip(first) {
            measure.ending.clone_from(&passes);
        }
    }
}

/// Several movements in one file look like one piece whose numbers start anew.
fn warn_of_movements(signs: &[Signs], measures: &[Measure], findings: &mut Findings) {
    let number = |measure: &Measure| measure.label.parse::<u32>().ok();
    for (index, pair) in measures.windows(2).enumerate() {
        let [before, after] = pair else { continue };
        let ends = signs.get(index).is_some_and(|one| one.final_bar);
        let starts_anew = match (number(before), number(after)) {
            (Some(before), Some(after)) => after <= 1 && after < before,
            _ => false,
        };
        if ends && starts_anew {
            findings.push(
                Finding::new(
                    Severity::Warning,
                    "several-movements",
                    "another movement seems to start here",
                )
                .hint("mark it as the start of a movement, so that repeats go no further back")
                .at_measure(index + 1, &after.label),
            );
        }
    }
}
