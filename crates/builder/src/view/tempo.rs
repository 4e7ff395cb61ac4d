//! The tempo at a beat of the first chosen measure, to be edited.

use super::field;
use super::printed::tempo_until;
use crate::edit::tempo::{Manner, TempoFields, UNITS, fields_of, mark_at};
use crate::msg::Fact;
use crate::places::beat_name;
use crate::state::{Desk, Field, Folded};
use cueleaf_guide::{Measure, NamedRange, Place, TempoMark, ranges_of};
use maud::{Markup, html};

pub(super) fn tempo(desk: &Desk, first: usize, measure: &Measure) -> Markup {
    let layout = desk.derived.plan.layout();
    let place = desk.tempo_place();
    let mut fields: TempoFields = fields_of(desk.guide(), &desk.derived.plan, place);
    desk.tempo_wish.fill(&mut fields);
    let mut units: Vec<(String, String)> = UNITS
        .iter()
        .map(|unit| ((*unit).to_owned(), (*unit).to_owned()))
        .collect();
    if !units.iter().any(|(unit, _)| *unit == fields.unit) {
        units.push((fields.unit.clone(), fields.unit.clone()));
    }
    let in_force = layout
        .get(first)
        .and_then(|laid| laid.start.plus(place.at).ok())
        .map(|start| {
            let quarters = desk.derived.plan.tempo().quarters_per_minute_at(start);
            let unit = fields
                .unit
                .parse::<cueleaf_time::NoteValue>()
                .map_or(1.0, |unit| unit.span().quarters().to_f64());
            ((quarters / unit * 10.0).round() / 10.0).to_string()
        });
    let manner = match fields.manner {
        Manner::AtOnce => "at-once",
        Manner::Gradual => "gradual",
    };
    let manners = field::pairs(&[("at-once", "at once"), ("gradual", "little by little")]);
    html! {
        div class="pair first-longer" {
            (field::fact_choice(Fact::TempoUnit, "Tempo counts", &fields.unit, &units))
            (field::fact(desk, Fact::TempoNumber, "How many a minute", &fields.number, &in_force.unwrap_or_default()))
        }
        (field::fact(desk, Fact::TempoWords, "Tempo words", &fields.words, "Lively"))
        (ranges(desk, &fields.words))
        div class="pair" {
            (field::fact_choice(Fact::TempoManner, "The tempo comes", manner, &manners))
            (beat(desk, place))
        }
        @if mark_at(desk.guide(), place).is_some_and(|mark| mark.until.is_some()) { (tempo_until(desk)) }
        (other_marks(desk, first, measure))
    }
}

/// What published tables say about the words; the number stays the teacher's.
fn ranges(desk: &Desk, words: &str) -> Markup {
    let ranges = ranges_of(words);
    let said = |range: &NamedRange| match range.to {
        Some(to) => format!("{}–{to} ({})", range.from, range.source),
        None => format!("{} and more ({})", range.from, range.source),
    };
    html! {
        @if !ranges.is_empty() {
            details id="tempo-ranges" class="hint" open[desk.is_open("tempo-ranges", Folded::Yes)] {
                summary { "What tables give for this word" }
                p {
                    "Beats a minute: " (ranges.iter().map(said).collect::<Vec<_>>().join("; "))
                    ". They disagree, so the number is yours to choose."
                }
            }
        }
    }
}

fn beat(desk: &Desk, place: Place) -> Markup {
    let layout = desk.derived.plan.layout();
    let own = beat_name(layout, place).unwrap_or_else(|| "1".to_owned());
    let (value, why) = field::shown(desk.drafts.get(&Field::TempoBeat), &own);
    html! {
        div class="field" {
            label for="tempo-beat" { "On beat" }
            input id="tempo-beat" type="text" value=(value) data-do="tempo-beat" autocomplete="off" spellcheck="false"
                aria-invalid=[why.map(|_| "true")] aria-describedby=[why.map(|_| "tempo-beat-problem")];
            (field::problem("tempo-beat-problem", why))
        }
    }
}

/// The other marks of the measure, each a tap away from the fields.
fn other_marks(desk: &Desk, index: usize, measure: &Measure) -> Markup {
    let layout = desk.derived.plan.layout();
    let others = measure
        .tempo
        .iter()
        .enumerate()
        .filter(|(_, mark)| mark.at != desk.tempo_at);
    html! {
        @for (which, mark) in others {
            @let beat = beat_name(layout, Place { measure: index, at: mark.at }).unwrap_or_default();
            p class="inside" {
                "On beat " (beat) ": " (said(mark)) " "
                button id={ "edit-tempo-" (which) } type="button" class="quiet" data-do="tempo-beat" data-value=(beat)
                    aria-label={ "Edit the tempo on beat " (beat) } { "Edit" }
                button id={ "remove-tempo-" (which) } type="button" class="quiet" data-do="remove-tempo" data-value={ (index) "," (which) }
                    aria-label={ "Remove the tempo on beat " (beat) } { "Remove" }
            }
        }
    }
}

/// Says a tempo mark: "rit. to quarter = 60".
fn said(mark: &TempoMark) -> String {
    let mut pieces = Vec::new();
    if !mark.words.is_empty() {
        pieces.push(mark.words.clone());
    } else if mark.until.is_some() {
        pieces.push("little by little".to_owned());
    }
    if let Some(tempo) = mark.tempo {
        let to = if mark.until.is_some() { "to " } else { "" };
        pieces.push(format!("{to}{}", tempo.said()));
    }
    pieces.extend(mark.back.map(|back| back.words().to_owned()));
    if let Some(same) = mark.same_beat {
        pieces.push(same.to_string());
    }
    pieces.join(" ")
}
