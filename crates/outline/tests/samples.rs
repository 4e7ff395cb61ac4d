//! Outlines as a teacher would type them, and what they mean.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests may fail loudly"
)]

use cueleaf_guide::{
    Guide, Id, MarkKind, MediaBytes, Photo, PhotoKind, Return, Topic, Voice, save,
};
use cueleaf_outline::{looks_like_outline, merge, parse, write, write_with};

/// Short notes for one part, typed without care for form.
const SHORT: &str = "\
Guide to Rain on the Roof
by A. Nobody
For Viola

0 pickup of 1 quarter, 3/4, B flat major, Calmly, quarter = 66
9: grouped 3
12  rit., to quarter = 50 by 14
13  rit., fermata 2 quarters longer

(from here on it is the second violins' tune)
25  Lively, quarter = 132, pizz
25-28  Pluck: Keep the bow in your hand while you pluck.
    cue: pizz, bow in hand
    ahead: 4 beats
29 beat 2.5 arco, mf, down-bow
30  rest 4 measures
34 a tempo, p, repeat ends
35  Tempo I
To do: Clap 25 to 28 with the click.
";

/// The second one for two parts, with every kind of line.
const LONG: &str = r##"Guide to "Three Kites "
By Cueleaf examples
For Violin I and Violin II
Measures 1 to 8, 8a, 9 to 12, 2 unnumbered, "13 bis"
In German
Say bar
Count through the measure
Count in 2 measures
Links open at https://example.org/play.html

To the student: Sing each line first.
    Then play it slowly.

1  movement, section Take-off, rehearsal mark A, 5/8, grouped 2+3, count in big beats, count each group, 2 sharps, eighth = 180, repeat starts, segno
1  for Violin I: con sord., p
1  for Violin II: pizz., printed "2, then 3"
1-4  Count, for Violin I and Violin II: One two, one two three.
    cue: 2 + 3
    rhythm: quarter, tied dotted quarter, triplet eighth rest, 16th 5 for 4
2 beat 2  for Violin II: crescendo until 4, arco
4  first ending, repeat ends after 3 times
5  second ending
6 beat 2 to 7  Bow: Begin where the last stroke ended.
    Stay there.
    importance: start here
    stroke: up from the tip, a quarter of the bow
    watch: 3:20 at https://example.org/talk
8  lasts 7 eighths, free, to coda
8a  4/4, quarter = dotted quarter, then to quarter = 60 by 10 like a runner
10  rit., gradually by the end, cut
12  coda, fine, D.S. al coda with repeats
#15  Note:
"13 bis"  fermata with 2 counts to lead on

To do at 1-4, for Violin II: Count 1 to 4 aloud.
"##;

#[test]
fn short_notes_mean_what_they_say() {
    let outlined = parse(SHORT);
    let told: Vec<&str> = outlined.findings.iter().map(|found| found.code).collect();
    assert_eq!(told, ["measures-assumed"]);
    assert_eq!(
        outlined.findings[0].suggestion.as_deref(),
        Some("Measures 0 to 35")
    );
    let guide = &outlined.guide;
    assert_eq!(
        (guide.title.as_str(), guide.composer.as_str()),
        ("Rain on the Roof", "A. Nobody")
    );
    let measures = &guide.road_map.measures;
    assert_eq!(measures.len(), 36);
    assert!(measures[0].pickup);
    assert_eq!(measures[0].key.unwrap().fifths(), -2);
    assert_eq!(measures[12].tempo[0].words, "rit.");
    assert_eq!(measures[12].tempo[0].until.unwrap().measure, 14);
    assert_eq!(measures[13].tempo[0].words, "rit.");
    assert!(measures[13].tempo[0].tempo.is_none());
    assert_eq!(
        measures[25].tempo[0].tempo.unwrap().to_string(),
        "quarter = 132"
    );
    assert_eq!(measures[25].tempo[0].words, "Lively");
    assert_eq!(measures[34].tempo[0].back, Some(Return::ToBefore));
    assert_eq!(measures[35].tempo[0].back, Some(Return::ToFirst));
    let marks: Vec<_> = guide.parts[0]
        .marks
        .iter()
        .map(|own| (own.measure, own.kind))
        .collect();
    assert_eq!(
        marks,
        [
            (25, MarkKind::Pizz),
            (29, MarkKind::Arco),
            (29, MarkKind::Dynamic),
            (29, MarkKind::DownBow),
            (30, MarkKind::Rest),
            (34, MarkKind::Dynamic)
        ]
    );
    assert_eq!(guide.parts[0].marks[1].at.to_string(), "3/2");
    assert_eq!(guide.parts[0].marks[4].to.unwrap().measure, 34);
    let tip = &guide.tips[0];
    assert_eq!(
        (tip.topic, tip.ahead, tip.spot.last_measure()),
        (Topic::Pluck, Some(4), 28)
    );
    assert_eq!(tip.cue, "pizz, bow in hand");
    assert_eq!(guide.todos.len(), 1);
    let again = write_with(guide, &outlined.comments);
    assert!(
        again.contains(
            "\n(from here on it is the second violins' tune)\n25  Lively, quarter = 132, pizz\n"
        ),
        "{again}"
    );
}

#[test]
fn every_kind_of_line_comes_back_as_it_stands() {
    let outlined = parse(LONG);
    assert_eq!(outlined.findings, []);
    assert_eq!(write_with(&outlined.guide, &outlined.comments), LONG);
    assert_eq!(
        outlined.guide.tips[1].text,
        "Begin where the last stroke ended.\nStay there."
    );
    assert_eq!(outlined.guide.title, "Three Kites ");
    assert!(looks_like_outline(LONG));
}

#[test]
fn the_example_guides_come_back_to_the_byte() {
    for saved in [
        include_str!("../../../examples/mail-boat-violin-1.json"),
        include_str!("../../../examples/mail-boat-violin-2.json"),
        include_str!("../../../examples/mail-boat-viola.json"),
        include_str!("../../../examples/mail-boat-cello.json"),
    ] {
        let guide = cueleaf_guide::open(saved).unwrap();
        let text = write(&guide);
        let outlined = parse(&text);
        assert_eq!(outlined.findings, [], "{text}");
        assert_eq!(write_with(&outlined.guide, &outlined.comments), text);
        assert_eq!(save(&merge(&guide, &outlined)), save(&guide));
    }
}

#[test]
fn an_outline_is_told_by_its_first_line() {
    for (text, is) in [
        ("Guide to X", true),
        ("\u{feff}\n(mine)\n guide to x\n", true),
        ("Guide to", true),
        ("Guided tour", false),
        ("25  Lively", false),
        ("", false),
    ] {
        assert_eq!(looks_like_outline(text), is, "{text}");
    }
}

#[track_caller]
fn told(text: &str, code: &str, columns: (usize, usize), suggestion: Option<&str>) {
    let head = "Guide to X\nFor Viola and Cello\nMeasures 1 to 30\n";
    let outlined = parse(&format!("{head}{text}\n"));
    let found = &outlined.findings[0];
    assert_eq!(
        (
            found.line,
            found.code,
            (found.columns.start, found.columns.end),
            found.suggestion.as_deref()
        ),
        (4, code, columns, suggestion),
        "{found}"
    );
}

#[test]
fn mistakes_are_told_with_place_and_nearest_meaning() {
    told("25  pizzz", "not-understood", (5, 10), Some("pizz"));
    told(
        "25  arco, secton A",
        "not-understood",
        (11, 19),
        Some("section A"),
    );
    told(
        "25  Lively, quater = 132",
        "not-understood",
        (13, 25),
        Some("quarter = 132"),
    );
    told(
        "25  quarter 132",
        "not-understood",
        (5, 16),
        Some("quarter = 132"),
    );
    told("25  7/9", "not-understood", (5, 8), None);
    told(
        "25  watch me",
        "not-understood",
        (5, 13),
        Some("printed watch me"),
    );
    told(
        "25  Lisen: to the cellos",
        "not-understood",
        (5, 10),
        Some("Listen"),
    );
    told(
        "25  Fingers: low second",
        "not-understood",
        (5, 12),
        Some("Note"),
    );
    told("31  pizz", "unknown-measure", (1, 3), Some("30"));
    told(
        "25 beat 5  pizz",
        "unknown-beat",
        (1, 10),
        Some("25 beat 4"),
    );
    told("25 beat 2  7/8", "not-on-a-beat", (12, 15), None);
    told(
        "25  for Voila: pizz",
        "unknown-part",
        (9, 14),
        Some("Viola"),
    );
    told(
        "Mesures 1 to 3",
        "not-understood",
        (1, 15),
        Some("Measures 1 to 3"),
    );
    told("25", "nothing-said", (1, 3), None);
    // What would be refused again is not offered: a stroke begins somewhere.
    let head = "Guide to X\nMeasures 1 to 30\n25  Bow: x\n    strok: up\n";
    assert_eq!(parse(head).findings[0].suggestion, None);
    let head = head.replace("strok", "stroke");
    let found = &parse(&head).findings[0];
    assert_eq!(found.suggestion.as_deref(), Some("up from the tip"));
    let head = head.replace("stroke: up", "strok: up from the tip");
    let outlined = parse(&head);
    assert_eq!(
        outlined.findings[0].to_string(),
        "line 4, columns 5 to 26: this line is none of importance, cue, ahead, stroke, rhythm, watch, photo or voice \
         (understood would be: stroke: up from the tip)"
    );
    assert_eq!(write_with(&outlined.guide, &outlined.comments), head);
}

/// What is spelled in another way and can mean only one thing is read as that.
#[test]
fn likely_spellings_are_read_kindly() {
    let head = "Guide to X\nFor Viola\nMeasures 1 to 30\n";
    let written = |line: &str| {
        let outlined = parse(&format!("{head}{line}\n"));
        assert_eq!(outlined.findings, [], "{line}");
        let text = write_with(&outlined.guide, &outlined.comments);
        text.strip_prefix(head).unwrap().trim().to_owned()
    };
    for (typed, meant) in [
        ("25 crescendo to 28", "25  crescendo until 28"),
        ("25 dim. to 28 beat 3", "25  dim. until 28 beat 3"),
        ("25 cresc. until m. 28", "25  cresc. until 28"),
        (
            "25 Lively quarter = 132 pizz",
            "25  Lively, quarter = 132, pizz",
        ),
        ("25 arco mf down bow", "25  arco, mf, down-bow"),
        ("25 3/4 2 sharps p", "25  3/4, 2 sharps, p"),
        (
            "25 rit. to quarter = 50 by 28",
            "25  rit., to quarter = 50 by 28",
        ),
        ("25 to quarter = 50 until 28", "25  to quarter = 50 by 28"),
        (
            "25 pizz section Storm at sea",
            "25  section Storm at sea, pizz",
        ),
        ("25 5/8 grouped 2+3", "25  5/8, grouped 2+3"),
        ("25 grouped in 2 + 3", "25  grouped 2+3"),
        ("25 grouped: 2-2-3", "25  grouped 2+2+3"),
        ("25 grouped 2 and 3", "25  grouped 2+3"),
        ("25 Bowing: Save it.", "25  Bow: Save it."),
        (
            "25 counting, for Viola: Aloud.",
            "25  Count, for Viola: Aloud.",
        ),
    ] {
        assert_eq!(written(typed), meant, "{typed}");
    }
}

#[test]
fn nothing_is_offered_that_is_refused_again() {
    told(
        "7 quarter = 66 until 14",
        "not-understood",
        (3, 24),
        Some("quarter = 66"),
    );
    told("25  grouped", "not-understood", (5, 12), None);
    told(
        "25  rest to 28",
        "not-understood",
        (5, 15),
        Some("rest until 28"),
    );
    told("25  sf p", "not-understood", (5, 9), Some("sf, p"));
    told(
        "25  pizz watch me",
        "not-understood",
        (5, 18),
        Some("printed pizz watch me"),
    );
    told(
        "25  Bow arm: Heavy.",
        "not-understood",
        (5, 12),
        Some("Bow"),
    );
    told(
        "25  fermata 2",
        "not-understood",
        (13, 14),
        Some("2 quarters longer"),
    );
    told("25  quater = fast", "not-understood", (5, 18), None);
    // Of a line that goes on, the line is told in which it stands.
    let outlined = parse("Guide to X\nFor V\nMeasures 1 to 30\n25  p\n    crescendo until 31\n");
    let found = &outlined.findings[0];
    assert_eq!((found.line, found.columns.clone()), (5, 21..23), "{found}");
    assert_eq!(found.suggestion.as_deref(), Some("30"));
}

#[test]
fn asides_stay_at_their_measure_when_the_guide_is_edited() {
    let text = "\
Guide to X
For Viola
Measures 1 to 30

(slower than it looks)
12  p
25  mmf

(the end)
30  f
";
    let outlined = parse(text);
    let mut guide = outlined.guide.clone();
    // Two measures put in before the first, and a mark taken away.
    for _ in 0..2 {
        guide
            .road_map
            .measures
            .insert(0, cueleaf_guide::Measure::default());
    }
    guide.parts[0].marks.retain(|mark| mark.measure == 11);
    guide.parts[0].marks[0].measure += 2;
    assert_eq!(
        write_with(&guide, &outlined.comments),
        "\
Guide to X
For Viola
Measures 2 unnumbered, 1 to 30

(slower than it looks)
12  p
25  mmf

(the end)
"
    );
}

fn sample() -> Guide {
    let text = "\
Guide to X
For Viola and Cello
Measures 1 to 30
4  Bow, for Viola: Save the bow.
9  Listen: To the cellos.
To do: Sing it.
To do: Play it.
";
    let mut guide = parse(text).guide;
    for (index, tip) in guide.tips.iter_mut().enumerate() {
        tip.id = Id::new(&format!("old-{index}")).unwrap();
        tip.extra.insert("glow".to_owned(), index.into());
    }
    for (index, todo) in guide.todos.iter_mut().enumerate() {
        todo.id = Id::new(&format!("do-{index}")).unwrap();
    }
    guide
}

/// The ids after the text of the sample was changed.
fn ids_after(from: &str, to: &str) -> (Vec<String>, Vec<String>, Guide) {
    let before = sample();
    let text = write(&before);
    assert!(text.contains(from), "{text}");
    let guide = merge(&before, &parse(&text.replace(from, to)));
    let tips = guide.tips.iter().map(|tip| tip.id.to_string());
    let todos = guide.todos.iter().map(|todo| todo.id.to_string());
    (tips.collect(), todos.collect(), guide)
}

#[test]
fn ids_survive_every_kind_of_edit() {
    for (from, to) in [
        ("Save the bow.", "Save much bow."),
        ("4  Bow", "6  Bow"),
        ("4  Bow, for Viola", "4  Sound, for Cello"),
        ("Measures 1 to 30", "Measures 0 to 30"),
        ("For Viola and Cello", "For Cello and Viola"),
        (
            "9  Listen: To the cellos.\n",
            "9 beat 2  Listen: To the basses.\n",
        ),
        ("To do: Play it.", "To do: Play it twice."),
    ] {
        let (tips, todos, guide) = ids_after(from, to);
        assert_eq!(tips, ["old-0", "old-1"], "{to}");
        assert_eq!(todos, ["do-0", "do-1"], "{to}");
        assert_eq!(guide.tips[0].extra["glow"], 0, "{to}");
    }
    let (_, _, renamed) = ids_after("Cello\nM", "Bass\nM");
    assert_eq!(renamed.parts[1].name, "Bass");
    assert_eq!(renamed.parts[1].id, sample().parts[1].id);
    let (tips, ..) = ids_after("9  Listen", "7  Count: Aloud.\n9  Listen");
    assert_eq!(tips[..2], ["old-0", "old-1"]);
    assert_eq!(tips[2].len(), 16);
    let (tips, ..) = ids_after("9  Listen: To the cellos.\n", "20  Count: Aloud.\n");
    assert_ne!(tips[1], "old-1");
}

#[test]
fn photos_and_voice_notes_are_named_and_keep_their_bytes() {
    let mut before = sample();
    let voice = Voice::of_samples(&[9; 112_000]).unwrap();
    before.tips[1].voice = Some(voice);
    before.tips[0].photo = Some(Photo {
        kind: PhotoKind::Png,
        width: 30,
        height: 20,
        alt: "the bow at the frog".to_owned(),
        data: MediaBytes::of_text("AAAA".to_owned()),
        extra: Default::default(),
    });
    before.settings.may_share = true;
    let text = write(&before);
    assert!(
        text.contains("\n    photo: the bow at the frog\n"),
        "{text}"
    );
    assert!(text.contains("\n    voice: 7 s\n"), "{text}");
    let text = text.replace("at the frog", "in the middle");
    let text = text.replace("voice: 7 s", "voice: 7 s, To the cellos, yes");
    let after = merge(&before, &parse(&text));
    let photo = after.tips[0].photo.as_ref().unwrap();
    assert_eq!(photo.alt, "the bow in the middle");
    let own = before.tips[0].photo.as_ref().unwrap();
    assert!(photo.data.is_shared_with(&own.data));
    let voice = after.tips[1].voice.as_ref().unwrap();
    assert_eq!(voice.words, "To the cellos, yes");
    assert!(after.settings.may_share && voice.sound().is_ok());
    // Whoever takes the line away takes the photo away.
    let text = text.replace("    photo: the bow in the middle\n", "");
    assert_eq!(merge(&after, &parse(&text)).tips[0].photo, None);
    // Words alone make no photo: it is there, without bytes, and told.
    let typed = parse("Guide to X\nMeasures 1 to 3\n2  Bow: y\n    photo: a bow\n");
    let codes: Vec<_> = cueleaf_guide::check(&typed.guide)
        .iter()
        .map(|own| own.code)
        .collect();
    assert!(codes.contains(&"photo-refused"), "{codes:?}");
}

#[test]
fn what_is_too_large_changes_nothing() {
    let text = "\n".repeat(cueleaf_outline::MAX_OUTLINE_LINES + 1);
    let outlined = parse(&text);
    assert_eq!(outlined.findings[0].code, "too-large");
    assert_eq!(merge(&sample(), &outlined), sample());
    let many = "nonsense\n".repeat(5_000);
    let outlined = parse(&many);
    assert_eq!(outlined.findings.len(), cueleaf_outline::MAX_FINDINGS + 1);
    assert!(write_with(&outlined.guide, &outlined.comments).ends_with(&many));
    let far = parse("Measures 1 to 18446744073709551615\nMeasures 199999 unnumbered, 1, 2");
    let codes: Vec<&str> = far.findings.iter().map(|found| found.code).collect();
    assert_eq!(codes, ["too-large", "too-large"]);
    let long = parse(&format!("Measures 1 to 3\n1  Bow: {}", "x".repeat(20_001)));
    assert_eq!(long.findings[0].code, "too-large");
    assert!(long.guide.tips.is_empty());
}

/// What README.md shows is understood whole and stands as it is written.
#[test]
fn the_notes_in_the_readme_are_sound() {
    let readme = include_str!("../../../README.md");
    let (_, after) = readme.split_once("```text\nGuide to").unwrap();
    let (notes, _) = after.split_once("```").unwrap();
    let notes = format!("Guide to{notes}");
    let outlined = parse(&notes);
    assert_eq!(outlined.findings, []);
    assert_eq!(write_with(&outlined.guide, &outlined.comments), notes);
}

#[test]
fn a_tempo_comes_back_as_a_decimal_and_stays_exact() {
    let shown = |tempo: &str| {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        let mut measure = cueleaf_guide::Measure::labelled("1");
        let at = cueleaf_time::BeatSpan::ZERO;
        let exact = tempo.parse().unwrap();
        measure
            .tempo
            .push(cueleaf_guide::TempoMark::at_once(at, "", exact));
        guide.road_map.measures.push(measure);
        let text = write(&guide);
        let read = parse(&text);
        assert_eq!(read.guide.road_map.measures[0].tempo[0].tempo, Some(exact));
        text.lines().last().unwrap().to_owned()
    };
    assert_eq!(shown("quarter = 135/2"), "1  quarter = 67.5");
    assert_eq!(shown("quarter = 5217391/100000"), "1  quarter = 52.17391");
    assert_eq!(shown("quarter = 200/3"), "1  quarter = 200/3");
}

#[test]
fn lengths_and_several_notes_are_read_as_they_are_said() {
    let notes = |line: &str| {
        let text = format!("Guide to Rain\nFor Viola\nMeasures 1 to 8\n\n1  4/4\n{line}\n");
        parse(&text)
    };
    for (line, length) in [
        ("3  lasts 5 eighths", "5/2"),
        ("3  lasts 5/2 quarters", "5/2"),
        ("3  pickup of an eighth", "1/2"),
        ("3  lasts 3 16ths", "3/4"),
        ("3  lasts 7/3 quarters", "7/3"),
    ] {
        let read = notes(line);
        assert_eq!(read.findings, [], "{line}");
        let own = read.guide.road_map.measures[2].length;
        assert_eq!(own, length.parse().ok(), "{line}");
    }
    assert!(write(&notes("3  lasts 5/2 quarters").guide).contains("\n3  lasts 5 eighths\n"));
    assert_eq!(notes("3  lasts 5 bananas").findings.len(), 1);
    let rhythm = |own: &str| {
        let read = notes(&format!("3  Count: So.\n    rhythm: {own}"));
        (read.guide.tips[0].rhythm.clone(), read.findings.len())
    };
    let long = "eighth, eighth, eighth, half, half, quarter rest, quarter rest";
    let (read, found) = rhythm("3 eighths, 2 halves, 2 quarter rests");
    assert_eq!((read, found), (rhythm(long).0, 0));
    assert_eq!(
        rhythm("2 dotted quarters").0,
        rhythm("dotted quarter, dotted quarter").0
    );
    assert_eq!(rhythm("99 eighths"), (Vec::new(), 1));
}

#[test]
fn rehearsal_marks_are_places_in_notes_too() {
    let notes = |line: &str| {
        parse(&format!(
            "Guide to Rain\nFor Viola\nMeasures 1 to 20\n\n{line}\n1  4/4\n5  rehearsal mark A\n12  rehearsal mark B\n"
        ))
    };
    for (line, expected) in [
        ("A  Bow: Frog.", "5  Bow: Frog."),
        ("letter b  Bow: Frog.", "12  Bow: Frog."),
        ("4 after A  Bow: Frog.", "9  Bow: Frog."),
        ("2 before B beat 3  Bow: Frog.", "10 beat 3  Bow: Frog."),
        ("A-B  Bow: Frog.", "5-11  Bow: Frog."),
        ("3-A  Bow: Frog.", "3-4  Bow: Frog."),
        ("A  pizz", "5  rehearsal mark A, pizz"),
        ("3  cresc. until B", "3  cresc. until 12"),
    ] {
        let read = notes(line);
        assert_eq!(read.findings, [], "{line}");
        let written = write(&read.guide);
        assert!(written.contains(expected), "{line}: {written}");
    }
    for line in [
        "C  Bow: Frog.",
        "9 after B  Bow: Frog.",
        "A  3/4",
        "A tempo",
    ] {
        let read = notes(line);
        assert_eq!(read.findings.len(), 1, "{line}");
        assert!(read.guide.tips.is_empty());
    }
}

#[test]
fn what_stands_at_several_measures_holds_for_them() {
    let notes = |line: &str| {
        parse(&format!(
            "Guide to Rain\nFor Viola\nMeasures 1 to 12\n\n1  4/4, quarter = 60\n{line}\n"
        ))
    };
    let cut = notes("5-8  cut");
    assert_eq!(cut.findings, []);
    let is_cut: Vec<bool> = cut
        .guide
        .road_map
        .measures
        .iter()
        .map(|own| own.cut)
        .collect();
    assert_eq!(is_cut[3..9], [false, true, true, true, true, false]);
    let ending = notes("5-6  first ending");
    assert_eq!(ending.findings, []);
    let endings = ending.guide.road_map.measures.iter();
    let endings: Vec<&[u16]> = endings.map(|own| own.ending.as_slice()).collect();
    assert_eq!(endings[4..7], [&[1][..], &[1], &[]]);
    // What lasts goes on to the end of the last measure.
    for line in ["3-5  crescendo", "3-5  rest", "3-5  dim."] {
        let read = notes(line);
        assert_eq!(read.findings, [], "{line}");
        let to = read.guide.parts[0].marks[0].to;
        assert_eq!(to, Some(cueleaf_guide::Place::start_of(5)), "{line}");
        assert_eq!(
            parse(&write(&read.guide)).guide.parts,
            read.guide.parts,
            "{line}"
        );
    }
    // What holds until something else is said has no end, and that is told; the rest is taken.
    for line in ["3-5  pizz", "3-5  3/4", "3-5  p", "3-5  mute on"] {
        let read = notes(line);
        let told: Vec<&str> = read.findings.iter().map(|own| own.code).collect();
        assert_eq!(told, ["no-end"], "{line}");
    }
    assert!(notes("3-5  pizz").guide.parts[0].marks.len() == 1);
    // One measure, or a place inside one, is no stretch.
    assert_eq!(notes("3  pizz").findings, []);
}
