//! A draft of a guide from what a talk said.

use super::fact::{NO_SIGNS, SAME};
use super::sign::BACK;
use super::{FactKind, Point, Said, Statement, Talk, What, Why};
use crate::collect::Findings;
use cueleaf_guide::{
    Checked, Extra, Finding, Guide, Hold, Id, Mark, MarkKind, Measure, Part, Place, Return,
    Severity, Spot, TempoMark, Tip, Watch, lay_out,
};
use cueleaf_time::{BeatSpan, Key, Ratio, Tempo};

/// The most measures that a talk can make: what is beyond is no measure number.
const MOST: u32 = 2_000;

/// Drafts a guide: as many measures as were named, with their facts, and a tip for each advice
/// with the time at which it was given. What finds no place is told, with the words.
#[must_use]
pub fn draft_talk(talk: &Talk, id: Id) -> Checked<Guide> {
    let mut guide = Guide::new(id, "");
    let mut findings = Findings::default();
    let named = talk
        .statements
        .iter()
        .filter_map(|own| own.place.as_ref())
        .flat_map(|own| [Some(&own.from), own.to.as_ref()])
        .flatten()
        .filter_map(last_named);
    let last = named.filter(|number| *number <= MOST).max().unwrap_or(0);
    let zero = talk
        .statements
        .iter()
        .filter_map(|own| own.place.as_ref())
        .any(|own| matches!(own.from, Point::Measure { number: 0, .. }));
    let first = u32::from(!zero);
    guide.road_map.measures = (first..=last.max(first))
        .map(|number| Measure::labelled(&number.to_string()))
        .collect();
    let mut part = Part {
        id: part_id(),
        name: "My part".to_owned(),
        marks: Vec::new(),
        extra: Extra::default(),
    };
    let mut number = 0;
    for statement in &talk.statements {
        let found = statement
            .place
            .as_ref()
            .map_or(Some(Place::start_of(0)), |said| place(&guide, &said.from));
        let Some(place) = found else {
            if statement.what != What::Place {
                findings.push(quoted(
                    statement,
                    "said-without-place",
                    "this was said about a place that the talk does not number",
                ));
            }
            continue;
        };
        match &statement.what {
            What::Place => {}
            What::Fact { kind, value } => {
                let to = statement.place.as_ref().and_then(|said| said.to.as_ref());
                let end = to.and_then(|to| self::place(&guide, to));
                // Who says the word of the trade means it; "the same as before" sets nothing.
                let back = value == SAME && statement.words.to_lowercase().contains(BACK.1);
                let (kind, own) = if back { BACK } else { (*kind, value.as_str()) };
                if !set(&mut guide, &mut part, (place, end), kind, own) {
                    let message = format!("“{value}” was heard here and could not be set");
                    findings.push(
                        quoted(statement, "said-not-set", &message).at_measure(place.measure, ""),
                    );
                }
            }
            What::Tip { topic, excerpt } => {
                number += 1;
                let Some(id) = Id::new(&format!("tip-{number}")) else {
                    continue;
                };
                let spot = spot(&guide, statement.place.as_ref(), place);
                let mut tip = Tip::new(id, spot, *topic, excerpt);
                tip.watch = u32::try_from(statement.from / 1_000).ok().map(Watch::at);
                guide.tips.push(tip);
            }
        }
    }
    for correction in &talk.corrections {
        let message = format!(
            "caption {}: “{}” is taken for “{}”",
            correction.caption, correction.heard, correction.meant
        );
        findings.push(
            Finding::new(Severity::Note, "misheard", message)
                .hint("change the tip if that is wrong"),
        );
    }
    tell_unheard(talk, &mut findings);
    guide.parts.push(part);
    Checked {
        value: guide,
        findings: findings.in_order(),
    }
}

/// How many sentences are quoted in one finding.
const MOST_QUOTED: usize = 4;

