//! The repeats of a road map: where each goes back to and how often.

use cueleaf_guide::{Finding, Measure, RoadMap, Severity, Tell};

/// One ending bracket: its passes and its measures, the end outside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Ending {
    pub(crate) numbers: Vec<u16>,
    pub(crate) from: usize,
    pub(crate) to: usize,
    /// The repeat it belongs to; `None` when no repeat sign goes with it.
    pub(crate) repeat: Option<usize>,
}

/// One repeat: from its start to its end (outside), and how many passes it has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Repeat {
    pub(crate) start: usize,
    pub(crate) end: usize,
    pub(crate) passes: u16,
}

/// A sign that goes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RepeatSign {
    /// The index of the measure at whose end it stands.
    pub measure: usize,
    /// The index of the measure it goes back to.
    pub start: usize,
    /// How often what is between is played in all, endings counted; at least 2.
    pub passes: u16,
}

/// All repeats and endings, ready to be asked by measure.
#[derive(Debug, Default)]
pub(crate) struct Repeats {
    repeats: Vec<Repeat>,
    endings: Vec<Ending>,
    /// The start of each repeat and its index, in order of start. Lists in
    /// order weigh less on a phone than maps do.
    starts: Vec<(usize, usize)>,
    /// The measure of each sign and the index of its repeat, in order of measure.
    back_after: Vec<(usize, usize)>,
    movements: Vec<usize>,
}

impl Repeats {
    /// Gives the ending bracket over a measure.
    pub(crate) fn ending_over(&self, measure: usize) -> Option<&Ending> {
        let next = self
            .endings
            .partition_point(|ending| ending.from <= measure);
        let ending = self.endings.get(next.checked_sub(1)?)?;
        (measure < ending.to).then_some(ending)
    }

    /// Gives the repeat whose sign stands at the end of a measure.
    pub(crate) fn back_after(&self, measure: usize) -> Option<(usize, Repeat)> {
        let signs = &self.back_after;
        let sign = signs.binary_search_by_key(&measure, |(at, _)| *at).ok()?;
        let (_, index) = *signs.get(sign)?;
        self.get(index).map(|repeat| (index, repeat))
    }

    /// Gives the signs that go back after one pass at least, in order of measure. The sign of a
    /// last ending does not.
    pub(crate) fn signs(&self) -> impl Iterator<Item = RepeatSign> {
        self.back_after.iter().filter_map(|&(measure, index)| {
            let repeat = self.get(index)?;
            let goes_back = match self.ending_over(measure) {
                Some(ending) => ending.numbers.iter().any(|pass| *pass < repeat.passes),
                None => repeat.passes > 1,
            };
            goes_back.then_some(RepeatSign {
                measure,
                start: repeat.start,
                passes: repeat.passes,
            })
        })
    }

    /// Gives how many repeats there are.
    pub(crate) const fn len(&self) -> usize {
        self.repeats.len()
    }

    /// Gives one repeat.
    pub(crate) fn get(&self, index: usize) -> Option<Repeat> {
        self.repeats.get(index).copied()
    }

    /// Gives the repeats that start at a measure.
    pub(crate) fn starting_at(&self, measure: usize) -> impl Iterator<Item = usize> {
        let first = self.starts.partition_point(|(start, _)| *start < measure);
        let from = self.starts.iter().skip(first);
        from.take_while(move |(start, _)| *start == measure)
            .map(|(_, index)| *index)
    }

    /// Gives the repeats inside which a measure lies.
    pub(crate) fn around(&self, measure: usize) -> Vec<usize> {
        self.repeats
            .iter()
            .enumerate()
            .filter(|(_, repeat)| repeat.start <= measure && measure < repeat.end)
            .map(|(index, _)| index)
            .collect()
    }

    /// Gives the first measure of the movement in which a measure lies.
    pub(crate) fn movement_of(&self, measure: usize) -> usize {
        let next = self.movements.partition_point(|start| *start <= measure);
        next.checked_sub(1)
            .and_then(|index| self.movements.get(index))
            .copied()
            .unwrap_or(0)
    }
}

