//! What the page around a framed guide may ask, and what it is told.
//!
//! The messages themselves are plain objects, made and taken apart in
//! `www/player/boot.js`; here stands what they mean.

use crate::app::{App, go_to};
use crate::{display, dom, play, steps};
use cueleaf_view::{Page, Room, number_of, section_at};
use wasm_bindgen::prelude::wasm_bindgen;

#[wasm_bindgen(module = "/src/device.js")]
extern "C" {
    /// Tells where the guide is: a measure's printed number, and the section's name
    /// where there is one.
    fn tell(measure: &str, section: Option<String>);
}

/// What came of a wish to go to a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Gone {
    /// The guide is there.
    There,
    /// No measure has this number, or nothing is played from there on.
    NoSuchMeasure,
}

/// Tells where a played measure is.
pub(crate) fn tell_at(app: &App, played: usize) {
    if let Some(own) = app.plan.order().get(played) {
        let page = app.page();
        let number = number_of(&page, own.measure);
        tell(&number, section_at(&page, own.measure));
    }
}

/// Goes to the first measure with a printed number: the text, the start of play, the count
/// room; what plays goes on from there.
pub(crate) fn go_to_label(app: &mut App, label: &str) -> Gone {
    let Some((measure, played)) = labelled(&app.page(), label) else {
        return Gone::NoSuchMeasure;
    };
    read_at(app, measure);
    if app.playing.is_some() && app.tapping.is_none() {
        play::start_at(app, played);
    } else {
        play::stop(app);
        app.from = measure;
        dom::set_value("from", &measure.to_string());
        display::show_start(app);
    }
    steps::go_to_measure(app, measure);
    tell_at(app, played);
    Gone::There
}

/// Finds the first measure with a printed number, and where it is played first; for one that
/// is never played, such as one that is cut, where play goes on.
fn labelled(page: &Page<'_>, label: &str) -> Option<(usize, usize)> {
    let mut measures = 0..page.guide.road_map.measures.len();
    let measure = measures.find(|measure| number_of(page, *measure) == label)?;
    Some((measure, page.plan.first_played(measure)?))
}

/// Brings what the text says last up to a measure into view, also behind another room.
fn read_at(app: &mut App, measure: usize) {
    let room = app.room;
    go_to(app, Room::Walk);
    let mut before = (0..=measure).rev();
    let shown = before.find_map(|own| {
        let ids = [format!("m{own}"), format!("s{own}")];
        ids.iter().find_map(|id| dom::by_id(id))
    });
    if let Some(shown) = shown {
        shown.scroll_into_view();
    }
    go_to(app, room);
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Guide, Id, Measure};
    use cueleaf_plan::Plan;

    #[test]
    fn a_measure_is_found_by_its_printed_number() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        let labels = ["1", "2", "2a", "3", "", "3"];
        guide.road_map.measures = labels.map(Measure::labelled).into();
        guide.road_map.measures[0].repeat_from = true;
        guide.road_map.measures[1].repeat_back = Some(2);
        guide.road_map.measures[2].cut = true;
        let plan = Plan::new(&guide).value;
        let words = Page::words_for(&guide);
        let page = Page::new(&guide, &plan, &words);
        assert_eq!(labelled(&page, "2"), Some((1, 1)));
        // After the repeat, and of two with one number the first.
        assert_eq!(labelled(&page, "3"), Some((3, 4)));
        // The measure without a number is named as everywhere.
        assert_eq!(labelled(&page, "3+1"), Some((4, 5)));
        // One that is cut leads to where play goes on.
        assert_eq!(labelled(&page, "2a"), Some((2, 4)));
        for label in ["", "0", "4", "<b>"] {
            assert_eq!(labelled(&page, label), None, "{label}");
        }
    }
}
