//! Lengths in words, as musicians say them.

use cueleaf_time::BeatSpan;

/// Says a length in whole note values: "5 eighths", "1 quarter". What is none of those is a
/// fraction of quarters.
///
/// ```
/// use cueleaf_guide::length_words;
///
/// assert_eq!(length_words("5/2".parse()?), "5 eighths");
/// assert_eq!(length_words("1".parse()?), "1 quarter");
/// # Ok::<(), cueleaf_time::TimeError>(())
/// ```
#[must_use]
pub fn length_words(length: BeatSpan) -> String {
    let quarters = length.quarters();
    let (count, note) = match quarters.denominator() {
        1 => (quarters.numerator(), "quarter"),
        2 => (quarters.numerator(), "eighth"),
        4 => (quarters.numerator(), "16th"),
        8 => (quarters.numerator(), "32nd"),
        _ => return format!("{length} quarters"),
    };
    let many = if count == 1 { "" } else { "s" };
    format!("{count} {note}{many}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_said_in_note_values() {
        for (length, words) in [
            ("1/2", "1 eighth"),
            ("3/4", "3 16ths"),
            ("4", "4 quarters"),
            ("1/8", "1 32nd"),
            ("4/3", "4/3 quarters"),
        ] {
            assert_eq!(length_words(length.parse().unwrap()), words);
        }
    }
}
