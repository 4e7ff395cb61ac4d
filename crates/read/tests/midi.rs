//! Standard MIDI Files, byte by byte.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::{Checked, Guide, Id};
use cueleaf_read::{Kind, draft, read_score, sniff};
use cueleaf_score::{Score, Sound};
use proptest::prelude::*;

fn chunk(kind: &[u8], data: &[u8]) -> Vec<u8> {
    let size = u32::try_from(data.len()).unwrap();
    [kind, &size.to_be_bytes(), data].concat()
}

fn file(format: u8, division: [u8; 2], tracks: &[&[u8]]) -> Vec<u8> {
    let count = u8::try_from(tracks.len()).unwrap();
    let mut bytes = chunk(b"MThd", &[0, format, 0, count, division[0], division[1]]);
    for track in tracks {
        bytes.extend(chunk(b"MTrk", track));
    }
    bytes
}

/// 96 ticks a quarter note.
const QUARTERS: [u8; 2] = [0, 96];
const END: &[u8] = &[0, 0xff, 0x2f, 0];

fn read(bytes: &[u8]) -> Checked<Score> {
    read_score(bytes.to_vec()).unwrap()
}

fn guide(bytes: &[u8]) -> Guide {
    draft(&read(bytes).value, &[], Id::new("g").unwrap())
        .unwrap()
        .value
}

fn codes(bytes: &[u8]) -> Vec<&'static str> {
    read(bytes).findings.iter().map(|one| one.code).collect()
}

fn refused(bytes: &[u8]) -> String {
    read_score(bytes.to_vec()).unwrap_err().to_string()
}

/// Tempo 126, 3/4, two flats, a marker; after two measures 2/4 and tempo 90 in eighth notes.
fn conductor() -> Vec<u8> {
    [
        &b"\x00\xff\x03\x05Tides\x00\xff\x51\x03\x07\x44\x1e\x00\xff\x58\x04\x03\x02\x18\x08"[..],
        b"\x00\xff\x59\x02\xfe\x00\x00\xff\x06\x03Low",
        // 2 × 3 × 96 = 576 ticks on.
        b"\x84\x40\xff\x58\x04\x02\x02\x18\x08\x00\xff\x51\x03\x0a\x2c\x2b\x00\xff\x06\x01B",
        END,
    ]
    .concat()
}

/// From the second beat of measure 2 on: B flat for four quarters, by running status.
fn viola() -> Vec<u8> {
    [
        &b"\x00\xff\x04\x00\x00\xff\x03\x05Viola\x83\x00\x91\x46\x40\x83\x00\x46\x00"[..],
        END,
    ]
    .concat()
}

#[test]
fn tempi_meters_keys_markers_and_parts() {
    let bytes = file(1, QUARTERS, &[&conductor(), &viola()]);
    assert_eq!(sniff(&bytes), Kind::Midi);
    let score = read(&bytes);
    assert_eq!(score.findings, []);
    assert_eq!(score.value.title, "Tides");
    let guide = guide(&bytes);
    assert_eq!(guide.parts[0].name, "Viola");
    let shown: Vec<String> = guide
        .road_map
        .measures
        .iter()
        .map(|own| {
            let meter = own
                .meter
                .as_ref()
                .map_or(String::new(), ToString::to_string);
            let tempo = own.tempo.first().and_then(|mark| mark.tempo);
            let tempo = tempo.map_or(String::new(), |tempo| tempo.to_string());
            let key = own
                .key
                .map_or(String::new(), |key| key.fifths().to_string());
            let mark = own.mark.clone().unwrap_or_default();
            format!("{}|{meter}|{tempo}|{key}|{mark}", own.label)
        })
        .collect();
    assert_eq!(
        shown,
        [
            "1|3/4|quarter = 126|-2|Low",
            "2||||",
            "3|2/4|quarter = 90||B"
        ]
    );
    // Four quarters from beat 2 of measure 2: two there, two tied over.
    let measures = &score.value.parts[0].measures;
    assert!(measures[0].is_rest());
    let (first, second) = (&measures[1].notes[0], &measures[2].notes[0]);
    assert_eq!(
        (first.at.to_string(), first.length.to_string()),
        ("1".into(), "2".into())
    );
    assert_eq!(second.length.to_string(), "2");
    assert!(first.tied_on && second.tied_back && !second.tied_on);
    let Sound::Pitched(pitch) = first.sound else {
        panic!("no pitch")
    };
    assert_eq!(
        (pitch.step.letter(), pitch.quarter_tones, pitch.octave),
        ("B", -2, 4)
    );
}

