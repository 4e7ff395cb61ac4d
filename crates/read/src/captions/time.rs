//! Times of captions.

/// Reads the line of two times with an arrow between them; gives the first in milliseconds.
pub(super) fn arrow(line: &str) -> Option<u64> {
    let (from, to) = line.split_once("-->")?;
    let from = clock(from.trim())?;
    // Settings may follow the second time.
    clock(to.split_whitespace().next()?)?;
    Some(from)
}

/// Reads "1:02:03.500", "02:03,500", "2:03" or "2:03.5"; gives milliseconds.
pub(super) fn clock(text: &str) -> Option<u64> {
    let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, "0"));
    let digits = |text: &str| {
        !text.is_empty() && text.len() <= 6 && text.bytes().all(|b| b.is_ascii_digit())
    };
    let mut total: u64 = 0;
    let fields: Vec<&str> = whole.split(':').collect();
    if !(2..=3).contains(&fields.len()) {
        return None;
    }
    for (index, field) in fields.iter().enumerate() {
        let value: u64 = field.parse().ok().filter(|_| digits(field))?;
        if index > 0 && value > 59 {
            return None;
        }
        total = total.checked_mul(60)?.checked_add(value)?;
    }
    if !digits(part) {
        return None;
    }
    let milliseconds: String = part.chars().chain("000".chars()).take(3).collect();
    total
        .checked_mul(1_000)?
        .checked_add(milliseconds.parse().ok()?)
}
