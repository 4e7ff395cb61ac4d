//! A guide from its saved form, without what a player has no use for.
//!
//! The page carries a guide that our own export wrote, so this reads what it
//! knows and takes the rest for absent; the full reader with its messages is
//! [`cueleaf_guide`]'s. Every field is named here once more: a test holds the two
//! against each other.

use crate::json::Value;
use core::str::FromStr;
use cueleaf_guide::{
    CountHere, CountStyle, Guide, Hold, Id, Importance, Jump, JumpUntil, Language, Mark, MarkKind,
    Measure, MeasureWord, Part, Place, Return, RoadMap, Settings, Spot, TempoMark, Tip, Todo,
    Topic,
};
use cueleaf_time::{BeatChoice, BeatSpan, Key, Shape};

/// Reads a guide; `None` where the text holds none.
#[must_use]
pub fn guide(text: &str) -> Option<Guide> {
    let value = Value::read(text)?;
    Some(Guide {
        id: value.parsed_id("id")?,
        title: value.text("title"),
        composer: value.text("composer"),
        word: value.text("word"),
        settings: settings(value.get("settings")),
        parts: value.each("parts", part),
        road_map: RoadMap {
            measures: value
                .get("road_map")
                .each("measures", |own| Some(measure(own))),
            extra: Default::default(),
        },
        tips: value.each("tips", tip),
        todos: value.each("todos", todo),
        extra: Default::default(),
    })
}

/// Reads a list of texts.
#[must_use]
pub fn texts(text: &str) -> Option<Vec<String>> {
    let Value::List(values) = Value::read(text)? else {
        return None;
    };
    Some(
        values
            .iter()
            .map(|value| value.as_text().to_owned())
            .collect(),
    )
}

impl Value {
    fn get(&self, name: &str) -> &Self {
        let found = match self {
            Self::Object(fields) => fields.iter().find(|(own, _)| own == name),
            _ => None,
        };
        found.map_or(&Self::Null, |(_, value)| value)
    }

    fn as_text(&self) -> &str {
        match self {
            Self::Text(text) => text,
            _ => "",
        }
    }

    fn text(&self, name: &str) -> String {
        self.get(name).as_text().to_owned()
    }

    fn maybe_text(&self, name: &str) -> Option<String> {
        match self.get(name) {
            Self::Text(text) => Some(text.clone()),
            _ => None,
        }
    }

    fn is(&self, name: &str) -> bool {
        *self.get(name) == Self::Bool(true)
    }

    fn as_number(&self) -> Option<i64> {
        match self {
            Self::Number(number) => Some(*number),
            _ => None,
        }
    }

    fn number<T: TryFrom<i64>>(&self, name: &str) -> Option<T> {
        self.get(name).as_number()?.try_into().ok()
    }

    fn list(&self, name: &str) -> &[Self] {
        match self.get(name) {
            Self::List(values) => values,
            _ => &[],
        }
    }

    /// Reads each value of a list. A plain loop: twelve iterator chains would weigh
    /// a kilobyte more.
    fn each<T>(&self, name: &str, read: fn(&Self) -> Option<T>) -> Vec<T> {
        let mut all = Vec::new();
        for value in self.list(name) {
            if let Some(own) = read(value) {
                all.push(own);
            }
        }
        all
    }

    fn parsed<T: FromStr>(&self, name: &str) -> Option<T> {
        self.get(name).as_text().parse().ok()
    }

    fn parsed_id(&self, name: &str) -> Option<Id> {
        Id::new(self.get(name).as_text())
    }

    fn span(&self, name: &str) -> BeatSpan {
        self.parsed(name).unwrap_or(BeatSpan::ZERO)
    }

    fn ids(&self, name: &str) -> Vec<Id> {
        self.each(name, |own| Id::new(own.as_text()))
    }
}

fn settings(value: &Value) -> Settings {
    Settings {
        language: Language::find(value.get("language").as_text()).unwrap_or_default(),
        measure_word: match value.get("measure_word").as_text() {
            "bar" => MeasureWord::Bar,
            _ => MeasureWord::Measure,
        },
        count_style: count_style(value.get("count_style")).unwrap_or_default(),
        count_in: value.number("count_in").unwrap_or(1),
        // Shown in the text alone.
        address: String::new(),
        may_share: false,
        extra: Default::default(),
    }
}

fn count_style(value: &Value) -> Option<CountStyle> {
    match value.as_text() {
        "through" => Some(CountStyle::Through),
        "each-group" => Some(CountStyle::EachGroup),
        _ => None,
    }
}

fn place(value: &Value) -> Option<Place> {
    Some(Place {
        measure: value.number("measure")?,
        at: value.span("at"),
    })
}

