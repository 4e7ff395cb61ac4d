//! What a tip has besides its text: importance, cue, lead, stroke, rhythm, a place in a
//! recording, and the words of a photo and of a voice note, whose bytes notes cannot hold.

use crate::text::{Piece, read_line, write_line};
use crate::trouble::{Trouble, nearest};
use cueleaf_guide::{
    BowAmount, BowPart, BowWay, Importance, MAX_RHYTHM, MediaBytes, Photo, PhotoKind, RhythmKind,
    RhythmLength, Stroke, Tip, Voice, Watch,
};
use cueleaf_time::NoteValue;

/// The words with which a detail begins, a colon after them.
const DETAILS: [&str; 8] = [
    "importance",
    "cue",
    "ahead",
    "stroke",
    "rhythm",
    "watch",
    "photo",
    "voice",
];

const IMPORTANCES: [(&str, Importance); 3] = [
    ("start here", Importance::StartHere),
    ("as usual", Importance::Usual),
    ("when there is time", Importance::WhenTime),
];

const PARTS: [(&str, BowPart); 5] = [
    ("the frog", BowPart::Frog),
    ("the lower half", BowPart::LowerHalf),
    ("the middle", BowPart::Middle),
    ("the upper half", BowPart::UpperHalf),
    ("the tip", BowPart::Tip),
];

const AMOUNTS: [(&str, BowAmount); 4] = [
    ("a little bow", BowAmount::Little),
    ("a quarter of the bow", BowAmount::Quarter),
    ("half the bow", BowAmount::Half),
    ("the whole bow", BowAmount::Whole),
];

const WAYS: [(&str, BowWay); 2] = [("down", BowWay::Down), ("up", BowWay::Up)];

/// Tells whether a line under a tip is a detail, or so near to one that it was meant to be.
pub(crate) fn is_like_a_detail(line: &str) -> bool {
    let Some((word, _)) = line.split_once(':') else {
        return false;
    };
    let known = DETAILS.map(str::to_owned);
    !word.trim().contains(char::is_whitespace) && nearest(word, &known).is_some()
}

/// Reads a detail into a tip.
pub(crate) fn read_detail(piece: Piece<'_>, tip: &mut Tip) -> Result<(), Trouble> {
    let after = |word: &str| {
        let (name, rest) = piece.at_colon()?;
        name.is(word).then_some(rest)
    };
    if let Some(cue) = after("cue") {
        tip.cue = read_line(cue);
    } else if let Some(ahead) = after("ahead") {
        let beats = ahead
            .after_number("beats")
            .or_else(|| ahead.after_number("beat"));
        tip.ahead = Some(beats.ok_or_else(|| {
            wanted(ahead, "a number of beats, such as 4 beats,").suggest("4 beats")
        })?);
    } else if let Some(importance) = after("importance") {
        tip.importance = one_of(importance, &IMPORTANCES)?;
    } else if let Some(stroke) = after("stroke") {
        tip.bow = Some(read_stroke(stroke)?);
    } else if let Some(rhythm) = after("rhythm") {
        let pieces = rhythm.split(&[',']).into_iter();
        let read: Result<Vec<_>, _> = pieces.map(read_lengths).collect();
        tip.rhythm = read?.concat();
    } else if let Some(watch) = after("watch") {
        tip.watch = Some(read_watch(watch)?);
    } else if let Some(alt) = after("photo") {
        tip.photo = Some(Photo {
            alt: read_line(alt),
            kind: PhotoKind::Jpeg,
            width: 0,
            height: 0,
            data: MediaBytes::default(),
            extra: Default::default(),
        });
    } else if let Some(voice) = after("voice") {
        tip.voice = Some(read_voice(voice)?);
    } else {
        let reason =
            "this line is none of importance, cue, ahead, stroke, rhythm, watch, photo or voice";
        return Err(Trouble::at(piece, "not-understood", reason).nearest(piece, &colons()));
    }
    Ok(())
}

fn colons() -> [String; 8] {
    DETAILS.map(|word| format!("{word}:"))
}

fn wanted(piece: Piece<'_>, what: &str) -> Trouble {
    Trouble::at(piece, "not-understood", format!("here {what} is wanted"))
}

