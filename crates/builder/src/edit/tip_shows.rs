//! What a tip shows besides words, as the teacher writes it.

use cueleaf_guide::time::{NoteValue, TimeError};
use cueleaf_guide::{
    BowAmount, BowPart, BowWay, Extra, Guide, Id, MAX_RHYTHM, RhythmKind, RhythmLength, Stroke,
    Tip, Watch,
};

/// What of a tip's picture, rhythm or recording is changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shows {
    /// Where on the bow the stroke begins; nothing for no stroke.
    BowFrom,
    /// Which way it goes.
    BowWay,
    /// How much bow it takes.
    BowAmount,
    /// The rhythm as note names: "dotted quarter, eighth, half rest".
    Rhythm,
    /// The place in a recording: "3:20".
    WatchAt,
    /// The address of the recording.
    WatchAddress,
}

impl Shows {
    /// Everything that can be changed.
    pub const ALL: [Self; 6] = [
        Self::BowFrom,
        Self::BowWay,
        Self::BowAmount,
        Self::Rhythm,
        Self::WatchAt,
        Self::WatchAddress,
    ];

    /// Gives the name in markup.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::BowFrom => "bow-from",
            Self::BowWay => "bow-way",
            Self::BowAmount => "bow-amount",
            Self::Rhythm => "rhythm",
            Self::WatchAt => "watch-at",
            Self::WatchAddress => "watch-address",
        }
    }
}

/// Changes what a tip shows, from a text.
///
/// # Errors
/// A sentence for the teacher when the text means nothing.
pub fn change(guide: &Guide, id: &Id, shows: Shows, text: &str) -> Result<Guide, String> {
    let mut made = guide.clone();
    if let Some(tip) = made.tips.iter_mut().find(|tip| tip.id == *id) {
        apply(tip, shows, text.trim())?;
    }
    Ok(made)
}

fn apply(tip: &mut Tip, shows: Shows, text: &str) -> Result<(), String> {
    match shows {
        Shows::BowFrom => {
            let from = BowPart::ALL.into_iter().find(|own| own.code() == text);
            tip.bow = from.map(|from| Stroke {
                from,
                ..tip.bow.take().unwrap_or_else(|| usual_from(from))
            });
        }
        Shows::BowWay => {
            if let Some(bow) = &mut tip.bow
                && let Some(way) = BowWay::ALL.into_iter().find(|own| own.code() == text)
            {
                bow.way = way;
            }
        }
        Shows::BowAmount => {
            if let Some(bow) = &mut tip.bow
                && let Some(amount) = BowAmount::ALL.into_iter().find(|own| own.code() == text)
            {
                bow.amount = amount;
            }
        }
        Shows::Rhythm => tip.rhythm = rhythm(text)?,
        Shows::WatchAt if text.is_empty() => tip.watch = None,
        Shows::WatchAt => {
            let seconds = Watch::seconds_of(text)
                .ok_or("Write minutes and seconds, such as 3:20, or nothing.")?;
            match &mut tip.watch {
                Some(watch) => watch.seconds = seconds,
                None => tip.watch = Some(Watch::at(seconds)),
            }
        }
        Shows::WatchAddress => match &mut tip.watch {
            Some(watch) => text.clone_into(&mut watch.address),
            None if text.is_empty() => {}
            None => {
                tip.watch = Some(Watch {
                    address: text.to_owned(),
                    ..Watch::at(0)
                });
            }
        },
    }
    Ok(())
}

/// Counts the other tips that show a place in a recording and do not say where it is.
#[must_use]
pub fn without_address(guide: &Guide, id: &Id) -> usize {
    let others = guide.tips.iter().filter(|tip| tip.id != *id);
    others.filter(|tip| has_no_address(tip)).count()
}

/// Gives those tips the address of one.
#[must_use]
pub fn address_for_all(guide: &Guide, id: &Id) -> Guide {
    let mut made = guide.clone();
    let own = guide.tips.iter().find(|tip| tip.id == *id);
    let address = own
        .and_then(|tip| tip.watch.as_ref())
        .map(|watch| &watch.address);
    if let Some(address) = address {
        for tip in made.tips.iter_mut().filter(|tip| has_no_address(tip)) {
            if let Some(watch) = &mut tip.watch {
                watch.address.clone_from(address);
            }
        }
    }
    made
}

fn has_no_address(tip: &Tip) -> bool {
    tip.watch
        .as_ref()
        .is_some_and(|watch| watch.address.is_empty())
}

/// Gives the stroke one would expect from a part of the bow: half of it, with room.
fn usual_from(from: BowPart) -> Stroke {
    Stroke {
        from,
        way: if from <= BowPart::Middle {
            BowWay::Down
        } else {
            BowWay::Up
        },
        amount: BowAmount::Half,
        extra: Extra::default(),
    }
}

/// Reads a rhythm: note names with commas between them, each perhaps with "rest" or "tied",
/// "triplet" before it, or a number for several: "2 eighths, quarter rest, triplet eighth".
fn rhythm(text: &str) -> Result<Vec<RhythmLength>, String> {
    let mut lengths = Vec::new();
    for entry in text.split(',').map(str::trim).filter(|own| !own.is_empty()) {
        let (times, own) = length(entry)
            .ok_or_else(|| format!("“{entry}” is no note. Write for example: dotted quarter, eighth, 2 sixteenths, quarter rest, tied half, triplet eighth."))?;
        lengths.extend(std::iter::repeat_n(own, times));
        if lengths.len() > MAX_RHYTHM {
            return Err(format!(
                "At most {MAX_RHYTHM} notes and rests can be shown."
            ));
        }
    }
    Ok(lengths)
}

