//! What stands after a place, item by item: what changes there, for all or for one part.

use crate::commas::{Parted, part};
use crate::fact::read_fact;
use crate::mark::{MARK_WORDS, RawMark, read_mark};
use crate::tempo::{RawTempo, is_tempo_words, read_value, return_of};
use crate::text::{Piece, read_name, unquote, write_name};
use crate::trouble::Trouble;
use cueleaf_guide::{CountHere, Jump, is_gradual};
use cueleaf_time::{BeatSpan, Grouping, Key, Meter};
use std::collections::VecDeque;

/// One thing said about a place.
#[derive(Debug, Clone)]
pub(crate) enum Item<'a> {
    Meter(Meter),
    Groups(Grouping),
    Count(CountHere),
    Key(Key),
    Pickup(Option<BeatSpan>),
    Length(BeatSpan),
    Movement(String),
    Section(String),
    Rehearsal(String),
    RepeatFrom,
    RepeatBack(u16),
    Ending(Vec<u16>),
    Segno(String),
    Coda(String),
    ToCoda(String),
    Fine,
    Jump(Jump),
    Cut,
    Hold(Option<BeatSpan>, u8),
    Tempo(RawTempo<'a>),
    Mark(RawMark<'a>),
}

/// The words and phrases with which an item can begin, marks of parts aside.
const ITEM_WORDS: &[&str] = &[
    "section",
    "rehearsal mark",
    "movement",
    "grouped",
    "free",
    "count as usual",
    "count in big beats",
    "count in small beats",
    "count each group",
    "count through",
    "sharps",
    "flats",
    "no sharps or flats",
    "pickup",
    "pickup of",
    "lasts",
    "repeat starts",
    "repeat ends",
    "first ending",
    "second ending",
    "ending",
    "segno",
    "coda",
    "to coda",
    "fine",
    "D.C.",
    "D.S.",
    "D.C. al fine",
    "D.S. al fine",
    "D.C. al coda",
    "D.S. al coda",
    "cut",
    "fermata",
    "marked",
    "a tempo",
    "tempo primo",
    "back to the tempo before",
    "back to the first tempo",
];

/// What an item of text turns out to be.
pub(crate) enum Class<'a> {
    Item(Item<'a>),
    /// A tempo without words of its own; whether "then" keeps it apart from words before it.
    Value(RawTempo<'a>, Join),
    /// Words that may belong to the tempo that follows.
    Words(String),
    Trouble(Trouble),
}

/// Whether a tempo goes together with the words before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Join {
    Joined,
    Apart,
}

/// What pieces of a line turn out to be.
type Told<'a, T> = Vec<(Piece<'a>, T)>;

/// Reads the items of a line; each that is not understood comes with its piece.
pub(crate) fn read_items(piece: Piece<'_>) -> (Told<'_, Item<'_>>, Told<'_, Trouble>) {
    let mut items = Vec::new();
    let mut troubles = Vec::new();
    let pieces = piece.split(&[',', ';']);
    let pieces = pieces.into_iter().filter(|own| !own.is_empty());
    let mut pieces: VecDeque<Piece<'_>> = pieces.collect();
    while let Some(own) = pieces.pop_front() {
        match classify(own) {
            Class::Item(item) => items.push((own, item)),
            Class::Value(tempo, _) => items.push((own, Item::Tempo(tempo))),
            Class::Trouble(trouble) => match part(own) {
                Some(Parted::Sure(parted)) => {
                    parted
                        .into_iter()
                        .rev()
                        .for_each(|own| pieces.push_front(own));
                }
                Some(parted) => troubles.push((own, trouble.suggest(parted.written()))),
                None => troubles.push((own, trouble)),
            },
            Class::Words(words) => {
                let value = pieces.front().and_then(|next| match classify(*next) {
                    Class::Value(tempo, Join::Joined) => Some(tempo),
                    _ => None,
                });
                if let Some(tempo) = value {
                    pieces.pop_front();
                    items.push((own, Item::Tempo(RawTempo { words, ..tempo })));
                } else if let Some(back) = return_of(&words) {
                    let back = Some(back);
                    let tempo = RawTempo {
                        words,
                        back,
                        ..RawTempo::default()
                    };
                    items.push((own, Item::Tempo(tempo)));
                } else if unquote(own.text).is_none() && is_tempo_words(&words) {
                    let tempo = RawTempo {
                        words,
                        ..RawTempo::default()
                    };
                    items.push((own, Item::Tempo(tempo)));
                } else if let Some(parted) = unquote(own.text).map_or_else(|| part(own), |_| None) {
                    match parted {
                        Parted::Sure(parted) => {
                            parted
                                .into_iter()
                                .rev()
                                .for_each(|own| pieces.push_front(own));
                        }
                        parted @ Parted::Unsure(_) => {
                            troubles.push((own, unknown(own, &words).suggest(parted.written())));
                        }
                    }
                } else {
                    troubles.push((own, unknown(own, &words)));
                }
            }
        }
    }
    (items, troubles)
}

fn unknown(piece: Piece<'_>, words: &str) -> Trouble {
    let known: Vec<&str> = ITEM_WORDS.iter().chain(MARK_WORDS).copied().collect();
    let printed = format!("printed {}", write_name(words, &["until"]));
    Trouble::at(
        piece,
        "not-understood",
        "this is nothing that can stand at a place",
    )
    .nearest(piece, &known)
    .otherwise(printed)
}

/// Finds out what one item is.
pub(crate) fn classify(piece: Piece<'_>) -> Class<'_> {
    if let Some(words) = unquote(piece.text) {
        return Class::Words(words);
    }
    if let Some(read) = read_fact(piece).or_else(|| read_mark(piece).map(|own| own.map(Item::Mark)))
    {
        return read.map_or_else(Class::Trouble, Class::Item);
    }
    let (apart, rest) = match piece.after("then") {
        Some(rest) => (Join::Apart, rest),
        None => (Join::Joined, piece),
    };
    match read_value(rest) {
        Some(Ok(tempo)) => Class::Value(tempo, apart),
        Some(Err(trouble)) => Class::Trouble(trouble),
        None => Class::Words(read_name(piece)),
    }
}

/// Tells whether an item may stand inside a measure, on a beat of its own.
pub(crate) const fn has_a_beat(item: &Item<'_>) -> bool {
    matches!(item, Item::Hold(..) | Item::Tempo(_) | Item::Mark(_))
}

/// Tells whether what is said of several measures is said of each of them.
pub(crate) const fn is_of_each(item: &Item<'_>) -> bool {
    matches!(item, Item::Cut | Item::Ending(_))
}

/// Tells whether an item lasts to an end: a hairpin, a rest, a gradual change.
pub(crate) fn ends(item: &Item<'_>) -> bool {
    match item {
        Item::Mark(mark) => mark.ends(),
        Item::Tempo(tempo) => tempo.until.is_some() || is_gradual(&tempo.words),
        _ => false,
    }
}

/// Tells whether words could stand without quotes before a tempo.
pub(crate) fn are_free_words(words: &str) -> bool {
    crate::text::is_plain_name(words, &[])
        && matches!(classify(Piece::line(words)), Class::Words(_))
}
