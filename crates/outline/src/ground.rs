//! Places in an outline, "25", "25 beat 2.5", "25-28", and the measures they stand for.

use crate::text::{Piece, quote, quoted_length, unquote};
use crate::trouble::Trouble;
use core::cell::Cell;
use cueleaf_guide::{Layout, Measure, Place, Spot};
use cueleaf_time::{BeatSpan, Ratio};
use std::collections::BTreeMap;

/// The measures that places stand for: their printed numbers and their beats.
pub(crate) struct Ground {
    labels: Vec<String>,
    first_with: BTreeMap<String, usize>,
    /// The first measure with each rehearsal mark, in small letters.
    marked: BTreeMap<String, usize>,
    layout: Layout,
    /// How many printed numbers were compared with ones that do not exist.
    looked_at: Cell<usize>,
}

/// A place as it is typed.
#[derive(Debug, Clone)]
pub(crate) struct RawPlace<'a> {
    measure: RawMeasure,
    offset: RawOffset,
    piece: Piece<'a>,
}

#[derive(Debug, Clone)]
enum RawMeasure {
    Label(String),
    /// "#5" for the fifth written measure.
    Nth(u128),
    /// The measure with a rehearsal mark, or so many after or before it.
    Marked(String, isize),
    /// What follows the last measure.
    End,
    /// The measure of the place before.
    Same,
}

#[derive(Debug, Clone)]
enum RawOffset {
    Start,
    Beat(Ratio),
    Quarters(BeatSpan),
}

/// A spot as it is typed.
#[derive(Debug, Clone)]
pub(crate) struct RawSpot<'a> {
    pub(crate) from: RawPlace<'a>,
    pub(crate) to: Option<RawPlace<'a>>,
}

/// The most printed numbers that are compared while looking for nearest ones.
const MAX_LOOKED_AT: usize = 200_000;

/// The place after the last measure, where what lasts to the end stops.
const END: &str = "the end";

impl Ground {
    pub(crate) fn new(measures: &[Measure], layout: Layout) -> Self {
        let labels: Vec<String> = measures.iter().map(|own| own.label.clone()).collect();
        let mut first_with = BTreeMap::new();
        for (index, label) in labels.iter().enumerate() {
            first_with.entry(label.clone()).or_insert(index);
        }
        let mut marked = BTreeMap::new();
        for (index, own) in measures.iter().enumerate() {
            if let Some(mark) = own.mark.as_deref() {
                marked.entry(mark.trim().to_lowercase()).or_insert(index);
            }
        }
        Self {
            labels,
            first_with,
            marked,
            layout,
            looked_at: Cell::new(0),
        }
    }

    /// Writes a measure: its printed number, or "#5" when it has none or one that stands twice.
    pub(crate) fn write_measure(&self, index: usize) -> String {
        match self.labels.get(index) {
            Some(label) if !label.is_empty() && self.first_with.get(label) == Some(&index) => {
                write_label(label)
            }
            _ => format!("#{}", u128::try_from(index).unwrap_or(u128::MAX) + 1),
        }
    }

    pub(crate) fn write_place(&self, place: Place) -> String {
        let measure = self.write_measure(place.measure);
        if place.at.is_zero() {
            let ends = place.measure == self.labels.len() && place.measure > 0;
            return if ends { END.to_owned() } else { measure };
        }
        match self.write_beat(place) {
            Some(beat) => format!("{measure} beat {beat}"),
            None => format!("{measure} after {} quarters", place.at),
        }
    }

    pub(crate) fn write_spot(&self, spot: &Spot) -> String {
        let from = self.write_place(spot.from);
        let Some(to) = spot.to else { return from };
        let short = spot.from.at.is_zero() && to.at.is_zero();
        let to = self.write_place(to);
        if short {
            format!("{from}-{to}")
        } else {
            format!("{from} to {to}")
        }
    }

    fn write_beat(&self, place: Place) -> Option<String> {
        let beats = self.layout.get(place.measure)?.beats.beats();
        let beat = beats.iter().rev().find(|beat| beat.at <= place.at)?;
        let inside = place.at.minus_down_to_zero(beat.at);
        let part = inside.over(beat.length).ok()?;
        let number = Ratio::whole(i64::from(beat.number)).plus(part).ok()?;
        (self.read_beat(place.measure, number) == Some(place.at)).then(|| number.to_decimal())
    }

