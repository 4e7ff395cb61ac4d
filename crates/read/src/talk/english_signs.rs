//! Signs over the notes in English.

use super::fact::FactKind;
use super::sign::{BACK, BROADER, FASTER, FERMATA, MUTE_OFF, MUTE_ON, SLOWER};
use super::table::Table;

/// Signs as they are said.
///
/// # Source
/// Our decision: words that teachers say.
#[rustfmt::skip]
pub(super) const SIGNS: Table<(FactKind, &str)> = &[
    ("ritardando", SLOWER), ("ritard", SLOWER), ("rit", SLOWER), ("gets slower", SLOWER),
    ("slows down", SLOWER), ("we slow down", SLOWER), ("getting slower", SLOWER),
    ("rallentando", BROADER), ("rall", BROADER),
    ("accelerando", FASTER), ("accel", FASTER), ("gets faster", FASTER), ("speeds up", FASTER),
    ("getting faster", FASTER), ("we speed up", FASTER),
    ("back in tempo", BACK), ("back to tempo", BACK),
    ("fermata", FERMATA), ("fermatas", FERMATA), ("fermate", FERMATA),
    ("con sordino", MUTE_ON), ("con sordini", MUTE_ON), ("con sord", MUTE_ON),
    ("with mute", MUTE_ON), ("with mutes", MUTE_ON), ("with the mute", MUTE_ON),
    ("mute on", MUTE_ON), ("mutes on", MUTE_ON), ("mute goes on", MUTE_ON),
    ("mutes go on", MUTE_ON), ("put the mute on", MUTE_ON), ("put your mute on", MUTE_ON),
    ("senza sordino", MUTE_OFF), ("senza sordini", MUTE_OFF), ("senza sord", MUTE_OFF),
    ("without mute", MUTE_OFF), ("without mutes", MUTE_OFF), ("without the mute", MUTE_OFF),
    ("mute off", MUTE_OFF), ("mutes off", MUTE_OFF), ("mute comes off", MUTE_OFF),
    ("mutes come off", MUTE_OFF), ("take the mute off", MUTE_OFF), ("take off the mute", MUTE_OFF),
    ("take your mute off", MUTE_OFF),
];
