//! The content security policy of an exported guide.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use cueleaf_guide::{Guide, media_count};
use sha2::{Digest as _, Sha256};

/// Writes the policy of a page with one script and one style inside it, and one more script that
/// the first brings in, named by its hash. Pictures may stand in the page, since its icon is an
/// empty one that spares a request; recordings only where the guide has some.
///
/// # Source
/// Content Security Policy Level 3, "hash-source" and "wasm-unsafe-eval".
pub(crate) fn policy(guide: &Guide, script: &str, live_hash: &str, style: &str) -> String {
    let (_, voices) = media_count(guide);
    let sounds = if voices > 0 { "media-src data:; " } else { "" };
    format!(
        "default-src 'none'; script-src {} {live_hash} 'wasm-unsafe-eval'; style-src {}; \
         img-src data:; {sounds}base-uri 'none'; form-action 'none'",
        hash_source(script),
        hash_source(style)
    )
}

/// Writes the policy of a page of links with one style inside it and no script.
pub(crate) fn policy_of_list(style: &str) -> String {
    format!(
        "default-src 'none'; style-src {style}; img-src data:; base-uri 'none'; form-action 'none'"
    )
}

/// Gives the hash of a script or style as a policy names it.
pub(crate) fn hash_source(text: &str) -> String {
    let hash = Sha256::digest(text.as_bytes());
    format!("'sha256-{}'", STANDARD.encode(hash))
}

#[cfg(test)]
mod tests {
    use super::policy;
    use cueleaf_guide::{Guide, Id, Place, Spot, Tip, Topic, Voice};

    #[test]
    fn the_hashes_are_of_the_very_text() {
        // FIPS 180-4 gives SHA-256("abc") as ba7816bf…f20015ad; this is its base64 form.
        let abc = "'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0='";
        let mut guide = Guide::new(Id::new("g").unwrap(), "");
        let policy_of = |guide: &Guide| policy(guide, "abc", "'sha256-x'", "abc");
        let policy = policy_of(&guide);
        assert!(policy.contains("; img-src data:; ") && !policy.contains("media-src"));
        let spot = Spot::at(Place::start_of(0));
        let mut tip = Tip::new(Id::new("t").unwrap(), spot, Topic::Note, "");
        tip.voice = Voice::of_samples(&[0; 160]);
        guide.tips.push(tip);
        let with_sound = policy_of(&guide);
        assert!(with_sound.contains("; media-src data:; "));
        assert_eq!(policy.matches(abc).count(), 2);
        assert!(!policy.contains("unsafe-inline") && !policy.contains("'unsafe-eval'"));
    }
}
