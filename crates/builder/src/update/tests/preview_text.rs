//! What the preview is told after an edit makes its text what a new preview would show.

use super::{Page as Builder, SCORE, any_edit, typed};
use crate::edit::tip_shows::Shows;
use crate::edit::tips::TipChange;
use crate::msg::{DeskMsg, Extend, Fact, GuideField, Msg, Opening};
use crate::previewing::{ShownText, Swap};
use crate::state::Desk;
use cueleaf_guide::{Guide, Measure, Topic, Voice, save};
use cueleaf_plan::Plan;
use cueleaf_view::{Page, todo_room, walk_room};
use proptest::prelude::*;

/// The rooms to read of a live page, as markup.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Rooms(String);

impl Rooms {
    fn of(guide: &Guide) -> Self {
        let plan = Plan::new(guide).value;
        let words = Page::words_for(guide);
        let page = Page::new(guide, &plan, &words).alive();
        let (walk, todo) = (walk_room(&page).0, todo_room(&page).0);
        Self(format!(
            "<div id=\"room-walk\">{walk}</div><div id=\"room-todo\">{todo}</div>"
        ))
    }

    fn swap(&mut self, swap: &Swap) {
        let (start, _) = self.find(&swap.first);
        let (_, end) = self.find(&swap.last);
        assert!(start < end, "{swap:?}");
        self.0.replace_range(start..end, &swap.html);
    }

    /// Finds where an element begins and ends, the first that is meant, as `querySelector` does.
    fn find(&self, selector: &str) -> (usize, usize) {
        let mut steps = selector.split('>');
        let outer = steps.next().unwrap();
        let attribute = match outer.strip_prefix('#') {
            Some(id) => format!(" id=\"{id}\""),
            None => format!(" {}", outer.trim_matches(['[', ']'])),
        };
        let at = self.0.find(&attribute);
        let at = at.unwrap_or_else(|| panic!("no {selector}"));
        let outer = self.element(self.0[..at].rfind('<').unwrap());
        steps.fold(outer, |outer, step| self.child(outer, step))
    }

    fn child(&self, (start, end): (usize, usize), wanted: &str) -> (usize, usize) {
        let mut at = start + self.0[start..].find('>').unwrap() + 1;
        while self.0[at..].starts_with('<') && at < end {
            let (start, end) = self.element(at);
            let tag = &self.0[start..start + self.0[start..].find('>').unwrap() + 1];
            let meant = match wanted.strip_prefix('.') {
                Some(class) => tag.contains(&format!(" class=\"{class}\"")),
                None => tag[1..].starts_with(wanted),
            };
            if meant {
                return (start, end);
            }
            at = end;
        }
        panic!("no {wanted}");
    }

    /// Gives the stretch of the element that begins somewhere.
    fn element(&self, start: usize) -> (usize, usize) {
        let tail = &self.0[start + 1..];
        let name = &tail[..tail.find([' ', '>']).unwrap()];
        let (open, close) = (format!("<{name}"), format!("</{name}>"));
        let (mut at, mut deep) = (start, 0);
        loop {
            let rest = &self.0[at..];
            if let Some(after) = rest.strip_prefix(&close) {
                deep -= 1;
                if deep == 0 {
                    return (start, self.0.len() - after.len());
                }
            } else if let Some(after) = rest.strip_prefix(&open)
                && after.starts_with([' ', '>'])
            {
                deep += 1;
            }
            at += 1 + self.0[at + 1..].find('<').unwrap();
        }
    }
}

/// A preview: what it shows, and what is known of that.
struct Shown {
    rooms: Rooms,
    text: ShownText,
}

