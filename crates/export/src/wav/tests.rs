#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small test values"
)]

use super::*;
use cueleaf_guide::{Id, Measure, TempoMark};
use cueleaf_time::BeatSpan;

fn guide(tempo: &str) -> Guide {
    let mut guide = Guide::new(Id::new("g").unwrap(), "T");
    guide.settings.count_in = 1;
    guide.road_map.measures = vec![
        Measure {
            meter: "5/8".parse().ok(),
            groups: "2+3".parse().ok(),
            tempo: vec![TempoMark::at_once(
                BeatSpan::ZERO,
                "",
                tempo.parse().unwrap(),
            )],
            ..Measure::labelled("12a")
        },
        Measure::labelled("\0"),
        Measure {
            meter: "3/4".parse().ok(),
            ..Measure::labelled("14")
        },
    ];
    guide
}

fn number(bytes: &[u8]) -> u32 {
    u32::from_le_bytes(bytes[..4].try_into().unwrap())
}

/// Gives the chunks of a file: their names and contents.
fn chunks(file: &[u8]) -> Vec<(&[u8], &[u8])> {
    assert_eq!((&file[..4], &file[8..12]), (&b"RIFF"[..], &b"WAVE"[..]));
    assert_eq!(number(&file[4..]) as usize, file.len() - 8);
    let mut rest = &file[12..];
    let mut found = Vec::new();
    while !rest.is_empty() {
        let size = number(&rest[4..]) as usize;
        found.push((&rest[..4], &rest[8..8 + size]));
        rest = &rest[8 + size + size % 2..];
    }
    found
}

fn written(track: &ClickTrack) -> Vec<u8> {
    let file: Vec<u8> = track.pieces().flatten().collect();
    assert_eq!(file.len() as u64, track.bytes());
    file
}

#[test]
fn clicks_sound_on_their_samples_and_nowhere_else() {
    for rate in [SampleRate::Hz44100, SampleRate::Hz48000] {
        for sound in [ClickSound::Clear, ClickSound::Wooden, ClickSound::Dry] {
            let guide = guide("quarter = 97");
            let track = click_track(&guide, sound, rate).unwrap().value;
            let file = written(&track);
            let chunks = chunks(&file);
            let names: Vec<&[u8]> = chunks.iter().map(|(name, _)| *name).collect();
            assert_eq!(names, [&b"fmt "[..], b"data", b"cue ", b"LIST"]);
            let samples: Vec<i16> = chunks[1]
                .1
                .chunks_exact(2)
                .map(|pair| i16::from_le_bytes([pair[0], pair[1]]))
                .collect();
            assert_eq!(samples.len(), track.samples() as usize);
            let cues: Vec<u32> = chunks[2].1[4..]
                .chunks_exact(24)
                .map(|cue| number(&cue[20..]))
                .collect();
            assert_eq!(number(chunks[2].1) as usize, cues.len());
            // An eighth at quarter = 97 lasts 30/97 s: five counted in, ten played, then
            // three quarters.
            let hertz = f64::from(rate.hertz());
            let expected: Vec<u32> = (0..15)
                .chain([15, 17, 19])
                .map(|eighths| (f64::from(eighths) * 30.0 / 97.0 * hertz).round() as u32)
                .collect();
            assert_eq!(cues, expected);
            assert_eq!(track.starts(), expected[5]);
            let plan = Plan::new(&guide).value;
            let levels: Vec<Level> = plan
                .count_in(0, 0, 1)
                .clicks
                .into_iter()
                .chain((0..3).flat_map(|played| plan.clicks(played)))
                .map(|click| click.level)
                .collect();
            let mut silent = vec![0_i16; samples.len()];
            for (cue, level) in cues.iter().zip(levels) {
                let own = click_samples(sound, level, hertz);
                for (index, sample) in own.iter().enumerate() {
                    silent[*cue as usize + index] = (sample * 32_767.0).round() as i16;
                }
                // A click starts from zero: its second sample is the first that sounds.
                assert_eq!(samples[*cue as usize], 0);
                assert_ne!(samples[*cue as usize + 1], 0, "{sound:?} {level:?}");
            }
            assert!(samples == silent, "{rate:?} {sound:?}");
        }
    }
}

#[test]
fn counts_are_labels() {
    let track = click_track(
        &guide("quarter = 60"),
        ClickSound::Clear,
        SampleRate::Hz48000,
    );
    let file = written(&track.unwrap().value);
    let chunks = chunks(&file);
    let mut list = &chunks[3].1[4..];
    let mut told = Vec::new();
    while !list.is_empty() {
        let size = number(&list[4..]) as usize;
        let text = &list[12..8 + size - 1];
        assert_eq!((&list[..4], list[8 + size - 1]), (&b"labl"[..], 0));
        told.push(format!(
            "{} {}",
            number(&list[8..]),
            String::from_utf8_lossy(text)
        ));
        list = &list[8 + size + size % 2..];
    }
    assert_eq!(
        told.join(", "),
        "1 1, 2 2, 3 1, 4 2, 5 3, 6 12a: 1, 7 2, 8 1, 9 2, 10 3, \
         11 1, 12 2, 13 1, 14 2, 15 3, 16 14: 1, 17 2, 18 3"
    );
}

#[test]
fn quick_clicks_run_into_each_other() {
    // Fifty clicks a second or so, each 50 ms long, over the borders of pieces.
    let mut guide = guide("eighth = 3000");
    guide.settings.count_in = 0;
    guide.road_map.measures[2].repeat_back = Some(60);
    let rate = SampleRate::Hz44100;
    let track = click_track(&guide, ClickSound::Wooden, rate).unwrap().value;
    let file = written(&track);
    let data = chunks(&file)[1].1.to_vec();
    let mut mixed = vec![0.0_f32; track.samples() as usize];
    for click in &track.clicks {
        for (index, sample) in samples_of(ClickSound::Wooden, click.level, rate)
            .iter()
            .enumerate()
        {
            mixed[click.sample as usize + index] += sample;
        }
    }
    let expected: Vec<u8> = mixed
        .iter()
        .flat_map(|sample| sixteen(*sample).to_le_bytes())
        .collect();
    assert!(track.samples() > 2 * rate.hertz());
    assert!(data == expected);
}

#[test]
fn too_long_is_refused() {
    let mut guide = guide("quarter = 1");
    guide.road_map.measures[2].repeat_back = Some(400);
    let refused = click_track(&guide, ClickSound::Clear, SampleRate::Hz48000).unwrap_err();
    // 400 times eight quarters, after a count-in of two and a half.
    assert_eq!(
        refused.to_string(),
        "too large: 192150 seconds of clicks, and the limit is 36000"
    );
    guide.road_map.measures.clear();
    let empty = click_track(&guide, ClickSound::Clear, SampleRate::Hz48000).unwrap();
    assert_eq!(written(&empty.value).len(), 12 + 24 + 8 + 12 + 12);
}
