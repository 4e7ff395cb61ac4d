//! Tempo marks: words, numbers, returns, equations, gradual changes.

use crate::ground::{Ground, RawPlace, read_place};
use crate::item::are_free_words;
use crate::text::{Piece, quote, write_name};
use crate::trouble::Trouble;
use cueleaf_guide::{Return, TempoMark, ranges_of};
use cueleaf_time::{BeatSpan, SameBeat, Shape, Tempo};

/// A tempo mark as it is typed.
#[derive(Debug, Clone, Default)]
pub(crate) struct RawTempo<'a> {
    pub(crate) words: String,
    pub(crate) tempo: Option<Tempo>,
    pub(crate) back: Option<Return>,
    pub(crate) same_beat: Option<SameBeat>,
    pub(crate) until: Option<RawPlace<'a>>,
    pub(crate) shape: Shape,
}

const BEFORE: &str = "back to the tempo before";
const FIRST: &str = "back to the first tempo";

const SHAPES: [(&str, Shape); 3] = [
    (" evenly in beats", Shape::EvenInBeats),
    (" evenly in time", Shape::EvenInTime),
    (" like a runner", Shape::Runner),
];

/// The names of notes and what dots they have, as a tempo begins.
const NOTE_WORDS: &[&str] = &[
    "quarter =",
    "half =",
    "eighth =",
    "whole =",
    "16th =",
    "dotted quarter =",
    "dotted half =",
    "dotted eighth =",
    "double-dotted quarter =",
];

/// Words for changes of tempo that stand in no table of tempi.
///
/// # Source
/// Common practice, no source.
const CHANGES: &[&str] = &[
    "rit",
    "ritard",
    "ritardando",
    "rall",
    "rallentando",
    "accel",
    "accelerando",
    "allarg",
    "allargando",
    "string",
    "stringendo",
    "riten",
    "ritenuto",
    "calando",
    "morendo",
    "smorzando",
    "rubato",
    "mosso",
    "moto",
    "tempo",
    "maestoso",
    "vivo",
    "lively",
    "slowly",
    "slower",
    "faster",
];

/// Tells which return to an earlier tempo words stand for.
pub(crate) fn return_of(words: &str) -> Option<Return> {
    match words.to_lowercase().as_str() {
        "a tempo" => Some(Return::ToBefore),
        "tempo primo" | "tempo i" | "tempo 1" => Some(Return::ToFirst),
        _ => None,
    }
}

/// Tells whether words are known to speak of a tempo.
pub(crate) fn is_tempo_words(words: &str) -> bool {
    let lower = words.to_lowercase();
    let mut each = lower.split(|sign: char| !sign.is_alphabetic());
    !ranges_of(words).is_empty() || each.any(|word| CHANGES.contains(&word))
}