fn read_stroke(piece: Piece<'_>) -> Result<Stroke, Trouble> {
    let example = "down from the frog, half the bow";
    let trouble = |piece: Piece<'_>| wanted(piece, "a stroke of the bow").suggest(example);
    let halves = piece.split(&[',']);
    let (start, amount) = match halves.as_slice() {
        [start] => (*start, None),
        [start, amount] => (*start, Some(*amount)),
        _ => return Err(trouble(piece)),
    };
    let pieces = start.split_at_word("from");
    let [way, from] = pieces.as_slice() else {
        let usual = match start.text.to_ascii_lowercase().as_str() {
            "up" => "up from the tip",
            "down" => "down from the frog",
            _ => example,
        };
        return Err(wanted(start, "a stroke of the bow").suggest(usual));
    };
    Ok(Stroke {
        way: one_of(*way, &WAYS)?,
        from: one_of(*from, &PARTS)?,
        amount: match amount {
            Some(amount) => one_of(amount, &AMOUNTS)?,
            None => BowAmount::default(),
        },
        extra: Default::default(),
    })
}

fn one_of<T: Copy>(piece: Piece<'_>, known: &[(&str, T)]) -> Result<T, Trouble> {
    let found = known.iter().find(|(phrase, _)| piece.is(phrase));
    found.map(|(_, value)| *value).ok_or_else(|| {
        let phrases: Vec<&str> = known.iter().map(|(phrase, _)| *phrase).collect();
        let choice = phrases.join(", ");
        wanted(piece, &format!("one of {choice}")).nearest(piece, &phrases)
    })
}

fn phrase_of<T: PartialEq>(value: &T, known: &'static [(&'static str, T)]) -> &'static str {
    let found = known.iter().find(|(_, own)| own == value);
    found.map_or("", |(phrase, _)| phrase)
}

fn write_stroke(stroke: &Stroke) -> String {
    let way = phrase_of(&stroke.way, &WAYS);
    let from = phrase_of(&stroke.from, &PARTS);
    let amount = phrase_of(&stroke.amount, &AMOUNTS);
    format!("{way} from {from}, {amount}")
}

/// Reads one note, or several alike: "3 eighths".
fn read_lengths(piece: Piece<'_>) -> Result<Vec<RhythmLength>, Trouble> {
    let counted = piece.text.split_once(char::is_whitespace);
    let counted = counted.and_then(|(count, _)| Some((count.len(), count.parse().ok()?)));
    let Some((cut, times)) = counted else {
        return Ok(vec![read_length(piece)?]);
    };
    if !(1..=MAX_RHYTHM).contains(&times) {
        return Err(wanted(piece, "a number of notes that a rhythm can show"));
    }
    let own = read_length(piece.cut(cut).1.trim())?;
    Ok(vec![own; times])
}

/// Gives the word for one: "eighths" and "rests" stand after a number.
fn single(word: &str) -> &str {
    match word {
        "halves" => "half",
        word => word.strip_suffix('s').unwrap_or(word),
    }
}

fn read_length(piece: Piece<'_>) -> Result<RhythmLength, Trouble> {
    let trouble = || {
        let what = "a note, such as eighth, dotted quarter, triplet eighth or quarter rest,";
        let known = [
            "quarter",
            "eighth",
            "half",
            "whole",
            "16th",
            "dotted quarter",
            "dotted half",
            "dotted eighth",
            "quarter rest",
            "eighth rest",
            "half rest",
            "tied quarter",
            "tied eighth",
            "tied half",
            "triplet eighth",
            "triplet quarter",
        ];
        wanted(piece, what).nearest(piece, &known)
    };
    let mut rest = piece;
    let tied = rest.after("tied");
    rest = tied.unwrap_or(rest);
    let triplet = rest.after("triplet");
    rest = triplet.unwrap_or(rest);
    let mut tuplet = triplet.map(|_| (3, 2));
    let words: Vec<&str> = rest.text.split_whitespace().collect();
    let words = match words.as_slice() {
        [note @ .., these, word, those] if word.eq_ignore_ascii_case("for") => {
            let (Ok(these), Ok(those)) = (these.parse(), those.parse()) else {
                return Err(trouble());
            };
            tuplet = Some((these, those));
            note
        }
        note => note,
    };
    let (words, rest) = match words {
        [note @ .., word] if single(word).eq_ignore_ascii_case("rest") => (note, true),
        note => (note, false),
    };
    let note = words.join(" ").to_ascii_lowercase();
    let before = note.rfind(' ').map_or(0, |space| space + 1);
    let (dots, name) = note.split_at(before);
    let note: NoteValue = format!("{dots}{}", single(name))
        .parse()
        .map_err(|_| trouble())?;
    let kind = match (tied.is_some(), rest) {
        (false, false) => RhythmKind::Note,
        (false, true) => RhythmKind::Rest,
        (true, false) => RhythmKind::Tied,
        (true, true) => return Err(wanted(piece, "a note or a rest: a rest is not tied, so it")),
    };
    Ok(RhythmLength {
        kind,
        tuplet,
        ..RhythmLength::note(note)
    })
}

