//! What holds for every guide and every text, tried on random ones.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::{Guide, Id, MediaBytes, PhotoKind, Severity, open, save};
use cueleaf_outline::{merge, parse, write, write_with};
use proptest::prelude::*;
use serde_json::{Value, json};

/// Any text, the strangest and those that have a meaning in an outline included.
fn text() -> impl Strategy<Value = String> {
    let words = vec![
        "",
        "pizz",
        "a tempo",
        "then quarter = 60",
        "quarter = 60",
        "Lively",
        "cue: x",
        "clue: x",
        "(aside)",
        "25  Bow: x",
        "to",
        "to 13",
        "beat 3",
        "section A",
        "A and B",
        "part 2",
        "rit.",
        "\"",
        "\"a\"",
        "“a”",
        "a missing part",
        "2+3",
        "4/4",
        "x until 3",
        "a\nb",
        "a\n\nb",
        "x\ncue: y",
        "\nx",
        "one, two; three: four",
        "Count",
        "for Viola: x",
        "marked x",
        "with repeats",
        " x ",
        "at noon",
        "\u{202e}\u{0}\u{feff}\u{2028}\r",
        "by and by",
        "12 beat 1",
        "#3",
        "Guide to x",
    ];
    prop_oneof![
        3 => "[a-zA-Z ,.0-9]{0,40}",
        3 => prop::sample::select(words).prop_map(str::to_owned),
        1 => any::<String>(),
    ]
}

fn unknown() -> impl Strategy<Value = Option<(String, Value)>> {
    prop::option::weighted(0.2, ("x-[a-z]{1,6}", any::<i32>().prop_map(Value::from)))
}

fn with(mut value: Value, fields: impl IntoIterator<Item = Option<(String, Value)>>) -> Value {
    value
        .as_object_mut()
        .unwrap()
        .extend(fields.into_iter().flatten());
    value
}

fn maybe(
    name: &'static str,
    values: impl Strategy<Value = Value>,
) -> impl Strategy<Value = Option<(String, Value)>> {
    prop::option::weighted(0.3, values.prop_map(move |value| (name.to_owned(), value)))
}

