use super::*;
use cueleaf_guide::{
    Extra, Hold, Id, Jump, JumpUntil, Mark, MarkKind, TempoMark, Tip, Todo, Topic,
};
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
        .beside()
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
    assert!(edition.beside().findings()[0].message.contains("“new.xml”"));
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
    let lost = &edition.beside().lost()[0];
    assert_eq!(
        (lost.what.as_str(), lost.at.as_str()),
        ("section Gone", "measure 6")
    );

    // Where the meter is corrected, its groups were for the old one.
    new.road_map.measures[0].meter = "6/8".parse().ok();
    let edition = Edition::new(&own, &new, "new.xml");
    assert_eq!(edition.guide().road_map.measures[0].groups, None);
    assert_eq!(edition.beside().findings()[0].code, "other-meter");
}

#[test]
fn the_same_edition_changes_nothing() {
    let (own, _) = both();
    let edition = Edition::new(&own, &own, "same.xml");
    assert_eq!(edition.guide(), &own);
    assert!(edition.all_findings().is_empty());
    assert_eq!(edition.placed(), (5, 0));
}

#[test]
fn what_lasts_to_the_end_of_the_piece_keeps_its_end() {
    let mut own = guide("1 2 3 4");
    let end = Place::start_of(4);
    let mut rest = pizz(2);
    rest.kind = MarkKind::Rest;
    rest.to = Some(end);
    own.parts = vec![viola("va", vec![rest.clone()])];
    let mut slower = TempoMark::words(BeatSpan::ZERO, "rit.");
    slower.tempo = "quarter = 50".parse().ok();
    slower.until = Some(end);
    own.road_map.measures[1].tempo = vec![slower];
    let mut new = guide("1 2 3 4");
    new.parts = vec![viola("other", Vec::new())];
    let edition = Edition::new(&own, &new, "new.xml");
    assert_eq!(edition.guide().road_map, own.road_map);
    assert_eq!(edition.guide().parts[0].marks, [rest]);
}

fn codes(edition: &Edition) -> Vec<(&str, Option<usize>, &str)> {
    let all = edition.beside().findings().iter();
    all.map(|own| (own.code, own.place.measure, own.message.as_str()))
        .collect()
}

fn unknown(name: &str) -> Extra {
    Extra::from([(name.to_owned(), serde_json::Value::from(1))])
}

#[test]
fn the_way_through_stays_where_the_file_has_none_at_all() {
    let mut own = guide("1 2 3 4 5");
    let measures = &mut own.road_map.measures;
    measures[0].repeat_from = true;
    measures[1].ending = vec![1];
    measures[1].repeat_back = Some(2);
    measures[2].ending = vec![2];
    measures[3].fine = true;
    measures[4].jump = Some(Jump {
        to_segno: None,
        until: JumpUntil::Fine,
        with_repeats: false,
        extra: Extra::default(),
    });
    measures[4].extra = unknown("odd");
    let edition = Edition::new(&own, &guide("1 2 3 4 5"), "new.xml");
    assert_eq!(edition.guide(), &own);
    let told = [
        (
            "order-stays",
            None,
            "“new.xml” has no repeats and endings; those of this guide stay",
        ),
        (
            "order-stays",
            None,
            "“new.xml” has no jumps; those of this guide stay",
        ),
    ];
    assert_eq!(codes(&edition), told);

    // At measures that are gone they are gone, and listed.
    let edition = Edition::new(&own, &guide("1 3 4"), "new.xml");
    let lost = edition.beside().lost().iter();
    let lost: Vec<(&str, &str)> = lost
        .map(|own| (own.what.as_str(), own.at.as_str()))
        .collect();
    assert_eq!(
        lost,
        [
            ("the end of a repeat, ending 1", "measure 2"),
            (
                "D.C. al Fine, “odd”, which this version does not know",
                "measure 5"
            ),
        ]
    );
}

