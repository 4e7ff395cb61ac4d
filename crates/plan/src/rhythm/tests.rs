//! Printed rhythms with the counts their sources print.
//!
//! Lengths are quarter notes; n is a note, r a rest, t a tied note, * marks
//! what is written as a tuplet.

use super::*;
use crate::counts_of;
use cueleaf_guide::{CountHere, CountStyle, Measure, RoadMap, Settings, lay_out};
use cueleaf_time::BeatChoice;

struct Row {
    meter: &'static str,
    groups: Option<&'static str>,
    small_beat: bool,
    system: &'static str,
    rhythm: &'static str,
    said: &'static str,
    source: &'static str,
}

#[rustfmt::skip]
const ROWS: &[Row] = &[
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "1n 1n 1n 1n", said: "1 2 3 4", source: "S. Butterfield, Integrated Musicianship: Theory, lesson 4a, example 3" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "1/2r 1/2n 1/2n 1/2n 1/2t 1/2n 1/3n* 1/3n* 1/3n*", said: "(1) & 2 & _ & 4 la li", source: "S. Butterfield, Integrated Musicianship: Theory, lesson 4a, example 3" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "1n 1/2t 1/2n 1/4n 1/4n 1/4n 1/4n 1/2n 1/4n 1/4n", said: "1 _ & 3 e & a 4 & a", source: "S. Butterfield, Integrated Musicianship: Theory, lesson 4a, example 3" },
    // The source prints "4 & a" for the triplet and corrects it to "4 la li" in its discussion.
    Row { meter: "4/2", groups: None, small_beat: false, system: "en", rhythm: "1r 1n 1n 1n 1t 1n 2/3n* 2/3n* 2/3n*", said: "(1) & 2 & _ & 4 la li", source: "S. Butterfield, Integrated Musicianship: Theory, lesson 4a, example 3" },
    Row { meter: "12/8", groups: None, small_beat: false, system: "en", rhythm: "3/2n 1/2n 1/2n 1/2n 1n 1/2n 3/4n* 3/4n*", said: "1 2 la li 3 li 4 &", source: "the same, lesson 4b, example 3" },
    Row { meter: "12/8", groups: None, small_beat: false, system: "en", rhythm: "1/4n 1/4n 1/4n 1/4n 1/4n 1/4n 1/4n 1/4n 1/2n 1/4n 1/4n 1/4n 1/2n 1/2n 1/4n 1/2n 1/2n 1/2n", said: "1 to la ta li ti 2 to la li ti 3 to ta ti 4 la li", source: "the same, lesson 4b, example 3" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "4n", said: "1", source: "J. Lucas, Northeastern Illinois University, Understanding Counting Numbers" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "1/2n 1/2n 1/2n 1/2n 1/2n 1/2n 1/2n 1/2n", said: "1 & 2 & 3 & 4 &", source: "J. Lucas, Northeastern Illinois University, Understanding Counting Numbers" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "2n 1/2n 1/2n 1/2n 1/2n", said: "1 3 & 4 &", source: "J. Lucas, Northeastern Illinois University, Understanding Counting Numbers" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "2n 1/4n 1/4n 1/4n 1/4n 1/2n 1/2n", said: "1 3 e & a 4 &", source: "J. Lucas, Northeastern Illinois University, Understanding Counting Numbers" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "1n 1r 2n", said: "1 (2) 3", source: "J. Lucas, Northeastern Illinois University, Understanding Counting Numbers" },
    Row { meter: "3/4", groups: None, small_beat: false, system: "en", rhythm: "1/4n 1/4n 1/2n 1/4n 1/4n 1/2n 1/4n 1/4n 1/2n", said: "1 e & 2 e & 3 e &", source: "Music Fundamentals: A Balanced Approach, p. 113" },
    Row { meter: "3/4", groups: None, small_beat: false, system: "en", rhythm: "1/2n 1/4n 1/4n 1/2n 1/4n 1/4n 1/2n 1/4n 1/4n", said: "1 & a 2 & a 3 & a", source: "Music Fundamentals: A Balanced Approach, p. 113" },
    Row { meter: "3/4", groups: None, small_beat: false, system: "en", rhythm: "3/4n 1/4n 3/4n 1/4n 3/4n 1/4n", said: "1 a 2 a 3 a", source: "Music Fundamentals: A Balanced Approach, p. 113" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "1n 1/2r 1/4n 1/4n 1n 1/2r 1/4n 1/4n", said: "1 (2) & a 3 (4) & a", source: "Music Fundamentals: A Balanced Approach, p. 113" },
    Row { meter: "2/4", groups: None, small_beat: false, system: "en", rhythm: "1n 1/2n 1/2n", said: "1 2 &", source: "by the rule of the sources above; common practice" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "1r 1n 2n", said: "(1) 2 3", source: "by the rule of the sources above; common practice" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "3/2n 1/2n 1n 1n", said: "1 & 3 4", source: "by the rule of the sources above; common practice" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "en", rhythm: "1/2n 1n 1n 1n 1/2n", said: "1 & & & &", source: "by the rule of the sources above; common practice" },
    Row { meter: "2/2", groups: None, small_beat: false, system: "en", rhythm: "1n 1n 1n 1n", said: "1 & 2 &", source: "by the rule of the sources above; common practice" },
    Row { meter: "6/8", groups: None, small_beat: false, system: "en", rhythm: "3/2n 1/2n 1/2n 1/2n", said: "1 2 la li", source: "by the rule of the sources above; common practice" },
    Row { meter: "6/8", groups: None, small_beat: false, system: "en", rhythm: "1n 1/2n 1n 1/2n", said: "1 li 2 li", source: "by the rule of the sources above; common practice" },
    Row { meter: "6/8", groups: None, small_beat: false, system: "en", rhythm: "1n 1n 1n", said: "1 li la", source: "by the rule of the sources above; common practice" },
    Row { meter: "9/8", groups: None, small_beat: false, system: "en", rhythm: "3/2n 1/2n 1/2n 1/2n 1n 1/2n", said: "1 2 la li 3 li", source: "by the rule of the sources above; common practice" },
    Row { meter: "3/4", groups: None, small_beat: false, system: "en", rhythm: "1/3n* 1/3n* 1/3n* 1n 1n", said: "1 la li 2 3", source: "by the rule of the sources above; common practice" },
    Row { meter: "6/8", groups: None, small_beat: true, system: "en", rhythm: "1/2n 1/2n 1/2n 1/2n 1/2n 1/2n", said: "1 2 3 4 5 6", source: "by the rule of the sources above; common practice" },
    Row { meter: "5/4", groups: Some("2+3"), small_beat: false, system: "en", rhythm: "1n 1n 1n 1n 1n", said: "1 2 1 2 3", source: "rhythm-in-music.com, lesson 19, practice suggestions for odd meters" },
    Row { meter: "5/4", groups: Some("3+2"), small_beat: false, system: "en", rhythm: "1n 1n 1n 1n 1n", said: "1 2 3 1 2", source: "rhythm-in-music.com, lesson 19, practice suggestions for odd meters" },
    Row { meter: "7/4", groups: Some("2+2+3"), small_beat: false, system: "en", rhythm: "1n 1n 1n 1n 1n 1n 1n", said: "1 2 1 2 1 2 3", source: "rhythm-in-music.com, lesson 19, practice suggestions for odd meters" },
    Row { meter: "7/4", groups: Some("7"), small_beat: false, system: "en", rhythm: "1n 1n 1n 1n 1n 1n 1n", said: "1 2 3 4 5 6 7", source: "rhythm-in-music.com, lesson 19, practice suggestions for odd meters" },
    Row { meter: "7/4", groups: Some("3+4"), small_beat: false, system: "en", rhythm: "1n 1n 1n 1n 1n 1n 1n", said: "1 2 3 1 2 3 4", source: "grouping: Gehrkens, Music Notation and Terminology, 1914, §102; rule: lesson 19" },
    Row { meter: "7/4", groups: Some("4+3"), small_beat: false, system: "en", rhythm: "1n 1n 1n 1n 1n 1n 1n", said: "1 2 3 4 1 2 3", source: "grouping: Gehrkens, Music Notation and Terminology, 1914, §102; rule: lesson 19" },
    Row { meter: "7/8", groups: Some("2+2+3"), small_beat: false, system: "en", rhythm: "1/2n 1/2n 1/2n 1/2n 1/2n 1/2n 1/2n", said: "1 2 1 2 1 2 3", source: "zaro.info, How to count 7/8 time" },
    Row { meter: "7/8", groups: Some("3+2+2"), small_beat: false, system: "en", rhythm: "1/2n 1/2n 1/2n 1/2n 1/2n 1/2n 1/2n", said: "1 2 3 1 2 1 2", source: "grouping: Integrated Musicianship, lesson 22a; rule: lesson 19" },
    Row { meter: "7/8", groups: Some("2+3+2"), small_beat: false, system: "en", rhythm: "1/2n 1/2n 1/2n 1/2n 1/2n 1/2n 1/2n", said: "1 2 1 2 3 1 2", source: "grouping: Integrated Musicianship, lesson 22a; rule: lesson 19" },
    Row { meter: "5/8", groups: Some("2+3"), small_beat: false, system: "en", rhythm: "1/2n 1/2n 1/2n 1/2n 1/2n", said: "1 2 1 2 3", source: "grouping: Integrated Musicianship, lesson 22a; rule: lesson 19" },
    Row { meter: "8/8", groups: Some("3+3+2"), small_beat: false, system: "en", rhythm: "1/2n 1/2n 1/2n 1/2n 1/2n 1/2n 1/2n 1/2n", said: "1 2 3 1 2 3 1 2", source: "grouping: Integrated Musicianship, lesson 22a; rule: lesson 19" },
    Row { meter: "7/4", groups: Some("3+4"), small_beat: false, system: "en", rhythm: "3n 2n 1n 1n", said: "1 1 3 4", source: "grouping: Gehrkens, Music Notation and Terminology, 1914, §102; rule: lesson 19" },
    Row { meter: "4/4", groups: None, small_beat: false, system: "de", rhythm: "1n 1n 1/2n 1/2n 1n", said: "eins zwei drei und vier", source: "spiellieder.de, Rhythmus-Erklärung" },
    // The source prints figures for the numbers; the words are those of the row above.
    Row { meter: "4/4", groups: None, small_beat: false, system: "de", rhythm: "1/4n 1/4n 1/4n 1/4n 1n 2n", said: "eins e und e zwei drei", source: "pianotube.de, Rhythmen zählen" },
];

