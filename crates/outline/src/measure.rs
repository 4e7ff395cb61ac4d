//! Facts of measures as they are written, and put into a measure.

use crate::fact::COUNTS;
use crate::item::Item;
use crate::text::write_name;
use cueleaf_guide::{CountHere, Hold, Jump, JumpUntil, Measure, length_words};
use cueleaf_time::Key;

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
        (true, Some(length)) => Some(format!("pickup of {}", length_words(length))),
        (true, None) => Some("pickup".to_owned()),
        (false, Some(length)) => Some(format!("lasts {}", length_words(length))),
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
        text.push_str(&format!(" {} longer", length_words(longer)));
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
