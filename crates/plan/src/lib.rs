//! A guide made playable.
//!
//! [`Plan::new`] puts the measures of a road map into the order in which they
//! are played and lays them on a line of seconds. Everything a player needs is
//! then a plain function of the plan: what is counted, where clicks fall, which
//! cue is shown, what changes next, where a step leads.
//!
//! Invariants of this room:
//! - Positions stay exact up to the one gate [`TempoMap::seconds_at`].
//! - No clock, no randomness, no I/O: time comes in as an argument.
//! - Every road map has an order that ends; what makes no sense is a finding.
#![forbid(unsafe_code)]

mod change;
mod click;
mod click_sound;
mod count;
mod cue;
mod order;
mod pace;
mod playing;
mod practice;
mod repeats;
mod rest;
mod rhythm;
mod say;
mod step;
mod stretch;
mod system;
mod taps;
mod tempo_map;

pub use change::Change;
pub use click::{Click, CountIn};
pub use click_sound::{ClickSound, click_samples};
pub use count::{Count, counts_of};
pub use cue::{Cue, CueLine, MAX_SHOWN_AGAIN, cue_text};
pub use order::{MAX_PLAYED, Played, order_of};
pub use pace::{FASTEST_PERCENT, Pace, PacedLine, SLOWEST_PERCENT};
pub use playing::{Instant, Plan};
pub use practice::{
    Between, ClickChoice, ClickOn, Climb, QUICKEST_HELP, Rung, even_ladder, traditional_ladder,
    traditional_steps,
};
pub use repeats::RepeatSign;
pub use rest::{Entry, RestCount};
pub use rhythm::{RhythmNote, Sound, Spoken, count_rhythm};
pub use say::Say;
pub use step::Step;
pub use stretch::Stretch;
pub use system::{CountSystem, SYSTEMS};
pub use taps::{
    FINDING, LEAST_TAPS, Lay, NEVER_FAULTED, Tap, TapRound, Verdict, device_delay, judge_taps,
};
pub use tempo_map::{TempoMap, TempoSegment};