fn rhythm(text: &str) -> Vec<RhythmNote> {
    text.split_whitespace()
        .map(|word| {
            let (word, in_tuplet) = match word.strip_suffix('*') {
                Some(word) => (word, true),
                None => (word, false),
            };
            let (length, sound) = word.split_at(word.len() - 1);
            RhythmNote {
                length: length.parse().unwrap(),
                sound: match sound {
                    "n" => Sound::Note,
                    "r" => Sound::Rest,
                    "t" => Sound::Tied,
                    other => panic!("unknown {other}"),
                },
                in_tuplet,
            }
        })
        .collect()
}

#[test]
fn every_row_is_counted_as_its_source_prints_it() {
    for row in ROWS {
        let style = if row.groups.is_some_and(|groups| groups.contains('+')) {
            CountStyle::EachGroup
        } else {
            CountStyle::Through
        };
        let measure = Measure {
            meter: Some(row.meter.parse().unwrap()),
            groups: row.groups.map(|groups| groups.parse().unwrap()),
            count: row.small_beat.then_some(CountHere {
                beat: Some(BeatChoice::Small),
                style: None,
            }),
            ..Measure::default()
        };
        let settings = Settings {
            count_style: style,
            ..Settings::default()
        };
        let road_map = RoadMap {
            measures: vec![measure],
            ..RoadMap::default()
        };
        let layout = lay_out(&road_map, &settings);
        assert!(layout.findings.is_empty());
        let counts = counts_of(&layout.value.measures()[0]);
        let system = CountSystem::find(row.system).unwrap();
        let spoken = count_rhythm(&counts, &rhythm(row.rhythm), system).unwrap();
        let said: Vec<String> = spoken.iter().map(ToString::to_string).collect();
        assert_eq!(said.join(" "), row.said, "{} {}", row.meter, row.source);
    }
}

