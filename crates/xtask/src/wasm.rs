//! One wasm crate made into what a page loads: a script, a style sheet and a module.

use crate::deflate::deflated;
use crate::kept::kept;
use crate::names;
use crate::run::{must, must_silently, root, say};
use crate::setup::npm_program;
use crate::toolchain::{Panics, TARGET, Toolchain};
use anyhow::{Context, Result, ensure};
use std::fs;
use std::path::{Path, PathBuf};
use wasm_bindgen_cli_support::Bindgen;

/// The profiles in Cargo.toml, and what wasm-opt is told with each.
const SMALL: Speed = Speed {
    profile: "wasm",
    shrink: "-Oz",
    // Functions put into one another read differently each time; called, they are alike and pack
    // better.
    more: &[
        "--one-caller-inline-max-function-size=0",
        "--always-inline-max-function-size=0",
        "--converge",
    ],
};
const EVEN: Speed = Speed {
    profile: "wasm-even",
    shrink: "-Oz",
    more: &[],
};
const QUICK: Speed = Speed {
    profile: "wasm-quick",
    shrink: "-O3",
    more: &[],
};

/// What a module is made for.
#[derive(Clone, Copy)]
struct Speed {
    profile: &'static str,
    shrink: &'static str,
    more: &'static [&'static str],
}

/// The oldest browsers we write for; esbuild rewrites what is newer.
const BROWSERS: &str = "--target=es2022,chrome103,firefox113,safari16.4";

/// What rustc may use in a module today; wasm-opt has to be told.
const WASM_FEATURES: [&str; 7] = [
    "--enable-simd",
    "--enable-bulk-memory",
    "--enable-nontrapping-float-to-int",
    "--enable-reference-types",
    "--enable-multivalue",
    "--enable-sign-ext",
    "--enable-mutable-globals",
];

/// A wasm crate and the files around it.
pub(crate) struct Front {
    /// `player`, `builder` or `opener`: the crate `cueleaf-NAME`, the folders `www/NAME` and
    /// `target/web/NAME`, and the script `NAME.js`.
    pub(crate) name: &'static str,
    /// The style sheet in `www/`.
    pub(crate) style: &'static str,
    panics: Panics,
    speed: Speed,
}

/// What stands inside the exported guide.
pub(crate) const PLAYER: Front = Front {
    name: "player",
    style: "guide.css",
    panics: Panics::Stop,
    speed: SMALL,
};
/// The page that opens links.
pub(crate) const OPENER: Front = Front {
    name: "opener",
    style: "play.css",
    panics: Panics::Stop,
    speed: SMALL,
};
/// The teacher's page.
pub(crate) const BUILDER: Front = Front {
    name: "builder",
    style: "builder.css",
    panics: Panics::Speak,
    speed: QUICK,
};

/// The files of a front, ready to be put into a page.
pub(crate) struct Files {
    /// The bundled classic script, safe inside a `<script>` element.
    pub(crate) script: String,
    /// The style sheet, safe inside a `<style>` element.
    pub(crate) style: String,
    /// The optimised module.
    pub(crate) wasm: Vec<u8>,
}

/// What an exported guide carries in the open and packed.
pub(crate) struct Guide {
    /// The script that unpacks the rest.
    pub(crate) start: String,
    /// What is packed: the sizes of the live script and the live style, these two, and the module
    /// without the sizes of its functions.
    pub(crate) packed: Vec<u8>,
}

/// Makes what brings an exported guide to life of the built player.
///
/// # Errors
/// When a tool fails, or a file cannot be read or written.
pub(crate) fn for_guide(player: &Files, unpacker: &[u8]) -> Result<Guide> {
    let folder = folder(&PLAYER);
    let start = folder.join("start.js");
    let mut esbuild = npm_program("esbuild")?;
    esbuild
        .arg("www/player/start.js")
        .args(["--bundle", "--minify", "--format=iife", "--charset=utf8"])
        .args([BROWSERS, "--legal-comments=none", "--log-level=warning"])
        .arg(format!(
            "--define:UNPACKER={}",
            serde_json::to_string(&cueleaf_pack::letters(unpacker))?
        ))
        .arg(format!("--define:UNPACKER_SIZE={}", unpacker.len()))
        .arg(format!("--outfile={}", start.display()));
    must_silently(&mut esbuild)?;
    let start = tidied(&start)?;
    safe_inside(&start, "script", &["</script", "<!--", "<script"])?;
    let style = style("guide-live.css", &folder)?;
    let mut packed = Vec::new();
    for text in [&player.script, &style] {
        packed.extend(u32::try_from(text.len())?.to_be_bytes());
    }
    let module = cueleaf_pack::without_sizes(&player.wasm).context("the player is no module")?;
    packed.extend([player.script.as_bytes(), style.as_bytes(), &module].concat());
    Ok(Guide { start, packed })
}

