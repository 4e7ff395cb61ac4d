//! The one HTML file of a guide.

use crate::lean::written;
use crate::letters::in_script;
use crate::link::link_of_file;
use crate::policy::policy;
use cueleaf_guide::{Guide, Medium, save_apart, with_shown_media};
use cueleaf_pack::{MAX_BESIDE, letters, pack};
use cueleaf_plan::Plan;
use cueleaf_view::{Page, Words, guide_body};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::collections::BTreeSet;

/// The id of the element that holds the guide in its saved form.
pub const GUIDE_ID: &str = "cueleaf-guide";

/// What brings a page to life.
#[derive(Debug, Clone, Copy)]
pub struct PlayerFiles<'a> {
    /// A classic script without `</script` and `<!--`, which unpacks the rest.
    pub start: &'a str,
    /// The hash of the packed script, as a policy names it.
    pub live_hash: &'a str,
    /// A style sheet without `</style`.
    pub style: &'a str,
    /// What is packed, as the start script reads it.
    pub packed: &'a [u8],
}

/// Writes the whole file: the guide to read first, with its link where its settings
/// name an address and it fits into one, then the guide to open again, then what
/// plays it.
#[must_use]
pub fn guide_page(guide: &Guide, player: &PlayerFiles<'_>) -> String {
    written(in_full(guide, player))
}

/// Gives the page with all that a view writes.
pub(crate) fn in_full(guide: &Guide, player: &PlayerFiles<'_>) -> Markup {
    let guide = &with_shown_media(guide);
    let plan = Plan::new(guide).value;
    let words = Page::words_for(guide);
    let link = link_of_file(guide);
    let page = Page::new(guide, &plan, &words).with_link(link.as_deref());
    let title = match page.part_name() {
        Some(part) => format!("{} – {part}", guide.title),
        None => guide.title.clone(),
    };
    let language = words.get(cueleaf_view::Word::LanguageTag);
    let body = guide_body(&page).0;
    // Bytes stand once: in the text, where they work without scripts. Those of a tip that is
    // shown nowhere stay in the saved form.
    let [photos, voices] = ["photo", "voice"].map(|name| shown_in(&body, name));
    let saved = save_apart(guide, |index, medium| match medium {
        Medium::Photo => photos.contains(&index),
        Medium::Voice => voices.contains(&index),
    });
    html! {
        (DOCTYPE)
        html lang=(language) {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy(guide, player.start, player.live_hash, player.style));
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content="Cueleaf";
                title { (title) }
                link rel="icon" href="data:,";
                style { (PreEscaped(player.style)) }
            }
            body {
                main id="cueleaf" { (PreEscaped(body)) }
                (data(&saved, &words_text(&words)))
                script type="application/octet-stream" id="cueleaf-packed" { (PreEscaped(letters(player.packed))) }
                script { (PreEscaped(player.start)) }
            }
        }
    }
}

/// Gives the indices of the tips whose photo or voice note stands in a text. What a teacher typed
/// cannot look like one, since its quotation marks are escaped.
fn shown_in(body: &str, name: &str) -> BTreeSet<usize> {
    let begins = format!(" data-{name}=\"");
    let places = body.split(&begins).skip(1);
    places
        .filter_map(|rest| rest.split_once("\" ")?.0.parse().ok())
        .collect()
}

/// Writes the guide as data and the words of the live page: packed where that is unpacked at once.
fn data(saved: &str, words: &str) -> Markup {
    // A line each: JSON written on one line holds no line end.
    let both = format!("{saved}\n{words}");
    if both.len() <= MAX_BESIDE {
        let packed = letters(&pack(both.as_bytes()));
        return html! { script type="application/octet-stream" id=(GUIDE_ID) { (PreEscaped(packed)) } };
    }
    html! {
        script type="application/json" id=(GUIDE_ID) { (PreEscaped(in_script(saved))) }
        script type="application/json" id="cueleaf-words" { (PreEscaped(in_script(words))) }
    }
}

