//! The sound of the clicks, synthesised here.

use cueleaf_time::Level;

/// How long a click lasts, in seconds.
const LENGTH: f64 = 0.05;

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

/// Makes the samples of a click: a tone that dies away, from exactly zero.
///
/// The tone is grown from sample to sample, which needs no sine function.
#[must_use]
pub fn click_samples(level: Level, sample_rate: f64) -> Vec<f32> {
    let (pitch, loudness, decay) = voice(level);
    let step = core::f64::consts::TAU * pitch / sample_rate;
    let square = step * step;
    // The first terms of sine and cosine: exact to a millionth for our pitches.
    let sine = step * (1.0 - square / 6.0 * (1.0 - square / 20.0));
    let cosine = 1.0 - square / 2.0 * (1.0 - square / 12.0 * (1.0 - square / 30.0));
    let fading = 1.0 - 1.0 / (decay * sample_rate);
    let (mut before, mut now) = (-sine, 0.0);
    let mut envelope = loudness;
    let mut samples = Vec::new();
    let mut seconds = 0.0;
    while seconds < LENGTH {
        #[allow(
            clippy::cast_possible_truncation,
            reason = "a sample's loudness needs no more than an f32"
        )]
        samples.push((now * envelope) as f32);
        (before, now) = (now, 2.0 * cosine * now - before);
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
        for rate in [8_000.0, 44_100.0, 48_000.0, 96_000.0] {
            let mut before = 0.0;
            for level in [
                Level::Subdivision,
                Level::Beat,
                Level::Group,
                Level::Downbeat,
            ] {
                let samples = click_samples(level, rate);
                assert_eq!(samples[0].to_bits(), 0);
                assert!(samples[1] > 0.0);
                let peak = loudest(&samples);
                assert!(peak > before && peak < 1.0, "{level:?} {rate} {peak}");
                assert!(loudest(&samples[samples.len() - 8..]) < 0.02 * peak);
                before = peak;
            }
        }
    }

    #[test]
    fn the_pitch_is_what_it_says() {
        let samples = click_samples(Level::Downbeat, 48_000.0);
        let rising = |pair: &[f32]| pair[0] <= 0.0 && pair[1] > 0.0;
        let waves = samples[..1200]
            .windows(2)
            .filter(|pair| rising(pair))
            .count();
        // 1760 Hz over 25 ms is 44 waves.
        assert_eq!(waves, 44);
    }
}
