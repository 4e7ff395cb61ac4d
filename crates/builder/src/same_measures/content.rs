//! Two road maps laid beside each other by what is printed in them, whatever their numbers say.

use cueleaf_guide::{Guide, Measure};
use std::collections::BTreeMap;

/// What something printed at a measure weighs, where a mark of a part weighs 1.
///
/// # Source
/// Our decision: a meter or a rehearsal mark tells a place better than a bow sign.
const PRINTED: u32 = 3;

/// What it costs to leave measures out, on either side, as printed things that agree.
const GAP: u32 = 2 * PRINTED;

/// How many measures may be put in and taken out again on the way.
const SLACK: usize = 24;

/// How many pairs of measures are looked at; longer road maps have their numbers alone.
///
/// # Source
/// Our decision: a fifth of a second in a browser.
const MOST_PAIRS: usize = 4_000_000;

/// What is printed at the measures of two road maps, each thing as a number that both share.
pub(super) struct Contents {
    from: Vec<Content>,
    to: Vec<Content>,
}

/// What is printed at a measure: its things in order, with what they weigh.
#[derive(Default)]
struct Content {
    label: Option<u32>,
    things: Vec<(u32, u32)>,
}

impl Contents {
    pub(super) fn of_measures(from: &[Measure], to: &[Measure]) -> Self {
        Self::of([(from, None), (to, None)])
    }

    /// The same with the marks of the parts, which tell a measure too.
    pub(super) fn of_guides(from: &Guide, to: &Guide) -> Self {
        Self::of([from, to].map(|guide| (guide.road_map.measures.as_slice(), Some(guide))))
    }

    fn of(both: [(&[Measure], Option<&Guide>); 2]) -> Self {
        let mut names: BTreeMap<String, u32> = BTreeMap::new();
        let mut number = |name: String| {
            let next = u32::try_from(names.len()).unwrap_or(u32::MAX);
            *names.entry(name).or_insert(next)
        };
        // A part alone is the same, whatever it is called.
        let alone = both
            .iter()
            .all(|(_, guide)| guide.is_none_or(|own| own.parts.len() == 1));
        let [from, to] = both.map(|(measures, guide)| {
            let mut contents: Vec<Content> = measures
                .iter()
                .map(|own| {
                    let label = own.label.trim();
                    let things = printed(own);
                    Content {
                        label: (!label.is_empty()).then(|| number(format!("label {label}"))),
                        things: things.map(|name| (number(name), PRINTED)).collect(),
                    }
                })
                .collect();
            for part in guide.iter().flat_map(|own| &own.parts) {
                let name = if alone { "" } else { part.name.trim() };
                for mark in &part.marks {
                    let what = (mark.kind, mark.at, mark.text.trim());
                    let thing = number(format!("{} {what:?}", name.to_lowercase()));
                    if let Some(own) = contents.get_mut(mark.measure) {
                        own.things.push((thing, 1));
                    }
                }
            }
            for own in &mut contents {
                own.things.sort_unstable();
                own.things.dedup();
            }
            contents
        });
        Self { from, to }
    }

    /// Weighs how much of what is printed agrees.
    pub(super) fn agreeing(&self, same: &[Option<usize>]) -> u32 {
        let pairs = same.iter().enumerate();
        pairs
            .filter_map(|(index, other)| Some(self.points(index, (*other)?)))
            .sum()
    }

    fn points(&self, from: usize, to: usize) -> u32 {
        let (Some(one), Some(two)) = (self.from.get(from), self.to.get(to)) else {
            return 0;
        };
        let shared = |own: &&(u32, u32)| two.things.binary_search(own).is_ok();
        one.things.iter().filter(shared).map(|own| own.1).sum()
    }

    /// Tells whether another way to lay the measures beside each other agrees so much more that
    /// the numbers must have moved: by two printed things, and two more for each further gap.
    pub(super) fn speaks_for(&self, other: &[Option<usize>], before: &[Option<usize>]) -> bool {
        let gaps = |same| gaps(same, self.to.len());
        let more = gaps(other).saturating_sub(gaps(before)).saturating_add(1);
        self.agreeing(other)
            >= self
                .agreeing(before)
                .saturating_add(GAP.saturating_mul(more))
    }

