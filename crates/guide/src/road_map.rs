//! The road map: the measures in written order and what stands at each.

use crate::document::Extra;
use crate::text;
use cueleaf_time::{BeatChoice, BeatSpan, Grouping, Key, Meter, SameBeat, Shape, Tempo};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// The measures of a piece in written order.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct RoadMap {
    /// The measures; a place names one by its index from 0.
    #[serde(default)]
    pub measures: Vec<Measure>,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

impl RoadMap {
    /// Tells how far play goes after the jump of a measure. One that says no more than D.C. or
    /// D.S. goes to the Fine or the To Coda that stands on the way.
    #[must_use]
    pub fn jump_until(&self, measure: usize) -> Option<JumpUntil> {
        let jump = self.measures.get(measure)?.jump.as_ref()?;
        if jump.until != JumpUntil::End {
            return Some(jump.until);
        }
        let all = self.movement_around(measure);
        // A name that no segno has means the only one there is.
        let mut signs = all.clone().filter(|(_, own)| own.segno.is_some());
        let named = signs.clone().find(|(_, own)| own.segno == jump.to_segno);
        let only = signs.next().filter(|_| signs.next().is_none());
        let start = named.or(only).filter(|_| jump.to_segno.is_some());
        let start = start.map_or(0, |(index, _)| index);
        // Of a cut measure only the repetition is cut: its Fine holds.
        let mut way = all.skip_while(|(index, _)| *index < start);
        let sign = way.find_map(|(_, own)| {
            let until = if own.fine {
                JumpUntil::Fine
            } else {
                JumpUntil::Coda
            };
            (own.fine || own.to_coda.is_some()).then_some(until)
        });
        Some(sign.unwrap_or(JumpUntil::End))
    }

    /// Gives the measures of the movement in which a measure lies.
    fn movement_around(
        &self,
        measure: usize,
    ) -> impl Iterator<Item = (usize, &Measure)> + Clone + use<'_> {
        let starts = |own: &Measure| own.movement.is_some();
        let mut before = self.measures.iter().take(measure.saturating_add(1));
        let first = before.rposition(starts).unwrap_or(0);
        let all = self.measures.iter().enumerate().skip(first);
        all.take_while(move |(index, own)| *index == first || !starts(own))
    }

    /// Names a measure by its printed number. One without a number is named after the last that
    /// has one, "12+1" is the first after 12; before the first number "+1" is the first measure;
    /// where nothing is numbered, "7" is the seventh.
    #[must_use]
    pub fn number_of(&self, measure: usize) -> Cow<'_, str> {
        let up_to = self.measures.get(..=measure).unwrap_or(&self.measures);
        let named = up_to
            .iter()
            .rev()
            .enumerate()
            .find(|(_, own)| !own.label.is_empty());
        match named {
            Some((0, own)) => Cow::Borrowed(own.label.as_str()),
            Some((after, own)) => Cow::Owned(format!("{}+{after}", own.label)),
            None => {
                let ordinal = measure.saturating_add(1);
                let is_numbered = self.measures.iter().any(|own| !own.label.is_empty());
                Cow::Owned(format!("{}{ordinal}", if is_numbered { "+" } else { "" }))
            }
        }
    }
}

/// One measure: its printed label and whatever changes at it. What is absent
/// goes on as before.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Measure {
    /// The printed number, free text such as "0" or "12a"; empty when none is printed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub label: String,
    /// How long it lasts when that differs from its meter, in quarter notes.
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        with = "text::optional"
    )]
    pub length: Option<BeatSpan>,
    /// Whether a short measure holds the last beats of its meter, as a pickup does.
    #[serde(default, skip_serializing_if = "is_false")]
    pub pickup: bool,
    /// The meter from here on.
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        with = "text::optional"
    )]
    pub meter: Option<Meter>,
    /// The grouping from here on, until the next meter or grouping.
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        with = "text::optional"
    )]
    pub groups: Option<Grouping>,
    /// How it is counted from here on, until the next meter or choice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<CountHere>,
    /// The key signature from here on: sharps positive, flats negative.
    #[serde(default, skip_serializing_if = "Option::is_none", with = "text::key")]
    pub key: Option<Key>,
    /// Tempo marks inside the measure, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tempo: Vec<TempoMark>,
    /// The name of the movement that starts here; "" when it has none. Repeats and
    /// jumps to the beginning go no further back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub movement: Option<String>,
    /// The name of the section that starts here; for practice, never for the order of play.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub section: Option<String>,
    /// The rehearsal mark printed here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mark: Option<String>,
    /// Whether a repeat starts here.
    #[serde(default, skip_serializing_if = "is_false")]
    pub repeat_from: bool,
    /// When a repeat ends after this measure: how often it is played in all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeat_back: Option<u16>,
    /// The passes for which the ending bracket over this measure stands; empty without a bracket.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ending: Vec<u16>,
    /// The name of a segno at the start of this measure; "" for the only one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub segno: Option<String>,
    /// The name of a coda that starts at this measure; "" for the only one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coda: Option<String>,
    /// The name of the coda to which play leaves after this measure, once a jump said so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_coda: Option<String>,
    /// Whether play ends after this measure, once a jump said so.
    #[serde(default, skip_serializing_if = "is_false")]
    pub fine: bool,
    /// A jump back after this measure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jump: Option<Jump>,
    /// Whether the ensemble cuts this measure.
    #[serde(default, skip_serializing_if = "is_false")]
    pub cut: bool,
    /// Fermatas and breaths inside the measure, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holds: Vec<Hold>,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

