//! What the lines about the whole say: titles, settings, parts, and which measures there are.

use crate::ground::RawSpot;
use crate::item::Item;
use crate::lines::{Block, Entry, Head, Labels};
use crate::read::{Reader, id, join};
use crate::text::Piece;
use crate::trouble::Trouble;
use cueleaf_guide::{MAX_LABEL, MAX_MEASURES, MAX_PARTS, Measure, Part, Severity, TooLarge};

/// The most measures that are made when no line says which there are.
const MAX_ASSUMED: u64 = 2_000;

impl Reader {
    /// Takes the lines about the whole; those that say something twice are told.
    pub(crate) fn heads(&mut self, entries: &[Entry<'_>]) {
        let mut seen = [0usize; 10];
        for entry in entries {
            let Entry::Block {
                line,
                raw,
                block: Block::Head(head),
            } = entry
            else {
                continue;
            };
            let number = usize::from(head_number(head));
            if !matches!(head, Head::Parts(_) | Head::Measures(_))
                && let Some(before) = seen.get_mut(number)
            {
                if *before > 0 {
                    let reason = format!("line {before} says this already; the last one counts");
                    self.findings.tell(
                        Severity::Warning,
                        *line,
                        Trouble::at(
                            Piece::line(raw.first().copied().unwrap_or_default()),
                            "said-twice",
                            reason,
                        ),
                    );
                }
                *before = *line;
            }
            self.head(head);
        }
        if !self.guide.parts.is_empty() || !has_marks(entries) {
            return;
        }
        // A teacher who writes for one part alone need not name it.
        self.guide.parts.push(new_part(1, "Part"));
        let trouble = Trouble::at(
            Piece::line(""),
            "no-part-named",
            "no line says whose part this is",
        );
        self.findings
            .tell(Severity::Note, 1, trouble.suggest("For Viola"));
    }

    fn head(&mut self, head: &Head) {
        let guide = &mut self.guide;
        match head {
            Head::Title(title) => guide.title.clone_from(title),
            Head::Composer(composer) => guide.composer.clone_from(composer),
            Head::Language(language) => guide.settings.language = *language,
            Head::Say(word) => guide.settings.measure_word = *word,
            Head::Style(style) => guide.settings.count_style = *style,
            Head::CountIn(number) => guide.settings.count_in = *number,
            Head::Address(address) => guide.settings.address.clone_from(address),
            Head::Word(text) => guide.word = join(text),
            Head::Parts(names) => {
                for name in names {
                    if guide.parts.len() < MAX_PARTS {
                        guide.parts.push(new_part(guide.parts.len() + 1, name));
                    }
                }
            }
            Head::Measures(_) => {}
        }
    }

    /// Makes the measures that the outline names, or as many as its places need.
    pub(crate) fn measures(&mut self, entries: &[Entry<'_>]) {
        let mut said = false;
        for entry in entries {
            if let Entry::Block {
                line,
                raw,
                block: Block::Head(Head::Measures(list)),
            } = entry
            {
                said = true;
                for labels in list {
                    if let Err(reason) = add_labels(&mut self.guide.road_map.measures, labels) {
                        self.warn_line(*line, raw, "too-large", reason);
                    }
                }
            }
        }
        if said {
            return;
        }
        let numbers = entries.iter().filter_map(spot_of).flat_map(|spot| {
            let to = spot.to.as_ref().and_then(|to| to.number());
            [spot.from.number(), to].into_iter().flatten()
        });
        let mut first = 1;
        let mut last = 0;
        for number in numbers.filter(|number| *number <= MAX_ASSUMED) {
            first = first.min(number);
            last = last.max(number);
        }
        if last < first {
            return;
        }
        let measures = &mut self.guide.road_map.measures;
        measures.extend((first..=last).map(|own| Measure::labelled(&own.to_string())));
        let reason = format!("no line says which measures there are; taken as {first} to {last}");
        let trouble = Trouble::at(Piece::line(""), "measures-assumed", reason);
        let line = format!("Measures {first} to {last}");
        self.findings.tell(Severity::Note, 1, trouble.suggest(line));
    }
}

/// Gives the number of a line about the whole in the order in which they are written.
pub(crate) const fn head_number(head: &Head) -> u8 {
    match head {
        Head::Title(_) => 0,
        Head::Composer(_) => 1,
        Head::Parts(_) => 2,
        Head::Measures(_) => 3,
        Head::Language(_) => 4,
        Head::Say(_) => 5,
        Head::Style(_) => 6,
        Head::CountIn(_) => 7,
        Head::Address(_) => 8,
        Head::Word(_) => 9,
    }
}

fn new_part(number: usize, name: &str) -> Part {
    Part {
        id: id(&format!("part-{number}")),
        name: name.to_owned(),
        marks: Vec::new(),
        extra: Default::default(),
    }
}

fn has_marks(entries: &[Entry<'_>]) -> bool {
    entries.iter().any(|entry| match entry {
        Entry::Block {
            block: Block::Items {
                items, parts: None, ..
            },
            ..
        } => items
            .iter()
            .any(|(_, _, item)| matches!(item, Item::Mark(_))),
        _ => false,
    })
}

fn spot_of<'a, 'b>(entry: &'b Entry<'a>) -> Option<&'b RawSpot<'a>> {
    match entry {
        Entry::Block {
            block: Block::Items { spot, .. } | Block::Tip { spot, .. },
            ..
        } => Some(spot),
        Entry::Block {
            block: Block::Todo { spot, .. },
            ..
        } => spot.as_ref(),
        _ => None,
    }
}

fn add_labels(measures: &mut Vec<Measure>, labels: &Labels) -> Result<(), String> {
    let number = match labels {
        Labels::One(label) if label.chars().count() > MAX_LABEL * 8 => {
            let limit = MAX_LABEL * 8;
            return Err(format!("a measure's number has at most {limit} letters"));
        }
        Labels::One(_) => 1,
        Labels::Run(first, last) => usize::try_from(last - first)
            .unwrap_or(usize::MAX)
            .saturating_add(1),
        Labels::Unnumbered(number) => *number,
    };
    let whole = measures.len().saturating_add(number);
    TooLarge::guard("measures", MAX_MEASURES, whole).map_err(|error| error.to_string())?;
    match labels {
        Labels::One(label) => measures.push(Measure::labelled(label)),
        Labels::Run(first, last) => {
            measures.extend((*first..=*last).map(|own| Measure::labelled(&own.to_string())));
        }
        Labels::Unnumbered(number) => {
            measures.extend(core::iter::repeat_n(Measure::default(), *number));
        }
    }
    Ok(())
}
