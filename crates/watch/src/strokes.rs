//! The strokes of the bow: which notes are played in one bow, and which way it goes.

use crate::line::Struck;
use crate::playing::{way_at, ways};
use crate::scene::Scene;
use crate::thresholds::ENTRY_REST_BEATS;
use cueleaf_score::Bowing;
use cueleaf_time::{BeatPos, BeatSpan, Level};

/// One stroke of the bow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Stroke {
    /// The index of its first struck note.
    pub(crate) first: usize,
    /// The index of its last struck note.
    pub(crate) last: usize,
    pub(crate) start: BeatPos,
    pub(crate) end: BeatPos,
    pub(crate) way: Bowing,
    pub(crate) told: Told,
    /// The silence before it.
    pub(crate) silence: BeatSpan,
}

/// How the way of a stroke is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Told {
    /// A sign is printed.
    Marked,
    /// It follows the stroke before it the other way.
    InTurn,
    /// By the rule of thumb, where a phrase starts.
    ByRule,
}

impl Stroke {
    /// Gives how long it lasts.
    pub(crate) fn length(&self) -> BeatSpan {
        let span = self.end.since(self.start).ok();
        span.and_then(|span| span.forward())
            .unwrap_or(BeatSpan::ZERO)
    }
}

/// Gives the other way.
pub(crate) const fn other(way: Bowing) -> Bowing {
    match way {
        Bowing::Down => Bowing::Up,
        Bowing::Up => Bowing::Down,
    }
}

/// Gives the strokes of a part in order; plucked notes have none.
///
/// A slur is one stroke, unless a sign inside it asks for another. A printed
/// sign is obeyed. Unmarked, the first stroke of a phrase (the first of all, and
/// after a rest of a beat) goes down on a strong beat and up on a weak one or
/// between beats; the others take turns.
///
/// # Source
/// The rule of thumb: Gehrkens, Essentials in Conducting, "Bowing", with "many
/// exceptions" as he says. That a rest of a beat begins a phrase is our decision.
pub(crate) fn strokes(scene: &Scene<'_>) -> Vec<Stroke> {
    let ways = ways(scene);
    let struck = scene.line.struck();
    let mut slurs = scene.line.slurs().iter().peekable();
    let mut strokes: Vec<Stroke> = Vec::new();
    let mut next = 0;
    let mut slurred_to = 0;
    while let Some(one) = struck.get(next) {
        let first = next;
        while let Some(slur) = slurs.next_if(|slur| slur.first <= first) {
            if slur.first == first {
                slurred_to = slurred_to.max(slur.last);
            }
        }
        let mut last = first.max(slurred_to);
        // A sign inside a slur begins another stroke, which the slur goes on over.
        let signs = struck.iter().take(last + 1).skip(first + 1);
        if let Some(sign) = signs.clone().position(|inside| inside.bowing.is_some()) {
            last = first + sign;
        }
        next = last + 1;
        if way_at(&ways, one.start).plucked {
            continue;
        }
        let end = struck.get(last).map_or(one.end, |last| last.end);
        let before = strokes.last().copied();
        strokes.push(directed(scene, one, (first, last), end, before));
    }
    strokes
}

fn directed(
    scene: &Scene<'_>,
    one: &Struck<'_>,
    (first, last): (usize, usize),
    end: BeatPos,
    before: Option<Stroke>,
) -> Stroke {
    let silence = before
        .and_then(|before| one.start.since(before.end).ok()?.forward())
        .unwrap_or(BeatSpan::ZERO);
    let rested = scene.in_beats(silence, one.place) >= ENTRY_REST_BEATS;
    // Plucked notes in between begin a phrase as a rest does.
    let follows = before.is_some_and(|before| before.last + 1 == first);
    let (way, told) = match (one.bowing, before) {
        (Some(way), _) => (way, Told::Marked),
        (None, Some(before)) if !rested && follows => (other(before.way), Told::InTurn),
        (None, _) => (by_rule(scene, one), Told::ByRule),
    };
    Stroke {
        first,
        last,
        start: one.start,
        end,
        way,
        told,
        silence,
    }
}

fn by_rule(scene: &Scene<'_>, one: &Struck<'_>) -> Bowing {
    match scene.on_beat(one.place).map(|on| on.level()) {
        Some(Level::Downbeat | Level::Group) => Bowing::Down,
        _ => Bowing::Up,
    }
}
