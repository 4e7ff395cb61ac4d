//! Choosing a spot to loop: by two taps on its measures, or from a tip.

use crate::app::App;
use crate::{display, dom, ladder, play};
use cueleaf_plan::Plan;
use cueleaf_view::{Word, measure_text, measures_text};

/// Takes a tap on a measure: the first and the second make a spot, whichever
/// of them lies earlier.
pub(crate) fn tapped(app: &mut App, measure: usize) {
    match app.practice.tapped.take() {
        Some(other) => choose(app, measure.min(other), measure.max(other)),
        None => {
            app.practice.tapped = Some(measure);
            let text = measure_text(&app.page(), measure);
            mark(measure, measure);
            tell(&app.words.fill(Word::NowTheLast, &[&text]));
        }
    }
}

/// Loops the spot of a tip.
pub(crate) fn of_tip(app: &mut App, tip: usize) {
    if let Some(tip) = app.guide.tips.get(tip) {
        let (first, last) = (tip.spot.from.measure, tip.spot.last_measure());
        choose(app, first, last);
    }
}

/// Puts the ends of a spot that were chosen the wrong way round into the order of play.
pub(crate) fn turn(app: &mut App) {
    let to = dom::value_of("to").and_then(|value| value.parse::<usize>().ok());
    let Some(to) = to.filter(|to| *to < app.from) else {
        return;
    };
    let first = app.plan.first_played(app.from);
    if first.is_some_and(|first| end_of(&app.plan, first, to).is_none()) {
        dom::set_value("to", &app.from.to_string());
        dom::set_value("from", &to.to_string());
        app.from = to;
    }
}

/// Finds the played measure at which a spot ends that begins with a played one: the first time
/// that `to` comes, or the last before it where `to` itself is never played; `None` where nothing
/// up to `to` is played.
pub(crate) fn end_of(plan: &Plan, first: usize, to: usize) -> Option<usize> {
    let ahead = plan.order().get(first..)?;
    let exact = ahead.iter().position(|own| own.measure == to);
    let before = || {
        let mut pairs = ahead.iter().zip(ahead.iter().skip(1));
        let leap = pairs.position(|(own, next)| next.measure <= own.measure);
        let stretch = ahead.get(..=leap.unwrap_or(ahead.len().checked_sub(1)?))?;
        stretch.iter().rposition(|own| own.measure <= to)
    };
    Some(first + exact.or_else(before)?)
}

/// Gives the ends of a spot without what is never played at them.
fn played_within(plan: &Plan, first: usize, last: usize) -> (usize, usize) {
    let is_played = |measure: &usize| plan.order().iter().any(|own| own.measure == *measure);
    let mut within = first..=last;
    let begins = within.clone().find(is_played).unwrap_or(first);
    (begins, within.rfind(is_played).unwrap_or(last))
}

fn choose(app: &mut App, first: usize, last: usize) {
    let (first, last) = played_within(&app.plan, first, last);
    app.practice.tapped = None;
    app.from = first;
    dom::set_value("from", &first.to_string());
    dom::set_value("to", &last.to_string());
    if let Some(input) = dom::input("again") {
        input.set_checked(true);
    }
    mark(first, last);
    let text = measures_text(&app.page(), first, last);
    tell(&app.words.fill(Word::LoopIs, &[&text]));
    if app.playing.is_some() {
        play::renew(app);
    } else {
        display::show_start(app);
    }
    ladder::renew(app);
}

fn tell(text: &str) {
    dom::set_text("spot-said", text);
    display::say(text);
}

/// Shows which measures are chosen.
fn mark(first: usize, last: usize) {
    dom::each("[data-do=spot]", |button| {
        let measure = button.get_attribute("data-value");
        let measure = measure.and_then(|text| text.parse().ok());
        let chosen = measure.is_some_and(|measure| (first..=last).contains(&measure));
        dom::set(
            &button,
            "aria-pressed",
            if chosen { "true" } else { "false" },
        );
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Guide, Id, Measure};

    fn plan(change: impl Fn(&mut Vec<Measure>)) -> Plan {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        guide.road_map.measures = vec![Measure::default(); 8];
        change(&mut guide.road_map.measures);
        Plan::new(&guide).value
    }

    #[test]
    fn a_spot_ends_before_what_is_not_played() {
        let cut = plan(|measures| {
            for measure in &mut measures[3..5] {
                measure.cut = true;
            }
        });
        // Played are 0 1 2 5 6 7.
        assert_eq!(end_of(&cut, 1, 2), Some(2));
        assert_eq!(end_of(&cut, 1, 3), Some(2));
        assert_eq!(end_of(&cut, 3, 4), None);
        assert_eq!(played_within(&cut, 2, 4), (2, 2));
        assert_eq!(played_within(&cut, 3, 6), (5, 6));
        // Nothing of it is played: it stays as it was asked.
        assert_eq!(played_within(&cut, 3, 4), (3, 4));
    }

    #[test]
    fn an_earlier_measure_can_come_later() {
        let repeated = plan(|measures| measures[5].repeat_back = Some(2));
        // From 4 on: 4 5 0 1 2 …
        assert_eq!(end_of(&repeated, 4, 2), Some(8));
        // After the repeat nothing leads back.
        assert_eq!(end_of(&repeated, 13, 2), None);
    }
}
