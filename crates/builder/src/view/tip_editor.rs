//! One tip: to read, or open for editing.

use super::{field, findings, phrases, tip_media, tip_shows};
use crate::edit::tips::{importance_name, topic_name};
use crate::phrases::{MAX_TIP, Phrases};
use crate::places::write_spot;
use crate::state::{Desk, Field, Room};
use cueleaf_guide::{Importance, MAX_CUE, Tip, Topic};
use cueleaf_plan::cue_text;
use maud::{Markup, html};

pub(super) fn tip(desk: &Desk, own: &Phrases, tip: &Tip) -> Markup {
    if desk.open_tip.as_ref() == Some(&tip.id) {
        editor(desk, own, tip)
    } else {
        closed(desk, tip)
    }
}

fn place(desk: &Desk, tip: &Tip) -> String {
    write_spot(desk.guide(), desk.derived.plan.layout(), &tip.spot)
}

fn closed(desk: &Desk, tip: &Tip) -> Markup {
    let place = place(desk, tip);
    let parts: Vec<&str> = tip
        .parts
        .iter()
        .filter_map(|id| desk.guide().part(id).map(|part| part.name.as_str()))
        .collect();
    html! {
        article id={ "tip-" (tip.id) } class="tip" aria-label={ "Tip at " (place) } {
            p class="where" {
                @if desk.room == Room::Tips {
                    button type="button" class="link" data-do="show-tip" data-value=(tip.id)
                        aria-label={ "Show " (place) " in the road map" } { (place) }
                } @else { b { (place) } }
                " " span class="topic" { (topic_name(tip.topic)) }
                @if !tip.importance.is_usual() { " " span class=(tip.importance.code()) { (importance_name(tip.importance)) } }
                @if desk.guide().parts.len() > 1 && !parts.is_empty() { " " span class="for" { "for " (parts.join(", ")) } }
            }
            p class="text" { @if tip.text.trim().is_empty() { i { "says nothing yet" } } @else { (tip.text) } }
            (tip_shows::shown(desk, tip))
            (tip_media::named(tip))
            (findings::of_tip(desk, tip))
            p class="cue-line" { "While playing: " b { (cue_text(tip)) } }
            div class="tip-do" {
                button id={ "edit-" (tip.id) } type="button" data-do="open-tip" data-value=(tip.id)
                    aria-label={ "Edit the tip at " (place) } { "Edit" }
                button id={ "drop-" (tip.id) } type="button" class="quiet" data-do="remove-tip" data-value=(tip.id)
                    aria-label={ "Remove the tip at " (place) } { "Remove" }
            }
        }
    }
}

fn editor(desk: &Desk, kept: &Phrases, tip: &Tip) -> Markup {
    let id = &tip.id;
    let own = place(desk, tip);
    let draft = desk.drafts.get(&Field::TipPlace(id.clone()));
    let (shown, why) = field::shown(draft, &own);
    html! {
        article id={ "tip-" (id) } class="tip open" data-takes=(id) aria-label={ "Tip at " (own) } {
            div class="pair" {
                div class="field" {
                    label for={ "tip-place-" (id) } { "Where" }
                    input id={ "tip-place-" (id) } type="text" value=(shown) placeholder="12-15 or 12 beat 3"
                        data-do="tip-place" data-value=(id) autocomplete="off" spellcheck="false"
                        aria-invalid=[why.map(|_| "true")]
                        aria-describedby=[why.map(|_| format!("tip-place-{id}-problem"))];
                    (field::problem(&format!("tip-place-{id}-problem"), why))
                }
                div class="field" {
                    label for={ "tip-topic-" (id) } { "About" }
                    select id={ "tip-topic-" (id) } data-do="tip-topic" data-value=(id) autocomplete="off" {
                        @for topic in Topic::ALL {
                            option value=(topic.code()) selected[topic == tip.topic] { (topic_name(topic)) }
                        }
                    }
                }
            }
            div class="field" {
                label for={ "tip-text-" (id) } { "Your tip" }
                textarea id={ "tip-text-" (id) } rows="3" data-do="tip-text" data-value=(id)
                    maxlength=(MAX_TIP) placeholder="Start at the frog; save the bow for the long note." { (tip.text) }
            }
            (phrases::palette(desk, kept, tip))
            div class="field" {
                label for={ "tip-importance-" (id) } { "How important" }
                select id={ "tip-importance-" (id) } data-do="tip-importance" data-value=(id) autocomplete="off" {
                    @for own in Importance::ALL {
                        option value=(own.code()) selected[own == tip.importance] { (importance_name(own)) }
                    }
                }
            }
            div class="field" {
                label for={ "tip-cue-" (id) } { "Shown while playing, at most " (MAX_CUE) " letters" }
                input id={ "tip-cue-" (id) } type="text" value=(tip.cue) maxlength=(MAX_CUE)
                    placeholder=(derived_cue(tip)) data-do="tip-cue" data-value=(id) autocomplete="off";
            }
            (tip_shows::editor(desk, tip))
            (tip_media::editor(desk, tip))
            (findings::of_tip(desk, tip))
            (for_parts(desk, tip))
            div class="tip-do" {
                button id={ "done-" (id) } type="button" class="strong" data-do="close-tip" { "Done" }
                button id={ "drop-" (id) } type="button" class="quiet" data-do="remove-tip" data-value=(id)
                    aria-label={ "Remove the tip at " (own) } { "Remove" }
            }
        }
    }
}

/// What is shown while the cue's own field is empty.
fn derived_cue(tip: &Tip) -> String {
    let mut own = tip.clone();
    own.cue.clear();
    cue_text(&own).into_owned()
}

fn for_parts(desk: &Desk, tip: &Tip) -> Markup {
    let parts = &desk.guide().parts;
    html! {
        @if parts.len() > 1 {
            fieldset class="for-parts" {
                legend { "For" }
                @for part in parts {
                    label class="check" for={ "tip-part-" (tip.id) "-" (part.id) } {
                        input id={ "tip-part-" (tip.id) "-" (part.id) } type="checkbox" data-do="tip-part" autocomplete="off"
                            data-value={ (tip.id) "/" (part.id) } checked[tip.is_for(&part.id)];
                        (part.name)
                    }
                }
            }
        }
    }
}
