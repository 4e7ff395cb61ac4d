//! The content security policies of the builder's two pages and of the page that opens links.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest as _, Sha256};

/// Returns the source expression for one inlined text: `'sha256-…'`.
///
/// # Source
/// Content Security Policy Level 3, "hash-source".
pub(crate) fn hash_source(text: &str) -> String {
    format!(
        "'sha256-{}'",
        STANDARD.encode(Sha256::digest(text.as_bytes()))
    )
}

/// The texts that may run or style, besides what comes from the page's own address.
pub(crate) struct Inlined<'a> {
    /// Scripts, exactly as they stand between their tags.
    pub(crate) scripts: &'a [&'a str],
    /// Style sheets, exactly as they stand between their tags.
    pub(crate) styles: &'a [&'a str],
}

/// Where a page is opened from.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Home {
    /// A single file that loads nothing.
    OneFile,
    /// A web server, from which it loads its own files.
    Served,
}

/// Writes the policy of a builder page. A preview frame inherits it, so the player's texts are
/// listed among the builder's own.
pub(crate) fn builder_policy(home: Home, inlined: &Inlined<'_>) -> String {
    let listed = |texts: &[&str]| -> Vec<String> { texts.iter().map(|t| hash_source(t)).collect() };
    let mut scripts = listed(inlined.scripts);
    scripts.push("'wasm-unsafe-eval'".to_owned());
    let mut styles = listed(inlined.styles);
    let mut more = String::new();
    if home == Home::Served {
        scripts.push("'self'".to_owned());
        styles.push("'self'".to_owned());
        more.push_str("connect-src 'self'; worker-src 'self'; manifest-src 'self'; ");
    }
    let images = if home == Home::Served {
        "'self' data: blob:"
    } else {
        "data: blob:"
    };
    format!(
        "default-src 'none'; script-src {}; style-src {}; img-src {images}; \
         media-src data: blob:; {more}base-uri 'none'; form-action 'none'",
        scripts.join(" "),
        styles.join(" ")
    )
}

/// Writes the policy of the page that opens links: that of an exported guide, and a service
/// worker of its own.
pub(crate) fn opener_policy(inlined: &Inlined<'_>) -> String {
    let listed = |texts: &[&str]| {
        texts
            .iter()
            .map(|t| hash_source(t))
            .collect::<Vec<_>>()
            .join(" ")
    };
    format!(
        "default-src 'none'; script-src {} 'wasm-unsafe-eval'; style-src {}; img-src data: blob:; \
         media-src data: blob:; worker-src 'self'; base-uri 'none'; form-action 'none'",
        listed(inlined.scripts),
        listed(inlined.styles)
    )
}

#[cfg(test)]
mod tests {
    use super::{Home, Inlined, builder_policy, hash_source};

    #[test]
    fn the_hash_of_a_known_text() {
        // FIPS 180-4 gives SHA-256("abc") as ba7816bf…f20015ad; this is its base64 form.
        let expected = "'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0='";
        assert_eq!(hash_source("abc"), expected);
    }

    #[test]
    fn only_the_served_page_may_load_anything() {
        let inlined = Inlined {
            scripts: &["abc"],
            styles: &["x"],
        };
        let one_file = builder_policy(Home::OneFile, &inlined);
        assert!(one_file.starts_with("default-src 'none'; script-src 'sha256-ungWv48B"));
        assert!(!one_file.contains("'self'"));
        let served = builder_policy(Home::Served, &inlined);
        for part in [
            "connect-src 'self'",
            "worker-src 'self'",
            "manifest-src 'self'",
        ] {
            assert!(served.contains(part), "{part}");
        }
        for policy in [one_file, served] {
            assert!(!policy.contains("unsafe-inline") && !policy.contains("'unsafe-eval'"));
        }
    }
}
