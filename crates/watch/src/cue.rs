//! What a place is called in a few words, as it is shown while playing.

use crate::dynamics::{held, level};
use crate::left_hand::letters;
use crate::thresholds::LOUD;
use crate::watched::{Kind, Number};
use cueleaf_guide::MAX_CUE;
use std::collections::BTreeMap;

/// Makes the cue of a place of its kind and numbers: at most [`MAX_CUE`] letters. `line` tells
/// whether it reaches over a stretch, and `word` what a measure is called.
pub(crate) fn cue(
    kind: Kind,
    numbers: &BTreeMap<&'static str, Number>,
    line: bool,
    word: &str,
) -> String {
    let of = Of(numbers);
    let (new, words) = (of.text("new"), of.text("words"));
    let amount = |count: i64, what: &str| {
        let plural = if count == 1 { "" } else { "s" };
        format!("{count} {what}{plural}")
    };
    let choices: Vec<String> = match kind {
        Kind::TempoChange => tempo(&of),
        Kind::TempoWords => vec![format!("{words}: how fast?"), words],
        // Nobody says how far it goes.
        Kind::TempoGradual if of.whole("measures") == 0 => {
            vec![format!("{words}, how far?"), words]
        }
        Kind::TempoGradual => {
            let beats = of.real("beats");
            let over = if beats > 0.0 {
                in_beats(beats)
            } else {
                amount(of.whole("measures"), word)
            };
            vec![format!("{words}, {over}"), words]
        }
        Kind::MeterChange if of.text("how") == "back" => vec![format!("back to {new}")],
        Kind::MeterChange => vec![format!("now {new}")],
        Kind::OddMeasure if new.is_empty() => {
            vec![format!(
                "here {}",
                crate::say::quarters(of.real("quarters"))
            )]
        }
        Kind::OddMeasure => vec![format!("one {word} of {new}"), format!("once {new}")],
        Kind::UnevenMeter => vec![format!("{new}: {}", of.text("grouping")), new],
        Kind::KeyChange => vec![key(of.whole("new"))],
        Kind::ToPizz => ready("pizz.", &of),
        Kind::ToArco => ready("arco", &of),
        Kind::MuteOn => ready("mute on", &of),
        Kind::MuteOff => ready("mute off", &of),
        Kind::Dynamic if line && of.whole("steps") > 0 => vec![format!("grow to {new}")],
        Kind::Dynamic if line => vec![format!("fade to {new}")],
        Kind::Dynamic | Kind::SuddenDynamic if held(&new) != new => {
            vec![format!("{new}: strong, then {}", held(&new)), new]
        }
        Kind::Dynamic if held(&of.text("old")) == new => vec![format!("still {new}")],
        Kind::Dynamic if of.text("old").is_empty() => vec![format!("begin {new}")],
        Kind::Dynamic if of.real("rest_quarters") > 0.0 => {
            vec![format!("{new} after the rest"), new]
        }
        Kind::Dynamic => vec![format!("{new}, after {}", of.text("old")), new],
        Kind::SuddenDynamic => vec![format!("{new} at once"), new],
        Kind::NoRoomToGrow if matches!(of.level("arrives_at"), Some(level) if level < LOUD) => {
            let soft = of.text("arrives_at");
            vec![
                format!("grow, then {soft} at once"),
                format!("grow, then {soft}"),
            ]
        }
        Kind::NoRoomToGrow => vec!["start softer, then grow".to_owned()],
        Kind::Loudest => vec![format!("{}, the loudest", of.text("dynamic"))],
        Kind::EntryAfterRest => vec![format!("rest {}, then in", of.whole("rest_measures"))],
        Kind::EntryOffBeat => vec![format!("in after beat {}", of.whole("beat"))],
        Kind::EntryInside => vec![format!("in on beat {}", of.whole("beat"))],
        Kind::Pickup => vec!["pickup, lead on".to_owned()],
        Kind::Syncopation => vec![format!("hold through beat {}", of.whole("through_beat"))],
        Kind::TupletAcross => vec![format!(
            "{} notes over {} beats",
            of.whole("notes"),
            of.whole("beats")
        )],
        Kind::TieOverBar => vec!["hold over the barline".to_owned()],
        Kind::SubdivisionChange if !of.texts("in_turn").is_empty() => {
            vec![format!(
                "{} in turn",
                of.texts("in_turn").replace(", ", " and ")
            )]
        }
        Kind::SubdivisionChange if of.whole("new") == 1 => vec!["whole beats now".to_owned()],
        Kind::SubdivisionChange => vec![format!("now {} in a beat", of.whole("new"))],
        Kind::FastestNotes => vec!["the fastest notes".to_owned()],
        Kind::MovesAlone => vec![format!("you alone, {}", amount(of.whole("notes"), "note"))],
        Kind::BetweenOthers => vec!["between the others".to_owned()],
        Kind::ArticulatedSlur => vec![format!("{} notes in one bow", of.whole("notes"))],
        Kind::NamedStroke => vec![words],
        Kind::SameDirection => {
            let (how, way) = (of.text("how"), of.text("way"));
            vec![format!("{how}: {way} again"), format!("{way} again")]
        }
        Kind::LongBow => vec!["long bow, save it".to_owned()],
        Kind::UnevenBowing => vec![format!("back from the {}", of.text("toward"))],
        Kind::Leap => vec![format!("leap to {}", of.text("to_note")), "leap".to_owned()],
        Kind::HighestNote => vec![format!("top: {}", of.text("note")), "top note".to_owned()],
        Kind::OutOfCompass => vec![
            format!("find {}", of.text("note")),
            "outside the usual".to_owned(),
        ],
        Kind::OutsideKey => {
            let names = accidentals(numbers);
            vec![format!("look: {names}"), names, "accidentals".to_owned()]
        }
        Kind::ClefChange => vec![
            format!("{new} clef: {}", of.text("note")),
            format!("{new} clef"),
        ],
        Kind::NamedString => vec![words],
        Kind::WhoPlays => vec![who(&of.text("who")).to_owned()],
        Kind::Repeat => vec![format!("played {}", amount(of.whole("times"), "time"))],
        Kind::Ending => vec![
            format!("ending {}", of.texts("passes")),
            "ending".to_owned(),
        ],
        Kind::Jump => vec![jump(&of.text("what"), &of.text("sign")).to_owned()],
        Kind::Cut => vec![format!("skip {}", amount(of.whole("measures"), word))],
        Kind::Fermata => vec!["fermata, look up".to_owned()],
        Kind::Breath => vec!["breathe together".to_owned()],
        Kind::LastMeasures => vec![format!("the last {word}s")],
    };
    fitting(choices)
}

