//! What the command writes.

use crate::Failure;
use serde::Serialize;
use std::io::Write as _;
use std::path::Path;

/// Writes a file.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    std::fs::write(path, bytes)
        .map_err(|error| Failure::Use(format!("{}: {error}", path.display())))
}

/// Writes a file piece by piece.
pub(crate) fn write_pieces(
    path: &Path,
    pieces: impl Iterator<Item = Vec<u8>>,
) -> Result<(), Failure> {
    let about = |error: std::io::Error| Failure::Use(format!("{}: {error}", path.display()));
    let file = std::fs::File::create(path).map_err(about)?;
    let mut file = std::io::BufWriter::new(file);
    for piece in pieces {
        file.write_all(&piece).map_err(about)?;
    }
    file.flush().map_err(about)
}

/// Prints a value as one line of JSON. A reader that stops early is no failure.
pub(crate) fn print(value: &impl Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string(value)
        .map_err(|error| Failure::Found(format!("the result cannot be written: {error}")))?;
    print_text(&format!("{text}\n"))
}

/// Prints a text as it stands. A reader that stops early is no failure.
pub(crate) fn print_text(text: &str) -> Result<(), Failure> {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(Failure::Found(
            format!("the result cannot be printed: {error}"),
        )),
        _ => Ok(()),
    }
}

/// Writes an amount: "1 finding", "3 findings".
pub(crate) fn amount(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}
