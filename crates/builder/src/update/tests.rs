//! The page without a browser: whole ways through it, message by message.

mod adding;
mod any_steps;
mod desk_ways;
mod hand;
mod leaving;
mod limits;
mod links;
mod map;
mod media;
mod messages;
mod notes;
mod phrases;
mod preview;
mod preview_text;
mod proposals;
mod shelf;
mod shortcuts;
mod ways_in;

use super::update;
use crate::edit::marks::KINDS;
use crate::edit::moving::Way;
use crate::edit::printed::Printed;
use crate::edit::tip_shows::Shows;
use crate::edit::tips::TipChange;
use crate::msg::{
    AddingMsg, DeskMsg, Effect, Extend, Fact, GuideField, KeepOrder, Keeping, Msg, Opening, Outcome,
};
use crate::places::read_measures;
use crate::state::{Again, Desk, Field, Keep, KeptEntry, KeptTexts, Room, Screen, State, Tone};
use crate::view::{Looks, PieceKind, draw};
use cueleaf_guide::{Guide, Id, Measure, Topic, save};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A page with what it asked of the browser.
struct Page {
    state: Option<State>,
    asked: Vec<Effect>,
}

impl Page {
    fn new() -> Self {
        Self {
            state: Some(State::new(7)),
            asked: Vec::new(),
        }
    }

    /// Sends a message; what is to be done at once is done.
    fn send(&mut self, msg: Msg) -> &mut Self {
        let (state, effects) = update(self.state.take().unwrap(), msg);
        self.state = Some(state);
        for effect in effects {
            match effect {
                Effect::After(0, msg) => {
                    self.send(msg);
                }
                other => self.asked.push(other),
            }
        }
        self
    }

    fn desk(&mut self, msg: DeskMsg) -> &mut Self {
        self.send(Msg::Desk(msg))
    }

    fn state(&self) -> &State {
        self.state.as_ref().unwrap()
    }

    fn open_desk(&self) -> &Desk {
        self.state().desk().unwrap()
    }

    fn guide_rc(&self) -> &Rc<Guide> {
        self.open_desk().guide()
    }

    fn guide(&self) -> &Guide {
        self.open_desk().guide()
    }

    fn redo_all(&mut self) {
        while self.open_desk().history.redo_words().is_some() {
            self.desk(DeskMsg::Redo);
        }
    }

    fn undo_all(&mut self) {
        while self.open_desk().history.undo_words().is_some() {
            self.desk(DeskMsg::Undo);
        }
    }

    /// Fails unless undo leads back to a guide, and redo to the one of now.
    fn goes_back_to(&mut self, start: &Guide) {
        self.redo_all();
        let end = self.guide().clone();
        self.undo_all();
        assert_eq!(self.guide(), start);
        self.redo_all();
        assert_eq!(self.guide(), &end);
    }

    /// Fails unless the page has a place for everything that it shows.
    fn has_its_places(&self) {
        let places = crate::view::skeleton(self.state());
        for (key, _) in crate::view::fragments(self.state()) {
            let place = format!("data-fragment=\"{key}\"");
            assert!(places.contains(&place), "{key}");
        }
    }

    /// Gives the last document that was to be kept.
    fn kept(&self) -> &KeepOrder {
        self.asked
            .iter()
            .rev()
            .find_map(|effect| match effect {
                Effect::Keep(order) => Some(order),
                _ => None,
            })
            .unwrap()
    }

    fn keeps(&self) -> usize {
        self.asked
            .iter()
            .filter(|effect| matches!(effect, Effect::Keep(_)))
            .count()
    }

    fn answer(&mut self, outcome: Outcome) -> &mut Self {
        let id = self.kept().id.clone();
        self.send(Msg::Keeping(Keeping::Done { id, outcome }))
    }

    fn file(&mut self, name: &str, bytes: &[u8]) -> &mut Self {
        self.send(Msg::Opening(Opening::File {
            name: name.to_owned(),
            bytes: bytes.to_vec(),
        }))
    }

