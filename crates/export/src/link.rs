//! A guide as a link to a copy of the player's page.

use core::fmt;
use cueleaf_guide::Guide;
use cueleaf_link::{TooLong, to_capitals, to_fragment};

/// The most letters of an address that a teacher types.
///
/// # Source
/// Our decision: school pages have longer names than one thinks, and none has more.
const MAX_ADDRESS: usize = 300;

/// The page that opens links, where an address names a folder.
const PAGE: &str = "play.html";

/// The address of a copy of the player's page: https, in ASCII, without a fragment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Address(String);

/// Why a text is no address of a player's page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AddressError {
    /// There is none.
    Absent,
    /// It does not begin with `https://` and a name.
    NotHttps,
    /// It has a letter that an address cannot have, a space for example.
    Letter(char),
    /// It is longer than 300 letters.
    TooLong,
}

impl fmt::Display for AddressError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Absent => f.write_str(
                "A link needs the address of play.html on the web: put the files of Cueleaf on your school's page once, and type its address here.",
            ),
            Self::NotHttps => f.write_str(
                "Expected an address that begins with https://, such as https://music.school.example/play.html.",
            ),
            Self::Letter(letter) => write!(
                f,
                "An address cannot hold “{letter}”. Open the page in a browser and copy its address from there."
            ),
            Self::TooLong => write!(f, "An address has at most {MAX_ADDRESS} letters."),
        }
    }
}

impl core::error::Error for AddressError {}

impl Address {
    /// Reads what a teacher typed. What follows a `#` is left out, and an address
    /// that ends in a slash is taken for the folder of `play.html`.
    ///
    /// # Errors
    /// [`AddressError`], whose words say what to do.
    ///
    /// ```
    /// use cueleaf_export::Address;
    /// let address = Address::read(" https://school.example/music/ ")?;
    /// assert_eq!(address.as_str(), "https://school.example/music/play.html");
    /// # Ok::<(), cueleaf_export::AddressError>(())
    /// ```
    pub fn read(text: &str) -> Result<Self, AddressError> {
        let text = text.trim().split('#').next().unwrap_or_default();
        if text.is_empty() {
            return Err(AddressError::Absent);
        }
        // RFC 3986, section 2: reserved, unreserved and the percent sign; the brackets
        // are for addresses in numbers, which no teacher types.
        let allowed = |c: char| c.is_ascii_alphanumeric() || "-._~:/?@!$&'()*+,;=%".contains(c);
        if let Some(letter) = text.chars().find(|c| !allowed(*c)) {
            return Err(AddressError::Letter(letter));
        }
        let (scheme, rest) = text.split_at_checked(8).unwrap_or(("", text));
        let host = rest.split(['/', '?']).next().unwrap_or_default();
        if !scheme.eq_ignore_ascii_case("https://") || host.is_empty() || host.contains('@') {
            return Err(AddressError::NotHttps);
        }
        if text.len() > MAX_ADDRESS {
            return Err(AddressError::TooLong);
        }
        let page = if text.ends_with('/') {
            format!("{text}{PAGE}")
        } else if rest == host {
            format!("{text}/{PAGE}")
        } else {
            text.to_owned()
        };
        Ok(Self(page))
    }

    /// Gives the text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// A guide's link, twice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// For mails and pages.
    pub text: String,
    /// The same in the letters that a QR code holds most densely.
    pub for_picture: String,
}

/// Makes the link of a guide.
///
/// # Errors
/// [`TooLong`] when the guide does not fit into a link.
pub fn link(guide: &Guide, address: &Address) -> Result<Link, TooLong> {
    let mut own = guide.clone();
    // The page that opens the link knows where it is.
    own.settings.address = String::new();
    let fragment = to_fragment(&own)?;
    // What was just written is whole: its capitals cannot fail.
    let capitals = to_capitals(&fragment).unwrap_or_default();
    Ok(Link {
        text: format!("{}#{fragment}", address.as_str()),
        for_picture: format!("{}#{capitals}", address.as_str()),
    })
}

/// Makes the link for the text of a file, where the guide says an address and fits.
#[must_use]
pub fn link_of_file(guide: &Guide) -> Option<String> {
    let address = Address::read(&guide.settings.address).ok()?;
    link(guide, &address).ok().map(|link| link.text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::Id;
    use cueleaf_link::from_fragment;

    #[test]
    fn what_is_typed_becomes_an_address_or_a_sentence() {
        for (typed, address) in [
            ("https://a.example/play.html", "https://a.example/play.html"),
            (
                " https://a.example/b/#old ",
                "https://a.example/b/play.html",
            ),
            ("https://a.example", "https://a.example/play.html"),
            ("https://a.example/play", "https://a.example/play"),
            ("HTTPS://a.example/x?y=1", "HTTPS://a.example/x?y=1"),
        ] {
            assert_eq!(Address::read(typed).unwrap().as_str(), address);
        }
        for (typed, error) in [
            ("", AddressError::Absent),
            ("#", AddressError::Absent),
            ("http://a.example/", AddressError::NotHttps),
            ("a.example", AddressError::NotHttps),
            ("https://", AddressError::NotHttps),
            ("https:///x", AddressError::NotHttps),
            ("https://bank.example@evil.example/", AddressError::NotHttps),
            ("javascript:alert(1)", AddressError::NotHttps),
            ("https://a.example/my page", AddressError::Letter(' ')),
            ("https://ä.example/", AddressError::Letter('ä')),
            ("https://a.example/\"><script>", AddressError::Letter('"')),
        ] {
            assert_eq!(Address::read(typed), Err(error), "{typed}");
        }
        let long = format!("https://a.example/{}", "x".repeat(300));
        assert_eq!(Address::read(&long), Err(AddressError::TooLong));
    }

    #[test]
    fn both_links_hold_the_guide() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "Fog");
        guide.settings.address = "https://a.example/".to_owned();
        let address = Address::read(&guide.settings.address).unwrap();
        let link = link(&guide, &address).unwrap();
        assert_eq!(link_of_file(&guide).as_ref(), Some(&link.text));
        guide.settings.address = String::new();
        assert_eq!(link_of_file(&guide), None);
        for text in [link.text, link.for_picture] {
            let fragment = text.strip_prefix("https://a.example/play.html#").unwrap();
            assert_eq!(from_fragment(fragment).unwrap(), guide);
        }
    }
}
