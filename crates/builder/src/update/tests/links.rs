//! Links: to make one, and to come by one.

use super::{Page, typed};
use crate::msg::{DeskMsg, Effect, GuideField, LinkMsg, Msg, Opening, Outcome};
use crate::state::{Room, Tone};
use crate::view::fragments;
use cueleaf_export::qr_picture;
use cueleaf_guide::{Id, save};
use cueleaf_link::{from_fragment, to_fragment};

const ADDRESS: &str = "https://a.example/play.html";

fn link(page: &mut Page, msg: LinkMsg) -> &mut Page {
    page.desk(DeskMsg::Link(msg))
}

fn address(page: &mut Page, text: &str) {
    link(page, LinkMsg::Address(text.to_owned()));
}

/// Gives the last text to be copied.
fn copied(page: &mut Page) -> Option<String> {
    page.asked.clear();
    link(page, LinkMsg::Copy);
    page.asked.iter().find_map(|effect| match effect {
        Effect::Copy(text, _) => Some(text.clone()),
        _ => None,
    })
}

#[test]
fn a_folder_is_said_to_be_taken_for_the_page_in_it() {
    let mut page = typed();
    address(&mut page, "https://a.example/");
    assert!(
        page.asked
            .contains(&Effect::Say(format!("Taken as {ADDRESS}")))
    );
    page.asked.clear();
    address(&mut page, ADDRESS);
    assert!(!page.asked.iter().any(|own| matches!(own, Effect::Say(_))));
}

#[test]
fn a_link_needs_an_address_once() {
    let mut page = typed();
    let part = page.guide().parts[0].id.clone();
    link(&mut page, LinkMsg::Make(Some(part.clone())));
    let wrong = page.open_desk().linking.wrong.clone().unwrap().1;
    assert!(wrong.contains("play.html"), "{wrong}");
    assert_eq!(copied(&mut page), None);
    address(&mut page, "http://a.example/");
    assert!(page.open_desk().linking.wrong.is_some());
    assert_eq!(page.guide().settings.address, "");

    address(&mut page, "https://a.example/");
    assert!(
        page.asked
            .contains(&Effect::KeepAddress(ADDRESS.to_owned()))
    );
    assert_eq!(page.guide().settings.address, ADDRESS);
    link(&mut page, LinkMsg::Make(Some(part)));
    let text = copied(&mut page).unwrap();
    let fragment = text.strip_prefix("https://a.example/play.html#").unwrap();
    let inside = from_fragment(fragment).unwrap();
    assert_eq!(inside.road_map, page.guide().road_map);
    assert_eq!(inside.id, page.guide().id);

    // The next guide finds the address there, and names it once it has a link.
    page.send(Msg::Opening(Opening::Home))
        .send(Msg::Opening(Opening::ToggleForm))
        .send(Msg::Opening(Opening::MakeTyped))
        .answer(Outcome::Kept(1));
    assert_eq!(page.guide().settings.address, "");
    link(&mut page, LinkMsg::Make(None));
    assert_eq!(page.guide().settings.address, ADDRESS);
    assert!(copied(&mut page).is_some());
}

#[test]
fn a_link_is_not_shown_once_the_guide_has_changed() {
    let mut page = typed();
    address(&mut page, ADDRESS);
    link(&mut page, LinkMsg::Make(None));
    assert!(copied(&mut page).is_some());
    page.desk(DeskMsg::GuideField(GuideField::Title, "Another".to_owned()));
    assert_eq!(copied(&mut page), None);
    page.desk(DeskMsg::Undo);
    link(&mut page, LinkMsg::Make(None));
    assert!(copied(&mut page).is_some());
}

