//! The bytes of a Standard MIDI File.
//!
//! # Source
//! Standard MIDI Files 1.0, RP-001, MIDI Manufacturers Association: header and track chunks,
//! variable-length quantities, meta events.

/// The largest number that a variable-length quantity holds.
const MAX_DELTA: u64 = 0x0FFF_FFFF;

/// A track that is being written: events in order of their ticks.
#[derive(Debug, Default)]
pub(super) struct Track {
    bytes: Vec<u8>,
    now: u64,
}

impl Track {
    /// Adds an event; a tick before the last one becomes the last one.
    pub(super) fn push(&mut self, tick: u64, event: &[u8]) {
        let mut delta = tick.saturating_sub(self.now);
        self.now += delta;
        // What is longer than one delta is bridged by texts that say nothing.
        while delta > MAX_DELTA {
            self.bytes.extend(variable(MAX_DELTA));
            self.bytes.extend([0xFF, TEXT, 0]);
            delta -= MAX_DELTA;
        }
        self.bytes.extend(variable(delta));
        self.bytes.extend(event);
    }

    /// Adds a meta event.
    pub(super) fn push_meta(&mut self, tick: u64, kind: u8, data: &[u8]) {
        let mut event = vec![0xFF, kind];
        event.extend(variable(u64::try_from(data.len()).unwrap_or(MAX_DELTA)));
        event.extend(data);
        self.push(tick, &event);
    }
}

/// Text of any kind.
const TEXT: u8 = 0x01;
/// The name of a track.
pub(super) const NAME: u8 = 0x03;
/// A marker: a rehearsal mark, the name of a section.
pub(super) const MARKER: u8 = 0x06;
/// The end of a track.
const END: u8 = 0x2F;
/// A tempo, in microseconds a quarter note.
pub(super) const TEMPO: u8 = 0x51;
/// A meter.
pub(super) const METER: u8 = 0x58;
/// A key signature.
pub(super) const KEY: u8 = 0x59;

/// Writes a file of format 1. Tracks end at the tick `end`, in ticks of which
/// `per_quarter` make a quarter note.
pub(super) fn written(per_quarter: u16, tracks: Vec<Track>, end: u64) -> Vec<u8> {
    let mut bytes = b"MThd\0\0\0\x06\0\x01".to_vec();
    let count = u16::try_from(tracks.len()).unwrap_or(u16::MAX);
    bytes.extend(count.to_be_bytes());
    bytes.extend(per_quarter.to_be_bytes());
    for mut track in tracks {
        track.push_meta(end, END, &[]);
        bytes.extend(b"MTrk");
        let length = u32::try_from(track.bytes.len()).unwrap_or(u32::MAX);
        bytes.extend(length.to_be_bytes());
        bytes.extend(track.bytes);
    }
    bytes
}

/// Writes a number in groups of seven bits, the highest first, all but the last marked.
fn variable(number: u64) -> Vec<u8> {
    let group = |shift: u32| u8::try_from((number >> shift) & 0x7F).unwrap_or(0);
    let mut bytes: Vec<u8> = [21, 14, 7]
        .into_iter()
        .filter(|shift| number >> shift > 0)
        .map(|shift| group(shift) | 0x80)
        .collect();
    bytes.push(group(0));
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_as_the_standard_shows() {
        // Source: RP-001, the table of examples of variable-length quantities.
        for (number, expected) in [
            (0, vec![0]),
            (0x40, vec![0x40]),
            (0x7F, vec![0x7F]),
            (0x80, vec![0x81, 0]),
            (0x2000, vec![0xC0, 0]),
            (0x3FFF, vec![0xFF, 0x7F]),
            (0x4000, vec![0x81, 0x80, 0]),
            (0x1F_FFFF, vec![0xFF, 0xFF, 0x7F]),
            (0x0800_0000, vec![0xC0, 0x80, 0x80, 0]),
            (MAX_DELTA, vec![0xFF, 0xFF, 0xFF, 0x7F]),
        ] {
            assert_eq!(variable(number), expected);
        }
    }

    #[test]
    fn long_silence_is_bridged() {
        let mut track = Track::default();
        track.push(MAX_DELTA + 5, &[0x99, 76, 1]);
        assert_eq!(
            track.bytes,
            [0xFF, 0xFF, 0xFF, 0x7F, 0xFF, 1, 0, 5, 0x99, 76, 1]
        );
    }
}
