//! The part as one line of struck notes, and what the other parts strike.

use crate::endings::{LaterEnding, entered};
use crate::tuplets::tuplets;
use cueleaf_guide::{Layout, Place};
use cueleaf_score::{Bowing, Measure, Note, Part, Pitch, Score, Sound};
use cueleaf_time::BeatPos;
use std::collections::BTreeMap;

/// A note or chord that is struck, with the notes tied to it.
#[derive(Debug, Clone)]
pub(crate) struct Struck<'a> {
    pub(crate) place: Place,
    pub(crate) start: BeatPos,
    /// Where the last note tied to it ends.
    pub(crate) end: BeatPos,
    pub(crate) note: &'a Note,
    /// The pitches struck together, as in the file.
    pub(crate) pitches: Vec<Pitch>,
    pub(crate) bowing: Option<Bowing>,
    /// The tuplet in which it starts.
    pub(crate) tuplet: Option<Stretch>,
    /// The slurs that start here, those of grace notes before it included.
    slurs_from: Vec<u32>,
    /// The slurs that end here.
    slurs_to: Vec<u32>,
    tied_on: bool,
}

impl Struck<'_> {
    /// Gives the highest pitch.
    pub(crate) fn highest(&self) -> Option<Pitch> {
        self.pitches
            .iter()
            .copied()
            .max_by_key(|one| one.semitones())
    }

    /// Gives the lowest pitch.
    pub(crate) fn lowest(&self) -> Option<Pitch> {
        self.pitches
            .iter()
            .copied()
            .min_by_key(|one| one.semitones())
    }
}

/// A slur over struck notes, by index, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Slur {
    pub(crate) first: usize,
    pub(crate) last: usize,
}

/// A stretch of the written line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Stretch {
    pub(crate) start: BeatPos,
    pub(crate) end: BeatPos,
}

/// The part's leading voice, and when the part sounds at all.
#[derive(Debug, Default)]
pub(crate) struct Line<'a> {
    struck: Vec<Struck<'a>>,
    slurs: Vec<Slur>,
    sounding: Vec<Stretch>,
}

impl<'a> Line<'a> {
    /// Reads a part: in each measure the voice of the lowest number that plays.
    pub(crate) fn new(part: &'a Part, layout: &Layout, endings: &[LaterEnding]) -> Self {
        let mut line = Self::default();
        let mut grace_slurs: Vec<u32> = Vec::new();
        for (index, (measure, laid)) in part.measures.iter().zip(layout.measures()).enumerate() {
            let voice = leading_voice(measure);
            if measure.repeats_previous
                && voice.is_none()
                && let Ok(end) = laid.start.plus(laid.length)
            {
                let start = laid.start;
                line.sounding.push(Stretch { start, end });
            }
            let tuplets = voice.map_or_else(Vec::new, |voice| tuplets(measure, voice, laid.start));
            for note in measure.notes.iter().filter(|note| note.is_played()) {
                let leads = voice == Some((note.staff, note.voice));
                if note.grace.is_some() {
                    if leads {
                        grace_slurs.extend(&note.slurs_from);
                    }
                    continue;
                }
                let place = Place {
                    measure: index,
                    at: note.at.min(laid.length),
                };
                let start = laid.start.plus(place.at);
                let (Ok(start), Ok(end)) = (start, start.and_then(|at| at.plus(note.length)))
                else {
                    continue;
                };
                line.sounding.push(Stretch { start, end });
                if leads {
                    let begun = tuplets.partition_point(|own| own.start <= start);
                    let tuplet = begun.checked_sub(1).and_then(|last| tuplets.get(last));
                    let tuplet = tuplet.filter(|own| note.tuplet.is_some() && start < own.end);
                    let tuplet = tuplet.copied();
                    let sounds = Stretch { start, end };
                    line.take(place, sounds, note, tuplet, &mut grace_slurs);
                }
            }
        }
        line.sounding = merged(core::mem::take(&mut line.sounding), endings);
        line.slurs = slurs_of(&line.struck);
        line
    }

    fn take(
        &mut self,
        place: Place,
        Stretch { start, end }: Stretch,
        note: &'a Note,
        tuplet: Option<Stretch>,
        grace_slurs: &mut Vec<u32>,
    ) {
        let pitch = match note.sound {
            Sound::Pitched(pitch) => Some(pitch),
            Sound::Unpitched | Sound::Rest { .. } => None,
        };
        if let Some(last) = self.struck.last_mut() {
            let together = note.chord && last.start <= start && start < last.end;
            let tied = note.tied_back && last.tied_on && last.end == start;
            if together || tied {
                if together && last.start == start {
                    last.pitches.extend(pitch);
                }
                last.end = last.end.max(end);
                last.tied_on = note.tied_on || (together && last.tied_on);
                last.bowing = last.bowing.or(note.bowing());
                last.slurs_from.extend(&note.slurs_from);
                last.slurs_to.extend(&note.slurs_to);
                return;
            }
        }
        let mut slurs_from = core::mem::take(grace_slurs);
        slurs_from.extend(&note.slurs_from);
        self.struck.push(Struck {
            place,
            start,
            end,
            note,
            pitches: pitch.into_iter().collect(),
            bowing: note.bowing(),
            tuplet,
            slurs_from,
            slurs_to: note.slurs_to.clone(),
            tied_on: note.tied_on,
        });
    }

