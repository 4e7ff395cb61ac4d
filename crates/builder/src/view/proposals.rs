//! What the notes propose as tips, beside the tips.

use crate::edit::tips::topic_name;
use crate::places::write_spot;
use crate::proposals::{Deed, Proposal, Shown, WatchList, button_id, kind_name};
use crate::state::Desk;
use maud::{Markup, html};

/// The most proposals that are listed at once after the strongest.
const LISTED: usize = 60;

pub(super) fn section(desk: &Desk) -> Markup {
    html! {
        section id="watch-list" class="watch-list" aria-labelledby="watch-title" {
            h2 id="watch-title" tabindex="-1" { "Watch list" }
            @match &desk.watch_list {
                None => (without_notes()),
                Some(list) if !list.fits(desk.guide()) => (of_other_measures(desk, list)),
                Some(list) => (proposals(desk, list)),
            }
        }
    }
}

fn without_notes() -> Markup {
    html! {
        p class="hint" {
            "Places where the notes themselves show that something changes or gets hard. A guide does not hold "
            "the notes: open its part again (MusicXML or MIDI) to add notes to this guide and see its watch list."
        }
        button id="watch-open" type="button" data-do="choose-file" { "Open the part" }
    }
}

fn of_other_measures(desk: &Desk, list: &WatchList) -> Markup {
    html! {
        p class="hint" {
            "The part has " (list.measures()) " measures and the road map " (desk.guide().road_map.measures.len())
            ", so the places of the watch list are not sure any more. Undo the change, or open a part that has the same measures."
        }
        button id="watch-open" type="button" data-do="choose-file" { "Open the part" }
    }
}

fn proposals(desk: &Desk, list: &WatchList) -> Markup {
    let shown = list.shown(desk.guide());
    html! {
        p class="hint" {
            "Places where the notes themselves show that something changes or gets hard. Keep what your student needs: "
            "it becomes a tip of yours."
        }
        (tools(desk, list, &shown))
        @if !shown.strongest.is_empty() {
            h3 { "The strongest" }
            (rows(desk, list, &shown.strongest))
        }
        @if list.kind().is_none() {
            button id="watch-others" type="button" data-do="watch-others" aria-expanded=(list.shows_others()) {
                "All others, by place (" (shown.folded.max(shown.others.len())) ")"
            }
        }
        @if !shown.others.is_empty() {
            (rows(desk, list, shown.others.get(..LISTED).unwrap_or(&shown.others)))
            @if shown.others.len() > LISTED {
                p class="hint" { "The first " (LISTED) " of " (shown.others.len()) " are shown. Choose a kind to see fewer." }
            }
        }
        @if shown.all().next().is_none() && shown.folded == 0 {
            p class="quiet-text" { "Nothing is left to look at here." }
        }
    }
}

fn tools(desk: &Desk, list: &WatchList, shown: &Shown) -> Markup {
    let kinds = list.kinds(desk.guide());
    let count = shown.others.len();
    let open: usize = kinds.values().sum();
    let dropped = list.dropped();
    html! {
        div class="field" {
            label for="watch-kind" { "What to look at" }
            select id="watch-kind" data-do="watch-kind" autocomplete="off" {
                option value="" selected[list.kind().is_none()] { "Everything (" (open) ")" }
                @for (kind, count) in &kinds {
                    option value=(kind.code()) selected[list.kind() == Some(*kind)] { (kind_name(*kind)) " (" (count) ")" }
                }
            }
        }
        div class="tip-do" {
            @if list.kind().is_some() && count > 0 {
                button id="watch-keep-kind" type="button" data-do="watch-keep-kind" { "Keep all of this kind (" (count) ")" }
                button id="watch-drop-kind" type="button" class="quiet" data-do="watch-drop-kind" { "Drop all of this kind (" (count) ")" }
            }
            @if dropped > 0 {
                button id="watch-dropped" type="button" class="quiet" data-do="watch-dropped" { "Show the dropped again (" (dropped) ")" }
            }
        }
    }
}

fn rows(desk: &Desk, list: &WatchList, indices: &[usize]) -> Markup {
    html! {
        ul class="proposals" {
            @for index in indices {
                @if let Some(one) = list.get(*index) { (row(desk, *index, one)) }
            }
        }
    }
}

fn row(desk: &Desk, index: usize, one: &Proposal) -> Markup {
    let watched = &one.watched;
    let place = write_spot(desk.guide(), desk.derived.plan.layout(), &watched.spot);
    let about = format!("{}, {place}", kind_name(watched.kind));
    let parts = &desk.guide().parts;
    let own: Vec<&str> = parts
        .iter()
        .filter(|part| one.parts.contains(&part.id))
        .map(|part| part.name.as_str())
        .collect();
    let button = |deed: Deed| {
        html! {
            button id=(button_id(deed, index)) type="button" class=[(deed == Deed::Drop).then_some("quiet")]
                tabindex=[(deed != Deed::Keep).then_some("-1")] data-do={ "watch-" (deed.code()) } data-value=(index)
                aria-label={ (deed.words()) ": " (about) } { (deed.words()) }
        }
    };
    html! {
        li id={ "proposal-" (index) } class="tip proposal" {
            p class="where" {
                b { (place) } " " span class="topic" { (topic_name(watched.topic)) }
                " " span class="for" {
                    (kind_name(watched.kind))
                    @if own.len() < parts.len() { ", for " (own.join(", ")) }
                }
            }
            p class="text" { (watched.sentence) }
            // One stop of the Tab key for each proposal; arrows do the rest.
            div class="tip-do" role="toolbar" aria-label=(about) {
                @for deed in Deed::ALL { (button(deed)) }
            }
        }
    }
}
