//! What follows from a document and is looked up on every view.

use cueleaf_guide::{Finding, Guide, MarkKind, Severity, check_laid};
use cueleaf_plan::Plan;
use std::collections::BTreeMap;
use std::rc::Rc;

/// What the map says of a down-bow sign.
pub(crate) const DOWN_BOW: &str = "down-bow";
/// What the map says of an up-bow sign.
pub(crate) const UP_BOW: &str = "up-bow";

/// The most measures in one line of the map, so that an edit redraws little.
const LONGEST_LINE: usize = 48;

/// What follows from a document. What follows from the road map alone is shared by
/// all documents between which it did not change.
#[derive(Debug)]
pub struct Derived {
    /// The guide made playable.
    pub plan: Rc<Plan>,
    /// What was found while it was made playable.
    planned: Rc<Vec<Finding>>,
    /// What was found, errors first.
    pub findings: Vec<Finding>,
    /// For each measure, which of the findings are about it.
    pub findings_at: BTreeMap<usize, Vec<usize>>,
    /// For each measure, how many tips lie on it.
    pub tips_on: Vec<u16>,
    /// The lines of the map.
    pub lines: Rc<Vec<MapLine>>,
    /// The names by which measures are typed.
    pub names: Rc<Vec<String>>,
    /// For each measure in which the way of playing changes, what the map says of it.
    pub playing: Rc<BTreeMap<usize, Vec<String>>>,
}

/// A line of the map.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MapLine {
    /// Its first measure.
    pub first: usize,
    /// The measure after its last.
    pub end: usize,
    /// The name of the section or movement that starts here.
    pub heading: Option<String>,
}

impl Derived {
    /// Looks through a guide.
    #[must_use]
    pub fn of(guide: &Guide) -> Self {
        let planned = Plan::new(guide);
        Self::with(
            guide,
            OfTheMap {
                plan: Rc::new(planned.value),
                planned: Rc::new(planned.findings),
                lines: Rc::new(lines(guide)),
                names: Rc::new(names(guide)),
                playing: Rc::new(playing(guide)),
            },
        )
    }

    /// Looks through a guide that was made of another, of which this follows. Without a
    /// change of the road map, the parts or the settings only the tips are looked at.
    #[must_use]
    pub fn after(&self, before: &Guide, guide: &Guide) -> Self {
        let same = before.road_map == guide.road_map
            && before.settings == guide.settings
            && before.parts == guide.parts;
        if !same {
            return Self::of(guide);
        }
        Self::with(
            guide,
            OfTheMap {
                plan: Rc::clone(&self.plan),
                planned: Rc::clone(&self.planned),
                lines: Rc::clone(&self.lines),
                names: Rc::clone(&self.names),
                playing: Rc::clone(&self.playing),
            },
        )
    }

    fn with(guide: &Guide, map: OfTheMap) -> Self {
        let mut findings = map.planned.as_ref().clone();
        findings.extend(check_laid(guide, map.plan.layout()));
        // An empty tip is being written.
        findings.retain(|finding| finding.code != "empty-tip");
        findings.sort_by_key(|finding| {
            let rank = match finding.severity {
                Severity::Error => 0,
                Severity::Warning => 1,
                Severity::Note => 2,
            };
            (rank, finding.place.measure)
        });
        let mut findings_at: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (index, finding) in findings.iter().enumerate() {
            if let Some(measure) = finding.place.measure {
                findings_at.entry(measure).or_default().push(index);
            }
        }
        Self {
            plan: map.plan,
            planned: map.planned,
            findings,
            findings_at,
            tips_on: tips_on(guide),
            lines: map.lines,
            names: map.names,
            playing: map.playing,
        }
    }

    /// Gives the name by which a measure is typed.
    #[must_use]
    pub fn name(&self, index: usize) -> &str {
        self.names.get(index).map_or("", String::as_str)
    }

    /// Gives the name of a stretch of measures.
    #[must_use]
    pub fn stretch(&self, first: usize, last: usize) -> String {
        if first == last {
            return self.name(first).to_owned();
        }
        format!("{}–{}", self.name(first), self.name(last))
    }
}

