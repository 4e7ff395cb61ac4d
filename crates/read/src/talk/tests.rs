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
    let talk = talk(&format!("Music. Measure 1. Measure 2.\n{text}"));
    let places = talk
        .statements
        .into_iter()
        .filter(|own| own.what == What::Place);
    places.skip(2).filter_map(|own| own.place).collect()
}

fn facts(text: &str) -> Vec<String> {
    let talk = talk(&format!("Music. Measure 1. Measure 2.\n{text}"));
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
        ("and at E we have it", one(mark("E", 0))),
        ("the second note of 20 is high", measures(20, None, None)),
        ("bar 31, second beat", measures(31, None, Some(2))),
        ("jump ahead with me to 19.", measures(19, None, None)),
        ("arco for 150, with no rest", measures(150, None, None)),
        ("in the last bar before B you wait", one(mark("B", -1))),
        ("the second bar after C", one(mark("C", 2))),
        ("letter C plus four", one(mark("C", 4))),
        ("the thirty-second bar is loud", measures(32, None, None)),
        ("the 3rd bar of letter C", one(mark("C", 2))),
        ("letter C, third bar, shift", one(mark("C", 2))),
        (
            "four bars from the end it is soft",
            one(Point::End { before: 4 }),
        ),
        (
            "the last bar but one is soft",
            one(Point::End { before: 1 }),
        ),
        ("letter double A is next", one(mark("AA", 0))),
        ("at figure seven it is loud", one(mark("7", 0))),
        ("bar three of figure twelve", one(mark("12", 2))),
        ("in m. 12 we rest", measures(12, None, None)),
        ("between 33 and 40 it is loud", measures(33, Some(40), None)),
        ("the very last note is 3 measures long", one(END)),
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
        "be ready by bar eight",
        "compare it with bar eighteen",
        "pluck the last note",
        "slide from B to G",
        "it runs to bar 30",
        "practise it at 60, then at 70",
        "the figure I like is soft",
        "save it for bar 30",
        "we saw this in bar 30",
        "it is the tune from bar 30 again",
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
        places("at bar 40, I beg your pardon, bar 42, it's loud"),
        [measures(42, None, None)]
    );
    assert_eq!(places("letter D, sorry, E, is loud"), [one(mark("E", 0))]);
    assert_eq!(
        places("from 64 to, um, 69, no, 68"),
        [measures(64, Some(68), None)]
    );
    // Not every "no" takes something back, nor every "wait".
    assert_eq!(
        places("At bar 40, wait. Bar 42 is loud."),
        [measures(40, None, None), measures(42, None, None)]
    );
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
        ("the eighth note doesn't budge", "tempo same"),
        ("eighth equals eighth", "tempo same"),
        ("the tempo drops to 80", "tempo quarter=80"),
        ("the quarter is somewhere around 96", "tempo quarter=96"),
        ("96 crotchets a minute", "tempo quarter=96"),
        ("half note 60 beats per minute", "tempo half=60"),
        ("60 beats per minute to the half note", "tempo half=60"),
        ("the dotted crotchet beat is 72", "tempo dotted quarter=72"),
        ("the original tempo returns", "tempo same"),
        ("quarter equals 96, sorry, 69", "tempo quarter=69"),
        ("it goes two two three", "grouping 2+2+3"),
        ("it is counted 3, 2, 2.", "grouping 3+2+2"),
        ("split it three and two", "grouping 3+2"),
        ("it's in two now", "meter 2"),
        ("it feels like G minor", "key G minor"),
        ("it's marked p", "dynamic p"),
        ("it says forty but play out", "dynamic f"),
        ("you get the bow back", "pluck arco"),
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
        "the fingers are two three two",
        "not two plus three",
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
fn each_fact_has_the_place_that_is_said_with_it() {
    let said = |text: &str| -> Vec<(String, u32)> {
        talk(&format!("Music. Measure 1. Measure 20.\n{text}"))
            .statements
            .into_iter()
            .filter_map(|own| match (own.what, own.place?.from) {
                (What::Fact { value, .. }, Point::Measure { number, .. }) => Some((value, number)),
                _ => None,
            })
            .collect()
    };
    let own = |facts: &[(&str, u32)]| -> Vec<(String, u32)> {
        let facts = facts.iter().map(|(value, at)| ((*value).to_owned(), *at));
        facts.collect()
    };
    for (text, facts) in [
        ("It's forte in 30 and piano in 31.", [("f", 30), ("p", 31)]),
        ("At 30, pizz; at 34, arco.", [("pizz", 30), ("arco", 34)]),
        ("Pizz at 30, arco at 34.", [("pizz", 30), ("arco", 34)]),
        (
            "It stays in three four until bar 30, where it's four four.",
            [("3/4", 20), ("4/4", 30)],
        ),
    ] {
        assert_eq!(said(text), own(&facts), "{text}");
    }
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
        let talk = talk(&format!("Music. Measure 1. Measure 2.\n{text}"));
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
        ("You're on the G string.", "You're on the G string."),
        (
            "The bow makes a little circle.",
            "The bow makes a little circle.",
        ),
        (
            "It's a roll of the finger, not a hop.",
            "It's a roll of the finger, not a hop.",
        ),
        ("I like to start up-bow.", "I like to start up-bow."),
        ("An up-bow, please.", "An up-bow, please."),
        (
            "If you can't hear the flute, you're too loud.",
            "If you can't hear the flute, you're too loud.",
        ),
        (
            "There's a B natural, so pencil it in.",
            "There's a B natural, so pencil it in.",
        ),
        (
            "Don't follow the horn. He's late.",
            "Don't follow the horn.",
        ),
        ("Use more bow, and we're at 40.", "Use more bow,"),
    ] {
        assert_eq!(tips(text), [tip], "{text}");
    }
    for text in [
        "You could hear the horn.",
        "Let me find my bow.",
        "They listen to the horn.",
        "Have a cup of tea.",
        "I need to tune.",
        "Look at letter B, please.",
        "Nobody likes second position.",
        "The cellos have the tune here.",
        "My bow broke in the concert.",
        "Who has no bow?",
        "Go ahead and find bar 5.",
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
    let talk = self::talk(
        "Take the bowl. Add three eggs and two cups of flour. Measure 200 grams.\nBake at 180 for forty minutes. Keep it warm.",
    );
    assert_eq!(talk, Talk::default());
    let list = "Number one: use a sharp knife. Number two: keep your hand flat. \
        Number three: listen to the pan. In section A of the book, and in section B, count the eggs.";
    assert_eq!(self::talk(list), Talk::default());
    let figures = "See figure 3 and figure 4. Use the key on page 12. Keep your hand flat.";
    assert_eq!(self::talk(figures), Talk::default());
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

#[test]
fn beats_in_a_draft_are_those_of_their_measure() {
    for (meter, beat, at) in [
        ("six eight", "second", "3/2"),
        ("seven eight, three plus two plus two", "third", "1"),
        ("four four", "third", "2"),
    ] {
        let said = format!("Measure 1 is {meter}.\nThe {beat} beat of measure 3 is pizz.");
        let draft = draft_talk(&talk(&said), cueleaf_guide::Id::new("g").unwrap());
        let marks: Vec<(usize, String)> = draft.value.parts[0]
            .marks
            .iter()
            .map(|mark| (mark.measure, mark.at.to_string()))
            .collect();
        assert_eq!(marks, [(2, at.to_owned())], "{meter}");
    }
}

/// The excerpts of the advice in captions.
fn excerpts(captions: &str) -> Vec<String> {
    talk(captions)
        .statements
        .into_iter()
        .filter_map(|own| match own.what {
            What::Tip { excerpt, .. } => Some(excerpt),
            _ => None,
        })
        .collect()
}

#[test]
fn advice_goes_on_over_short_captions_without_punctuation() {
    for (captions, tips) in [
        (
            "so have the bow\non the string early",
            vec!["Have the bow on the string early"],
        ),
        (
            "keep your elbow level with the string\nand let your wrist do the rest",
            vec!["Keep your elbow level with the string and let your wrist do the rest"],
        ),
        (
            "pluck it with two fingers and it's still piano by the way",
            vec!["Pluck it with two fingers"],
        ),
        (
            "keep the bow light\nlisten to the clarinet",
            vec!["Keep the bow light", "Listen to the clarinet"],
        ),
        (
            "if you get tired in the thumb stop and take a break",
            vec!["If you get tired in the thumb stop and take a break"],
        ),
    ] {
        let after = format!("music\nmeasure 1\nmeasure 2\n{captions}");
        assert_eq!(excerpts(&after), tips, "{captions}");
    }
}

#[test]
fn neighbours_of_one_thought_are_one_advice_and_listening_is_another() {
    assert_eq!(
        excerpts("Music. Measure 1. Measure 2. Count them. Don't look at the desk behind you."),
        ["Count them. Don't look at the desk behind you."]
    );
    assert_eq!(
        excerpts(
            "Music. Measure 1. Measure 2. Count them on your fingers, and listen for the piccolo."
        ),
        ["Count them on your fingers,", "Listen for the piccolo."]
    );
}

#[test]
fn fingers_pluck_where_the_talk_plucks() {
    let talk = talk(
        "Measure 1. Measure 2 is pizz. Use the second finger. Measure 9 is arco. Use the second finger.",
    );
    let topics: Vec<Topic> = talk
        .statements
        .iter()
        .filter_map(|own| match own.what {
            What::Tip { topic, .. } => Some(topic),
            _ => None,
        })
        .collect();
    assert_eq!(topics, [Topic::Pluck, Topic::LeftHand]);
}

#[test]
fn names_of_sections_are_told_from_plain_sentences() {
    for (text, section) in [
        (
            "Letter A. I call this part the boat song, because it rocks.",
            "section boat song",
        ),
        (
            "Bar 9 to 12 is what everyone calls the monster.",
            "section monster",
        ),
        ("Bar 17 is the second door.", "section second door"),
        ("Letter H, please. That's the storm.", "section storm"),
        ("The trio begins here.", "section trio"),
        ("The coda begins at bar 97.", "section coda"),
        ("Bars 5 to 9 are marked “Snow” in my score.", "section Snow"),
    ] {
        assert_eq!(facts(text), [section], "{text}");
    }
    let again = "Letter A. I call it the boat song. Letter C. It's the boat song again.";
    assert_eq!(facts(again), ["section boat song", "section boat song"]);
    for text in [
        "Letter A. That's the whole trick.",
        "Bar 17 is the hard one.",
        "This is the cello part.",
        "Bar 9 is the loudest bar.",
        "Here's the tricky bit.",
        "Letter B. It's the first time you play.",
    ] {
        assert_eq!(facts(text), [""; 0], "{text}");
    }
}

#[test]
fn a_talk_of_numbers_has_numbered_marks() {
    let numbers = "Number five is loud. At number six we wait. Number seven.";
    assert_eq!(
        places(&format!(
            "{numbers} Three bars before eight it's soft. At nine, wait."
        )),
        [
            one(mark("5", 0)),
            one(mark("6", 0)),
            one(mark("7", 0)),
            one(mark("8", -3)),
            one(mark("9", 0))
        ]
    );
    // A house has a number, too.
    assert_eq!(places("My teacher lived at number 49."), []);
}

#[test]
fn a_place_can_be_told_from_the_one_before() {
    assert_eq!(
        places("Bar 20 is loud. Four bars later it's soft. The next bar is pizz."),
        [20, 24, 25].map(|number| measures(number, None, None))
    );
    assert_eq!(
        places("Letter B. In the third bar there's a shift."),
        [one(mark("B", 0)), one(mark("B", 2))]
    );
    assert_eq!(
        places("Letter B. Count for the next two bars. It was loud in the first bar."),
        [one(mark("B", 0))]
    );
}

#[test]
fn a_goodbye_ends_a_talk() {
    let long = "Measure 20 is loud. ".repeat(20);
    let with = talk(&format!(
        "{long} See you next week. Bring measures 30 to 40."
    ));
    assert_eq!(with, talk(&long));
}

#[test]
fn what_is_denied_is_no_fact() {
    for text in [
        "Measure 50 is not pizzicato.",
        "Don't play pizzicato in measure 50.",
        "In measure 50 don't play pizzicato.",
        "No crescendo in measure 50.",
        "At measure 50 it does not change to 3/4.",
        "Measure 50 isn't in 3/4.",
        "At measure 50 the meter doesn't change to 3/4.",
        "Measure 50 is never forte.",
        "There's no diminuendo in measure 50.",
    ] {
        assert_eq!(facts(text), [""; 0], "{text}");
    }
    for (text, fact) in [
        (
            "Don't forget the crescendo in measure 50.",
            "dynamic crescendo",
        ),
        ("Measure 50 is not slow, it is in 3/4.", "meter 3/4"),
        ("Measure 50 isn't loud but piano.", "dynamic p"),
        (
            "Measure 50: don't panic count it three and two.",
            "grouping 3+2",
        ),
        (
            "Measure 50 is not the normal kind it goes two two three.",
            "grouping 2+2+3",
        ),
    ] {
        assert_eq!(facts(text), [fact], "{text}");
    }
}

#[test]
fn measures_by_their_order_and_beyond_a_thousand() {
    assert_eq!(
        places("Measure 50 is arco. The fifth measure is forte."),
        [measures(50, None, None), measures(5, None, None)]
    );
    assert_eq!(
        places("Measure 1,204 is piano."),
        [measures(1_204, None, None)]
    );
    assert_eq!(
        places("Measure twelve hundred and four is piano."),
        [measures(1_204, None, None)]
    );
}

#[test]
fn changes_of_tempo_fermatas_and_mutes_are_heard() {
    for (text, fact) in [
        ("Measure 40 has a ritardando.", "change rit."),
        ("Measure 41 is back in tempo.", "change a tempo"),
        ("Measure 42 speeds up.", "change accel."),
        ("There is a fermata in measure 44.", "fermata fermata"),
        ("Bar 60 con sordino.", "mute on"),
        ("Bar 62 mutes off.", "mute off"),
    ] {
        assert_eq!(facts(text), [fact], "{text}");
    }
    for text in [
        "Measure 40 has no ritardando.",
        "Bar 60 is after the fermata.",
        "In measure 50 the cellos have mutes on.",
    ] {
        assert_eq!(facts(text), [""; 0], "{text}");
    }
}

#[test]
fn a_draft_has_the_signs_and_tells_what_was_not_taken() {
    let talk = talk(
        "Measure 30 is pizzicato. Measure 40 has a ritardando. Measure 42 is a tempo.\nThere is a fermata in measure 44 on \
         beat three.\nBar 60 con sordino.\nMeasure 61 is where the ducks come in.\nMeasure 12,345 \
         is forte.",
    );
    let drafted = draft_talk(&talk, cueleaf_guide::Id::new("g").unwrap());
    let measure = |number: usize| &drafted.value.road_map.measures[number - 1];
    assert_eq!(measure(40).tempo[0].words, "rit.");
    assert_eq!(
        measure(42).tempo[0].back,
        Some(cueleaf_guide::Return::ToBefore)
    );
    assert_eq!(measure(44).holds[0].at.to_string(), "2");
    let marks: Vec<_> = drafted.value.parts[0]
        .marks
        .iter()
        .map(|own| own.kind)
        .collect();
    assert_eq!(
        marks,
        [
            cueleaf_guide::MarkKind::Pizz,
            cueleaf_guide::MarkKind::MuteOn
        ]
    );
    let told = |code: &str| {
        let own = drafted.findings.iter().filter(|own| own.code == code);
        own.map(|own| own.message.clone()).collect::<Vec<_>>()
    };
    assert_eq!(
        told("said-without-place"),
        ["caption 5: this was said about a measure whose number was not understood: “Forte.”"]
    );
    assert_eq!(
        told("said-not-understood"),
        [
            "said at a measure, and not understood: “Measure 61 is where the ducks come in.” (caption 4)"
        ]
    );
}

#[test]
fn a_talk_of_which_nothing_is_taken_says_so() {
    let drafted = draft_talk(
        &talk("Measure 40 is forte."),
        cueleaf_guide::Id::new("g").unwrap(),
    );
    assert_eq!(drafted.findings[0].code, "nothing-heard");
}
