//! What the command reads: scores, saved guides, exported guides.

use crate::{Failure, Opened};
use cueleaf_guide::{Checked, Finding, Guide, Id, Place, Spot, open};
use cueleaf_outline::{write, write_with};
use cueleaf_read::talk::{draft_talk, listen};
use cueleaf_read::{
    Kind, ReadError, draft_checked, guide_in_page, limits, read_captions, read_outline, read_score,
    sniff,
};
use cueleaf_score::Score;
use cueleaf_watch::{BowPlan, BowStart, Watched, bow_plan, watch as watch_list};
use std::borrow::Cow;
use std::path::{Path, PathBuf};

fn bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    let about = |error: &std::io::Error| Failure::Use(format!("{}: {error}", path.display()));
    let size = std::fs::metadata(path)
        .map_err(|error| about(&error))?
        .len();
    if usize::try_from(size).is_ok_and(|size| size > limits::MAX_FILE_BYTES) {
        return Err(Failure::Found(format!(
            "{}: the file has {size} bytes, and the most that is read is {}",
            path.display(),
            limits::MAX_FILE_BYTES
        )));
    }
    std::fs::read(path).map_err(|error| about(&error))
}

/// What a file is told to be by its content, as far as a command asks.
enum Input {
    Guide,
    Score,
    Captions,
    Notes,
}

impl Input {
    /// Tells what bytes are; `None` for anything else.
    fn of(bytes: &[u8]) -> Option<Self> {
        match sniff(bytes) {
            Kind::SavedGuide | Kind::ExportedGuide => Some(Self::Guide),
            Kind::MusicXml | Kind::CompressedMusicXml | Kind::Midi => Some(Self::Score),
            Kind::Captions => Some(Self::Captions),
            Kind::Outline => Some(Self::Notes),
            Kind::Unknown => None,
        }
    }

    /// Says what a file is where something else is wanted, and what can be done with it.
    const fn said(&self) -> &'static str {
        match self {
            Self::Guide => "this is a guide already; `cueleaf outline` prints it as notes",
            Self::Score => "this is a score; `cueleaf draft` makes a guide of it",
            Self::Captions => "these are captions; `cueleaf draft` makes a guide of them",
            Self::Notes => "these are notes; `cueleaf draft` makes a guide of them",
        }
    }
}

/// Drafts a guide from a score, from captions or from notes.
pub(crate) fn draft(path: &Path, parts: &[&str], id: Id) -> Result<Opened, Failure> {
    draft_from(path, bytes(path)?, parts, id)
}

fn draft_from(path: &Path, bytes: Vec<u8>, parts: &[&str], id: Id) -> Result<Opened, Failure> {
    let no_parts = |what: &str| {
        if parts.is_empty() {
            return Ok(());
        }
        let message = format!("{}: {what}, so leave --part out", path.display());
        Err(Failure::Use(message))
    };
    match Input::of(&bytes) {
        Some(input @ Input::Guide) => {
            let said = input.said();
            Err(Failure::Found(format!("{}: {said}", path.display())))
        }
        Some(Input::Captions) => {
            no_parts("captions name no parts")?;
            let captions = read_captions(bytes).map_err(|error| refused(path, &error))?;
            let drafted = draft_talk(&listen(&captions.value), id);
            let mut findings = captions.findings;
            findings.extend(drafted.findings);
            Ok(Checked {
                value: drafted.value,
                findings,
            })
        }
        Some(Input::Notes) => {
            no_parts("notes name their own parts")?;
            let outlined = read_outline(bytes).map_err(|error| refused(path, &error))?;
            Ok(Checked {
                value: Guide {
                    id,
                    ..outlined.guide
                },
                findings: outlined.findings.iter().map(Finding::from).collect(),
            })
        }
        Some(Input::Score) | None => {
            let score = read_score(bytes).map_err(|error| refused(path, &error))?;
            draft_checked(&score, parts, id).map_err(|error| refused(path, &error))
        }
    }
}

/// A score with the guide drafted of one part of it; the part need not be named when it is the
/// only one.
pub(crate) struct Looked {
    score: Score,
    part: usize,
    guide: Checked<Guide>,
}

/// Opens a score for what only its notes tell.
pub(crate) fn look(path: &Path, part: Option<&str>) -> Result<Looked, Failure> {
    let bytes = bytes(path)?;
    if let Some(input @ (Input::Guide | Input::Captions | Input::Notes)) = Input::of(&bytes) {
        let (path, said) = (path.display(), input.said());
        let message = format!("{path}: {said}; this is read from the notes of a part or score");
        return Err(Failure::Found(message));
    }
    let score = read_score(bytes).map_err(|error| refused(path, &error))?;
    let parts = &score.value.parts;
    if part.is_none() && parts.len() > 1 {
        let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
        let names = names.join(", ");
        let message = format!("choose one with --part; the parts are: {names}");
        return Err(Failure::Use(message));
    }
    let wanted: Vec<&str> = part.into_iter().collect();
    let id = crate::id_of(Some("watch".to_owned()))?;
    let guide = draft_checked(&score, &wanted, id).map_err(|error| refused(path, &error))?;
    let name = guide.value.parts.first().map(|part| part.name.as_str());
    let index = parts
        .iter()
        .position(|part| Some(part.name.as_str()) == name);
    let index = index.ok_or_else(|| {
        let message = format!("{}: the score has no part", path.display());
        Failure::Found(message)
    })?;
    Ok(Looked {
        score: score.value,
        part: index,
        guide,
    })
}

impl Looked {
    /// Gives what was found while the guide was drafted.
    pub(crate) fn findings(&self) -> &[Finding] {
        &self.guide.findings
    }

    /// Lists the places where something changes or gets hard.
    pub(crate) fn watch_list(&self) -> Vec<Watched> {
        watch_list(&self.score, self.part, &self.guide.value)
    }