/// Gives the cue of several places of a kind that are told together and differ.
pub(crate) const fn several(kind: Kind) -> &'static str {
    match kind {
        Kind::EntryOffBeat => "in off the beat",
        Kind::EntryInside => "in, but not on one",
        Kind::Syncopation => "hold through the beat",
        Kind::SubdivisionChange => "beats divided anew",
        Kind::TupletAcross => "equal over the beats",
        Kind::MovesAlone => "you alone",
        Kind::BetweenOthers => "between the others",
        Kind::ArticulatedSlur => "several in one bow",
        Kind::SameDirection => "same way again",
        Kind::UnevenBowing => "bring the bow back",
        Kind::Leap => "leaps",
        Kind::OutOfCompass => "outside the usual",
        Kind::OutsideKey => "accidentals",
        _ => "several times",
    }
}

/// The numbers of a place by name; what is not there is empty or zero.
struct Of<'n>(&'n BTreeMap<&'static str, Number>);

impl Of<'_> {
    fn text(&self, name: &str) -> String {
        match self.0.get(name) {
            Some(Number::Text(text)) => text.clone(),
            _ => String::new(),
        }
    }

    fn level(&self, name: &str) -> Option<i64> {
        level(&self.text(name))
    }

    fn texts(&self, name: &str) -> String {
        match self.0.get(name) {
            Some(Number::Texts(texts)) => texts.join(", "),
            _ => String::new(),
        }
    }

    fn whole(&self, name: &str) -> i64 {
        match self.0.get(name) {
            Some(Number::Whole(whole)) => *whole,
            _ => 0,
        }
    }

    fn real(&self, name: &str) -> f64 {
        match self.0.get(name) {
            Some(Number::Real(real)) => *real,
            _ => 0.0,
        }
    }
}

