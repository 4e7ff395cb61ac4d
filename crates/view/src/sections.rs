//! The sections of a piece, and the walk through them.

use crate::facts::{Above, facts, tempo_words};
use crate::strip::stands;
use crate::tip::tip_part;
use crate::words::{capital, listed, sentence};
use crate::{LineMeasure, Page, Width, Word, Words, line, measure_text, number_of};
use cueleaf_guide::{Tip, Topic};
use maud::{Markup, html};

/// Measures that belong together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// The index of its first measure.
    pub first: usize,
    /// The index of its last measure.
    pub last: usize,
}

/// Cuts a piece into its sections: at every section name and movement.
#[must_use]
pub fn sections(page: &Page<'_>) -> Vec<Section> {
    let measures = page.measures();
    let mut found: Vec<Section> = Vec::new();
    for (index, own) in measures.iter().enumerate() {
        match found.last_mut() {
            Some(section) if own.section.is_none() && own.movement.is_none() => {
                section.last = index
            }
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
    let name = own
        .and_then(|own| own.section.as_deref())
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
    html! {
        @for section in sections(page) { (section_part(page, &section)) }
    }
}

fn section_part(page: &Page<'_>, section: &Section) -> Markup {
    html! {
        section class="section" id={ "s" (section.first) } {
            h2 { (section_name(page, section)) }
            p {
                @if let Some(words) = tempo_words(page, section.first) { span class="quiet" { (words) } " " }
                (stands(page, section))
            }
            @let entries: Vec<Markup> = (section.first..=section.last).filter_map(|measure| entry(page, measure, section)).collect();
            @if !entries.is_empty() {
                ol class="entries" { @for entry in entries { (entry) } }
            }
        }
    }
}

/// Shows one measure with its facts and tips, when it has any.
fn entry(page: &Page<'_>, measure: usize, section: &Section) -> Option<Markup> {
    let above = if measure == section.first {
        Above::Head
    } else {
        Above::Nothing
    };
    let facts = facts(page, measure, above);
    let tips = tips_at(page, measure);
    if facts.is_empty() && tips.is_empty() {
        return None;
    }
    let own = page.measures().get(measure)?;
    let laid = page.plan.layout().get(measure)?;
    let regrouped = own.meter.is_some() || own.groups.is_some();
    Some(html! {
        li id={ "m" (measure) } {
            h3 class="at" { (capital(&measure_text(page, measure))) }
            @if !facts.is_empty() { p class="facts" { (sentence(&listed(page.words, &facts))) } }
            @if regrouped && laid.beats.is_uneven() {
                (line(page.words, &[LineMeasure::new(laid, number_of(page, measure))], Width::Quarter(QUARTER)))
            }
            @for (index, tip) in tips { (tip_part(page, index, tip)) }
        }
    })
}

/// How long a quarter note is drawn on the page, in CSS pixels.
pub(crate) const QUARTER: f64 = 52.0;

fn tips_at<'a>(page: &Page<'a>, measure: usize) -> Vec<(usize, &'a Tip)> {
    let all = page.guide.tips.iter().enumerate();
    let mut here: Vec<(usize, &Tip)> = all
        .filter(|(_, tip)| tip.spot.from.measure == measure)
        .collect();
    here.sort_by_key(|(_, tip)| (tip.spot.from.at, tip.spot.to));
    here
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
