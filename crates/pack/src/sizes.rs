//! A module without the sizes of its functions, which their ends tell.

/// Takes the sizes of the functions out of a WebAssembly module, or gives back what is none. The
/// section of the code still says how long it was; [`Pieces`](crate::Pieces) tells where the sizes
/// stood.
///
/// # Source
/// WebAssembly Core Specification 2.0, 5.5.2 "Sections" and 5.5.13 "Code Section".
#[must_use]
pub fn without_sizes(module: &[u8]) -> Vec<u8> {
    written(module).unwrap_or_else(|| module.to_vec())
}

fn written(module: &[u8]) -> Option<Vec<u8>> {
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
            return Some(number);
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