fn tempo(of: &Of<'_>) -> Vec<String> {
    let mark = of.text("new_mark");
    if of.text("how") == "same beat" {
        return vec!["the beat goes on".to_owned()];
    }
    let ratio = of.real("pulse_ratio");
    let toward = if ratio > 1.0 {
        "faster: "
    } else if ratio > 0.0 && ratio < 1.0 {
        "slower: "
    } else {
        ""
    };
    vec![format!("{toward}{mark}"), mark, "new tempo".to_owned()]
}

fn key(fifths: i64) -> String {
    let count = fifths.unsigned_abs();
    let plural = if count == 1 { "" } else { "s" };
    match fifths {
        0 => "key: no sharps or flats".to_owned(),
        1.. => format!("new key: {count} sharp{plural}"),
        _ => format!("new key: {count} flat{plural}"),
    }
}

/// Names the notes outside the key: one with its octave, several without.
fn accidentals(numbers: &BTreeMap<&'static str, Number>) -> String {
    let names = match numbers.get("notes") {
        Some(Number::Texts(names)) => names.as_slice(),
        _ => &[],
    };
    match names {
        [only] => only.clone(),
        names => letters(names).join(", "),
    }
}

/// How long there is to get ready.
fn ready(what: &str, of: &Of<'_>) -> Vec<String> {
    let beats = of.real("beats");
    // A mark before the first note has no note to come from.
    if of.text("last_ends").is_empty() {
        return vec![format!("begin {what}"), what.to_owned()];
    }
    let time = if !of.0.contains_key("beats") {
        // The beat changes meanwhile.
        match of.real("seconds") {
            seconds if seconds > 0.0 => crate::say::seconds(seconds),
            _ => return vec![what.to_owned()],
        }
    } else if beats <= 0.0 {
        "at once".to_owned()
    } else if beats < 1.0 {
        "quickly".to_owned()
    } else {
        in_beats(beats)
    };
    vec![format!("{what}, {time}"), what.to_owned()]
}

/// Writes beats, to a tenth.
fn in_beats(beats: f64) -> String {
    let tenths = format!("{beats:.1}");
    let beats = tenths.trim_end_matches(".0");
    let plural = if beats == "1" { "" } else { "s" };
    format!("{beats} beat{plural}")
}

fn who(who: &str) -> &'static str {
    match who {
        "solo" => "solo: whose?",
        "tutti" => "all play again",
        "divided" => "divided: which line?",
        "not divided" => "play the whole chord",
        _ => "together again",
    }
}

fn jump(what: &str, sign: &str) -> &'static str {
    match what {
        "to-coda" => "after a jump: to coda",
        "coda" => "the coda",
        "segno" => "segno: jumps come here",
        "fine" => "Fine: ends after a jump",
        _ if sign == "D.S." => "D.S.: to the segno",
        _ => "D.C.: to the beginning",
    }
}

/// Gives the first that fits; of the last as many whole words as fit.
fn fitting(choices: Vec<String>) -> String {
    let fits = |text: &str| text.chars().count() <= MAX_CUE;
    if let Some(fitting) = choices.iter().find(|text| fits(text)) {
        return fitting.clone();
    }
    let mut cut = String::new();
    for word in choices.last().into_iter().flat_map(|one| one.split(' ')) {
        let longer = if cut.is_empty() {
            word.to_owned()
        } else {
            format!("{cut} {word}")
        };
        if !fits(&longer) {
            break;
        }
        cut = longer;
    }
    if cut.is_empty() {
        choices
            .last()
            .into_iter()
            .flat_map(|one| one.chars())
            .take(MAX_CUE)
            .collect()
    } else {
        cut
    }
}
