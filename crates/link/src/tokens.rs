//! A tree of JSON values as tokens, and back.
//!
//! The bytes that UTF-8 never uses mark what is no text, so a text ends without
//! having its length said, which a model foretells better. What often follows
//! from what stands before has a token of its own: the label that counts on from
//! the last one, the measure that comes some measures after the last one named.

use crate::names::{name_of, token_of};
use serde_json::{Map, Number, Value};

/// How deep lists and objects may lie in one another, as deep as `serde_json` reads.
const MAX_DEPTH: u8 = 127;

const NULL: u8 = 0;
const FALSE: u8 = 1;
const TRUE: u8 = 2;
const LIST: u8 = 3;
const OBJECT: u8 = 4;
const TEXT: u8 = 5;
/// A text of 16 hexadecimal digits, as fresh ids are: 8 bytes.
const HEX: u8 = 6;
/// The label one above the last label.
const NEXT: u8 = 7;
/// A whole number from 0: seven bits a byte, the lowest first.
const WHOLE: u8 = 8;
/// A whole number below 0: how far below −1.
const BELOW: u8 = 9;
/// Any other number: the 8 bytes of its IEEE 754 form.
const REAL: u8 = 10;
/// A measure: how many after the measure named last.
const AFTER: u8 = 11;
/// From here on the whole numbers from 0 have one byte each.
const SMALL: u8 = 16;
const END_OF_SMALL: u8 = 0xf0;
/// In the place of a field's name: the name as text follows.
const SPELLED: u8 = 0xfe;
/// Ends a text, a list, an object.
const END: u8 = 0xff;

/// What the next value may follow from.
#[derive(Debug, Default)]
struct Before {
    label: Option<u64>,
    measure: u64,
}

/// The field a value stands in, as far as it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Field {
    Label,
    Measure,
    Other,
}

impl Field {
    fn named(name: &str) -> Self {
        match name {
            "label" => Self::Label,
            "measure" => Self::Measure,
            _ => Self::Other,
        }
    }
}

/// Writes a value as tokens. Fields go in the order of their names.
pub(crate) fn write(value: &Value) -> Vec<u8> {
    let mut writer = Writer {
        bytes: Vec::new(),
        before: Before::default(),
    };
    writer.value(value, Field::Other);
    writer.bytes
}

/// Writes a text as it stands among tokens.
pub(crate) fn write_text(text: &str) -> Vec<u8> {
    let mut bytes = vec![TEXT];
    bytes.extend_from_slice(text.as_bytes());
    bytes.push(END);
    bytes
}

struct Writer {
    bytes: Vec<u8>,
    before: Before,
}

impl Writer {
    fn value(&mut self, value: &Value, field: Field) {
        match value {
            Value::Null => self.bytes.push(NULL),
            Value::Bool(false) => self.bytes.push(FALSE),
            Value::Bool(true) => self.bytes.push(TRUE),
            Value::Number(number) => self.number(number, field),
            Value::String(text) => self.string(text, field),
            Value::Array(values) => {
                self.bytes.push(LIST);
                for own in values {
                    self.value(own, Field::Other);
                }
                self.bytes.push(END);
            }
            Value::Object(fields) => {
                self.bytes.push(OBJECT);
                let mut fields: Vec<(&String, &Value)> = fields.iter().collect();
                fields.sort_by_key(|(name, _)| name.as_str());
                for (name, own) in fields {
                    match token_of(name) {
                        Some(token) => self.bytes.push(token),
                        None => {
                            self.bytes.push(SPELLED);
                            self.bytes.extend_from_slice(name.as_bytes());
                            self.bytes.push(END);
                        }
                    }
                    self.value(own, Field::named(name));
                }
                self.bytes.push(END);
            }
        }
    }

