//! Scores read step by step, whatever their format.

use crate::limits::MAX_FILE_BYTES;
use crate::musicxml::Stream;
use crate::{ReadError, archive, encoding, midi};
use cueleaf_guide::{Checked, TooLarge};
use cueleaf_score::Score;

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
    /// Everything is read, or reading has failed; [`ScoreReader::finish`] tells.
    Done,
}

/// Reads a score, MusicXML or MIDI, step by step, so that a page can go on in between.
///
/// ```
/// use cueleaf_read::{ScoreReader, Progress};
/// let mut reader = ScoreReader::new(b"no score".to_vec());
/// while let Progress::Working { .. } = reader.step(64 * 1024) {}
/// assert!(reader.finish().is_err());
/// ```
#[derive(Debug)]
pub struct ScoreReader {
    stage: Stage,
}

#[derive(Debug)]
enum Stage {
    Bytes(Vec<u8>),
    Text(Box<Stream>),
    /// A format that is read in one go.
    Whole(Checked<Score>),
    Failed(ReadError),
}

impl ScoreReader {
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
            Stage::Bytes(bytes) => prepare(core::mem::take(bytes)).map(|stage| {
                let of = match &stage {
                    Stage::Text(stream) => stream.length(),
                    _ => 1,
                };
                self.stage = stage;
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
            Stage::Whole(_) | Stage::Failed(_) => Ok(Progress::Done),
        };
        stepped.unwrap_or_else(|error| {
            self.stage = Stage::Failed(error);
            Progress::Done
        })
    }

    /// Reads whatever is left and gives the score with what was found.
    ///
    /// # Errors
    /// [`ReadError`] when the file is no score, is damaged, or is above
    /// a limit.
    pub fn finish(mut self) -> Result<Checked<Score>, ReadError> {
        while let Progress::Working { .. } = self.step(usize::MAX) {}
        match self.stage {
            Stage::Text(stream) => stream.into_score(),
            Stage::Whole(score) => Ok(score),
            Stage::Failed(error) => Err(error),
            // A step leaves this stage at once.
            Stage::Bytes(_) => Err(ReadError::malformed("", "nothing was read", "")),
        }
    }
}

fn prepare(bytes: Vec<u8>) -> Result<Stage, ReadError> {
    TooLarge::guard("bytes in the file", MAX_FILE_BYTES, bytes.len())?;
    if midi::is_midi(&bytes) {
        return midi::read(&bytes).map(Stage::Whole);
    }
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
    Ok(Stage::Text(Box::new(Stream::new(encoding::decode(bytes)?))))
}

/// Reads a score in one go: MusicXML, plain or compressed, or a Standard MIDI File.
///
/// # Errors
/// As [`ScoreReader::finish`].
pub fn read_score(bytes: Vec<u8>) -> Result<Checked<Score>, ReadError> {
    ScoreReader::new(bytes).finish()
}
