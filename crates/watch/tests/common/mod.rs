//! Small parts written as short text, and watch lists as lines.
//!
//! A measure is a row of words. A note is a pitch and a length in sixteenths,
//! "D4:4" a quarter, "F#4:2" an eighth, "Bb3:4"; "r:4" is a rest, "+A4:4" sounds
//! with the note before. Signs follow the length: "~" a tie on, "(" and ")" a
//! slur, "n" down-bow, "v" up-bow, "." a dot, ">" an accent, "," a
//! breath, "%" a fermata, "*" a tremolo; "t", "q", "x", "s" and "d" make it one of a tuplet: three
//! in the time of two, five of four, six of four, twelve of eight, four of three.
//! "=mf" is a dynamic, "<" and "\" begin and end a crescendo, "!pizz." are words
//! ("_" for a space), "@90" a tempo in quarters, "[4/4" a meter, "#2" a key, "{C3" a clef,
//! "|:" and ":|" repeat signs, "%|" a fermata over the barline, "1[" and "]1" an ending,
//! "2[" and "]2" the second.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "helpers of tests may fail loudly, as tests do, and not every test uses each"
)]

use cueleaf_guide::{Guide, Id};
use cueleaf_read::{draft, read_score};
use cueleaf_score::Score;
use cueleaf_watch::{Kind, Number, Watched, watch};
use std::fmt::Write as _;

/// Into how many parts a sixteenth is divided in the files.
const PARTS: u32 = 60;

fn direction(kind: &str) -> String {
    format!("<direction><direction-type>{kind}</direction-type></direction>")
}

fn note(word: &str, tied_back: bool) -> String {
    let chord = word.starts_with('+');
    let word = word.trim_start_matches('+');
    let (pitch, rest) = word.split_once(':').unwrap();
    let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
    let signs = &rest[digits.len()..];
    let mut notations = String::new();
    let mut articulations = String::new();
    let mut technical = String::new();
    let mut ties = String::new();
    let mut tuplet: Option<(u32, u32)> = None;
    if tied_back {
        ties += "<tie type=\"stop\"/>";
    }
    for sign in signs.chars() {
        match sign {
            '~' => ties += "<tie type=\"start\"/>",
            '(' => notations += "<slur type=\"start\" number=\"1\"/>",
            ')' => notations += "<slur type=\"stop\" number=\"1\"/>",
            '%' => notations += "<fermata/>",
            'n' => technical += "<down-bow/>",
            'v' => technical += "<up-bow/>",
            '.' => articulations += "<staccato/>",
            '>' => articulations += "<accent/>",
            '*' => notations += "<ornaments><tremolo type=\"single\">3</tremolo></ornaments>",
            't' => tuplet = Some((3, 2)),
            'q' => tuplet = Some((5, 4)),
            's' => tuplet = Some((12, 8)),
            'x' => tuplet = Some((6, 4)),
            'd' => tuplet = Some((4, 3)),
            ',' => articulations += "<breath-mark/>",
            other => panic!("no sign {other}"),
        }
    }
    let mut xml = String::from("<note>");
    if chord {
        xml += "<chord/>";
    }
    if pitch == "r" {
        xml += "<rest/>";
    } else {
        let alter = match &pitch[1..pitch.len() - 1] {
            "#" => "<alter>1</alter>",
            "b" => "<alter>-1</alter>",
            _ => "",
        };
        let (step, octave) = (&pitch[..1], &pitch[pitch.len() - 1..]);
        write!(
            xml,
            "<pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch>"
        )
        .unwrap();
    }
    // A sixteenth has sixty parts, so that every tuplet has whole numbers.
    let (actual, normal) = tuplet.unwrap_or((1, 1));
    let duration = digits.parse::<u32>().unwrap() * PARTS * normal / actual;
    let ratio = tuplet.map_or_else(String::new, |(actual, normal)| {
        format!("<time-modification><actual-notes>{actual}</actual-notes><normal-notes>{normal}</normal-notes></time-modification>")
    });
    write!(
        xml,
        "<duration>{duration}</duration>{ties}{ratio}<notations>{notations}<articulations>{articulations}</articulations><technical>{technical}</technical></notations></note>"
    )
    .unwrap();
    xml
}

