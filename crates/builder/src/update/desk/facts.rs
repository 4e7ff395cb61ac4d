//! Facts of the chosen measures, changed by texts.

use super::{chosen, commit, stretch};
use crate::edit::printed::{self, Printed};
use crate::edit::tempo::{Manner, TempoWish, fields_of, mark_at, set_tempo};
use crate::edit::{Reach, measures};
use crate::msg::{Effect, Fact};
use crate::places::read_offset;
use crate::state::{Desk, Draft, Field};
use cueleaf_guide::{CountStyle, Guide, is_gradual};
use cueleaf_time::{BeatChoice, Grouping, Key, Meter};
use std::rc::Rc;

pub(super) fn number_on(desk: &mut Desk, effects: &mut Vec<Effect>) {
    let first = desk.selection.first();
    match measures::number_on(desk.guide(), first) {
        Ok(made) => {
            let words = format!("number on from {}", desk.derived.name(first));
            commit(desk, made, words, effects);
            desk.drafts.remove(&Field::Fact(Fact::Label));
        }
        Err(problem) => {
            let measure = desk.guide().road_map.measures.get(first);
            let text = measure.map_or_else(String::new, |own| own.label.clone());
            let draft = Draft { text, problem };
            desk.drafts.insert(Field::Fact(Fact::Label), draft);
        }
    }
}

pub(super) fn set_fact(desk: &mut Desk, fact: Fact, text: String, effects: &mut Vec<Effect>) {
    let field = Field::Fact(fact);
    match changed(desk, fact, &text) {
        Ok(None) => {}
        Ok(Some((made, what))) => {
            desk.drafts.remove(&field);
            let words = format!("{what} at {}", stretch(desk));
            commit(desk, made, words, effects);
        }
        Err(problem) => {
            desk.drafts.insert(field, Draft { text, problem });
        }
    }
}

/// Goes to another beat of the first chosen measure with the tempo.
pub(super) fn tempo_beat(desk: &mut Desk, text: String) {
    let layout = desk.derived.plan.layout();
    match read_offset(desk.guide(), layout, desk.selection.first(), text.trim()) {
        Ok(at) => {
            desk.tempo_at = at;
            desk.tempo_wish = TempoWish::default();
            // What was typed for the one mark is not meant for the other.
            desk.drafts.retain(|field, _| {
                !matches!(
                    field,
                    Field::TempoBeat
                        | Field::Fact(Fact::TempoNumber)
                        | Field::Printed(Printed::TempoUntil | Printed::TempoSame)
                )
            });
        }
        Err(problem) => {
            let draft = Draft { text, problem };
            desk.drafts.insert(Field::TempoBeat, draft);
        }
    }
}

/// Changes something printed at the chosen measures.
pub(super) fn set_printed(desk: &mut Desk, what: Printed, text: String, effects: &mut Vec<Effect>) {
    let field = Field::Printed(what);
    let layout = desk.derived.plan.layout();
    match printed::change(
        desk.guide(),
        layout,
        chosen(desk),
        desk.tempo_at,
        what,
        &text,
    ) {
        Ok(made) => {
            desk.drafts.remove(&field);
            let words = format!("{} at {}", printed_words(what), stretch(desk));
            commit(desk, made, words, effects);
            if matches!(what, Printed::HoldRemove(_)) {
                effects.push(Effect::Focus("printed-hold-at".to_owned()));
            }
        }
        Err(problem) => {
            desk.drafts.insert(field, Draft { text, problem });
        }
    }
}

const fn printed_words(what: Printed) -> &'static str {
    match what {
        Printed::RepeatFrom | Printed::RepeatBack => "change the repeat",
        Printed::Ending => "change the ending",
        Printed::Segno | Printed::SegnoName => "change the segno",
        Printed::Coda | Printed::CodaName | Printed::ToCoda | Printed::ToCodaName => {
            "change the coda"
        }
        Printed::Fine => "change the Fine",
        Printed::Jump | Printed::JumpSegno | Printed::JumpUntil | Printed::JumpRepeats => {
            "change the jump"
        }
        Printed::Cut => "change the cut",
        Printed::Movement | Printed::MovementName => "change the movement",
        Printed::Length | Printed::Pickup => "change the length",
        Printed::TempoUntil | Printed::TempoShape | Printed::TempoBack | Printed::TempoSame => {
            "change the tempo"
        }
        Printed::HoldAt
        | Printed::HoldLonger(_)
        | Printed::HoldLeadIn(_)
        | Printed::HoldRemove(_) => "change the fermata",
    }
}

