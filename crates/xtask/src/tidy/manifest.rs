//! What every manifest must say.

use super::Finding;
use super::edges::{manifest_path, packages, text};
use super::source::Source;
use serde_json::Value;

/// Checks that each of our crates names its licence.
pub(super) fn licences(metadata: &Value) -> Vec<Finding> {
    packages(metadata)
        .iter()
        .filter(|package| text(package, "license").is_empty())
        .map(|package| Finding::in_file(&manifest_path(metadata, package), "no licence is set"))
        .collect()
}

/// Checks that a crate takes the workspace's lints, and that npm's lock file names no host.
pub(super) fn check(source: &Source) -> Vec<Finding> {
    let path = source.path();
    let mut findings = Vec::new();
    let is_manifest = source
        .crate_folder()
        .is_some_and(|folder| path == format!("crates/{folder}/Cargo.toml"));
    if is_manifest && !takes_lints(source.text()) {
        findings.push(Finding::in_file(
            path,
            "`[lints] workspace = true` is missing",
        ));
    }
    if path == "package-lock.json" && source.text().contains("\"resolved\"") {
        let message = "names where packages were fetched; see .npmrc";
        findings.push(Finding::in_file(path, message));
    }
    findings
}

fn takes_lints(manifest: &str) -> bool {
    manifest
        .lines()
        .skip_while(|line| line.trim() != "[lints]")
        .skip(1)
        .take_while(|line| !line.starts_with('['))
        .any(|line| line.split_whitespace().eq(["workspace", "=", "true"]))
}

#[cfg(test)]
mod tests {
    use super::{Source, check, licences};
    use serde_json::json;

    #[test]
    fn a_crate_without_the_lints_is_found() {
        let count = |text: &str| check(&Source::new("crates/a/Cargo.toml", text)).len();
        assert_eq!(count("[package]\nname = \"a\"\n"), 1);
        assert_eq!(count("[lints]\n[dependencies]\nworkspace = true\n"), 1);
        assert_eq!(count("[lints]\nworkspace = true\n"), 0);
    }

    #[test]
    fn a_host_in_the_lock_file_is_found() {
        let source = Source::new(
            "package-lock.json",
            "{\"resolved\": \"https://example.org\"}",
        );
        assert_eq!(check(&source).len(), 1);
    }

    #[test]
    fn a_crate_without_a_licence_is_found() {
        let package = |licence| json!({"packages": [{"name": "a", "manifest_path": "a/Cargo.toml", "license": licence}]});
        assert_eq!(licences(&package(json!(null))).len(), 1);
        assert_eq!(licences(&package(json!("MIT"))).len(), 0);
    }
}