    fn read_beat(&self, measure: usize, number: Ratio) -> Option<BeatSpan> {
        let whole = number.floor();
        let part = number.minus(Ratio::whole(whole)).ok()?;
        let mut beats = self.layout.get(measure)?.beats.beats().iter();
        let beat = beats.find(|beat| i64::from(beat.number) == whole)?;
        beat.at.plus(beat.length.times(part).ok()?).ok()
    }

    /// Finds the measure of a place, whatever its beat.
    pub(crate) fn measure(&self, place: &RawPlace<'_>) -> Result<usize, Trouble> {
        match &place.measure {
            RawMeasure::Label(label) => self.first_with.get(label).copied().ok_or_else(|| {
                let reason = format!("there is no measure {label}");
                let trouble = Trouble::at(place.piece, "unknown-measure", reason);
                match self.nearest_measure(label) {
                    Some(near) => trouble.suggest(near),
                    None => trouble,
                }
            }),
            RawMeasure::Nth(number) => number
                .checked_sub(1)
                .and_then(|index| usize::try_from(index).ok())
                .ok_or_else(|| {
                    let reason = "the first written measure is #1";
                    Trouble::at(place.piece, "unknown-measure", reason).suggest("#1")
                }),
            RawMeasure::Marked(name, away) => {
                let index = self.marked.get(&name.to_lowercase()).copied();
                let index = index.and_then(|index| index.checked_add_signed(*away));
                let inside = index.filter(|index| *index < self.labels.len());
                inside.ok_or_else(|| {
                    let reason = format!("there is no rehearsal mark {name} with this measure");
                    Trouble::at(place.piece, "unknown-measure", reason)
                })
            }
            RawMeasure::End => Ok(self.labels.len()),
            RawMeasure::Same => Err(Trouble::at(
                place.piece,
                "unknown-measure",
                "which measure is this beat of?",
            )),
        }
    }

    /// Finds the nearest printed number: for a number the nearest number, else one spelled alike.
    fn nearest_measure(&self, label: &str) -> Option<String> {
        let looked_at = self.looked_at.get();
        if looked_at > MAX_LOOKED_AT {
            return None;
        }
        self.looked_at.set(looked_at + self.labels.len());
        if let Ok(wanted) = label.parse::<u64>() {
            let numbers = self.labels.iter().filter_map(|own| own.parse::<u64>().ok());
            return numbers
                .min_by_key(|own| own.abs_diff(wanted))
                .map(|near| near.to_string());
        }
        crate::trouble::nearest(label, &self.labels)
    }

    pub(crate) fn place(&self, place: &RawPlace<'_>) -> Result<Place, Trouble> {
        self.place_in(place, self.measure(place)?)
    }

    fn place_in(&self, place: &RawPlace<'_>, measure: usize) -> Result<Place, Trouble> {
        let at = match place.offset {
            RawOffset::Start => BeatSpan::ZERO,
            RawOffset::Quarters(at) => at,
            RawOffset::Beat(number) => self
                .read_beat(measure, number)
                .ok_or_else(|| self.no_beat(place, measure))?,
        };
        Ok(Place { measure, at })
    }

    fn no_beat(&self, place: &RawPlace<'_>, measure: usize) -> Trouble {
        let name = self.write_measure(measure);
        let beats = self
            .layout
            .get(measure)
            .map_or(&[][..], |laid| laid.beats.beats());
        let (Some(first), Some(last)) = (beats.first(), beats.last()) else {
            let reason = format!("measure {name} has no beats that could be named");
            return Trouble::at(place.piece, "unknown-beat", reason);
        };
        let (first, last) = (first.number, last.number);
        let reason = format!("measure {name} has the beats {first} to {last}");
        Trouble::at(place.piece, "unknown-beat", reason).suggest(format!("{name} beat {last}"))
    }

