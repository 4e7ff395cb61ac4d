//! The stream of a score file: which element belongs to which part and measure.

use super::build::ScoreBuilder;
use crate::ReadError;
use crate::encoding::Decoded;
use crate::xml::{Grown, Tree, attribute_of, name_of, resolve};
use cueleaf_guide::Checked;
use cueleaf_score::Score;
use quick_xml::events::{BytesStart, Event};
use quick_xml::{Error, Reader};
use std::borrow::Cow;

/// A score file being read.
#[derive(Debug)]
pub(crate) struct Stream {
    text: String,
    position: usize,
    level: Level,
    order: Order,
    builder: ScoreBuilder,
}

/// Where between the file's outermost element and the contents of a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Level {
    Before,
    Score,
    Outer,
    Inner,
    After,
}

/// Whether parts contain measures or measures contain parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Order {
    Partwise,
    Timewise,
}

impl Order {
    const fn root(self) -> &'static str {
        match self {
            Self::Partwise => "score-partwise",
            Self::Timewise => "score-timewise",
        }
    }

    const fn outer(self) -> &'static str {
        match self {
            Self::Partwise => "part",
            Self::Timewise => "measure",
        }
    }

    const fn inner(self) -> &'static str {
        match self {
            Self::Partwise => "measure",
            Self::Timewise => "part",
        }
    }
}

impl Stream {
    pub(crate) fn new(decoded: Decoded) -> Self {
        let mut builder = ScoreBuilder::default();
        if decoded.mistaken {
            builder.found(
                "encoding-mistaken",
                "some letters do not fit the encoding the file claims; names may look wrong",
            );
        }
        Self {
            text: decoded.text,
            position: 0,
            level: Level::Before,
            order: Order::Partwise,
            builder,
        }
    }

    pub(crate) fn length(&self) -> usize {
        self.text.len().max(1)
    }

    pub(crate) const fn position(&self) -> usize {
        self.position
    }

    pub(crate) fn is_done(&self) -> bool {
        self.level == Level::After
    }

    pub(crate) fn into_score(self) -> Result<Checked<Score>, ReadError> {
        self.builder.finish()
    }

    /// Reads on for about `budget` bytes. It stops only between the children of
    /// a measure, so that nothing half-read has to be kept.
    pub(crate) fn advance(&mut self, budget: usize) -> Result<(), ReadError> {
        let Self {
            text,
            position,
            level,
            order,
            builder,
        } = self;
        let rest = text.get(*position..).unwrap_or_default();
        let line_at = |offset: u64| {
            let offset = usize::try_from(offset).unwrap_or(usize::MAX);
            line_of(text, position.saturating_add(offset))
        };
        let mut reader = Reader::from_str(rest);
        let config = reader.config_mut();
        // The names of ends are compared here, since a new reader starts each step.
        config.check_end_names = false;
        config.allow_unmatched_ends = true;
        config.allow_dangling_amp = true;
        let mut walk = Walk {
            level: *level,
            order: *order,
            tree: Tree::default(),
        };
        loop {
            let before = reader.buffer_position();
            let event = reader.read_event().map_err(|error| {
                broken(&error, &line_at(reader.error_position()), &builder.place())
            })?;
            let line = || line_at(before);
            match event {
                Event::Start(start) => walk.start(start, builder, line)?,
                Event::Empty(start) => {
                    walk.start(start, builder, line)?;
                    walk.end(builder)?;
                }
                Event::End(end) => {
                    let name: &str = end.name().into_inner();
                    let name = name.rsplit_once(':').map_or(name, |(_, local)| local);
                    if name != walk.open_name() {
                        return Err(ReadError::malformed(
                            line(),
                            format!("<{}> is ended by </{name}>", walk.open_name()),
                            DAMAGED,
                        ));
                    }
                    walk.end(builder)?;
                }
                Event::Text(piece) if walk.level == Level::Before => {
                    if !piece.trim().trim_start_matches('\u{feff}').is_empty() {
                        return Err(no_xml());
                    }
                }
                Event::Text(piece) => walk.tree.text(piece.into_inner()),
                Event::CData(piece) => walk.tree.text(piece.into_inner()),
                Event::GeneralRef(reference) => match resolve(&reference) {
                    Some(letter) => walk.tree.text(Cow::Owned(letter.to_string())),
                    None => builder.unknown_entity(),
                },
                Event::Eof if walk.level == Level::After => break,
                Event::Eof if walk.level == Level::Before => return Err(no_xml()),
                Event::Eof => return Err(truncated(&line(), &builder.place())),
                Event::Comment(_) | Event::Decl(_) | Event::PI(_) | Event::DocType(_) => {}
            }
            if walk.level == Level::After {
                break;
            }
            let read = usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX);
            if read >= budget && walk.may_pause() {
                break;
            }
        }
        *level = walk.level;
        let read = usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX);
        *position = position.saturating_add(read).min(text.len());
        if *level == Level::After {
            *position = text.len();
        }
        *order = walk.order;
        Ok(())
    }
}

