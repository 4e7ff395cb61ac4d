//! What stands after a place, item by item: what changes there, for all or for one part.

use crate::mark::{MARK_WORDS, RawMark, read_mark};
use crate::tempo::{RawTempo, is_tempo_words, read_value, return_of};
use crate::text::{Piece, read_name, unquote, write_name};
use crate::trouble::Trouble;
use cueleaf_guide::{CountHere, CountStyle, Hold, Jump, JumpUntil, Measure};
use cueleaf_time::{BeatChoice, BeatSpan, Grouping, Key, Meter};

/// One thing said about a place.
#[derive(Debug, Clone)]
pub(crate) enum Item<'a> {
    Meter(Meter),
    Groups(Grouping),
    Count(CountHere),
    Key(Key),
    Pickup(Option<BeatSpan>),
    Length(BeatSpan),
    Movement(String),
    Section(String),
    Rehearsal(String),
    RepeatFrom,
    RepeatBack(u16),
    Ending(Vec<u16>),
    Segno(String),
    Coda(String),
    ToCoda(String),
    Fine,
    Jump(Jump),
    Cut,
    Hold(Option<BeatSpan>, u8),
    Tempo(RawTempo<'a>),
    Mark(RawMark<'a>),
}

/// The words and phrases with which an item can begin, marks of parts aside.
const ITEM_WORDS: &[&str] = &[
    "section",
    "rehearsal mark",
    "movement",
    "grouped",
    "free",
    "count as usual",
    "count in big beats",
    "count in small beats",
    "count each group",
    "count through",
    "sharps",
    "flats",
    "no sharps or flats",
    "pickup",
    "pickup of",
    "lasts",
    "repeat starts",
    "repeat ends",
    "first ending",
    "second ending",
    "ending",
    "segno",
    "coda",
    "to coda",
    "fine",
    "D.C.",
    "D.S.",
    "D.C. al fine",
    "D.S. al fine",
    "D.C. al coda",
    "D.S. al coda",
    "cut",
    "fermata",
    "marked",
    "a tempo",
    "tempo primo",
    "back to the tempo before",
    "back to the first tempo",
];

/// What an item of text turns out to be.
pub(crate) enum Class<'a> {
    Item(Item<'a>),
    /// A tempo without words of its own; whether "then" keeps it apart from words before it.
    Value(RawTempo<'a>, Join),
    /// Words that may belong to the tempo that follows.
    Words(String),
    Trouble(Trouble),
}

/// Whether a tempo goes together with the words before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Join {
    Joined,
    Apart,
}

/// Reads the items of a line; each that is not understood comes with its piece.
pub(crate) fn read_items(
    piece: Piece<'_>,
) -> (Vec<(Piece<'_>, Item<'_>)>, Vec<(Piece<'_>, Trouble)>) {
    let mut items = Vec::new();
    let mut troubles = Vec::new();
    let pieces = piece.split(&[',', ';']);
    let mut pieces = pieces.into_iter().filter(|own| !own.is_empty()).peekable();
    while let Some(own) = pieces.next() {
        match classify(own) {
            Class::Item(item) => items.push((own, item)),
            Class::Value(tempo, _) => items.push((own, Item::Tempo(tempo))),
            Class::Trouble(trouble) => troubles.push((own, trouble)),
            Class::Words(words) => {
                let value = pieces.peek().and_then(|next| match classify(*next) {
                    Class::Value(tempo, Join::Joined) => Some(tempo),
                    _ => None,
                });
                if let Some(tempo) = value {
                    pieces.next();
                    items.push((own, Item::Tempo(RawTempo { words, ..tempo })));
                } else if let Some(back) = return_of(&words) {
                    let back = Some(back);
                    let tempo = RawTempo {
                        words,
                        back,
                        ..RawTempo::default()
                    };
                    items.push((own, Item::Tempo(tempo)));
                } else if unquote(own.text).is_none() && is_tempo_words(&words) {
                    let tempo = RawTempo {
                        words,
                        ..RawTempo::default()
                    };
                    items.push((own, Item::Tempo(tempo)));
                } else {
                    troubles.push((own, unknown(own, &words)));
                }
            }
        }
    }
    (items, troubles)
}

fn unknown(piece: Piece<'_>, words: &str) -> Trouble {
    let known: Vec<&str> = ITEM_WORDS.iter().chain(MARK_WORDS).copied().collect();
    let printed = format!("printed {}", write_name(words, &["until"]));
    Trouble::at(
        piece,
        "not-understood",
        "this is nothing that can stand at a place",
    )
    .nearest_or(piece, &known, Some(printed))
}

/// Finds out what one item is.
pub(crate) fn classify(piece: Piece<'_>) -> Class<'_> {
    if let Some(words) = unquote(piece.text) {
        return Class::Words(words);
    }
    if let Some(read) = read_fact(piece).or_else(|| read_mark(piece).map(|own| own.map(Item::Mark)))
    {
        return read.map_or_else(Class::Trouble, Class::Item);
    }
    let (apart, rest) = match piece.after("then") {
        Some(rest) => (Join::Apart, rest),
        None => (Join::Joined, piece),
    };
    match read_value(rest) {
        Some(Ok(tempo)) => Class::Value(tempo, apart),
        Some(Err(trouble)) => Class::Trouble(trouble),
        None => Class::Words(read_name(piece)),
    }
}

type Read<'a> = Option<Result<Item<'a>, Trouble>>;

fn read_fact(piece: Piece<'_>) -> Read<'_> {
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
    if let Some(groups) = piece.after("grouped") {
        let read = groups.text.parse().map(Item::Groups);
        return Some(read.map_err(|_| wanted(groups, "a sum of groups, such as 2+3")));
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

const COUNTS: [(&str, CountHere); 6] = [
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

/// Reads a length such as "3/2 quarters" or "a quarter".
fn read_quarters(piece: Piece<'_>) -> Result<BeatSpan, Trouble> {
    let number = ["quarters", "quarter"].iter().find_map(|word| {
        let end = piece.text.len().checked_sub(word.len())?;
        let (number, unit) = piece.cut(end);
        unit.is(word).then(|| number.trim().text)
    });
    match number {
        Some("a" | "one") => Ok(BeatSpan::QUARTER),
        Some(number) => number.parse().map_err(|_| ()),
        None => Err(()),
    }
    .map_err(|()| wanted(piece, "a length in quarters, such as 3/2 quarters,"))
}

fn write_quarters(length: BeatSpan) -> String {
    let word = if length == BeatSpan::QUARTER {
        "quarter"
    } else {
        "quarters"
    };
    format!("{length} {word}")
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

/// Writes what changes at the start of a measure, tempi, holds and marks aside: first what
/// tells where one is, then what holds inside, then the way through.
pub(crate) fn write_facts(measure: &Measure) -> (Vec<String>, Vec<String>) {
    let named = |word: &str, name: &str| match name {
        "" => word.to_owned(),
        name => format!("{word} {}", write_name(name, &[])),
    };
    let must = |word: &str, name: &str| format!("{word} {}", write_name(name, &[]));
    let mut first = Vec::new();
    first.extend(
        measure
            .movement
            .as_ref()
            .map(|name| named("movement", name)),
    );
    first.extend(measure.section.as_ref().map(|name| must("section", name)));
    first.extend(
        measure
            .mark
            .as_ref()
            .map(|name| must("rehearsal mark", name)),
    );
    first.extend(match (measure.pickup, measure.length) {
        (true, Some(length)) => Some(format!("pickup of {}", write_quarters(length))),
        (true, None) => Some("pickup".to_owned()),
        (false, Some(length)) => Some(format!("lasts {}", write_quarters(length))),
        (false, None) => None,
    });
    first.extend(measure.meter.as_ref().map(ToString::to_string));
    first.extend(
        measure
            .groups
            .as_ref()
            .map(|groups| format!("grouped {groups}")),
    );
    first.extend(measure.count.iter().flat_map(write_count));
    first.extend(measure.key.map(write_key));
    let mut last = Vec::new();
    let mut way = |is: bool, phrase: &str| last.extend(is.then(|| phrase.to_owned()));
    way(measure.repeat_from, "repeat starts");
    match measure.ending.as_slice() {
        [] => {}
        [1] => way(true, "first ending"),
        [2] => way(true, "second ending"),
        passes => {
            let passes: Vec<String> = passes.iter().map(ToString::to_string).collect();
            way(true, &format!("ending {}", passes.join(" and ")));
        }
    }
    way(measure.cut, "cut");
    for (word, name) in [
        ("segno", &measure.segno),
        ("coda", &measure.coda),
        ("to coda", &measure.to_coda),
    ] {
        if let Some(name) = name {
            way(true, &named(word, name));
        }
    }
    way(measure.fine, "fine");
    match measure.repeat_back {
        None => {}
        Some(2) => way(true, "repeat ends"),
        Some(times) => way(true, &format!("repeat ends after {times} times")),
    }
    if let Some(jump) = &measure.jump {
        way(true, &write_jump(jump));
    }
    (first, last)
}

fn write_key(key: Key) -> String {
    let number = key.fifths().unsigned_abs();
    let plural = if number == 1 { "" } else { "s" };
    match key.fifths() {
        0 => "no sharps or flats".to_owned(),
        1.. => format!("{number} sharp{plural}"),
        _ => format!("{number} flat{plural}"),
    }
}

/// Writes how a measure is counted: the beat and the style are two items.
fn write_count(count: &CountHere) -> Vec<String> {
    let phrase = |wanted: CountHere| {
        let known = COUNTS.iter().find(|(_, own)| *own == wanted);
        known.map(|(phrase, _)| (*phrase).to_owned())
    };
    let beat = count.beat.map(|beat| CountHere {
        beat: Some(beat),
        style: None,
    });
    let style = count.style.map(|style| CountHere {
        beat: None,
        style: Some(style),
    });
    let neither = (beat.is_none() && style.is_none()).then(CountHere::default);
    let all = [beat, style, neither];
    all.into_iter().flatten().filter_map(phrase).collect()
}

fn write_jump(jump: &Jump) -> String {
    let mut text = match jump.to_segno.as_deref() {
        None => "D.C.".to_owned(),
        Some("") => "D.S.".to_owned(),
        Some(name) => format!("D.S. {}", crate::text::quote(name)),
    };
    text.push_str(match jump.until {
        JumpUntil::End => "",
        JumpUntil::Fine => " al fine",
        JumpUntil::Coda => " al coda",
    });
    if jump.with_repeats {
        text.push_str(" with repeats");
    }
    text
}

/// Writes a fermata.
pub(crate) fn write_hold(hold: &Hold) -> String {
    let mut text = "fermata".to_owned();
    if let Some(longer) = hold.longer {
        text.push_str(&format!(" {} longer", write_quarters(longer)));
    }
    if hold.lead_in != 1 {
        text.push_str(&format!(" with {} counts to lead on", hold.lead_in));
    }
    text
}

/// Puts an item that concerns a whole measure into it; gives what it replaced, in words.
pub(crate) fn apply(measure: &mut Measure, item: &Item<'_>) -> Result<(), &'static str> {
    fn set<T: PartialEq + Clone>(
        slot: &mut Option<T>,
        value: &T,
        what: &'static str,
    ) -> Result<(), &'static str> {
        let before = slot.replace(value.clone());
        before
            .is_none_or(|before| before == *value)
            .then_some(())
            .ok_or(what)
    }
    match item {
        Item::Meter(meter) => set(&mut measure.meter, meter, "meter"),
        Item::Groups(groups) => set(&mut measure.groups, groups, "grouping"),
        Item::Count(count) => {
            let own = measure.count.get_or_insert_default();
            let clash = (own.beat.is_some()
                && count.beat.is_some_and(|beat| own.beat != Some(beat)))
                || (own.style.is_some()
                    && count.style.is_some_and(|style| own.style != Some(style)));
            own.beat = count.beat.or(own.beat);
            own.style = count.style.or(own.style);
            if clash {
                Err("way of counting")
            } else {
                Ok(())
            }
        }
        Item::Key(key) => set(&mut measure.key, key, "key"),
        Item::Pickup(length) => {
            measure.pickup = true;
            length.map_or(Ok(()), |length| set(&mut measure.length, &length, "length"))
        }
        Item::Length(length) => set(&mut measure.length, length, "length"),
        Item::Movement(name) => set(&mut measure.movement, name, "movement"),
        Item::Section(name) => set(&mut measure.section, name, "section"),
        Item::Rehearsal(name) => set(&mut measure.mark, name, "rehearsal mark"),
        Item::RepeatBack(times) => set(&mut measure.repeat_back, times, "end of a repeat"),
        Item::Segno(name) => set(&mut measure.segno, name, "segno"),
        Item::Coda(name) => set(&mut measure.coda, name, "coda"),
        Item::ToCoda(name) => set(&mut measure.to_coda, name, "to coda"),
        Item::Jump(jump) => set(&mut measure.jump, jump, "jump"),
        Item::Ending(passes) => {
            let clash = !measure.ending.is_empty() && measure.ending != *passes;
            measure.ending.clone_from(passes);
            if clash { Err("ending") } else { Ok(()) }
        }
        Item::RepeatFrom => {
            measure.repeat_from = true;
            Ok(())
        }
        Item::Fine => {
            measure.fine = true;
            Ok(())
        }
        Item::Cut => {
            measure.cut = true;
            Ok(())
        }
        Item::Hold(..) | Item::Tempo(_) | Item::Mark(_) => Ok(()),
    }
}

/// Tells whether an item may stand inside a measure, on a beat of its own.
pub(crate) const fn has_a_beat(item: &Item<'_>) -> bool {
    matches!(item, Item::Hold(..) | Item::Tempo(_) | Item::Mark(_))
}

/// Tells whether words could stand without quotes before a tempo.
pub(crate) fn are_free_words(words: &str) -> bool {
    crate::text::is_plain_name(words, &[])
        && matches!(classify(Piece::line(words)), Class::Words(_))
}
