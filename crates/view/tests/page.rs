//! What a page says about a small guide.
#![allow(clippy::unwrap_used, reason = "what a test makes itself is there")]

use cueleaf_guide::{
    Guide, Hold, Id, Importance, Jump, JumpUntil, Mark, MarkKind, Measure, MeasureWord, Part,
    Place, Return, Spot, TempoMark, Tip, Todo, Topic,
};
use cueleaf_plan::Plan;
use cueleaf_time::{BeatSpan, Key};
use cueleaf_view::{
    Page, Room, Width, Words, change_text, count_room, facts_at, guide_body, next_text, order_text,
    play_room, played_line, section_at, spot_text,
};

fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

fn tempo(words: &str, tempo: &str) -> Vec<TempoMark> {
    vec![TempoMark::at_once(
        BeatSpan::ZERO,
        words,
        tempo.parse().unwrap(),
    )]
}

/// A pickup, a repeat with two endings, 5/8, and a jump back to the beginning.
fn guide() -> Guide {
    let mut guide = Guide::new(id("g"), "Low Tide");
    guide.composer = "Nobody".to_owned();
    guide.road_map.measures = vec![
        Measure {
            meter: Some("3/4".parse().unwrap()),
            length: Some("1".parse().unwrap()),
            pickup: true,
            section: Some("Sand".to_owned()),
            tempo: tempo("Calm", "quarter = 60"),
            ..Measure::labelled("0")
        },
        Measure {
            repeat_from: true,
            mark: Some("A".to_owned()),
            ..Measure::labelled("1")
        },
        Measure {
            ending: vec![1],
            repeat_back: Some(2),
            ..Measure::labelled("2")
        },
        Measure {
            ending: vec![2],
            fine: true,
            holds: vec![Hold::new("1".parse().unwrap(), None)],
            ..Measure::labelled("3")
        },
        Measure {
            meter: Some("5/8".parse().unwrap()),
            groups: Some("2+3".parse().unwrap()),
            section: Some("Water".to_owned()),
            key: Key::from_fifths(-2).ok(),
            tempo: tempo("", "eighth = 180"),
            ..Measure::labelled("4")
        },
        Measure::labelled(""),
        Measure {
            jump: Some(Jump {
                to_segno: None,
                until: JumpUntil::Fine,
                with_repeats: false,
                extra: Default::default(),
            }),
            ..Measure::labelled("6")
        },
    ];
    guide.parts = vec![Part {
        id: id("va"),
        name: "Viola".to_owned(),
        marks: vec![Mark {
            measure: 4,
            at: "1".parse().unwrap(),
            kind: MarkKind::Pizz,
            to: None,
            text: String::new(),
            extra: Default::default(),
        }],
        extra: Default::default(),
    }];
    guide
}

