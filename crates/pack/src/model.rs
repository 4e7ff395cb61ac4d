//! How likely the next bit is a one.
//!
//! Each context of a place keeps for each bit how often it was a one of late. What they say is
//! weighed three times, with weights chosen by other things each time, by how well each of them
//! guessed before; what comes of it is weighed once more. The way is known as context mixing.
//!
//! # Source
//! M. Mahoney, "Adaptive Weighing of Context Models for Lossless Data Compression", 2005, from
//! memory; which contexts, and all numbers, by trial on our own module.
//!
//! Only sums, differences, products and quotients of numbers of 32 bits are made, in an order that
//! is fixed, so every engine guesses alike to the last bit.

/// What the bytes so far say about the place of the next one, of which a model with so many inputs
/// is made: the contexts, the longest match, and what is always there.
pub(crate) trait Place<const INPUTS: usize>: Default {
    /// What each guess is worth at first.
    const FIRST_WEIGHT: f32;

    /// Tells whether the next byte belongs to an instruction that has begun.
    fn within(&self) -> bool;

    /// Gives how far into an instruction the next byte is, at most 15.
    fn step(&self) -> usize;

    /// Gives the last instruction, at most 256.
    fn instruction(&self) -> usize;

    /// Gives sums of which each stands for what is known of the place in another way: two fewer than
    /// inputs at most.
    fn contexts(&self) -> impl Iterator<Item = u32>;

    /// Goes on by a byte.
    fn pass(&mut self, byte: u8);

    /// Gives the sum of the products, added in an order of its own.
    fn weighed(weights: &[f32; INPUTS], input: &[f32; INPUTS]) -> f32;
}

/// Mixes a number into a sum so that every bit of both matters.
pub(crate) const fn mixed(sum: u32, number: u32) -> u32 {
    let product = (sum ^ number).wrapping_mul(0x2f0b_4c47);
    product ^ product >> 15
}

/// How many times the guesses are weighed.
const WEIGHINGS: usize = 3;

/// How many contexts may have seen something, none of them included.
const KNOWN: usize = 32;

/// How many bytes two places share at least.
const LEAST: usize = 5;

/// Steps of the scale on which guesses are weighed: from −12 to 12 in steps of 1/128.
const STEPS: usize = 24 * 128 + 1;

/// How fast each weight follows what was wrong, and those of the last weighing.
const FOLLOW: f32 = 0.008;
const FOLLOW_LAST: f32 = 0.002;

/// How little may be wrong with a guess that stays as it is.
const RIGHT: f32 = 0.02;

#[derive(Debug)]
pub(crate) struct Model<P, const INPUTS: usize> {
    place: P,
    /// The bits of this byte so far, after a one.
    bits: usize,
    /// From the scale to chances, and back.
    chance: Vec<f32>,
    scale: Vec<f32>,
    /// What the contexts have seen, sixteen places for each half of a byte.
    seen: Vec<[u16; 16]>,
    /// How far a chance goes towards what was seen, by how often something was.
    rates: [i32; 8],
    /// Where in `seen` the places of this half of a byte are.
    begin: [usize; INPUTS],
    input: [f32; INPUTS],
    weights: Vec<[f32; INPUTS]>,
    last: [[f32; WEIGHINGS]; KNOWN],
    /// Which weights are in use, and the guesses they give, on the scale.
    chosen: [usize; WEIGHINGS],
    known: usize,
    guess: [f32; WEIGHINGS],
    at_last: f32,
    matching: Matching,
}

/// An earlier place after which the same bytes came.
#[derive(Debug)]
struct Matching {
    bytes: Vec<u8>,
    /// Where which bytes were last.
    places: Vec<u32>,
    at: usize,
    length: usize,
    /// For each length how likely its next bit holds.
    holds: [f32; 32],
}