fn one_of(values: &[&'static str]) -> impl Strategy<Value = Value> + use<> {
    prop::sample::select(values.to_vec()).prop_map(Value::from)
}

fn at() -> impl Strategy<Value = Value> {
    one_of(&["1", "3/2", "1/3", "2", "7", "1/7919", "5/2"])
}

fn place() -> impl Strategy<Value = Value> {
    let measure = prop_oneof![9 => 0u64..20, 1 => Just(u64::MAX)];
    (measure, maybe("at", at())).prop_map(|(own, at)| with(json!({"measure": own}), [at]))
}

fn spot() -> impl Strategy<Value = Value> {
    (place(), maybe("to", place())).prop_map(|(from, to)| with(json!({"from": from}), [to]))
}

fn some_text() -> impl Strategy<Value = Value> {
    text().prop_map(Value::from)
}

fn tempo() -> impl Strategy<Value = Value> {
    (
        maybe("at", at()),
        maybe("words", some_text()),
        maybe(
            "tempo",
            one_of(&["quarter = 60", "dotted half = 133/2", "16th = 400"]),
        ),
        maybe("back", one_of(&["to-first", "to-before"])),
        maybe(
            "same_beat",
            one_of(&["quarter = dotted quarter", "1/3 = eighth"]),
        ),
        maybe("until", place()),
        maybe("shape", one_of(&["runner", "even-in-time"])),
        unknown(),
    )
        .prop_map(|(a, b, c, d, e, f, g, h)| with(json!({}), [a, b, c, d, e, f, g, h]))
}

fn jump() -> impl Strategy<Value = Value> {
    (
        maybe("to_segno", some_text()),
        maybe("until", one_of(&["fine", "coda"])),
        maybe("with_repeats", Just(true.into())),
        unknown(),
    )
        .prop_map(|(a, b, c, d)| with(json!({}), [a, b, c, d]))
}

fn hold() -> impl Strategy<Value = Value> {
    let lead = any::<u8>().prop_map(Value::from);
    (
        maybe("at", at()),
        maybe("longer", at()),
        maybe("lead_in", lead),
        unknown(),
    )
        .prop_map(|(a, b, c, d)| with(json!({}), [a, b, c, d]))
}

fn measure() -> impl Strategy<Value = Value> {
    let label = prop_oneof![
        (0u64..30).prop_map(|own| own.to_string()),
        Just("007".to_owned()),
        Just("12a".to_owned()),
        Just("18446744073709551615".to_owned()),
        text(),
    ];
    let list = |own: BoxedStrategy<Value>| prop::collection::vec(own, 1..3).prop_map(Value::from);
    let number = || any::<u16>().prop_map(Value::from);
    let first = (
        maybe("label", label.prop_map(Value::from)),
        maybe("length", at()),
        maybe("pickup", Just(true.into())),
        maybe(
            "meter",
            one_of(&["4/4", "7/8", "3+2/8", "2/4+3/8", "free", "6/8"]),
        ),
        maybe("groups", one_of(&["2+3", "3", "2+2+3"])),
        maybe(
            "count",
            one_of(&["big", "small", "usual", ""]).prop_map(|own| match own.as_str() {
                Some("") => json!({}),
                Some("big") => json!({"beat": "big", "style": "through"}),
                Some("small") => json!({"beat": "small"}),
                _ => json!({"style": "each-group"}),
            }),
        ),
        maybe("key", (-7i8..=7).prop_map(Value::from)),
        maybe("tempo", list(tempo().boxed())),
        maybe("holds", list(hold().boxed())),
    );
    let second = (
        maybe("movement", some_text()),
        maybe("section", some_text()),
        maybe("mark", some_text()),
        maybe("repeat_from", Just(true.into())),
        maybe("repeat_back", prop_oneof![Just(Value::from(2)), number()]),
        maybe(
            "ending",
            list(prop_oneof![Just(Value::from(1)), number()].boxed()),
        ),
        maybe("segno", some_text()),
    );
    let third = (
        maybe("coda", some_text()),
        maybe("to_coda", some_text()),
        maybe("fine", Just(true.into())),
        maybe("cut", Just(true.into())),
        maybe("jump", jump()),
        unknown(),
    );
    (first, second, third).prop_map(|(a, b, c)| {
        let own = with(json!({}), [a.0, a.1, a.2, a.3, a.4, a.5, a.6, a.7, a.8]);
        let own = with(own, [b.0, b.1, b.2, b.3, b.4, b.5, b.6]);
        with(own, [c.0, c.1, c.2, c.3, c.4, c.5])
    })
}

fn mark() -> impl Strategy<Value = Value> {
    let kinds = [
        "pizz", "arco", "mute-on", "mute-off", "dynamic", "grow", "fade", "down-bow", "up-bow",
        "rest", "words",
    ];
    let texts = prop_oneof![
        one_of(&["pizz.", "p", "cresc.", "dim.", "con sord."]),
        some_text()
    ];
    (
        place(),
        one_of(&kinds),
        maybe("to", place()),
        maybe("text", texts),
        unknown(),
    )
        .prop_map(|(own, kind, to, text, more)| {
            let kind = Some(("kind".to_owned(), kind));
            with(own, [kind, to, text, more])
        })
}

fn part_ids() -> impl Strategy<Value = Value> {
    prop::collection::vec(one_of(&["p0", "p1", "p2", "gone", "lost"]), 1..4).prop_map(Value::from)
}

fn rhythm() -> impl Strategy<Value = Value> {
    let tuplet = prop_oneof![Just((3u8, 2u8)), any::<(u8, u8)>()];
    let tuplet = tuplet.prop_map(|(these, those)| json!([these, those]));
    let own = (
        one_of(&["quarter", "dotted eighth", "double-dotted half", "1024th"]),
        maybe("kind", one_of(&["rest", "tied"])),
        maybe("tuplet", tuplet),
    );
    let own = own.prop_map(|(note, kind, tuplet)| with(json!({"note": note}), [kind, tuplet]));
    prop::collection::vec(own, 1..5).prop_map(Value::from)
}

fn bytes() -> impl Strategy<Value = Option<(String, Value)>> {
    maybe("data", one_of(&["AAAA", "no base64", "/9j/"]))
}

fn photo() -> impl Strategy<Value = Value> {
    let own = (any::<u16>(), maybe("alt", some_text()), bytes(), unknown());
    own.prop_map(|(side, alt, data, more)| {
        let own = json!({"kind": "png", "width": side, "height": 7});
        with(own, [alt, data, more])
    })
}

fn voice() -> impl Strategy<Value = Value> {
    let own = (
        any::<u32>(),
        maybe("words", some_text()),
        bytes(),
        unknown(),
    );
    own.prop_map(|(length, words, data, more)| {
        with(json!({"milliseconds": length}), [words, data, more])
    })
}

fn tip() -> impl Strategy<Value = Value> {
    let topics = [
        "bow",
        "left-hand",
        "pluck",
        "sound",
        "count",
        "listen",
        "get-ready",
        "note",
    ];
    let stroke = (
        one_of(&["frog", "lower-half", "middle", "upper-half", "tip"]),
        one_of(&["up", "down"]),
        one_of(&["little", "quarter", "half", "whole"]),
        unknown(),
    );
    let stroke = stroke.prop_map(|(from, way, amount, more)| {
        with(json!({"from": from, "way": way, "amount": amount}), [more])
    });
    let watch = (any::<u32>(), maybe("address", some_text()))
        .prop_map(|(seconds, address)| with(json!({"seconds": seconds}), [address]));
    let own = (spot(), one_of(&topics), some_text());
    let details = (
        maybe("cue", some_text()),
        maybe("importance", one_of(&["start-here", "when-time"])),
        maybe("ahead", any::<u8>().prop_map(Value::from)),
        maybe("bow", stroke),
        maybe("rhythm", rhythm()),
        maybe("watch", watch),
        maybe("parts", part_ids()),
        (unknown(), maybe("photo", photo()), maybe("voice", voice())),
    );
    (own, details).prop_map(|((spot, topic, text), d)| {
        let own = json!({"spot": spot, "topic": topic, "text": text});
        let (unknown, photo, voice) = d.7;
        with(
            own,
            [d.0, d.1, d.2, d.3, d.4, d.5, d.6, unknown, photo, voice],
        )
    })
}

fn todo() -> impl Strategy<Value = Value> {
    (
        some_text(),
        maybe("spot", spot()),
        maybe("parts", part_ids()),
        unknown(),
    )
        .prop_map(|(text, a, b, c)| with(json!({"text": text}), [a, b, c]))
}

fn settings() -> impl Strategy<Value = Value> {
    (
        maybe("language", one_of(&["de", "es", "fr", "it"])),
        maybe("measure_word", one_of(&["bar"])),
        maybe("count_style", one_of(&["through"])),
        maybe("count_in", any::<u8>().prop_map(Value::from)),
        maybe("address", some_text()),
        maybe("may_share", Just(true.into())),
        unknown(),
    )
        .prop_map(|(a, b, c, d, e, f, g)| with(json!({}), [a, b, c, d, e, f, g]))
}

fn numbered(prefix: &str, values: Vec<Value>) -> Vec<Value> {
    let each = values.into_iter().enumerate();
    each.map(|(index, own)| {
        with(
            own,
            [Some(("id".to_owned(), format!("{prefix}{index}").into()))],
        )
    })
    .collect()
}

prop_compose! {
    fn any_guide()(
        title in text(), composer in text(), word in text(), settings in settings(),
        labels in 0u64..12,
        measures in prop::collection::vec(measure(), 0..8),
        parts in prop::collection::vec((text(), prop::collection::vec(mark(), 0..6), unknown()), 0..4),
        tips in prop::collection::vec(tip(), 0..6),
        todos in prop::collection::vec(todo(), 0..4),
        more in unknown(),
    ) -> Guide {
        let counted = (0..labels).map(|label| json!({"label": label.to_string()}));
        let measures: Vec<Value> = counted.chain(measures).collect();
        let parts = parts.into_iter();
        let parts = parts.map(|(name, marks, more)| with(json!({"name": name, "marks": marks}), [more]));
        let guide = json!({
            "cueleaf": "1.0", "id": "mine", "title": title, "composer": composer, "word": word,
            "settings": settings,
            "parts": numbered("p", parts.collect()),
            "road_map": {"measures": measures},
            "tips": numbered("t", tips), "todos": numbered("d", todos),
        });
        open(&with(guide, [more]).to_string()).unwrap()
    }
}

/// The guide as an outline can say it: made-up ids, no unknown fields, marks and tips in the
/// order of their places.
fn as_said(guide: &Guide) -> Guide {
    let mut own = guide.clone();
    let id = |text: String| Id::new(&text).unwrap();
    let index = |part: &Id| guide.parts.iter().position(|own| own.id == *part);
    let named = |parts: &mut Vec<Id>| {
        for part in parts {
            *part = index(part).map_or_else(
                || id("missing-part".to_owned()),
                |index| id(format!("part-{}", index + 1)),
            );
        }
    };
    own.id = id("outline".to_owned());
    own.extra.clear();
    own.settings.extra.clear();
    own.settings.may_share = false;
    for (index, part) in own.parts.iter_mut().enumerate() {
        part.id = id(format!("part-{}", index + 1));
        part.extra.clear();
        part.marks.iter_mut().for_each(|mark| mark.extra.clear());
        part.marks.sort_by_key(|mark| (mark.measure, mark.at));
    }
    for measure in &mut own.road_map.measures {
        measure.extra.clear();
        measure.tempo.iter_mut().for_each(|mark| mark.extra.clear());
        measure.tempo.sort_by_key(|mark| mark.at);
        measure.holds.iter_mut().for_each(|hold| hold.extra.clear());
        measure.holds.sort_by_key(|hold| hold.at);
        measure.jump.iter_mut().for_each(|jump| jump.extra.clear());
    }
    own.tips.sort_by_key(|tip| tip.spot.from);
    for (index, tip) in own.tips.iter_mut().enumerate() {
        tip.id = id(format!("tip-{}", index + 1));
        tip.extra.clear();
        tip.bow.iter_mut().for_each(|bow| bow.extra.clear());
        tip.photo.iter_mut().for_each(|photo| {
            (photo.kind, photo.width, photo.height) = (PhotoKind::Jpeg, 0, 0);
            photo.data = MediaBytes::default();
            photo.extra.clear();
        });
        tip.voice.iter_mut().for_each(|voice| {
            voice.milliseconds = voice.seconds().saturating_mul(1000);
            voice.data = MediaBytes::default();
            voice.extra.clear();
        });
        named(&mut tip.parts);
    }
    for (index, todo) in own.todos.iter_mut().enumerate() {
        todo.id = id(format!("to-do-{}", index + 1));
        todo.extra.clear();
        named(&mut todo.parts);
    }
    own
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn a_guide_comes_back(guide in any_guide()) {
        let text = write(&guide);
        let outlined = parse(&text);
        prop_assert!(outlined.findings.is_empty(), "{:?}\n{}", outlined.findings, text);
        prop_assert_eq!(&outlined.guide, &as_said(&guide), "{}", text);
        prop_assert_eq!(write_with(&outlined.guide, &outlined.comments), text);
        prop_assert_eq!(save(&merge(&guide, &outlined)), save(&guide));
    }
}

/// A line of an outline, sound or damaged, or no line at all.
fn line() -> impl Strategy<Value = String> {
    let lines = vec![
        "",
        "(aside)",
        "25  pizz",
        "25 pizzz, arco, nonsense",
        "3  Bow: x",
        "    cue: y",
        "    cu: z",
        "    stroke: sideways",
        "    more text",
        "To do: x",
        "To do at 99: y",
        "Measures 1 to 30",
        "For A and B",
        "2  for A: p, q",
        "2  for C: p",
        "4  7/8, 7/9, grouped 2+2+3",
        "nonsense",
        "   4 beat 2  mf",
        "9 beat 9  f",
        "5  section S, Lively, quarter = 60",
        "To the student: hi",
        "    (in text)",
        "\"x y\"  cut",
        "4 beat 2  7/8",
        "5  section T",
        "5  section S",
        "Measures 1 to 30, 7",
        "3  Bow, for B: x",
        "6",
        "7  rit., to quarter = 50 by 99",
        "Guide to me",
        "By me",
        "By you",
    ];
    prop_oneof![
        6 => prop::sample::select(lines).prop_map(str::to_owned),
        1 => any::<String>(),
        1 => "[0-9]{1,2}  [a-z ,:\"=0-9/.-]{0,30}",
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn writing_what_was_read_settles_at_once(lines in prop::collection::vec(line(), 0..14)) {
        let outlined = parse(&lines.join("\n"));
        let first = write_with(&outlined.guide, &outlined.comments);
        let again = parse(&first);
        prop_assert_eq!(&again.guide, &outlined.guide, "{}", first);
        prop_assert_eq!(write_with(&again.guide, &again.comments), first);
    }
}

/// A sound line of every kind.
const SOUND: &[&str] = &[
    "3  section Gutters, 5/8, grouped 2+3, Lively, quarter = 132, pizz",
    "3  rit., to quarter = 50 by 5 like a runner",
    "4  dotted quarter = 60, p, crescendo until 6",
    "5 beat 2  for Viola: con sord., mf, down-bow",
    "5  rest for 3 measures",
    "6  rest until 9",
    "6  D.S. al coda with repeats",
    "7  repeat ends after 3 times, first ending",
    "7  fermata 2 quarters longer with 2 counts to lead on",
    "8  count in small beats, 3 flats, lasts 3/2 quarters",
    "8  rehearsal mark B, a tempo, back to the first tempo",
    "9-12  Left hand, for Viola and Cello: Low second.",
    "3  Get ready: Breathe.",
    "    stroke: up from the tip, a quarter of the bow",
    "    rhythm: quarter, tied dotted quarter, triplet eighth rest",
    "    importance: when there is time",
    "    ahead: 4 beats",
    "    watch: 3:20 at https://example.org/talk",
    "    voice: 7 s, Hear it",
    "    arco, ff",
    "To do at 9-12, for Viola: Clap it.",
    "In German",
    "Count in 2 measures",
    "Say bar",
];

/// A slip of a finger: where, how much, and what comes there.
fn slip() -> impl Strategy<Value = (prop::sample::Index, usize, String)> {
    let typed = prop_oneof![
        3 => Just(String::new()),
        2 => "[a-z]",
        1 => "[0-9]{1,2}",
        1 => prop::sample::select(vec![" ", ",", "=", ":", "-", " to ", " until ", "é"]).prop_map(str::to_owned),
    ];
    (any::<prop::sample::Index>(), 0usize..3, typed)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    /// Whatever is offered is put in its place, and nothing is told of that place any more.
    #[test]
    fn what_is_offered_is_understood(
        lines in prop::collection::vec((prop::sample::select(SOUND.to_vec()), prop::collection::vec(slip(), 0..4)), 1..6)
    ) {
        let mut text = "Guide to X\nFor Viola and Cello\nMeasures 1 to 30\n".to_owned();
        for (line, slips) in lines {
            let mut letters: Vec<char> = line.chars().collect();
            for (at, gone, typed) in slips {
                let at = at.index(letters.len() + 1);
                let end = (at + gone).min(letters.len());
                letters.splice(at..end, typed.chars());
            }
            text.extend(letters);
            text.push('\n');
        }
        for found in parse(&text).findings {
            let Some(offer) = found.suggestion.filter(|_| found.severity != Severity::Note) else {
                continue;
            };
            let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
            let line: Vec<char> = lines[found.line - 1].chars().collect();
            let (start, end) = (found.columns.start - 1, found.columns.end - 1);
            let left = line.iter().take(start);
            let right = line.iter().skip(end);
            lines[found.line - 1] = left.copied().chain(offer.chars()).chain(right.copied()).collect();
            let now = start + 1..start + 1 + offer.chars().count();
            // A second meter at one measure is understood, too; only the last of them counts.
            let left = parse(&lines.join("\n")).findings.into_iter().find(|own| {
                own.line == found.line
                    && !["said-twice", "too-large"].contains(&own.code)
                    && own.columns.start < now.end
                    && now.start < own.columns.end
            });
            prop_assert!(left.is_none(), "{}\n{:?}\n{:?}", lines[found.line - 1], offer, left);
        }
    }
}
