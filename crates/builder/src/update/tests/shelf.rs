//! Kept guides copied and renamed in the list of the first page.

use super::Page;
use crate::msg::{Effect, Keeping, Msg, Outcome};
use crate::state::{KeptEntry, KeptTexts, ShelfDeed};
use cueleaf_guide::{Guide, Id, open, save};

fn keeping(page: &mut Page, msg: Keeping) {
    page.send(Msg::Keeping(msg));
}

fn guide() -> Guide {
    Guide::new(Id::new("a").unwrap(), "Old name")
}

/// The first page with one kept guide in the list.
fn with_one() -> Page {
    let mut page = Page::new();
    let entry = KeptEntry {
        id: "a".to_owned(),
        title: "Old name".to_owned(),
        parts: String::new(),
        when: String::new(),
        moment: 1,
        bytes: 10,
        revision: 4,
    };
    keeping(&mut page, Keeping::Listed(Ok(vec![entry])));
    page
}

/// Answers the reading that was asked for last.
fn read(page: &mut Page, text: String) -> ShelfDeed {
    let Some(Effect::Read(id, deed)) = page.asked.last().cloned() else {
        panic!("nothing to read: {:?}", page.asked.last());
    };
    let texts = KeptTexts {
        guide: text,
        notes: Some("notes".to_owned()),
        dropped: None,
        watch: None,
    };
    let msg = Keeping::Read {
        id,
        revision: 4,
        texts,
        deed: deed.clone(),
    };
    keeping(page, msg);
    deed
}

#[test]
fn a_copy_has_an_id_of_its_own_and_takes_the_focus() {
    let mut page = with_one();
    keeping(&mut page, Keeping::Copy("a".to_owned()));
    let ShelfDeed::Copy(id) = read(&mut page, save(&guide())) else {
        panic!("no copy");
    };
    let order = page.kept().clone();
    assert_eq!((order.id.as_str(), order.expected), (id.as_str(), None));
    let copy = open(&order.text).unwrap();
    assert_eq!(copy.title, "Old name (copy)");
    assert_ne!(copy.id, guide().id);
    assert_eq!(order.notes.as_deref(), Some("notes"));
    page.answer(Outcome::Kept(1));
    assert_eq!(page.asked.last(), Some(&Effect::List));
    keeping(&mut page, Keeping::Listed(Ok(Vec::new())));
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus(format!("open-{id}")))
    );
}

#[test]
fn a_name_is_written_only_over_the_revision_that_was_read() {
    let mut page = with_one();
    keeping(&mut page, Keeping::StartRename("a".to_owned()));
    let all = Effect::Caret("new-name-a".to_owned(), 0..8);
    assert_eq!(page.asked.last(), Some(&all));
    keeping(&mut page, Keeping::NewName(" New name ".to_owned()));
    keeping(&mut page, Keeping::Rename);
    assert_eq!(page.state().shelf.renaming, None);
    read(&mut page, save(&guide()));
    let order = page.kept().clone();
    assert_eq!((order.id.as_str(), order.expected), ("a", Some(4)));
    assert_eq!(open(&order.text).unwrap().title, "New name");
    assert_eq!(order.title, "New name");
    // It is not opened while its name is written, nor renamed a second time.
    let before = page.asked.len();
    keeping(&mut page, Keeping::Open("a".to_owned()));
    keeping(&mut page, Keeping::Copy("a".to_owned()));
    assert_eq!(page.asked.len(), before);
    page.answer(Outcome::Conflict);
    assert!(page.notice().contains("Nothing was overwritten"));
    keeping(&mut page, Keeping::Open("a".to_owned()));
    assert_eq!(page.asked.last(), Some(&Effect::Load("a".to_owned())));
}

