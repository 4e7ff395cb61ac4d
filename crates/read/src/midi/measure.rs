//! The measures of a file: from its meters, to its last event.

use super::event::{File, Signature, USUAL_TEMPO};
use crate::ReadError;
use crate::collect::Findings;
use cueleaf_guide::{Finding, MAX_MEASURES, Severity, TooLarge};
use cueleaf_score::{KeySign, Measure, MeterSign, MeterSymbol, TempoSign};
use cueleaf_time::{BeatPos, BeatSpan, Key, Meter, Ratio};

/// The measures that all parts share.
#[derive(Debug)]
pub(super) struct Line {
    /// Without notes, with tempi, meters, keys and markers.
    measures: Vec<Measure>,
    /// The keys by place: from where on.
    keys: Vec<(Ratio, Signature)>,
}

/// Which part measures are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Whose {
    /// The first part, which bears what concerns all.
    First,
    /// Any other.
    Other,
}

impl Line {
    /// Lays the measures out.
    pub(super) fn of(file: &File, findings: &mut Findings) -> Result<Self, ReadError> {
        let far = || {
            ReadError::malformed(
                "",
                "an event of this MIDI file lies beyond all measure",
                "save it again, without what is far behind the music",
            )
        };
        let place = |tick: u64| file.quarters(tick).ok_or_else(far);
        let end = place(last_tick(file))?;
        let mut meters = vec![(Ratio::ZERO, usual_meter())];
        for (tick, (upper, lower)) in &file.meters {
            if let Ok(meter) = Meter::simple(u16::from(*upper), *lower) {
                meters.push((place(*tick)?, meter));
            }
        }
        let mut line = Self {
            measures: Vec::new(),
            keys: Vec::new(),
        };
        let pickup = take_pickup(&mut meters);
        line.lay(&meters, pickup, end, findings)?;
        for (tick, key) in &file.keys {
            line.keys.push((place(*tick)?, *key));
        }
        for (at, key) in line.keys.clone() {
            if let Some((measure, _)) = line.find(at) {
                measure.key = Key::from_fifths(key.fifths).ok().map(KeySign::Fifths);
            }
        }
        for (tick, micros) in with_first(&file.tempi) {
            if let Some((measure, at)) = line.find(place(tick)?) {
                measure.tempo.push(TempoSign {
                    at,
                    words: String::new(),
                    metronome: None,
                    sound: Some(per_minute(micros)),
                });
            }
        }
        for (tick, text) in &file.markers {
            if let Some((measure, _)) = line.find(place(*tick)?) {
                measure.rehearsal.get_or_insert_with(|| text.clone());
            }
        }
        Ok(line)
    }

    /// Gives the measures for a part; what concerns all stands in the first alone.
    pub(super) fn measures(&self, first: Whose) -> Vec<Measure> {
        let mut own = self.measures.clone();
        if first == Whose::Other {
            for measure in &mut own {
                measure.tempo.clear();
                measure.rehearsal = None;
            }
        }
        own
    }

    pub(super) fn keys(&self) -> &[(Ratio, Signature)] {
        &self.keys
    }

    fn lay(
        &mut self,
        meters: &[(Ratio, Meter)],
        pickup: Option<Ratio>,
        end: Ratio,
        findings: &mut Findings,
    ) -> Result<(), ReadError> {
        let far = |_| {
            ReadError::malformed(
                "",
                "the measures of this MIDI file cannot be added up exactly",
                "save it again with a division such as 480",
            )
        };
        let mut start = Ratio::ZERO;
        let mut index = 0;
        let mut now: Option<Meter> = None;
        while start < end || self.measures.is_empty() {
            TooLarge::guard("measures", MAX_MEASURES, self.measures.len() + 1)?;
            while let Some((at, _)) = meters.get(index + 1)
                && *at <= start
            {
                index += 1;
            }
            let Some((_, meter)) = meters.get(index) else {
                break;
            };
            let full = meter.length().unwrap_or(BeatSpan::QUARTER).quarters();
            let own = pickup.filter(|_| self.measures.is_empty());
            let mut next = start.plus(own.unwrap_or(full)).map_err(far)?;
            let first = usize::from(pickup.is_none());
            let label = (self.measures.len() + first).to_string();
            if let Some((at, _)) = meters.get(index + 1)
                && *at < next
            {
                next = *at;
                findings.push(
                    Finding::new(
                        Severity::Warning,
                        "meter-inside-measure",
                        "another meter begins inside this measure, which ends there",
                    )
                    .hint("give it a meter of its own if that is meant")
                    .at_measure(self.measures.len(), &label),
                );
            }
            let length = next.minus(start).map_err(far)?;
            let changes = now.as_ref() != Some(meter);
            self.measures.push(Measure {
                label,
                start: BeatPos::from_quarters(start).map_err(far)?,
                length: BeatSpan::from_quarters(length).map_err(far)?,
                meter: changes.then(|| MeterSign {
                    meter: meter.clone(),
                    symbol: MeterSymbol::Figures,
                }),
                ..Measure::default()
            });
            now = Some(meter.clone());
            start = next;
        }
        Ok(())
    }

