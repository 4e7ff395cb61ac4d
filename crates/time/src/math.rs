//! The only door to transcendental functions.
//!
//! The standard library's versions may differ by the last bit between a
//! browser and a native program; `libm` is the same code in both.

/// Gives e to the power `x`.
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Gives the natural logarithm of `x`.
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Gives ln(1 + x), exact for small `x`.
#[must_use]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// Gives exp(x) − 1, exact for small `x`.
#[must_use]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}
