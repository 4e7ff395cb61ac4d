//! A text as a QR code, drawn as SVG.

use core::fmt;
use maud::{Markup, html};
use qrcode::{Color, EcLevel, QrCode};

/// The empty border that a reader needs, in modules.
///
/// # Source
/// ISO/IEC 18004, the quiet zone of a QR code (from memory).
const QUIET: usize = 4;

/// How wide the picture is on paper, in millimetres.
pub const WIDTH_MM: usize = 80;

/// The most modules along one side, border included: at [`WIDTH_MM`] a module is then
/// at least half a millimetre wide, which phones read from paper.
///
/// # Source
/// Our decision. It is version 33 (149 modules and the border).
const MAX_MODULES: usize = WIDTH_MM * 2;

/// Up to how many modules along one side errors are corrected at level M; what needs
/// more is better off with larger modules and level L.
///
/// # Source
/// Our decision: a module is then 0.8 mm wide or wider.
const ROOMY: usize = WIDTH_MM * 5 / 4;

/// A text as a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QrPicture {
    /// The picture as SVG, [`WIDTH_MM`] wide, with its name for those who do not see it.
    pub svg: String,
    /// How many modules it has along one side, border included.
    pub modules: usize,
}

/// Why a text has no picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum QrError {
    /// Its modules would be finer than half a millimetre.
    TooFine,
    /// It has letters outside ASCII, which readers take for other letters.
    Letters,
    /// There is no text.
    Empty,
}

impl fmt::Display for QrError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::TooFine => {
                "This is too long for a QR code on paper: its dots would be finer than half a millimetre."
            }
            Self::Letters => {
                "A QR code here takes an address without accents or other special letters: copy it from the browser."
            }
            Self::Empty => "There is nothing to draw.",
        })
    }
}

impl core::error::Error for QrError {}

/// Draws a text as a QR code: modes mixed so that it gets as small as it can, the
/// correction of errors at level M where its modules stay large, else L.
///
/// An address keeps its letters as typed: its name in capitals would save one part
/// in a hundred, and not every program that reads a code knows that names may be so.
///
/// # Errors
/// [`QrError`], whose words say why.
pub fn qr_picture(text: &str, name: &str) -> Result<QrPicture, QrError> {
    if text.is_empty() {
        return Err(QrError::Empty);
    }
    if !text.bytes().all(|byte| byte.is_ascii_graphic()) {
        return Err(QrError::Letters);
    }
    let code = [(EcLevel::M, ROOMY), (EcLevel::L, MAX_MODULES)]
        .into_iter()
        .filter_map(|(level, most)| {
            let code = QrCode::with_error_correction_level(text, level).ok()?;
            (code.width() + 2 * QUIET <= most).then_some(code)
        })
        .next()
        .ok_or(QrError::TooFine)?;
    let modules = code.width() + 2 * QUIET;
    Ok(QrPicture {
        svg: drawn(&code, name).into_string(),
        modules,
    })
}

fn drawn(code: &QrCode, name: &str) -> Markup {
    let side = code.width() + 2 * QUIET;
    html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label=(name)
            width={ (WIDTH_MM) "mm" } height={ (WIDTH_MM) "mm" }
            viewBox={ "0 0 " (side) " " (side) } shape-rendering="crispEdges" {
            title { (name) }
            rect width=(side) height=(side) fill="#fff" {}
            path fill="#000" d=(path(code)) {}
        }
    }
}

/// Draws the dark modules, each run of neighbours in a row as one bar.
fn path(code: &QrCode) -> String {
    let width = code.width();
    let colors = code.to_colors();
    let mut path = String::new();
    for (y, row) in colors.chunks(width).enumerate() {
        let mut x = 0;
        for run in row.chunk_by(|one, other| one == other) {
            if run.first() == Some(&Color::Dark) {
                let bar = run.len();
                path.push_str(&format!("M{} {}h{bar}v1h-{bar}z", x + QUIET, y + QUIET));
            }
            x += run.len();
        }
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_border_is_empty_and_the_corners_are_drawn() {
        let picture = qr_picture("https://a.example/play.html#AB", "A <name>").unwrap();
        // The finder pattern's upper bar is seven modules wide (ISO/IEC 18004).
        assert!(picture.svg.contains("M4 4h7v1h-7z"));
        assert!(picture.svg.contains("aria-label=\"A &lt;name&gt;\""));
        assert!(!picture.svg.contains("style="));
        let side = picture.modules;
        assert!(
            picture
                .svg
                .contains(&format!("viewBox=\"0 0 {side} {side}\""))
        );
    }

    #[test]
    fn capitals_are_denser() {
        let small = qr_picture(&"a".repeat(400), "x").unwrap();
        let capitals = qr_picture(&"A".repeat(400), "x").unwrap();
        assert!(capitals.modules < small.modules);
        // An address before them does not end that.
        let mixed = format!("https://a.example/play.html#{}", "A".repeat(400));
        assert!(qr_picture(&mixed, "x").unwrap().modules < small.modules);
    }

    #[test]
    fn what_has_no_picture_is_told() {
        assert_eq!(qr_picture("", "x"), Err(QrError::Empty));
        assert_eq!(qr_picture("https://ä.example/", "x"), Err(QrError::Letters));
        assert_eq!(qr_picture("a b", "x"), Err(QrError::Letters));
        assert_eq!(qr_picture(&"A".repeat(3_200), "x"), Err(QrError::TooFine));
        // The largest code that still goes: half a millimetre a module.
        let largest = qr_picture(&"A".repeat(2_900), "x").unwrap();
        assert!(largest.modules <= MAX_MODULES);
    }
}
