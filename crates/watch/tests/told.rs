//! What is told at a place: its cue while playing, its tip, and no seconds where nobody says
//! how fast it goes.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests may fail loudly"
)]

mod common;

use common::{first_of, guide, listed, of, score};
use cueleaf_guide::MAX_CUE;
use cueleaf_watch::{Kind, watch};
use std::collections::BTreeSet;

const WHOLE: &str = "D4:16";

/// Each kind with a part in which it comes, its first cue there.
const CUES: &[(Kind, &[&str], &str)] = &[
    (
        Kind::TempoChange,
        &["[4/4 @60 D4:16", "@90 D4:16"],
        "faster: quarter = 90",
    ),
    (
        Kind::TempoChange,
        &["[4/4 @60 D4:16", "@54 D4:16"],
        "slower: quarter = 54",
    ),
    (
        Kind::TempoWords,
        &["[4/4 @60 D4:16", "!Andante D4:16"],
        "Andante: how fast?",
    ),
    (
        Kind::TempoGradual,
        &["[4/4 @60 D4:16", "!rit. D4:16", WHOLE, "@120 D4:16"],
        "rit., 2 measures",
    ),
    (
        Kind::MeterChange,
        &["[4/4 D4:16", "[6/8 D4:12", "D4:12"],
        "now 6/8",
    ),
    (
        Kind::MeterChange,
        &["[4/4 D4:16", "[2/4 D4:8", "[4/4 D4:16", WHOLE],
        "back to 4/4",
    ),
    (
        Kind::OddMeasure,
        &["[4/4 D4:16", "[2/4 D4:8", "[4/4 D4:16", WHOLE],
        "one measure of 2/4",
    ),
    (
        Kind::UnevenMeter,
        &["[7/8 D4:2 D4:2 D4:2 D4:2 D4:2 D4:2 D4:2"],
        "7/8: 2+2+3",
    ),
    (
        Kind::KeyChange,
        &["[4/4 #0 D4:16", "#-2 D4:16"],
        "new key: 2 flats",
    ),
    (
        Kind::KeyChange,
        &["[4/4 #0 D4:16", "#1 D4:16"],
        "new key: 1 sharp",
    ),
    (
        Kind::KeyChange,
        &["[4/4 #1 D4:16", "#0 D4:16"],
        "key: no sharps or flats",
    ),
    (
        Kind::ToPizz,
        &["[4/4 D4:16", "!pizz. D4:16"],
        "pizz., at once",
    ),
    (Kind::ToPizz, &["[4/4 !pizz. D4:16"], "begin pizz."),
    (
        Kind::ToArco,
        &["[4/4 !pizz. D4:12 r:4", "!arco D4:16"],
        "arco, 1 beat",
    ),
    (
        Kind::ToArco,
        &["[4/4 !pizz. D4:14 r:2", "!arco D4:16"],
        "arco, quickly",
    ),
    (
        Kind::MuteOn,
        &["[4/4 D4:10 r:6", "!con_sord. D4:16"],
        "mute on, 1.5 beats",
    ),
    (
        Kind::MuteOff,
        &["[4/4 !con_sord. D4:16", "r:16", "!senza_sord. r:16", WHOLE],
        "mute off, 8 beats",
    ),
    (Kind::Dynamic, &["[4/4 =p D4:16"], "begin p"),
    (
        Kind::SuddenDynamic,
        &["[4/4 =ff D4:16", "=pp D4:16"],
        "pp at once",
    ),
    (
        Kind::NoRoomToGrow,
        &["[4/4 =f D4:16", "< D4:16 \\", "=f D4:16"],
        "start softer, then grow",
    ),
    (
        Kind::Loudest,
        &["[4/4 =f D4:16", "=ff D4:16"],
        "ff, the loudest",
    ),
    (
        Kind::EntryAfterRest,
        &["[4/4 D4:16", "r:16", "r:16", "r:16", WHOLE],
        "rest 3, then in",
    ),
    (
        Kind::EntryOffBeat,
        &["[4/4 r:6 D4:2 r:8"],
        "in after beat 2",
    ),
    (Kind::EntryInside, &["[4/4 r:4 D4:4 r:8"], "in on beat 2"),
    (
        Kind::Pickup,
        &["[4/4 r:12 D4:4", "E4:16"],
        "pickup, lead on",
    ),
    (
        Kind::Syncopation,
        &["[4/4 D4:2 E4:4 D4:2 D4:8"],
        "hold through beat 2",
    ),
    (
        Kind::TupletAcross,
        &["[4/4 D4:4t E4:4t F4:4t D4:8"],
        "3 notes over 2 beats",
    ),
    (
        Kind::TieOverBar,
        &["[4/4 D4:12 E4:4~", "E4:4 D4:12"],
        "hold over the barline",
    ),
    (
        Kind::SubdivisionChange,
        &["[6/8 D4:3 D4:3 D4:3 D4:3", "D4:2 D4:2 D4:2 D4:2 D4:2 D4:2"],
        "now 3 in a beat",
    ),
    (
        Kind::SubdivisionChange,
        &["[4/4 D4:1 D4:1 D4:1 D4:1 D4:12", "D4:4 D4:4 D4:8"],
        "whole beats now",
    ),
    (
        Kind::FastestNotes,
        &["[4/4 @120 D4:8 D4:1 D4:1 D4:1 D4:1 D4:4"],
        "the fastest notes",
    ),
    (
        Kind::ArticulatedSlur,
        &["[4/4 D4:4(. D4:4. D4:4). D4:4"],
        "3 notes in one bow",
    ),
    (
        Kind::NamedStroke,
        &["[4/4 D4:16", "!spiccato D4:16"],
        "spiccato",
    ),
    (
        Kind::NamedStroke,
        &[
            "[4/4 D4:16",
            "!sempre_spiccato_ma_non_troppo_leggiero D4:16",
        ],
        "sempre spiccato ma non",
    ),
    (
        Kind::SameDirection,
        &["[4/4 D4:8n D4:8n"],
        "retake: down-bow again",
    ),
    (
        Kind::LongBow,
        &["[4/4 @60 D4:16(", "E4:16)", "D4:8 D4:8"],
        "long bow, save it",
    ),
    (
        Kind::UnevenBowing,
        &["[4/4 D4:12 D4:4", "D4:12 D4:4", "D4:12 D4:4"],
        "back from the tip",
    ),
    (
        Kind::Leap,
        &["[4/4 #0 D4:4 F#5:4 E5:4 D5:4"],
        "leap to F sharp 5",
    ),
    (
        Kind::OutsideKey,
        &["[4/4 #0 D4:4 F#4:4 E4:4 D4:4"],
        "look: F sharp 4",
    ),
    (
        Kind::ClefChange,
        &["[4/4 {C3 D4:16", "{G2 G5:16"],
        "treble clef: G 5",
    ),
    (Kind::NamedString, &["[4/4 D4:16", "!sul_G D4:16"], "sul G"),
    (
        Kind::WhoPlays,
        &["[4/4 D4:16", "!div. D4:16"],
        "divided: which line?",
    ),
    (
        Kind::HighestNote,
        &[
            "[4/4 D4:2 E4:2 D4:2 E4:2 D4:2 E4:2 D4:2 E4:2",
            "D4:2 E4:2 D4:2 E4:2 D4:2 E4:2 D4:2 B4:2",
        ],
        "top: B 4",
    ),
    (
        Kind::Repeat,
        &["[4/4 |: D4:16", "D4:16 :|", WHOLE],
        "played 2 times",
    ),
    (
        Kind::Ending,
        &["[4/4 |: D4:16", "1[ D4:16 ]1", WHOLE],
        "ending 1",
    ),
    (
        Kind::Jump,
        &["[4/4 D4:16", "D4:16 !D.C."],
        "D.C.: to the beginning",
    ),
    (Kind::Fermata, &["[4/4 D4:8 D4:8%"], "fermata, look up"),
    (Kind::Breath, &["[4/4 D4:8, D4:8"], "breathe together"),
    (
        Kind::LastMeasures,
        &[
            "[4/4 @60 D4:16",
            "@90 D4:16",
            WHOLE,
            "D4:12 r:4",
            "!pizz. D4:16%",
        ],
        "the last measures",
    ),
];