    fn number(&mut self, number: &Number, field: Field) {
        if let Some(whole) = number.as_u64() {
            let after = whole.checked_sub(self.before.measure);
            if field == Field::Measure {
                self.before.measure = whole;
                if let Some(after) = after {
                    self.bytes.push(AFTER);
                    self.varint(after);
                    return;
                }
            }
            match u8::try_from(whole)
                .ok()
                .and_then(|own| own.checked_add(SMALL))
            {
                Some(token) if token < END_OF_SMALL => self.bytes.push(token),
                _ => {
                    self.bytes.push(WHOLE);
                    self.varint(whole);
                }
            }
        } else if let Some(below) = number.as_i64() {
            self.bytes.push(BELOW);
            self.varint((-1 - below).unsigned_abs());
        } else {
            self.bytes.push(REAL);
            let bits = number.as_f64().unwrap_or_default().to_bits();
            self.bytes.extend_from_slice(&bits.to_le_bytes());
        }
    }

    fn varint(&mut self, mut number: u64) {
        while number > 0x7f {
            let [low, ..] = number.to_le_bytes();
            self.bytes.push(low | 0x80);
            number >>= 7;
        }
        let [low, ..] = number.to_le_bytes();
        self.bytes.push(low);
    }

    fn string(&mut self, text: &str, field: Field) {
        if field == Field::Label {
            let expected = self.before.label.and_then(|last| last.checked_add(1));
            self.before.label = counted(text);
            if expected.is_some() && expected == self.before.label {
                self.bytes.push(NEXT);
                return;
            }
        }
        if let Some(bits) = hex(text) {
            self.bytes.push(HEX);
            self.bytes.extend_from_slice(&bits.to_be_bytes());
            return;
        }
        self.bytes.push(TEXT);
        self.bytes.extend_from_slice(text.as_bytes());
        self.bytes.push(END);
    }
}

/// Reads a number that would be written back just so.
fn counted(text: &str) -> Option<u64> {
    let number: u64 = text.parse().ok()?;
    (number.to_string() == text).then_some(number)
}

/// Reads a text as 16 small hexadecimal digits.
fn hex(text: &str) -> Option<u64> {
    let bits = u64::from_str_radix(text, 16).ok()?;
    (format!("{bits:016x}") == text).then_some(bits)
}

/// Reads a value that takes all the tokens; `None` where they make no sense.
pub(crate) fn read(tokens: &[u8]) -> Option<Value> {
    let mut reader = Reader {
        rest: tokens,
        before: Before::default(),
    };
    let value = reader.value(Field::Other, 0)?;
    reader.rest.is_empty().then_some(value)
}

struct Reader<'a> {
    rest: &'a [u8],
    before: Before,
}

