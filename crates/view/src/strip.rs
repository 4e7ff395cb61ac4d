//! The whole piece at a glance: a strip of its sections, and a list that leads to them.

use crate::facts::tempo_words;
use crate::tenths::rounded;
use crate::words::capital;
use crate::{
    Page, Section, SectionPace, Word, key_text, measures_text, meter_text, pace_of, section_name,
    sections, tempo_sign, tempo_text,
};
use cueleaf_time::Tempo;
use maud::{Markup, html};

/// How long the strip is, in its own units; it is 14 high.
const LENGTH: f64 = 360.0;

/// Draws the sections of a piece on one strip, each as long as its beats, with a small line at
/// every change of meter; what goes slower than the plan is lower by as much. Nothing for a piece
/// without measures.
///
/// The path with the id `here-now` is empty; [`strip_mark`] gives what it shows.
#[must_use]
pub fn strip(page: &Page<'_>, paces: &[SectionPace]) -> Markup {
    let sections = html! {
        @for section in sections(page) {
            @let [from, width] = stretch(page, &section);
            @let high = f64::from(pace_of(paces, section.first)) * 0.08;
            rect x=(rounded(from)) width=(rounded(width)) y=(rounded(11.0 - high)) height=(rounded(high)) {}
        }
    };
    drawn(page, &sections, &html! { path id="here-now" {} })
}

/// Gives where a section begins on the strip, and how long it is.
fn stretch(page: &Page<'_>, section: &Section) -> [f64; 2] {
    let from = x(page, section.first);
    [from, (x(page, section.last + 1) - from - 1.0).max(1.0)]
}

/// Puts sections, changes of meter and a mark into a strip.
fn drawn(page: &Page<'_>, sections: &Markup, mark: &Markup) -> Markup {
    let measures = page.plan.layout().measures();
    let changes = measures
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| matches!(pair, [one, next] if one.meter != next.meter))
        .map(|(index, _)| index + 1);
    html! {
        @if !measures.is_empty() {
            svg class="strip" aria-hidden="true" viewBox="0,0,360,14" preserveAspectRatio="none" {
                (sections)
                path d={ @for index in changes { "M" (rounded(x(page, index))) ",3v8" } } {}
                (mark)
            }
        }
    }
}

/// Gives the path of the mark that tells where in the strip a measure stands.
#[must_use]
pub fn strip_mark(page: &Page<'_>, measure: usize) -> String {
    html! { "M" (rounded(x(page, measure))) " 0v14" }.into_string()
}

/// Gives where a measure begins on the strip, or the end of the last one.
fn x(page: &Page<'_>, measure: usize) -> f64 {
    let layout = page.plan.layout();
    let start = layout.get(measure).map_or(layout.end(), |laid| laid.start);
    let all = layout.end().quarters().to_f64();
    if all > 0.0 {
        LENGTH * start.quarters().to_f64() / all
    } else {
        0.0
    }
}

/// Shows the sections with tempo, meter and key, each leading to its place below; nothing
/// where there is only one.
#[must_use]
pub(crate) fn glance(page: &Page<'_>) -> Markup {
    let all = sections(page);
    html! {
        @if all.len() > 1 {
            nav class="glance" aria-label=(page.words.get(Word::AtAGlance)) {
                (drawn(page, &at_full_pace(page, &all), &html! {}))
                ol {
                    @for section in &all {
                        li {
                            a href={ "#s" (section.first) } { (section_name(page, section)) }
                            " " span class="quiet" { (in_short(page, section)) }
                        }
                    }
                }
            }
        }
    }
}

/// Draws sections that all go as planned, at once.
fn at_full_pace(page: &Page<'_>, sections: &[Section]) -> Markup {
    html! {
        path class="sections" d={
            @for section in sections {
                @let [from, width] = stretch(page, section).map(rounded);
                "M" (from) ",3h" (width) "v8h-" (width) "z"
            }
        } {}
    }
}

/// Writes tempo and meter of a section: "quarter = 66, 4/4".
fn in_short(page: &Page<'_>, section: &Section) -> String {
    let laid = page.plan.layout().get(section.first);
    let tempo = tempo_at(page, section.first).map(|tempo| tempo_text(page.words, tempo));
    let meter = laid.map(|laid| meter_text(page.words, laid));
    let both: Vec<String> = [tempo, meter].into_iter().flatten().collect();
    both.join(", ")
}

/// Gives the tempo that rules when a measure begins.
fn tempo_at(page: &Page<'_>, measure: usize) -> Option<Tempo> {
    let laid = page.plan.layout().get(measure)?;
    let segments = page.plan.tempo().segments();
    let next = segments.partition_point(|segment| segment.start <= laid.start);
    Some(segments.get(next.saturating_sub(1))?.from)
}

/// Shows what stands at the head of a section: its measures, tempo in words and as a number,
/// meter and key.
pub(crate) fn stands(page: &Page<'_>, section: &Section) -> Markup {
    let laid = page.plan.layout().get(section.first);
    html! {
        span class="stands" {
            span { (capital(&measures_text(page, section.first, section.last))) }
            @if let Some(words) = tempo_words(page, section.first) { " " span { (words) } }
            @if let Some(tempo) = tempo_at(page, section.first) { " " (tempo_sign(page.words, tempo)) }
            @if let Some(laid) = laid {
                " " span { (meter_text(page.words, laid)) }
                @if let Some(key) = laid.key { " " span { (key_text(page.words, key)) } }
            }
        }
    }
}
