//! Starts and stops that belong together: slurs, hairpins, dashed lines.

use cueleaf_score::{Place, Span, SpanKind};
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
    /// was opened long before has been forgotten.
    pub(super) fn start(&mut self, line: Line, number: u16, kind: SpanKind, from: Place) {
        let open = self.open.entry((line, number)).or_default();
        open.retain(|index| {
            let span = self.spans.get(*index);
            span.is_some_and(|span| span.from.measure + 1 >= from.measure)
        });
        open.push(self.spans.len());
        self.spans.push(Span {
            kind,
            from,
            to: None,
        });
    }

    /// Ends the youngest open span.
    pub(super) fn stop(&mut self, line: Line, number: u16, to: Place) -> Result<(), NoneOpen> {
        let open = self.open.get_mut(&(line, number));
        let index = open.and_then(Vec::pop).ok_or(NoneOpen)?;
        if let Some(span) = self.spans.get_mut(index).filter(|span| span.from < to) {
            span.to = Some(to);
        }
        Ok(())
    }

    /// Gives all spans in order of their start.
    pub(super) fn into_spans(self) -> Vec<Span> {
        let mut spans = self.spans;
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
