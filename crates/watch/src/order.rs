//! The order of play: repeats, endings, jumps, cuts.

use crate::playing::{way_at, ways};
use crate::say::{list, vary};
use crate::scene::{Scene, Way};
use crate::thresholds::weight;
use crate::watched::{Kind, Watched};
use cueleaf_guide::{JumpUntil, Measure, Spot};

/// Finds what steers the order of play.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    repeats(scene, found);
    endings(scene, found);
    jumps(scene, found);
    cuts(scene, found);
}

fn repeats(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let ways = ways(scene);
    for sign in scene.plan.repeats() {
        let (start, index, times) = (sign.start, sign.measure, sign.passes);
        let way = |at: usize| {
            let laid = scene.laid(at);
            laid.map_or_else(Way::default, |laid| way_at(&ways, laid.start))
        };
        let end = scene.laid(index).map_or_else(Way::default, |laid| {
            let end = laid.start.plus(laid.length).unwrap_or(laid.start);
            // What changes at the barline itself belongs to what comes after it.
            let last = ways.partition_point(|(at, _)| *at < end);
            let here = last.checked_sub(1).and_then(|one| ways.get(one));
            here.map_or_else(Way::default, |(_, way)| *way)
        });
        let other = otherwise(way(start), end);
        let spot = Spot::measures(start, index);
        let (said, last) = (scene.said_measures(spot), scene.measure(index));
        let back = match start {
            only if only == index => "its beginning".to_owned(),
            first => scene.measure(first),
        };
        let (weight, more) = match &other {
            Some(what) => (
                weight::REPEAT_OTHERWISE,
                format!(" When you go back it is {what} again, without a sign on that page."),
            ),
            None => (weight::REPEAT, String::new()),
        };
        let sentence = vary(
            found.len(),
            [
                format!("{said}: played {times} times.{more}"),
                format!(
                    "From the end of {last} back to {back}; {times} times in all.{more} Let the eyes go ahead."
                ),
            ],
        );
        let mut one = scene.watched(
            Kind::Repeat,
            spot,
            weight,
            &sentence,
            [("times", i64::from(times).into())],
        );
        if let Some(what) = other {
            one.numbers.insert("goes_back_to", what.into());
        }
        found.push(one);
    }
}

/// Tells how the start is played when it differs from the end.
fn otherwise(start: Way, end: Way) -> Option<String> {
    let mut words = Vec::new();
    if start.plucked != end.plucked {
        words.push(if start.plucked { "pizz." } else { "arco" }.to_owned());
    }
    if start.muted != end.muted {
        words.push(
            if start.muted {
                "with mute"
            } else {
                "without mute"
            }
            .to_owned(),
        );
    }
    (!words.is_empty()).then(|| list(&words))
}

fn endings(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let measures: Vec<(usize, &Measure)> =
        scene.guide.road_map.measures.iter().enumerate().collect();
    for run in measures.chunk_by(|(_, one), (_, other)| one.ending == other.ending) {
        let (Some((first, measure)), Some((last, _))) = (run.first(), run.last()) else {
            continue;
        };
        if measure.ending.is_empty() {
            continue;
        }
        let passes: Vec<String> = measure.ending.iter().map(|pass| pass.to_string()).collect();
        let names: Vec<String> = measure
            .ending
            .iter()
            .map(|pass| crate::say::ordinal(*pass))
            .collect();
        let sentence = format!(
            "{}, beat 1: the {} ending, {} long. Know where it leaves before you come there.",
            scene.measure(*first),
            list(&names),
            scene.measures(last - first + 1),
        );
        found.push(scene.watched(
            Kind::Ending,
            Spot::measures(*first, *last),
            weight::ENDING,
            &sentence,
            [
                ("passes", passes.into()),
                ("measures", (last - first + 1).into()),
            ],
        ));
    }
}

fn jumps(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    for (index, measure) in scene.guide.road_map.measures.iter().enumerate() {
        let said = scene.measure(index);
        let mut tell = |what: &str, sentence: String| {
            let spot = Spot::measures(index, index);
            let back = matches!(what, "D.C." | "D.S.");
            let numbers = [("what", if back { "jump" } else { what }.into())];
            let mut one = scene.watched(Kind::Jump, spot, weight::JUMP, &sentence, numbers);
            if back {
                one.numbers.insert("sign", what.into());
            }
            found.push(one);
        };
        if let Some(jump) = &measure.jump {
            let (sign, back) = if jump.to_segno.is_some() {
                ("D.S.", "the segno")
            } else {
                ("D.C.", "the beginning")
            };
            let (al, until) = match jump.until {
                JumpUntil::End => ("", ""),
                JumpUntil::Fine => (" al Fine", ", then play to the Fine"),
                JumpUntil::Coda => (" al Coda", ", then go to the coda"),
            };
            tell(
                sign,
                format!(
                    "{said}: {sign}{al}; after it back to {back}{until}. Find the place on the page beforehand."
                ),
            );
        }
        if measure.to_coda.is_some() {
            tell(
                "to-coda",
                format!("After {said} leave for the coda, the time that a jump has sent you back."),
            );
        }
        if measure.coda.is_some() {
            tell("coda", format!("The coda starts at {said}, beat 1."));
        }
        if measure.segno.is_some() {
            tell(
                "segno",
                format!("The segno stands at {said}, beat 1: a jump comes back here."),
            );
        }
        if measure.fine {
            tell(
                "fine",
                format!("After the jump the piece ends with {said} (Fine)."),
            );
        }
    }
}

fn cuts(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let measures: Vec<(usize, &Measure)> =
        scene.guide.road_map.measures.iter().enumerate().collect();
    for run in measures.chunk_by(|(_, one), (_, other)| one.cut == other.cut) {
        let (Some((first, measure)), Some((last, _))) = (run.first(), run.last()) else {
            continue;
        };
        if !measure.cut {
            continue;
        }
        let count = last - first + 1;
        let sentence = format!(
            "{}, beat 1: {} left out. Strike them through and draw the way over.",
            scene.measure(*first),
            scene.measures(count),
        );
        found.push(scene.watched(
            Kind::Cut,
            Spot::measures(*first, *last),
            weight::CUT,
            &sentence,
            [("measures", count.into())],
        ));
    }
}
