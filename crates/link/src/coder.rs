//! The arithmetic coder: bits with a probability each, in as few bytes as they hold.

/// Writes bits.
#[derive(Debug)]
pub(crate) struct Encoder {
    low: u32,
    high: u32,
    bytes: Vec<u8>,
}

impl Encoder {
    pub(crate) const fn new() -> Self {
        Self {
            low: 0,
            high: u32::MAX,
            bytes: Vec::new(),
        }
    }

    /// Writes a bit that was expected to be 1 with a chance of `one` in 65,536; 1 to 65,535.
    pub(crate) fn write(&mut self, bit: bool, one: u16) {
        let middle = split(self.low, self.high, one);
        if bit {
            self.high = middle;
        } else {
            self.low = middle + 1;
        }
        while settled(self.low, self.high) {
            self.bytes.extend(self.high.to_be_bytes().first());
            self.low <<= 8;
            self.high = (self.high << 8) | 0xff;
        }
    }

    /// Ends the text. Bytes of zero at the end are left off: the reader takes what
    /// is absent for zeros.
    pub(crate) fn finish(mut self) -> Vec<u8> {
        // The shortest number inside what is left: as many of its bytes as are needed.
        if self.low > 0 {
            for kept in 1..=4u32 {
                let mask = u32::MAX.checked_shr(kept * 8).unwrap_or(0);
                let number = self.high & !mask;
                if number >= self.low {
                    let own = number.to_be_bytes();
                    self.bytes.extend(own.iter().take(kept as usize));
                    break;
                }
            }
        }
        while self.bytes.last() == Some(&0) {
            self.bytes.pop();
        }
        self.bytes
    }
}

/// Reads bits.
#[derive(Debug)]
pub(crate) struct Decoder<'a> {
    low: u32,
    high: u32,
    held: u32,
    rest: core::slice::Iter<'a, u8>,
}

impl<'a> Decoder<'a> {
    pub(crate) fn new(bytes: &'a [u8]) -> Self {
        let mut decoder = Self {
            low: 0,
            high: u32::MAX,
            held: 0,
            rest: bytes.iter(),
        };
        for _ in 0..4 {
            decoder.take();
        }
        decoder
    }

    fn take(&mut self) {
        let byte = self.rest.next().copied().unwrap_or(0);
        self.held = (self.held << 8) | u32::from(byte);
    }

    /// Reads the bit that was written with the same chance.
    pub(crate) fn read(&mut self, one: u16) -> bool {
        let middle = split(self.low, self.high, one);
        let bit = self.held <= middle;
        if bit {
            self.high = middle;
        } else {
            self.low = middle + 1;
        }
        while settled(self.low, self.high) {
            self.low <<= 8;
            self.high = (self.high << 8) | 0xff;
            self.take();
        }
        bit
    }
}

/// Gives the last number that stands for a 1. It lies in `low..high`, since the
/// two differ by at least 2²⁴ − 1 or in their first byte.
const fn split(low: u32, high: u32, one: u16) -> u32 {
    let range = high - low;
    let one = one as u32;
    low + (range >> 16) * one + (((range & 0xffff) * one) >> 16)
}

const fn settled(low: u32, high: u32) -> bool {
    (low ^ high) >> 24 == 0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn bits_come_back(bits in proptest::collection::vec((any::<bool>(), 1u16..), 0..2000)) {
            let mut encoder = Encoder::new();
            for (bit, one) in &bits {
                encoder.write(*bit, *one);
            }
            let bytes = encoder.finish();
            let mut decoder = Decoder::new(&bytes);
            for (bit, one) in &bits {
                prop_assert_eq!(decoder.read(*one), *bit);
            }
        }
    }

    #[test]
    fn what_is_foreseen_weighs_next_to_nothing() {
        let mut encoder = Encoder::new();
        for _ in 0..10_000 {
            encoder.write(true, 65_500);
        }
        // 10,000 times −log₂(65500/65536) is 7.9 bits.
        assert!(encoder.finish().len() <= 2);
    }
}