    /// Gives the struck notes in order.
    pub(crate) fn struck(&self) -> &[Struck<'a>] {
        &self.struck
    }

    /// Gives the slurs in order of their start, the longest first.
    pub(crate) fn slurs(&self) -> &[Slur] {
        &self.slurs
    }

    /// Gives when any voice of the part sounds, in order and apart; a later ending begins anew.
    pub(crate) fn sounding(&self) -> &[Stretch] {
        &self.sounding
    }

    /// Gives the first struck note that starts at or after a position.
    pub(crate) fn first_from(&self, position: BeatPos) -> usize {
        self.struck.partition_point(|one| one.start < position)
    }
}

fn leading_voice(measure: &Measure) -> Option<(u16, u16)> {
    let played = measure.notes.iter().filter(|note| note.is_played());
    played
        .filter(|note| note.grace.is_none())
        .map(|note| (note.staff, note.voice))
        .min()
}

fn merged(mut stretches: Vec<Stretch>, endings: &[LaterEnding]) -> Vec<Stretch> {
    stretches.sort_by_key(|one| (one.start, one.end));
    let mut whole: Vec<Stretch> = Vec::new();
    for stretch in stretches {
        match whole.last_mut() {
            Some(last)
                if stretch.start <= last.end
                    && entered(endings, stretch.start) == entered(endings, last.start) =>
            {
                last.end = last.end.max(stretch.end);
            }
            _ => whole.push(stretch),
        }
    }
    whole
}

fn slurs_of(struck: &[Struck<'_>]) -> Vec<Slur> {
    let mut open: BTreeMap<u32, usize> = BTreeMap::new();
    let mut slurs = Vec::new();
    for (index, one) in struck.iter().enumerate() {
        for number in &one.slurs_from {
            open.insert(*number, index);
        }
        for number in &one.slurs_to {
            if let Some(first) = open.remove(number)
                && first < index
            {
                slurs.push(Slur { first, last: index });
            }
        }
    }
    slurs.sort_by_key(|slur| (slur.first, core::cmp::Reverse(slur.last)));
    slurs
}

/// What the other parts strike.
#[derive(Debug, Default)]
pub(crate) struct Others<'a> {
    /// By part, in the order of the score: its name and where it strikes.
    pub(crate) parts: Vec<(&'a str, Vec<BeatPos>)>,
    /// Where any of them strikes, in order, each place once.
    all: Vec<BeatPos>,
}

impl<'a> Others<'a> {
    /// Reads all parts but one.
    pub(crate) fn new(score: &'a Score, own: usize, layout: &Layout) -> Self {
        let others = score
            .parts
            .iter()
            .enumerate()
            .filter(|(index, _)| *index != own);
        let parts: Vec<(&str, Vec<BeatPos>)> = others
            .map(|(_, part)| (part.name.as_str(), attacks(part, layout)))
            .collect();
        let mut all: Vec<BeatPos> = parts.iter().flat_map(|(_, own)| own).copied().collect();
        all.sort_unstable();
        all.dedup();
        Self { parts, all }
    }

    /// Tells whether any of them strikes at a position.
    pub(crate) fn strike_at(&self, position: BeatPos) -> bool {
        self.all.binary_search(&position).is_ok()
    }

    /// Tells whether any of them strikes after one position and before another.
    pub(crate) fn strike_inside(&self, after: BeatPos, before: BeatPos) -> bool {
        let next = self.all.partition_point(|at| *at <= after);
        self.all.get(next).is_some_and(|at| *at < before)
    }
}

/// Counts the places struck from one position up to another, the end left out.
pub(crate) fn struck_between(attacks: &[BeatPos], from: BeatPos, to: BeatPos) -> usize {
    let first = attacks.partition_point(|at| *at < from);
    attacks.partition_point(|at| *at < to).saturating_sub(first)
}

fn attacks(part: &Part, layout: &Layout) -> Vec<BeatPos> {
    let mut attacks = Vec::new();
    for (measure, laid) in part.measures.iter().zip(layout.measures()) {
        let struck = measure
            .notes
            .iter()
            .filter(|note| note.is_played() && note.grace.is_none() && !note.tied_back);
        attacks.extend(struck.filter_map(|note| laid.start.plus(note.at.min(laid.length)).ok()));
    }
    attacks.sort_unstable();
    attacks.dedup();
    attacks
}