/// The kinds whose cues are checked on their own, below.
const APART: [Kind; 4] = [
    Kind::MovesAlone,
    Kind::BetweenOthers,
    Kind::Cut,
    Kind::OutOfCompass,
];

#[test]
fn every_kind_has_a_cue_that_says_what_to_do() {
    for (kind, measures, cue) in CUES {
        assert_eq!(first_of(&of(measures), *kind).cue, *cue, "{kind:?}");
    }
    let told: BTreeSet<Kind> = CUES.iter().map(|row| row.0).chain(APART).collect();
    assert_eq!(told, Kind::all().collect());
}

#[test]
fn cues_of_places_that_need_more_than_one_part() {
    let list = listed(&[
        ("Viola", &["[4/4 D4:4 D4:4 D4:4 D4:4"]),
        ("Cello", &["[4/4 D4:16"]),
    ]);
    assert_eq!(first_of(&list, Kind::MovesAlone).cue, "you alone, 3 notes");

    let list = listed(&[
        ("Viola", &["[4/4 r:2 D4:2 r:2 D4:2 r:2 D4:2 r:4"]),
        ("Cello", &["[4/4 D4:4 D4:4 D4:4 D4:4"]),
    ]);
    assert_eq!(
        first_of(&list, Kind::BetweenOthers).cue,
        "between the others"
    );

    let score = score(&[("Viola", &["[4/4 D4:16", WHOLE, WHOLE])]);
    let mut guide = guide(&score);
    guide.road_map.measures[1].cut = true;
    guide.settings.measure_word = cueleaf_guide::MeasureWord::Bar;
    assert_eq!(
        first_of(&watch(&score, 0, &guide), Kind::Cut).cue,
        "skip 1 bar"
    );

    let bar = "D4:2 E4:2 D4:2 E4:2 D4:2 E4:2 D4:2 E4:2";
    let first = format!("[4/4 {bar}");
    let list = of(&[first.as_str(), bar, bar, bar, bar, "B4:4 r:12"]);
    assert_eq!(first_of(&list, Kind::OutOfCompass).cue, "find B 4");
}

