//! How likely the next bit is a one.
//!
//! Each context of a place keeps for each bit how often it was a one of late. What they say is
//! weighed, twice and with other weights each time, by how well each of them guessed before; the
//! mean of the two is the guess. The way is known as context mixing.
//!
//! # Source
//! M. Mahoney, "Adaptive Weighing of Context Models for Lossless Data Compression", 2005, from
//! memory; which contexts, and all numbers, by trial on our own module.
//!
//! Only sums, differences, products and quotients of numbers of 64 bits are made, one after
//! another, so every engine guesses alike to the last bit.

use crate::place::{CONTEXTS, Place, mixed};

/// The contexts, the longest match, and what is always there.
const INPUTS: usize = CONTEXTS + 2;

/// How many bytes two places share at least.
const LEAST: usize = 5;

type Lanes = [f64; INPUTS];

/// Steps of the scale on which guesses are weighed: from −12 to 12 in steps of 1/128.
const STEPS: usize = 24 * 128 + 1;

/// What a context knows of a bit that it has not seen: even chances, seen never.
const UNSEEN: u16 = 0x8000;

/// How fast each weight follows what was wrong.
const FOLLOW: f64 = 0.008;

/// What each guess is worth at first.
const FIRST_WEIGHT: f64 = 0.15;

#[derive(Debug)]
pub(crate) struct Model {
    place: Place,
    /// The bits of this byte so far, after a one.
    bits: usize,
    /// From the scale to chances, and back.
    chance: Vec<f64>,
    scale: Vec<f64>,
    /// For each context its chances, 2 to the power of `size` each; thirteen bits are the chance,
    /// three how often it was seen.
    seen: Vec<u16>,
    size: u32,
    /// Where in `seen` the chances of this half of a byte begin, and which are in use.
    begin: [usize; CONTEXTS],
    used: [usize; CONTEXTS],
    input: Lanes,
    weights: [Vec<Lanes>; 2],
    /// Which weights are in use, and the chances they give.
    chosen: [usize; 2],
    guess: [f64; 2],
    matching: Matching,
}

/// An earlier place after which the same bytes came.
#[derive(Debug)]
struct Matching {
    bytes: Vec<u8>,
    /// Where each run of [`LEAST`] bytes was last, by a number mixed of them.
    places: Vec<u32>,
    at: usize,
    length: usize,
    /// For each length how likely its next bit holds.
    holds: Vec<f64>,
}

impl Model {
    /// Prepares for so many bytes.
    pub(crate) fn new(bytes: usize) -> Self {
        let size = (bytes.max(1).ilog2() + 3).clamp(12, 20);
        let chance: Vec<f64> = (0..STEPS).map(chance_at).collect();
        // The scale of a chance: the first step that reaches it.
        let mut scale = Vec::new();
        let mut step = 0;
        for part in 0..4096 {
            let wanted = (part as f64 + 0.5) / 4096.0;
            while chance.get(step).is_some_and(|own| *own < wanted) {
                step += 1;
            }
            scale.push(on_scale(step));
        }
        let mut model = Self {
            place: Place::default(),
            bits: 1,
            chance,
            scale,
            seen: vec![UNSEEN; CONTEXTS << size],
            size,
            begin: [0; CONTEXTS],
            used: [0; CONTEXTS],
            input: [0.3; INPUTS],
            weights: [512, 5120].map(|sets| vec![[FIRST_WEIGHT; INPUTS]; sets]),
            chosen: [0; 2],
            guess: [0.5; 2],
            matching: Matching {
                bytes: Vec::with_capacity(bytes),
                places: vec![0; 1 << 18],
                at: 0,
                length: 0,
                holds: vec![0.75; 32],
            },
        };
        model.find();
        model
    }

    /// Gives the bytes that have passed.
    pub(crate) fn into_bytes(self) -> Vec<u8> {
        self.matching.bytes
    }

    /// Gives the chance of a one, in parts of 65,536 and neither nought nor all of them.
    pub(crate) fn chance_of_one(&mut self) -> u32 {
        let half = self.half();
        for (index, (input, used)) in self.input.iter_mut().zip(&mut self.used).enumerate() {
            let begin = self.begin.get(index).copied().unwrap_or_default();
            *used = begin + half;
            let chance = self.seen.get(*used).copied().unwrap_or_default() >> 4;
            *input = self
                .scale
                .get(usize::from(chance))
                .copied()
                .unwrap_or_default();
        }
        let expected = self.expected();
        let trust = self.matching.trust();
        let [.., matching, _] = &mut self.input;
        let part = (trust * 4095.0) as usize;
        let scale = self.scale.get(part).copied().unwrap_or_default();
        *matching = match expected {
            Some(true) => scale,
            Some(false) => -scale,
            None => 0.0,
        };
        let within = usize::from(self.place.within());
        let length = if expected.is_some() {
            1 + self.matching.length.min(31) / 8
        } else {
            0
        };
        self.chosen = [
            within * 256 + self.bits,
            (length * 2 + within) * 512 + self.place.instruction(),
        ];
        let mut sum = 0.0;
        for ((weights, chosen), guess) in self.weights.iter().zip(self.chosen).zip(&mut self.guess)
        {
            let own = weights
                .get(chosen)
                .map_or(0.0, |own| weighed(own, &self.input));
            *guess = chance(&self.chance, own);
            sum += own;
        }
        (chance(&self.chance, sum / 2.0) * 65536.0).clamp(1.0, 65535.0) as u32
    }