/// Makes the module that unpacks what an exported guide carries packed, deflated.
///
/// # Errors
/// When a tool fails, or a file cannot be read or written.
pub(crate) fn unpacker(toolchain: &Toolchain) -> Result<Vec<u8>> {
    let name = "unpacker";
    let mut cargo = toolchain.cargo(
        &["build", "--quiet", "--package", "cueleaf-unpacker", "--lib"],
        Panics::Stop,
    );
    must(cargo.args(["--profile", EVEN.profile]))?;
    let compiled = Toolchain::target_folder(Panics::Stop)
        .join(TARGET)
        .join(EVEN.profile)
        .join("cueleaf_unpacker.wasm");
    let folder = root().join("target/web").join(name);
    fs::create_dir_all(&folder)?;
    let module = folder.join("unpacker.wasm");
    let mut wasm = walrus::Module::from_file(&compiled)?;
    wasm.customs = Default::default();
    wasm.emit_wasm_file(&module)?;
    let small = optimised(&module, &folder, name, EVEN)?;
    kept("unpacker-deflated", &small, || Ok(deflated(&small)))
}

/// Returns the folder in which a front's files end up, an absolute path.
pub(crate) fn folder(front: &Front) -> PathBuf {
    root().join("target/web").join(front.name)
}

/// Compiles a front's crate and bundles its script and style.
///
/// # Errors
/// When a tool fails, or a file cannot be read or written.
pub(crate) fn make(
    front: &Front,
    toolchain: &Toolchain,
    environment: &[(&str, &Path)],
) -> Result<Files> {
    let name = front.name;
    say(&format!("compiling the {name} to WebAssembly"));
    let package = format!("cueleaf-{name}");
    let mut cargo = toolchain.cargo(&["build", "--quiet", "--package", &package], front.panics);
    cargo
        .args(["--lib", "--profile", front.speed.profile])
        .envs(environment.iter().copied());
    must(&mut cargo)?;

    let folder = folder(front);
    let glue = folder.join("pkg");
    // Nothing of an earlier build may stay behind: what is bundled is what was just made.
    if folder.exists() {
        fs::remove_dir_all(&folder).context("cannot empty target/web")?;
    }
    fs::create_dir_all(&glue)?;
    let compiled = Toolchain::target_folder(front.panics)
        .join(TARGET)
        .join(front.speed.profile)
        .join(format!("cueleaf_{name}.wasm"));
    say(&format!(
        "writing the {name}'s script and shrinking its module"
    ));
    bind(&compiled, &glue, name)?;
    let module = glue.join(format!("{name}_bg.wasm"));
    let script = names::shortened(&script(front, &glue, &folder)?, &folder, &module)?;
    fs::write(folder.join(format!("{name}.js")), &script)?;
    let wasm = optimised(&module, &folder, name, front.speed)?;
    let style = style(front.style, &folder)?;
    Ok(Files {
        script,
        style,
        wasm,
    })
}

fn bind(compiled: &Path, glue: &Path, name: &str) -> Result<()> {
    let mut bindgen = Bindgen::new();
    bindgen.input_path(compiled).out_name(name).web(true)?;
    bindgen
        .typescript(false)
        .remove_name_section(true)
        .remove_producers_section(true)
        // The page hands the module's bytes over; no address is ever fetched by the glue.
        .omit_default_module_path(true)
        .generate(glue)
        .with_context(|| format!("wasm-bindgen refused the {name}"))
}

