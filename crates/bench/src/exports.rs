//! Everything that leaves a guide, summed up, so that two machines can compare what they made.

use crate::random::{ADDRESS, random_guide};
use core::fmt::Write as _;
use cueleaf_export::{
    Address, Offset, PlayerFiles, SampleRate, class_files, click_track, frame_snippet, guide_page,
    link, midi_file, overview_page, qr_picture, section_chapters, section_times, tip_captions, zip,
};
use cueleaf_guide::{Checked, Finding, Guide};
use cueleaf_plan::ClickSound;
use sha2::{Digest as _, Sha256};
use wasm_bindgen::prelude::wasm_bindgen;

/// What brings the pages to life is the same file on every machine; a short one stands for it.
const PLAYER: PlayerFiles<'_> = PlayerFiles {
    start: "run()",
    live_hash: "'sha256-live'",
    style: "p{color:red}",
    packed: &[1, 2, 3],
};

/// How many measures the click track has at most: its samples are many.
const CLICKED: usize = 2;

/// How many pieces of its file are compared at most; a drawn tempo can be very slow.
const PIECES: usize = 32;

/// Makes every export of a random guide; gives their names, each with the beginning of the
/// SHA-256 of its bytes and findings, as one line: "guide 7 of page 1200 0f…".
#[wasm_bindgen]
#[must_use]
pub fn exports_of(number: u32) -> String {
    let guide = random_guide(number);
    let mut line = format!("guide {number} of");
    for (name, bytes) in exports(&guide, number) {
        let sum = Sha256::digest(&bytes);
        // Writing to memory cannot fail.
        let _ = write!(line, " {name} {} ", bytes.len());
        for byte in sum.iter().take(8) {
            let _ = write!(line, "{byte:02x}");
        }
    }
    line
}

fn exports(guide: &Guide, number: u32) -> Vec<(&'static str, Vec<u8>)> {
    // Between 50 s before and 50 s after, in eighths of a second.
    let offset = f64::from(number % 801) / 8.0 - 50.0;
    let offset = Offset::new(offset).unwrap_or(Offset::NONE);
    let files = class_files(std::slice::from_ref(guide), &PLAYER).unwrap_or_default();
    let link = Address::read(ADDRESS)
        .ok()
        .map(|address| link(guide, &address));
    let (text, picture) = match link {
        Some(Ok(link)) => (
            link.text,
            qr_picture(&link.for_picture, &guide.title)
                .map_or_else(|error| error.to_string(), |picture| picture.svg),
        ),
        Some(Err(error)) => (error.to_string(), String::new()),
        None => Default::default(),
    };
    let parts = guide.parts.iter().map(Some).chain([None]);
    let frames: String = parts.map(|part| frame_snippet(guide, part)).collect();
    vec![
        ("saved", cueleaf_guide::save(guide).into_bytes()),
        ("page", guide_page(guide, &PLAYER).into_bytes()),
        ("overview", overview_page(guide).into_bytes()),
        ("frame", frames.into_bytes()),
        ("zip", zip(&files).unwrap_or_default()),
        ("link", text.into_bytes()),
        ("picture", picture.into_bytes()),
        ("outline", cueleaf_outline::write(guide).into_bytes()),
        ("captions", with_findings(tip_captions(guide, offset))),
        ("chapters", with_findings(section_chapters(guide, offset))),
        ("times", with_findings(section_times(guide, offset))),
        ("midi", midi(guide)),
        ("clicks", clicks(guide, number)),
    ]
}

fn with_findings(Checked { value, findings }: Checked<String>) -> Vec<u8> {
    (value + &told(&findings)).into_bytes()
}

fn told(findings: &[Finding]) -> String {
    format!("{findings:?}")
}

fn midi(guide: &Guide) -> Vec<u8> {
    match midi_file(guide) {
        Ok(Checked {
            mut value,
            findings,
        }) => {
            value.extend(told(&findings).into_bytes());
            value
        }
        Err(error) => error.to_string().into_bytes(),
    }
}

/// Makes the click track of the first measures.
fn clicks(guide: &Guide, number: u32) -> Vec<u8> {
    let mut short = guide.clone();
    short.road_map.measures.truncate(CLICKED);
    let sounds = [ClickSound::Clear, ClickSound::Wooden, ClickSound::Dry];
    let sound = sounds
        .into_iter()
        .nth(usize::try_from(number % 3).unwrap_or_default());
    let rate = if number.is_multiple_of(2) {
        SampleRate::of_hertz(44_100)
    } else {
        SampleRate::of_hertz(48_000)
    };
    let (Some(sound), Some(rate)) = (sound, rate) else {
        return Vec::new();
    };
    match click_track(&short, sound, rate) {
        Ok(Checked { value, findings }) => {
            let pieces = value.pieces().take(PIECES).flatten();
            let mut bytes: Vec<u8> = pieces.collect();
            bytes.extend(format!("{} {}", value.samples(), value.starts()).into_bytes());
            bytes.extend(told(&findings).into_bytes());
            bytes
        }
        Err(error) => error.to_string().into_bytes(),
    }
}

#[cfg(test)]
mod tests {
    use super::exports_of;

    #[test]
    fn the_same_guide_gives_the_same_bytes_and_another_one_others() {
        assert_eq!(exports_of(7), exports_of(7));
        let tail = |number: u32| exports_of(number).split_off(format!("guide {number} of").len());
        assert_ne!(tail(7), tail(8));
        // Each export has a name, a size that is not nought, and a sum.
        let line = exports_of(7);
        let words: Vec<&str> = line.split(' ').skip(3).collect();
        assert_eq!(words.len(), 13 * 3);
        for export in words.chunks(3) {
            assert_ne!(export.get(1), Some(&"0"), "{line}");
        }
    }
}
