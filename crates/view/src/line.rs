//! Measures drawn on a ruled line, each as long as its beats.
//!
//! Ticks stand at the counts, heavier ones with a small word where the weight
//! lies. Over the groups of an uneven meter stand the marks that players pencil
//! into their parts: a stroke for two, a triangle for three. A fermata that lasts has
//! its sign over its place.
//!
//! # Source
//! The pencil marks: common practice, no source. Another group than two or
//! three gets its number under a bow, our decision.

mod runs;

pub use runs::{Drawn, Run, line_of_runs};

use crate::dynamics::{Under, dynamics_under, has_dynamics};
use crate::place::beat_of;
use crate::tenths::rounded;
use crate::words::listed;
use crate::{Page, Word, Words, counts_text, meter_text, number_of};
use cueleaf_guide::Laid;
use cueleaf_plan::{Count, counts_of};
use cueleaf_time::{BeatSpan, Level};
use maud::{Markup, html};
use std::borrow::Cow;

/// A measure to be drawn.
#[derive(Debug, Clone)]
pub struct LineMeasure<'a> {
    laid: &'a Laid,
    counts: Vec<Count>,
    /// Where time stands still for a while.
    stops: Vec<BeatSpan>,
    number: Cow<'a, str>,
    /// The dynamics under it; `None` where no room is kept for any.
    under: Option<Vec<Under>>,
}

impl<'a> LineMeasure<'a> {
    /// Makes a measure to be drawn from its layout and its printed number.
    #[must_use]
    pub fn new(laid: &'a Laid, number: Cow<'a, str>) -> Self {
        Self {
            laid,
            counts: counts_of(laid),
            stops: Vec::new(),
            number,
            under: None,
        }
    }

    /// Adds the dynamics of a measure, by its index, which stand under it; of a part that has
    /// some, all lines are equally high.
    fn with_dynamics(mut self, page: &Page<'_>, measure: usize) -> Self {
        self.under = has_dynamics(page).then(|| dynamics_under(page, measure));
        self
    }

    /// Adds the fermatas that last, by their places in the measure.
    fn with_stops(mut self, stops: Vec<BeatSpan>) -> Self {
        self.stops = stops;
        self
    }

    fn quarters(&self) -> f64 {
        self.laid.length.quarters().to_f64()
    }

    /// Says what is drawn: "measure 12: 5/8, 2 + 3, counted 1 2, 1 2 3".
    fn said(&self, words: &Words) -> String {
        let counted = counts_text(self.laid, &self.counts, ", ");
        let meter = meter_text(words, self.laid);
        let measure = words.fill(Word::Measure, &[&self.number]);
        let counted = words.fill(Word::MeterCounted, &[&meter, &counted]);
        let mut said = vec![words.fill(Word::MeasureIs, &[&measure, &counted])];
        let beats = self.stops.iter();
        let beats = beats.filter_map(|at| beat_of(words, self.laid, *at));
        said.extend(beats.map(|beat| words.fill(Word::Hold, &[&beat])));
        said.extend(self.under.iter().flatten().filter_map(|under| match under {
            Under::Letters(_, letters) => Some(letters.clone()),
            Under::Hairpin(..) => None,
        }));
        listed(words, &said)
    }
}

/// How wide a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Width {
    /// So many units for a quarter note: lines above one another keep one measure.
    Quarter(f64),
    /// So many units for the whole line.
    Whole(f64),
}

/// The room before the first count of a measure, in units.
const LEAD: f64 = 16.0;
/// Where the ruled line lies, in units from the top.
const RULE: u32 = 62;
const HEIGHT: u32 = 98;
/// Where dynamics stand, and how much higher a line is for them.
const UNDER: u32 = 110;
const UNDER_HEIGHT: u32 = 20;

