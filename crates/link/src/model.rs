//! A model that foretells the next bit from the bytes before it.
//!
//! Nine contexts, from none over the byte before to the six before, and the word with
//! the byte or the word before it, each keep how often a 0 and how often a 1 followed. How far a
//! pair of such numbers can be trusted is learned, not assumed; two small
//! weighings, each chosen by a circumstance, bring the answers together, in the
//! logistic domain, and learn from every bit. All of it is arithmetic on binary64
//! with `exp` and `ln` from one place, hence the same everywhere.
//!
//! # Source
//! The family is known as context mixing; the sizes and rates here are our own,
//! found by trial on the examples.

use cueleaf_time::math::{exp, ln};

/// How many contexts are asked.
const CONTEXTS: usize = 9;
/// How many answers are weighed: one of each context and a constant.
const ANSWERS: usize = CONTEXTS + 1;
/// The table of pairs has 2 to this power places.
const TABLE_BITS: u32 = 20;
/// The most that is counted of one bit in one context.
const MOST: u8 = 14;
/// What is left of the count of the one bit, above this, once the other comes.
const SURPRISED: u8 = 2;
/// Chances are told apart by this many steps where their logarithm is looked up.
const STEPS: usize = 4096;
/// How fast weights learn.
const LEARNING: f64 = 0.01;

/// How often a 0 and a 1 followed, with a check that the place is this context's own.
#[derive(Debug, Clone, Copy, Default)]
struct Pair {
    check: u16,
    zeros: u8,
    ones: u8,
}

/// What a pair of counts has come to mean.
#[derive(Debug, Clone, Copy)]
struct Meaning {
    chance: f64,
    seen: f64,
}

/// The model. It is asked for the chance of a 1 and then told the bit.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    /// The last eight bytes, the newest lowest.
    past: u64,
    /// The bits of this byte so far, after a leading 1.
    partial: u32,
    /// The word so far and the word before, folded to numbers.
    word: u32,
    word_before: u32,
    pairs: Vec<Pair>,
    stretched: Vec<f64>,
    meanings: Vec<[Meaning; 256]>,
    by_reach: Vec<[f64; ANSWERS]>,
    by_partial: Vec<[f64; ANSWERS]>,
    contexts: [u32; CONTEXTS],
    asked: Asked,
}

/// What the last answer was made from.
#[derive(Debug, Clone, Copy)]
struct Asked {
    places: [usize; CONTEXTS],
    states: [usize; CONTEXTS],
    answers: [f64; ANSWERS],
    reach: usize,
    chances: [f64; 2],
}

impl Model {
    /// Makes a model that knows nothing.
    pub(crate) fn new() -> Self {
        let pairs = vec![Pair::default(); 1 << TABLE_BITS];
        let weights = [0.2; ANSWERS];
        let mut model = Self {
            past: 0,
            partial: 1,
            word: 0,
            word_before: 0,
            pairs,
            stretched: stretched(),
            meanings: vec![first_meanings(); CONTEXTS],
            by_reach: vec![weights; CONTEXTS + 1],
            by_partial: vec![weights; 256],
            contexts: [0; CONTEXTS],
            asked: Asked {
                places: [0; CONTEXTS],
                states: [0; CONTEXTS],
                answers: [0.0; ANSWERS],
                reach: 0,
                chances: [0.5; 2],
            },
        };
        model.turn_to_next_byte();
        model
    }

    /// Learns bytes.
    pub(crate) fn learn(&mut self, bytes: &[u8]) {
        for byte in bytes {
            for shift in (0..8).rev() {
                self.chance();
                self.tell(byte >> shift & 1 == 1);
            }
        }
    }

    /// Gives the chance of a 1, in 65,536ths, 1 to 65,535.
    pub(crate) fn chance(&mut self) -> u16 {
        let mut asked = self.asked;
        asked.reach = 0;
        for (number, context) in self.contexts.iter().enumerate() {
            let (place, check) = place(*context, self.partial, number);
            let pair = self.pairs.get_mut(place);
            let mut state = 0;
            if let Some(pair) = pair {
                if pair.check != check {
                    *pair = Pair {
                        check,
                        zeros: 0,
                        ones: 0,
                    };
                }
                state = usize::from(pair.zeros) << 4 | usize::from(pair.ones);
            }
            let meaning = self.meanings.get(number).and_then(|all| all.get(state));
            let known = state != 0;
            asked.reach += usize::from(known);
            set(&mut asked.places, number, place);
            set(&mut asked.states, number, state);
            let answer = meaning
                .filter(|_| known)
                .map_or(0.0, |meaning| self.stretch(meaning.chance));
            set(&mut asked.answers, number, answer);
        }
        set(&mut asked.answers, CONTEXTS, 0.3);
        let sums = [
            weighed(self.by_reach.get(asked.reach), &asked.answers),
            weighed(self.by_partial.get(self.partial as usize), &asked.answers),
        ];
        asked.chances = sums.map(squash);
        self.asked = asked;
        let sum: f64 = sums.iter().sum();
        in_65536ths(squash(sum / 2.0))
    }

    fn stretch(&self, chance: f64) -> f64 {
        let step = usize::from(in_65536ths(chance)) * STEPS / 65_536;
        self.stretched.get(step).copied().unwrap_or_default()
    }