#[test]
fn an_edition_with_other_repeats_takes_ours_away_and_tells() {
    let mut own = guide("1 2 3 4");
    own.road_map.measures[1].repeat_back = Some(2);
    own.road_map.measures[3].repeat_back = Some(2);
    own.road_map.measures[3].fine = true;
    let mut new = guide("1 2 3 4");
    new.road_map.measures[3].repeat_back = Some(3);
    let edition = Edition::new(&own, &new, "new.xml");
    let made = &edition.guide().road_map.measures;
    assert_eq!((made[1].repeat_back, made[3].repeat_back), (None, Some(3)));
    assert!(made[3].fine);
    let gone = "the end of a repeat: not in “new.xml”, and is gone";
    let told = [
        ("sign-gone", Some(1), gone),
        ("sign-gone", Some(3), gone),
        (
            "order-stays",
            None,
            "“new.xml” has no jumps; those of this guide stay",
        ),
    ];
    assert_eq!(codes(&edition), told);
}

#[test]
fn what_stands_inside_a_measure_is_merged_by_its_beat() {
    let beat = |text: &str| text.parse::<BeatSpan>().unwrap();
    let tempo = |text: &str| text.parse::<Tempo>().unwrap();
    let mut own = guide("1 2");
    let measure = &mut own.road_map.measures[0];
    measure.tempo = vec![
        TempoMark::words(beat("0"), "Calm"),
        TempoMark::at_once(beat("2"), "Lively", tempo("quarter = 120")),
    ];
    measure.tempo[0].extra = unknown("odd");
    measure.holds = vec![Hold::new(beat("1"), None), Hold::new(beat("3"), None)];
    measure.holds[1].longer = Some(beat("2"));
    measure.holds[1].lead_in = 2;
    measure.length = Some(beat("3"));
    let mut mark = pizz(0);
    mark.extra = unknown("loud");
    own.parts = vec![viola("va", vec![mark])];
    let mut new = guide("1 2");
    new.road_map.measures[0].tempo = vec![TempoMark::at_once(beat("0"), "", tempo("quarter = 66"))];
    new.road_map.measures[0].holds = vec![Hold::new(beat("3"), None)];
    new.parts = vec![viola("other", vec![pizz(0)])];
    let edition = Edition::new(&own, &new, "new.xml");
    let made = &edition.guide().road_map.measures[0];
    assert_eq!(made.tempo[0].words, "Calm");
    assert_eq!(made.tempo[0].tempo, Some(tempo("quarter = 66")));
    assert_eq!(made.tempo[0].extra, unknown("odd"));
    assert_eq!(made.tempo[1], own.road_map.measures[0].tempo[1]);
    assert_eq!(made.holds, own.road_map.measures[0].holds);
    assert_eq!(edition.guide().parts, own.parts);
    let told = [
        ("other-tempo", Some(0)),
        ("sign-stays", Some(0)),
        ("sign-stays", Some(0)),
        ("sign-gone", Some(0)),
    ];
    let all: Vec<(&str, Option<usize>)> = codes(&edition)
        .into_iter()
        .map(|(code, at, _)| (code, at))
        .collect();
    assert_eq!(all, told);
    assert_eq!(
        codes(&edition)[3].2,
        "a length of 3 quarters: not in “new.xml”, and is gone"
    );
}

#[test]
fn a_file_without_meters_and_keys_takes_none_away() {
    let mut own = guide("1 2 3");
    own.road_map.measures[0].meter = "5/8".parse().ok();
    own.road_map.measures[1].key = cueleaf_time::Key::from_fifths(-2).ok();
    let mut new = guide("1 2 3");
    let edition = Edition::new(&own, &new, "new.mid");
    assert_eq!(edition.guide(), &own);
    assert!(codes(&edition).is_empty());
    // Before its first key a file says nothing of the key.
    new.road_map.measures[2].key = cueleaf_time::Key::from_fifths(1).ok();
    let made = Edition::new(&own, &new, "new.mid");
    let made = &made.guide().road_map.measures;
    assert_eq!(made[1].key, own.road_map.measures[1].key);
    assert_eq!(made[2].key, new.road_map.measures[2].key);
}

