//! Every threshold and every weight of the watch list, with its source.
//!
//! Where no source is named it is our decision: the trade names the hazards but
//! gives no numbers for them ("hazards teachers flag", common practice, no
//! source). Weights order the list; they measure nothing.

use cueleaf_time::Ratio;

/// The most places a list holds; the weakest are left out beyond it.
///
/// # Source
/// Our decision: far above any real part, so that a hostile file ends.
pub const MAX_WATCHED: usize = 10_000;

/// How many of the strongest may be of one kind.
///
/// # Source
/// Our decision: ten places of one kind tell a student one thing.
pub(crate) const MOST_OF_ONE_KIND: usize = 4;

/// Whole measures of rest after which an entry is one after a long rest.
pub(crate) const LONG_REST_MEASURES: usize = 2;

/// The least rest, in counted beats, before what is called an entry.
pub(crate) const ENTRY_REST_BEATS: Ratio = Ratio::ONE;

/// Seconds to change between bow and plucking up to which each weight holds;
/// none at all is the strongest. No source gives a number of seconds, so the
/// seconds are shown and the teacher judges.
pub(crate) const READY_SECONDS: [(f64, i64); 5] =
    [(0.0, 95), (0.5, 88), (1.0, 80), (2.0, 68), (4.0, 54)];
/// The weight when there is more time than that.
pub(crate) const READY_AT_EASE: i64 = 40;
/// The weight of a change before the part's first note.
pub(crate) const READY_FROM_START: i64 = 30;
/// How many times as long a mute takes as the way between bow and finger.
pub(crate) const MUTE_TAKES: f64 = 3.0;

/// Steps between dynamics from which a change at once is sudden: from p to mf.
pub(crate) const SUDDEN_STEPS: i64 = 2;
/// How many measures after the measure in which a hairpin ends its dynamic may stand.
pub(crate) const ARRIVES_WITHIN: usize = 1;
/// How many measures after the measure of "cresc." without an end its dynamic may stand.
pub(crate) const WORDS_REACH: usize = 8;
/// The dynamic from which a crescendo without an aim has little room, and below which what
/// comes after one is no aim: f.
pub(crate) const LOUD: i64 = 1;

/// The greatest ratio of the new tempo to the old that still adds weight.
pub(crate) const TEMPO_RATIO_WEIGHT: i64 = 40;

/// How many measures before the end "rit." leads to it when nothing else says where it ends.
///
/// # Source
/// Our decision, the same as for what follows a "rit." in a draft.
pub(crate) const TO_THE_END: usize = 16;

/// What a change of the counted beat is called, by the least ratio of the new to the old.
pub(crate) const PACES: [(f64, &str); 12] = [
    (2.1, "more than twice as fast"),
    (1.9, "about twice as fast"),
    (1.6, "nearly twice as fast"),
    (1.4, "about half as fast again"),
    (1.1, "faster"),
    (1.000_001, "a little faster"),
    (0.999_999, "with the same beat"),
    (0.9, "a little slower"),
    (0.72, "slower"),
    (0.6, "about two thirds as fast"),
    (0.53, "little more than half as fast"),
    (0.47, "about half as fast"),
];

/// How many consecutive notes make a fast place.
pub(crate) const FAST_NOTES: usize = 4;
/// Notes in a second below which nothing counts as fast: sixteenths at 60.
pub(crate) const FAST_A_SECOND: f64 = 4.0;
/// How many times as many parts of a beat make a change of subdivision.
pub(crate) const SUBDIVISION_FACTOR: i64 = 4;
/// The most equal parts of a beat that anybody counts.
pub(crate) const MOST_PARTS: i64 = 8;
/// How many notes in a row nobody else strikes, or how many times in a row the others leave
/// a gap for some.
pub(crate) const ALONE_NOTES: usize = 3;

/// Seconds in one bow from which it is a long one.
pub(crate) const LONG_BOW_SECONDS: f64 = 4.0;
/// How many times as long as the short stroke the long one is, at least; three
/// to one is the case the literature treats (P. Stein; cellofun.eu, Bow Division).
pub(crate) const UNEVEN_RATIO: i64 = 2;
/// How many pairs of long and short in a row carry the hand away.
pub(crate) const UNEVEN_PAIRS: usize = 3;
/// Seconds of silence that make two strokes in one direction no matter.
pub(crate) const RETAKE_EASE_SECONDS: f64 = 1.0;

/// Semitones from which an interval is a large leap: an octave.
pub(crate) const LEAP_SEMITONES: i16 = 12;
/// Of a hundred notes, how many lie below and above the usual compass.
pub(crate) const COMPASS_PERCENT: usize = 5;
/// Semitones beyond the usual compass from which it is left.
pub(crate) const COMPASS_BEYOND: i16 = 3;
/// How often the highest note may come and still be a place to point at.
pub(crate) const HIGHEST_TIMES: usize = 6;
/// How many notes a part needs to have a usual compass.
pub(crate) const COMPASS_NOTES: usize = 16;

