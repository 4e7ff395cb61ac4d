//! Sentences, tips and cues whose words have to fit what is printed.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests may fail loudly, as tests do"
)]

mod common;

use common::of;
use cueleaf_watch::{Kind, Watched};

fn first(list: &[Watched], kind: Kind) -> &Watched {
    list.iter().find(|one| one.kind == kind).unwrap()
}

fn pizz(measures: &[&str]) -> String {
    first(&of(measures), Kind::ToPizz).sentence.clone()
}

#[test]
fn before_plucking_the_last_stroke_goes_up_unless_signs_say_down() {
    let up = "Finish the last stroke up-bow, near the frog";
    let back = "Come back to the frog in the rest";
    // Down, up in turn.
    assert!(pizz(&["[4/4 D4:4n D4:4 r:8", "!pizz. D4:16"]).contains(up));
    // No sign: it can be up.
    assert!(pizz(&["[4/4 D4:4 D4:4 D4:4 r:4", "!pizz. D4:16"]).contains(up));
    // Printed down-bow, and down in turn from a sign.
    assert!(pizz(&["[4/4 D4:4 D4:4n r:8", "!pizz. D4:16"]).contains(back));
    assert!(pizz(&["[4/4 D4:4n D4:4 D4:4 r:4", "!pizz. D4:16"]).contains(back));
    // There is no rest to come back in.
    let straight = pizz(&["[4/4 D4:8 D4:8n", "!pizz. D4:16"]);
    assert!(straight.contains("The last stroke is a down-bow: keep it near the frog"));
    assert!(!straight.contains("up-bow"));
    // After a tremolo neither is said.
    let tremolo = pizz(&["[4/4 D4:8n D4:8*", "!pizz. D4:16"]);
    assert!(tremolo.contains("Finish near the frog") && !tremolo.contains("up-bow"));
}

#[test]
fn time_over_two_kinds_of_beats_is_said_in_seconds() {
    // An eighth at dotted quarter = 60 (a third of a second) and an eighth at quarter = 60.
    let list = of(&["[6/8 @90 D4:10 r:2", "[2/4 @60 r:2 !pizz. D4:6"]);
    let pizz = first(&list, Kind::ToPizz);
    assert!(pizz.sentence.contains("0.8 s"), "{}", pizz.sentence);
    assert!(!pizz.sentence.contains("beat ("), "{}", pizz.sentence);
    assert_eq!(pizz.cue, "pizz., 0.8 s");
    assert!(!pizz.numbers.contains_key("beats"));
}

#[test]
fn two_strokes_in_one_direction_are_two_in_a_row() {
    let told = of(&["[4/4 =f @60 D4:8n D4:8n"]);
    let sentence = &first(&told, Kind::SameDirection).sentence;
    assert!(
        sentence.starts_with("Two down-bows in a row from"),
        "{sentence}"
    );
}

#[test]
fn a_jump_is_called_by_its_sign() {
    let list = of(&["[4/4 D4:16 !Fine", "D4:16", "D4:16 !D.C._al_Fine"]);
    let jump = list.iter().find(|one| one.from == "3 beat 1").unwrap();
    assert_eq!(jump.cue, "D.C.: to the beginning");
    let tip = "D.C. al Fine; after it back to the beginning, then play to the Fine. Find the place on the page beforehand.";
    assert_eq!(jump.tip, tip);
    assert!(
        jump.sentence.starts_with("Measure 3: D.C. al Fine"),
        "{}",
        jump.sentence
    );
}

#[test]
fn a_repeat_of_a_pickup_names_no_beat_that_is_not_there() {
    let list = of(&["[4/4 D4:4", "D4:16", "D4:12 :|", "D4:16"]);
    let repeat = first(&list, Kind::Repeat);
    assert!(!repeat.sentence.contains("beat 1"), "{}", repeat.sentence);
}

#[test]
fn a_tempo_word_stays_and_its_place_goes() {
    let list = of(&["[4/4 @60 D4:16", "!Andante @90 D4:16"]);
    let change = first(&list, Kind::TempoChange);
    assert!(
        change
            .sentence
            .starts_with("Measure 2, beat 1, “Andante”: "),
        "{}",
        change.sentence
    );
    assert!(
        change.tip.starts_with("“Andante”: quarter = 90"),
        "{}",
        change.tip
    );
}

#[test]
fn a_natural_against_the_key_is_called_one() {
    // G major has F sharp.
    let list = of(&["[4/4 #1 F4:16"]);
    assert_eq!(first(&list, Kind::OutsideKey).cue, "look: F natural 4");
}

#[test]
fn a_repeat_of_one_measure_names_it_once() {
    // Two of them, so that both phrasings come.
    let list = of(&["[4/4 |: D4:16 :|", "|: D4:16 :|", "D4:16"]);
    let repeats: Vec<&Watched> = list.iter().filter(|one| one.kind == Kind::Repeat).collect();
    for (one, measure) in repeats.iter().zip(["easure 1", "easure 2"]) {
        let named = one.sentence.matches(measure).count();
        assert_eq!(named, 1, "{}", one.sentence);
        assert!(!one.tip.contains("easure 1:"), "{}", one.tip);
    }
    assert_eq!(repeats.len(), 2);
}

#[test]
fn several_players_are_not_one_alone() {
    let who = |words: &str| {
        let list = of(&["[4/4 D4:16", &format!("!{words} D4:16")]);
        list.iter().any(|one| one.kind == Kind::WhoPlays)
    };
    assert!(who("solo") && !who("soli"));
}
