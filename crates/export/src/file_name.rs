//! Names for files, safe on every system.

use cueleaf_guide::{Guide, Part};

/// The most letters of a name before its ending.
///
/// # Source
/// Our decision: far below the 255 bytes of common file systems, in any script.
const MAX_LETTERS: usize = 60;

/// Names that Windows keeps for devices.
///
/// # Source
/// Microsoft, "Naming Files, Paths, and Namespaces".
const DEVICES: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8",
    "com9", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
];

/// Names the file of a guide, or of one part of it: "Fog-Bank-Viola.html".
///
/// Letters and digits of any script stay, with the marks over, under and in them;
/// everything else becomes a hyphen.
#[must_use]
pub fn file_name(guide: &Guide, part: Option<&Part>) -> String {
    let part = part.map_or("", |part| part.name.as_str());
    let joined = format!("{} {part}", guide.title);
    let words: Vec<&str> = joined
        .split(|letter: char| !letter.is_alphanumeric() && !is_mark(letter))
        .map(|word| word.trim_start_matches(is_mark))
        .filter(|word| !word.is_empty())
        .collect();
    let name: String = words.join("-").chars().take(MAX_LETTERS).collect();
    let name = name.trim_end_matches('-');
    if name.is_empty() || DEVICES.contains(&name.to_ascii_lowercase().as_str()) {
        return format!("guide-{name}").trim_end_matches('-').to_owned() + ".html";
    }
    format!("{name}.html")
}

/// Tells whether a letter is a mark that belongs to the one before it, such as the accent of
/// a decomposed "é".
///
/// # Source
/// The documentation of `str::escape_debug`: letters that extend another are escaped at the
/// start of a text only; what cannot be printed, everywhere.
fn is_mark(letter: char) -> bool {
    let escaped = |text: String| text.escape_debug().any(|own| own == '\\');
    !letter.is_ascii() && escaped(letter.to_string()) && !escaped(format!("a{letter}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::Id;

    fn named(title: &str, part: Option<&str>) -> String {
        let guide = Guide::new(Id::new("g").unwrap(), title);
        let part = part.map(|name| Part {
            id: Id::new("p").unwrap(),
            name: name.to_owned(),
            marks: Vec::new(),
            extra: Default::default(),
        });
        file_name(&guide, part.as_ref())
    }

    #[test]
    fn names_hold_nothing_a_system_refuses() {
        for (title, part, expected) in [
            ("Fog Bank", Some("Violin II"), "Fog-Bank-Violin-II.html"),
            ("a/b\\c:d*e?f\"g<h>i|j", None, "a-b-c-d-e-f-g-h-i-j.html"),
            ("Überfahrt", Some("Vla."), "Überfahrt-Vla.html"),
            ("../..", None, "guide.html"),
            ("Dvor\u{30c}a\u{301}k", None, "Dvor\u{30c}a\u{301}k.html"),
            ("हिन्दी गीत", None, "हिन्दी-गीत.html"),
            // Neither a mark without its letter nor what is not seen.
            ("\u{301}a \u{301}b\u{200b}c\u{202e}d", None, "a-b-c-d.html"),
            ("か\u{3099}く 🎻 ♪", None, "か\u{3099}く.html"),
            ("", None, "guide.html"),
            ("NUL", None, "guide-NUL.html"),
        ] {
            assert_eq!(named(title, part), expected);
        }
        assert_eq!(named(&"x".repeat(500), None).len(), MAX_LETTERS + 5);
    }
}
