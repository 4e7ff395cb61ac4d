//! The facts of the road map, in plain words.

use crate::change::playing_word;
use crate::place::{beat_of, beat_text};
use crate::sections::{mark_of, marks_begin};
use crate::{
    Page, Word, at_text, key_text, measure_text, meter_text, number_of, same_beat_text, tempo_text,
};
use cueleaf_guide::{JumpUntil, Mark, MarkKind, Measure, Place, Return, TempoMark};
use cueleaf_time::BeatSpan;

/// Writes what is printed at a measure, apart from section names and tips: a
/// list of short phrases in reading order.
#[must_use]
pub fn facts_at(page: &Page<'_>, measure: usize) -> Vec<String> {
    facts(page, measure, Above::Nothing)
}

/// What is told already above the facts of a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Above {
    /// Nothing.
    Nothing,
    /// Meter, key, and the tempo at the start: the head of a section.
    Head,
}

pub(crate) fn facts(page: &Page<'_>, measure: usize, above: Above) -> Vec<String> {
    let Some(own) = page.measures().get(measure) else {
        return Vec::new();
    };
    let words = page.words;
    let mut facts = Vec::new();
    // The mark that a section is called by stands above it.
    let said = above == Above::Head && marks_begin(page);
    if let Some(mark) = mark_of(own).filter(|_| !said) {
        facts.push(words.fill(Word::Mark, &[mark]));
    }
    if own.cut {
        facts.push(words.get(Word::Cut).to_owned());
    }
    start_facts(page, measure, own, above, &mut facts);
    let marks = own.tempo.iter();
    let marks = marks.filter(|mark| above == Above::Nothing || !in_head(mark));
    facts.extend(marks.filter_map(|mark| tempo_fact(page, measure, mark)));
    let parts = page.guide.parts.as_slice();
    if let [part] = parts {
        let here = part.marks.iter().filter(|mark| mark.measure == measure);
        facts.extend(here.filter_map(|mark| mark_fact(page, mark)));
    }
    for hold in &own.holds {
        let place = Place {
            measure,
            at: hold.at,
        };
        let beat = beat_text(page, place);
        let beat = beat.unwrap_or_else(|| words.fill(Word::Beat, &["1"]));
        facts.push(words.fill(Word::Hold, &[&beat]));
    }
    end_facts(page, measure, own, &mut facts);
    facts
}

/// Tells whether the head of a section tells all of a tempo mark.
fn in_head(mark: &TempoMark) -> bool {
    mark.at.is_zero() && mark.until.is_none() && mark.tempo.is_some()
}

/// Gives the words of the tempo mark that the head of a section shows.
pub(crate) fn tempo_words<'a>(page: &Page<'a>, measure: usize) -> Option<&'a str> {
    let own = page.measures().get(measure)?;
    let mark = own.tempo.iter().find(|mark| in_head(mark))?;
    Some(mark.words.trim()).filter(|words| !words.is_empty())
}

fn start_facts(
    page: &Page<'_>,
    measure: usize,
    own: &Measure,
    above: Above,
    facts: &mut Vec<String>,
) {
    let words = page.words;
    if let Some(laid) = page.plan.layout().get(measure) {
        let regrouped = own.meter.is_some() || own.groups.is_some();
        if regrouped && above == Above::Nothing {
            facts.push(meter_text(words, laid));
        }
        let first = laid.beats.beats().first();
        if own.pickup
            && first.is_some_and(|beat| beat.number > 1 || !beat.into.is_zero())
            && let Some(beat) = beat_of(words, laid, BeatSpan::ZERO)
        {
            let inside = first.is_some_and(|beat| !beat.into.is_zero());
            let word = if inside {
                Word::PickupAfter
            } else {
                Word::Pickup
            };
            facts.push(words.fill(word, &[&beat]));
        }
    }
    if above == Above::Nothing {
        facts.extend(own.key.map(|key| key_text(words, key)));
    }
    let signs = [
        (own.repeat_from, Word::RepeatFrom),
        (own.segno.is_some(), Word::Segno),
        (own.coda.is_some(), Word::Coda),
    ];
    let standing = signs.iter().filter(|(stands, _)| *stands);
    facts.extend(standing.map(|(_, word)| words.get(*word).to_owned()));
    if let Some(first) = own.ending.first() {
        let before = measure
            .checked_sub(1)
            .and_then(|before| page.measures().get(before));
        // A bracket over several measures is told at its first.
        if before.is_none_or(|before| before.ending != own.ending) {
            let rest = own.ending.iter().skip(1);
            let numbers = rest.fold(first.to_string(), |text, n| format!("{text}, {n}"));
            facts.push(words.fill(Word::Ending, &[&numbers]));
        }
    }
}

