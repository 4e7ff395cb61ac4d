//! Second endings and later ones: what stands before them on the page is the ending before,
//! and what is played before them stands before the first of these endings.

use crate::line::Stretch;
use crate::scene::Scene;
use cueleaf_guide::{Guide, Layout, Place};
use cueleaf_time::{BeatPos, BeatSpan};

/// Where a later ending starts, and where the way to it leaves the page's order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct LaterEnding {
    pub(crate) start: BeatPos,
    measure: usize,
    /// Where the first of these endings starts: what is played before this one is before there.
    pub(crate) branch: BeatPos,
    branch_measure: usize,
}

/// Finds the later endings in order: brackets that follow each other with rising passes. Where
/// the first of them begins the piece, nothing is before them.
pub(crate) fn later_endings(guide: &Guide, layout: &Layout) -> Vec<LaterEnding> {
    let mut found = Vec::new();
    let mut open: Option<(usize, u16)> = None;
    let mut start = 0;
    let measures = &guide.road_map.measures;
    for run in measures.chunk_by(|one, other| one.ending == other.ending) {
        let pass = run.first().and_then(|one| one.ending.first()).copied();
        open = match (pass, open) {
            (None, _) => None,
            (Some(pass), Some((first, last))) if pass > last => {
                let laid = layout.get(start).zip(layout.get(first));
                found.extend(laid.filter(|_| first > 0).map(|(own, branch)| LaterEnding {
                    start: own.start,
                    measure: start,
                    branch: branch.start,
                    branch_measure: first,
                }));
                Some((first, pass))
            }
            (Some(pass), _) => Some((start, pass)),
        };
        start += run.len();
    }
    found
}

/// Gives the ending that was entered last up to a position.
pub(crate) fn entered(endings: &[LaterEnding], position: BeatPos) -> Option<&LaterEnding> {
    let next = endings.partition_point(|one| one.start <= position);
    endings.get(next.checked_sub(1)?)
}

impl Scene<'_> {
    /// Gives the later endings through which one comes from one position to another, the last
    /// first.
    fn crossed(&self, from: BeatPos, to: BeatPos) -> Vec<LaterEnding> {
        let mut crossed = Vec::new();
        let mut until = to;
        while let Some(ending) = entered(self.endings(), until).filter(|own| from <= own.branch) {
            crossed.push(*ending);
            until = ending.branch;
        }
        crossed
    }

    /// Gives what is played from one position to another, in pieces of the page: earlier endings
    /// are left out.
    fn played(&self, from: BeatPos, to: BeatPos) -> Vec<Stretch> {
        let mut until = to;
        let mut pieces = Vec::new();
        for ending in self.crossed(from, to) {
            let (start, end) = (ending.start, until);
            pieces.push(Stretch { start, end });
            until = ending.branch;
        }
        let (start, end) = (from, until);
        pieces.push(Stretch { start, end });
        pieces
    }

    /// Gives how long it is in play from one position to another; zero where the second is
    /// before the first.
    pub(crate) fn played_span(&self, from: BeatPos, to: BeatPos) -> BeatSpan {
        let spans = self.played(from, to).into_iter().filter_map(|piece| {
            let span = piece.end.since(piece.start).ok()?;
            span.forward()
        });
        spans.fold(BeatSpan::ZERO, |all, one| all.plus(one).unwrap_or(all))
    }

    /// Gives the seconds in play from one position to another, for weighing.
    pub(crate) fn played_seconds(&self, from: BeatPos, to: BeatPos) -> f64 {
        let pieces = self.played(from, to).into_iter();
        let seconds = pieces.map(|own| self.seconds(own.start, own.end).max(0.0));
        seconds.sum()
    }

    /// Gives the same to tell them: `None` where the tempo is only assumed on the way.
    pub(crate) fn told_played_seconds(&self, from: BeatPos, to: BeatPos) -> Option<f64> {
        let pieces = self.played(from, to).into_iter();
        let told = pieces.map(|own| self.told_seconds(own.start, own.end));
        told.sum()
    }

    /// Gives how many measures of the page are not played on the way from one position to
    /// another.
    pub(crate) fn passed_over(&self, from: BeatPos, to: BeatPos) -> usize {
        let crossed = self.crossed(from, to).into_iter();
        let measures = crossed.map(|own| own.measure - own.branch_measure);
        measures.sum()
    }

    /// Gives where the last sound ends that begins before a position in play.
    pub(crate) fn silent_from(&self, position: BeatPos) -> Option<BeatPos> {
        let sounding = self.line.sounding();
        let before = |until: BeatPos| {
            let next = sounding.partition_point(|own| own.start < until);
            sounding.get(next.checked_sub(1)?)
        };
        let last = before(position);
        let ending = entered(self.endings(), position);
        match ending.filter(|own| last.is_none_or(|last| last.start < own.start)) {
            Some(ending) => before(ending.branch).map(|last| last.end.min(ending.branch)),
            None => last.map(|last| last.end),
        }
    }

    /// Gives where what sounds up to a later position ends in play: where one turns to a later
    /// ending, if not before.
    pub(crate) fn ended(&self, end: BeatPos, next: BeatPos) -> BeatPos {
        let ending = entered(self.endings(), next);
        let held = ending.filter(|own| own.branch < end && end <= own.start);
        held.map_or(end, |own| own.branch)
    }

    /// Gives the index of the note that is struck before another in play.
    pub(crate) fn struck_before(&self, index: usize) -> Option<usize> {
        let own = self.line.struck().get(index)?;
        let before = index.checked_sub(1);
        let last = before.and_then(|before| self.line.struck().get(before));
        let ending = entered(self.endings(), own.start);
        match ending.filter(|ending| last.is_none_or(|last| last.start < ending.start)) {
            Some(ending) => self.line.first_from(ending.branch).checked_sub(1),
            None => before,
        }
    }

    /// Gives the places at which a first ending starts, and those at which a later one does.
    pub(crate) fn ending_starts(&self) -> Vec<(Place, Place)> {
        let starts = self.endings().iter().map(|own| {
            let place = Place::start_of;
            (place(own.branch_measure), place(own.measure))
        });
        starts.collect()
    }
}