impl Hold {
    /// Makes a hold; without a length it adds nothing.
    #[must_use]
    pub fn new(at: BeatSpan, longer: Option<BeatSpan>) -> Self {
        Self {
            at,
            longer,
            lead_in: one(),
            extra: Extra::default(),
        }
    }
}

impl Measure {
    /// Makes a measure with a printed label and nothing else.
    #[must_use]
    pub fn labelled(label: &str) -> Self {
        Self {
            label: label.to_owned(),
            ..Self::default()
        }
    }
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for this shape"
)]
const fn is_false(value: &bool) -> bool {
    !*value
}

/// A place inside the written music.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Place {
    /// The index of the measure, from 0.
    pub measure: usize,
    /// How far into the measure, in quarter notes.
    #[serde(
        default = "text::zero",
        skip_serializing_if = "text::is_zero",
        with = "text::plain"
    )]
    pub at: BeatSpan,
}

impl Place {
    /// Makes the place at the start of a measure.
    #[must_use]
    pub const fn start_of(measure: usize) -> Self {
        Self {
            measure,
            at: BeatSpan::ZERO,
        }
    }
}

/// How a measure is counted, where it differs from the guide's settings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct CountHere {
    /// In which beat.
    #[serde(default, skip_serializing_if = "Option::is_none", with = "beat_choice")]
    pub beat: Option<BeatChoice>,
    /// Anew in each group, or through the measure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub style: Option<crate::CountStyle>,
}

mod beat_choice {
    use cueleaf_time::BeatChoice;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    enum Saved {
        Usual,
        Big,
        Small,
    }

    #[allow(
        clippy::ref_option,
        reason = "serde hands over a reference to the field"
    )]
    pub(super) fn serialize<S: Serializer>(
        value: &Option<BeatChoice>,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        value
            .map(|choice| match choice {
                BeatChoice::Usual => Saved::Usual,
                BeatChoice::Big => Saved::Big,
                BeatChoice::Small => Saved::Small,
            })
            .serialize(serializer)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Option<BeatChoice>, D::Error> {
        Ok(Some(match Saved::deserialize(deserializer)? {
            Saved::Usual => BeatChoice::Usual,
            Saved::Big => BeatChoice::Big,
            Saved::Small => BeatChoice::Small,
        }))
    }
}

/// A tempo mark: at once, gradual, or words alone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TempoMark {
    /// Where in the measure, in quarter notes from its start.
    #[serde(
        default = "text::zero",
        skip_serializing_if = "text::is_zero",
        with = "text::plain"
    )]
    pub at: BeatSpan,
    /// The words printed: "Lively", "rit."; may be empty. Words never set a number.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// The tempo, such as "dotted quarter = 66": from here on, or, with
    /// [`until`](Self::until), where a gradual change arrives.
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        with = "text::optional"
    )]
    pub tempo: Option<Tempo>,
    /// A return to an earlier tempo ("a tempo", "tempo primo") in the place of a number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub back: Option<Return>,
    /// The same beat as before in another unit ("quarter = dotted quarter") in
    /// the place of a number.
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        with = "text::optional"
    )]
    pub same_beat: Option<SameBeat>,
    /// Where a gradual change ends; absent for a change at once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<Place>,
    /// How a gradual change runs.
    #[serde(default, skip_serializing_if = "is_default_shape", with = "shape")]
    pub shape: Shape,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

impl TempoMark {
    /// Makes a mark that sets a tempo at once.
    #[must_use]
    pub fn at_once(at: BeatSpan, words: &str, tempo: Tempo) -> Self {
        Self {
            tempo: Some(tempo),
            ..Self::words(at, words)
        }
    }

    /// Makes a mark of words alone.
    #[must_use]
    pub fn words(at: BeatSpan, words: &str) -> Self {
        Self {
            at,
            words: words.to_owned(),
            tempo: None,
            back: None,
            same_beat: None,
            until: None,
            shape: Shape::default(),
            extra: Extra::default(),
        }
    }
}

/// Which earlier tempo comes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Return {
    /// The tempo before the last gradual change or, without one, before the last change ("a tempo").
    ToBefore,
    /// The first tempo of the piece ("tempo primo").
    ToFirst,
}

