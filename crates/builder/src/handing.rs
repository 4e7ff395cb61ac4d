//! What leaves the guide besides its pages and links, and how much the pages weigh.

use cueleaf_export::{MAX_OFFSET_HOURS, Offset, SampleRate};
use cueleaf_guide::{Finding, Guide, Id, Watch};
use cueleaf_plan::ClickSound;
use std::rc::Rc;

/// A file that is no page for a student.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OtherFile {
    /// All parts with a page that lists them, in a zip.
    AllParts,
    /// The overview of all parts, to print.
    Overview,
    /// The tips as captions.
    Captions,
    /// The sections as chapters.
    Chapters,
    /// The times of the sections as text.
    Times,
    /// Tempo, meters and clicks as MIDI.
    Midi,
    /// The click track as sound.
    Clicks,
}

impl OtherFile {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::AllParts,
        Self::Overview,
        Self::Captions,
        Self::Chapters,
        Self::Times,
        Self::Midi,
        Self::Clicks,
    ];

    /// Gives its name in markup.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::AllParts => "all-parts",
            Self::Overview => "overview",
            Self::Captions => "captions",
            Self::Chapters => "chapters",
            Self::Times => "times",
            Self::Midi => "midi",
            Self::Clicks => "clicks",
        }
    }

    /// Finds one by its name in markup.
    #[must_use]
    pub fn of(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|own| own.code() == code)
    }

    /// Gives what stands in its file's name after the piece and the part.
    #[must_use]
    pub const fn ending(self) -> &'static str {
        match self {
            Self::AllParts => ".zip",
            Self::Overview => "-overview.html",
            Self::Captions => "-tips.vtt",
            Self::Chapters => "-sections.vtt",
            Self::Times => "-times.txt",
            Self::Midi => ".mid",
            Self::Clicks => ".wav",
        }
    }

    /// Tells whether it is made for all parts together, whichever is chosen.
    #[must_use]
    pub const fn is_for_all(self) -> bool {
        matches!(self, Self::AllParts | Self::Overview)
    }
}

/// What the hand-out room knows about other files and about weights.
#[derive(Debug, Default)]
pub struct Handing {
    /// The part for which files are made; the whole guide without one.
    pub part: Option<Id>,
    /// The offset as it was typed, and why it is none.
    pub offset: Typed,
    /// The samples a second of the click track.
    pub rate: SampleRate,
    /// What its clicks are made of; the guide does not say, so the first sound.
    pub sound: ClickSound,
    /// What was found, or went wrong, when a file was made last.
    pub told: Option<Told>,
    /// What became of copying the lines for a class page.
    pub copied: Option<&'static str>,
    /// How much the pages weigh.
    pub weights: Weights,
}

/// A number of seconds as it was typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Typed {
    /// The text.
    pub text: String,
    /// What is wrong with it, and what to do.
    pub problem: Option<String>,
}

impl Typed {
    /// Takes what was typed.
    #[must_use]
    pub fn new(text: String) -> Self {
        let problem = read_offset(&text).is_none().then(|| {
            format!(
                "Write seconds, such as 12.5 or -3, or minutes and seconds, such as 1:20: up to {MAX_OFFSET_HOURS} hours either way."
            )
        });
        Self { text, problem }
    }

    /// Gives the offset; `None` while it cannot be understood.
    #[must_use]
    pub fn offset(&self) -> Option<Offset> {
        read_offset(&self.text)
    }
}

/// Reads seconds with a point or a comma, or a place as a recording shows it, such as "1:20" or
/// "1:02:03.5"; nothing typed is no offset.
fn read_offset(text: &str) -> Option<Offset> {
    let text = text.trim().replace(',', ".").replace('\u{2212}', "-");
    if text.is_empty() {
        return Some(Offset::NONE);
    }
    let Some((before, seconds)) = text.rsplit_once(':') else {
        return Offset::new(text.parse().ok()?);
    };
    let (sign, before) = match before.strip_prefix('-') {
        Some(before) => (-1.0, before),
        None => (1.0, before),
    };
    let whole = seconds.split('.').next()?;
    let digits = |own: &str| !own.is_empty() && own.bytes().all(|own| own.is_ascii_digit());
    let minutes = f64::from(Watch::seconds_of(&format!("{before}:{whole}"))?);
    let part: f64 = match seconds.split_once('.') {
        Some((_, part)) if digits(part) => format!("0.{part}").parse().ok()?,
        Some(_) => return None,
        None => 0.0,
    };
    Offset::new(sign * (minutes + part))
}

