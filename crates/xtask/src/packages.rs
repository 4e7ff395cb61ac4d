//! Debian packages, installed when a step needs one that is missing.

use crate::run::{answer, in_path, must_silently, program, say};
use anyhow::{Result, bail};

/// Tells whether `apt_install` can do anything here: Debian's tool is there and we are root.
pub(crate) fn apt_usable() -> bool {
    in_path("apt-get") && answer(program("id").arg("-u")).as_deref() == Some("0")
}

/// Installs Debian packages.
///
/// # Errors
/// When this is no Debian machine, we are not root, or the installation fails; the message
/// names what to install.
pub(crate) fn apt_install(packages: &[&str]) -> Result<()> {
    let list = packages.join(" ");
    if !apt_usable() {
        bail!("please install {list} (Debian's names), then run this again");
    }
    say(&format!("installing {list}"));
    must_silently(program("apt-get").args(["update", "-qq"]))?;
    must_silently(
        program("apt-get")
            .env("DEBIAN_FRONTEND", "noninteractive")
            .args(["install", "-qq", "-y", "--no-install-recommends"])
            .args(packages),
    )
}

/// Finds the highest `lld-NN` in a list of package names, one a line.
pub(crate) fn newest_lld(names: &str) -> Option<u32> {
    names
        .lines()
        .filter_map(|line| {
            line.split_whitespace()
                .next()?
                .strip_prefix("lld-")?
                .parse()
                .ok()
        })
        .max()
}

#[cfg(test)]
mod tests {
    use super::newest_lld;

    #[test]
    fn the_newest_lld_is_compared_as_a_number() {
        let names = "lld-9 - old\nlld-22 - new\nlld-14\nlld - the default\nlld-22-doc\nliblld-23\n";
        assert_eq!(newest_lld(names), Some(22));
        assert_eq!(newest_lld("lld\n"), None);
    }
}
