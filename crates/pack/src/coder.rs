//! Bits written so that a likely one takes less room than a bit.
//!
//! # Source
//! J. Rissanen, G. Langdon, "Arithmetic coding", IBM Journal of Research and Development, 1979,
//! in the form with two bounds of 32 bits, from memory.

use crate::model::Model;

/// The bounds between which the number lies that the bits amount to.
#[derive(Debug)]
struct Bounds {
    low: u32,
    high: u32,
}

impl Bounds {
    const WHOLE: Self = Self {
        low: 0,
        high: u32::MAX,
    };

    /// Gives the last number that stands for a one.
    const fn middle(&self, chance: u32) -> u32 {
        let width = self.high - self.low;
        self.low + ((width as u64 * chance as u64) >> 16) as u32
    }

    /// Takes the part of a bit.
    const fn narrow(&mut self, middle: u32, one: bool) {
        if one {
            self.high = middle;
        } else {
            self.low = middle + 1;
        }
    }

    /// Drops the highest byte where both bounds have the same.
    const fn shift(&mut self) -> Option<u8> {
        if (self.low ^ self.high) >> 24 != 0 {
            return None;
        }
        let byte = (self.low >> 24) as u8;
        self.low <<= 8;
        self.high = self.high << 8 | 255;
        Some(byte)
    }
}

/// Packs bytes: their number in four bytes, the highest first, then what the guesses leave open.
/// Of more than four bytes can count nothing is kept.
#[must_use]
pub fn pack(bytes: &[u8]) -> Vec<u8> {
    let bytes = if u32::try_from(bytes.len()).is_ok() {
        bytes
    } else {
        &[]
    };
    let mut packed = (bytes.len() as u32).to_be_bytes().to_vec();
    let mut model = Model::new(bytes.len());
    let mut bounds = Bounds::WHOLE;
    for byte in bytes {
        for place in (0..8).rev() {
            let one = byte >> place & 1 == 1;
            bounds.narrow(bounds.middle(model.chance_of_one()), one);
            model.pass(one);
            while let Some(done) = bounds.shift() {
                packed.push(done);
            }
        }
    }
    // One byte says enough: what is missing after it is read as nought.
    packed.push((bounds.high >> 24) as u8);
    packed
}

/// Packed bytes on their way back.
#[derive(Debug)]
pub struct Unpacking {
    packed: Vec<u8>,
    at: usize,
    left: usize,
    model: Model,
    bounds: Bounds,
    number: u32,
}

impl Unpacking {
    /// Begins with what [`pack`] gave; `None` where it holds no number of bytes, or one above
    /// the limit.
    #[must_use]
    pub fn new(packed: Vec<u8>, limit: usize) -> Option<Self> {
        let (size, _) = packed.split_first_chunk::<4>()?;
        let left = u32::from_be_bytes(*size) as usize;
        if left > limit {
            return None;
        }
        let mut unpacking = Self {
            packed,
            at: 4,
            left,
            model: Model::new(left),
            bounds: Bounds::WHOLE,
            number: 0,
        };
        for _ in 0..4 {
            unpacking.shift();
        }
        Some(unpacking)
    }

    /// Gives the next byte, until all are there.
    pub fn next_byte(&mut self) -> Option<u8> {
        self.left = self.left.checked_sub(1)?;
        let mut byte = 0;
        for _ in 0..8 {
            let middle = self.bounds.middle(self.model.chance_of_one());
            let one = self.number <= middle;
            self.bounds.narrow(middle, one);
            self.model.pass(one);
            while self.bounds.shift().is_some() {
                self.shift();
            }
            byte = byte << 1 | u8::from(one);
        }
        Some(byte)
    }

    fn shift(&mut self) {
        let next = self.packed.get(self.at).copied().unwrap_or_default();
        self.number = self.number << 8 | u32::from(next);
        self.at += 1;
    }
}

/// Gives the bytes that [`pack`] was given; `None` where there are more than the limit. Of other
/// bytes something comes that nobody packed.
#[must_use]
pub fn unpack(packed: Vec<u8>, limit: usize) -> Option<Vec<u8>> {
    let mut unpacking = Unpacking::new(packed, limit)?;
    while unpacking.next_byte().is_some() {}
    Some(unpacking.model.into_bytes())
}
