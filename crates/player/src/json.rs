//! JSON, as far as a guide needs it.
//!
//! A general reader weighs as much as the rest of the player. A guide has only
//! whole numbers, so any other number is taken for nothing.
//!
//! # Source
//! RFC 8259, The JavaScript Object Notation Data Interchange Format.

use std::iter::Peekable;
use std::str::Chars;

/// A value that was read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Value {
    /// Nothing, or a number that is not whole.
    #[default]
    Null,
    /// True or false.
    Bool(bool),
    /// A whole number.
    Number(i64),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Value>),
    /// Named values in written order.
    Object(Vec<(String, Value)>),
}

/// How deep values may lie in one another.
///
/// # Source
/// Our decision: a guide is not eight deep.
const MAX_DEPTH: u8 = 60;

impl Value {
    /// Reads a whole text; `None` where it is no JSON.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut reader = Reader {
            rest: text.chars().peekable(),
        };
        let value = reader.value(0)?;
        reader.white();
        reader.rest.next().is_none().then_some(value)
    }
}

struct Reader<'a> {
    rest: Peekable<Chars<'a>>,
}

impl Reader<'_> {
    fn white(&mut self) {
        while self
            .rest
            .next_if(|c| matches!(c, ' ' | '\t' | '\n' | '\r'))
            .is_some()
        {}
    }

    /// Passes over a sign, if it comes.
    fn sign(&mut self, sign: char) -> bool {
        self.white();
        self.rest.next_if_eq(&sign).is_some()
    }

    fn word(&mut self, word: &str, value: Value) -> Option<Value> {
        word.chars()
            .all(|c| self.rest.next() == Some(c))
            .then_some(value)
    }

    fn value(&mut self, depth: u8) -> Option<Value> {
        self.white();
        if depth > MAX_DEPTH {
            return None;
        }
        match *self.rest.peek()? {
            '{' => self.object(depth),
            '[' => self.list(depth),
            '"' => self.text().map(Value::Text),
            't' => self.word("true", Value::Bool(true)),
            'f' => self.word("false", Value::Bool(false)),
            'n' => self.word("null", Value::Null),
            _ => self.number(),
        }
    }

    fn object(&mut self, depth: u8) -> Option<Value> {
        self.rest.next();
        let mut fields = Vec::new();
        if self.sign('}') {
            return Some(Value::Object(fields));
        }
        loop {
            self.white();
            let name = self.text()?;
            if !self.sign(':') {
                return None;
            }
            fields.push((name, self.value(depth + 1)?));
            if !self.sign(',') {
                return self.sign('}').then_some(Value::Object(fields));
            }
        }
    }

    fn list(&mut self, depth: u8) -> Option<Value> {
        self.rest.next();
        let mut values = Vec::new();
        if self.sign(']') {
            return Some(Value::List(values));
        }
        loop {
            values.push(self.value(depth + 1)?);
            if !self.sign(',') {
                return self.sign(']').then_some(Value::List(values));
            }
        }
    }

    fn number(&mut self) -> Option<Value> {
        let mut digits = String::new();
        while let Some(c) = self
            .rest
            .next_if(|c| matches!(c, '0'..='9' | '-' | '+' | '.' | 'e' | 'E'))
        {
            digits.push(c);
        }
        let whole = digits.bytes().all(|b| b.is_ascii_digit() || b == b'-');
        match digits.parse() {
            Ok(number) if whole => Some(Value::Number(number)),
            // A number nobody here asks for; without any digit it is no number.
            _ => digits
                .bytes()
                .any(|b| b.is_ascii_digit())
                .then_some(Value::Null),
        }
    }

    fn text(&mut self) -> Option<String> {
        self.rest.next_if_eq(&'"')?;
        let mut text = String::new();
        loop {
            match self.rest.next()? {
                '"' => return Some(text),
                '\\' => text.push(self.escape()?),
                c => text.push(c),
            }
        }
    }

    fn escape(&mut self) -> Option<char> {
        Some(match self.rest.next()? {
            'b' => '\u{8}',
            'f' => '\u{c}',
            'n' => '\n',
            'r' => '\r',
            't' => '\t',
            'u' => {
                let first = self.hex()?;
                if !(0xd800..0xdc00).contains(&first) {
                    return Some(char::from_u32(first).unwrap_or(char::REPLACEMENT_CHARACTER));
                }
                self.word("\\u", Value::Null)?;
                let second = self.hex()?.checked_sub(0xdc00)?;
                let code = 0x1_0000 + ((first - 0xd800) << 10) + (second & 0x3ff);
                char::from_u32(code).unwrap_or(char::REPLACEMENT_CHARACTER)
            }
            c @ ('"' | '\\' | '/') => c,
            _ => return None,
        })
    }

    fn hex(&mut self) -> Option<u32> {
        let mut code = 0;
        for _ in 0..4 {
            code = code * 16 + self.rest.next()?.to_digit(16)?;
        }
        Some(code)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_read() {
        let text = r#" {"a": [1, -20, 1.5, 2e3, true,false , null ], "":{}, "t":"\u00fc\ud83c\udfbb\n\"\\\/<" } "#;
        let expected = Value::Object(vec![
            (
                "a".to_owned(),
                Value::List(vec![
                    Value::Number(1),
                    Value::Number(-20),
                    Value::Null,
                    Value::Null,
                    Value::Bool(true),
                    Value::Bool(false),
                    Value::Null,
                ]),
            ),
            (String::new(), Value::Object(Vec::new())),
            ("t".to_owned(), Value::Text("ü🎻\n\"\\/<".to_owned())),
        ]);
        assert_eq!(Value::read(text), Some(expected));
        assert_eq!(Value::read("[]"), Some(Value::List(Vec::new())));
    }

    #[test]
    fn what_is_no_json_is_refused() {
        for text in [
            "",
            "{",
            "[1,",
            "[1 2]",
            "{\"a\" 1}",
            "{a:1}",
            "tru",
            "\"",
            "\"\\x\"",
            "\"\\ud800\"",
            "1 1",
            "-",
            "+",
        ] {
            assert_eq!(Value::read(text), None, "{text}");
        }
        assert_eq!(Value::read(&"[".repeat(100_000)), None);
        let deep = "[".repeat(50) + &"]".repeat(50);
        assert!(Value::read(&deep).is_some());
    }
}
