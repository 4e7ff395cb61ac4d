//! Which letters a page may hold.

use core::fmt::Write as _;

/// Says whether a letter may stand in a page as it is. Names and texts from files of others
/// hold all that JSON and XML can carry, a NUL for example.
///
/// # Source
/// HTML Living Standard, 13.2.3.5 "Preprocessing the input stream", with the errors
/// unexpected-null-character, control-character-in-input-stream and
/// noncharacter-in-input-stream. A carriage return and a form feed would be allowed; the first is
/// read back as another letter, so neither is used.
fn may_stand(letter: char) -> bool {
    let code = letter as u32;
    let noncharacter = matches!(code, 0xFDD0..=0xFDEF) || code & 0xFFFE == 0xFFFE;
    !noncharacter && (!letter.is_control() || matches!(letter, '\t' | '\n'))
}

/// Gives a page with the letters that may stand in it: line ends become one letter, other
/// spacing becomes a space, and what nobody sees is left out.
/// What is named by a hash (scripts and styles) is ours and holds no such letter.
pub(crate) fn for_page(page: String) -> String {
    if page.chars().all(may_stand) {
        return page;
    }
    let mut plain = String::with_capacity(page.len());
    let mut letters = page.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            letter if may_stand(letter) => plain.push(letter),
            '\r' if letters.peek() == Some(&'\n') => {}
            '\r' => plain.push('\n'),
            letter if letter.is_whitespace() => plain.push(' '),
            _ => {}
        }
    }
    plain
}

/// Makes JSON safe inside a script element: no letter in it can end the element or a line of
/// script, or may not stand in a page. A reader of JSON finds each letter as it was.
///
/// # Source
/// RFC 8259, section 7: any letter of a text may be written as `\u` with the digits of its
/// UTF-16 units.
pub(crate) fn in_script(json: &str) -> String {
    let mut safe = String::with_capacity(json.len());
    for letter in json.chars() {
        if may_stand(letter) && !matches!(letter, '<' | '\u{2028}' | '\u{2029}') {
            safe.push(letter);
            continue;
        }
        for unit in letter.encode_utf16(&mut [0; 2]) {
            // Writing to memory cannot fail.
            let _ = write!(safe, "\\u{unit:04x}");
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_keeps_what_may_stand() {
        for (text, expected) in [
            ("a\tb\nc – ä 𝄞", "a\tb\nc – ä 𝄞"),
            ("a\0b\u{1}\u{7f}\u{9f}\u{1b}c", "abc"),
            ("a\r\nb\rc", "a\nb\nc"),
            ("a\u{b}b\u{c}c\u{85}d", "a b c d"),
            ("a\u{ffff}\u{fdd0}\u{1fffe}\u{10ffff}b", "ab"),
        ] {
            assert_eq!(for_page(text.to_owned()), expected);
        }
    }

    #[test]
    fn json_is_read_back_letter_for_letter() {
        let hostile = "</script>\u{2028}\u{2029}\0\u{1}\u{7f}\u{85}\u{9f}\u{fdd0}\u{10ffff}ä𝄞\r\n";
        let safe = in_script(&serde_json::to_string(hostile).unwrap());
        assert!(safe.chars().all(may_stand) && !safe.contains('<'), "{safe}");
        assert_eq!(serde_json::from_str::<String>(&safe).unwrap(), hostile);
    }
}
