//! Tempo: changes at once, words without a number, gradual changes.

use crate::say::{beats, pace, quoted, seconds, vary};
use crate::scene::{Scene, nearest, spot};
use crate::thresholds::{TEMPO_RATIO_WEIGHT, TO_THE_END, weight};
use crate::watched::{Kind, Watched};
use cueleaf_guide::{Place, Spot, TempoMark, is_gradual};
use cueleaf_time::{BeatPos, Ratio, Tempo};

/// Finds what happens to the tempo.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let mut done: Option<BeatPos> = None;
    for (measure, own) in scene.guide.road_map.measures.iter().enumerate() {
        for mark in &own.tempo {
            let place = Place {
                measure,
                at: mark.at,
            };
            let Some(position) = scene.position(place) else {
                continue;
            };
            let leads_on = mark.until.is_none() && mark.tempo.is_none() && mark.back.is_none();
            if leads_on && mark.same_beat.is_none() && is_gradual(&mark.words) {
                found.extend(match end_of(scene, place) {
                    Some(end) => gradual(scene, place, end, mark, found.len()),
                    None => Some(open(scene, place, mark, found.len())),
                });
            } else if let Some(until) = mark.until {
                found.extend(gradual(scene, place, until, mark, found.len()));
            } else if done != Some(position) {
                let change = at_once(scene, place, position, mark, found.len());
                if change.is_some() {
                    done = Some(position);
                }
                found.extend(change);
            }
        }
    }
}

/// Gives the end of the music where a gradual change can only lead there: it is near, and no
/// other mark comes before it.
fn end_of(scene: &Scene<'_>, place: Place) -> Option<Place> {
    let count = scene.measure_count();
    let measures = scene.guide.road_map.measures.iter().enumerate();
    let mut after = measures.skip(place.measure).flat_map(|(measure, own)| {
        let place = move |mark: &TempoMark| Place {
            measure,
            at: mark.at,
        };
        own.tempo.iter().map(place)
    });
    let alone = !after.any(|other| other > place);
    let near = count <= place.measure.saturating_add(TO_THE_END);
    (alone && near).then(|| Place::start_of(count))
}

/// A gradual change of which nobody says how far it goes.
fn open(scene: &Scene<'_>, place: Place, mark: &TempoMark, number: usize) -> Watched {
    let (said, words) = (scene.said(place), quoted(&mark.words));
    let sentence = vary(
        number,
        [
            format!("{said}: {words} begins, and nothing says where it ends. Ask how far it goes."),
            format!(
                "From {said} on the tempo changes little by little ({words}); how far is not printed, so ask and mark the end."
            ),
        ],
    );
    scene.watched(
        Kind::TempoGradual,
        Spot::at(place),
        weight::TEMPO_OPEN,
        &sentence,
        [("words", mark.words.as_str().into())],
    )
}

