//! A guide as the lines of its outline.

use crate::comments::Anchor;
use crate::detail::{is_like_a_detail, write_details};
use crate::ground::{Ground, write_label};
use crate::lines::{language_name, topic_word};
use crate::mark::write_mark;
use crate::measure::{write_facts, write_hold};
use crate::tempo::{First, write_tempo};
use crate::text::{is_plain_line, quote, write_line, write_name};
use cueleaf_guide::{
    CountStyle, Guide, Hold, Id, Mark, Measure, MeasureWord, Place, Settings, TempoMark, Tip,
    lay_out,
};
use std::collections::BTreeMap;

/// Lines that belong together.
pub(crate) struct Block {
    pub(crate) anchor: Anchor,
    pub(crate) lines: Vec<String>,
    /// Whether a blank line sets it apart when nobody chose.
    pub(crate) spacing: Spacing,
}

/// How a block stands to what is before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Spacing {
    Close,
    Apart,
}

/// How far the lines that belong to a line are indented.
const INDENT: &str = "    ";

/// What the text says for a part that the guide does not have.
pub(crate) const MISSING_PART: &str = "a missing part";

/// Gives the lines of a guide's outline.
pub(crate) fn blocks_of(guide: &Guide) -> Vec<Block> {
    let layout = lay_out(&guide.road_map, &guide.settings).value;
    let ground = Ground::new(&guide.road_map.measures, layout);
    let mut blocks = heads(guide);
    let mut spacing = Spacing::Apart;
    for (place, here) in by_place(guide) {
        if here
            .facts
            .is_some_and(|own| own.section.is_some() || own.movement.is_some())
        {
            spacing = Spacing::Apart;
        }
        let before = blocks.len();
        place_blocks(guide, &ground, place, &here, &mut blocks);
        if let Some(first) = blocks.get_mut(before) {
            first.spacing = spacing;
            spacing = Spacing::Close;
        }
    }
    for (index, todo) in guide.todos.iter().enumerate() {
        let at = todo
            .spot
            .map(|spot| format!(" at {}", ground.write_spot(&spot)));
        let whom = for_whom(guide, &todo.parts);
        let head = format!("To do{}{whom}:", at.unwrap_or_default());
        blocks.push(Block {
            anchor: Anchor::Todo(todo.text.clone()),
            lines: text_lines(&head, &todo.text),
            spacing: if index == 0 {
                Spacing::Apart
            } else {
                Spacing::Close
            },
        });
    }
    blocks
}

fn heads(guide: &Guide) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut head = |number: u8, spacing: Spacing, lines: Vec<String>| {
        let anchor = Anchor::Head(number);
        blocks.push(Block {
            anchor,
            lines,
            spacing,
        });
    };
    let close = Spacing::Close;
    head(
        0,
        close,
        vec![format!("Guide to {}", write_line(&guide.title))],
    );
    if !guide.composer.is_empty() {
        head(
            1,
            close,
            vec![format!("By {}", write_line(&guide.composer))],
        );
    }
    if !guide.parts.is_empty() {
        let names = guide
            .parts
            .iter()
            .map(|part| write_name(&part.name, &["and"]));
        head(
            2,
            close,
            vec![format!("For {}", list(&names.collect::<Vec<_>>()))],
        );
    }
    if !guide.road_map.measures.is_empty() {
        let labels = write_labels(&guide.road_map.measures);
        head(3, close, vec![format!("Measures {labels}")]);
    }
    let Settings {
        language,
        measure_word,
        count_style,
        count_in,
        address,
        // A confirmation is made with a tick, and kept when notes are merged.
        may_share: _,
        extra: _,
    } = &guide.settings;
    let usual = Settings::default();
    if *language != usual.language {
        head(4, close, vec![format!("In {}", language_name(*language))]);
    }
    if *measure_word != usual.measure_word {
        let word = match measure_word {
            MeasureWord::Measure => "measure",
            MeasureWord::Bar => "bar",
        };
        head(5, close, vec![format!("Say {word}")]);
    }
    if *count_style != usual.count_style {
        let line = match count_style {
            CountStyle::EachGroup => "Count each group anew",
            CountStyle::Through => "Count through the measure",
        };
        head(6, close, vec![line.to_owned()]);
    }
    if *count_in != usual.count_in {
        head(7, close, vec![format!("Count in {count_in} measures")]);
    }
    if !address.is_empty() {
        head(
            8,
            close,
            vec![format!("Links open at {}", write_line(address))],
        );
    }
    if !guide.word.is_empty() {
        head(
            9,
            Spacing::Apart,
            text_lines("To the student:", &guide.word),
        );
    }
    blocks
}

/// Writes "Viola", "Viola and Cello" or "Violin I, Viola and Cello".
fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Writes the printed numbers in order: "0 to 24, 24a, 3 unnumbered".
fn write_labels(measures: &[Measure]) -> String {
    let mut written = Vec::new();
    let mut rest = measures;
    while let Some((first, after)) = rest.split_first() {
        let label = first.label.as_str();
        if label.is_empty() {
            let number = rest.iter().take_while(|own| own.label.is_empty()).count();
            written.push(format!("{number} unnumbered"));
            rest = rest.get(number..).unwrap_or_default();
            continue;
        }
        let run = run_length(rest);
        rest = match rest
            .get(run.saturating_sub(1)..)
            .and_then(<[_]>::split_first)
        {
            Some((last, after)) if run > 2 => {
                written.push(format!("{label} to {}", last.label));
                after
            }
            _ => {
                written.push(write_label(label));
                after
            }
        };
    }
    written.join(", ")
}

