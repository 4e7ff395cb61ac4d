//! What the notes of a part propose as tips, and what the teacher made of it.
//!
//! A list is made once, when a part is opened, from the score and the guide that
//! was drafted from it; the score itself is let go of, and the list is kept beside the guide. What became of each
//! proposal is known by its place in the list. A proposal is open unless it was
//! dropped, or a tip says it: so undoing what was kept opens it again.

use crate::history::Beside;
use crate::same_measures::Same;
use cueleaf_guide::{Guide, Id, Spot, Tip};
use cueleaf_watch::{Kind, Watched, strongest};
use std::collections::{BTreeMap, BTreeSet};

/// How many proposals are shown first.
///
/// # Source
/// Our decision.
pub const STRONGEST: usize = 10;

/// The most dropped proposals that are known of a guide.
///
/// # Source
/// Our decision: several times what the longest examples propose.
const MAX_DROPPED: usize = 4000;

/// The proposals of a guide that were dropped, each as a line that says it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Dropped(BTreeSet<String>);

impl Dropped {
    /// Reads what is kept.
    #[must_use]
    pub fn read(text: &str) -> Self {
        Self(text.lines().take(MAX_DROPPED).map(str::to_owned).collect())
    }

    /// Writes what is to be kept, a line each.
    #[must_use]
    pub fn write(&self) -> String {
        self.0.iter().flat_map(|line| [line, "\n"]).collect()
    }

    /// Gives these without some and with others.
    #[must_use]
    pub fn but(&self, without: &BTreeSet<String>, with: &BTreeSet<String>) -> Self {
        let stay = self.0.difference(without);
        Self(stay.chain(with).cloned().collect())
    }

    /// Tells what was dropped and what was proposed again since it was so.
    #[must_use]
    pub fn since(&self, before: Option<&Self>) -> Beside {
        let none = BTreeSet::new();
        let before = before.map_or(&none, |before| &before.0);
        Beside {
            dropped: self.0.difference(before).cloned().collect(),
            shown: before.difference(&self.0).cloned().collect(),
        }
    }

    /// Takes what was dropped along to the same measures of another road map. What was known
    /// stays, too: undo brings the first road map back.
    #[must_use]
    pub fn along(&self, same: &Same) -> Self {
        let moved = self.0.iter().filter_map(|line| moved(line, same));
        Self(self.0.iter().cloned().chain(moved).collect())
    }
}

/// Gives the line of a proposal at the same measures of another road map.
fn moved(line: &str, same: &Same) -> Option<String> {
    let mut words = line.splitn(4, ' ');
    let (code, from, to, said) = (words.next()?, words.next()?, words.next()?, words.next()?);
    let place = |own: &str| {
        let (measure, at) = own.split_once('+')?;
        let measure = same.measure(measure.parse().ok()?)?;
        Some(format!("{measure}+{at}"))
    };
    Some(format!("{code} {} {} {said}", place(from)?, place(to)?))
}

/// What the notes of a guide's parts propose.
#[derive(Debug, Clone, PartialEq)]
pub struct WatchList {
    proposals: Vec<Proposal>,
    /// The strongest, the strongest first, by index.
    strongest: Vec<usize>,
    /// How many measures the score has.
    measures: usize,
    dropped: BTreeSet<usize>,
    /// The tips that were made of proposals.
    kept: BTreeMap<usize, Id>,
    kind: Option<Kind>,
    unfolded: bool,
}

/// One proposal.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// What the notes show.
    pub watched: Watched,
    /// The parts whose notes show it, in the order of the guide.
    pub parts: Vec<Id>,
}

impl Proposal {
    /// Says the proposal in one line, by which it is known another day.
    fn line(&self) -> String {
        let Watched {
            spot,
            kind,
            sentence,
            ..
        } = &self.watched;
        let to = spot.to.unwrap_or(spot.from);
        let words: Vec<&str> = sentence.split_whitespace().collect();
        format!(
            "{} {}+{} {}+{} {}",
            kind.code(),
            spot.from.measure,
            spot.from.at,
            to.measure,
            to.at,
            words.join(" ")
        )
    }
}

/// The open proposals as they are shown, by index.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Shown {
    /// The strongest, the strongest first; empty when one kind is looked at.
    pub strongest: Vec<usize>,
    /// The others, by place.
    pub others: Vec<usize>,
    /// How many others are folded away.
    pub folded: usize,
}

impl Shown {
    /// Gives all of them in the order in which they are shown.
    pub fn all(&self) -> impl Iterator<Item = usize> {
        self.strongest.iter().chain(&self.others).copied()
    }
}

