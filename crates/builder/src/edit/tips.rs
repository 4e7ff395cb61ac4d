//! Edits of tips.

use cueleaf_guide::{Guide, Id, Importance, Photo, Spot, Tip, Topic, Voice};

/// What of a tip is changed.
#[derive(Debug, Clone, PartialEq)]
pub enum TipChange {
    /// Its place.
    Spot(Spot),
    /// What it is about.
    Topic(Topic),
    /// How much it matters.
    Importance(Importance),
    /// The advice itself.
    Text(String),
    /// What is shown while playing; empty for what the text gives.
    Cue(String),
    /// The parts it is for; empty for all.
    Parts(Vec<Id>),
    /// Its photo.
    Photo(Option<Photo>),
    /// What its photo shows, in words.
    PhotoWords(String),
    /// Its voice note.
    Voice(Option<Voice>),
    /// What its voice note says, in words.
    VoiceWords(String),
}

/// Adds an empty tip.
#[must_use]
pub fn add(guide: &Guide, id: Id, spot: Spot, topic: Topic) -> Guide {
    let mut made = guide.clone();
    made.tips.push(Tip::new(id, spot, topic, ""));
    made
}

/// Changes one tip.
#[must_use]
pub fn change(guide: &Guide, id: &Id, change: TipChange) -> Guide {
    let mut made = guide.clone();
    if let Some(tip) = made.tips.iter_mut().find(|tip| tip.id == *id) {
        match change {
            TipChange::Spot(spot) => tip.spot = spot,
            TipChange::Topic(topic) => tip.topic = topic,
            TipChange::Importance(importance) => tip.importance = importance,
            TipChange::Text(text) => tip.text = text,
            TipChange::Cue(cue) => tip.cue = cue,
            TipChange::Parts(parts) => tip.parts = parts,
            TipChange::Photo(photo) => tip.photo = photo,
            TipChange::Voice(voice) => tip.voice = voice,
            TipChange::PhotoWords(words) => {
                if let Some(photo) = &mut tip.photo {
                    photo.alt = words;
                }
            }
            TipChange::VoiceWords(words) => {
                if let Some(voice) = &mut tip.voice {
                    voice.words = words;
                }
            }
        }
    }
    made
}

/// Adds a part to those a tip is for, or takes it from them. A tip for every
/// part, and a tip for none, is a tip for all.
#[must_use]
pub fn toggle_part(guide: &Guide, tip: &Id, part: &Id) -> Guide {
    let Some(own) = guide.tips.iter().find(|own| own.id == *tip) else {
        return guide.clone();
    };
    let all: Vec<Id> = guide.parts.iter().map(|part| part.id.clone()).collect();
    let mut parts = if own.parts.is_empty() {
        all.clone()
    } else {
        own.parts.clone()
    };
    if parts.contains(part) {
        parts.retain(|own| own != part);
    } else {
        parts.push(part.clone());
    }
    // In the order of the guide, so that the same choice is the same document.
    let mut parts: Vec<Id> = all.into_iter().filter(|id| parts.contains(id)).collect();
    if parts.len() == guide.parts.len() {
        parts.clear();
    }
    change(guide, tip, TipChange::Parts(parts))
}

/// Takes a tip away.
#[must_use]
pub fn remove(guide: &Guide, id: &Id) -> Guide {
    let mut made = guide.clone();
    made.tips.retain(|tip| tip.id != *id);
    made
}

/// Gives the indices of the tips in order of place.
#[must_use]
pub fn in_order(guide: &Guide) -> Vec<usize> {
    let mut order: Vec<usize> = (0..guide.tips.len()).collect();
    order.sort_by_key(|index| guide.tips.get(*index).map(|tip| tip.spot));
    order
}

/// In which order the tips are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TipOrder {
    /// By place.
    #[default]
    Place,
    /// The most important first, those alike by place.
    Importance,
}

impl TipOrder {
    /// Both, the usual one first.
    pub const ALL: [Self; 2] = [Self::Place, Self::Importance];

    /// Gives the order's name in markup.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Place => "place",
            Self::Importance => "importance",
        }
    }

    /// Gives the order's name for the teacher.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Place => "by place",
            Self::Importance => "the most important first",
        }
    }

    /// Gives the indices of the tips in this order.
    #[must_use]
    pub fn of(self, guide: &Guide) -> Vec<usize> {
        let mut order = in_order(guide);
        if self == Self::Importance {
            order.sort_by_key(|index| guide.tips.get(*index).map(|tip| tip.importance));
        }
        order
    }
}

/// Gives an importance's name for the teacher.
#[must_use]
pub const fn importance_name(importance: Importance) -> &'static str {
    match importance {
        Importance::StartHere => "start here",
        Importance::Usual => "as usual",
        Importance::WhenTime => "when there is time",
    }
}

/// Finds a topic by its saved name.
#[must_use]
pub fn topic_of(code: &str) -> Option<Topic> {
    Topic::ALL.into_iter().find(|topic| topic.code() == code)
}

/// Gives a topic's name for the teacher.
#[must_use]
pub const fn topic_name(topic: Topic) -> &'static str {
    match topic {
        Topic::Bow => "Bow",
        Topic::LeftHand => "Left hand",
        Topic::Pluck => "Pluck",
        Topic::Sound => "Sound",
        Topic::Count => "Count",
        Topic::Listen => "Listen",
        Topic::GetReady => "Get ready",
        Topic::Note => "Note",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Extra, Part};

    fn id(text: &str) -> Id {
        Id::new(text).unwrap()
    }

    #[test]
    fn parts_of_a_tip() {
        let mut guide = Guide::new(id("g"), "");
        for name in ["viola", "cello"] {
            guide.parts.push(Part {
                id: id(name),
                name: name.to_owned(),
                marks: Vec::new(),
                extra: Extra::default(),
            });
        }
        let guide = add(&guide, id("t"), Spot::measures(0, 0), Topic::Bow);
        let without = toggle_part(&guide, &id("t"), &id("viola"));
        assert_eq!(without.tips[0].parts, [id("cello")]);
        assert_eq!(toggle_part(&without, &id("t"), &id("viola")), guide);
        assert_eq!(toggle_part(&without, &id("t"), &id("cello")), guide);
        assert!(remove(&guide, &id("t")).tips.is_empty());
    }

    #[test]
    fn tips_in_order_of_place() {
        let guide = Guide::new(id("g"), "");
        let guide = add(&guide, id("a"), Spot::measures(4, 4), Topic::Bow);
        let guide = add(&guide, id("b"), Spot::measures(1, 2), Topic::Bow);
        assert_eq!(in_order(&guide), [1, 0]);
        let guide = add(&guide, id("c"), Spot::measures(2, 2), Topic::Bow);
        let more =
            |guide: &Guide, name: &str, own| change(guide, &id(name), TipChange::Importance(own));
        let guide = more(&guide, "b", Importance::WhenTime);
        assert_eq!(TipOrder::Place.of(&guide), [1, 2, 0]);
        assert_eq!(TipOrder::Importance.of(&guide), [2, 0, 1]);
        let guide = more(&guide, "a", Importance::StartHere);
        assert_eq!(TipOrder::Importance.of(&guide), [0, 2, 1]);
    }
}
