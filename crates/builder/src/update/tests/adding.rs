//! A second file while a guide is open.

use super::{Page, SCORE, typed};
use crate::adding::Item;
use crate::edit::tips::TipChange;
use crate::msg::{
    AddingMsg, DeskMsg, Effect, Fact, GuideField, HeardMsg, Keeping, Msg, Opening, Outcome,
    WatchMsg,
};
use crate::proposals::Deed;
use crate::state::{Room, Screen};
use cueleaf_guide::{Guide, Id, MarkKind, Measure, Spot, Tip, Topic, save};

const TALK: &[u8] = b"WEBVTT\n\n00:01.000 --> 00:04.000\nMeasure 12 is pizzicato.\n\n\
00:05.000 --> 00:09.000\nIn measure 20 stay in the lower half of the bow.\n\n\
00:10.000 --> 00:14.000\nIn measure 90 stay in the lower half of the bow.\n";

fn adding(page: &mut Page, msg: AddingMsg) -> &mut Page {
    page.send(Msg::Adding(msg))
}

/// A guide of 40 measures with three tips.
fn other() -> Vec<u8> {
    let mut guide = Guide::new(Id::new("other").unwrap(), "Other");
    let labels = (1..=40).map(|number| Measure::labelled(&number.to_string()));
    guide.road_map.measures = labels.collect();
    guide.road_map.measures[0].meter = "6/8".parse().ok();
    for (own, at) in [("a", 4), ("b", 9), ("c", 38)] {
        let spot = Spot::measures(at, at);
        let tip = Tip::new(Id::new(own).unwrap(), spot, Topic::Bow, own);
        guide.tips.push(tip);
    }
    save(&guide).into_bytes()
}

fn tips(page: &Page) -> Vec<(&str, usize)> {
    let tips = page.guide().tips.iter();
    tips.map(|tip| (tip.text.as_str(), tip.spot.from.measure))
        .collect()
}

/// A guide for the viola, with a tip, made of a score.
fn of_score() -> Page {
    let mut page = Page::new();
    page.file("chestnuts.musicxml", SCORE)
        .send(Msg::Opening(Opening::TogglePart(1)))
        .send(Msg::Opening(Opening::MakeGuide))
        .answer(Outcome::Kept(1));
    page.desk(DeskMsg::Room(Room::Tips));
    page.desk(DeskMsg::Select(8, crate::msg::Extend::No))
        .desk(DeskMsg::AddTip);
    let tip = page.guide().tips[0].id.clone();
    page.desk(DeskMsg::Tip(tip, TipChange::Text("Mine".to_owned())));
    page
}

/// The score under other measures: the third is gone.
fn corrected() -> Vec<u8> {
    let text = String::from_utf8(SCORE.to_vec()).unwrap();
    let mut made = String::new();
    let mut rest = text.as_str();
    while let Some((before, after)) = rest.split_once("<measure number=\"3\"") {
        made.push_str(before);
        rest = after.split_once("</measure>").unwrap().1;
    }
    made.push_str(rest);
    made.into_bytes()
}

#[test]
fn a_second_guide_is_looked_at_before_anything_happens() {
    let mut page = typed();
    let before = page.guide().clone();
    page.file("other.json", &other());
    let Screen::Adding(list) = &page.state().screen else {
        panic!("{:?}", page.state().screen);
    };
    assert_eq!((list.count(), list.beside().lost().len()), (2, 1));
    assert!(
        list.beside()
            .findings()
            .iter()
            .any(|own| own.code == "other-meter")
    );
    page.send(Msg::Opening(Opening::Cancel));
    assert_eq!(*page.guide(), before);

    // It may be a guide of its own,
    page.own("other.json", &other());
    assert_eq!(page.guide().title, "Other");
    assert!(page.state().aside.is_none());

    // or be added, as one step that can be undone.
    let mut page = typed();
    let before = page.guide().clone();
    page.file("other.json", &other());
    adding(&mut page, AddingMsg::Tick(0));
    adding(&mut page, AddingMsg::Add);
    assert_eq!(tips(&page), [("b", 9)]);
    assert!(
        page.notice().starts_with("1 thing of “other.json” came"),
        "{}",
        page.notice()
    );
    let found = &page.open_desk().from_file;
    assert!(
        found
            .iter()
            .any(|own| own.code == "found-no-place" && own.message.contains("“c”"))
    );
    page.desk(DeskMsg::Undo);
    assert_eq!(*page.guide(), before);
}