#[test]
fn channels_of_a_single_track_are_parts() {
    let track = [
        &b"\x00\x90\x3c\x40\x00\x95\x30\x40\x60\x80\x3c\x00\x00\x85\x30\x00"[..],
        END,
    ]
    .concat();
    let names: Vec<String> = guide(&file(0, QUARTERS, &[&track]))
        .parts
        .into_iter()
        .map(|own| own.name)
        .collect();
    assert_eq!(names, ["Channel 1", "Channel 6"]);
    // A sound library's frame around it, and a chunk of another kind before the track.
    let mut inner = chunk(b"MThd", &[0, 0, 0, 1, 0, 96]);
    inner.extend(chunk(b"XFIH", b"what is this"));
    inner.extend(chunk(b"MTrk", &track));
    let mut framed = b"RIFF\0\0\0\0RMIDdata\0\0\0\0".to_vec();
    framed.extend(inner);
    assert_eq!(sniff(&framed), Kind::Midi);
    assert_eq!(guide(&framed).parts.len(), 2);
}

#[test]
fn seconds_instead_of_beats() {
    // 25 frames of 40 ticks a second; at 120 a quarter lasts 500 ticks, four of them 2000.
    let track = [&b"\x00\x90\x3c\x40\x8f\x50\x80\x3c\x00"[..], END].concat();
    let measures = read(&file(0, [0xe7, 40], &[&track])).value.parts[0]
        .measures
        .clone();
    assert_eq!(measures.len(), 1);
    assert_eq!(measures[0].notes[0].length.to_string(), "4");
    // 30 drop frame with 100 ticks: 30,000/1,001 × 100 ticks a second.
    let measures = read(&file(0, [0xe3, 100], &[&track])).value.parts[0]
        .measures
        .clone();
    // 2000 ticks are 2 × 1001 / 3000 s, 1.3347 quarters; in 480ths of a quarter, 641.
    assert_eq!(measures[0].notes[0].length.to_string(), "641/480");
}

#[test]
fn a_meter_inside_a_measure_ends_it() {
    let track = [
        &b"\x60\xff\x58\x04\x05\x03\x18\x08\x00\x90\x3c\x40\x82\x70\x80\x3c\x00"[..],
        END,
    ]
    .concat();
    let bytes = file(0, QUARTERS, &[&track]);
    assert_eq!(codes(&bytes), ["meter-inside-measure"]);
    let map = guide(&bytes).road_map;
    assert_eq!(
        map.measures[0].length.map(|own| own.to_string()),
        Some("1".into())
    );
    assert_eq!(
        map.measures[1].meter.as_ref().map(ToString::to_string),
        Some("5/8".into())
    );
}

#[test]
fn damage_is_told_with_its_place_and_keeps_what_comes_before() {
    let good = b"\x00\x90\x3c\x40\x60\x80\x3c\x00";
    for (rest, code) in [
        // A data byte above 127, a status that is none, a length that never ends.
        (&b"\x00\x90\xf0\x40"[..], "track-damaged"),
        (b"\x00\xf4\x00", "track-damaged"),
        (b"\xff\xff\xff\xff\xff", "track-damaged"),
        (b"\x00\xff\x06\x7fshort", "track-damaged"),
        (b"\x00\x90\x40\x40", "note-without-end"),
    ] {
        let bytes = file(0, QUARTERS, &[&[good, rest].concat()]);
        assert_eq!(codes(&bytes), [code], "{rest:?}");
        assert!(read(&bytes).value.parts[0].measures[0].notes[0].is_played());
    }
    let bytes = file(0, QUARTERS, &[&[&good[..], b"\x00\xf4\x00"].concat()]);
    // The head has 14 bytes, the track's own head 8, then 8 good ones and the time.
    assert!(
        read(&bytes).findings[0].message.contains("byte 32"),
        "{}",
        read(&bytes).findings[0].message
    );
    let mut cut = file(0, QUARTERS, &[&[&good[..], END].concat()]);
    cut.truncate(cut.len() - 4);
    assert_eq!(codes(&cut), ["file-cut-off"]);
    let mut short = file(1, QUARTERS, &[&[&good[..], END].concat()]);
    short[11] = 3;
    assert_eq!(codes(&short), ["tracks-missing"]);
}

#[test]
fn what_cannot_be_read_says_why() {
    assert!(refused(b"MThd\0\0").contains("head"));
    assert!(refused(&file(2, QUARTERS, &[END])).contains("format 2"));
    assert!(refused(&file(1, [0, 0], &[END])).contains("byte 12"));
    assert!(refused(&file(1, [0x80, 4], &[END])).contains("byte 12"));
    assert!(refused(&file(1, QUARTERS, &[])).contains("no track"));
    // A delta of 2^28 − 1 ticks, again and again, with one tick a quarter.
    let far: Vec<u8> = b"\xff\xff\xff\x7f\x90\x3c\x40\xff\xff\xff\x7f\x80\x3c\x40".repeat(3);
    assert!(refused(&file(0, [0, 1], &[&far])).contains("measures"));
}

