//! Any text as a saved guide: what opens is saved and opened again as the same guide.
#![no_main]

use cueleaf_guide::{check, open, save};

libfuzzer_sys::fuzz_target!(|text: &str| {
    if let Ok(guide) = open(text) {
        let _ = check(&guide);
        assert_eq!(open(&save(&guide)).as_ref(), Ok(&guide));
    }
});