fn at_once(
    scene: &Scene<'_>,
    place: Place,
    position: BeatPos,
    mark: &TempoMark,
    number: usize,
) -> Option<Watched> {
    let old = scene.tempo_before(position)?;
    let new = scene.tempo_from(position)?;
    let (was, is) = (old.quarters_per_minute(), new.quarters_per_minute());
    let said = scene.said(place);
    let words = quoted(&mark.words);
    let unknown = !scene.knows_tempo_before(position) && mark.tempo.is_some();
    if was == is && !unknown {
        let says_number = mark.tempo.is_some() || mark.same_beat.is_some() || mark.back.is_some();
        if says_number || mark.words.is_empty() {
            return None;
        }
        let sentence = vary(
            number,
            [
                format!(
                    "{said}: {words} is printed without a number. Decide the tempo before you practise it."
                ),
                format!(
                    "The tempo word {words} stands at {said}; no number comes with it, so ask how fast it will be."
                ),
            ],
        );
        let numbers = [("words", mark.words.as_str().into())];
        return Some(scene.watched(
            Kind::TempoWords,
            Spot::at(place),
            weight::TEMPO_WORDS,
            &sentence,
            numbers,
        ));
    }
    if !scene.knows_tempo_before(position) {
        return Some(first_number(scene, place, mark, new, number));
    }
    let ratio = is.over(was).unwrap_or(Ratio::ONE);
    let far = if ratio < Ratio::ONE {
        Ratio::ONE.over(ratio).unwrap_or(Ratio::ONE)
    } else {
        ratio
    };
    let added = far
        .minus(Ratio::ONE)
        .and_then(|far| far.times(Ratio::whole(TEMPO_RATIO_WEIGHT)))
        .map_or(0, Ratio::floor);
    let weight = (weight::TEMPO_CHANGE + added).min(weight::TEMPO_CHANGE_MOST);
    let how = match (mark.same_beat, mark.back) {
        (Some(_), _) => "same beat",
        (None, Some(_)) => "back",
        (None, None) => "at once",
    };
    let beat_ratio = beats_ratio(scene, place, old, new);
    let pulse_ratio = pulse_ratio(scene, place, old, new);
    let by = pace(pulse_ratio);
    let (old_mark, new_mark) = (old.said(), new.said());
    let sentence = match mark.same_beat {
        Some(same) => format!(
            "{said}: the beat goes on ({same}), only its note changes: {new_mark} after {old_mark}. Keep the pulse in your foot."
        ),
        None => vary(
            number,
            [
                format!(
                    "{said}{}: {new_mark} after {old_mark}, {by}. Hear the new beat before you play it.",
                    comma(&mark.words)
                ),
                format!(
                    "The tempo changes at {said}: from {old_mark} to {new_mark}, {by}. Say one {} of the new count first.",
                    scene.word()
                ),
                format!(
                    "From {said} on it goes {by}: {new_mark}, before it {old_mark}. Practise the join, not only the two sides."
                ),
            ],
        ),
    };
    Some(scene.watched(
        Kind::TempoChange,
        Spot::at(place),
        weight,
        &sentence,
        [
            ("old", was.to_f64().into()),
            ("new", is.to_f64().into()),
            ("ratio", ratio.to_f64().into()),
            ("beat_ratio", beat_ratio.into()),
            ("pulse_ratio", pulse_ratio.into()),
            ("how", how.into()),
            ("old_mark", old_mark.into()),
            ("new_mark", new_mark.into()),
        ],
    ))
}

/// A number where the tempo before it is only assumed: there is nothing to compare it with.
fn first_number(
    scene: &Scene<'_>,
    place: Place,
    mark: &TempoMark,
    new: Tempo,
    number: usize,
) -> Watched {
    let said = scene.said(place);
    let words = comma(&mark.words);
    let new_mark = new.said();
    let sentence = vary(
        number,
        [
            format!(
                "{said}{words}: {new_mark}; no number is given for what comes before. Ask how fast that is."
            ),
            format!(
                "From {said} on{words} it is {new_mark}. What comes before has no number, so ask."
            ),
        ],
    );
    scene.watched(
        Kind::TempoChange,
        Spot::at(place),
        weight::TEMPO_CHANGE,
        &sentence,
        [
            ("new", new.quarters_per_minute().to_f64().into()),
            ("how", "first number".into()),
            ("new_mark", new_mark.into()),
        ],
    )
}

/// Gives how many new counted beats go by in the time of an old one.
fn beats_ratio(scene: &Scene<'_>, place: Place, old: Tempo, new: Tempo) -> f64 {
    let unit = |_, place: Place| scene.on_beat(place).map(|on| on.beat.length.quarters());
    units_ratio(place, old, new, unit)
}

/// Gives the same of what the foot taps: the counted beat, but in uneven meters, which are
/// counted in small notes, the note of the tempo mark.
fn pulse_ratio(scene: &Scene<'_>, place: Place, old: Tempo, new: Tempo) -> f64 {
    let unit = |tempo: Tempo, place: Place| {
        let uneven = scene.laid(place.measure)?.beats.is_uneven();
        if uneven {
            return Some(tempo.unit().span().quarters());
        }
        scene.on_beat(place).map(|on| on.beat.length.quarters())
    };
    units_ratio(place, old, new, unit)
}