#[test]
fn nothing_ticked_is_nothing_added() {
    let mut page = typed();
    page.file("other.json", &other());
    for index in [0, 1] {
        adding(&mut page, AddingMsg::Tick(index));
    }
    adding(&mut page, AddingMsg::Add);
    assert!(page.notice().contains("Tick at least one"));
    assert!(matches!(page.state().screen, Screen::Adding(_)));
}

#[test]
fn a_second_part_is_added_to_the_guide() {
    let mut page = of_score();
    let desk = page.open_desk();
    let before = desk.watch_list.as_ref().unwrap().open(desk.guide()).len();
    page.file("chestnuts.musicxml", SCORE);
    // The part that the guide has is chosen; the other one is wanted.
    page.send(Msg::Opening(Opening::TogglePart(1)));
    page.send(Msg::Opening(Opening::TogglePart(2)));
    adding(&mut page, AddingMsg::Parts);
    adding(&mut page, AddingMsg::Add);
    let names: Vec<&str> = page
        .guide()
        .parts
        .iter()
        .map(|part| part.name.as_str())
        .collect();
    assert_eq!(names, ["Viola", "Cello"]);
    assert!(!page.guide().parts[1].marks.is_empty());
    assert_eq!(
        page.guide().tips[0].parts,
        [page.guide().parts[0].id.clone()]
    );
    // The notes of the new part propose what they show.
    let list = page.open_desk().watch_list.as_ref().unwrap();
    assert!(list.fits(page.guide()));
    // What the viola's notes propose stays beside it, each row once.
    let ids: Vec<_> = page
        .guide()
        .parts
        .iter()
        .map(|part| part.id.clone())
        .collect();
    let of = |page: &Page, id: &cueleaf_guide::Id| {
        let desk = page.open_desk();
        let list = desk.watch_list.as_ref().unwrap();
        let open = list.open(desk.guide()).into_iter();
        let rows = open.map(|index| list.get(index).unwrap());
        rows.filter(|row| row.parts.contains(id)).count()
    };
    assert_eq!(
        (of(&page, &ids[0]), of(&page, &ids[1]) > 10),
        (before, true)
    );
    let shared = list
        .proposals()
        .iter()
        .filter(|row| row.parts == ids)
        .count();
    assert!(shared > 0 && list.proposals().iter().any(|row| row.parts == ids[1..]));
    page.desk(DeskMsg::Undo);
    assert_eq!(page.guide().parts.len(), 1);
    assert!(page.guide().tips[0].parts.is_empty());
    // Nothing is proposed for a part that is not there; the viola's rows are as before.
    let open = page
        .open_desk()
        .watch_list
        .as_ref()
        .unwrap()
        .open(page.guide());
    assert_eq!((open.len(), of(&page, &ids[0])), (before, before));
}

#[test]
fn a_corrected_edition_takes_the_tips_along() {
    let mut page = of_score();
    let before = page.guide().clone();
    page.file("new.musicxml", &corrected());
    adding(&mut page, AddingMsg::Edition);
    let Screen::Edition(edition) = &page.state().screen else {
        panic!("{}", page.notice());
    };
    assert_eq!(edition.placed(), (1, 1));
    adding(&mut page, AddingMsg::TakeEdition);
    let made = page.guide();
    assert_eq!(
        made.road_map.measures.len() + 1,
        before.road_map.measures.len()
    );
    assert_eq!(tips(&page), [("Mine", 7)]);
    let label = |guide: &Guide, index: usize| guide.road_map.measures[index].label.clone();
    assert_eq!(label(page.guide(), 7), label(&before, 8));
    assert_eq!(page.guide().parts[0].id, before.parts[0].id);
    assert_eq!(page.guide().id, before.id);
    assert!(
        page.open_desk()
            .watch_list
            .as_ref()
            .unwrap()
            .fits(page.guide())
    );
    let found = &page.open_desk().from_file;
    assert!(found.iter().any(|own| own.code == "other-length"));
    page.desk(DeskMsg::Undo);
    assert_eq!(*page.guide(), before);
}

