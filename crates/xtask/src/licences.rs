//! The licences of what is compiled into the pages.

use crate::run::{answer, cargo, root};
use anyhow::{Context as _, Result, bail};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// The crates that are compiled into a page.
const IN_PAGES: [&str; 4] = [
    "cueleaf-player",
    "cueleaf-builder",
    "cueleaf-opener",
    "cueleaf-unpacker",
];

/// The licences that a library in a page may have, by their SPDX names.
///
/// # Source
/// Our decision: all let a page be handed on together with their notice.
const ALLOWED: [&str; 8] = [
    "0BSD",
    "Apache-2.0",
    "BSD-3-Clause",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Writes `dist/licences.txt`: each library that is compiled into a page with its licence, and the
/// notices that go along.
///
/// # Errors
/// When a library may not go into a page, or the file cannot be written.
pub(crate) fn write() -> Result<()> {
    let text = answer(cargo().args([
        "metadata",
        "--format-version=1",
        "--locked",
        "--filter-platform=wasm32-unknown-unknown",
    ]))
    .context("cargo metadata failed")?;
    let metadata: Value = serde_json::from_str(&text)?;
    let mut libraries = libraries(&metadata);
    libraries.sort_by_key(|library| (library["name"].as_str(), library["version"].as_str()));
    let mut written = String::from(
        "Cueleaf is under MIT or Apache-2.0, as you choose. Its pages hold these libraries:\n\n",
    );
    let mut notices: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for library in libraries {
        let field = |name: &str| library[name].as_str().unwrap_or_default();
        let (name, licence) = (
            format!("{} {}", field("name"), field("version")),
            field("license"),
        );
        if !may_go_along(licence) {
            bail!("{name} is under {licence:?}, which crates/xtask/src/licences.rs does not name");
        }
        written.push_str(&format!("{name}: {licence}\n"));
        let folder = Path::new(field("manifest_path")).parent();
        for notice in notices_in(folder.unwrap_or(Path::new("")))? {
            notices.entry(notice).or_default().push(name.clone());
        }
    }
    for (notice, names) in notices {
        let line = "-".repeat(72);
        written.push_str(&format!("\n{line}\n{}\n\n{notice}\n", names.join(", ")));
    }
    fs::write(root().join("dist/licences.txt"), written)?;
    Ok(())
}

/// Gives the libraries of others that the crates in pages are compiled with; what only writes code
/// while they are compiled is not among them.
fn libraries(metadata: &Value) -> Vec<&Value> {
    let list = |value: &'_ Value| value.as_array().cloned().unwrap_or_default();
    let packages: BTreeMap<&str, &Value> = metadata["packages"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|package| Some((package["id"].as_str()?, package)))
        .collect();
    let needs: BTreeMap<String, Vec<String>> =
        list(metadata.pointer("/resolve/nodes").unwrap_or(&Value::Null))
            .iter()
            .filter_map(|node| {
                let normal = |own: &Value| {
                    list(&own["dep_kinds"])
                        .iter()
                        .any(|kind| kind["kind"].is_null())
                };
                let own = list(&node["deps"]);
                let own = own.iter().filter(|own| normal(own));
                let ids = own.filter_map(|own| own["pkg"].as_str().map(str::to_owned));
                Some((node["id"].as_str()?.to_owned(), ids.collect()))
            })
            .collect();
    let is_ours = |package: &Value| package["source"].is_null();
    let named = |package: &Value| {
        let name = package["name"].as_str().unwrap_or_default();
        is_ours(package) && IN_PAGES.contains(&name)
    };
    let mut waiting: Vec<&str> = packages
        .iter()
        .filter(|(_, package)| named(package))
        .map(|(id, _)| *id)
        .collect();
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    while let Some(id) = waiting.pop() {
        let Some(package) = packages.get(id).filter(|_| seen.insert(id)) else {
            continue;
        };
        let kinds = |target: &Value| list(&target["kind"]);
        let writes_code = list(&package["targets"])
            .iter()
            .any(|target| kinds(target).contains(&Value::from("proc-macro")));
        if writes_code {
            continue;
        }
        if !is_ours(package) {
            found.push(*package);
        }
        for need in needs.get(id).into_iter().flatten() {
            if let Some((id, _)) = packages.get_key_value(need.as_str()) {
                waiting.push(id);
            }
        }
    }
    found
}

/// Tells whether a licence expression is met by licences of the table: one alternative of each
/// part that must be kept.
fn may_go_along(expression: &str) -> bool {
    let plain = expression.replace('/', " OR ").replace(['(', ')'], "");
    plain.split(" AND ").all(|part| {
        let mut alternatives = part.split(" OR ");
        alternatives.any(|own| ALLOWED.contains(&own.trim()))
    })
}

/// Reads the notices in the folder of a library. Where MIT is offered, Apache-2.0 is not taken: its
/// text is the same for all and ten times as long.
fn notices_in(folder: &Path) -> Result<Vec<String>> {
    let mut names: Vec<String> = fs::read_dir(folder)?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| {
            let upper = name.to_uppercase();
            ["LICEN", "COPY", "NOTICE"]
                .iter()
                .any(|start| upper.starts_with(start))
        })
        .collect();
    names.sort();
    if names.iter().any(|name| name.to_uppercase().contains("MIT")) {
        names.retain(|name| !name.to_uppercase().contains("APACHE"));
    }
    let read = |name: &String| Ok(fs::read_to_string(folder.join(name))?.trim().to_owned());
    names.iter().map(read).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_part_of_a_licence_must_be_allowed() {
        assert!(may_go_along("MIT OR Apache-2.0"));
        assert!(may_go_along("MIT/Apache-2.0"));
        assert!(may_go_along("GPL-3.0 OR MIT"));
        assert!(may_go_along("(Apache-2.0 OR MIT) AND BSD-3-Clause"));
        assert!(!may_go_along("MIT AND GPL-3.0"));
        assert!(!may_go_along("MPL-2.0"));
        assert!(!may_go_along(""));
    }

    #[test]
    fn only_what_is_compiled_in_is_listed() {
        let package = |id: &str, source: Option<&str>, kind: &str| serde_json::json!({"id": id, "name": id, "source": source, "targets": [{"kind": [kind]}]});
        let need = |id: &str, kind: Option<&str>| serde_json::json!({"pkg": id, "dep_kinds": [{"kind": kind}]});
        let metadata = serde_json::json!({
            "packages": [
                package("cueleaf-player", None, "lib"),
                package("one", Some("registry"), "lib"),
                package("below", Some("registry"), "lib"),
                package("macro", Some("registry"), "proc-macro"),
                package("test", Some("registry"), "lib"),
                package("elsewhere", Some("registry"), "lib"),
            ],
            "resolve": {"nodes": [
                {"id": "cueleaf-player", "deps": [need("one", None), need("macro", None), need("test", Some("dev"))]},
                {"id": "one", "deps": [need("below", None)]},
                {"id": "macro", "deps": [need("elsewhere", None)]},
            ]},
        });
        let mut names: Vec<_> = libraries(&metadata)
            .iter()
            .filter_map(|own| own["name"].as_str())
            .collect();
        names.sort_unstable();
        assert_eq!(names, ["below", "one"]);
    }
}
