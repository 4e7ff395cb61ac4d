//! The facts of the chosen measures, to be edited.

use super::{Piece, field, findings, marks, place, printed, tempo, tip_editor};
use crate::edit::Reach;
use crate::msg::Fact;
use crate::phrases::Phrases;
use crate::state::{Desk, Field};
use cueleaf_guide::{CountStyle, Finding, Laid, Measure, Tip, length_words};
use cueleaf_time::{BeatChoice, Grouping, Key, Meter};
use cueleaf_view::{Page, key_text};
use maud::{Markup, html};

/// The places of the facts in a row: those above the fields, and those among them. Each is a piece
/// of its own, so that an edit touches only what it changes.
const ABOVE: [&str; 4] = ["facts-head", "facts-found", "facts-tips", "facts-reach"];
const FIELDS: [&str; 8] = [
    "facts-section",
    "facts-meter",
    "facts-tempo",
    "facts-names",
    "facts-counting",
    "facts-printed",
    "facts-marks",
    "facts-shape",
];

/// The chosen measures, by the first of them.
fn chosen(desk: &Desk) -> Option<(usize, &Measure, &Laid)> {
    let first = desk.selection.first();
    let measure = desk.guide().road_map.measures.get(first)?;
    Some((first, measure, desk.derived.plan.layout().get(first)?))
}

/// Draws the places of the facts.
pub(super) fn places(desk: &Desk) -> Markup {
    html! {
        @if chosen(desk).is_some() {
            div id="in-facts" {
                div id="facts-in" class="facts" {
                    @for key in ABOVE { (place(key)) }
                    div class="fields" { @for key in FIELDS { (place(key)) } }
                }
            }
        }
    }
}

/// Draws what stands in the places.
pub(super) fn pieces(desk: &Desk, phrases: &Phrases, pieces: &mut Vec<Piece>) {
    let Some((first, measure, laid)) = chosen(desk) else {
        return;
    };
    let last = desk.selection.last();
    let above = [
        head(desk, first, last),
        found(desk, first, last),
        tips_here(desk, phrases, first, last),
        reach(desk, first, last),
    ];
    let fields = [
        section(desk, measure),
        meter(desk, measure, laid),
        tempo::tempo(desk, first, measure),
        names(desk, first, measure),
        counting(desk, measure, laid),
        printed::printed(desk, first, last),
        marks::marks(desk, first, last),
        shape(measure, laid, first == last),
    ];
    let all = ABOVE.into_iter().zip(above);
    let all = all.chain(FIELDS.into_iter().zip(fields));
    pieces.extend(all.map(|(key, markup)| Piece::new(key, markup)));
}

fn head(desk: &Desk, first: usize, last: usize) -> Markup {
    html! {
        div class="facts-head" {
            h2 id="facts-title" tabindex="-1" {
                @if first == last { "Measure " } @else { "Measures " } (desk.derived.stretch(first, last))
            }
            button id="close-facts" type="button" class="narrow-only" data-do="toggle-facts" { "Done" }
        }
    }
}

fn found(desk: &Desk, first: usize, last: usize) -> Markup {
    let here = |finding: &&Finding| {
        let measure = finding.place.measure;
        measure.is_some_and(|own| (first..=last).contains(&own))
    };
    let all: Vec<&Finding> = desk
        .derived
        .findings
        .iter()
        .chain(&desk.from_file)
        .filter(here)
        .take(5)
        .collect();
    html! {
        @if !all.is_empty() {
            ul class="found-here" aria-label="To look at here" {
                @for finding in all {
                    li class=(findings::class(finding.severity)) { (findings::words(finding)) }
                }
            }
        }
    }
}

fn tips_here(desk: &Desk, phrases: &Phrases, first: usize, last: usize) -> Markup {
    let here = |tip: &&Tip| tip.spot.from.measure <= last && tip.spot.last_measure() >= first;
    let order = crate::edit::tips::in_order(desk.guide());
    let tips: Vec<&Tip> = order
        .iter()
        .filter_map(|index| desk.guide().tips.get(*index))
        .filter(here)
        .collect();
    html! {
        section class="tips-here" aria-label="Tips here" {
            @for tip in &tips { (tip_editor::tip(desk, phrases, tip)) }
            @if tips.is_empty() { p class="hint" { "No tips here yet." } }
        }
    }
}