/// The score with measure 20 twice, and the numbers after it moved.
fn renumbered() -> Vec<u8> {
    let text = String::from_utf8(SCORE.to_vec()).unwrap();
    let mut pieces = text.split("<measure number=\"");
    let mut made = pieces.next().unwrap().to_owned();
    for piece in pieces {
        let (number, rest) = piece.split_once('"').unwrap();
        let number: usize = number.parse().unwrap();
        let numbers = match number {
            20 => vec![20, 21],
            own => vec![own + usize::from(own > 20)],
        };
        for own in numbers {
            made.push_str(&format!("<measure number=\"{own}\"{rest}"));
        }
    }
    made.into_bytes()
}

#[test]
fn an_edition_whose_numbers_moved_is_told_by_what_is_printed() {
    let mut page = of_score();
    let tip = page.guide().tips[0].id.clone();
    page.desk(DeskMsg::TipPlace(tip, "35".to_owned()));
    page.file("new.musicxml", &renumbered());
    adding(&mut page, AddingMsg::Edition);
    let Screen::Edition(edition) = &page.state().screen else {
        panic!("{}", page.notice());
    };
    // Nothing else: no sign is doubled, and none is gone. The rest from 19 to 26 looks alike.
    let told = edition.beside().findings().iter();
    let told: Vec<&str> = told.map(|own| own.message.as_str()).collect();
    assert_eq!(
        told,
        [
            "“Chestnuts in a Tin Pail” has 39 measures, “new.musicxml” has 40",
            "measure 27 of this guide is 28 in “new.musicxml”, by what is printed around it"
        ]
    );
    adding(&mut page, AddingMsg::TakeEdition);
    assert_eq!(tips(&page), [("Mine", 36)]);
    let measures = &page.guide().road_map.measures;
    let marked: Vec<&str> = measures
        .iter()
        .filter_map(|own| own.mark.as_deref())
        .collect();
    assert_eq!(marked, ["A", "B", "C"]);
    let fermatas = measures.iter().filter(|own| !own.holds.is_empty());
    assert_eq!(fermatas.count(), 1);
    assert!(measures.last().unwrap().jump.is_some());
    let arco = &page.guide().parts[0].marks;
    let arco = arco.iter().filter(|own| own.kind == MarkKind::Arco);
    assert_eq!(arco.map(|own| own.measure).collect::<Vec<_>>(), [36]);
}

/// Drops the first proposal and gives its number in the list, and what it says.
fn drop_first(page: &mut Page) -> String {
    let list = page.open_desk().watch_list.as_ref().unwrap();
    let sentence = list.get(0).unwrap().watched.sentence.clone();
    page.desk(DeskMsg::Watch(WatchMsg::Do(Deed::Drop, 0)));
    sentence
}

#[test]
fn what_was_dropped_stays_away_in_a_new_edition_and_with_a_new_part() {
    let mut page = of_score();
    let sentence = drop_first(&mut page);
    let dropped = page.open_desk().dropped.clone();
    assert!(dropped.is_some());
    page.file("same.musicxml", SCORE);
    adding(&mut page, AddingMsg::Edition);
    adding(&mut page, AddingMsg::TakeEdition);
    let list = page.open_desk().watch_list.as_ref().unwrap();
    assert_eq!(list.get(0).unwrap().watched.sentence, sentence);
    assert_eq!(list.dropped(), 1);

    // Of a part that is added, too, and the next drop forgets nothing.
    page.file("chestnuts.musicxml", SCORE);
    page.send(Msg::Opening(Opening::TogglePart(2)));
    adding(&mut page, AddingMsg::Parts);
    adding(&mut page, AddingMsg::Add);
    let list = page.open_desk().watch_list.as_ref().unwrap();
    assert_eq!(list.dropped(), 1);
    page.desk(DeskMsg::Watch(WatchMsg::Do(Deed::Drop, 1)));
    let now = page.open_desk().dropped.as_ref().unwrap().write();
    let before = dropped.unwrap().write();
    assert!(before.lines().all(|line| now.contains(line)));
    assert_eq!(now.lines().count(), 2);
}

