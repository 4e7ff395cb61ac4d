//! Every screen as markup: sound by itself, and understood when it is used.

use super::{fragments, skeleton};
use crate::edit::tips::TipChange;
use crate::hooks::{Hook, Kind, msg_of};
use crate::making::{Making, Then};
use crate::msg::{
    AddingMsg, DeskMsg, Effect, Extend, HeardMsg, Keeping, LinkMsg, Msg, Opening, WatchMsg,
};
use crate::proposals::Deed;
use crate::state::{KeptEntry, Room, Screen, State};
use crate::update::update;
use cueleaf_guide::{Guide, Id, Language, Measure, Spot, Tip, Topic, save};
use cueleaf_read::draft;
use std::collections::BTreeSet;

const SCORE: &[u8] = include_bytes!("../../../../examples/chestnuts.musicxml");

struct Page(Option<State>);

impl Page {
    fn new() -> Self {
        Self(Some(State::new(3)))
    }

    /// Sends a message; what takes the focus afterwards has to be there.
    fn send(&mut self, msg: Msg) -> &mut Self {
        let told = format!("{msg:?}");
        let (state, effects) = update(self.0.take().unwrap(), msg);
        self.0 = Some(state);
        for effect in effects {
            match effect {
                Effect::After(0, msg) => {
                    self.send(msg);
                }
                Effect::Focus(id) | Effect::Caret(id, _) => {
                    let place = format!("id=\"{id}\"");
                    assert!(self.html().contains(&place), "no {id} after {told:.80}");
                }
                _ => {}
            }
        }
        self
    }

    fn desk(&mut self, msg: DeskMsg) -> &mut Self {
        self.send(Msg::Desk(msg))
    }

    fn file(&mut self, name: &str, bytes: &[u8]) -> &mut Self {
        self.send(Msg::Opening(Opening::File {
            name: name.to_owned(),
            bytes: bytes.to_vec(),
        }))
    }

    fn state(&self) -> &State {
        self.0.as_ref().unwrap()
    }

    fn html(&self) -> String {
        let mut html = skeleton(self.state());
        for (_, inside) in fragments(self.state()) {
            html.push_str(&inside);
        }
        html
    }
}

/// Gives the attributes of each element, the name of the element first.
///
/// The markup is maud's: lower case, every value in double quotes.
fn elements(html: &str) -> Vec<Vec<(String, String)>> {
    let mut all = Vec::new();
    for tag in html.split('<').skip(1) {
        let tag = tag.split_once('>').map_or(tag, |(tag, _)| tag);
        if tag.starts_with('/') {
            continue;
        }
        let mut own = Vec::new();
        let mut rest = tag;
        while !rest.is_empty() {
            let end = rest.find([' ', '=']).unwrap_or(rest.len());
            let name = rest[..end].to_owned();
            rest = &rest[end..];
            let mut value = String::new();
            if let Some(quoted) = rest.strip_prefix("=\"") {
                let (inside, after) = quoted.split_once('"').unwrap();
                value = inside.to_owned();
                rest = after;
            }
            own.push((name, value));
            rest = rest.trim_start();
        }
        all.push(own);
    }
    all
}

fn value<'a>(element: &'a [(String, String)], name: &str) -> Option<&'a str> {
    let own = element.iter().find(|(own, _)| own == name);
    own.map(|(_, value)| value.as_str())
}

