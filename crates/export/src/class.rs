//! All parts of guides as files, with a page that lists them.

use crate::still::still_page;
use crate::{PlayerFiles, file_name, guide_page};
use core::fmt::Write as _;
use cueleaf_guide::{Guide, Language, MeasureWord, Part, TooLarge, for_student};
use cueleaf_view::{Page, Word, Words};
use maud::html;
use std::collections::BTreeSet;

/// The most files that are handed out together.
///
/// # Source
/// Our decision: far more parts than a class plays from.
pub const MAX_FILES: usize = 2_000;

/// The name of the page that lists the others.
const INDEX: &str = "index.html";

/// A file that is handed out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandOut {
    /// Its name, without a folder.
    pub name: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

impl HandOut {
    /// Makes a file.
    #[must_use]
    pub fn new(name: &str, bytes: Vec<u8>) -> Self {
        Self {
            name: name.to_owned(),
            bytes,
        }
    }
}

/// Writes the files of all parts of guides, in order, after a page that lists them.
///
/// A guide without parts is one file. Names are safe on every system and differ in more
/// than capitals; the page needs no script and asks for nothing.
///
/// # Errors
/// [`TooLarge`] for more than [`MAX_FILES`] files.
pub fn class_files(guides: &[Guide], player: &PlayerFiles<'_>) -> Result<Vec<HandOut>, TooLarge> {
    let count = guides.iter().map(|guide| guide.parts.len().max(1)).sum();
    TooLarge::guard("files of parts", MAX_FILES, count)?;
    let mut names = Names::default();
    // The first name is that of the list, so no guide takes it.
    let index = names.free(INDEX);
    let mut files = Vec::with_capacity(count + 1);
    let mut pieces: Vec<Piece<'_>> = Vec::new();
    for guide in guides {
        let (title, composer) = (guide.title.trim(), guide.composer.trim());
        let mut rows = Vec::new();
        for (part, own) in parts_of(guide) {
            let name = names.free(&file_name(guide, part));
            let page = guide_page(&own, player);
            rows.push((label(guide, part), name.clone()));
            files.push(HandOut {
                name,
                bytes: page.into_bytes(),
            });
        }
        match pieces.last_mut() {
            Some(last) if (last.title, last.composer) == (title, composer) => {
                last.rows.extend(rows);
            }
            _ => pieces.push(Piece {
                title,
                composer,
                rows,
            }),
        }
    }
    let words = guides.first().map_or_else(
        || Words::of(Language::default(), MeasureWord::default()),
        Page::words_for,
    );
    let page = index_page(&pieces, &words);
    files.insert(0, HandOut::new(&index, page.into_bytes()));
    Ok(files)
}

/// What is listed under one heading: the parts of a piece, also from guides of their own
/// that follow each other.
struct Piece<'a> {
    title: &'a str,
    composer: &'a str,
    /// What each link says, and the name of its file.
    rows: Vec<(String, String)>,
}

/// Gives each part of a guide with the guide for it; the guide itself where it has none.
fn parts_of(guide: &Guide) -> Vec<(Option<&Part>, Guide)> {
    if guide.parts.is_empty() {
        return vec![(None, for_student(guide, None))];
    }
    let parts = guide.parts.iter();
    parts
        .map(|part| (Some(part), for_student(guide, Some(&part.id))))
        .collect()
}

/// Names a file in the list: by its part, else by its piece.
fn label(guide: &Guide, part: Option<&Part>) -> String {
    let part = part.map(|part| part.name.trim()).unwrap_or_default();
    match (part, guide.title.trim()) {
        ("", "") => Page::words_for(guide).get(Word::WholePiece).to_owned(),
        ("", title) => title.to_owned(),
        (part, _) => part.to_owned(),
    }
}

/// Names that are taken, as systems compare them that do not tell capitals from small
/// letters.
#[derive(Default)]
struct Names(BTreeSet<String>);

impl Names {
    /// Takes a name, or the next with a number that is free: "Fog-2.html".
    fn free(&mut self, wanted: &str) -> String {
        let (stem, ending) = wanted.rsplit_once('.').unwrap_or((wanted, "html"));
        let mut name = wanted.to_owned();
        let mut number = 1;
        while !self.0.insert(folded(&name)) {
            number += 1;
            name = format!("{stem}-{number}.{ending}");
        }
        name
    }
}

fn folded(name: &str) -> String {
    name.chars().flat_map(char::to_uppercase).collect()
}

/// The colours are those of the guide, see `www/look.css`.
const STYLE: &str = "html{color-scheme:light dark;background:#fbf6ec;color:#2b241d;\
font:1.125rem/1.5 system-ui,sans-serif}\
body{margin:0 auto;max-width:40rem;padding:1rem;overflow-wrap:anywhere}li{margin:.25rem 0}\
a{display:inline-block;min-height:1.75rem;padding:.25rem 0;color:#8f4a0e}\
@media(prefers-color-scheme:dark){html{background:#1c1814;color:#f2e9da}a{color:#e6a65a}}";

