//! Marks in a part: pizz. and arco, mutes, dynamics, hairpins, bowings, rests, words.

use crate::places::{read_offset, read_spot};
use cueleaf_guide::{Extra, Guide, Id, Layout, Mark, MarkKind, Place};

/// The kinds of marks as they are offered: name in markup, kind, words.
pub const KINDS: [(&str, MarkKind, &str); 11] = [
    ("pizz", MarkKind::Pizz, "pizz."),
    ("arco", MarkKind::Arco, "arco"),
    ("dynamic", MarkKind::Dynamic, "a dynamic"),
    ("grow", MarkKind::Grow, "crescendo"),
    ("fade", MarkKind::Fade, "diminuendo"),
    ("down-bow", MarkKind::DownBow, "down-bow"),
    ("up-bow", MarkKind::UpBow, "up-bow"),
    ("mute-on", MarkKind::MuteOn, "mute on"),
    ("mute-off", MarkKind::MuteOff, "mute off"),
    ("rest", MarkKind::Rest, "measures of rest"),
    ("words", MarkKind::Words, "other words"),
];

/// A mark as it is being written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewMark {
    /// What it is.
    pub kind: MarkKind,
    /// The beat at which it stands.
    pub at: String,
    /// What is printed, where the kind does not say all.
    pub text: String,
    /// Where it ends, for what has a length.
    pub to: String,
}

impl Default for NewMark {
    fn default() -> Self {
        Self {
            kind: MarkKind::Pizz,
            at: String::new(),
            text: String::new(),
            to: String::new(),
        }
    }
}

/// Tells whether a kind of mark has a length.
#[must_use]
pub const fn has_end(kind: MarkKind) -> bool {
    matches!(kind, MarkKind::Grow | MarkKind::Fade | MarkKind::Rest)
}

/// Tells whether a kind of mark needs words.
#[must_use]
pub const fn has_text(kind: MarkKind) -> bool {
    matches!(kind, MarkKind::Dynamic | MarkKind::Words)
}

/// Adds a mark to a part, in order of place.
///
/// # Errors
/// A sentence for the teacher when a field is missing or means nothing.
pub fn add(
    guide: &Guide,
    layout: &Layout,
    part: &Id,
    measure: usize,
    new: &NewMark,
) -> Result<Guide, String> {
    let at = match new.at.trim() {
        "" => cueleaf_time::BeatSpan::ZERO,
        text => read_offset(guide, layout, measure, text)?,
    };
    let text = new.text.trim();
    if has_text(new.kind) && text.is_empty() {
        return Err("Type what is printed, such as mf.".to_owned());
    }
    let to = match new.to.trim() {
        _ if !has_end(new.kind) => None,
        // Without an end it lasts through its own measure.
        "" => Some(Place::start_of(measure + 1)),
        text => {
            let spot = read_spot(guide, layout, text)?;
            // A measure is named whole: what goes to 12 ends with 12.
            let end = if spot.from.at.is_zero() {
                Place::start_of(spot.last_measure() + 1)
            } else {
                spot.from
            };
            Some(end)
        }
    };
    if to.is_some_and(|to| to <= Place { measure, at }) {
        return Err("It has to end after it starts.".to_owned());
    }
    let mut made = guide.clone();
    let Some(own) = made.parts.iter_mut().find(|own| own.id == *part) else {
        return Err("Choose a part.".to_owned());
    };
    own.marks.push(Mark {
        measure,
        at,
        kind: new.kind,
        to,
        text: if has_text(new.kind) {
            text.to_owned()
        } else {
            String::new()
        },
        extra: Extra::default(),
    });
    own.marks.sort_by_key(|mark| (mark.measure, mark.at));
    Ok(made)
}

/// Takes a mark away from a part.
#[must_use]
pub fn remove(guide: &Guide, part: &Id, index: usize) -> Guide {
    let mut made = guide.clone();
    if let Some(own) = made.parts.iter_mut().find(|own| own.id == *part)
        && index < own.marks.len()
    {
        own.marks.remove(index);
    }
    made
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Measure, Part, lay_out};

    fn guide() -> Guide {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = (1..=6).map(|n| Measure::labelled(&n.to_string())).collect();
        guide.parts.push(Part {
            id: Id::new("va").unwrap(),
            name: "Viola".to_owned(),
            marks: Vec::new(),
            extra: Extra::default(),
        });
        guide
    }

    fn added(guide: &Guide, measure: usize, new: &NewMark) -> Result<Guide, String> {
        let layout = lay_out(&guide.road_map, &guide.settings).value;
        add(guide, &layout, &Id::new("va").unwrap(), measure, new)
    }

    #[test]
    fn marks_stand_in_order_of_place() {
        let hairpin = NewMark {
            kind: MarkKind::Grow,
            at: "3".into(),
            to: "4".into(),
            ..NewMark::default()
        };
        let piece = added(&guide(), 2, &hairpin).unwrap();
        let piece = added(&piece, 0, &NewMark::default()).unwrap();
        let piece = added(
            &piece,
            2,
            &NewMark {
                kind: MarkKind::Dynamic,
                text: "mf".into(),
                ..NewMark::default()
            },
        )
        .unwrap();
        let shown: Vec<String> = piece.parts[0]
            .marks
            .iter()
            .map(|mark| {
                format!(
                    "{} {} {:?} {} {:?}",
                    mark.measure,
                    mark.at,
                    mark.kind,
                    mark.text,
                    mark.to.map(|to| to.measure)
                )
            })
            .collect();
        assert_eq!(
            shown,
            ["0 0 Pizz  None", "2 0 Dynamic mf None", "2 2 Grow  Some(4)"]
        );
        assert_eq!(
            remove(&piece, &Id::new("va").unwrap(), 1).parts[0]
                .marks
                .len(),
            2
        );
    }

    #[test]
    fn what_is_missing_is_asked_for() {
        let problem = |new: NewMark| added(&guide(), 3, &new).unwrap_err();
        assert!(
            problem(NewMark {
                kind: MarkKind::Dynamic,
                ..NewMark::default()
            })
            .contains("such as mf")
        );
        assert!(
            problem(NewMark {
                kind: MarkKind::Fade,
                to: "2".into(),
                ..NewMark::default()
            })
            .contains("after it starts")
        );
        assert!(
            problem(NewMark {
                at: "7".into(),
                ..NewMark::default()
            })
            .contains("has the beats")
        );
    }
}