type Changed = Result<Option<(Guide, &'static str)>, String>;

/// Gives the document with a fact of the chosen measures changed, and words for
/// it; `None` when the fact waits for another field.
fn changed(desk: &mut Desk, fact: Fact, text: &str) -> Changed {
    let (guide, chosen, reach) = (Rc::clone(desk.guide()), chosen(desk), desk.reach());
    let text = text.trim();
    let (made, words) = match fact {
        Fact::Meter => (meter(&guide, chosen, reach, text)?, "change the meter"),
        Fact::Groups => (groups(desk, &guide, reach, text)?, "change the groups"),
        Fact::Section => (
            measures::set_section(&guide, chosen.0, text),
            "name the section",
        ),
        Fact::Mark => (
            measures::set_mark(&guide, chosen.0, text),
            "change the rehearsal mark",
        ),
        Fact::Label => {
            if text.chars().count() > cueleaf_guide::MAX_LABEL {
                return Err("A printed number has at most 32 letters.".to_owned());
            }
            (
                measures::set_label(&guide, chosen.0, text),
                "change the printed number",
            )
        }
        Fact::Key => {
            let key = text
                .parse()
                .ok()
                .and_then(|fifths| Key::from_fifths(fifths).ok());
            (
                measures::set_key(&guide, chosen, reach, key),
                "change the key",
            )
        }
        Fact::CountBeat => {
            let beat = match text {
                "big" => BeatChoice::Big,
                "small" => BeatChoice::Small,
                _ => BeatChoice::Usual,
            };
            let made = measures::set_count(&guide, chosen, reach, Some(beat), None);
            (made, "change the counted beat")
        }
        Fact::CountStyle => {
            let style = match text {
                "through" => CountStyle::Through,
                _ => CountStyle::EachGroup,
            };
            let made = measures::set_count(&guide, chosen, reach, None, Some(style));
            (made, "change the counting")
        }
        Fact::TempoWords | Fact::TempoUnit | Fact::TempoNumber | Fact::TempoManner => {
            return tempo(desk, &guide, fact, text);
        }
    };
    Ok(Some((made, words)))
}

fn meter(guide: &Guide, chosen: (usize, usize), reach: Reach, text: &str) -> Result<Guide, String> {
    let meter = if text.is_empty() {
        None
    } else {
        let meter: Meter = text
            .parse()
            .map_err(|_| "Type a meter such as 4/4, 6/8 or 3+2/8.")?;
        Some(meter)
    };
    Ok(measures::set_meter(guide, chosen, reach, meter))
}

fn groups(desk: &Desk, guide: &Guide, reach: Reach, text: &str) -> Result<Guide, String> {
    let chosen = chosen(desk);
    let laid = desk.derived.plan.layout().get(chosen.0);
    let groups = if text.is_empty() {
        None
    } else {
        let groups: Grouping = text
            .parse()
            .map_err(|_| "Type groups such as 2+3 or 2+2+3.")?;
        let units = laid.map_or(0, |laid| laid.meter.finest_units());
        if groups.units() != units {
            let meter = laid.map_or_else(String::new, |laid| laid.meter.to_string());
            return Err(format!(
                "The groups of {meter} have to add up to {units}; {groups} makes {}.",
                groups.units()
            ));
        }
        let usual = laid.map(|laid| laid.meter.default_grouping());
        (usual.as_ref() != Some(&groups)).then_some(groups)
    };
    Ok(measures::set_groups(guide, chosen, reach, groups))
}

fn tempo(desk: &mut Desk, guide: &Guide, fact: Fact, text: &str) -> Changed {
    let (first, last) = chosen(desk);
    let mut fields = fields_of(guide, &desk.derived.plan, desk.tempo_place());
    desk.tempo_wish.fill(&mut fields);
    // A number that could not be understood before may be meant by now.
    if let Some(draft) = desk.drafts.get(&Field::Fact(Fact::TempoNumber))
        && fact == Fact::TempoUnit
    {
        fields.number.clone_from(&draft.text);
    }
    match fact {
        Fact::TempoWords => {
            if is_gradual(text) && !is_gradual(&fields.words) {
                // A rit. is meant little by little, unless the teacher says otherwise.
                fields.manner = desk.tempo_wish.manner.unwrap_or(Manner::Gradual);
            }
            text.clone_into(&mut fields.words);
        }
        Fact::TempoUnit => {
            text.clone_into(&mut fields.unit);
            desk.tempo_wish.unit = Some(text.to_owned());
        }
        Fact::TempoManner => {
            fields.manner = match text {
                "gradual" => Manner::Gradual,
                _ => Manner::AtOnce,
            };
            desk.tempo_wish.manner = Some(fields.manner);
        }
        _ => text.clone_into(&mut fields.number),
    }
    let is_wish = matches!(fact, Fact::TempoUnit | Fact::TempoManner);
    let has_mark = mark_at(guide, desk.tempo_place()).is_some();
    if fields.number.is_empty() && fields.words.is_empty() && is_wish && !has_mark {
        return Ok(None);
    }
    let made = set_tempo(guide, (first, last), desk.tempo_at, desk.reach(), &fields)?;
    if matches!(fact, Fact::TempoUnit | Fact::TempoNumber) {
        desk.drafts.remove(&Field::Fact(Fact::TempoNumber));
    }
    if !fields.number.is_empty() {
        // From here on the mark itself knows its unit, and how it comes.
        desk.tempo_wish = TempoWish::default();
    }
    Ok(Some((made, "change the tempo")))
}
