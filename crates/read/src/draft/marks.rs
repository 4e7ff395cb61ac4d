//! What one part does besides its notes: bow and plucking, mutes, dynamics,
//! bowings, rests, words.

use super::tempo::outside_place;
use crate::words::{Meaning, meanings};
use cueleaf_guide::{Extra, Mark, MarkKind, Place};
use cueleaf_score::{Bowing, Note, Part, PlayingWay, Span, SpanKind};
use cueleaf_time::BeatSpan;

/// Gathers the marks of a part in order of place.
pub(super) fn marks(part: &Part) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut playing = Playing::default();
    for (index, measure) in part.measures.iter().enumerate() {
        let mark = |at: BeatSpan, kind, text: &str| {
            let place = normal(part, index, at);
            new_mark(place, kind, None, text)
        };
        for sign in &measure.playing {
            // What is only played back counts where it changes something.
            if playing.set(sign.way) || !sign.text.is_empty() {
                let kind = match sign.way {
                    PlayingWay::Pizzicato => MarkKind::Pizz,
                    PlayingWay::Arco => MarkKind::Arco,
                    PlayingWay::Muted => MarkKind::MuteOn,
                    PlayingWay::Unmuted => MarkKind::MuteOff,
                };
                marks.push(mark(sign.at, kind, &sign.text));
            }
        }
        for dynamic in &measure.dynamics {
            marks.push(mark(dynamic.at, MarkKind::Dynamic, &dynamic.text));
        }
        for words in &measure.words {
            marks.push(words_mark(part, index, words));
        }
        for note in &measure.notes {
            match note.bowing() {
                Some(Bowing::Down) => marks.push(mark(note.at, MarkKind::DownBow, "")),
                Some(Bowing::Up) => marks.push(mark(note.at, MarkKind::UpBow, "")),
                None => {}
            }
        }
    }
    marks.extend(part.spans.iter().filter_map(|span| hairpin(part, span)));
    marks.extend(rests(part));
    marks.sort_by(|one, other| {
        (one.measure, one.at, one.kind, &one.text).cmp(&(
            other.measure,
            other.at,
            other.kind,
            &other.text,
        ))
    });
    marks.dedup();
    marks
}

/// How the part is played at present, to tell changes from repetitions.
#[derive(Default)]
struct Playing {
    plucked: bool,
    muted: bool,
}

impl Playing {
    /// Takes a change over; tells whether it was one.
    fn set(&mut self, way: PlayingWay) -> bool {
        let (state, new) = match way {
            PlayingWay::Pizzicato => (&mut self.plucked, true),
            PlayingWay::Arco => (&mut self.plucked, false),
            PlayingWay::Muted => (&mut self.muted, true),
            PlayingWay::Unmuted => (&mut self.muted, false),
        };
        core::mem::replace(state, new) != new
    }
}

fn new_mark(place: Place, kind: MarkKind, to: Option<Place>, text: &str) -> Mark {
    Mark {
        measure: place.measure,
        at: place.at,
        kind,
        to,
        text: text.to_owned(),
        extra: Extra::default(),
    }
}

/// Turns the end of a measure into the start of the next, if there is one.
fn normal(part: &Part, measure: usize, at: BeatSpan) -> Place {
    let length = part.measures.get(measure).map(|one| one.length);
    let place = outside_place(cueleaf_score::Place { measure, at }, length);
    if place.measure < part.measures.len() {
        place
    } else {
        Place::start_of(measure)
    }
}

/// Words that say "louder" or "softer" reach as far as their dashed line.
fn words_mark(part: &Part, index: usize, words: &cueleaf_score::Words) -> Mark {
    let meanings = meanings(&words.text);
    let kind = if meanings.contains(&Meaning::Grow) {
        MarkKind::Grow
    } else if meanings.contains(&Meaning::Fade) {
        MarkKind::Fade
    } else {
        MarkKind::Words
    };
    let place = cueleaf_score::Place {
        measure: index,
        at: words.at,
    };
    let line = part
        .spans
        .iter()
        .find(|span| span.kind == SpanKind::Dashes && span.from == place)
        .filter(|_| kind != MarkKind::Words);
    let to = line.and_then(|line| end_of(part, line));
    new_mark(normal(part, index, words.at), kind, to, &words.text)
}

fn end_of(part: &Part, span: &Span) -> Option<Place> {
    let to = span.to?;
    let length = part.measures.get(to.measure).map(|one| one.length);
    Some(outside_place(to, length))
}

fn hairpin(part: &Part, span: &Span) -> Option<Mark> {
    let kind = match span.kind {
        SpanKind::Grow => MarkKind::Grow,
        SpanKind::Fade => MarkKind::Fade,
        SpanKind::Dashes => return None,
    };
    let from = normal(part, span.from.measure, span.from.at);
    Some(new_mark(from, kind, end_of(part, span), ""))
}

/// Gathers whole measures of rest into blocks. A block ends where a rehearsal
/// mark, a repeat or another printed block starts; it names the place of the
/// first note after it.
///
/// # Source
/// Our decision, after what parts print as one block.
fn rests(part: &Part) -> Vec<Mark> {
    let mut blocks: Vec<(usize, usize)> = Vec::new();
    let mut printed_until = 0;
    for (index, measure) in part.measures.iter().enumerate() {
        if !measure.is_rest() {
            continue;
        }
        let previous = index.checked_sub(1).and_then(|one| part.measures.get(one));
        let starts = measure.multiple_rest.is_some()
            || index == printed_until
            || measure.rehearsal.is_some()
            || measure.signs.repeat_from
            || measure.signs.ending_from.is_some()
            || previous.is_some_and(|one| one.signs.repeat_back.is_some() || one.signs.ending_to);
        if let Some(count) = measure.multiple_rest {
            printed_until = index + usize::from(count);
        }
        match blocks.last_mut() {
            Some((_, end)) if *end == index && !starts => *end += 1,
            _ => blocks.push((index, index + 1)),
        }
    }
    blocks
        .into_iter()
        .map(|(from, end)| {
            let entry = part.measures.get(end).filter(|next| !next.is_rest());
            let at = entry
                .and_then(|next| {
                    let played = next.notes.iter().filter(|note| note.is_played());
                    played.map(|note: &Note| note.at).min()
                })
                .unwrap_or(BeatSpan::ZERO);
            let to = Place { measure: end, at };
            new_mark(Place::start_of(from), MarkKind::Rest, Some(to), "")
        })
        .collect()
}