#[test]
fn it_is_said_which_tempo_stands_and_the_other_is_there_for_a_tick() {
    let tempo = |text: &str| text.parse::<Tempo>().unwrap();
    let mark = |text: &str| TempoMark::at_once(BeatSpan::ZERO, "", tempo(text));
    let mut own = guide("1 2 3 4 5");
    own.road_map.measures[0].tempo = vec![mark("quarter = 80")];
    // At 3 the teacher wrote another number than what the file has from 2 on; at 5 both print.
    own.road_map.measures[2].tempo = vec![mark("quarter = 50")];
    own.road_map.measures[4].tempo = vec![mark("quarter = 100")];
    // The file has a measure more at the start, so that all indices differ.
    let mut new = guide("0 1 2 3 4 5");
    new.road_map.measures[1].tempo = vec![mark("quarter = 80")];
    new.road_map.measures[2].tempo = vec![mark("quarter = 80")];
    new.road_map.measures[5].tempo = vec![mark("quarter = 112")];
    let mut edition = Edition::new(&own, &new, "new.xml");
    let told = |edition: &Edition| -> Vec<(Option<usize>, String)> {
        let all = edition.beside().findings().iter();
        let all = all.filter(|own| own.code == "other-tempo");
        all.map(|own| (own.place.measure, own.hint.clone()))
            .collect()
    };
    let stand = |first: &str, second: &str| {
        vec![
            (
                Some(3),
                format!("quarter = {first} stands; look at the print"),
            ),
            (
                Some(5),
                format!("quarter = {second} stands; look at the print"),
            ),
        ]
    };
    assert_eq!(told(&edition), stand("50", "112"));
    let choices: Vec<_> = edition.tempi().iter().map(TempoChoice::other).collect();
    assert_eq!(
        choices,
        [
            (tempo("quarter = 80"), Source::File),
            (tempo("quarter = 100"), Source::Guide)
        ]
    );
    let before = edition.guide().clone();
    let at =
        |edition: &Edition, index: usize| edition.guide().road_map.measures[index].tempo[0].tempo;
    assert_eq!(at(&edition, 3), Some(tempo("quarter = 50")));
    edition.toggle_tempo(0);
    edition.toggle_tempo(1);
    assert_eq!(at(&edition, 3), Some(tempo("quarter = 80")));
    assert_eq!(at(&edition, 5), Some(tempo("quarter = 100")));
    assert_eq!(told(&edition), stand("80", "100"));
    edition.toggle_tempo(0);
    edition.toggle_tempo(1);
    edition.toggle_tempo(9);
    assert_eq!(edition.guide(), &before);
    assert_eq!(told(&edition), stand("50", "112"));
}

#[test]
fn how_far_the_teacher_lets_a_rit_go_is_no_disagreement() {
    let tempo = |text: &str| text.parse::<Tempo>().unwrap();
    let mark = |text: &str| TempoMark::at_once(BeatSpan::ZERO, "", tempo(text));
    let mut new = guide("1 2 3 4 5");
    new.road_map.measures[0].tempo = vec![mark("quarter = 66")];
    new.road_map.measures[2].tempo = vec![TempoMark::words(BeatSpan::ZERO, "rit.")];
    new.road_map.measures[4].tempo = vec![mark("quarter = 112")];
    let mut own = new.clone();
    let rit = &mut own.road_map.measures[2].tempo[0];
    rit.tempo = Some(tempo("quarter = 50"));
    rit.until = Some(Place::start_of(4));
    let edition = Edition::new(&own, &new, "new.xml");
    assert!(codes(&edition).is_empty(), "{:?}", codes(&edition));
    assert!(edition.tempi().is_empty());
    assert_eq!(edition.guide().road_map, own.road_map);
    // Where the file says how far as well, that is told.
    new.road_map.measures[2].tempo[0].tempo = Some(tempo("quarter = 40"));
    new.road_map.measures[2].tempo[0].until = Some(Place::start_of(4));
    let edition = Edition::new(&own, &new, "new.xml");
    assert_eq!(edition.beside().findings()[0].code, "other-aim");
    // It is no tempo that stands at the measure, so none can be taken in its place.
    assert!(edition.tempi().is_empty());
}