#[test]
fn the_same_name_and_a_way_back_write_nothing() {
    let mut page = with_one();
    keeping(&mut page, Keeping::StartRename("a".to_owned()));
    keeping(&mut page, Keeping::Rename);
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus("rename-a".to_owned()))
    );
    keeping(&mut page, Keeping::StartRename("a".to_owned()));
    keeping(&mut page, Keeping::NewName("Other".to_owned()));
    keeping(&mut page, Keeping::CancelRename);
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus("rename-a".to_owned()))
    );
    assert_eq!(page.keeps(), 0);
    // What is kept is read as hostile.
    for (text, told) in [
        (
            save(&Guide::new(Id::new("b").unwrap(), "")),
            "another guide",
        ),
        ("nonsense".to_owned(), "no saved guide"),
    ] {
        keeping(&mut page, Keeping::Copy("a".to_owned()));
        read(&mut page, text);
        assert!(page.notice().contains(told), "{}", page.notice());
        assert_eq!(page.keeps(), 0);
    }
}

fn drawn(page: &Page) -> String {
    let pieces = crate::view::fragments(page.state()).into_iter();
    pieces.map(|(_, html)| html).collect()
}

#[test]
fn what_cannot_be_read_is_listed_taken_and_removed_once_it_was_asked() {
    let mut page = with_one();
    let odd = "a<b>/../c".to_owned();
    keeping(&mut page, Keeping::ListedDamaged(vec![odd.clone()]));
    page.has_its_places();
    let html = drawn(&page);
    assert!(html.contains("Cannot be read") && html.contains("a&lt;b&gt;/../c"));
    assert!(html.contains("data-do=\"kept-open\""));
    keeping(&mut page, Keeping::TakeDamaged(odd.clone()));
    assert_eq!(page.asked.last(), Some(&Effect::TakeDamaged(odd.clone())));
    keeping(&mut page, Keeping::Damaged(odd.clone(), "{".to_owned()));
    assert!(matches!(
        page.asked.last(),
        Some(Effect::Download { name, text, .. }) if name == "cueleaf-a-b-----c.json" && text == "{"
    ));
    // Nothing brings it back, so that is said first.
    keeping(&mut page, Keeping::AskToDrop(odd.clone()));
    assert!(page.notice().contains("cannot be brought back"));
    let drop = Effect::DropDamaged(odd.clone());
    assert!(!page.asked.contains(&drop));
    let choices = &page.state().notice.as_ref().unwrap().choices;
    let (_, yes) = choices
        .iter()
        .find(|(words, _)| *words == "Remove it")
        .unwrap();
    page.send(yes.clone());
    assert!(page.asked.contains(&drop));
    assert!(page.state().notice.is_none());
    keeping(&mut page, Keeping::ListedDamaged(Vec::new()));
    assert!(!drawn(&page).contains("Cannot be read"));
}

#[test]
fn a_copy_and_a_name_pass_the_limits_of_edits() {
    let mut full = guide();
    let mut tip = cueleaf_guide::Tip::new(
        Id::new("t").unwrap(),
        cueleaf_guide::Spot::measures(0, 0),
        cueleaf_guide::Topic::Bow,
        "",
    );
    let frame = save(&full).len() + 600;
    tip.voice = Some(cueleaf_guide::Voice {
        milliseconds: 1,
        words: String::new(),
        data: cueleaf_guide::MediaBytes::of_text(
            "A".repeat(cueleaf_guide::MAX_SAVED_BYTES - frame),
        ),
        extra: Default::default(),
    });
    full.tips.push(tip);
    let text = save(&full);
    assert!(open(&text).is_ok());
    let mut page = with_one();
    keeping(&mut page, Keeping::StartRename("a".to_owned()));
    keeping(&mut page, Keeping::NewName("x".repeat(1_000)));
    keeping(&mut page, Keeping::Rename);
    read(&mut page, text.clone());
    assert!(
        page.notice().contains("Nothing was changed"),
        "{}",
        page.notice()
    );
    assert_eq!(page.keeps(), 0);
    // A name that fits is taken.
    keeping(&mut page, Keeping::StartRename("a".to_owned()));
    keeping(&mut page, Keeping::NewName("New".to_owned()));
    keeping(&mut page, Keeping::Rename);
    read(&mut page, text);
    assert_eq!(page.keeps(), 1);
}
