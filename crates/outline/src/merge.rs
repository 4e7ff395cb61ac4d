//! What the text of an outline cannot say, brought back from the guide it was written from.

use crate::Outlined;
use crate::read::MISSING_ID;
use cueleaf_guide::{Extra, Guide, Id, Mark, Measure, Part, Photo, Place, Spot, Tip, Todo, Voice};
use std::collections::{BTreeMap, BTreeSet};

/// Gives what an outline says with the ids and unknown fields of the guide that was there
/// before, and the bytes of its photos and voice notes: parts by name; tips by place and text, else the one with the same text, else the
/// one at the same place, else one in the same measure; to-dos in the same way; measures by
/// their printed numbers.
///
/// What nobody changed stays in the order in which it was. An outline too large to be read
/// changes nothing.
#[must_use]
pub fn merge(previous: &Guide, parsed: &Outlined) -> Guide {
    if parsed.too_large.is_some() {
        return previous.clone();
    }
    let mut guide = parsed.guide.clone();
    guide.id = previous.id.clone();
    guide.extra.clone_from(&previous.extra);
    guide.settings.extra.clone_from(&previous.settings.extra);
    guide.settings.may_share = previous.settings.may_share;
    guide.road_map.extra.clone_from(&previous.road_map.extra);
    let mut ids = Ids::of(previous);
    let renamed = merge_parts(previous, &mut guide.parts, &mut ids);
    merge_measures(&previous.road_map.measures, &mut guide.road_map.measures);
    let unknown = |parts: &[Id]| -> Vec<Id> {
        let known = |id: &Id| previous.parts.iter().any(|part| part.id == *id);
        parts.iter().filter(|id| !known(id)).cloned().collect()
    };
    guide.tips = merge_tips(previous, guide.tips, &mut ids, |own, before| {
        own.parts = named(&own.parts, &renamed, unknown(before));
    });
    guide.todos = merge_todos(previous, guide.todos, &mut ids, |own, before| {
        own.parts = named(&own.parts, &renamed, unknown(before));
    });
    guide
}

/// Gives parts the ids they had; those that no guide has take, one after the other, the ids
/// that no part had before either.
fn named(parts: &[Id], renamed: &BTreeMap<Id, Id>, unknown: Vec<Id>) -> Vec<Id> {
    let mut unknown = unknown.into_iter();
    let each = parts.iter().map(|id| match renamed.get(id) {
        Some(own) => own.clone(),
        None if id.as_str() == MISSING_ID => unknown.next().unwrap_or_else(|| id.clone()),
        None => id.clone(),
    });
    each.collect()
}

/// The ids that are taken.
struct Ids(BTreeSet<Id>);

impl Ids {
    fn of(guide: &Guide) -> Self {
        let parts = guide.parts.iter().map(|part| &part.id);
        let tips = guide.tips.iter().map(|tip| &tip.id);
        let todos = guide.todos.iter().map(|todo| &todo.id);
        Self(parts.chain(tips).chain(todos).cloned().collect())
    }

