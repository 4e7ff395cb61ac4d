//! What else is printed in the road map: repeats, endings, jumps, cuts, fermatas, gradual changes.

use super::tempo::with_mark;
use crate::places::{read_offset, read_spot};
use cueleaf_guide::time::{Ratio, SameBeat, Shape};
use cueleaf_guide::{
    Guide, Hold, Jump, JumpUntil, Layout, MAX_LABEL, Measure, Place, Return, TempoMark,
};
use cueleaf_time::BeatSpan;

/// Something printed at the chosen measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Printed {
    /// A repeat starts at the first chosen measure.
    RepeatFrom,
    /// A repeat ends after the last chosen measure; how often it is played.
    RepeatBack,
    /// The passes of the ending bracket over the chosen measures.
    Ending,
    /// A segno stands at the first.
    Segno,
    /// Its name.
    SegnoName,
    /// A coda starts at the first.
    Coda,
    /// Its name.
    CodaName,
    /// Play leaves to a coda after the last.
    ToCoda,
    /// The name of that coda.
    ToCodaName,
    /// Play ends after the last, once a jump said so.
    Fine,
    /// The jump after the last: none, to the beginning, or to a segno.
    Jump,
    /// The name of that segno.
    JumpSegno,
    /// How far play goes then.
    JumpUntil,
    /// Whether repeats are taken again then.
    JumpRepeats,
    /// The chosen measures are cut.
    Cut,
    /// A movement starts at the first.
    Movement,
    /// Its name.
    MovementName,
    /// How long the chosen measures last, in quarter notes.
    Length,
    /// The first is a pickup.
    Pickup,
    /// Where the gradual change that starts at the first ends.
    TempoUntil,
    /// How it runs.
    TempoShape,
    /// Which earlier tempo comes back at the first.
    TempoBack,
    /// The same beat in another unit at the first.
    TempoSame,
    /// A further fermata or breath in the first, at a beat.
    HoldAt,
    /// How much longer one of them is, in beats of a quarter note.
    HoldLonger(usize),
    /// How many counts lead on from it.
    HoldLeadIn(usize),
    /// Takes it away.
    HoldRemove(usize),
}

impl Printed {
    /// Finds what a name in markup stands for.
    #[must_use]
    pub fn of(code: &str) -> Option<Self> {
        if let Some((code, index)) = code.split_once('/') {
            let index = index.parse().ok()?;
            return Some(match code {
                "hold-longer" => Self::HoldLonger(index),
                "hold-lead-in" => Self::HoldLeadIn(index),
                "hold-remove" => Self::HoldRemove(index),
                _ => return None,
            });
        }
        NAMES
            .iter()
            .find(|(own, _)| *own == code)
            .map(|(_, printed)| *printed)
    }

    /// Gives the name in markup, without an index.
    #[must_use]
    pub fn code(self) -> &'static str {
        NAMES
            .iter()
            .find(|(_, printed)| *printed == self)
            .map_or("", |(code, _)| code)
    }
}

const NAMES: [(&str, Printed); 24] = [
    ("repeat-from", Printed::RepeatFrom),
    ("repeat-back", Printed::RepeatBack),
    ("ending", Printed::Ending),
    ("segno", Printed::Segno),
    ("segno-name", Printed::SegnoName),
    ("coda", Printed::Coda),
    ("coda-name", Printed::CodaName),
    ("to-coda", Printed::ToCoda),
    ("to-coda-name", Printed::ToCodaName),
    ("fine", Printed::Fine),
    ("jump", Printed::Jump),
    ("jump-segno", Printed::JumpSegno),
    ("jump-until", Printed::JumpUntil),
    ("jump-repeats", Printed::JumpRepeats),
    ("cut", Printed::Cut),
    ("movement", Printed::Movement),
    ("movement-name", Printed::MovementName),
    ("length", Printed::Length),
    ("pickup", Printed::Pickup),
    ("tempo-until", Printed::TempoUntil),
    ("tempo-shape", Printed::TempoShape),
    ("tempo-back", Printed::TempoBack),
    ("tempo-same", Printed::TempoSame),
    ("hold-at", Printed::HoldAt),
];