impl Return {
    /// Gives the words that are printed for it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ToBefore => "a tempo",
            Self::ToFirst => "tempo primo",
        }
    }
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for this shape"
)]
fn is_default_shape(shape: &Shape) -> bool {
    *shape == Shape::default()
}

mod shape {
    use cueleaf_time::Shape;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    #[derive(Serialize, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    enum Saved {
        EvenInBeats,
        EvenInTime,
        Runner,
    }

    #[allow(
        clippy::trivially_copy_pass_by_ref,
        reason = "serde asks for this shape"
    )]
    pub(super) fn serialize<S: Serializer>(
        shape: &Shape,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        match shape {
            Shape::EvenInBeats => Saved::EvenInBeats,
            Shape::EvenInTime => Saved::EvenInTime,
            Shape::Runner => Saved::Runner,
        }
        .serialize(serializer)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Shape, D::Error> {
        Ok(match Saved::deserialize(deserializer)? {
            Saved::EvenInBeats => Shape::EvenInBeats,
            Saved::EvenInTime => Shape::EvenInTime,
            Saved::Runner => Shape::Runner,
        })
    }
}

/// A jump back: D.C. or D.S.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Jump {
    /// The name of the segno to go back to; absent for the beginning (D.C.).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_segno: Option<String>,
    /// How far play goes after the jump.
    #[serde(default, skip_serializing_if = "JumpUntil::is_end")]
    pub until: JumpUntil,
    /// Whether repeats are taken again after the jump.
    #[serde(default, skip_serializing_if = "is_false")]
    pub with_repeats: bool,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

/// How far play goes after a jump.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum JumpUntil {
    /// To the end, or to the Fine or the To Coda that stands on the way.
    #[default]
    End,
    /// To the Fine.
    Fine,
    /// To the To Coda, then on at the coda.
    Coda,
}

impl JumpUntil {
    #[allow(
        clippy::trivially_copy_pass_by_ref,
        reason = "serde asks for this shape"
    )]
    const fn is_end(&self) -> bool {
        matches!(self, Self::End)
    }
}

const fn one() -> u8 {
    1
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for this shape"
)]
const fn is_one(value: &u8) -> bool {
    *value == 1
}

/// A fermata or a breath: time stands still right after its place, the click is
/// silent, then leads on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Hold {
    /// Where in the measure, in quarter notes from its start.
    #[serde(
        default = "text::zero",
        skip_serializing_if = "text::is_zero",
        with = "text::plain"
    )]
    pub at: BeatSpan,
    /// How much longer than written, in quarter notes at the tempo of the place;
    /// absent while nobody chose, which adds nothing.
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        with = "text::optional"
    )]
    pub longer: Option<BeatSpan>,
    /// How many counts are clicked at the end of the silent hold, to lead on.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub lead_in: u8,
    /// Fields this version does not know.
    #[cfg_attr(feature = "saved", serde(flatten))]
    #[cfg_attr(not(feature = "saved"), serde(skip))]
    pub extra: Extra,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn jumping(change: impl Fn(&mut [Measure])) -> RoadMap {
        let mut measures: Vec<Measure> = ["1", "2", "3", "4", "5"].map(Measure::labelled).into();
        measures[4].jump = Some(Jump::default());
        change(&mut measures);
        RoadMap {
            measures,
            ..RoadMap::default()
        }
    }

    #[test]
    fn a_jump_goes_to_the_sign_on_its_way() {
        let until = |map: RoadMap| map.jump_until(4);
        assert_eq!(until(jumping(|_| {})), Some(JumpUntil::End));
        let fine = jumping(|own| own[1].fine = true);
        assert_eq!(until(fine), Some(JumpUntil::Fine));
        // Of a cut measure only the repetition is cut.
        let cut = jumping(|own| (own[1].fine, own[1].cut) = (true, true));
        assert_eq!(until(cut), Some(JumpUntil::Fine));
        // A name that no segno has means the only one, and a Fine before it is not on the way.
        let named = jumping(|own| {
            own[0].fine = true;
            own[2].segno = Some(String::new());
            own[3].to_coda = Some(String::new());
            own[4].jump = Some(Jump {
                to_segno: Some("X".to_owned()),
                ..Jump::default()
            });
        });
        assert_eq!(until(named), Some(JumpUntil::Coda));
    }

    #[test]
    fn a_measure_without_a_number_is_named_after_the_last_that_has_one() {
        let map = |labels: &[&str]| RoadMap {
            measures: labels.iter().map(|own| Measure::labelled(own)).collect(),
            ..RoadMap::default()
        };
        let some = map(&["", "12", "", "", "13"]);
        let names: Vec<_> = (0..5).map(|index| some.number_of(index)).collect();
        assert_eq!(names, ["+1", "12", "12+1", "12+2", "13"]);
        assert_eq!(map(&["", "", ""]).number_of(2), "3");
    }
}