fn units_ratio(
    place: Place,
    old: Tempo,
    new: Tempo,
    unit: impl Fn(Tempo, Place) -> Option<Ratio>,
) -> f64 {
    let before = if place.at.is_zero() {
        place.measure.checked_sub(1).map_or(place, Place::start_of)
    } else {
        place
    };
    let speed = |tempo: Tempo, place| tempo.quarters_per_minute().over(unit(tempo, place)?).ok();
    let ratio = speed(old, before).and_then(|old| speed(new, place)?.over(old).ok());
    ratio.map_or(1.0, Ratio::to_f64)
}

fn gradual(
    scene: &Scene<'_>,
    from: Place,
    until: Place,
    mark: &TempoMark,
    number: usize,
) -> Option<Watched> {
    let start = scene.position(from)?;
    let end = scene.position(until).unwrap_or(scene.plan.layout().end());
    let on_page = end.since(start).ok()?.forward()?;
    // Up to where a later ending starts it goes through the ending before, which is not played
    // on the way to the later one: so far it reaches on the page.
    let through = scene.endings().iter().any(|own| own.start == end);
    let (span, lasts, between) = if through {
        (
            on_page,
            scene.told_seconds(start, end),
            scene.measures_on_page(from, until),
        )
    } else {
        (
            scene.played_span(start, end),
            scene.told_played_seconds(start, end),
            scene.measures_between(from, until),
        )
    };
    let between = between.unwrap_or(Ratio::ONE);
    let in_beats = (between < Ratio::ONE).then(|| scene.in_beats(span, from));
    let old = scene
        .tempo_before(start)
        .or_else(|| scene.tempo_from(start))?;
    let last_measure = scene.measure_count();
    let follows = if until.measure >= last_measure {
        "the end".to_owned()
    } else {
        let next = scene.guide.road_map.measures.get(until.measure)?;
        let after = next.tempo.iter().find(|other| other.at == until.at);
        match after {
            Some(after) if !after.words.is_empty() => after.words.clone(),
            Some(after) => after.tempo.map_or_else(String::new, Tempo::said),
            None => String::new(),
        }
    };
    let then = match follows.as_str() {
        "" => "No tempo is printed for what follows; agree on it.".to_owned(),
        "the end" => "It leads to the end.".to_owned(),
        follows => format!("Then comes {}.", quoted(follows)),
    };
    let words = if mark.words.is_empty() {
        "the gradual change".to_owned()
    } else {
        quoted(&mark.words)
    };
    let said = scene.said(from);
    let length = in_beats.map_or_else(|| scene.about(between), beats);
    let to = mark
        .tempo
        .map_or_else(String::new, |tempo| format!(" to {}", tempo.said()));
    let sentence = vary(
        number,
        [
            format!(
                "{said}: {words} over {length}{to}{}. Spread it evenly. {then}",
                lasts.map_or_else(String::new, |lasts| {
                    format!(", about {} if the tempo stayed", seconds(lasts))
                })
            ),
            format!(
                "At {said} {words} begins; it takes {length}{to}. Count small beats so that it does not come too soon. {then}"
            ),
        ],
    );
    let last = if until.at.is_zero() && until.measure > from.measure {
        Place::start_of(until.measure - 1)
    } else {
        until
    };
    let mut one = scene.watched(
        Kind::TempoGradual,
        spot(from, last),
        weight::TEMPO_GRADUAL,
        &sentence,
        [
            ("measures", nearest(between).into()),
            ("quarters", span.quarters().to_f64().into()),
            ("words", mark.words.as_str().into()),
            ("follows", follows.into()),
        ],
    );
    if let Some(beats) = in_beats {
        one.numbers.insert("beats", beats.to_f64().into());
    }
    if let Some(lasts) = lasts {
        let old = old.quarters_per_minute().to_f64();
        one.numbers.insert("seconds", lasts.into());
        one.numbers.insert("old", old.into());
    }
    if let Some(tempo) = mark.tempo {
        let to = tempo.quarters_per_minute().to_f64();
        one.numbers.insert("new", to.into());
    }
    Some(one)
}

/// Writes words that are printed there after a place: ", “Andante”"; without words nothing.
fn comma(words: &str) -> String {
    if words.is_empty() {
        String::new()
    } else {
        format!(", {}", quoted(words))
    }
}
