//! Single sentences, and what is understood.

use super::*;

fn talk(text: &str) -> Talk {
    let captions: Vec<Caption> = text
        .lines()
        .enumerate()
        .map(|(index, line)| Caption {
            number: index + 1,
            from: 1_000 * index as u64,
            text: line.trim().to_owned(),
        })
        .collect();
    listen(&captions)
}

/// The places of a text, with two measures named first so that it is about music.
fn places(text: &str) -> Vec<Said> {
    let talk = talk(&format!("Measure 1. Measure 2.\n{text}"));
    let places = talk
        .statements
        .into_iter()
        .filter(|own| own.what == What::Place);
    places.skip(2).filter_map(|own| own.place).collect()
}

fn facts(text: &str) -> Vec<String> {
    let talk = talk(&format!("Measure 1. Measure 2.\n{text}"));
    talk.statements
        .into_iter()
        .filter_map(|own| match own.what {
            What::Fact { kind, value } => Some(format!("{} {value}", kind.code())),
            _ => None,
        })
        .collect()
}

const fn measure(number: u32, beat: Option<u32>) -> Point {
    Point::Measure { number, beat }
}

const fn one(from: Point) -> Said {
    Said { from, to: None }
}

fn measures(from: u32, to: Option<u32>, beat: Option<u32>) -> Said {
    Said {
        from: measure(from, beat),
        to: to.map(|to| measure(to, None)),
    }
}

fn mark(mark: &str, measures: i32) -> Point {
    let mark = mark.to_owned();
    Point::Mark { mark, measures }
}

const END: Point = Point::End { before: 0 };

#[test]
fn places_in_all_their_forms() {
    for (text, place) in [
        ("Go to measure 32.", measures(32, None, None)),
        ("bar thirty-two is next", measures(32, None, None)),
        ("bar a hundred and twelve", measures(112, None, None)),
        ("bar one twelve", measures(112, None, None)),
        ("measure two hundred five", measures(205, None, None)),
        ("the second beat of 45", measures(45, None, Some(2))),
        ("beat three of bar forty", measures(40, None, Some(3))),
        ("measure 45, beat 2", measures(45, None, Some(2))),
        ("measures 5 to 8", measures(5, Some(8), None)),
        ("bars 33-40", measures(33, Some(40), None)),
        ("measures twelve and thirteen", measures(12, Some(13), None)),
        ("two bars before letter C", one(mark("C", -2))),
        ("a measure after letter d", one(mark("D", 1))),
        ("at rehearsal letter B", one(mark("B", 0))),
        ("three bars before measure 40", measures(37, None, None)),
        ("two measures before the end", one(Point::End { before: 2 })),
        ("in the last bar", one(END)),
        (
            "the pickup to the end",
            one(Point::Pickup(Some(Box::new(END)))),
        ),
        (
            "the pickup to letter A",
            one(Point::Pickup(Some(Box::new(mark("A", 0))))),
        ),
        (
            "the upbeat to 17",
            one(Point::Pickup(Some(Box::new(measure(17, None))))),
        ),
        (
            "from the pickup to the end",
            Said {
                from: Point::Pickup(None),
                to: Some(END),
            },
        ),
        (
            "between letter C and D",
            Said {
                from: mark("C", 0),
                to: Some(mark("D", 0)),
            },
        ),
        (
            "bar 84, that is the coda, 84 to the end",
            Said {
                from: measure(84, None),
                to: Some(END),
            },
        ),
        ("the third bar of letter B", one(mark("B", 2))),
        ("in the last bar, 66, it ends", measures(66, None, None)),
        (
            "measure 120, arco to the end",
            Said {
                from: measure(120, None),
                to: Some(END),
            },
        ),
        ("the last chord is measure 96", measures(96, None, None)),
        ("then at 45 we slow down", measures(45, None, None)),
        ("from 12 to 16 keep still", measures(12, Some(16), None)),
    ] {
        assert_eq!(places(text), [place], "{text}");
    }
    for text in [
        "count in three beats",
        "in 4 counts",
        "for two minutes",
        "of one bow",
        "use 3 fingers",
        "as in measure 13",
        "save it before measure 7",
        "see you on Tuesday at 4",
        "pick up the bow",
    ] {
        assert_eq!(places(text), [], "{text}");
    }
}

#[test]
fn a_place_that_was_taken_back_is_no_place() {
    assert_eq!(
        places("measure 40, no sorry, measure 42"),
        [measures(42, None, None)]
    );
    assert_eq!(
        places("at 30, I mean 32, listen"),
        [measures(32, None, None)]
    );
    assert_eq!(
        places("from 64 to, um, 69, no, 68"),
        [measures(64, Some(68), None)]
    );
    // Not every "no" takes something back.
    assert_eq!(
        places("measure 40 has no accent. Measure 42 does."),
        [measures(40, None, None), measures(42, None, None)]
    );
}