/// Fails on ids that are there twice, references to nothing, inline style, and
/// elements whose hook nobody understands.
fn is_sound(page: &Page, place: &str) {
    let html = page.html();
    let elements = elements(&html);
    let mut ids = BTreeSet::new();
    for element in &elements {
        assert!(
            value(element, "style").is_none(),
            "{place}: inline style in {element:?}"
        );
        if let Some(id) = value(element, "id") {
            assert!(ids.insert(id), "{place}: the id {id} is there twice");
        }
    }
    for element in &elements {
        for name in ["for", "aria-describedby", "aria-labelledby", "list"] {
            if let Some(id) = value(element, name) {
                assert!(ids.contains(id), "{place}: {name} means nothing: {id}");
            }
        }
        let Some(name) = value(element, "data-do") else {
            continue;
        };
        let hears = [Kind::Click, Kind::Change, Kind::Input]
            .into_iter()
            .flat_map(|kind| ["1", "bow", "usual", "place"].map(|text| (kind, text)))
            .any(|(kind, text)| {
                let hook = Hook {
                    kind,
                    name,
                    value: value(element, "data-value").unwrap_or(""),
                    text,
                    extend: Extend::No,
                };
                msg_of(&hook, page.state()).is_some()
            });
        assert!(hears, "{place}: nobody hears {element:?}");
        let control = ["button", "input", "select", "textarea", "form"];
        let tag = element[0].0.as_str();
        // The slider beneath the picture goes wherever a tap in it goes.
        let by_slider = name == "go-measure" && tag == "rect" && ids.contains("seek");
        assert!(
            control.contains(&tag) || value(element, "tabindex").is_some() || by_slider,
            "{place}: no key reaches {element:?}"
        );
    }
}

fn kept(index: usize) -> KeptEntry {
    KeptEntry {
        id: format!("g{index}"),
        title: format!("Piece {index}"),
        parts: String::new(),
        when: "today".to_owned(),
        moment: 0,
        bytes: 1_200,
        revision: 1,
    }
}

#[test]
fn the_first_page() {
    let mut page = Page::new();
    is_sound(&page, "first visit");
    page.send(Msg::Opening(Opening::ToggleForm))
        .send(Msg::Opening(Opening::Field(
            "measures".to_owned(),
            "x".to_owned(),
        )))
        .send(Msg::Opening(Opening::MakeTyped));
    is_sound(&page, "a form with a problem");
    assert!(page.html().contains("aria-invalid"));
    let where_is = |page: &Page, text: &str| page.html().find(text).unwrap();
    assert!(where_is(&page, "id=\"ways\"") < where_is(&page, "id=\"shelf\""));
    let mut entries: Vec<KeptEntry> = (0..8).map(kept).collect();
    entries[0].parts = "Viola".to_owned();
    entries[1].bytes = 2_300_000;
    page.send(Msg::Keeping(Keeping::Listed(Ok(entries))));
    is_sound(&page, "kept guides");
    // Guides of one piece are told apart by their parts.
    let told = [
        "<span class=\"name\">Piece 0</span> <span class=\"of-part\">Viola</span> <span class=\"when\">today</span>",
        "aria-label=\"Rename Piece 0, Viola\"",
        "<span class=\"name\">Piece 1</span> <span class=\"when\">today, 2.3 MB</span>",
    ];
    assert!(told.iter().all(|text| page.html().contains(text)));
    page.send(Msg::Keeping(Keeping::StartRename("g1".to_owned())));
    is_sound(&page, "another name");
    page.send(Msg::Keeping(Keeping::CancelRename));
    // Who has guides meets them first; the oldest two are one click away.
    assert!(where_is(&page, "id=\"shelf\"") < where_is(&page, "id=\"ways\""));
    assert!(where_is(&page, "Piece 5") < where_is(&page, "id=\"older\""));
    assert!(where_is(&page, "id=\"older\"") < where_is(&page, "Piece 6"));
    page.send(Msg::Keeping(Keeping::Listed(Err("no database".to_owned()))));
    is_sound(&page, "nothing can be kept");
    assert!(page.html().contains("no database"));
}

