//! Any bytes as a score: MusicXML, plain or compressed, and MIDI.
#![no_main]

use cueleaf_read::{Progress, ScoreReader};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let mut reader = ScoreReader::new(bytes.to_vec());
    while let Progress::Working { .. } = reader.step(64) {}
    if let Ok(score) = reader.finish() {
        let count = score.value.measure_count();
        assert!(score.value.parts.iter().all(|part| part.measures.len() == count));
    }
});
