//! The order of play: repeats, endings, jumps and cuts unrolled.

use crate::repeats::{RepeatSign, Repeats, find_repeats};
use cueleaf_guide::{Checked, Finding, Jump, JumpUntil, Measure, RoadMap, Severity, Tell};

/// The most measures that are played in one go.
///
/// # Source
/// Our decision: ten hours of quick 2/4 are below it.
pub const MAX_PLAYED: usize = 500_000;

/// The most measures that are come to or passed over on the way, cut ones and endings of other
/// passes included, and looked through for a coda or segno.
///
/// # Source
/// Our decision: no music needs ten steps for a measure that is played.
const MAX_STEPS: usize = 10 * MAX_PLAYED;

/// One measure in the order of play.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Played {
    /// The index of the measure in the road map, from 0.
    pub measure: usize,
    /// The how-manieth time it is played, from 1.
    pub pass: u32,
}

/// Puts the measures of a road map into the order of play.
///
/// After a jump repeats are not taken and the last ending is played, unless the
/// jump says otherwise; every jump is taken once, and after it the way to the coda
/// once; of several ways to a coda the one that was taken is passed the next time. Of a
/// cut measure only its repetition is cut: To Coda, Fine and jump stand at its end and
/// hold (our decision). The order ends for every road map.
///
/// # Source
/// MusicXML 4.0, element sound (dacapo, dalsegno, tocoda, fine); Gehrkens,
/// Music Notation and Terminology, 1914, §§36–39.
#[must_use]
pub fn order_of(road_map: &RoadMap) -> Checked<Vec<Played>> {
    let Checked { value, findings } = ordered(road_map);
    Checked {
        value: value.0,
        findings,
    }
}

/// Gives the order of play, and the signs that go back.
pub(crate) fn ordered(road_map: &RoadMap) -> Checked<(Vec<Played>, Vec<RepeatSign>)> {
    let mut findings = Vec::new();
    let repeats = find_repeats(road_map, &mut findings);
    let mut walk = Walk {
        measures: &road_map.measures,
        repeats: &repeats,
        pass_of: vec![1; repeats.len()],
        jumped: vec![false; road_map.measures.len()],
        told: vec![false; road_map.measures.len()],
        left: vec![false; road_map.measures.len()],
        after: None,
        steps: 0,
    };
    let mut order: Vec<Played> = Vec::with_capacity(road_map.measures.len());
    let mut times = vec![0u32; road_map.measures.len()];
    let mut next = walk.enter(0, None);
    while let Some(index) = next {
        let Some(measure) = road_map.measures.get(index) else {
            break;
        };
        if order.len() >= MAX_PLAYED || walk.steps >= MAX_STEPS {
            findings.tell(|| {
                let reason = if order.len() >= MAX_PLAYED {
                    format!("has more than {MAX_PLAYED} measures")
                } else {
                    "goes back and passes over measures without end".to_owned()
                };
                Finding::new(
                    Severity::Error,
                    "order-too-long",
                    format!("the order of play {reason} and is cut here"),
                )
                .hint("look at the repeats around this measure")
                .at_measure(index, &measure.label)
            });
            break;
        }
        if !measure.cut {
            let pass = times.get_mut(index).map_or(1, |times| {
                *times += 1;
                *times
            });
            order.push(Played {
                measure: index,
                pass,
            });
        }
        next = walk.after_measure(index, measure, &mut findings);
    }
    unreached(road_map, &times, &mut findings);
    let is_cut = |sign: &RepeatSign| {
        road_map
            .measures
            .get(sign.measure)
            .is_some_and(|own| own.cut)
    };
    let signs = repeats.signs().filter(|sign| !is_cut(sign)).collect();
    Checked {
        value: (order, signs),
        findings,
    }
}

/// What a jump that was taken asks of the way on.
#[derive(Clone, Copy)]
struct After {
    until: JumpUntil,
    with_repeats: bool,
    /// Whether it left for the coda.
    in_coda: bool,
}

struct Walk<'a> {
    measures: &'a [Measure],
    repeats: &'a Repeats,
    /// For each repeat, the pass it is in.
    pass_of: Vec<u16>,
    /// For each measure, whether its jump was taken.
    jumped: Vec<bool>,
    /// For each measure, whether what is wrong with its To Coda was told.
    told: Vec<bool>,
    /// For each measure, whether play left it for a coda.
    left: Vec<bool>,
    after: Option<After>,
    /// How many measures were come to, passed over or looked through.
    steps: usize,
}

impl<'a> Walk<'a> {
    fn takes_repeats(&self) -> bool {
        self.after.is_none_or(|after| after.with_repeats)
    }

