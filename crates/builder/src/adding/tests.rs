use super::*;
use cueleaf_guide::{Extra, MarkKind, Topic};
use cueleaf_time::{BeatSpan, Key, Tempo};

fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

fn part(own: &str, name: &str, marks: &[(usize, MarkKind)]) -> Part {
    let marks = marks.iter().map(|(measure, kind)| Mark {
        measure: *measure,
        at: BeatSpan::ZERO,
        kind: *kind,
        to: None,
        text: String::new(),
        extra: Extra::default(),
    });
    Part {
        id: id(own),
        name: name.to_owned(),
        marks: marks.collect(),
        extra: Extra::default(),
    }
}

/// A guide whose measures carry the numbers from one to another.
fn guide(own: &str, title: &str, numbers: core::ops::RangeInclusive<u32>) -> Guide {
    let mut guide = Guide::new(id(own), title);
    guide.road_map.measures = numbers
        .map(|number| Measure::labelled(&number.to_string()))
        .collect();
    guide.road_map.measures[0].meter = "4/4".parse().ok();
    guide
}

fn tip(own: &str, measure: usize, text: &str) -> Tip {
    Tip::new(id(own), Spot::measures(measure, measure), Topic::Bow, text)
}

fn ids() -> impl FnMut() -> Id {
    let mut bits = 0;
    move || {
        bits += 1;
        Id::from_random(bits)
    }
}

fn texts(guide: &Guide) -> Vec<(&str, usize)> {
    let tips = guide.tips.iter();
    tips.map(|tip| (tip.text.as_str(), tip.spot.from.measure))
        .collect()
}

#[test]
fn tips_come_to_the_measure_with_their_printed_number() {
    let mut own = guide("own", "Fog Bank", 0..=20);
    own.tips.push(tip("tip-1", 5, "mine"));
    let mut other = guide("other", "Talk", 1..=30);
    other.tips = vec![
        tip("tip-1", 4, "at five"),
        tip("tip-2", 4, "mine"),
        tip("tip-3", 24, "at twenty-five"),
    ];
    let adding = Adding::new(&own, &other, "talk.vtt", ids());
    assert_eq!(adding.count(), 1);
    // What is there already is not proposed; what has no place is listed.
    assert_eq!(adding.known(), 1);
    assert_eq!(
        adding.beside().lost(),
        [crate::beside::Lost {
            what: "Bow: “at twenty-five”".to_owned(),
            at: "measure 25".to_owned()
        }]
    );
    let (made, findings) = adding.added(&own);
    assert_eq!(texts(&made), [("mine", 5), ("at five", 5)]);
    assert_ne!(made.tips[1].id, made.tips[0].id);
    assert!(findings.iter().any(|own| own.code == "found-no-place"
        && own.message.contains("at twenty-five")
        && own.message.contains("“talk.vtt”")));
    // Unticked, nothing comes.
    let mut adding = adding;
    adding.toggle(0);
    assert_eq!(adding.added(&own).0, own);
}

#[test]
fn a_second_part_comes_with_its_marks_and_leaves_the_first_as_it_is() {
    let mut own = guide("own", "Fog Bank", 1..=8);
    own.parts = vec![part("viola", "Viola", &[(2, MarkKind::Pizz)])];
    own.tips.push(tip("a", 2, "for the viola"));
    let mut other = guide("other", "Fog Bank", 0..=8);
    // The ids of drafted parts are their names; here another part has that of ours.
    other.parts = vec![part(
        "viola",
        "Cello",
        &[(3, MarkKind::Pizz), (0, MarkKind::Arco)],
    )];
    other.tips.push(tip("b", 4, "for the cello"));
    let adding = Adding::new(&own, &other, "cello.musicxml", ids());
    assert_eq!((adding.count(), adding.beside().lost().len()), (2, 1));
    assert_eq!(adding.beside().lost()[0].what, "arco of Cello");
    let (made, _) = adding.added(&own);
    let [viola, cello] = made.parts.as_slice() else {
        panic!("{:?}", made.parts);
    };
    assert_eq!(viola, &own.parts[0]);
    assert_eq!((cello.name.as_str(), cello.marks.len()), ("Cello", 1));
    assert_eq!(cello.marks[0].measure, 2);
    assert_ne!(cello.id, viola.id);
    assert_eq!(made.tips[0].parts, std::slice::from_ref(&viola.id));
    assert_eq!(made.tips[1].parts, std::slice::from_ref(&cello.id));

    // Without the part its tip has nobody to be for, and that is told.
    let mut adding = adding;
    adding.toggle(0);
    let (made, findings) = adding.added(&own);
    assert_eq!(made, own);
    assert!(findings.iter().any(|own| own.code == "for-another-part"));
}