fn end_facts(page: &Page<'_>, measure: usize, own: &Measure, facts: &mut Vec<String>) {
    let words = page.words;
    if let Some(sign) = page.plan.repeat_at(measure) {
        let place = measure_text(page, sign.start);
        facts.push(if sign.passes > 2 {
            words.fill(Word::RepeatTimes, &[&place, &sign.passes.to_string()])
        } else {
            words.fill(Word::RepeatBack, &[&place])
        });
    }
    if own.to_coda.is_some() {
        facts.push(words.get(Word::ToCoda).to_owned());
    }
    if own.fine {
        facts.push(words.get(Word::Fine).to_owned());
    }
    if let Some(jump) = &own.jump {
        let start = match jump.to_segno {
            Some(_) => words.get(Word::DalSegno),
            None => words.get(Word::DaCapo),
        };
        let until = page.guide.road_map.jump_until(measure);
        facts.push(match until.unwrap_or_default() {
            JumpUntil::End => start.to_owned(),
            JumpUntil::Fine => words.fill(Word::JumpToFine, &[start]),
            JumpUntil::Coda => words.fill(Word::JumpToCoda, &[start]),
        });
    }
}

fn tempo_fact(page: &Page<'_>, measure: usize, mark: &TempoMark) -> Option<String> {
    let words = page.words;
    let same_beat = mark.same_beat.map(|same| same_beat_text(words, same));
    let tempo = mark
        .tempo
        .map(|tempo| tempo_text(words, tempo))
        .or(same_beat);
    // A number counts before a return.
    let returns = tempo.is_none();
    let change = match (tempo, mark.until, mark.back) {
        (Some(tempo), Some(until), _) => {
            Some(words.fill(Word::GraduallyUntil, &[&tempo, &at_text(page, until)]))
        }
        (Some(tempo), None, _) => Some(tempo),
        (None, _, Some(Return::ToBefore)) => Some(words.get(Word::BackToBefore).to_owned()),
        (None, _, Some(Return::ToFirst)) => Some(words.get(Word::BackToFirst).to_owned()),
        (None, Some(until), None) => Some(words.fill(Word::Until, &[&at_text(page, until)])),
        (None, None, None) => None,
    };
    let printed = match (mark.words.trim(), mark.back) {
        // The trade's own words, in every language.
        ("", Some(back)) if returns => back.words(),
        (words, _) => words,
    };
    let text = match (printed, change) {
        ("", None) => return None,
        ("", Some(change)) => change,
        (printed, None) => printed.to_owned(),
        (printed, Some(change)) => format!("{printed}, {change}"),
    };
    Some(with_beat(
        page,
        Place {
            measure,
            at: mark.at,
        },
        text,
    ))
}

fn mark_fact(page: &Page<'_>, mark: &Mark) -> Option<String> {
    let place = Place {
        measure: mark.measure,
        at: mark.at,
    };
    let printed = match mark.kind {
        MarkKind::DownBow => Some(page.words.get(Word::DownBow)),
        MarkKind::UpBow => Some(page.words.get(Word::UpBow)),
        // Figures alone are a grouping, which the meter tells.
        MarkKind::Words => Some(mark.text.trim()).filter(|own| own.contains(char::is_alphabetic)),
        kind => playing_word(kind).map(|word| page.words.get(word)),
    };
    if let Some(printed) = printed {
        return Some(with_beat(page, place, printed.to_owned()));
    }
    let rest = mark.to.filter(|_| mark.kind == MarkKind::Rest)?;
    let block = page.measures().get(mark.measure..rest.measure)?;
    match block.iter().filter(|own| !own.cut).count() {
        0 => None,
        1 => Some(page.words.get(Word::RestForOne).to_owned()),
        count => Some(page.words.fill(Word::RestFor, &[&count.to_string()])),
    }
}

fn with_beat(page: &Page<'_>, place: Place, text: String) -> String {
    match beat_text(page, place) {
        Some(beat) => page.words.fill(Word::MeasureIs, &[&beat, &text]),
        None => text,
    }
}

/// How many stretches of the order of play are written at most.
///
/// # Source
/// Our decision: a theme with a dozen variations, every half repeated, has some fifty; nobody
/// reads on after twice as many.
const MAX_STRETCHES: usize = 100;

/// Writes the order of play where it is not simply the written one: "1–16, then
/// 9–14, then 17–40". After 100 stretches stands "…".
#[must_use]
pub fn order_text(page: &Page<'_>) -> Option<String> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for own in page.plan.order() {
        match runs.last_mut() {
            Some((_, last)) if own.measure == *last + 1 => *last = own.measure,
            _ => runs.push((own.measure, own.measure)),
        }
    }
    if runs.len() < 2 {
        return None;
    }
    let told = runs.iter().take(MAX_STRETCHES).map(|&(first, last)| {
        let numbers = [number_of(page, first), number_of(page, last)];
        if first == last {
            return numbers[0].to_string();
        }
        page.words
            .fill(Word::MeasuresShort, &[&numbers[0], &numbers[1]])
    });
    let more = (runs.len() > MAX_STRETCHES).then(|| "…".to_owned());
    let told: Vec<String> = told.chain(more).collect();
    Some(page.words.join(Word::Then, &told))
}
