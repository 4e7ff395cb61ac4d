//! Places as a teacher types them: "33-40", "12 beat 3", and back.

use cueleaf_guide::{Guide, Layout, Place, Spot};
use cueleaf_time::{BeatSpan, Ratio};

/// Reads a stretch of whole measures, such as "33", "33-40", "33-" (to the end)
/// or "all"; gives the indices of its first and last measure.
///
/// # Errors
/// A sentence for the teacher when a measure does not exist or the text is none
/// of these forms.
pub fn read_measures(guide: &Guide, text: &str) -> Result<(usize, usize), String> {
    let text = without_word(text);
    let last = guide
        .road_map
        .measures
        .len()
        .checked_sub(1)
        .ok_or("There are no measures yet.")?;
    if text.eq_ignore_ascii_case("all") {
        return Ok((0, last));
    }
    if let Some(index) = find(guide, text, 0) {
        return Ok((index, index));
    }
    let (from, to) = halves(text).ok_or_else(|| unknown(guide, text))?;
    let first = find(guide, from, 0).ok_or_else(|| unknown(guide, from))?;
    if to.is_empty() {
        return Ok((first, last));
    }
    let last = find_last(guide, to, first).ok_or_else(|| unknown(guide, to))?;
    Ok((first.min(last), first.max(last)))
}

/// Writes a stretch of whole measures so that [`read_measures`] reads it again.
#[must_use]
pub fn write_measures(guide: &Guide, first: usize, last: usize) -> String {
    if first == last {
        return name_of(guide, first);
    }
    format!("{}–{}", name_of(guide, first), name_of(guide, last))
}

/// Reads a spot, such as "12", "12-15", "12 beat 3" or "12 beat 3 - 13 beat 2".
///
/// # Errors
/// A sentence for the teacher when the place does not exist or the text is none
/// of these forms.
pub fn read_spot(guide: &Guide, layout: &Layout, text: &str) -> Result<Spot, String> {
    let text = without_word(text);
    if text.is_empty() {
        return Err("Type a measure, such as 12, 12-15 or 12 beat 3.".to_owned());
    }
    if let Some(index) = find(guide, text, 0) {
        return Ok(Spot::measures(index, index));
    }
    let Some((from, to)) = halves(text) else {
        return read_place(guide, layout, text, 0).map(Spot::at);
    };
    let from = read_place(guide, layout, from, 0)?;
    let to = match beat_alone(to) {
        Some(beat) => read_beat(guide, layout, from.measure, beat)?,
        None => match find_last(guide, to, from.measure) {
            Some(last) => Place::start_of(last),
            None => read_place(guide, layout, to, from.measure)?,
        },
    };
    if to < from && (to.measure < from.measure || !to.at.is_zero()) {
        return Err("This ends before it starts.".to_owned());
    }
    let whole = from.at.is_zero() && to.at.is_zero();
    Ok(if whole {
        Spot::measures(from.measure, to.measure)
    } else {
        Spot { from, to: Some(to) }
    })
}

/// Writes a spot so that [`read_spot`] reads it again.
#[must_use]
pub fn write_spot(guide: &Guide, layout: &Layout, spot: &Spot) -> String {
    let place = |place: Place| {
        let name = name_of(guide, place.measure);
        match beat_name(layout, place) {
            Some(beat) if !place.at.is_zero() => format!("{name} beat {beat}"),
            _ => name,
        }
    };
    let Some(to) = spot.to else {
        return place(spot.from);
    };
    if to.measure == spot.from.measure && !to.at.is_zero() {
        let start = beat_name(layout, spot.from).unwrap_or_else(|| "1".to_owned());
        let end = beat_name(layout, to).unwrap_or_else(|| "1".to_owned());
        let name = name_of(guide, to.measure);
        return format!("{name} beat {start}–beat {end}");
    }
    format!("{}–{}", place(spot.from), place(to))
}

/// Gives the name by which a measure is typed: its printed number, or "#5" for
/// the fifth measure when it has none or one that stands twice.
#[must_use]
pub fn name_of(guide: &Guide, index: usize) -> String {
    let measures = &guide.road_map.measures;
    let label = measures
        .get(index)
        .map_or("", |measure| measure.label.trim());
    let first = measures
        .iter()
        .position(|measure| measure.label.trim() == label);
    if label.is_empty() || first != Some(index) {
        return format!("#{}", index + 1);
    }
    label.to_owned()
}

