//! Guides with everything that a guide can hold, drawn by number.

use cueleaf_guide::{Guide, Topic, open_value};
use serde_json::{Map, Value, json};

/// Draws numbers, the same on every machine.
///
/// # Source
/// G. Steele, D. Lea, C. Flood: Fast splittable pseudorandom number generators (2014), the
/// generator called SplitMix (constants from memory).
struct Draw(u64);

impl Draw {
    const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// Draws a number below another.
    const fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }

    /// Says yes so many times in a hundred.
    const fn often(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }

    fn one_of<'a>(&mut self, choices: &[&'a str]) -> &'a str {
        let count = u64::try_from(choices.len()).unwrap_or(1).max(1);
        let index = usize::try_from(self.below(count)).unwrap_or_default();
        choices.get(index).copied().unwrap_or_default()
    }
}

const WORDS: [&str; 16] = [
    "Keep the bow in the lower half",
    "pizz.",
    "Zähle laut: 1 2 | 1 2 3",
    "<b>& \"quoted\" 'text'",
    "two\nlines\n\nand more",
    "",
    " ",
    "a\u{0}b\u{1b}\u{7f}\u{2028}c\u{feff}",
    "音楽 𝄞 שלום e\u{301}",
    "Écoute le cor, puis entre",
    "until 12: quarter = 60",
    "(an aside)",
    "-->",
    "a,b;c:d",
    "Pizzicatopizzicatopizzicatopizzicatopizzicato",
    "Senza sordino, then arco at the frog, and listen to the second violins who have the tune",
];
const METERS: [&str; 11] = [
    "4/4", "3/4", "2/2", "6/8", "5/8", "7/8", "3+2/8", "9/8", "5/4", "2/4+3/8", "free",
];
const GROUPS: [&str; 7] = ["2+3", "3+2", "2+2+3", "3", "4+4", "1+1+1", "2+2"];
const AT: [&str; 8] = ["1", "1/2", "3/2", "1/3", "2", "5/3", "1/7", "3"];
const TEMPI: [&str; 9] = [
    "quarter = 60",
    "quarter = 133/2",
    "dotted quarter = 44",
    "eighth = 180",
    "half = 52.5",
    "quarter = 97",
    "16th = 301",
    "dotted half = 40",
    "quarter = 144",
];
const NOTES: [&str; 6] = [
    "quarter",
    "eighth",
    "dotted quarter",
    "half",
    "16th",
    "double-dotted eighth",
];

/// Where a guide opens on the web.
pub(crate) const ADDRESS: &str = "https://music.school.example/play.html";

/// A photo of two grey dots (PNG), and a millisecond of a voice (WAV, 16 kHz), in base64.
const PHOTO: &str =
    "iVBORw0KGgoAAAANSUhEUgAAAAIAAAABCAAAAADRSSBWAAAAC0lEQVR4nGNwaAAAAQMAwdQh4PoAAAAASUVORK5CYII=";
const VOICE: &str = "UklGRkQAAABXQVZFZm10IBAAAAABAAEAgD4AAAB9AAACABAAZGF0YSAAAAAY/P3/4gP3/9wD8f/WA+v/0APl/8oD3//EA9n/vgPT/w==";

/// Makes the guide of a number; the same one on every machine.
///
/// It need not make sense: places may lie outside, repeats and endings stand anywhere.
#[must_use]
pub fn random_guide(number: u32) -> Guide {
    let mut draw = Draw(u64::from(number));
    // What is drawn has the saved form and lies within its limits, which a test confirms.
    open_value(guide(&mut draw, number))
        .unwrap_or_else(|_| Guide::new(cueleaf_guide::Id::from_random(0), ""))
}

/// Adds a field so many times in a hundred.
fn may(
    draw: &mut Draw,
    fields: &mut Map<String, Value>,
    (name, percent): (&str, u64),
    value: impl FnOnce(&mut Draw) -> Value,
) {
    if draw.often(percent) {
        let value = value(draw);
        fields.insert(name.to_owned(), value);
    }
}

fn word(draw: &mut Draw) -> Value {
    draw.one_of(&WORDS).into()
}

fn at(draw: &mut Draw) -> Value {
    draw.one_of(&AT).into()
}

