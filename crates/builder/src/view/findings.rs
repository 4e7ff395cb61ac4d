//! What was found: as a list, with what to do.

use crate::opened::sentence;
use crate::state::{Desk, Folded};
use cueleaf_guide::{Finding, Severity};
use maud::{Markup, html};

/// The most findings that are listed at once.
const LISTED: usize = 40;

pub(super) fn findings(desk: &Desk) -> Markup {
    let now = &desk.derived.findings;
    let then = &desk.from_file;
    let count = now.len() + then.len();
    html! {
        div id="findings-in" class="findings" {
            @if count > 0 {
                details id="findings-list" open[desk.is_open("findings-list", Folded::Yes)] {
                    summary id="findings-summary" {
                        span class="finding-mark" aria-hidden="true" { "!" } " "
                        @if count == 1 { "1 thing to look at" } @else { (count) " things to look at" }
                    }
                    @if !now.is_empty() {
                        ul { @for finding in now.iter().take(LISTED) { (one(desk, finding)) } }
                    }
                    @if !then.is_empty() {
                        h3 { "Found while reading the file" }
                        ul { @for finding in then.iter().take(LISTED) { (one(desk, finding)) } }
                    }
                    @if now.len().max(then.len()) > LISTED { p class="hint" { "The first " (LISTED) " are shown." } }
                }
            }
        }
    }
}

/// What was found about one tip, where the tip is shown.
pub(super) fn of_tip(desk: &Desk, tip: &cueleaf_guide::Tip) -> Markup {
    let found = desk.derived.findings.iter();
    let own: Vec<&Finding> = found
        .filter(|finding| finding.place.id.as_deref() == Some(tip.id.as_str()))
        .collect();
    html! {
        @if !own.is_empty() {
            ul class="tip-findings" {
                @for finding in own {
                    li class=(class(finding.severity)) {
                        span class="finding-mark" aria-hidden="true" { "!" } " " (words(finding))
                    }
                }
            }
        }
    }
}

fn one(desk: &Desk, finding: &Finding) -> Markup {
    let tip = finding.place.id.as_deref().and_then(|id| {
        let own = |tip: &&cueleaf_guide::Tip| tip.id.as_str() == id;
        desk.guide().tips.iter().find(own)
    });
    html! {
        li class=(class(finding.severity)) {
            @if let Some(index) = finding.place.measure {
                button type="button" class="link" data-do="go-measure" data-value=(index) { "Measure " (desk.derived.name(index)) }
                ": "
            } @else if let Some(tip) = tip {
                button type="button" class="link" data-do="show-tip" data-value=(tip.id) {
                    "The tip at " (desk.derived.name(tip.spot.from.measure))
                }
                ": "
            }
            (words(finding))
        }
    }
}

/// The message and what to do, as sentences.
pub(super) fn words(finding: &Finding) -> Markup {
    html! {
        (sentence(&finding.message))
        @if !finding.hint.is_empty() { " " span class="todo" { (sentence(&finding.hint)) } }
    }
}

pub(super) const fn class(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "is-error",
        Severity::Warning => "is-warning",
        Severity::Note => "is-note",
    }
}
