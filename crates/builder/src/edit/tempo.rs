//! Edits of tempo marks.

use super::Reach;
use cueleaf_guide::{Guide, Measure, Place, TempoMark, lay_out};
use cueleaf_plan::{Plan, TempoMap};
use cueleaf_time::{BeatSpan, NoteValue, Ratio, Tempo};

/// The beat units offered, in order of length.
pub const UNITS: [&str; 8] = [
    "16th",
    "eighth",
    "dotted eighth",
    "quarter",
    "dotted quarter",
    "half",
    "dotted half",
    "whole",
];

/// How a tempo comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Manner {
    /// At the start of the first chosen measure.
    #[default]
    AtOnce,
    /// Little by little, from there to the end of the last chosen measure.
    Gradual,
}

/// What is chosen for a tempo whose number is still to come.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TempoWish {
    /// The note value that it counts.
    pub unit: Option<String>,
    /// How it comes.
    pub manner: Option<Manner>,
}

impl TempoWish {
    /// Puts it into the fields of a mark.
    pub fn fill(&self, fields: &mut TempoFields) {
        if let Some(unit) = &self.unit {
            fields.unit.clone_from(unit);
        }
        fields.manner = self.manner.unwrap_or(fields.manner);
    }
}

/// What stands in the fields of a tempo.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TempoFields {
    /// The words: "Lively".
    pub words: String,
    /// The beat unit.
    pub unit: String,
    /// The number of them a minute.
    pub number: String,
    /// How it comes in.
    pub manner: Manner,
}

/// Gives the mark at a place.
#[must_use]
pub fn mark_at(guide: &Guide, place: Place) -> Option<&TempoMark> {
    let measure = guide.road_map.measures.get(place.measure)?;
    measure.tempo.iter().find(|mark| mark.at == place.at)
}

/// Changes the tempo mark at a beat of a measure. One is made where none stands,
/// and one that says nothing any more goes.
pub(super) fn with_mark<T>(
    measure: &mut Measure,
    at: BeatSpan,
    change: impl FnOnce(&mut TempoMark) -> T,
) -> T {
    let marks = &mut measure.tempo;
    let found = marks.iter().position(|mark| mark.at == at);
    let index = found.unwrap_or_else(|| marks.partition_point(|mark| mark.at < at));
    let mut mark = match found {
        Some(index) => marks.remove(index),
        None => TempoMark::words(at, ""),
    };
    let result = change(&mut mark);
    let says_something = mark.tempo.is_some()
        || mark.back.is_some()
        || mark.same_beat.is_some()
        || mark.until.is_some()
        || !mark.words.is_empty();
    if says_something {
        marks.insert(index, mark);
    }
    result
}

/// Gives what the fields hold for the mark at a place; without a mark, the
/// unit of the tempo in force.
#[must_use]
pub fn fields_of(guide: &Guide, plan: &Plan, place: Place) -> TempoFields {
    let in_force = || {
        let start = plan
            .layout()
            .get(place.measure)
            .and_then(|laid| laid.start.plus(place.at).ok());
        let segments = plan.tempo().segments();
        let next = segments.partition_point(|own| start.is_some_and(|start| own.start <= start));
        let here = segments.get(next.saturating_sub(1));
        here.map_or(NoteValue::QUARTER, |segment| segment.from.unit())
    };
    let Some(mark) = mark_at(guide, place) else {
        return TempoFields {
            unit: in_force().to_string(),
            ..TempoFields::default()
        };
    };
    let unit = mark.tempo.map_or_else(in_force, Tempo::unit);
    TempoFields {
        words: mark.words.clone(),
        unit: unit.to_string(),
        number: mark.tempo.map_or_else(String::new, Tempo::number),
        manner: match mark.until {
            Some(_) => Manner::Gradual,
            None => Manner::AtOnce,
        },
    }
}

/// Sets the tempo mark at a beat of the first chosen measure from the fields;
/// empty words and an empty number take it away. A gradual change arrives at the
/// end of the last chosen measure, unless the teacher said where.
///
/// # Errors
/// A sentence for the teacher when the number is no tempo.
pub fn set_tempo(
    guide: &Guide,
    (first, last): (usize, usize),
    at: BeatSpan,
    reach: Reach,
    fields: &TempoFields,
) -> Result<Guide, String> {
    const WANTED: &str = "Type how many beats a minute, such as 96 or 112.5.";
    let number = fields.number.trim();
    let tempo = if number.is_empty() {
        None
    } else {
        let unit: NoteValue = fields
            .unit
            .parse()
            .map_err(|_| "Choose the note that the number counts.")?;
        let number: Ratio = number.replace(',', ".").parse().map_err(|_| WANTED)?;
        let tempo = Tempo::new(unit, number)
            .map_err(|_| "A tempo lies between 1 and 2000 quarter notes a minute.")?;
        Some(tempo)
    };
    let mut made = guide.clone();
    let Some(measure) = made.road_map.measures.get_mut(first) else {
        return Ok(made);
    };
    with_mark(measure, at, |mark| {
        fields.words.trim().clone_into(&mut mark.words);
        // The field shows two decimals; left as it is, it takes nothing from the exact number.
        let shown = tempo.map(Tempo::said);
        if shown.is_none() || shown != mark.tempo.map(Tempo::said) {
            mark.tempo = tempo;
        }
        if tempo.is_some() {
            mark.back = None;
            mark.same_beat = None;
        }
        let arrives = mark.tempo.is_some() || mark.back.is_some() || mark.same_beat.is_some();
        mark.until = match fields.manner {
            Manner::Gradual if arrives || !mark.words.is_empty() => {
                mark.until.or(Some(Place::start_of(last + 1)))
            }
            _ => None,
        };
    });
    if reach == Reach::Chosen
        && tempo.is_some()
        && let Some(next) = made.road_map.measures.get_mut(last + 1)
        && !next.tempo.iter().any(|mark| mark.at.is_zero())
        && let Some(restored) = tempo_in_force(guide, last + 1)
    {
        let mark = TempoMark::at_once(BeatSpan::ZERO, "", restored);
        next.tempo.insert(0, mark);
    }
    Ok(made)
}

