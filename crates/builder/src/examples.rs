//! The examples that the page carries.

/// A piece to look at.
#[derive(Debug)]
pub(crate) struct Example {
    /// Its title.
    pub(crate) title: &'static str,
    /// What is in it, in a few words.
    pub(crate) about: &'static str,
    /// The name of its file.
    pub(crate) name: &'static str,
    /// Its bytes.
    pub(crate) bytes: &'static [u8],
}

/// The examples, in the order in which they are offered.
pub(crate) const EXAMPLES: [Example; 2] = [
    Example {
        title: "The Mail Boat Sets Out",
        about: "a piece for strings",
        name: "mail-boat.musicxml",
        bytes: include_bytes!("../../../examples/mail-boat.musicxml"),
    },
    Example {
        title: "Chestnuts",
        about: "a shorter piece for strings",
        name: "chestnuts.musicxml",
        bytes: include_bytes!("../../../examples/chestnuts.musicxml"),
    },
];