impl WatchList {
    /// Makes the list of what was found in each part, by its id in the guide; the score has so
    /// many measures.
    #[must_use]
    pub fn of(found: Vec<(Id, Vec<Watched>)>, measures: usize) -> Self {
        let mut list: Vec<Proposal> = Vec::new();
        // What stands alike in several parts, such as a change of tempo, is told once.
        let mut told: BTreeMap<(Spot, Kind, String), usize> = BTreeMap::new();
        for (id, found) in found {
            for watched in found {
                let key = (watched.spot, watched.kind, watched.sentence.clone());
                let before = told.get(&key).and_then(|index| list.get_mut(*index));
                if let Some(before) = before {
                    if !before.parts.contains(&id) {
                        before.parts.push(id.clone());
                    }
                    continue;
                }
                told.insert(key, list.len());
                let parts = vec![id.clone()];
                list.push(Proposal { watched, parts });
            }
        }
        list.sort_by_key(|one| (one.watched.spot, one.watched.kind));
        let all: Vec<Watched> = list.iter().map(|one| one.watched.clone()).collect();
        let first = strongest(&all, STRONGEST);
        let index_of = |one: &&Watched| all.iter().position(|own| core::ptr::eq(own, *one));
        Self {
            strongest: first.iter().filter_map(index_of).collect(),
            proposals: list,
            measures,
            dropped: BTreeSet::new(),
            kept: BTreeMap::new(),
            kind: None,
            unfolded: false,
        }
    }

    /// Gives the list with what an earlier one of the same measures proposes for parts of a guide
    /// that this one does not look at.
    #[must_use]
    pub fn with_others_of(self, earlier: &Self, guide: &Guide) -> Self {
        if self.measures != earlier.measures {
            return self;
        }
        let looked_at: BTreeSet<&Id> = self.proposals.iter().flat_map(|one| &one.parts).collect();
        let of_part = |id: &Id| {
            let list = if looked_at.contains(id) {
                &self
            } else {
                earlier
            };
            let own = list.proposals.iter().filter(|one| one.parts.contains(id));
            (id.clone(), own.map(|one| one.watched.clone()).collect())
        };
        let found = guide.parts.iter().map(|part| of_part(&part.id)).collect();
        let mut made = Self::of(found, self.measures);
        let kept: BTreeMap<String, &Id> = [earlier, &self]
            .into_iter()
            .flat_map(|list| {
                let kept = list.kept.iter();
                kept.filter_map(|(index, id)| Some((list.get(*index)?.line(), id)))
            })
            .collect();
        let all = made.proposals.iter().enumerate();
        made.kept = all
            .filter_map(|(index, one)| Some((index, Id::clone(kept.get(&one.line())?))))
            .collect();
        made
    }

    /// Takes a list as it was kept; what is not in it is left out of the rest.
    #[must_use]
    pub(crate) fn kept_before(
        proposals: Vec<Proposal>,
        strongest: Vec<usize>,
        measures: usize,
        kept: BTreeMap<usize, Id>,
    ) -> Self {
        let there = |index: &usize| *index < proposals.len();
        Self {
            strongest: strongest.into_iter().filter(there).collect(),
            kept: kept.into_iter().filter(|(index, _)| there(index)).collect(),
            proposals,
            measures,
            dropped: BTreeSet::new(),
            kind: None,
            unfolded: false,
        }
    }

    /// Gives all proposals, by place.
    #[must_use]
    pub fn proposals(&self) -> &[Proposal] {
        &self.proposals
    }

    /// Gives the strongest, the strongest first, by index.
    #[must_use]
    pub fn strongest(&self) -> &[usize] {
        &self.strongest
    }

    /// Gives the tips that were made of proposals, by index.
    #[must_use]
    pub const fn kept(&self) -> &BTreeMap<usize, Id> {
        &self.kept
    }

    /// Gives a proposal by its index.
    #[must_use]
    pub fn get(&self, index: usize) -> Option<&Proposal> {
        self.proposals.get(index)
    }

    /// Gives the number of measures of the score that it was made from.
    #[must_use]
    pub const fn measures(&self) -> usize {
        self.measures
    }

    /// Tells whether the places of the list are those of a guide.
    #[must_use]
    pub fn fits(&self, guide: &Guide) -> bool {
        self.measures == guide.road_map.measures.len()
    }

    /// Gives the kind that is looked at; `None` for all.
    #[must_use]
    pub const fn kind(&self) -> Option<Kind> {
        self.kind
    }

    /// Looks at one kind, or at all.
    pub fn look_at(&mut self, kind: Option<Kind>) {
        self.kind = kind;
    }

    /// Tells whether the others are shown beside the strongest.
    #[must_use]
    pub const fn shows_others(&self) -> bool {
        self.unfolded
    }

