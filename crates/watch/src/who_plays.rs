//! Who of a section plays: solo and tutti, divided and together.

use crate::say::{quoted, vary};
use crate::scene::Scene;
use crate::thresholds::weight;
use crate::watched::{Kind, Watched};
use cueleaf_guide::{MarkKind, Place, Spot};

/// Who plays from a word on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Who {
    Solo,
    Tutti,
    Divided,
    NotDivided,
    Together,
}

/// What words say about who plays; `None` where they say nothing about it.
///
/// # Source
/// Terms of the trade in Italian, German and French (common practice, no source).
fn who(text: &str) -> Option<Who> {
    let small = text.to_lowercase();
    let words: Vec<&str> = small
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    let denied = words
        .iter()
        .any(|word| matches!(*word, "non" | "nicht" | "no"));
    words.iter().find_map(|word| {
        Some(match *word {
            // "soli" asks several players to come to the fore: about one alone it says nothing.
            "solo" => Who::Solo,
            "tutti" => Who::Tutti,
            "div" | "divisi" | "divise" | "geteilt" | "getheilt" | "divisés" | "divisées" => {
                if denied {
                    Who::NotDivided
                } else {
                    Who::Divided
                }
            }
            "unis" | "unison" | "unisono" | "unisoni" => Who::Together,
            _ => return None,
        })
    })
}

/// Finds where others of the section play than before; what only says it again is left out.
pub(crate) fn find(scene: &Scene<'_>, found: &mut Vec<Watched>) {
    let mut before: Option<Who> = None;
    for mark in scene
        .marks
        .iter()
        .filter(|mark| mark.kind == MarkKind::Words)
    {
        let Some(who) = who(&mark.text) else { continue };
        if before.replace(who) == Some(who) {
            continue;
        }
        let place = Place {
            measure: mark.measure,
            at: mark.at,
        };
        let (said, words) = (scene.said(place), quoted(&mark.text));
        let what = match who {
            Who::Solo => "One player alone: settle who it is, and the others rest or listen.",
            Who::Tutti => "Everybody plays from here on; be ready with the others.",
            Who::Divided => "The section divides: settle which notes are yours, and mark them.",
            Who::NotDivided => "Not divided: everybody plays all the notes of a chord.",
            Who::Together => "All play the same notes again; listen for one sound.",
        };
        let name = match who {
            Who::Solo => "solo",
            Who::Tutti => "tutti",
            Who::Divided => "divided",
            Who::NotDivided => "not divided",
            Who::Together => "together",
        };
        let sentence = vary(
            found.len(),
            [
                format!("{said}: {words}. {what}"),
                format!("The part says {words} at {said}. {what}"),
            ],
        );
        found.push(scene.watched(
            Kind::WhoPlays,
            Spot::at(place),
            weight::WHO_PLAYS,
            &sentence,
            [("words", mark.text.as_str().into()), ("who", name.into())],
        ));
    }
}
