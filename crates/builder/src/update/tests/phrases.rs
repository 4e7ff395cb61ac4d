//! The teacher's phrases, and the tips they go into.

use super::{Page, typed};
use crate::edit::tips::TipChange;
use crate::msg::{DeskMsg, Effect, Msg, PhraseMsg};
use crate::phrases::{Phrases, Wish};
use cueleaf_guide::{Id, Topic, save};

fn phrases(page: &mut Page, msg: PhraseMsg) {
    page.send(Msg::Phrases(msg));
}

/// A page with an open tip about counting, and the tip.
fn with_tip() -> (Page, Id) {
    let mut page = typed();
    page.desk(DeskMsg::AddTip);
    let id = page.open_desk().open_tip.clone().unwrap();
    page.desk(DeskMsg::Tip(id.clone(), TipChange::Topic(Topic::Count)));
    (page, id)
}

fn kept_text(page: &Page) -> Option<&str> {
    page.asked.iter().rev().find_map(|effect| match effect {
        Effect::KeepPhrases(text) => Some(text.as_str()),
        _ => None,
    })
}

#[test]
fn one_key_puts_a_phrase_where_the_caret_is() {
    let (mut page, id) = with_tip();
    page.desk(DeskMsg::Tip(
        id.clone(),
        TipChange::Text("Now. Then.".to_owned()),
    ));
    page.desk(DeskMsg::Settle);
    phrases(&mut page, PhraseMsg::Enter);
    let order = page.state().phrases.offered(Topic::Count);
    let second = page.state().phrases.get(order[1]).unwrap().text.clone();
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus(format!("phrase-{}", order[0])))
    );
    phrases(&mut page, PhraseMsg::Go(order[0], 1));
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus(format!("phrase-{}", order[1])))
    );
    phrases(&mut page, PhraseMsg::Nth(1));
    let field = format!("tip-text-{id}");
    let wish = Wish::Insert(id.clone(), order[1]);
    assert_eq!(
        page.asked.last(),
        Some(&Effect::AskStretch(field.clone(), wish.clone()))
    );
    phrases(&mut page, PhraseMsg::At(wish, 4..4));
    let expected = format!("Now. {second} Then.");
    assert_eq!(page.guide().tips[0].text, expected);
    let caret = 5 + second.len();
    assert!(page.asked.contains(&Effect::Fill(field.clone(), expected)));
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Caret(field.clone(), caret..caret))
    );
    // One step back takes the phrase out and leaves what was typed.
    page.desk(DeskMsg::Undo);
    assert_eq!(page.guide().tips[0].text, "Now. Then.");
    phrases(&mut page, PhraseMsg::Leave);
    assert_eq!(page.asked.last(), Some(&Effect::Focus(field)));
}

#[test]
fn a_phrase_is_kept_from_a_tip_and_never_in_a_guide() {
    let (mut page, id) = with_tip();
    let text = "Tap the eighths. Then bow.";
    page.desk(DeskMsg::Tip(id.clone(), TipChange::Text(text.to_owned())));
    let before = save(page.guide());
    phrases(&mut page, PhraseMsg::At(Wish::Keep(id.clone()), 0..16));
    let kept = kept_text(&page).unwrap().to_owned();
    assert!(kept.ends_with("count: Tap the eighths.\n"), "{kept}");
    assert_eq!(save(page.guide()), before);
    // The same once more is told and changes nothing.
    page.asked.clear();
    phrases(&mut page, PhraseMsg::At(Wish::Keep(id), 0..16));
    assert_eq!(kept_text(&page), None);
    assert!(matches!(page.asked.last(), Some(Effect::Say(_))));
    // Another tab finds it, and its own changes come here.
    phrases(&mut page, PhraseMsg::Known("bow: From there.\n".to_owned()));
    assert_eq!(page.state().phrases.all().count(), 1);
    assert!(!before.contains("From there") && !before.contains("Tap the eighths.\n"));
}

#[test]
fn a_phrase_is_edited_removed_and_brought_back() {
    let mut page = typed();
    let all = page.state().phrases.all().count();
    phrases(&mut page, PhraseMsg::Edit(1, "Short strokes.".to_owned()));
    assert!(kept_text(&page).unwrap().contains("bow: Short strokes.\n"));
    phrases(&mut page, PhraseMsg::About(1, Topic::Sound));
    assert!(
        kept_text(&page)
            .unwrap()
            .contains("sound: Short strokes.\n")
    );
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus("phrase-topic-1".to_owned()))
    );
    phrases(&mut page, PhraseMsg::Remove(1));
    assert!(page.notice().contains("Short strokes."));
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus("phrase-text-1".to_owned()))
    );
    assert_eq!(page.state().phrases.all().count(), all - 1);
    phrases(&mut page, PhraseMsg::Restore);
    assert_eq!(page.state().phrases.get(1).unwrap().text, "Short strokes.");
    assert_eq!(page.notice(), "");
    while page.state().phrases.get(0).is_some() {
        phrases(&mut page, PhraseMsg::Remove(0));
    }
    assert_eq!(kept_text(&page), Some(""));
    assert_eq!(Phrases::read(""), page.state().phrases);
    phrases(&mut page, PhraseMsg::AddStarting);
    assert_eq!(page.state().phrases, Phrases::starting());
}
