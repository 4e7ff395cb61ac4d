//! Fermatas, breaths and caesuras: over which note, after which note, at a barline.

use crate::playing::{way_at, ways};
use crate::say::vary;
use crate::scene::{Scene, Way};
use crate::thresholds::weight;
use crate::watched::{Kind, Watched};
use cueleaf_guide::{Place, Spot};
use cueleaf_score::{HoldKind, HoldSign};
use cueleaf_time::{BeatPos, BeatSpan};

/// Finds where the music stops.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let ways = ways(scene);
    for (index, measure) in scene.part.measures.iter().enumerate() {
        let mut signs = measure.holds.clone();
        signs.sort_unstable();
        signs.dedup();
        if signs.is_empty() {
            continue;
        }
        let played = measure.notes.iter();
        let played = played.filter(|note| note.is_played() && note.grace.is_none());
        let mut starts: Vec<BeatSpan> = played.map(|note| note.at).collect();
        starts.sort_unstable();
        for sign in signs {
            found.extend(match sign.kind {
                HoldKind::Fermata => fermata(scene, &ways, index, sign.at, found.len()),
                HoldKind::Breath | HoldKind::Caesura => {
                    breath(scene, &starts, index, sign, found.len())
                }
            });
        }
    }
}

/// A breath stands where the music stops; it is told at the note after which it comes.
fn breath(
    scene: &Scene<'_>,
    starts: &[BeatSpan],
    index: usize,
    sign: HoldSign,
    number: usize,
) -> Option<Watched> {
    let before = starts.partition_point(|at| *at < sign.at);
    let note = before.checked_sub(1).and_then(|last| starts.get(last));
    let length = scene.laid(index)?.length;
    let place = Place {
        measure: index,
        at: note.copied().unwrap_or(sign.at).min(length),
    };
    let said = scene.said(place);
    let (what, name) = match sign.kind {
        HoldKind::Caesura => ("a break (caesura)", "caesura"),
        _ => ("a breath", "breath"),
    };
    let end = if sign.at >= length {
        format!(", at the end of the {}", scene.word())
    } else {
        String::new()
    };
    let sentence = vary(
        number,
        [
            format!(
                "{said}: {what} after this note{end}. Agree how long, and begin again together."
            ),
            format!(
                "After the note at {said} there is {what}{end}; lift together and listen for the next beginning."
            ),
        ],
    );
    Some(scene.watched(
        Kind::Breath,
        Spot::at(place),
        weight::BREATH,
        &sentence,
        [("sign", name.into())],
    ))
}

/// What the part does under a fermata.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Under {
    Bowed,
    Plucked,
    Silent,
}

fn fermata(
    scene: &Scene<'_>,
    ways: &[(BeatPos, Way)],
    index: usize,
    at: BeatSpan,
    number: usize,
) -> Option<Watched> {
    let laid = scene.laid(index)?;
    let at_end = at >= laid.length;
    let position = laid.start.plus(at.min(laid.length)).ok()?;
    // Over the barline it is told in the last beat, before it is too late.
    let last_beat = laid.beats.beats().last().map(|beat| beat.at);
    let place = Place {
        measure: index,
        at: if at_end {
            last_beat.unwrap_or(BeatSpan::ZERO)
        } else {
            at
        },
    };
    let begun = |start: BeatPos| start < position || (start == position && !at_end);
    let sounding = scene.line.sounding();
    let stretch = sounding.partition_point(|own| begun(own.start));
    let stretch = stretch.checked_sub(1).and_then(|one| sounding.get(one));
    let sounds = stretch.is_some_and(|own| position < own.end || (at_end && position == own.end));
    let under = match (sounds, way_at(ways, scene.position(place)?).plucked) {
        (false, _) => Under::Silent,
        (true, true) => Under::Plucked,
        (true, false) => Under::Bowed,
    };
    let last = index + 1 >= scene.measure_count();
    let then = match (last, under) {
        (true, Under::Bowed) => "Keep enough bow.",
        (true, Under::Plucked) => "Let it ring.",
        (true, Under::Silent) => "Keep still until it is over.",
        (false, Under::Silent) => "Keep still, and watch who gives the next beat.",
        (false, _) => "Watch how it is left, and who gives the next beat.",
    };
    let sentence = if at_end {
        let end = format!("the end of {}", scene.measure(index));
        vary(
            number,
            [
                format!(
                    "At {end} there is a fermata over the barline. Its length is for the leader to show. {then}"
                ),
                format!("The music stops at {end} (fermata over the barline); look up. {then}"),
            ],
        )
    } else {
        let said = scene.said(place);
        vary(
            number,
            [
                format!("{said}: a fermata. Its length is for the leader to show. {then}"),
                format!("The beat stops at {said} (fermata); look up. {then}"),
            ],
        )
    };
    Some(scene.watched(
        Kind::Fermata,
        Spot::at(place),
        weight::FERMATA,
        &sentence,
        [("sign", "fermata".into())],
    ))
}