#[test]
fn a_part_that_is_there_gets_the_marks_it_lacks() {
    let mut own = guide("own", "", 1..=8);
    own.parts = vec![part("va", "Viola", &[(2, MarkKind::Pizz)])];
    let mut other = guide("other", "", 1..=8);
    other.parts = vec![part(
        "x",
        "viola ",
        &[(5, MarkKind::Arco), (2, MarkKind::Pizz)],
    )];
    let (made, _) = Adding::new(&own, &other, "x", ids()).added(&own);
    let marks: Vec<(usize, MarkKind)> = made.parts[0]
        .marks
        .iter()
        .map(|mark| (mark.measure, mark.kind))
        .collect();
    assert_eq!(marks, [(2, MarkKind::Pizz), (5, MarkKind::Arco)]);
    assert_eq!(made.parts.len(), 1);
}

#[test]
fn the_same_guide_from_elsewhere_proposes_what_was_changed() {
    let mut own = guide("own", "", 1..=8);
    own.tips = vec![tip("a", 1, "one"), tip("b", 2, "two")];
    let mut other = own.clone();
    other.tips[1].text = "two, but later".to_owned();
    other.tips[1].spot = Spot::measures(3, 3);
    let mut adding = Adding::new(&own, &other, "x", ids());
    assert_eq!((adding.known(), adding.count()), (1, 0));
    assert!(
        matches!(&adding.items()[0].0, Item::Change(tip, now) if now == "two" && tip.id == id("b"))
    );
    adding.toggle(0);
    let (made, _) = adding.added(&own);
    assert_eq!(made, other);
}

#[test]
fn photos_from_elsewhere_are_confirmed_anew() {
    let mut own = guide("own", "", 1..=8);
    own.settings.may_share = true;
    own.tips = vec![tip("a", 1, "one")];
    let mut other = guide("other", "", 1..=8);
    other.tips = vec![tip("x", 1, "one"), tip("y", 2, "two")];
    let (made, _) = Adding::new(&own, &other, "x", ids()).added(&own);
    assert!(made.settings.may_share);
    other.tips[0].voice = Some(cueleaf_guide::Voice {
        milliseconds: 1_000,
        words: "one".to_owned(),
        data: cueleaf_guide::MediaBytes::default(),
        extra: Extra::default(),
    });
    // The same words with a voice note are not there yet.
    let adding = Adding::new(&own, &other, "x", ids());
    assert_eq!((adding.count(), adding.known()), (2, 0));
    let (made, findings) = adding.added(&own);
    assert!(!made.settings.may_share);
    assert_eq!(findings.last().unwrap().code, "media-from-elsewhere");
}

#[test]
fn disagreements_quote_both() {
    let mut own = guide("own", "Fog Bank", 1..=9);
    let mut other = guide("other", "", 0..=9);
    own.road_map.measures[4].meter = "5/8".parse().ok();
    other.road_map.measures[5].meter = "6/8".parse().ok();
    own.road_map.measures[0].key = Key::from_fifths(-2).ok();
    other.road_map.measures[0].key = Key::from_fifths(1).ok();
    let tempo = |text: &str| {
        let tempo: Tempo = text.parse().unwrap();
        cueleaf_guide::TempoMark::at_once(BeatSpan::ZERO, "", tempo)
    };
    own.road_map.measures[2].tempo = vec![tempo("quarter = 60")];
    other.road_map.measures[3].tempo = vec![tempo("quarter = 66")];
    other.road_map.measures[1].tempo = vec![tempo("quarter = 90")];
    let found: Vec<String> = Adding::new(&own, &other, "new.xml", ids())
        .beside()
        .findings()
        .iter()
        .map(|own| format!("{}: {}", own.code, own.message))
        .collect();
    assert_eq!(
        found,
        [
            "other-length: “Fog Bank” has 9 measures, “new.xml” has 10",
            "other-meter: “Fog Bank” has 5/8 here, “new.xml” has 6/8 at its measure 5",
            "other-key: “Fog Bank” has 2 flats here, “new.xml” has 1 sharp at its measure 1",
            // Before that the guide says nothing, which is no disagreement.
            "said-there-only: “Fog Bank” says nothing here, “new.xml” has quarter = 90 at its measure 1",
            "other-tempo: “Fog Bank” has quarter = 60 here, “new.xml” has quarter = 66 at its measure 3",
        ]
    );
    assert!(
        Adding::new(&own, &own, "x", ids())
            .beside()
            .findings()
            .is_empty()
    );
    // A file that says nothing disagrees in nothing.
    let mut silent = guide("x", "", 0..=9);
    silent.road_map.measures[0].meter = None;
    let adding = Adding::new(&other, &silent, "x", ids());
    assert!(adding.beside().findings().is_empty());
}

