//! What one part does besides the notes: pizz., mutes, dynamics, bowings, rests.

use crate::ground::{Ground, RawPlace, read_place};
use crate::text::{Piece, quote, read_name, unquote, write_name};
use crate::trouble::Trouble;
use cueleaf_guide::{Mark, MarkKind, Place};

/// A mark as it is typed.
#[derive(Debug, Clone)]
pub(crate) struct RawMark<'a> {
    kind: MarkKind,
    text: String,
    end: RawEnd<'a>,
}

#[derive(Debug, Clone)]
enum RawEnd<'a> {
    None,
    At(RawPlace<'a>),
    AfterMeasures(usize),
}

/// The words for marks, what they stand for and what is printed then. The first of a kind
/// that has its text is the one that is written.
///
/// # Source
/// Common practice, no source.
const WORDS: &[(&str, MarkKind, &str)] = &[
    ("pizz", MarkKind::Pizz, ""),
    ("pizz.", MarkKind::Pizz, "pizz."),
    ("pizzicato", MarkKind::Pizz, ""),
    ("arco", MarkKind::Arco, ""),
    ("mute on", MarkKind::MuteOn, ""),
    ("con sord.", MarkKind::MuteOn, "con sord."),
    ("con sord", MarkKind::MuteOn, "con sord."),
    ("mute off", MarkKind::MuteOff, ""),
    ("senza sord.", MarkKind::MuteOff, "senza sord."),
    ("senza sord", MarkKind::MuteOff, "senza sord."),
    ("crescendo", MarkKind::Grow, ""),
    ("cresc.", MarkKind::Grow, "cresc."),
    ("cresc", MarkKind::Grow, ""),
    ("diminuendo", MarkKind::Fade, ""),
    ("dim.", MarkKind::Fade, "dim."),
    ("decresc.", MarkKind::Fade, "decresc."),
    ("decrescendo", MarkKind::Fade, ""),
    ("down-bow", MarkKind::DownBow, ""),
    ("down bow", MarkKind::DownBow, ""),
    ("up-bow", MarkKind::UpBow, ""),
    ("up bow", MarkKind::UpBow, ""),
    ("rest", MarkKind::Rest, ""),
    ("dynamic", MarkKind::Dynamic, ""),
];

/// The dynamics that need no word before them.
///
/// # Source
/// MusicXML 4.0, element dynamics.
const DYNAMICS: &[&str] = &[
    "p", "pp", "ppp", "pppp", "ppppp", "pppppp", "f", "ff", "fff", "ffff", "fffff", "ffffff", "mp",
    "mf", "sf", "sfp", "sfpp", "fp", "rf", "rfz", "sfz", "sffz", "fz", "n", "pf", "sfzp",
];

/// The words that are offered for what was mistyped.
pub(crate) const MARK_WORDS: &[&str] = &[
    "pizz",
    "arco",
    "mute on",
    "mute off",
    "con sord.",
    "senza sord.",
    "crescendo",
    "diminuendo",
    "down-bow",
    "up-bow",
    "rest",
    "rest until",
    "dynamic",
    "printed",
];