    /// Shows the others beside the strongest, or folds them away.
    pub fn toggle_others(&mut self) {
        self.unfolded = !self.unfolded;
    }

    /// Gives the indices of the open proposals of any kind, by place.
    #[must_use]
    pub fn open(&self, guide: &Guide) -> Vec<usize> {
        let ids: BTreeSet<&Id> = guide.tips.iter().map(|tip| &tip.id).collect();
        let tips = guide.tips.iter();
        let said: BTreeSet<(Spot, &str)> = tips.map(|tip| (tip.spot, tip.text.trim())).collect();
        let is_open = |(index, one): &(usize, &Proposal)| {
            let kept = self.kept.get(index).is_some_and(|id| ids.contains(id));
            // Guides from before have the sentence with its place.
            let texts = [&one.watched.tip, &one.watched.sentence];
            let told = texts
                .iter()
                .any(|text| said.contains(&(one.watched.spot, text.trim())));
            // What was found for a part that undo took back waits for it.
            let ours =
                guide.parts.is_empty() || one.parts.iter().any(|id| guide.part(id).is_some());
            ours && !kept && !self.dropped.contains(index) && !told
        };
        let all = self.proposals.iter().enumerate().filter(is_open);
        all.map(|(index, _)| index).collect()
    }

    /// Gives the open proposals as they are shown.
    #[must_use]
    pub fn shown(&self, guide: &Guide) -> Shown {
        let open = self.open(guide);
        if self.kind.is_some() {
            return Shown {
                strongest: Vec::new(),
                others: open.into_iter().filter(|own| self.is_seen(*own)).collect(),
                folded: 0,
            };
        }
        let first = self.strongest.iter().copied();
        let strongest = first.filter(|index| open.binary_search(index).is_ok());
        let rest = open.iter().filter(|index| !self.strongest.contains(index));
        let rest: Vec<usize> = rest.copied().collect();
        let (others, folded) = if self.unfolded {
            (rest, 0)
        } else {
            (Vec::new(), rest.len())
        };
        Shown {
            strongest: strongest.collect(),
            others,
            folded,
        }
    }

    /// Gives the kinds that are in the list, with how many of each are open.
    #[must_use]
    pub fn kinds(&self, guide: &Guide) -> BTreeMap<Kind, usize> {
        let kinds = self.proposals.iter().map(|one| (one.watched.kind, 0));
        let mut kinds: BTreeMap<Kind, usize> = kinds.collect();
        for index in self.open(guide) {
            let kind = self.get(index).map(|one| one.watched.kind);
            if let Some(count) = kind.and_then(|kind| kinds.get_mut(&kind)) {
                *count += 1;
            }
        }
        kinds
    }

    /// Drops proposals.
    pub fn drop_all(&mut self, indices: impl IntoIterator<Item = usize>) {
        self.dropped.extend(indices);
    }

    /// Drops what was dropped before.
    pub fn drop_known(&mut self, known: &Dropped) {
        let all = self.proposals.iter().enumerate();
        let old = all.filter(|(_, one)| known.0.contains(&one.line()));
        self.dropped.extend(old.map(|(index, _)| index));
    }

    /// Drops what is known to be dropped and proposes everything else.
    pub fn drop_only(&mut self, known: &Dropped) {
        self.dropped.clear();
        self.drop_known(known);
    }

    /// Tells what is dropped by now, with what was known before of other notes.
    #[must_use]
    pub fn known_dropped(&self, before: Option<&Dropped>) -> Dropped {
        let own: BTreeSet<String> = self.proposals.iter().map(Proposal::line).collect();
        let others = before.into_iter().flat_map(|before| &before.0);
        let others = others.filter(|line| !own.contains(*line)).cloned();
        let dropped = self.dropped.iter().filter_map(|index| self.get(*index));
        Dropped(others.chain(dropped.map(Proposal::line)).collect())
    }

    /// Gives the number of dropped proposals among those that are looked at.
    #[must_use]
    pub fn dropped(&self) -> usize {
        let dropped = self.dropped.iter();
        dropped.filter(|index| self.is_seen(**index)).count()
    }

    /// Proposes again what was dropped of what is looked at.
    pub fn show_dropped(&mut self) {
        let dropped = core::mem::take(&mut self.dropped);
        self.dropped = dropped
            .into_iter()
            .filter(|index| !self.is_seen(*index))
            .collect();
    }

    fn is_seen(&self, index: usize) -> bool {
        let one = self.get(index);
        one.is_some_and(|one| self.kind.is_none_or(|kind| one.watched.kind == kind))
    }