fn measure(number: usize, content: &str, tied: &mut bool) -> String {
    let mut xml = format!(
        "<measure number=\"{number}\"><attributes><divisions>{}</divisions></attributes>",
        4 * PARTS
    );
    for word in content.split_whitespace() {
        let first = word.chars().next().unwrap();
        match (first, word) {
            (_, "%|") => {
                xml += "<barline location=\"right\"><fermata/></barline>";
            }
            (_, "|:") => {
                xml += "<barline location=\"left\"><repeat direction=\"forward\"/></barline>"
            }
            (_, ":|") => {
                xml += "<barline location=\"right\"><repeat direction=\"backward\"/></barline>"
            }
            (_, "1[") => {
                xml += "<barline location=\"left\"><ending number=\"1\" type=\"start\"/></barline>"
            }
            (_, "]1") => {
                xml += "<barline location=\"right\"><ending number=\"1\" type=\"stop\"/><repeat direction=\"backward\"/></barline>";
            }
            (_, "<") => xml += &direction("<wedge type=\"crescendo\"/>"),
            (_, "\\") => xml += &direction("<wedge type=\"stop\"/>"),
            (_, "2[") => {
                xml += "<barline location=\"left\"><ending number=\"2\" type=\"start\"/></barline>"
            }
            (_, "]2") => {
                xml += "<barline location=\"right\"><ending number=\"2\" type=\"stop\"/></barline>";
            }
            ('=', _) => xml += &direction(&format!("<dynamics><{}/></dynamics>", &word[1..])),
            ('!', _) => {
                xml += &direction(&format!("<words>{}</words>", word[1..].replace('_', " ")));
            }
            ('@', _) => {
                let mark = format!(
                    "<metronome><beat-unit>quarter</beat-unit><per-minute>{}</per-minute></metronome>",
                    &word[1..]
                );
                xml += &direction(&mark);
            }
            ('[', _) => {
                let (upper, lower) = word[1..].split_once('/').unwrap();
                write!(xml, "<attributes><time><beats>{upper}</beats><beat-type>{lower}</beat-type></time></attributes>").unwrap();
            }
            ('{', _) => {
                let (sign, line) = word[1..].split_at(1);
                write!(
                    xml,
                    "<attributes><clef><sign>{sign}</sign><line>{line}</line></clef></attributes>"
                )
                .unwrap();
            }
            ('#', _) => {
                write!(
                    xml,
                    "<attributes><key><fifths>{}</fifths></key></attributes>",
                    &word[1..]
                )
                .unwrap();
            }
            _ => {
                xml += &note(word, *tied && first != 'r');
                *tied = word.contains('~');
            }
        }
    }
    xml + "</measure>"
}

/// Reads parts written as short text.
pub(crate) fn score(parts: &[(&str, &[&str])]) -> Score {
    let (mut list, mut body) = (String::new(), String::new());
    for (index, (name, measures)) in parts.iter().enumerate() {
        let mut tied = false;
        let inner: String = measures
            .iter()
            .enumerate()
            .map(|(number, content)| measure(number + 1, content, &mut tied))
            .collect();
        write!(
            list,
            "<score-part id=\"P{index}\"><part-name>{name}</part-name></score-part>"
        )
        .unwrap();
        write!(body, "<part id=\"P{index}\">{inner}</part>").unwrap();
    }
    let text = format!(
        "<score-partwise version=\"4.0\"><part-list>{list}</part-list>{body}</score-partwise>"
    );
    read_score(text.into_bytes()).unwrap().value
}

/// Drafts the guide of the first part.
pub(crate) fn guide(score: &Score) -> Guide {
    let name = score.parts[0].name.clone();
    draft(score, &[&name], Id::new("g").unwrap()).unwrap().value
}

/// Gives the watch list of the first part.
pub(crate) fn listed(parts: &[(&str, &[&str])]) -> Vec<Watched> {
    let score = score(parts);
    watch(&score, 0, &guide(&score))
}

/// Gives the watch list of a part that plays alone.
pub(crate) fn of(measures: &[&str]) -> Vec<Watched> {
    listed(&[("Viola", measures)])
}

fn number(number: &Number) -> String {
    match number {
        Number::Whole(number) => number.to_string(),
        Number::Real(number) => format!("{}", (number * 1000.0).round() / 1000.0),
        Number::Text(text) => text.clone(),
        Number::Texts(texts) => texts.join(", "),
    }
}

/// Gives the first place of a kind.
pub(crate) fn first_of(list: &[Watched], kind: Kind) -> &Watched {
    list.iter().find(|one| one.kind == kind).unwrap()
}

/// Writes the entries of one kind: from, to where it differs, the numbers asked for.
pub(crate) fn lines(list: &[Watched], kind: Kind, names: &[&str]) -> Vec<String> {
    list.iter()
        .filter(|one| one.kind == kind)
        .map(|one| {
            let mut line = one.from.clone();
            if one.to != one.from {
                line += &format!(" to {}", one.to);
            }
            for name in names {
                let told = one.numbers.get(name).map_or("-".to_owned(), number);
                line += &format!("; {name} {told}");
            }
            line
        })
        .collect()
}

/// Checks the entries of one kind in a part that plays alone.
pub(crate) fn check(measures: &[&str], kind: Kind, names: &[&str], expected: &[&str]) {
    assert_eq!(lines(&of(measures), kind, names), expected);
}
