#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "small test values"
)]

use super::*;
use cueleaf_guide::{Hold, Id, Measure, Place, TempoMark};
use cueleaf_time::{BeatSpan, Seconds, Shape};

/// What a file holds: ticks a quarter note, and for each track its events with their ticks.
struct Read {
    per_quarter: u64,
    tracks: Vec<Vec<(u64, Vec<u8>)>>,
}

/// Reads the little that the writer writes: no running status, no system messages.
fn read(bytes: &[u8]) -> Read {
    assert_eq!(&bytes[..10], b"MThd\0\0\0\x06\0\x01");
    let number = |bytes: &[u8]| {
        bytes
            .iter()
            .fold(0, |sum, byte| (sum << 8) | u64::from(*byte))
    };
    let (count, per_quarter) = (number(&bytes[10..12]), number(&bytes[12..14]));
    let mut rest = &bytes[14..];
    let mut tracks = Vec::new();
    while !rest.is_empty() {
        assert_eq!(&rest[..4], b"MTrk");
        let length = usize::try_from(number(&rest[4..8])).unwrap();
        let mut track = &rest[8..8 + length];
        rest = &rest[8 + length..];
        let (mut tick, mut events) = (0, Vec::new());
        while !track.is_empty() {
            let mut delta = 0;
            loop {
                let byte = track[0];
                track = &track[1..];
                delta = (delta << 7) | u64::from(byte & 0x7F);
                if byte < 0x80 {
                    break;
                }
            }
            tick += delta;
            let long = if track[0] == 0xFF {
                3 + usize::from(track[2])
            } else {
                3
            };
            events.push((tick, track[..long].to_vec()));
            track = &track[long..];
        }
        tracks.push(events);
    }
    assert_eq!(tracks.len() as u64, count);
    Read {
        per_quarter,
        tracks,
    }
}

impl Read {
    fn meta(&self, kind: u8) -> Vec<(u64, Vec<u8>)> {
        let own = self.tracks[0]
            .iter()
            .filter(|(_, event)| event[..2] == [0xFF, kind]);
        own.map(|(tick, event)| (*tick, event[3..].to_vec()))
            .collect()
    }

    /// Gives the second of a tick by the tempi of the file alone.
    fn seconds(&self, tick: u64) -> f64 {
        let mut sum: u64 = 0;
        let (mut from, mut micros) = (0, 500_000);
        for (at, bytes) in self.meta(TEMPO) {
            let at = at.min(tick);
            sum += (at - from) * micros;
            from = at;
            micros = bytes
                .iter()
                .fold(0, |sum, byte| (sum << 8) | u64::from(*byte));
        }
        sum += (tick - from) * micros;
        sum as f64 / self.per_quarter as f64 / 1e6
    }

    fn clicks(&self) -> Vec<u64> {
        let own = self.tracks[1]
            .iter()
            .filter(|(_, event)| event[0] == NOTE_ON);
        own.map(|(tick, _)| *tick).collect()
    }

    fn end(&self) -> u64 {
        self.tracks[0].last().unwrap().0
    }
}

fn span(text: &str) -> BeatSpan {
    text.parse().unwrap()
}

fn tempo(text: &str) -> Vec<TempoMark> {
    vec![TempoMark::at_once(
        BeatSpan::ZERO,
        "",
        text.parse().unwrap(),
    )]
}

/// A pickup, 5/8 in 2+3 and a repeated measure of 3/4.
fn guide() -> Guide {
    let mut guide = Guide::new(Id::new("g").unwrap(), "Test");
    guide.road_map.measures = vec![
        Measure {
            meter: Some("3/4".parse().unwrap()),
            length: Some(span("1")),
            pickup: true,
            tempo: tempo("quarter = 60"),
            key: Some(Key::from_fifths(-2).unwrap()),
            section: Some("A".to_owned()),
            ..Measure::labelled("0")
        },
        Measure {
            meter: Some("5/8".parse().unwrap()),
            groups: Some("2+3".parse().unwrap()),
            mark: Some("B".to_owned()),
            ..Measure::labelled("1")
        },
        Measure {
            meter: Some("3/4".parse().unwrap()),
            tempo: tempo("quarter = 120"),
            repeat_from: true,
            repeat_back: Some(2),
            section: Some("Trio".to_owned()),
            ..Measure::labelled("2")
        },
    ];
    guide
}

