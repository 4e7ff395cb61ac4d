//! What a student meets in guides that are not like the examples.
#![allow(clippy::unwrap_used, reason = "what a test makes itself is there")]

use cueleaf_guide::{Guide, Id, Mark, MarkKind, Measure, Part, Place, Spot, Tip, Topic};
use cueleaf_plan::Plan;
use cueleaf_view::{
    Page, Practised, Width, facts_at, guide_body, played_line, practised, teacher_line, tip_button,
};

fn guide(meter: &str, measures: usize) -> Guide {
    let mut guide = Guide::new(Id::new("g").unwrap(), "Low Tide");
    let labels = 1..=measures;
    guide.road_map.measures = labels
        .map(|label| Measure::labelled(&label.to_string()))
        .collect();
    guide.road_map.measures.first_mut().unwrap().meter = meter.parse().ok();
    guide
}

fn with<T>(guide: &Guide, look: impl FnOnce(&Page<'_>) -> T) -> T {
    let plan = Plan::new(guide).value;
    let words = Page::words_for(guide);
    look(&Page::new(guide, &plan, &words))
}

fn tip(measure: usize, text: &str) -> Tip {
    let spot = Spot::at(Place::start_of(measure));
    Tip::new(Id::new("t").unwrap(), spot, Topic::Bow, text)
}

#[test]
fn a_piece_that_begins_uneven_is_drawn() {
    let body = with(&guide("5/8", 3), |page| guide_body(page).into_string());
    assert!(body.contains("measure 1: 5/8, 3 + 2, counted"), "{body}");
    assert_eq!(body.matches("class=\"line\"").count(), 1);
}

#[test]
fn a_tip_that_is_never_played_has_nothing_to_play() {
    let mut guide = guide("4/4", 3);
    guide.tips = vec![tip(2, "Frog.")];
    let plays = |guide: &Guide| {
        let plan = Plan::new(guide).value;
        let words = Page::words_for(guide);
        let page = Page::new(guide, &plan, &words).alive();
        guide_body(&page)
            .into_string()
            .contains("class=\"live hear\"")
    };
    assert!(plays(&guide));
    guide.road_map.measures.get_mut(2).unwrap().cut = true;
    assert!(!plays(&guide));
}

#[test]
fn before_the_first_measure_there_is_none() {
    let guide = guide("4/4", 3);
    let label = |measure| {
        with(&guide, |page| {
            tip_button(page, 0, &tip(measure, "Frog.")).into_string()
        })
    };
    assert!(label(0).contains("aria-label=\"Play from measure 1\""));
    assert!(label(1).contains("aria-label=\"Play from one measure before measure 2\""));
}

#[test]
fn a_rest_is_not_told_with_what_is_left_out() {
    let mut guide = guide("4/4", 6);
    guide.road_map.measures.get_mut(2).unwrap().cut = true;
    guide.parts = vec![Part {
        id: Id::new("va").unwrap(),
        name: String::new(),
        marks: vec![Mark {
            measure: 1,
            at: "0".parse().unwrap(),
            kind: MarkKind::Rest,
            to: Some(Place::start_of(5)),
            text: String::new(),
            extra: Default::default(),
        }],
        extra: Default::default(),
    }];
    let facts = with(&guide, |page| facts_at(page, 1));
    assert_eq!(facts, ["rest for 3 measures"]);
}

#[test]
fn words_under_narrow_groups_do_not_run_together() {
    let drawn = |quarter| {
        let guide = guide("7/16", 1);
        with(&guide, |page| {
            let line = played_line(page, &[0], Width::Quarter(quarter));
            line.into_string().matches("class=\"weight\"").count()
        })
    };
    assert_eq!(drawn(100.0), 3);
    // Two sixteenths are some twenty units: every other word has room.
    assert_eq!(drawn(40.0), 2);
}

#[test]
fn short_starts_at_one_measure_are_told_together() {
    let guide = guide("4/4", 8);
    let stretch = |first, last, seconds| Practised {
        first,
        last,
        seconds,
    };
    let of = [
        stretch(0, 1, 5),
        stretch(0, 2, 8),
        stretch(0, 3, 10),
        stretch(0, 7, 300),
        stretch(4, 4, 40),
    ];
    // However many there are.
    let many = [20; 5].map(|seconds| stretch(2, 2, seconds));
    with(&guide, |page| {
        assert_eq!(teacher_line(page, &many, 0), "Low Tide; measure 3: 2 min");
        assert_eq!(
            teacher_line(page, &of, 0),
            "Low Tide; measures 1–4: < 1 min; measures 1–8: 5 min; measure 5: 1 min"
        );
        let shown = practised(page, &of, 0).into_string();
        assert_eq!(shown.matches("<li>").count(), 3);
        assert!(
            shown.contains("<li>Measures 1–4: &lt; 1 min</li>"),
            "{shown}"
        );
    });
}

#[test]
fn what_runs_to_the_left_has_its_direction() {
    let mut guide = guide("4/4", 2);
    guide.title = "שפל.".to_owned();
    guide.tips = vec![tip(0, "קשת."), tip(1, "Bow.")];
    let body = with(&guide, |page| guide_body(page).into_string());
    assert!(body.contains("<h1><bdi>שפל.</bdi></h1>"));
    assert!(body.contains("<bdi>קשת.</bdi>"));
    assert_eq!(body.matches("<bdi>").count(), 2);
}
