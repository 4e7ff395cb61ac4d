//! What a round of taps shows: a picture and words, never a fault.

use crate::tenths::rounded;
use crate::{Word, Words};
use cueleaf_plan::{Lay, Tap, TapRound, Verdict};
use maud::{Markup, html};

/// How far apart the counts are drawn, how far the farthest tap, in units, and which part of an
/// interval that is.
const STEP: f64 = 12.0;
const REACH: f64 = 60.0;
const FARTHEST: f64 = 0.25;

/// Shows a round of taps: every count as a small line, every tap as a dot before, on or after it,
/// then in words; `None` says that there were too few.
#[must_use]
pub fn taps_result(words: &Words, round: Option<&TapRound>) -> Markup {
    let Some(round) = round else {
        return html! { p { (words.get(Word::TooFewTaps)) } };
    };
    let lays = |lay: Lay| round.taps.iter().filter(|tap| tap.lay() == lay).count();
    let [early, on, late] = [Lay::Early, Lay::On, Lay::Late].map(|lay| lays(lay).to_string());
    let said = words.fill(Word::TapsWere, &[&early, &on, &late]);
    let verdict = words.get(match round.verdict {
        Verdict::Steady => Word::Steady,
        Verdict::Settling => Word::Settling,
        Verdict::TrySlower => Word::TrySlower,
    });
    html! {
        (picture(words, &round.taps))
        p { b { (verdict) } }
        p {
            (said)
            @if round.missed > 0 { " " (words.fill(Word::TapsMissed, &[&round.missed.to_string()])) }
        }
    }
}

/// Draws the counts one below the other, early to the left and late to the right.
fn picture(words: &Words, taps: &[Tap]) -> Markup {
    let width = 2.0 * REACH + 80.0;
    let middle = width / 2.0;
    let counts = taps.last().map_or(0, |tap| tap.count + 1);
    #[allow(clippy::cast_precision_loss, reason = "a few dozen counts")]
    let height = counts as f64 * STEP + 24.0;
    let name = |lay: Lay| {
        words.get(match lay {
            Lay::Early => Word::Early,
            Lay::On => Word::On,
            Lay::Late => Word::Late,
        })
    };
    let said: Vec<&str> = taps.iter().map(|tap| name(tap.lay())).collect();
    html! {
        svg class="taps" role="img" aria-label=(said.join(", ")) viewBox={ "0 0 " (rounded(width)) " " (rounded(height)) } width=(rounded(width)) height=(rounded(height)) {
            text x="0" y="12" { (name(Lay::Early)) }
            text x=(rounded(width)) y="12" text-anchor="end" { (name(Lay::Late)) }
            path class="rule" d={ "M" (rounded(middle)) " 4V" (rounded(height)) } {}
            @for tap in taps {
                @let y = y_of(tap.count);
                @let x = middle + (tap.off / FARTHEST).clamp(-1.0, 1.0) * REACH;
                path d={ "M" (rounded(middle - 5.0)) " " (rounded(y)) "h10" } {}
                circle class=(if tap.lay() == Lay::On { "on" } else { "off" }) cx=(rounded(x)) cy=(rounded(y)) r="4" {}
            }
        }
    }
}

fn y_of(count: usize) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "a few dozen counts")]
    let count = count as f64;
    24.0 + count * STEP
}