/// Finds a measure by its printed number, or by a rehearsal mark: "C", "4 after C".
fn find(guide: &Guide, name: &str, from: usize) -> Option<usize> {
    find_number(guide, name, from).or_else(|| find_mark(guide, name, from))
}

/// Finds the last measure of a stretch. One that goes to a rehearsal mark ends before it.
///
/// # Source
/// Common practice, no source: what goes "from A to B" is followed by what begins at B.
fn find_last(guide: &Guide, name: &str, from: usize) -> Option<usize> {
    find_number(guide, name, from).or_else(|| {
        let index = find_mark(guide, name, from)?;
        let is_mark = marked(guide, name).any(|own| own == index);
        Some(index - usize::from(is_mark && index > from))
    })
}

/// Finds the measure with a rehearsal mark, or so many after or before it.
fn find_mark(guide: &Guide, name: &str, from: usize) -> Option<usize> {
    let (way, mark) = away(name).unwrap_or((0, name));
    let mut after = marked(guide, mark).skip_while(|own| *own < from);
    let index = after.next().or_else(|| marked(guide, mark).next())?;
    let index = index.checked_add_signed(way)?;
    (index < guide.road_map.measures.len()).then_some(index)
}

/// Reads how many measures from a mark a place is: "4 after letter C".
fn away(name: &str) -> Option<(isize, &str)> {
    let (count, rest) = name.trim().split_once(' ')?;
    let (way, mark) = rest.trim_start().split_once(' ')?;
    let count: isize = count.parse().ok().filter(|count| *count >= 0)?;
    match way.to_ascii_lowercase().as_str() {
        "after" => Some((count, mark)),
        "before" => Some((-count, mark)),
        _ => None,
    }
}

/// Gives the measures with a rehearsal mark; large and small letters are the same.
fn marked<'a>(guide: &'a Guide, name: &'a str) -> impl Iterator<Item = usize> + 'a {
    let name = name.trim();
    let name = name.strip_prefix("letter ").unwrap_or(name).trim();
    let measures = guide.road_map.measures.iter().enumerate();
    let own = measures.filter(move |(_, own)| {
        let mark = own.mark.as_deref().map_or("", str::trim);
        !mark.is_empty() && mark.to_lowercase() == name.to_lowercase()
    });
    own.map(|(index, _)| index)
}

fn find_number(guide: &Guide, name: &str, from: usize) -> Option<usize> {
    let measures = &guide.road_map.measures;
    let name = name.trim();
    if let Some(number) = name.strip_prefix('#') {
        let index = number.trim().parse::<usize>().ok()?.checked_sub(1)?;
        return (index < measures.len()).then_some(index);
    }
    if name.is_empty() {
        return None;
    }
    let matches = |measure: &cueleaf_guide::Measure| measure.label.trim() == name;
    let first = measures.iter().position(matches);
    match first {
        // The end of a stretch is looked for after its start, so that numbers
        // that stand twice make sense.
        Some(first) if first < from => measures
            .iter()
            .skip(from)
            .position(matches)
            .map(|after| after + from)
            .or(Some(first)),
        found => found,
    }
}

fn read_place(guide: &Guide, layout: &Layout, text: &str, from: usize) -> Result<Place, String> {
    let lower = text.to_ascii_lowercase();
    let Some((name, beat)) = lower
        .find("beat")
        .and_then(|at| Some((text.get(..at)?, text.get(at + "beat".len()..)?)))
    else {
        let index = find(guide, text, from).ok_or_else(|| unknown(guide, text))?;
        return Ok(Place::start_of(index));
    };
    let name = name.trim().trim_end_matches(',');
    let index = find(guide, name, from).ok_or_else(|| unknown(guide, name))?;
    read_beat(guide, layout, index, beat)
}

fn beat_alone(text: &str) -> Option<&str> {
    let lower = text.to_ascii_lowercase();
    lower
        .trim_start()
        .starts_with("beat")
        .then(|| text.trim_start().get("beat".len()..))?
}

