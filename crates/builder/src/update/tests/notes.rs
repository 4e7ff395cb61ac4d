//! The road map as notes, message by message.

use super::{Page, Shown, typed};
use crate::msg::{DeskMsg, Effect, Fact, Keeping, Msg, NotesMsg, Opening, Outcome};
use crate::notes::MapAs;
use crate::state::{Keep, KeptTexts, Room};
use crate::view::{PieceKind, draw};
use cueleaf_guide::{MarkKind, save};

impl Page {
    fn notes(&mut self, msg: NotesMsg) -> &mut Self {
        self.desk(DeskMsg::Notes(msg))
    }

    fn type_notes(&mut self, text: &str) -> &mut Self {
        self.notes(NotesMsg::Typed(text.to_owned()))
    }

    /// Typing has come to rest.
    fn rest(&mut self) -> &mut Self {
        let rest = self.asked.iter().rev().find_map(|effect| match effect {
            Effect::After(_, msg @ Msg::Desk(DeskMsg::Notes(NotesMsg::Rest(_)))) => Some(msg),
            _ => None,
        });
        let rest = rest.unwrap().clone();
        self.send(rest)
    }

    fn text(&self) -> String {
        self.open_desk().notes.as_ref().unwrap().text().to_owned()
    }

    fn change(&mut self, from: &str, to: &str) -> &mut Self {
        let text = self.text();
        assert!(text.contains(from), "{text}");
        self.type_notes(&text.replace(from, to)).rest()
    }

    fn missed(&self) -> usize {
        self.open_desk().notes.as_ref().unwrap().missed()
    }
}

fn as_notes() -> Page {
    let mut page = typed();
    page.notes(NotesMsg::Show(MapAs::Notes));
    page
}

fn with_line(line: &str) -> Page {
    let mut page = as_notes();
    let text = format!("{}{line}\n", page.text());
    page.type_notes(&text).rest();
    page
}

#[test]
fn typing_changes_the_guide_once_it_rests() {
    let mut page = as_notes();
    let text = page.text();
    assert!(text.contains("Measures 1 to 32\n"), "{text}");
    let before = page.guide().clone();
    page.type_notes(&format!("{text}5  piz"));
    let early = page.asked.last().cloned();
    page.type_notes(&format!("{text}5  pizz"));
    // The rest that belongs to an earlier key is none.
    let Some(Effect::After(_, early)) = early else {
        panic!("{early:?}");
    };
    page.send(early);
    assert_eq!(*page.guide(), before);
    assert!(page.state().would_lose());
    page.rest();
    let mark = &page.guide().parts[0].marks[0];
    assert_eq!((mark.measure, mark.kind), (4, MarkKind::Pizz));
    assert_eq!(page.open_desk().keep, Keep::Soon);
    assert_eq!(page.text(), format!("{text}5  pizz"));
}

#[test]
fn a_burst_on_one_line_is_one_step_and_the_next_line_another() {
    let mut page = as_notes();
    let start = page.guide().clone();
    let text = page.text();
    let line = text.lines().count() + 1;
    for typed in ["5  pizz", "5  pizz, mf", "5  pizz, mf\n9  arco"] {
        page.type_notes(&format!("{text}{typed}")).rest();
    }
    let words = |page: &Page| page.open_desk().history.undo_words().map(str::to_owned);
    assert_eq!(
        words(&page),
        Some(format!("change line {} of the notes", line + 1))
    );
    page.desk(DeskMsg::Settle).desk(DeskMsg::Undo);
    assert_eq!(
        words(&page),
        Some(format!("change line {line} of the notes"))
    );
    assert_eq!(page.guide().parts[0].marks.len(), 2);
    assert!(page.text().ends_with("5  pizz, mf\n"), "{}", page.text());
    page.desk(DeskMsg::Undo);
    assert_eq!(*page.guide(), start);
    page.desk(DeskMsg::Redo).desk(DeskMsg::Redo);
    assert_eq!(page.guide().parts[0].marks.len(), 3);
    // Leaving the field ends a burst on the same line, too.
    page.change("9  arco", "9  arco, f").desk(DeskMsg::Settle);
    page.change("9  arco, f", "9  arco, p").desk(DeskMsg::Undo);
    assert!(page.text().contains("9  arco, f\n"));
}