fn with<T>(guide: &Guide, look: impl FnOnce(&Page<'_>) -> T) -> T {
    let plan = Plan::new(guide).value;
    let words = Page::words_for(guide);
    look(&Page::new(guide, &plan, &words))
}

#[test]
fn facts_are_told_in_plain_words() {
    with(&guide(), |page| {
        for (measure, expected) in [
            (
                0,
                "3/4; pickup: the music starts on beat 3; Calm, quarter = 60",
            ),
            (1, "mark A; a repeat starts here"),
            (
                2,
                "ending 1; at the end go back to measure 1 and play it again",
            ),
            (
                3,
                "ending 2; fermata on beat 2; Fine: after the jump, the music ends here",
            ),
            (4, "5/8, 2 + 3; 2 flats; eighth = 180; beat 3: pizz."),
            (5, ""),
            (
                6,
                "D.C.: at the end go back to the beginning and play to the Fine",
            ),
        ] {
            assert_eq!(facts_at(page, measure).join("; "), expected);
        }
        assert_eq!(
            order_text(page).unwrap(),
            "0–2, then 1, then 3–6, then 0–1, then 3"
        );
        assert_eq!(section_at(page, 2).unwrap(), "Sand");
        assert_eq!(section_at(page, 6).unwrap(), "Water");
    });
}

#[test]
fn a_plain_jump_says_where_play_ends_after_it() {
    let mut guide = guide();
    let jump = |guide: &mut Guide, until| {
        guide.road_map.measures[6].jump.as_mut().unwrap().until = until;
        with(guide, |page| facts_at(page, 6).join("; "))
    };
    let back = "D.C.: at the end go back to the beginning";
    assert_eq!(
        jump(&mut guide, JumpUntil::End),
        format!("{back} and play to the Fine")
    );
    // After the segno there is none, and one of another movement is not on the way.
    guide.road_map.measures[4].segno = Some(String::new());
    guide.road_map.measures[6].jump.as_mut().unwrap().to_segno = Some(String::new());
    let at_segno = "D.S.: at the end go back to the segno";
    assert_eq!(jump(&mut guide, JumpUntil::End), at_segno);
    guide.road_map.measures[5].to_coda = Some(String::new());
    assert_eq!(
        jump(&mut guide, JumpUntil::End),
        format!("{at_segno} and play until the coda is called for")
    );
    // The order of play obeys it at the end of a cut measure, too.
    guide.road_map.measures[5].cut = true;
    assert_eq!(
        jump(&mut guide, JumpUntil::End),
        format!("{at_segno} and play until the coda is called for")
    );
    guide.road_map.measures[5].to_coda = None;
    assert_eq!(jump(&mut guide, JumpUntil::End), at_segno);
    guide.road_map.measures[6].jump.as_mut().unwrap().to_segno = None;
    guide.road_map.measures[4].movement = Some(String::new());
    assert_eq!(jump(&mut guide, JumpUntil::End), back);
}

#[test]
fn a_return_to_a_tempo_has_the_words_of_the_trade() {
    let mut guide = guide();
    let mut back = TempoMark::words(BeatSpan::ZERO, "");
    back.back = Some(Return::ToBefore);
    let mut told = |back: &TempoMark| {
        guide.road_map.measures[6].jump = None;
        guide.road_map.measures[6].tempo = vec![back.clone()];
        with(&guide, |page| facts_at(page, 6).join("; "))
    };
    assert_eq!(told(&back), "a tempo, back to the tempo before");
    back.back = Some(Return::ToFirst);
    back.words = "Tempo I".to_owned();
    assert_eq!(told(&back), "Tempo I, back to the first tempo");
    back.tempo = "quarter = 60".parse().ok();
    back.words.clear();
    assert_eq!(told(&back), "quarter = 60");
}

#[test]
fn bow_signs_and_words_of_the_part_are_told() {
    let mut guide = guide();
    for (at, kind, text) in [
        ("0", MarkKind::DownBow, ""),
        ("2", MarkKind::UpBow, ""),
        ("2", MarkKind::Words, "espress."),
        ("2", MarkKind::Words, "2 + 3"),
    ] {
        guide.parts[0].marks.push(Mark {
            measure: 1,
            at: at.parse().unwrap(),
            kind,
            to: None,
            text: text.to_owned(),
            extra: Default::default(),
        });
    }
    with(&guide, |page| {
        assert_eq!(
            facts_at(page, 1).join("; "),
            "mark A; a repeat starts here; down-bow; beat 3: up-bow; beat 3: espress."
        );
    });
}

#[test]
fn changes_are_announced() {
    with(&guide(), |page| {
        assert_eq!(next_text(page, 1), None);
        assert_eq!(change_text(page, 3).unwrap(), "go to measure 1");
        assert_eq!(
            next_text(page, 5).unwrap(),
            "next: 5/8, 2 + 3, eighth = 180, 2 flats, beat 3: pizz."
        );
    });
}

/// A fermata at which time stands still, and a tempo that changes on the third beat.
#[test]
fn what_changes_inside_a_measure_is_announced_and_drawn() {
    let mut guide = guide();
    let longer = "2".parse().ok();
    guide.road_map.measures[1].holds = vec![
        Hold::new("0".parse().unwrap(), None),
        Hold::new("2".parse().unwrap(), longer),
    ];
    let tempo = "quarter = 100".parse().unwrap();
    guide.road_map.measures[1].tempo = vec![TempoMark::at_once("1".parse().unwrap(), "", tempo)];
    with(&guide, |page| {
        assert_eq!(
            next_text(page, 1).unwrap(),
            "next: beat 2: quarter = 100, fermata on beat 3"
        );
        let drawn = played_line(page, &[0, 1], Width::Quarter(40.0)).into_string();
        assert!(
            drawn.contains("counted 1 2 3; fermata on beat 3\""),
            "{drawn}"
        );
        // One sign, over the third beat of the second measure.
        assert_eq!(drawn.matches("a8,9,0,0116,0").count(), 1);
        assert!(drawn.contains("M145,33a8,9"), "{drawn}");
    });
}

#[test]
fn a_pickup_inside_a_beat_says_so() {
    let mut guide = guide();
    guide.road_map.measures[0].length = "1/2".parse().ok();
    with(&guide, |page| {
        let facts = facts_at(page, 0).join("; ");
        assert!(
            facts.contains("the music starts just after beat 3"),
            "{facts}"
        );
        let drawn = played_line(page, &[0], Width::Quarter(40.0)).into_string();
        assert!(drawn.contains("counted &amp;\""), "{drawn}");
        assert!(
            drawn.contains("<text x=\"17\" y=\"81\">&amp;</text>"),
            "{drawn}"
        );
        assert!(!drawn.contains("weight"), "{drawn}");
    });
}

#[test]
fn places_are_named() {
    let place = |measure, at: &str| Place {
        measure,
        at: at.parse().unwrap(),
    };
    let mut guide = guide();
    guide.settings.measure_word = MeasureWord::Bar;
    with(&guide, |page| {
        for (from, to, expected) in [
            (place(1, "0"), None, "bar 1"),
            (place(5, "0"), None, "bar 4+1"),
            (place(1, "1"), None, "bar 1, beat 2"),
            (place(1, "4/3"), None, "bar 1, just after beat 2"),
            (place(1, "0"), Some(place(3, "0")), "bars 1–3"),
            (place(4, "1/2"), Some(place(4, "3/2")), "bar 4, beats 2–4"),
            (place(1, "1"), Some(place(2, "0")), "bar 1, beat 2 to bar 2"),
        ] {
            assert_eq!(spot_text(page, &Spot { from, to }), expected);
        }
    });
}

#[test]
fn the_body_holds_everything_and_no_style() {
    let mut guide = guide();
    let evil = "<b onclick='x'>&\"";
    guide.word = format!("First.\n\n{evil}");
    guide.tips = vec![
        Tip::new(id("b"), Spot::measures(4, 6), Topic::GetReady, evil),
        Tip::new(
            id("a"),
            Spot::at(Place::start_of(1)),
            Topic::LeftHand,
            "Low second finger.",
        ),
    ];
    guide.todos = vec![Todo {
        id: id("d"),
        text: evil.to_owned(),
        spot: Some(Spot::measures(4, 6)),
        parts: Vec::new(),
        extra: Default::default(),
    }];
    with(&guide, |page| {
        let body = guide_body(page).into_string();
        assert!(!body.contains("<b onclick") && !body.contains(" style="));
        assert_eq!(body.matches("&lt;b onclick").count(), 3);
        for text in [
            "<h1>Low Tide</h1>",
            "<p>First.</p>",
            "Viola",
            "Nobody",
            "Left hand",
            "Get ready",
            "Measures 4–6",
            "Measures 4–6: 5/8, 2 + 3: <b>1 2 | 1 2 3</b>",
            "If anything hurts, stop, and ask your teacher or a medical professional.",
        ] {
            assert!(body.contains(text), "{text}");
        }
        let rooms = play_room(page, &[]).into_string() + &count_room(page).into_string();
        assert!(!rooms.contains(" style="));
        // Uneven measures are offered first, one for each stretch.
        let offered = rooms.split_once("<optgroup").unwrap().1;
        assert!(
            offered.contains("Uneven measures")
                && offered.contains("<option value=\"4\">4</option></optgroup>")
        );
    });
    assert!(
        Room::ALL
            .iter()
            .all(|room| Room::from_code(room.code()) == Some(*room))
    );
}

#[test]
fn how_much_a_tip_matters_is_said_in_words() {
    let mut guide = guide();
    let tip = Tip::new(id("t9"), Spot::measures(1, 1), Topic::Bow, "Frog.");
    guide.tips = vec![tip];
    let body = |guide: &Guide| with(guide, |page| guide_body(page).into_string());
    assert!(!body(&guide).contains("Start here"));
    guide.tips[0].importance = Importance::StartHere;
    assert!(body(&guide).contains("<strong class=\"start-here\">Start here</strong> <b"));
    guide.tips[0].importance = Importance::WhenTime;
    assert!(body(&guide).contains("When there is time:"));
}

#[test]
fn a_section_with_a_pace_of_its_own_says_so_and_is_lower_on_the_strip() {
    use cueleaf_view::{choices, paced_section_at, strip};
    let mut guide = guide();
    guide.road_map.measures[0].section = Some("Ebb".to_owned());
    guide.road_map.measures[2].section = Some("Flow".to_owned());
    with(&guide, |page| {
        let paces = [(2, 60)];
        let at = |measure| paced_section_at(page, measure, &paces).unwrap();
        assert_eq!([at(1), at(2)], ["Ebb", "Flow, 60 percent"]);
        let drawn = strip(page, &paces).into_string();
        assert!(
            drawn.contains("y=\"3\" height=\"8\"") && drawn.contains("y=\"6.2\" height=\"4.8\"")
        );
        let panel = choices(page, &paces).into_string();
        let own = panel.split_once("id=\"pace-2\"").unwrap().1;
        assert!(own.contains("<option value=\"60\" selected>60 percent</option>"));
    });
}

#[test]
fn an_order_too_long_to_be_read_is_cut() {
    // Every measure repeated is a stretch of its own.
    let written = |measures: usize| {
        let mut guide = guide();
        let repeated = |number: usize| Measure {
            repeat_from: true,
            repeat_back: Some(2),
            ..Measure::labelled(&number.to_string())
        };
        guide.road_map.measures = (1..=measures).map(repeated).collect();
        with(&guide, |page| order_text(page).unwrap())
    };
    assert_eq!(written(3), "1, then 1–2, then 2–3, then 3");
    let all = written(99);
    assert!(all.ends_with(", then 98–99, then 99"), "{all}");
    for more in [100, 5_000] {
        assert_eq!(
            written(more),
            all.replace("99, then 99", "99, then 99–100") + ", then …"
        );
    }
}

#[test]
fn an_empty_guide_is_a_page() {
    let guide = Guide::new(id("g"), "");
    with(&guide, |page| {
        let body = guide_body(page).into_string();
        assert!(body.contains("This guide has no measures yet."));
        assert!(!play_room(page, &[]).into_string().is_empty());
        assert_eq!(order_text(page), None);
    });
}

#[test]
fn a_tip_shows_a_stroke_a_rhythm_with_counts_and_a_recording() {
    use cueleaf_guide::{BowAmount, BowPart, BowWay, RhythmLength, Stroke, Watch};
    let mut guide = guide();
    let index = guide
        .road_map
        .measures
        .iter()
        .position(|own| own.groups.is_some())
        .unwrap();
    let mut tip = Tip::new(
        id("shows"),
        Spot::measures(index, index),
        Topic::Bow,
        "See:",
    );
    tip.bow = Some(Stroke {
        from: BowPart::Frog,
        way: BowWay::Down,
        amount: BowAmount::Half,
        extra: Default::default(),
    });
    let eighth = RhythmLength::note("eighth".parse().unwrap());
    let quarter = RhythmLength::note("quarter".parse().unwrap());
    tip.rhythm = vec![eighth.clone(), eighth, quarter];
    tip.watch = Some(Watch {
        address: "https://example.org/talk?a=1&b=\"2".to_owned(),
        ..Watch::at(200)
    });
    guide.tips = vec![tip];
    let html = with(&guide, |page| guide_body(page).into_string());
    assert!(
        html.contains("Down-bow from the frog, half the bow"),
        "{html}"
    );
    // 5/8 as 2 + 3: eighths on one and two, the quarter on the one of the three.
    let (_, rhythm) = html.split_once("<ol class=\"rhythm\">").unwrap();
    let (rhythm, _) = rhythm.split_once("</ol>").unwrap();
    let counts: Vec<&str> = rhythm
        .split("<li>")
        .skip(1)
        .filter_map(|own| own.split("<b>").nth(1)?.split("</b>").next())
        .collect();
    assert_eq!(counts, ["1", "2", "1"]);
    // A quotation mark makes no link, and is escaped.
    assert!(
        html.contains("Watch at 3:20") && !html.contains("<a href=\"https"),
        "{html}"
    );
    assert!(html.contains("a=1&amp;b=&quot;2"));
    guide.tips[0].watch = Some(Watch {
        address: "https://example.org/talk".to_owned(),
        ..Watch::at(200)
    });
    let html = with(&guide, |page| guide_body(page).into_string());
    assert!(html.contains(
        "<a href=\"https://example.org/talk\" target=\"_blank\" rel=\"noopener noreferrer\">"
    ));
}

#[test]
fn rehearsal_marks_begin_sections_where_none_is_named() {
    use cueleaf_view::{section_name, sections, walk};
    let mut guide = guide();
    guide.road_map.measures[4].mark = Some("B".to_owned());
    let names = |guide: &Guide| {
        with(guide, |page| -> Vec<(usize, String)> {
            let all = sections(page).into_iter();
            all.map(|own| (own.first, section_name(page, &own)))
                .collect()
        })
    };
    let named = |all: &[(usize, &str)]| -> Vec<(usize, String)> {
        let all = all.iter();
        all.map(|(first, name)| (*first, (*name).to_owned()))
            .collect()
    };
    assert_eq!(names(&guide), named(&[(0, "Sand"), (4, "Water")]));
    for own in &mut guide.road_map.measures {
        own.section = None;
    }
    let marked = [(0, "Start"), (1, "A"), (4, "B")];
    assert_eq!(names(&guide), named(&marked));
    with(&guide, |page| {
        let text = walk(page).into_string();
        assert!(text.contains("<h2>B</h2>") && !text.contains("ark B"));
        assert_eq!(section_at(page, 2).unwrap(), "A");
    });
}

#[test]
fn a_rest_in_a_rhythm_is_drawn_and_named() {
    use cueleaf_guide::{RhythmKind, RhythmLength};
    let mut guide = guide();
    let mut tip = Tip::new(id("r"), Spot::measures(1, 1), Topic::Count, "Wait.");
    for note in ["eighth", "dotted quarter", "half", "128th"] {
        let mut own = RhythmLength::note(note.parse().unwrap());
        own.kind = RhythmKind::Rest;
        tip.rhythm.push(own);
    }
    guide.tips = vec![tip];
    let html = with(&guide, |page| guide_body(page).into_string());
    for name in ["eighth rest", "dotted quarter rest", "half rest"] {
        let sign = format!("<svg class=\"note\" role=\"img\" aria-label=\"{name}\"");
        assert!(html.contains(&sign), "{html}");
    }
    // What has no sign here keeps its name.
    assert!(html.contains("<i>128th rest</i>"));
}

#[test]
fn the_rooms_of_a_live_page_need_no_word_that_it_does_not_carry() {
    let mut plain = guide();
    for measure in &mut plain.road_map.measures {
        measure.section = None;
    }
    let mut unnamed = guide();
    if let Some(last) = unnamed.road_map.measures.last_mut() {
        last.section = Some(String::new());
    }
    for guide in [guide(), plain, unnamed] {
        let plan = Plan::new(&guide).value;
        let all = Page::words_for(&guide);
        let carried = Words::from_texts(all.live_texts().map(str::to_owned).collect());
        let rooms = |words: &Words| {
            let page = Page::new(&guide, &plan, words);
            let sections: Vec<_> = (0..guide.road_map.measures.len())
                .map(|measure| section_at(&page, measure))
                .collect();
            (play_room(&page, &[]).0, count_room(&page).0, sections)
        };
        assert_eq!(rooms(&carried), rooms(&all));
    }
}
