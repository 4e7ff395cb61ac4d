//! Which notes make a tuplet together, since files give only each note's ratio.

use crate::line::Stretch;
use cueleaf_score::{Measure, TupletRatio};
use cueleaf_time::{BeatPos, BeatSpan, Ratio};

/// A tuplet that is not full yet.
struct Open {
    ratio: TupletRatio,
    begins: BeatSpan,
    lasts: BeatSpan,
    /// The smallest note value written in it, as it would last outside a tuplet.
    unit: BeatSpan,
}

impl Open {
    /// Tells whether it holds as many of its smallest notes as its ratio asks for, or a
    /// multiple of that.
    fn is_full(&self) -> bool {
        let whole = self.unit.times(Ratio::whole(i64::from(self.ratio.normal)));
        let times = whole.and_then(|whole| self.lasts.over(whole));
        times.is_ok_and(|times| times.denominator() == 1)
    }
}

/// Gives the tuplets of one voice of a measure that starts at a position, in order.
///
/// Notes and rests that follow each other with one ratio are taken together until they fill
/// what the ratio asks for; what never does is left out.
pub(crate) fn tuplets(measure: &Measure, voice: (u16, u16), start: BeatPos) -> Vec<Stretch> {
    let mut found = Vec::new();
    let mut open: Option<Open> = None;
    let own = measure.notes.iter().filter(|note| {
        (note.staff, note.voice) == voice && note.grace.is_none() && !note.chord && !note.cue
    });
    for note in own {
        let Some(ratio) = note.tuplet else {
            open = None;
            continue;
        };
        let plain = Ratio::new(i64::from(ratio.actual), i64::from(ratio.normal))
            .and_then(|more| note.length.times(more));
        let Ok(plain) = plain else { continue };
        let goes_on = open.take().filter(|open| {
            open.ratio == ratio && open.begins.plus(open.lasts).is_ok_and(|end| end == note.at)
        });
        let grown = match goes_on {
            Some(open) => Open {
                lasts: open.lasts.plus(note.length).unwrap_or(open.lasts),
                unit: open.unit.min(plain),
                ..open
            },
            None => Open {
                ratio,
                begins: note.at,
                lasts: note.length,
                unit: plain,
            },
        };
        if !grown.is_full() {
            open = Some(grown);
        } else if let Ok(begins) = start.plus(grown.begins)
            && let Ok(end) = begins.plus(grown.lasts)
        {
            found.push(Stretch { start: begins, end });
        }
    }
    found.sort_by_key(|own| own.start);
    found
}