    /// Opens a file beside the open guide as a guide of its own.
    fn own(&mut self, name: &str, bytes: &[u8]) -> &mut Self {
        self.file(name, bytes).send(Msg::Adding(AddingMsg::Own))
    }

    fn fact(&mut self, fact: Fact, text: &str) -> &mut Self {
        self.desk(DeskMsg::Fact(fact, text.to_owned()))
    }

    fn notice(&self) -> &str {
        self.state()
            .notice
            .as_ref()
            .map_or("", |notice| &notice.text)
    }
}

const SCORE: &[u8] = include_bytes!("../../../../examples/chestnuts.musicxml");

/// A page with a typed road map of 32 measures of 4/4.
fn typed() -> Page {
    let mut page = Page::new();
    page.send(Msg::Opening(Opening::ToggleForm))
        .send(Msg::Opening(Opening::MakeTyped))
        .answer(Outcome::Kept(1));
    page
}

#[test]
fn from_a_score_to_a_kept_guide_with_a_tip() {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE);
    assert!(matches!(&page.state().screen, Screen::Parts(choice) if choice.chosen.len() == 3));
    page.send(Msg::Opening(Opening::MakeGuide));
    assert_eq!(page.notice(), "Choose at least one part.");
    page.send(Msg::Opening(Opening::TogglePart(1)))
        .send(Msg::Opening(Opening::MakeGuide))
        .answer(Outcome::Kept(1));
    assert_eq!(page.guide().parts[0].name, "Viola");
    assert_eq!(page.open_desk().keep, Keep::Kept);
    assert_eq!(page.kept().expected, None);
    assert_eq!(page.kept().parts, "Viola");

    page.desk(DeskMsg::SelectText("12-15".to_owned()))
        .desk(DeskMsg::AddTip);
    let id = page.open_desk().open_tip.clone().unwrap();
    let focus = Effect::Focus(format!("tip-text-{id}"));
    assert_eq!(page.asked.last(), Some(&focus));
    for text in ["F", "Fr", "Frog"] {
        page.desk(DeskMsg::Tip(id.clone(), TipChange::Text(text.to_owned())));
    }
    assert_eq!(page.open_desk().keep, Keep::Soon);
    page.send(Msg::Keeping(Keeping::Now));
    assert_eq!(page.kept().expected, Some(1));
    assert_eq!(page.kept().text, save(page.guide()));
    page.desk(DeskMsg::Undo);
    assert_eq!(page.guide().tips[0].text, "");
    page.desk(DeskMsg::Undo);
    assert!(page.guide().tips.is_empty());
    assert_eq!(page.open_desk().open_tip, None);
    page.desk(DeskMsg::Redo).desk(DeskMsg::Redo);
    assert_eq!(page.guide().tips[0].text, "Frog");
    assert_eq!(page.guide().tips[0].id, id);
}

#[test]
fn edits_while_writing_are_written_after_it() {
    let mut page = typed();
    page.fact(Fact::Section, "A");
    page.send(Msg::Keeping(Keeping::Now));
    let before = page.keeps();
    page.fact(Fact::Section, "B");
    assert_eq!(page.open_desk().keep, Keep::Writing(Again::Yes));
    assert_eq!(page.keeps(), before);
    page.answer(Outcome::Kept(2));
    assert_eq!(page.keeps(), before + 1);
    assert_eq!(page.kept().expected, Some(2));
    assert!(page.kept().text.contains("\"section\":\"B\""));
    page.answer(Outcome::Kept(3));
    assert_eq!(page.open_desk().keep, Keep::Kept);
}