impl<P: Place<INPUTS>, const INPUTS: usize> Model<P, INPUTS> {
    /// Prepares for so many bytes.
    pub(crate) fn new(bytes: usize) -> Self {
        let size = (bytes.max(1).ilog2() + 2).clamp(10, 19);
        let chance: Vec<f32> = (0..STEPS).map(chance_at).collect();
        // The scale of a chance: the first step that reaches it.
        let mut scale = vec![0.0; 4096];
        let mut step = 0;
        for (part, scale) in scale.iter_mut().enumerate() {
            let wanted = (part as f32 + 0.5) / 4096.0;
            while chance.get(step).is_some_and(|own| *own < wanted) {
                step += 1;
            }
            *scale = on_scale(step);
        }
        let mut model = Self {
            place: P::default(),
            bits: 1,
            chance,
            scale,
            seen: vec![[0; 16]; 1 << size],
            rates: [0, 1, 2, 3, 4, 5, 6, 7].map(|times| 327_680 / (times * 10 + 11)),
            begin: [0; INPUTS],
            input: [0.3; INPUTS],
            weights: vec![[P::FIRST_WEIGHT; INPUTS]; 512 + 5120 + 16 * KNOWN],
            last: [[1.0 / 3.0; WEIGHINGS]; KNOWN],
            chosen: [0; WEIGHINGS],
            known: 0,
            guess: [0.0; WEIGHINGS],
            at_last: 0.5,
            matching: Matching {
                bytes: Vec::with_capacity(bytes),
                places: vec![0; 1 << 18],
                at: 0,
                length: 0,
                holds: [0.75; 32],
            },
        };
        model.find();
        model
    }

    /// Gives what is known of the place.
    pub(crate) const fn place(&mut self) -> &mut P {
        &mut self.place
    }

    /// Gives the bytes that have passed.
    pub(crate) fn into_bytes(self) -> Vec<u8> {
        self.matching.bytes
    }

    /// Gives the chance of a one, in parts of 65,536 and neither nought nor all of them.
    #[cfg_attr(target_arch = "wasm32", target_feature(enable = "simd128"))]
    pub(crate) fn chance_of_one(&mut self) -> u32 {
        let half = self.half();
        self.known = 0;
        for (input, begin) in self.input.iter_mut().zip(self.begin).take(INPUTS - 2) {
            let seen = self.seen.get(begin).and_then(|own| own.get(half));
            let seen = Seen(seen.copied().unwrap_or_default());
            self.known += usize::from(seen.times() > 0);
            let scale = self.scale.get(seen.chance() as usize / 16);
            *input = scale.copied().unwrap_or_default();
        }
        let expected = self.expected();
        let trust = self.matching.trust();
        let scale = self.scale.get((trust * 4095.0) as usize);
        let scale = scale.copied().unwrap_or_default();
        if let [.., matching, _] = self.input.as_mut_slice() {
            *matching = match expected {
                Some(true) => scale,
                Some(false) => -scale,
                None => 0.0,
            };
        }
        let within = usize::from(self.place.within());
        let length = if expected.is_some() {
            1 + self.matching.length.min(31) / 8
        } else {
            0
        };
        self.chosen = [
            within * 256 + self.bits,
            512 + (length * 2 + within) * 512 + self.place.instruction(),
            512 + 5120 + self.place.step() * KNOWN + self.known,
        ];
        for (chosen, guess) in self.chosen.into_iter().zip(&mut self.guess) {
            let weights = self.weights.get(chosen);
            *guess = weights.map_or(0.0, |own| P::weighed(own, &self.input).clamp(-12.0, 12.0));
        }
        let mut sum = 0.0;
        for (weight, guess) in self
            .last
            .get(self.known)
            .into_iter()
            .flatten()
            .zip(self.guess)
        {
            sum += weight * guess;
        }
        self.at_last = chance(&self.chance, sum);
        (self.at_last * 65536.0).clamp(1.0, 65535.0) as u32
    }