#[test]
fn what_was_dropped_goes_along_to_its_measure_in_a_new_edition() {
    let mut page = of_score();
    let list = page.open_desk().watch_list.as_ref().unwrap();
    let late = (0..)
        .map_while(|index| Some((index, list.get(index)?)))
        .filter(|(_, one)| one.watched.spot.from.measure > 12);
    let (index, _) = late.last().unwrap();
    page.desk(DeskMsg::Watch(WatchMsg::Do(Deed::Drop, index)));
    page.file("new.musicxml", &corrected());
    adding(&mut page, AddingMsg::Edition);
    adding(&mut page, AddingMsg::TakeEdition);
    let list = page.open_desk().watch_list.as_ref().unwrap();
    assert_eq!(list.dropped(), 1);
    assert_eq!(
        page.open_desk()
            .dropped
            .as_ref()
            .unwrap()
            .write()
            .lines()
            .count(),
        2
    );
}

#[test]
fn a_talk_is_added_where_it_says() {
    let mut page = typed();
    page.file("our-talk.vtt", TALK);
    adding(&mut page, AddingMsg::Heard);
    let Screen::Adding(list) = &page.state().screen else {
        panic!("{}", page.notice());
    };
    // The part without a name is the one there is.
    assert!(
        !list
            .items()
            .iter()
            .any(|(item, _)| matches!(item, Item::Part(_)))
    );
    assert!(
        list.items()
            .iter()
            .any(|(item, _)| matches!(item, Item::Marks(..)))
    );
    assert_eq!(list.beside().lost().len(), 1);
    assert!(list.own.is_none());
    adding(&mut page, AddingMsg::Add);
    let own: Vec<usize> = page.guide().parts[0]
        .marks
        .iter()
        .map(|mark| mark.measure)
        .collect();
    assert_eq!(own, [11]);
    assert_eq!(page.guide().tips[0].spot.from.measure, 19);
    assert_eq!(page.guide().road_map.measures.len(), 32);
}

#[test]
fn without_storage_a_second_file_loses_nothing() {
    let mut page = typed();
    page.fact(Fact::Section, "Mine")
        .send(Msg::Keeping(Keeping::Now))
        .answer(Outcome::Failed("the disk is full.".to_owned()));
    let mine = page.guide().clone();

    // A score and a talk are offered as ever; both can be added.
    page.file("chestnuts.musicxml", SCORE);
    assert!(
        matches!(page.state().screen, Screen::Parts(_)),
        "{}",
        page.notice()
    );
    page.send(Msg::Opening(Opening::TogglePart(1)));
    // A new guide would let the open one go, so that is asked first.
    page.send(Msg::Opening(Opening::MakeGuide));
    assert!(page.notice().contains("not kept"), "{}", page.notice());
    assert!(page.state().would_lose());
    page.send(Msg::Keeping(Keeping::Download));
    let Some(Effect::Download { text, .. }) = page.asked.last() else {
        panic!("no download");
    };
    assert_eq!(*text, save(&mine));
    adding(&mut page, AddingMsg::Parts);
    adding(&mut page, AddingMsg::Add);
    assert_eq!(page.guide().parts.len(), 2);
    let section = |page: &Page| page.guide().road_map.measures[0].section.clone();
    assert_eq!(section(&page).as_deref(), Some("Mine"));

    page.file("our-talk.vtt", TALK);
    page.send(Msg::Heard(HeardMsg::Make));
    assert!(page.notice().contains("not kept"), "{}", page.notice());
    page.send(Msg::Opening(Opening::Cancel));
    assert_eq!(section(&page).as_deref(), Some("Mine"));
    page.file("other.json", &other());
    adding(&mut page, AddingMsg::Own);
    assert!(page.notice().contains("not kept"));
    page.send(Msg::Opening(Opening::OpenWaiting));
    assert_eq!(page.guide().title, "Other");
}

