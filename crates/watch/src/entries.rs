//! Entries: after long rests, off the beat, on another beat than the first; pickups.

use crate::line::{Stretch, struck_between};
use crate::playing::{way_at, ways};
use crate::say::{amount, seconds, vary};
use crate::scene::{OnBeat, Scene, Way};
use crate::strokes::{Stroke, Upbeat, is_late, name, strokes, upbeat};
use crate::thresholds::{ENTRY_REST_BEATS, LONG_REST_MEASURES, weight};
use crate::watched::{Kind, Watched};
use cueleaf_guide::{Place, Spot};
use cueleaf_time::{BeatPos, BeatShift, BeatSpan, Level, Ratio};

/// Finds where the part comes in.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let ways = ways(scene);
    let strokes = strokes(scene);
    for (index, stretch) in scene.line.sounding().iter().enumerate() {
        let first = index == 0;
        let from = scene.silent_from(stretch.start);
        let from = from.unwrap_or(BeatPos::START);
        let entry = Entry {
            from,
            stretch: *stretch,
            silence: scene.played_span(from, stretch.start),
        };
        found.extend(entry.watched(scene, &ways, &strokes, first, found.len()));
    }
}

/// A silence and what comes after it.
struct Entry {
    from: BeatPos,
    stretch: Stretch,
    silence: BeatSpan,
}

impl Entry {
    fn watched(
        &self,
        scene: &Scene<'_>,
        ways: &[(BeatPos, Way)],
        strokes: &[Stroke],
        first: bool,
        number: usize,
    ) -> Option<Watched> {
        let place = scene.place(self.stretch.start);
        let on = scene.on_beat(place)?;
        let opens = first && self.silence.is_zero();
        let whole = self.whole_measures(scene, place);
        if whole >= LONG_REST_MEASURES {
            return Some(self.after_rest(scene, place, on, whole, number));
        }
        let rested = scene.in_beats(self.silence, place) >= ENTRY_REST_BEATS;
        if !rested && !opens {
            return None;
        }
        let pickup = self.is_pickup(scene, place, on, opens);
        let phrase = strokes.partition_point(|one| one.start < self.stretch.start);
        let phrase = strokes.get(phrase..).unwrap_or(&[]);
        let begins = |one: &&Stroke| one.start == self.stretch.start;
        let upbeat = phrase
            .first()
            .filter(begins)
            .and_then(|_| upbeat(scene, phrase));
        let beats = scene.in_beats(self.silence, place);
        let said = scene.said(place);
        let (kind, weight, sentence) = if on.level() == Level::Subdivision && !pickup {
            let sentence = vary(
                number,
                [
                    format!(
                        "{said}: you come in off the beat. Feel beat {} and enter after it.",
                        on.beat.number
                    ),
                    format!("The entry at {said} is not on a beat; breathe on the beat before."),
                ],
            );
            (Kind::EntryOffBeat, weight::ENTRY_OFF_BEAT, sentence)
        } else if pickup && way_at(ways, self.stretch.start).plucked {
            let sentence = format!("{said}: a pickup, plucked; lead on to the downbeat.");
            (Kind::Pickup, weight::PICKUP, sentence)
        } else if pickup {
            let sentence = leading(&said, upbeat.as_ref(), number);
            (Kind::Pickup, weight::PICKUP, sentence)
        } else if place.at.is_zero() {
            return None;
        } else {
            let sentence = vary(
                number,
                [
                    format!("{said}: come in on beat {}, not on one.", on.beat.number),
                    format!(
                        "After the rest you enter on beat {} ({said}).",
                        on.beat.number
                    ),
                ],
            );
            (Kind::EntryInside, weight::ENTRY_INSIDE, sentence)
        };
        let mut one = scene.watched(
            kind,
            Spot::at(place),
            weight,
            &sentence,
            [
                ("rest_beats", beats.to_f64().into()),
                ("beat", i64::from(on.beat.number).into()),
                ("past_beat", on.past.to_f64().into()),
            ],
        );
        if let Some(upbeat) = upbeat.filter(|_| kind == Kind::Pickup) {
            one.numbers.insert("strokes", upbeat.strokes.into());
            if let Some(way) = upbeat.begins {
                one.numbers.insert("way", name(way).into());
            }
        }
        Some(one)
    }

    /// Counts the whole measures of rest before the measure of the entry.
    fn whole_measures(&self, scene: &Scene<'_>, entry: Place) -> usize {
        let begins = scene.place(self.from);
        let first = begins.measure + usize::from(!begins.at.is_zero());
        let passed_over = scene.passed_over(self.from, self.stretch.start);
        entry.measure.saturating_sub(first + passed_over)
    }

    /// Tells whether the entry leads over a barline from late in a measure, or opens the piece
    /// with an incomplete one.
    fn is_pickup(&self, scene: &Scene<'_>, place: Place, on: OnBeat, opens: bool) -> bool {
        let Some(laid) = scene.laid(place.measure) else {
            return false;
        };
        let end = laid.start.plus(laid.length).unwrap_or(laid.start);
        let goes_on = self.stretch.end > end;
        if laid.pickup && opens {
            return goes_on;
        }
        // Off the beat only what lies in the last beat leads to the downbeat.
        let last = laid.beats.beats().last();
        let near = on.past == Ratio::ZERO || last.is_some_and(|last| place.at >= last.at);
        goes_on && near && is_late(scene, place)
    }