/// Tells what was said and not taken, and that nothing was.
fn tell_unheard(talk: &Talk, findings: &mut Findings) {
    if talk.statements.is_empty() {
        findings.push(
            Finding::new(
                Severity::Warning,
                "nothing-heard",
                "nothing was taken from this talk: it names too few measures, or says nothing about music",
            )
            .hint("say the numbers of the measures while you talk"),
        );
    }
    for own in talk.unheard.iter().filter(|own| own.why == Why::NoPlace) {
        let message = format!(
            "caption {}: this was said about a measure whose number was not understood: “{}”",
            own.caption, own.words
        );
        findings.push(
            Finding::new(Severity::Note, "said-without-place", message)
                .hint("put it at its measure yourself"),
        );
    }
    let silent: Vec<_> = talk
        .unheard
        .iter()
        .filter(|own| own.why == Why::NotUnderstood)
        .collect();
    let quoted: Vec<String> = silent
        .iter()
        .take(MOST_QUOTED)
        .map(|own| format!("“{}” (caption {})", own.words, own.caption))
        .collect();
    let more = match silent.len() - quoted.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    if !quoted.is_empty() {
        let message = format!(
            "said at a measure, and not understood: {}{more}",
            quoted.join(", ")
        );
        findings.push(
            Finding::new(Severity::Note, "said-not-understood", message)
                .hint("put what matters at its measure yourself"),
        );
    }
}

fn part_id() -> Id {
    Id::new("my-part").unwrap_or_else(|| Id::from_random(0))
}

fn quoted(statement: &Statement, code: &'static str, message: &str) -> Finding {
    let said = match &statement.what {
        What::Tip { excerpt, .. } => excerpt.clone(),
        What::Fact { value, .. } => value.clone(),
        What::Place => String::new(),
    };
    Finding::new(
        Severity::Note,
        code,
        format!("caption {}: {message}: “{said}”", statement.caption),
    )
    .hint("put it at its measure yourself")
}

/// Gives the measure number that a place names.
fn last_named(point: &Point) -> Option<u32> {
    match point {
        Point::Measure { number, .. } => Some(*number),
        Point::Pickup(Some(target)) => last_named(target),
        Point::Mark { .. } | Point::End { .. } | Point::Start | Point::Pickup(None) => None,
    }
}

fn index_of(guide: &Guide, number: u32) -> Option<usize> {
    let label = number.to_string();
    guide
        .road_map
        .measures
        .iter()
        .position(|own| own.label == label)
}

/// Finds a place in the drafted measures; a rehearsal mark has none, for no talk says where it stands.
fn place(guide: &Guide, point: &Point) -> Option<Place> {
    match point {
        Point::Measure { number, beat } => {
            let measure = index_of(guide, *number)?;
            let at = beat.and_then(|beat| beat_at(guide, measure, beat));
            Some(Place {
                measure,
                at: at.unwrap_or(BeatSpan::ZERO),
            })
        }
        Point::Mark { .. } => None,
        Point::End { before } => {
            let last = guide.road_map.measures.len().checked_sub(1)?;
            last.checked_sub(usize::try_from(*before).ok()?)
                .map(Place::start_of)
        }
        Point::Start | Point::Pickup(None) => Some(Place::start_of(0)),
        Point::Pickup(Some(target)) => {
            let place = place(guide, target)?;
            Some(Place::start_of(place.measure.saturating_sub(1)))
        }
    }
}

/// Finds a beat in a measure as it is counted so far: the fifth of 6/8 is none of its two beats,
/// but an eighth. `None` beyond the measure.
fn beat_at(guide: &Guide, measure: usize, beat: u32) -> Option<BeatSpan> {
    if beat == 1 {
        return Some(BeatSpan::ZERO);
    }
    let layout = lay_out(&guide.road_map, &guide.settings).value;
    let laid = layout.get(measure)?;
    let before = usize::try_from(beat).ok()?.checked_sub(1)?;
    if let Some(beat) = laid.beats.beats().get(before) {
        return Some(beat.at);
    }
    let units = Ratio::whole(i64::try_from(before).ok()?);
    let at = laid.meter.finest_span().times(units).ok()?;
    (at < laid.length).then_some(at)
}

fn spot(guide: &Guide, said: Option<&Said>, from: Place) -> Spot {
    let to = said.and_then(|said| said.to.as_ref());
    Spot {
        from,
        to: to.and_then(|to| place(guide, to)),
    }
}

