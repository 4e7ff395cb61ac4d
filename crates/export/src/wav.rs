//! The clicks of a guide as a sound file, with its counts as cue points.
//!
//! # Source
//! Multimedia Programming Interface and Data Specifications 1.0, IBM and Microsoft, 1991:
//! RIFF, the WAVE form with its chunks `fmt `, `data`, `cue ` and the list `adtl` of labels.

use cueleaf_guide::{Checked, Guide, TooLarge};
use cueleaf_plan::{Click, ClickSound, Plan, Say, click_samples};
use cueleaf_time::Level;

/// The longest click track, in hours, its count-in included.
///
/// # Source
/// Our decision: as long as the longest order of play is meant for, and below the 4 GiB
/// that a WAV file can have.
pub const MAX_CLICK_HOURS: u32 = 10;

/// How many samples a second a sound file has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SampleRate {
    /// 44,100, as on a compact disc.
    Hz44100,
    /// 48,000, as in video.
    #[default]
    Hz48000,
}

impl SampleRate {
    /// Finds the rate of so many samples a second; `None` for any other than the two.
    #[must_use]
    pub const fn of_hertz(hertz: u32) -> Option<Self> {
        match hertz {
            44_100 => Some(Self::Hz44100),
            48_000 => Some(Self::Hz48000),
            _ => None,
        }
    }

    /// Gives the samples a second.
    #[must_use]
    pub const fn hertz(self) -> u32 {
        match self {
            Self::Hz44100 => 44_100,
            Self::Hz48000 => 48_000,
        }
    }
}

/// A click on its sample.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Placed {
    sample: u32,
    level: Level,
    say: Say,
    /// The index of the measure that starts with it.
    measure: Option<usize>,
}

/// A click track ready to be written: mono, 16 bits a sample.
///
/// It starts with the count-in of the guide's settings; then come the clicks of the whole
/// piece in the order of play at the full tempo, each on the sample nearest to its second.
/// Every count is a cue point whose label is its number, at a measure's start with the
/// printed label of the measure before it: "12: 1".
#[derive(Debug, PartialEq)]
pub struct ClickTrack {
    rate: SampleRate,
    sound: ClickSound,
    clicks: Vec<Placed>,
    /// The printed labels of the written measures.
    labels: Vec<String>,
    samples: u32,
    starts: u32,
    list_bytes: u32,
}

/// Makes the click track of a guide.
///
/// # Errors
/// [`TooLarge`] when it would last longer than [`MAX_CLICK_HOURS`] or not fit into a file.
pub fn click_track(
    guide: &Guide,
    sound: ClickSound,
    rate: SampleRate,
) -> Result<Checked<ClickTrack>, TooLarge> {
    let planned = Plan::new(guide);
    let plan = &planned.value;
    let count_in = plan.count_in(0, 0, guide.settings.count_in);
    let lead = count_in.length();
    let most = MAX_CLICK_HOURS * 3600;
    if lead + plan.end().get() > f64::from(most) {
        let actual = whole(lead + plan.end().get());
        return Err(too_large("seconds of clicks", u64::from(most), actual));
    }
    let sample_of = |seconds: f64| -> u32 {
        let sample = whole((seconds + lead) * f64::from(rate.hertz()));
        u32::try_from(sample).unwrap_or(u32::MAX)
    };
    let placed = |click: Click, measure: Option<usize>| Placed {
        sample: sample_of(click.seconds.get()),
        level: click.level,
        say: click.say,
        measure,
    };
    let before = count_in.clicks.into_iter().map(|click| placed(click, None));
    let mut clicks: Vec<Placed> = before.collect();
    for (played, own) in plan.order().iter().enumerate() {
        let own_clicks = plan.clicks(played).into_iter().enumerate();
        clicks.extend(
            own_clicks.map(|(index, click)| placed(click, (index == 0).then_some(own.measure))),
        );
    }
    let labels: Vec<String> = guide
        .road_map
        .measures
        .iter()
        .map(|own| plain(&own.label))
        .collect();
    let one = u32::try_from(samples_of(sound, Level::Downbeat, rate).len()).unwrap_or(0);
    let last = clicks
        .last()
        .map_or(0, |last| last.sample.saturating_add(one));
    let samples = sample_of(plan.end().get()).max(last);
    let list_bytes = clicks
        .iter()
        .fold(4, |sum, click| sum + label_bytes(click, &labels));
    let track = ClickTrack {
        rate,
        sound,
        clicks,
        labels,
        samples,
        starts: sample_of(0.0),
        list_bytes: u32::try_from(list_bytes).unwrap_or(u32::MAX),
    };
    let limit = u64::from(u32::MAX);
    if track.bytes() > limit || list_bytes > limit {
        return Err(too_large("bytes of clicks", limit, track.bytes()));
    }
    Ok(Checked {
        value: track,
        findings: planned.findings,
    })
}