#[test]
fn a_crescendo_is_a_cue_where_it_starts() {
    let list = of(&[
        "[4/4 =p D4:16",
        "< D4:16",
        "D4:16 \\",
        "=f D4:16",
        "=mf D4:16",
    ]);
    let cues: Vec<(&str, &str)> = list
        .iter()
        .filter(|one| one.kind == Kind::Dynamic)
        .map(|one| (one.from.as_str(), one.cue.as_str()))
        .collect();
    assert_eq!(
        cues,
        [
            ("1 beat 1", "begin p"),
            ("2 beat 1", "grow to f"),
            ("5 beat 1", "mf, after f")
        ]
    );
}

#[test]
fn places_that_fold_and_differ_have_a_cue_for_all_of_them() {
    let list = of(&["[4/4 r:4 D4:4 r:8", "r:8 D4:4 r:4", WHOLE]);
    assert_eq!(first_of(&list, Kind::EntryInside).cue, "in, but not on one");
    let alike = of(&["[4/4 r:4 D4:4 r:8", "r:4 D4:4 r:8", WHOLE]);
    assert_eq!(first_of(&alike, Kind::EntryInside).cue, "in on beat 2");
}

#[test]
fn a_tip_does_not_begin_with_the_place_where_it_stands() {
    let list = of(&[
        "[4/4 @60 =f D4:14 r:2",
        "!pizz. =p D4:4 r:12",
        "r:4 D4:4 r:8",
    ]);
    let tip = |kind| first_of(&list, kind).tip.as_str();
    assert_eq!(
        tip(Kind::SuddenDynamic),
        "p at once after f. Do not prepare it with the sound before."
    );
    assert!(
        tip(Kind::ToPizz).starts_with("From here on plucking"),
        "{}",
        tip(Kind::ToPizz)
    );
    assert!(
        first_of(&list, Kind::SuddenDynamic)
            .sentence
            .starts_with("Measure 2, beat 1: p at once")
    );
    for one in &list {
        assert!(!one.tip.starts_with("Measure 2, beat 1:"), "{}", one.tip);
        assert!(!one.tip.is_empty() && one.cue.chars().count() <= MAX_CUE);
    }
}