/// Source: B. Waring, Counting rhythms in compound meter.
#[test]
fn another_system_is_other_data() {
    let measure = Measure {
        meter: Some("12/8".parse().unwrap()),
        ..Measure::default()
    };
    let road_map = RoadMap {
        measures: vec![measure],
        ..RoadMap::default()
    };
    let layout = lay_out(&road_map, &Settings::default()).value;
    let counts = counts_of(&layout.measures()[0]);
    let system = CountSystem::find("en-trip-let").unwrap();
    let said = |text: &str| {
        let spoken = count_rhythm(&counts, &rhythm(text), system).unwrap();
        let words: Vec<String> = spoken.iter().map(ToString::to_string).collect();
        words.join(" ")
    };
    assert_eq!(
        said("1/2n 1/2n 1/2n 1/2n 1/2n 1/2n"),
        "1 trip let 2 trip let"
    );
    assert_eq!(said("1/4n 1/4n 1/4n 1/4n 1/4n 1/4n"), "1 ah trip ah let ah");
    assert_eq!(said("1/8n 1/8n"), "1 ·");
}

#[test]
fn every_system_is_complete_for_what_it_names() {
    for system in crate::SYSTEMS {
        for (parts, words) in system
            .simple
            .iter()
            .chain(system.compound)
            .chain(system.against)
        {
            assert_eq!(words.len() + 1, usize::from(*parts), "{}", system.code);
        }
        assert_eq!(CountSystem::find(system.code), Some(system));
    }
}