/// What is told beside the button of a file.
#[derive(Debug)]
pub struct Told {
    /// The document from which the file was made.
    of: Rc<Guide>,
    /// The file.
    pub file: OtherFile,
    /// What was found, or why there is no file.
    pub found: Result<Vec<Finding>, String>,
}

impl Told {
    /// Notes what making a file found.
    #[must_use]
    pub fn new(of: &Rc<Guide>, file: OtherFile, found: Result<Vec<Finding>, String>) -> Self {
        Self {
            of: Rc::clone(of),
            file,
            found,
        }
    }
}

impl Handing {
    /// Gives what is to be told beside the button of a file, unless the document has
    /// changed since.
    #[must_use]
    pub fn told_of(&self, guide: &Rc<Guide>, file: OtherFile) -> Option<&Told> {
        let told = self.told.as_ref()?;
        (told.file == file && Rc::ptr_eq(&told.of, guide)).then_some(told)
    }

    /// Gives the chosen part, if the guide still has it.
    #[must_use]
    pub fn part_in(&self, guide: &Guide) -> Option<Id> {
        match guide.parts.as_slice() {
            [part] => Some(part.id.clone()),
            _ => self.part.clone().filter(|id| guide.part(id).is_some()),
        }
    }
}

/// How much the pages of the parts weigh. They are written only to be weighed, one at a
/// time and while nothing else happens, since writing all takes far longer than a key.
#[derive(Debug, Default)]
pub struct Weights {
    /// The document whose pages are being weighed.
    of: Option<Rc<Guide>>,
    /// Whether a message that weighs is on its way.
    pub asked: bool,
    /// The bytes of each page; none in a build without the player.
    known: Vec<(Option<Id>, Option<usize>)>,
    /// How many of those are of the document as it is.
    fresh: usize,
}

impl Weights {
    /// Starts anew when the document is another one; tells whether it is.
    pub fn turn_to(&mut self, guide: &Rc<Guide>) -> bool {
        let other = self.of.as_ref().is_none_or(|of| !Rc::ptr_eq(of, guide));
        if other {
            self.of = Some(Rc::clone(guide));
            self.fresh = 0;
        }
        other
    }

    /// Lets the document that has changed be looked at when the next message weighs.
    pub fn soon(&mut self) {
        self.fresh = 0;
    }

    /// Tells whether a message that weighs is to be sent, and notes that it is.
    pub fn ask(&mut self, guide: &Guide) -> bool {
        let asks = !self.asked && self.next(guide).is_some();
        self.asked |= asks;
        asks
    }

    /// Gives the next page to be weighed: of a part, or of the whole without parts.
    #[must_use]
    pub fn next(&self, guide: &Guide) -> Option<Option<Id>> {
        match guide.parts.get(self.fresh) {
            Some(part) => Some(Some(part.id.clone())),
            None if guide.parts.is_empty() && self.fresh == 0 => Some(None),
            None => None,
        }
    }

    /// Notes the weight of the next page.
    pub fn note(&mut self, part: Option<Id>, bytes: Option<usize>) {
        self.known.retain(|(own, _)| *own != part);
        self.known.push((part, bytes));
        self.fresh += 1;
    }

    /// Gives the weight known last of a page; `None` before it was weighed, and inside it
    /// `None` in a build that makes no pages.
    #[must_use]
    pub fn of(&self, part: Option<&Id>) -> Option<Option<usize>> {
        let own = self.known.iter().find(|(own, _)| own.as_ref() == part);
        own.map(|(_, bytes)| *bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seconds_are_read_as_people_write_them() {
        for (text, seconds) in [
            ("", 0.0),
            (" 12.5 ", 12.5),
            ("12,5", 12.5),
            ("-3", -3.0),
            ("\u{2212}3", -3.0),
            ("1:20", 80.0),
            ("-0:05", -5.0),
            ("1:02:03,5", 3723.5),
        ] {
            assert_eq!(read_offset(text), Offset::new(seconds), "{text}");
        }
        for text in [
            "soon", "1:62", ":20", "1:2.x", "1:-2", "nan", "inf", "1e9", "1.2.3",
        ] {
            let typed = Typed::new(text.to_owned());
            assert_eq!(typed.offset(), None, "{text}");
            assert!(typed.problem.is_some_and(|why| why.ends_with('.')));
        }
    }

    #[test]
    fn names_in_markup_lead_back() {
        for file in OtherFile::ALL {
            assert_eq!(OtherFile::of(file.code()), Some(file));
        }
        assert_eq!(OtherFile::of("nothing"), None);
    }
}