/// Sets a fact; tells whether it could be.
fn set(
    guide: &mut Guide,
    part: &mut Part,
    (place, end): (Place, Option<Place>),
    kind: FactKind,
    value: &str,
) -> bool {
    let meters = guide.road_map.measures.iter().take(place.measure);
    let last = meters.rev().find_map(|own| own.meter.as_ref());
    // "A bar of three" names no note value: that of the meter before goes on.
    let lower = last.map_or_else(|| "4".to_owned(), |meter| lower(&meter.to_string()));
    let Some(measure) = guide.road_map.measures.get_mut(place.measure) else {
        return false;
    };
    match kind {
        FactKind::Tempo => match value.replace('=', " = ").parse::<Tempo>() {
            Ok(tempo) => {
                measure
                    .tempo
                    .push(TempoMark::at_once(BeatSpan::ZERO, "", tempo));
                true
            }
            // "the same" sets nothing anew.
            Err(_) => value == SAME,
        },
        FactKind::Meter if value.contains('/') => value
            .parse()
            .map(|meter| measure.meter = Some(meter))
            .is_ok(),
        FactKind::Meter => format!("{value}/{lower}")
            .parse()
            .map(|meter| measure.meter = Some(meter))
            .is_ok(),
        FactKind::Grouping => value
            .parse()
            .map(|groups| measure.groups = Some(groups))
            .is_ok(),
        FactKind::Section => {
            measure.section = Some(value.to_owned());
            true
        }
        FactKind::Key => key(value).map(|key| measure.key = Some(key)).is_some(),
        FactKind::Change => {
            let mut mark = TempoMark::words(place.at, value);
            if value == BACK.1 {
                mark.back = Some(Return::ToBefore);
            } else {
                // The last measure that is named belongs to it.
                mark.until = end.map(|end| Place::start_of(end.measure + 1));
            }
            measure.tempo.push(mark);
            measure.tempo.sort_by_key(|mark| mark.at);
            true
        }
        FactKind::Fermata => {
            measure.holds.push(Hold::new(place.at, None));
            true
        }
        FactKind::Pluck | FactKind::Dynamic | FactKind::Mute => {
            let (kind, text) = match value {
                "pizz" => (MarkKind::Pizz, ""),
                "arco" => (MarkKind::Arco, ""),
                "on" => (MarkKind::MuteOn, ""),
                "off" => (MarkKind::MuteOff, ""),
                "crescendo" => (MarkKind::Grow, ""),
                "diminuendo" => (MarkKind::Fade, ""),
                text => (MarkKind::Dynamic, text),
            };
            part.marks.push(Mark {
                measure: place.measure,
                at: place.at,
                kind,
                to: None,
                text: text.to_owned(),
                extra: Extra::default(),
            });
            part.marks.sort_by_key(|mark| (mark.measure, mark.at));
            true
        }
    }
}

/// Gives the lower number of a meter.
fn lower(meter: &str) -> String {
    meter
        .rsplit_once('/')
        .map_or("4", |(_, lower)| lower)
        .to_owned()
}

/// Reads "D major", "B flat minor", "2 sharps".
fn key(value: &str) -> Option<Key> {
    if value == NO_SIGNS {
        return Key::from_fifths(0).ok();
    }
    let words: Vec<&str> = value.split(' ').collect();
    if let [count, signs] = words.as_slice()
        && let Ok(count) = count.parse::<i8>()
    {
        return Key::from_fifths(if signs.starts_with("flat") {
            -count
        } else {
            count
        })
        .ok();
    }
    let (letter, mode) = (words.first()?, words.last()?);
    let natural: i8 = match *letter {
        "F" => -1,
        "C" => 0,
        "G" => 1,
        "D" => 2,
        "A" => 3,
        "E" => 4,
        "B" => 5,
        _ => return None,
    };
    let altered = if words.contains(&"flat") {
        -7
    } else if words.contains(&"sharp") {
        7
    } else {
        0
    };
    let mode = if *mode == "minor" { -3 } else { 0 };
    Key::from_fifths(natural + altered + mode).ok()
}
