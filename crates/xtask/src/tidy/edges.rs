//! Which of our crates may know which, and which may know the browser.

use super::Finding;
use serde_json::Value;

/// The crates that each crate may depend on: only rooms to its left.
const ALLOWED: [(&str, &[&str]); 19] = [
    ("cueleaf-time", &[]),
    ("cueleaf-score", &["time"]),
    ("cueleaf-guide", &["time"]),
    ("cueleaf-plan", &["time", "guide"]),
    ("cueleaf-view", &["time", "guide", "plan"]),
    ("cueleaf-pack", &[]),
    ("cueleaf-unpacker", &["pack"]),
    (
        "cueleaf-export",
        &["time", "guide", "plan", "link", "view", "pack"],
    ),
    (
        "cueleaf-read",
        &["time", "score", "guide", "outline", "pack"],
    ),
    ("cueleaf-watch", &["time", "score", "guide", "plan"]),
    ("cueleaf-link", &["time", "guide"]),
    ("cueleaf-outline", &["time", "guide"]),
    ("cueleaf-bundle", &[]),
    ("cueleaf-player", &["time", "guide", "plan", "view"]),
    (
        "cueleaf-opener",
        &["time", "guide", "plan", "link", "view", "export"],
    ),
    (
        "cueleaf-builder",
        &[
            "time", "score", "guide", "plan", "link", "outline", "view", "export", "read",
            "bundle", "watch",
        ],
    ),
    (
        "cueleaf",
        &[
            "time", "score", "guide", "plan", "link", "outline", "view", "export", "read", "watch",
            "bundle",
        ],
    ),
    (
        "cueleaf-bench",
        &[
            "time", "score", "guide", "plan", "link", "outline", "view", "export", "read", "watch",
        ],
    ),
    ("xtask", &["pack"]),
];

/// The crates that run as WebAssembly; the bench under Node.js.
const IN_BROWSER: [&str; 4] = [
    "cueleaf-player",
    "cueleaf-builder",
    "cueleaf-opener",
    "cueleaf-bench",
];

/// Checks the edges between our crates in the answer of `cargo metadata --no-deps`. What only
/// tests use is not held to the table.
pub(super) fn check(metadata: &Value) -> Vec<Finding> {
    let mut findings = Vec::new();
    for package in packages(metadata) {
        let name = text(package, "name");
        let manifest = manifest_path(metadata, package);
        let Some((_, allowed)) = ALLOWED.iter().find(|(row, _)| *row == name) else {
            let message = format!("the crate {name} has no row in the table of edges");
            findings.push(Finding::in_file(&manifest, message));
            continue;
        };
        for dependency in list(package, "dependencies") {
            let wanted = text(dependency, "name");
            let for_tests = text(dependency, "kind") == "dev";
            let ours = wanted.strip_prefix("cueleaf-");
            if ours.is_some_and(|room| !for_tests && !allowed.contains(&room)) {
                let message = format!("{name} must not know {wanted}");
                findings.push(Finding::in_file(&manifest, message));
            }
            if of_browser(wanted) && !IN_BROWSER.contains(&name) {
                let message = format!("{wanted} is for what runs in a browser only");
                findings.push(Finding::in_file(&manifest, message));
            }
        }
    }
    findings
}

fn of_browser(name: &str) -> bool {
    name.starts_with("gloo")
        || [
            "web-sys",
            "js-sys",
            "wasm-bindgen",
            "wasm-bindgen-futures",
            "serde-wasm-bindgen",
            "console_error_panic_hook",
        ]
        .contains(&name)
}

/// Returns the packages of the workspace.
pub(super) fn packages(metadata: &Value) -> &[Value] {
    list(metadata, "packages")
}

/// Returns a package's manifest as a path from the repository's root.
pub(super) fn manifest_path(metadata: &Value, package: &Value) -> String {
    let path = text(package, "manifest_path");
    let root = text(metadata, "workspace_root");
    path.strip_prefix(root)
        .unwrap_or(path)
        .trim_start_matches('/')
        .to_owned()
}

/// Returns a field's text, empty where there is none.
pub(super) fn text<'a>(value: &'a Value, field: &str) -> &'a str {
    value.get(field).and_then(Value::as_str).unwrap_or_default()
}

fn list<'a>(value: &'a Value, field: &str) -> &'a [Value] {
    value
        .get(field)
        .and_then(Value::as_array)
        .map_or(&[], Vec::as_slice)
}

#[cfg(test)]
mod tests {
    use super::check;
    use serde_json::{Value, json};

    fn found(name: &str, dependency: &Value) -> Vec<String> {
        let metadata = json!({"workspace_root": "/r", "packages": [{
            "name": name, "manifest_path": "/r/crates/x/Cargo.toml", "dependencies": [dependency],
        }]});
        check(&metadata).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_room_knows_only_rooms_to_its_left() {
        let view = json!({"name": "cueleaf-view", "kind": null});
        assert_eq!(
            found("cueleaf-plan", &view),
            ["crates/x/Cargo.toml: cueleaf-plan must not know cueleaf-view"]
        );
        assert!(found("cueleaf-export", &view).is_empty());
        let for_build = json!({"name": "cueleaf-view", "kind": "build"});
        assert_eq!(found("cueleaf-plan", &for_build).len(), 1);
        let for_tests = json!({"name": "cueleaf-view", "kind": "dev"});
        assert!(found("cueleaf-plan", &for_tests).is_empty());
    }

    #[test]
    fn only_player_and_builder_know_the_browser() {
        for name in ["web-sys", "js-sys", "gloo-timers"] {
            let dependency = json!({"name": name, "kind": null});
            assert_eq!(found("cueleaf-view", &dependency).len(), 1, "{name}");
            assert!(found("cueleaf-player", &dependency).is_empty(), "{name}");
        }
    }

    #[test]
    fn a_new_crate_needs_a_row() {
        assert_eq!(
            found("cueleaf-new", &json!({"name": "serde", "kind": null})).len(),
            1
        );
    }
}