    fn after_rest(
        &self,
        scene: &Scene<'_>,
        place: Place,
        on: OnBeat,
        whole: usize,
        number: usize,
    ) -> Watched {
        let lasts = scene.told_played_seconds(self.from, self.stretch.start);
        let many = i64::try_from(whole).unwrap_or(i64::MAX);
        let longer = (many.min(100) * weight::ENTRY_MEASURE).min(weight::ENTRY_MEASURES_MOST);
        let harder = match on.level() {
            Level::Downbeat => 0,
            Level::Subdivision => weight::ENTRY_NOT_ON_BEAT,
            Level::Beat | Level::Group => weight::ENTRY_NOT_ON_ONE,
        };
        let said = scene.said(place);
        let counted = scene.measures(whole);
        let since = if self.from == BeatPos::START {
            "the start"
        } else {
            "your last note ends"
        };
        let heard = listen(scene, place, self.stretch.start);
        let who = match &heard {
            Some(heard) => heard.said(scene),
            None if scene.others().parts.is_empty() => {
                "Look in the score who leads you in.".to_owned()
            }
            None => format!(
                "Nobody begins a note in the {} before, so count.",
                scene.word()
            ),
        };
        let sentence = vary(
            number,
            [
                format!("{said}: you come in after {counted} of rest. {who}"),
                match lasts {
                    Some(lasts) => format!(
                        "Count {counted} of rest, then enter at {said}, {} after {since}. {who}",
                        seconds(lasts)
                    ),
                    None => format!("Count {counted} of rest, then enter at {said}. {who}"),
                },
                format!("After {counted} of rest the entry is at {said}. {who}"),
            ],
        );
        let mut one = scene.watched(
            Kind::EntryAfterRest,
            Spot::at(place),
            weight::ENTRY_AFTER_REST + longer + harder,
            &sentence,
            [
                ("rest_measures", whole.into()),
                ("rest_quarters", self.silence.quarters().to_f64().into()),
                ("beat", i64::from(on.beat.number).into()),
                ("past_beat", on.past.to_f64().into()),
            ],
        );
        if let Some(lasts) = lasts {
            one.numbers.insert("seconds", lasts.into());
        }
        if let Some(heard) = heard {
            one.numbers.insert("listen", heard.name.into());
            one.numbers.insert("listen_notes", heard.notes.into());
            one.numbers
                .insert("listen_from", scene.printed(heard.from).into());
        }
        one
    }
}

/// Says how a pickup is bowed; of one that this part does not bow only that it leads on.
fn leading(said: &str, upbeat: Option<&Upbeat>, number: usize) -> String {
    let Some(upbeat) = upbeat else {
        return format!("{said}: a pickup; lead on to the downbeat.");
    };
    let Some(way) = upbeat.begins.map(name) else {
        return format!(
            "{said}: a pickup that is held over the barline. Lead on through it in the same bow."
        );
    };
    let aim = match upbeat.toward {
        Some(sign) => format!("the printed {} comes out", name(sign)),
        None => "the next downbeat comes down".to_owned(),
    };
    let count = upbeat.strokes;
    let hook = if upbeat.toward.is_none() && count % 2 == 0 {
        ", or hook two up-bows,"
    } else {
        ""
    };
    match count {
        _ if upbeat.printed => vary(
            number,
            [
                format!("{said}: a pickup, {way} as printed. Lead on to the downbeat."),
                format!(
                    "The phrase begins with a pickup at {said}; {way}, as printed, and on into the downbeat."
                ),
            ],
        ),
        0 | 1 => vary(
            number,
            [
                format!("{said}: a pickup. Unmarked it is played {way}, so that {aim}."),
                format!("The phrase begins with a pickup at {said}; play it {way}, so that {aim}."),
            ],
        ),
        count => vary(
            number,
            [
                format!("{said}: a pickup of {count} strokes. Begin it {way}{hook} so that {aim}."),
                format!(
                    "The phrase begins with a pickup of {count} strokes at {said}; begin it {way}{hook} so that {aim}."
                ),
            ],
        ),
    }
}

/// What another part plays just before an entry.
struct Heard<'a> {
    name: &'a str,
    notes: usize,
    /// Where the first of these notes stands.
    from: Place,
}

impl Heard<'_> {
    fn said(&self, scene: &Scene<'_>) -> String {
        let (name, notes) = (self.name, amount(self.notes, "note"));
        let first = if self.notes == 1 { "" } else { " the first" };
        let from = scene.said(self.from);
        format!("Listen to {name} just before: {notes},{first} at {from}.")
    }
}

/// Finds who strikes most in the time of one measure before an entry; of equals
/// the one that stands first in the score.
fn listen<'a>(scene: &Scene<'a>, place: Place, entry: BeatPos) -> Option<Heard<'a>> {
    let length = scene.laid(place.measure)?.length;
    let back = Ratio::ZERO.minus(length.quarters()).ok()?;
    let from = entry.shifted(BeatShift::from_quarters(back));
    let from = from.unwrap_or(BeatPos::START);
    let mut most: Option<Heard<'a>> = None;
    for (name, attacks) in &scene.others().parts {
        let notes = struck_between(attacks, from, entry);
        let first = attacks.get(attacks.partition_point(|at| *at < from));
        if let Some(first) = first
            && notes > most.as_ref().map_or(0, |most| most.notes)
        {
            let from = scene.place(*first);
            most = Some(Heard { name, notes, from });
        }
    }
    most
}