impl Reader<'_> {
    fn byte(&mut self) -> Option<u8> {
        let (first, rest) = self.rest.split_first()?;
        self.rest = rest;
        Some(*first)
    }

    /// Tells whether the next token ends what is read, and takes it if so.
    fn ends(&mut self) -> Option<bool> {
        let ends = *self.rest.first()? == END;
        if ends {
            self.byte()?;
        }
        Some(ends)
    }

    fn eight(&mut self) -> Option<[u8; 8]> {
        let (eight, rest) = self.rest.split_first_chunk::<8>()?;
        self.rest = rest;
        Some(*eight)
    }

    fn text(&mut self) -> Option<String> {
        let end = self.rest.iter().position(|byte| *byte == END)?;
        let (text, rest) = self.rest.split_at_checked(end)?;
        self.rest = rest.get(1..)?;
        core::str::from_utf8(text).ok().map(str::to_owned)
    }

    fn varint(&mut self) -> Option<u64> {
        let mut number = 0u64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            let bits = u64::from(byte & 0x7f);
            if (bits << shift) >> shift != bits {
                return None;
            }
            number |= bits << shift;
            if byte & 0x80 == 0 {
                return Some(number);
            }
        }
        None
    }

    fn value(&mut self, field: Field, depth: u8) -> Option<Value> {
        if depth > MAX_DEPTH {
            return None;
        }
        let token = self.byte()?;
        Some(match token {
            NULL => Value::Null,
            FALSE => Value::Bool(false),
            TRUE => Value::Bool(true),
            LIST => {
                let mut values = Vec::new();
                while !self.ends()? {
                    values.push(self.value(Field::Other, depth + 1)?);
                }
                Value::Array(values)
            }
            OBJECT => Value::Object(self.fields(depth)?),
            TEXT => {
                let text = self.text()?;
                if field == Field::Label {
                    self.before.label = counted(&text);
                }
                Value::String(text)
            }
            HEX => {
                let text = format!("{:016x}", u64::from_be_bytes(self.eight()?));
                if field == Field::Label {
                    self.before.label = counted(&text);
                }
                Value::String(text)
            }
            NEXT => {
                let next = self.before.label?.checked_add(1)?;
                self.before.label = Some(next);
                Value::String(next.to_string())
            }
            WHOLE => self.whole(field, None)?,
            AFTER => {
                let after = self.varint()?;
                let whole = self.before.measure.checked_add(after)?;
                self.whole(field, Some(whole))?
            }
            BELOW => {
                let below = i64::try_from(self.varint()?).ok()?;
                Value::from(-1 - below)
            }
            REAL => Value::Number(Number::from_f64(f64::from_le_bytes(self.eight()?))?),
            SMALL..END_OF_SMALL => self.whole(field, Some(u64::from(token - SMALL)))?,
            _ => return None,
        })
    }

    /// Gives a whole number, read now where it is not known yet.
    fn whole(&mut self, field: Field, known: Option<u64>) -> Option<Value> {
        let whole = match known {
            Some(whole) => whole,
            None => self.varint()?,
        };
        if field == Field::Measure {
            self.before.measure = whole;
        }
        Some(Value::from(whole))
    }

    fn fields(&mut self, depth: u8) -> Option<Map<String, Value>> {
        let mut fields = Map::new();
        while !self.ends()? {
            let name = match self.byte()? {
                SPELLED => self.text()?,
                token => name_of(token)?.to_owned(),
            };
            let value = self.value(Field::named(&name), depth + 1)?;
            fields.insert(name, value);
        }
        Some(fields)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use serde_json::json;

    fn any_value() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            any::<u64>().prop_map(Value::from),
            any::<i64>().prop_map(Value::from),
            (0..300u64).prop_map(Value::from),
            any::<f64>().prop_map(Value::from),
            any::<String>().prop_map(Value::from),
            any::<u64>().prop_map(|bits| Value::from(format!("{bits:016x}"))),
            (0..12u64).prop_map(|number| Value::from(number.to_string())),
        ];
        let name = prop_oneof![
            Just("label".to_owned()),
            Just("measure".to_owned()),
            Just("text".to_owned()),
            any::<String>(),
        ];
        leaf.prop_recursive(4, 60, 8, move |inner| {
            prop_oneof![
                proptest::collection::vec(inner.clone(), 0..8).prop_map(Value::from),
                proptest::collection::vec((name.clone(), inner), 0..8)
                    .prop_map(|fields| Value::Object(fields.into_iter().collect())),
            ]
        })
    }

    proptest! {
        #[test]
        fn values_come_back(value in any_value()) {
            prop_assert_eq!(read(&write(&value)), Some(value));
        }

        #[test]
        fn no_bytes_are_too_strange(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
            let _ = read(&bytes);
        }
    }

    #[test]
    fn what_follows_from_before_is_short() {
        let value = json!([
            {"label": "9"}, {"label": "10"}, {"label": "11"}, {"measure": 700}, {"measure": 702}
        ]);
        let tokens = write(&value);
        assert_eq!(read(&tokens), Some(value));
        assert_eq!(tokens.iter().filter(|token| **token == NEXT).count(), 2);
        assert!(tokens.ends_with(&[AFTER, 2, END, END]));
    }

    #[test]
    fn depth_has_an_end() {
        let mut tokens = vec![LIST; 100_000];
        assert_eq!(read(&tokens), None);
        tokens.resize(200_000, END);
        assert_eq!(read(&tokens), None);
        let fits = [vec![LIST; 127], vec![END; 127]].concat();
        assert!(read(&fits).is_some());
    }
}