#[test]
fn two_versions_are_decided_upon_first() {
    let mut page = typed();
    page.desk(DeskMsg::GuideField(GuideField::Word, "Hello".to_owned()))
        .send(Msg::Keeping(Keeping::Now))
        .answer(Outcome::Conflict)
        .file("chestnuts.musicxml", SCORE);
    assert!(
        page.notice().contains("was not opened"),
        "{}",
        page.notice()
    );
    assert_eq!(page.guide().word, "Hello");
}

#[test]
fn the_open_guide_is_at_hand_while_a_second_file_is_looked_at() {
    let mut page = of_score();
    let mine = page.guide().id.clone();
    let at_hand = |page: &Page| -> Vec<Id> {
        let all = page.state().documents();
        all.map(|desk| desk.guide().id.clone()).collect()
    };
    assert_eq!(at_hand(&page), std::slice::from_ref(&mine));
    page.file("chestnuts.musicxml", SCORE);
    assert!(page.state().desk().is_none());
    assert_eq!(at_hand(&page), std::slice::from_ref(&mine));
    // What is still being written is at hand beside the next one.
    page.send(Msg::Opening(Opening::Cancel));
    page.desk(DeskMsg::GuideField(GuideField::Word, "Hello".to_owned()));
    page.own("other.json", &other());
    assert_eq!(at_hand(&page), [Id::new("other").unwrap(), mine]);
}

/// A talk that speaks of few measures of a long piece, and of some as they are.
const REMARKS: &[u8] = b"WEBVTT\n\n00:01.000 --> 00:04.000\nMeasure 1 is in three four.\n\n\
00:05.000 --> 00:09.000\nIn measure 20 stay in the lower half of the bow.\n\n\
00:10.000 --> 00:14.000\nMeasure 25 is in five eight.\n";

#[test]
fn a_talk_disagrees_only_where_it_says_something() {
    let mut page = typed();
    page.fact(Fact::Meter, "3/4");
    page.desk(DeskMsg::Select(11, crate::msg::Extend::No))
        .fact(Fact::Meter, "2/4");
    page.desk(DeskMsg::Select(24, crate::msg::Extend::No))
        .fact(Fact::Meter, "6/8");
    page.file("our-talk.vtt", REMARKS);
    adding(&mut page, AddingMsg::Heard);
    let Screen::Adding(list) = &page.state().screen else {
        panic!("{}", page.notice());
    };
    let told: Vec<(&str, Option<usize>)> = list
        .beside()
        .findings()
        .iter()
        .map(|own| (own.code, own.place.measure))
        .collect();
    assert_eq!(
        told,
        [("other-meter", Some(24))],
        "{:?}",
        list.beside().findings()
    );
}