fn guide(draw: &mut Draw, number: u32) -> Value {
    let measures = 1 + draw.below(20);
    let parts = draw.below(4);
    let part = |index: u64| format!("p{index}");
    let some_parts = |draw: &mut Draw| {
        let chosen: Vec<String> = (0..parts).filter(|_| draw.often(40)).map(part).collect();
        json!(chosen)
    };
    let road: Vec<Value> = (0..measures)
        .map(|index| measure(draw, index, measures))
        .collect();
    let all_parts: Vec<Value> = (0..parts)
        .map(|index| {
            let count = draw.below(6);
            let marks: Vec<Value> = (0..count).map(|_| mark(draw, measures)).collect();
            json!({"id": part(index), "name": word(draw), "marks": marks})
        })
        .collect();
    let count = draw.below(8);
    let tips: Vec<Value> = (0..count)
        .map(|index| {
            let mut tip = tip(draw, index, measures);
            may(draw, &mut tip, ("parts", 40), some_parts);
            Value::Object(tip)
        })
        .collect();
    let count = draw.below(4);
    let todos: Vec<Value> = (0..count)
        .map(|index| {
            let mut todo = Map::new();
            todo.insert("id".to_owned(), format!("d{index}").into());
            todo.insert("text".to_owned(), word(draw));
            may(draw, &mut todo, ("spot", 50), |draw| spot(draw, measures));
            may(draw, &mut todo, ("parts", 40), some_parts);
            Value::Object(todo)
        })
        .collect();
    json!({
        "cueleaf": "1.0",
        "id": format!("guide-{number}"),
        "title": word(draw), "composer": word(draw), "word": word(draw),
        "settings": {
            "language": draw.one_of(&["en", "de", "es", "fr", "it"]),
            "measure_word": draw.one_of(&["measure", "bar"]),
            "count_style": draw.one_of(&["each-group", "through"]),
            "count_in": draw.below(5),
            "may_share": draw.often(70),
            // Seldom: every page then makes a link, which takes longest of all.
            "address": if draw.often(10) { ADDRESS } else { draw.one_of(&["", "nowhere"]) },
        },
        "parts": all_parts, "road_map": {"measures": road}, "tips": tips, "todos": todos,
        "x-later": draw.below(1_000),
    })
}

fn place(draw: &mut Draw, measures: u64) -> Value {
    let mut place = Map::new();
    // One in twenty lies behind the end.
    let measure = draw.below(measures + measures / 20 + 1);
    place.insert("measure".to_owned(), measure.into());
    may(draw, &mut place, ("at", 40), at);
    Value::Object(place)
}

fn spot(draw: &mut Draw, measures: u64) -> Value {
    let mut spot = Map::new();
    spot.insert("from".to_owned(), place(draw, measures));
    may(draw, &mut spot, ("to", 50), |draw| place(draw, measures));
    Value::Object(spot)
}

fn measure(draw: &mut Draw, index: u64, measures: u64) -> Value {
    let mut own = Map::new();
    let label = match draw.below(20) {
        0 => String::new(),
        1 => format!("{index}a"),
        _ => (index + 1).to_string(),
    };
    own.insert("label".to_owned(), label.into());
    let always = if index == 0 { 100 } else { 20 };
    may(draw, &mut own, ("meter", always), |draw| {
        draw.one_of(&METERS).into()
    });
    may(draw, &mut own, ("tempo", always), |draw| {
        let count = 1 + draw.below(2);
        (0..count).map(|_| tempo(draw, measures)).collect()
    });
    may(draw, &mut own, ("groups", 15), |draw| {
        draw.one_of(&GROUPS).into()
    });
    may(draw, &mut own, ("length", 8), at);
    may(draw, &mut own, ("pickup", 5), |_| true.into());
    may(draw, &mut own, ("key", 12), |draw| {
        (i64::try_from(draw.below(15)).unwrap_or_default() - 7).into()
    });
    may(draw, &mut own, ("count", 8), |draw| {
        json!({
            "beat": draw.one_of(&["usual", "big", "small"]),
            "style": draw.one_of(&["each-group", "through"]),
        })
    });
    for (name, percent) in [("section", 15), ("mark", 10), ("movement", 4)] {
        may(draw, &mut own, (name, percent), word);
    }
    for (name, percent) in [("segno", 4), ("coda", 4), ("to_coda", 3)] {
        may(draw, &mut own, (name, percent), |_| "".into());
    }
    for (name, percent) in [("repeat_from", 10), ("fine", 3), ("cut", 3)] {
        may(draw, &mut own, (name, percent), |_| true.into());
    }
    may(draw, &mut own, ("repeat_back", 10), |draw| {
        (2 + draw.below(2)).into()
    });
    may(draw, &mut own, ("ending", 8), |draw| {
        json!([1 + draw.below(3)])
    });
    may(draw, &mut own, ("jump", 4), |draw| {
        let mut jump = Map::new();
        may(draw, &mut jump, ("to_segno", 50), |_| "".into());
        let until = draw.one_of(&["end", "fine", "coda"]);
        jump.insert("until".to_owned(), until.into());
        jump.insert("with_repeats".to_owned(), draw.often(50).into());
        Value::Object(jump)
    });
    may(draw, &mut own, ("holds", 8), |draw| {
        let mut hold = Map::new();
        may(draw, &mut hold, ("at", 60), at);
        may(draw, &mut hold, ("longer", 60), at);
        may(draw, &mut hold, ("lead_in", 40), |draw| {
            draw.below(4).into()
        });
        json!([hold])
    });
    Value::Object(own)
}

