//! The notes of a score, as read.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

mod common;

use common::{file, meter, note, read};
use cueleaf_score::{Bowing, Note, Sound, Technique};

/// Writes one note: place, length, pitch or rest, and whatever it bears.
fn show(note: &Note) -> String {
    let mut words = vec![format!("{}:{}", note.at, note.length)];
    words.push(match note.sound {
        Sound::Pitched(pitch) => format!(
            "{}{}{}",
            pitch.step.letter(),
            match pitch.quarter_tones {
                0 => String::new(),
                tones => format!("({tones:+})"),
            },
            pitch.octave
        ),
        Sound::Unpitched => "x".into(),
        Sound::Rest {
            whole_measure: true,
        } => "R".into(),
        Sound::Rest { .. } => "r".into(),
    });
    if let Some(value) = note.value {
        words.push(value.to_string());
    }
    if let Some(grace) = note.grace {
        words.push(format!("{grace:?}"));
    }
    for (is, word) in [
        (note.chord, "chord"),
        (note.cue, "cue"),
        (note.tied_on, "tie-on"),
        (note.tied_back, "tie-back"),
        (note.accidental, "accidental"),
    ] {
        if is {
            words.push(word.into());
        }
    }
    if (note.voice, note.staff) != (1, 1) {
        words.push(format!("v{}s{}", note.voice, note.staff));
    }
    words.extend(note.slurs_from.iter().map(|slur| format!("({slur}")));
    words.extend(note.slurs_to.iter().map(|slur| format!("{slur})")));
    words.extend(note.articulations.iter().map(|sign| format!("{sign:?}")));
    words.extend(note.techniques.iter().map(|sign| match sign {
        Technique::Bow(Bowing::Down) => "down".into(),
        Technique::Bow(Bowing::Up) => "up".into(),
        other => format!("{other:?}"),
    }));
    words.extend(note.ornaments.iter().map(|sign| format!("{sign:?}")));
    if let Some(tremolo) = note.tremolo {
        words.push(format!("tremolo {} {:?}", tremolo.strokes, tremolo.kind));
    }
    if let Some(tuplet) = note.tuplet {
        words.push(format!("{}in{}", tuplet.actual, tuplet.normal));
    }
    words.join(" ")
}

fn check(content: &str, expected: &[&str], codes: &[&str]) {
    let first = meter("4", "4") + content;
    let score = read(&file(&[("Viola", &[&first])]));
    let notes: Vec<String> = score.value.parts[0].measures[0]
        .notes
        .iter()
        .map(show)
        .collect();
    assert_eq!(notes, expected);
    let found: Vec<&str> = score.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(found, codes);
}

fn pitched(step: &str, alter: &str, octave: &str) -> String {
    format!(
        "<note><pitch><step>{step}</step><alter>{alter}</alter><octave>{octave}</octave></pitch><duration>4</duration></note>"
    )
}

#[test]
fn pitches_with_their_alterations() {
    check(
        &(pitched("F", "1", "5")
            + &pitched("B", "-2", "2")
            + &pitched("E", "-0.5", "4")
            + &pitched("C", "", "4")),
        &["0:1 F(+2)5", "1:1 B(-4)2", "2:1 E(-1)4", "3:1 C4"],
        &[],
    );
    check(&pitched("H", "0", "4"), &["0:1 x"], &["pitch"]);
    check(&pitched("C", "0", "99"), &["0:1 x"], &["pitch"]);
    check(
        "<note><unpitched/><duration>4</duration></note><note><rest/><duration>4</duration></note>",
        &["0:1 x", "1:1 r"],
        &[],
    );
}

#[test]
fn chords_voices_grace_and_cue_notes() {
    let chord = note(4, "<type>quarter</type>").replace("<pitch>", "<chord/><pitch>");
    let grace = "<note><grace slash=\"yes\"/><pitch><step>A</step><octave>4</octave></pitch><type>eighth</type></note>";
    let cue = note(8, "<type size=\"cue\">half</type>");
    check(
        &(grace.to_owned()
            + &note(4, "<type>quarter</type>")
            + &chord
            + &note(6, "<type>quarter</type><dot/>")
            + "<backup><duration>4</duration></backup>"
            + &note(4, "<voice>2</voice><staff>2</staff>")
            + &cue),
        &[
            "0:0 A4 eighth Slashed",
            "0:1 D4 quarter",
            "0:1 D4 quarter chord",
            "1:3/2 D4 dotted quarter",
            "3/2:1 D4 v2s2",
            "5/2:2 D4 half cue",
        ],
        // The cue note goes half a quarter beyond the barline.
        &["longer-than-meter"],
    );
}

#[test]
fn everything_attached_to_a_note() {
    let signs = "<notations><articulations><staccato/><tenuto/><accent/><strong-accent/><detached-legato/><spiccato/></articulations>\
        <technical><down-bow/><open-string/><harmonic/><snap-pizzicato/><stopped/><thumb-position/><fingering>3</fingering><string>2</string></technical>\
        <ornaments><trill-mark/><inverted-turn/><mordent/><tremolo type=\"single\">3</tremolo></ornaments></notations>";
    check(
        &note(16, &format!("<accidental>sharp</accidental>{signs}")),
        &[
            "0:4 D4 accidental Staccato Tenuto Accent StrongAccent DetachedLegato Spiccato down OpenString Harmonic SnapPizzicato LeftHandPizzicato ThumbPosition Fingering(\"3\") String(2) Trill Turn Mordent tremolo 3 Single",
        ],
        &[],
    );
}

#[test]
fn ties_and_slurs_are_matched() {
    let slur = |kinds: &[(&str, u32)]| -> String {
        let inside: String = kinds
            .iter()
            .map(|(kind, number)| format!("<slur type=\"{kind}\" number=\"{number}\"/>"))
            .collect();
        format!("<notations>{inside}</notations>")
    };
    check(
        &(note(4, &slur(&[("start", 1)]))
            // The next slur is named before the end of this one.
            + &note(4, &slur(&[("start", 1), ("stop", 1)]))
            + &note(4, &(slur(&[("stop", 1)]) + "<tie type=\"start\"/>"))
            + &note(4, "<notations><tied type=\"stop\"/></notations>")),
        &[
            "0:1 D4 (1",
            "1:1 D4 (2 1)",
            "2:1 D4 tie-on 2)",
            "3:1 D4 tie-back",
        ],
        &[],
    );
    check(
        &(note(8, &slur(&[("stop", 1)])) + &note(8, &slur(&[("start", 2)]))),
        &["0:2 D4", "2:2 D4"],
        &["slur-without-start", "slur-without-end"],
    );
}