#[test]
fn another_tab_is_never_overwritten() {
    let mut page = typed();
    page.fact(Fact::Section, "Mine");
    page.send(Msg::Keeping(Keeping::Now))
        .answer(Outcome::Conflict);
    assert!(page.notice().contains("another tab"));
    // What it offers stays within reach.
    let said = page.notice().to_owned();
    page.send(Msg::CloseNotice);
    assert_eq!(page.notice(), "");
    page.send(Msg::Keeping(Keeping::Why));
    assert_eq!(page.notice(), said);
    let before = page.keeps();
    page.fact(Fact::Section, "Still mine");
    page.send(Msg::Keeping(Keeping::Now));
    assert_eq!(page.keeps(), before);
    // Leaving asks first, and another file waits.
    page.send(Msg::Opening(Opening::Home));
    assert!(page.notice().contains("not kept"));
    page.file(
        "g.json",
        save(&Guide::new(Id::new("other").unwrap(), "Other")).as_bytes(),
    );
    assert!(page.notice().contains("lets it go"));
    let own = page.guide().id.clone();
    page.send(Msg::Keeping(Keeping::AsCopy));
    assert_ne!(page.kept().id, own.as_str());
    assert_eq!(page.kept().expected, None);
    page.answer(Outcome::Kept(1));
    assert_eq!(page.open_desk().keep, Keep::Kept);
    assert_eq!(
        page.guide().road_map.measures[0].section.as_deref(),
        Some("Still mine")
    );
}

#[test]
fn without_storage_it_goes_on_and_says_so() {
    let mut page = typed();
    page.fact(Fact::Section, "A");
    page.send(Msg::Keeping(Keeping::Now))
        .answer(Outcome::Failed("the disk is full.".to_owned()));
    assert!(page.notice().contains("the disk is full"));
    assert!(matches!(page.open_desk().keep, Keep::Off(_)));
    page.fact(Fact::Section, "B");
    assert_eq!(
        page.guide().road_map.measures[0].section.as_deref(),
        Some("B")
    );
    page.send(Msg::Keeping(Keeping::Download));
    let Some(Effect::Download { name, text, .. }) = page.asked.last() else {
        panic!("no download");
    };
    assert_eq!(name, "Untitled.json");
    assert_eq!(*text, save(page.guide()));
}

#[test]
fn what_cannot_be_opened_leaves_the_document_alone() {
    let mut page = typed();
    page.fact(Fact::Section, "A");
    let before = page.guide().clone();
    let truncated = &SCORE[..SCORE.len() / 2];
    for (name, bytes) in [
        ("letter.txt", &b"Dear all"[..]),
        ("future.json", b"{\"cueleaf\":\"9.0\",\"id\":\"a\"}"),
        ("damaged.json", b"{\"cueleaf\":\"1.0\",\"id\":\"a"),
        ("empty.musicxml", b""),
    ] {
        page.file(name, bytes);
        assert!(page.notice().contains(name), "{}", page.notice());
        assert_eq!(page.state().notice.as_ref().unwrap().tone, Tone::Trouble);
        assert_eq!(*page.guide(), before);
    }
    // A broken score is found out while it is read; what was open is kept by then.
    page.file("half.musicxml", truncated);
    assert!(page.notice().contains("half.musicxml"), "{}", page.notice());
    assert_eq!(page.kept().text, save(&before));
}

#[test]
fn hostile_storage_is_refused() {
    let mut page = Page::new();
    let other = Guide::new(Id::new("other").unwrap(), "Other");
    for (text, expected) in [
        (save(&other), "another guide"),
        ("nonsense".to_owned(), "no saved guide"),
        ("{\"cueleaf\":\"2.0\",\"id\":\"a\"}".to_owned(), "newer"),
    ] {
        page.send(Msg::Keeping(Keeping::Loaded {
            id: "a".to_owned(),
            revision: 3,
            texts: KeptTexts {
                guide: text,
                notes: None,
                dropped: None,
                watch: None,
            },
        }));
        assert!(page.state().desk().is_none());
        assert!(page.notice().contains(expected), "{}", page.notice());
    }
    page.send(Msg::Keeping(Keeping::DownloadRescued));
    assert!(
        matches!(page.asked.last(), Some(Effect::Download { name, .. }) if name == "cueleaf-a.json")
    );
}

