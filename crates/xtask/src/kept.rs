//! Results of slow tools, kept in target/kept/ for as long as what they are made from stays
//! the same.

use crate::run::root;
use anyhow::Result;
use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// Returns the result of `make` for these bytes, from an earlier run where there is one. Of each
/// sort, named by `what`, only the last result is kept.
///
/// # Errors
/// When `make` fails, or a file cannot be read or written.
pub(crate) fn kept(
    what: &str,
    made_from: &[u8],
    make: impl FnOnce() -> Result<Vec<u8>>,
) -> Result<Vec<u8>> {
    let mut hash = Sha256::new();
    // The lock files name the tools' versions, and another version may do otherwise.
    for lock in ["Cargo.lock", "package-lock.json"] {
        hash.update(fs::read(root().join(lock))?);
    }
    hash.update(made_from);
    kept_in(
        &root().join("target/kept").join(what),
        &hash.finalize(),
        make,
    )
}

fn kept_in(folder: &Path, hash: &[u8], make: impl FnOnce() -> Result<Vec<u8>>) -> Result<Vec<u8>> {
    let mut name = String::new();
    for byte in hash {
        write!(name, "{byte:02x}")?;
    }
    let file = folder.join(name);
    if file.is_file() {
        return Ok(fs::read(file)?);
    }
    let result = make()?;
    if folder.exists() {
        fs::remove_dir_all(folder)?;
    }
    fs::create_dir_all(folder)?;
    // The final name appears only when the file is whole.
    let unfinished = folder.join("unfinished");
    fs::write(&unfinished, &result)?;
    fs::rename(unfinished, file)?;
    Ok(result)
}

#[cfg(test)]
mod tests {
    use super::kept_in;
    use anyhow::bail;

    #[test]
    fn a_result_is_made_anew_only_when_its_source_changed() {
        let name = format!("cueleaf-kept-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        assert_eq!(kept_in(&folder, &[1], || Ok(vec![10])).unwrap(), [10]);
        assert_eq!(
            kept_in(&folder, &[1], || bail!("made again")).unwrap(),
            [10]
        );
        assert!(kept_in(&folder, &[2], || bail!("cannot")).is_err());
        assert_eq!(kept_in(&folder, &[2], || Ok(vec![20])).unwrap(), [20]);
        assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1);
        std::fs::remove_dir_all(folder).unwrap();
    }
}
