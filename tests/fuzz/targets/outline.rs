//! Any text as plain notes: read without harm, and what was read is written and read again as
//! the same.
#![no_main]

use cueleaf_outline::{looks_like_outline, merge, parse, write, write_with};

libfuzzer_sys::fuzz_target!(|text: &str| {
    let _ = looks_like_outline(text);
    let outlined = parse(text);
    let lines = text.lines().count();
    assert!(outlined.findings.iter().all(|found| found.line <= lines.max(1)));
    if outlined.too_large.is_some() || outlined.guide.road_map.measures.len() > 300 {
        return;
    }
    let again = parse(&write(&outlined.guide));
    assert_eq!(merge(&outlined.guide, &again), outlined.guide);
    // What is no part of the guide stays in the text, and changes nothing of the guide.
    let woven = parse(&write_with(&outlined.guide, &outlined.comments));
    assert_eq!(merge(&outlined.guide, &woven), outlined.guide);
});
