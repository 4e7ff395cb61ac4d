//! A bow plan as data.

use crate::{Failure, input, output, report};
use clap::{Args, ValueEnum};
use cueleaf_score::Bowing;
use cueleaf_watch::BowStart;
use serde::Serialize;
use std::path::PathBuf;

/// Which strokes are planned, and how they start.
#[derive(Args)]
pub(crate) struct Wanted {
    /// A part or score in MusicXML or MIDI.
    input: PathBuf,
    /// The part, by name; not needed when there is one alone.
    #[arg(long, value_name = "NAME")]
    part: Option<String>,
    /// The printed number of the first measure.
    #[arg(long, value_name = "MEASURE")]
    from: String,
    /// The printed number of the last measure; the first alone without it.
    #[arg(long, value_name = "MEASURE")]
    to: Option<String>,
    /// Where the first stroke starts, in eighths of the bow: 0 is the frog, 8 the tip.
    #[arg(long, value_name = "EIGHTHS", default_value_t = 0.0)]
    at: f64,
    /// How much bow the first stroke takes, in eighths: above 0, at most 8. The strokes after it
    /// are as fast.
    #[arg(long, value_name = "EIGHTHS", default_value_t = 4.0)]
    amount: f64,
    /// Which way the first stroke goes; by the rule of thumb without it. A printed sign is obeyed
    /// all the same.
    #[arg(long, value_enum)]
    way: Option<Way>,
}

#[derive(Clone, Copy, ValueEnum)]
enum Way {
    Down,
    Up,
}

/// One stroke. `at` and `until` are where it starts and ends, `short_by` how much bow is missing,
/// all three in eighths of the bow from the frog; `quarters` is how far into the measure it starts.
#[derive(Serialize)]
struct Row<'a> {
    measure: &'a str,
    quarters: String,
    way: &'static str,
    marked: bool,
    notes: usize,
    seconds: f64,
    at: f64,
    until: f64,
    short_by: f64,
}

/// Prints the strokes in order.
pub(crate) fn print(wanted: &Wanted) -> Result<(), Failure> {
    let start = BowStart::new(wanted.at, wanted.amount).ok_or_else(|| {
        Failure::Use("the bow has eighths 0 to 8, and a stroke takes at most 8 of them".to_owned())
    })?;
    let start = match wanted.way {
        Some(Way::Down) => start.going(Bowing::Down),
        Some(Way::Up) => start.going(Bowing::Up),
        None => start,
    };
    let looked = input::look(&wanted.input, wanted.part.as_deref())?;
    report(looked.findings())?;
    let to = wanted.to.as_ref().unwrap_or(&wanted.from);
    let plan = looked.bow_plan((&wanted.from, to), start)?;
    let strokes = plan.strokes.iter();
    let named: Vec<_> = strokes
        .map(|stroke| (looked.number_of(stroke.place.measure), stroke))
        .collect();
    let rows: Vec<Row<'_>> = named
        .iter()
        .map(|(measure, stroke)| Row {
            measure,
            quarters: stroke.place.at.to_string(),
            way: match stroke.way {
                Bowing::Down => "down",
                Bowing::Up => "up",
            },
            marked: stroke.marked,
            notes: stroke.notes,
            seconds: stroke.seconds,
            at: stroke.from,
            until: stroke.to,
            short_by: stroke.short_by,
        })
        .collect();
    output::print(&rows)
}