#[test]
fn the_rooms_of_a_guide_for_several_parts() {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE);
    assert!(matches!(page.state().screen, Screen::Parts(_)));
    is_sound(&page, "the parts");
    for index in 0..3 {
        page.send(Msg::Opening(Opening::TogglePart(index)));
    }
    page.send(Msg::Opening(Opening::MakeGuide));
    page.desk(DeskMsg::Select(2, Extend::No))
        .desk(DeskMsg::Select(5, Extend::Yes))
        .desk(DeskMsg::AddTip);
    for room in Room::ALL {
        page.desk(DeskMsg::Room(room));
        is_sound(&page, room.code());
        page.desk(DeskMsg::ToggleBeside);
        is_sound(&page, room.code());
    }
    page.desk(DeskMsg::ToggleBeside)
        .desk(DeskMsg::Room(Room::HandOut));
    let link = |msg| DeskMsg::Link(msg);
    page.desk(link(LinkMsg::Address("a b".to_owned())));
    is_sound(&page, "a wrong address");
    assert!(page.html().contains("aria-invalid=\"true\""));
    let part = page.state().desk().unwrap().guide().parts[0].id.clone();
    let other = "https://a.example/class".to_owned();
    page.desk(link(LinkMsg::Address("https://a.example/".to_owned())))
        .desk(link(LinkMsg::Make(Some(part))))
        .desk(link(LinkMsg::Other(other)));
    is_sound(&page, "a link and two pictures");
    assert_eq!(page.html().matches("<svg").count(), 2);
    page.file("letter.txt", b"Dear student");
    is_sound(&page, "a message");
    assert!(page.html().contains("id=\"close-notice\""));
}

#[test]
fn a_watch_list_in_the_making_says_how_far_it_is() {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE);
    let state = page.0.as_mut().unwrap();
    let screen = core::mem::replace(&mut state.screen, Screen::Home(Default::default()));
    let Screen::Parts(choice) = screen else {
        panic!("no parts are offered");
    };
    let id = |text: &str| Id::new(text).unwrap();
    let drafted = draft(&choice.score.value, &[], id("g")).unwrap().value;
    let parts = vec![(0, id("a")), (1, id("b"))];
    let mut making = Making::new(choice, parts, drafted, Then::Notes);
    making.step(usize::MAX);
    state.screen = Screen::Making(Box::new(making));
    is_sound(&page, "in the making");
    let html = page.html();
    assert!(
        html.contains("value=\"50\"") && html.contains("Viola 50 %"),
        "{html}"
    );
    page.send(Msg::Opening(Opening::Cancel));
    assert!(matches!(page.state().screen, Screen::Parts(_)));
}

#[test]
fn what_is_proposed_is_kept_and_dropped_with_the_focus_in_place() {
    let watch = |msg| DeskMsg::Watch(msg);
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE);
    for index in 0..2 {
        page.send(Msg::Opening(Opening::TogglePart(index)));
    }
    page.send(Msg::Opening(Opening::MakeGuide))
        .desk(DeskMsg::Room(Room::Tips));
    is_sound(&page, "a watch list");
    assert!(page.html().contains("The strongest"));
    page.desk(watch(WatchMsg::ToggleOthers));
    is_sound(&page, "a whole watch list");
    let next = |page: &Page| {
        let html = page.html();
        let (_, after) = html.split_once("id=\"keep-proposal-").unwrap();
        after.split_once('"').unwrap().0.parse::<usize>().unwrap()
    };
    for make in [Deed::Keep, Deed::Drop, Deed::Edit, Deed::Drop] {
        let index = next(&page);
        page.desk(watch(WatchMsg::Do(make, index)));
        is_sound(&page, "a proposal decided");
        let gone = format!("id=\"proposal-{index}\"");
        assert!(!page.html().contains(&gone), "{index} is still there");
    }
    let kind = {
        let desk = page.state().desk().unwrap();
        let list = desk.watch_list.as_ref().unwrap();
        list.get(next(&page)).unwrap().watched.kind
    };
    page.desk(watch(WatchMsg::Kind(Some(kind))));
    is_sound(&page, "one kind");
    assert!(!page.html().contains("The strongest"));
    page.desk(watch(WatchMsg::KeepKind));
    is_sound(&page, "nothing left of a kind");
    assert!(page.html().contains("Nothing is left to look at here."));
    page.desk(watch(WatchMsg::DropKind))
        .desk(watch(WatchMsg::Kind(None)))
        .desk(watch(WatchMsg::ShowDropped));
    page.desk(DeskMsg::InsertMeasure);
    is_sound(&page, "other measures");
    assert!(page.html().contains("id=\"watch-open\""));
    // The same file again offers its notes to the open guide.
    page.desk(DeskMsg::Undo).file("chestnuts.musicxml", SCORE);
    is_sound(&page, "the parts, with a guide aside");
    page.send(Msg::Opening(Opening::AddNotes));
    is_sound(&page, "notes added");
}

