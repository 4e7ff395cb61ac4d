use super::*;
use cueleaf_guide::{Id, Measure, Spot, Tip, Topic};

/// Three measures of 4/4 at 120: two seconds each.
fn guide(texts: &[(usize, &str)]) -> Guide {
    let mut guide = Guide::new(Id::new("g").unwrap(), "T");
    guide.road_map.measures = (1..=3)
        .map(|number| Measure::labelled(&number.to_string()))
        .collect();
    guide.road_map.measures[0].section = Some("A".to_owned());
    guide.road_map.measures[1].section = Some("B --> <b>".to_owned());
    guide.tips = texts
        .iter()
        .enumerate()
        .map(|(index, (measure, text))| {
            let id = Id::new(&format!("t{index}")).unwrap();
            Tip::new(id, Spot::measures(*measure, *measure), Topic::Bow, text)
        })
        .collect();
    guide
}

fn offset(seconds: f64) -> Offset {
    Offset::new(seconds).unwrap()
}

fn codes(told: &Checked<String>) -> Vec<&'static str> {
    let own = told.findings.iter().map(|finding| finding.code);
    own.filter(|code| *code != "no-first-meter").collect()
}

#[test]
fn tips_are_shown_while_the_guide_shows_them() {
    let told = tip_captions(&guide(&[(0, "first"), (2, "third")]), offset(60.0));
    assert_eq!(
        told.value,
        "WEBVTT\n\n1\n00:01:00.000 --> 00:01:02.000\nfirst\n\n2\n00:01:02.000 --> 00:01:06.000\nthird\n"
    );
    assert!(codes(&told).is_empty());
}

#[test]
fn what_lies_before_the_recording_is_cut_or_left_out_and_told() {
    let told = tip_captions(&guide(&[(0, "first"), (2, "third")]), offset(-2.5));
    assert_eq!(
        told.value,
        "WEBVTT\n\n1\n00:00:00.000 --> 00:00:03.500\nthird\n"
    );
    assert_eq!(
        codes(&told),
        ["before-the-recording", "cut-by-the-recording"]
    );
    let told = section_times(&guide(&[]), offset(-2.5));
    assert_eq!(told.value, "0:00 B --> <b>\n");
    assert_eq!(
        codes(&told),
        ["before-the-recording", "cut-by-the-recording"]
    );
    // A caption that ends when the recording starts is not shown.
    let told = tip_captions(&guide(&[(0, "first")]), offset(-2.0));
    assert_eq!(told.value, "WEBVTT\n");
    assert_eq!(codes(&told), ["before-the-recording"]);
}

#[test]
fn nothing_a_teacher_types_becomes_a_mark_of_the_format() {
    let evil = "NOTE\n\n00:00:00.000 --> 00:00:09.000\r<c.x>&lt;\u{0}\u{2028}\nend";
    let told = tip_captions(&guide(&[(0, evil), (1, " \n ")]), Offset::NONE);
    assert_eq!(
        told.value,
        "WEBVTT\n\n1\n00:00:00.000 --> 00:00:02.000\nNOTE\n00:00:00.000 --&gt; 00:00:09.000\n&lt;c.x&gt;&amp;lt;\nend\n"
    );
}

#[test]
fn chapters_follow_each_other() {
    let told = section_chapters(&guide(&[]), offset(3599.5));
    assert_eq!(
        told.value,
        "WEBVTT\n\n1\n00:59:59.500 --> 01:00:01.500\nA\n\n2\n01:00:01.500 --> 01:00:05.500\nB --&gt; &lt;b&gt;\n"
    );
    let told = section_times(&guide(&[]), offset(3599.5));
    assert_eq!(told.value, "59:59 A\n1:00:01 B --> <b>\n");
}

#[test]
fn a_guide_with_nothing_to_show_says_so() {
    assert_eq!(
        codes(&tip_captions(&guide(&[]), Offset::NONE)),
        ["nothing-to-show"]
    );
    let empty = Guide::new(Id::new("g").unwrap(), "T");
    for told in [
        section_chapters(&empty, Offset::NONE),
        section_times(&empty, Offset::NONE),
    ] {
        assert_eq!(codes(&told), ["nothing-to-show"]);
    }
}

#[test]
fn offsets_have_a_limit() {
    assert!(Offset::new(360_000.0).is_some() && Offset::new(-360_000.0).is_some());
    for seconds in [360_001.0, -360_001.0, f64::NAN, f64::INFINITY] {
        assert!(Offset::new(seconds).is_none());
    }
}
