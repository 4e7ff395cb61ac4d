//! All tips, by place or by importance.

use super::{phrases, tip_editor, todos};
use crate::edit::tips::TipOrder;
use crate::phrases::Phrases;
use crate::state::Desk;
use maud::{Markup, html};

pub(super) fn tips(desk: &Desk, own: &Phrases) -> Markup {
    let order = desk.tip_order.of(desk.guide());
    let tips = order
        .iter()
        .filter_map(|index| desk.guide().tips.get(*index));
    html! {
        (head(desk))
        div class="tip-list" { @for tip in tips { (tip_editor::tip(desk, own, tip)) } }
        (phrases::list(desk, own))
        (todos::todos(desk))
    }
}

fn order_choice(desk: &Desk) -> Markup {
    html! {
        div class="field inline" {
            label for="order-tips" { "Order" }
            select id="order-tips" data-do="order-tips" autocomplete="off" {
                @for own in TipOrder::ALL {
                    option value=(own.code()) selected[own == desk.tip_order] { (own.name()) }
                }
            }
        }
    }
}

fn head(desk: &Desk) -> Markup {
    let place = desk
        .derived
        .stretch(desk.selection.first(), desk.selection.last());
    html! {
        div id="tips-head" class="room-head" {
            h2 { "Tips" }
            p class="hint" {
                "A tip is short advice at a place. The student reads it at rest; while playing, a few large "
                "words of it appear as the place comes."
            }
            div class="choices" {
            button id="add-tip" type="button" class="strong" data-do="add-tip"
                aria-disabled=[place.is_empty().then_some("true")] {
                "Add a tip"
                @if !place.is_empty() { " at " (place) }
            }
            @if desk.guide().tips.len() > 1 { (order_choice(desk)) }
            }
        }
    }
}