#[test]
fn pictures_are_downloaded_as_svg() {
    let mut page = typed();
    address(&mut page, ADDRESS);
    link(&mut page, LinkMsg::Make(None));
    page.asked.clear();
    link(&mut page, LinkMsg::Picture);
    link(&mut page, LinkMsg::OtherPicture);
    link(
        &mut page,
        LinkMsg::Other(" https://a.example/class ".to_owned()),
    );
    link(&mut page, LinkMsg::OtherPicture);
    let files: Vec<(&str, &str)> = page
        .asked
        .iter()
        .filter_map(|effect| match effect {
            Effect::Download { name, media, text } if text.starts_with("<svg") => {
                Some((name.as_str(), *media))
            }
            _ => None,
        })
        .collect();
    assert_eq!(files.len(), 2);
    for (name, media) in files {
        assert!(name.ends_with("-QR.svg"), "{name}");
        assert_eq!(media, "image/svg+xml");
    }
}

/// Digits that no dictionary makes short.
fn long(digits: usize) -> String {
    let mut seed = 3u32;
    let digit = |_| {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        char::from_digit(seed >> 16 & 15, 16).unwrap()
    };
    (0..digits).map(digit).collect()
}

#[test]
fn where_a_link_has_no_picture_the_address_has_one() {
    let mut page = typed();
    address(&mut page, ADDRESS);
    let own = qr_picture(ADDRESS, &format!("QR code: {ADDRESS}")).unwrap();
    // Short, too long for a code, and too long for a link.
    for (digits, is_link, is_instead) in
        [(0, true, false), (6_000, true, true), (19_000, false, true)]
    {
        page.desk(DeskMsg::GuideField(GuideField::Word, long(digits)));
        link(&mut page, LinkMsg::Make(None));
        let made = page.open_desk().linking.made.as_ref().unwrap();
        assert_eq!(made.link.is_ok(), is_link, "{digits}");
        assert_eq!(made.instead.is_some(), is_instead, "{digits}");
        assert_eq!(made.picture() == Some(&own), is_instead, "{digits}");
        page.desk(DeskMsg::Room(Room::HandOut));
        let shown: String = fragments(page.state())
            .into_iter()
            .map(|(_, html)| html)
            .collect();
        assert_eq!(
            shown.contains("This code holds the address alone"),
            is_instead
        );
        assert_eq!(shown.matches("id=\"link-picture\"").count(), 1, "{digits}");
        page.asked.clear();
        link(&mut page, LinkMsg::Picture);
        let loaded = page.asked.iter().find_map(|effect| match effect {
            Effect::Download { text, .. } => Some(text == &own.svg),
            _ => None,
        });
        assert_eq!(loaded, Some(is_instead), "{digits}");
    }
}

#[test]
fn what_is_too_long_for_a_link_is_told_with_numbers() {
    let mut page = typed();
    let text = long(19_000);
    page.desk(DeskMsg::GuideField(GuideField::Word, text));
    address(&mut page, ADDRESS);
    link(&mut page, LinkMsg::Make(None));
    let made = page.open_desk().linking.made.as_ref().unwrap();
    let why = made.link.as_ref().unwrap_err();
    assert!(why.contains("8000"), "{why}");
}

#[test]
fn a_link_opens_as_a_new_guide_and_a_broken_one_says_so() {
    let mut guide = typed().guide().clone();
    guide.id = Id::new("theirs").unwrap();
    let fragment = to_fragment(&guide).unwrap();
    let mut page = Page::new();
    page.send(Msg::Opening(Opening::Link(format!("#{fragment}"))));
    assert_ne!(page.guide().id, guide.id);
    let mut opened = page.guide().clone();
    opened.id = guide.id.clone();
    assert_eq!(save(&opened), save(&guide));

    for broken in [&fragment[..60], "#b23456789012345678901234567890"] {
        let mut page = Page::new();
        page.send(Msg::Opening(Opening::Link(broken.to_owned())));
        assert!(page.state().desk().is_none());
        assert_eq!(page.state().notice.as_ref().unwrap().tone, Tone::Trouble);
        assert!(page.notice().contains("link"), "{}", page.notice());
    }
}
