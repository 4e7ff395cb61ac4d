//! What holds for every guide and every text, tried on random ones.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::cast_possible_truncation,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::{Guide, Voice, open, save};
use cueleaf_link::{LinkError, MAX_FRAGMENT, from_fragment, to_capitals, to_fragment};
use proptest::prelude::*;
use serde_json::{Map, Value, json};

/// Any text, the strangest included.
fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[a-zA-Z ,.0-9]{0,60}",
        1 => any::<String>(),
        1 => Just("</script><!--\u{2028}\u{202e}\u{0}\u{ffff}".to_owned()),
    ]
}

fn id() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-zA-Z0-9_-]{1,20}",
        any::<u64>().prop_map(|bits| format!("{bits:016x}"))
    ]
}

/// A field no version knows.
fn unknown() -> impl Strategy<Value = Option<(String, Value)>> {
    let value = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        text().prop_map(Value::from),
        (any::<u64>(), text()).prop_map(|(number, text)| json!({"at": [number, {"glow": text}]})),
    ];
    prop::option::weighted(0.3, ("x-[a-zé]{1,8}", value))
}

fn with(mut value: Value, fields: impl IntoIterator<Item = Option<(String, Value)>>) -> Value {
    if let Value::Object(own) = &mut value {
        own.extend(fields.into_iter().flatten());
    }
    value
}

fn maybe(
    name: &'static str,
    values: impl Strategy<Value = Value>,
) -> impl Strategy<Value = Option<(String, Value)>> {
    prop::option::weighted(0.25, values.prop_map(move |value| (name.to_owned(), value)))
}

fn place() -> impl Strategy<Value = Value> {
    (0u32..400, prop::sample::select(vec!["", "1", "3/2", "1/3"])).prop_map(
        |(measure, at)| match at {
            "" => json!({"measure": measure}),
            at => json!({"measure": measure, "at": at}),
        },
    )
}

fn spot() -> impl Strategy<Value = Value> {
    (place(), maybe("to", place())).prop_map(|(from, to)| with(json!({"from": from}), [to]))
}

fn measure() -> impl Strategy<Value = Value> {
    let label = prop_oneof![
        (0u64..300).prop_map(|number| number.to_string()),
        Just("007".to_owned()),
        Just("18446744073709551615".to_owned()),
        text(),
    ];
    let meters = vec!["4/4", "3/4", "7/8", "3+2/8", "2/4+3/8"];
    let tempo = json!([{"at": "1", "words": "rit.", "tempo": "dotted quarter = 40", "until": {"measure": 2}},
        {"at": "2", "back": "to-first"}]);
    (
        maybe("label", label.prop_map(Value::from)),
        maybe("meter", prop::sample::select(meters).prop_map(Value::from)),
        maybe("tempo", Just(tempo)),
        maybe("section", text().prop_map(Value::from)),
        maybe("key", (-7i8..=7).prop_map(Value::from)),
        maybe(
            "ending",
            prop::collection::vec(0u16.., 1..3).prop_map(Value::from),
        ),
        maybe("jump", Just(json!({"to_segno": "", "until": "coda"}))),
        unknown(),
    )
        .prop_map(|(a, b, c, d, e, f, g, h)| with(json!({}), [a, b, c, d, e, f, g, h]))
}

fn tip() -> impl Strategy<Value = Value> {
    let bow = json!({"from": "tip", "way": "up", "amount": "half", "soft": true});
    (
        (id(), spot(), text())
            .prop_map(|(id, spot, text)| json!({"id": id, "spot": spot, "text": text})),
        maybe("cue", text().prop_map(Value::from)),
        maybe(
            "importance",
            prop::sample::select(vec!["start-here", "when-time"]).prop_map(Value::from),
        ),
        maybe("ahead", any::<u8>().prop_map(Value::from)),
        maybe("bow", Just(bow)),
        maybe(
            "parts",
            prop::collection::vec(id(), 1..3).prop_map(Value::from),
        ),
        unknown(),
    )
        .prop_map(|(tip, a, b, c, d, e, f)| with(tip, [a, b, c, d, e, f]))
}

prop_compose! {
    fn any_guide()(
        id in id(), title in text(), word in text(),
        labels in 0u64..60,
        measures in prop::collection::vec(measure(), 0..30),
        tips in prop::collection::vec(tip(), 0..8),
        part in id(), more in unknown(), glow in unknown(),
    ) -> Guide {
        let counted = (0..labels).map(|label| json!({"label": label.to_string()}));
        let measures: Vec<Value> = counted.chain(measures).collect();
        let guide = json!({
            "cueleaf": "1.0", "id": id, "title": title, "word": word,
            "settings": with(json!({"language": "de"}), [glow]),
            "parts": [{"id": part, "name": title, "marks": [{"measure": 3, "kind": "rest", "to": {"measure": 900}}]}],
            "road_map": {"measures": measures}, "tips": tips,
            "todos": [{"id": part, "text": word}],
        });
        open(&with(guide, [more]).to_string()).unwrap()
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(30))]

    #[test]
    fn photos_and_voice_notes_are_left_out(guide in any_guide(), length in 160usize..20_000) {
        let mut heavy = guide.clone();
        for tip in &mut heavy.tips {
            tip.voice = Voice::of_samples(&vec![1; length]);
        }
        prop_assert_eq!(to_fragment(&heavy), to_fragment(&guide));
    }

    #[test]
    fn a_guide_comes_back_to_the_byte(guide in any_guide()) {
        let fragment = to_fragment(&guide).unwrap();
        let back = from_fragment(&fragment).unwrap();
        prop_assert_eq!(save(&back), save(&guide));
        prop_assert_eq!(back, guide.clone());
        let capitals = to_capitals(&fragment).unwrap();
        prop_assert_eq!(from_fragment(&format!("#{capitals}")).unwrap(), guide);
        // RFC 3986, 3.5: what may stand in a fragment without being changed.
        let allowed = |c: char| c.is_ascii_alphanumeric() || "-._~!$&'()*+,;=:@/?".contains(c);
        prop_assert!(fragment.chars().chain(capitals.chars()).all(allowed));
    }

    #[test]
    fn one_changed_letter_is_found(guide in any_guide(), place in any::<prop::sample::Index>(), letter in "[A-Za-z0-9_-]") {
        let fragment = to_fragment(&guide).unwrap();
        let place = place.index(fragment.len());
        let changed = format!("{}{letter}{}", &fragment[..place], &fragment[place + 1..]);
        prop_assume!(changed != fragment);
        let refused = from_fragment(&changed);
        if place == 0 {
            prop_assert!(refused.is_err());
        } else {
            prop_assert_eq!(refused, Err(LinkError::Damaged));
        }
    }

    #[test]
    fn a_link_cut_off_is_found(guide in any_guide(), kept in any::<prop::sample::Index>()) {
        let fragment = to_fragment(&guide).unwrap();
        let kept = kept.index(fragment.len());
        let refused = from_fragment(&fragment[..kept]).unwrap_err();
        prop_assert_eq!(refused, if kept == 0 { LinkError::Empty } else { LinkError::Damaged });
    }
}