/// The labels, meters and lengths of a file's measures.
fn measures(bytes: &[u8]) -> Vec<String> {
    let text = |own: &cueleaf_guide::Measure| {
        let meter = own
            .meter
            .as_ref()
            .map_or(String::new(), ToString::to_string);
        let length = own.length.map_or(String::new(), |own| own.to_string());
        let pickup = if own.pickup { "pickup" } else { "" };
        format!("{}|{meter}|{length}|{pickup}", own.label)
    };
    guide(bytes).road_map.measures.iter().map(text).collect()
}

/// Quarter notes one after the other, 96 ticks each.
fn quarters(count: usize) -> Vec<u8> {
    b"\x00\x90\x3c\x40\x60\x80\x3c\x00".repeat(count)
}

#[test]
fn a_short_first_meter_is_a_pickup() {
    let meters = |first: &[u8], wait: u8| {
        let second = [&[wait], &b"\xff\x58\x04\x03\x02\x18\x08"[..]].concat();
        [&b"\x00\xff\x58\x04"[..], first, &second, END].concat()
    };
    let notes = |count| [&quarters(count)[..], END].concat();
    let bytes = file(1, QUARTERS, &[&meters(b"\x01\x02\x18\x08", 96), &notes(7)]);
    assert_eq!(measures(&bytes), ["0|3/4|1|pickup", "1|||", "2|||"]);
    assert_eq!(codes(&bytes), [""; 0]);
    // A longer one, or two of them, are measures of their own.
    let eighths = meters(b"\x01\x03\x18\x08", 96);
    let bytes = file(1, QUARTERS, &[&eighths, &notes(7)]);
    assert_eq!(measures(&bytes)[..3], ["1|1/8||", "2|||", "3|3/4||"]);
}

#[test]
fn what_stands_at_the_last_barline_adds_no_measure() {
    // A marker and a tempo where four quarters end, and one far behind.
    let head = [
        &b"\x83\x00\xff\x06\x03End\x00\xff\x51\x03\x0a\x2c\x2b\x8f\x00\xff\x06\x01X"[..],
        END,
    ]
    .concat();
    let bytes = file(1, QUARTERS, &[&head, &[&quarters(4)[..], END].concat()]);
    assert_eq!(measures(&bytes), ["1|4/4||"]);
    let measure = &guide(&bytes).road_map.measures[0];
    assert_eq!(measure.tempo.len(), 1);
    assert_eq!(measure.mark, None);
}

#[test]
fn notes_played_in_by_hand_tell_no_rhythm() {
    let late = [&b"\x05"[..], &quarters(16)[1..], END].concat();
    let score = read(&file(0, QUARTERS, &[&late]));
    assert!(score.value.parts[0].played_in);
    assert_eq!(score.findings[0].code, "played-in");
    let even = [&quarters(16)[..], END].concat();
    assert!(!read(&file(0, QUARTERS, &[&even])).value.parts[0].played_in);
}

#[test]
fn tempi_without_notes_make_a_road_map() {
    let bytes = file(1, QUARTERS, &[&conductor()]);
    assert_eq!(codes(&bytes), ["no-notes"]);
    assert_eq!(guide(&bytes).road_map.measures.len(), 3);
}

proptest! {
    #[test]
    fn any_track_ends_in_a_score_or_a_message(
        format in 0u8..3,
        division in any::<[u8; 2]>(),
        tracks in prop::collection::vec(prop::collection::vec(prop_oneof![
            any::<u8>(),
            prop::sample::select(vec![0, 0x90, 0x80, 0x3c, 0xff, 0x51, 0x58, 0x2f, 3]),
        ], 0..60), 0..4),
        cut in 0usize..200,
    ) {
        let tracks: Vec<&[u8]> = tracks.iter().map(Vec::as_slice).collect();
        let mut bytes = file(format, division, &tracks);
        bytes.truncate(bytes.len().saturating_sub(cut / 4));
        if let Ok(score) = read_score(bytes) {
            let count = score.value.measure_count();
            prop_assert!(count >= 1);
            for part in &score.value.parts {
                prop_assert_eq!(part.measures.len(), count);
                for measure in &part.measures {
                    for note in &measure.notes {
                        prop_assert!(note.at.plus(note.length).unwrap() <= measure.length);
                    }
                }
            }
            prop_assert!(draft(&score.value, &[], Id::new("g").unwrap()).is_ok());
        }
    }
}
