//! From the lines of an outline to the guide they describe.

use crate::comments::{Anchor, Comments, Kept, Side};
use crate::ground::{Ground, RawPlace, RawSpot};
use crate::heads::head_number;
use crate::item::{Item, ends, has_a_beat, is_of_each};
use crate::lines::{Block, Entry, read_lines};
use crate::measure::apply;
use crate::offered::Offered;
use crate::text::{Piece, quoted_length, read_line, read_name};
use crate::trouble::{Findings, LineFinding, Trouble};
use crate::write::{MISSING_PART, part_key};
use crate::{MAX_OUTLINE_BYTES, MAX_OUTLINE_LINES, Outlined};
use cueleaf_guide::{
    Guide, Hold, Id, MAX_TEXT, MAX_TIPS, Mark, Part, Place, Severity, Spot, TempoMark, Tip, Todo,
    TooLarge, lay_out,
};

/// The id for parts that a tip names and the guide does not have.
pub(crate) const MISSING_ID: &str = "missing-part";

/// Reads an outline.
pub(crate) fn read(text: &str) -> Outlined {
    let too_large = TooLarge::guard("bytes", MAX_OUTLINE_BYTES, text.len())
        .and_then(|()| TooLarge::guard("lines", MAX_OUTLINE_LINES, text.lines().count()));
    if let Err(too_large) = too_large {
        let mut findings = Findings::default();
        let trouble = Trouble::at(Piece::line(""), "too-large", too_large.to_string());
        findings.tell(Severity::Error, 1, trouble);
        return Outlined {
            guide: Guide::new(id("outline"), ""),
            findings: findings.in_order(|_, _| true),
            comments: Comments::default(),
            too_large: Some(too_large),
        };
    }
    let (entries, unread) = read_lines(text);
    let mut reader = Reader {
        guide: Guide::new(id("outline"), ""),
        findings: Findings::default(),
        out: Vec::new(),
        measures: 0,
    };
    for own in unread {
        let severity = Severity::Warning;
        reader.findings.tell(severity, own.line, own.trouble);
    }
    reader.heads(&entries);
    reader.measures(&entries);
    reader.measures = reader.guide.road_map.measures.len();
    reader.facts(&entries);
    let layout = lay_out(&reader.guide.road_map, &reader.guide.settings).value;
    let ground = Ground::new(&reader.guide.road_map.measures, layout);
    reader.places(entries, &ground);
    reader.finish(text, &ground)
}

pub(crate) fn id(text: &str) -> Id {
    // The texts given here are ids; the other one stands for what cannot happen.
    Id::new(text).unwrap_or_else(|| Id::from_random(0))
}

/// What becomes of an entry, in order.
enum Out {
    Anchor(Anchor),
    Kept(String),
    KeptUnder(String, Anchor),
}

/// The guide as far as it is read.
pub(crate) struct Reader {
    pub(crate) guide: Guide,
    pub(crate) findings: Findings,
    out: Vec<Out>,
    /// How many measures there are.
    measures: usize,
}

impl Reader {
    /// Begins to read lines for themselves, at the measures and for the parts of another.
    pub(crate) fn beside(parts: &[Part], measures: usize) -> Self {
        let mut guide = Guide::new(id("outline"), "");
        guide.parts = parts.to_vec();
        Self {
            guide,
            findings: Findings::default(),
            out: Vec::new(),
            measures,
        }
    }

    /// Reads lines for themselves and tells what of them is not understood.
    pub(crate) fn tell_of(mut self, text: &str, ground: &Ground) -> Vec<LineFinding> {
        let (entries, unread) = read_lines(text);
        for own in unread {
            self.warn(own.line, own.trouble);
        }
        self.places(entries, ground);
        self.findings.in_order(|_, _| false)
    }

    fn warn(&mut self, line: usize, trouble: Trouble) {
        self.findings.tell(Severity::Warning, line, trouble);
    }

    pub(crate) fn warn_line(
        &mut self,
        line: usize,
        raw: &[&str],
        code: &'static str,
        reason: String,
    ) {
        let piece = Piece::line(raw.first().copied().unwrap_or_default());
        self.warn(line, Trouble::at(piece, code, reason));
    }

