//! Bytes as text that may stand in a script element.
//!
//! Two letters of an alphabet of 91 hold 13 bits, so that text is 23% longer
//! than the bytes, where base64 is 33% longer. Every letter is printable ASCII;
//! `<`, `&` and `\` are left out, so nothing in the text means anything to HTML.
//! `www/player/start.js` holds the way back.

/// How many letters the alphabet has: 91 × 91 is just above 2¹³.
const LETTERS: u32 = 91;

/// Writes bytes as text. The number of bytes has to be kept beside it.
pub(crate) fn packed(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() + bytes.len() / 4 + 2);
    let (mut held, mut count) = (0u32, 0u32);
    for byte in bytes {
        held |= u32::from(*byte) << count;
        count += 8;
        if count >= 13 {
            push(&mut text, held & 0x1fff);
            held >>= 13;
            count -= 13;
        }
    }
    if count > 0 {
        push(&mut text, held);
    }
    text
}

fn push(text: &mut String, bits: u32) {
    for digit in [bits % LETTERS, bits / LETTERS] {
        // The printable letters from "!" on, past the three that are left out.
        let mut code = digit + 0x21;
        for left_out in ['&', '<', '\\'] {
            code += u32::from(code >= u32::from(left_out));
        }
        text.extend(char::from_u32(code));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The way back, as the page goes it.
    fn unpacked(text: &str, size: usize) -> Vec<u8> {
        let digit = |c: u8| {
            u32::from(c) - 0x21 - u32::from(c > b'&') - u32::from(c > b'<') - u32::from(c > b'\\')
        };
        let (mut held, mut count) = (0u32, 0u32);
        let mut bytes = Vec::new();
        for pair in text.as_bytes().chunks(2) {
            held |= (digit(pair[0]) + LETTERS * digit(pair[1])) << count;
            count += 13;
            while count >= 8 && bytes.len() < size {
                bytes.push((held & 0xff) as u8);
                held >>= 8;
                count -= 8;
            }
        }
        bytes
    }

    #[test]
    fn bytes_come_back() {
        let mut seed = 7u32;
        for size in (0..100).chain([10_000]) {
            let bytes: Vec<u8> = (0..size)
                .map(|_| {
                    seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                    (seed >> 24) as u8
                })
                .collect();
            let text = packed(&bytes);
            assert_eq!(unpacked(&text, size), bytes);
            assert!(
                text.bytes()
                    .all(|b| b.is_ascii_graphic() && !b"<&\\".contains(&b))
            );
        }
        let full = packed(&[255; 13]);
        assert_eq!(unpacked(&full, 13), [255; 13]);
        assert_eq!(packed(&[0; 1300]).len(), 1600);
    }
}