/// Finds the repeats of a road map.
///
/// A sign without a start goes back to the measure after the previous repeat,
/// else to the start of the movement. Adjacent ending brackets belong together
/// and share one repeat; the last of them is the way on.
///
/// # Source
/// MusicXML 4.0, elements repeat and ending; Gehrkens, Music Notation and
/// Terminology, 1914, §§36–39; a lone first ending still repeats: common
/// practice, no source.
pub(crate) fn find_repeats(road_map: &RoadMap, findings: &mut Vec<Finding>) -> Repeats {
    let measures = &road_map.measures;
    let mut found = Repeats {
        endings: brackets(measures),
        ..Repeats::default()
    };
    let groups = groups_of(&found.endings);
    let mut open: Vec<usize> = Vec::new();
    let mut after_last = 0;
    for (index, measure) in measures.iter().enumerate() {
        if measure.movement.is_some() || index == 0 {
            found.movements.push(index);
            report_open(&open, measures, findings);
            open.clear();
            after_last = index;
        }
        if measure.repeat_from {
            open.push(index);
        }
        let Some(times) = measure.repeat_back else {
            continue;
        };
        let next = groups.partition_point(|group| group.from <= index);
        let group = groups
            .get(next.wrapping_sub(1))
            .filter(|group| index < group.to);
        let shared = group.and_then(|group| {
            let ending = found.endings.get(group.endings.start)?;
            ending.repeat
        });
        if let Some(repeat) = shared {
            found.back_after.push((index, repeat));
            continue;
        }
        let repeat = Repeat {
            start: open.pop().unwrap_or(after_last),
            end: group.map_or(index + 1, |group| group.to),
            passes: group.map_or(times.max(1), |group| {
                passes_of(found.endings.get(group.endings.clone()).unwrap_or(&[]))
            }),
        };
        after_last = repeat.end;
        let id = found.repeats.len();
        found.repeats.push(repeat);
        found.starts.push((repeat.start, id));
        found.back_after.push((index, id));
        if let Some(group) = group
            && let Some(endings) = found.endings.get_mut(group.endings.clone())
        {
            for ending in endings {
                ending.repeat = Some(id);
            }
        }
    }
    found.starts.sort_unstable();
    report_open(&open, measures, findings);
    for ending in found
        .endings
        .iter()
        .filter(|ending| ending.repeat.is_none())
    {
        findings.tell(|| {
            Finding::new(
                Severity::Warning,
                "ending-without-repeat",
                "this ending has no repeat sign, so it is played each time",
            )
            .hint("put the repeat sign at the end of the first ending")
            .at_measure(ending.from, label(measures, ending.from))
        });
    }
    found
}

fn report_open(open: &[usize], measures: &[Measure], findings: &mut Vec<Finding>) {
    for start in open {
        findings.tell(|| {
            Finding::new(
                Severity::Warning,
                "repeat-never-closed",
                "a repeat starts here and never ends, so it repeats nothing",
            )
            .hint("put a repeat sign where it ends, or take this one away")
            .at_measure(*start, label(measures, *start))
        });
    }
}

fn label(measures: &[Measure], index: usize) -> &str {
    measures.get(index).map_or("", |measure| &measure.label)
}

/// Gathers the ending brackets: measures in a row with the same passes.
fn brackets(measures: &[Measure]) -> Vec<Ending> {
    let mut endings: Vec<Ending> = Vec::new();
    for (index, measure) in measures.iter().enumerate() {
        if measure.ending.is_empty() {
            continue;
        }
        match endings.last_mut() {
            Some(last) if last.to == index && last.numbers == measure.ending => last.to += 1,
            _ => endings.push(Ending {
                numbers: measure.ending.clone(),
                from: index,
                to: index + 1,
                repeat: None,
            }),
        }
    }
    endings
}

/// Brackets that follow each other without a gap.
struct Group {
    from: usize,
    to: usize,
    endings: core::ops::Range<usize>,
}

fn groups_of(endings: &[Ending]) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for (index, ending) in endings.iter().enumerate() {
        let first_again = ending.numbers.contains(&1);
        match groups.last_mut() {
            // A bracket for the first pass begins another group.
            Some(group) if group.to == ending.from && !first_again => {
                group.to = ending.to;
                group.endings.end = index + 1;
            }
            _ => groups.push(Group {
                from: ending.from,
                to: ending.to,
                endings: index..index + 1,
            }),
        }
    }
    groups
}

fn passes_of(endings: &[Ending]) -> u16 {
    let highest = endings
        .iter()
        .flat_map(|ending| ending.numbers.iter().copied())
        .max()
        .unwrap_or(1);
    // A lone ending is left out on the pass after its last one.
    if endings.len() == 1 {
        highest.saturating_add(1)
    } else {
        highest
    }
}