fn read_beat(guide: &Guide, layout: &Layout, index: usize, text: &str) -> Result<Place, String> {
    let name = name_of(guide, index);
    let wrong = || {
        let beats = layout.get(index).map_or(&[][..], |laid| laid.beats.beats());
        let numbers: Vec<String> = beats.iter().map(|beat| beat.number.to_string()).collect();
        format!("Measure {name} has the beats {}.", numbers.join(", "))
    };
    let number: Ratio = text.trim().parse().map_err(|_| wrong())?;
    let whole = number.numerator().div_euclid(number.denominator());
    let part = number.minus(Ratio::whole(whole)).map_err(|_| wrong())?;
    let beat = layout
        .get(index)
        .and_then(|laid| {
            laid.beats
                .beats()
                .iter()
                .find(|beat| i64::from(beat.number) == whole)
        })
        .ok_or_else(wrong)?;
    let at = beat
        .length
        .times(part)
        .and_then(|inside| beat.at.plus(inside))
        .map_err(|_| wrong())?;
    Ok(Place { measure: index, at })
}

/// Reads a beat of a measure, such as "3" or "beat 2.5"; gives how far into the measure it lies.
///
/// # Errors
/// A sentence for the teacher that names the beats there are.
pub fn read_offset(
    guide: &Guide,
    layout: &Layout,
    measure: usize,
    text: &str,
) -> Result<BeatSpan, String> {
    let beat = beat_alone(text).unwrap_or(text);
    read_beat(guide, layout, measure, beat).map(|place| place.at)
}

/// Gives the number of the beat at a place, with the part of the beat that has
/// gone by: "3", "2.5", "7/3".
pub(crate) fn beat_name(layout: &Layout, place: Place) -> Option<String> {
    let beats = layout.get(place.measure)?.beats.beats();
    let beat = beats.iter().rev().find(|beat| beat.at <= place.at)?;
    let inside = place.at.minus_down_to_zero(beat.at);
    let part = inside.over(beat.length).ok()?;
    let number = Ratio::whole(i64::from(beat.number)).plus(part).ok()?;
    Some(number.to_decimal())
}

/// Gives how far into a measure a count lies, in words for a label: "beat 3".
#[must_use]
pub fn beat_words(layout: &Layout, measure: usize, at: BeatSpan) -> String {
    if at.is_zero() {
        return String::new();
    }
    beat_name(layout, Place { measure, at }).map_or_else(String::new, |beat| format!("beat {beat}"))
}

fn halves(text: &str) -> Option<(&str, &str)> {
    let (from, to) = text
        .split_once(['–', '—', '-'])
        .or_else(|| text.split_once(" to "))?;
    Some((from.trim(), to.trim()))
}

fn without_word(text: &str) -> &str {
    let text = text.trim();
    for word in [
        "measures", "measure", "bars", "bar", "mm.", "m.", "Measures", "Measure", "Bars", "Bar",
    ] {
        if let Some(rest) = text.strip_prefix(word) {
            return rest.trim_start();
        }
    }
    text
}

