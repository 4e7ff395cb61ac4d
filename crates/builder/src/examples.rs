//! The examples that the page carries.

/// A piece to look at.
#[derive(Debug)]
pub(crate) struct Example {
    /// Its title, with the part of a guide.
    pub(crate) title: &'static str,
    /// What is in it, in a few words.
    pub(crate) about: &'static str,
    /// The name of its file.
    pub(crate) name: &'static str,
    /// Its bytes.
    pub(crate) bytes: &'static [u8],
}

/// The examples, in the order in which they are offered: four finished guides,
/// and two scores to start from.
pub(crate) const EXAMPLES: [Example; 6] = [
    Example {
        title: "The Mail Boat Sets Out, viola",
        about: "a finished guide",
        name: "mail-boat-viola.json",
        bytes: include_bytes!("../../../examples/mail-boat-viola.json"),
    },
    Example {
        title: "The Mail Boat Sets Out, cello",
        about: "a finished guide",
        name: "mail-boat-cello.json",
        bytes: include_bytes!("../../../examples/mail-boat-cello.json"),
    },
    Example {
        title: "The Mail Boat Sets Out, violin I",
        about: "a finished guide",
        name: "mail-boat-violin-1.json",
        bytes: include_bytes!("../../../examples/mail-boat-violin-1.json"),
    },
    Example {
        title: "The Mail Boat Sets Out, violin II",
        about: "a finished guide",
        name: "mail-boat-violin-2.json",
        bytes: include_bytes!("../../../examples/mail-boat-violin-2.json"),
    },
    Example {
        title: "The Mail Boat Sets Out",
        about: "a score in four parts, to start from",
        name: "mail-boat.musicxml",
        bytes: include_bytes!("../../../examples/mail-boat.musicxml"),
    },
    Example {
        title: "Chestnuts in a Tin Pail",
        about: "a score in three parts, to start from",
        name: "chestnuts.musicxml",
        bytes: include_bytes!("../../../examples/chestnuts.musicxml"),
    },
];