/// What follows from the road map, the parts and the settings alone.
struct OfTheMap {
    plan: Rc<Plan>,
    planned: Rc<Vec<Finding>>,
    lines: Rc<Vec<MapLine>>,
    names: Rc<Vec<String>>,
    playing: Rc<BTreeMap<usize, Vec<String>>>,
}

/// What changes in the way of playing: the marks of the only part; with several
/// parts fewer kinds, each once, with the parts that have it unless all do.
fn playing(guide: &Guide) -> BTreeMap<usize, Vec<String>> {
    let alone = guide.parts.len() == 1;
    let mut found: BTreeMap<usize, Vec<(&str, Vec<usize>)>> = BTreeMap::new();
    for (which, part) in guide.parts.iter().enumerate() {
        for mark in &part.marks {
            let text = match mark.kind {
                MarkKind::Pizz => "pizz.",
                MarkKind::Arco => "arco",
                MarkKind::MuteOn => "mute on",
                MarkKind::MuteOff => "mute off",
                MarkKind::Rest if alone => "rest",
                MarkKind::Dynamic if alone && !mark.text.is_empty() => &mark.text,
                MarkKind::Grow if alone => "cresc.",
                MarkKind::Fade if alone => "dim.",
                MarkKind::DownBow if alone => DOWN_BOW,
                MarkKind::UpBow if alone => UP_BOW,
                MarkKind::Words if alone && !mark.text.is_empty() => &mark.text,
                _ => continue,
            };
            let here = found.entry(mark.measure).or_default();
            match here.iter_mut().find(|(own, _)| *own == text) {
                Some((_, parts)) if parts.last() == Some(&which) => {}
                Some((_, parts)) => parts.push(which),
                None => here.push((text, vec![which])),
            }
        }
    }
    let words = |(text, parts): (&str, Vec<usize>)| {
        if parts.len() == guide.parts.len() {
            return text.to_owned();
        }
        let name = |which: usize| guide.parts.get(which).map(|part| part.name.as_str());
        let names: Vec<&str> = parts.into_iter().filter_map(name).collect();
        format!("{}: {text}", names.join(", "))
    };
    // More would hide the measure itself.
    let written = |here: Vec<(&str, Vec<usize>)>| here.into_iter().map(words).take(4).collect();
    found
        .into_iter()
        .map(|(measure, here)| (measure, written(here)))
        .collect()
}

fn tips_on(guide: &Guide) -> Vec<u16> {
    let mut counts = vec![0u16; guide.road_map.measures.len()];
    for tip in &guide.tips {
        let (first, last) = (tip.spot.from.measure, tip.spot.last_measure());
        for count in counts.iter_mut().take(last.saturating_add(1)).skip(first) {
            *count = count.saturating_add(1);
        }
    }
    counts
}

fn lines(guide: &Guide) -> Vec<MapLine> {
    let mut lines: Vec<MapLine> = Vec::new();
    for (index, measure) in guide.road_map.measures.iter().enumerate() {
        let movement = measure.movement.as_deref().filter(|name| !name.is_empty());
        let section = measure.section.as_deref().filter(|name| !name.is_empty());
        let heading = match (movement, section) {
            (Some(movement), Some(section)) => Some(format!("{movement}: {section}")),
            (one, other) => one.or(other).map(str::to_owned),
        };
        let mark = measure.mark.as_deref().is_some_and(|mark| !mark.is_empty());
        let starts = heading.is_some() || measure.movement.is_some() || mark;
        match lines.last_mut() {
            Some(line) if !starts && index - line.first < LONGEST_LINE => line.end = index + 1,
            _ => lines.push(MapLine {
                first: index,
                end: index + 1,
                heading,
            }),
        }
    }
    lines
}

