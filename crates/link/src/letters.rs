//! Bytes as letters that a fragment may hold.

/// The letters of base64url, six bits each.
///
/// # Source
/// RFC 4648, table 2; all of them are unreserved in RFC 3986.
const SMALL: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

/// The letters of a QR code's alphanumeric mode that may stand in a fragment: all
/// but the space and the percent sign. Three of them hold 16 bits, since
/// 43 × 43 × 43 is 79,507: as dense as all 45 would be.
///
/// # Source
/// ISO/IEC 18004, table of the alphanumeric mode (from memory); RFC 3986, 3.5.
const CAPITALS: &[u8; 43] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$*+-./:";

/// Writes bytes in the 64 letters, without padding.
pub(crate) fn to_small(bytes: &[u8]) -> String {
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let held = three
            .iter()
            .chain(&[0; 2])
            .take(3)
            .fold(0u32, |held, byte| held << 8 | u32::from(*byte));
        for digit in 0..=three.len() {
            push(&mut text, SMALL, held >> (18 - 6 * digit) & 63);
        }
    }
    text
}

/// Reads bytes in the 64 letters; `None` for anything else.
pub(crate) fn from_small(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(text.len() / 4 * 3 + 2);
    for four in text.as_bytes().chunks(4) {
        let mut held = 0u32;
        for letter in four {
            held = held << 6 | digit(SMALL, *letter)?;
        }
        held = held.checked_shl(6 * u32::try_from(4 - four.len()).ok()?)?;
        let [_, first, second, third] = held.to_be_bytes();
        match four.len() {
            4 => bytes.extend([first, second, third]),
            3 if third == 0 => bytes.extend([first, second]),
            2 if second == 0 && third == 0 => bytes.push(first),
            _ => return None,
        }
    }
    Some(bytes)
}

/// Writes bytes in the 43 letters.
pub(crate) fn to_capitals(bytes: &[u8]) -> String {
    let mut text = String::new();
    for two in bytes.chunks(2) {
        let mut held = two
            .iter()
            .fold(0u32, |held, byte| held << 8 | u32::from(*byte));
        for _ in 0..=two.len() {
            push(&mut text, CAPITALS, held % 43);
            held /= 43;
        }
    }
    text
}

/// Reads bytes in the 43 letters; `None` for anything else.
pub(crate) fn from_capitals(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(text.len() / 3 * 2 + 1);
    for three in text.as_bytes().chunks(3) {
        let mut held = 0u32;
        for letter in three.iter().rev() {
            held = held * 43 + digit(CAPITALS, *letter)?;
        }
        let [first, second, third, fourth] = held.to_be_bytes();
        match three.len() {
            3 if first == 0 && second == 0 => bytes.extend([third, fourth]),
            2 if third == 0 => bytes.push(fourth),
            _ => return None,
        }
    }
    Some(bytes)
}

fn push(text: &mut String, alphabet: &[u8], digit: u32) {
    let letter = alphabet.get(digit as usize).copied();
    text.extend(letter.map(char::from));
}

fn digit(alphabet: &[u8], letter: u8) -> Option<u32> {
    let place = alphabet.iter().position(|own| *own == letter)?;
    u32::try_from(place).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_64_letters_are_those_of_the_standard() {
        // RFC 4648, section 10, without the padding.
        for (bytes, letters) in [
            ("f", "Zg"),
            ("fo", "Zm8"),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg"),
            ("", ""),
        ] {
            assert_eq!(to_small(bytes.as_bytes()), letters);
        }
        assert_eq!(to_small(&[0xfb, 0xff, 0xfe]), "-__-");
    }

    #[test]
    fn what_no_writer_writes_is_refused() {
        for text in ["A", "Zh", "Zm9", "Zm9v=", "Zm 9", "é", "\u{1F600}"] {
            assert_eq!(from_small(text), None, "{text}");
        }
        for text in ["0", "a", ":::", "::", "00%", "É"] {
            assert_eq!(from_capitals(text), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn bytes_come_back(bytes in proptest::collection::vec(any::<u8>(), 0..100)) {
            prop_assert_eq!(from_small(&to_small(&bytes)), Some(bytes.clone()));
            let capitals = to_capitals(&bytes);
            prop_assert_eq!(capitals.len(), bytes.len() / 2 * 3 + bytes.len() % 2 * 2);
            prop_assert_eq!(from_capitals(&capitals), Some(bytes));
        }
    }
}
