//! What every family looks at: the part in its score, its line, its guide, the time.

use crate::endings::{LaterEnding, later_endings};
use crate::line::{Line, Others, Stretch};
use crate::watched::{Kind, Number, Watched};
use core::cell::OnceCell;
use cueleaf_guide::{Guide, Laid, Mark, MarkKind, MeasureWord, Place, Spot};
use cueleaf_plan::{Plan, TempoSegment};
use cueleaf_score::{Part, Pitch, Score};
use cueleaf_time::{
    Beat, BeatPos, BeatSpan, Incomplete, Level, MeasureBeats, Ratio, Tempo, beats_of,
};

/// A part, ready to be looked through.
pub(crate) struct Scene<'a> {
    pub(crate) score: &'a Score,
    pub(crate) guide: &'a Guide,
    /// The index of the part in the score.
    number: usize,
    pub(crate) part: &'a Part,
    pub(crate) marks: &'a [Mark],
    pub(crate) plan: Plan,
    pub(crate) line: Line<'a>,
    /// What the other parts strike, once it is asked for.
    others: OnceCell<Others<'a>>,
    /// Where the tempo is only assumed.
    assumed: Vec<Stretch>,
    /// The later endings in order.
    endings: Vec<LaterEnding>,
}

/// How the part is played at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Way {
    pub(crate) plucked: bool,
    pub(crate) muted: bool,
}

impl Way {
    /// Takes a mark over; tells whether it changed anything.
    pub(crate) fn take(&mut self, kind: MarkKind) -> bool {
        let before = *self;
        match kind {
            MarkKind::Pizz => self.plucked = true,
            MarkKind::Arco => self.plucked = false,
            MarkKind::MuteOn => self.muted = true,
            MarkKind::MuteOff => self.muted = false,
            _ => {}
        }
        before != *self
    }
}

/// Where in its measure's count a place lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct OnBeat {
    /// The counted beat that sounds there.
    pub(crate) beat: Beat,
    /// How far into it, in parts of that beat.
    pub(crate) past: Ratio,
}

impl OnBeat {
    /// Tells how strong the place is.
    pub(crate) fn level(&self) -> Level {
        if self.past == Ratio::ZERO {
            self.beat.level
        } else {
            Level::Subdivision
        }
    }
}

impl<'a> Scene<'a> {
    /// Sets the scene; `None` when the score has no such part.
    pub(crate) fn new(score: &'a Score, part: usize, guide: &'a Guide) -> Option<Self> {
        let own = score.parts.get(part)?;
        let by_name = guide.parts.iter().find(|one| one.name == own.name);
        let in_guide = match guide.parts.as_slice() {
            [only] => Some(only),
            _ => by_name,
        };
        let plan = Plan::new(guide).value;
        let endings = later_endings(guide, plan.layout());
        Some(Self {
            score,
            guide,
            number: part,
            part: own,
            marks: in_guide.map_or(&[], |one| one.marks.as_slice()),
            line: Line::new(own, plan.layout(), &endings),
            others: OnceCell::new(),
            assumed: crate::assumed::assumed(guide, plan.layout()),
            endings,
            plan,
        })
    }