#[test]
fn a_removed_guide_comes_back() {
    let mut page = Page::new();
    let entry = KeptEntry {
        id: "a".to_owned(),
        title: String::new(),
        parts: String::new(),
        when: String::new(),
        moment: 1,
        bytes: 10,
        revision: 2,
    };
    let texts = KeptTexts {
        guide: "text".to_owned(),
        notes: Some("notes".to_owned()),
        dropped: None,
        watch: None,
    };
    page.send(Msg::Keeping(Keeping::Removed(entry.clone(), texts.clone())));
    assert_eq!(page.notice(), "“Untitled” is removed from this device.");
    page.send(Msg::Keeping(Keeping::Restore));
    assert_eq!(page.asked.last(), Some(&Effect::Restore(entry, texts)));
}

#[test]
fn what_is_no_fact_is_kept_in_its_field() {
    let mut page = typed();
    let before = page.guide().clone();
    for (fact, text) in [
        (Fact::Meter, "seven"),
        (Fact::Groups, "2+3"),
        (Fact::TempoNumber, "quick"),
        (Fact::Label, &"9".repeat(40)),
    ] {
        page.fact(fact, text);
        let draft = page.open_desk().drafts.get(&Field::Fact(fact)).unwrap();
        assert_eq!(draft.text, text);
        assert!(draft.problem.ends_with('.'), "{}", draft.problem);
        assert_eq!(*page.guide(), before);
    }
    page.fact(Fact::Meter, "7/8").fact(Fact::Groups, "3+2+2");
    assert!(
        !page
            .open_desk()
            .drafts
            .contains_key(&Field::Fact(Fact::Groups))
    );
    assert_eq!(
        page.open_desk().derived.plan.layout().measures()[9]
            .grouping
            .to_string(),
        "3+2+2"
    );
}

#[test]
fn an_empty_tip_does_not_stay() {
    let mut page = typed();
    page.desk(DeskMsg::AddTip).desk(DeskMsg::CloseTip);
    assert!(page.guide().tips.is_empty());
    assert_eq!(
        page.asked.last(),
        Some(&Effect::Focus("add-tip".to_owned()))
    );
    page.desk(DeskMsg::AddTip)
        .desk(DeskMsg::Select(4, Extend::No));
    page.desk(DeskMsg::AddTip);
    assert_eq!(page.guide().tips.len(), 1);
    assert_eq!(page.guide().tips[0].spot.from.measure, 4);
}

#[test]
fn the_choice_grows_by_keys_and_taps() {
    let mut page = typed();
    let chosen = |page: &Page| {
        let selection = page.open_desk().selection;
        (selection.first(), selection.last())
    };
    page.desk(DeskMsg::Select(4, Extend::No))
        .desk(DeskMsg::Move(3, Extend::Yes));
    assert_eq!(chosen(&page), (4, 7));
    page.desk(DeskMsg::Move(isize::MIN, Extend::Yes));
    assert_eq!(chosen(&page), (0, 4));
    page.desk(DeskMsg::Move(isize::MAX, Extend::No));
    assert_eq!(chosen(&page), (31, 31));
    page.desk(DeskMsg::Select(2, Extend::No))
        .desk(DeskMsg::ToggleExtending)
        .desk(DeskMsg::Select(6, Extend::No));
    assert_eq!(chosen(&page), (2, 6));
    page.desk(DeskMsg::Select(9, Extend::No));
    assert_eq!(chosen(&page), (9, 9));
    assert_eq!(read_measures(page.guide(), "10"), Ok((9, 9)));
}