/// Reads a mark; `None` for what is none.
pub(crate) fn read_mark(piece: Piece<'_>) -> Option<Result<RawMark<'_>, Trouble>> {
    let (what, end) = match piece.around_last("until").or_else(|| grows_to(piece)) {
        Some((what, place)) => (what, Some(place)),
        None => (piece, None),
    };
    if let Some((rest, place)) = piece.around_last("to")
        && rest.is("rest")
    {
        let reason = "a rest is until the measure in which the part plays again, or for so many \
                      measures";
        let trouble = Trouble::at(piece, "not-understood", reason);
        return Some(Err(trouble.suggest(format!("rest until {}", place.text))));
    }
    let (kind, text, measures) = read_what(what)?;
    let end = match (end, measures) {
        (Some(place), _) => read_place(place).map(RawEnd::At),
        (None, Some(measures)) => Ok(RawEnd::AfterMeasures(measures)),
        (None, None) => Ok(RawEnd::None),
    };
    Some(end.map(|end| RawMark { kind, text, end }))
}

/// Reads "crescendo to 28": what grows or fades has nowhere else to go.
fn grows_to(piece: Piece<'_>) -> Option<(Piece<'_>, Piece<'_>)> {
    let (what, place) = piece.around_last("to")?;
    let (kind, ..) = read_what(what)?;
    let grows = matches!(kind, MarkKind::Grow | MarkKind::Fade);
    (grows && read_place(place).is_ok()).then_some((what, place))
}

fn read_what(piece: Piece<'_>) -> Option<(MarkKind, String, Option<usize>)> {
    if let Some(dynamic) = DYNAMICS.iter().find(|own| **own == piece.text) {
        return Some((MarkKind::Dynamic, (*dynamic).to_owned(), None));
    }
    if let Some(text) = piece.after("printed") {
        return Some((MarkKind::Words, read_name(text), None));
    }
    if let Some((_, kind, text)) = WORDS.iter().find(|(word, ..)| piece.is(word)) {
        return Some((*kind, (*text).to_owned(), None));
    }
    let count = piece.after("rest for").or_else(|| piece.after("rest"));
    let count = count.and_then(|rest| {
        let words = ["measures", "measure", "bars", "bar"];
        words.iter().find_map(|word| rest.after_number(word))
    });
    if count.is_some() {
        return Some((MarkKind::Rest, String::new(), count));
    }
    WORDS.iter().find_map(|(word, kind, _)| {
        let text = unquote(piece.after(word)?.text)?;
        Some((*kind, text, None))
    })
}

/// Tells whether two marks are of one family, of which one stands at a place.
pub(crate) fn is_like(one: &RawMark<'_>, other: &RawMark<'_>) -> bool {
    let family = |kind: MarkKind| match kind {
        MarkKind::Arco => MarkKind::Pizz,
        MarkKind::MuteOff => MarkKind::MuteOn,
        MarkKind::Fade => MarkKind::Grow,
        MarkKind::UpBow => MarkKind::DownBow,
        kind => kind,
    };
    family(one.kind) == family(other.kind)
}

impl RawMark<'_> {
    /// Tells whether what is marked lasts to an end.
    pub(crate) const fn ends(&self) -> bool {
        matches!(self.kind, MarkKind::Grow | MarkKind::Fade | MarkKind::Rest)
            || !matches!(self.end, RawEnd::None)
    }

    pub(crate) fn resolve(&self, at: Place, ground: &Ground) -> Result<Mark, Trouble> {
        let to = match &self.end {
            RawEnd::None => None,
            RawEnd::At(place) => Some(ground.place(place)?),
            RawEnd::AfterMeasures(number) => {
                Some(Place::start_of(at.measure.saturating_add(*number)))
            }
        };
        Ok(Mark {
            measure: at.measure,
            at: at.at,
            kind: self.kind,
            to,
            text: self.text.clone(),
            extra: Default::default(),
        })
    }
}

/// Writes a mark as one item.
pub(crate) fn write_mark(mark: &Mark, ground: &Ground) -> String {
    let mut text = write_what(mark);
    if let Some(to) = mark.to {
        text.push_str(" until ");
        text.push_str(&ground.write_place(to));
    }
    text
}

fn write_what(mark: &Mark) -> String {
    let text = mark.text.as_str();
    if mark.kind == MarkKind::Words {
        return format!("printed {}", write_name(text, &["until"]));
    }
    if mark.kind == MarkKind::Dynamic && DYNAMICS.contains(&text) {
        return text.to_owned();
    }
    let mut own = WORDS.iter().filter(|(_, kind, _)| *kind == mark.kind);
    let word = own.clone().next().map_or("", |(word, ..)| word);
    match own.find(|(_, _, printed)| *printed == text) {
        Some((word, ..)) => (*word).to_owned(),
        None => format!("{word} {}", quote(text)),
    }
}