#[test]
fn where_a_recording_is_is_said_once_for_all_its_tips() {
    let mut page = typed();
    page.file("our-talk.vtt", TALK);
    let heard = |page: &mut Page, text: &str| {
        page.send(Msg::Heard(HeardMsg::Address(text.to_owned())));
    };
    heard(&mut page, "example.org/talk");
    adding(&mut page, AddingMsg::Heard);
    assert!(page.notice().contains("https://"), "{}", page.notice());
    heard(&mut page, " https://example.org/talk ");
    adding(&mut page, AddingMsg::Heard);
    adding(&mut page, AddingMsg::Add);
    let address = |page: &Page| -> Vec<String> {
        let tips = page.guide().tips.iter();
        tips.filter_map(|tip| Some(tip.watch.as_ref()?.address.clone()))
            .collect()
    };
    assert_eq!(address(&page), ["https://example.org/talk"]);

    // Later, one tip says it for all that do not.
    let mut page = typed();
    page.file("our-talk.vtt", REMARKS);
    adding(&mut page, AddingMsg::Heard);
    adding(&mut page, AddingMsg::Add);
    let id = page.guide().tips[0].id.clone();
    let mut other = page.guide().tips[0].clone();
    other.id = Id::new("other").unwrap();
    let mut guide = page.guide().clone();
    guide.tips.push(other);
    let mut page = Page::new();
    page.file("guide.json", save(&guide).as_bytes());
    page.desk(DeskMsg::TipShows(
        id.clone(),
        crate::edit::tip_shows::Shows::WatchAddress,
        "https://example.org/t".to_owned(),
    ));
    page.desk(DeskMsg::OpenTip(id.clone()))
        .desk(DeskMsg::Room(Room::Tips));
    let offers = |page: &Page| {
        let pieces = crate::view::fragments(page.state());
        let words = "Take this address for the other tip without one";
        pieces.iter().any(|(_, html)| html.contains(words))
    };
    assert!(offers(&page));
    page.desk(DeskMsg::WatchForAll(id));
    assert!(!offers(&page));
    assert_eq!(address(&page), ["https://example.org/t"; 2]);
    page.desk(DeskMsg::Undo);
    assert_eq!(address(&page), ["https://example.org/t", ""]);
}

#[test]
fn a_message_goes_once_undo_makes_it_untrue() {
    let mut page = typed();
    page.file("our-talk.vtt", TALK);
    adding(&mut page, AddingMsg::Heard);
    adding(&mut page, AddingMsg::Add);
    assert!(
        page.notice().contains("came into this guide"),
        "{}",
        page.notice()
    );
    page.desk(DeskMsg::GuideField(GuideField::Title, "Mine".to_owned()));
    page.desk(DeskMsg::Undo);
    assert!(page.notice().contains("came into this guide"));
    page.desk(DeskMsg::Undo);
    assert!(page.state().notice.is_none());
    // So does what tells of a new edition.
    let mut page = of_score();
    page.file("new.musicxml", &corrected());
    adding(&mut page, AddingMsg::Edition);
    adding(&mut page, AddingMsg::TakeEdition);
    assert!(page.notice().contains("The road map is that of"));
    page.desk(DeskMsg::Undo);
    assert!(page.state().notice.is_none());
}

#[test]
fn a_finished_guide_and_its_score_disagree_only_where_the_print_changed() {
    let score = include_str!("../../../../../examples/mail-boat.musicxml");
    let slower = score
        .replace(">112<", ">100<")
        .replace("tempo=\"112\"", "tempo=\"100\"");
    let mut page = Page::new();
    page.file(
        "viola.json",
        include_bytes!("../../../../../examples/mail-boat-viola.json"),
    );
    page.file("slower.musicxml", slower.as_bytes());
    adding(&mut page, AddingMsg::Edition);
    let Screen::Edition(edition) = &page.state().screen else {
        panic!("{}", page.notice());
    };
    let tempi = edition.tempi().iter();
    let tempi: Vec<(usize, String, String)> = tempi
        .map(|own| (own.measure(), own.stands().said(), own.other().0.said()))
        .collect();
    let expected = (13, "quarter = 100".to_owned(), "quarter = 112".to_owned());
    assert_eq!(tempi, [expected]);
    adding(&mut page, AddingMsg::EditionTempo(0));
    adding(&mut page, AddingMsg::TakeEdition);
    let tempo = page.guide().road_map.measures[13].tempo[0].tempo;
    assert_eq!(
        tempo.map(cueleaf_time::Tempo::said).as_deref(),
        Some("quarter = 112")
    );
    let told = &page.open_desk().from_file;
    assert!(
        told.iter()
            .any(|own| own.hint.contains("quarter = 112 stands"))
    );
}
