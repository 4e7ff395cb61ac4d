//! The page to read, as a student without scripts sees it.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::{Guide, open};
use cueleaf_plan::Plan;
use cueleaf_view::{Page, guide_body};

fn example() -> Guide {
    open(include_str!("../../../examples/mail-boat-viola.json")).unwrap()
}

/// Gives the text of the page, without tags, runs of space made one.
fn text_of(guide: &Guide) -> String {
    let plan = Plan::new(guide).value;
    let words = Page::words_for(guide);
    let html = guide_body(&Page::new(guide, &plan, &words)).into_string();
    let mut text = String::new();
    let mut inside = false;
    for letter in html.chars() {
        match letter {
            '<' => {
                inside = true;
                text.push(' ');
            }
            '>' => inside = false,
            _ if inside => {}
            _ => text.push(letter),
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn says(text: &str, expected: &str) {
    assert!(text.contains(expected), "{expected}\nis not in\n{text}");
}

#[test]
fn everything_a_student_needs_is_there_to_read() {
    let guide = example();
    let text = text_of(&guide);
    says(&text, "The Mail Boat Sets Out");
    says(&text, "Viola");
    says(&text, &guide.word);
    for tip in &guide.tips {
        says(&text, &tip.text);
    }
    for todo in &guide.todos {
        says(&text, &todo.text);
    }
    for section in guide
        .road_map
        .measures
        .iter()
        .filter_map(|m| m.section.as_ref())
    {
        says(&text, section);
    }
}

#[test]
fn counts_changes_and_order_are_written_out() {
    let text = text_of(&example());
    says(&text, "7/8, 2 + 2 + 3: 1 2 | 1 2 | 1 2 3");
    says(&text, "5/4, 2 + 3: 1 2 | 1 2 3");
    says(&text, "Rit., gradually to quarter = 50, until measure 13");
    says(&text, "gradually to quarter = 60, until the end");
    says(&text, "rest for 8 measures");
    says(&text, "Measures 0–22, then 13–20, then 23–104");
}

#[test]
fn caution_stands_on_every_page() {
    let text = text_of(&example());
    says(&text, "medical");
    says(&text, "headphones");
}

#[test]
fn text_is_shown_as_it_was_typed() {
    let mut guide = example();
    guide.title = "<b>&\"'".to_owned();
    let plan = Plan::new(&guide).value;
    let words = Page::words_for(&guide);
    let html = guide_body(&Page::new(&guide, &plan, &words)).into_string();
    says(&html, "<h1>&lt;b&gt;&amp;&quot;'</h1>");
    assert!(!html.contains("style="));
}