fn write_length(length: &RhythmLength) -> String {
    let mut words = Vec::new();
    if length.kind == RhythmKind::Tied {
        words.push("tied".to_owned());
    }
    if length.tuplet == Some((3, 2)) {
        words.push("triplet".to_owned());
    }
    words.push(length.note.to_string());
    if length.kind == RhythmKind::Rest {
        words.push("rest".to_owned());
    }
    if let Some((these, those)) = length.tuplet.filter(|own| *own != (3, 2)) {
        words.push(format!("{these} for {those}"));
    }
    words.join(" ")
}

fn read_watch(piece: Piece<'_>) -> Result<Watch, Trouble> {
    let space = piece.text.find(char::is_whitespace);
    let (clock, rest) = piece.cut(space.unwrap_or(piece.text.len()));
    let rest = rest.trim();
    let address = match rest.after("at") {
        Some(address) => read_line(address),
        None if rest.is_empty() => String::new(),
        None => return Err(wanted(rest, "an address, such as at https://example.org,")),
    };
    let seconds = Watch::seconds_of(clock.text)
        .ok_or_else(|| wanted(clock, "a place in the recording, such as 3:20,").suggest("3:20"))?;
    Ok(Watch {
        address,
        ..Watch::at(seconds)
    })
}

fn read_voice(piece: Piece<'_>) -> Result<Voice, Trouble> {
    let comma = piece.text.find(',');
    let (length, words) = piece.cut(comma.unwrap_or(piece.text.len()));
    let (_, words) = words.cut(usize::from(comma.is_some()));
    let seconds: Option<u32> = length
        .text
        .trim()
        .strip_suffix('s')
        .and_then(|seconds| seconds.trim_end().parse().ok());
    let milliseconds = seconds.map(|seconds| seconds.saturating_mul(1000));
    let milliseconds = milliseconds
        .ok_or_else(|| wanted(length, "a length in seconds, such as 7 s,").suggest("7 s"))?;
    Ok(Voice {
        milliseconds,
        words: read_line(words.trim()),
        data: MediaBytes::default(),
        extra: Default::default(),
    })
}

/// Writes the details of a tip, one a line.
pub(crate) fn write_details(tip: &Tip) -> Vec<String> {
    let mut lines = Vec::new();
    if !tip.importance.is_usual() {
        let phrase = phrase_of(&tip.importance, &IMPORTANCES);
        lines.push(format!("importance: {phrase}"));
    }
    if !tip.cue.is_empty() {
        lines.push(format!("cue: {}", write_line(&tip.cue)));
    }
    lines.extend(tip.ahead.map(|beats| format!("ahead: {beats} beats")));
    lines.extend(
        tip.bow
            .as_ref()
            .map(|stroke| format!("stroke: {}", write_stroke(stroke))),
    );
    if !tip.rhythm.is_empty() {
        let lengths: Vec<String> = tip.rhythm.iter().map(write_length).collect();
        lines.push(format!("rhythm: {}", lengths.join(", ")));
    }
    lines.extend(tip.watch.as_ref().map(|watch| {
        let clock = watch.clock();
        match watch.address.as_str() {
            "" => format!("watch: {clock}"),
            address => format!("watch: {clock} at {}", write_line(address)),
        }
    }));
    lines.extend(tip.photo.as_ref().map(|photo| {
        let line = format!("photo: {}", write_line(&photo.alt));
        line.trim_end().to_owned()
    }));
    lines.extend(tip.voice.as_ref().map(|voice| {
        let seconds = voice.seconds();
        match voice.words.as_str() {
            "" => format!("voice: {seconds} s"),
            words => format!("voice: {seconds} s, {}", write_line(words)),
        }
    }));
    lines
}
