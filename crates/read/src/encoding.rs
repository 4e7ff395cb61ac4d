//! Bytes of an XML file to text, by byte order mark, by declaration, by trial.

use crate::ReadError;
use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

/// The text of a file, and whether it was not in the encoding it claims.
#[derive(Debug)]
pub(crate) struct Decoded {
    pub(crate) text: String,
    pub(crate) mistaken: bool,
}

/// Decodes a whole file.
pub(crate) fn decode(bytes: Vec<u8>) -> Result<Decoded, ReadError> {
    let (encoding, mark) = encoding_of(&bytes)?;
    if encoding == UTF_8 {
        return Ok(match String::from_utf8(bytes) {
            Ok(mut text) => {
                if mark > 0 {
                    text.drain(..'\u{feff}'.len_utf8());
                }
                Decoded {
                    text,
                    mistaken: false,
                }
            }
            Err(error) => {
                // Old programs wrote Latin-1 and declared nothing, which means UTF-8.
                let (text, _) = WINDOWS_1252.decode_without_bom_handling(error.as_bytes());
                Decoded {
                    text: text.into_owned(),
                    mistaken: true,
                }
            }
        });
    }
    let body = bytes.get(mark..).unwrap_or_default();
    let (text, mistaken) = encoding.decode_without_bom_handling(body);
    Ok(Decoded {
        text: text.into_owned(),
        mistaken,
    })
}

/// Decodes the first bytes of a file well enough to look for words in it.
pub(crate) fn peek(bytes: &[u8]) -> String {
    let (encoding, mark) = encoding_of(bytes).unwrap_or((UTF_8, 0));
    let body = bytes.get(mark..).unwrap_or_default();
    encoding.decode_without_bom_handling(body).0.into_owned()
}

/// Finds the encoding, and how many bytes of byte order mark there are.
///
/// # Source
/// Extensible Markup Language (XML) 1.0, appendix F: detection by the first
/// four bytes, then by the declaration.
fn encoding_of(bytes: &[u8]) -> Result<(&'static Encoding, usize), ReadError> {
    if let Some((encoding, mark)) = Encoding::for_bom(bytes) {
        return Ok((encoding, mark));
    }
    match bytes {
        [0, 0, 0, b'<', ..] | [b'<', 0, 0, 0, ..] => {
            return Err(ReadError::Unsupported {
                what: "this file is in the encoding UTF-32".to_owned(),
                hint: "save it as UTF-8",
            });
        }
        [0, b'<', 0, _, ..] => return Ok((UTF_16BE, 0)),
        [b'<', 0, _, 0, ..] => return Ok((UTF_16LE, 0)),
        _ => {}
    }
    let Some(name) = declared(bytes) else {
        return Ok((UTF_8, 0));
    };
    match Encoding::for_label(name.as_bytes()) {
        // One who declares two-byte units in a readable one-byte text is wrong.
        Some(encoding) if encoding == UTF_16LE || encoding == UTF_16BE => Ok((UTF_8, 0)),
        Some(encoding) => Ok((encoding, 0)),
        None => Err(ReadError::Unsupported {
            what: format!("this file declares an encoding \"{name}\" that is not known here"),
            hint: "save it as UTF-8",
        }),
    }
}

/// Gives the encoding that the XML declaration names.
fn declared(bytes: &[u8]) -> Option<String> {
    let head = bytes.get(..bytes.len().min(256)).unwrap_or_default();
    let head = String::from_utf8_lossy(head);
    let declaration = head.trim_start().strip_prefix("<?xml")?;
    let declaration = declaration.split("?>").next()?;
    let value = declaration.split_once("encoding")?.1.trim_start();
    let value = value.strip_prefix('=')?.trim_start();
    let quote = value.chars().next().filter(|c| *c == '"' || *c == '\'')?;
    let name = value.get(1..)?.split(quote).next()?;
    Some(name.trim().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(bytes: &[u8], expected: &str) {
        assert_eq!(decode(bytes.to_vec()).unwrap().text, expected);
    }

    #[test]
    fn encodings_are_told_by_mark_or_declaration() {
        check("<a>é</a>".as_bytes(), "<a>é</a>");
        check("\u{feff}<a>é</a>".as_bytes(), "<a>é</a>");
        for (big, mark) in [(true, true), (true, false), (false, true), (false, false)] {
            let text = if mark {
                "\u{feff}<a>é♭</a>"
            } else {
                "<a>é♭</a>"
            };
            let bytes: Vec<u8> = text
                .encode_utf16()
                .flat_map(|unit| {
                    if big {
                        unit.to_be_bytes()
                    } else {
                        unit.to_le_bytes()
                    }
                })
                .collect();
            check(&bytes, "<a>é♭</a>");
        }
        for name in ["ISO-8859-1", "windows-1252", "latin1"] {
            let mut bytes = format!("<?xml version='1.0' encoding='{name}'?><a>").into_bytes();
            bytes.push(0xe9);
            let text = decode(bytes).unwrap().text;
            assert!(text.ends_with("<a>é"), "{text}");
        }
        let mut japanese = b"<?xml version=\"1.0\" encoding=\"Shift_JIS\"?>".to_vec();
        japanese.extend([0x83, 0x81]);
        assert!(decode(japanese).unwrap().text.ends_with('メ'));
    }

    #[test]
    fn a_wrong_declaration_is_survived_and_told() {
        let decoded = decode(b"<a>caf\xe9</a>".to_vec()).unwrap();
        assert_eq!(decoded.text, "<a>café</a>");
        assert!(decoded.mistaken);
        let text = "<?xml version=\"1.0\" encoding=\"UTF-16\"?><a>é</a>";
        check(text.as_bytes(), text);
        let error = decode(b"<?xml version=\"1.0\" encoding=\"klingon\"?>".to_vec()).unwrap_err();
        assert!(error.to_string().contains("\"klingon\""), "{error}");
    }
}