/// Draws the counts of a measure at their places.
type Counts = fn(&Words, &LineMeasure<'_>, &dyn Fn(BeatSpan) -> f64) -> Markup;

/// Draws measures on one ruled line. The first is the one in which a count is marked: its ticks
/// are the first that carry the index of their count as `data-c`.
#[must_use]
pub fn line(words: &Words, measures: &[LineMeasure<'_>], width: Width) -> Markup {
    let quarters: f64 = measures.iter().map(LineMeasure::quarters).sum();
    let leads = measures.iter().fold(0.0, |sum, _| sum + LEAD);
    let scale = match width {
        Width::Quarter(units) => units,
        Width::Whole(units) => (units - leads - 4.0).max(40.0) / quarters.max(0.25),
    };
    let total = rounded(leads + quarters * scale + 4.0);
    let said: Vec<String> = measures.iter().map(|own| own.said(words)).collect();
    let mut at = 1.0;
    let has_room = measures.iter().any(|own| own.under.is_some());
    let height = HEIGHT + if has_room { UNDER_HEIGHT } else { 0 };
    html! {
        svg class="line" role="img" aria-label=(listed(words, &said)) viewBox={ "0,0," (total) "," (height) } width=(total) {
            path class="rule" d={ "M0," (RULE) "H" (total) } {}
            @for (index, own) in measures.iter().enumerate() {
                ({
                    let start = at;
                    at += LEAD + own.quarters() * scale;
                    let drawn = measure(words, own, (start, scale), counts_alone);
                    if index == 0 { drawn } else { html! { g class="ahead" { (drawn) } } }
                })
            }
            path class="bar" d={
                ({ at = 1.0; bar_line(at) })
                @for own in measures { ({ at += LEAD + own.quarters() * scale; bar_line(at) }) }
            } {}
        }
    }
}

/// Draws measures given by their index in the order of play.
#[must_use]
pub fn played_line(page: &Page<'_>, played: &[usize], width: Width) -> Markup {
    let measures: Vec<LineMeasure<'_>> = played
        .iter()
        .filter_map(|played| {
            let own = page.plan.order().get(*played)?;
            let laid = page.plan.measure(*played)?;
            let drawn = LineMeasure::new(laid, number_of(page, own.measure));
            let drawn = drawn.with_stops(page.plan.stops(*played));
            Some(drawn.with_dynamics(page, own.measure))
        })
        .collect();
    line(page.words, &measures, width)
}

fn bar_line(x: f64) -> Markup {
    html! { "M" (rounded(x)) ",36V" (RULE) }
}

/// Draws a measure from `start` on.
fn measure(
    words: &Words,
    own: &LineMeasure<'_>,
    (start, scale): (f64, f64),
    counts: Counts,
) -> Markup {
    let x_of = |at: BeatSpan| start + LEAD + at.quarters().to_f64() * scale;
    let counts = counts(words, own, &x_of);
    let nearest = own
        .counts
        .iter()
        .map(|count| count.length.quarters().to_f64() * scale);
    let tight = nearest.fold(f64::MAX, f64::min) < 17.0;
    html! {
        text class="number" x=(rounded(start + 2.0)) y="12" { (own.number) }
        @if own.laid.beats.is_uneven() { (pencil(own, &x_of)) }
        @if tight { g class="tight" { (counts) } } @else { (counts) }
        @for at in &own.stops {
            path d={ "M" (rounded(x_of(*at) - 8.0)) ",33a8,9,0,0116,0m-7-1h-2v-2h2z" } {}
        }
        @if let Some(under) = &own.under { (dynamics(under, start + LEAD, scale)) }
    }
}

/// Gives the class of a count, how high its tick stands, and the word for its weight.
const fn look(level: Level) -> (Option<&'static str>, u32, Option<Word>) {
    match level {
        Level::Downbeat => (Some("down"), 38, Some(Word::Strong)),
        Level::Group => (Some("group"), 44, Some(Word::Medium)),
        Level::Beat | Level::Subdivision => (None, 52, None),
    }
}

/// Gives for each count the word for its weight, where it has one and there is room for it.
fn weights<'a>(
    words: &'a Words,
    own: &LineMeasure<'_>,
    x_of: &dyn Fn(BeatSpan) -> f64,
) -> Vec<Option<&'a str>> {
    let mut written = f64::MIN;
    let counts = own.counts.iter();
    counts
        .map(|count| {
            let (_, _, word) = look(count.level);
            let word = words.get(word?);
            let (x, half) = (x_of(count.at), half_width(word));
            (x - half > written).then(|| {
                written = x + half;
                word
            })
        })
        .collect()
}

/// Draws each count by itself, so that it can be marked.
fn counts_alone(words: &Words, own: &LineMeasure<'_>, x_of: &dyn Fn(BeatSpan) -> f64) -> Markup {
    let weights = weights(words, own, x_of);
    html! {
        @for (tick, (count, weight)) in own.counts.iter().zip(weights).enumerate() {
            @let x = rounded(x_of(count.at));
            @let (class, top, _) = look(count.level);
            g class=[class] data-c=(tick) {
                path d={ "M" (x) "," (RULE) "V" (top) } {}
                text x=(x) y="81" { (count.say) }
                @if let Some(weight) = weight { text class="weight" x=(x) y="95" { (weight) } }
            }
        }
    }
}

/// Counts of one kind: their level, and of each its place, what is said, and the word for its
/// weight.
type Kind<'a> = (Level, Vec<(String, String, Option<&'a str>)>);

