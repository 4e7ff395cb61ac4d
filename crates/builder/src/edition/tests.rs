use super::*;
use cueleaf_guide::{Extra, Id, Mark, MarkKind, Tip, Todo, Topic};
use cueleaf_time::{BeatSpan, Tempo};

fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

fn guide(labels: &str) -> Guide {
    let mut guide = Guide::new(id("g"), "Fog Bank");
    guide.road_map.measures = labels.split_whitespace().map(Measure::labelled).collect();
    guide
}

fn tip(own: &str, first: usize, last: usize) -> Tip {
    Tip::new(id(own), Spot::measures(first, last), Topic::Bow, own)
}

fn pizz(measure: usize) -> Mark {
    Mark {
        measure,
        at: BeatSpan::ZERO,
        kind: MarkKind::Pizz,
        to: None,
        text: String::new(),
        extra: Extra::default(),
    }
}

fn viola(own: &str, marks: Vec<Mark>) -> Part {
    Part {
        id: id(own),
        name: "Viola".to_owned(),
        marks,
        extra: Extra::default(),
    }
}

/// A measure was forgotten after 3, and measure 6 was one too many.
fn both() -> (Guide, Guide) {
    let mut own = guide("1 2 3 4 5 6 7");
    own.parts = vec![viola("va", vec![pizz(1), pizz(4), pizz(5)])];
    own.tips = vec![
        tip("early", 1, 1),
        tip("later", 3, 4),
        tip("gone", 5, 5),
        tip("last", 6, 6),
    ];
    own.todos = vec![Todo {
        id: id("todo"),
        text: "Clap it".to_owned(),
        spot: Some(Spot::measures(4, 5)),
        parts: Vec::new(),
        extra: Extra::default(),
    }];
    let mut new = guide("1 2 3 3a 4 5 7");
    new.parts = vec![viola("other", vec![pizz(1), pizz(3)])];
    (own, new)
}

#[test]
fn tips_and_tasks_go_along_and_none_is_dropped() {
    let (own, new) = both();
    let edition = Edition::new(&own, &new, "new.xml");
    let made = edition.guide();
    let spots: Vec<(&str, Spot)> = made
        .tips
        .iter()
        .map(|tip| (tip.id.as_str(), tip.spot))
        .collect();
    assert_eq!(
        spots,
        [
            ("early", Spot::measures(1, 1)),
            ("later", Spot::measures(4, 5)),
            ("gone", Spot::measures(5, 5)),
            ("last", Spot::measures(6, 6)),
        ]
    );
    assert_eq!(made.todos[0].spot, Some(Spot::measures(5, 5)));
    assert_eq!(edition.placed(), (4, 2));
    let lost: Vec<(&str, &str)> = edition
        .lost()
        .iter()
        .map(|own| (own.what.as_str(), own.at.as_str()))
        .collect();
    assert_eq!(
        lost,
        [
            ("pizz. of Viola", "measure 6"),
            ("Bow: “gone”", "measure 6"),
        ]
    );
    let told = edition.all_findings();
    let told: Vec<&str> = told.iter().map(|own| own.code).collect();
    assert_eq!(told, ["mark-stays", "found-no-place", "found-no-place"]);
}

#[test]
fn the_part_keeps_its_id_and_the_marks_that_the_file_lacks() {
    let (own, new) = both();
    let edition = Edition::new(&own, &new, "new.xml");
    let part = &edition.guide().parts[0];
    assert_eq!(part.id, id("va"));
    let at: Vec<usize> = part.marks.iter().map(|mark| mark.measure).collect();
    assert_eq!(at, [1, 3, 5]);
    assert!(edition.findings()[0].message.contains("“new.xml”"));
}

#[test]
fn what_the_teacher_wrote_stays_where_the_edition_is_silent() {
    let (mut own, mut new) = both();
    let tempo = |text: &str| text.parse::<Tempo>().unwrap();
    let zero = BeatSpan::ZERO;
    let measures = &mut own.road_map.measures;
    measures[0].meter = "5/8".parse().ok();
    measures[0].groups = "2+3".parse().ok();
    measures[3].section = Some("Mine".to_owned());
    measures[3].tempo = vec![TempoMark::at_once(zero, "", tempo("quarter = 66"))];
    measures[4].tempo = vec![TempoMark::at_once(zero, "Lively", tempo("quarter = 120"))];
    measures[5].section = Some("Gone".to_owned());
    let printed = &mut new.road_map.measures;
    printed[0].meter = "5/8".parse().ok();
    printed[4].section = Some("Printed".to_owned());
    printed[5].tempo = vec![TempoMark::words(zero, "Very lively")];
    let edition = Edition::new(&own, &new, "new.xml");
    let made = &edition.guide().road_map.measures;
    assert_eq!(made[0].groups, "2+3".parse().ok());
    assert_eq!(made[4].section.as_deref(), Some("Printed"));
    assert_eq!(made[4].tempo[0].tempo, Some(tempo("quarter = 66")));
    assert_eq!(made[5].tempo[0].words, "Very lively");
    assert_eq!(made[5].tempo[0].tempo, Some(tempo("quarter = 120")));
    let lost = &edition.lost()[0];
    assert_eq!(
        (lost.what.as_str(), lost.at.as_str()),
        ("section Gone", "measure 6")
    );

    // Where the meter is corrected, its groups were for the old one.
    new.road_map.measures[0].meter = "6/8".parse().ok();
    let edition = Edition::new(&own, &new, "new.xml");
    assert_eq!(edition.guide().road_map.measures[0].groups, None);
    assert_eq!(edition.findings()[0].code, "other-meter");
}

#[test]
fn the_same_edition_changes_nothing() {
    let (own, _) = both();
    let edition = Edition::new(&own, &own, "same.xml");
    assert_eq!(edition.guide(), &own);
    assert!(edition.all_findings().is_empty());
    assert_eq!(edition.placed(), (5, 0));
}