#[test]
fn everything_lies_on_its_tick() {
    let file = read(&midi_file(&guide()).unwrap().value);
    assert_eq!(file.per_quarter, 960);
    let text = |text: &str| text.as_bytes().to_vec();
    assert_eq!(
        file.meta(MARKER),
        [
            (0, text("A")),
            (960, text("B")),
            (3360, text("Trio")),
            (6240, text("Trio (2)"))
        ]
    );
    assert_eq!(
        file.meta(METER),
        [
            (0, vec![1, 2, 24, 8]),
            (960, vec![5, 3, 12, 8]),
            (3360, vec![3, 2, 24, 8])
        ]
    );
    assert_eq!(file.meta(KEY), [(0, vec![254, 0])]);
    // 1,000,000 and 500,000 microseconds.
    assert_eq!(
        file.meta(TEMPO),
        [(0, vec![0x0F, 0x42, 0x40]), (3360, vec![0x07, 0xA1, 0x20])]
    );
    assert_eq!(
        file.clicks(),
        [
            0, 960, 1440, 1920, 2400, 2880, 3360, 4320, 5280, 6240, 7200, 8160
        ]
    );
    assert_eq!(file.end(), 9120);
    assert_eq!(file.tracks[1].last().unwrap().0, 9120);
    // No note sounds into the next.
    let mut sounding = false;
    for (_, event) in &file.tracks[1] {
        match event[0] {
            NOTE_ON => assert!(!core::mem::replace(&mut sounding, true)),
            NOTE_OFF => assert!(core::mem::replace(&mut sounding, false)),
            _ => {}
        }
    }
    assert!(!sounding);
}

/// A guide of many measures whose tempo moves in a way of its own for each number.
fn moving(number: usize) -> Guide {
    let mut guide = guide();
    let tempi = [
        "quarter = 131",
        "dotted quarter = 47",
        "eighth = 97",
        "quarter = 211",
        "half = 29",
    ];
    let meters = ["4/4", "7/8", "3/4", "6/8", "5/4"];
    let shapes = [Shape::EvenInBeats, Shape::EvenInTime, Shape::Runner];
    guide.road_map.measures = (0..60)
        .map(|index: usize| {
            let kind = index + number;
            let mut measure = Measure::labelled(&index.to_string());
            if kind.is_multiple_of(3) {
                measure.meter = meters[kind % meters.len()].parse().ok();
            }
            if kind % 5 == 1 {
                measure.tempo = tempo(tempi[kind % tempi.len()]);
            }
            if kind % 5 == 2 {
                let to = tempi[(kind + 1) % tempi.len()].parse().unwrap();
                let mut mark = TempoMark::at_once(span("1/2"), "", to);
                mark.until = Some(Place {
                    measure: index + 1 + kind % 2,
                    at: span("1/3"),
                });
                mark.shape = shapes[kind % 3];
                measure.tempo = vec![mark];
            }
            if kind % 7 == 3 {
                measure.holds = vec![Hold::new(span("3/2"), Some(span("5/4")))];
            }
            measure
        })
        .collect();
    guide
}

#[test]
fn seconds_agree_within_the_stated_bounds() {
    for number in 0..8 {
        let guide = moving(number);
        let plan = Plan::new(&guide).value;
        let file = read(&midi_file(&guide).unwrap().value);
        let per_quarter = file.per_quarter as f64;
        let mut start = 0;
        let mut stepped = 0;
        for played in 0..plan.order().len() {
            let laid = plan.measure(played).unwrap();
            let ticks = |span: BeatSpan| {
                let exact = span
                    .quarters()
                    .times(Ratio::whole(file.per_quarter as i64))
                    .unwrap();
                assert_eq!(exact.denominator(), 1);
                exact.numerator() as u64
            };
            let quarters = start as f64 / per_quarter;
            let bound = |more: f64| MAX_DRIFT_SECONDS * (quarters + more) + 1e-9;
            let off = file.seconds(start) - plan.start_of(played).get();
            assert!(off.abs() <= bound(0.0), "{number} {played}: {off}");
            for count in plan.counts(played) {
                let own = plan.seconds_of(played, count.at).unwrap().get();
                let off = file.seconds(start + ticks(count.at)) - own;
                assert!(
                    off.abs() <= bound(8.0),
                    "{number} {played} {count:?}: {off}"
                );
            }
            if plan.stops(played).is_empty() {
                for part in 1..50 {
                    let at = laid.length.times(Ratio::new(part, 50).unwrap()).unwrap();
                    let own = plan.seconds_of(played, at).unwrap().get();
                    let exact = at.quarters().to_f64() * per_quarter;
                    let below = exact.floor();
                    let (low, high) = (start + below as u64, start + below as u64 + 1);
                    let (low, high) = (file.seconds(low), file.seconds(high));
                    let off = low + (exact - below) * (high - low) - own;
                    assert!(
                        off.abs() <= bound(8.0) + MAX_STEP_SECONDS,
                        "{number} {played} {part}: {off}"
                    );
                    stepped += usize::from(off.abs() > bound(8.0));
                }
            }
            start += ticks(laid.length);
        }
        assert_eq!(file.end(), start);
        // Gradual changes are there to be stepped.
        assert!(stepped > 0, "{number}");
    }
}

