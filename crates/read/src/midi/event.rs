//! The bytes of a file made into events at places.

use crate::ReadError;
use crate::collect::Findings;
use crate::limits::{MAX_FILE_BYTES, MAX_WORDS};
use cueleaf_guide::TooLarge;
use cueleaf_time::Ratio;
use std::collections::BTreeMap;

/// What a file holds, its places in ticks.
#[derive(Debug)]
pub(super) struct File {
    format: u16,
    /// Ticks of a quarter note.
    pub(super) ticks: u32,
    pub(super) tracks: Vec<Track>,
    /// Microseconds of a quarter note, from a tick on; in order.
    pub(super) tempi: Vec<(u64, u32)>,
    /// Meters: numerator and denominator.
    pub(super) meters: Vec<(u64, (u8, u16))>,
    /// Keys: sharps positive.
    pub(super) keys: Vec<(u64, Signature)>,
    pub(super) markers: Vec<(u64, String)>,
    /// The last tick that an event stands at.
    pub(super) end: u64,
}

/// One track.
#[derive(Debug, Default)]
pub(super) struct Track {
    pub(super) name: String,
    pub(super) played: Vec<Played>,
}

/// A note from its start to its end, in ticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Played {
    pub(super) from: u64,
    pub(super) to: u64,
    pub(super) key: u8,
    pub(super) channel: u8,
}

/// How ticks become time.
#[derive(Clone, Copy)]
enum Division {
    /// So many ticks a quarter note.
    Quarter(u32),
    /// So many ticks a second, as a fraction.
    Second(u64, u64),
}

/// Into how many ticks a quarter note is cut where the file counts seconds instead.
const CUT: u32 = 480;

/// A tempo where none is given, in microseconds a quarter note: 120 a minute.
///
/// # Source
/// Standard MIDI Files 1.0, "Set Tempo".
pub(super) const USUAL_TEMPO: u32 = 500_000;

const AGAIN: &str = "save or download the file again";

/// A key signature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Signature {
    /// How many sharps; flats are negative.
    pub(super) fifths: i8,
    pub(super) mode: Mode,
}

impl Signature {
    /// What stands before the first one.
    pub(super) const NONE: Self = Self {
        fifths: 0,
        mode: Mode::Major,
    };
}

/// Whether a key is major or minor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mode {
    Major,
    Minor,
}

impl File {
    /// Reads the head and all tracks. What is read before a damage inside a track
    /// is kept, and the place of the damage is a finding.
    pub(super) fn read(bytes: &[u8], findings: &mut Findings) -> Result<Self, ReadError> {
        TooLarge::guard("bytes in the file", MAX_FILE_BYTES, bytes.len())?;
        let frame = if bytes.starts_with(b"RIFF") { 20 } else { 0 };
        let mut input = Input {
            bytes: bytes.get(frame..).unwrap_or_default(),
            at: 0,
            frame,
            cut_off: false,
        };
        let head = input
            .chunk()
            .filter(|(kind, data)| kind == b"MThd" && data.len() >= 6);
        let Some((_, head)) = head else {
            return Err(ReadError::malformed(
                "the first bytes",
                "the head of this MIDI file is damaged",
                AGAIN,
            ));
        };
        let [format, count, division] = [0, 2, 4].map(|at| {
            let two = head.get(at..at + 2).and_then(|two| two.try_into().ok());
            two.map_or(0, u16::from_be_bytes)
        });
        if format > 1 {
            return Err(ReadError::Unsupported {
                what: format!(
                    "this is a MIDI file of format {format}, whose tracks are pieces of their own"
                ),
                hint: "save the one piece you need as a MIDI file of format 0 or 1",
            });
        }
        let division = division_of(division)?;
        let mut file = Self {
            format,
            ticks: match division {
                Division::Quarter(ticks) => ticks,
                Division::Second(..) => CUT,
            },
            tracks: Vec::new(),
            tempi: Vec::new(),
            meters: Vec::new(),
            keys: Vec::new(),
            markers: Vec::new(),
            end: 0,
        };
        while let Some((kind, data)) = input.chunk() {
            // Chunks of other kinds are to be passed over.
            if kind == b"MTrk" {
                let begin = input.frame + input.at - data.len();
                file.track(data, begin, findings);
            }
        }
        if input.cut_off {
            findings.warn(
                "file-cut-off",
                format!(
                    "the file ends inside a track, at byte {}; what comes before is taken",
                    bytes.len()
                ),
            );
        }
        if file.tracks.is_empty() {
            return Err(ReadError::malformed(
                "",
                "there is no track in this MIDI file",
                AGAIN,
            ));
        }
        if file.tracks.len() != usize::from(count) {
            findings.warn(
                "tracks-missing",
                format!(
                    "the head announces {count} tracks, and there are {}",
                    file.tracks.len()
                ),
            );
        }
        file.settle(division);
        Ok(file)
    }

    pub(super) const fn is_one_track(&self) -> bool {
        self.format == 0
    }

    /// The name of the first track is the piece's where that track plays nothing, or all.
    pub(super) fn title(&self) -> String {
        let first = self.tracks.first();
        first
            .filter(|track| track.played.is_empty() || self.is_one_track())
            .map_or_else(String::new, |track| track.name.clone())
    }