#[test]
fn what_a_talk_said_is_listed_with_its_words() {
    let talk = b"WEBVTT\n\n00:01.000 --> 00:04.000\nIn measure 12 we pluck, so pizza cato.\n\n\
        01:05.000 --> 01:09.000\nMake sure you save the <b>bow</b> & breathe in measure 25.\n";
    let mut page = Page::new();
    page.file("<talk>.vtt", talk);
    is_sound(&page, "a talk");
    let html = page.html();
    for expected in [
        "Heard in &lt;talk&gt;.vtt",
        "<b>Measure 12</b>",
        "Pizz. or arco, pizz",
        "Line 2, at 1:05, 70 % sure",
        "Make sure you save the bow breathe in measure 25.”",
        "taken for “pizzicato”",
    ] {
        assert!(html.contains(expected), "no {expected} in {html}");
    }
    page.send(Msg::Heard(HeardMsg::Tick(0)))
        .send(Msg::Heard(HeardMsg::TickKind("tip".to_owned())));
    is_sound(&page, "a talk with ticks taken away");
    page.send(Msg::Heard(HeardMsg::Make));
    is_sound(&page, "a guide of a talk");
}

#[test]
fn what_a_second_file_would_do_is_shown_first() {
    let other = |text: &str| {
        let mut guide = Guide::new(Id::new("other").unwrap(), text);
        let labels = (1..=60).map(|number| Measure::labelled(&number.to_string()));
        guide.road_map.measures = labels.collect();
        guide.road_map.measures[0].meter = "7/8".parse().ok();
        for (own, at) in [("a", 4), ("b", 58)] {
            let spot = Spot::measures(at, at);
            let tip = Tip::new(Id::new(own).unwrap(), spot, Topic::Bow, text);
            guide.tips.push(tip);
        }
        guide.todos.push(cueleaf_guide::Todo {
            id: Id::new("d").unwrap(),
            text: text.to_owned(),
            spot: Some(Spot::measures(4, 8)),
            parts: Vec::new(),
            extra: cueleaf_guide::Extra::default(),
        });
        save(&guide).into_bytes()
    };
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE)
        .send(Msg::Opening(Opening::TogglePart(1)))
        .send(Msg::Opening(Opening::MakeGuide))
        .file("other.json", &other("<b>&"));
    is_sound(&page, "a second guide");
    let html = page.html();
    for expected in [
        "Measure 5: Bow",
        "“&lt;b&gt;&amp;”",
        "To do, Measures 5–9",
        "Found no place",
        ", at measure 59",
        "What to look at",
        "“other.json” has 7/8 at its measure 1",
        "Add 2 of 2",
        "Open it as a guide of its own",
    ] {
        assert!(html.contains(expected), "{expected}");
    }
    page.send(Msg::Adding(AddingMsg::Tick(0)));
    assert!(page.html().contains("Add 1 of 2"));
    page.send(Msg::Adding(AddingMsg::Add));
    is_sound(&page, "a second guide added");

    page.file("chestnuts.musicxml", SCORE);
    is_sound(&page, "the parts for a guide that is open");
    assert!(page.html().contains("Make a new guide"));
    page.send(Msg::Opening(Opening::TogglePart(2)))
        .send(Msg::Adding(AddingMsg::Parts));
    is_sound(&page, "a second part");
    assert!(page.html().contains("A new part: Cello"));
    page.send(Msg::Opening(Opening::Cancel))
        .file("chestnuts.musicxml", SCORE)
        .send(Msg::Adding(AddingMsg::Edition));
    is_sound(&page, "a new edition");
    assert!(page.html().contains("Take this edition"));
    page.send(Msg::Adding(AddingMsg::TakeEdition));
    is_sound(&page, "a new edition taken");

    let talk = b"WEBVTT\n\n00:01.000 --> 00:04.000\nMeasure 12 is pizzicato.\n\n\
        00:05.000 --> 00:09.000\nIn measure 20 stay in the lower half of the bow.\n";
    page.file("talk.vtt", talk)
        .send(Msg::Adding(AddingMsg::Heard));
    is_sound(&page, "what a talk would add");
    assert!(page.html().contains("pizz. at 12"));
}

