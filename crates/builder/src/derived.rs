//! What follows from a document and is looked up on every view.

use cueleaf_guide::{Finding, Guide, Severity, check};
use cueleaf_plan::Plan;
use std::collections::BTreeMap;

/// The most measures in one line of the map, so that an edit redraws little.
const LONGEST_LINE: usize = 48;

/// What follows from a document.
#[derive(Debug)]
pub struct Derived {
    /// The guide made playable.
    pub plan: Plan,
    /// What was found, errors first.
    pub findings: Vec<Finding>,
    /// For each measure, which of the findings are about it.
    pub findings_at: BTreeMap<usize, Vec<usize>>,
    /// For each measure, how many tips lie on it.
    pub tips_on: Vec<u16>,
    /// The lines of the map.
    pub lines: Vec<MapLine>,
    /// The names by which measures are typed.
    pub names: Vec<String>,
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
        let mut findings = check(guide);
        for finding in planned.findings {
            // Both look at the layout.
            if !findings.contains(&finding) {
                findings.push(finding);
            }
        }
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
            plan: planned.value,
            findings,
            findings_at,
            tips_on: tips_on(guide),
            lines: lines(guide),
            names: names(guide),
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
    use cueleaf_guide::{Id, Measure, Spot, Tip, Topic};

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
}