    /// Names a measure by its printed number.
    pub(crate) fn number_of(&self, measure: usize) -> Cow<'_, str> {
        self.guide.value.road_map.number_of(measure)
    }

    /// Plans the bow from one measure to another, both included, by their printed numbers.
    pub(crate) fn bow_plan(
        &self,
        (from, to): (&str, &str),
        start: BowStart,
    ) -> Result<BowPlan, Failure> {
        let measures = self.guide.value.road_map.measures.len();
        let road_map = &self.guide.value.road_map;
        let find = |number: &str, start: usize| {
            (start..measures).find(|index| road_map.number_of(*index) == number)
        };
        let none = |what: &str| Failure::Use(format!("there is no measure {what}"));
        let first = find(from, 0).ok_or_else(|| none(from))?;
        let last = find(to, first).ok_or_else(|| none(&format!("{to} after {from}")))?;
        let span = Spot {
            from: Place::start_of(first),
            to: Some(Place::start_of(last)),
        };
        let plan = bow_plan(&self.score, self.part, &self.guide.value, span, start);
        Ok(plan)
    }
}

fn refused(path: &Path, error: &ReadError) -> Failure {
    let message = format!("{}: {error}", path.display());
    match error {
        ReadError::UnknownPart { .. } => Failure::Use(message),
        _ => Failure::Found(message),
    }
}

/// Opens a guide, saved or exported.
pub(crate) fn guide(path: &Path) -> Result<Guide, Failure> {
    guide_from(path, &bytes(path)?)
}

/// Opens the guides in a folder, saved or exported, in the order of their names; or the
/// one guide that a file holds. What is no guide is passed over and told.
pub(crate) fn guides(path: &Path) -> Result<Vec<(PathBuf, Guide)>, Failure> {
    if !path.is_dir() {
        return Ok(vec![(path.to_owned(), guide(path)?)]);
    }
    let about = |error: std::io::Error| Failure::Use(format!("{}: {error}", path.display()));
    let entries = std::fs::read_dir(path).map_err(about)?;
    let paths = entries.map(|entry| entry.map(|entry| entry.path()));
    let mut paths: Vec<PathBuf> = paths.collect::<Result<_, _>>().map_err(about)?;
    paths.sort();
    let mut guides = Vec::new();
    for path in paths {
        let is_for_guides = path.extension().is_some_and(|ending| {
            ending.eq_ignore_ascii_case("json") || ending.eq_ignore_ascii_case("html")
        });
        if !is_for_guides {
            continue;
        }
        let bytes = bytes(&path)?;
        if matches!(Input::of(&bytes), Some(Input::Guide)) {
            let guide = guide_from(&path, &bytes)?;
            guides.push((path, guide));
        } else {
            eprintln!("note: {}: this is no guide and is left out", path.display());
        }
    }
    if guides.is_empty() {
        let message = format!("{}: there are no guides in this folder", path.display());
        return Err(Failure::Found(message));
    }
    Ok(guides)
}

fn guide_from(path: &Path, bytes: &[u8]) -> Result<Guide, Failure> {
    let found = |message: &str| Failure::Found(format!("{}: {message}", path.display()));
    if let Some(input @ (Input::Score | Input::Captions | Input::Notes)) = Input::of(bytes) {
        return Err(found(input.said()));
    }
    let text = String::from_utf8_lossy(bytes);
    let opened = match sniff(bytes) {
        Kind::ExportedGuide => guide_in_page(&text)
            .ok_or_else(|| found("this page holds no guide any more; look for another copy"))?,
        _ => open(&text),
    };
    opened.map_err(|error| found(&error.to_string()))
}

/// Opens a guide, or drafts one from a score; a part may be chosen by name.
pub(crate) fn any(path: &Path, part: Option<&str>) -> Result<Opened, Failure> {
    let bytes = bytes(path)?;
    match Input::of(&bytes) {
        Some(Input::Guide) => {
            let guide = guide_from(path, &bytes)?;
            let value = match part {
                Some(name) => cueleaf_guide::for_part(&guide, &part_of(&guide, name)?),
                None => guide,
            };
            Ok(Checked::clean(value))
        }
        _ => {
            let parts: Vec<&str> = part.into_iter().collect();
            draft_from(
                path,
                bytes,
                &parts,
                crate::id_of(Some("timeline".to_owned()))?,
            )
        }
    }
}

/// Writes the outline of a guide, of a draft, or of notes, whose asides stay.
pub(crate) fn outline(path: &Path, part: Option<&str>) -> Result<Checked<String>, Failure> {
    let bytes = bytes(path)?;
    if part.is_none() && matches!(Input::of(&bytes), Some(Input::Notes)) {
        let outlined = read_outline(bytes).map_err(|error| refused(path, &error))?;
        return Ok(Checked {
            value: write_with(&outlined.guide, &outlined.comments),
            findings: outlined.findings.iter().map(Finding::from).collect(),
        });
    }
    let opened = any(path, part)?;
    Ok(Checked {
        value: write(&opened.value),
        findings: opened.findings,
    })
}

/// Finds a part of a guide by name or id; the case of letters does not matter.
pub(crate) fn part_of(guide: &Guide, name: &str) -> Result<Id, Failure> {
    let wanted = name.to_lowercase();
    let mut parts = guide.parts.iter();
    parts
        .find(|part| part.name.to_lowercase() == wanted || part.id.as_str() == name)
        .map(|part| part.id.clone())
        .ok_or_else(|| {
            let names: Vec<&str> = guide.parts.iter().map(|part| part.name.as_str()).collect();
            Failure::Use(format!(
                "there is no part \"{name}\"; the parts are: {}",
                names.join(", ")
            ))
        })
}
