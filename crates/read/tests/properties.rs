//! What holds for every file.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::{Id, Settings, check, lay_out, open, save};
use cueleaf_read::{Progress, ScoreReader, draft, read_score, sniff};
use cueleaf_score::Score;
use proptest::prelude::*;
use std::path::Path;
use std::sync::LazyLock;

static EXAMPLE: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/chestnuts.musicxml");
    std::fs::read(path).unwrap()
});

/// Holds what every score promises, and drafts it.
fn hold_promises(score: &Score) {
    let count = score.measure_count();
    for part in &score.parts {
        assert_eq!(part.measures.len(), count);
        assert!(!part.name.is_empty());
        for (own, first) in part.measures.iter().zip(&score.parts[0].measures) {
            assert_eq!((own.start, own.length), (first.start, first.length));
            for note in &own.notes {
                assert!(note.at.plus(note.length).unwrap() <= own.length);
            }
            assert!(own.tempo.iter().all(|sign| sign.at <= own.length));
            assert!(own.holds.iter().all(|sign| sign.at <= own.length));
        }
        for span in &part.spans {
            assert!(span.from.measure < count);
            assert!(span.to.is_none_or(|to| to.measure < count));
        }
    }
    let guide = draft(score, &[], Id::new("g").unwrap()).unwrap().value;
    assert_eq!(guide.road_map.measures.len(), count);
    assert_eq!(guide.parts.len(), score.parts.len());
    let _ = check(&guide);
    let laid = lay_out(&guide.road_map, &Settings::default()).value;
    for (laid, measure) in laid.measures().iter().zip(&score.parts[0].measures) {
        if !measure.length.is_zero() {
            assert_eq!((laid.start, laid.length), (measure.start, measure.length));
        } else {
            return;
        }
    }
    assert_eq!(open(&save(&guide)).unwrap(), guide);
}

fn read(bytes: Vec<u8>) {
    let _ = sniff(&bytes);
    if let Ok(score) = read_score(bytes) {
        hold_promises(&score.value);
    }
}

/// Pieces of MusicXML in any order, nested anyhow.
fn markup() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        Just("<note><rest/><duration>3</duration></note>".to_owned()),
        Just("<note><chord/><pitch><step>C</step><octave>4</octave></pitch><duration>7</duration><type>half</type></note>".to_owned()),
        Just("<note><grace/><pitch><step>C</step><octave>4</octave></pitch><notations><slur type=\"stop\"/><fermata/></notations></note>".to_owned()),
        Just("<backup><duration>5</duration></backup>".to_owned()),
        Just("<forward><duration>11</duration></forward>".to_owned()),
        (1..30u32, 1..130u32, 0..7u32).prop_map(|(divisions, beats, lower)| format!(
            "<attributes><divisions>{divisions}</divisions><time><beats>{beats}</beats><beat-type>{}</beat-type></time><key><fifths>{}</fifths></key></attributes>",
            1u32 << lower, i64::from(beats) - 60
        )),
        (0..900u32).prop_map(|tempo| format!("<sound tempo=\"{tempo}\" dacapo=\"yes\" tocoda=\"a\"/>")),
        prop::sample::select(vec!["rit.", "a tempo", "Fine", "D.S. al Coda", "pizz.", "cresc.", "x"]).prop_map(|words| format!(
            "<direction><direction-type><words>{words}</words></direction-type><direction-type><dashes type=\"start\"/></direction-type><offset sound=\"yes\">9</offset></direction>"
        )),
        prop::sample::select(vec!["stop", "crescendo", "diminuendo"]).prop_map(|kind| format!(
            "<direction><direction-type><wedge type=\"{kind}\"/></direction-type></direction>"
        )),
        (0..5u32, prop::sample::select(vec!["left", "right", "middle"])).prop_map(|(number, location)| format!(
            "<barline location=\"{location}\"><ending number=\"{number}\" type=\"start\"/><repeat direction=\"backward\" times=\"{number}\"/></barline>"
        )),
    ];
    prop::collection::vec(leaf, 0..9).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn any_bytes_end_in_a_score_or_a_message(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        read(bytes);
    }

    #[test]
    fn any_text_in_a_score_ends_too(text in "[<>/a-z&;=\"' !\\[\\]-]{0,200}") {
        read(format!("<score-partwise><part id=\"P\"><measure number=\"1\">{text}").into_bytes());
    }

    #[test]
    fn any_bytes_behind_a_zip_header_end_too(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let mut file = b"PK\x03\x04".to_vec();
        file.extend(bytes);
        read(file);
    }

    #[test]
    fn any_measures_keep_the_promises(
        parts in prop::collection::vec(prop::collection::vec(markup(), 0..6), 1..4)
    ) {
        let mut text = "<score-partwise><part-list/>".to_owned();
        for (index, measures) in parts.iter().enumerate() {
            text += &format!("<part id=\"P{index}\">");
            for (number, measure) in measures.iter().enumerate() {
                text += &format!("<measure number=\"{number}\">{measure}</measure>");
            }
            text += "</part>";
        }
        text += "</score-partwise>";
        let bytes = text.into_bytes();
        let whole = read_score(bytes.clone());
        let mut reader = ScoreReader::new(bytes.clone());
        while let Progress::Working { .. } = reader.step(50) {}
        prop_assert_eq!(reader.finish(), whole);
        read(bytes);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_cut_file_is_refused_and_says_where(part in 0.0..1.0f64) {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "any place in the file will do")]
        let cut = (part * EXAMPLE.len() as f64) as usize;
        let file = &EXAMPLE[..cut];
        // The last bytes are the end of the outermost element and a line end.
        if cut + 4 < EXAMPLE.len() {
            let message = read_score(file.to_vec()).unwrap_err().to_string();
            prop_assert!(
                message.contains("ends in the middle") || message.contains("no XML") || message.contains("empty"),
                "{}", message
            );
        }
    }

    #[test]
    fn a_damaged_file_ends_in_a_score_or_a_message(
        places in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..20)
    ) {
        let mut bytes = EXAMPLE.clone();
        for (place, byte) in places {
            let place = place.index(bytes.len());
            bytes[place] = byte;
        }
        read(bytes);
    }
}