    /// Finds the measure of a place, and how far into it the place lies; none for what stands
    /// behind the music.
    fn find(&mut self, at: Ratio) -> Option<(&mut Measure, BeatSpan)> {
        let index = index_at(&self.measures, at)?;
        let measure = self.measures.get_mut(index)?;
        let into = at.minus(measure.start.quarters()).ok()?;
        let into = BeatSpan::from_quarters(into).ok()?;
        (into < measure.length).then_some((measure, into))
    }
}

/// Takes out a first meter that is there for a pickup alone, and gives how long the pickup is: the
/// meter holds for one measure and is shorter than the one after it, which is then that of the
/// pickup, too.
///
/// # Source
/// Our decision; programs write the pickup of a piece in 3/4 as a measure of 1/4.
fn take_pickup(meters: &mut [(Ratio, Meter)]) -> Option<Ratio> {
    // What stands before these was only assumed, and not written for anything.
    let [_, (start, first), (next, second), ..] = meters else {
        return None;
    };
    let lasts = first.length()?.quarters();
    let alone = *start == Ratio::ZERO && *next == lasts;
    let shorter = second.length().is_some_and(|full| lasts < full.quarters());
    (alone && shorter).then(|| {
        first.clone_from(second);
        lasts
    })
}

/// Finds the index of the measure in which a place lies; the last one for what lies behind it.
pub(super) fn index_at(measures: &[Measure], at: Ratio) -> Option<usize> {
    measures
        .partition_point(|own| own.start.quarters() <= at)
        .checked_sub(1)
}

/// Gives the end of the music: where its last note ends, or without notes the last event. What
/// changes at the last barline or behind it changes nothing.
fn last_tick(file: &File) -> u64 {
    let notes = file.tracks.iter().flat_map(|track| &track.played);
    if let Some(last) = notes.map(|own| own.to).max() {
        return last;
    }
    // A change after the last event starts a measure, which would have no length.
    let changes = file
        .tempi
        .iter()
        .map(|own| own.0)
        .chain(file.meters.iter().map(|own| own.0));
    let markers = file.markers.iter().map(|own| own.0);
    changes
        .chain(markers)
        .map(|tick| tick.saturating_add(1))
        .fold(file.end, u64::max)
}

/// Puts the usual tempo in front where none is given at the start.
fn with_first(tempi: &[(u64, u32)]) -> Vec<(u64, u32)> {
    let starts = tempi.first().is_some_and(|own| own.0 == 0);
    let usual = (!starts).then_some((0, USUAL_TEMPO));
    usual.into_iter().chain(tempi.iter().copied()).collect()
}

fn usual_meter() -> Meter {
    Meter::simple(4, 4).unwrap_or_else(|_| Meter::free())
}

/// Gives the simplest number of quarters a minute that is written as so many microseconds.
fn per_minute(micros: u32) -> Ratio {
    const MINUTE: i64 = 60_000_000;
    let micros = i64::from(micros.max(1));
    for parts in [1, 2, 10, 100] {
        let number = (MINUTE * parts + micros / 2) / micros;
        // Writers round or cut off.
        let written = MINUTE * parts / number.max(1);
        if number > 0 && (written == micros || written + 1 == micros && rounds_up(number, parts)) {
            return Ratio::new(number, parts).unwrap_or(Ratio::whole(120));
        }
    }
    Ratio::new(MINUTE, micros).unwrap_or(Ratio::whole(120))
}

const fn rounds_up(number: i64, parts: i64) -> bool {
    60_000_000 * parts % number * 2 >= number
}

#[cfg(test)]
mod tests {
    use super::per_minute;
    use cueleaf_time::Ratio;

    #[test]
    fn the_simplest_number_that_is_written_so() {
        for (micros, number) in [
            (500_000, (120, 1)),
            (476_190, (126, 1)),
            (434_783, (138, 1)),
            (434_782, (138, 1)),
            (659_341, (91, 1)),
            (800_000, (75, 1)),
            (1_090_909, (55, 1)),
            (530_973, (113, 1)),
            (571_429, (105, 1)),
            (888_889, (135, 2)),
        ] {
            assert_eq!(
                per_minute(micros),
                Ratio::new(number.0, number.1).unwrap(),
                "{micros}"
            );
        }
        // 60,000,000 / 499,999 is near 120 and is not written for it.
        assert_ne!(per_minute(499_998), Ratio::whole(120));
    }
}
