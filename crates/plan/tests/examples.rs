//! What a student is shown of our own examples.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::time::Seconds;
use cueleaf_plan::{CueLine, Plan, cue_text};

/// How far apart we look, in seconds.
const STEP: f64 = 0.02;

/// Each tip is to be seen at its place for a second, or for as long as its spot lasts.
#[test]
fn every_tip_of_the_examples_is_shown() {
    let examples = [
        include_str!("../../../examples/mail-boat-cello.json"),
        include_str!("../../../examples/mail-boat-viola.json"),
        include_str!("../../../examples/mail-boat-violin-1.json"),
        include_str!("../../../examples/mail-boat-violin-2.json"),
    ];
    for example in examples {
        let guide = cueleaf_guide::open(example).unwrap();
        let plan = Plan::new(&guide).value;
        let line = CueLine::new(&guide, &plan).value;
        let mut seen = vec![0.0_f64; line.cues().len()];
        let mut at = 0.0;
        while at < plan.end().get() {
            let shown = line.at(Seconds::new(at).unwrap());
            let index = shown.and_then(|cue| line.cues().iter().position(|own| own == cue));
            if let (Some(cue), Some(index)) = (shown, index)
                && at >= cue.starts.get()
            {
                seen[index] += STEP;
            }
            at += STEP;
        }
        for (cue, seen) in line.cues().iter().zip(seen) {
            let wanted = (cue.ends.get() - cue.starts.get()).min(1.0);
            let text = cue_text(&guide.tips[cue.tip]);
            assert!(seen + 2.0 * STEP >= wanted, "{text}: {seen} of {wanted} s");
        }
    }
}
