//! What every view looks at.

use crate::Words;
use cueleaf_guide::{Guide, Measure};
use cueleaf_plan::Plan;

/// A guide with its plan and the words in which it is shown.
#[derive(Debug, Clone)]
pub struct Page<'a> {
    /// The guide.
    pub guide: &'a Guide,
    /// The guide made playable.
    pub plan: &'a Plan,
    /// The words.
    pub words: &'a Words,
    /// The link under which the same guide opens on the web, where it has one.
    pub link: Option<&'a str>,
    stands: Stands,
}

/// How the text of a page stands there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stands {
    /// As it is handed out.
    Still,
    /// With what a live page adds to it.
    Live,
    /// The same, but for photos and voice notes.
    LiveBare,
}

impl<'a> Page<'a> {
    /// Puts a guide, its plan and its words together.
    #[must_use]
    pub const fn new(guide: &'a Guide, plan: &'a Plan, words: &'a Words) -> Self {
        Self {
            guide,
            plan,
            words,
            link: None,
            stands: Stands::Still,
        }
    }

    /// Lets the text stand there as a page shows it that is alive already.
    #[must_use]
    pub const fn alive(mut self) -> Self {
        self.stands = Stands::Live;
        self
    }

    /// The same as [`alive`](Self::alive), without photos and voice notes.
    #[must_use]
    pub const fn alive_without_media(mut self) -> Self {
        self.stands = Stands::LiveBare;
        self
    }

    pub(crate) fn is_alive(&self) -> bool {
        self.stands != Stands::Still
    }

    pub(crate) fn has_media(&self) -> bool {
        self.stands != Stands::LiveBare
    }

    /// Adds the link under which the same guide opens on the web.
    #[must_use]
    pub const fn with_link(mut self, link: Option<&'a str>) -> Self {
        self.link = link;
        self
    }

    /// Gives the words for a guide, as its settings ask.
    #[must_use]
    pub fn words_for(guide: &Guide) -> Words {
        Words::of(guide.settings.language, guide.settings.measure_word)
    }

    pub(crate) fn measures(&self) -> &'a [Measure] {
        &self.guide.road_map.measures
    }

    /// Gives the name of the one part of the guide.
    #[must_use]
    pub fn part_name(&self) -> Option<&'a str> {
        match self.guide.parts.as_slice() {
            [part] if !part.name.is_empty() => Some(&part.name),
            _ => None,
        }
    }
}