    fn track(&mut self, data: &[u8], begin: usize, findings: &mut Findings) {
        let number = self.tracks.len() + 1;
        let mut track = Track::default();
        let mut open: BTreeMap<(u8, u8), Vec<u64>> = BTreeMap::new();
        let mut input = Input {
            bytes: data,
            at: 0,
            frame: begin,
            cut_off: false,
        };
        let mut now: u64 = 0;
        let mut status = 0;
        while input.at < data.len() {
            let event = input.number().and_then(|delta| {
                now = now.saturating_add(u64::from(delta));
                input.event(&mut status)
            });
            match event {
                None => {
                    findings.warn(
                        "track-damaged",
                        format!(
                            "track {number} is damaged at byte {}; what comes before is taken",
                            input.frame + input.at
                        ),
                    );
                    break;
                }
                Some(Event::NoteOn(channel, key)) => {
                    open.entry((channel, key)).or_default().push(now)
                }
                Some(Event::NoteOff(channel, key)) => {
                    let starts = open.entry((channel, key)).or_default();
                    if !starts.is_empty() {
                        track.played.push(Played {
                            from: starts.remove(0),
                            to: now,
                            key,
                            channel,
                        });
                    }
                }
                Some(Event::Meta(kind, text)) => {
                    if kind == 0x2f {
                        break;
                    }
                    self.meta(kind, text, now, &mut track);
                }
                Some(Event::Other) => {}
            }
        }
        self.end = self.end.max(now);
        let unended: usize = open.values().map(Vec::len).sum();
        if unended > 0 {
            findings.warn(
                "note-without-end",
                format!(
                    "{unended} notes of track {number} have no end; they sound to its last event"
                ),
            );
        }
        for ((channel, key), starts) in open {
            track.played.extend(starts.into_iter().map(|from| Played {
                from,
                to: now,
                key,
                channel,
            }));
        }
        track.played.retain(|own| own.to > own.from);
        track.played.sort_unstable();
        self.tracks.push(track);
    }

    fn meta(&mut self, kind: u8, data: &[u8], now: u64, track: &mut Track) {
        match (kind, data) {
            (0x03, text) if track.name.is_empty() => track.name = words(text),
            (0x06, text) if !words(text).is_empty() => self.markers.push((now, words(text))),
            (0x51, [a, b, c]) => {
                let micros = u32::from_be_bytes([0, *a, *b, *c]);
                if micros > 0 {
                    self.tempi.push((now, micros));
                }
            }
            (0x58, [upper, power, ..]) if *upper > 0 && *power <= 6 => {
                self.meters.push((now, (*upper, 1 << power)));
            }
            (0x59, [fifths, mode, ..]) => {
                let fifths = i8::from_be_bytes([*fifths]);
                if (-7..=7).contains(&fifths) {
                    let mode = if *mode == 1 { Mode::Minor } else { Mode::Major };
                    self.keys.push((now, Signature { fifths, mode }));
                }
            }
            _ => {}
        }
    }

    /// Brings what all tracks say into one order, and seconds into beats.
    fn settle(&mut self, division: Division) {
        // Of several at one place the last one counts, as it does in playing.
        in_order(&mut self.tempi);
        in_order(&mut self.meters);
        in_order(&mut self.keys);
        self.markers.sort_by_key(|own| own.0);
        if let Division::Second(ticks, seconds) = division {
            let beats = Beats::new(&self.tempi, ticks, seconds);
            let each = |ticks: &mut u64| *ticks = beats.at(*ticks);
            for track in &mut self.tracks {
                for own in &mut track.played {
                    each(&mut own.from);
                    each(&mut own.to);
                }
            }
            self.tempi.iter_mut().for_each(|own| each(&mut own.0));
            self.meters.iter_mut().for_each(|own| each(&mut own.0));
            self.keys.iter_mut().for_each(|own| each(&mut own.0));
            self.markers.iter_mut().for_each(|own| each(&mut own.0));
            each(&mut self.end);
        }
    }

    /// Gives the quarter notes of a tick.
    pub(super) fn quarters(&self, tick: u64) -> Option<Ratio> {
        Ratio::new(i64::try_from(tick).ok()?, i64::from(self.ticks)).ok()
    }
}

fn in_order<T>(list: &mut Vec<(u64, T)>) {
    list.reverse();
    list.sort_by_key(|own| own.0);
    list.dedup_by_key(|own| own.0);
}

fn words(bytes: &[u8]) -> String {
    let text = match core::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => encoding_rs::WINDOWS_1252
            .decode_without_bom_handling(bytes)
            .0
            .into_owned(),
    };
    let plain = |c: &char| !c.is_control();
    text.trim().chars().filter(plain).take(MAX_WORDS).collect()
}