    /// Comes to a measure, by itself or by going back in a repeat, and passes
    /// over endings that are not for this pass. `None` at the end.
    fn enter(&mut self, index: usize, back_in: Option<usize>) -> Option<usize> {
        let mut index = index;
        loop {
            self.steps += 1;
            self.measures.get(index)?;
            for repeat in self.repeats.starting_at(index) {
                if back_in != Some(repeat) {
                    self.set_first_pass(repeat);
                }
            }
            let Some(ending) = self.repeats.ending_over(index) else {
                return Some(index);
            };
            let Some(repeat) = ending.repeat else {
                return Some(index);
            };
            let pass = self.pass_of(repeat);
            let is_way_on = self
                .repeats
                .get(repeat)
                .is_some_and(|repeat| repeat.end == ending.to && pass >= repeat.passes)
                && self.ends_last(ending.to)
                && !self.is_lone(ending.from, ending.to, repeat);
            if ending.numbers.contains(&pass) || is_way_on {
                return Some(index);
            }
            index = ending.to;
            self.forget_at_movement(index);
        }
    }

    /// Goes on to the measure after one.
    fn go_on(&mut self, index: usize) -> Option<usize> {
        self.forget_at_movement(index + 1);
        self.enter(index + 1, None)
    }

    /// A movement has an order of its own: what a jump asked for ends before it.
    fn forget_at_movement(&mut self, index: usize) {
        let next = self.measures.get(index);
        if next.is_some_and(|next| next.movement.is_some()) {
            self.after = None;
        }
    }

    /// Tells whether a bracket is the last of its group.
    fn ends_last(&self, to: usize) -> bool {
        self.repeats
            .ending_over(to)
            .is_none_or(|next| next.numbers.contains(&1))
    }

    /// Tells whether a bracket is the only one of its repeat.
    fn is_lone(&self, from: usize, to: usize, repeat: usize) -> bool {
        let shares = |measure: usize| {
            self.repeats
                .ending_over(measure)
                .is_some_and(|other| other.repeat == Some(repeat))
        };
        !shares(to) && from.checked_sub(1).is_none_or(|before| !shares(before))
    }

    fn pass_of(&self, repeat: usize) -> u16 {
        self.pass_of.get(repeat).copied().unwrap_or(1)
    }

    fn set_pass(&mut self, repeat: usize, pass: u16) {
        if let Some(own) = self.pass_of.get_mut(repeat) {
            *own = pass;
        }
    }

    fn set_first_pass(&mut self, repeat: usize) {
        let last = self.repeats.get(repeat).map_or(1, |repeat| repeat.passes);
        let pass = if self.takes_repeats() { 1 } else { last };
        self.set_pass(repeat, pass);
    }

    /// Finds the measure after one that was just played (or cut).
    fn after_measure(
        &mut self,
        index: usize,
        measure: &Measure,
        findings: &mut Vec<Finding>,
    ) -> Option<usize> {
        if let Some((id, repeat)) = self.repeats.back_after(index) {
            if measure.cut {
                // With the sign its repetition is cut: what comes is as after the last time.
                self.set_pass(id, repeat.passes);
            }
            let pass = self.pass_of(id);
            if pass < repeat.passes {
                self.set_pass(id, pass + 1);
                return self.enter(repeat.start, Some(id));
            }
        }
        if let Some(name) = &measure.to_coda
            && let Some(after) = self.after.filter(|after| after.until != JumpUntil::Fine)
            && !self.is_passed(index)
        {
            match self.find(index, name, |measure| measure.coda.as_deref()) {
                Some(coda) if !after.in_coda => {
                    if let Some(left) = self.left.get_mut(index) {
                        *left = true;
                    }
                    self.after = Some(After {
                        until: JumpUntil::End,
                        with_repeats: true,
                        in_coda: true,
                    });
                    return self.jump_to(coda);
                }
                // Told at the first time round.
                coda if is_first(&mut self.told, index) => findings.tell(|| {
                    let (code, message, hint) = match coda {
                        // Nobody leaves the coda for the coda.
                        Some(_) => (
                            "to-coda-again",
                            "play has left for the coda already and passes over this To Coda",
                            "take this To Coda away, or mark another measure as the coda",
                        ),
                        None => (
                            "coda-missing",
                            "play leaves here for a coda that the road map does not have",
                            "mark the measure at which the coda starts",
                        ),
                    };
                    Finding::new(Severity::Warning, code, message)
                        .hint(hint)
                        .at_measure(index, &measure.label)
                }),
                _ => {}
            }
        }
        if measure.fine
            && self
                .after
                .is_some_and(|after| after.until != JumpUntil::Coda)
        {
            return self.next_movement(index);
        }
        if let Some(jump) = &measure.jump
            && is_first(&mut self.jumped, index)
            && let Some(target) = self.target(index, measure, jump, findings)
        {
            self.look_for_end(index, measure, jump, findings);
            self.after = Some(After {
                until: jump.until,
                with_repeats: jump.with_repeats,
                in_coda: false,
            });
            return self.jump_to(target);
        }
        self.go_on(index)
    }