/// Gives the tempo in force at the start of a measure, where it is steady.
pub(super) fn tempo_in_force(guide: &Guide, index: usize) -> Option<Tempo> {
    let layout = lay_out(&guide.road_map, &guide.settings).value;
    let start = layout.get(index)?.start;
    let map = TempoMap::new(&guide.road_map, &layout);
    let next = map.segments().partition_point(|own| own.start <= start);
    let segment = map.segments().get(next.checked_sub(1)?)?;
    (segment.from == segment.to).then_some(segment.from)
}

/// Takes one tempo mark of a measure away.
#[must_use]
pub fn remove_mark(guide: &Guide, index: usize, mark: usize) -> Guide {
    let mut made = guide.clone();
    if let Some(measure) = made.road_map.measures.get_mut(index)
        && mark < measure.tempo.len()
    {
        measure.tempo.remove(mark);
    }
    made
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::Id;

    fn guide() -> Guide {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = vec![Measure::default(); 4];
        guide.road_map.measures[0].tempo = vec![TempoMark::at_once(
            BeatSpan::ZERO,
            "Calm",
            "quarter = 60".parse().unwrap(),
        )];
        guide
    }

    fn fields(unit: &str, number: &str) -> TempoFields {
        TempoFields {
            unit: unit.to_owned(),
            number: number.to_owned(),
            ..TempoFields::default()
        }
    }

    fn marks(guide: &Guide) -> Vec<String> {
        let text = |mark: &TempoMark| {
            let until = mark
                .until
                .map_or(String::new(), |p| format!(" until {}", p.measure));
            let tempo = mark.tempo.map_or(String::new(), |t| t.to_string());
            format!("{}{tempo}{until}", mark.words)
        };
        let measures = guide.road_map.measures.iter();
        measures
            .map(|m| m.tempo.iter().map(text).collect::<Vec<_>>().join(" "))
            .collect()
    }

    #[test]
    fn a_tempo_reaches_on_or_comes_back() {
        let onward = set_tempo(
            &guide(),
            (1, 1),
            BeatSpan::ZERO,
            Reach::Onward,
            &fields("dotted quarter", "66"),
        );
        assert_eq!(
            marks(&onward.unwrap()),
            ["Calmquarter = 60", "dotted quarter = 66", "", ""]
        );
        let chosen = set_tempo(
            &guide(),
            (1, 2),
            BeatSpan::ZERO,
            Reach::Chosen,
            &fields("quarter", "112.5"),
        );
        let chosen = chosen.unwrap();
        assert_eq!(
            marks(&chosen),
            ["Calmquarter = 60", "quarter = 225/2", "", "quarter = 60"]
        );
        let plan = Plan::new(&chosen).value;
        assert_eq!(
            fields_of(&chosen, &plan, Place::start_of(1)).number,
            "112.5"
        );
        let gradual = TempoFields {
            manner: Manner::Gradual,
            words: "rit.".to_owned(),
            ..fields("quarter", "48")
        };
        let gradual = set_tempo(&guide(), (2, 3), BeatSpan::ZERO, Reach::Onward, &gradual).unwrap();
        assert_eq!(marks(&gradual)[2], "rit.quarter = 48 until 4");
        let none = set_tempo(
            &guide(),
            (0, 0),
            BeatSpan::ZERO,
            Reach::Onward,
            &fields("quarter", ""),
        )
        .unwrap();
        assert_eq!(marks(&none)[0], "");
        assert_eq!(marks(&remove_mark(&guide(), 0, 0))[0], "");
    }

    #[test]
    fn a_number_left_as_it_is_shown_stays_exact() {
        let exact: Tempo = "quarter = 200/3".parse().unwrap();
        let mut guide = guide();
        guide.road_map.measures[1].tempo = vec![TempoMark::at_once(BeatSpan::ZERO, "", exact)];
        let shown = fields_of(&guide, &Plan::new(&guide).value, Place::start_of(1));
        assert_eq!(shown.number, "66.67");
        let set = |guide: &Guide, fields: &TempoFields| {
            let made = set_tempo(guide, (1, 1), BeatSpan::ZERO, Reach::Onward, fields);
            made.unwrap().road_map.measures[1].tempo[0].clone()
        };
        let worded = TempoFields {
            words: "Lively".to_owned(),
            ..shown
        };
        assert_eq!(set(&guide, &worded).tempo, Some(exact));
        assert_eq!(set(&guide, &worded).words, "Lively");
        let typed = set(&guide, &fields("quarter", "66.5"));
        assert_eq!(typed.tempo.unwrap().to_string(), "quarter = 133/2");
    }

    #[test]
    fn what_is_no_tempo_is_said() {
        for number in ["fast", "0", "-3", "9999"] {
            assert!(
                set_tempo(
                    &guide(),
                    (0, 0),
                    BeatSpan::ZERO,
                    Reach::Onward,
                    &fields("quarter", number)
                )
                .is_err()
            );
        }
        assert!(
            set_tempo(
                &guide(),
                (0, 0),
                BeatSpan::ZERO,
                Reach::Onward,
                &fields("apple", "60")
            )
            .is_err()
        );
    }
}