#[test]
fn text_of_a_guide_is_text_in_the_page() {
    let evil = "\"><img src=x onerror=\"alert(1)\">";
    let mut guide = Guide::new(Id::new("g").unwrap(), evil);
    evil.clone_into(&mut guide.composer);
    evil.clone_into(&mut guide.word);
    let mut measure = Measure::labelled(evil);
    measure.meter = "7/8".parse().ok();
    measure.section = Some(evil.to_owned());
    measure.mark = Some(evil.to_owned());
    guide.road_map.measures = vec![measure];
    let tip = Tip::new(
        Id::new("t").unwrap(),
        Spot::measures(0, 0),
        Topic::Bow,
        evil,
    );
    guide.tips = vec![tip];
    let mut page = Page::new();
    page.file("evil.json", save(&guide).as_bytes());
    for room in Room::ALL {
        page.desk(DeskMsg::Room(room));
        assert!(!page.html().contains("<img"), "{}", room.code());
    }
    page.desk(DeskMsg::Room(Room::Tips))
        .desk(DeskMsg::OpenTip(Id::new("t").unwrap()));
    is_sound(&page, "an open tip");
    assert!(!page.html().contains("<img"));
}

#[test]
fn the_focus_always_has_a_place() {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE)
        .send(Msg::Opening(Opening::TogglePart(0)))
        .send(Msg::Opening(Opening::MakeGuide));
    for room in [Room::RoadMap, Room::Tips] {
        page.desk(DeskMsg::Room(room));
        page.desk(DeskMsg::AddTip);
        let tip = page.state().desk().unwrap().open_tip.clone().unwrap();
        let text = TipChange::Text("Pluck near the fingerboard.".to_owned());
        page.desk(DeskMsg::Tip(tip.clone(), text))
            .desk(DeskMsg::CloseTip)
            .desk(DeskMsg::Room(room))
            .desk(DeskMsg::OpenTip(tip.clone()))
            .desk(DeskMsg::RemoveTip(tip.clone()))
            .desk(DeskMsg::Undo)
            .desk(DeskMsg::ShowTip(tip))
            .desk(DeskMsg::Undo);
    }
    page.desk(DeskMsg::Room(Room::RoadMap));
    for msg in [
        DeskMsg::ToggleFacts,
        DeskMsg::ToggleFacts,
        DeskMsg::Move(isize::MAX, Extend::Yes),
        DeskMsg::MakeFull,
        DeskMsg::RemoveMeasures,
        DeskMsg::Undo,
        DeskMsg::Select(0, Extend::No),
        DeskMsg::Move(isize::MAX, Extend::Yes),
        DeskMsg::RemoveMeasures,
        DeskMsg::InsertMeasure,
        DeskMsg::Undo,
        DeskMsg::Undo,
        DeskMsg::SelectText("3".to_owned()),
        DeskMsg::Move(-1, Extend::No),
    ] {
        page.desk(msg);
        is_sound(&page, "while editing");
    }
}

