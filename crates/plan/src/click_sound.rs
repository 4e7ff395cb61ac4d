//! The sounds of the clicks, synthesised here.

use cueleaf_time::Level;

/// How long a click lasts, in seconds.
const LENGTH: f64 = 0.05;

/// What the clicks are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ClickSound {
    /// One clear tone.
    #[default]
    Clear,
    /// Two tones like a bar of wood, lower and shorter.
    Wooden,
    /// A short rustle without a pitch, which no note can cover or match.
    Dry,
}

/// Gives the pitch in hertz, the loudness, and the seconds in which a click
/// loses most of its sound: stronger counts are higher and louder.
///
/// # Source
/// Our decision, by ear and well inside what a phone's speaker gives back.
const fn voice(level: Level) -> (f64, f64, f64) {
    match level {
        Level::Downbeat => (1760.0, 0.9, 0.011),
        Level::Group => (1318.5, 0.65, 0.010),
        Level::Beat => (987.8, 0.42, 0.009),
        Level::Subdivision => (784.0, 0.2, 0.007),
    }
}

/// A tone grown from sample to sample, from exactly zero, which needs no sine
/// function.
struct Tone {
    before: f64,
    now: f64,
    cosine: f64,
}

impl Tone {
    fn new(pitch: f64, sample_rate: f64) -> Self {
        let step = core::f64::consts::TAU * pitch / sample_rate;
        let square = step * step;
        // The first terms of sine and cosine: exact to a millionth for our pitches.
        let sine = step * (1.0 - square / 6.0 * (1.0 - square / 20.0));
        let cosine = 1.0 - square / 2.0 * (1.0 - square / 12.0 * (1.0 - square / 30.0));
        Self {
            before: -sine,
            now: 0.0,
            cosine,
        }
    }

    fn next(&mut self) -> f64 {
        let now = self.now;
        (self.before, self.now) = (now, 2.0 * self.cosine * now - self.before);
        now
    }
}

/// Makes the samples of a click: a sound that dies away, from exactly zero.
///
/// # Source
/// The second tone of the wooden click lies at 2.76 times the first, as in a
/// free bar (acoustics of bars, from memory); the rest is our decision.
#[must_use]
pub fn click_samples(sound: ClickSound, level: Level, sample_rate: f64) -> Vec<f32> {
    let (pitch, loudness, decay) = voice(level);
    let (first, second, decay) = match sound {
        ClickSound::Clear => (1.0, 0.0, decay),
        ClickSound::Wooden => (0.6, 0.4, 0.6 * decay),
        ClickSound::Dry => (0.0, 0.0, 0.4 * decay),
    };
    let low = if sound == ClickSound::Wooden {
        pitch / 2.0
    } else {
        pitch
    };
    let (mut one, mut other) = (
        Tone::new(low, sample_rate),
        Tone::new(2.76 * low, sample_rate),
    );
    let fading = 1.0 - 1.0 / (decay * sample_rate);
    let mut envelope = loudness;
    let mut samples = Vec::new();
    let mut seconds = 0.0;
    let mut chance: u32 = 0;
    while seconds < LENGTH {
        let noise = if sound == ClickSound::Dry {
            f64::from(chance >> 16) / 32_768.0 - f64::from(u8::from(chance > 0))
        } else {
            0.0
        };
        let sample = first * one.next() + second * other.next() + noise;
        #[allow(
            clippy::cast_possible_truncation,
            reason = "a sample's loudness needs no more than an f32"
        )]
        samples.push((sample * envelope) as f32);
        // Numbers that follow each other without a pattern one hears: a linear
        // congruence (Numerical Recipes, from memory).
        chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        envelope *= fading;
        seconds += 1.0 / sample_rate;
    }
    samples
}

#[cfg(test)]
mod tests {
    use super::*;

    fn loudest(samples: &[f32]) -> f32 {
        samples
            .iter()
            .fold(0.0, |most, sample| most.max(sample.abs()))
    }

    #[test]
    fn clicks_start_at_zero_and_die_away() {
        let sounds = [ClickSound::Clear, ClickSound::Wooden, ClickSound::Dry];
        let rates = [8_000.0, 44_100.0, 48_000.0, 96_000.0];
        for (sound, rate) in sounds
            .into_iter()
            .flat_map(|own| rates.map(|rate| (own, rate)))
        {
            let mut before = 0.0;
            for level in [
                Level::Subdivision,
                Level::Beat,
                Level::Group,
                Level::Downbeat,
            ] {
                let samples = click_samples(sound, level, rate);
                assert_eq!(samples[0].to_bits(), 0);
                assert!(samples[1].abs() > 0.0);
                let peak = loudest(&samples);
                assert!(
                    peak > before && peak < 1.0,
                    "{sound:?} {level:?} {rate} {peak}"
                );
                assert!(loudest(&samples[samples.len() - 8..]) < 0.02 * peak);
                before = peak;
            }
        }
    }

    #[test]
    fn the_pitch_is_what_it_says() {
        let samples = click_samples(ClickSound::Clear, Level::Downbeat, 48_000.0);
        let rising = |pair: &[f32]| pair[0] <= 0.0 && pair[1] > 0.0;
        let waves = samples[..1200]
            .windows(2)
            .filter(|pair| rising(pair))
            .count();
        // 1760 Hz over 25 ms is 44 waves.
        assert_eq!(waves, 44);
    }
}