#[test]
fn a_broken_line_is_told_and_kept_through_rooms_and_edits() {
    let mut page = with_line("5  pizzz");
    assert_eq!(page.missed(), 1);
    assert!(page.guide().parts[0].marks.is_empty());
    let broken = page.text();
    page.desk(DeskMsg::Room(Room::Tips))
        .desk(DeskMsg::Room(Room::RoadMap));
    assert_eq!(page.text(), broken);
    page.notes(NotesMsg::Show(MapAs::Measures));
    page.desk(DeskMsg::SelectText("3".to_owned()));
    page.fact(Fact::Section, "Boats");
    page.notes(NotesMsg::Show(MapAs::Notes));
    let text = page.text();
    assert!(text.contains("3  section Boats\n"), "{text}");
    assert!(text.contains("5  pizzz\n"), "{text}");
    page.change("pizzz", "pizz");
    assert_eq!(page.missed(), 0);
    assert_eq!(page.guide().parts[0].marks.len(), 1);
}

#[test]
fn a_mistake_leads_to_its_words() {
    let mut page = with_line("5  pizzz");
    let text = page.text();
    page.notes(NotesMsg::GoTo(0));
    let place = page.asked.iter().rev().find_map(|effect| match effect {
        Effect::Caret(_, stretch) => Some(stretch.clone()),
        _ => None,
    });
    assert_eq!(&text[place.unwrap()], "pizzz");
    let count = page.asked.len();
    page.notes(NotesMsg::GoTo(7));
    assert_eq!(page.asked.len(), count);
}

#[test]
fn what_was_typed_last_is_part_of_all_that_follows() {
    let mut page = as_notes();
    let text = page.text();
    page.type_notes(&format!("{text}5  pizz"))
        .send(Msg::Keeping(Keeping::Now));
    assert!(page.kept().text.contains("pizz"));
    assert_eq!(
        page.kept().notes.as_deref(),
        Some(&*format!("{text}5  pizz"))
    );
    page.answer(Outcome::Kept(2));
    // An aside is no edit of the guide, and kept as well.
    let steps = page.open_desk().history.undo_words().map(str::to_owned);
    let text = page.text();
    page.type_notes(&format!("{text}\n(mine)"))
        .send(Msg::Keeping(Keeping::Now));
    assert_eq!(page.open_desk().history.undo_words(), steps.as_deref());
    assert!(page.kept().notes.as_deref().unwrap().ends_with("(mine)"));
    page.answer(Outcome::Kept(3));
    let text = page.text();
    page.type_notes(&format!("{text}\n7  mf"))
        .send(Msg::Opening(Opening::Home));
    assert!(page.kept().notes.as_deref().unwrap().ends_with("7  mf"));
}

#[test]
fn kept_notes_come_back_with_their_guide() {
    let mut page = with_line("(mine)\n5  pizzz");
    page.send(Msg::Keeping(Keeping::Now));
    let order = page.kept().clone();
    let notes = order.notes.clone().unwrap();
    let open = |guide: String, notes: &str| {
        let mut page = Page::new();
        page.send(Msg::Keeping(Keeping::Loaded {
            id: order.id.clone(),
            revision: 2,
            texts: KeptTexts {
                guide,
                notes: Some(notes.to_owned()),
                dropped: None,
                watch: None,
            },
        }))
        .notes(NotesMsg::Show(MapAs::Notes));
        page
    };
    assert_eq!(open(order.text.clone(), &notes).text(), notes);
    // Whatever else stands there, the guide is the guide.
    let other = open(
        order.text.clone(),
        "Guide to X\nMeasures 1 to 3\n\n(hers)\n",
    );
    assert_eq!(save(other.guide()), order.text);
    assert!(other.text().contains("(hers)"));
    assert!(other.text().contains("Measures 1 to 32"));
}