    /// Lays the measures beside each other so that most of what is printed agrees, with as few
    /// gaps as may be; where that leaves a choice, by the numbers. `None` for road maps that are
    /// too long or too different in length.
    ///
    /// # Source
    /// Alignment of two rows with a price for opening a gap, within a band (Gotoh 1982; from
    /// memory).
    pub(super) fn laid_beside(&self) -> Option<Vec<Option<usize>>> {
        let (rows, columns) = (self.from.len(), self.to.len());
        let before = rows.saturating_sub(columns).saturating_add(SLACK);
        let after = columns.saturating_sub(rows).saturating_add(SLACK);
        let width = before.saturating_add(after).saturating_add(1);
        (rows.saturating_add(1).saturating_mul(width) <= MOST_PAIRS).then_some(())?;
        // The cell `cell` of the row `row` is the column `row + cell - before`.
        let column = |row: usize, cell: usize| (row + cell).checked_sub(before);
        let mut came: Vec<Came> = Vec::with_capacity(rows.saturating_add(1) * width);
        let mut above: Vec<Best> = vec![Best::NONE; width];
        for row in 0..=rows {
            let mut here: Vec<Best> = Vec::with_capacity(width);
            for cell in 0..width {
                let at = column(row, cell).filter(|own| *own <= columns);
                let (best, from) = match at {
                    None => (Best::NONE, Came::default()),
                    Some(0) if row == 0 => (Best::START, Came::default()),
                    Some(own) => {
                        let left = cell.checked_sub(1).and_then(|own| here.get(own));
                        let up = above.get(cell + 1);
                        let (gap, gap_came) = gap(left.copied(), up.copied());
                        let met = above.get(cell).copied().unwrap_or(Best::NONE);
                        let (pair, pair_came) = self.pair(row, own, met);
                        let came = Came {
                            pair: pair_came,
                            gap: gap_came,
                        };
                        (Best { pair, gap }, came)
                    }
                };
                here.push(best);
                came.push(from);
            }
            above = here;
        }
        Some(way_back(&came, rows, columns, before, width, &above))
    }

    /// Pairs the measures before a place of both.
    fn pair(&self, row: usize, column: usize, met: Best) -> (i64, State) {
        let (Some(from), Some(to)) = (row.checked_sub(1), column.checked_sub(1)) else {
            return (Best::NEVER, State::Pair);
        };
        let (before, state) = met.better();
        if before == Best::NEVER {
            return (Best::NEVER, State::Pair);
        }
        let label = |own: Option<&Content>| own.and_then(|own| own.label);
        let named = label(self.from.get(from));
        let same = named.is_some() && named == label(self.to.get(to));
        let points = i64::from(self.points(from, to)) * UNIT + i64::from(same);
        (before + points, state)
    }
}

/// What a point counts beside numbers that agree, of which there are fewer.
const UNIT: i64 = 1 << 24;

/// The best ways to a place of both road maps.
#[derive(Clone, Copy)]
struct Best {
    /// With the measures before it paired.
    pair: i64,
    /// With a measure before it left out.
    gap: i64,
}

impl Best {
    const NEVER: i64 = i64::MIN / 2;
    const NONE: Self = Self {
        pair: Self::NEVER,
        gap: Self::NEVER,
    };
    const START: Self = Self {
        pair: 0,
        gap: Self::NEVER,
    };

    const fn better(self) -> (i64, State) {
        if self.gap > self.pair {
            (self.gap, State::Gap)
        } else {
            (self.pair, State::Pair)
        }
    }
}

#[derive(Clone, Copy, Default, PartialEq, Eq)]
enum State {
    #[default]
    Pair,
    Gap,
}

/// How the best ways came to a place: by a pair from a state; by a gap from a state, to the left
/// or from above.
#[derive(Clone, Copy, Default)]
struct Came {
    pair: State,
    gap: (State, Side),
}

