//! Where in a text or a module the next byte stands.

/// What the bytes so far say about the place of the next one.
///
/// In a module an instruction and what follows it are told apart, roughly: its code is read as a
/// row of instructions from its first byte on, and where that is wrong, as in its tables, the
/// guesses are worse and nothing else.
///
/// # Source
/// WebAssembly Core Specification 2.0, 5.4 "Instructions" and 5.5.13 "Code Section".
#[derive(Debug, Default)]
pub(crate) struct Place {
    /// The last four bytes, the newest lowest.
    bytes: u32,
    /// A sum over the letters of the word so far.
    word: u32,
    in_module: bool,
    /// The last five instructions, the newest first.
    instructions: [u32; 5],
    /// How many numbers of the instruction are still to come.
    numbers: u32,
    /// How many plain bytes of it are still to come.
    plain: u32,
    /// How far the instruction is read.
    read: u32,
    /// How deep the blocks lie in one another.
    depth: u32,
    part: Part,
}

/// The part of a function that is read.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
enum Part {
    #[default]
    Code,
    /// The number of its bytes.
    Size,
    /// How many lines of locals there are.
    Groups,
    /// These lines.
    Locals,
    /// How many places a table of branches names.
    Branches,
}

/// How many contexts there are.
pub(crate) const CONTEXTS: usize = 10;

/// No instruction: a function begins.
const FUNCTION: u32 = 256;

/// Mixes a number into a sum so that every bit of both matters.
pub(crate) const fn mixed(sum: u32, number: u32) -> u32 {
    let product = (sum ^ number).wrapping_mul(0x2f0b_4c47);
    product ^ product >> 15
}

impl Place {
    /// Tells whether the next byte belongs to an instruction that has begun.
    pub(crate) const fn within(&self) -> bool {
        self.numbers > 0 || self.plain > 0
    }

    /// Gives the last instruction, at most 256.
    pub(crate) const fn instruction(&self) -> usize {
        let [last, ..] = self.instructions;
        last as usize
    }

    /// Gives sums of which each stands for what is known of the place in another way.
    pub(crate) fn contexts(&self) -> [u32; CONTEXTS] {
        let bytes = self.bytes;
        let [a, b, c, d, e] = self.instructions;
        let state = if self.within() {
            (self.part as u32 * 64 + self.read) * 512 + a
        } else {
            self.word
        };
        let four = [state, a, b, c, d].into_iter().fold(0, mixed);
        [
            0,
            bytes & 0xff,
            bytes & 0xffff,
            bytes & 0xff_ff00,
            bytes & 0xffff_00ff,
            mixed(state, a),
            mixed(mixed(state, b), c),
            mixed(mixed(mixed(state, a), b), bytes & 0xff),
            four,
            mixed(four, e),
        ]
    }

    /// Goes on by a byte.
    pub(crate) fn pass(&mut self, byte: u8) {
        self.bytes = self.bytes << 8 | u32::from(byte);
        if self.in_module {
            self.pass_in_module(byte);
            return;
        }
        let letter = byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-' | 0x80..);
        self.word = if letter {
            mixed(self.word, u32::from(byte) + 1)
        } else {
            0
        };
        // The four bytes with which every module begins.
        if self.bytes == 0x61_736d {
            self.in_module = true;
            self.word = 0;
        }
    }

    fn pass_in_module(&mut self, byte: u8) {
        if self.plain > 0 {
            self.plain -= 1;
            self.read += 1;
        } else if self.numbers == 0 {
            self.begin(byte);
        } else if byte > 127 {
            self.read += 1;
        } else {
            self.numbers -= 1;
            self.read = (self.read + 8) & !7;
            if self.numbers == 0 {
                self.go_on(byte);
            }
        }
    }

    /// Begins an instruction.
    fn begin(&mut self, byte: u8) {
        self.push(u32::from(byte));
        self.read = 0;
        match byte {
            2..=4 => {
                self.depth += 1;
                self.numbers = 1;
            }
            0x0b if self.depth > 0 => self.depth -= 1,
            0x0b => {
                self.push(FUNCTION);
                self.part = Part::Size;
                self.numbers = 1;
            }
            0x0c | 0x0d | 0x10 | 0x20..=0x24 | 0x3f..=0x42 | 0xfc => self.numbers = 1,
            0x0e => {
                self.part = Part::Branches;
                self.numbers = 1;
            }
            0x11 | 0x28..=0x3e => self.numbers = 2,
            0x43 => self.plain = 4,
            0x44 => self.plain = 8,
            _ => {}
        }
    }

    fn push(&mut self, instruction: u32) {
        let [a, b, c, d, _] = self.instructions;
        self.instructions = [instruction, a, b, c, d];
    }

    /// Goes on to what follows the last number that was expected.
    fn go_on(&mut self, number: u8) {
        let number = u32::from(number);
        (self.part, self.numbers) = match self.part {
            Part::Size => (Part::Groups, 1),
            Part::Groups => (Part::Locals, 2 * number),
            Part::Branches => (Part::Code, number + 1),
            Part::Code | Part::Locals => (Part::Code, 0),
        };
        if self.numbers == 0 {
            self.part = Part::Code;
        }
    }
}
