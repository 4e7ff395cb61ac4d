//! The command `cueleaf`: guides drafted, checked, timed and exported without a
//! page.
//!
//! Results go to standard output or a file, findings to standard error, one a
//! line with its place. The exit status is 0 when the result is there, 1 when
//! something found prevents it, 2 for wrong use.
#![forbid(unsafe_code)]
#![allow(clippy::print_stderr, reason = "a command speaks on the terminal")]

mod bow;
mod hand_out;
mod input;
mod link;
mod output;
mod timeline;
mod watch;

use clap::{Parser, Subcommand};
use cueleaf_export::{
    PlayerFiles, guide_page, overview_page, section_chapters, section_times, tip_captions,
};
use cueleaf_guide::{Checked, Finding, Guide, Id, Severity, check, for_student, save};
use cueleaf_plan::Plan;
use std::path::PathBuf;
use std::process::ExitCode;

/// Makes practice guides for one part of an ensemble piece.
#[derive(Parser)]
#[command(name = "cueleaf", version, disable_help_subcommand = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Draft a guide from a part or score (MusicXML, plain or compressed, or MIDI), or from
    /// captions of a talk (WebVTT, SRT, plain text with times), or from plain notes.
    Draft {
        /// The file to read.
        input: PathBuf,
        /// The part to draft for, by name; may be given several times. All parts without it.
        #[arg(long, value_name = "NAME")]
        part: Vec<String>,
        /// The id of the new guide: 1 to 64 letters, digits, - or _. A fresh one without it.
        #[arg(long, value_name = "ID")]
        id: Option<String>,
        /// Where to write the guide.
        #[arg(short, long, value_name = "GUIDE.json")]
        output: PathBuf,
    },
    /// Say what does not fit in a guide, and where.
    Check {
        /// The guide.
        guide: PathBuf,
    },
    /// Print measures, tempi, order of play and seconds as JSON.
    Timeline {
        /// A guide, a part or score in MusicXML or MIDI, captions, or notes.
        input: PathBuf,
        /// The part whose marks are read, by name.
        #[arg(long, value_name = "NAME")]
        part: Option<String>,
    },
    /// Print the link that carries a guide, or without an address what stands after its #.
    Link {
        /// The guide.
        guide: PathBuf,
        /// The part to write it for, by name; the whole guide without it.
        #[arg(long, value_name = "NAME")]
        part: Option<String>,
        /// The https address of play.html on the web; else the one that the guide names.
        #[arg(long, value_name = "URL")]
        address: Option<String>,
    },
    /// Draw the link of a guide as a QR code.
    Qr {
        /// The guide.
        guide: PathBuf,
        /// The part to draw it for, by name; the whole guide without it.
        #[arg(long, value_name = "NAME")]
        part: Option<String>,
        /// The https address of play.html on the web; else the one that the guide names.
        #[arg(long, value_name = "URL")]
        address: Option<String>,
        /// Where to write the picture.
        #[arg(short, long, value_name = "QR.svg")]
        output: PathBuf,
    },
    /// Print a guide as plain notes, which can be edited and drafted from again.
    Outline {
        /// A guide, a part or score in MusicXML or MIDI, captions, or notes.
        input: PathBuf,
        /// The part to write them for, by name; the whole guide without it.
        #[arg(long, value_name = "NAME")]
        part: Option<String>,
    },
    /// Print a guide in its saved form (JSON), as another program can read it.
    Saved {
        /// The guide, saved or exported.
        guide: PathBuf,
    },
    /// Print the watch list of a part as JSON: the places where something changes or gets hard.
    Watch {
        /// A part or score in MusicXML or MIDI.
        input: PathBuf,
        /// The part to look through, by name; not needed when there is one alone.
        #[arg(long, value_name = "NAME")]
        part: Option<String>,
    },
    /// Print how the bow travels through some measures as JSON: where each stroke starts and ends,
    /// and for which of them too little bow is left.
    Bow(bow::Wanted),
    /// Write the file that a student opens, or those of all parts.
    Export {
        /// The guide.
        #[arg(required_unless_present = "all", conflicts_with = "all")]
        guide: Option<PathBuf>,
        /// The part to write it for, by name; the whole guide without it.
        #[arg(long, value_name = "NAME", conflicts_with = "all")]
        part: Option<String>,
        /// Write all parts of the guides in a folder, or of one guide, with a page that lists
        /// them.
        #[arg(long, value_name = "FOLDER")]
        all: Option<PathBuf>,
        /// Where to write the page; with --all a zip or a folder.
        #[arg(short, long, value_name = "GUIDE.html")]
        output: PathBuf,
    },
    /// Write the tips as captions (WebVTT) for a recording of the piece.
    Captions(hand_out::Recording),
    /// Write the sections as chapters (WebVTT) for a recording of the piece.
    Chapters(hand_out::Recording),
    /// Write the times at which sections start in a recording, as plain text.
    Times(hand_out::Recording),
    /// Write tempo, meters, keys, marks and clicks as a MIDI file, in the order of play.
    Midi(hand_out::Music),
    /// Write the clicks as a sound file (WAV) with the counts as cue points.
    Click(hand_out::Clicks),
    /// Write the teacher's overview of all parts as a page to print.
    Overview {
        /// The guide.
        guide: PathBuf,
        /// Where to write the page.
        #[arg(short, long, value_name = "OVERVIEW.html")]
        output: PathBuf,
    },
}

/// Why there is no result.
enum Failure {
    /// Something about the input prevents it.
    Found(String),
    /// The command was used wrongly.
    Use(String),
}