impl ClickTrack {
    /// Gives how many bytes the whole file has.
    #[must_use]
    pub fn bytes(&self) -> u64 {
        8 + self.riff_bytes()
    }

    /// Gives how many samples the whole file has.
    #[must_use]
    pub const fn samples(&self) -> u32 {
        self.samples
    }

    /// Gives the sample at which the piece starts, after the count-in.
    #[must_use]
    pub const fn starts(&self) -> u32 {
        self.starts
    }

    /// Writes the file piece by piece, each at most about a second of sound, so that it
    /// never has to be held whole.
    pub fn pieces(&self) -> impl Iterator<Item = Vec<u8>> + '_ {
        let sound = Sound::new(self);
        core::iter::once(self.head())
            .chain(sound)
            .chain(core::iter::once(self.cues()))
            .chain(core::iter::once(self.labels_list()))
    }

    fn data_bytes(&self) -> u64 {
        2 * u64::from(self.samples)
    }

    fn cue_bytes(&self) -> u64 {
        4 + 24 * u64::try_from(self.clicks.len()).unwrap_or(u64::MAX / 48)
    }

    fn riff_bytes(&self) -> u64 {
        4 + (8 + 16)
            + (8 + self.data_bytes())
            + (8 + self.cue_bytes())
            + (8 + u64::from(self.list_bytes))
    }

    fn head(&self) -> Vec<u8> {
        let hertz = self.rate.hertz();
        let mut bytes = b"RIFF".to_vec();
        bytes.extend(short(self.riff_bytes()));
        bytes.extend(b"WAVEfmt ");
        bytes.extend(16_u32.to_le_bytes());
        // Plain samples, one channel, samples and bytes a second, bytes a frame, bits.
        for field in [1_u16, 1] {
            bytes.extend(field.to_le_bytes());
        }
        bytes.extend(hertz.to_le_bytes());
        bytes.extend((2 * hertz).to_le_bytes());
        for field in [2_u16, 16] {
            bytes.extend(field.to_le_bytes());
        }
        bytes.extend(b"data");
        bytes.extend(short(self.data_bytes()));
        bytes
    }

    fn cues(&self) -> Vec<u8> {
        let mut bytes = b"cue ".to_vec();
        bytes.extend(short(self.cue_bytes()));
        bytes.extend(u32::try_from(self.clicks.len()).unwrap_or(0).to_le_bytes());
        for (id, click) in (1_u32..).zip(&self.clicks) {
            bytes.extend(id.to_le_bytes());
            bytes.extend(click.sample.to_le_bytes());
            bytes.extend(b"data");
            // The one chunk of samples starts at its own byte and block 0.
            bytes.extend([0; 8]);
            bytes.extend(click.sample.to_le_bytes());
        }
        bytes
    }

    fn labels_list(&self) -> Vec<u8> {
        let mut bytes = b"LIST".to_vec();
        bytes.extend(self.list_bytes.to_le_bytes());
        bytes.extend(b"adtl");
        for (id, click) in (1_u32..).zip(&self.clicks) {
            let text = label(click, &self.labels);
            // The number of the cue point, the text, and its end.
            let length = 4 + text.len() + 1;
            bytes.extend(b"labl");
            bytes.extend(u32::try_from(length).unwrap_or(0).to_le_bytes());
            bytes.extend(id.to_le_bytes());
            bytes.extend(text.as_bytes());
            bytes.push(0);
            if length % 2 == 1 {
                bytes.push(0);
            }
        }
        bytes
    }
}

