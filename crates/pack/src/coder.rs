//! Bits written so that a likely one takes less room than a bit.
//!
//! # Source
//! J. Rissanen, G. Langdon, "Arithmetic coding", IBM Journal of Research and Development, 1979,
//! in the form with two bounds of 32 bits, from memory.

use crate::earlier::InText;
use crate::model::{Model, Place};
use crate::place::{INPUTS, InModule};

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

/// The first byte of what is packed: the way in which it is, and the one of the first pages, whose
/// texts stay readable. A model that guesses otherwise in anything is a new way; the old one stays
/// to read, and a page of each is kept in `tests/cases/packed`.
const WAY: u8 = 1;
const EARLIER: u8 = 0;

/// The most bytes that are packed: as many as three bytes count.
const MOST: usize = 0xff_ffff;

/// Packs bytes: a byte for the way, their number in three bytes, the highest first, then what the
/// guesses leave open. Of more than three bytes can count nothing is kept.
///
/// A WebAssembly module among them is guessed best with the sizes of its functions left out, see
/// [`without_sizes`](crate::without_sizes).
#[must_use]
pub fn pack(bytes: &[u8]) -> Vec<u8> {
    let bytes = if bytes.len() > MOST { &[] } else { bytes };
    let [_, size @ ..] = (bytes.len() as u32).to_be_bytes();
    let mut packed = vec![WAY];
    packed.extend(size);
    let mut model = Model::<InModule, _>::new(bytes.len());
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
struct Unpacking<P, const INPUTS: usize> {
    packed: Vec<u8>,
    at: usize,
    left: usize,
    model: Model<P, INPUTS>,
    bounds: Bounds,
    number: u32,
}

impl<P: Place<INPUTS>, const INPUTS: usize> Unpacking<P, INPUTS> {
    fn new(packed: Vec<u8>, left: usize) -> Self {
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
        unpacking
    }

    fn next_byte(&mut self) -> Option<u8> {
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

    fn whole(mut self) -> Vec<u8> {
        while self.next_byte().is_some() {}
        self.model.into_bytes()
    }
}

/// What comes next of packed bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// A byte.
    Byte(u8),
    /// The place where the size of a function was left out, or the end of the last function.
    Function,
}

/// Packed bytes that are given one after another.
#[derive(Debug)]
pub struct Pieces(Unpacking<InModule, INPUTS>);

impl Pieces {
    /// Begins with what [`pack`] gave; `None` where it is nothing of that kind.
    #[must_use]
    pub fn new(packed: Vec<u8>) -> Option<Self> {
        let (way, left) = beginning(&packed)?;
        (way == WAY).then(|| Self(Unpacking::new(packed, left)))
    }

    /// Gives what comes next, until all has come.
    pub fn next_piece(&mut self) -> Option<Next> {
        if self.0.model.place().begins() {
            return Some(Next::Function);
        }
        self.0.next_byte().map(Next::Byte)
    }
}

/// Gives the way and the number of bytes.
fn beginning(packed: &[u8]) -> Option<(u8, usize)> {
    let ([way, size @ ..], _) = packed.split_first_chunk::<4>()?;
    let [a, b, c] = *size;
    Some((*way, u32::from_be_bytes([0, a, b, c]) as usize))
}

/// Gives the bytes that [`pack`] was given, or what packed the texts of earlier pages; `None` where
/// there are more than the limit. Of other bytes something comes that nobody packed.
#[must_use]
pub fn unpack(packed: Vec<u8>, limit: usize) -> Option<Vec<u8>> {
    let (way, size) = beginning(&packed)?;
    if size > limit {
        return None;
    }
    match way {
        EARLIER => Some(Unpacking::<InText, _>::new(packed, size).whole()),
        WAY => Some(Unpacking::<InModule, _>::new(packed, size).whole()),
        _ => None,
    }
}