fn spot(value: &Value) -> Option<Spot> {
    Some(Spot {
        from: place(value.get("from"))?,
        to: place(value.get("to")),
    })
}

fn part(value: &Value) -> Option<Part> {
    Some(Part {
        id: value.parsed_id("id")?,
        name: value.text("name"),
        marks: value.each("marks", mark),
        extra: Default::default(),
    })
}

fn mark(value: &Value) -> Option<Mark> {
    Some(Mark {
        measure: value.number("measure")?,
        at: value.span("at"),
        kind: match value.get("kind").as_text() {
            "pizz" => MarkKind::Pizz,
            "arco" => MarkKind::Arco,
            "mute-on" => MarkKind::MuteOn,
            "mute-off" => MarkKind::MuteOff,
            "dynamic" => MarkKind::Dynamic,
            "grow" => MarkKind::Grow,
            "fade" => MarkKind::Fade,
            "down-bow" => MarkKind::DownBow,
            "up-bow" => MarkKind::UpBow,
            "rest" => MarkKind::Rest,
            "words" => MarkKind::Words,
            _ => return None,
        },
        to: place(value.get("to")),
        text: value.text("text"),
        extra: Default::default(),
    })
}

fn tip(value: &Value) -> Option<Tip> {
    let topic = value.get("topic").as_text();
    Some(Tip {
        id: value.parsed_id("id")?,
        spot: spot(value.get("spot"))?,
        topic: Topic::ALL
            .into_iter()
            .find(|own| own.code() == topic)
            .unwrap_or_default(),
        text: value.text("text"),
        importance: Importance::find(&value.text("importance")).unwrap_or_default(),
        cue: value.text("cue"),
        parts: value.ids("parts"),
        ahead: value.number("ahead"),
        // Shown in the text alone, which is written before any script runs.
        bow: None,
        rhythm: Vec::new(),
        watch: None,
        photo: None,
        voice: None,
        extra: Default::default(),
    })
}

fn todo(value: &Value) -> Option<Todo> {
    Some(Todo {
        id: value.parsed_id("id")?,
        text: value.text("text"),
        spot: spot(value.get("spot")),
        parts: value.ids("parts"),
        extra: Default::default(),
    })
}

fn measure(value: &Value) -> Measure {
    let count = value.get("count");
    let fifths = value.number("key").map(Key::from_fifths);
    Measure {
        label: value.text("label"),
        length: value.parsed("length"),
        pickup: value.is("pickup"),
        meter: value.parsed("meter"),
        groups: value.parsed("groups"),
        count: matches!(count, Value::Object(_)).then(|| CountHere {
            beat: match count.get("beat").as_text() {
                "usual" => Some(BeatChoice::Usual),
                "big" => Some(BeatChoice::Big),
                "small" => Some(BeatChoice::Small),
                _ => None,
            },
            style: count_style(count.get("style")),
        }),
        key: fifths.and_then(Result::ok),
        tempo: value.each("tempo", |own| Some(tempo_mark(own))),
        movement: value.maybe_text("movement"),
        section: value.maybe_text("section"),
        mark: value.maybe_text("mark"),
        repeat_from: value.is("repeat_from"),
        repeat_back: value.number("repeat_back"),
        ending: value.each("ending", |own| own.as_number()?.try_into().ok()),
        segno: value.maybe_text("segno"),
        coda: value.maybe_text("coda"),
        to_coda: value.maybe_text("to_coda"),
        fine: value.is("fine"),
        jump: jump(value.get("jump")),
        cut: value.is("cut"),
        holds: value.each("holds", |own| Some(hold(own))),
        extra: Default::default(),
    }
}

fn tempo_mark(value: &Value) -> TempoMark {
    TempoMark {
        at: value.span("at"),
        words: value.text("words"),
        tempo: value.parsed("tempo"),
        back: match value.get("back").as_text() {
            "to-before" => Some(Return::ToBefore),
            "to-first" => Some(Return::ToFirst),
            _ => None,
        },
        same_beat: value.parsed("same_beat"),
        until: place(value.get("until")),
        shape: match value.get("shape").as_text() {
            "even-in-beats" => Shape::EvenInBeats,
            "even-in-time" => Shape::EvenInTime,
            "runner" => Shape::Runner,
            _ => Shape::default(),
        },
        extra: Default::default(),
    }
}

fn jump(value: &Value) -> Option<Jump> {
    matches!(value, Value::Object(_)).then(|| Jump {
        to_segno: value.maybe_text("to_segno"),
        until: match value.get("until").as_text() {
            "fine" => JumpUntil::Fine,
            "coda" => JumpUntil::Coda,
            _ => JumpUntil::End,
        },
        with_repeats: value.is("with_repeats"),
        extra: Default::default(),
    })
}

