//! Where in a text or a module the next byte stands.

/// What the bytes so far say about the place of the next one.
///
/// In a module the code is read as its functions and instructions; where that is wrong, the guesses
/// are worse and nothing else. What is no code is read as text, each byte of which stands for an
/// instruction.
///
/// # Source
/// WebAssembly Core Specification 2.0, 5.4 "Instructions", 5.5.2 "Sections" and 5.5.13 "Code
/// Section".
#[derive(Debug)]
pub(crate) struct Place {
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
pub(crate) const CONTEXTS: usize = 11;

/// No instruction: a function begins.
const FUNCTION: u32 = 256;

/// Mixes a number into a sum so that every bit of both matters.
pub(crate) const fn mixed(sum: u32, number: u32) -> u32 {
    let product = (sum ^ number).wrapping_mul(0x2f0b_4c47);
    product ^ product >> 15
}

impl Default for Place {
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
        }
    }
}

impl Place {
    /// Tells whether the next byte belongs to an instruction that has begun.
    pub(crate) const fn within(&self) -> bool {
        self.numbers > 0 || self.plain > 0
    }

    /// Gives how far into an instruction the next byte is, at most 15.
    pub(crate) fn step(&self) -> usize {
        if self.within() {
            1 + self.read.min(14) as usize
        } else {
            0
        }
    }

    /// Gives the last instruction, at most 256.
    pub(crate) const fn instruction(&self) -> usize {
        let [last, ..] = self.instructions;
        last as usize
    }

    /// Gives sums of which each stands for what is known of the place in another way.
    pub(crate) fn contexts(&self) -> [u32; CONTEXTS] {
        let bytes = self.bytes;
        let [a, b, c, d, e, f] = self.instructions;
        let state = if self.within() {
            (self.part as u32 * 64 + self.read) * 512 + a
        } else {
            self.word
        };
        let one = mixed(state, a);
        let two = mixed(one, b);
        let four = mixed(mixed(two, c), d);
        [
            0,
            bytes & 0xff,
            bytes & 0xffff,
            bytes & 0xffff_00ff,
            one,
            mixed(two, bytes & 0xff),
            four,
            mixed(mixed(four, e), f),
            mixed(state, self.call),
            mixed(state, self.giver),
            mixed(one, self.values as u32),
        ]
    }

    /// Goes on by a byte.
    pub(crate) fn pass(&mut self, byte: u8) {
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
            0x0b => self.begin_function(),
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

    fn begin_function(&mut self) {
        self.push(FUNCTION);
        self.givers = [0; 256];
        self.part = Part::Size;
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
            Part::Size => (Part::Groups, 1),
            Part::Groups => (Part::Locals, self.number.saturating_mul(2)),
            Part::Branches => (Part::Code, self.number.saturating_add(1)),
            Part::Code | Part::Locals => (Part::Code, 0),
        };
        if self.numbers == 0 {
            self.part = Part::Code;
        }
    }
}
