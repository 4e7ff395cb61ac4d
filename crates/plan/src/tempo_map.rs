//! Tempo over the written line, and the one gate from exact positions to seconds.

use cueleaf_guide::{Hold, Laid, Layout, Place, Return, RoadMap};
use cueleaf_time::{BeatPos, BeatShift, BeatSpan, SameBeat, Seconds, Shape, Tempo, TempoCurve};

/// A stretch of the written line with one steady or gradual tempo.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TempoSegment {
    /// Where it starts.
    pub start: BeatPos,
    /// Where it ends.
    pub end: BeatPos,
    /// The tempo at its start.
    pub from: Tempo,
    /// The tempo toward which it moves; the same as `from` when steady.
    pub to: Tempo,
    /// Where it would arrive there: beyond `end` when a mark cuts it short.
    pub arrives: BeatPos,
    /// How it moves.
    pub shape: Shape,
}

impl TempoSegment {
    /// Tells whether the tempo at its start is news after another stretch: neither the
    /// one that was there, nor come to by a gradual change.
    pub(crate) fn is_news_after(&self, before: &Self) -> bool {
        if before.arrives <= before.end {
            return self.from != before.to;
        }
        // Where one gradual change cuts another short, it leaves from where that was.
        let span = span_to(before.start, before.end).quarters().to_f64();
        let reached = before.curve().quarters_per_minute_at(span);
        self.from == self.to || (self.from.quarters_per_minute().to_f64() - reached).abs() > NEAREST
    }

    fn curve(&self) -> TempoCurve {
        let span = span_to(self.start, self.arrives);
        TempoCurve::new(self.from, self.to, span, self.shape)
    }
}

/// How far, in quarter notes a minute, a tempo that was come to may be from the one it
/// is rounded to.
const NEAREST: f64 = 0.001;

fn span_to(from: BeatPos, to: BeatPos) -> BeatSpan {
    to.since(from)
        .ok()
        .and_then(BeatShift::forward)
        .unwrap_or(BeatSpan::ZERO)
}

/// The tempo of the whole written line.
#[derive(Debug, Clone, PartialEq)]
pub struct TempoMap {
    segments: Vec<TempoSegment>,
    timed: Vec<Timed>,
}

/// A stretch with its place in time. A stretch may start inside its curve, when
/// a hold interrupts a gradual change.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Timed {
    start: f64,
    seconds: f64,
    curve: TempoCurve,
    curve_start: f64,
    curve_seconds: f64,
}

impl Timed {
    fn seconds_at(&self, quarters: f64) -> f64 {
        self.seconds + self.curve.seconds_to(quarters - self.curve_start).get() - self.curve_seconds
    }

    fn quarters_after(&self, seconds: f64) -> f64 {
        let inside = (seconds - self.seconds).max(0.0) + self.curve_seconds;
        let inside = Seconds::new(inside).unwrap_or(Seconds::ZERO);
        self.curve_start + self.curve.offset_after(inside)
    }
}

/// Something that happens to the tempo at a place.
enum Event {
    AtOnce(Tempo),
    SameBeat(SameBeat),
    Toward(Tempo, BeatPos, Shape),
    Hold(BeatSpan),
}

impl TempoMap {
    /// Reads the tempo marks and holds of a road map.
    #[must_use]
    pub fn new(road_map: &RoadMap, layout: &Layout) -> Self {
        let mut builder = Builder::default();
        for (at, event) in events_of(road_map, layout) {
            builder.take(at, &event);
        }
        builder.close(layout.end());
        builder.map
    }

    /// Gives the stretches in order; they cover the whole line.
    #[must_use]
    pub fn segments(&self) -> &[TempoSegment] {
        &self.segments
    }

    /// Gives the seconds from the start of the line to an exact position.
    ///
    /// A hold at the position itself has not been waited for yet.
    #[must_use]
    pub fn seconds_at(&self, position: BeatPos) -> Seconds {
        let quarters = position.quarters().to_f64();
        let next = self.timed.partition_point(|timed| timed.start < quarters);
        // At the start of the line nothing has passed, though the first stretch may
        // begin behind a hold.
        let timed = next.checked_sub(1).and_then(|last| self.timed.get(last));
        timed
            .and_then(|timed| Seconds::new(timed.seconds_at(quarters)))
            .unwrap_or(Seconds::ZERO)
    }