/// Draws the counts of one kind as one.
fn counts_together(words: &Words, own: &LineMeasure<'_>, x_of: &dyn Fn(BeatSpan) -> f64) -> Markup {
    let mut kinds: Vec<Kind<'_>> = Vec::new();
    for (count, weight) in own.counts.iter().zip(weights(words, own, x_of)) {
        let x = html! { (rounded(x_of(count.at))) };
        let drawn = (x.into_string(), count.say.to_string(), weight);
        match kinds
            .iter_mut()
            .find(|(level, _)| look(*level).1 == look(count.level).1)
        {
            Some((_, all)) => all.push(drawn),
            None => kinds.push((count.level, vec![drawn])),
        }
    }
    html! {
        @for (level, all) in &kinds {
            @let (class, top, _) = look(*level);
            g class=[class] {
                path d={ @for (x, ..) in all { "M" (x) "," (RULE) "V" (top) } } {}
                (said_at(all))
                @for (x, _, weight) in all {
                    @if let Some(weight) = weight { text class="weight" x=(x) y="95" { (weight) } }
                }
            }
        }
    }
}

/// Writes what is said at each place: as one text where it is a letter each, since a text takes
/// places for its letters.
fn said_at(all: &[(String, String, Option<&str>)]) -> Markup {
    let (xs, says): (Vec<&str>, Vec<&str>) = all
        .iter()
        .map(|(x, say, _)| (x.as_str(), say.as_str()))
        .unzip();
    html! {
        @if says.iter().all(|say| say.chars().count() == 1) {
            text x=(xs.join(",")) y="81" { (says.concat()) }
        } @else {
            @for (x, say, _) in all { text x=(x) y="81" { (say) } }
        }
    }
}

/// Gives half of how wide a word under a count is with some room beside it, in units: its letters
/// are some five wide.
fn half_width(word: &str) -> f64 {
    u32::try_from(word.chars().count()).map_or(0.0, f64::from) * 2.5 + 1.0
}

/// How wide a letter of a dynamic is at most, in units.
const LETTER: u32 = 9;

/// Draws the dynamics and hairpins of a measure whose first count stands at `start`. A hairpin
/// begins beside letters that stand where it begins.
fn dynamics(under: &[Under], start: f64, scale: f64) -> Markup {
    let x = |at: f64| start + at * scale;
    let beside = |from: f64| {
        let letters = under.iter().find_map(|under| match under {
            Under::Letters(at, text) if (x(*at) - from).abs() < f64::from(LETTER) => Some(text),
            _ => None,
        });
        let count = letters.map_or(0, |text| text.chars().count() + 1);
        from + f64::from(LETTER) * u32::try_from(count).map_or(0.0, f64::from)
    };
    html! {
        @for under in under {
            @match under {
                Under::Letters(at, text) => {
                    text class="dyn" x=(rounded(x(*at))) y=(UNDER + 5) { (text) }
                }
                Under::Hairpin([from, to], open) => {
                    @let ends = [beside(x(*from)).min(x(*to)), x(*to)].map(rounded);
                    @for side in [-5.0, 5.0] {
                        @let y = open.map(|open| rounded(f64::from(UNDER) + side * open));
                        path d={ "M" (ends[0]) "," (y[0]) "L" (ends[1]) "," (y[1]) } {}
                    }
                }
            }
        }
    }
}