fn reach(desk: &Desk, first: usize, last: usize) -> Markup {
    let now = desk.reach();
    let chosen_words = if first == last {
        "this measure only"
    } else {
        "these measures only"
    };
    let radio = |reach: Reach, name: &str, words: &str| {
        html! {
            label class="check" for={ "reach-" (name) } {
                input id={ "reach-" (name) } type="radio" name="reach" data-do="reach" data-value=(name) autocomplete="off"
                    checked[now == reach];
                (words)
            }
        }
    };
    html! {
        fieldset class="reach" {
            legend { "Meter, tempo, key and counting change for" }
            (radio(Reach::Onward, "onward", "all from here to the next change"))
            (radio(Reach::Chosen, "chosen", chosen_words))
        }
    }
}

/// The usual meters, offered while typing.
const METERS: [&str; 12] = [
    "2/4", "3/4", "4/4", "5/4", "2/2", "3/8", "6/8", "9/8", "12/8", "5/8", "7/8", "8/8",
];

fn meter(desk: &Desk, measure: &Measure, laid: &Laid) -> Markup {
    let placeholder = laid.meter.to_string();
    let own = measure
        .meter
        .as_ref()
        .map_or_else(String::new, Meter::to_string);
    let value = match desk.drafts.get(&Field::Fact(Fact::Meter)) {
        Some(draft) => draft.text.clone(),
        None => own,
    };
    let why = desk
        .drafts
        .get(&Field::Fact(Fact::Meter))
        .map(|draft| draft.problem.as_str());
    html! {
        div class="pair" {
            div class="field" {
                label for="fact-meter" { "Meter" }
                input id="fact-meter" type="text" value=(value) placeholder=(placeholder) list="meters"
                    data-do="fact" data-value="meter" autocomplete="off" spellcheck="false"
                    aria-invalid=[why.map(|_| "true")]
                    aria-describedby=[why.map(|_| "fact-meter-problem")];
                datalist id="meters" { @for own in METERS { option value=(own) {} } }
                (field::problem("fact-meter-problem", why))
            }
            (field::fact(desk, Fact::Groups, "Groups", &laid.grouping.to_string(), ""))
        }
        (group_choices(laid))
    }
}

/// For meters of unequal groups the usual orders are one tap away.
fn group_choices(laid: &Laid) -> Markup {
    let choices = usual_groups(&laid.meter);
    html! {
        @if !choices.is_empty() {
            div class="choices" role="group" aria-label="Groups of this meter" {
                @for (index, groups) in choices.iter().enumerate() {
                    button id={ "groups-" (index) } type="button" data-do="groups" data-value=(groups)
                        aria-pressed=(*groups == laid.grouping) { (groups) }
                }
            }
        }
    }
}

/// Gives the usual groupings of an uneven meter.
///
/// # Source
/// 5 and 7: Gehrkens, Music Notation and Terminology (1914), §102, and
/// Integrated Musicianship, lesson 22a; 8 and beyond: all orders of twos and
/// threes with both, up to six of them, our decision.
fn usual_groups(meter: &Meter) -> Vec<Grouping> {
    let units = meter.finest_units();
    let [part] = meter.parts() else {
        return Vec::new();
    };
    let uneven =
        matches!(units, 5 | 7 | 11) || (part.denominator() >= 8 && matches!(units, 8 | 10));
    if !uneven {
        return Vec::new();
    }
    let mut found = Vec::new();
    fill(units, &mut Vec::new(), &mut found);
    found
        .into_iter()
        .filter(|groups| groups.contains(&3) && groups.contains(&2))
        .filter_map(|groups| Grouping::new(groups).ok())
        .take(6)
        .collect()
}

fn fill(left: u16, before: &mut Vec<u16>, found: &mut Vec<Vec<u16>>) {
    if left == 0 {
        found.push(before.clone());
    }
    for group in [2, 3] {
        if left >= group {
            before.push(group);
            fill(left - group, before, found);
            before.pop();
        }
    }
}

/// What a teacher says first of a place.
fn section(desk: &Desk, measure: &Measure) -> Markup {
    let section = measure.section.as_deref().unwrap_or("");
    field::fact(
        desk,
        Fact::Section,
        "A section starts here",
        section,
        "none",
    )
}

