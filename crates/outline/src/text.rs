//! Pieces of a line with their columns, and the teacher's own words, plain or in quotes.

use core::ops::Range;

/// A piece of a line, and the column at which it starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Piece<'a> {
    pub(crate) text: &'a str,
    /// In characters from 1.
    pub(crate) column: usize,
}

impl<'a> Piece<'a> {
    pub(crate) const fn line(text: &'a str) -> Self {
        Self { text, column: 1 }
    }

    /// Cuts at a byte; a byte inside a letter gives everything to the left.
    pub(crate) fn cut(self, byte: usize) -> (Self, Self) {
        let (left, right) = self.text.split_at_checked(byte).unwrap_or((self.text, ""));
        let right = Self {
            text: right,
            column: self.column + left.chars().count(),
        };
        (Self { text: left, ..self }, right)
    }

    pub(crate) fn trim(self) -> Self {
        let lead = self.text.len() - self.text.trim_start().len();
        let (_, rest) = self.cut(lead);
        Self {
            text: rest.text.trim_end(),
            ..rest
        }
    }

    pub(crate) const fn is_empty(self) -> bool {
        self.text.is_empty()
    }

    /// Gives the columns from the first to after the last; never empty, so that something
    /// can be shown.
    pub(crate) fn columns(self) -> Range<usize> {
        self.column..self.column + self.text.chars().count().max(1)
    }

    /// Gives what follows a word or phrase with which the piece starts. The case of ASCII
    /// letters does not matter; the word must end there.
    pub(crate) fn after(self, word: &str) -> Option<Self> {
        let head = self.text.get(..word.len())?;
        let (_, rest) = self.cut(word.len());
        let next = rest.text.chars().next();
        let ends = word.ends_with([':', ' ']) || next.is_none_or(|next| !next.is_alphanumeric());
        (head.eq_ignore_ascii_case(word) && ends).then(|| rest.trim())
    }

    /// Tells whether the piece is a phrase, the case of ASCII letters aside.
    pub(crate) fn is(self, phrase: &str) -> bool {
        self.text.eq_ignore_ascii_case(phrase)
    }

    /// Cuts at the last place where a word stands between spaces.
    pub(crate) fn around_last(self, word: &str) -> Option<(Self, Self)> {
        let found = outside_quotes(self.text)
            .filter(|(at, _)| is_word_at(self.text, *at, word))
            .last()?;
        let (left, rest) = self.cut(found.0);
        let (_, right) = rest.cut(word.len());
        Some((left.trim(), right.trim()))
    }

    /// Cuts at every sign of a kind that stands outside quotes.
    pub(crate) fn split(self, signs: &[char]) -> Vec<Self> {
        let mut pieces = Vec::new();
        let mut rest = self;
        let mut gone = 0;
        for (at, sign) in outside_quotes(self.text) {
            if signs.contains(&sign) {
                let (piece, after) = rest.cut(at - gone);
                pieces.push(piece.trim());
                rest = after.cut(sign.len_utf8()).1;
                gone = at + sign.len_utf8();
            }
        }
        pieces.push(rest.trim());
        pieces
    }

    /// Cuts at every place where a word stands between spaces outside quotes.
    pub(crate) fn split_at_word(self, word: &str) -> Vec<Self> {
        let mut pieces = Vec::new();
        let mut rest = self;
        let mut gone = 0;
        for (at, _) in outside_quotes(self.text) {
            if is_word_at(self.text, at, word) {
                let (piece, after) = rest.cut(at - gone);
                pieces.push(piece.trim());
                rest = after.cut(word.len()).1;
                gone = at + word.len();
            }
        }
        pieces.push(rest.trim());
        pieces
    }

    /// Gives the byte at which the first gap of two spaces or a tab stands outside quotes.
    pub(crate) fn wide_space(self) -> Option<usize> {
        let wide = |at: usize| {
            self.text
                .get(at..)
                .is_some_and(|rest| rest.starts_with("  "))
        };
        let mut signs = outside_quotes(self.text);
        signs
            .find(|(at, sign)| *sign == '\t' || wide(*at))
            .map(|(at, _)| at)
    }

    /// Cuts at the first colon outside quotes.
    pub(crate) fn at_colon(self) -> Option<(Self, Self)> {
        let (at, _) = outside_quotes(self.text).find(|(_, sign)| *sign == ':')?;
        let (left, rest) = self.cut(at);
        Some((left.trim(), rest.cut(1).1.trim()))
    }
}

fn is_word_at(text: &str, at: usize, word: &str) -> bool {
    let spaced = |near: Option<char>| near.is_some_and(char::is_whitespace);
    text.get(at..at + word.len())
        .is_some_and(|here| here.eq_ignore_ascii_case(word))
        && spaced(text.get(..at).and_then(|left| left.chars().next_back()))
        && spaced(
            text.get(at + word.len()..)
                .and_then(|right| right.chars().next()),
        )
}

/// Gives the characters that stand outside straight quotes, with their bytes. A quote that
/// nothing closes quotes nothing, nor does any after it, so that an inch sign does no harm.
fn outside_quotes(text: &str) -> impl Iterator<Item = (usize, char)> + '_ {
    let mut end_of_quoted = 0;
    let mut quotes = true;
    text.char_indices().filter(move |(at, sign)| {
        if *at < end_of_quoted {
            return false;
        }
        if *sign != '"' || !quotes {
            return true;
        }
        let length = text.get(*at..).and_then(quoted_length);
        quotes = length.is_some();
        end_of_quoted = at + length.unwrap_or_default();
        !quotes
    })
}

