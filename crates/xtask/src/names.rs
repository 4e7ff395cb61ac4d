//! Short names between a module and its script, and between style sheets.
//!
//! What wasm-bindgen lets the two call each other is long and ends in hashes, which no
//! compression takes away; it stands in both. esbuild finds short names while it bundles the
//! script, and the module gets the same.

use anyhow::{Context, Result, ensure};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use walrus::Module;

/// The names that are shortened, as a regular expression of esbuild.
pub(crate) const LONG: &str = "^__wb(g|indgen)_";

/// Where esbuild notes the names it found.
pub(crate) fn file(folder: &Path) -> PathBuf {
    folder.join("names.json")
}

/// Gives a module the names that its bundled script has by now, and shortens in both what
/// the module calls the script's files. Returns the script.
///
/// # Errors
/// When a file cannot be read or written, or a name of the module is not in the script.
pub(crate) fn shortened(script: &str, folder: &Path, module: &Path) -> Result<String> {
    let noted = fs::read(file(folder)).context("esbuild noted no names")?;
    let names: BTreeMap<String, String> = serde_json::from_slice(&noted)?;
    let mut wasm = Module::from_file(module)?;
    let places: BTreeSet<String> = wasm.imports.iter().map(|own| own.module.clone()).collect();
    let places: BTreeMap<String, String> = places
        .into_iter()
        .zip(('a'..='z').map(String::from))
        .collect();
    for import in wasm.imports.iter_mut() {
        let short = places
            .get(&import.module)
            .context("more files than letters")?;
        import.module.clone_from(short);
        rename(&mut import.name, &names);
    }
    for export in wasm.exports.iter_mut() {
        rename(&mut export.name, &names);
    }
    wasm.emit_wasm_file(module)?;
    let mut script = script.to_owned();
    for (place, short) in &places {
        let quoted = format!("\"{place}\"");
        ensure!(script.contains(&quoted), "the script does not hold {place}");
        script = script.replace(&quoted, &format!("\"{short}\""));
    }
    Ok(script)
}

fn rename(name: &mut String, names: &BTreeMap<String, String>) {
    if let Some(short) = names.get(name) {
        name.clone_from(short);
    }
}

/// Gives the custom properties of a style sheet names of one letter, in the order in which `look`
/// tells what they are; others stay. All sheets that share a look share the letters.
pub(crate) fn short_properties(sheet: &str, look: &str) -> String {
    let mut short: BTreeMap<&str, char> = BTreeMap::new();
    let mut letters = 'a'..='z';
    for (name, rest) in look.split("--").skip(1).map(property) {
        if rest.starts_with(':')
            && !short.contains_key(name)
            && let Some(letter) = letters.next()
        {
            short.insert(name, letter);
        }
    }
    let mut pieces = sheet.split("--");
    let mut text = pieces.next().unwrap_or_default().to_owned();
    for (name, rest) in pieces.map(property) {
        text.push_str("--");
        match short.get(name) {
            Some(letter) => text.push(*letter),
            None => text.push_str(name),
        }
        text.push_str(rest);
    }
    text
}

/// Parts the name of a custom property, which ends before another "--", from what follows it.
fn property(text: &str) -> (&str, &str) {
    let end = text.find(|letter: char| !letter.is_ascii_alphanumeric() && letter != '-');
    text.split_at(end.unwrap_or(text.len()))
}

#[cfg(test)]
mod tests {
    use super::short_properties;

    #[test]
    fn properties_of_the_look_have_one_letter_in_every_sheet() {
        let look = "/* --line on --paper */:root{--line:#111;--strong-line:#222;--paper:#333}";
        assert_eq!(
            short_properties(":root{--line:#111;--strong-line:#222;--line:#444}", look),
            ":root{--a:#111;--b:#222;--a:#444}"
        );
        assert_eq!(
            short_properties("p{color:var(--paper);fill:var(--lines,--own)}--", look),
            "p{color:var(--c);fill:var(--lines,--own)}--"
        );
    }
}
