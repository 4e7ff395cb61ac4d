//! Ticks kept on the device, under the guide's own id.
//!
//! Over `file://` all files share one storage, so what is found is believed only
//! as far as it names to-dos of this guide. Every access may be refused.

use crate::dom::window;
use cueleaf_guide::Guide;
use cueleaf_view::Practised;
use web_sys::Storage;

fn storage() -> Option<Storage> {
    window()?.local_storage().ok()?
}

fn key(guide: &Guide) -> String {
    format!("cueleaf.done.{}", guide.id)
}

/// Reads which to-dos are ticked; `None` when the browser refuses.
pub(crate) fn done(guide: &Guide) -> Option<Vec<String>> {
    let found = storage()?.get_item(&key(guide)).ok()?;
    Some(among(&found.unwrap_or_default(), guide))
}

/// Keeps which to-dos are ticked; `false` when the browser refuses.
pub(crate) fn keep(guide: &Guide, done: &[String]) -> bool {
    let ids = done.join(" ");
    storage().is_some_and(|storage| storage.set_item(&key(guide), &ids).is_ok())
}

/// The key of the choices for practising. They belong to the device, not to a
/// guide; whoever reads them checks each.
const CHOICES: &str = "cueleaf.choices";

/// Gives the choices as they were kept; empty when there are none.
pub(crate) fn choices() -> String {
    let found = storage().and_then(|storage| storage.get_item(CHOICES).ok()?);
    found.unwrap_or_default()
}

/// Keeps the choices, where the browser lets it: they are lost without harm.
pub(crate) fn keep_choices(text: &str) {
    if let Some(storage) = storage() {
        let _ = storage.set_item(CHOICES, text);
    }
}

/// The key under which the device's delay is kept, in milliseconds.
const LATENCY: &str = "cueleaf.latency";

/// Gives by how many milliseconds the sound of this device comes later than it
/// says; between -500 and 500.
pub(crate) fn latency() -> i16 {
    let found = storage().and_then(|storage| storage.get_item(LATENCY).ok()?);
    believed(found.and_then(|text| text.parse().ok()).unwrap_or(0))
}

/// Keeps the device's delay in milliseconds and gives what of it is believed.
pub(crate) fn keep_latency(milliseconds: i16) -> i16 {
    let milliseconds = believed(milliseconds);
    if let Some(storage) = storage() {
        let _ = storage.set_item(LATENCY, &milliseconds.to_string());
    }
    milliseconds
}

fn believed(milliseconds: i16) -> i16 {
    milliseconds.clamp(-500, 500)
}

/// The most stretches, and the most seconds of each, that are believed.
const MOST_STRETCHES: usize = 200;
const MOST_SECONDS: u32 = 10_000_000;

fn minutes_key(guide: &Guide) -> String {
    format!("cueleaf.minutes.{}", guide.id)
}

/// Gives for how long which stretches of a guide were practised here.
pub(crate) fn practised(guide: &Guide) -> Vec<Practised> {
    let found = storage().and_then(|storage| storage.get_item(&minutes_key(guide)).ok()?);
    stretches(&found.unwrap_or_default(), guide)
}

/// Keeps them, where the browser lets it.
pub(crate) fn keep_practised(guide: &Guide, of: &[Practised]) {
    let texts: Vec<String> = of
        .iter()
        .map(|own| format!("{}-{}:{}", own.first, own.last, own.seconds))
        .collect();
    if let Some(storage) = storage() {
        let _ = storage.set_item(&minutes_key(guide), &texts.join(" "));
    }
}

fn paces_key(guide: &Guide) -> String {
    format!("cueleaf.pace.{}", guide.id)
}

/// Gives the sections of a guide, by their first measure, that have a pace of their own here, with
/// it in percent; by rising measure.
pub(crate) fn paces(guide: &Guide) -> Vec<(usize, u16)> {
    let found = storage().and_then(|storage| storage.get_item(&paces_key(guide)).ok()?);
    let one = |text: &str| {
        let (first, percent) = text.split_once(':')?;
        Some((first.parse().ok()?, percent.parse().ok()?))
    };
    let found = found.unwrap_or_default();
    found
        .split(' ')
        .filter_map(one)
        .take(MOST_STRETCHES)
        .collect()
}

/// Keeps them, where the browser lets it.
pub(crate) fn keep_paces(guide: &Guide, paces: &[(usize, u16)]) {
    let texts: Vec<String> = paces
        .iter()
        .map(|(first, percent)| format!("{first}:{percent}"))
        .collect();
    if let Some(storage) = storage() {
        let _ = storage.set_item(&paces_key(guide), &texts.join(" "));
    }
}

/// Forgets the ticks, the minutes and the paces of a guide.
pub(crate) fn erase(guide: &Guide) {
    if let Some(storage) = storage() {
        let _ = storage.remove_item(&key(guide));
        let _ = storage.remove_item(&minutes_key(guide));
        let _ = storage.remove_item(&paces_key(guide));
    }
}

fn stretches(found: &str, guide: &Guide) -> Vec<Practised> {
    let one = |text: &str| {
        let (span, seconds) = text.split_once(':')?;
        let (first, last) = span.split_once('-')?;
        let own = Practised {
            first: first.parse().ok()?,
            last: last.parse().ok()?,
            seconds: seconds.parse().ok()?,
        };
        let fits = own.first <= own.last && own.last < guide.road_map.measures.len();
        (fits && own.seconds <= MOST_SECONDS).then_some(own)
    };
    found
        .split(' ')
        .filter_map(one)
        .take(MOST_STRETCHES)
        .collect()
}

fn among(found: &str, guide: &Guide) -> Vec<String> {
    let ticked = |id: &&str| found.split(' ').any(|own| own == *id);
    let ids = guide.todos.iter().map(|todo| todo.id.as_str());
    ids.filter(ticked).map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use cueleaf_guide::{Id, Todo};

    #[test]
    fn no_device_is_believed_to_be_half_a_second_late() {
        assert_eq!(
            [-32_768, -20, 499, 32_767].map(believed),
            [-500, -20, 499, 500]
        );
    }

    #[test]
    fn only_stretches_of_the_guide_are_believed() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "T");
        guide.road_map.measures = vec![cueleaf_guide::Measure::default(); 8];
        let found = stretches("0-7:90 3-2:9 4-8:9 x 1-1:-5 2-3:99999999999 5-5:61", &guide);
        let told: Vec<(usize, usize, u32)> = found
            .iter()
            .map(|own| (own.first, own.last, own.seconds))
            .collect();
        assert_eq!(told, [(0, 7, 90), (5, 5, 61)]);
    }

    #[test]
    fn only_this_guides_to_dos_are_believed() {
        let mut guide = Guide::new(Id::new("g").unwrap(), "T");
        guide.todos.push(Todo {
            id: Id::new("a").unwrap(),
            text: String::new(),
            spot: None,
            parts: Vec::new(),
            extra: Default::default(),
        });
        let found = among("b <script> a  a", &guide);
        assert_eq!(found, ["a"]);
        assert!(among("", &guide).is_empty());
    }
}