/// The bytes of a link whose checksum is right, whatever they hold.
fn sealed(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let mut crc = u32::MAX;
    for byte in bytes {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = crc >> 1 ^ if crc & 1 == 1 { 0xedb8_8320 } else { 0 };
        }
    }
    let bits: String = [bytes, &(!crc).to_be_bytes()]
        .concat()
        .iter()
        .map(|byte| format!("{byte:08b}"))
        .collect();
    let sixes = bits.as_bytes().chunks(6).map(|six| {
        let six = format!("{:0<6}", std::str::from_utf8(six).unwrap());
        char::from(LETTERS[usize::from_str_radix(&six, 2).unwrap()])
    });
    std::iter::once('a').chain(sixes).collect()
}

proptest! {
    #[test]
    fn no_text_is_too_strange(text in any::<String>(), form in "[aA]", letters in "[A-Z0-9$*+./:_a-z-]{0,200}") {
        let _ = from_fragment(&text);
        let strange = form + &letters;
        prop_assert!(from_fragment(&strange).is_err());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(30))]

    /// What a link maker who knows the checksum can send: nothing in it makes a guide by chance,
    /// and whatever it is, there is an answer.
    #[test]
    fn hostile_bytes_with_the_right_checksum_are_refused(
        tongue in 0u8..8, size in 0u32..3000, body in prop::collection::vec(any::<u8>(), 0..400),
    ) {
        let [_, high, middle, low] = size.to_be_bytes();
        let head = [tongue, high, middle, low];
        let refused = from_fragment(&sealed(&[&head[..], &body].concat())).unwrap_err();
        prop_assert!(matches!(refused, LinkError::Damaged | LinkError::Refused(_) | LinkError::Newer));
    }
}

#[test]
fn a_small_link_cannot_make_much_work() {
    // The largest size that three bytes can say is refused before anything is read.
    let bomb = sealed(&[0, 0xff, 0xff, 0xff, 1, 2, 3]);
    assert_eq!(from_fragment(&bomb), Err(LinkError::Damaged));
    let long = format!("a{}", "A".repeat(10 * MAX_FRAGMENT));
    assert!(matches!(from_fragment(&long), Err(LinkError::TooLong(_))));
}

#[test]
fn what_a_link_lacks_is_told_apart() {
    for (text, expected) in [
        ("", LinkError::Empty),
        ("#", LinkError::Empty),
        ("b7", LinkError::Newer),
        ("#Z-", LinkError::Newer),
        ("1", LinkError::NoGuide),
        ("%61", LinkError::NoGuide),
        ("é", LinkError::NoGuide),
        ("a", LinkError::Damaged),
        ("a AAA", LinkError::Damaged),
        ("A:::", LinkError::Damaged),
    ] {
        assert_eq!(from_fragment(text), Err(expected), "{text}");
    }
}

#[test]
fn a_guide_too_large_for_a_link_is_refused_with_numbers() {
    let mut seed = 1u64;
    let mut letters = String::new();
    for _ in 0..19_000 {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        letters.push(char::from(b'!' + (seed >> 40) as u8 % 90));
    }
    let mut guide = open(r#"{"cueleaf":"1.0","id":"a"}"#).unwrap();
    guide.word.clone_from(&letters);
    let refused = to_fragment(&guide).unwrap_err();
    assert!(refused.letters > refused.limit);
    assert!(refused.to_string().contains(&refused.letters.to_string()));
    // So large that nobody squeezes it.
    guide.tips = (0..20)
        .map(|_| {
            let tip = json!({"id": "t", "spot": {"from": {"measure": 0}}, "text": letters});
            serde_json::from_value(Value::from(Map::from_iter(
                tip.as_object().unwrap().clone(),
            )))
            .unwrap()
        })
        .collect();
    assert!(to_fragment(&guide).is_err());
}

/// Links live in mails and on paper: what the first form wrote must open for ever. Whoever
/// makes this test fail has changed the dictionary, the names or the model, and needs a new
/// form with a letter of its own beside the old one.
#[test]
fn a_link_of_the_first_form_still_opens() {
    let guide = open(include_str!("form-a.json")).unwrap();
    let link = include_str!("form-a.txt").trim();
    assert_eq!(to_fragment(&guide).unwrap(), link);
    assert_eq!(from_fragment(link).unwrap(), guide);
}