    /// Tells whether the way to a coda was taken before and another one waits: the next time round
    /// play goes on to that.
    fn is_passed(&mut self, index: usize) -> bool {
        if self.left.get(index) != Some(&true) {
            return false;
        }
        let mut ways = self.movement(index).inspect(|_| self.steps += 1);
        ways.any(|(at, own)| own.to_coda.is_some() && self.left.get(at) == Some(&false))
    }

    /// Gives the measures of the movement in which a measure lies, with their indices.
    fn movement(&self, index: usize) -> impl Iterator<Item = (usize, &'a Measure)> + use<'a> {
        let start = self.repeats.movement_of(index);
        let all = self.measures.iter().enumerate().skip(start);
        all.take_while(move |(at, own)| *at == start || own.movement.is_none())
    }

    fn next_movement(&mut self, index: usize) -> Option<usize> {
        self.after = None;
        let next = self
            .measures
            .iter()
            .enumerate()
            .skip(index + 1)
            .find(|(_, measure)| measure.movement.is_some())?;
        self.enter(next.0, None)
    }

    fn jump_to(&mut self, target: usize) -> Option<usize> {
        for repeat in self.repeats.around(target) {
            self.set_first_pass(repeat);
        }
        self.enter(target, None)
    }

    /// Tells where the sign at which play ends or leaves after a jump is nowhere.
    fn look_for_end(
        &mut self,
        index: usize,
        measure: &Measure,
        jump: &Jump,
        findings: &mut Vec<Finding>,
    ) {
        let mut all = self.movement(index).inspect(|_| self.steps += 1);
        let (code, message, hint) = match jump.until {
            JumpUntil::Coda if !all.any(|(_, own)| own.to_coda.is_some()) => (
                "to-coda-missing",
                "this jump plays until the coda is called for, and no measure calls for it",
                "mark the measure from whose end play goes to the coda, and the coda",
            ),
            JumpUntil::Fine if !all.any(|(_, own)| own.fine) => (
                "fine-missing",
                "this jump plays to the Fine, and no measure has one, so play goes to the end",
                "mark the measure after which the Fine stands",
            ),
            _ => return,
        };
        findings.tell(|| {
            Finding::new(Severity::Warning, code, message)
                .hint(hint)
                .at_measure(index, &measure.label)
        });
    }

    fn target(
        &mut self,
        index: usize,
        measure: &Measure,
        jump: &Jump,
        findings: &mut Vec<Finding>,
    ) -> Option<usize> {
        let Some(name) = &jump.to_segno else {
            return Some(self.repeats.movement_of(index));
        };
        let target = self.find(index, name, |measure| measure.segno.as_deref());
        if target.is_none() {
            findings.tell(|| Finding::new(
                    Severity::Warning,
                    "segno-missing",
                    "this jump goes back to a segno that the road map does not have, so it is not taken",
                )
                .hint("mark the measure of the segno, or let the jump go to the beginning")
                .at_measure(index, &measure.label));
        }
        target
    }

    /// Finds a named place in the movement of a measure; a name that nobody
    /// carries means the only one there is.
    fn find(
        &mut self,
        index: usize,
        name: &str,
        carries: impl Fn(&Measure) -> Option<&str>,
    ) -> Option<usize> {
        let places: Vec<(usize, &str)> = self
            .movement(index)
            .inspect(|_| self.steps += 1)
            .filter_map(|(at, measure)| carries(measure).map(|own| (at, own)))
            .collect();
        match places.iter().find(|(_, own)| *own == name) {
            Some((at, _)) => Some(*at),
            None => match places.as_slice() {
                [(at, _)] => Some(*at),
                _ => None,
            },
        }
    }
}

/// Tells whether something happens at a measure for the first time, and notes that it did.
fn is_first(happened: &mut [bool], index: usize) -> bool {
    let own = happened.get_mut(index);
    own.is_some_and(|own| !core::mem::replace(own, true))
}

fn unreached(road_map: &RoadMap, times: &[u32], findings: &mut Vec<Finding>) {
    let missed = road_map
        .measures
        .iter()
        .zip(times)
        .enumerate()
        .find(|(_, (measure, times))| **times == 0 && !measure.cut);
    if let Some((index, (measure, _))) = missed {
        let count = road_map
            .measures
            .iter()
            .zip(times)
            .filter(|(measure, times)| **times == 0 && !measure.cut)
            .count();
        findings.tell(|| {
            Finding::new(
                Severity::Warning,
                "never-played",
                match count {
                    1 => "the order of play never comes to this measure".to_owned(),
                    _ => format!(
                        "the order of play never comes to {count} measures, of which this is the first"
                    ),
                },
            )
            .hint("look at the endings, jumps and the Fine before it")
            .at_measure(index, &measure.label)
        });
    }
}

#[cfg(test)]
mod tests;
