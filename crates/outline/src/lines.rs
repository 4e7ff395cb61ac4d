//! The lines of an outline, each read for itself: what it says, before anything is known
//! about the measures and parts that it names.

use crate::detail::{is_like_a_detail, read_detail};
use crate::ground::{RawSpot, read_label, spot_prefix};
use crate::item::{Class, Item, classify, read_items};
use crate::text::{Piece, read_line, read_name};
use crate::trouble::{Trouble, nearest};
use cueleaf_guide::{CountStyle, Id, Language, MeasureWord, Place, Spot, Tip, Topic};

/// Something that the lines of an outline say.
pub(crate) enum Block<'a> {
    Head(Head),
    Items {
        spot: RawSpot<'a>,
        /// The parts whose marks these are; `None` when the line names none.
        parts: Option<Vec<Piece<'a>>>,
        items: Vec<(usize, Piece<'a>, Item<'a>)>,
    },
    Tip {
        spot: RawSpot<'a>,
        parts: Vec<Piece<'a>>,
        text: Vec<String>,
        /// The topic and the details; place, text and parts are still to come.
        tip: Box<Tip>,
    },
    Todo {
        spot: Option<RawSpot<'a>>,
        parts: Vec<Piece<'a>>,
        text: Vec<String>,
    },
}

/// A line about the guide as a whole.
pub(crate) enum Head {
    Title(String),
    Composer(String),
    Parts(Vec<String>),
    Measures(Vec<Labels>),
    Language(Language),
    Say(MeasureWord),
    Style(CountStyle),
    CountIn(u8),
    Address(String),
    Word(Vec<String>),
}

/// Some measures in order by their printed numbers.
pub(crate) enum Labels {
    One(String),
    Run(u64, u64),
    Unnumbered(usize),
}

/// What is wrong with a line, and what of it is kept.
pub(crate) struct Unread {
    pub(crate) line: usize,
    pub(crate) trouble: Trouble,
}

/// One entry of an outline in its order.
#[allow(
    clippy::large_enum_variant,
    reason = "most entries are blocks, and all are gone once the outline is read"
)]
pub(crate) enum Entry<'a> {
    /// A blank line, an aside, or something that was not understood: kept as it stands.
    Kept(String),
    /// An item of the line before that was not understood, as a line of its own.
    KeptItem(String),
    /// A detail of the tip before that was not understood.
    KeptDetail(String),
    Block {
        line: usize,
        /// The lines as they stand.
        raw: Vec<&'a str>,
        block: Block<'a>,
    },
}

/// The longest place with names of parts before the items of a line, in bytes.
const MAX_PLACE_BYTES: usize = 4_000;

const LANGUAGES: [(&str, Language); 5] = [
    ("English", Language::English),
    ("German", Language::German),
    ("Spanish", Language::Spanish),
    ("French", Language::French),
    ("Italian", Language::Italian),
];

const TOPICS: [(&str, Topic); 14] = [
    ("Bow", Topic::Bow),
    ("Left hand", Topic::LeftHand),
    ("Pluck", Topic::Pluck),
    ("Sound", Topic::Sound),
    ("Count", Topic::Count),
    ("Listen", Topic::Listen),
    ("Get ready", Topic::GetReady),
    ("Note", Topic::Note),
    ("Tip", Topic::Note),
    ("Left-hand", Topic::LeftHand),
    ("Bowing", Topic::Bow),
    ("Plucking", Topic::Pluck),
    ("Counting", Topic::Count),
    ("Listening", Topic::Listen),
];

/// Gives the word with which a tip of a topic begins.
pub(crate) fn topic_word(topic: Topic) -> &'static str {
    let found = TOPICS.iter().find(|(_, own)| *own == topic);
    found.map_or("Note", |(word, _)| word)
}

/// Gives the name of a language.
pub(crate) fn language_name(language: Language) -> &'static str {
    let found = LANGUAGES.iter().find(|(_, own)| *own == language);
    found.map_or("English", |(name, _)| name)
}

const HEADS: &[&str] = &[
    "Guide to",
    "By",
    "For",
    "Measures",
    "In English",
    "In German",
    "In Spanish",
    "In French",
    "In Italian",
    "Say bar",
    "Say measure",
    "Count through the measure",
    "Count each group anew",
    "Count in 2 measures",
    "Links open at",
    "To the student:",
    "To do:",
    "To do at",
];