    /// Makes tips of proposals, each with its new id, and gives the guide with them.
    #[must_use]
    pub fn keep(&mut self, guide: &Guide, chosen: Vec<(usize, Id)>) -> Guide {
        let mut made = guide.clone();
        for (index, id) in chosen {
            let Some(one) = self.proposals.get(index) else {
                continue;
            };
            let Watched {
                spot,
                topic,
                tip: text,
                cue,
                ..
            } = &one.watched;
            let mut tip = Tip::new(id.clone(), *spot, *topic, text);
            tip.cue.clone_from(cue);
            let own = guide.parts.iter().map(|part| &part.id);
            let own: Vec<Id> = own.filter(|id| one.parts.contains(id)).cloned().collect();
            // A tip for every part is a tip for all.
            if own.len() < guide.parts.len() {
                tip.parts = own;
            }
            made.tips.push(tip);
            self.kept.insert(index, id);
        }
        made
    }
}

/// What can be done with a proposal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    /// It becomes a tip.
    Keep,
    /// It becomes a tip that is open for editing.
    Edit,
    /// It is dropped.
    Drop,
}

impl Deed {
    /// All deeds in the order of their buttons.
    pub const ALL: [Self; 3] = [Self::Keep, Self::Edit, Self::Drop];

    /// Gives the deed's name in markup.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Keep => "keep",
            Self::Edit => "edit",
            Self::Drop => "drop",
        }
    }

    /// Gives the button's words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Keep => "Keep",
            Self::Edit => "Edit",
            Self::Drop => "Drop",
        }
    }
}

/// Gives the id of a button's element.
#[must_use]
pub fn button_id(deed: Deed, index: usize) -> String {
    format!("{}-proposal-{index}", deed.code())
}

/// Finds a kind by its code.
#[must_use]
pub fn kind_of(code: &str) -> Option<Kind> {
    Kind::all().find(|kind| kind.code() == code)
}

/// Gives a kind's name for the teacher.
#[must_use]
pub const fn kind_name(kind: Kind) -> &'static str {
    match kind {
        Kind::TempoChange => "Another tempo",
        Kind::TempoWords => "A tempo word without a number",
        Kind::TempoGradual => "Slower or faster little by little",
        Kind::MeterChange => "Another meter",
        Kind::OddMeasure => "One measure of another length",
        Kind::UnevenMeter => "Uneven groups",
        Kind::KeyChange => "Another key",
        Kind::ToPizz => "To pizz.",
        Kind::ToArco => "To arco",
        Kind::MuteOn => "Mute on",
        Kind::MuteOff => "Mute off",
        Kind::Dynamic => "Another dynamic",
        Kind::SuddenDynamic => "A sudden dynamic",
        Kind::NoRoomToGrow => "A crescendo with no louder aim",
        Kind::Loudest => "The loudest place",
        Kind::EntryAfterRest => "Coming in after a long rest",
        Kind::EntryOffBeat => "Coming in off the beat",
        Kind::EntryInside => "Coming in inside the measure",
        Kind::Pickup => "A pickup to a phrase",
        Kind::Syncopation => "Syncopation",
        Kind::TupletAcross => "Equal notes over several beats",
        Kind::TieOverBar => "Held over the barline",
        Kind::SubdivisionChange => "Beats divided in another way",
        Kind::FastestNotes => "The fastest notes",
        Kind::MovesAlone => "Moving while the others hold",
        Kind::BetweenOthers => "Playing between the others",
        Kind::ArticulatedSlur => "Notes told apart in one bow",
        Kind::NamedStroke => "A named stroke",
        Kind::SameDirection => "Two strokes in one direction",
        Kind::LongBow => "A long time in one bow",
        Kind::UnevenBowing => "Uneven bowing",
        Kind::Leap => "A large leap",
        Kind::HighestNote => "The highest note",
        Kind::OutOfCompass => "Beyond where the part usually lies",
        Kind::OutsideKey => "Notes outside the key signature",
        Kind::ClefChange => "Another clef",
        Kind::NamedString => "A named string",
        Kind::WhoPlays => "Who of the section plays",
        Kind::Repeat => "A repeat",
        Kind::Ending => "An ending",
        Kind::Jump => "A jump",
        Kind::Cut => "A cut",
        Kind::Fermata => "A fermata",
        Kind::Breath => "A breath",
        Kind::LastMeasures => "The last measures",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_a_name_of_its_own_and_is_found_by_its_code() {
        let names: BTreeSet<&str> = Kind::all().map(kind_name).collect();
        assert_eq!(names.len(), Kind::all().count());
        assert!(Kind::all().all(|kind| kind_of(kind.code()) == Some(kind)));
        assert_eq!(kind_of("no kind"), None);
    }
}
