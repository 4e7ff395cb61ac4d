//! Places where the part moves while the others do not, and where it plays in between them.

use crate::line::Struck;
use crate::say::{amount, vary};
use crate::scene::{Scene, spot};
use crate::thresholds::{ALONE_NOTES, ENTRY_REST_BEATS, weight};
use crate::watched::{Kind, Watched};
use cueleaf_time::{BeatShift, BeatSpan};

/// Finds notes that nobody else strikes.
///
/// A run is broken by a note that somebody strikes with the part, and by a rest of a beat.
/// Inside it, notes between which nobody strikes belong together: enough of them move alone;
/// of the others, enough groups in a row are played between the notes of the others.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    if scene.others().parts.is_empty() {
        return;
    }
    let alone = |one: &Struck<'_>| !scene.others().strike_at(one.start);
    let goes_on = |one: &Struck<'_>, next: &Struck<'_>| {
        alone(one) && alone(next) && !rests_between(scene, one, next)
    };
    for run in scene.line.struck().chunk_by(goes_on) {
        if !run.first().is_some_and(alone) {
            continue;
        }
        let together = |one: &Struck<'_>, next: &Struck<'_>| {
            !scene.others().strike_inside(one.start, next.start)
        };
        let groups: Vec<&[Struck<'_>]> = run.chunk_by(together).collect();
        let long = |group: &&[Struck<'_>]| group.len() >= ALONE_NOTES;
        for several in groups.chunk_by(|one, next| !long(one) && !long(next)) {
            match several {
                [one] if long(one) => found.extend(alone_for(scene, one, found.len())),
                groups if groups.len() >= ALONE_NOTES => {
                    found.extend(between(scene, groups, found.len()));
                }
                _ => {}
            }
        }
    }
}

fn rests_between(scene: &Scene<'_>, one: &Struck<'_>, next: &Struck<'_>) -> bool {
    let silence = next.start.since(one.end).ok().and_then(BeatShift::forward);
    scene.in_beats(silence.unwrap_or(BeatSpan::ZERO), next.place) >= ENTRY_REST_BEATS
}

fn alone_for(scene: &Scene<'_>, run: &[Struck<'_>], number: usize) -> Option<Watched> {
    let (first, last) = (run.first()?, run.last()?);
    let said = scene.said(first.place);
    let notes = run.len();
    let sentence = vary(
        number,
        [
            format!(
                "{said}: {notes} notes that nobody else plays with you. Everyone hears whether they are in time."
            ),
            format!(
                "You alone move at {said}, for {notes} notes; lead, do not wait for the others."
            ),
        ],
    );
    Some(scene.watched(
        Kind::MovesAlone,
        spot(first.place, last.place),
        weight::ALONE,
        &sentence,
        [("notes", notes.into())],
    ))
}

fn between(scene: &Scene<'_>, groups: &[&[Struck<'_>]], number: usize) -> Option<Watched> {
    let first = groups.first()?.first()?;
    let last = groups.last()?.last()?;
    let said = scene.said(first.place);
    let notes = groups.iter().map(|group| group.len()).sum::<usize>();
    let counted = amount(notes, "note");
    let sentence = vary(
        number,
        [
            format!(
                "{said}: {counted} between those of the others, none together with them. Hear each of theirs and answer it; do not hurry."
            ),
            format!(
                "From {said} on you play in the gaps that the others leave, for {counted}. Let their notes carry yours."
            ),
        ],
    );
    Some(scene.watched(
        Kind::BetweenOthers,
        spot(first.place, last.place),
        weight::BETWEEN_OTHERS,
        &sentence,
        [("notes", notes.into())],
    ))
}