    /// Learns the bit whose chance was asked.
    pub(crate) fn tell(&mut self, bit: bool) {
        let asked = self.asked;
        let truth = if bit { 1.0 } else { 0.0 };
        let [reach, partial] = asked.chances;
        adjust(
            self.by_reach.get_mut(asked.reach),
            &asked.answers,
            truth - reach,
        );
        let weights = self.by_partial.get_mut(self.partial as usize);
        adjust(weights, &asked.answers, truth - partial);
        for (number, (place, state)) in asked.places.iter().zip(asked.states).enumerate() {
            let meaning = self.meanings.get_mut(number);
            if let Some(meaning) = meaning.and_then(|all| all.get_mut(state)) {
                meaning.chance += (truth - meaning.chance) / (meaning.seen + 1.5);
                meaning.seen = (meaning.seen + 1.0).min(1000.0);
            }
            if let Some(pair) = self.pairs.get_mut(*place) {
                let (this, other) = match bit {
                    true => (&mut pair.ones, &mut pair.zeros),
                    false => (&mut pair.zeros, &mut pair.ones),
                };
                *this = (*this + 1).min(MOST);
                if *other > SURPRISED {
                    *other = SURPRISED + (*other - SURPRISED) / 4;
                }
            }
        }
        self.partial = self.partial << 1 | u32::from(bit);
        if self.partial > 255 {
            self.take(self.partial & 255);
        }
    }

    fn take(&mut self, byte: u32) {
        self.past = self.past << 8 | u64::from(byte);
        self.partial = 1;
        // Letters of any script are bytes from 128 on, or ASCII letters, of either case.
        let letter = byte | 0x20;
        if (0x61..=0x7a).contains(&letter) || (0x80..0xf8).contains(&byte) {
            self.word = folded(self.word, letter);
        } else if self.word != 0 {
            self.word_before = self.word;
            self.word = 0;
        }
        self.turn_to_next_byte();
    }

    fn turn_to_next_byte(&mut self) {
        let past = self.past;
        let last = |bytes: u32| {
            let own = past & (u64::MAX >> (64 - 8 * bytes));
            let [low, high] =
                [own & 0xffff_ffff, own >> 32].map(|half| u32::try_from(half).unwrap_or(0));
            folded(folded(bytes, low), high)
        };
        self.contexts = [
            0,
            last(1),
            last(2),
            last(3),
            last(4),
            last(5),
            last(6),
            folded(folded(7, self.word), last(1)),
            folded(folded(8, self.word), self.word_before),
        ];
    }
}

/// Gives what pairs of counts mean before anything is learned.
fn first_meanings() -> [Meaning; 256] {
    let mut meanings = [Meaning {
        chance: 0.5,
        seen: 0.0,
    }; 256];
    let pairs = (0u8..16).flat_map(|zeros| (0u8..16).map(move |ones| (zeros, ones)));
    for (meaning, (zeros, ones)) in meanings.iter_mut().zip(pairs) {
        let (zeros, ones) = (f64::from(zeros), f64::from(ones));
        meaning.chance = (ones + 0.2) / (zeros + ones + 0.4);
        meaning.seen = 6.0;
    }
    meanings
}

/// Finds the place of a context's pair for the bits so far, and its check.
fn place(context: u32, partial: u32, number: usize) -> (usize, u16) {
    let number = u32::try_from(number).unwrap_or_default();
    let mixed = folded(folded(context, partial), number);
    let [_, _, low, high] = mixed.wrapping_mul(0x2c1b_3c6d).to_be_bytes();
    let place = (mixed >> (32 - TABLE_BITS)) as usize;
    // A check of 0 is that of a place never used.
    (place, u16::from_be_bytes([low, high]) | 1)
}

const fn folded(number: u32, more: u32) -> u32 {
    let mixed = (number ^ more.wrapping_mul(0x9e37_79b1)).wrapping_mul(0x85eb_ca6b);
    mixed ^ mixed >> 15
}

fn set<T, const N: usize>(list: &mut [T; N], place: usize, value: T) {
    if let Some(own) = list.get_mut(place) {
        *own = value;
    }
}

fn weighed(weights: Option<&[f64; ANSWERS]>, answers: &[f64; ANSWERS]) -> f64 {
    let weights = weights.into_iter().flatten();
    weights
        .zip(answers)
        .map(|(weight, answer)| weight * answer)
        .sum()
}

fn adjust(weights: Option<&mut [f64; ANSWERS]>, answers: &[f64; ANSWERS], wrong: f64) {
    for (weight, answer) in weights.into_iter().flatten().zip(answers) {
        *weight += LEARNING * wrong * answer;
    }
}

/// Gives the logit of every step of chances, at its middle.
fn stretched() -> Vec<f64> {
    (0..4096u16)
        .map(|step| {
            let chance = (f64::from(step) + 0.5) / 4096.0;
            ln(chance / (1.0 - chance))
        })
        .collect()
}

fn squash(sum: f64) -> f64 {
    1.0 / (1.0 + exp(-sum))
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the number lies between 1 and 65,535"
)]
fn in_65536ths(chance: f64) -> u16 {
    (chance * 65_536.0).clamp(1.0, 65_535.0) as u16
}
