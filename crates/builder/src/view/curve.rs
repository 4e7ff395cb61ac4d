//! A picture of the whole piece: tempo and dynamics over the measures, so that
//! growth over phrases is seen. A tap or a key goes to a measure.

use super::marks;
use crate::state::{Desk, Folded};
use cueleaf_guide::{Mark, MarkKind};
use cueleaf_plan::TempoSegment;
use cueleaf_time::{BeatPos, Tempo};
use cueleaf_view::{Tenths, rounded};
use maud::{Markup, Render as _, html};

/// The picture's size in units; it is drawn as wide as there is room.
const WIDTH: f64 = 1000.0;
const TEMPO: (f64, f64) = (8.0, 70.0);
const LOUDNESS: (f64, f64) = (84.0, 136.0);
const HEIGHT: f64 = 150.0;

/// How loud a dynamic is, from 0 to 1.
///
/// # Source
/// The order of the signs is common practice; equal steps are our decision, for
/// the picture alone.
const LEVELS: [(&str, f64); 9] = [
    ("ppp", 0.0),
    ("pp", 0.125),
    ("p", 0.3),
    ("mp", 0.45),
    ("mf", 0.6),
    ("f", 0.75),
    ("ff", 0.9),
    ("fff", 1.0),
    ("fp", 0.3),
];

/// The most places that can be tapped; in a longer piece each is several measures
/// wide, which is narrower than a finger all the same.
const MOST_TAPS: usize = 128;

/// The most changes that are said in words.
const MOST_WORDS: usize = 60;

/// How far a hairpin goes where no dynamic says so.
const HAIRPIN: f64 = 0.15;

pub(super) fn curve(desk: &Desk) -> Markup {
    let layout = desk.derived.plan.layout();
    let total = layout.measures().last().map_or(0.0, |last| {
        last.start.quarters().to_f64() + last.length.quarters().to_f64()
    });
    if total <= 0.0 {
        return html! {};
    }
    let picture = Picture { desk, total };
    let (tempo, slowest, fastest) = picture.tempo();
    let loudness = picture.loudness();
    let part = desk.marks_part().map_or("", |part| part.name.as_str());
    let said = format!(
        "Tempo between {slowest:.0} and {fastest:.0} quarter notes a minute{}",
        if loudness.is_empty() {
            String::new()
        } else {
            format!(", and the dynamics of {part}")
        }
    );
    html! {
        details id="whole-piece" class="whole-piece" open[desk.is_open("whole-piece", Folded::No)] {
            summary { "The whole piece: tempo" @if !loudness.is_empty() { " and dynamics" } }
            div class="curves" {
                (picture.names())
                svg class="lines" viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } preserveAspectRatio="none" role="img" aria-label=(said) {
                    (picture.sections())
                    (picture.chosen())
                    path class="tempo" d=(tempo) {}
                    @if !loudness.is_empty() { path class="loudness" d=(loudness) {} }
                    (picture.taps())
                }
                label class="seek" {
                    span class="unseen" { "Go to a measure" }
                    input id="seek" type="range" min="0" max=(layout.measures().len().saturating_sub(1)) step="1"
                        value=(desk.selection.focus) data-do="seek" autocomplete="off"
                        aria-valuetext={ "measure " (desk.derived.name(desk.selection.focus)) };
                }
            }
            details id="whole-piece-words" class="hint" open[desk.is_open("whole-piece-words", Folded::Yes)] {
                summary { "The same in words" }
                (picture.words())
            }
        }
    }
}

struct Picture<'a> {
    desk: &'a Desk,
    /// The length of the written line in quarter notes.
    total: f64,
}