/// Whose measure is left out.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
enum Side {
    #[default]
    From,
    To,
}

fn gap(left: Option<Best>, up: Option<Best>) -> (i64, (State, Side)) {
    let price = i64::from(GAP) * UNIT;
    let ways = [(left, Side::To), (up, Side::From)];
    let all = ways
        .into_iter()
        .filter_map(|(own, side)| Some((own?, side)));
    let all = all.flat_map(|(own, side)| {
        [
            (own.gap, (State::Gap, side)),
            (own.pair.saturating_sub(price), (State::Pair, side)),
        ]
    });
    let best = all.filter(|own| own.0 > Best::NEVER / 2);
    best.max_by_key(|own| own.0)
        .unwrap_or((Best::NEVER, (State::Gap, Side::From)))
}

/// Goes the best way back from the end of both.
fn way_back(
    came: &[Came],
    rows: usize,
    columns: usize,
    before: usize,
    width: usize,
    last: &[Best],
) -> Vec<Option<usize>> {
    let mut same = vec![None; rows];
    let (mut row, mut column) = (rows, columns);
    let cell = |row: usize, column: usize| (column + before).checked_sub(row);
    let end = cell(row, column).and_then(|own| last.get(own));
    let mut state = end.copied().unwrap_or(Best::START).better().1;
    while row > 0 || column > 0 {
        let at = cell(row, column).map(|own| row * width + own);
        let Some(own) = at.and_then(|at| came.get(at)) else {
            break;
        };
        let side = match state {
            State::Pair => {
                state = own.pair;
                None
            }
            State::Gap => {
                state = own.gap.0;
                Some(own.gap.1)
            }
        };
        if side != Some(Side::To) {
            row = row.saturating_sub(1);
        }
        if side != Some(Side::From) {
            column = column.saturating_sub(1);
        }
        if side.is_none()
            && let Some(own) = same.get_mut(row)
        {
            *own = Some(column);
        }
    }
    same
}

/// Counts the stretches that are left out on either side.
fn gaps(same: &[Option<usize>], count: usize) -> u32 {
    let pairs = same
        .iter()
        .enumerate()
        .filter_map(|(index, other)| Some((index, (*other)?)));
    let mut next = (0, 0);
    let mut gaps = 0;
    for (from, to) in pairs.chain([(same.len(), count)]) {
        gaps += u32::from((from, to) != next);
        next = (from + 1, to + 1);
    }
    gaps
}

/// Names what is printed at a measure.
fn printed(own: &Measure) -> impl Iterator<Item = String> {
    let mut all: Vec<String> = Vec::new();
    let mut add = |what: &str, text: Option<String>| {
        all.extend(text.map(|text| format!("{what} {text}")));
    };
    let owned = |text: &Option<String>| text.as_deref().map(|own| own.trim().to_owned());
    add("meter", own.meter.as_ref().map(|own| own.to_string()));
    add("key", own.key.map(|own| format!("{own:?}")));
    add("lasts", own.length.map(|own| own.to_string()));
    add("movement", owned(&own.movement));
    add("section", owned(&own.section));
    add("mark", owned(&own.mark));
    add("segno", owned(&own.segno));
    add("coda", owned(&own.coda));
    add("to coda", owned(&own.to_coda));
    let sign = |is: bool| is.then(String::new);
    add("from", sign(own.repeat_from));
    add("fine", sign(own.fine));
    add("back", own.repeat_back.map(|own| own.to_string()));
    add(
        "ending",
        (!own.ending.is_empty()).then(|| format!("{:?}", own.ending)),
    );
    let jump = own.jump.as_ref();
    add("jump", jump.map(|own| format!("{:?}", own.to_segno)));
    for mark in &own.tempo {
        let words = mark.words.trim().to_lowercase();
        add("tempo", Some(format!("{} {words}", mark.at)));
    }
    for hold in &own.holds {
        add("hold", Some(hold.at.to_string()));
    }
    all.into_iter()
}