    /// Gives the position, in quarter notes, at which the line is after some
    /// seconds: the inverse of [`seconds_at`](Self::seconds_at); during a hold
    /// it stands still.
    #[must_use]
    pub fn quarters_after(&self, seconds: Seconds) -> f64 {
        let seconds = seconds.get();
        let next = self.timed.partition_point(|timed| timed.seconds <= seconds);
        let index = next.saturating_sub(1);
        let Some(timed) = self.timed.get(index) else {
            return 0.0;
        };
        let quarters = timed.quarters_after(seconds);
        match self.timed.get(index + 1) {
            Some(following) => quarters.min(following.start),
            None => quarters,
        }
    }

    /// Gives the tempo, in quarter notes a minute, at a position.
    #[must_use]
    pub fn quarters_per_minute_at(&self, position: BeatPos) -> f64 {
        let quarters = position.quarters().to_f64();
        let next = self.timed.partition_point(|timed| timed.start <= quarters);
        self.timed.get(next.saturating_sub(1)).map_or_else(
            || Tempo::ASSUMED.quarters_per_minute().to_f64(),
            |timed| {
                timed
                    .curve
                    .quarters_per_minute_at(quarters - timed.curve_start)
            },
        )
    }
}

/// Gathers what happens to the tempo, in order of place; what stands at one
/// place keeps its written order.
fn events_of(road_map: &RoadMap, layout: &Layout) -> Vec<(BeatPos, Event)> {
    let mut events = Vec::new();
    let mut first: Option<Tempo> = None;
    // The tempo now, the one before the last change, the last that a mark set, and
    // the one before the last gradual changes, to which "a tempo" returns, with the
    // place at which the last of them arrives.
    let mut now = Tempo::ASSUMED;
    let mut before: Option<Tempo> = None;
    let mut set: Option<Tempo> = None;
    let mut before_gradual: Option<(Tempo, BeatPos)> = None;
    for (measure, laid) in road_map.measures.iter().zip(layout.measures()) {
        for mark in &measure.tempo {
            let Ok(at) = laid.start.plus(mark.at.min(laid.length)) else {
                continue;
            };
            let returned = match mark.back {
                Some(Return::ToBefore) => before_gradual.map(|(tempo, _)| tempo).or(before),
                Some(Return::ToFirst) => first,
                None => None,
            };
            let same = mark.same_beat.and_then(|same| same.after(now).ok());
            let arrives = mark.until.and_then(|until| place_on(layout, until));
            // Gradual changes in a row return to before the first; after a steady
            // stretch a new row begins.
            let row = |arrives: BeatPos| match before_gradual {
                Some((tempo, end)) if at <= end => (tempo, end.max(arrives)),
                _ => (now, arrives),
            };
            let Some(tempo) = mark.tempo.or(same).or(returned) else {
                // "rit." without a number moves nothing, but it is what "a tempo"
                // returns from.
                if let Some(arrives) = arrives {
                    before_gradual = Some(row(arrives));
                }
                continue;
            };
            if let Some(arrives) = arrives.filter(|arrives| *arrives > at) {
                before_gradual = Some(row(arrives));
                events.push((at, Event::Toward(tempo, arrives, mark.shape)));
            } else {
                before_gradual = None;
                first = first.or(Some(tempo));
                // An equation goes by the tempo that was reached, which a gradual
                // change that it cuts short has not told yet.
                events.push(match (mark.tempo, mark.same_beat) {
                    (None, Some(same)) => (at, Event::SameBeat(same)),
                    _ => (at, Event::AtOnce(tempo)),
                });
            }
            // Nobody returns to a tempo that no mark has set, nor to one that was returned from.
            if mark.back != Some(Return::ToBefore) {
                before = set;
            }
            set = Some(tempo);
            now = tempo;
        }
        for hold in &measure.holds {
            if let (Some(longer), Ok(at)) = (hold.longer, laid.start.plus(held_at(laid, hold))) {
                events.push((at, Event::Hold(longer)));
            }
        }
    }
    events.sort_by_key(|(at, _)| *at);
    events
}

/// Gives the place of a hold in its measure: one at the barline, or beyond it,
/// holds the last beat.
pub(crate) fn held_at(laid: &Laid, hold: &Hold) -> BeatSpan {
    if hold.at < laid.length {
        return hold.at;
    }
    let last = laid.beats.beats().last();
    last.map_or(BeatSpan::ZERO, |beat| beat.at)
}

fn place_on(layout: &Layout, place: Place) -> Option<BeatPos> {
    match layout.get(place.measure) {
        Some(laid) => laid.start.plus(place.at.min(laid.length)).ok(),
        None => Some(layout.end()),
    }
}

/// The stretch that is being built: where its curve started and where it goes.
#[derive(Clone, Copy)]
struct Open {
    start: BeatPos,
    curve_start: BeatPos,
    from: Tempo,
    to: Tempo,
    arrives: BeatPos,
    shape: Shape,
}