impl Picture<'_> {
    fn x(&self, quarters: f64) -> f64 {
        tenths(quarters / self.total * WIDTH)
    }

    fn start_of(&self, measure: usize) -> f64 {
        let layout = self.desk.derived.plan.layout();
        layout
            .get(measure)
            .map_or(self.total, |laid| laid.start.quarters().to_f64())
    }

    /// Gives the line of the tempo, and the slowest and fastest in quarter notes a minute.
    fn tempo(&self) -> (String, f64, f64) {
        let map = self.desk.derived.plan.tempo();
        let starts: Vec<f64> = map
            .segments()
            .iter()
            .map(|own| own.start.quarters().to_f64())
            .collect();
        let speeds: Vec<(f64, f64)> = map
            .segments()
            .iter()
            .map(|own| {
                (
                    own.from.quarters_per_minute().to_f64(),
                    own.to.quarters_per_minute().to_f64(),
                )
            })
            .collect();
        let all = || speeds.iter().flat_map(|(from, to)| [*from, *to]);
        let slowest = all().fold(f64::INFINITY, f64::min);
        let fastest = all().fold(0.0, f64::max);
        let y = |speed: f64| {
            let (top, bottom) = TEMPO;
            let range = (fastest - slowest).max(1.0);
            tenths(bottom - (speed - slowest) / range * (bottom - top))
        };
        let mut line = Line::default();
        for (index, (from, to)) in speeds.iter().enumerate() {
            let begin = starts.get(index).copied().unwrap_or(0.0);
            let end = starts.get(index + 1).copied().unwrap_or(self.total);
            line.to(self.x(begin), y(*from));
            line.to(self.x(end), y(*to));
        }
        (line.path, slowest, fastest)
    }

    /// Gives the line of the loudness of the part whose marks are shown; empty without dynamics.
    fn loudness(&self) -> String {
        let marks: &[Mark] = self.desk.marks_part().map_or(&[], |part| &part.marks);
        let mut points: Vec<(f64, f64)> = Vec::new();
        let mut level: Option<f64> = None;
        for mark in marks {
            let at = self.start_of(mark.measure) + mark.at.quarters().to_f64();
            match mark.kind {
                MarkKind::Dynamic => {
                    let Some((_, new)) = LEVELS.iter().find(|(sign, _)| *sign == mark.text.trim())
                    else {
                        continue;
                    };
                    // Without a hairpin before it, it is loud at once.
                    if let Some(old) = level
                        && points.last().is_none_or(|last| last.0 < at)
                    {
                        points.push((at, old));
                    }
                    points.push((at, *new));
                    level = Some(*new);
                }
                MarkKind::Grow | MarkKind::Fade => {
                    let from = level.unwrap_or(0.5);
                    let end = mark.to.map_or(at, |to| {
                        self.start_of(to.measure) + to.at.quarters().to_f64()
                    });
                    let aimed = self.aim(marks, mark, end, from);
                    points.push((at, from));
                    points.push((end, aimed));
                    level = Some(aimed);
                }
                _ => {}
            }
        }
        let (Some(first), Some(last)) = (points.first().copied(), level) else {
            return String::new();
        };
        points.insert(0, (0.0, first.1));
        points.push((self.total, last));
        let y = |level: f64| {
            let (top, bottom) = LOUDNESS;
            tenths(bottom - level * (bottom - top))
        };
        let mut line = Line::default();
        for (at, level) in points {
            line.to(self.x(at), y(level));
        }
        line.path
    }

    /// Gives where a hairpin leads: to the dynamic at its end, else a step on.
    fn aim(&self, marks: &[Mark], hairpin: &Mark, end: f64, from: f64) -> f64 {
        let near = |mark: &&Mark| {
            let at = self.start_of(mark.measure) + mark.at.quarters().to_f64();
            mark.kind == MarkKind::Dynamic && (at - end).abs() < 1.01
        };
        let step = if hairpin.kind == MarkKind::Grow {
            HAIRPIN
        } else {
            -HAIRPIN
        };
        marks
            .iter()
            .find(near)
            .and_then(|mark| LEVELS.iter().find(|(sign, _)| *sign == mark.text.trim()))
            .map_or((from + step).clamp(0.0, 1.0), |(_, level)| *level)
    }

    /// Gives where sections start, with their names: the movement's, the section's
    /// or the rehearsal mark.
    fn starts(&self) -> Vec<(f64, &str)> {
        let measures = self.desk.guide().road_map.measures.iter().enumerate();
        measures
            .filter_map(|(index, own)| {
                let names = [&own.section, &own.movement, &own.mark];
                let name = names.into_iter().flatten().find(|name| !name.is_empty());
                let starts = name.is_some() || own.movement.is_some();
                starts.then(|| {
                    let x = self.x(self.start_of(index));
                    (x, name.map_or("", String::as_str))
                })
            })
            .collect()
    }

    fn sections(&self) -> Markup {
        html! {
            @for (x, _) in self.starts() { path class="border" d={ "M" (rounded(x)) " 0V" (HEIGHT) } {} }
        }
    }

    /// Names stand in a drawing of their own, since this one is stretched; each is
    /// cut off where the next begins.
    fn names(&self) -> Markup {
        let starts = self.starts();
        let percent = |x: f64| rounded(x / WIDTH * 100.0);
        html! {
            @if starts.iter().any(|(_, name)| !name.is_empty()) {
                svg class="names" width="100%" height="18" aria-hidden="true" focusable="false" {
                    @for (index, (x, name)) in starts.iter().enumerate() {
                        @let end = starts.get(index + 1).map_or(WIDTH, |next| next.0);
                        svg x={ (percent(*x)) "%" } width={ (percent(end - x)) "%" } height="18" { text x="3" y="13" { (name) } }
                    }
                }
            }
        }
    }

    /// The places that can be tapped, each with the measure where it starts.
    fn taps(&self) -> Markup {
        let measures = self.desk.derived.plan.layout().measures().len();
        let step = measures.div_ceil(MOST_TAPS).max(1);
        html! {
            @for first in (0..measures).step_by(step) {
                @let (from, to) = (self.x(self.start_of(first)), self.x(self.start_of(first + step)));
                rect class="tap" x=(rounded(from)) y="0" width=(rounded(to - from)) height=(rounded(HEIGHT)) data-do="go-measure" data-value=(first) {}
            }
        }
    }

    /// Says every change of the tempo and of the dynamics.
    fn words(&self) -> Markup {
        let segments = self.desk.derived.plan.tempo().segments();
        let mut before: Option<Tempo> = None;
        let changes: Vec<&TempoSegment> = segments
            .iter()
            .filter(|own| {
                let changes = own.from != own.to || before != Some(own.from);
                before = Some(own.to);
                changes
            })
            .collect();
        let tempo = listed(&changes, |own| {
            let name = |at: BeatPos| self.name_at(at.quarters().to_f64());
            if own.from == own.to {
                return format!("at {}: {}", name(own.start), own.from.said());
            }
            let (from, to) = (own.from.said(), own.to.said());
            let (start, end) = (name(own.start), name(own.end));
            format!("from {start} to {end}: from {from} to {to}")
        });
        let loud = |mark: &&Mark| {
            matches!(
                mark.kind,
                MarkKind::Dynamic | MarkKind::Grow | MarkKind::Fade
            )
        };
        let part = self.desk.marks_part();
        let marks = part.map_or(&[][..], |part| &part.marks);
        let dynamics: Vec<&Mark> = marks.iter().filter(loud).collect();
        let dynamics = listed(&dynamics, |mark| marks::said(self.desk, mark));
        html! {
            p { b { "Tempo" } " " (tempo) }
            @if !dynamics.is_empty() { p { b { "Dynamics" } " " (dynamics) } }
        }
    }

    /// Gives the name of the measure at a place of the line, "the end" beyond the last.
    fn name_at(&self, quarters: f64) -> &str {
        let measures = self.desk.derived.plan.layout().measures();
        let after = measures.partition_point(|own| own.start.quarters().to_f64() <= quarters);
        if quarters >= self.total {
            return "the end";
        }
        self.desk.derived.name(after.saturating_sub(1))
    }

    fn chosen(&self) -> Markup {
        let (first, last) = (self.desk.selection.first(), self.desk.selection.last());
        let (from, to) = (
            self.x(self.start_of(first)),
            self.x(self.start_of(last + 1)),
        );
        html! { rect class="chosen" x=(rounded(from)) y="0" width=(rounded((to - from).max(2.0))) height=(rounded(HEIGHT)) {} }
    }
}

