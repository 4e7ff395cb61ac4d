//! Bytes as letters of a page.
//!
//! 27 bits are four digits of 108, since 108⁴ is just above 2²⁷. A digit below 91 is one of the
//! printable letters of ASCII; a higher one makes with the next digit a letter of two bytes. So a
//! byte of the page holds 6.75 bits, where base64 holds 6. Nothing in the text means anything to
//! HTML or JSON: `<`, `&` and `\` are left out.

const BASE: u32 = 108;
/// How many digits are a letter by themselves.
const ALONE: u32 = 91;
/// The first letter of two bytes that is no control character: "¡".
const FIRST_OF_PAIRS: u32 = 0xa1;
/// How many bits four digits hold.
const BITS: u32 = 27;
const LEFT_OUT: [u32; 3] = ['&' as u32, '<' as u32, '\\' as u32];

/// Writes bytes as letters.
#[must_use]
pub fn letters(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() + bytes.len() / 4 + 8);
    let (mut held, mut count) = (0u64, 0);
    let mut first = None;
    let mut bytes = bytes.iter();
    loop {
        let next = bytes.next();
        if let Some(byte) = next {
            held |= u64::from(*byte) << count;
            count += 8;
        }
        if count >= BITS || (next.is_none() && count > 0) {
            let mut bits = (held & ((1 << BITS) - 1)) as u32;
            held >>= BITS;
            count = count.saturating_sub(BITS);
            for _ in 0..4 {
                first = push(&mut text, first, bits % BASE);
                bits /= BASE;
            }
        }
        if next.is_none() && count == 0 {
            break;
        }
    }
    if first.is_some() {
        push(&mut text, first, 0);
    }
    text
}

/// Writes a digit, or keeps it for the next one to make a letter with.
fn push(text: &mut String, first: Option<u32>, digit: u32) -> Option<u32> {
    let code = match first {
        Some(first) => FIRST_OF_PAIRS + (first - ALONE) * BASE + digit,
        None if digit >= ALONE => return Some(digit),
        None => {
            // The printable letters from "!" on, past those that are left out.
            LEFT_OUT.iter().fold(digit + 0x21, |code, left_out| {
                code + u32::from(code >= *left_out)
            })
        }
    };
    text.extend(char::from_u32(code));
    None
}

/// Reads what [`letters`] wrote, with up to three bytes of nought after it; `None` for other
/// letters.
#[must_use]
pub fn from_letters(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(text.len());
    let (mut held, mut count) = (0u64, 0);
    let (mut bits, mut worth) = (0u32, 1);
    let mut digit = |digit: u32| {
        if digit >= BASE {
            return None;
        }
        bits += digit * worth;
        worth *= BASE;
        if worth == BASE.pow(4) {
            held |= u64::from(bits) << count;
            count += BITS;
            (bits, worth) = (0, 1);
            while count >= 8 {
                bytes.push((held & 0xff) as u8);
                held >>= 8;
                count -= 8;
            }
        }
        Some(())
    };
    for letter in text.chars() {
        let code = u32::from(letter);
        if LEFT_OUT.contains(&code) {
            return None;
        }
        if let Some(pair) = code.checked_sub(FIRST_OF_PAIRS) {
            digit(ALONE + pair / BASE)?;
            digit(pair % BASE)?;
        } else {
            let past = LEFT_OUT.iter().filter(|left_out| code > **left_out).count() as u32;
            digit(code.checked_sub(0x21 + past).filter(|own| *own < ALONE)?)?;
        }
    }
    Some(bytes)
}