/// Draws the pencil marks over the groups.
fn pencil(own: &LineMeasure<'_>, x_of: &impl Fn(BeatSpan) -> f64) -> Markup {
    let mut groups: Vec<(f64, f64, u16)> = Vec::new();
    let mut last = None;
    let unit = own.laid.meter.finest_span();
    for count in &own.counts {
        let end = count.at.plus(count.length).unwrap_or(count.at);
        let units = count.length.over(unit).map_or(0, |units| units.floor());
        let units = u16::try_from(units).unwrap_or(0);
        match groups.last_mut() {
            Some(group) if last == Some(count.group) => {
                group.1 = x_of(end);
                group.2 = group.2.saturating_add(units);
            }
            _ => groups.push((x_of(count.at), x_of(end), units)),
        }
        last = Some(count.group);
    }
    let marks = html! {
        @for (from, to, units) in &groups {
            ({
                let middle = f64::midpoint(*from, *to) - 4.0;
                match units {
                    2 => html! { "M" (rounded(middle + 3.0)) ",17l-6,17" },
                    3 => html! { "M" (rounded(middle)) ",17l9,16h-18z" },
                    _ => html! { "M" (rounded(*from)) ",34q" (rounded((to - from) / 2.0 - 5.0)) "-10," (rounded(to - from - 10.0)) ",0" },
                }
            })
        }
    };
    html! {
        path class="pencil" d=(marks) {}
        @for (from, to, units) in groups {
            @if !matches!(units, 2 | 3) {
                text class="units" x=(rounded(f64::midpoint(from, to) - 4.0)) y="25" { (units) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Language, Layout, Measure, MeasureWord, RoadMap, Settings, lay_out};

    fn laid_out(meters: &[(&str, Option<&str>)]) -> Layout {
        let measures = meters
            .iter()
            .map(|(meter, groups)| Measure {
                meter: Some(meter.parse().unwrap()),
                groups: groups.map(|groups| groups.parse().unwrap()),
                ..Measure::default()
            })
            .collect();
        let road_map = RoadMap {
            measures,
            ..RoadMap::default()
        };
        lay_out(&road_map, &Settings::default()).value
    }

    fn measures_of(layout: &Layout) -> Vec<LineMeasure<'_>> {
        let measures = layout.measures().iter();
        measures
            .map(|laid| LineMeasure::new(laid, Cow::Borrowed("7")))
            .collect()
    }

    fn drawn(meters: &[(&str, Option<&str>)], width: Width) -> String {
        let words = Words::of(Language::English, MeasureWord::Measure);
        line(&words, &measures_of(&laid_out(meters)), width).into_string()
    }

    #[test]
    fn a_measure_is_as_long_as_its_beats() {
        let five = drawn(&[("5/8", Some("2+3"))], Width::Quarter(40.0));
        assert!(five.contains("aria-label=\"measure 7: 5/8, 2 + 3, counted 1 2, 1 2 3\""));
        assert!(five.contains("viewBox=\"0,0,120,98\""), "{five}");
        assert_eq!(five.matches("data-c=").count(), 5);
        let four = drawn(&[("4/4", None)], Width::Quarter(40.0));
        assert!(four.contains("viewBox=\"0,0,180,98\""));
        assert!(!four.contains("pencil"));
    }

    #[test]
    fn what_does_not_move_is_drawn_a_kind_at_once() {
        let laid = laid_out(&[("7/8", Some("2+2+3")), ("12/8", Some("3+3+3+3"))]);
        let words = Words::of(Language::English, MeasureWord::Measure);
        let own = measures_of(&laid);
        let [seven, twelve] = [0, 1].map(|own_at| {
            let one = Drawn::Measure(own.get(own_at).unwrap().clone());
            line_of_runs(&words, &[one], 40.0).into_string()
        });
        assert!(
            seven.contains("aria-label=\"measure 7: 7/8, 2 + 2 + 3, counted 1 2, 1 2, 1 2 3\"")
        );
        assert!(!seven.contains("data-c"), "{seven}");
        for drawn in [
            "<g class=\"down\"><path d=\"M17,62V38\"></path><text x=\"17\" y=\"81\">1</text>",
            "<g class=\"group\"><path d=\"M57,62V44M97,62V44\"></path><text x=\"57,97\" y=\"81\">11</text>",
            "<g><path d=\"M37,62V52M77,62V52M117,62V52M137,62V52\"></path>",
            "<text x=\"37,77,117,137\" y=\"81\">2223</text>",
        ] {
            assert!(seven.contains(drawn), "{drawn} in {seven}");
        }
        // As many ticks as on the line that moves.
        let moving = line(&words, own.get(1..).unwrap(), Width::Quarter(40.0)).into_string();
        let ticks = |drawn: &str| drawn.matches(",62V").count();
        assert_eq!(ticks(&twelve), ticks(&moving));
    }

    #[test]
    fn groups_get_the_marks_players_pencil_in() {
        let five = drawn(&[("5/8", Some("2+3"))], Width::Quarter(40.0));
        assert_eq!(five.matches("l-6,17").count(), 1);
        assert_eq!(five.matches("l9,16h-18z").count(), 1);
        let seven = drawn(&[("7/8", Some("4+3"))], Width::Quarter(40.0));
        assert!(seven.contains(">4</text>"));
    }

    #[test]
    fn a_hairpin_begins_beside_the_letters_at_its_place() {
        let under = [
            Under::Letters(1.0, "mf".to_owned()),
            Under::Hairpin([1.0, 4.0], [0.0, 1.0]),
            Under::Hairpin([2.0, 2.5], [1.0, 0.0]),
        ];
        let drawn = dynamics(&under, 16.0, 40.0).into_string();
        assert!(drawn.contains("x=\"56\" y=\"115\">mf<"), "{drawn}");
        assert!(drawn.contains("M83,110L176,105") && drawn.contains("M83,110L176,115"));
        assert!(drawn.contains("M96,105L116,110"), "{drawn}");
    }

    #[test]
    fn two_measures_share_one_line() {
        let both = drawn(
            &[("7/8", Some("2+2+3")), ("4/4", None)],
            Width::Whole(360.0),
        );
        assert!(both.contains("viewBox=\"0,0,360,98\""));
        let (seven, four) = both.split_once("<g class=\"ahead\">").unwrap();
        assert!(seven.contains("data-c=\"6\"") && seven.matches("data-c").count() == 7);
        assert!(four.contains("data-c=\"3\"") && four.matches("data-c").count() == 4);
        assert!(!both.contains("NaN") && !both.contains("inf"));
    }
}
