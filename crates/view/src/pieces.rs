//! The text of a guide in pieces, for a page that shows it already and is told what differs.

use crate::body::order;
use crate::sections::{TipsByMeasure, entry, section_head, section_of, tips_by_measure};
use crate::strip::glance;
use crate::tip::tip_words;
use crate::{Page, Section, Word, head, sections, todos, uneven_counts};
use cueleaf_guide::{Photo, Voice};
use maud::{Markup, html};

/// What [`walk_room`](crate::walk_room) shows, piece by piece; what is told of a tip is
/// written as a live page shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct TextPieces {
    /// What stands above the sections: where each piece stands, as a selector inside the room,
    /// and its markup.
    pub above: Vec<(&'static str, String)>,
    /// The sections in order.
    pub sections: Vec<SectionPiece>,
    /// What stands below them, like what stands above.
    pub below: Vec<(&'static str, String)>,
    /// The list of what the student is asked to do.
    pub todos: String,
}

/// A section, in the element with the id `s` and its first measure.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionPiece {
    /// Which measures it has.
    pub section: Section,
    /// What stands above its measures.
    pub head: String,
    /// Its measures at which something stands, in order.
    pub entries: Vec<EntryPiece>,
}

/// What stands at a measure, in the element with the id `m` and the measure.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryPiece {
    /// The measure.
    pub measure: usize,
    /// Its markup without photos and voice notes.
    pub bare: String,
    /// Its tips.
    pub tips: Vec<TipPiece>,
}

/// What of a tip may change while its photo and voice note stay.
#[derive(Debug, Clone, PartialEq)]
pub struct TipPiece {
    /// Its index in the guide: it stands in the element with this `data-tip`.
    pub index: usize,
    /// The markup of the first paragraph in it.
    pub words: String,
    /// Its photo.
    pub photo: Option<Photo>,
    /// Its voice note.
    pub voice: Option<Voice>,
}

impl TipPiece {
    fn has_media(&self) -> bool {
        self.photo.is_some() || self.voice.is_some()
    }
}

impl EntryPiece {
    /// Tells whether a photo or a voice note stands there.
    #[must_use]
    pub fn has_media(&self) -> bool {
        self.tips.iter().any(TipPiece::has_media)
    }
}

/// Gives the text of a guide in pieces.
#[must_use]
pub fn text_pieces(page: &Page<'_>) -> TextPieces {
    let page = page.clone().alive_without_media();
    let tips = tips_by_measure(&page);
    let none = page.measures().is_empty();
    let no_measures = html! { p { (page.words.get(Word::NoMeasures)) } };
    TextPieces {
        above: those_there([
            (">header", head(&page)),
            (">.glance", glance(&page)),
            (
                ">p",
                if none {
                    no_measures
                } else {
                    html! {}
                },
            ),
        ]),
        sections: sections(&page)
            .into_iter()
            .map(|section| section_piece(&page, section, &tips))
            .collect(),
        below: those_there([
            (">.order", order(&page)),
            (">.counts", uneven_counts(&page)),
        ]),
        todos: todos(&page).into_string(),
    }
}

fn those_there<const N: usize>(all: [(&'static str, Markup); N]) -> Vec<(&'static str, String)> {
    let all = all.into_iter();
    let all = all.map(|(place, markup)| (place, markup.into_string()));
    all.filter(|(_, html)| !html.is_empty()).collect()
}

fn section_piece(page: &Page<'_>, section: Section, tips: &TipsByMeasure<'_>) -> SectionPiece {
    let head = section_head(page, &section).into_string();
    let entries = (section.first..=section.last).filter_map(|measure| {
        let bare = entry(page, measure, &section, tips)?.into_string();
        let here = tips.get(&measure).into_iter().flatten();
        let tips = here.map(|(index, tip)| TipPiece {
            index: *index,
            words: tip_words(page, tip).into_string(),
            photo: page.guide.shown_photo(tip).cloned(),
            voice: page.guide.shown_voice(tip).cloned(),
        });
        Some(EntryPiece {
            measure,
            bare,
            tips: tips.collect(),
        })
    });
    let entries = entries.collect();
    SectionPiece {
        section,
        head,
        entries,
    }
}

/// Gives the markup of a section that came in pieces, with photos and voice notes.
#[must_use]
pub fn section_in_full(page: &Page<'_>, piece: &SectionPiece) -> String {
    let entries = piece.entries.iter();
    let entries: Vec<Markup> = entries
        .map(|own| maud::PreEscaped(entry_in_full(page, &piece.section, own)))
        .collect();
    let head = maud::PreEscaped(piece.head.clone());
    section_of(piece.section.first, &head, &entries).into_string()
}

/// Gives the markup of what stands at a measure, with photos and voice notes.
#[must_use]
pub fn entry_in_full(page: &Page<'_>, section: &Section, piece: &EntryPiece) -> String {
    if !piece.has_media() {
        return piece.bare.clone();
    }
    let page = page.clone().alive();
    let full = entry(&page, piece.measure, section, &tips_by_measure(&page));
    full.map_or_else(String::new, Markup::into_string)
}