fn words_text(words: &Words) -> String {
    // Writing plain text to memory cannot fail; the player takes the empty list for no words.
    serde_json::to_string(&words.live_texts().collect::<Vec<_>>()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Id, Measure, MediaBytes, Photo, Spot, Tip, Topic, Voice, save};
    use cueleaf_read::guide_in_page;

    const PLAYER: PlayerFiles<'_> = PlayerFiles {
        start: "run()",
        live_hash: "'sha256-live'",
        style: "p{color:red}",
        packed: &[1, 2, 3],
    };

    fn hostile() -> Guide {
        let evil = "</script><!--<img src=x onerror=alert(1)>\u{2028}&amp;\"'";
        let mut guide = Guide::new(Id::new("g").unwrap(), evil);
        guide.word = evil.to_owned();
        guide.road_map.measures = vec![Measure {
            section: Some(evil.to_owned()),
            ..Measure::labelled(evil)
        }];
        guide.tips = vec![Tip::new(
            Id::new("t").unwrap(),
            Spot::measures(0, 0),
            Topic::Bow,
            evil,
        )];
        guide
    }

    /// The hostile guide with more than is packed.
    fn long() -> Guide {
        let mut guide = hostile();
        guide.tips[0].text = guide.title.repeat(300);
        guide.tips = vec![guide.tips[0].clone(); 6];
        guide
    }

    #[test]
    fn nothing_a_teacher_types_leaves_its_place() {
        let plain = guide_page(&long(), &PLAYER);
        assert!(plain.contains("\\u003cimg"));
        let packed = guide_page(&hostile(), &PLAYER);
        for (page, scripts) in [(plain, 4), (packed, 3)] {
            assert!(page.contains("&lt;img"));
            assert_eq!(page.matches("</script>").count(), scripts);
            assert_eq!(page.matches("<!--").count(), 0);
            assert_eq!(page.matches("<img").count(), 0);
        }
    }

    #[test]
    fn the_text_shows_the_link_where_there_is_one() {
        let mut guide = hostile();
        assert!(!guide_page(&guide, &PLAYER).contains("<a href"));
        guide.settings.address = "https://a.example/".to_owned();
        let page = guide_page(&guide, &PLAYER);
        let address = "<a href=https://a.example/play.html#";
        let fragment = page
            .split_once(address)
            .unwrap()
            .1
            .split_once(' ')
            .unwrap()
            .0;
        let back = cueleaf_link::from_fragment(fragment).unwrap();
        assert_eq!(back.tips, guide.tips);
        // What is no https address becomes no link.
        guide.settings.address = "javascript:alert(1)".to_owned();
        assert!(!guide_page(&guide, &PLAYER).contains("<a href"));
    }

    /// A picture of three by two pixels.
    const PNG: &str = "iVBORw0KGgoAAAANSUhEUgAAAAMAAAACCAIAAAASFvFNAAAAFUlEQVR4nGM8YSPCwMDAwMDAxAADABSgARy8lijXAAAAAElFTkSuQmCC";

    /// The hostile guide with a photo and a voice note.
    fn with_media() -> Guide {
        let mut guide = hostile();
        let evil = guide.title.clone();
        guide.settings.may_share = true;
        let tip = &mut guide.tips[0];
        tip.photo = Some(Photo {
            alt: evil.clone(),
            ..Photo::read(&MediaBytes::of_text(PNG.to_owned()).bytes().unwrap()).unwrap()
        });
        tip.voice = Voice::of_samples(&[7; 800]).map(|voice| Voice {
            words: evil,
            ..voice
        });
        guide
    }

    #[test]
    fn photos_and_voice_notes_stand_once_and_come_back() {
        let guide = with_media();
        let page = guide_page(&guide, &PLAYER);
        let bytes = guide.tips[0].voice.as_ref().unwrap().data.text();
        for own in [PNG, bytes] {
            assert_eq!(page.matches(own).count(), 1);
        }
        assert!(page.contains("img-src data:; media-src data:; "));
        assert!(page.contains("width=\"3\" height=\"2\""));
        assert_eq!(page.matches("<img").count(), 1);
        assert!(page.contains("alt=\"&lt;/script&gt;"));
        assert_eq!(page.matches("</script>").count(), 3);
        let back = guide_in_page(&page).unwrap().unwrap();
        assert_eq!(save(&back), save(&guide));
        // Where a tip is shown nowhere, its bytes stay in the saved form.
        let mut guide = guide;
        guide.road_map.measures.clear();
        let page = guide_page(&guide, &PLAYER);
        assert!(!page.contains(PNG) && !page.contains("<img"));
        let back = guide_in_page(&page).unwrap().unwrap();
        assert_eq!(save(&back), save(&guide));
    }

    #[test]
    fn what_may_not_leave_or_is_not_what_it_says_stays() {
        let mut guide = with_media();
        guide.settings.may_share = false;
        let page = guide_page(&guide, &PLAYER);
        assert!(!page.contains(PNG) && !page.contains("<audio") && !page.contains("media-src"));
        guide.settings.may_share = true;
        let photo = guide.tips[0].photo.as_mut().unwrap();
        photo.data = MediaBytes::of_text("\" onerror=\"alert(1)".to_owned());
        let page = guide_page(&guide, &PLAYER);
        assert!(!page.contains("<img") && page.contains("<audio") && !page.contains("onerror=\""));
        let back = guide_in_page(&page).unwrap().unwrap();
        assert_eq!(back.tips[0].photo, None);
        assert_eq!(back.tips[0].voice, guide.tips[0].voice);
    }

    #[test]
    fn the_file_can_be_opened_again() {
        for guide in [hostile(), long()] {
            let page = guide_page(&guide, &PLAYER);
            let back = guide_in_page(&page).unwrap().unwrap();
            assert_eq!(save(&back), save(&guide));
            assert_eq!(guide_page(&guide, &PLAYER), page);
        }
    }
}