fn hold(value: &Value) -> Hold {
    Hold {
        at: value.span("at"),
        longer: value.parsed("longer"),
        lead_in: value.number("lead_in").unwrap_or(1),
        extra: Default::default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{open, save};

    /// Every field, each unlike its default.
    const FULL: &str = r#"{"cueleaf":"1.0","id":"g1","title":"T<\u2028>","composer":"C","word":"W\nV",
        "settings":{"language":"LANG","measure_word":"bar","count_style":"through","count_in":2},
        "parts":[{"id":"va","name":"Viola","marks":[{"measure":0,"at":"3/2","kind":"KIND","to":{"measure":2,"at":"1"},"text":"mf"}]}],
        "road_map":{"measures":[
          {"label":"0","length":"1","pickup":true,"meter":"3/4","key":-2,"movement":"I","section":"A","mark":"R","repeat_from":true,
           "tempo":[{"words":"Calm","tempo":"dotted quarter = 60"},{"at":"1/2","same_beat":"quarter = dotted quarter"}]},
          {"label":"1","meter":"2/4+3/8","groups":"4+3","count":{"beat":"BEAT","style":"each-group"},"key":3,
           "tempo":[{"at":"1","words":"rit.","tempo":"quarter = 40","until":{"measure":1,"at":"2"},"shape":"SHAPE"},{"at":"2","back":"BACK"}],
           "repeat_back":3,"ending":[1,2],"segno":"","coda":"x","to_coda":"y","fine":true,
           "jump":{"to_segno":"s","until":"UNTIL","with_repeats":true},"cut":true,
           "holds":[{"at":"2","longer":"1","lead_in":3},{"at":"1"}]},
          {}]},
        "tips":[{"id":"t","spot":{"from":{"measure":0,"at":"1/3"},"to":{"measure":1,"at":"1"}},"topic":"TOPIC","text":"x","importance":"IMPORTANCE","cue":"y","parts":["va"],"ahead":3}],
        "todos":[{"id":"d","text":"z","spot":{"from":{"measure":1}},"parts":["va"]}]}"#;

    #[test]
    fn the_lean_reader_reads_what_the_full_one_reads() {
        let choices: [(&str, &[&str]); 9] = [
            ("IMPORTANCE", &["start-here", "usual", "when-time"]),
            ("LANG", &["en", "de", "es", "fr", "it"]),
            (
                "KIND",
                &[
                    "pizz", "arco", "mute-on", "mute-off", "dynamic", "grow", "fade", "down-bow",
                    "up-bow", "rest", "words",
                ],
            ),
            ("BEAT", &["usual", "big", "small"]),
            ("SHAPE", &["even-in-beats", "even-in-time", "runner"]),
            ("BACK", &["to-before", "to-first"]),
            ("UNTIL", &["end", "fine", "coda"]),
            (
                "TOPIC",
                &[
                    "bow",
                    "left-hand",
                    "pluck",
                    "sound",
                    "count",
                    "listen",
                    "get-ready",
                    "note",
                ],
            ),
            ("NOTHING", &[""]),
        ];
        let first = choices
            .iter()
            .fold(FULL.to_owned(), |text, (name, values)| {
                text.replace(name, values[0])
            });
        assert!(open(&first).is_ok());
        for (name, values) in choices {
            for value in values {
                let text = FULL.replace(name, value);
                let text = choices
                    .iter()
                    .fold(text, |text, (name, values)| text.replace(name, values[0]));
                let full = open(&text).unwrap();
                assert_eq!(guide(&text).as_ref(), Some(&full), "{name} {value}");
                // What is saved leaves out what is as usual.
                assert_eq!(guide(&save(&full)), Some(full));
            }
        }
    }

    #[test]
    fn no_guide_is_no_guide() {
        for text in ["", "[]", "{}", r#"{"id":"no spaces"}"#, r#"{"id":7}"#] {
            assert_eq!(guide(text), None, "{text}");
        }
        let odd = r#"{"id":"g","tips":[{"id":"t"},7],"road_map":{"measures":[{"key":99,"meter":"4/5","count":1}]}}"#;
        let odd = guide(odd).unwrap();
        assert!(odd.tips.is_empty());
        assert_eq!(odd.road_map.measures, [Measure::default()]);
        assert_eq!(
            texts(r#"["a",1]"#),
            Some(vec!["a".to_owned(), String::new()])
        );
        assert_eq!(texts("{}"), None);
    }
}