    /// Gives what the other parts strike.
    pub(crate) fn others(&self) -> &Others<'a> {
        let new = || Others::new(self.score, self.number, self.plan.layout());
        self.others.get_or_init(new)
    }

    /// Gives the later endings in order.
    pub(crate) fn endings(&self) -> &[LaterEnding] {
        &self.endings
    }

    pub(crate) fn laid(&self, measure: usize) -> Option<&Laid> {
        self.plan.layout().get(measure)
    }

    pub(crate) fn measure_count(&self) -> usize {
        self.plan.layout().measures().len()
    }

    /// Gives the place on the written line.
    pub(crate) fn position(&self, place: Place) -> Option<BeatPos> {
        let laid = self.laid(place.measure)?;
        laid.start.plus(place.at.min(laid.length)).ok()
    }

    /// Gives the place of a position.
    pub(crate) fn place(&self, position: BeatPos) -> Place {
        let measures = self.plan.layout().measures();
        let next = measures.partition_point(|laid| laid.start <= position);
        let measure = next.saturating_sub(1);
        let at = measures
            .get(measure)
            .and_then(|laid| position.since(laid.start).ok()?.forward())
            .unwrap_or(BeatSpan::ZERO);
        Place { measure, at }
    }

    /// Gives the seconds between two places of the written line, to tell them: `None` where
    /// the tempo is only assumed on the way.
    pub(crate) fn told_seconds(&self, from: BeatPos, to: BeatPos) -> Option<f64> {
        let assumed = |own: &Stretch| own.start < to && from < own.end;
        let known = !self.assumed.iter().any(assumed);
        known.then(|| self.seconds(from, to).max(0.0))
    }

    /// Tells whether a number says how fast it goes before a position; at the start nothing is
    /// before.
    pub(crate) fn knows_tempo_before(&self, position: BeatPos) -> bool {
        let assumed = |own: &Stretch| own.start < position && position <= own.end;
        !self.assumed.iter().any(assumed)
    }

    /// Gives the seconds between two places of the written line, for weighing.
    pub(crate) fn seconds(&self, from: BeatPos, to: BeatPos) -> f64 {
        let tempo = self.plan.tempo();
        tempo.seconds_at(to).get() - tempo.seconds_at(from).get()
    }

    /// Gives the tempo that holds up to a position; none at the start.
    pub(crate) fn tempo_before(&self, position: BeatPos) -> Option<Tempo> {
        let segments = self.plan.tempo().segments();
        let next = segments.partition_point(|segment| segment.start < position);
        let segment = segments.get(next.checked_sub(1)?)?;
        if segment.arrives <= position {
            return Some(segment.to);
        }
        Some(self.tempo_inside(segment, position))
    }

    /// Gives the tempo from a position on.
    pub(crate) fn tempo_from(&self, position: BeatPos) -> Option<Tempo> {
        let segments = self.plan.tempo().segments();
        let next = segments.partition_point(|segment| segment.start <= position);
        let segment = segments.get(next.checked_sub(1)?)?;
        if segment.start == position {
            return Some(segment.from);
        }
        Some(self.tempo_inside(segment, position))
    }

    fn tempo_inside(&self, segment: &TempoSegment, position: BeatPos) -> Tempo {
        if segment.from == segment.to {
            return segment.from;
        }
        // A hair before the place, since at it the next stretch may hold already.
        let hair = Ratio::new(-1, 4096).map(cueleaf_time::BeatShift::from_quarters);
        let before = hair.and_then(|hair| position.shifted(hair));
        let at = before.map_or(position, |before| before.max(segment.start));
        Tempo::nearest(self.plan.tempo().quarters_per_minute_at(at))
    }

    /// Tells where in its measure's count a place lies; `None` in a measure
    /// without beats. A pickup is counted as the end of a whole measure, so that
    /// the last eighth of 6/8 is inside beat 2.
    pub(crate) fn on_beat(&self, place: Place) -> Option<OnBeat> {
        let laid = self.laid(place.measure)?;
        let full = laid
            .meter
            .length()
            .filter(|full| laid.pickup && laid.length < *full);
        let Some(full) = full else {
            return on_beat(&laid.beats, place.at);
        };
        let whole = beats_of(
            &laid.meter,
            Some(&laid.grouping),
            laid.choice,
            full,
            Incomplete::FirstBeats,
        );
        let skipped = full.minus_down_to_zero(laid.length);
        on_beat(&whole.ok()?, place.at.plus(skipped).ok()?)
    }

    /// Gives how many counted beats of a place go into a span.
    pub(crate) fn in_beats(&self, span: BeatSpan, place: Place) -> Ratio {
        let unit = self
            .on_beat(place)
            .map_or(BeatSpan::QUARTER, |on| on.beat.length);
        span.over(unit).unwrap_or_else(|_| span.quarters())
    }

    /// Names a pitch in a measure: "F sharp 4", and "F natural 4" where the key signature
    /// alters that letter.
    pub(crate) fn named(&self, pitch: Pitch, measure: usize) -> String {
        let key = self.laid(measure).and_then(|laid| laid.key);
        let usual = key.map_or(0, |key| crate::key::alteration(key, pitch.step));
        crate::say::pitch(pitch, usual)
    }

    fn label(&self, measure: usize) -> String {
        let own = self.guide.road_map.measures.get(measure);
        match own.map(|own| own.label.as_str()) {
            Some("") | None => format!("[{}]", measure + 1),
            Some(label) => label.to_owned(),
        }
    }

    /// Writes a place as printed: "12 beat 3+1/2".
    pub(crate) fn printed(&self, place: Place) -> String {
        let label = self.label(place.measure);
        match self.on_beat(place) {
            Some(on) if on.past == Ratio::ZERO => format!("{label} beat {}", on.beat.number),
            Some(on) => format!("{label} beat {}+{}", on.beat.number, on.past),
            None => format!("{label} beat 1"),
        }
    }

    /// Gives what a measure is called.
    pub(crate) const fn word(&self) -> &'static str {
        match self.guide.settings.measure_word {
            MeasureWord::Measure => "measure",
            MeasureWord::Bar => "bar",
        }
    }

    /// Names a measure in a sentence: "measure 12", "bar 12".
    pub(crate) fn measure(&self, measure: usize) -> String {
        format!("{} {}", self.word(), self.label(measure))
    }

    /// Names a number of measures: "3 measures".
    pub(crate) fn measures(&self, count: usize) -> String {
        crate::say::amount(count, self.word())
    }

    /// Gives how many measures lie between two places in play, as far as each goes into its own.
    pub(crate) fn measures_between(&self, from: Place, to: Place) -> Option<Ratio> {
        let (start, end) = (self.position(from)?, self.position(to));
        let over = self.passed_over(start, end.unwrap_or(self.plan.layout().end()));
        let over = Ratio::whole(i64::try_from(over).ok()?);
        self.measures_on_page(from, to)?.minus(over).ok()
    }

    /// Gives the same on the page, endings that are passed over included.
    pub(crate) fn measures_on_page(&self, from: Place, to: Place) -> Option<Ratio> {
        let into = |place: Place| place.at.over(self.laid(place.measure)?.length).ok();
        let barlines = i64::try_from(to.measure.checked_sub(from.measure)?).ok()?;
        let whole = Ratio::whole(barlines);
        // The end of the music is the start of a measure that is not there.
        let last = if to.at.is_zero() {
            Ratio::ZERO
        } else {
            into(to)?
        };
        whole.plus(last).ok()?.minus(into(from)?).ok()
    }

    /// Gives how many whole measures lie between two places.
    pub(crate) fn whole_measures(&self, from: Place, to: Place) -> usize {
        let between = self.measures_between(from, to).map_or(0, Ratio::floor);
        usize::try_from(between).unwrap_or(0)
    }

    /// Says how far two places are apart in play: "3 measures", "about 3 measures"; less than
    /// a measure in beats.
    pub(crate) fn lasting(&self, from: Place, to: Place) -> String {
        let between = self.measures_between(from, to).unwrap_or(Ratio::ONE);
        if between < Ratio::ONE
            && let Some(start) = self.position(from)
        {
            let end = self.position(to).unwrap_or(self.plan.layout().end());
            return crate::say::beats(self.in_beats(self.played_span(start, end), from));
        }
        self.about(between)
    }

    /// Says an amount of measures: "3 measures", "about 3 measures".
    pub(crate) fn about(&self, measures: Ratio) -> String {
        let about = match measures.denominator() {
            1 => "",
            _ => "about ",
        };
        format!("{about}{}", self.measures(nearest(measures)))
    }

    /// Gives the silence before the first note from a place on; `None` where something sounds
    /// at the place already, and where no note comes.
    pub(crate) fn silence_before(&self, place: Place) -> Option<BeatSpan> {
        let position = self.position(place)?;
        let next = self.line.struck().get(self.line.first_from(position))?;
        let end = self.silent_from(next.start).unwrap_or(BeatPos::START);
        if end > position {
            return None;
        }
        Some(self.played_span(end, next.start))
    }

    /// Names a place in a sentence: "measure 12, beat 3".
    pub(crate) fn said(&self, place: Place) -> String {
        let measure = self.measure(place.measure);
        let half = Ratio::new(1, 2).unwrap_or(Ratio::ONE);
        match self.on_beat(place) {
            Some(on) if on.past == Ratio::ZERO => format!("{measure}, beat {}", on.beat.number),
            Some(on) if on.past == half => {
                format!("{measure}, halfway through beat {}", on.beat.number)
            }
            Some(on) => format!("{measure}, inside beat {}", on.beat.number),
            None => format!("{measure}, beat 1"),
        }
    }

    /// Names a spot in a sentence: "measure 12, beat 3, to measure 14".
    pub(crate) fn said_spot(&self, spot: Spot) -> String {
        let last = spot.last_measure();
        if last == spot.from.measure {
            self.said(spot.from)
        } else {
            format!("{}, to {}", self.said(spot.from), self.measure(last))
        }
    }

    /// Names the measures of a spot in a sentence: "measure 12 to measure 14", "measure 12".
    pub(crate) fn said_measures(&self, spot: Spot) -> String {
        let (first, last) = (spot.from.measure, spot.last_measure());
        if first == last {
            return self.measure(first);
        }
        format!("{} to {}", self.measure(first), self.measure(last))
    }

    /// Makes an entry of the list.
    pub(crate) fn watched<const N: usize>(
        &self,
        kind: Kind,
        spot: Spot,
        weight: i64,
        sentence: &str,
        numbers: [(&'static str, Number); N],
    ) -> Watched {
        let from = self.printed(spot.from);
        let to = match spot.to {
            None => from.clone(),
            Some(to) if to.at.is_zero() => self.label(to.measure),
            Some(to) => self.printed(to),
        };
        Watched {
            kind,
            spot,
            from,
            to,
            weight: u8::try_from(weight.clamp(0, 100)).unwrap_or(100),
            topic: kind.topic(),
            sentence: crate::say::capital(sentence),
            tip: String::new(),
            cue: String::new(),
            numbers: numbers.into_iter().collect(),
        }
    }

    /// Adds what is told at the place itself: the tip and the cue.
    pub(crate) fn tell(&self, one: &mut Watched) {
        let from = one.spot.from;
        let leads = [
            self.said_spot(one.spot),
            self.said_measures(one.spot),
            format!("{}, to the end", self.said(from)),
            self.said(from),
            self.measure(from.measure),
        ];
        let without = leads.iter().find_map(|lead| {
            let rest = one.sentence.strip_prefix(&crate::say::capital(lead))?;
            // Words that are printed there stay: “Andante”: …
            let words = rest.strip_prefix(", ").filter(|rest| rest.starts_with('“'));
            rest.strip_prefix(": ").or(words)
        });
        one.tip = without.map_or_else(|| one.sentence.clone(), crate::say::capital);
        let line = one.spot.to.is_some();
        one.cue = crate::cue::cue(one.kind, &one.numbers, line, self.word());
    }
}

/// Gives an amount of measures to the nearest, at least one.
pub(crate) fn nearest(measures: Ratio) -> usize {
    let half = Ratio::new(1, 2).unwrap_or(Ratio::ZERO);
    let nearest = measures.plus(half).map_or(1, Ratio::floor);
    usize::try_from(nearest).unwrap_or(1).max(1)
}

fn on_beat(beats: &MeasureBeats, at: BeatSpan) -> Option<OnBeat> {
    let beats = beats.beats();
    let next = beats.partition_point(|beat| beat.at <= at);
    let beat = beats.get(next.checked_sub(1)?)?;
    let inside = at.minus_down_to_zero(beat.at);
    let past = inside.over(beat.length).ok()?;
    Some(OnBeat { beat: *beat, past })
}

/// Makes the spot of two places; one place when they are the same.
pub(crate) fn spot(from: Place, to: Place) -> Spot {
    Spot {
        from,
        to: (from != to).then_some(to),
    }
}