/// Names all measures in one go, as [`crate::places::name_of`] names each.
fn names(guide: &Guide) -> Vec<String> {
    let mut seen = BTreeMap::new();
    let measures = guide.road_map.measures.iter().enumerate();
    measures
        .map(|(index, measure)| {
            let label = measure.label.trim();
            let first = *seen.entry(label).or_insert(index);
            if label.is_empty() || first != index {
                format!("#{}", index + 1)
            } else {
                label.to_owned()
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Extra, Id, Mark, Measure, Part, Spot, Tip, Topic};
    use cueleaf_time::BeatSpan;

    #[test]
    fn lines_break_at_sections_and_names_agree() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = ["1", "2", "2", "", "5"]
            .iter()
            .map(|l| Measure::labelled(l))
            .collect();
        guide.road_map.measures[2].section = Some("B".to_owned());
        guide.tips = vec![Tip::new(
            Id::new("t").unwrap(),
            Spot::measures(1, 2),
            Topic::Bow,
            "x",
        )];
        let derived = Derived::of(&guide);
        let lines: Vec<(usize, usize)> = derived.lines.iter().map(|l| (l.first, l.end)).collect();
        assert_eq!(lines, [(0, 2), (2, 5)]);
        assert_eq!(derived.tips_on, [0, 1, 1, 0, 0]);
        for (index, name) in derived.names.iter().enumerate() {
            assert_eq!(*name, crate::places::name_of(&guide, index));
        }
        let codes: Vec<&str> = derived.findings.iter().map(|f| f.code).collect();
        assert_eq!(codes, ["no-first-meter"]);
    }

    /// Gives what of two looks is the same, but for what is shared.
    fn looks(derived: &Derived) -> String {
        format!("{derived:?}")
    }

    #[test]
    fn a_look_after_an_edit_is_the_look_at_the_whole() {
        let mut before = Guide::new(Id::new("g").unwrap(), "");
        before.road_map.measures = ["1", "2", "3"]
            .iter()
            .map(|l| Measure::labelled(l))
            .collect();
        let first = Derived::of(&before);
        let mut tipped = before.clone();
        tipped.tips = vec![Tip::new(
            Id::new("t").unwrap(),
            Spot::measures(1, 7),
            Topic::Bow,
            "x",
        )];
        let second = first.after(&before, &tipped);
        assert!(Rc::ptr_eq(&first.plan, &second.plan) && Rc::ptr_eq(&first.lines, &second.lines));
        assert_eq!(looks(&second), looks(&Derived::of(&tipped)));
        let mut other = tipped.clone();
        other.road_map.measures[1].repeat_back = Some(1);
        other.road_map.measures[2].mark = Some("A".to_owned());
        let third = second.after(&tipped, &other);
        assert_eq!(looks(&third), looks(&Derived::of(&other)));
        assert_eq!(third.lines.len(), 2);
    }

    #[test]
    fn bow_signs_and_words_of_the_only_part_are_said() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        let marks = [
            (MarkKind::DownBow, ""),
            (MarkKind::UpBow, ""),
            (MarkKind::Words, "espress."),
        ];
        let mark = |(kind, text): (MarkKind, &str)| Mark {
            measure: 2,
            at: BeatSpan::ZERO,
            kind,
            to: None,
            text: text.to_owned(),
            extra: Extra::default(),
        };
        guide.parts = vec![Part {
            id: Id::new("va").unwrap(),
            name: "Viola".to_owned(),
            marks: marks.into_iter().map(mark).collect(),
            extra: Extra::default(),
        }];
        assert_eq!(playing(&guide)[&2], ["down-bow", "up-bow", "espress."]);
    }

    #[test]
    fn a_mark_is_written_once_with_the_parts_that_have_it() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        for (name, kinds) in [
            ("Violin", vec![MarkKind::Arco, MarkKind::MuteOn]),
            ("Viola", vec![MarkKind::Pizz, MarkKind::Arco]),
            (
                "Cello",
                vec![MarkKind::Pizz, MarkKind::Arco, MarkKind::Arco],
            ),
        ] {
            let marks = kinds.into_iter().map(|kind| Mark {
                measure: 0,
                at: BeatSpan::ZERO,
                kind,
                to: None,
                text: String::new(),
                extra: Extra::default(),
            });
            guide.parts.push(Part {
                id: Id::new(name).unwrap(),
                name: name.to_owned(),
                marks: marks.collect(),
                extra: Extra::default(),
            });
        }
        let said = playing(&guide);
        assert_eq!(said[&0], ["arco", "Violin: mute on", "Viola, Cello: pizz."]);
        assert!(!said.contains_key(&1));
    }
}
