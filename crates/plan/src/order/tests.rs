//! Orders of play, checked against published rules and by random road maps.

use super::*;
use proptest::prelude::*;

/// Reads a road map in a few signs, one word a measure: `|:` before, `:|` or
/// `:|3` after, `[1,2]` for the bracket over it, then letters.
fn road_map(text: &str) -> RoadMap {
    let measures = text
        .split_whitespace()
        .map(|word| {
            let mut fields = word.split('.');
            let mut measure = Measure::labelled(fields.next().unwrap());
            for field in fields {
                match field.split_once('=').unwrap_or((field, "")) {
                    ("from", _) => measure.repeat_from = true,
                    ("back", times) => measure.repeat_back = Some(times.parse().unwrap_or(2)),
                    ("end", list) => {
                        measure.ending = list.split(',').map(|n| n.parse().unwrap()).collect();
                    }
                    ("segno", name) => measure.segno = Some(name.to_owned()),
                    ("coda", name) => measure.coda = Some(name.to_owned()),
                    ("tocoda", name) => measure.to_coda = Some(name.to_owned()),
                    ("fine", _) => measure.fine = true,
                    ("cut", _) => measure.cut = true,
                    ("movement", _) => measure.movement = Some(String::new()),
                    (jump @ ("DC" | "DS" | "DCR"), until) => {
                        measure.jump = Some(Jump {
                            to_segno: (jump == "DS").then(String::new),
                            until: match until {
                                "fine" => JumpUntil::Fine,
                                "coda" => JumpUntil::Coda,
                                _ => JumpUntil::End,
                            },
                            with_repeats: jump == "DCR",
                            extra: cueleaf_guide::Extra::default(),
                        });
                    }
                    other => panic!("unknown {other:?}"),
                }
            }
            measure
        })
        .collect();
    RoadMap {
        measures,
        ..RoadMap::default()
    }
}

fn check(text: &str, expected: &str, codes: &[&str]) {
    let map = road_map(text);
    let order = order_of(&map);
    let labels: Vec<&str> = order
        .value
        .iter()
        .map(|played| map.measures[played.measure].label.as_str())
        .collect();
    assert_eq!(labels.join(" "), expected, "{text}");
    let found: Vec<&str> = order.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(found, codes, "{text}");
}

/// Source: Gehrkens, Music Notation and Terminology, 1914, §§36–39.
#[test]
fn repeats_and_jumps_as_the_handbook_has_them() {
    check("1 2 3 4.back 5 6 7 8", "1 2 3 4 1 2 3 4 5 6 7 8", &[]);
    check("1 2 3.from 4 5 6.back 7 8", "1 2 3 4 5 6 3 4 5 6 7 8", &[]);
    check(
        "1 2 3 4 5 6 7 8.fine 9 10 11 12 13 14 15 16.DC=fine",
        "1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 1 2 3 4 5 6 7 8",
        &[],
    );
    check(
        "1 2 3 4 5.segno 6 7 8 9 10 11 12.fine 13 14 15 16.DS=fine",
        "1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 5 6 7 8 9 10 11 12",
        &[],
    );
    check(
        "1 2.segno 3.tocoda 4 5.DS=coda 6.coda 7",
        "1 2 3 4 5 2 3 6 7",
        &[],
    );
    check(
        "1 2 3 4 5 6.segno 7 8 9 10 11 12.DS",
        "1 2 3 4 5 6 7 8 9 10 11 12 6 7 8 9 10 11 12",
        &[],
    );
}

/// Source: MusicXML 4.0, elements repeat, ending and sound: repeats after a
/// jump are not taken unless after-jump says so.
#[test]
fn endings_and_repeats_after_a_jump() {
    check(
        "1.from 2 3 4.end=1.back 5.end=2 6",
        "1 2 3 4 1 2 3 5 6",
        &[],
    );
    check(
        "1.from 2 3.end=1,2.back=3 4.end=3",
        "1 2 3 1 2 3 1 2 4",
        &[],
    );
    check(
        "1.from 2 3 4.back.fine 5 6 7 8.DC=fine",
        "1 2 3 4 1 2 3 4 5 6 7 8 1 2 3 4",
        &[],
    );
    check(
        "1.from 2 3 4.back.fine 5 6.DCR=fine",
        "1 2 3 4 1 2 3 4 5 6 1 2 3 4 1 2 3 4",
        &[],
    );
    check(
        "1.from 2 3 4.end=1.back 5.end=2.fine 6 7 8.DC=fine",
        "1 2 3 4 1 2 3 5 6 7 8 1 2 3 5",
        &[],
    );
}

