//! Where in a text or a module the next byte stands.

use crate::model::{Place, mixed};

/// What the bytes so far say about the place of the next one.
///
/// In a module the code is read as its functions and instructions, the sizes of the functions left
/// out. Where that is wrong, the guesses are worse, and functions seem to begin where none does: who
/// leaves sizes out has to see that they come back. What is no code is read as text, each byte of
/// which stands for an instruction.
///
/// # Source
/// WebAssembly Core Specification 2.0, 5.4 "Instructions", 5.5.2 "Sections" and 5.5.13 "Code
/// Section".
#[derive(Debug)]
pub(crate) struct InModule {
    /// The last four bytes, the newest lowest.
    bytes: u32,
    /// A sum over the letters of the word so far.
    word: u32,
    /// How many bytes of a section of the module are still to come, and its number.
    left: u32,
    section: Section,
    /// The last six instructions, the newest first.
    instructions: [u32; 6],
    /// How many numbers of the instruction are still to come.
    numbers: u32,
    /// How many plain bytes of it are still to come.
    plain: u32,
    /// How far the instruction is read.
    read: u32,
    /// How deep the blocks lie in one another.
    depth: u32,
    part: Part,
    /// The number that is read, and how many bits of it there are.
    number: u32,
    shift: u32,
    /// How many values this stretch of the function has left for later, about.
    values: i32,
    /// What the last call called, or the last word of a text.
    call: u32,
    /// Which instruction gave the local that was named last its value, and those of all locals.
    giver: u32,
    givers: [u32; 256],
    /// How many bytes of the function have passed, and whether one begins.
    size: u32,
    begins: bool,
}

/// What of a module is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Section {
    /// It has not begun.
    Before,
    /// The number of a section comes next.
    Kind,
    /// How long it is; with true where it is the code.
    Length(bool),
    /// Something else than code.
    Other,
    Code,
}

/// The part of a function that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Code,
    /// How many functions there are.
    Count,
    /// How many lines of locals there are.
    Groups,
    /// These lines.
    Locals,
    /// How many places a table of branches names.
    Branches,
}

/// The contexts, the longest match, and what is always there.
pub(crate) const INPUTS: usize = 16;

/// No instruction: a function begins.
const FUNCTION: u32 = 256;

impl Default for InModule {
    fn default() -> Self {
        Self {
            bytes: 0,
            word: 0,
            left: 0,
            section: Section::Before,
            instructions: [0; 6],
            numbers: 0,
            plain: 0,
            read: 0,
            depth: 0,
            part: Part::Code,
            number: 0,
            shift: 0,
            values: 0,
            call: 0,
            giver: 0,
            givers: [0; 256],
            size: 0,
            begins: false,
        }
    }
}

impl Place<INPUTS> for InModule {
    const FIRST_WEIGHT: f32 = 0.11;

    fn within(&self) -> bool {
        self.numbers > 0 || self.plain > 0
    }

    fn step(&self) -> usize {
        if self.within() {
            1 + self.read.min(14) as usize
        } else {
            0
        }
    }

    fn instruction(&self) -> usize {
        let [last, ..] = self.instructions;
        last as usize
    }

    fn contexts(&self) -> impl Iterator<Item = u32> {
        let bytes = self.bytes;
        let [a, b, c, d, e, f] = self.instructions;
        let state = if self.within() {
            (self.part as u32 * 64 + self.read) * 512 + a
        } else {
            self.word
        };
        let one = mixed(state, a);
        let two = mixed(one, b);
        let three = mixed(two, c);
        let four = mixed(three, d);
        [
            0,
            bytes & 0xff,
            bytes & 0xffff,
            bytes & 0xff_ffff,
            bytes & 0xffff_0000,
            state,
            one,
            mixed(two, bytes & 0xff),
            mixed(four, bytes & 0xff),
            mixed(mixed(four, e), f),
            mixed(one, self.values as u32),
            mixed(mixed(state, self.values as u32), self.giver),
            mixed(three, self.giver),
            mixed(mixed(state, self.giver), self.call),
        ]
        .into_iter()
    }

    fn pass(&mut self, byte: u8) {
        self.bytes = self.bytes << 8 | u32::from(byte);
        self.left = self.left.saturating_sub(1);
        match self.section {
            Section::Code => self.pass_in_code(byte),
            _ => self.pass_in_text(byte),
        }
        match self.section {
            // The four bytes with which every module begins; as many follow.
            Section::Before if self.bytes == 0x61_736d => {
                self.section = Section::Other;
                self.left = 4;
            }
            Section::Kind => {
                self.section = Section::Length(byte == 10);
                (self.number, self.shift) = (0, 0);
            }
            Section::Length(code) => {
                self.take(byte);
                if byte < 128 {
                    self.left = self.number;
                    self.number = 0;
                    self.section = Section::Other;
                    if code {
                        self.section = Section::Code;
                        self.word = 0;
                        self.part = Part::Count;
                        self.numbers = 1;
                    }
                }
            }
            _ => {}
        }
        if self.left == 0 && matches!(self.section, Section::Other | Section::Code) {
            self.section = Section::Kind;
            (self.numbers, self.plain) = (0, 0);
        }
    }