    /// Learns what the bit was.
    pub(crate) fn pass(&mut self, one: bool) {
        for used in self.used {
            if let Some(seen) = self.seen.get_mut(used) {
                *seen = after(*seen, one);
            }
        }
        let truth = f64::from(u8::from(one));
        for ((weights, chosen), guess) in self.weights.iter_mut().zip(self.chosen).zip(self.guess) {
            let wrong = (truth - guess) * FOLLOW;
            if let Some(own) = weights.get_mut(chosen) {
                for (weight, input) in own.iter_mut().zip(&self.input) {
                    *weight += wrong * input;
                }
            }
        }
        if let Some(expected) = self.expected() {
            self.matching.learn(expected == one);
        }
        self.bits = self.bits << 1 | usize::from(one);
        if self.bits > 255 {
            let byte = (self.bits & 255) as u8;
            self.bits = 1;
            self.place.pass(byte);
            self.matching.pass(byte);
            self.find();
        } else if self.bits & !15 == 16 {
            self.find();
        }
    }

    /// Gives the bits of this half of a byte so far, after a one.
    const fn half(&self) -> usize {
        if self.bits < 16 {
            self.bits
        } else {
            let bits = self.bits.ilog2() - 4;
            1 << bits | self.bits & ((1 << bits) - 1)
        }
    }

    /// Finds where the chances of each context begin: sixteen that lie together serve half a byte.
    fn find(&mut self) {
        let places = self.place.contexts().into_iter().zip(&mut self.begin);
        for (index, (context, begin)) in places.enumerate() {
            let sum = mixed(mixed(context, index as u32), self.bits as u32);
            *begin = (index << self.size) + ((sum >> (32 - self.size)) as usize & !15);
        }
    }

    /// Gives the next bit of the longest match, where its bits held so far.
    fn expected(&self) -> Option<bool> {
        let matching = &self.matching;
        let byte = usize::from(*matching.bytes.get(matching.at)?) | 256;
        let left = 8 - self.bits.ilog2();
        (matching.length > 0 && byte >> left == self.bits).then_some(byte >> (left - 1) & 1 == 1)
    }
}

impl Matching {
    fn trust(&self) -> f64 {
        let length = self.length.min(31);
        self.holds.get(length).copied().unwrap_or_default()
    }

    fn learn(&mut self, held: bool) {
        let length = self.length.min(31);
        if let Some(holds) = self.holds.get_mut(length) {
            *holds += (f64::from(u8::from(held)) - *holds) * 0.02;
        }
        if !held {
            self.length = 0;
        }
    }

    fn pass(&mut self, byte: u8) {
        let held = self.length > 0 && self.bytes.get(self.at) == Some(&byte);
        self.bytes.push(byte);
        self.at += 1;
        self.length = if held { self.length + 1 } else { 0 };
        let last = self.bytes.iter().rev().take(LEAST);
        let sum = last.fold(0, |sum, byte| mixed(sum, u32::from(*byte)));
        let Some(place) = self.places.get_mut((sum >> 14) as usize) else {
            return;
        };
        if self.length == 0 {
            self.at = *place as usize;
            let before = self.bytes.get(..self.at).unwrap_or_default();
            let both = self.bytes.iter().rev().zip(before.iter().rev());
            self.length = both.take(32).take_while(|(now, then)| now == then).count();
        }
        *place = self.bytes.len() as u32;
    }
}

/// Gives what a context knows of a bit after it was seen once more.
fn after(seen: u16, one: bool) -> u16 {
    let times = seen & 7;
    let chance = f64::from(seen & !7 | 4);
    let to = if one { 65535.0 } else { 0.0 };
    let next = chance + (to - chance) / (f64::from(times) + 1.1);
    next as u16 & !7 | (times + 1).min(6)
}

fn weighed(weights: &Lanes, input: &Lanes) -> f64 {
    let mut sum = 0.0;
    for (weight, input) in weights.iter().zip(input) {
        sum += weight * input;
    }
    sum
}

fn chance(chances: &[f64], place: f64) -> f64 {
    let step = (place.clamp(-12.0, 12.0) * 128.0 + 1536.0) as usize;
    chances.get(step).copied().unwrap_or_default()
}

/// Gives the place of a step on the scale.
fn on_scale(step: usize) -> f64 {
    step as f64 / 128.0 - 12.0
}

/// Gives the chance at a step of the scale: 1 ÷ (1 + e to the power of minus its place).
fn chance_at(step: usize) -> f64 {
    let mut power = 1.0 - on_scale(step) / 65536.0;
    for _ in 0..16 {
        power *= power;
    }
    1.0 / (1.0 + power)
}