/// Gives how many bytes of the list a label takes.
fn label_bytes(click: &Placed, labels: &[String]) -> u64 {
    let length = 4 + label(click, labels).len() + 1;
    let even = length + length % 2;
    8 + u64::try_from(even).unwrap_or(0)
}

fn label(click: &Placed, labels: &[String]) -> String {
    let measure = click.measure.and_then(|measure| labels.get(measure));
    match measure.filter(|label| !label.is_empty()) {
        Some(label) => format!("{label}: {}", click.say),
        None => click.say.to_string(),
    }
}

/// Takes out of a label what would end it.
fn plain(label: &str) -> String {
    label
        .chars()
        .filter(|letter| !letter.is_control())
        .collect()
}

/// The samples, second by second.
struct Sound<'a> {
    track: &'a ClickTrack,
    sounds: [Vec<f32>; 4],
    /// The next sample to write, and the first click that may still sound there.
    next: u32,
    first: usize,
}

impl<'a> Sound<'a> {
    fn new(track: &'a ClickTrack) -> Self {
        let levels = [
            Level::Subdivision,
            Level::Beat,
            Level::Group,
            Level::Downbeat,
        ];
        Self {
            track,
            sounds: levels.map(|level| samples_of(track.sound, level, track.rate)),
            next: 0,
            first: 0,
        }
    }

    fn sound(&self, level: Level) -> &[f32] {
        let [subdivision, beat, group, downbeat] = &self.sounds;
        match level {
            Level::Subdivision => subdivision,
            Level::Beat => beat,
            Level::Group => group,
            Level::Downbeat => downbeat,
        }
    }
}

impl Iterator for Sound<'_> {
    type Item = Vec<u8>;

    fn next(&mut self) -> Option<Vec<u8>> {
        let start = self.next;
        let end = start
            .saturating_add(self.track.rate.hertz())
            .min(self.track.samples);
        if start >= end {
            return None;
        }
        let mut mixed = vec![0.0_f32; usize::try_from(end - start).ok()?];
        let clicks = self.track.clicks.get(self.first..).unwrap_or_default();
        let mut over = 0;
        for click in clicks.iter().take_while(|click| click.sample < end) {
            let sound = self.sound(click.level);
            let stops = u64::from(click.sample) + u64::try_from(sound.len()).unwrap_or(0);
            // All clicks are of one length: what is over stays over.
            over += usize::from(stops <= u64::from(end));
            let skipped = usize::try_from(start.saturating_sub(click.sample)).ok()?;
            let at = usize::try_from(click.sample.saturating_sub(start)).ok()?;
            let places = mixed.iter_mut().skip(at);
            for (place, sample) in places.zip(sound.iter().skip(skipped)) {
                *place += sample;
            }
        }
        self.first += over;
        self.next = end;
        Some(
            mixed
                .into_iter()
                .flat_map(|sample| sixteen(sample).to_le_bytes())
                .collect(),
        )
    }
}

fn samples_of(sound: ClickSound, level: Level, rate: SampleRate) -> Vec<f32> {
    click_samples(sound, level, f64::from(rate.hertz()))
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "the clamp keeps it inside 16 bits"
)]
fn sixteen(sample: f32) -> i16 {
    (sample.clamp(-1.0, 1.0) * f32::from(i16::MAX)).round() as i16
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast of floats stops at the ends of the whole numbers"
)]
fn whole(number: f64) -> u64 {
    number.round() as u64
}

/// Writes a size; [`click_track`] has seen to it that it fits.
fn short(size: u64) -> [u8; 4] {
    u32::try_from(size).unwrap_or(u32::MAX).to_le_bytes()
}

fn too_large(what: &'static str, limit: u64, actual: u64) -> TooLarge {
    let size = |number: u64| usize::try_from(number).unwrap_or(usize::MAX);
    TooLarge {
        what,
        limit: size(limit),
        actual: size(actual),
    }
}

#[cfg(test)]
mod tests;