    fn weighed(weights: &[f32; INPUTS], input: &[f32; INPUTS]) -> f32 {
        const { assert!(INPUTS.is_multiple_of(4), "no input may be left over") };
        // Four sums at once, which a processor adds in one step.
        let mut sums = [0.0; 4];
        for (weights, input) in weights.chunks_exact(4).zip(input.chunks_exact(4)) {
            for (sum, (weight, input)) in sums.iter_mut().zip(weights.iter().zip(input)) {
                *sum += weight * input;
            }
        }
        let [one, two, three, four] = sums;
        (one + two) + (three + four)
    }
}

impl InModule {
    /// Tells, once, that a function begins, or that the last one has ended.
    pub(crate) const fn begins(&mut self) -> bool {
        core::mem::replace(&mut self.begins, false)
    }

    fn pass_in_text(&mut self, byte: u8) {
        self.push(u32::from(byte));
        if byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-' | 0x80..) {
            self.word = mixed(self.word, u32::from(byte) + 1);
        } else {
            if self.word != 0 {
                self.call = self.word;
            }
            self.word = 0;
        }
    }

    /// Takes seven more bits of a number.
    const fn take(&mut self, byte: u8) {
        self.number |= (byte as u32 & 127).wrapping_shl(self.shift);
        self.shift += 7;
    }

    fn pass_in_code(&mut self, byte: u8) {
        self.size += 1;
        if self.plain > 0 {
            self.plain -= 1;
            self.read += 1;
        } else if self.numbers == 0 {
            self.begin(byte);
        } else {
            self.take(byte);
            if byte > 127 {
                self.read += 1;
                return;
            }
            self.numbers -= 1;
            self.read = (self.read + 8) & !7;
            self.named();
            if self.numbers == 0 {
                self.go_on();
            }
            (self.number, self.shift) = (0, 0);
        }
    }

    /// Keeps what the number that was read names.
    fn named(&mut self) {
        let [last, before, ..] = self.instructions;
        match (self.part, last) {
            (Part::Code, 0x10) => self.call = self.number,
            (Part::Code, 0x20..=0x22) => {
                if let Some(giver) = self.givers.get_mut(self.number as usize & 255) {
                    if last > 0x20 {
                        *giver = before;
                    }
                    self.giver = *giver;
                }
            }
            _ => {}
        }
    }

    /// Begins an instruction.
    fn begin(&mut self, byte: u8) {
        self.push(u32::from(byte));
        self.read = 0;
        self.values = match byte {
            0x02..=0x05 | 0x0b | 0x0c | 0x0f..=0x11 => 0,
            0x20 | 0x23 | 0x41..=0x44 => self.values + 1,
            0x1b | 0x36..=0x3e => self.values - 2,
            0x0d | 0x0e | 0x1a | 0x21 | 0x24 => self.values - 1,
            0x46..=0xa6 => self.values - 1,
            _ => self.values,
        };
        match byte {
            2..=4 => {
                self.depth += 1;
                self.numbers = 1;
            }
            0x0b if self.depth > 0 => self.depth -= 1,
            0x0b => self.end_function(),
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

    /// Ends a function, whose size is counted among the bytes of the section.
    fn end_function(&mut self) {
        let digits = (self.size | 1).ilog2() / 7 + 1;
        self.left = self.left.saturating_sub(digits);
        self.begin_function();
    }

    fn begin_function(&mut self) {
        self.push(FUNCTION);
        self.givers = [0; 256];
        self.size = 0;
        self.begins = true;
        self.part = Part::Groups;
        self.numbers = 1;
    }

    fn push(&mut self, instruction: u32) {
        let [a, b, c, d, e, _] = self.instructions;
        self.instructions = [instruction, a, b, c, d, e];
    }

    /// Goes on to what follows the last number that was expected.
    fn go_on(&mut self) {
        (self.part, self.numbers) = match self.part {
            Part::Count => return self.begin_function(),
            Part::Groups => (Part::Locals, self.number.saturating_mul(2)),
            Part::Branches => (Part::Code, self.number.saturating_add(1)),
            Part::Code | Part::Locals => (Part::Code, 0),
        };
        if self.numbers == 0 {
            self.part = Part::Code;
        }
    }
}
