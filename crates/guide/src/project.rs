//! The guide as a student gets it, and the guide of one part.

use crate::Id;
use crate::document::{Guide, Tip};

/// Gives the guide as a student gets it: of one part, or of all with `None`, without the tips and
/// tasks that say nothing yet.
///
/// Whatever leaves for students is made of this: the page, the link, the captions, the class.
/// A part that the guide does not have is passed over.
#[must_use]
pub fn for_student(guide: &Guide, part: Option<&Id>) -> Guide {
    let mut made = guide.clone();
    made.tips.retain(|tip| !says_nothing(tip));
    made.todos.retain(|todo| !todo.text.trim().is_empty());
    match part.filter(|id| guide.part(id).is_some()) {
        Some(part) => into_part(made, part),
        None => made,
    }
}

/// Tells whether a tip has nothing to say or to show yet.
#[must_use]
pub fn says_nothing(tip: &Tip) -> bool {
    let shows = tip.photo.is_some()
        || tip.voice.is_some()
        || tip.bow.is_some()
        || tip.watch.is_some()
        || !tip.rhythm.is_empty();
    tip.text.trim().is_empty() && tip.cue.trim().is_empty() && !shows
}

/// Gives the guide as one part sees it: the same road map and ids, that part
/// alone, and the tips and to-dos that are for it.
///
/// Projecting twice changes nothing more.
#[must_use]
pub fn for_part(guide: &Guide, part: &Id) -> Guide {
    into_part(guide.clone(), part)
}

fn into_part(mut guide: Guide, part: &Id) -> Guide {
    let is_for = |parts: &[Id]| parts.is_empty() || parts.contains(part);
    guide.parts.retain(|own| own.id == *part);
    guide.tips.retain(|tip| is_for(&tip.parts));
    guide.todos.retain(|todo| is_for(&todo.parts));
    for tip in &mut guide.tips {
        keep_only(&mut tip.parts, part);
    }
    for todo in &mut guide.todos {
        keep_only(&mut todo.parts, part);
    }
    guide
}

fn keep_only(parts: &mut Vec<Id>, part: &Id) {
    parts.retain(|own| own == part);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{BowAmount, BowPart, BowWay, Part, Place, Spot, Stroke, Tip, Topic};

    #[test]
    fn a_part_keeps_its_own_tips_and_those_for_all() {
        let id = |text: &str| Id::new(text).unwrap();
        let mut guide = Guide::new(id("g"), "Title");
        for name in ["viola", "cello"] {
            guide.parts.push(Part {
                id: id(name),
                name: name.to_owned(),
                marks: Vec::new(),
                extra: crate::Extra::default(),
            });
        }
        for (name, parts) in [
            ("all", vec![]),
            ("one", vec!["cello"]),
            ("two", vec!["viola", "cello"]),
        ] {
            let mut tip = Tip::new(id(name), Spot::at(Place::start_of(0)), Topic::Bow, name);
            tip.parts = parts.into_iter().map(id).collect();
            guide.tips.push(tip);
        }
        let own = for_part(&guide, &id("viola"));
        assert_eq!(own.parts.len(), 1);
        let names: Vec<&str> = own.tips.iter().map(|tip| tip.text.as_str()).collect();
        assert_eq!(names, ["all", "two"]);
        assert_eq!(own.tips[1].parts, [id("viola")]);
        assert_eq!(for_part(&own, &id("viola")), own);

        // A picture of the bow says enough by itself.
        let mut drawn = Tip::new(id("drawn"), Spot::at(Place::start_of(0)), Topic::Bow, "");
        assert!(says_nothing(&drawn));
        drawn.bow = Some(Stroke {
            from: BowPart::Frog,
            way: BowWay::Down,
            amount: BowAmount::default(),
            extra: crate::Extra::default(),
        });
        assert!(!says_nothing(&drawn));

        // What is still to be written is not handed out.
        let empty = Tip::new(id("none"), Spot::at(Place::start_of(0)), Topic::Bow, " ");
        guide.tips.push(empty);
        let handed = for_student(&guide, Some(&id("viola")));
        assert_eq!(handed, own);
        assert_eq!(for_student(&guide, Some(&id("oboe"))).tips.len(), 3);
        assert_eq!(for_student(&guide, None).parts.len(), 2);
    }
}
