//! Items between which a comma is missing: "Lively quarter = 132 pizz".

use crate::item::{Class, Item, Join, classify};
use crate::mark::is_like;
use crate::tempo::{is_tempo_words, return_of};
use crate::text::Piece;
use core::mem::discriminant;

/// The most words that are tried, so that long nonsense costs little.
const MAX_WORDS: usize = 12;
/// The most words of a tempo before its number.
const MAX_TEMPO_WORDS: usize = 4;

/// What a text without commas comes to.
pub(crate) enum Parted<'a> {
    /// Items of different kinds: there is no other way to understand it.
    Sure(Vec<Piece<'a>>),
    /// Items that hardly stand together, such as two dynamics.
    Unsure(Vec<Piece<'a>>),
}

impl Parted<'_> {
    /// Writes the items as they should have been.
    pub(crate) fn written(&self) -> String {
        let (Self::Sure(pieces) | Self::Unsure(pieces)) = self;
        let texts: Vec<&str> = pieces.iter().map(|piece| piece.text).collect();
        texts.join(", ")
    }
}

/// What the words from one to another would be.
enum Kind<'a> {
    Item(Item<'a>),
    Value,
    /// Words that say a tempo by themselves.
    Tempo,
    /// Words that may stand before the number of a tempo.
    Words,
}

/// Parts a text that is no item into as few as it may hold; `None` when something in it is
/// none.
pub(crate) fn part(piece: Piece<'_>) -> Option<Parted<'_>> {
    let words = words_of(piece);
    if words.len() < 2 || words.len() > MAX_WORDS {
        return None;
    }
    // From the end: how the words from here on part best, as the pieces with their kinds, the
    // last first. Of ways that are as short, the one with the shorter first piece counts: "to"
    // goes with what follows.
    let mut best: Vec<Option<Vec<(Piece<'_>, Kind<'_>)>>> = Vec::new();
    best.resize_with(words.len() + 1, || None);
    *best.last_mut()? = Some(Vec::new());
    for from in (0..words.len()).rev() {
        let mut least: Option<(usize, usize)> = None;
        for to in (from + 1..=words.len()).rev() {
            let Some(Some(rest)) = best.get(to) else {
                continue;
            };
            let Some(kind) = kind_of(between(piece, &words, from, to)?) else {
                continue;
            };
            let before_value = matches!(rest.last(), Some((_, Kind::Value)));
            let stands = match kind {
                Kind::Words => before_value && to - from <= MAX_TEMPO_WORDS,
                // Words and a number are one tempo, whatever the words.
                Kind::Item(_) | Kind::Value | Kind::Tempo => true,
            };
            if stands && least.is_none_or(|(count, _)| rest.len() <= count) {
                least = Some((rest.len(), to));
            }
        }
        let Some((_, to)) = least else { continue };
        let own = between(piece, &words, from, to)?;
        // Only the way from the first word is told, so the rest may be taken along.
        let mut way = Vec::new();
        for (rest, _) in best.get(to)?.as_ref()? {
            way.push((*rest, kind_of(*rest)?));
        }
        way.push((own, kind_of(own)?));
        *best.get_mut(from)? = Some(way);
    }
    let mut way = best.into_iter().next()??;
    way.reverse();
    let sure = way.iter().enumerate().all(|(index, (_, kind))| {
        let others = way.iter().skip(index + 1);
        others.into_iter().all(|(_, other)| !are_alike(kind, other))
    });
    let pieces = way.into_iter().map(|(own, _)| own).collect();
    Some(if sure {
        Parted::Sure(pieces)
    } else {
        Parted::Unsure(pieces)
    })
}

/// Gives the first byte of each word and the one after it.
fn words_of(piece: Piece<'_>) -> Vec<(usize, usize)> {
    let start = |word: &str| word.as_ptr().addr() - piece.text.as_ptr().addr();
    let words = piece.text.split_whitespace().take(MAX_WORDS + 1);
    words
        .map(|word| (start(word), start(word) + word.len()))
        .collect()
}

fn between<'a>(
    piece: Piece<'a>,
    words: &[(usize, usize)],
    from: usize,
    to: usize,
) -> Option<Piece<'a>> {
    let (start, _) = words.get(from)?;
    let (_, end) = words.get(to.checked_sub(1)?)?;
    let (left, _) = piece.cut(*end);
    Some(left.cut(*start).1)
}

fn kind_of(piece: Piece<'_>) -> Option<Kind<'_>> {
    match classify(piece) {
        // A name without an end would swallow what follows.
        Class::Item(
            Item::Movement(name) | Item::Segno(name) | Item::Coda(name) | Item::ToCoda(name),
        ) if !name.is_empty() => None,
        Class::Item(item) => Some(Kind::Item(item)),
        Class::Value(_, Join::Joined) => Some(Kind::Value),
        Class::Value(_, Join::Apart) | Class::Trouble(_) => None,
        Class::Words(words) if is_tempo_words(&words) || return_of(&words).is_some() => {
            Some(Kind::Tempo)
        }
        Class::Words(words) => {
            let plain = |sign: char| sign.is_alphabetic() || " .'’".contains(sign);
            words.chars().all(plain).then_some(Kind::Words)
        }
    }
}

fn are_alike(one: &Kind<'_>, other: &Kind<'_>) -> bool {
    match (one, other) {
        (Kind::Item(Item::Mark(one)), Kind::Item(Item::Mark(other))) => is_like(one, other),
        (Kind::Item(one), Kind::Item(other)) => discriminant(one) == discriminant(other),
        (Kind::Value, Kind::Value) | (Kind::Words | Kind::Tempo, Kind::Words | Kind::Tempo) => true,
        _ => false,
    }
}