/// # Source
/// Standard MIDI Files 1.0, "Header Chunks": the highest bit tells frames a second,
/// as a negative number, from ticks a quarter note; 29 stands for 30 drop frame,
/// which is 30,000 frames in 1,001 seconds.
fn division_of(division: u16) -> Result<Division, ReadError> {
    let [high, low] = division.to_be_bytes();
    let broken = || {
        ReadError::malformed(
            "byte 12",
            "the head of this MIDI file gives no measure of time",
            AGAIN,
        )
    };
    if division & 0x8000 == 0 {
        return if division == 0 {
            Err(broken())
        } else {
            Ok(Division::Quarter(u32::from(division)))
        };
    }
    let (frames, seconds) = match i8::from_be_bytes([high]) {
        -29 => (30_000, 1_001),
        frames @ (-24 | -25 | -30) => (u64::from(frames.unsigned_abs()), 1),
        _ => return Err(broken()),
    };
    if low == 0 {
        return Err(broken());
    }
    Ok(Division::Second(frames * u64::from(low), seconds))
}

/// Beats of a file that counts seconds.
struct Beats {
    /// From a tick of the file on: the tick of `CUT` there, and microseconds a quarter.
    from: Vec<(u64, u64, u32)>,
    ticks: u64,
    seconds: u64,
}

impl Beats {
    fn new(tempi: &[(u64, u32)], ticks: u64, seconds: u64) -> Self {
        let mut beats = Self {
            from: vec![(0, 0, USUAL_TEMPO)],
            ticks,
            seconds,
        };
        for (tick, micros) in tempi {
            let at = beats.at(*tick);
            beats.from.push((*tick, at, *micros));
        }
        beats
    }

    /// Gives the tick of `CUT` a quarter, rounded, of a tick of the file.
    fn at(&self, tick: u64) -> u64 {
        let after = self.from.partition_point(|own| own.0 <= tick);
        let Some((start, at, micros)) = self.from.get(after.saturating_sub(1)) else {
            return 0;
        };
        let micros_in = u128::from(tick - start) * u128::from(self.seconds) * 1_000_000;
        let whole = u128::from(self.ticks) * u128::from(*micros);
        let cut = (micros_in * u128::from(CUT) + whole / 2) / whole.max(1);
        at.saturating_add(u64::try_from(cut).unwrap_or(u64::MAX / 2))
    }
}

enum Event<'a> {
    NoteOn(u8, u8),
    NoteOff(u8, u8),
    Meta(u8, &'a [u8]),
    Other,
}

/// Bytes being read.
struct Input<'a> {
    bytes: &'a [u8],
    at: usize,
    /// Where the bytes lie in the file.
    frame: usize,
    /// Whether a chunk went on where the file ended.
    cut_off: bool,
}

impl<'a> Input<'a> {
    fn byte(&mut self) -> Option<u8> {
        let byte = self.bytes.get(self.at).copied()?;
        self.at += 1;
        Some(byte)
    }

    fn take(&mut self, length: usize) -> Option<&'a [u8]> {
        let taken = self.bytes.get(self.at..self.at.checked_add(length)?)?;
        self.at += length;
        Some(taken)
    }

    /// Takes a chunk; one that is cut off ends with the file.
    fn chunk(&mut self) -> Option<(&'a [u8], &'a [u8])> {
        let kind = self.take(4)?;
        let length = u32::from_be_bytes(self.take(4)?.try_into().ok()?);
        let length = usize::try_from(length).ok()?;
        let there = self.bytes.len() - self.at;
        self.cut_off |= length > there;
        Some((kind, self.take(length.min(there))?))
    }

    /// Takes a number of one to four bytes with seven bits each.
    fn number(&mut self) -> Option<u32> {
        let mut value = 0;
        for _ in 0..4 {
            let byte = self.byte()?;
            value = value << 7 | u32::from(byte & 0x7f);
            if byte < 0x80 {
                return Some(value);
            }
        }
        None
    }

    fn data(&mut self) -> Option<u8> {
        self.byte().filter(|byte| *byte < 0x80)
    }

    fn event(&mut self, status: &mut u8) -> Option<Event<'a>> {
        let first = self.bytes.get(self.at).copied()?;
        if first >= 0x80 {
            self.at += 1;
            *status = first;
        }
        let channel = *status & 0x0f;
        match *status {
            0xff => {
                let kind = self.byte()?;
                let length = self.number()?;
                // No event after this one may leave its own status out.
                *status = 0;
                Some(Event::Meta(kind, self.take(usize::try_from(length).ok()?)?))
            }
            0xf0 | 0xf7 => {
                let length = self.number()?;
                *status = 0;
                self.take(usize::try_from(length).ok()?)?;
                Some(Event::Other)
            }
            0x80..=0x8f => {
                let key = self.data()?;
                self.data()?;
                Some(Event::NoteOff(channel, key))
            }
            0x90..=0x9f => {
                let key = self.data()?;
                let force = self.data()?;
                Some(if force == 0 {
                    Event::NoteOff(channel, key)
                } else {
                    Event::NoteOn(channel, key)
                })
            }
            0xa0..=0xbf | 0xe0..=0xef => {
                self.data()?;
                self.data()?;
                Some(Event::Other)
            }
            0xc0..=0xdf => {
                self.data()?;
                Some(Event::Other)
            }
            _ => None,
        }
    }
}