fn unknown(guide: &Guide, name: &str) -> String {
    let measures = &guide.road_map.measures;
    let name = name.trim();
    match measures.len().checked_sub(1) {
        None => "There are no measures yet.".to_owned(),
        Some(last) => format!(
            "There is no measure “{name}”; the measures go from {} to {}.",
            name_of(guide, 0),
            name_of(guide, last)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Id, Measure, lay_out};

    fn guide() -> Guide {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        // A pickup, two measures of 4/4, one of 7/8, and an unnumbered one.
        guide.road_map.measures = ["0", "1", "2", "3", ""]
            .iter()
            .map(|l| Measure::labelled(l))
            .collect();
        let measures = &mut guide.road_map.measures;
        measures[0].meter = "4/4".parse().ok();
        measures[0].length = "1".parse().ok();
        measures[0].pickup = true;
        measures[3].meter = "7/8".parse().ok();
        guide
    }

    #[test]
    fn spots_are_read_and_written() {
        let guide = guide();
        let layout = lay_out(&guide.road_map, &guide.settings).value;
        for (text, expected) in [
            ("2", "2"),
            ("1-3", "1–3"),
            (" 1 to 3 ", "1–3"),
            ("measure 2", "2"),
            ("0 beat 4", "0"),
            ("2 beat 3", "2 beat 3"),
            ("2, beat 2.5", "2 beat 2.5"),
            ("2 Beat 7/3", "2 beat 7/3"),
            ("3 beat 4 - beat 6", "3 beat 4–beat 6"),
            ("1 beat 1 - beat 2", "1 beat 1–beat 2"),
            ("1 beat 3 - 2", "1 beat 3–2"),
            ("1 beat 3 - 2 beat 2", "1 beat 3–2 beat 2"),
            ("1 beat 2-1", "1 beat 2–1"),
            ("#5", "#5"),
            ("3-#5", "3–#5"),
        ] {
            let spot = read_spot(&guide, &layout, text).unwrap();
            let written = write_spot(&guide, &layout, &spot);
            assert_eq!(written, expected, "{text}");
            assert_eq!(read_spot(&guide, &layout, &written), Ok(spot), "{text}");
        }
    }

    #[test]
    fn what_is_no_place_is_said() {
        let guide = guide();
        let layout = lay_out(&guide.road_map, &guide.settings).value;
        for (text, expected) in [
            ("", "Type a measure, such as 12, 12-15 or 12 beat 3."),
            (
                "9",
                "There is no measure “9”; the measures go from 0 to #5.",
            ),
            ("2 beat 5", "Measure 2 has the beats 1, 2, 3, 4."),
            ("0 beat 1", "Measure 0 has the beats 4."),
            ("2 beat x", "Measure 2 has the beats 1, 2, 3, 4."),
            ("2-1", "This ends before it starts."),
        ] {
            assert_eq!(read_spot(&guide, &layout, text).unwrap_err(), expected);
        }
    }

    #[test]
    fn stretches_of_measures() {
        let guide = guide();
        assert_eq!(read_measures(&guide, "1-3"), Ok((1, 3)));
        assert_eq!(read_measures(&guide, "3–1"), Ok((1, 3)));
        assert_eq!(read_measures(&guide, "2-"), Ok((2, 4)));
        assert_eq!(read_measures(&guide, "all"), Ok((0, 4)));
        assert_eq!(write_measures(&guide, 1, 3), "1–3");
        assert_eq!(write_measures(&guide, 4, 4), "#5");
        assert!(read_measures(&guide, "7").is_err());
    }

    #[test]
    fn rehearsal_marks_are_places_too() {
        let mut guide = guide();
        guide.road_map.measures[1].mark = Some("A".to_owned());
        guide.road_map.measures[3].mark = Some("B".to_owned());
        guide.road_map.measures[4].mark = Some("Second  Rain".to_owned());
        let layout = lay_out(&guide.road_map, &guide.settings).value;
        for (text, expected) in [
            ("A", "1"),
            ("letter b", "3"),
            ("A beat 3", "1 beat 3"),
            ("1 after A", "2"),
            ("1 after letter A", "2"),
            ("second  rain", "#5"),
            ("2 before B", "1"),
            ("A-B", "1–2"),
            ("A to 1 after B", "1–#5"),
            ("A–3", "1–3"),
            ("2 - b", "2"),
        ] {
            let spot = read_spot(&guide, &layout, text).unwrap();
            assert_eq!(write_spot(&guide, &layout, &spot), expected, "{text}");
        }
        assert_eq!(read_measures(&guide, "a-"), Ok((1, 4)));
        assert_eq!(read_measures(&guide, "A-B"), Ok((1, 2)));
        for text in ["C", "9 after A", "9 before A", "-1 after A", "two after A"] {
            assert!(read_spot(&guide, &layout, text).is_err(), "{text}");
        }
    }

    #[test]
    fn numbers_that_stand_twice() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = ["1", "2", "1", "2"]
            .iter()
            .map(|l| Measure::labelled(l))
            .collect();
        assert_eq!(name_of(&guide, 2), "#3");
        assert_eq!(read_measures(&guide, "2-1"), Ok((1, 2)));
        assert_eq!(read_measures(&guide, "#3-2"), Ok((2, 3)));
    }
}