#[test]
fn an_accent_is_told_as_one() {
    let list = of(&[
        "[4/4 =f D4:16",
        "=fp D4:16",
        "=p D4:16",
        "< D4:16 \\",
        "=fp D4:16",
    ]);
    let told: Vec<(&str, &str)> = list
        .iter()
        .filter(|one| matches!(one.kind, Kind::Dynamic | Kind::SuddenDynamic))
        .map(|one| (one.from.as_str(), one.cue.as_str()))
        .collect();
    let accent = "fp: strong, then p";
    assert_eq!(
        told,
        [
            ("1 beat 1", "begin f"),
            ("2 beat 1", accent),
            ("3 beat 1", "still p"),
            ("5 beat 1", accent)
        ]
    );
    // It is told where it stands, though a hairpin to softer leads there.
    let fades = of(&["[4/4 =f D4:16", "!dim. D4:16", "=fp D4:16"]);
    let one = fades.iter().find(|one| one.cue == accent).unwrap();
    assert!(one.from == "3 beat 1" && one.sentence.contains("easure 3"));
    // To an accent a crescendo has room.
    assert!(list.iter().all(|one| one.kind != Kind::NoRoomToGrow));
}

#[test]
fn a_crescendo_before_what_is_soft_again_is_not_to_start_softer() {
    let list = of(&["[4/4 =p D4:16", "!cresc. D4:16", "=p D4:16"]);
    let one = first_of(&list, Kind::NoRoomToGrow);
    assert_eq!(one.cue, "grow, then p at once");
    assert!(one.sentence.contains("be p only there"), "{}", one.sentence);
}

#[test]
fn an_accent_is_no_level_to_hold() {
    // fp goes on p: that is what is held up to the next sign.
    for (measures, text) in [
        (["[4/4 =fp D4:16", "=ff D4:16"], " p"),
        (["[4/4 =sfpp D4:16", "=f D4:16"], " pp"),
    ] {
        let list = of(&measures);
        let sentence = &first_of(&list, Kind::SuddenDynamic).sentence;
        let ends = [format!("after{text}. Do not"), format!("hold{text} right")];
        assert!(ends.iter().any(|end| sentence.contains(end)), "{sentence}");
    }
}

#[test]
fn a_change_of_tempo_is_said_by_the_beat_that_is_felt() {
    let said = |measures: &[&str]| first_of(&of(measures), Kind::TempoChange).sentence.clone();
    assert!(said(&["[4/4 @60 D4:16", "@90 D4:16"]).contains("about half as fast again"));
    assert!(said(&["[4/4 @90 D4:16", "@37 D4:16"]).contains("less than half as fast"));
    // From dotted quarter = 84 (126 quarters) to quarter = 92: fewer quarters, but the beat
    // goes from 84 to 92.
    let slower = said(&["[6/8 @126 D4:12", "[2/4 @92 D4:8"]);
    assert!(slower.contains("a little faster"), "{slower}");
    // Seven eighths are felt in the note of the mark, not in each eighth.
    let uneven = said(&["[7/8 @126 D4:14", "[4/4 @138 D4:16"]);
    assert!(uneven.contains("a little faster"), "{uneven}");
}

