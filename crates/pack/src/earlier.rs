//! How texts were packed in the first pages that packed any: only read, never written.

use crate::model::{Place, mixed};

/// Where in a text the next byte stands, as it was known then.
#[derive(Debug, Default)]
pub(crate) struct InText {
    /// The last six bytes, the newest first.
    bytes: [u32; 6],
    /// Sums over the letters of the word so far, and of the last one.
    word: u32,
    before: u32,
}

impl Place<13> for InText {
    const FIRST_WEIGHT: f32 = 0.15;

    fn within(&self) -> bool {
        false
    }

    fn step(&self) -> usize {
        0
    }

    fn instruction(&self) -> usize {
        let [last, ..] = self.bytes;
        last as usize
    }

    fn contexts(&self) -> impl Iterator<Item = u32> {
        let [a, b, c, d, e, f] = self.bytes;
        let one = mixed(self.word, a);
        let two = mixed(one, b);
        let four = mixed(mixed(two, c), d);
        [
            0,
            a,
            b << 8 | a,
            d << 24 | c << 16 | a,
            one,
            mixed(two, a),
            four,
            mixed(mixed(four, e), f),
            mixed(self.word, self.before),
            mixed(self.word, 0),
            mixed(one, 0),
        ]
        .into_iter()
    }

    fn pass(&mut self, byte: u8) {
        let [a, b, c, d, e, _] = self.bytes;
        self.bytes = [u32::from(byte), a, b, c, d, e];
        if byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-' | 0x80..) {
            self.word = mixed(self.word, u32::from(byte) + 1);
        } else {
            if self.word != 0 {
                self.before = self.word;
            }
            self.word = 0;
        }
    }

    fn weighed(weights: &[f32; 13], input: &[f32; 13]) -> f32 {
        let products = weights.iter().zip(input);
        products.fold(0.0, |sum, (weight, input)| sum + weight * input)
    }
}