#[test]
fn where_nothing_agrees_not_everything_is_told() {
    let mut own = guide("own", "", 1..=80);
    let mut other = guide("other", "", 1..=80);
    for (index, measure) in own.road_map.measures.iter_mut().enumerate() {
        measure.meter = format!("{}/4", 2 + index % 2).parse().ok();
    }
    for (index, measure) in other.road_map.measures.iter_mut().enumerate() {
        measure.meter = format!("{}/8", 5 + index % 3).parse().ok();
    }
    let adding = Adding::new(&own, &other, "x", ids());
    assert_eq!(adding.beside().findings().len(), crate::beside::TOLD + 1);
    let last = &adding.beside().findings()[crate::beside::TOLD].message;
    assert!(last.contains("68 more places"), "{last}");
}

#[test]
fn a_rest_to_the_end_of_the_piece_keeps_its_end() {
    let own = guide("own", "", 1..=8);
    let mut other = guide("other", "", 1..=8);
    other.parts = vec![part("x", "Viola", &[(5, MarkKind::Rest)])];
    other.parts[0].marks[0].to = Some(cueleaf_guide::Place::start_of(8));
    let (made, _) = Adding::new(&own, &other, "x", ids()).added(&own);
    assert_eq!(made.parts, other.parts);
}

fn todo(own: &str, text: &str, measure: Option<usize>) -> Todo {
    Todo {
        id: id(own),
        text: text.to_owned(),
        spot: measure.map(|measure| Spot::measures(measure, measure)),
        parts: Vec::new(),
        extra: Extra::default(),
    }
}

#[test]
fn the_same_task_elsewhere_or_for_another_part_is_another_task() {
    let mut own = guide("own", "", 1..=8);
    own.parts = vec![part("va", "Viola", &[])];
    own.todos = vec![todo("a", "Clap it", Some(2)), todo("b", "Tune", None)];
    own.todos[1].parts = vec![id("va")];
    let mut other = guide("other", "", 1..=8);
    other.parts = vec![part("va", "Viola", &[]), part("vc", "Cello", &[])];
    other.todos = vec![
        todo("a", "Clap it", Some(5)),
        todo("x", "Clap it", Some(2)),
        todo("b", "Tune", None),
        todo("c", "Tune", None),
    ];
    other.todos[2].parts = vec![id("vc")];
    other.todos[3].parts = vec![id("va")];
    let adding = Adding::new(&own, &other, "x", ids());
    assert_eq!(adding.known(), 2);
    let (made, _) = adding.added(&own);
    let all: Vec<(&str, Option<usize>, &[Id])> = made.todos[2..]
        .iter()
        .map(|own| {
            let at = own.spot.map(|spot| spot.from.measure);
            (own.text.as_str(), at, own.parts.as_slice())
        })
        .collect();
    assert_eq!(
        all,
        [
            ("Clap it", Some(5), [].as_slice()),
            ("Tune", None, [id("vc")].as_slice()),
        ]
    );
}

#[test]
fn a_task_with_another_text_is_offered_as_a_change() {
    let mut own = guide("own", "", 1..=8);
    own.todos = vec![todo("a", "Clap it", Some(2)), todo("b", "Tune", None)];
    let mut other = own.clone();
    other.todos[0].text = "Clap it twice".to_owned();
    let mut adding = Adding::new(&own, &other, "x", ids());
    assert_eq!((adding.known(), adding.count()), (1, 0));
    let Item::TodoChange(now, before) = &adding.items()[0].0 else {
        panic!("{:?}", adding.items());
    };
    assert_eq!((before.as_str(), now.id.clone()), ("Clap it", id("a")));
    adding.toggle(0);
    assert_eq!(adding.added(&own).0, other);
}