    /// Learns what the bit was.
    #[cfg_attr(target_arch = "wasm32", target_feature(enable = "simd128"))]
    pub(crate) fn pass(&mut self, one: bool) {
        let half = self.half();
        let truth = f32::from(u8::from(one));
        for begin in self.begin.into_iter().take(INPUTS - 2) {
            if let Some(seen) = self.seen.get_mut(begin).and_then(|own| own.get_mut(half)) {
                *seen = Seen(*seen).after(one, &self.rates);
            }
        }
        let wrong = (truth - self.at_last) * FOLLOW_LAST;
        if let Some(own) = self.last.get_mut(self.known) {
            for (weight, guess) in own.iter_mut().zip(self.guess) {
                *weight += wrong * guess;
            }
        }
        for (chosen, guess) in self.chosen.into_iter().zip(self.guess) {
            let wrong = truth - chance(&self.chance, guess);
            // What was as good as right is nothing to learn from.
            if wrong.abs() < RIGHT {
                continue;
            }
            let wrong = wrong * FOLLOW;
            if let Some(own) = self.weights.get_mut(chosen) {
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

    /// Finds where each context keeps what it has seen: sixteen places that lie together serve half
    /// a byte. The first of them tells whose they are; of two that others have, the less used one
    /// is taken over.
    fn find(&mut self) {
        let places = self.place.contexts().zip(&mut self.begin);
        for (index, (context, begin)) in places.enumerate() {
            let sum = mixed(mixed(context, index as u32), self.bits as u32);
            let whose = (sum >> 16) as u16;
            *begin = sum as usize & (self.seen.len() - 1);
            let at = |place: usize| {
                self.seen
                    .get(place)
                    .map_or([0; 2], |[one, two, ..]| [*one, *two])
            };
            let [one, used] = at(*begin);
            if one == whose {
                continue;
            }
            let [other, less] = at(*begin ^ 1);
            if other == whose || Seen(less).times() < Seen(used).times() {
                *begin ^= 1;
            }
            if let Some(seen) = self.seen.get_mut(*begin)
                && other != whose
            {
                *seen = [0; 16];
                seen[0] = whose;
            }
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

/// What a context has seen of a bit: thirteen bits for how far the chance of a one is from half,
/// three for how often it was seen.
#[derive(Clone, Copy)]
struct Seen(u16);

impl Seen {
    const fn times(self) -> u16 {
        self.0 & 7
    }

    /// Gives the chance of a one in parts of 65,536.
    const fn chance(self) -> i32 {
        ((self.0 & !7 | 4) ^ 0x8000) as i32
    }

    /// Gives the same after it was seen once more.
    fn after(self, one: bool, rates: &[i32; 8]) -> u16 {
        let [.., rate] = *rates;
        let rate = rates
            .get(usize::from(self.times()))
            .copied()
            .unwrap_or(rate);
        let to = if one { 65535 } else { 0 };
        let chance = self.chance() + (((to - self.chance()) * rate) >> 15);
        (chance as u16 ^ 0x8000) & !7 | (self.times() + 1).min(7)
    }
}

impl Matching {
    fn trust(&self) -> f32 {
        let length = self.length.min(31);
        self.holds.get(length).copied().unwrap_or_default()
    }

    fn learn(&mut self, held: bool) {
        let length = self.length.min(31);
        if let Some(holds) = self.holds.get_mut(length) {
            *holds += (f32::from(u8::from(held)) - *holds) * 0.02;
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

fn chance(chances: &[f32], place: f32) -> f32 {
    let step = (place.clamp(-12.0, 12.0) * 128.0 + 1536.5) as usize;
    chances.get(step).copied().unwrap_or_default()
}

/// Gives the place of a step on the scale.
fn on_scale(step: usize) -> f32 {
    step as f32 / 128.0 - 12.0
}

/// Gives the chance at a step of the scale: 1 ÷ (1 + e to the power of minus its place).
fn chance_at(step: usize) -> f32 {
    let mut power = 1.0 - on_scale(step) / 1024.0;
    for _ in 0..10 {
        power *= power;
    }
    1.0 / (1.0 + power)
}
