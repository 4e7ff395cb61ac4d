//! Any text as a saved guide, made playable and shown.
#![no_main]

use cueleaf_guide::open;
use cueleaf_plan::Plan;
use cueleaf_view::{Page, guide_body};

libfuzzer_sys::fuzz_target!(|text: &str| {
    let Ok(guide) = open(text) else { return };
    // A piece of hours is slow to show, and no other code.
    if guide.road_map.measures.len() > 300 {
        return;
    }
    let plan = Plan::new(&guide).value;
    assert!(plan.end().get().is_finite());
    let words = Page::words_for(&guide);
    let _ = guide_body(&Page::new(&guide, &plan, &words)).into_string();
});
