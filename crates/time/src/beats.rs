//! The beats of one measure: groups, counted beats, subdivisions.
//!
//! Three levels, named the same everywhere: a *group* (in 5/8 the two and the
//! three), the *counted beat* (what a player says a number on), and the
//! *subdivision* (what lies between two counted beats).

use crate::{BeatSpan, Grouping, Meter, Ratio, TimeError};

/// In which beat a meter is counted where it can be done in two ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum BeatChoice {
    /// As the meter is usually counted: compound meters in the dotted beat,
    /// uneven meters in the written unit, everything else in the written unit.
    #[default]
    Usual,
    /// In the big beat: the dotted note of 6/8, the group of 5/8, one to a
    /// measure of 3/8.
    Big,
    /// In the small beat: the written unit, six to a measure of 6/8.
    Small,
}

/// How strong a beat is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Between two counted beats.
    Subdivision,
    /// A counted beat inside its group.
    Beat,
    /// The first beat of a group that is not the first of the measure.
    Group,
    /// The first beat of the measure.
    Downbeat,
}

/// One counted beat of a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Beat {
    /// Where it starts, from the start of the measure as it stands.
    pub at: BeatSpan,
    /// How long it lasts here; at most as long as the whole beat.
    pub length: BeatSpan,
    /// How long the whole beat is, of which an incomplete measure may have a part.
    pub whole: BeatSpan,
    /// How far into the whole beat it starts; above zero only at the start of a
    /// pickup.
    pub into: BeatSpan,
    /// How strong it is; a subdivision when it starts inside the whole beat.
    pub level: Level,
    /// Which group it belongs to, from 0.
    pub group: usize,
    /// Its number within the whole meter, from 1.
    pub number: u16,
    /// Its number within its group, from 1.
    pub in_group: u16,
    /// Into how many equal parts the whole beat divides: 2, or 3 for a dotted beat.
    pub divisions: u16,
}

/// The beats of one measure in order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct MeasureBeats {
    beats: Vec<Beat>,
    uneven: bool,
}

impl MeasureBeats {
    /// Gives the counted beats in order; never empty for a measure that lasts.
    #[must_use]
    pub fn beats(&self) -> &[Beat] {
        &self.beats
    }

    /// Tells whether the groups of the meter differ in length.
    #[must_use]
    pub const fn is_uneven(&self) -> bool {
        self.uneven
    }
}

/// What a measure is counted by before its own length is looked at.
struct Full {
    beats: Vec<Beat>,
    uneven: bool,
    length: BeatSpan,
}

/// Lays out the beats of one measure.
///
/// `length` is how long the measure lasts. A measure shorter than its meter
/// keeps the first beats, or, when it is a `pickup`, the last ones: a pickup of
/// one beat in 4/4 is counted "4". A pickup that starts inside a beat has the rest
/// of it as a subdivision: nobody says a number there. A longer measure counts on
/// in its last beat.
///
/// # Errors
/// [`TimeError::OutOfRange`] when the grouping does not fill the meter or a
/// fraction is too fine.
pub fn beats_of(
    meter: &Meter,
    grouping: Option<&Grouping>,
    choice: BeatChoice,
    length: BeatSpan,
    place: Incomplete,
) -> Result<MeasureBeats, TimeError> {
    let full = full_beats(meter, grouping, choice)?;
    let skipped = match place {
        Incomplete::LastBeats => full.length.minus_down_to_zero(length),
        Incomplete::FirstBeats => BeatSpan::ZERO,
    };
    let end = skipped.plus(length)?;
    let mut beats = Vec::with_capacity(full.beats.len());
    for beat in &full.beats {
        let beat_end = beat.at.plus(beat.length)?;
        if beat_end <= skipped || beat.at >= end {
            continue;
        }
        let at = beat.at.minus_down_to_zero(skipped);
        let stop = beat_end.min(end).minus(skipped)?;
        let into = skipped.minus_down_to_zero(beat.at);
        beats.push(Beat {
            at,
            length: stop.minus(at)?,
            into,
            level: if into.is_zero() {
                beat.level
            } else {
                Level::Subdivision
            },
            ..*beat
        });
    }
    count_on(&mut beats, full.length, length)?;
    Ok(MeasureBeats {
        beats,
        uneven: full.uneven,
    })
}

