//! Tokens as few bytes, and back.

use crate::coder::{Decoder, Encoder};
use crate::dictionary::Tongue;
use crate::model::Model;
use std::sync::OnceLock;

/// Models that have read a tongue's dictionary, by its number. Who makes a link tries every
/// tongue, and a class has a link for each part, so they are kept: 4 MB each. A phone opens one
/// link and keeps none.
static READ: [OnceLock<Model>; Tongue::ALL.len()] = [const { OnceLock::new() }; Tongue::ALL.len()];

/// Gives a model that has read a tongue's dictionary, and keeps another for the next time.
fn kept(tongue: Tongue) -> Model {
    match READ.get(usize::from(tongue.number())) {
        Some(kept) => kept.get_or_init(|| tongue.model()).clone(),
        None => tongue.model(),
    }
}

/// Squeezes bytes after the model has read a tongue's dictionary. Their number has
/// to be kept beside what comes out.
pub(crate) fn squeezed(bytes: &[u8], tongue: Tongue) -> Vec<u8> {
    let mut model = kept(tongue);
    let mut encoder = Encoder::new();
    for byte in bytes {
        for shift in (0..8).rev() {
            let bit = byte >> shift & 1 == 1;
            encoder.write(bit, model.chance());
            model.tell(bit);
        }
    }
    encoder.finish()
}

/// Gives a number of bytes back. Any bytes give some: whether they are the right
/// ones a checksum has to tell.
pub(crate) fn unsqueezed(bytes: &[u8], tongue: Tongue, size: usize) -> Vec<u8> {
    let mut model = tongue.model();
    let mut decoder = Decoder::new(bytes);
    let mut out = Vec::with_capacity(size);
    for _ in 0..size {
        let mut byte = 0;
        for _ in 0..8 {
            let bit = decoder.read(model.chance());
            model.tell(bit);
            byte = byte << 1 | u8::from(bit);
        }
        out.push(byte);
    }
    out
}