#[test]
fn facts_in_all_their_forms() {
    for (text, fact) in [
        ("quarter note equals 96", "tempo quarter=96"),
        (
            "the quarter is about one hundred and four",
            "tempo quarter=104",
        ),
        ("dotted quarter is 66", "tempo dotted quarter=66"),
        ("eighth = 132", "tempo eighth=132"),
        ("72 to the half note", "tempo half=72"),
        ("the same speed as before", "tempo same"),
        ("it is in five eight here", "meter 5/8"),
        ("now 7/8", "meter 7/8"),
        ("back to common time", "meter 4/4"),
        ("there is a bar of three", "meter 3"),
        ("a bar of five four", "meter 5/4"),
        ("grouped two plus three", "grouping 2+3"),
        ("3+2+2 all the way", "grouping 3+2+2"),
        ("it is in B flat major", "key B flat major"),
        ("we have two sharps", "key 2 sharps"),
        ("with one flat", "key 1 flat"),
        ("pizzicato from there", "pluck pizz"),
        ("arco again", "pluck arco"),
        ("it is mezzo forte", "dynamic mf"),
        ("a crescendo begins", "dynamic crescendo"),
        ("the slow section is bars 9 to 12", "section slow section"),
        (
            "quarter equals a hundred and thirty two",
            "tempo quarter=132",
        ),
        ("a major again", "key A major"),
        ("no flats, no sharps", "key no sharps or flats"),
    ] {
        assert_eq!(facts(text), [fact], "{text}");
    }
    for text in [
        "one two three four",
        "the piano part has it",
        "the cellos have a crescendo",
        "listen for the bass pizzicato",
        "before the crescendo",
        "a major problem",
        "six eight notes",
        "quarter is three times as long",
    ] {
        assert_eq!(facts(text), [""; 0], "{text}");
    }
}

#[test]
fn facts_belong_to_the_place_of_their_sentence() {
    let talk =
        talk("Measure 12 is soft. Then we go on.\nPizz in measure 20. Count there.\nIt is forte.");
    let found: Vec<(String, Said)> = talk
        .statements
        .into_iter()
        .filter_map(|own| match own.what {
            What::Fact { value, .. } => Some((value, own.place?)),
            _ => None,
        })
        .collect();
    assert_eq!(
        found,
        [
            ("pizz".to_owned(), measures(20, None, None)),
            ("f".to_owned(), measures(20, None, None))
        ]
    );
}

#[test]
fn advice_is_quoted_with_its_topic_and_time() {
    let talk = talk(
        "Welcome back.\nIn measure 12 it is quiet. Measure 13 too.\nSo, keep the bow at the frog there.",
    );
    let tip = talk
        .statements
        .iter()
        .find(|own| matches!(own.what, What::Tip { .. }))
        .unwrap();
    assert_eq!(
        tip.what,
        What::Tip {
            topic: Topic::Bow,
            excerpt: "Keep the bow at the frog there.".to_owned()
        }
    );
    assert_eq!((tip.caption, tip.from), (3, 2_000));
    assert_eq!(tip.place, Some(measures(13, None, None)));
}

#[test]
fn advice_is_an_order_a_duty_or_has_no_verb() {
    let tips = |text: &str| {
        let talk = talk(&format!("Measure 1. Measure 2.\n{text}"));
        let tips = talk
            .statements
            .into_iter()
            .filter_map(|own| match own.what {
                What::Tip { excerpt, .. } => Some(excerpt),
                _ => None,
            });
        tips.collect::<Vec<String>>()
    };
    for (text, tip) in [
        ("In measure 29, listen to the horn.", "Listen to the horn."),
        ("It must ring.", "It must ring."),
        ("Short bows, in the middle.", "Short bows, in the middle."),
        (
            "If it hurts, rest your hand.",
            "If it hurts, rest your hand.",
        ),
        ("It is forte, so use the whole bow.", "Use the whole bow."),
    ] {
        assert_eq!(tips(text), [tip], "{text}");
    }
    for text in [
        "You could hear the horn.",
        "Let me find my bow.",
        "They listen to the horn.",
        "Have a cup of tea.",
    ] {
        assert_eq!(tips(text), [""; 0], "{text}");
    }
}

#[test]
fn misheard_words_are_proposed_and_trusted_less() {
    let talk = talk("major 12 is pits\nbark 14 is our co\nit is in d major");
    let heard: Vec<&str> = talk
        .corrections
        .iter()
        .map(|own| own.heard.as_str())
        .collect();
    assert_eq!(heard, ["major", "pits", "bark", "our co"]);
    let sure: Vec<bool> = talk
        .statements
        .iter()
        .map(|own| own.confidence > 0.6)
        .collect();
    assert_eq!(sure, [false, false, false, false, true]);
}

#[test]
fn what_is_not_about_music_yields_nothing() {
    let talk = talk(
        "Take the bowl. Add three eggs and two cups of flour. Measure 200 grams.\nBake at 180 for forty minutes. Keep it warm.",
    );
    assert_eq!(talk, Talk::default());
}

#[test]
fn a_draft_has_measures_facts_and_tips_with_their_time() {
    let talk = talk(
        "Measure 1 is quarter equals 96 in D major.\nMeasure 9 is five eight, two plus three. Count it in groups.\n\
         At letter C keep your bow still.\nMeasure 12: pizz.",
    );
    let draft = draft_talk(&talk, cueleaf_guide::Id::new("g").unwrap());
    let map = &draft.value.road_map.measures;
    assert_eq!(map.len(), 12);
    assert_eq!(map[0].tempo[0].tempo.unwrap().to_string(), "quarter = 96");
    assert_eq!(map[0].key.unwrap().fifths(), 2);
    assert_eq!(map[8].meter.as_ref().unwrap().to_string(), "5/8");
    assert_eq!(map[8].groups.as_ref().unwrap().to_string(), "2+3");
    assert_eq!(draft.value.tips.len(), 1);
    assert_eq!(draft.value.tips[0].watch.as_ref().unwrap().clock(), "0:01");
    assert_eq!(draft.value.parts[0].marks[0].measure, 11);
    assert!(
        draft
            .findings
            .iter()
            .any(|own| own.code == "said-without-place"
                && own.message.contains("Keep your bow still"))
    );
}