fn names(desk: &Desk, first: usize, measure: &Measure) -> Markup {
    let words = Page::words_for(desk.guide());
    let mut keys = vec![(String::new(), "as before".to_owned())];
    keys.extend((-7..=7).filter_map(|fifths| {
        let key = Key::from_fifths(fifths).ok()?;
        Some((fifths.to_string(), key_text(&words, key)))
    }));
    let key = measure
        .key
        .map_or_else(String::new, |key| key.fifths().to_string());
    let mark = measure.mark.as_deref().unwrap_or("");
    html! {
        div class="pair" {
            (field::fact(desk, Fact::Mark, "Rehearsal mark", mark, "none"))
            (field::fact_choice(Fact::Key, "Key", &key, &keys))
        }
        div class="pair" {
            (field::fact(desk, Fact::Label, "Printed number", &measure.label, "none"))
            div class="field" {
                span class="label" { "Numbers after it" }
                button id="number-on" type="button" data-do="number-on"
                    aria-label={ "Count on from " (desk.derived.name(first)) } { "Count on" }
            }
        }
    }
}

fn counting(desk: &Desk, measure: &Measure, laid: &Laid) -> Markup {
    let beat = match laid.choice {
        BeatChoice::Usual => "usual",
        BeatChoice::Big => "big",
        BeatChoice::Small => "small",
    };
    let beats = field::pairs(&[
        ("usual", "as usual"),
        ("big", "in the big beat"),
        ("small", "in the small beat"),
    ]);
    let own = measure.count.and_then(|count| count.style);
    let style = match own {
        Some(CountStyle::Through) => "through",
        Some(CountStyle::EachGroup) => "each-group",
        None if laid.counts_each_group => "each-group",
        None => match desk.guide().settings.count_style {
            CountStyle::Through => "through",
            CountStyle::EachGroup if laid.beats.is_uneven() => "each-group",
            CountStyle::EachGroup => "through",
        },
    };
    let styles = field::pairs(&[("each-group", "by group"), ("through", "through")]);
    let counts: Vec<String> = cueleaf_plan::counts_of(laid)
        .iter()
        .map(|count| count.say.to_string())
        .collect();
    html! {
        div class="pair" {
            (field::fact_choice(Fact::CountBeat, "Counted", beat, &beats))
            (field::fact_choice(Fact::CountStyle, "The numbers go", style, &styles))
        }
        p class="counts" { "The student counts " b { (counts.join(" ")) } }
    }
}

fn shape(measure: &Measure, laid: &Laid, alone: bool) -> Markup {
    html! {
        @if let Some(length) = measure.length {
            p class="inside" {
                @if measure.pickup { "A pickup: " }
                "it lasts " (length_words(length)) " instead of the full " (laid.meter) ". "
                button id="make-full" type="button" class="quiet" data-do="make-full" { "Make it full" }
            }
        }
        div class="choices" {
            button id="insert-measure" type="button" class="quiet" data-do="insert-measure" { "Insert a measure after" }
            button id="duplicate-measures" type="button" class="quiet" data-do="duplicate-measures" {
                @if alone { "Copy it after itself" } @else { "Copy them after themselves" }
            }
            button id="shift-earlier" type="button" class="quiet" data-do="shift-measures" data-value="earlier" { "Move earlier" }
            button id="shift-later" type="button" class="quiet" data-do="shift-measures" data-value="later" { "Move later" }
            button id="remove-measures" type="button" class="quiet" data-do="remove-measures" {
                @if alone { "Remove this measure" } @else { "Remove these measures" }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_groups_are_offered_for_uneven_meters_only() {
        let offered = |meter: &str| -> Vec<String> {
            let meter: Meter = meter.parse().unwrap();
            usual_groups(&meter)
                .iter()
                .map(Grouping::to_string)
                .collect()
        };
        assert_eq!(offered("5/8"), ["2+3", "3+2"]);
        assert_eq!(offered("7/8"), ["2+2+3", "2+3+2", "3+2+2"]);
        assert_eq!(offered("8/8"), ["2+3+3", "3+2+3", "3+3+2"]);
        assert!(
            offered("4/4").is_empty() && offered("6/8").is_empty() && offered("8/4").is_empty()
        );
    }
}