fn index_page(pieces: &[Piece<'_>], words: &Words) -> String {
    let heading = match pieces {
        [piece] if !piece.title.is_empty() => piece.title,
        _ => words.get(Word::Guides),
    };
    let body = html! {
        h1 { (heading) }
        @for piece in pieces {
            @if pieces.len() > 1 && !piece.title.is_empty() {
                h2 { (piece.title) }
            }
            @if !piece.composer.is_empty() {
                p { (piece.composer) }
            }
            ul {
                @for (label, name) in &piece.rows {
                    li { a href=(encoded(name)) { (label) } }
                }
            }
        }
        p { (words.get(Word::UnpackFirst)) }
    };
    still_page(words, heading, STYLE, &body)
}

/// Writes a file's name as the address of a link.
///
/// # Source
/// RFC 3986, 2.3: only unreserved letters stay, all other bytes of UTF-8 are encoded.
pub(crate) fn encoded(name: &str) -> String {
    let mut text = String::with_capacity(name.len());
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            text.push(char::from(byte));
        } else {
            // Writing to memory cannot fail.
            let _ = write!(text, "%{byte:02X}");
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Extra, Id};

    const PLAYER: PlayerFiles<'_> = PlayerFiles {
        start: "run()",
        live_hash: "'sha256-live'",
        style: "p{color:red}",
        packed: &[1, 2, 3],
    };

    fn guide(id: &str, title: &str, parts: &[&str]) -> Guide {
        let mut guide = Guide::new(Id::new(id).unwrap(), title);
        guide.parts = parts
            .iter()
            .enumerate()
            .map(|(index, name)| Part {
                id: Id::new(&format!("p{index}")).unwrap(),
                name: (*name).to_owned(),
                marks: Vec::new(),
                extra: Extra::default(),
            })
            .collect();
        guide
    }

    fn index_of(files: &[HandOut]) -> String {
        String::from_utf8(files[0].bytes.clone()).unwrap()
    }

    #[test]
    fn every_part_is_a_file_and_in_the_list() {
        let guides = [
            guide("a", "Fog <Bank>", &["Viola", "viola", "Violín & Co"]),
            guide("b", "index", &[]),
            guide("c", "fog bank viola", &[]),
            guide("d", "ΤΕΛΟΣ", &[]),
            guide("e", "τελοσ", &[]),
        ];
        let files = class_files(&guides, &PLAYER).unwrap();
        let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
        assert_eq!(
            names,
            [
                "index.html",
                "Fog-Bank-Viola.html",
                "Fog-Bank-viola-2.html",
                "Fog-Bank-Violín-Co.html",
                "index-2.html",
                "fog-bank-viola-3.html",
                "ΤΕΛΟΣ.html",
                "τελοσ-2.html",
            ]
        );
        let page = index_of(&files);
        for (href, label) in [
            ("Fog-Bank-Viola.html", "Viola"),
            ("Fog-Bank-viola-2.html", "viola"),
            ("Fog-Bank-Viol%C3%ADn-Co.html", "Violín &amp; Co"),
            ("index-2.html", "index"),
        ] {
            let link = format!("<a href={href}>{label}</a>");
            assert!(page.contains(&link), "{link} in {page}");
        }
        assert_eq!(page.matches("<a ").count(), files.len() - 1);
        assert!(page.contains("<h2>Fog &lt;Bank&gt;</h2>"));
        assert!(!page.contains("<script") && !page.contains("style="));
        // Each file is the guide of its part alone.
        let saved = |file: &HandOut| {
            let text = String::from_utf8(file.bytes.clone()).unwrap();
            cueleaf_read::guide_in_page(&text).unwrap().unwrap()
        };
        assert_eq!(
            saved(&files[2]),
            for_student(&guides[0], Some(&guides[0].parts[1].id))
        );
        assert_eq!(saved(&files[4]), guides[1]);
        assert_eq!(class_files(&guides, &PLAYER).unwrap(), files);
    }

    #[test]
    fn guides_of_one_piece_stand_together() {
        let guides = [
            guide("a", "Fog Bank", &["Viola"]),
            guide("b", " Fog Bank", &["Cello"]),
        ];
        let page = index_of(&class_files(&guides, &PLAYER).unwrap());
        assert!(page.contains("<h1>Fog Bank</h1>") && !page.contains("<h2>"));
        assert_eq!(
            (page.matches("<ul>").count(), page.matches("<li>").count()),
            (1, 2)
        );
    }

    #[test]
    fn one_guide_heads_the_list_itself() {
        let page = index_of(&class_files(&[guide("a", "Fog Bank", &["Viola"])], &PLAYER).unwrap());
        assert!(page.contains("<h1>Fog Bank</h1>") && !page.contains("<h2>"));
        let page = index_of(&class_files(&[guide("a", "", &[])], &PLAYER).unwrap());
        assert!(page.contains("<h1>Practice guides</h1>"));
        assert!(page.contains("<a href=guide.html>The whole piece</a>"));
    }

    #[test]
    fn more_than_a_class_is_refused() {
        let guides = vec![guide("a", "", &[]); MAX_FILES + 1];
        assert_eq!(
            class_files(&guides, &PLAYER).unwrap_err().to_string(),
            "too large: 2001 files of parts, and the limit is 2000"
        );
    }
}
