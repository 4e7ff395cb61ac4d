//! Facts of measures as they are typed: meters, keys, names, the way through, fermatas.

use crate::item::Item;
use crate::tempo::RawTempo;
use crate::text::{Piece, read_name, unquote};
use crate::trouble::Trouble;
use cueleaf_guide::{CountHere, CountStyle, Jump, JumpUntil};
use cueleaf_time::{BeatChoice, BeatSpan, Grouping, Key, Meter, Ratio};

type Read<'a> = Option<Result<Item<'a>, Trouble>>;

/// Reads what concerns everybody at a place; `None` for what does not.
pub(crate) fn read_fact(piece: Piece<'_>) -> Read<'_> {
    read_meter(piece)
        .or_else(|| read_key(piece).map(|key| Ok(Item::Key(key))))
        .or_else(|| read_count(piece).map(|count| Ok(Item::Count(count))))
        .or_else(|| read_length(piece))
        .or_else(|| read_named(piece))
        .or_else(|| read_way(piece))
        .or_else(|| read_hold(piece))
        .or_else(|| {
            let words = piece.after("marked")?;
            let words = read_name(words);
            Some(Ok(Item::Tempo(RawTempo {
                words,
                ..RawTempo::default()
            })))
        })
}

fn wanted(piece: Piece<'_>, what: &str) -> Trouble {
    Trouble::at(piece, "not-understood", format!("here {what} is wanted"))
}

fn read_meter(piece: Piece<'_>) -> Read<'_> {
    if piece.is("free") || piece.is("free meter") {
        return Some(Ok(Item::Meter(Meter::free())));
    }
    let grouped = piece.after("grouped").or_else(|| piece.after("grouping"));
    if let Some(groups) = grouped {
        let read = read_groups(groups).map(Item::Groups);
        let place = if groups.is_empty() { piece } else { groups };
        let trouble = || wanted(place, "a sum of groups, such as grouped 2+3,");
        return Some(read.ok_or_else(trouble));
    }
    let sum = |sign: char| sign.is_ascii_digit() || "+/ ".contains(sign);
    let begins = piece.text.starts_with(|sign: char| sign.is_ascii_digit());
    if !begins || !piece.text.chars().all(sum) {
        return None;
    }
    if piece.text.contains('/') {
        let read = piece.text.parse().map(Item::Meter);
        return Some(read.map_err(|_| wanted(piece, "a meter, such as 4/4, 3+2/8 or 2/4+3/8,")));
    }
    let read = piece.text.parse().map(Item::Groups).ok();
    read.filter(|_| piece.text.contains('+')).map(Ok)
}

/// Reads the groups after their word: "2+3", and what says the same, such as "in 2 and 3".
fn read_groups(piece: Piece<'_>) -> Option<Grouping> {
    let text = piece.text.trim_start_matches(':').trim_start();
    let text = text
        .strip_prefix("in ")
        .or_else(|| text.strip_prefix("as "));
    let text = text.unwrap_or_else(|| piece.text.trim_start_matches(':').trim_start());
    let sum = text.parse().ok();
    let apart = |sign: char| sign.is_whitespace() || "+-–&".contains(sign);
    let figures = || {
        let each = text.split(apart);
        let each = each.filter(|own| !own.is_empty() && *own != "and");
        let read: Result<Vec<u16>, _> = each.map(str::parse).collect();
        Grouping::new(read.ok()?).ok()
    };
    sum.or_else(figures)
}

/// The major keys from seven flats to seven sharps, and the minor keys with the same signs.
///
/// # Source
/// Common practice: the circle of fifths.
const KEYS: [(&str, &str); 15] = [
    ("C flat major", "A flat minor"),
    ("G flat major", "E flat minor"),
    ("D flat major", "B flat minor"),
    ("A flat major", "F minor"),
    ("E flat major", "C minor"),
    ("B flat major", "G minor"),
    ("F major", "D minor"),
    ("C major", "A minor"),
    ("G major", "E minor"),
    ("D major", "B minor"),
    ("A major", "F sharp minor"),
    ("E major", "C sharp minor"),
    ("B major", "G sharp minor"),
    ("F sharp major", "D sharp minor"),
    ("C sharp major", "A sharp minor"),
];

fn read_key(piece: Piece<'_>) -> Option<Key> {
    let signs = |fifths: i8| Key::from_fifths(fifths).ok();
    if piece.is("no sharps or flats") {
        return signs(0);
    }
    let named = KEYS.iter().zip(-7i8..);
    for ((major, minor), fifths) in named {
        if piece.is(major) || piece.is(minor) {
            return signs(fifths);
        }
    }
    let (number, sign) = piece.text.split_once(' ')?;
    let number: i8 = number.parse().ok().filter(|number| *number > 0)?;
    match sign.to_ascii_lowercase().as_str() {
        "sharp" | "sharps" => signs(number),
        "flat" | "flats" => signs(-number),
        _ => None,
    }
}

/// The ways of counting in words.
pub(crate) const COUNTS: [(&str, CountHere); 6] = [
    (
        "count as before",
        CountHere {
            beat: None,
            style: None,
        },
    ),
    (
        "count as usual",
        CountHere {
            beat: Some(BeatChoice::Usual),
            style: None,
        },
    ),
    (
        "count in big beats",
        CountHere {
            beat: Some(BeatChoice::Big),
            style: None,
        },
    ),
    (
        "count in small beats",
        CountHere {
            beat: Some(BeatChoice::Small),
            style: None,
        },
    ),
    (
        "count each group",
        CountHere {
            beat: None,
            style: Some(CountStyle::EachGroup),
        },
    ),
    (
        "count through",
        CountHere {
            beat: None,
            style: Some(CountStyle::Through),
        },
    ),
];

fn read_count(piece: Piece<'_>) -> Option<CountHere> {
    let known = COUNTS.iter().find(|(phrase, _)| piece.is(phrase));
    known.map(|(_, count)| *count)
}

/// The note values in which lengths are told, and how many of them make a quarter.
const LENGTHS: [(&str, i64); 8] = [
    ("quarters", 1),
    ("quarter", 1),
    ("eighths", 2),
    ("eighth", 2),
    ("16ths", 4),
    ("16th", 4),
    ("32nds", 8),
    ("32nd", 8),
];

/// Reads a length such as "5 eighths", "3/2 quarters" or "a quarter".
fn read_quarters(piece: Piece<'_>) -> Result<BeatSpan, Trouble> {
    let told = LENGTHS.iter().find_map(|(word, parts)| {
        let end = piece.text.len().checked_sub(word.len())?;
        let (number, unit) = piece.text.is_char_boundary(end).then(|| piece.cut(end))?;
        unit.is(word).then(|| (number.trim().text, *parts))
    });
    let read = told.and_then(|(number, parts)| {
        let number: Ratio = match number {
            "a" | "an" | "one" => Ratio::ONE,
            number => number.parse().ok()?,
        };
        let quarters = number.times(Ratio::new(1, parts).ok()?).ok()?;
        BeatSpan::from_quarters(quarters).ok()
    });
    read.ok_or_else(|| wanted(piece, "a length, such as 5 eighths or 3 quarters,"))
}

fn read_length(piece: Piece<'_>) -> Read<'_> {
    if let Some(length) = piece.after("pickup of") {
        return Some(read_quarters(length).map(|length| Item::Pickup(Some(length))));
    }
    if piece.is("pickup") {
        return Some(Ok(Item::Pickup(None)));
    }
    let length = piece.after("lasts")?;
    Some(read_quarters(length).map(Item::Length))
}

fn read_named(piece: Piece<'_>) -> Read<'_> {
    type Make = fn(String) -> Item<'static>;
    let must: [(&str, Make); 2] = [
        ("section", Item::Section),
        ("rehearsal mark", Item::Rehearsal),
    ];
    for (word, make) in must {
        if let Some(name) = piece.after(word) {
            return Some(if name.is_empty() {
                Err(wanted(piece, "a name"))
            } else {
                Ok(make(read_name(name)))
            });
        }
    }
    let may: [(&str, Make); 4] = [
        ("movement", Item::Movement),
        ("segno", Item::Segno),
        ("coda", Item::Coda),
        ("to coda", Item::ToCoda),
    ];
    may.into_iter().find_map(|(word, make)| {
        let name = piece.after(word)?;
        Some(Ok(make(read_name(name))))
    })
}

fn read_way(piece: Piece<'_>) -> Read<'_> {
    for (phrase, item) in [
        ("repeat starts", Item::RepeatFrom),
        ("repeat ends", Item::RepeatBack(2)),
        ("first ending", Item::Ending(vec![1])),
        ("second ending", Item::Ending(vec![2])),
        ("fine", Item::Fine),
        ("cut", Item::Cut),
    ] {
        if piece.is(phrase) {
            return Some(Ok(item));
        }
    }
    if let Some(times) = piece.after("repeat ends after") {
        let number = times
            .after_number("times")
            .or_else(|| times.after_number("time"));
        let read = number.map(Item::RepeatBack);
        return Some(read.ok_or_else(|| wanted(times, "a number of times, such as 3 times,")));
    }
    if let Some(passes) = piece.after("ending") {
        let pieces = passes.split_at_word("and").into_iter();
        let read: Result<Vec<u16>, _> = pieces.map(|own| own.text.parse()).collect();
        let read = read.map(Item::Ending);
        return Some(read.map_err(|_| wanted(passes, "a number, such as 1 or 1 and 2,")));
    }
    read_jump(piece)
}

impl Piece<'_> {
    /// Reads a number before a word: "3 times".
    pub(crate) fn after_number<T: core::str::FromStr>(self, word: &str) -> Option<T> {
        let (number, unit) = self.text.split_once(' ')?;
        let digits = number.bytes().all(|b| b.is_ascii_digit());
        (digits && unit.trim().eq_ignore_ascii_case(word)).then(|| number.parse().ok())?
    }
}

fn read_jump(piece: Piece<'_>) -> Read<'_> {
    let from_start = ["D.C.", "DC", "da capo"];
    let from_sign = ["D.S.", "DS", "dal segno"];
    let to_start = from_start.iter().find_map(|word| piece.after(word));
    let to_sign = || from_sign.iter().find_map(|word| piece.after(word));
    let (mut rest, to_segno) = match to_start {
        Some(rest) => (rest, None),
        None => (to_sign()?, Some(String::new())),
    };
    let to_segno = to_segno.map(|none| {
        let length = crate::text::quoted_length(rest.text).unwrap_or_default();
        let (name, after) = rest.cut(length);
        let name = unquote(name.text);
        if name.is_some() {
            rest = after.trim();
        }
        name.unwrap_or(none)
    });
    let mut until = JumpUntil::End;
    for (phrase, own) in [("al fine", JumpUntil::Fine), ("al coda", JumpUntil::Coda)] {
        if let Some(after) = rest.after(phrase) {
            (rest, until) = (after, own);
        }
    }
    let with_repeats = rest.is("with repeats");
    if !rest.is_empty() && !with_repeats {
        return Some(Err(wanted(rest, "al fine, al coda or nothing")));
    }
    let jump = Jump {
        to_segno,
        until,
        with_repeats,
        extra: Default::default(),
    };
    Some(Ok(Item::Jump(jump)))
}

fn read_hold(piece: Piece<'_>) -> Read<'_> {
    let rest = piece.after("fermata")?;
    if rest.is_empty() {
        return Some(Ok(Item::Hold(None, 1)));
    }
    let trouble =
        || wanted(rest, "how much longer, such as 2 quarters longer,").suggest("2 quarters longer");
    let (length, lead) = match rest.split_at_word("with").as_slice() {
        [length] => (*length, Some(1)),
        [length, lead] => (*length, lead.after_number("counts to lead on")),
        _ => return Some(Err(trouble())),
    };
    let (length, lead) = match rest.after("with") {
        Some(lead) => (None, lead.after_number("counts to lead on")),
        None => (Some(length), lead),
    };
    let longer = match length {
        None => None,
        Some(length) => {
            let end = length.text.len().checked_sub("longer".len());
            let cut = end
                .map(|end| length.cut(end))
                .filter(|(_, word)| word.is("longer"));
            let Some(Ok(longer)) = cut.map(|(length, _)| read_quarters(length.trim())) else {
                return Some(Err(trouble()));
            };
            Some(longer)
        }
    };
    Some(
        lead.map(|lead| Item::Hold(longer, lead))
            .ok_or_else(trouble),
    )
}