    /// Makes an id of what something says, so that the same new thing gets the same id and
    /// one that was taken away leaves its id to nobody else.
    fn fresh(&mut self, says: &str) -> Id {
        // FNV-1a, 64 bits: it spreads well, and nobody gains from a collision here.
        let mut bits = 0xcbf2_9ce4_8422_2325_u64;
        for byte in says.bytes() {
            bits = (bits ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
        while !self.0.insert(Id::from_random(bits)) {
            bits = bits.wrapping_add(1);
        }
        Id::from_random(bits)
    }
}

/// For each new thing, the old one that it is; found by the first of several keys.
struct Claims {
    of_new: Vec<Option<usize>>,
    taken: Vec<bool>,
}

impl Claims {
    fn new(new: usize, old: usize) -> Self {
        Self {
            of_new: vec![None; new],
            taken: vec![false; old],
        }
    }

    /// Lets every new thing without an old one claim the first free one with the same key.
    fn by<T, K: Ord>(&mut self, old: &[T], new: &[T], key: impl Fn(&T) -> Option<K>) {
        let mut free: BTreeMap<K, Vec<usize>> = BTreeMap::new();
        for (index, own) in old.iter().enumerate().rev() {
            if self.taken.get(index) == Some(&false)
                && let Some(key) = key(own)
            {
                free.entry(key).or_default().push(index);
            }
        }
        for (own, claim) in new.iter().zip(&mut self.of_new) {
            if claim.is_some() {
                continue;
            }
            let found = key(own).and_then(|key| free.get_mut(&key)?.pop());
            if let Some(taken) = found.and_then(|index| self.taken.get_mut(index)) {
                *taken = true;
                *claim = found;
            }
        }
    }

    /// Tells whether every new thing is an old one and the other way round.
    fn is_whole(&self) -> bool {
        self.of_new.iter().all(Option::is_some) && self.taken.iter().all(|taken| *taken)
    }

    /// Puts new things in the order of the old ones; those that are new come last.
    fn in_old_order<T>(&self, new: Vec<T>) -> Vec<T> {
        let mut all: Vec<(usize, T)> = self
            .of_new
            .iter()
            .map(|old| old.unwrap_or(usize::MAX))
            .zip(new)
            .collect();
        all.sort_by_key(|(old, _)| *old);
        all.into_iter().map(|(_, own)| own).collect()
    }
}

fn merge_parts(previous: &Guide, parts: &mut [Part], ids: &mut Ids) -> BTreeMap<Id, Id> {
    let old = &previous.parts;
    let mut claims = Claims::new(parts.len(), old.len());
    claims.by(old, parts, |part| Some(part.name.clone()));
    claims.by(old, parts, |part| Some(part.name.to_lowercase()));
    if parts.len() == old.len() {
        // As many as before: who has another name was renamed.
        claims.by(old, parts, |_| Some(()));
    }
    let mut renamed = BTreeMap::new();
    for (part, claim) in parts.iter_mut().zip(&claims.of_new) {
        let before = part.id.clone();
        match claim.and_then(|index| old.get(index)) {
            Some(own) => {
                part.id = own.id.clone();
                part.extra.clone_from(&own.extra);
                part.marks = merge_marks(&own.marks, core::mem::take(&mut part.marks));
            }
            None => part.id = ids.fresh(&format!("part {}", part.name)),
        }
        renamed.insert(before, part.id.clone());
    }
    renamed
}

/// Brings back the unknown fields of things that are otherwise the same, and their order
/// when none was added or taken away.
fn keep<T: Clone, K: Ord>(
    old: &[T],
    mut new: Vec<T>,
    key: impl Fn(&T) -> K,
    extra: impl Fn(&mut T) -> &mut Extra,
) -> Vec<T> {
    let mut claims = Claims::new(new.len(), old.len());
    claims.by(old, &new, |own| Some(key(own)));
    for (own, claim) in new.iter_mut().zip(&claims.of_new) {
        if let Some(mut before) = claim.and_then(|index| old.get(index)).cloned() {
            extra(own).clone_from(extra(&mut before));
        }
    }
    if claims.is_whole() {
        claims.in_old_order(new)
    } else {
        new
    }
}

fn merge_marks(old: &[Mark], new: Vec<Mark>) -> Vec<Mark> {
    let key = |mark: &Mark| (mark.measure, mark.at, mark.kind, mark.to, mark.text.clone());
    keep(old, new, key, |mark| &mut mark.extra)
}

fn merge_measures(old: &[Measure], new: &mut [Measure]) {
    let mut claims = Claims::new(new.len(), old.len());
    if old.len() == new.len() {
        // As many as before: a label alone may have changed.
        for (index, (claim, taken)) in claims.of_new.iter_mut().zip(&mut claims.taken).enumerate() {
            *claim = Some(index);
            *taken = true;
        }
    } else {
        claims.by(old, new, |measure| Some(measure.label.clone()));
    }
    for (measure, claim) in new.iter_mut().zip(&claims.of_new) {
        let Some(before) = claim.and_then(|index| old.get(index)) else {
            continue;
        };
        measure.extra.clone_from(&before.extra);
        let tempo = core::mem::take(&mut measure.tempo);
        let key = |mark: &cueleaf_guide::TempoMark| {
            let numbers = (
                mark.tempo.map(|own| own.to_string()),
                mark.same_beat.map(|own| own.to_string()),
            );
            let back = mark.back.map(|own| own == cueleaf_guide::Return::ToFirst);
            (
                mark.at,
                mark.words.clone(),
                numbers,
                back,
                mark.until,
                mark.shape,
            )
        };
        measure.tempo = keep(&before.tempo, tempo, key, |mark| &mut mark.extra);
        let holds = core::mem::take(&mut measure.holds);
        let key = |hold: &cueleaf_guide::Hold| (hold.at, hold.longer, hold.lead_in);
        measure.holds = keep(&before.holds, holds, key, |hold| &mut hold.extra);
        if let (Some(jump), Some(own)) = (&mut measure.jump, &before.jump) {
            jump.extra.clone_from(&own.extra);
        }
    }
}

fn merge_tips(
    previous: &Guide,
    mut new: Vec<Tip>,
    ids: &mut Ids,
    parts: impl Fn(&mut Tip, &[Id]),
) -> Vec<Tip> {
    let old = &previous.tips;
    let mut claims = Claims::new(new.len(), old.len());
    claims.by(old, &new, |tip| {
        Some((
            tip.spot,
            tip.topic,
            tip.text.clone(),
            tip.cue.clone(),
            tip.parts.len(),
            details(tip),
        ))
    });
    claims.by(old, &new, |tip| Some((tip.spot, tip.text.clone())));
    claims.by(old, &new, |tip| {
        (!tip.text.is_empty()).then(|| tip.text.clone())
    });
    claims.by(old, &new, |tip| Some((tip.spot.from, tip.topic)));
    claims.by(old, &new, |tip| Some(tip.spot.from));
    claims.by(old, &new, |tip| Some(tip.spot.from.measure));
    for (tip, claim) in new.iter_mut().zip(&claims.of_new) {
        let Some(before) = claim.and_then(|index| old.get(index)) else {
            tip.id = ids.fresh(&format!("tip {} {}", where_it_is(Some(tip.spot)), tip.text));
            parts(tip, &[]);
            continue;
        };
        tip.id = before.id.clone();
        tip.extra.clone_from(&before.extra);
        if let (Some(bow), Some(own)) = (&mut tip.bow, &before.bow) {
            bow.extra.clone_from(&own.extra);
        }
        if let (Some(watch), Some(own)) = (&mut tip.watch, &before.watch) {
            watch.extra.clone_from(&own.extra);
        }
        if let (Some(photo), Some(own)) = (&mut tip.photo, &before.photo) {
            let alt = core::mem::take(&mut photo.alt);
            *photo = Photo { alt, ..own.clone() };
        }
        if let (Some(voice), Some(own)) = (&mut tip.voice, &before.voice) {
            let words = core::mem::take(&mut voice.words);
            *voice = Voice {
                words,
                ..own.clone()
            };
        }
        for (length, own) in tip.rhythm.iter_mut().zip(&before.rhythm) {
            length.extra.clone_from(&own.extra);
        }
        parts(tip, &before.parts);
    }
    claims.in_old_order(new)
}

/// Gives all of a tip that has no order of its own, as text.
fn details(tip: &Tip) -> Vec<String> {
    crate::detail::write_details(tip)
}

fn merge_todos(
    previous: &Guide,
    mut new: Vec<Todo>,
    ids: &mut Ids,
    parts: impl Fn(&mut Todo, &[Id]),
) -> Vec<Todo> {
    let old = &previous.todos;
    let mut claims = Claims::new(new.len(), old.len());
    claims.by(old, &new, |todo| {
        Some((todo.spot, todo.text.clone(), todo.parts.len()))
    });
    claims.by(old, &new, |todo| Some((todo.spot, todo.text.clone())));
    claims.by(old, &new, |todo| Some(todo.text.clone()));
    claims.by(old, &new, |todo| todo.spot);
    if new.len() == old.len() {
        // As many as before: the one that is left was put in other words.
        claims.by(old, &new, |_| Some(()));
    }
    for (todo, claim) in new.iter_mut().zip(&claims.of_new) {
        let Some(before) = claim.and_then(|index| old.get(index)) else {
            todo.id = ids.fresh(&format!("to do {} {}", where_it_is(todo.spot), todo.text));
            parts(todo, &[]);
            continue;
        };
        todo.id = before.id.clone();
        todo.extra.clone_from(&before.extra);
        parts(todo, &before.parts);
    }
    new
}

fn where_it_is(spot: Option<Spot>) -> String {
    let place = |place: Place| format!("{} {}", place.measure, place.at);
    let Some(spot) = spot else {
        return String::new();
    };
    let to = spot.to.map(place).unwrap_or_default();
    format!("{} {to}", place(spot.from))
}