    pub(crate) fn spot(&self, spot: &RawSpot<'_>) -> Result<Spot, Trouble> {
        let from = self.place(&spot.from)?;
        let to = match &spot.to {
            None => None,
            Some(to) if matches!(to.measure, RawMeasure::Same) => {
                Some(self.place_in(to, from.measure)?)
            }
            Some(to) => {
                let mut place = self.place(to)?;
                // What goes from A to B is followed by what begins at B.
                let is_mark = matches!(to.measure, RawMeasure::Marked(_, 0)) && to.is_start();
                if is_mark && place.measure > from.measure {
                    place.measure -= 1;
                }
                Some(place)
            }
        };
        Ok(Spot { from, to })
    }
}

impl RawPlace<'_> {
    /// Tells whether the place is the start of its measure, as far as its text shows.
    pub(crate) fn is_start(&self) -> bool {
        match self.offset {
            RawOffset::Start => true,
            RawOffset::Beat(number) => number == Ratio::ONE,
            RawOffset::Quarters(at) => at.is_zero(),
        }
    }

    /// Tells whether the place is named by a rehearsal mark.
    pub(crate) const fn is_by_mark(&self) -> bool {
        matches!(self.measure, RawMeasure::Marked(..))
    }

    /// Gives the text of the place.
    pub(crate) const fn piece(&self) -> Piece<'_> {
        self.piece
    }

    /// Gives the printed number when it is a plain whole one.
    pub(crate) fn number(&self) -> Option<u64> {
        match &self.measure {
            RawMeasure::Label(label) => label
                .parse()
                .ok()
                .filter(|number: &u64| number.to_string() == *label),
            _ => None,
        }
    }
}

/// Writes a printed number: plain when it starts with a figure and has nothing but figures
/// and letters.
pub(crate) fn write_label(label: &str) -> String {
    let figure = label.starts_with(|sign: char| sign.is_ascii_digit());
    let plain = figure && label.len() <= 8 && label.bytes().all(|b| b.is_ascii_alphanumeric());
    if plain {
        label.to_owned()
    } else {
        quote(label)
    }
}

/// Reads a printed number, plain or in quotes, with which a piece starts.
pub(crate) fn read_label(piece: Piece<'_>) -> Option<(String, Piece<'_>)> {
    if let Some(length) = quoted_length(piece.text) {
        let (quoted, rest) = piece.cut(length);
        return Some((unquote(quoted.text)?, rest));
    }
    let alphanumeric = |sign: char| sign.is_ascii_alphanumeric();
    let end = piece.text.find(|sign| !alphanumeric(sign));
    let (label, rest) = piece.cut(end.unwrap_or(piece.text.len()));
    label
        .text
        .starts_with(|sign: char| sign.is_ascii_digit())
        .then(|| (label.text.to_owned(), rest))
}