/// What one step carries from event to event.
struct Walk<'a> {
    level: Level,
    order: Order,
    tree: Tree<'a>,
}

impl<'a> Walk<'a> {
    fn may_pause(&self) -> bool {
        !self.tree.is_open() && self.level != Level::Before
    }

    fn open_name(&self) -> &str {
        if self.tree.is_open() {
            return self.tree.open_name();
        }
        match self.level {
            Level::Before | Level::After => "",
            Level::Score => self.order.root(),
            Level::Outer => self.order.outer(),
            Level::Inner => self.order.inner(),
        }
    }

    fn start(
        &mut self,
        start: BytesStart<'a>,
        builder: &mut ScoreBuilder,
        line: impl Fn() -> String,
    ) -> Result<(), ReadError> {
        if self.tree.is_open() {
            return self.tree.start(start);
        }
        let name = name_of(&start);
        match self.level {
            Level::Before => {
                self.order = match name {
                    "score-partwise" => Order::Partwise,
                    "score-timewise" => Order::Timewise,
                    "opus" => {
                        return Err(ReadError::Unsupported {
                            what: "this file is an opus, a list of scores, and holds no music"
                                .to_owned(),
                            hint: "open one of the scores it lists",
                        });
                    }
                    other => {
                        return Err(ReadError::malformed(
                            line(),
                            format!("this is XML but no MusicXML score: it is a <{other}>"),
                            "export the part as MusicXML",
                        ));
                    }
                };
                self.level = Level::Score;
            }
            Level::Score if name == self.order.outer() => {
                self.enter(&start, builder)?;
                self.level = Level::Outer;
            }
            Level::Outer if name == self.order.inner() => {
                self.enter(&start, builder)?;
                self.level = Level::Inner;
            }
            Level::After => {}
            _ => self.tree.start(start)?,
        }
        Ok(())
    }

    fn enter(&self, start: &BytesStart<'_>, builder: &mut ScoreBuilder) -> Result<(), ReadError> {
        let attribute = |name: &str| attribute_of(start, name).unwrap_or_default();
        if name_of(start) == "part" {
            builder.choose_part(&attribute("id"))?;
        } else {
            builder.name_measure(&attribute("number"), attribute("implicit").trim() == "yes");
        }
        if self.level == Level::Outer {
            builder.open_measure()?;
        }
        Ok(())
    }

    fn end(&mut self, builder: &mut ScoreBuilder) -> Result<(), ReadError> {
        if self.tree.is_open() {
            if self.tree.end() == Grown::Whole {
                if let Some(element) = self.tree.root() {
                    match self.level {
                        Level::Score => builder.header(element)?,
                        Level::Inner => builder.content(element)?,
                        _ => {}
                    }
                }
                self.tree.clear();
            }
            return Ok(());
        }
        self.level = match self.level {
            Level::Inner => {
                builder.close_measure();
                Level::Outer
            }
            Level::Outer => {
                if self.order == Order::Timewise {
                    builder.fill_up();
                }
                Level::Score
            }
            Level::Score | Level::Before | Level::After => Level::After,
        };
        Ok(())
    }
}

const DAMAGED: &str = "the file is damaged: export or download it again";

fn no_xml() -> ReadError {
    ReadError::malformed(
        "",
        "this is no XML, no compressed score and no MIDI file",
        "open a file that was exported as MusicXML (.musicxml, .xml or .mxl)",
    )
}

fn truncated(line: &str, place: &str) -> ReadError {
    ReadError::malformed(
        line,
        format!("the file ends in the middle{place}"),
        "part of it is missing: export or download it again",
    )
}

fn broken(error: &Error, line: &str, place: &str) -> ReadError {
    use quick_xml::errors::SyntaxError;
    match error {
        Error::Syntax(SyntaxError::InvalidBangMarkup) | Error::IllFormed(_) => {
            ReadError::malformed(line, format!("this is no proper XML{place}"), DAMAGED)
        }
        Error::Syntax(_) => truncated(line, place),
        _ => ReadError::malformed(line, format!("this is no proper XML{place}"), DAMAGED),
    }
}

fn line_of(text: &str, offset: usize) -> String {
    let bytes = text.as_bytes();
    let before = bytes.get(..offset.min(bytes.len())).unwrap_or_default();
    let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
    format!("line {line}")
}