/// Reads the lines of an outline.
pub(crate) fn read_lines(text: &str) -> (Vec<Entry<'_>>, Vec<Unread>) {
    let mut entries: Vec<Entry<'_>> = Vec::new();
    let mut unread = Vec::new();
    let text = text.trim_start_matches('\u{feff}');
    // The block to which an indented line belongs.
    let mut open: Option<usize> = None;
    for (index, raw) in text.lines().enumerate() {
        let (line, raw) = (index + 1, raw.trim_end());
        let piece = Piece::line(raw).trim();
        let indented = piece.column > 1;
        if piece.is_empty() || (!indented && raw.starts_with('(')) {
            entries.push(Entry::Kept(raw.to_owned()));
            continue;
        }
        let under = open.filter(|_| indented).and_then(|at| entries.get_mut(at));
        if let Some(Entry::Block {
            raw: own, block, ..
        }) = under
            && takes_more(block)
        {
            own.push(raw);
            for (kept, trouble) in read_more(line, piece, own.first().copied(), block) {
                entries.push(kept);
                unread.push(Unread { line, trouble });
            }
            continue;
        }
        let (block, troubles) = match read_block(line, piece) {
            Ok(read) => read,
            Err(trouble) => {
                entries.push(Entry::Kept(piece.text.to_owned()));
                unread.push(Unread { line, trouble });
                continue;
            }
        };
        let says_nothing = matches!(&block, Block::Items { items, .. } if items.is_empty());
        if !says_nothing {
            open = Some(entries.len());
            let raw = vec![piece.text];
            entries.push(Entry::Block { line, raw, block });
        }
        for (kept, trouble) in troubles {
            entries.push(if says_nothing {
                Entry::Kept(kept)
            } else {
                Entry::KeptItem(kept)
            });
            unread.push(Unread { line, trouble });
        }
    }
    (entries, unread)
}

const fn takes_more(block: &Block<'_>) -> bool {
    !matches!(block, Block::Head(head) if !matches!(head, Head::Word(_)))
}

/// Reads an indented line into the block above it; gives what of it was not understood.
fn read_more<'a>(
    line: usize,
    piece: Piece<'a>,
    first: Option<&'a str>,
    block: &mut Block<'a>,
) -> Vec<(Entry<'a>, Trouble)> {
    match block {
        Block::Head(Head::Word(text)) | Block::Todo { text, .. } => {
            text.push(piece.text.to_owned());
            Vec::new()
        }
        Block::Head(_) => Vec::new(),
        Block::Tip { text, tip, .. } => {
            if !is_like_a_detail(piece.text) {
                text.push(piece.text.to_owned());
                return Vec::new();
            }
            let read = read_detail(piece, tip);
            let trouble = read.err().into_iter();
            trouble
                .map(|trouble| (Entry::KeptDetail(piece.text.to_owned()), trouble))
                .collect()
        }
        Block::Items { items, .. } => {
            let (more, troubles) = read_items(piece);
            items.extend(more.into_iter().map(|(own, item)| (line, own, item)));
            let prefix = first.map_or("", |first| prefix_of(Piece::line(first)));
            let kept = |own: Piece<'_>| Entry::KeptItem(format!("{prefix}{}", own.text));
            troubles
                .into_iter()
                .map(|(own, trouble)| (kept(own), trouble))
                .collect()
        }
    }
}

/// Gives what stands before the items of a line.
fn prefix_of(line: Piece<'_>) -> &str {
    let rest = place_of(line).map_or(line, |(_, rest)| rest);
    let rest = part_marks(rest).map_or(rest, |(_, rest)| rest);
    line.cut(line.text.len() - rest.text.len()).0.text
}

/// Reads the place with which a line starts. Two spaces end it for certain.
fn place_of(line: Piece<'_>) -> Option<(RawSpot<'_>, Piece<'_>)> {
    let wide = line.wide_space().and_then(|at| {
        let (head, rest) = line.cut(at);
        let (spot, left) = spot_prefix(head.trim())?;
        left.trim().is_empty().then(|| (spot, rest.trim()))
    });
    let (spot, rest) = wide.or_else(|| spot_prefix(line))?;
    let rest = rest.trim();
    let sign = rest.text.starts_with([':', '-', '–', '—', ',']);
    let rest = if sign {
        let length = rest.text.chars().next().map_or(0, char::len_utf8);
        rest.cut(length).1.trim()
    } else {
        rest
    };
    Some((spot, rest))
}

/// Reads "for Viola: pizz, p".
fn part_marks(rest: Piece<'_>) -> Option<(Vec<Piece<'_>>, Piece<'_>)> {
    rest.after("for")?;
    let (head, items) = rest.at_colon()?;
    Some((names(head.after("for")?), items))
}