fn any_edit() -> impl Strategy<Value = DeskMsg> {
    let text = prop_oneof![
        Just(String::new()),
        "[0-9]{1,3}",
        "[2-7]/(4|8)",
        Just("2+3".to_owned()),
        Just("A".to_owned()),
        Just("dotted quarter".to_owned()),
    ];
    let fact = prop::sample::select(vec![
        Fact::Meter,
        Fact::Groups,
        Fact::TempoNumber,
        Fact::TempoUnit,
        Fact::TempoWords,
        Fact::TempoManner,
        Fact::Section,
        Fact::Label,
        Fact::Key,
        Fact::CountBeat,
        Fact::CountStyle,
    ]);
    let printed = prop::sample::select(vec![
        "repeat-from",
        "repeat-back",
        "ending",
        "segno",
        "segno-name",
        "to-coda",
        "coda",
        "fine",
        "jump",
        "jump-until",
        "cut",
        "movement",
        "length",
        "pickup",
        "tempo-until",
        "tempo-back",
        "tempo-same",
        "tempo-shape",
        "hold-at",
        "hold-longer/0",
        "hold-lead-in/0",
        "hold-remove/0",
    ]);
    let entry = prop::sample::select(vec![
        "",
        "on",
        "2",
        "3",
        "1.5",
        "segno",
        "beginning",
        "coda",
        "to-first",
        "runner",
        "quarter = dotted quarter",
        "end",
        "nonsense",
    ]);
    prop_oneof![
        4 => (fact, text).prop_map(|(fact, text)| DeskMsg::Fact(fact, text)),
        3 => (0usize..40).prop_map(|index| DeskMsg::Select(index, Extend::No)),
        2 => (0usize..40).prop_map(|index| DeskMsg::Select(index, Extend::Yes)),
        2 => Just(DeskMsg::AddTip),
        1 => Just(DeskMsg::CloseTip),
        1 => Just(DeskMsg::InsertMeasure),
        1 => Just(DeskMsg::DuplicateMeasures),
        1 => prop::sample::select(vec![Way::Earlier, Way::Later]).prop_map(DeskMsg::ShiftMeasures),
        1 => "[1-5]".prop_map(DeskMsg::TempoBeat),
        5 => (printed, entry).prop_map(|(code, text)| {
            DeskMsg::Printed(Printed::of(code).unwrap(), text.to_owned())
        }),
        2 => (prop::sample::select(KINDS.to_vec()), "[1-9]{0,1}").prop_map(|((kind, ..), text)| {
            let field = if text.is_empty() { "kind" } else { "to" };
            let text = if text.is_empty() { kind.to_owned() } else { text };
            DeskMsg::NewMark(field.to_owned(), text)
        }),
        2 => Just(DeskMsg::AddMark),
        1 => (0usize..3).prop_map(DeskMsg::RemoveMark),
        1 => Just(DeskMsg::RemoveMeasures),
        1 => Just(DeskMsg::MakeFull),
        1 => Just(DeskMsg::NumberOn),
        1 => Just(DeskMsg::Settle),
        2 => Just(DeskMsg::Undo),
        1 => Just(DeskMsg::Redo),
        1 => "[a-z]{0,3}".prop_map(|text| DeskMsg::GuideField(GuideField::Title, text)),
        1 => prop::sample::select(Room::ALL.to_vec()).prop_map(DeskMsg::Room),
    ]
}

/// The measures in a page to which only what differs is brought.
struct Shown {
    /// The markup of the lines, by their keys.
    lines: BTreeMap<String, String>,
    looks: Option<Looks>,
}

impl Shown {
    fn of(state: &State) -> Self {
        let mut shown = Self {
            lines: BTreeMap::new(),
            looks: None,
        };
        shown.follow(state);
        shown
    }

    fn follow(&mut self, state: &State) {
        let skeleton = crate::view::skeleton(state);
        let drawn = draw(state, self.looks.as_ref());
        for piece in drawn.pieces {
            match piece.kind() {
                PieceKind::Compared => {}
                PieceKind::Drawn | PieceKind::Plain => {
                    let key = piece.key().to_owned();
                    self.lines.insert(key, piece.html().to_owned());
                }
                PieceKind::Element => {
                    let start = format!("<div id=\"{}\" ", piece.key());
                    let mut lines = self.lines.values_mut();
                    let line = lines.find(|line| line.contains(&start)).unwrap();
                    let at = line.find(&start).unwrap();
                    let next = line[at + 1..].find("<div id=\"m-");
                    // After the last measure the row ends.
                    let end = next.map_or(line.len() - "</div>".len(), |next| at + 1 + next);
                    line.replace_range(at..end, piece.html());
                }
            }
        }
        self.lines
            .retain(|key, _| skeleton.contains(&format!("data-fragment=\"{key}\"")));
        self.looks = drawn.looks;
    }
}

