//! Any bytes as captions, understood and drafted.
#![no_main]

use cueleaf_guide::Id;
use cueleaf_read::read_captions;
use cueleaf_read::talk::{draft_talk, listen};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    if let Ok(captions) = read_captions(bytes.to_vec()) {
        let talk = listen(&captions.value);
        for statement in &talk.statements {
            assert!(captions.value.iter().any(|own| own.number == statement.caption));
        }
        let _ = draft_talk(&talk, Id::from_random(1));
    }
});
