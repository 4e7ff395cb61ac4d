//! Lengths in drawings.

use maud::Render;

/// A length in the drawing with one decimal: finer than any screen, the same in
/// every build, and written without the weight of printing an `f64`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tenths(i32);

/// Rounds a length to what is drawn.
#[allow(
    clippy::cast_possible_truncation,
    reason = "a drawing is far narrower than an i32, and a cast stays inside it"
)]
#[must_use]
pub fn rounded(units: f64) -> Tenths {
    Tenths((units * 10.0).round() as i32)
}

impl Render for Tenths {
    fn render_to(&self, text: &mut String) {
        if self.0 < 0 {
            text.push('-');
        }
        let tenths = self.0.unsigned_abs();
        (tenths / 10).render_to(text);
        if !tenths.is_multiple_of(10) {
            text.push('.');
            (tenths % 10).render_to(text);
        }
    }
}