/// Says things in a row, as far as anyone would listen.
fn listed<T>(all: &[&T], said: impl Fn(&T) -> String) -> String {
    let row: Vec<String> = all.iter().take(MOST_WORDS).map(|own| said(own)).collect();
    let mut row = row.join("; ");
    if all.len() > MOST_WORDS {
        row.push_str(&format!("; and {} more", all.len() - MOST_WORDS));
    }
    row
}

/// A line through points; a point where the pen stands already adds nothing to it.
#[derive(Default)]
struct Line {
    path: String,
    pen: Option<[Tenths; 2]>,
}

impl Line {
    fn to(&mut self, x: f64, y: f64) {
        let point = [rounded(x), rounded(y)];
        if self.pen == Some(point) {
            return;
        }
        let [x, y] = point;
        self.path.push(if self.pen.is_none() { 'M' } else { 'L' });
        x.render_to(&mut self.path);
        self.path.push(' ');
        y.render_to(&mut self.path);
        self.pen = Some(point);
    }
}

fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_goes_through_each_point_once() {
        let mut line = Line::default();
        for (x, y) in [
            (0.0, 8.0),
            (0.0, 8.0),
            (12.34, 8.0),
            (12.3, 8.01),
            (20.0, 5.5),
        ] {
            line.to(x, y);
        }
        assert_eq!(line.path, "M0 8L12.3 8L20 5.5");
    }

    #[test]
    fn only_what_is_told_is_put_into_words() {
        let all: Vec<usize> = (0..100).collect();
        let all: Vec<&usize> = all.iter().collect();
        let row = listed(&all, |own| {
            assert!(*own < MOST_WORDS);
            own.to_string()
        });
        assert!(
            row.starts_with("0; 1; ") && row.ends_with("59; and 40 more"),
            "{row}"
        );
        assert_eq!(listed(&all[..2], |own| own.to_string()), "0; 1");
    }
}
