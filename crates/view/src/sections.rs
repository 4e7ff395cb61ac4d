//! The sections of a piece, and the walk through them.

use crate::dynamics::dynamics_text;
use crate::facts::{Above, facts};
use crate::strip::stands;
use crate::tip::tip_part;
use crate::words::{capital, listed, sentence, typed};
use crate::{Drawn, LineMeasure, Page, Word, Words, line_of_runs, measure_text, number_of};
use cueleaf_guide::{Measure, Tip, Topic};
use maud::{Markup, html};
use std::collections::BTreeMap;

/// Measures that belong together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// The index of its first measure.
    pub first: usize,
    /// The index of its last measure.
    pub last: usize,
}

/// Tells whether rehearsal marks begin the sections: they do where no section is named.
pub(crate) fn marks_begin(page: &Page<'_>) -> bool {
    page.measures().iter().all(|own| own.section.is_none())
}

/// Gives the rehearsal mark of a measure.
pub(crate) fn mark_of(measure: &Measure) -> Option<&str> {
    measure.mark.as_deref().filter(|mark| !mark.is_empty())
}

/// Cuts a piece into its sections: at every section name and movement; where no section is
/// named, at every rehearsal mark.
#[must_use]
pub fn sections(page: &Page<'_>) -> Vec<Section> {
    let measures = page.measures();
    let marked = marks_begin(page);
    let mut found: Vec<Section> = Vec::new();
    for (index, own) in measures.iter().enumerate() {
        let begins =
            own.section.is_some() || own.movement.is_some() || marked && mark_of(own).is_some();
        match found.last_mut() {
            Some(section) if !begins => section.last = index,
            _ => found.push(Section {
                first: index,
                last: index,
            }),
        }
    }
    found
}

/// Names a section: its own name, or what stands for it.
#[must_use]
pub fn section_name(page: &Page<'_>, section: &Section) -> String {
    let own = page.measures().get(section.first);
    let movement = own
        .and_then(|own| own.movement.as_deref())
        .unwrap_or_default();
    let mark = || own.and_then(mark_of).filter(|_| marks_begin(page));
    let name = own
        .and_then(|own| own.section.as_deref())
        .or_else(mark)
        .unwrap_or_default();
    match (movement, name) {
        ("", "") if section.first == 0 && section.last + 1 == page.measures().len() => {
            page.words.get(Word::WholePiece).to_owned()
        }
        ("", "") if section.first == 0 => page.words.get(Word::Start).to_owned(),
        ("", "") => capital(&measure_text(page, section.first)),
        (one, "") | ("", one) => one.to_owned(),
        (movement, name) => page.words.fill(Word::MeasureIs, &[movement, name]),
    }
}

/// Names the section of a measure; nothing for a piece without sections.
#[must_use]
pub fn section_at(page: &Page<'_>, measure: usize) -> Option<String> {
    let all = sections(page);
    let own = all.iter().find(|section| section.last >= measure)?;
    (all.len() > 1).then(|| section_name(page, own))
}

/// Shows all sections in order with what stands in them.
#[must_use]
pub fn walk(page: &Page<'_>) -> Markup {
    let tips = tips_by_measure(page);
    html! {
        @for section in sections(page) { (section_part(page, &section, &tips)) }
    }
}

fn section_part(page: &Page<'_>, section: &Section, tips: &TipsByMeasure<'_>) -> Markup {
    let entries =
        (section.first..=section.last).filter_map(|measure| entry(page, measure, section, tips));
    let entries: Vec<Markup> = entries.collect();
    section_of(section.first, &section_head(page, section), &entries)
}

/// Puts the head of a section and what stands at its measures together.
pub(crate) fn section_of(first: usize, head: &Markup, entries: &[Markup]) -> Markup {
    html! {
        section id={ "s" (first) } {
            (head)
            @if !entries.is_empty() {
                ol class="entries" { @for entry in entries { (entry) } }
            }
        }
    }
}

/// Shows what stands above the measures of a section.
pub(crate) fn section_head(page: &Page<'_>, section: &Section) -> Markup {
    html! {
        h2 { (typed(&section_name(page, section))) }
        p {
            (stands(page, section))
            @if let Some(dynamics) = dynamics_text(page, section) { (dynamics) }
        }
    }
}

/// Shows one measure with its facts and tips, when it has any.
pub(crate) fn entry(
    page: &Page<'_>,
    measure: usize,
    section: &Section,
    tips: &TipsByMeasure<'_>,
) -> Option<Markup> {
    let above = if measure == section.first {
        Above::Head
    } else {
        Above::Nothing
    };
    let facts = facts(page, measure, above);
    let tips = tips.get(&measure).map_or(&[][..], Vec::as_slice);
    let own = page.measures().get(measure)?;
    let laid = page.plan.layout().get(measure)?;
    let regrouped = own.meter.is_some() || own.groups.is_some();
    let is_drawn = regrouped && laid.beats.is_uneven();
    if facts.is_empty() && tips.is_empty() && !is_drawn {
        return None;
    }
    Some(html! {
        li id={ "m" (measure) } {
            h3 { (capital(&measure_text(page, measure))) }
            @if !facts.is_empty() { p { (sentence(&listed(page.words, &facts))) } }
            @if is_drawn {
                (line_of_runs(page.words, &[Drawn::Measure(LineMeasure::new(laid, number_of(page, measure)))], QUARTER))
            }
            @for (index, tip) in tips { (tip_part(page, *index, tip)) }
        }
    })
}

/// How long a quarter note is drawn on the page, in CSS pixels.
pub(crate) const QUARTER: f64 = 52.0;

/// The tips that begin at each measure, with their indices, as they stand there.
pub(crate) type TipsByMeasure<'a> = BTreeMap<usize, Vec<(usize, &'a Tip)>>;

pub(crate) fn tips_by_measure<'a>(page: &Page<'a>) -> TipsByMeasure<'a> {
    let mut all = TipsByMeasure::new();
    for (index, tip) in page.guide.tips.iter().enumerate() {
        let here = all.entry(tip.spot.from.measure).or_default();
        here.push((index, tip));
    }
    for here in all.values_mut() {
        here.sort_by_key(|(_, tip)| (tip.spot.from.at, tip.spot.to));
    }
    all
}

/// Gives the word for a topic.
#[must_use]
pub(crate) fn topic_word(words: &Words, topic: Topic) -> &str {
    words.get(match topic {
        Topic::Bow => Word::Bow,
        Topic::LeftHand => Word::LeftHand,
        Topic::Pluck => Word::Pluck,
        Topic::Sound => Word::Sound,
        Topic::Count => Word::CountTopic,
        Topic::Listen => Word::Listen,
        Topic::GetReady => Word::GetReady,
        Topic::Note => Word::Note,
    })
}