/// Reads "Viola, Cello and Bass".
fn names(piece: Piece<'_>) -> Vec<Piece<'_>> {
    let pieces = piece.split(&[',']).into_iter();
    let each = pieces.flat_map(|own| own.split_at_word("and"));
    each.filter(|own| !own.is_empty()).collect()
}

type Troubles<'a> = Vec<(String, Trouble)>;

fn read_block(line: usize, piece: Piece<'_>) -> Result<(Block<'_>, Troubles<'_>), Trouble> {
    if let Some((spot, rest)) = place_of(piece) {
        return read_at_place(line, piece, spot, rest);
    }
    if piece.after("to do").is_some() {
        return read_todo(piece).map(|todo| (todo, Vec::new()));
    }
    read_head(piece).map(|head| (Block::Head(head), Vec::new()))
}

fn read_at_place<'a>(
    line: usize,
    piece: Piece<'a>,
    spot: RawSpot<'a>,
    rest: Piece<'a>,
) -> Result<(Block<'a>, Troubles<'a>), Trouble> {
    if rest.is_empty() {
        let trouble = Trouble::at(piece, "nothing-said", "nothing is said at this place");
        return Err(trouble);
    }
    if let Some(after) = rest.after("to do") {
        let (parts, text) = for_whom(after)?;
        let text = vec![text.text.to_owned()];
        let spot = Some(spot);
        return Ok((Block::Todo { spot, parts, text }, Vec::new()));
    }
    if let Some((topic, parts, text)) = read_tip_head(rest) {
        let tip = empty_tip(topic);
        let text = vec![text.text.to_owned()];
        let tip = Box::new(tip);
        return Ok((
            Block::Tip {
                spot,
                parts,
                text,
                tip,
            },
            Vec::new(),
        ));
    }
    let part = part_marks(rest);
    if part.is_none()
        && let Some((topic, _)) = rest.at_colon()
        && let Some(first) = topic.split(&[',', ';']).first()
        && matches!(classify(*first), Class::Words(_))
    {
        let words = TOPICS.map(|(word, _)| word);
        let reason = "a tip begins with what it is about, such as Bow or Listen";
        let trouble = Trouble::at(topic, "not-understood", reason);
        // "Bow arm" is about the bow: what follows the nearest word is left out.
        let known = words.map(str::to_owned).to_vec();
        let known = known.get(..8).unwrap_or(&known);
        let first = topic.text.split_whitespace().next().unwrap_or_default();
        let first = nearest(first, known).into_iter();
        let trouble = trouble.nearest(topic, known);
        let trouble = first.fold(trouble, Trouble::otherwise);
        return Err(trouble.otherwise("Note"));
    }
    let (parts, rest) = match part {
        Some((parts, rest)) => (Some(parts), rest),
        None => (None, rest),
    };
    let prefix = prefix_of(piece);
    if prefix.len() > MAX_PLACE_BYTES {
        let reason = "the place and the names of parts are too long";
        return Err(Trouble::at(piece, "too-large", reason));
    }
    let (items, troubles) = read_items(rest);
    let troubles = troubles.into_iter();
    let troubles = troubles.map(|(own, trouble)| (format!("{prefix}{}", own.text), trouble));
    let items = items
        .into_iter()
        .map(|(own, item)| (line, own, item))
        .collect();
    Ok((Block::Items { spot, parts, items }, troubles.collect()))
}

fn empty_tip(topic: Topic) -> Tip {
    // The id and the place are given when all is known; "tip" is always an id.
    let id = Id::new("tip").unwrap_or_else(|| Id::from_random(0));
    Tip::new(id, Spot::at(Place::start_of(0)), topic, "")
}

fn read_tip_head(rest: Piece<'_>) -> Option<(Topic, Vec<Piece<'_>>, Piece<'_>)> {
    TOPICS.iter().find_map(|(word, topic)| {
        let after = rest.after(word)?;
        let (parts, text) = for_whom(after).ok()?;
        Some((*topic, parts, text))
    })
}

/// Reads ", for Viola and Cello: text".
fn for_whom(piece: Piece<'_>) -> Result<(Vec<Piece<'_>>, Piece<'_>), Trouble> {
    let trouble = || {
        let reason = "here a colon is wanted, or first for whom it is: for Viola and Cello:";
        Trouble::at(piece, "not-understood", reason)
    };
    let (whom, text) = piece.at_colon().ok_or_else(trouble)?;
    let rest = if whom.text.starts_with(',') {
        whom.cut(1).1.trim()
    } else {
        whom
    };
    if rest.is_empty() {
        return Ok((Vec::new(), text));
    }
    Ok((names(rest.after("for").ok_or_else(trouble)?), text))
}