/// Source: minuet and trio, common practice (da capo without repeats).
#[test]
fn a_minuet_with_its_trio() {
    check(
        "1.from 2.back 3.from 4.back.fine 5.from 6.back 7.from 8.back.DC=fine",
        "1 2 1 2 3 4 3 4 5 6 5 6 7 8 7 8 1 2 3 4",
        &[],
    );
}

/// Common practice, no source.
#[test]
fn other_orders() {
    // A second sign without a start goes back to after the first.
    check("0 1.back 2 3.back", "0 1 0 1 2 3 2 3", &[]);
    // A lone first ending still repeats.
    check("0 1.end=1.back 2 3", "0 1 0 2 3", &[]);
    // Three times.
    check("0.back=3 1", "0 0 0 1", &[]);
    // Nested repeats: the inner one is taken in each pass of the outer.
    check(
        "1.from 2.from 3.back 4.back 5",
        "1 2 3 2 3 4 1 2 3 2 3 4 5",
        &[],
    );
    // Two pairs of endings in a row.
    check(
        "1.from 2.end=1.back 3.end=2 x 4.end=1.back 5.end=2",
        "1 2 1 3 x 4 x 5",
        &[],
    );
    // Brackets of several measures.
    check(
        "1.from 2.end=1 3.end=1.back 4.end=2 5.end=2 6",
        "1 2 3 1 4 5 6",
        &[],
    );
    // A second ending with a sign of its own repeats no more.
    check("1.from 2.end=1.back 3.end=2.back 4", "1 2 1 3 4", &[]);
    // Three endings, each with a sign.
    check(
        "1.from 2.end=1.back 3.end=2.back 4.end=3 5",
        "1 2 1 3 1 4 5",
        &[],
    );
    // A cut.
    check("1 2.cut 3.cut 4", "1 4", &[]);
    check("1.from 2 3.back.cut 4", "1 2 4", &[]);
    // A cut that takes the first ending with its sign leads into the second.
    check("1.from 2.cut 3.end=1.back.cut 4.end=2 5", "1 4 5", &[]);
    // Of a cut measure only the repetition goes: Fine, To Coda and jump hold at its end.
    check("1 2.cut.fine 3 4.DC=fine", "1 3 4 1", &[]);
    check("1 2.tocoda.cut 3 4.DC=coda 5.coda", "1 3 4 1 5", &[]);
    check("1.fine 2 3.DC=fine.cut", "1 2 1", &[]);
    // Two movements keep their repeats and jumps apart.
    check(
        "1 2.fine 3.DC=fine a.movement b.back c",
        "1 2 3 1 2 a b a b c",
        &[],
    );
    // A way to a coda that waits in another movement is no other way.
    check(
        "1.segno 2.tocoda 3.DC 4.coda 5.DS 6 a.movement.tocoda b.DC c.coda",
        "1 2 3 1 2 4 5 1 2 4 5 6 a b a c",
        &[],
    );
    // What a jump asked for ends with its movement, however that is left.
    check(
        "1 2.DC 3.cut a.movement.from b.back c",
        "1 2 1 2 a b a b c",
        &[],
    );
    check(
        "1 2.DC 3.end=1.back a.movement.from b.back",
        "1 2 1 2 a b a b",
        &["never-played"],
    );
    // A plain jump stops at a Fine on the way and follows a To Coda.
    check("1 2.fine 3.DC", "1 2 3 1 2", &[]);
    check("1.tocoda 2 3.DC 4.coda", "1 2 3 1 4", &[]);
    check("", "", &[]);
}

#[test]
fn contradictions_end_in_findings() {
    check("1 2.DS 3", "1 2 3", &["segno-missing"]);
    check("1.tocoda 2.DC=coda 3", "1 2 1 2 3", &["coda-missing"]);
    check("1 2.DC=coda", "1 2 1 2", &["to-coda-missing"]);
    check("1 2.DC=fine", "1 2 1 2", &["fine-missing"]);
    check("1.from 2", "1 2", &["repeat-never-closed"]);
    check("1 2.end=1 3", "1 2 3", &["ending-without-repeat"]);
    check("1.fine 2 3.DC=fine 4", "1 2 3 1", &["never-played"]);
    let one = order_of(&road_map("1.fine 2 3.DC=fine 4")).findings;
    assert!(one[0].message.ends_with("never comes to this measure"));
    // From the coda nobody leaves for the coda, until another jump asks for it.
    check(
        "1 2.tocoda 3.DC=coda 4.coda 5.tocoda 6",
        "1 2 3 1 2 4 5 6",
        &["to-coda-again"],
    );
    check(
        "1.segno 2.tocoda 3.DC 4.coda 5.DS 6",
        "1 2 3 1 2 4 5 1 2 4 5 6",
        &[],
    );
}