#[test]
fn opened_notes_keep_their_asides_and_show_what_is_wrong() {
    let fine = "Guide to Rain\nFor Viola\nMeasures 1 to 9\n\n(mutes?)\n5  pizz\n";
    let mut page = Page::new();
    page.file("notes.txt", fine.as_bytes());
    assert_eq!(page.open_desk().map_as, MapAs::Measures);
    assert_eq!(page.kept().notes.as_deref(), Some(fine));
    page.notes(NotesMsg::Show(MapAs::Notes))
        .notes(NotesMsg::Download);
    assert!(page.asked.iter().any(|effect| matches!(
        effect,
        Effect::Download { name, media: "text/plain", text } if name.ends_with(".txt") && text == fine
    )));
    page.answer(Outcome::Kept(1))
        .own("notes.txt", fine.replace("pizz", "pizzz").as_bytes());
    assert_eq!(page.open_desk().map_as, MapAs::Notes);
    assert_eq!(page.missed(), 1);
    // The lines stand as they were typed, whatever is wrong in them and however they end.
    let odd = "\u{feff}Guide to Rain\r\nFor Viola\r\nMeasures 1 to 9\r\n5 , mf, pizzz\r\n9  arco";
    page.answer(Outcome::Kept(1))
        .own("notes.txt", odd.as_bytes());
    let plain = "Guide to Rain\nFor Viola\nMeasures 1 to 9\n5 , mf, pizzz\n9  arco";
    assert_eq!(page.text(), plain);
    assert_eq!(page.guide().parts[0].marks.len(), 2);
    // Another encoding than UTF-8 is read too; what it says is written anew.
    page.answer(Outcome::Kept(1)).own(
        "notes.txt",
        b"Guide to Fr\xfchling\nMeasures 1 to 9\n\n(f\xfcr mich)\n",
    );
    assert!(
        page.text().starts_with("Guide to Frühling\n"),
        "{}",
        page.text()
    );
    assert!(page.text().contains("(für mich)"), "{}", page.text());
}

#[test]
fn a_measure_asked_for_is_shown_as_a_measure() {
    let mut page = with_line("5  Bow: Near the frog.");
    let tip = page.guide().tips[0].id.clone();
    page.desk(DeskMsg::Room(Room::Tips))
        .desk(DeskMsg::ShowTip(tip));
    assert_eq!(page.open_desk().map_as, MapAs::Measures);
    assert_eq!(page.open_desk().selection.first(), 4);
}

#[test]
fn a_letter_draws_its_line_and_a_line_break_draws_them_all() {
    let mut page = with_line("5  pizz");
    let mut shown = Shown::of(page.state());
    let mut drawn = |page: &Page| -> Vec<(PieceKind, String)> {
        let made = draw(page.state(), shown.looks.as_ref());
        let counted = made.pieces.iter();
        let counted = counted.filter(|piece| piece.kind() != PieceKind::Compared);
        let drawn = counted.map(|piece| (piece.kind(), piece.key().to_owned()));
        let drawn = drawn.collect();
        shown.looks = made.looks;
        drawn
    };
    assert_eq!(drawn(&page), []);
    let number = page
        .text()
        .lines()
        .position(|line| line == "5  pizz")
        .unwrap()
        + 1;
    let line = (PieceKind::Element, format!("note-line-{number}"));
    let text = page.text();
    page.type_notes(&text.replace("5  pizz", "5  pizzz"));
    assert_eq!(drawn(&page), std::slice::from_ref(&line));
    // Once it rests, the line is told wrong.
    page.rest();
    assert_eq!(drawn(&page), [line]);
    page.type_notes(&text.replace("5  pizz", "5  pizz\n"));
    assert_eq!(
        drawn(&page),
        [(PieceKind::Plain, "notes-behind".to_owned())]
    );
}
