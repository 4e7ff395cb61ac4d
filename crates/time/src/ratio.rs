//! Reduced fractions with checked arithmetic.

use crate::TimeError;
use core::cmp::Ordering;
use core::fmt;
use core::str::FromStr;

/// The largest denominator a fraction may have.
///
/// # Source
/// Our decision: 2^32 holds every written note value down to the 1024th under
/// nested tuplets of 3, 5, 7, 9, 11 and 13, and keeps sums within 128 bits.
pub const MAX_DENOMINATOR: i64 = 1 << 32;

/// An exact fraction, always reduced, its denominator positive.
///
/// ```
/// use cueleaf_time::Ratio;
/// let third = Ratio::new(2, 6).unwrap();
/// assert_eq!(third.to_string(), "1/3");
/// assert_eq!(third.plus(third).unwrap().to_string(), "2/3");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ratio {
    numerator: i64,
    denominator: i64,
}

const fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

impl Ratio {
    /// Zero.
    pub const ZERO: Self = Self::whole(0);
    /// One.
    pub const ONE: Self = Self::whole(1);

    /// Makes a whole number.
    #[must_use]
    pub const fn whole(n: i64) -> Self {
        Self {
            numerator: n,
            denominator: 1,
        }
    }

    /// Makes a fraction and reduces it.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the denominator is zero or the reduced
    /// fraction does not fit.
    pub fn new(numerator: i64, denominator: i64) -> Result<Self, TimeError> {
        Self::reduce(i128::from(numerator), i128::from(denominator))
    }

    fn reduce(numerator: i128, denominator: i128) -> Result<Self, TimeError> {
        if denominator == 0 {
            return Err(TimeError::OutOfRange);
        }
        let common = gcd(numerator.unsigned_abs(), denominator.unsigned_abs());
        let common = i128::try_from(common).map_err(|_| TimeError::OutOfRange)?;
        let sign = denominator.signum();
        let denominator = i64::try_from(denominator / common * sign);
        let numerator = i64::try_from(numerator / common * sign);
        match (numerator, denominator) {
            (Ok(numerator), Ok(denominator)) if denominator <= MAX_DENOMINATOR => Ok(Self {
                numerator,
                denominator,
            }),
            _ => Err(TimeError::OutOfRange),
        }
    }

    /// Gives the numerator of the reduced fraction.
    #[must_use]
    pub const fn numerator(self) -> i64 {
        self.numerator
    }

    /// Gives the denominator of the reduced fraction, at least 1.
    #[must_use]
    pub const fn denominator(self) -> i64 {
        self.denominator
    }

    /// Adds.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the sum does not fit.
    pub fn plus(self, other: Self) -> Result<Self, TimeError> {
        let (a, b) = (i128::from(self.numerator), i128::from(self.denominator));
        let (c, d) = (i128::from(other.numerator), i128::from(other.denominator));
        Self::reduce(a * d + c * b, b * d)
    }

    /// Subtracts.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the difference does not fit.
    pub fn minus(self, other: Self) -> Result<Self, TimeError> {
        let (a, b) = (i128::from(self.numerator), i128::from(self.denominator));
        let (c, d) = (i128::from(other.numerator), i128::from(other.denominator));
        Self::reduce(a * d - c * b, b * d)
    }

    /// Multiplies.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when the product does not fit.
    pub fn times(self, other: Self) -> Result<Self, TimeError> {
        Self::reduce(
            i128::from(self.numerator) * i128::from(other.numerator),
            i128::from(self.denominator) * i128::from(other.denominator),
        )
    }

    /// Divides.
    ///
    /// # Errors
    /// [`TimeError::OutOfRange`] when `other` is zero or the quotient does not fit.
    pub fn over(self, other: Self) -> Result<Self, TimeError> {
        Self::reduce(
            i128::from(self.numerator) * i128::from(other.denominator),
            i128::from(self.denominator) * i128::from(other.numerator),
        )
    }

    /// Writes the fraction as a decimal where that is exact in three figures, else as a fraction.
    ///
    /// ```
    /// use cueleaf_time::Ratio;
    /// assert_eq!(Ratio::new(5, 2).unwrap().to_decimal(), "2.5");
    /// assert_eq!(Ratio::new(7, 3).unwrap().to_decimal(), "7/3");
    /// assert_eq!(Ratio::whole(2).to_decimal(), "2");
    /// ```
    #[must_use]
    pub fn to_decimal(self) -> String {
        self.decimal_within(3)
    }

    /// Writes the fraction as a decimal where that is exact in nine figures, else as a fraction.
    ///
    /// ```
    /// use cueleaf_time::Ratio;
    /// assert_eq!(Ratio::new(5_217_391, 100_000).unwrap().to_long_decimal(), "52.17391");
    /// assert_eq!(Ratio::new(7, 3).unwrap().to_long_decimal(), "7/3");
    /// ```
    #[must_use]
    pub fn to_long_decimal(self) -> String {
        self.decimal_within(9)
    }

    fn decimal_within(self, figures: u32) -> String {
        for figures in 1..=figures {
            let scale = 10i64.pow(figures);
            let Ok(scaled) = self.times(Self::whole(scale)) else {
                break;
            };
            if self.denominator != 1 && scaled.denominator == 1 {
                let sign = if self.is_negative() { "-" } else { "" };
                let scaled = scaled.numerator.unsigned_abs();
                let scale = scale.unsigned_abs();
                let width = usize::try_from(figures).unwrap_or(1);
                return format!("{sign}{}.{:0width$}", scaled / scale, scaled % scale);
            }
        }
        self.to_string()
    }

