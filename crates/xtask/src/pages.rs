//! `dist/`: the builder's page as files for a web server, and as one file.

use crate::offline;
use crate::policy::{Home, Inlined, builder_policy};
use crate::run::root;
use crate::wasm::Files;
use anyhow::{Context, Result, bail, ensure};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::fs;
use std::path::Path;

/// Where the template takes the policy, the style and the scripts.
const POLICY: &str = "<!-- cueleaf: policy -->";
const STYLE: &str = "<!-- cueleaf: style -->";
const SCRIPTS: &str = "<!-- cueleaf: scripts -->";
/// Lines between these two comments stand only in the served page.
const SERVED_ONLY: (&str, &str) = ("<!-- cueleaf: served only -->", "<!-- cueleaf: end -->");

/// Writes dist/ anew from the built builder and what the guides inside its
/// preview run and wear; the builder's module comes deflated as well. More pages come
/// ready, each with its name.
///
/// # Errors
/// When the template lacks a place or a file cannot be read or written.
pub(crate) fn write(
    builder: &Files,
    deflated: &[u8],
    (scripts, style): (&[&str], &str),
    more: &[(&str, &str)],
) -> Result<()> {
    let dist = root().join("dist");
    let fresh = root().join("target/web/dist");
    if fresh.exists() {
        fs::remove_dir_all(&fresh)?;
    }
    fs::create_dir_all(&fresh)?;
    let template =
        fs::read_to_string(root().join("www/index.html")).context("cannot read www/index.html")?;
    fs::write(fresh.join("index.html"), served(&template, scripts, style)?)?;
    fs::write(
        fresh.join("cueleaf.html"),
        one_file(&template, builder, deflated, (scripts, style))?,
    )?;
    fs::write(fresh.join("builder.js"), &builder.script)?;
    fs::write(fresh.join("builder.css"), &builder.style)?;
    fs::write(fresh.join("builder.wasm"), &builder.wasm)?;
    for (name, page) in more {
        fs::write(fresh.join(name), page)?;
    }
    copy_if_there(&root().join("www/static"), &fresh)?;
    fs::write(fresh.join(offline::NAME), offline::worker(&fresh)?)?;
    copy_if_there(&root().join("examples"), &fresh.join("examples"))?;
    // dist/ is replaced only when everything is there.
    if dist.exists() {
        fs::remove_dir_all(&dist)?;
    }
    fs::rename(&fresh, &dist).context("cannot write dist/")
}

fn served(template: &str, scripts: &[&str], style: &str) -> Result<String> {
    let inlined = Inlined {
        scripts,
        styles: &[style],
    };
    let style = "<link rel=\"stylesheet\" href=\"builder.css\">";
    let scripts = "<script src=\"builder.js\"></script>";
    let template = template
        .replace(SERVED_ONLY.0, "")
        .replace(SERVED_ONLY.1, "");
    fill(
        &template,
        &builder_policy(Home::Served, &inlined),
        style,
        scripts,
    )
}

fn one_file(
    template: &str,
    builder: &Files,
    deflated: &[u8],
    (scripts, style): (&[&str], &str),
) -> Result<String> {
    let inlined = Inlined {
        scripts: &[&[builder.script.as_str()], scripts].concat(),
        styles: &[&builder.style, style],
    };
    let style = format!("<style>{}</style>", builder.style);
    let wasm = STANDARD.encode(deflated);
    let scripts = format!(
        "<script type=\"application/octet-stream\" id=\"cueleaf-wasm\">{wasm}</script>\n\
         <script>{}</script>",
        builder.script
    );
    let template = without_served_only(template)?;
    fill(
        &template,
        &builder_policy(Home::OneFile, &inlined),
        &style,
        &scripts,
    )
}

fn without_served_only(template: &str) -> Result<String> {
    let mut kept = String::new();
    let mut rest = template;
    while let Some((before, after)) = rest.split_once(SERVED_ONLY.0) {
        let Some((_, after)) = after.split_once(SERVED_ONLY.1) else {
            bail!("www/index.html: `{}` is never ended", SERVED_ONLY.0);
        };
        kept.push_str(before);
        rest = after;
    }
    kept.push_str(rest);
    Ok(kept)
}

/// Fills the three places of a template. They are looked for in the template only, never in what
/// is put in.
///
/// # Errors
/// When a place is missing, or stands in another order or twice.
pub(crate) fn fill(template: &str, policy: &str, style: &str, scripts: &str) -> Result<String> {
    let policy = format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">");
    let mut page = String::new();
    let mut rest = template;
    for (place, content) in [
        (POLICY, policy.as_str()),
        (STYLE, style),
        (SCRIPTS, scripts),
    ] {
        let Some((before, after)) = rest.split_once(place) else {
            bail!("a template lacks `{place}`, or has it not in the order policy, style, scripts");
        };
        page.push_str(before);
        page.push_str(content);
        rest = after;
    }
    page.push_str(rest);
    ensure!(
        !rest.contains("<!-- cueleaf:"),
        "a template has a place twice"
    );
    Ok(page)
}

fn copy_if_there(from: &Path, to: &Path) -> Result<()> {
    if !from.is_dir() {
        return Ok(());
    }
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy_if_there(&entry.path(), &target)?;
        } else if entry
            .path()
            .extension()
            .is_none_or(|extension| extension != "md")
        {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{fill, one_file, served};
    use crate::policy::hash_source;
    use crate::wasm::Files;

    const TEMPLATE: &str = "<head><!-- cueleaf: policy --><!-- cueleaf: served only --><link \
        rel=\"manifest\"><!-- cueleaf: end --><!-- cueleaf: style --></head><!-- cueleaf: scripts -->";

    fn files(name: &str) -> Files {
        Files {
            script: format!("run('{name}')"),
            style: format!(".{name}{{color:red}}"),
            wasm: vec![0, 97, 115, 109],
        }
    }

    #[test]
    fn the_one_file_carries_everything_and_lists_what_may_run() {
        let page = one_file(
            TEMPLATE,
            &files("b"),
            b"deflated",
            (&["run('p')"], ".p{color:red}"),
        )
        .unwrap();
        for name in ["b", "p"] {
            assert!(page.contains(&hash_source(&files(name).script)));
            assert!(page.contains(&hash_source(&files(name).style)));
        }
        assert!(page.contains("<script>run('b')</script>"));
        // "deflated" in base64.
        assert!(page.contains("id=\"cueleaf-wasm\">ZGVmbGF0ZWQ=</script>"));
        assert!(!page.contains("src=") && !page.contains("href=") && !page.contains("manifest"));
    }

    #[test]
    fn the_served_page_loads_its_files() {
        let page = served(TEMPLATE, &["p"], "p").unwrap();
        assert!(page.contains("src=\"builder.js\"") && page.contains("href=\"builder.css\""));
        assert!(page.contains("rel=\"manifest\""));
        assert!(!page.contains("<!-- cueleaf:"));
    }

    #[test]
    fn a_template_without_a_place_is_refused() {
        assert!(fill("<!-- cueleaf: policy -->", "", "", "").is_err());
        assert!(
            one_file(
                "<!-- cueleaf: served only -->",
                &files("b"),
                b"",
                (&["p"], "p")
            )
            .is_err()
        );
    }
}
