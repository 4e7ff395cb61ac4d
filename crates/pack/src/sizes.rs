//! A module without the sizes of its functions, which their ends tell.

use crate::coder::{Next, Pieces};

/// Takes the sizes of the functions out of a WebAssembly module; `None` where it is none, or one
/// whose numbers could be written shorter. The section of the code still says how long it was;
/// [`Pieces`](crate::Pieces) tells where the sizes stood.
///
/// # Source
/// WebAssembly Core Specification 2.0, 5.5.2 "Sections" and 5.5.13 "Code Section".
#[must_use]
pub fn without_sizes(module: &[u8]) -> Option<Vec<u8>> {
    let mut rest = module;
    let mut kept = take(&mut rest, 8)?.to_vec();
    while !rest.is_empty() {
        let (kind, size) = (*take(&mut rest, 1)?.first()?, number(&mut rest)?);
        let mut section = take(&mut rest, size as usize)?;
        kept.push(kind);
        kept.extend(digits(size));
        if kind == CODE {
            let count = number(&mut section)?;
            kept.extend(digits(count));
            for _ in 0..count {
                let size = number(&mut section)?;
                kept.extend(take(&mut section, size as usize)?);
            }
        }
        kept.extend(section);
    }
    Some(kept)
}

/// The section of the code.
const CODE: u8 = 10;

fn take<'a>(bytes: &mut &'a [u8], count: usize) -> Option<&'a [u8]> {
    let (taken, rest) = bytes.split_at_checked(count)?;
    *bytes = rest;
    Some(taken)
}

/// Reads a number of seven bits a byte, the lowest first.
fn number(bytes: &mut &[u8]) -> Option<u32> {
    let mut number = 0;
    for place in 0..5 {
        let byte = *take(bytes, 1)?.first()?;
        number |= u32::from(byte & 127) << (7 * place);
        if byte < 128 {
            return (byte > 0 || place == 0).then_some(number);
        }
    }
    None
}

/// Writes a number of seven bits a byte.
fn digits(mut number: u32) -> Vec<u8> {
    let mut digits = Vec::new();
    while number > 127 {
        digits.push((number & 127) as u8 | 128);
        number >>= 7;
    }
    digits.push(number as u8);
    digits
}

/// Gives what was packed, each function with its size before it again, as a page does; `None` where
/// it is nothing packed in the way of today.
#[must_use]
pub fn with_sizes(packed: Vec<u8>) -> Option<Vec<u8>> {
    let mut pieces = Pieces::new(packed)?;
    let (mut bytes, mut begun) = (Vec::new(), None);
    while let Some(next) = pieces.next_piece() {
        match next {
            Next::Byte(byte) => bytes.push(byte),
            Next::Function => {
                if let Some(begun) = begun {
                    let size = digits((bytes.len() - begun) as u32);
                    bytes.splice(begun..begun, size);
                }
                begun = Some(bytes.len());
            }
        }
    }
    Some(bytes)
}