#[test]
fn the_longest_order_has_a_limit() {
    let mut map = road_map("1.from 2");
    map.measures[1].repeat_back = Some(u16::MAX);
    let inner: Vec<Measure> = (0..20).flat_map(|_| map.measures.clone()).collect();
    map.measures = inner;
    let order = order_of(&map);
    assert_eq!(order.value.len(), MAX_PLAYED);
    assert!(order.findings.iter().any(|f| f.code == "order-too-long"));
}

/// A few measures that are played, and very many that are passed over each time.
#[test]
fn a_way_that_leads_past_too_much_has_a_limit() {
    let cut = "x.cut ".repeat(20_000);
    let order = order_of(&road_map(&format!("1.from {cut} 2.back=65535")));
    assert!(order.value.len() < 2_000);
    assert!(order.findings.iter().any(|f| f.code == "order-too-long"));
    // Common practice, no source: of two codas each has its way, taken one after the other.
    check(
        "1 2.segno 3.tocoda=a 4.tocoda=b 5.DS=coda 6.coda=a 7.DS=coda 8.coda=b",
        "1 2 3 4 5 2 3 6 7 2 3 4 8",
        &[],
    );
    // A coda that is missed on each time round is told once.
    check(
        "1.tocoda 2.DCR=coda 3.back",
        "1 2 1 2 3 1 2 3",
        &["coda-missing"],
    );
}

#[test]
fn signs_that_go_back_know_where_to_and_how_often() {
    let signs = |text: &str| -> Vec<(usize, usize, u16)> {
        let signs = ordered(&road_map(text)).value.1.into_iter();
        signs
            .map(|own| (own.measure, own.start, own.passes))
            .collect()
    };
    for (text, expected) in [
        ("1.from 2 3.back 4.back=3", vec![(2, 0, 2), (3, 3, 3)]),
        // Three endings share one repeat; the sign of a last ending goes nowhere.
        (
            "1.from 2.end=1.back 3.end=2.back 4.end=3",
            vec![(1, 0, 3), (2, 0, 3)],
        ),
        (
            "1.from 2.end=1.back 3.end=2.back 4.back",
            vec![(1, 0, 2), (3, 3, 2)],
        ),
        // A lone ending for two passes is left out on the third.
        ("1.from 2.end=1,2.back 3", vec![(1, 0, 3)]),
        ("1.from 2.from 3.back 4.back", vec![(2, 1, 2), (3, 0, 2)]),
        ("1.from 2.back.cut 3.back=1", vec![]),
    ] {
        assert_eq!(signs(text), expected, "{text}");
    }
}

fn any_measure() -> impl Strategy<Value = Measure> {
    let few = prop::option::weighted(0.2, 0u16..4);
    let ending = prop::collection::vec(1u16..4, 0..2);
    let flags = (0u8..12, 0u8..12, 0u8..12, 0u8..12, 0u8..12);
    (few, ending, flags).prop_map(|(back, ending, (a, b, c, d, e))| Measure {
        repeat_back: back,
        ending,
        repeat_from: a == 0,
        segno: (a == 1).then(String::new),
        coda: (b == 0).then(String::new),
        to_coda: (b == 1).then(String::new),
        fine: c == 0,
        cut: c == 1,
        movement: (e == 0).then(String::new),
        jump: (d < 2).then(|| Jump {
            to_segno: (d == 1).then(String::new),
            until: [JumpUntil::End, JumpUntil::Fine, JumpUntil::Coda][usize::from(e % 3)],
            with_repeats: e > 6,
            extra: cueleaf_guide::Extra::default(),
        }),
        ..Measure::default()
    })
}

proptest! {
    #[test]
    fn every_road_map_has_an_order_that_ends(measures in prop::collection::vec(any_measure(), 0..14)) {
        let map = RoadMap { measures, ..RoadMap::default() };
        let order = order_of(&map);
        prop_assert!(order.value.len() <= MAX_PLAYED);
        for played in &order.value {
            prop_assert!(!map.measures[played.measure].cut);
        }
        let first = map.measures.iter().position(|m| !m.cut);
        if let (Some(first), Some(played)) = (first, order.value.first()) {
            prop_assert!(played.measure >= first);
            prop_assert_eq!(played.pass, 1);
        }
    }

    #[test]
    fn without_signs_the_order_is_the_written_one(count in 0usize..300) {
        let map = RoadMap { measures: vec![Measure::default(); count], ..RoadMap::default() };
        let order: Vec<usize> = order_of(&map).value.iter().map(|p| p.measure).collect();
        prop_assert_eq!(order, (0..count).collect::<Vec<_>>());
    }
}