/// Reads a place that takes the whole of a piece.
pub(crate) fn read_place(piece: Piece<'_>) -> Result<RawPlace<'_>, Trouble> {
    let start = after_measure_word(piece).unwrap_or(piece);
    match place_prefix(start) {
        Some((place, rest)) if rest.trim().is_empty() => Ok(place),
        _ => Err(Trouble::at(
            piece,
            "not-understood",
            "here a place is wanted, such as 12 or 12 beat 3",
        )),
    }
}

/// Reads a spot with which a piece starts, and gives what follows.
pub(crate) fn spot_prefix(piece: Piece<'_>) -> Option<(RawSpot<'_>, Piece<'_>)> {
    let start = after_measure_word(piece).unwrap_or(piece);
    let (from, rest) = place_prefix(start)?;
    let to = range_sign(rest.trim()).and_then(|after| {
        let own_beat = || {
            let (offset, rest) = offset_prefix(after)?;
            let piece = after;
            let measure = RawMeasure::Same;
            Some((
                RawPlace {
                    measure,
                    offset,
                    piece,
                },
                rest,
            ))
        };
        place_prefix(after).or_else(own_beat)
    });
    Some(match to {
        Some((to, rest)) => (RawSpot { from, to: Some(to) }, rest),
        None => (RawSpot { from, to: None }, rest),
    })
}

fn after_measure_word(piece: Piece<'_>) -> Option<Piece<'_>> {
    let words = ["measure", "bars", "bar", "mm.", "m."];
    words.into_iter().find_map(|word| piece.after(word))
}

fn range_sign(piece: Piece<'_>) -> Option<Piece<'_>> {
    let sign = piece.text.chars().next()?;
    if ['-', '–', '—'].contains(&sign) {
        return Some(piece.cut(sign.len_utf8()).1.trim());
    }
    piece.after("to")
}

fn place_prefix(piece: Piece<'_>) -> Option<(RawPlace<'_>, Piece<'_>)> {
    if let Some(rest) = piece.after(END) {
        let (piece, _) = piece.cut(END.len());
        let (measure, offset) = (RawMeasure::End, RawOffset::Start);
        return Some((
            RawPlace {
                measure,
                offset,
                piece,
            },
            rest,
        ));
    }
    let (measure, rest) = if let Some((name, away, rest)) = mark_prefix(piece) {
        (RawMeasure::Marked(name, away), rest)
    } else if piece.text.starts_with('#') {
        let (_, number) = piece.cut(1);
        let end = number.text.find(|sign: char| !sign.is_ascii_digit());
        let (figures, rest) = number.cut(end.unwrap_or(number.text.len()));
        (RawMeasure::Nth(figures.text.parse().ok()?), rest)
    } else {
        let (label, rest) = read_label(piece)?;
        (RawMeasure::Label(label), rest)
    };
    let next = rest.text.chars().next();
    let ends = |sign: char| sign.is_whitespace() || "-–—:,".contains(sign);
    if !next.is_none_or(ends) {
        return None;
    }
    let (offset, rest) = offset_prefix(rest.trim()).unwrap_or((RawOffset::Start, rest));
    let piece = piece.cut(piece.text.len() - rest.text.len()).0.trim();
    Some((
        RawPlace {
            measure,
            offset,
            piece,
        },
        rest,
    ))
}

/// Reads a rehearsal mark as a place: "C", "letter C", "mark 3", "4 after C". Without a word before
/// it a mark is one or two large letters, as anything else may begin a line.
fn mark_prefix(piece: Piece<'_>) -> Option<(String, isize, Piece<'_>)> {
    let end = piece.text.find(|sign: char| !sign.is_ascii_digit());
    let (figures, rest) = piece.cut(end.unwrap_or(piece.text.len()));
    let (away, rest) = match figures.text.parse::<isize>() {
        Ok(count) => {
            let rest = rest.trim();
            let after = rest.after("after").map(|rest| (count, rest));
            after.or_else(|| rest.after("before").map(|rest| (-count, rest)))?
        }
        Err(_) if figures.text.is_empty() => (0, piece),
        Err(_) => return None,
    };
    let worded = rest.after("letter").or_else(|| rest.after("mark"));
    let name = worded.unwrap_or(rest);
    let end = name
        .text
        .find(|sign: char| sign.is_whitespace() || "-–—:,".contains(sign));
    let (name, rest) = name.cut(end.unwrap_or(name.text.len()));
    // "A tempo" is no place, "A  tempo" is one: so the two spaces tell.
    let parted = rest.text.is_empty()
        || rest.text.starts_with(['-', '–', '—', ':', ',', '\t'])
        || rest.text.starts_with("  ")
        || range_sign(rest.trim()).is_some()
        || rest.trim().after("beat").is_some();
    let large = name.text.len() <= 2 && name.text.bytes().all(|own| own.is_ascii_uppercase());
    let large = large && (parted || away != 0);
    let is_mark = !name.text.is_empty() && (large || worded.is_some());
    is_mark.then(|| (name.text.to_owned(), away, rest))
}

fn offset_prefix(piece: Piece<'_>) -> Option<(RawOffset, Piece<'_>)> {
    let number = |piece: Piece<'_>| -> Option<(Ratio, usize)> {
        let sign = |sign: char| !(sign.is_ascii_digit() || sign == '.' || sign == '/');
        let end = piece.text.find(sign).unwrap_or(piece.text.len());
        let figures = piece.text.get(..end)?.trim_end_matches('.');
        Some((figures.parse().ok()?, figures.len()))
    };
    if let Some(rest) = piece.after("beat") {
        let (number, end) = number(rest)?;
        return Some((RawOffset::Beat(number), rest.cut(end).1));
    }
    let rest = piece.after("after")?;
    let (quarters, end) = number(rest)?;
    let rest = rest.cut(end).1.trim();
    let rest = rest.after("quarters").or_else(|| rest.after("quarter"))?;
    let at = BeatSpan::from_quarters(quarters).ok()?;
    Some((RawOffset::Quarters(at), rest))
}