/// Does something with the page as the builder looks at it: the chosen part, and the plan of all.
fn with_page<T>(desk: &Desk, act: impl FnOnce(&Page<'_>) -> T) -> T {
    let guide = desk.tried();
    let words = Page::words_for(&guide);
    act(&Page::new(&guide, &desk.derived.plan, &words))
}

impl Shown {
    fn of(desk: &Desk) -> Self {
        Self {
            rooms: Rooms::of(&desk.tried()),
            text: with_page(desk, ShownText::of),
        }
    }

    /// Follows an edit; gives how many letters it was told.
    fn follow(&mut self, desk: &Desk) -> usize {
        let swaps = with_page(desk, |page| self.text.follow(page));
        for swap in &swaps {
            self.rooms.swap(swap);
        }
        swaps.iter().map(|swap| swap.html.len()).sum()
    }
}

/// A guide of many measures, at each of which something stands.
fn long(measures: usize) -> Builder {
    let mut guide = typed().guide().clone();
    guide.road_map.measures = (1..=measures)
        .map(|number| Measure {
            mark: Some(format!("R{number}")),
            ..Measure::labelled(&number.to_string())
        })
        .collect();
    // Without a named section each mark would begin one.
    guide.road_map.measures[0].section = Some("All".to_owned());
    let mut page = Builder::new();
    page.file("long.json", save(&guide).as_bytes());
    assert_eq!(page.guide().road_map.measures.len(), measures);
    page
}

#[test]
fn an_edit_is_told_by_what_it_changes() {
    let mut page = long(400);
    let mut shown = Shown::of(page.open_desk());
    assert_eq!(shown.follow(page.open_desk()), 0);
    page.desk(DeskMsg::Select(200, Extend::No))
        .fact(Fact::TempoWords, "Lively");
    let told = shown.follow(page.open_desk());
    assert!((1..400).contains(&told), "{told}");
    // A new measure moves all after it, but none before it.
    page.desk(DeskMsg::InsertMeasure);
    let told = shown.follow(page.open_desk());
    let whole = shown.rooms.0.len();
    assert!((whole / 4..whole * 3 / 4).contains(&told), "{told}");
    page.fact(Fact::Section, "Rain").desk(DeskMsg::Undo);
    shown.follow(page.open_desk());
    assert_eq!(shown.rooms, Rooms::of(&page.open_desk().tried()));
}

#[test]
fn a_voice_note_is_not_sent_again_with_other_words() {
    let mut page = long(40);
    page.desk(DeskMsg::Select(3, Extend::No))
        .desk(DeskMsg::AddTip);
    let tip = page.open_desk().open_tip.clone().unwrap();
    let text = |text: &str| DeskMsg::Tip(tip.clone(), TipChange::Text(text.to_owned()));
    page.desk(DeskMsg::GuideField(GuideField::MayShare, "on".to_owned()))
        .desk(text("Listen"));
    let mut shown = Shown::of(page.open_desk());
    let voice = Voice::of_samples(&[5; 16_000]).unwrap();
    page.desk(DeskMsg::Tip(tip.clone(), TipChange::Voice(Some(voice))));
    assert!(shown.follow(page.open_desk()) > 32_000);
    page.desk(text("Listen to the cellos"))
        .desk(DeskMsg::Tip(tip.clone(), TipChange::Topic(Topic::Listen)));
    let told = shown.follow(page.open_desk());
    assert!((1..200).contains(&told), "{told}");
    assert_eq!(shown.rooms, Rooms::of(&page.open_desk().tried()));
    // What is no longer handed out goes.
    page.desk(DeskMsg::GuideField(GuideField::MayShare, "off".to_owned()));
    assert!(shown.follow(page.open_desk()) < 1_000);
    assert_eq!(shown.rooms, Rooms::of(&page.open_desk().tried()));
}

#[test]
fn another_part_is_another_text() {
    let mut page = Builder::new();
    page.file("chestnuts.musicxml", SCORE);
    for index in 0..3 {
        page.send(Msg::Opening(Opening::TogglePart(index)));
    }
    page.send(Msg::Opening(Opening::MakeGuide));
    let mut shown = Shown::of(page.open_desk());
    let parts: Vec<_> = page
        .guide()
        .parts
        .iter()
        .map(|part| part.id.clone())
        .collect();
    for part in parts.iter().rev() {
        page.desk(DeskMsg::TryPart(part.to_string()));
        shown.follow(page.open_desk());
        assert_eq!(shown.rooms, Rooms::of(&page.open_desk().tried()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn after_any_edit_the_preview_shows_what_a_new_one_would(edits in prop::collection::vec(any_edit(), 1..40)) {
        let mut page = typed();
        let mut shown = Shown::of(page.open_desk());
        for edit in edits {
            page.desk(edit);
            if let Some(open) = page.open_desk().open_tip.clone() {
                page.desk(DeskMsg::Tip(open.clone(), TipChange::Topic(Topic::Count)))
                    .desk(DeskMsg::TipShows(open, Shows::WatchAt, "1:05".to_owned()));
            }
            shown.follow(page.open_desk());
            prop_assert_eq!(&shown.rooms, &Rooms::of(&page.open_desk().tried()));
        }
    }
}