/// Which beats an incomplete measure has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Incomplete {
    /// The first beats of its meter, as a last measure.
    FirstBeats,
    /// The last beats of its meter, as a pickup.
    LastBeats,
}

/// Adds what a measure lasts beyond its meter, in beats like its last.
fn count_on(beats: &mut Vec<Beat>, full: BeatSpan, length: BeatSpan) -> Result<(), TimeError> {
    let mut at = full;
    let mut last = beats.last().copied();
    while at < length {
        let (whole, divisions) =
            last.map_or((BeatSpan::QUARTER, 2), |last| (last.whole, last.divisions));
        let next = Beat {
            at,
            length: length.minus(at)?.min(whole),
            whole,
            into: BeatSpan::ZERO,
            level: if last.is_some() {
                Level::Beat
            } else {
                Level::Downbeat
            },
            group: last.map_or(0, |last| last.group),
            number: last.map_or(1, |last| last.number + 1),
            in_group: last.map_or(1, |last| last.in_group + 1),
            divisions,
        };
        beats.push(next);
        if beats.len() > MAX_BEATS {
            return Err(TimeError::OutOfRange);
        }
        last = Some(next);
        at = at.plus(whole)?;
    }
    Ok(())
}

/// The most counted beats a measure may have.
///
/// # Source
/// Our decision, far above any real measure, so that a hostile length ends.
const MAX_BEATS: usize = 4_096;

fn full_beats(
    meter: &Meter,
    grouping: Option<&Grouping>,
    choice: BeatChoice,
) -> Result<Full, TimeError> {
    let Some(length) = meter.length() else {
        return Ok(Full {
            beats: Vec::new(),
            uneven: false,
            length: BeatSpan::ZERO,
        });
    };
    let default = meter.default_grouping();
    let chosen = grouping.unwrap_or(&default);
    if chosen.units() != meter.finest_units() {
        return Err(TimeError::OutOfRange);
    }
    let finest = meter.finest_span();
    let uneven = chosen.is_uneven();
    let big = match choice {
        BeatChoice::Big => true,
        BeatChoice::Small => false,
        BeatChoice::Usual => meter.is_compound() && !uneven,
    };
    let mut builder = Builder {
        beats: Vec::new(),
        at: BeatSpan::ZERO,
    };
    for (group, units) in chosen.groups().iter().enumerate() {
        let span = finest.times(Ratio::whole(i64::from(*units)))?;
        if big {
            let divisions = if units % 3 == 0 { 3 } else { 2 };
            builder.push(span, group, 1, divisions)?;
        } else {
            let unit = beat_unit(meter, builder.at, finest, span)?;
            builder.fill(span, unit, group)?;
        }
    }
    if big && !uneven {
        regroup(&mut builder.beats);
    }
    Ok(Full {
        beats: builder.beats,
        uneven,
        length,
    })
}

/// Finds the unit of the meter's part in which a place lies; a group that the
/// unit does not divide is counted in the finest unit.
fn beat_unit(
    meter: &Meter,
    at: BeatSpan,
    finest: BeatSpan,
    group: BeatSpan,
) -> Result<BeatSpan, TimeError> {
    let mut start = BeatSpan::ZERO;
    for part in meter.parts() {
        let unit = part.unit_span();
        let end = start.plus(unit.times(Ratio::whole(i64::from(part.units())))?)?;
        let inside = at >= start && at.plus(group)? <= end;
        if inside && group.over(unit)?.denominator() == 1 {
            return Ok(unit);
        }
        start = end;
    }
    Ok(finest)
}

struct Builder {
    beats: Vec<Beat>,
    at: BeatSpan,
}

impl Builder {
    fn push(
        &mut self,
        length: BeatSpan,
        group: usize,
        in_group: u16,
        divisions: u16,
    ) -> Result<(), TimeError> {
        let number = self.beats.last().map_or(1, |beat| beat.number + 1);
        let level = match (number, in_group) {
            (1, _) => Level::Downbeat,
            (_, 1) => Level::Group,
            _ => Level::Beat,
        };
        self.beats.push(Beat {
            at: self.at,
            length,
            whole: length,
            into: BeatSpan::ZERO,
            level,
            group,
            number,
            in_group,
            divisions,
        });
        self.at = self.at.plus(length)?;
        Ok(())
    }