/// Compiles the crate `cueleaf-NAME` for Node.js; returns the path of the script that loads it.
///
/// # Errors
/// When a tool fails, or a file cannot be read or written.
pub(crate) fn bound_for_node(name: &str, toolchain: &Toolchain) -> Result<PathBuf> {
    let package = format!("cueleaf-{name}");
    let panics = Panics::Speak;
    let mut cargo = toolchain.cargo(&["build", "--quiet", "--package", &package], panics);
    must(cargo.args(["--lib", "--profile", QUICK.profile]))?;
    let compiled = Toolchain::target_folder(panics)
        .join(TARGET)
        .join(QUICK.profile)
        .join(format!("cueleaf_{name}.wasm"));
    let folder = root().join("target/web").join(name);
    let mut bindgen = Bindgen::new();
    bindgen.input_path(&compiled).out_name(name).nodejs(true)?;
    bindgen.typescript(false).generate(&folder)?;
    let glue = format!("{name}_bg.wasm");
    let wasm = optimised(&folder.join(&glue), &folder, name, QUICK)?;
    fs::write(folder.join(glue), wasm)?;
    // package.json makes every `.js` a module; this script is none.
    let script = folder.join(format!("{name}.cjs"));
    fs::rename(folder.join(format!("{name}.js")), &script)?;
    Ok(script)
}

fn optimised(module: &Path, folder: &Path, name: &str, speed: Speed) -> Result<Vec<u8>> {
    let flags = [
        // The lowest kilobyte is the far end of the stack, never an address of data.
        &[
            "--low-memory-unused",
            "--flatten",
            "--rereloop",
            speed.shrink,
            speed.shrink,
            "--strip-target-features",
        ][..],
        speed.more,
        &WASM_FEATURES,
    ]
    .concat();
    let made_from = [flags.join(" ").into_bytes(), fs::read(module)?].concat();
    kept(&format!("{name}-module"), &made_from, || {
        let small = folder.join("module.wasm");
        let mut wasm_opt = npm_program("wasm-opt")?;
        must_silently(wasm_opt.args(&flags).arg(module).arg("-o").arg(&small))?;
        Ok(fs::read(small)?)
    })
}

fn script(front: &Front, glue: &Path, folder: &Path) -> Result<String> {
    let name = front.name;
    let path = folder.join(format!("{name}.js"));
    let mut esbuild = npm_program("esbuild")?;
    esbuild
        .arg(format!("www/{name}/boot.js"))
        .args([
            "--bundle",
            "--minify",
            "--format=iife",
            "--platform=browser",
            "--charset=utf8",
        ])
        .args([BROWSERS, "--legal-comments=none", "--log-level=warning"])
        // What the glue calls things is long and ends in hashes; see names.rs.
        .arg(format!("--mangle-props={}", names::LONG))
        .arg(format!("--mangle-cache={}", names::file(folder).display()))
        .arg(format!(
            "--alias:cueleaf-glue={}",
            glue.join(format!("{name}.js")).display()
        ))
        .arg(format!("--outfile={}", path.display()));
    must_silently(&mut esbuild)?;
    let text = tidied(&path)?;
    safe_inside(&text, "script", &["</script", "<!--", "<script"])?;
    Ok(text)
}

fn style(name: &str, folder: &Path) -> Result<String> {
    let path = folder.join(name);
    let mut esbuild = npm_program("esbuild")?;
    esbuild
        .arg(format!("www/{name}"))
        .args([
            "--bundle",
            "--minify",
            "--charset=utf8",
            BROWSERS,
            "--log-level=warning",
        ])
        .args(["--loader:.svg=dataurl", "--legal-comments=none"])
        .arg(format!("--outfile={}", path.display()));
    must_silently(&mut esbuild)?;
    let text = names::short_properties(
        &tidied(&path)?,
        &fs::read_to_string(root().join("www/look.css"))?,
    );
    fs::write(&path, &text)?;
    safe_inside(&text, "style", &["</style", "<!--"])?;
    Ok(text)
}

/// Takes the line end off a bundled file, so that the file, the text in a page and the hash in
/// its policy are the same bytes.
fn tidied(path: &Path) -> Result<String> {
    let text = fs::read_to_string(path)?;
    let text = text.trim_end().to_owned();
    fs::write(path, &text)?;
    Ok(text)
}

/// Checks that a text cannot end or upset the element it is put into.
fn safe_inside(text: &str, element: &str, forbidden: &[&str]) -> Result<()> {
    let lower = text.to_ascii_lowercase();
    for word in forbidden {
        ensure!(
            !lower.contains(word),
            "the bundled {element} holds `{word}`"
        );
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::safe_inside;

    #[test]
    fn a_text_that_would_end_its_element_is_refused() {
        let forbidden = ["</script", "<!--"];
        assert!(safe_inside("let a = 1 < 2;", "script", &forbidden).is_ok());
        assert!(safe_inside("'</SCRIPT>'", "script", &forbidden).is_err());
        assert!(safe_inside("'<!--'", "script", &forbidden).is_err());
    }
}
