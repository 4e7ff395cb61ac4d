//! The files by which a guide leaves.

use crate::handing::OtherFile;
use crate::msg::Effect;
use cueleaf_export::{PlayerFiles, file_name, guide_page};
use cueleaf_guide::{Guide, Id, for_student};

/// Writes the student's page of a guide; `None` where this build carries no player.
#[must_use]
pub(crate) fn page_of(guide: &Guide) -> Option<String> {
    Some(guide_page(guide, &player()?))
}

/// Gives what brings a page to life; `None` where this build carries no player.
#[must_use]
pub(crate) fn player() -> Option<PlayerFiles<'static>> {
    let player = cueleaf_bundle::player()?;
    Some(PlayerFiles {
        start: player.start,
        live_hash: player.live_hash,
        style: player.style,
        packed: player.packed,
    })
}

/// What is told where this build carries no player.
pub(crate) const NO_PLAYER: &str = "This copy of Cueleaf was built without the student’s player \
and cannot make the page: whoever built it has to run “cargo xtask build”. The guide itself can \
still be downloaded.";

/// Names the file of a part, or of the whole.
#[must_use]
pub(crate) fn name_of(guide: &Guide, part: Option<&Id>) -> String {
    file_name(guide, part.and_then(|id| guide.part(id)))
}

/// Names a file that is no page, of a part or of the whole.
#[must_use]
pub(crate) fn other_name(guide: &Guide, part: Option<&Id>, file: OtherFile) -> String {
    let page = name_of(guide, part);
    format!(
        "{}{}",
        page.strip_suffix(".html").unwrap_or(&page),
        file.ending()
    )
}

/// Makes the downloads of some parts; of the whole guide when none is named. The
/// page of each is written by `write`, [`page_of`] in the running page.
///
/// # Errors
/// A sentence for the teacher when no page can be written, because this build
/// carries no player.
pub(super) fn pages(
    guide: &Guide,
    parts: Vec<Id>,
    write: impl Fn(&Guide) -> Option<String>,
) -> Result<Vec<Effect>, String> {
    let wanted: Vec<Option<Id>> = if parts.is_empty() {
        vec![None]
    } else {
        parts.into_iter().map(Some).collect()
    };
    wanted
        .iter()
        .map(|part| {
            let own = for_student(guide, part.as_ref());
            let text = write(&own).ok_or(NO_PLAYER)?;
            Ok(Effect::Download {
                name: name_of(guide, part.as_ref()),
                media: "text/html",
                text,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tips;
    use cueleaf_guide::{Extra, Part, Spot, Topic};
    use cueleaf_read::guide_in_page;

    fn id(text: &str) -> Id {
        Id::new(text).unwrap()
    }

    /// Violin and cello; one tip for both, one for the cello, and an empty one.
    fn guide() -> Guide {
        let mut guide = Guide::new(id("g"), "Ferry");
        for (name, words) in [("vn", "Violin"), ("vc", "Cello")] {
            guide.parts.push(Part {
                id: id(name),
                name: words.to_owned(),
                marks: Vec::new(),
                extra: Extra::default(),
            });
        }
        for (name, text) in [("both", "Count"), ("own", "Pluck"), ("empty", " ")] {
            guide = tips::add(&guide, id(name), Spot::measures(0, 0), Topic::Note);
            let text = tips::TipChange::Text(text.to_owned());
            guide = tips::change(&guide, &id(name), text);
        }
        tips::toggle_part(&guide, &id("own"), &id("vn"))
    }

    fn with_a_player(guide: &Guide) -> Option<String> {
        let files = PlayerFiles {
            start: "x",
            live_hash: "'sha256-x'",
            style: "y",
            packed: &[1],
        };
        Some(guide_page(guide, &files))
    }

    /// Gives the names of the files, and the tips in them.
    fn files(parts: &[&str]) -> Vec<(String, String)> {
        let parts = parts.iter().map(|part| id(part)).collect();
        pages(&guide(), parts, with_a_player)
            .unwrap()
            .into_iter()
            .map(|effect| {
                let Effect::Download { name, media, text } = effect else {
                    panic!("{effect:?}");
                };
                assert_eq!(media, "text/html");
                let inside = guide_in_page(&text).unwrap().unwrap();
                let tips: Vec<&str> = inside.tips.iter().map(|tip| tip.text.as_str()).collect();
                (name, tips.join(" "))
            })
            .collect()
    }

    #[test]
    fn each_part_gets_a_file_of_its_own_tips() {
        let all = files(&["vn", "vc"]);
        assert!(all[0].0.contains("Violin") && all[0].0.ends_with(".html"));
        assert!(all[1].0.contains("Cello"));
        assert_eq!([&all[0].1, &all[1].1], ["Count", "Count Pluck"]);
        assert_eq!(files(&[])[0].1, "Count Pluck");
        // A part that is gone by now is the whole.
        assert_eq!(files(&["va"]), files(&[]));
    }

    #[test]
    fn without_a_player_it_says_what_to_do() {
        let reason = pages(&guide(), vec![id("vn")], |_| None).unwrap_err();
        assert!(reason.contains("cargo xtask build"), "{reason}");
    }
}