/// Gives the bytes of the quoted text with which a text starts, both quotes included.
pub(crate) fn quoted_length(text: &str) -> Option<usize> {
    let mut signs = text.char_indices();
    signs.next().filter(|(_, first)| *first == '"')?;
    let mut escaped = false;
    for (at, sign) in signs {
        match sign {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return Some(at + 1),
            _ => {}
        }
    }
    None
}

/// Puts a text in quotes; what would break the line or hide in it is written as an escape.
pub(crate) fn quote(text: &str) -> String {
    let mut quoted = String::from("\"");
    for sign in text.chars() {
        match sign {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            sign if is_hidden(sign) => {
                quoted.push_str(&format!("\\u{{{:x}}}", u32::from(sign)));
            }
            sign => quoted.push(sign),
        }
    }
    quoted.push('"');
    quoted
}

/// Gives what stands in quotes when the whole text does; `None` for any other text.
pub(crate) fn unquote(text: &str) -> Option<String> {
    if quoted_length(text) != Some(text.len()) {
        return None;
    }
    let inner = text.get(1..text.len() - 1)?;
    let mut plain = String::new();
    let mut signs = inner.chars();
    while let Some(sign) = signs.next() {
        if sign != '\\' {
            plain.push(sign);
            continue;
        }
        match signs.next()? {
            'n' => plain.push('\n'),
            own @ ('"' | '\\') => plain.push(own),
            'u' => {
                signs.next().filter(|open| *open == '{')?;
                let figures: String = signs.by_ref().take_while(|sign| *sign != '}').collect();
                let code = u32::from_str_radix(&figures, 16).ok()?;
                plain.push(char::from_u32(code)?);
            }
            _ => return None,
        }
    }
    Some(plain)
}

/// Tells whether a sign breaks lines or turns their order around, so that it is shown as an
/// escape.
///
/// # Source
/// Unicode Standard Annex 9, table of the explicit directional formatting characters, and
/// chapter 5.8 of the standard, newline guidelines; the list from memory.
fn is_hidden(sign: char) -> bool {
    sign.is_control()
        || matches!(sign, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// Tells whether a line of text can stand as it is where the rest of a line is text.
pub(crate) fn is_plain_line(text: &str) -> bool {
    !text.is_empty()
        && text.trim() == text
        && !text.chars().any(is_hidden)
        && unquote(text).is_none()
}

/// Writes a text that takes the rest of its line.
pub(crate) fn write_line(text: &str) -> String {
    if is_plain_line(text) {
        text.to_owned()
    } else {
        quote(text)
    }
}

/// Reads a text that takes the rest of its line.
pub(crate) fn read_line(piece: Piece<'_>) -> String {
    unquote(piece.text).unwrap_or_else(|| piece.text.to_owned())
}

/// Writes a name, plain where it holds none of the words and signs that have a meaning there.
pub(crate) fn write_name(name: &str, meaning: &[&str]) -> String {
    if is_plain_name(name, meaning) {
        name.to_owned()
    } else {
        quote(name)
    }
}

/// Tells whether a name can stand among other things without quotes.
pub(crate) fn is_plain_name(name: &str, meaning: &[&str]) -> bool {
    let signs = |sign: char| sign.is_alphanumeric() || " .'’+-–/&!?()".contains(sign);
    !name.is_empty()
        && name.trim() == name
        && name.chars().all(signs)
        && !name
            .split_whitespace()
            .any(|word| meaning.iter().any(|own| own.eq_ignore_ascii_case(word)))
}

/// Reads a name, in straight or curly quotes or in none.
pub(crate) fn read_name(piece: Piece<'_>) -> String {
    let curly = || {
        let inner = piece.text.strip_prefix(['“', '„'])?;
        Some(inner.strip_suffix(['”', '“'])?.to_owned())
    };
    unquote(piece.text)
        .or_else(curly)
        .unwrap_or_else(|| piece.text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_hold_every_text() {
        for text in [
            "",
            "a",
            "\"",
            "\\n",
            "a\nb",
            "\u{202e}\u{0}\r",
            "\\u{41}",
            "é\u{2028}",
        ] {
            assert_eq!(unquote(&quote(text)).as_deref(), Some(text));
            assert!(!quote(text).contains('\n'));
        }
        for text in ["", "\"", "a", "\"a\" b", "\"\\x\"", "\"a", "\"\\\""] {
            assert_eq!(unquote(text), None, "{text}");
        }
    }

    #[test]
    fn pieces_know_their_columns() {
        let line = Piece::line("é, \"a, b\" ; c");
        let columns: Vec<_> = line
            .split(&[',', ';'])
            .iter()
            .map(|p| (p.text, p.column))
            .collect();
        assert_eq!(columns, [("é", 1), ("\"a, b\"", 4), ("c", 13)]);
        let rest = Piece::line("Section  A").after("section").unwrap();
        assert_eq!((rest.text, rest.column), ("A", 10));
        assert!(Piece::line("sections").after("section").is_none());
        let words = Piece::line("a and \"b and c\" and d").split_at_word("and");
        assert_eq!(words.len(), 3);
        assert_eq!(Piece::line("12\" and, 3").split(&[',']).len(), 2);
    }
}
