//! The strokes of the bow: which notes are played in one bow, and which way it goes.

use crate::line::Struck;
use crate::playing::{way_at, ways};
use crate::scene::Scene;
use crate::thresholds::ENTRY_REST_BEATS;
use cueleaf_guide::Place;
use cueleaf_score::{Bowing, TremoloKind};
use cueleaf_time::{BeatPos, BeatSpan, Level, Ratio};
use std::collections::BTreeSet;

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
    /// The index of the note that is struck before it in play.
    pub(crate) after: Option<usize>,
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

/// Names a way.
pub(crate) const fn name(way: Bowing) -> &'static str {
    match way {
        Bowing::Down => "down-bow",
        Bowing::Up => "up-bow",
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
/// between beats; a pickup begins so that its strokes in turn come out at the next downbeat
/// with a down-bow, or with the sign printed before. The others take turns. A tremolo is no
/// stroke: the bow goes to and fro in it, and after it a phrase begins anew.
///
/// # Source
/// The rule of thumb: Gehrkens, Essentials in Conducting, "Bowing", with "many
/// exceptions" as he says. That a rest of a beat begins a phrase is our decision, and so
/// is counting the strokes of a pickup (common practice, no source).
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
        let bowed = struck.get(first..=last).unwrap_or(&[]);
        if way_at(&ways, one.start).plucked || is_tremolo(bowed) {
            continue;
        }
        let end = struck.get(last).map_or(one.end, |last| last.end);
        let after = scene.struck_before(first);
        let joined = stroke_before(&strokes, after).copied();
        let before = (joined, strokes.last().copied());
        strokes.push(directed(scene, one, (first, last, after), end, before));
    }
    for (index, way) in pickups(scene, &strokes) {
        if let Some(stroke) = strokes.get_mut(index) {
            stroke.way = way;
        }
    }
    in_turn(&mut strokes);
    strokes
}

/// Gives the stroke that ends with the note before another stroke.
pub(crate) fn stroke_before(strokes: &[Stroke], after: Option<usize>) -> Option<&Stroke> {
    let after = after?;
    let index = strokes.binary_search_by_key(&after, |one| one.last).ok()?;
    strokes.get(index)
}

/// Turns the bow after each stroke that is followed by one in turn.
fn in_turn(strokes: &mut [Stroke]) {
    for index in 0..strokes.len() {
        let own = strokes.get(index).filter(|own| own.told == Told::InTurn);
        let before = own.and_then(|own| stroke_before(strokes, own.after));
        let way = before.map(|before| other(before.way));
        if let (Some(way), Some(own)) = (way, strokes.get_mut(index)) {
            own.way = way;
        }
    }
}

/// Gives the last notes of the strokes whose way is known from a sign: their own, or one from
/// which the strokes up to them took turns.
pub(crate) fn known(strokes: &[Stroke]) -> BTreeSet<usize> {
    let mut known = BTreeSet::new();
    for own in strokes {
        let is = match own.told {
            Told::Marked => true,
            Told::InTurn => own.after.is_some_and(|after| known.contains(&after)),
            Told::ByRule => false,
        };
        if is {
            known.insert(own.last);
        }
    }
    known
}