fn read_todo(piece: Piece<'_>) -> Result<Block<'_>, Trouble> {
    let rest = piece.after("to do").unwrap_or(piece);
    let (spot, rest) = match rest.after("at") {
        None => (None, rest),
        Some(place) => {
            let (spot, rest) = spot_prefix(place).ok_or_else(|| {
                let reason = "here a place is wanted, such as 12 or 12-15";
                Trouble::at(place, "not-understood", reason)
            })?;
            (Some(spot), rest.trim())
        }
    };
    let (parts, text) = for_whom(rest)?;
    let text = vec![text.text.to_owned()];
    Ok(Block::Todo { spot, parts, text })
}

fn read_head(piece: Piece<'_>) -> Result<Head, Trouble> {
    let wanted = |piece: Piece<'_>, what: &str| {
        Trouble::at(piece, "not-understood", format!("here {what} is wanted"))
    };
    if let Some(title) = piece.after("guide to") {
        return Ok(Head::Title(read_line(title)));
    }
    if let Some(text) = piece.after("to the student:") {
        return Ok(Head::Word(vec![text.text.to_owned()]));
    }
    if let Some(composer) = piece.after("by").filter(|rest| !rest.is_empty()) {
        return Ok(Head::Composer(read_line(composer)));
    }
    if let Some(parts) = piece.after("for").filter(|rest| !rest.is_empty()) {
        return Ok(Head::Parts(
            names(parts).into_iter().map(read_name).collect(),
        ));
    }
    if let Some(list) = piece.after("measures").or_else(|| piece.after("bars")) {
        let pieces = list.split(&[',']).into_iter().filter(|own| !own.is_empty());
        let read: Result<Vec<Labels>, Trouble> = pieces.map(read_labels).collect();
        return read.map(Head::Measures);
    }
    if let Some(language) = piece.after("in") {
        let known = LANGUAGES.iter().find(|(name, _)| language.is(name));
        let names = LANGUAGES.map(|(name, _)| name);
        return known.map(|(_, own)| Head::Language(*own)).ok_or_else(|| {
            wanted(language, "English, German, Spanish, French or Italian")
                .nearest(language, &names)
        });
    }
    if let Some(word) = piece.after("say") {
        return match word.text.to_ascii_lowercase().as_str() {
            "bar" => Ok(Head::Say(MeasureWord::Bar)),
            "measure" => Ok(Head::Say(MeasureWord::Measure)),
            _ => Err(wanted(word, "bar or measure").nearest(word, &["bar", "measure"])),
        };
    }
    if let Some(number) = piece.after("count in") {
        let words = ["measures", "measure", "bars", "bar"];
        let read = words.iter().find_map(|word| number.after_number(word));
        return read.map(Head::CountIn).ok_or_else(|| {
            wanted(number, "a number of measures, such as 2 measures,").suggest("2 measures")
        });
    }
    if piece.is("count through the measure") {
        return Ok(Head::Style(CountStyle::Through));
    }
    if piece.is("count each group anew") {
        return Ok(Head::Style(CountStyle::EachGroup));
    }
    if let Some(address) = piece.after("links open at") {
        return Ok(Head::Address(read_line(address)));
    }
    let reason =
        "a line begins with a place, such as 25 or 25-28, or says something about the whole";
    Err(Trouble::at(piece, "not-understood", reason).nearest(piece, HEADS))
}

fn read_labels(piece: Piece<'_>) -> Result<Labels, Trouble> {
    let trouble = || {
        let reason = "here measures are wanted, such as 1 to 24, 24a or 3 unnumbered";
        Trouble::at(piece, "not-understood", reason)
    };
    if let Some(number) = piece.after_number("unnumbered") {
        return Ok(Labels::Unnumbered(number));
    }
    let (first, rest) = read_label(piece).ok_or_else(trouble)?;
    let rest = rest.trim();
    if rest.is_empty() {
        return Ok(Labels::One(first));
    }
    let sign = rest.text.strip_prefix(['-', '–', '—']).map(str::trim);
    let last = rest
        .after("to")
        .map(|own| own.text)
        .or(sign)
        .ok_or_else(trouble)?;
    match (first.parse(), last.parse()) {
        (Ok(first), Ok(last)) if first <= last => Ok(Labels::Run(first, last)),
        _ => Err(trouble()),
    }
}