#[test]
fn counts_lead_on_after_a_hold() {
    let mut guide = guide();
    guide.road_map.measures[1].holds = vec![Hold {
        lead_in: 2,
        ..Hold::new(span("2"), Some(span("1")))
    }];
    let plan = Plan::new(&guide).value;
    let file = read(&midi_file(&guide).unwrap().value);
    let expected: Vec<Seconds> = (0..plan.order().len())
        .flat_map(|played| plan.clicks(played))
        .map(|click| click.seconds)
        .collect();
    let clicks = file.clicks();
    assert_eq!(clicks.len(), expected.len());
    assert_eq!(clicks.len(), 14);
    for (tick, expected) in clicks.iter().zip(expected) {
        assert!(
            (file.seconds(*tick) - expected.get()).abs() < 0.001,
            "{tick} {expected:?}"
        );
    }
}

#[test]
fn the_same_tempo_is_written_once() {
    // Numbers whose microseconds are whole, end in a half, or in a long fraction.
    for per_minute in [
        "quarter = 128",
        "quarter = 96",
        "quarter = 75.5",
        "quarter = 177",
    ] {
        let mut guide = guide();
        guide.road_map.measures[0].tempo = tempo(per_minute);
        guide.road_map.measures[2].tempo = Vec::new();
        guide.road_map.measures[2].repeat_back = Some(400);
        let file = read(&midi_file(&guide).unwrap().value);
        assert_eq!(file.meta(TEMPO).len(), 1, "{per_minute}");
    }
}

#[test]
fn what_midi_cannot_say_is_told() {
    let mut guide = guide();
    guide.road_map.measures[1].length = Some(span("5/3"));
    let told = midi_file(&guide).unwrap();
    assert_eq!(told.findings.last().unwrap().code, "no-meter-in-midi");
    guide.road_map.measures[1].length = Some(span("2/101"));
    guide.road_map.measures[2].length = Some(span("3/331"));
    let error = midi_file(&guide).unwrap_err();
    assert_eq!(
        error.to_string(),
        "measure 2: its fractions need more than 32767 ticks a quarter note, the most that MIDI has"
    );
    let mut guide = self::guide();
    guide.road_map.measures[2].tempo = tempo("quarter = 2");
    let error = midi_file(&guide).unwrap_err();
    assert_eq!(
        error.to_string(),
        "measure 2: MIDI has no tempo slower than 16.8 seconds a quarter note"
    );
}

/// RP-001: a tempo is a number of 24 bits, so an eighth lasts at most 8.4 seconds.
#[test]
fn a_fermata_that_is_too_slow_waits_less_and_says_so() {
    let mut guide = guide();
    guide.road_map.measures[2].tempo = tempo("quarter = 40");
    let last = guide.road_map.measures[2]
        .meter
        .as_ref()
        .and_then(|own| own.length());
    let at = last.unwrap().minus(span("1/2")).unwrap();
    let plain = midi_file(&guide).unwrap();
    guide.road_map.measures[2].holds = vec![Hold::new(at, Some(span("6")))];
    let told = midi_file(&guide).unwrap();
    let finding = told.findings.last().unwrap();
    assert_eq!(finding.code, "fermata-short-in-midi");
    // It would last 9.75 seconds: an eighth of 0.75 and six quarters of 1.5.
    assert!(
        finding.message.contains("1.4 seconds less"),
        "{}",
        finding.message
    );
    assert_eq!(told.findings.len(), plain.findings.len() + 1);
    let slowest = read(&told.value)
        .meta(TEMPO)
        .iter()
        .any(|(_, bytes)| *bytes == [0xff; 3]);
    assert!(slowest);
    // A tempo that is itself too slow is refused, fermata or not.
    guide.road_map.measures[2].tempo = tempo("quarter = 2");
    assert!(midi_file(&guide).is_err());
}

#[test]
fn an_empty_guide_gives_an_empty_file() {
    let empty = Guide::new(Id::new("g").unwrap(), "");
    let file = read(&midi_file(&empty).unwrap().value);
    assert_eq!((file.tracks.len(), file.end()), (2, 0));
}
