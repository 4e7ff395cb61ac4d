//! Links to the open document: the address they need, and what was made last.

use crate::update::hand_out::name_of;
use cueleaf_export::{Address, QrPicture, link, qr_picture};
use cueleaf_guide::{Guide, Id, for_student};
use std::rc::Rc;

/// What the hand-out room knows about links.
#[derive(Debug, Default)]
pub struct Linking {
    /// The address that this device remembers; empty without one.
    pub known: String,
    /// What was typed for it and cannot be an address, and why.
    pub wrong: Option<(String, String)>,
    /// What was made last.
    pub made: Option<Made>,
    /// Another address to be drawn, and its picture or why there is none.
    pub other: Option<(String, Result<QrPicture, String>)>,
}

/// A link, made when it was asked for.
#[derive(Debug)]
pub struct Made {
    /// The document from which it was made.
    of: Rc<Guide>,
    /// The part for which it was made; the whole guide without one.
    pub part: Option<Id>,
    /// What became of copying it.
    pub copied: Option<&'static str>,
    /// The link and its picture, or why there is no link.
    pub link: Result<Ready, String>,
    /// The address alone and its picture, where the link has none.
    pub instead: Option<(String, QrPicture)>,
}

impl Made {
    /// Gives the picture that is shown: that of the link, else that of the address.
    #[must_use]
    pub fn picture(&self) -> Option<&QrPicture> {
        let own = self.link.as_ref().ok();
        let own = own.and_then(|ready| ready.picture.as_ref().ok());
        own.or_else(|| self.instead.as_ref().map(|(_, picture)| picture))
    }
}

/// A link that is ready.
#[derive(Debug)]
pub struct Ready {
    /// Its text.
    pub text: String,
    /// Its picture, or why there is none.
    pub picture: Result<QrPicture, String>,
}

impl Linking {
    /// Gives the link that was made last, unless the document has changed since.
    #[must_use]
    pub fn fresh(&self, guide: &Rc<Guide>) -> Option<&Made> {
        self.made
            .as_ref()
            .filter(|made| Rc::ptr_eq(&made.of, guide))
    }

    /// Gives the text for the field of the address.
    #[must_use]
    pub fn shown<'a>(&'a self, guide: &'a Guide) -> &'a str {
        match &self.wrong {
            Some((typed, _)) => typed,
            None if guide.settings.address.is_empty() => &self.known,
            None => &guide.settings.address,
        }
    }
}

/// Makes the link of a part, or of the whole guide.
#[must_use]
pub fn make(guide: &Rc<Guide>, part: Option<Id>, address: &Address) -> Made {
    let own = for_student(guide, part.as_ref());
    let ready = match link(&own, address) {
        Ok(link) => Ok(Ready {
            text: link.text,
            picture: picture(&link.for_picture, &own.title),
        }),
        Err(error) => Err(format!(
            "No link was made: this guide would take {} letters, and a link carries {}. The texts of \
             the tips weigh most. Hand out the file, or put the file on the web and draw a code of \
             its address below.",
            error.letters, error.limit
        )),
    };
    let has_picture = ready.as_ref().is_ok_and(|ready| ready.picture.is_ok());
    let instead = (!has_picture)
        .then(|| picture(address.as_str(), address.as_str()).ok())
        .flatten()
        .map(|picture| (address.as_str().to_owned(), picture));
    Made {
        of: Rc::clone(guide),
        part,
        copied: None,
        link: ready,
        instead,
    }
}

/// Draws a text as a QR code, named after what it opens.
///
/// # Errors
/// Why there is no picture, in words for the teacher.
pub fn picture(text: &str, title: &str) -> Result<QrPicture, String> {
    qr_picture(text, &format!("QR code: {title}")).map_err(|error| error.to_string())
}

/// Names the file of a part's QR code.
#[must_use]
pub fn picture_name(guide: &Guide, part: Option<&Id>) -> String {
    name_of(guide, part).replace(".html", "-QR.svg")
}
