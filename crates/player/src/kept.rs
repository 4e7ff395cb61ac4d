//! Ticks kept on the device, under the guide's own id.
//!
//! Over `file://` all files share one storage, so what is found is believed only
//! as far as it names to-dos of this guide. Every access may be refused.

use crate::dom::window;
use cueleaf_guide::Guide;
use web_sys::Storage;

fn storage() -> Option<Storage> {
    window()?.local_storage().ok()?
}

fn key(guide: &Guide) -> String {
    format!("cueleaf.done.{}", guide.id)
}

/// Reads which to-dos are ticked.
pub(crate) fn done(guide: &Guide) -> Vec<String> {
    let found = storage().and_then(|storage| storage.get_item(&key(guide)).ok()?);
    among(&found.unwrap_or_default(), guide)
}

/// Keeps which to-dos are ticked; `false` when the browser refuses.
pub(crate) fn keep(guide: &Guide, done: &[String]) -> bool {
    let ids = done.join(" ");
    storage().is_some_and(|storage| storage.set_item(&key(guide), &ids).is_ok())
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