/// The names of the shapes in markup, in the order in which they are offered.
pub const SHAPES: [(&str, Shape); 3] = [
    ("even-in-beats", Shape::EvenInBeats),
    ("even-in-time", Shape::EvenInTime),
    ("runner", Shape::Runner),
];

/// Changes something printed at measures, from a text; a box that is ticked says
/// "on". What belongs to a tempo mark is changed at that beat of the first measure.
///
/// # Errors
/// A sentence for the teacher when the text means nothing.
pub fn change(
    guide: &Guide,
    layout: &Layout,
    (first, last): (usize, usize),
    tempo_at: BeatSpan,
    printed: Printed,
    text: &str,
) -> Result<Guide, String> {
    let mut made = guide.clone();
    let text = text.trim();
    if text.chars().count() > MAX_LABEL * 4 {
        return Err("That is too long.".to_owned());
    }
    match printed {
        Printed::RepeatBack
        | Printed::ToCoda
        | Printed::ToCodaName
        | Printed::Fine
        | Printed::Jump
        | Printed::JumpSegno
        | Printed::JumpUntil
        | Printed::JumpRepeats => {
            if let Some(measure) = made.road_map.measures.get_mut(last) {
                after(measure, printed, text)?;
            }
        }
        Printed::Ending => {
            let passes = passes(text)?;
            for measure in stretch(&mut made, first, last) {
                measure.ending.clone_from(&passes);
            }
        }
        Printed::Cut => {
            for measure in stretch(&mut made, first, last) {
                measure.cut = is_on(text);
            }
        }
        Printed::Length => {
            let length = length(text)?;
            for (measure, index) in stretch(&mut made, first, last).zip(first..) {
                let full = layout.get(index).and_then(|laid| laid.meter.length());
                measure.length = length.filter(|own| Some(*own) != full);
                if measure.length.is_none() {
                    measure.pickup = false;
                }
            }
        }
        Printed::TempoUntil | Printed::TempoShape | Printed::TempoBack | Printed::TempoSame => {
            let until = match (printed, text) {
                (Printed::TempoUntil, text) if !text.is_empty() => {
                    Some(until(guide, layout, (first, tempo_at), text)?)
                }
                _ => None,
            };
            if let Some(measure) = made.road_map.measures.get_mut(first) {
                with_mark(measure, tempo_at, |mark| tempo(mark, printed, text, until))?;
            }
        }
        Printed::HoldAt => {
            let at = read_offset(guide, layout, first, text)?;
            if let Some(measure) = made.road_map.measures.get_mut(first) {
                if measure.holds.iter().any(|hold| hold.at == at) {
                    return Err("There is one at this beat already.".to_owned());
                }
                measure.holds.push(Hold::new(at, None));
                measure.holds.sort_by_key(|hold| hold.at);
            }
        }
        _ => {
            if let Some(measure) = made.road_map.measures.get_mut(first) {
                at_start(measure, printed, text)?;
            }
        }
    }
    Ok(made)
}

fn is_on(text: &str) -> bool {
    text == "on"
}

fn stretch(guide: &mut Guide, first: usize, last: usize) -> impl Iterator<Item = &mut Measure> {
    guide
        .road_map
        .measures
        .iter_mut()
        .take(last + 1)
        .skip(first)
}