#[test]
fn no_seconds_are_told_where_the_tempo_is_only_assumed() {
    let measures = |first: &str, third: &str| {
        [
            format!("[4/4 {first} D4:12 r:4"),
            "!pizz. D4:4 r:12".to_owned(),
            format!("{third} r:16"),
            "r:16".to_owned(),
            "!arco D4:1 D4:1 D4:1 D4:1 D5:12".to_owned(),
            "D4:16(".to_owned(),
            "E4:16)".to_owned(),
        ]
    };
    let in_seconds = |first: &str, third: &str| -> Vec<Kind> {
        let measures = measures(first, third);
        let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
        let list = of(&measures);
        for one in &list {
            let named = ["seconds", "notes_per_second"];
            let told = named.iter().any(|name| one.numbers.contains_key(name));
            let words = one.sentence.split_whitespace();
            let said = words
                .clone()
                .any(|word| matches!(word, "s" | "s)" | "s)." | "second"));
            assert!(told || !said, "{}", one.sentence);
        }
        let named = ["seconds", "notes_per_second"];
        let told = list
            .iter()
            .filter(|one| named.iter().any(|name| one.numbers.contains_key(name)));
        told.map(|one| one.kind).collect()
    };
    assert_eq!(in_seconds("", ""), []);
    let all = in_seconds("@60", "");
    for kind in [
        Kind::ToPizz,
        Kind::ToArco,
        Kind::EntryAfterRest,
        Kind::FastestNotes,
        Kind::LongBow,
        Kind::Leap,
    ] {
        assert!(all.contains(&kind), "{kind:?} in {all:?}");
    }
    // A word without a number: known before it, not after.
    assert_eq!(in_seconds("@60", "!Adagio"), [Kind::ToPizz]);
}

#[test]
fn a_number_after_an_assumed_tempo_is_compared_with_nothing() {
    let list = of(&["[4/4 D4:16", "@66 D4:16"]);
    let one = first_of(&list, Kind::TempoChange);
    assert!(!one.numbers.contains_key("old") && !one.numbers.contains_key("ratio"));
    assert!(
        one.sentence.contains("quarter = 66") && !one.sentence.contains("120"),
        "{}",
        one.sentence
    );
    // The number that was assumed is told, too, when it is given.
    let same = of(&["[4/4 D4:16", "@120 D4:16"]);
    assert_eq!(first_of(&same, Kind::TempoChange).cue, "quarter = 120");
}

#[test]
fn the_seconds_of_a_rest_are_those_since_the_last_note() {
    // A rest of half a measure, two of three quarters and one quarter, at 120: 2 + 6 + 1
    // quarters are 4.5 seconds; what is counted are two measures.
    let measures = ["[3/4 @120 D4:4 r:8", "r:12", "r:12", "r:4 D4:8"];
    let sentences: Vec<String> = of(&measures)
        .into_iter()
        .filter(|one| one.kind == Kind::EntryAfterRest)
        .map(|one| format!("{:?} {}", one.numbers.get("seconds"), one.sentence))
        .collect();
    assert!(sentences[0].starts_with("Some(Real(4.5))"), "{sentences:?}");
    assert!(!sentences[0].contains("rest (4.5 s)"), "{sentences:?}");
}

#[test]
fn a_tempo_is_told_with_two_decimals_at_most() {
    let list = of(&["[4/4 @120 D4:16", "@52.17391 D4:16"]);
    let one = list
        .iter()
        .find(|own| own.kind == Kind::TempoChange)
        .unwrap();
    assert_eq!(one.cue, "slower: quarter = 52.17");
    assert!(one.sentence.contains("quarter = 52.17"), "{}", one.sentence);
    assert!(!one.sentence.contains('/'), "{}", one.sentence);
}
