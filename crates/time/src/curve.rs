//! Tempo that changes gradually, in closed form.

use crate::math::{exp_m1, ln_1p};
use crate::{BeatSpan, Ratio, Seconds, Tempo};

/// How a gradual tempo change runs from its first to its last tempo.
///
/// All are one family: the tempo after the part `x` of the way is
/// `from · (1 + (w^q − 1) x)^(1/q)` with `w = to / from`.
///
/// # Source
/// Friberg and Sundberg (1999), "Does music performance allude to locomotion?",
/// J. Acoust. Soc. Am. 105, 1469: the final ritard as constant braking power,
/// q = 3. The explicit family follows from it; the printed form is from memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Shape {
    /// q = 1: the tempo grows evenly from beat to beat.
    #[default]
    EvenInBeats,
    /// q = 2: the tempo grows evenly with the clock.
    EvenInTime,
    /// q = 3: a runner who brakes with constant power, as in a final ritard.
    Runner,
}

impl Shape {
    const fn exponent(self) -> f64 {
        match self {
            Self::EvenInBeats => 1.0,
            Self::EvenInTime => 2.0,
            Self::Runner => 3.0,
        }
    }
}

/// A stretch of music over which the tempo stays or moves along a [`Shape`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TempoCurve {
    from: Ratio,
    to: Ratio,
    quarters: f64,
    shape: Shape,
}

impl TempoCurve {
    /// Makes a curve over a span; a span of nothing keeps the first tempo.
    #[must_use]
    pub fn new(from: Tempo, to: Tempo, span: BeatSpan, shape: Shape) -> Self {
        let from = from.quarters_per_minute();
        let to = if span.is_zero() {
            from
        } else {
            to.quarters_per_minute()
        };
        Self {
            from,
            to,
            quarters: span.quarters().to_f64(),
            shape,
        }
    }

    /// Makes a steady tempo over a span.
    #[must_use]
    pub fn steady(tempo: Tempo, span: BeatSpan) -> Self {
        Self::new(tempo, tempo, span, Shape::EvenInBeats)
    }

    /// Gives the tempo, in quarter notes a minute, at an offset of quarter notes.
    #[must_use]
    pub fn quarters_per_minute_at(&self, offset: f64) -> f64 {
        let (from, to) = (self.from.to_f64(), self.to.to_f64());
        if self.from == self.to {
            return from;
        }
        let part = (offset / self.quarters).clamp(0.0, 1.0);
        let grown = 1.0 + exp_m1(ln_1p(self.growth() * part) / self.shape.exponent());
        from * grown.max(0.0).min(from.max(to) / from)
    }

    /// Gives the seconds from the start of the curve to an offset of quarter
    /// notes; past the end the last tempo goes on.
    #[must_use]
    pub fn seconds_to(&self, offset: f64) -> Seconds {
        let from = self.from.to_f64();
        if self.from == self.to {
            return seconds(60.0 * offset / from);
        }
        let inside = offset.min(self.quarters);
        let beyond = 60.0 * (offset - inside) / self.to.to_f64();
        // With D = w^q − 1 and c = 1 − 1/q the time is
        // 60 N / from · ((1 + D x)^c − 1) / (c D), which for c = 0 becomes
        // ln(1 + D x) / D. Written with ln_1p and exp_m1 it stays exact for
        // tempi that are nearly equal.
        let growth = self.growth();
        let log = ln_1p(growth * (inside / self.quarters));
        let c = self.time_exponent();
        let area = match self.shape {
            Shape::EvenInBeats => log / growth,
            Shape::EvenInTime | Shape::Runner => exp_m1(c * log) / (c * growth),
        };
        seconds(60.0 * self.quarters / from * area + beyond)
    }

    /// Gives the offset in quarter notes after a number of seconds: the
    /// inverse of [`seconds_to`](Self::seconds_to).
    #[must_use]
    pub fn offset_after(&self, time: Seconds) -> f64 {
        let from = self.from.to_f64();
        if self.from == self.to {
            return time.get() * from / 60.0;
        }
        let whole = self.seconds_to(self.quarters).get();
        if time.get() >= whole {
            return self.quarters + (time.get() - whole) * self.to.to_f64() / 60.0;
        }
        let growth = self.growth();
        let area = time.get() * from / (60.0 * self.quarters);
        let c = self.time_exponent();
        let log = match self.shape {
            Shape::EvenInBeats => growth * area,
            Shape::EvenInTime | Shape::Runner => ln_1p(area * c * growth) / c,
        };
        self.quarters * exp_m1(log) / growth
    }

