//! Labelled fields, made alike everywhere.

use crate::msg::Fact;
use crate::state::{Desk, Draft, Field};
use maud::{Markup, html};

/// A problem under its field; the field refers to it by the id.
pub(super) fn problem(id: &str, text: Option<&str>) -> Markup {
    html! {
        @if let Some(text) = text {
            p class="problem" id=(id) role="alert" { (text) }
        }
    }
}

/// A one-line field for a fact of the chosen measures.
pub(super) fn fact(desk: &Desk, fact: Fact, label: &str, value: &str, placeholder: &str) -> Markup {
    let name = fact_name(fact);
    let draft = desk.drafts.get(&Field::Fact(fact));
    let shown = draft.map_or(value, |draft| draft.text.as_str());
    let why = draft.map(|draft| draft.problem.as_str());
    html! {
        div class="field" {
            label for={ "fact-" (name) } { (label) }
            input id={ "fact-" (name) } type="text" value=(shown) placeholder=(placeholder)
                data-do="fact" data-value=(name) autocomplete="off" spellcheck="false"
                aria-invalid=[why.map(|_| "true")]
                aria-describedby=[why.map(|_| format!("fact-{name}-problem"))];
            (problem(&format!("fact-{name}-problem"), why))
        }
    }
}

/// A choice for a fact of the chosen measures: pairs of value and words.
pub(super) fn fact_choice(
    fact: Fact,
    label: &str,
    value: &str,
    choices: &[(String, String)],
) -> Markup {
    let name = fact_name(fact);
    html! {
        div class="field" {
            label for={ "fact-" (name) } { (label) }
            select id={ "fact-" (name) } data-do="fact" data-value=(name) autocomplete="off" {
                @for (own, words) in choices {
                    option value=(own) selected[own == value] { (words) }
                }
            }
        }
    }
}

/// Gives the text that a field shows, and what is wrong with it.
pub(super) fn shown<'a>(draft: Option<&'a Draft>, value: &'a str) -> (&'a str, Option<&'a str>) {
    match draft {
        Some(draft) => (&draft.text, Some(&draft.problem)),
        None => (value, None),
    }
}

/// Turns fixed pairs into choices.
pub(super) fn pairs(choices: &[(&str, &str)]) -> Vec<(String, String)> {
    choices
        .iter()
        .map(|(value, words)| ((*value).to_owned(), (*words).to_owned()))
        .collect()
}

/// Gives the name of a fact in markup.
const fn fact_name(fact: Fact) -> &'static str {
    match fact {
        Fact::Meter => "meter",
        Fact::Groups => "groups",
        Fact::TempoWords => "tempo-words",
        Fact::TempoUnit => "tempo-unit",
        Fact::TempoNumber => "tempo-number",
        Fact::TempoManner => "tempo-manner",
        Fact::Section => "section",
        Fact::Mark => "mark",
        Fact::Label => "label",
        Fact::Key => "key",
        Fact::CountBeat => "count-beat",
        Fact::CountStyle => "count-style",
    }
}