    /// Gives a fraction that is not below zero as people read it: the whole number, and
    /// after the point at most two figures, rounded, without zeros at their end.
    ///
    /// ```
    /// use cueleaf_time::Ratio;
    /// let read = |n, d| Ratio::new(n, d).unwrap().to_read();
    /// assert_eq!(read(135, 2), (67, "5".to_owned()));
    /// assert_eq!(read(200, 3), (66, "67".to_owned()));
    /// assert_eq!(read(11_999_999, 100_000), (120, String::new()));
    /// ```
    #[must_use]
    pub fn to_read(self) -> (i64, String) {
        // Cut down to half hundredths, then rounded.
        let halves = self.numerator.saturating_mul(200) / self.denominator;
        let hundredths = halves.saturating_add(1) / 2;
        let figures = (100 + hundredths % 100).to_string();
        let figures = figures.trim_end_matches('0').get(1..).unwrap_or("");
        (hundredths / 100, figures.to_owned())
    }

    /// Writes a fraction that is not below zero as people read it, like [`to_read`](Self::to_read).
    ///
    /// ```
    /// use cueleaf_time::Ratio;
    /// assert_eq!(Ratio::new(200, 3).unwrap().said(), "66.67");
    /// ```
    #[must_use]
    pub fn said(self) -> String {
        match self.to_read() {
            (whole, figures) if figures.is_empty() => whole.to_string(),
            (whole, figures) => format!("{whole}.{figures}"),
        }
    }

    /// Tells whether the fraction is below zero.
    #[must_use]
    pub const fn is_negative(self) -> bool {
        self.numerator < 0
    }

    /// Gives the greatest whole number not above the fraction.
    #[must_use]
    pub const fn floor(self) -> i64 {
        self.numerator.div_euclid(self.denominator)
    }

    /// Gives the nearest floating-point number.
    #[must_use]
    #[allow(
        clippy::cast_precision_loss,
        reason = "this is the one gate from exact fractions to floating point"
    )]
    pub fn to_f64(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }
}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ratio {
    fn cmp(&self, other: &Self) -> Ordering {
        let left = i128::from(self.numerator) * i128::from(other.denominator);
        let right = i128::from(other.numerator) * i128::from(self.denominator);
        left.cmp(&right)
    }
}

impl fmt::Display for Ratio {
    /// Writes "3/2", or "3" for a whole number.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.denominator == 1 {
            write!(f, "{}", self.numerator)
        } else {
            write!(f, "{}/{}", self.numerator, self.denominator)
        }
    }
}

impl FromStr for Ratio {
    type Err = TimeError;

    /// Reads "3", "-3", "3/2" and decimals such as "66.5".
    fn from_str(text: &str) -> Result<Self, TimeError> {
        const WANTED: TimeError = TimeError::NotRead("a number such as 3, 3/2 or 1.5");
        let text = text.trim();
        if let Some((numerator, denominator)) = text.split_once('/') {
            let numerator = numerator.trim().parse().map_err(|_| WANTED)?;
            let denominator = denominator.trim().parse().map_err(|_| WANTED)?;
            return Self::new(numerator, denominator);
        }
        let Some((whole, decimals)) = text.split_once('.') else {
            return text.parse().map(Self::whole).map_err(|_| WANTED);
        };
        let negative = whole.starts_with('-');
        let whole: i64 = match whole {
            "" | "-" => 0,
            digits => digits.parse().map_err(|_| WANTED)?,
        };
        if decimals.is_empty() || !decimals.bytes().all(|b| b.is_ascii_digit()) {
            return Err(WANTED);
        }
        let scale = u32::try_from(decimals.len())
            .ok()
            .and_then(|places| 10i64.checked_pow(places))
            .ok_or(TimeError::OutOfRange)?;
        let part = Self::new(decimals.parse().map_err(|_| TimeError::OutOfRange)?, scale)?;
        if negative {
            Self::whole(whole).minus(part)
        } else {
            Self::whole(whole).plus(part)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn r(n: i64, d: i64) -> Ratio {
        Ratio::new(n, d).unwrap()
    }

    #[test]
    fn reads_and_writes_its_text_forms() {
        for (text, value) in [
            ("3", r(3, 1)),
            ("6/4", r(3, 2)),
            ("1.5", r(3, 2)),
            ("-0.25", r(-1, 4)),
            (".5", r(1, 2)),
            ("-1.5", r(-3, 2)),
        ] {
            assert_eq!(text.parse::<Ratio>().unwrap(), value, "{text}");
        }
        for text in [
            "",
            "a",
            "1/0",
            "1/",
            "1.",
            "1.x",
            "1..2",
            "99999999999999999999",
        ] {
            assert!(text.parse::<Ratio>().is_err(), "{text}");
        }
    }

    #[test]
    fn refuses_what_is_too_fine() {
        let fine = r(1, MAX_DENOMINATOR);
        assert_eq!(
            fine.plus(r(1, MAX_DENOMINATOR - 1)),
            Err(TimeError::OutOfRange)
        );
        assert_eq!(
            Ratio::whole(i64::MAX).plus(Ratio::ONE),
            Err(TimeError::OutOfRange)
        );
        assert!(Ratio::new(i64::MIN, -1).is_err());
    }

    proptest! {
        #[test]
        fn sums_are_exact_and_reverse(a in -10_000i64..10_000, b in 1i64..5_000, c in -10_000i64..10_000, d in 1i64..5_000) {
            let (x, y) = (r(a, b), r(c, d));
            prop_assert_eq!(x.plus(y).unwrap().minus(y).unwrap(), x);
            if c != 0 {
                prop_assert_eq!(x.over(y).unwrap().times(y).unwrap(), x);
            }
            prop_assert_eq!(x.to_string().parse::<Ratio>().unwrap(), x);
            prop_assert_eq!(x.cmp(&y), (i128::from(a) * i128::from(d)).cmp(&(i128::from(c) * i128::from(b))));
        }
    }
}