    fn growth(&self) -> f64 {
        let from = self.from.to_f64();
        exp_m1(self.shape.exponent() * ln_1p((self.to.to_f64() - from) / from))
    }

    fn time_exponent(&self) -> f64 {
        1.0 - 1.0 / self.shape.exponent()
    }
}

fn seconds(value: f64) -> Seconds {
    // Tempi and spans are finite and tempi above zero, so the value is finite.
    Seconds::new(value).unwrap_or(Seconds::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn curve(from: i64, to: i64, beats: i64, shape: Shape) -> TempoCurve {
        let tempo = |n| Tempo::quarters(Ratio::whole(n)).unwrap();
        let span = BeatSpan::from_quarters(Ratio::whole(beats)).unwrap();
        TempoCurve::new(tempo(from), tempo(to), span, shape)
    }

    /// Source: closed forms of the family above, each checked against a numeric
    /// integration with 200,000 steps.
    #[test]
    fn totals_agree_with_numeric_integration() {
        for (beats, from, to, q1, q2, q3) in [
            (4, 120, 60, 2.77259, 2.66667, 2.57143),
            (4, 96, 72, 2.87682, 2.85714, 2.83784),
            (8, 96, 72, 5.75364, 5.71429, 5.67568),
            (8, 60, 70, 7.39923, 7.38462, 7.37008),
            (16, 80, 132, 9.24508, 9.0566, 8.87855),
            (4, 132, 66, 2.52054, 2.42424, 2.33766),
            (2, 100, 50, 1.66355, 1.6, 1.54286),
            (12, 60, 144, 7.50402, 7.05882, 6.68122),
            (4, 76, 50, 3.86502, 3.80952, 3.75621),
            (8, 72, 72, 6.66667, 6.66667, 6.66667),
        ] {
            for (shape, expected) in [
                (Shape::EvenInBeats, q1),
                (Shape::EvenInTime, q2),
                (Shape::Runner, q3),
            ] {
                #[allow(clippy::cast_precision_loss, reason = "small test values")]
                let total = curve(from, to, beats, shape).seconds_to(beats as f64).get();
                assert!(
                    (total - expected).abs() < 6e-6,
                    "{from} {to} {shape:?}: {total}"
                );
            }
        }
    }

    #[test]
    fn onsets_and_the_halfway_tempo_agree_too() {
        for (shape, onsets, halfway) in [
            (
                Shape::EvenInBeats,
                [0.53413, 1.15073, 1.88001, 2.77259],
                90.0,
            ),
            (
                Shape::EvenInTime,
                [0.52593, 1.11696, 1.80566, 2.66667],
                94.8683,
            ),
            (Shape::Runner, [0.52027, 1.09227, 1.74612, 2.57143], 99.0578),
        ] {
            let curve = curve(120, 60, 4, shape);
            for (beat, expected) in [1.0, 2.0, 3.0, 4.0].into_iter().zip(onsets) {
                assert!((curve.seconds_to(beat).get() - expected).abs() < 6e-6);
            }
            assert!((curve.quarters_per_minute_at(2.0) - halfway).abs() < 6e-5);
        }
    }

    proptest! {
        #[test]
        fn seconds_and_offsets_are_inverse(from in 20i64..300, to in 20i64..300, beats in 1i64..200, part in 0.0f64..1.2, shape in 0usize..3) {
            let shape = [Shape::EvenInBeats, Shape::EvenInTime, Shape::Runner][shape];
            let curve = curve(from, to, beats, shape);
            #[allow(clippy::cast_precision_loss, reason = "small test values")]
            let offset = part * beats as f64;
            let back = curve.offset_after(curve.seconds_to(offset));
            prop_assert!((back - offset).abs() < 1e-9, "{back} {offset}");
        }
    }
}