/// Tells whether what one stroke would play is a tremolo. Between two notes under a slur it
/// is one bow all the same.
fn is_tremolo(struck: &[Struck<'_>]) -> bool {
    struck.iter().any(|one| match one.note.tremolo {
        Some(tremolo) => tremolo.kind == TremoloKind::Single || struck.len() == 1,
        None => false,
    })
}

/// Finds the strokes with which pickups begin unmarked, by index, and the way in which their
/// strokes come out.
fn pickups(scene: &Scene<'_>, strokes: &[Stroke]) -> Vec<(usize, Bowing)> {
    let mut found = Vec::new();
    for (first, stroke) in strokes.iter().enumerate() {
        let place = scene.place(stroke.start);
        if stroke.told != Told::ByRule || !is_late(scene, place) {
            continue;
        }
        let phrase = strokes.get(first..).unwrap_or(&[]);
        let begins = upbeat(scene, phrase).and_then(|upbeat| upbeat.begins);
        found.extend(begins.map(|way| (first, way)));
    }
    found
}

/// What leads to a downbeat.
pub(crate) struct Upbeat {
    /// How many strokes there are before the barline.
    pub(crate) strokes: usize,
    /// How the first of them goes, so that the strokes in turn come out; `None` where the
    /// last is held over the barline and no sign says more.
    pub(crate) begins: Option<Bowing>,
    /// Whether a sign is printed at the first.
    pub(crate) printed: bool,
    /// The sign at a later one, the downbeat included, toward which they are counted.
    pub(crate) toward: Option<Bowing>,
}

/// Counts the strokes from the first of a phrase up to the next barline; `None` when no stroke
/// follows there without a rest: a tremolo and plucked notes are none.
pub(crate) fn upbeat(scene: &Scene<'_>, phrase: &[Stroke]) -> Option<Upbeat> {
    let first = phrase.first()?;
    let measure = scene.place(first.start).measure;
    let laid = scene.laid(measure)?;
    let barline = laid.start.plus(laid.length).ok()?;
    let strokes = phrase.partition_point(|one| one.start < barline);
    let joined = phrase.windows(2).take_while(|pair| match pair {
        [one, next] => {
            let rested = scene.in_beats(next.silence, scene.place(next.start)) >= ENTRY_REST_BEATS;
            next.told != Told::ByRule && next.after == Some(one.last) && !rested
        }
        _ => false,
    });
    let joined = joined.count() + 1;
    let own = phrase.get(..joined.min(strokes + 1))?;
    // Where a sign stands all before it take turns toward it.
    let begins_for = |(index, way): (usize, Bowing)| {
        if index % 2 == 0 { way } else { other(way) }
    };
    let sign = own.iter().position(|one| one.told == Told::Marked);
    let marked = sign.and_then(|index| Some((index, own.get(index)?.way)));
    let downbeat = own
        .get(strokes)
        .filter(|one| one.start == barline)
        .map(|_| (strokes, Bowing::Down));
    let last = phrase.get(strokes.checked_sub(1)?)?;
    let leads = joined >= strokes && (downbeat.is_some() || last.end > barline);
    if marked.is_none() && !leads {
        return None;
    }
    Some(Upbeat {
        strokes,
        begins: marked.or(downbeat).map(begins_for),
        printed: first.told == Told::Marked,
        toward: marked.filter(|(index, _)| *index > 0).map(|(_, way)| way),
    })
}

/// Tells whether a place lies so late in its measure that a phrase that begins there is a
/// pickup: less than half a measure before the end, in the last beat, or in an incomplete
/// first measure.
pub(crate) fn is_late(scene: &Scene<'_>, place: Place) -> bool {
    let Some(laid) = scene.laid(place.measure) else {
        return false;
    };
    if laid.pickup || place.at.is_zero() {
        return laid.pickup;
    }
    let twice = place.at.times(Ratio::whole(2));
    let last = laid.beats.beats().last();
    twice.is_ok_and(|twice| twice > laid.length) || last.is_some_and(|last| place.at >= last.at)
}

fn directed(
    scene: &Scene<'_>,
    one: &Struck<'_>,
    (first, last, after): (usize, usize, Option<usize>),
    end: BeatPos,
    (before, lately): (Option<Stroke>, Option<Stroke>),
) -> Stroke {
    let silence = before.or(lately).map_or(BeatSpan::ZERO, |before| {
        scene.played_span(scene.ended(before.end, one.start), one.start)
    });
    let rested = scene.in_beats(silence, one.place) >= ENTRY_REST_BEATS;
    // Plucked notes in between begin a phrase as a rest does: no stroke is before it.
    let (way, told) = match (one.bowing, before) {
        (Some(way), _) => (way, Told::Marked),
        (None, Some(before)) if !rested => (other(before.way), Told::InTurn),
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
        after,
    }
}

fn by_rule(scene: &Scene<'_>, one: &Struck<'_>) -> Bowing {
    match scene.on_beat(one.place).map(|on| on.level()) {
        Some(Level::Downbeat | Level::Group) => Bowing::Down,
        _ => Bowing::Up,
    }
}
