//! From a score to the draft of a guide.

mod assumed;
mod groups;
mod marks;
mod order;
mod road_map;
mod steps;
mod tempo;

use crate::ReadError;
use crate::collect::Findings;
use cueleaf_guide::{Checked, Extra, Finding, Guide, Id, Part};
use cueleaf_score::Score;

/// Drafts a guide from a score: the road map from all parts, and for each
/// chosen part its marks. Tips are the teacher's.
///
/// `wanted` names the parts to take, each by its printed name in any case or by
/// the file's id; none means all. Measures are labelled, and keys given, as in
/// the first chosen part.
///
/// # Errors
/// [`ReadError::UnknownPart`] with the names there are.
pub fn draft(score: &Score, wanted: &[&str], id: Id) -> Result<Checked<Guide>, ReadError> {
    let chosen = choose(score, wanted)?;
    let mut findings = Findings::default();
    let mut guide = Guide::new(id, &title(score));
    guide.composer.clone_from(&score.composer);
    guide.road_map = road_map::road_map(score, &chosen, &mut findings);
    assumed::tell(&guide.road_map.measures, &mut findings);
    let ids = part_ids(score);
    for index in chosen {
        let (Some(part), Some(id)) = (score.parts.get(index), ids.get(index)) else {
            continue;
        };
        guide.parts.push(Part {
            id: id.clone(),
            name: part.name.clone(),
            marks: marks::marks(part),
            extra: Extra::default(),
        });
    }
    Ok(Checked {
        value: guide,
        findings: tempo_first(findings.in_order()),
    })
}

/// Drafts a guide from a score as it was read; what was found while reading stands before what
/// is found now, but for what is about parts that are not taken. See [`draft`].
///
/// # Errors
/// [`ReadError::UnknownPart`] with the names there are.
pub fn draft_checked(
    score: &Checked<Score>,
    wanted: &[&str],
    id: Id,
) -> Result<Checked<Guide>, ReadError> {
    let drafted = draft(&score.value, wanted, id)?;
    let mut findings = findings_for(&score.value, wanted, &score.findings)?;
    findings.extend(drafted.findings);
    Ok(Checked {
        value: drafted.value,
        findings: tempo_first(findings),
    })
}

/// Puts first that no tempo is given: every second of the guide hangs on it.
fn tempo_first(mut findings: Vec<Finding>) -> Vec<Finding> {
    findings.sort_by_key(|finding| finding.code != assumed::NO_TEMPO);
    findings
}

/// Gives what was found while reading a score but what is about parts that are not `wanted`.
fn findings_for(
    score: &Score,
    wanted: &[&str],
    findings: &[Finding],
) -> Result<Vec<Finding>, ReadError> {
    let chosen = choose(score, wanted)?;
    let left_out = |finding: &Finding| {
        let about = finding.place.id.as_deref();
        let part = about.and_then(|id| score.parts.iter().position(|part| part.id == id));
        part.is_some_and(|index| !chosen.contains(&index))
    };
    let kept = findings.iter().filter(|finding| !left_out(finding));
    // The ids of the file's parts are in no guide, and say nothing to anybody.
    let unnamed = kept.cloned().map(|mut finding| {
        finding.place.id = None;
        finding
    });
    Ok(unnamed.collect())
}

/// Gives the ids that the parts of a score have in its drafts, in the order of
/// the score: the name in small letters, "violin-ii", numbered where two agree.
#[must_use]
pub fn part_ids(score: &Score) -> Vec<Id> {
    let mut ids: Vec<Id> = Vec::with_capacity(score.parts.len());
    for (index, part) in score.parts.iter().enumerate() {
        let stem = [&part.name, &part.id]
            .into_iter()
            .map(|name| slug(name))
            .find(|slug| !slug.is_empty())
            .unwrap_or_else(|| "part".to_owned());
        let numbered = (2..=index + 2).map(|number| format!("{stem}-{number}"));
        let free = core::iter::once(stem.clone())
            .chain(numbered)
            .filter_map(|text| Id::new(&text))
            .find(|id| !ids.contains(id));
        // Of as many different names as there are parts one is free.
        ids.extend(free);
    }
    ids
}

/// Keeps letters and digits; everything else becomes single dashes.
fn slug(name: &str) -> String {
    let mut slug = String::new();
    for letter in name.chars().take(40) {
        if letter.is_ascii_alphanumeric() {
            slug.push(letter.to_ascii_lowercase());
        } else if !slug.ends_with('-') && !slug.is_empty() {
            slug.push('-');
        }
    }
    slug.trim_end_matches('-').to_owned()
}

fn title(score: &Score) -> String {
    match (score.title.as_str(), score.movement.as_str()) {
        ("", movement) => movement.to_owned(),
        (title, "") => title.to_owned(),
        (title, movement) if title == movement => title.to_owned(),
        (title, movement) => format!("{title}: {movement}"),
    }
}

/// Gives the indices of the chosen parts in the order of the score.
fn choose(score: &Score, wanted: &[&str]) -> Result<Vec<usize>, ReadError> {
    if wanted.is_empty() {
        return Ok((0..score.parts.len()).collect());
    }
    let mut chosen = Vec::new();
    for name in wanted {
        let small = name.trim().to_lowercase();
        let by_name = |part: &cueleaf_score::Part| part.name.to_lowercase() == small;
        let found = score
            .parts
            .iter()
            .position(by_name)
            .or_else(|| score.parts.iter().position(|part| part.id == name.trim()));
        let index = found.ok_or_else(|| ReadError::UnknownPart {
            wanted: name.trim().to_owned(),
            names: score.parts.iter().map(|part| part.name.clone()).collect(),
        })?;
        chosen.push(index);
    }
    chosen.sort_unstable();
    chosen.dedup();
    Ok(chosen)
}