/// Counts the measures whose printed numbers go up one by one from the first.
fn run_length(measures: &[Measure]) -> usize {
    let number = |measure: &Measure| {
        let number: u64 = measure.label.parse().ok()?;
        (number.to_string() == measure.label).then_some(number)
    };
    let Some(start) = measures.first().and_then(number) else {
        return 0;
    };
    let expected = (0u64..).map_while(|step| start.checked_add(step));
    let own = measures.iter().zip(expected);
    own.take_while(|(measure, expected)| number(measure) == Some(*expected))
        .count()
}

/// What stands at one place.
#[derive(Default)]
struct Here<'a> {
    facts: Option<&'a Measure>,
    tempo: Vec<&'a TempoMark>,
    holds: Vec<&'a Hold>,
    marks: BTreeMap<usize, Vec<&'a Mark>>,
    tips: Vec<&'a Tip>,
}

fn by_place(guide: &Guide) -> BTreeMap<Place, Here<'_>> {
    let mut places: BTreeMap<Place, Here<'_>> = BTreeMap::new();
    for (index, measure) in guide.road_map.measures.iter().enumerate() {
        let (first, last) = write_facts(measure);
        if !first.is_empty() || !last.is_empty() {
            places.entry(Place::start_of(index)).or_default().facts = Some(measure);
        }
        for mark in &measure.tempo {
            let place = Place {
                measure: index,
                at: mark.at,
            };
            places.entry(place).or_default().tempo.push(mark);
        }
        for hold in &measure.holds {
            let place = Place {
                measure: index,
                at: hold.at,
            };
            places.entry(place).or_default().holds.push(hold);
        }
    }
    for (part, own) in guide.parts.iter().enumerate() {
        for mark in &own.marks {
            let place = Place {
                measure: mark.measure,
                at: mark.at,
            };
            let here = places.entry(place).or_default();
            here.marks.entry(part).or_default().push(mark);
        }
    }
    for tip in &guide.tips {
        places.entry(tip.spot.from).or_default().tips.push(tip);
    }
    places
}

fn place_blocks(
    guide: &Guide,
    ground: &Ground,
    place: Place,
    here: &Here<'_>,
    blocks: &mut Vec<Block>,
) {
    let name = ground.write_place(place);
    let mut push = |what: u8, text: &str, lines: Vec<String>| {
        blocks.push(Block {
            anchor: Anchor::place(place, what, text),
            lines,
            spacing: Spacing::Close,
        });
    };
    let (mut items, last) = here.facts.map(write_facts).unwrap_or_default();
    for (index, mark) in here.tempo.iter().enumerate() {
        let first = if index == 0 { First::InLine } else { First::No };
        items.extend(write_tempo(mark, first, ground));
    }
    items.extend(last);
    items.extend(here.holds.iter().map(|hold| write_hold(hold)));
    let alone = guide.parts.len() == 1;
    let marks = here.marks.iter().map(|(part, marks)| {
        let written = marks.iter().map(|mark| write_mark(mark, ground));
        (*part, written.collect::<Vec<String>>())
    });
    let mut of_parts = Vec::new();
    for (part, written) in marks {
        if alone {
            items.extend(written);
        } else {
            of_parts.push((part, written));
        }
    }
    if !items.is_empty() {
        push(0, "", vec![format!("{name}  {}", items.join(", "))]);
    }
    for (part, written) in of_parts {
        let whom = part_name(guide, part);
        let line = format!("{name}  for {whom}: {}", written.join(", "));
        push(1, &part_key(part), vec![line]);
    }
    for tip in &here.tips {
        let spot = ground.write_spot(&tip.spot);
        let whom = for_whom(guide, &tip.parts);
        let head = format!("{spot}  {}{whom}:", topic_word(tip.topic));
        let mut lines = text_lines(&head, &tip.text);
        let details = write_details(tip).into_iter();
        lines.extend(details.map(|line| format!("{INDENT}{line}")));
        push(2, &tip.text, lines);
    }
}

/// Tells the marks of one part from those of another at the same place.
pub(crate) fn part_key(part: usize) -> String {
    format!("{part:05}")
}

/// Writes a text after its head: plain over as many lines as it has, else in quotes.
fn text_lines(head: &str, text: &str) -> Vec<String> {
    if text.is_empty() {
        return vec![head.to_owned()];
    }
    let plain =
        text.split('\n').all(is_plain_line) && !text.split('\n').skip(1).any(is_like_a_detail);
    if !plain {
        return vec![format!("{head} {}", quote(text))];
    }
    let mut lines = text.split('\n');
    let first = lines.next().unwrap_or_default();
    let first = format!("{head} {first}");
    let rest = lines.map(|line| format!("{INDENT}{line}"));
    core::iter::once(first).chain(rest).collect()
}

fn for_whom(guide: &Guide, parts: &[Id]) -> String {
    if parts.is_empty() {
        return String::new();
    }
    let names = parts.iter().map(|id| {
        let index = guide.parts.iter().position(|part| part.id == *id);
        index.map_or_else(|| MISSING_PART.to_owned(), |index| part_name(guide, index))
    });
    format!(", for {}", list(&names.collect::<Vec<_>>()))
}

/// Writes a part by its name, or as "part 2" when another has the same.
fn part_name(guide: &Guide, index: usize) -> String {
    let ordinal = || format!("part {}", index + 1);
    let Some(part) = guide.parts.get(index) else {
        return ordinal();
    };
    let lower = part.name.to_lowercase();
    let same = guide
        .parts
        .iter()
        .filter(|own| own.name.to_lowercase() == lower);
    if part.name.is_empty() || same.count() > 1 {
        return ordinal();
    }
    if lower.starts_with("part ") || lower == MISSING_PART {
        return quote(&part.name);
    }
    write_name(&part.name, &["and"])
}
