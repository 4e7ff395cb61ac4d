//! MusicXML: partwise and timewise, plain and compressed, up to version 4.0.
//!
//! # Source
//! W3C MusicXML 4.0, <https://www.w3.org/2021/06/musicxml40/>; element and
//! attribute names below are its own.

mod align;
mod attributes;
mod barline;
mod build;
mod direction;
mod matching;
mod note;
mod part;
mod stream;

use crate::limits::MAX_FILE_BYTES;
use crate::{ReadError, archive, encoding};
use cueleaf_guide::{Checked, TooLarge};
use cueleaf_score::Score;
use stream::Stream;

/// How far reading has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// There is more to read.
    Working {
        /// How many bytes of the score are read.
        read: usize,
        /// How many there are in all, at least 1.
        of: usize,
    },
    /// Everything is read, or reading has failed; [`MusicXmlReader::finish`] tells.
    Done,
}

/// Reads a MusicXML file step by step, so that a page can go on in between.
///
/// ```
/// use cueleaf_read::{MusicXmlReader, Progress};
/// let mut reader = MusicXmlReader::new(b"no score".to_vec());
/// while let Progress::Working { .. } = reader.step(64 * 1024) {}
/// assert!(reader.finish().is_err());
/// ```
#[derive(Debug)]
pub struct MusicXmlReader {
    stage: Stage,
}

#[derive(Debug)]
enum Stage {
    Bytes(Vec<u8>),
    Text(Box<Stream>),
    Failed(ReadError),
}

impl MusicXmlReader {
    /// Takes the bytes of a file, plain or compressed; nothing is read yet.
    #[must_use]
    pub const fn new(bytes: Vec<u8>) -> Self {
        Self {
            stage: Stage::Bytes(bytes),
        }
    }

    /// Reads on for about `budget` bytes, at least one element.
    ///
    /// The first step unpacks and decodes the whole file, which takes a small
    /// part of the time that reading it takes.
    pub fn step(&mut self, budget: usize) -> Progress {
        let stepped = match &mut self.stage {
            Stage::Bytes(bytes) => prepare(core::mem::take(bytes)).map(|stream| {
                let of = stream.length();
                self.stage = Stage::Text(Box::new(stream));
                Progress::Working { read: 0, of }
            }),
            Stage::Text(stream) => stream.advance(budget).map(|()| {
                if stream.is_done() {
                    Progress::Done
                } else {
                    Progress::Working {
                        read: stream.position(),
                        of: stream.length(),
                    }
                }
            }),
            Stage::Failed(_) => Ok(Progress::Done),
        };
        stepped.unwrap_or_else(|error| {
            self.stage = Stage::Failed(error);
            Progress::Done
        })
    }

    /// Reads whatever is left and gives the score with what was found.
    ///
    /// # Errors
    /// [`ReadError`] when the file is no MusicXML score, is damaged, or is above
    /// a limit.
    pub fn finish(mut self) -> Result<Checked<Score>, ReadError> {
        while let Progress::Working { .. } = self.step(usize::MAX) {}
        match self.stage {
            Stage::Text(stream) => stream.into_score(),
            Stage::Failed(error) => Err(error),
            // A step leaves this stage at once.
            Stage::Bytes(_) => Err(ReadError::malformed("", "nothing was read", "")),
        }
    }
}

fn prepare(bytes: Vec<u8>) -> Result<Stream, ReadError> {
    TooLarge::guard("bytes in the file", MAX_FILE_BYTES, bytes.len())?;
    let bytes = if archive::is_zip(&bytes) {
        archive::unpack(&bytes)?
    } else {
        bytes
    };
    if bytes.is_empty() {
        return Err(ReadError::malformed(
            "",
            "the file is empty",
            "export or download it again",
        ));
    }
    Ok(Stream::new(encoding::decode(bytes)?))
}

/// Reads a MusicXML file, plain or compressed, in one go.
///
/// # Errors
/// As [`MusicXmlReader::finish`].
pub fn read_score(bytes: Vec<u8>) -> Result<Checked<Score>, ReadError> {
    MusicXmlReader::new(bytes).finish()
}
