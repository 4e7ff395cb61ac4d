//! The guide as a page to read and to print.

use crate::strip::glance;
use crate::words::{capital, colon, typed};
use crate::{
    Page, Word, counts_text, measures_text, meter_text, number_of, order_text, spot_text, walk,
};
use cueleaf_guide::media_count;
use cueleaf_plan::counts_of;
use maud::{Markup, html};

/// Shows the whole guide: what a page holds before any script runs.
///
/// The parts that the player turns into rooms carry `data-room`; what is only
/// for readers without scripts has the class `still`, what works only with
/// them the class `live`.
#[must_use]
pub fn guide_body(page: &Page<'_>) -> Markup {
    html! {
        p id="trouble" role="alert" hidden { (page.words.get(Word::Trouble)) }
        div data-room="walk" { (walk_room(page)) }
        div data-room="todo" { (todo_room(page)) }
    }
}

/// Shows what is read in order: head, sections with their tips, order of play,
/// counts of the uneven measures.
#[must_use]
pub fn walk_room(page: &Page<'_>) -> Markup {
    html! {
        (head(page))
        (glance(page))
        @if page.guide.road_map.measures.is_empty() {
            p { (page.words.get(Word::NoMeasures)) }
        }
        (walk(page))
        (order(page))
        (uneven_counts(page))
    }
}

/// Shows the to-do list and the lines of caution.
#[must_use]
pub fn todo_room(page: &Page<'_>) -> Markup {
    html! {
        (todos(page))
        p id="not-kept" class="quiet live" hidden { (page.words.get(Word::NotKept)) }
        (care(page))
    }
}

/// Shows title, part, composer and the teacher's word.
#[must_use]
pub fn head(page: &Page<'_>) -> Markup {
    let guide = page.guide;
    html! {
        header {
            h1 { (typed(&guide.title)) }
            @if let Some(part) = page.part_name() { p class="part" { (typed(part)) } }
            @if !guide.composer.is_empty() { p class="composer" { (typed(&guide.composer)) } }
            @if !guide.word.trim().is_empty() {
                div class="word" {
                    p class="quiet" { (page.words.get(Word::TeacherSays)) }
                    @for paragraph in guide.word.lines().filter(|line| !line.trim().is_empty()) {
                        p { (typed(paragraph)) }
                    }
                }
            }
            p class="still" {
                (page.words.get(Word::HowToOpen))
                @if let Some(link) = page.link {
                    " " a href=(link) rel="noopener noreferrer" { (page.words.get(by_link(page))) }
                }
            }
        }
    }
}

/// What is said about the link, which has no room for photos and voice notes.
fn by_link(page: &Page<'_>) -> Word {
    match media_count(page.guide) {
        (0, 0) => Word::OpenByLink,
        _ => Word::OpenBareByLink,
    }
}

pub(crate) fn order(page: &Page<'_>) -> Markup {
    html! {
        @if let Some(order) = order_text(page) {
            section class="order" {
                h2 { (page.words.get(Word::OrderOfPlay)) }
                p { (capital(&page.words.fill(Word::Several, &[&order]))) }
            }
        }
    }
}

/// Shows how every uneven measure is counted: measures that are counted alike
/// stand together.
#[must_use]
pub fn uneven_counts(page: &Page<'_>) -> Markup {
    let groups = uneven_groups(page);
    html! {
        @if !groups.is_empty() {
            section class="counts" {
                h2 { (page.words.get(Word::UnevenCounts)) }
                p class="quiet" { (page.words.get(Word::UnevenHelp)) }
                ul {
                    @for spans in groups {
                        @if let Some((first, _)) = spans.first() && let Some(laid) = page.plan.layout().get(*first) {
                            li {
                                p {
                                    (capital(&spans_text(page, &spans))) (colon(page.words)) " "
                                    (meter_text(page.words, laid)) (colon(page.words)) " "
                                    b { (counts_text(laid, &counts_of(laid), " | ")) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Gathers the uneven measures that are counted alike, in order of their first,
/// as stretches of measures.
fn uneven_groups(page: &Page<'_>) -> Vec<Vec<(usize, usize)>> {
    let layout = page.plan.layout();
    let mut groups: Vec<Vec<(usize, usize)>> = Vec::new();
    for (index, laid) in layout.measures().iter().enumerate() {
        if !laid.beats.is_uneven() {
            continue;
        }
        let same = |spans: &Vec<(usize, usize)>| {
            let first = spans.first().and_then(|(first, _)| layout.get(*first));
            first.is_some_and(|first| {
                first.meter == laid.meter
                    && first.grouping == laid.grouping
                    && counts_of(first) == counts_of(laid)
            })
        };
        match groups.iter_mut().find(|spans| same(spans)) {
            Some(spans) => match spans.last_mut() {
                Some((_, last)) if *last + 1 == index => *last = index,
                _ => spans.push((index, index)),
            },
            None => groups.push(vec![(index, index)]),
        }
    }
    groups
}

/// Writes stretches of measures: "measures 12–15, 20".
fn spans_text(page: &Page<'_>, spans: &[(usize, usize)]) -> String {
    if let [(first, last)] = spans {
        return measures_text(page, *first, *last);
    }
    let texts: Vec<String> = spans
        .iter()
        .map(|(first, last)| {
            let numbers = [number_of(page, *first), number_of(page, *last)];
            if first == last {
                numbers[0].to_string()
            } else {
                page.words
                    .fill(Word::MeasuresShort, &[&numbers[0], &numbers[1]])
            }
        })
        .collect();
    page.words.fill(Word::Several, &[&texts.join(", ")])
}

/// Shows the list of what the student is asked to do.
#[must_use]
pub fn todos(page: &Page<'_>) -> Markup {
    html! {
        section class="todos" {
            h2 { (page.words.get(Word::ToDo)) }
            @if page.guide.todos.is_empty() {
                p { (page.words.get(Word::NoTodos)) }
            } @else {
                ul {
                    @for todo in &page.guide.todos {
                        li {
                            label {
                                input type="checkbox" data-do="tick" data-value=(todo.id);
                                span {
                                    (typed(&todo.text))
                                    @if let Some(spot) = &todo.spot {
                                        " " span class="place" { (spot_text(page, spot)) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Shows the lines of caution.
#[must_use]
pub fn care(page: &Page<'_>) -> Markup {
    html! {
        section {
            h2 { (page.words.get(Word::Care)) }
            p {
                (page.words.get(Word::CareBreaks)) " "
                (page.words.get(Word::CareHurt)) " "
                (page.words.get(Word::CareEars))
            }
        }
    }
}
