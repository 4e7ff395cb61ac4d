//! The JSON Schema names exactly the fields and words of the saved form.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::time::{BeatChoice, Key, Shape};
use cueleaf_guide::{
    BowAmount, BowPart, BowWay, CountHere, CountStyle, Extra, Guide, Hold, Id, Importance, Jump,
    JumpUntil, Language, Mark, MarkKind, Measure, MeasureWord, MediaBytes, Part, Photo, PhotoKind,
    Place, Return, RhythmKind, RhythmLength, RoadMap, Settings, Spot, Stroke, TempoMark, Tip, Todo,
    Topic, Voice, Watch, save_value,
};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::collections::BTreeSet;

fn schema() -> Value {
    serde_json::from_str(include_str!("../guide.schema.json")).unwrap()
}

fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

fn extra() -> Extra {
    Extra::default()
}

fn text(text: &str) -> String {
    text.to_owned()
}

fn place() -> Place {
    Place {
        measure: 1,
        at: "1/2".parse().unwrap(),
    }
}

fn spot() -> Spot {
    Spot {
        from: place(),
        to: Some(place()),
    }
}

/// A guide in which no field is absent. Every struct is written out, so that a new field
/// does not compile until it stands here.
fn full() -> Guide {
    Guide {
        id: id("g"),
        title: text("T"),
        composer: text("C"),
        word: text("W"),
        settings: Settings {
            language: Language::German,
            measure_word: MeasureWord::Bar,
            count_style: CountStyle::Through,
            count_in: 2,
            address: text("https://a.example/play.html"),
            may_share: true,
            extra: extra(),
        },
        parts: vec![part()],
        road_map: RoadMap {
            measures: vec![measure()],
            extra: extra(),
        },
        tips: vec![tip()],
        todos: vec![Todo {
            id: id("d"),
            text: text("x"),
            spot: Some(spot()),
            parts: vec![id("va")],
            extra: extra(),
        }],
        extra: extra(),
    }
}

fn part() -> Part {
    Part {
        id: id("va"),
        name: text("Viola"),
        marks: vec![Mark {
            measure: 1,
            at: "3/2".parse().unwrap(),
            kind: MarkKind::Grow,
            to: Some(place()),
            text: text("cresc."),
            extra: extra(),
        }],
        extra: extra(),
    }
}

fn measure() -> Measure {
    Measure {
        label: text("12a"),
        length: "1".parse().ok(),
        pickup: true,
        meter: "3+2/8".parse().ok(),
        groups: "3+2".parse().ok(),
        count: Some(CountHere {
            beat: Some(BeatChoice::Big),
            style: Some(CountStyle::EachGroup),
        }),
        key: Some(Key::from_fifths(-2).unwrap()),
        tempo: vec![TempoMark {
            at: "1/3".parse().unwrap(),
            words: text("rit."),
            tempo: "double-dotted quarter = 66.5".parse().ok(),
            back: Some(Return::ToBefore),
            same_beat: "quarter = dotted quarter".parse().ok(),
            until: Some(place()),
            shape: Shape::Runner,
            extra: extra(),
        }],
        movement: Some(text("I")),
        section: Some(text("A")),
        mark: Some(text("B")),
        repeat_from: true,
        repeat_back: Some(2),
        ending: vec![1, 2],
        segno: Some(text("")),
        coda: Some(text("")),
        to_coda: Some(text("")),
        fine: true,
        jump: Some(Jump {
            to_segno: Some(text("")),
            until: JumpUntil::Coda,
            with_repeats: true,
            extra: extra(),
        }),
        cut: true,
        holds: vec![Hold {
            at: "2".parse().unwrap(),
            longer: "1".parse().ok(),
            lead_in: 2,
            extra: extra(),
        }],
        extra: extra(),
    }
}

fn tip() -> Tip {
    Tip {
        id: id("t"),
        spot: spot(),
        topic: Topic::Bow,
        text: text("x"),
        importance: Importance::StartHere,
        cue: text("y"),
        parts: vec![id("va")],
        ahead: Some(3),
        bow: Some(Stroke {
            from: BowPart::Frog,
            way: BowWay::Down,
            amount: BowAmount::Whole,
            extra: extra(),
        }),
        rhythm: vec![RhythmLength {
            note: "dotted quarter".parse().unwrap(),
            kind: RhythmKind::Tied,
            tuplet: Some((3, 2)),
            extra: extra(),
        }],
        watch: Some(Watch {
            address: text("https://a.example/talk"),
            seconds: 200,
            extra: extra(),
        }),
        photo: Some(Photo {
            kind: PhotoKind::Jpeg,
            width: 3,
            height: 2,
            alt: text("a bow"),
            data: MediaBytes::of_text(text("AA==")),
            extra: extra(),
        }),
        voice: Some(Voice {
            milliseconds: 1,
            words: text("Listen"),
            data: MediaBytes::of_text(text("AA==")),
            extra: extra(),
        }),
        extra: extra(),
    }
}

/// Goes to what a schema points at.
fn resolved<'a>(root: &'a Value, schema: &'a Value) -> &'a Value {
    match schema["$ref"].as_str() {
        Some(name) => resolved(root, root.pointer(name.trim_start_matches('#')).unwrap()),
        None => schema,
    }
}