/// How many measures are the last.
pub(crate) const LAST_MEASURES: usize = 4;
/// How many families of things come together there.
pub(crate) const LAST_FAMILIES: usize = 3;

/// The longest uneven meter, in its finest unit, whose groupings are weighed.
pub(crate) const MOST_GROUPED_UNITS: u16 = 16;

/// Weights by kind, before what the numbers add.
pub(crate) mod weight {
    pub(crate) const TEMPO_CHANGE: i64 = 60;
    pub(crate) const TEMPO_CHANGE_MOST: i64 = 90;
    pub(crate) const TEMPO_WORDS: i64 = 62;
    pub(crate) const TEMPO_GRADUAL: i64 = 72;
    pub(crate) const TEMPO_OPEN: i64 = 62;
    pub(crate) const METER_CHANGE: i64 = 62;
    pub(crate) const METER_NEW_UNIT: i64 = 72;
    pub(crate) const METER_BACK: i64 = 48;
    pub(crate) const ODD_MEASURE: i64 = 78;
    pub(crate) const UNEVEN_METER: i64 = 82;
    pub(crate) const UNEVEN_AGAIN: i64 = 68;
    pub(crate) const KEY_CHANGE: i64 = 64;
    pub(crate) const KEY_UNTOUCHED: i64 = 44;
    pub(crate) const DYNAMIC: i64 = 24;
    pub(crate) const DYNAMIC_STEP: i64 = 5;
    pub(crate) const DYNAMIC_AFTER_REST: i64 = 30;
    pub(crate) const SUDDEN: i64 = 56;
    pub(crate) const LOUDEST: i64 = 62;
    pub(crate) const NO_ROOM: i64 = 60;
    pub(crate) const ENTRY_AFTER_REST: i64 = 62;
    pub(crate) const ENTRY_MEASURE: i64 = 2;
    pub(crate) const ENTRY_MEASURES_MOST: i64 = 16;
    pub(crate) const ENTRY_NOT_ON_ONE: i64 = 5;
    pub(crate) const ENTRY_NOT_ON_BEAT: i64 = 10;
    pub(crate) const ENTRY_OFF_BEAT: i64 = 44;
    pub(crate) const ENTRY_INSIDE: i64 = 34;
    pub(crate) const PICKUP: i64 = 42;
    pub(crate) const SYNCOPATION: i64 = 46;
    pub(crate) const TUPLET_ACROSS: i64 = 50;
    pub(crate) const TIE_OVER_BAR: i64 = 40;
    pub(crate) const SUBDIVISION: i64 = 52;
    pub(crate) const FASTEST: i64 = 64;
    pub(crate) const ALONE: i64 = 46;
    pub(crate) const BETWEEN_OTHERS: i64 = 44;
    pub(crate) const ARTICULATED_SLUR: i64 = 38;
    pub(crate) const NAMED_STROKE: i64 = 54;
    pub(crate) const ORDINARY_STROKE: i64 = 44;
    pub(crate) const NAMED_STRING: i64 = 52;
    pub(crate) const SAME_DIRECTION: i64 = 58;
    pub(crate) const LONG_BOW: i64 = 42;
    pub(crate) const LONG_BOW_SECOND: i64 = 4;
    pub(crate) const LONG_BOW_MOST: i64 = 60;
    pub(crate) const UNEVEN_BOWING: i64 = 56;
    pub(crate) const LEAP: i64 = 44;
    pub(crate) const LEAP_MOST: i64 = 62;
    pub(crate) const HIGHEST: i64 = 50;
    pub(crate) const OUT_OF_COMPASS: i64 = 42;
    pub(crate) const OUTSIDE_KEY: i64 = 30;
    pub(crate) const CLEF_CHANGE: i64 = 60;
    pub(crate) const CLEF_BACK: i64 = 50;
    pub(crate) const WHO_PLAYS: i64 = 54;
    pub(crate) const REPEAT: i64 = 46;
    pub(crate) const REPEAT_OTHERWISE: i64 = 68;
    pub(crate) const ENDING: i64 = 50;
    pub(crate) const JUMP: i64 = 74;
    pub(crate) const CUT: i64 = 76;
    pub(crate) const FERMATA: i64 = 64;
    pub(crate) const BREATH: i64 = 46;
    pub(crate) const LAST: i64 = 58;
    pub(crate) const LAST_FAMILY: i64 = 5;
    pub(crate) const LAST_MOST: i64 = 84;
    /// What each further place of a fold adds, and how much in all.
    pub(crate) const FOLDED: (i64, i64) = (1, 8);
}
