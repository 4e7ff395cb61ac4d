//! A road map typed in: the form, and the guide it makes.

use cueleaf_guide::{Extra, Guide, Id, Measure, Part, TempoMark};
use cueleaf_time::{BeatSpan, Meter, NoteValue, Ratio, Tempo};

/// The most measures that are made at once.
///
/// # Source
/// Our decision: far above any printed part, and a page that stays quick.
const MAX_TYPED: usize = 5_000;

/// What stands in the form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewFields {
    /// The title of the piece.
    pub title: String,
    /// The name of the part.
    pub part: String,
    /// How many full measures.
    pub measures: String,
    /// The meter.
    pub meter: String,
    /// The beats of a pickup, empty for none.
    pub pickup: String,
    /// The note that the tempo counts.
    pub unit: String,
    /// The tempo, empty for none.
    pub tempo: String,
}

impl Default for NewFields {
    fn default() -> Self {
        Self {
            title: String::new(),
            part: String::new(),
            measures: "32".to_owned(),
            meter: "4/4".to_owned(),
            pickup: String::new(),
            unit: "quarter".to_owned(),
            tempo: "96".to_owned(),
        }
    }
}

/// What is wrong with one field: the field's name, and what to do.
pub type FieldProblem = (&'static str, String);

/// Makes the guide that a form describes.
///
/// # Errors
/// The field that cannot be understood, and what to do.
pub fn make(id: Id, part_id: Id, fields: &NewFields) -> Result<Guide, FieldProblem> {
    let measures: usize = fields
        .measures
        .trim()
        .parse()
        .ok()
        .filter(|count| (1..=MAX_TYPED).contains(count))
        .ok_or_else(|| problem("measures", "Type how many measures, from 1 to 5000."))?;
    let meter: Meter = fields
        .meter
        .parse()
        .ok()
        .filter(|meter: &Meter| !meter.is_free())
        .ok_or_else(|| problem("meter", "Type a meter such as 4/4, 6/8 or 3+2/8."))?;
    let pickup = pickup(&meter, fields.pickup.trim())?;
    let tempo = tempo(&fields.unit, fields.tempo.trim())?;

    let title = fields.title.trim();
    let mut guide = Guide::new(id, if title.is_empty() { "Untitled" } else { title });
    let name = fields.part.trim();
    guide.parts.push(Part {
        id: part_id,
        name: if name.is_empty() { "My part" } else { name }.to_owned(),
        marks: Vec::new(),
        extra: Extra::default(),
    });
    let list = &mut guide.road_map.measures;
    if let Some(length) = pickup {
        list.push(Measure {
            length: Some(length),
            pickup: true,
            ..Measure::labelled("0")
        });
    }
    list.extend((1..=measures).map(|number| Measure::labelled(&number.to_string())));
    if let Some(first) = list.first_mut() {
        first.meter = Some(meter);
        let mark = tempo.map(|tempo| TempoMark::at_once(BeatSpan::ZERO, "", tempo));
        first.tempo.extend(mark);
    }
    Ok(guide)
}

fn pickup(meter: &Meter, text: &str) -> Result<Option<BeatSpan>, FieldProblem> {
    if text.is_empty() || text == "0" {
        return Ok(None);
    }
    let wrong = || {
        problem(
            "pickup",
            "Type how many beats come before the first full measure, fewer than it has.",
        )
    };
    let beats: Ratio = text.parse().map_err(|_| wrong())?;
    let unit = if meter.is_compound() {
        meter.finest_span().times(Ratio::whole(3))
    } else {
        Ok(meter.finest_span())
    };
    let length = unit
        .and_then(|unit| unit.times(beats))
        .map_err(|_| wrong())?;
    let fits = !length.is_zero() && meter.length().is_some_and(|full| length < full);
    fits.then_some(Some(length)).ok_or_else(wrong)
}

fn tempo(unit: &str, number: &str) -> Result<Option<Tempo>, FieldProblem> {
    if number.is_empty() {
        return Ok(None);
    }
    let unit: NoteValue = unit.parse().unwrap_or(NoteValue::QUARTER);
    let number: Option<Ratio> = number.replace(',', ".").parse().ok();
    number
        .and_then(|number| Tempo::new(unit, number).ok())
        .map(Some)
        .ok_or_else(|| problem("tempo", "Type how many beats a minute, such as 96."))
}

fn problem(field: &'static str, message: &str) -> FieldProblem {
    (field, message.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn made(fields: &NewFields) -> Result<Guide, FieldProblem> {
        make(Id::new("g").unwrap(), Id::new("p").unwrap(), fields)
    }

    #[test]
    fn a_form_makes_a_guide_without_findings() {
        let fields = NewFields {
            meter: "6/8".to_owned(),
            pickup: "1".to_owned(),
            measures: "3".to_owned(),
            ..NewFields::default()
        };
        let guide = made(&fields).unwrap();
        let labels: Vec<&str> = guide
            .road_map
            .measures
            .iter()
            .map(|m| m.label.as_str())
            .collect();
        assert_eq!(labels, ["0", "1", "2", "3"]);
        let length = guide.road_map.measures[0].length.unwrap();
        assert_eq!(length.to_string(), "3/2");
        assert_eq!(cueleaf_guide::check(&guide), []);
    }

    #[test]
    fn each_field_says_what_it_wants() {
        type Spoil = fn(&mut NewFields);
        let spoiled: [(Spoil, &str); 5] = [
            (|f| f.measures = "0".to_owned(), "measures"),
            (|f| f.measures = "many".to_owned(), "measures"),
            (|f| f.meter = "free".to_owned(), "meter"),
            (|f| f.pickup = "4".to_owned(), "pickup"),
            (|f| f.tempo = "quick".to_owned(), "tempo"),
        ];
        for (spoil, field) in spoiled {
            let mut fields = NewFields::default();
            spoil(&mut fields);
            assert_eq!(made(&fields).unwrap_err().0, field);
        }
    }
}