fn length(entry: &str) -> Option<(usize, RhythmLength)> {
    let small = entry.to_lowercase();
    let mut words: Vec<&str> = small.split_whitespace().collect();
    let mut times = 1;
    if let Some(number) = words.first().and_then(|word| word.parse().ok())
        && words.len() > 1
    {
        times = number;
        words.remove(0);
    }
    let mut own = RhythmLength::note(NoteValue::QUARTER);
    while let Some(word) = words.first() {
        match *word {
            "tied" => own.kind = RhythmKind::Tied,
            "triplet" => own.tuplet = Some((3, 2)),
            "duplet" => own.tuplet = Some((2, 3)),
            _ => break,
        }
        words.remove(0);
    }
    if matches!(words.last(), Some(&"rest" | &"rests")) && own.kind == RhythmKind::Note {
        own.kind = RhythmKind::Rest;
        words.pop();
    }
    own.note = note(&words.join(" ")).ok()?;
    (1..=MAX_RHYTHM).contains(&times).then_some((times, own))
}

/// Reads a note value; "eighths", "sixteenth" and "thirty-second" are understood as well.
fn note(text: &str) -> Result<NoteValue, TimeError> {
    let single = text
        .replace("sixteenth", "16th")
        .replace("thirty-second", "32nd")
        .replace("halves", "half");
    single.strip_suffix('s').unwrap_or(&single).parse()
}

/// Writes a rhythm as it is read.
#[must_use]
pub fn rhythm_text(rhythm: &[RhythmLength]) -> String {
    let mut texts = Vec::new();
    for run in rhythm.chunk_by(|one, other| one == other) {
        let Some(own) = run.first() else { continue };
        let many = run.len() > 1;
        let mut text = String::new();
        if many {
            text = format!("{} ", run.len());
        }
        if own.kind == RhythmKind::Tied {
            text.push_str("tied ");
        }
        text.push_str(match own.tuplet {
            Some((3, _)) => "triplet ",
            Some(_) => "duplet ",
            None => "",
        });
        text.push_str(&own.note.to_string());
        if own.kind == RhythmKind::Rest {
            text.push_str(" rest");
        }
        if many {
            text = text
                .strip_suffix("half")
                .map_or_else(|| format!("{text}s"), |before| format!("{before}halves"));
        }
        texts.push(text);
    }
    texts.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tips::add;
    use cueleaf_guide::{Spot, Topic};

    fn id() -> Id {
        Id::new("t").unwrap()
    }

    fn guide() -> Guide {
        let guide = Guide::new(Id::new("g").unwrap(), "");
        add(&guide, id(), Spot::measures(0, 0), Topic::Bow)
    }

    #[test]
    fn rhythms_are_written_as_they_are_read() {
        for text in [
            "dotted quarter, eighth, half",
            "3 triplet eighths, quarter rest, tied half",
            "2 tied triplet 16ths, 2 duplet eighths",
            "7 quarters, 2 halves, 2 half rests, 2 dotted halves",
            "",
        ] {
            assert_eq!(rhythm_text(&rhythm(text).unwrap()), text);
        }
        assert_eq!(
            rhythm("2 eighths, Sixteenth rest, , thirty-second").unwrap(),
            rhythm("eighth, eighth, 16th rest, 32nd").unwrap()
        );
        assert!(rhythm("quarter, fish").unwrap_err().contains("“fish”"));
        assert!(rhythm("40 eighths").is_err());
        assert!(rhythm("20 eighths, 20 eighths").is_err());
    }

    #[test]
    fn a_stroke_begins_where_it_is_said_and_can_be_taken_away() {
        let guide = change(&guide(), &id(), Shows::BowFrom, "tip").unwrap();
        let stroke = guide.tips[0].bow.clone().unwrap();
        assert_eq!((stroke.from, stroke.way), (BowPart::Tip, BowWay::Up));
        let guide = change(&guide, &id(), Shows::BowAmount, "little").unwrap();
        assert_eq!(
            guide.tips[0].bow.as_ref().unwrap().amount,
            BowAmount::Little
        );
        let guide = change(&guide, &id(), Shows::BowFrom, "").unwrap();
        assert_eq!(guide.tips[0].bow, None);
    }

    #[test]
    fn a_place_in_a_recording() {
        let guide = change(&guide(), &id(), Shows::WatchAt, "3:20").unwrap();
        let guide = change(&guide, &id(), Shows::WatchAddress, "https://example.org/t").unwrap();
        let watch = guide.tips[0].watch.clone().unwrap();
        assert_eq!(
            (watch.clock().as_str(), watch.link().is_some()),
            ("3:20", true)
        );
        assert!(change(&guide, &id(), Shows::WatchAt, "soon").is_err());
        assert_eq!(
            change(&guide, &id(), Shows::WatchAt, "").unwrap().tips[0].watch,
            None
        );
    }
}