/// Walks a value and its schema together; gathers the fields that are met, as
/// "definition.field" or "definition" for the whole, and fails at one without a name.
fn walk(root: &Value, name: &str, schema: &Value, value: &Value, met: &mut BTreeSet<String>) {
    let name = match schema["$ref"].as_str() {
        Some(own) => own.trim_start_matches("#/$defs/"),
        None => name,
    };
    let schema = resolved(root, schema);
    match value {
        Value::Object(fields) => {
            for (field, value) in fields {
                let own = format!("{name}.{field}");
                let property = &schema["properties"][field];
                assert!(property.is_object(), "the schema does not name {own}");
                walk(root, &own, property, value, met);
                met.insert(own);
            }
        }
        Value::Array(values) => {
            for value in values {
                if schema["items"].is_object() {
                    walk(root, name, &schema["items"], value, met);
                }
            }
        }
        _ => {}
    }
    let kind = match value {
        Value::Object(_) => "object",
        Value::Array(_) => "array",
        Value::String(_) => "string",
        Value::Bool(_) => "boolean",
        Value::Number(_) => "integer",
        Value::Null => panic!("{name} is null"),
    };
    assert_eq!(schema["type"], kind, "{name}");
}

#[test]
fn the_schema_names_every_field_and_no_other() {
    let schema = schema();
    let mut met = BTreeSet::new();
    walk(&schema, "", &schema, &save_value(&full()), &mut met);
    let mut named = BTreeSet::new();
    let mut gather = |name: &str, own: &Value| {
        let fields = own["properties"].as_object().into_iter().flatten();
        named.extend(fields.map(|(field, _)| format!("{name}.{field}")));
    };
    gather("", &schema);
    for (name, own) in schema["$defs"].as_object().unwrap() {
        gather(name, own);
    }
    assert_eq!(met, named);
    assert!(met.len() > 70);
}

#[test]
fn a_field_without_a_name_is_noticed() {
    let schema = schema();
    let mut saved = save_value(&full());
    saved["tips"][0]["bow"]["glow"] = json!(1);
    let noticed = std::panic::catch_unwind(|| {
        walk(&schema, "", &schema, &saved, &mut BTreeSet::new());
    });
    let message = *noticed.unwrap_err().downcast::<String>().unwrap();
    assert_eq!(message, "the schema does not name stroke.glow");
}

/// Gives the words that a reader knows in the place of one it does not.
fn known<T: DeserializeOwned>(mut value: Value, pointer: &str) -> BTreeSet<String> {
    *value.pointer_mut(pointer).unwrap() = json!("no such word");
    let error = serde_json::from_value::<T>(value)
        .err()
        .unwrap()
        .to_string();
    let (_, words) = error.split_once("expected ").unwrap();
    let words = words.split('`').skip(1).step_by(2);
    words.map(str::to_owned).collect()
}

#[test]
fn the_schema_lists_every_word() {
    let schema = schema();
    let settings = || serde_json::to_value(full().settings).unwrap();
    let tempo = || serde_json::to_value(&measure().tempo[0]).unwrap();
    let rhythm = || serde_json::to_value(&tip().rhythm[0]).unwrap();
    let stroke = || serde_json::to_value(tip().bow).unwrap();
    let mark = || serde_json::to_value(&part().marks[0]).unwrap();
    let count = || serde_json::to_value(measure().count).unwrap();
    let jump = || serde_json::to_value(measure().jump).unwrap();
    let mut listed = 0;
    for (at, words) in [
        (
            "settings/properties/language",
            known::<Settings>(settings(), "/language"),
        ),
        (
            "settings/properties/measure_word",
            known::<Settings>(settings(), "/measure_word"),
        ),
        ("count_style", known::<Settings>(settings(), "/count_style")),
        ("mark/properties/kind", known::<Mark>(mark(), "/kind")),
        (
            "count/properties/beat",
            known::<CountHere>(count(), "/beat"),
        ),
        (
            "tempo_mark/properties/back",
            known::<TempoMark>(tempo(), "/back"),
        ),
        (
            "tempo_mark/properties/shape",
            known::<TempoMark>(tempo(), "/shape"),
        ),
        ("jump/properties/until", known::<Jump>(jump(), "/until")),
        (
            "tip/properties/topic",
            known::<Tip>(serde_json::to_value(tip()).unwrap(), "/topic"),
        ),
        (
            "tip/properties/importance",
            known::<Tip>(serde_json::to_value(tip()).unwrap(), "/importance"),
        ),
        ("stroke/properties/from", known::<Stroke>(stroke(), "/from")),
        ("stroke/properties/way", known::<Stroke>(stroke(), "/way")),
        (
            "stroke/properties/amount",
            known::<Stroke>(stroke(), "/amount"),
        ),
        (
            "photo/properties/kind",
            known::<Photo>(serde_json::to_value(tip().photo).unwrap(), "/kind"),
        ),
        (
            "rhythm_length/properties/kind",
            known::<RhythmLength>(rhythm(), "/kind"),
        ),
    ] {
        let own = schema.pointer(&format!("/$defs/{at}/enum")).unwrap();
        let own = own.as_array().unwrap().iter();
        let own: BTreeSet<String> = own.map(|word| word.as_str().unwrap().to_owned()).collect();
        assert_eq!(own, words, "{at}");
        listed += 1;
    }
    // No list of words is left out here.
    let text = include_str!("../guide.schema.json");
    assert_eq!(text.matches("\"enum\"").count(), listed);
}
