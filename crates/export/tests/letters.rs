//! No page that leaves holds a letter that HTML refuses, whatever stands in the guide, and the
//! guide inside it is the same as before.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test may fail loudly"
)]

use cueleaf_export::{PlayerFiles, class_files, guide_page, overview_page};
use cueleaf_guide::{Extra, Guide, Id, Measure, Part, Spot, Tip, Todo, Topic, save};

const PLAYER: PlayerFiles<'_> = PlayerFiles {
    start: "run()",
    live_hash: "'sha256-live'",
    style: "p{color:red}",
    packed: &[1, 2, 3],
};

/// Texts as files of others bring them: what JSON carries and HTML refuses.
const HOSTILE: [&str; 14] = [
    "Vio\0la",
    "\0",
    "bell \u{7} and escape \u{1b}[31m",
    "all of \u{1}\u{2}\u{3}\u{4}\u{5}\u{6}\u{8}\u{e}\u{f}\u{10}\u{11}\u{12}\u{13}\u{14}\u{15}\u{16}",
    "\u{17}\u{18}\u{19}\u{1a}\u{1c}\u{1d}\u{1e}\u{1f}",
    "delete \u{7f}",
    "next line \u{85}, more \u{80}\u{81}\u{90}\u{9f}",
    "vertical \u{b} and form \u{c} feed",
    "an old line\rend and\r\na new one",
    "no letters \u{fdd0}\u{fdef}\u{fffe}\u{ffff}\u{1fffe}\u{10ffff}",
    "</script\0><!--\u{1}<img src=x onerror=alert(1)>",
    "\u{2028}\u{2029}\u{feff}\u{202e}",
    "\"'\0=\u{1}`",
    "a tab\tand a line\nend, ä 𝄞",
];

fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

fn guide(text: &str) -> Guide {
    let mut guide = Guide::new(id("g"), text);
    guide.composer = text.to_owned();
    guide.word = text.to_owned();
    for own in ["va", "vc"] {
        guide.parts.push(Part {
            id: id(own),
            name: text.to_owned(),
            marks: Vec::new(),
            extra: Extra::default(),
        });
    }
    guide.road_map.measures = vec![Measure {
        section: Some(text.to_owned()),
        ..Measure::labelled(text)
    }];
    let mut tip = Tip::new(id("t"), Spot::measures(0, 0), Topic::Bow, text);
    tip.cue = text.to_owned();
    guide.tips = vec![tip];
    guide.todos = vec![Todo {
        id: id("d"),
        text: text.to_owned(),
        spot: None,
        parts: Vec::new(),
        extra: Extra::default(),
    }];
    guide.settings.address = "https://a.example/play.html".to_owned();
    guide
}

/// Says whether HTML takes a letter as it is.
///
/// # Source
/// HTML Living Standard, 13.2.3.5 "Preprocessing the input stream"; of the controls only tab and
/// line feed, as our decision.
fn is_taken(letter: char) -> bool {
    let code = u32::from(letter);
    let control = matches!(code, 0..=0x1f | 0x7f..=0x9f) && !matches!(letter, '\t' | '\n');
    !control && !(0xfdd0..=0xfdef).contains(&code) && (code & 0xffff) < 0xfffe
}

#[test]
fn pages_hold_no_letter_that_html_refuses() {
    for text in HOSTILE {
        let guide = guide(text);
        let files = class_files(std::slice::from_ref(&guide), &PLAYER).unwrap();
        let pages = files
            .into_iter()
            .map(|file| String::from_utf8(file.bytes).unwrap())
            .chain([guide_page(&guide, &PLAYER), overview_page(&guide)]);
        for page in pages {
            let refused = page.chars().find(|letter| !is_taken(*letter));
            assert_eq!(refused, None, "{text:?}");
        }
    }
}

#[test]
fn the_guide_inside_keeps_every_letter() {
    for text in HOSTILE {
        let guide = guide(text);
        let page = guide_page(&guide, &PLAYER);
        let back = cueleaf_read::guide_in_page(&page).unwrap().unwrap();
        assert_eq!(save(&back), save(&guide), "{text:?}");
        assert_eq!(guide_page(&back, &PLAYER), page);
    }
}

#[test]
fn words_stay_words() {
    let page = guide_page(&guide("Vio\0la\u{b}da\r\ngamba"), &PLAYER);
    assert!(page.contains("Viola da\ngamba"), "{page}");
}