/// Reads a tempo without words: "quarter = 132", "to quarter = 50 by 13 like a runner".
/// `None` for what is no tempo at all.
pub(crate) fn read_value(piece: Piece<'_>) -> Option<Result<RawTempo<'_>, Trouble>> {
    let mut value = RawTempo::default();
    let mut rest = piece.after("to").unwrap_or(piece);
    for (phrase, shape) in SHAPES {
        let cut = rest.text.len().checked_sub(phrase.len());
        let cut = cut
            .filter(|at| rest.text.is_char_boundary(*at))
            .map(|at| rest.cut(at));
        if let Some((left, own)) = cut
            && own.is(phrase)
        {
            (rest, value.shape) = (left.trim(), shape);
            break;
        }
    }
    // "to quarter = 50 until 14" goes there, as by 14; "quarter = 50 until 14" may or may not.
    let goes = rest != piece;
    let until = || rest.around_last("until").filter(|_| goes);
    let by = rest.around_last("by").or_else(until);
    let what = by.map_or(rest, |(what, _)| what);
    if let Some((stays, place)) = what.around_last("until")
        && stays.text.contains('=')
    {
        let reason = format!(
            "a tempo holds until the next one: what comes at {0} stands in a line of its own, \
             such as {0}  a tempo; what gets there little by little is to … by {0}",
            place.text
        );
        let trouble = Trouble::at(piece, "not-understood", reason);
        return Some(Err(trouble.suggest(stays.text)));
    }
    if !what.is("gradually") {
        for own in what.split_at_word("and") {
            match read_one(own, &mut value)? {
                Ok(()) => {}
                Err(trouble) => return Some(Err(trouble)),
            }
        }
    } else if by.is_none() && value.shape == Shape::default() {
        return None;
    }
    if let Some((_, place)) = by {
        match read_place(place) {
            Ok(place) => value.until = Some(place),
            Err(trouble) => return Some(Err(trouble)),
        }
    }
    Some(Ok(value))
}

fn read_one(piece: Piece<'_>, value: &mut RawTempo<'_>) -> Option<Result<(), Trouble>> {
    if piece.is(BEFORE) {
        value.back = Some(Return::ToBefore);
        return Some(Ok(()));
    }
    if piece.is(FIRST) {
        value.back = Some(Return::ToFirst);
        return Some(Ok(()));
    }
    let lower = piece.text.to_ascii_lowercase();
    if let Ok(tempo) = lower.parse() {
        value.tempo = Some(tempo);
        return Some(Ok(()));
    }
    if let Ok(equation) = lower.parse() {
        value.same_beat = Some(equation);
        return Some(Ok(()));
    }
    let reason = "here a tempo is wanted, such as quarter = 96 or dotted quarter = 60";
    let trouble = Trouble::at(piece, "not-understood", reason);
    if lower.contains('=') {
        let spaced = lower.replace('=', " = ");
        let text = spaced.split_whitespace().collect::<Vec<_>>().join(" ");
        let spelled = Piece {
            text: &text,
            ..piece
        };
        return Some(Err(trouble.nearest(spelled, NOTE_WORDS)));
    }
    // "quarter 96": the sign between them is missing.
    let (unit, number) = lower.rsplit_once(' ')?;
    let with_sign = format!("{unit} = {number}");
    with_sign
        .parse::<Tempo>()
        .ok()
        .map(|_| Err(trouble.suggest(with_sign)))
}

impl RawTempo<'_> {
    pub(crate) fn resolve(&self, at: BeatSpan, ground: &Ground) -> Result<TempoMark, Trouble> {
        let until = self.until.as_ref().map(|place| ground.place(place));
        Ok(TempoMark {
            at,
            words: self.words.clone(),
            tempo: self.tempo,
            back: self.back,
            same_beat: self.same_beat,
            until: until.transpose()?,
            shape: self.shape,
            extra: Default::default(),
        })
    }
}

/// Writes a tempo mark as one or two items.
pub(crate) fn write_tempo(mark: &TempoMark, is_first: First, ground: &Ground) -> Vec<String> {
    let value = write_value(mark, ground);
    let only_back = mark.tempo.is_none()
        && mark.same_beat.is_none()
        && mark.until.is_none()
        && mark.shape == Shape::default();
    let own_return = only_back && mark.back.is_some() && mark.back == return_of(&mark.words);
    if own_return && are_free_words(&mark.words) {
        return vec![mark.words.clone()];
    }
    match (value, mark.words.is_empty(), is_first) {
        (Some(value), true, First::InLine) => vec![value],
        (Some(value), true, First::No) => vec![format!("then {value}")],
        (Some(value), false, _) => vec![write_words(&mark.words), value],
        (None, ..) if stands_alone(&mark.words) => vec![mark.words.clone()],
        (None, ..) => vec![format!("marked {}", write_name(&mark.words, &[]))],
    }
}

/// Whether a tempo mark is the first of its line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum First {
    InLine,
    No,
}

fn stands_alone(words: &str) -> bool {
    are_free_words(words) && is_tempo_words(words) && return_of(words).is_none()
}

fn write_words(words: &str) -> String {
    if are_free_words(words) {
        words.to_owned()
    } else {
        quote(words)
    }
}

fn write_value(mark: &TempoMark, ground: &Ground) -> Option<String> {
    let mut all = Vec::new();
    all.extend(mark.tempo.map(|tempo| {
        // Read again, the notes have to give the same tempo.
        format!(
            "{} = {}",
            tempo.unit(),
            tempo.per_minute().to_long_decimal()
        )
    }));
    all.extend(mark.back.map(|back| match back {
        Return::ToBefore => BEFORE.to_owned(),
        Return::ToFirst => FIRST.to_owned(),
    }));
    all.extend(mark.same_beat.map(|equation| equation.to_string()));
    let mut text = all.join(" and ");
    let plain = mark.until.is_none() && mark.shape == Shape::default();
    match (text.is_empty(), plain) {
        (true, true) => return None,
        (true, false) => "gradually".clone_into(&mut text),
        (false, true) => {}
        (false, false) => text.insert_str(0, "to "),
    }
    if let Some(until) = mark.until {
        text.push_str(" by ");
        text.push_str(&ground.write_place(until));
    }
    if mark.shape != Shape::default() {
        let phrase = SHAPES.iter().find(|(_, shape)| *shape == mark.shape);
        text.push_str(phrase.map_or("", |(phrase, _)| phrase));
    }
    Some(text)
}