#[test]
fn a_long_map_is_drawn_in_turns_from_the_focus_on() {
    let mut page = typed();
    let mut guide = page.guide().clone();
    guide.road_map.measures = (1..=1_000)
        .map(|n| Measure::labelled(&n.to_string()))
        .collect();
    let desk = Desk::new(guide, Keep::Kept, None);
    page.state.as_mut().unwrap().screen = Screen::Desk(Box::new(desk));
    page.desk(DeskMsg::Select(700, Extend::No));
    let mut shown = Shown::of(page.state());
    let drawn = |shown: &Shown| shown.lines.values().filter(|line| !line.is_empty()).count();
    assert!(shown.lines["line-672"].contains("id=\"m-700\"") && drawn(&shown) == 2);
    // An edit in between draws the one measure, and some that wait.
    page.fact(Fact::TempoWords, "Calm");
    shown.follow(page.state());
    assert!(shown.lines["line-672"].contains("Calm") && drawn(&shown) == 4);
    for _ in 0..9 {
        shown.follow(page.state());
    }
    assert_eq!(drawn(&shown), 21);
    let all: BTreeMap<String, String> = crate::view::fragments(page.state()).into_iter().collect();
    assert!(shown.lines.iter().all(|(key, line)| all[key] == *line));
    // One more measure, and all after it are others; a tip changes its own measures.
    page.desk(DeskMsg::AddTip);
    assert_eq!(
        draw(page.state(), shown.looks.as_ref())
            .pieces
            .iter()
            .filter(|own| own.kind() == PieceKind::Element)
            .count(),
        1
    );
    page.desk(DeskMsg::InsertMeasure);
    shown.follow(page.state());
    assert!(shown.lines["line-672"].contains("id=\"m-701\""));
    assert!(shown.lines["line-912"].is_empty() && !shown.lines["line-0"].is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_edits_can_be_undone_shown_and_saved(edits in prop::collection::vec(any_edit(), 1..40)) {
        let mut page = typed();
        let start = page.guide().clone();
        let mut shown = Shown::of(page.state());
        for edit in edits {
            page.desk(edit);
            if let Some(open) = page.open_desk().open_tip.clone() {
                page.desk(DeskMsg::Tip(open.clone(), TipChange::Topic(Topic::Count)));
                for (shows, text) in [
                    (Shows::BowFrom, "frog"),
                    (Shows::Rhythm, "2 triplet eighth, 16th rest, tied half"),
                    (Shows::Rhythm, "nothing known"),
                    (Shows::WatchAt, "1:05"),
                ] {
                    page.desk(DeskMsg::TipShows(open.clone(), shows, text.to_owned()));
                }
            }
            let text = save(page.guide());
            prop_assert_eq!(&cueleaf_guide::open(&text).unwrap(), page.guide());
            shown.follow(page.state());
            let new = Shown::of(page.state());
            let all: BTreeMap<_, _> = crate::view::fragments(page.state()).into_iter().collect();
            prop_assert!(shown.lines.keys().eq(new.lines.keys()));
            for (key, line) in &shown.lines {
                // Of a long map a line may wait for its turn, where a new page lets it wait, too.
                if !(line.is_empty() && new.lines[key].is_empty()) {
                    prop_assert_eq!(line, &all[key]);
                }
            }
            let desk = page.open_desk();
            prop_assert!(desk.selection.last() <= page.guide().road_map.measures.len());
            page.has_its_places();
        }
        // Once each line has had its turn nothing is missing.
        for _ in 0..shown.lines.len() {
            shown.follow(page.state());
        }
        prop_assert_eq!(
            &shown.lines,
            &crate::view::fragments(page.state())
                .into_iter()
                .filter(|(key, _)| shown.lines.contains_key(key))
                .collect()
        );
        page.goes_back_to(&start);
    }
}