#[test]
fn the_student_is_spoken_to_in_a_language_of_choice() {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE)
        .send(Msg::Opening(Opening::TogglePart(0)))
        .send(Msg::Opening(Opening::MakeGuide))
        .desk(DeskMsg::Room(Room::HandOut));
    assert!(page.html().contains("A measure is called"));
    for language in Language::ALL {
        let hook = Hook {
            kind: Kind::Change,
            name: "guide",
            value: "language",
            text: language.tag(),
            extend: Extend::No,
        };
        let msg = msg_of(&hook, page.state()).unwrap();
        page.send(msg);
        is_sound(&page, language.tag());
        let html = page.html();
        let chosen = elements(&html).into_iter().find(|element| {
            value(element, "lang") == Some(language.tag()) && value(element, "selected").is_some()
        });
        assert!(chosen.is_some(), "{language:?} is not the chosen one");
        // Only English has a second word for a measure.
        let english = language == Language::English;
        assert_eq!(html.contains("A measure is called"), english);
    }
}

#[test]
fn the_notes_and_their_mistakes() {
    use crate::msg::NotesMsg;
    let mut page = Page::new();
    page.file(
        "notes.txt",
        b"Guide to <b>Rain\nFor Viola\nMeasures 1 to 9\n5  pizzz\n\n7  mf\n",
    );
    is_sound(&page, "notes with a mistake");
    let html = page.html();
    assert!(html.contains("1 line of the notes is not understood"));
    assert!(html.contains("id=\"note-line-4\" class=\"is-warning\">5  <mark>pizzz</mark></div>"));
    assert!(html.contains("<textarea id=\"notes\""));
    assert!(html.contains("\nGuide to &lt;b&gt;Rain\nFor Viola"));
    // The first line break is not part of a field's text.
    assert!(html.contains(">\nGuide to"));
    page.desk(DeskMsg::Notes(NotesMsg::GoTo(0)));
    let show = |name: &str| Hook {
        kind: Kind::Click,
        name: "map-as",
        value: if name == "notes" { "notes" } else { "measures" },
        text: "",
        extend: Extend::No,
    };
    let msg = msg_of(&show("measures"), page.state()).unwrap();
    page.send(msg);
    is_sound(&page, "measures beside notes");
    assert!(
        page.html()
            .contains("1 line of the notes is not understood")
    );
    let msg = msg_of(&show("notes"), page.state()).unwrap();
    page.send(msg);
    let mended = "Guide to Rain\nFor Viola\nMeasures 1 to 9\n5  pizz\n".to_owned();
    let hook = Hook {
        kind: Kind::Input,
        name: "notes",
        value: "",
        text: &mended,
        extend: Extend::No,
    };
    let msg = msg_of(&hook, page.state()).unwrap();
    page.send(msg).desk(DeskMsg::Settle);
    is_sound(&page, "notes without a mistake");
    assert!(page.html().contains("Every line is understood."));
}

#[test]
fn every_example_of_the_help_is_understood() {
    use super::notes::EXAMPLES;
    let head = "Guide to Rain\nFor Viola\nMeasures 1 to 30\n\n";
    let plain = cueleaf_outline::parse(head);
    for (text, _) in EXAMPLES {
        let whole = if text.starts_with("For ") {
            head.replace("For Viola", text)
        } else if text.starts_with("Measures ") {
            head.replace("Measures 1 to 30", text)
        } else if text.starts_with("By ") || text.starts_with("To the student") {
            head.replace("For Viola", &format!("{text}\nFor Viola"))
        } else {
            format!("{head}{text}\n")
        };
        let read = cueleaf_outline::parse(&whole);
        assert_eq!(read.findings, [], "{text}");
        let is_aside = text.starts_with('(');
        assert_eq!(read.guide == plain.guide, is_aside, "{text}");
    }
}
