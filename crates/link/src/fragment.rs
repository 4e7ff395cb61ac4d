//! A guide as the fragment of a link, and back.

use crate::checksum::crc32;
use crate::dictionary::Tongue;
use crate::letters;
use crate::squeeze::{squeezed, unsqueezed};
use crate::tokens;
use core::fmt;
use cueleaf_guide::{Guide, OpenError, open_value, save_value, without_media};

/// The most letters of a fragment.
///
/// # Source
/// Our decision: 8,000 letters were measured to arrive whole in three engines;
/// longer ones are refused unread.
pub const MAX_FRAGMENT: usize = 8_000;

/// The most letters of an address that is passed on whole nearly everywhere.
///
/// # Source
/// Our decision, after the limit of about 2,000 that old browsers and mail programs
/// had (from memory).
pub const WIDELY_SAFE: usize = 2_000;

/// The most tokens a link may hold: a limit on the work that a hostile link can make.
const MAX_TOKENS: usize = 200_000;

/// The forms of fragments known here, each by its letter.
const SMALL_FORM: char = 'a';
const CAPITAL_FORM: char = 'A';

/// A guide is too long for a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TooLong {
    /// How many letters its fragment would have; only "more than the limit" where
    /// the guide is so large that nobody counted.
    pub letters: usize,
    /// How many a fragment may have.
    pub limit: usize,
}

impl fmt::Display for TooLong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "this guide is too long for a link: it would take {} letters, and a link carries {}",
            self.letters, self.limit
        )
    }
}

impl core::error::Error for TooLong {}

/// Why a fragment gives no guide.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LinkError {
    /// There is nothing in it.
    Empty,
    /// It is no guide's: it begins otherwise.
    NoGuide,
    /// It belongs to a newer form of links, or holds a guide of a newer Cueleaf.
    Newer,
    /// It is longer than any link that was made here.
    TooLong(TooLong),
    /// A part is missing or changed.
    Damaged,
    /// It is whole, and what it holds is refused as a guide.
    Refused(OpenError),
}

impl fmt::Display for LinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("this link carries no guide: nothing stands after its #"),
            Self::NoGuide => f.write_str("what stands after the # of this link is no guide"),
            Self::Newer => f.write_str("this link was made by a newer Cueleaf than this page"),
            Self::TooLong(too_long) => write!(
                f,
                "this link has {} letters after its #, and no guide's link has more than {}",
                too_long.letters, too_long.limit
            ),
            Self::Damaged => {
                f.write_str("this link is damaged: a part of it was cut off or changed on the way")
            }
            Self::Refused(error) => write!(f, "this link is whole, but {error}"),
        }
    }
}

impl core::error::Error for LinkError {}

/// Writes a guide as a fragment, without the `#`, in letters that no program changes. A link
/// has no room for photos and voice notes: they are left out.
///
/// The same guide gives the same fragment.
///
/// # Errors
/// [`TooLong`] when it would have more than [`MAX_FRAGMENT`] letters.
///
/// ```
/// use cueleaf_guide::{Guide, Id, Measure};
/// let mut guide = Guide::new(Id::new("g").unwrap(), "Fog");
/// guide.road_map.measures = vec![Measure::labelled("1")];
/// let fragment = cueleaf_link::to_fragment(&guide)?;
/// assert_eq!(cueleaf_link::from_fragment(&fragment), Ok(guide));
/// # Ok::<(), cueleaf_link::TooLong>(())
/// ```
pub fn to_fragment(guide: &Guide) -> Result<String, TooLong> {
    let tokens = tokens::write(&save_value(&without_media(guide)));
    TooLong::guard(tokens.len(), MAX_TOKENS)?;
    let (tongue, body) = Tongue::ALL
        .into_iter()
        .map(|tongue| (tongue, squeezed(&tokens, tongue)))
        .min_by_key(|(_, body)| body.len())
        .unwrap_or((Tongue::English, Vec::new()));
    let mut bytes = vec![tongue.number()];
    bytes.extend(size_bytes(tokens.len()));
    bytes.extend(body);
    bytes.extend(crc32(&bytes).to_be_bytes());
    let fragment = format!("{SMALL_FORM}{}", letters::to_small(&bytes));
    TooLong::guard(fragment.len(), MAX_FRAGMENT)?;
    Ok(fragment)
}

/// Writes a fragment in the letters that a QR code holds most densely.
///
/// # Errors
/// [`LinkError`] when the text is no fragment of a guide, or is damaged.
pub fn to_capitals(fragment: &str) -> Result<String, LinkError> {
    let bytes = whole(fragment)?;
    Ok(format!("{CAPITAL_FORM}{}", letters::to_capitals(&bytes)))
}

/// Reads a guide from a fragment of either alphabet, with or without the `#`.
///
/// # Errors
/// [`LinkError`] for whatever is no guide; whole links alone are read.
pub fn from_fragment(fragment: &str) -> Result<Guide, LinkError> {
    let bytes = whole(fragment)?;
    let (content, _) = bytes.split_last_chunk::<4>().ok_or(LinkError::Damaged)?;
    let (head, body) = content.split_first_chunk::<4>().ok_or(LinkError::Damaged)?;
    let [number, high, middle, low] = *head;
    let tongue = Tongue::ALL
        .get(usize::from(number))
        .ok_or(LinkError::Newer)?;
    let size = [high, middle, low]
        .iter()
        .fold(0, |size, byte| size << 8 | usize::from(*byte));
    if size > MAX_TOKENS {
        return Err(LinkError::Damaged);
    }
    let value = tokens::read(&unsqueezed(body, *tongue, size)).ok_or(LinkError::Damaged)?;
    open_value(value).map_err(|error| match error {
        OpenError::Newer { .. } => LinkError::Newer,
        other => LinkError::Refused(other),
    })
}

/// Gives the bytes of a fragment whose checksum is right.
fn whole(fragment: &str) -> Result<Vec<u8>, LinkError> {
    let text = fragment.strip_prefix('#').unwrap_or(fragment);
    let Some(form) = text.chars().next() else {
        return Err(LinkError::Empty);
    };
    TooLong::guard(text.len(), MAX_FRAGMENT * 2).map_err(LinkError::TooLong)?;
    let rest = text.get(form.len_utf8()..).unwrap_or_default();
    let bytes = match form {
        SMALL_FORM => letters::from_small(rest),
        CAPITAL_FORM => letters::from_capitals(rest),
        'b'..='z' | 'B'..='Z' => return Err(LinkError::Newer),
        _ => return Err(LinkError::NoGuide),
    };
    let bytes = bytes.ok_or(LinkError::Damaged)?;
    let (content, sum) = bytes.split_last_chunk::<4>().ok_or(LinkError::Damaged)?;
    if crc32(content) != u32::from_be_bytes(*sum) {
        return Err(LinkError::Damaged);
    }
    Ok(bytes)
}

fn size_bytes(size: usize) -> [u8; 3] {
    let [.., high, middle, low] = size.to_be_bytes();
    [high, middle, low]
}

impl TooLong {
    const fn guard(letters: usize, limit: usize) -> Result<(), Self> {
        if letters > limit {
            return Err(Self { letters, limit });
        }
        Ok(())
    }
}