/// What stands at the start of a measure, or in it.
fn at_start(measure: &mut Measure, printed: Printed, text: &str) -> Result<(), String> {
    let ticked = || is_on(text).then(String::new);
    let named = |old: &Option<String>| old.is_some().then(|| text.to_owned());
    match printed {
        Printed::RepeatFrom => measure.repeat_from = is_on(text),
        Printed::Segno => measure.segno = ticked(),
        Printed::SegnoName => measure.segno = named(&measure.segno),
        Printed::Coda => measure.coda = ticked(),
        Printed::CodaName => measure.coda = named(&measure.coda),
        Printed::Movement => measure.movement = ticked(),
        Printed::MovementName => measure.movement = named(&measure.movement),
        Printed::Pickup => measure.pickup = is_on(text),
        Printed::HoldLonger(index) => {
            let longer = length(text)?;
            if let Some(hold) = measure.holds.get_mut(index) {
                hold.longer = longer;
            }
        }
        Printed::HoldLeadIn(index) => {
            let counts = text
                .parse()
                .ok()
                .filter(|counts| *counts <= 8)
                .ok_or("Type how many counts lead on, from 0 to 8.")?;
            if let Some(hold) = measure.holds.get_mut(index) {
                hold.lead_in = counts;
            }
        }
        Printed::HoldRemove(index) if index < measure.holds.len() => {
            measure.holds.remove(index);
        }
        _ => {}
    }
    Ok(())
}

/// What stands at the end of a measure.
fn after(measure: &mut Measure, printed: Printed, text: &str) -> Result<(), String> {
    match printed {
        Printed::RepeatBack if text.is_empty() => measure.repeat_back = None,
        Printed::RepeatBack => {
            let times = text
                .parse()
                .ok()
                .filter(|times| (2..=99).contains(times))
                .ok_or("Type how often it is played in all, from 2 to 99.")?;
            measure.repeat_back = Some(times);
        }
        Printed::ToCoda => measure.to_coda = is_on(text).then(String::new),
        Printed::ToCodaName => {
            measure.to_coda = measure.to_coda.is_some().then(|| text.to_owned());
        }
        Printed::Fine => measure.fine = is_on(text),
        Printed::Jump => {
            let to_segno = match text {
                "beginning" => None,
                "segno" => Some(String::new()),
                _ => {
                    measure.jump = None;
                    return Ok(());
                }
            };
            let old = measure.jump.take();
            measure.jump = Some(Jump {
                to_segno,
                until: old.as_ref().map_or(JumpUntil::End, |old| old.until),
                with_repeats: old.is_some_and(|old| old.with_repeats),
                extra: Default::default(),
            });
        }
        _ => {
            if let Some(jump) = &mut measure.jump {
                match printed {
                    Printed::JumpSegno => {
                        jump.to_segno = jump.to_segno.is_some().then(|| text.to_owned());
                    }
                    Printed::JumpUntil => {
                        jump.until = match text {
                            "fine" => JumpUntil::Fine,
                            "coda" => JumpUntil::Coda,
                            _ => JumpUntil::End,
                        };
                    }
                    _ => jump.with_repeats = is_on(text),
                }
            }
        }
    }
    Ok(())
}

/// Reads the passes of an ending: "1, 2" or "1-3"; nothing for no bracket.
fn passes(text: &str) -> Result<Vec<u16>, String> {
    const WANTED: &str = "Type the passes for which this ending is, such as 1 or 1, 2 or 1-3.";
    let mut passes = Vec::new();
    let number = |text: &str| {
        text.trim()
            .parse::<u16>()
            .ok()
            .filter(|pass| (1..=99).contains(pass))
    };
    for piece in text
        .split([',', '.', ' '])
        .filter(|piece| !piece.is_empty())
    {
        let (from, to) = piece.split_once(['-', '–']).unwrap_or((piece, piece));
        let (from, to) = (number(from).ok_or(WANTED)?, number(to).ok_or(WANTED)?);
        passes.extend(from..=to);
    }
    if passes.is_empty() && !text.is_empty() {
        return Err(WANTED.to_owned());
    }
    passes.sort_unstable();
    passes.dedup();
    Ok(passes)
}

/// Reads a length in quarter notes: "2", "1.5", "3/2"; nothing for none.
fn length(text: &str) -> Result<Option<BeatSpan>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let span = text
        .replace(',', ".")
        .parse::<Ratio>()
        .ok()
        .filter(|number| number.to_f64() <= 64.0)
        .and_then(|number| BeatSpan::from_quarters(number).ok())
        .filter(|span| !span.is_zero())
        .ok_or("Type a number of quarter notes, such as 2, 1.5 or 3/2.")?;
    Ok(Some(span))
}