fn tempo(draw: &mut Draw, measures: u64) -> Value {
    let mut mark = Map::new();
    may(draw, &mut mark, ("at", 30), at);
    may(draw, &mut mark, ("words", 50), word);
    may(draw, &mut mark, ("tempo", 80), |draw| {
        draw.one_of(&TEMPI).into()
    });
    may(draw, &mut mark, ("back", 8), |draw| {
        draw.one_of(&["to-before", "to-first"]).into()
    });
    may(draw, &mut mark, ("same_beat", 8), |draw| {
        draw.one_of(&["quarter = dotted quarter", "1/3 = eighth", "half = quarter"])
            .into()
    });
    may(draw, &mut mark, ("until", 35), |draw| place(draw, measures));
    may(draw, &mut mark, ("shape", 40), |draw| {
        draw.one_of(&["even-in-beats", "even-in-time", "runner"])
            .into()
    });
    Value::Object(mark)
}

fn mark(draw: &mut Draw, measures: u64) -> Value {
    let mut mark = Map::new();
    mark.insert("measure".to_owned(), draw.below(measures).into());
    let kind = draw.one_of(&[
        "pizz", "arco", "mute-on", "mute-off", "dynamic", "grow", "fade", "down-bow", "up-bow",
        "rest", "words",
    ]);
    mark.insert("kind".to_owned(), kind.into());
    may(draw, &mut mark, ("at", 40), at);
    may(draw, &mut mark, ("to", 40), |draw| place(draw, measures));
    may(draw, &mut mark, ("text", 40), word);
    Value::Object(mark)
}

fn tip(draw: &mut Draw, index: u64, measures: u64) -> Map<String, Value> {
    let mut tip = Map::new();
    tip.insert("id".to_owned(), format!("t{index}").into());
    tip.insert("spot".to_owned(), spot(draw, measures));
    let topic = draw.one_of(&Topic::ALL.map(Topic::code));
    tip.insert("topic".to_owned(), topic.into());
    tip.insert("text".to_owned(), word(draw));
    may(draw, &mut tip, ("cue", 40), word);
    may(draw, &mut tip, ("ahead", 20), |draw| draw.below(5).into());
    may(draw, &mut tip, ("bow", 25), |draw| {
        json!({
            "from": draw.one_of(&["frog", "lower-half", "middle", "upper-half", "tip"]),
            "way": draw.one_of(&["down", "up"]),
            "amount": draw.one_of(&["little", "quarter", "half", "whole"]),
        })
    });
    may(draw, &mut tip, ("rhythm", 25), |draw| {
        let count = 1 + draw.below(5);
        (0..count)
            .map(|_| {
                let mut length = Map::new();
                length.insert("note".to_owned(), draw.one_of(&NOTES).into());
                may(draw, &mut length, ("kind", 40), |draw| {
                    draw.one_of(&["note", "rest", "tied"]).into()
                });
                may(draw, &mut length, ("tuplet", 30), |draw| {
                    json!([3 + draw.below(3), 2])
                });
                Value::Object(length)
            })
            .collect()
    });
    may(
        draw,
        &mut tip,
        ("watch", 15),
        |draw| json!({"address": draw.one_of(&["", "https://talk.example/1"]), "seconds": draw.below(9_000)}),
    );
    may(draw, &mut tip, ("importance", 30), |draw| {
        draw.one_of(&["start-here", "usual", "when-time"]).into()
    });
    may(
        draw,
        &mut tip,
        ("photo", 10),
        |draw| json!({"kind": "png", "width": 2, "height": 1, "alt": word(draw), "data": PHOTO}),
    );
    may(
        draw,
        &mut tip,
        ("voice", 10),
        |draw| json!({"milliseconds": 1, "words": word(draw), "data": VOICE}),
    );
    tip
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests may fail loudly")]
mod tests {
    use super::*;

    #[test]
    fn every_guide_drawn_is_one_and_together_they_hold_everything() {
        let mut all = String::new();
        for number in 0..200 {
            let drawn = guide(&mut Draw(u64::from(number)), number);
            let opened = open_value(drawn).unwrap();
            assert_eq!(opened, random_guide(number));
            for tip in opened.tips.iter().filter(|_| opened.settings.may_share) {
                let photo = tip.photo.is_some() == opened.shown_photo(tip).is_some();
                let voice = tip.voice.is_some() == opened.shown_voice(tip).is_some();
                assert!(photo && voice, "{tip:?}");
            }
            all.push_str(&cueleaf_guide::save(&opened));
        }
        for field in [
            "\"repeat_back\":",
            "\"ending\":",
            "\"jump\":",
            "\"holds\":",
            "\"until\":{",
            "\"shape\":\"runner\"",
            "\"same_beat\":",
            "\"groups\":",
            "\"rhythm\":",
            "\"bow\":",
            "\"watch\":",
            "\"photo\":",
            "\"voice\":",
            "\"importance\":",
            "\"marks\":[{",
            "\"language\":\"fr\"",
            "\"parts\":[\"p",
        ] {
            assert!(all.contains(field), "{field}");
        }
    }
}