    /// Puts what concerns whole measures into them, since the beats of places depend on it.
    fn facts(&mut self, entries: &[Entry<'_>]) {
        let layout = lay_out(&self.guide.road_map, &self.guide.settings).value;
        let ground = Ground::new(&self.guide.road_map.measures, layout);
        for entry in entries {
            let Entry::Block {
                block: Block::Items { spot, items, .. },
                ..
            } = entry
            else {
                continue;
            };
            let index = ground.measure(&spot.from).ok();
            // Where marks stand is not known yet.
            let by_mark = spot.to.as_ref().is_some_and(RawPlace::is_by_mark);
            let Some(index) = index.filter(|_| spot.from.is_start() && !by_mark) else {
                continue;
            };
            let measures = &mut self.guide.road_map.measures;
            // What is said of each of several measures is said once.
            let last = ground.spot(spot).ok().and_then(|own| own.to);
            let last = last.map_or(index, |last| last.measure);
            for (_, _, item) in items.iter().filter(|(.., item)| is_of_each(item)) {
                for measure in measures
                    .iter_mut()
                    .take(last.saturating_add(1))
                    .skip(index + 1)
                {
                    // Another ending of a later measure is told at that line.
                    let _ = apply(measure, item);
                }
            }
            let Some(measure) = measures.get_mut(index) else {
                continue;
            };
            for (line, piece, item) in items {
                if let Err(what) = apply(measure, item) {
                    let reason =
                        format!("this measure has another {what} already; the last counts");
                    let trouble = Trouble::at(*piece, "said-twice", reason);
                    self.findings.tell(Severity::Warning, *line, trouble);
                }
            }
        }
    }

    fn places(&mut self, entries: Vec<Entry<'_>>, ground: &Ground) {
        // What belongs to a line that is kept whole stands in it already.
        let mut last = None;
        for entry in entries {
            match (entry, &last) {
                (Entry::Kept(text), _) | (Entry::KeptItem(text), Some(_)) => {
                    self.out.push(Out::Kept(text));
                }
                (Entry::KeptDetail(text), Some(anchor)) => {
                    self.out.push(Out::KeptUnder(text, Anchor::clone(anchor)));
                }
                (Entry::KeptItem(_) | Entry::KeptDetail(_), None) => {}
                (Entry::Block { line, raw, block }, _) => match self.block(block, ground) {
                    Ok(anchor) => {
                        last = Some(anchor.clone());
                        self.out.push(Out::Anchor(anchor));
                    }
                    Err(trouble) => {
                        last = None;
                        self.warn(line, trouble);
                        self.out.push(Out::Kept(raw.join("\n")));
                    }
                },
            }
        }
    }

    fn block(&mut self, block: Block<'_>, ground: &Ground) -> Result<Anchor, Trouble> {
        match block {
            Block::Head(head) => Ok(Anchor::Head(head_number(&head))),
            Block::Items { spot, parts, items } => {
                self.items(&spot, parts.as_deref(), &items, ground)
            }
            Block::Tip {
                spot,
                parts,
                text,
                tip,
            } => {
                let place = ground.spot(&spot)?;
                let piece = parts.first().copied().unwrap_or(Piece::line(""));
                let parts = self.part_ids(&parts)?;
                let text = fitting(join(&text))?;
                fitting(tip.cue.clone())?;
                if self.guide.tips.len() >= MAX_TIPS {
                    return Err(too_many(piece, "tips", MAX_TIPS));
                }
                let number = self.guide.tips.len() + 1;
                let anchor = Anchor::place(place.from, 2, &text);
                self.guide.tips.push(Tip {
                    id: id(&format!("tip-{number}")),
                    spot: place,
                    text,
                    parts,
                    ..*tip
                });
                Ok(anchor)
            }
            Block::Todo { spot, parts, text } => {
                let spot = spot.map(|spot| ground.spot(&spot)).transpose()?;
                let parts = self.part_ids(&parts)?;
                let text = fitting(join(&text))?;
                if self.guide.todos.len() >= MAX_TIPS {
                    return Err(too_many(Piece::line(""), "to-dos", MAX_TIPS));
                }
                let number = self.guide.todos.len() + 1;
                let anchor = Anchor::Todo(text.clone());
                self.guide.todos.push(Todo {
                    id: id(&format!("to-do-{number}")),
                    text,
                    spot,
                    parts,
                    extra: Default::default(),
                });
                Ok(anchor)
            }
        }
    }

    /// Puts the items of a line in their places; nothing is put anywhere when one of them has
    /// no place.
    fn items(
        &mut self,
        spot: &RawSpot<'_>,
        parts: Option<&[Piece<'_>]>,
        items: &[(usize, Piece<'_>, Item<'_>)],
        ground: &Ground,
    ) -> Result<Anchor, Trouble> {
        let Spot { from: place, to } = ground.spot(spot)?;
        // What goes on to a measure goes on to its end.
        let end = to.map(|to| {
            if to.at.is_zero() {
                Place::start_of(to.measure.saturating_add(1))
            } else {
                to
            }
        });
        let parts = parts.map(|own| self.part_indices(own)).transpose()?;
        let outside = place.measure >= self.measures;
        let (mut tempo, mut holds, mut marks) = (Vec::new(), Vec::new(), Vec::new());
        for (line, piece, item) in items {
            let here = |trouble: Trouble| trouble.on_line(*line);
            if !has_a_beat(item) && !spot.from.is_start() {
                let reason = "this holds for a whole measure, so it stands at its start";
                return Err(here(Trouble::at(*piece, "not-on-a-beat", reason)));
            }
            let named = [Some((&spot.from, place)), spot.to.as_ref().zip(to)];
            let mut by_mark = named
                .into_iter()
                .flatten()
                .filter(|(own, _)| own.is_by_mark());
            if !has_a_beat(item)
                && let Some((own, at)) = by_mark.next()
            {
                let reason = "this holds for a whole measure, so it stands at the measure’s number";
                let trouble = Trouble::at(own.piece(), "not-at-a-mark", reason);
                return Err(here(trouble.suggest(ground.write_measure(at.measure))));
            }
            if outside && !matches!(item, Item::Mark(_)) {
                let reason = "there is no such measure";
                return Err(here(Trouble::at(*piece, "unknown-measure", reason)));
            }
            if end.is_some() && !is_of_each(item) && !ends(item) {
                let reason = "this holds from its place until something else is said; its end \
                              says nothing, so say what comes there";
                let trouble = Trouble::at(*piece, "no-end", reason);
                self.findings.tell(Severity::Warning, *line, trouble);
            }
            match item {
                Item::Tempo(raw) => {
                    let mark = raw.resolve(place.at, ground).map_err(here)?;
                    let until = mark.until.or(end.filter(|_| ends(item)));
                    tempo.push(TempoMark { until, ..mark });
                }
                Item::Hold(longer, lead_in) => holds.push(Hold {
                    lead_in: *lead_in,
                    ..Hold::new(place.at, *longer)
                }),
                Item::Mark(raw) => {
                    let mark = raw.resolve(place, ground).map_err(here)?;
                    let to = mark.to.or(end.filter(|_| ends(item)));
                    marks.push(Mark { to, ..mark });
                }
                _ => {}
            }
        }
        if let Some(measure) = self.guide.road_map.measures.get_mut(place.measure) {
            measure.tempo.extend(tempo);
            measure.holds.extend(holds);
        }
        // Marks of no part that is named are everybody's.
        let everybody = (0..self.guide.parts.len()).collect();
        for index in parts.clone().unwrap_or(everybody) {
            if let Some(part) = self.guide.parts.get_mut(index) {
                part.marks.extend(marks.iter().cloned());
            }
        }
        let alone = self.guide.parts.len() == 1;
        let facts = alone || marks.len() < items.len();
        let first = parts.iter().flatten().min().filter(|_| !facts);
        let key = first.map(|index| part_key(*index));
        let what = u8::from(key.is_some());
        Ok(Anchor::place(place, what, &key.unwrap_or_default()))
    }

    fn part_indices(&self, pieces: &[Piece<'_>]) -> Result<Vec<usize>, Trouble> {
        let known = pieces.iter().map(|piece| {
            self.part_index(*piece)?.ok_or_else(|| {
                let reason = "what a part plays needs the part's name";
                Trouble::at(*piece, "unknown-part", reason)
            })
        });
        known.collect()
    }

    fn part_ids(&self, pieces: &[Piece<'_>]) -> Result<Vec<Id>, Trouble> {
        let ids = pieces.iter().map(|piece| {
            let index = self.part_index(*piece)?;
            let part = index.and_then(|index| self.guide.parts.get(index));
            Ok(part.map_or_else(|| id(MISSING_ID), |part| part.id.clone()))
        });
        ids.collect()
    }

    /// Finds a part by its name or as "part 2"; `None` for one that the text calls missing.
    fn part_index(&self, piece: Piece<'_>) -> Result<Option<usize>, Trouble> {
        let parts = &self.guide.parts;
        let quoted = quoted_length(piece.text).is_some();
        if !quoted && piece.is(MISSING_PART) {
            return Ok(None);
        }
        let name = read_name(piece);
        let lower = name.to_lowercase();
        let exact = parts.iter().position(|part| part.name == name);
        let alike = || {
            parts
                .iter()
                .position(|part| part.name.to_lowercase() == lower)
        };
        let ordinal = || {
            let number: usize = piece.after("part")?.text.parse().ok()?;
            number.checked_sub(1).filter(|index| *index < parts.len())
        };
        let found = if quoted {
            exact.or_else(alike)
        } else {
            ordinal().or(exact).or_else(alike)
        };
        found.map(Some).ok_or_else(|| {
            let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
            let reason = format!(
                "there is no part {name}; the parts are: {}",
                names.join(", ")
            );
            Trouble::at(piece, "unknown-part", reason).nearest(piece, &names)
        })
    }

    fn finish(mut self, text: &str, ground: &Ground) -> Outlined {
        for part in &mut self.guide.parts {
            part.marks.sort_by_key(|mark| (mark.measure, mark.at));
        }
        for measure in &mut self.guide.road_map.measures {
            measure.tempo.sort_by_key(|mark| mark.at);
            measure.holds.sort_by_key(|hold| hold.at);
        }
        self.guide.tips.sort_by_key(|tip| tip.spot.from);
        let mut kept = Vec::new();
        let mut anchor = Anchor::End;
        for own in self.out.into_iter().rev() {
            let (text, side, anchor) = match own {
                Out::Anchor(own) => {
                    anchor = own;
                    continue;
                }
                Out::Kept(text) => (text, Side::Before, anchor.clone()),
                Out::KeptUnder(text, own) => (text, Side::Under, own),
            };
            let label = match &anchor {
                Anchor::Place(Place { measure, .. }, ..) => {
                    let measure = self.guide.road_map.measures.get(*measure);
                    measure.map_or_else(String::new, |own| own.label.clone())
                }
                _ => String::new(),
            };
            kept.push(Kept {
                text,
                side,
                anchor,
                label,
            });
        }
        kept.reverse();
        let mut offered = Offered::new(text, &self.guide, ground);
        Outlined {
            findings: self
                .findings
                .in_order(|found, offer| offered.is_understood(found, offer)),
            guide: self.guide,
            comments: Comments::new(kept),
            too_large: None,
        }
    }
}

/// Joins the lines of a text; one that stands alone may be in quotes.
pub(crate) fn join(lines: &[String]) -> String {
    match lines {
        [only] => read_line(Piece::line(only)),
        [first, rest @ ..] if first.is_empty() => rest.join("\n"),
        lines => lines.join("\n"),
    }
}

fn fitting(text: String) -> Result<String, Trouble> {
    match TooLarge::guard("characters in one text", MAX_TEXT, text.chars().count()) {
        Ok(()) => Ok(text),
        Err(error) => Err(Trouble::at(Piece::line(""), "too-large", error.to_string())),
    }
}

fn too_many(piece: Piece<'_>, what: &str, limit: usize) -> Trouble {
    Trouble::at(
        piece,
        "too-large",
        format!("a guide has at most {limit} {what}"),
    )
}