fn main() -> ExitCode {
    match obey(Arguments::parse().command) {
        Ok(()) => ExitCode::SUCCESS,
        Err(Failure::Found(message)) => {
            eprintln!("error: {message}");
            ExitCode::from(1)
        }
        Err(Failure::Use(message)) => {
            eprintln!("error: {message}");
            ExitCode::from(2)
        }
    }
}

fn obey(command: Command) -> Result<(), Failure> {
    match command {
        Command::Draft {
            input,
            part,
            id,
            output,
        } => {
            let id = id_of(id)?;
            let parts: Vec<&str> = part.iter().map(String::as_str).collect();
            let drafted = input::draft(&input, &parts, id)?;
            report(&drafted.findings)?;
            output::write(&output, format!("{}\n", save(&drafted.value)).as_bytes())
        }
        Command::Check { guide } => {
            let findings = checked(&input::guide(&guide)?);
            report(&findings)?;
            output::print_text(&format!("{}\n", output::amount(findings.len(), "finding")))?;
            Ok(())
        }
        Command::Timeline { input, part } => {
            let opened = input::any(&input, part.as_deref())?;
            let planned = Plan::new(&opened.value);
            let findings = opened.findings.into_iter().chain(planned.findings);
            report(&once_each(findings.collect()))?;
            output::print(&timeline::timeline(&opened.value, &planned.value))
        }
        Command::Link {
            guide,
            part,
            address,
        } => link::print(&input::guide(&guide)?, part.as_deref(), address.as_deref()),
        Command::Qr {
            guide,
            part,
            address,
            output,
        } => {
            let guide = input::guide(&guide)?;
            link::draw(&guide, part.as_deref(), address.as_deref(), &output)
        }
        Command::Outline { input, part } => {
            let written = input::outline(&input, part.as_deref())?;
            report(&written.findings)?;
            output::print_text(&written.value)
        }
        Command::Saved { guide } => {
            output::print_text(&format!("{}\n", save(&input::guide(&guide)?)))
        }
        Command::Watch { input, part } => {
            let looked = input::look(&input, part.as_deref())?;
            report(looked.findings())?;
            output::print(&watch::rows(&looked.watch_list()))
        }
        Command::Bow(wanted) => bow::print(&wanted),
        Command::Export {
            guide,
            part,
            all,
            output,
        } => match (all, guide) {
            (Some(all), _) => hand_out::export_all(&all, &output),
            (None, Some(guide)) => export(&input::guide(&guide)?, part.as_deref(), &output),
            (None, None) => Err(Failure::Use("give a guide, or --all".to_owned())),
        },
        Command::Captions(recording) => hand_out::beside(&recording, tip_captions),
        Command::Chapters(recording) => hand_out::beside(&recording, section_chapters),
        Command::Times(recording) => hand_out::beside(&recording, section_times),
        Command::Midi(music) => hand_out::midi(&music),
        Command::Click(clicks) => hand_out::click(&clicks),
        Command::Overview { guide, output } => {
            let guide = input::guide(&guide)?;
            report(&checked(&guide))?;
            output::write(&output, overview_page(&guide).as_bytes())
        }
    }
}

fn export(guide: &Guide, part: Option<&str>, output: &std::path::Path) -> Result<(), Failure> {
    let player = player()?;
    let guide = of_part(guide, part)?;
    report(&checked(&guide))?;
    output::write(output, guide_page(&guide, &player).as_bytes())
}

/// Gives what brings an exported page to life.
fn player() -> Result<PlayerFiles<'static>, Failure> {
    let Some(player) = cueleaf_bundle::player() else {
        return Err(Failure::Found(
            "this cueleaf was built without the player that goes into the page; \
             `cargo xtask build` makes both"
                .to_owned(),
        ));
    };
    Ok(PlayerFiles {
        start: player.start,
        live_hash: player.live_hash,
        style: player.style,
        packed: player.packed,
    })
}

/// Lists what does not fit in a guide and in its order of play.
fn checked(guide: &Guide) -> Vec<Finding> {
    let planned = Plan::new(guide);
    let found = check(guide).into_iter().chain(planned.findings);
    once_each(found.collect())
}

/// Gives the guide of one part, or the whole, as a student gets it.
fn of_part(guide: &Guide, part: Option<&str>) -> Result<Guide, Failure> {
    Ok(match part {
        Some(name) => for_student(guide, Some(&input::part_of(guide, name)?)),
        None => for_student(guide, None),
    })
}

fn id_of(wanted: Option<String>) -> Result<Id, Failure> {
    if let Some(text) = wanted {
        return Id::new(&text)
            .ok_or_else(|| Failure::Use("an id has 1 to 64 letters, digits, - or _".to_owned()));
    }
    getrandom::u64()
        .map(Id::from_random)
        .map_err(|error| Failure::Found(format!("no fresh id could be made: {error}")))
}

/// Keeps the first of findings that are the same: laying out is asked by
/// several.
fn once_each(findings: Vec<Finding>) -> Vec<Finding> {
    let mut kept: Vec<Finding> = Vec::with_capacity(findings.len());
    for finding in findings {
        if !kept.contains(&finding) {
            kept.push(finding);
        }
    }
    kept
}

/// Prints findings; fails when one of them prevents the result.
fn report(findings: &[Finding]) -> Result<(), Failure> {
    for finding in findings {
        eprintln!("{finding}");
    }
    let errors = findings
        .iter()
        .filter(|finding| finding.severity == Severity::Error)
        .count();
    if errors > 0 {
        let errors = output::amount(errors, "finding");
        return Err(Failure::Found(format!("{errors} above prevent the result")));
    }
    Ok(())
}

/// A guide with what was found while opening it.
type Opened = Checked<Guide>;
