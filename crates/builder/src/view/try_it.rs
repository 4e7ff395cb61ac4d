//! What stands over the student's page.

use crate::state::{Desk, Preview};
use maud::{Markup, html};

pub(super) fn tools(desk: &Desk) -> Markup {
    let parts = &desk.guide().parts;
    let chosen = desk
        .try_part
        .as_ref()
        .or_else(|| parts.first().map(|part| &part.id));
    html! {
            div id="try-tools-in" class="try-tools" {
                h2 { "As on the student’s phone" }
                @if parts.len() > 1 {
                    div class="field inline" {
                        label for="try-part" { "Part" }
                        select id="try-part" data-do="try-part" autocomplete="off" {
                            @for part in parts {
                                option value=(part.id) selected[chosen == Some(&part.id)] { (part.name) }
                            }
                        }
                    }
                }
                @if desk.preview == Preview::Loading { p class="hint" role="status" { "Loading…" } }
                @if cueleaf_bundle::player().is_none() {
                    p class="warn" { "This copy of Cueleaf was built without the student’s player." }
                }
            }
    }
}
