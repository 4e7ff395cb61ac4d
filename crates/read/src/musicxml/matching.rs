//! Starts and stops that belong together: slurs, hairpins, dashed lines.

use cueleaf_score::{Place, Span, SpanKind};
use cueleaf_time::BeatSpan;
use std::collections::BTreeMap;

/// Slurs of one part, numbered as they start.
#[derive(Debug, Default)]
pub(super) struct Slurs {
    open: BTreeMap<(u16, u16), OpenSlur>,
    last: u32,
    forgotten: Vec<(u32, usize)>,
}

#[derive(Debug, Clone, Copy)]
struct OpenSlur {
    id: u32,
    measure: usize,
}

impl Slurs {
    /// Starts a slur of a voice under the file's number for it.
    pub(super) fn start(&mut self, voice: u16, number: u16, measure: usize) -> u32 {
        self.last = self.last.saturating_add(1);
        let id = self.last;
        let slur = OpenSlur { id, measure };
        if let Some(old) = self.open.insert((voice, number), slur) {
            self.forgotten.push((old.id, old.measure));
        }
        id
    }

    /// Ends a slur: of the same voice, else of any voice that has its number.
    pub(super) fn stop(&mut self, voice: u16, number: u16) -> Option<u32> {
        if let Some(slur) = self.open.remove(&(voice, number)) {
            return Some(slur.id);
        }
        let key = self
            .open
            .keys()
            .find(|(_, other)| *other == number)
            .copied()?;
        self.open.remove(&key).map(|slur| slur.id)
    }

    /// Gives the slurs that never ended, with the measures where they started.
    pub(super) fn unfinished(mut self) -> Vec<(u32, usize)> {
        let open = self.open.values().map(|slur| (slur.id, slur.measure));
        self.forgotten.extend(open);
        self.forgotten
            .sort_unstable_by_key(|(id, measure)| (*measure, *id));
        self.forgotten
    }
}

/// Hairpins and dashed lines of one part.
#[derive(Debug, Default)]
pub(super) struct Spans {
    spans: Vec<Span>,
    /// Indices of the open spans, the youngest last.
    open: BTreeMap<(Line, u16), Vec<usize>>,
    /// Where spans whose start was settled elsewhere are drawn from.
    drawn_from: BTreeMap<usize, BeatSpan>,
}

/// The elements that have starts and stops of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Line {
    Wedge,
    Dashes,
    Bracket,
}

impl Spans {
    /// Starts a span. Files without numbers may have two open at a time; one that
    /// was opened long before has been forgotten. Gives its index.
    pub(super) fn start(&mut self, line: Line, number: u16, kind: SpanKind, from: Place) -> usize {
        let open = self.open.entry((line, number)).or_default();
        open.retain(|index| {
            let span = self.spans.get(*index);
            span.is_some_and(|span| span.from.measure + 1 >= from.measure)
        });
        let index = self.spans.len();
        open.push(index);
        self.spans.push(Span {
            kind,
            from,
            to: None,
        });
        index
    }

    /// Ends the youngest open span; gives its index.
    pub(super) fn stop(&mut self, line: Line, number: u16, to: Place) -> Result<usize, NoneOpen> {
        let open = self.open.get_mut(&(line, number));
        let index = open.and_then(Vec::pop).ok_or(NoneOpen)?;
        if let Some(span) = self.spans.get_mut(index) {
            span.to = Some(to);
        }
        Ok(index)
    }

    /// Settles where in its measure a span starts.
    pub(super) fn settle_from(&mut self, index: usize, at: BeatSpan) {
        if let Some(span) = self.spans.get_mut(index) {
            self.drawn_from.insert(index, span.from.at);
            span.from.at = at;
        }
    }

    /// Settles where in its measure a span ends. One that is drawn between two notes would lose
    /// its length; it stays as it is drawn.
    pub(super) fn settle_to(&mut self, index: usize, at: BeatSpan) {
        let drawn_from = self.drawn_from.get(&index).copied();
        let Some(span) = self.spans.get_mut(index) else {
            return;
        };
        let Some(drawn) = span.to else { return };
        let settled = Place { at, ..drawn };
        if settled > span.from {
            span.to = Some(settled);
        } else if let Some(from) = drawn_from {
            span.from.at = from;
        }
    }

    /// Gives all spans in order of their start; one that ends before it starts has no end.
    pub(super) fn into_spans(self) -> Vec<Span> {
        let mut spans = self.spans;
        for span in &mut spans {
            span.to = span.to.filter(|to| span.from < *to);
        }
        spans.sort_by_key(|span| span.from);
        spans
    }
}

/// Something ends that never started.
#[derive(Debug)]
pub(super) struct NoneOpen;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slurs_end_in_their_own_voice_first() {
        let mut slurs = Slurs::default();
        assert_eq!(slurs.start(1, 1, 0), 1);
        assert_eq!(slurs.start(2, 1, 0), 2);
        assert_eq!(slurs.stop(2, 1), Some(2));
        assert_eq!(slurs.stop(3, 1), Some(1));
        assert_eq!(slurs.stop(1, 1), None);
        slurs.start(1, 1, 3);
        slurs.start(1, 1, 4);
        assert_eq!(slurs.unfinished(), [(3, 3), (4, 4)]);
    }
}
