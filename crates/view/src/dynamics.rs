//! Dynamics of a part: over a section in words, under the ruled line as they are printed.

use crate::{Page, Section, Word, number_of};
use cueleaf_guide::{Mark, MarkKind, Place};
use maud::{Markup, html};

/// A dynamic or a hairpin as it stands under a measure; places in quarter notes from its start.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Under {
    /// Letters at a place: "mf", "cresc.".
    Letters(f64, String),
    /// A part of a hairpin from one place to another, and how far it is open at each, from 0 to 1.
    Hairpin([f64; 2], [f64; 2]),
}

fn marks<'a>(page: &Page<'a>) -> impl Iterator<Item = &'a Mark> + use<'a> {
    let own = match page.guide.parts.as_slice() {
        [part] => part.marks.as_slice(),
        _ => &[],
    };
    own.iter().filter(|mark| letters(mark).is_some())
}

/// Tells whether there are any.
pub(crate) fn has_dynamics(page: &Page<'_>) -> bool {
    marks(page).next().is_some()
}

/// Gives the letters of a dynamic, or those that stand for a hairpin.
fn letters(mark: &Mark) -> Option<&str> {
    match mark.kind {
        MarkKind::Dynamic => Some(mark.text.trim()),
        MarkKind::Grow => Some("cresc."),
        MarkKind::Fade => Some("dim."),
        _ => None,
    }
}

/// Writes the dynamics of a section in order, each with its measure: "Dynamics: 1 p · 3–4 cresc. ·
/// 5 f". Nothing where there are none, or several parts.
pub(crate) fn dynamics_text(page: &Page<'_>, section: &Section) -> Option<Markup> {
    let here = section.first..=section.last;
    let here: Vec<&Mark> = marks(page)
        .filter(|mark| here.contains(&mark.measure))
        .collect();
    (!here.is_empty()).then(|| {
        html! {
            span class="dynamics" {
                (page.words.get(Word::Dynamics))
                @for mark in here {
                    " · " (measures(page, mark)) " " i { (letters(mark).unwrap_or_default()) }
                }
            }
        }
    })
}

/// Writes the measures of a mark: "12", or "12–14" for what goes on.
fn measures(page: &Page<'_>, mark: &Mark) -> String {
    let first = number_of(page, mark.measure);
    // An end at a barline is outside.
    let last = mark.to.map(|to| match to.at.is_zero() {
        true => to.measure.saturating_sub(1),
        false => to.measure,
    });
    match last.filter(|last| *last > mark.measure) {
        Some(last) => {
            let last = number_of(page, last);
            page.words.fill(Word::MeasuresShort, &[&first, &last])
        }
        None => first.into_owned(),
    }
}

/// Gives what stands under a measure.
pub(crate) fn dynamics_under(page: &Page<'_>, measure: usize) -> Vec<Under> {
    let Some(laid) = page.plan.layout().get(measure) else {
        return Vec::new();
    };
    let quarters = |place: Place| {
        let layout = page.plan.layout();
        let start = layout
            .get(place.measure)
            .map_or(layout.end(), |own| own.start);
        start.quarters().to_f64() + place.at.quarters().to_f64()
    };
    let start = laid.start.quarters().to_f64();
    let length = laid.length.quarters().to_f64();
    let mut under = Vec::new();
    for mark in marks(page) {
        let from = quarters(Place {
            measure: mark.measure,
            at: mark.at,
        }) - start;
        let is_here = mark.measure == measure;
        match mark.to.map(|to| quarters(to) - start) {
            Some(to) if mark.kind != MarkKind::Dynamic => {
                let ends = [from.max(0.0), to.min(length)];
                if ends[0] < ends[1] {
                    let open = ends.map(|at| {
                        let part = (at - from) / (to - from);
                        if mark.kind == MarkKind::Grow {
                            part
                        } else {
                            1.0 - part
                        }
                    });
                    under.push(Under::Hairpin(ends, open));
                }
            }
            _ if is_here => {
                let letters = letters(mark).unwrap_or_default().to_owned();
                under.push(Under::Letters(from, letters));
            }
            _ => {}
        }
    }
    under
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Extra, Guide, Id, Measure, Part};
    use cueleaf_plan::Plan;

    fn mark(measure: usize, at: &str, kind: MarkKind, to: Option<(usize, &str)>) -> Mark {
        Mark {
            measure,
            at: at.parse().unwrap(),
            kind,
            to: to.map(|(measure, at)| Place {
                measure,
                at: at.parse().unwrap(),
            }),
            text: "mf".to_owned(),
            extra: Extra::default(),
        }
    }

    #[test]
    fn dynamics_are_told_by_section_and_drawn_by_measure() {
        let id = |text: &str| Id::new(text).unwrap();
        let mut guide = Guide::new(id("g"), "");
        let numbers = (1..=4).map(|number: usize| Measure::labelled(&number.to_string()));
        guide.road_map.measures = numbers.collect();
        guide.parts = vec![Part {
            id: id("p"),
            name: "Viola".to_owned(),
            marks: vec![
                mark(0, "1", MarkKind::Dynamic, None),
                mark(0, "2", MarkKind::Pizz, None),
                mark(1, "0", MarkKind::Grow, Some((3, "0"))),
                mark(3, "0", MarkKind::Fade, None),
            ],
            extra: Extra::default(),
        }];
        let plan = Plan::new(&guide).value;
        let words = Page::words_for(&guide);
        let page = Page::new(&guide, &plan, &words);
        let section = Section { first: 0, last: 3 };
        let text = dynamics_text(&page, &section).unwrap().into_string();
        assert_eq!(
            text,
            "<span class=\"dynamics\">Dynamics · 1 <i>mf</i> · 2–3 <i>cresc.</i> · 4 <i>dim.</i></span>"
        );
        assert_eq!(
            dynamics_text(&page, &Section { first: 2, last: 2 }).map(|_| ()),
            None
        );
        let letters = |at, text: &str| Under::Letters(at, text.to_owned());
        assert_eq!(dynamics_under(&page, 0), [letters(1.0, "mf")]);
        let half = Under::Hairpin([0.0, 4.0], [0.5, 1.0]);
        assert_eq!(dynamics_under(&page, 2), [half]);
        assert_eq!(dynamics_under(&page, 3), [letters(0.0, "dim.")]);
        assert_eq!(dynamics_under(&page, 9), []);
    }
}