struct Builder {
    map: TempoMap,
    open: Open,
    seconds: Sum,
}

impl Default for Builder {
    fn default() -> Self {
        Self {
            map: TempoMap {
                segments: Vec::new(),
                timed: Vec::new(),
            },
            open: steady(BeatPos::START, Tempo::ASSUMED),
            seconds: Sum::default(),
        }
    }
}

fn steady(at: BeatPos, tempo: Tempo) -> Open {
    Open {
        start: at,
        curve_start: at,
        from: tempo,
        to: tempo,
        arrives: at,
        shape: Shape::default(),
    }
}

impl Builder {
    fn take(&mut self, at: BeatPos, event: &Event) {
        self.close(at);
        match event {
            Event::AtOnce(tempo) => self.open = steady(at, *tempo),
            Event::SameBeat(same) => {
                let reached = self.tempo_at(at);
                self.open = steady(at, same.after(reached).unwrap_or(reached));
            }
            Event::Toward(tempo, arrives, shape) => {
                let from = self.tempo_at(at);
                self.open = Open {
                    from,
                    to: *tempo,
                    arrives: *arrives,
                    shape: *shape,
                    ..steady(at, from)
                };
            }
            Event::Hold(longer) => {
                let longer = longer.quarters().to_f64();
                self.seconds.add(60.0 * longer / self.per_minute_at(at));
            }
        }
    }

    /// Gives the tempo at the place up to which everything is closed.
    fn tempo_at(&self, at: BeatPos) -> Tempo {
        let open = &self.open;
        if open.from == open.to || at <= open.curve_start {
            return open.from;
        }
        // A change that is cut short leaves from the tempo it had come to.
        let reached = Tempo::nearest(self.per_minute_at(at));
        reached.in_unit(open.from.unit()).unwrap_or(reached)
    }

    /// Gives the quarter notes a minute there.
    fn per_minute_at(&self, at: BeatPos) -> f64 {
        let offset = at.quarters().to_f64() - self.open.curve_start.quarters().to_f64();
        self.curve().quarters_per_minute_at(offset)
    }

    fn curve(&self) -> TempoCurve {
        let open = &self.open;
        let span = span_to(open.curve_start, open.arrives);
        TempoCurve::new(open.from, open.to, span, open.shape)
    }

    /// Closes the open stretch at a place and leaves one open that starts there.
    fn close(&mut self, at: BeatPos) {
        let gradual = self.open.from != self.open.to;
        if gradual && self.open.arrives < at {
            let arrives = self.open.arrives;
            self.push(arrives);
            self.open = steady(arrives, self.open.to);
        }
        self.push(at);
        if gradual && self.open.arrives == at {
            self.open = steady(at, self.open.to);
        }
        self.open.start = at;
    }

    fn push(&mut self, end: BeatPos) {
        let open = self.open;
        if end <= open.start {
            return;
        }
        match self.map.segments.last_mut() {
            // A hold interrupts the time of a stretch, not the stretch itself.
            Some(last) if open.curve_start < open.start => {
                last.end = end;
                if open.from == open.to {
                    last.arrives = end;
                }
            }
            _ => self.map.segments.push(TempoSegment {
                start: open.start,
                end,
                from: open.from,
                to: open.to,
                arrives: if open.from == open.to {
                    end
                } else {
                    open.arrives
                },
                shape: open.shape,
            }),
        }
        let start = open.start.quarters().to_f64();
        let curve_start = open.curve_start.quarters().to_f64();
        let curve = self.curve();
        let timed = Timed {
            start,
            seconds: self.seconds.get(),
            curve,
            curve_start,
            curve_seconds: curve.seconds_to(start - curve_start).get(),
        };
        self.seconds
            .add(timed.seconds_at(end.quarters().to_f64()) - timed.seconds);
        self.map.timed.push(timed);
    }
}

/// A sum that carries its rounding error along (Neumaier), so that ten hours of
/// many small stretches stay exact far below a sample.
///
/// # Source
/// A. Neumaier, Zeitschrift für Angewandte Mathematik und Mechanik 54 (1974), 39.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Sum {
    sum: f64,
    lost: f64,
}

impl Sum {
    pub(crate) fn add(&mut self, value: f64) {
        let sum = self.sum + value;
        self.lost += if self.sum.abs() >= value.abs() {
            (self.sum - sum) + value
        } else {
            (value - sum) + self.sum
        };
        self.sum = sum;
    }

    pub(crate) fn get(self) -> f64 {
        self.sum + self.lost
    }
}

#[cfg(test)]
mod tests;