    fn fill(&mut self, span: BeatSpan, unit: BeatSpan, group: usize) -> Result<(), TimeError> {
        let end = self.at.plus(span)?;
        let mut in_group = 1;
        while self.at < end {
            self.push(unit, group, in_group, 2)?;
            in_group += 1;
        }
        Ok(())
    }
}

/// Big beats of equal length group among themselves as a simple meter of as
/// many beats would: 12/8 in four is accented as 4/4 is.
fn regroup(beats: &mut [Beat]) {
    let half = if beats.len() == 4 { 2 } else { beats.len() };
    for (index, beat) in beats.iter_mut().enumerate() {
        beat.group = index / half.max(1);
        beat.in_group = u16::try_from(index % half.max(1)).map_or(1, |n| n + 1);
        beat.level = match (index, beat.in_group) {
            (0, _) => Level::Downbeat,
            (_, 1) => Level::Group,
            _ => Level::Beat,
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn lay_out(meter: &str, grouping: Option<&str>, choice: BeatChoice) -> MeasureBeats {
        let meter: Meter = meter.parse().unwrap();
        let grouping = grouping.map(|text| text.parse::<Grouping>().unwrap());
        let length = meter.length().unwrap();
        beats_of(
            &meter,
            grouping.as_ref(),
            choice,
            length,
            Incomplete::FirstBeats,
        )
        .unwrap()
    }

    fn sketch(beats: &MeasureBeats) -> String {
        let signs: Vec<String> = beats
            .beats()
            .iter()
            .map(|beat| {
                let sign = match beat.level {
                    Level::Downbeat => "D",
                    Level::Group => "G",
                    Level::Beat => "b",
                    Level::Subdivision => "s",
                };
                format!("{sign}{}", beat.length)
            })
            .collect();
        signs.join(" ")
    }

    /// Common practice, no source, save where a row names one.
    #[test]
    fn every_kind_of_meter_has_its_beats() {
        use BeatChoice::{Big, Small, Usual};
        for (meter, grouping, choice, expected) in [
            ("2/4", None, Usual, "D1 b1"),
            ("3/4", None, Usual, "D1 b1 b1"),
            ("4/4", None, Usual, "D1 b1 G1 b1"),
            ("2/2", None, Usual, "D2 b2"),
            ("3/8", None, Usual, "D1/2 b1/2 b1/2"),
            ("3/8", None, Big, "D3/2"),
            ("6/8", None, Usual, "D3/2 b3/2"),
            ("6/8", None, Small, "D1/2 b1/2 b1/2 G1/2 b1/2 b1/2"),
            ("9/8", None, Usual, "D3/2 b3/2 b3/2"),
            ("12/8", None, Usual, "D3/2 b3/2 G3/2 b3/2"),
            ("5/4", Some("2+3"), Usual, "D1 b1 G1 b1 b1"),
            ("5/8", Some("3+2"), Usual, "D1/2 b1/2 b1/2 G1/2 b1/2"),
            ("5/8", Some("3+2"), Big, "D3/2 G1"),
            ("7/8", None, Big, "D1 G1 G3/2"),
            (
                "8/8",
                None,
                Usual,
                "D1/2 b1/2 b1/2 G1/2 b1/2 b1/2 G1/2 b1/2",
            ),
            ("3+4/4", None, Usual, "D1 b1 b1 G1 b1 b1 b1"),
            ("2/4+3/8", None, Usual, "D1 b1 G1/2 b1/2 b1/2"),
            ("1/4", None, Usual, "D1"),
        ] {
            assert_eq!(
                sketch(&lay_out(meter, grouping, choice)),
                expected,
                "{meter}"
            );
        }
    }

    #[test]
    fn an_incomplete_measure_keeps_its_own_beats() {
        let meter: Meter = "4/4".parse().unwrap();
        let check = |length: &str, place, expected: &[u16]| {
            let length = length.parse().unwrap();
            let beats = beats_of(&meter, None, BeatChoice::Usual, length, place).unwrap();
            // 0 where no number is said: what is left of a beat is no beat.
            let said = |beat: &Beat| match beat.level {
                Level::Subdivision => 0,
                _ => beat.number,
            };
            let numbers: Vec<u16> = beats.beats().iter().map(said).collect();
            assert_eq!(numbers, expected, "{length}");
        };
        check("1", Incomplete::LastBeats, &[4]);
        check("3/2", Incomplete::LastBeats, &[0, 4]);
        check("1/2", Incomplete::LastBeats, &[0]);
        check("3", Incomplete::FirstBeats, &[1, 2, 3]);
        check("1/2", Incomplete::FirstBeats, &[1]);
        check("5", Incomplete::FirstBeats, &[1, 2, 3, 4, 5]);
        check("11/2", Incomplete::LastBeats, &[1, 2, 3, 4, 5, 6]);
        check("0", Incomplete::FirstBeats, &[]);
    }

    /// Common practice, no source.
    #[test]
    fn what_is_left_of_a_beat_keeps_the_divisions_of_the_whole() {
        let check = |meter: &str, choice, length: &str, place, expected: &str| {
            let meter: Meter = meter.parse().unwrap();
            let length = length.parse().unwrap();
            let beats = beats_of(&meter, None, choice, length, place).unwrap();
            let rows: Vec<String> = beats
                .beats()
                .iter()
                .map(|beat| {
                    let (at, length, divisions) = (beat.at, beat.length, beat.divisions);
                    format!("{at}+{length} of {}/{divisions}, {}", beat.whole, beat.into)
                })
                .collect();
            assert_eq!(rows.join("; "), expected, "{meter}");
        };
        use BeatChoice::{Big, Usual};
        use Incomplete::{FirstBeats, LastBeats};
        check("6/8", Usual, "1/2", LastBeats, "0+1/2 of 3/2/3, 1");
        check("4/4", Usual, "1/4", LastBeats, "0+1/4 of 1/2, 3/4");
        let five_eighths = "0+3/2 of 3/2/3, 0; 3/2+1 of 3/2/3, 0";
        check("6/8", Usual, "5/2", FirstBeats, five_eighths);
        // A measure that lasts twice its meter goes on in dotted beats.
        let twice =
            "0+3/2 of 3/2/3, 0; 3/2+3/2 of 3/2/3, 0; 3+3/2 of 3/2/3, 0; 9/2+3/2 of 3/2/3, 0";
        check("6/8", Usual, "6", FirstBeats, twice);
        let eighth_more = "0+3/2 of 3/2/3, 0; 3/2+1/2 of 3/2/3, 0";
        check("3/8", Big, "2", FirstBeats, eighth_more);
        check(
            "free",
            Usual,
            "3/2",
            FirstBeats,
            "0+1 of 1/2, 0; 1+1/2 of 1/2, 0",
        );
    }

    #[test]
    fn a_grouping_that_does_not_fill_the_meter_is_refused() {
        let meter: Meter = "5/8".parse().unwrap();
        let grouping: Grouping = "2+2".parse().unwrap();
        let length = meter.length().unwrap();
        assert!(
            beats_of(
                &meter,
                Some(&grouping),
                BeatChoice::Usual,
                length,
                Incomplete::FirstBeats
            )
            .is_err()
        );
    }

    proptest! {
        #[test]
        fn beats_fill_the_measure_without_gap(units in 1u16..40, denominator in prop::sample::select(vec![1u16, 2, 4, 8, 16, 32]), eighths in 1i64..100, choice in 0usize..3, last in any::<bool>()) {
            let meter = Meter::simple(units, denominator).unwrap();
            let choice = [BeatChoice::Usual, BeatChoice::Big, BeatChoice::Small][choice];
            let place = if last { Incomplete::LastBeats } else { Incomplete::FirstBeats };
            let length = BeatSpan::from_quarters(Ratio::new(eighths, 2).unwrap()).unwrap();
            let beats = beats_of(&meter, None, choice, length, place).unwrap();
            let mut at = BeatSpan::ZERO;
            for beat in beats.beats() {
                prop_assert_eq!(beat.at, at);
                prop_assert!(beat.into.plus(beat.length).unwrap() <= beat.whole);
                let inside = beat.into > BeatSpan::ZERO;
                prop_assert_eq!(beat.level == Level::Subdivision, inside);
                prop_assert!(!inside || (last && at.is_zero()));
                at = at.plus(beat.length).unwrap();
            }
            prop_assert_eq!(at, length);
        }
    }
}