/// Reads where a gradual change ends: the named measure or beat is where it has arrived.
fn until(
    guide: &Guide,
    layout: &Layout,
    (measure, at): (usize, BeatSpan),
    text: &str,
) -> Result<Place, String> {
    let until = match text {
        "end" | "the end" => Place::start_of(guide.road_map.measures.len()),
        _ => read_spot(guide, layout, text)?.from,
    };
    if until <= (Place { measure, at }) {
        return Err("It has to end after it starts.".to_owned());
    }
    Ok(until)
}

/// What a tempo mark says beside its words and its number.
fn tempo(
    mark: &mut TempoMark,
    printed: Printed,
    text: &str,
    until: Option<Place>,
) -> Result<(), String> {
    match printed {
        Printed::TempoUntil => mark.until = until,
        Printed::TempoShape => {
            let shape = SHAPES.iter().find(|(code, _)| *code == text);
            mark.shape = shape.map_or_else(Shape::default, |(_, shape)| *shape);
        }
        Printed::TempoBack => {
            mark.back = match text {
                "to-before" => Some(Return::ToBefore),
                "to-first" => Some(Return::ToFirst),
                _ => None,
            };
            if mark.back.is_some() {
                (mark.tempo, mark.same_beat) = (None, None);
            }
        }
        _ if text.is_empty() => mark.same_beat = None,
        _ => {
            let same = text.parse::<SameBeat>().map_err(
                |_| "Type the beat before and the beat now, such as quarter = dotted quarter.",
            )?;
            mark.same_beat = Some(same);
            (mark.tempo, mark.back) = (None, None);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Id, lay_out};
    use cueleaf_plan::order_of;

    fn guide(measures: usize) -> Guide {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = (1..=measures)
            .map(|n| Measure::labelled(&n.to_string()))
            .collect();
        guide.road_map.measures[0].meter = "4/4".parse().ok();
        guide
    }

    fn with(guide: &Guide, measures: (usize, usize), printed: &str, text: &str) -> Guide {
        let layout = lay_out(&guide.road_map, &guide.settings).value;
        let printed = Printed::of(printed).unwrap();
        change(guide, &layout, measures, BeatSpan::ZERO, printed, text).unwrap()
    }

    fn problem(guide: &Guide, printed: &str, text: &str) -> String {
        let layout = lay_out(&guide.road_map, &guide.settings).value;
        let printed = Printed::of(printed).unwrap();
        change(guide, &layout, (0, 0), BeatSpan::ZERO, printed, text).unwrap_err()
    }

    fn played(guide: &Guide) -> Vec<usize> {
        order_of(&guide.road_map)
            .value
            .iter()
            .map(|own| own.measure + 1)
            .collect()
    }

    #[test]
    fn a_repeat_with_two_endings_and_a_jump_to_a_coda() {
        let piece = guide(8);
        let piece = with(&piece, (1, 1), "repeat-from", "on");
        let piece = with(&piece, (2, 2), "ending", "1");
        let piece = with(&piece, (2, 2), "repeat-back", "2");
        let piece = with(&piece, (3, 3), "ending", "2");
        assert_eq!(played(&piece), [1, 2, 3, 2, 4, 5, 6, 7, 8]);
        let piece = with(&piece, (0, 0), "segno", "on");
        let piece = with(&piece, (4, 4), "to-coda", "on");
        let piece = with(&piece, (6, 6), "coda", "on");
        let piece = with(&piece, (5, 5), "jump", "segno");
        let piece = with(&piece, (5, 5), "jump-until", "coda");
        assert_eq!(played(&piece), [1, 2, 3, 2, 4, 5, 6, 1, 2, 4, 5, 7, 8]);
        let piece = with(&piece, (5, 5), "jump-repeats", "on");
        assert_eq!(
            played(&piece),
            [1, 2, 3, 2, 4, 5, 6, 1, 2, 3, 2, 4, 5, 7, 8]
        );
        assert_eq!(
            with(&piece, (5, 5), "jump", "").road_map.measures[5].jump,
            None
        );
        let piece = with(&guide(8), (1, 2), "cut", "on");
        assert_eq!(played(&piece), [1, 4, 5, 6, 7, 8]);
    }

    #[test]
    fn names_of_signs_stay_with_signs() {
        let piece = with(&guide(2), (0, 0), "segno-name", "S");
        assert_eq!(piece.road_map.measures[0].segno, None);
        let piece = with(
            &with(&piece, (0, 0), "segno", "on"),
            (0, 0),
            "segno-name",
            "S",
        );
        assert_eq!(piece.road_map.measures[0].segno.as_deref(), Some("S"));
        assert_eq!(
            with(&piece, (0, 0), "segno", "").road_map.measures[0].segno,
            None
        );
    }

    #[test]
    fn gradual_changes_in_every_shape() {
        let piece = with(&guide(6), (1, 1), "tempo-back", "to-first");
        assert_eq!(
            piece.road_map.measures[1].tempo[0].back,
            Some(Return::ToFirst)
        );
        let piece = with(&piece, (1, 1), "tempo-until", "4 beat 3");
        let until = piece.road_map.measures[1].tempo[0].until.unwrap();
        assert_eq!((until.measure, until.at.to_string()), (3, "2".to_owned()));
        for (code, shape) in SHAPES {
            let piece = with(&piece, (1, 1), "tempo-shape", code);
            assert_eq!(piece.road_map.measures[1].tempo[0].shape, shape);
        }
        let piece = with(&piece, (1, 1), "tempo-same", "quarter = dotted quarter");
        assert!(piece.road_map.measures[1].tempo[0].same_beat.is_some());
        assert_eq!(piece.road_map.measures[1].tempo[0].back, None);
        assert!(problem(&piece, "tempo-until", "1").contains("after it starts"));
        assert!(problem(&piece, "tempo-same", "fast").contains("quarter = dotted quarter"));
    }

    #[test]
    fn fermatas_are_added_chosen_and_taken_away() {
        let piece = with(&guide(2), (0, 0), "hold-at", "3");
        let piece = with(&piece, (0, 0), "hold-at", "1");
        let piece = with(&piece, (0, 0), "hold-longer/1", "1.5");
        let piece = with(&piece, (0, 0), "hold-lead-in/1", "2");
        let holds: Vec<String> = piece.road_map.measures[0]
            .holds
            .iter()
            .map(|hold| {
                format!(
                    "{} {:?} {}",
                    hold.at,
                    hold.longer.map(|own| own.to_string()),
                    hold.lead_in
                )
            })
            .collect();
        assert_eq!(holds, ["0 None 1", "2 Some(\"3/2\") 2"]);
        assert_eq!(
            with(&piece, (0, 0), "hold-remove/0", "").road_map.measures[0]
                .holds
                .len(),
            1
        );
        assert!(problem(&piece, "hold-at", "9").contains("has the beats"));
        assert!(problem(&piece, "hold-at", "3").contains("already"));
    }

    #[test]
    fn lengths_and_endings_are_read_or_explained() {
        let piece = with(&guide(2), (0, 0), "length", "1.5");
        assert_eq!(
            piece.road_map.measures[0].length.unwrap().to_string(),
            "3/2"
        );
        assert_eq!(
            with(&piece, (0, 0), "length", "4").road_map.measures[0].length,
            None
        );
        assert_eq!(
            with(&piece, (0, 1), "ending", "1-3, 5").road_map.measures[1].ending,
            [1, 2, 3, 5]
        );
        assert!(problem(&piece, "ending", "first").contains("such as 1"));
        assert!(problem(&piece, "repeat-back", "1").contains("from 2"));
        assert!(problem(&piece, "length", "long").contains("quarter notes"));
    }

    #[test]
    fn every_name_stands_for_one_thing() {
        for (code, printed) in NAMES {
            assert_eq!(Printed::of(code), Some(printed));
            assert_eq!(printed.code(), code);
        }
        assert_eq!(Printed::of("hold-remove/x"), None);
        assert_eq!(Printed::of("nothing"), None);
    }
}
