//! `cargo xtask`: builds, serves and checks Cueleaf.
//!
//! Every command sets up what it needs by itself, silently where it is there already and
//! saying so where it takes time.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a command for developers speaks on the terminal"
)]

mod bench;
mod build;
mod deflate;
mod kept;
mod licences;
mod names;
mod offline;
mod open_page;
mod packages;
mod pages;
mod policy;
mod run;
mod same;
mod serve;
mod setup;
mod tally;
mod test;
mod tidy;
mod toolchain;
mod wasm;
mod weigh;

use anyhow::Result;
use clap::{Parser, Subcommand};
use std::process::ExitCode;

#[derive(Parser)]
#[command(
    name = "cargo xtask",
    about = "Builds, serves and checks Cueleaf.",
    disable_help_subcommand = true
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Build the pages into dist/ and the command `cueleaf` into target/release/.
    Build {
        /// Build only this.
        #[arg(long, value_name = "NAME")]
        only: Option<build::Only>,
    },
    /// Build, then show the pages on this machine only.
    Serve {
        /// The port to listen on; without it 8137, or the next free one.
        #[arg(long)]
        port: Option<u16>,
    },
    /// Check everything that CI checks.
    Test {
        /// Run only this step; may be given several times.
        #[arg(long, value_name = "NAME")]
        only: Vec<test::Step>,
    },
    /// Time the work, as ratios within one run.
    Bench {
        /// Time only this; may be given several times.
        #[arg(long, value_name = "NAME")]
        only: Vec<bench::Subject>,
        /// Fail when a goal is not met.
        #[arg(long)]
        strict: bool,
    },
    /// Take pictures of every view into target/pictures, and those that README.md shows.
    Pictures,
    /// Tell what of an exported guide weighs what. Needs what `build` makes.
    Weigh {
        /// Write the table in DEVELOPERS.md anew.
        #[arg(long)]
        update: bool,
    },
    /// Check the rules of the house.
    Tidy,
}

fn main() -> ExitCode {
    match obey(Arguments::parse().command) {
        Ok(code) => code,
        Err(error) => {
            eprintln!("xtask: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn obey(command: Command) -> Result<ExitCode> {
    match command {
        Command::Build { only } => build::build(only)?,
        Command::Serve { port } => {
            build::build(None)?;
            serve::serve(port)?;
        }
        Command::Test { only } => return Ok(code(test::test(&only))),
        Command::Pictures => {
            build::build(None)?;
            setup::browsers()?;
            run::must(run::program("node").args([
                "tests/browser/pictures.mjs",
                "target/pictures",
                "www/pictures",
            ]))?;
        }
        Command::Weigh { update } => weigh::weigh(if update {
            weigh::Table::Update
        } else {
            weigh::Table::Compare
        })?,
        Command::Bench { only, strict } => {
            let met = bench::bench(&only)?;
            return Ok(code(met || !strict));
        }
        Command::Tidy => return Ok(code(tidy::tidy()? == 0)),
    }
    Ok(ExitCode::SUCCESS)
}

fn code(all_is_well: bool) -> ExitCode {
    if all_is_well {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}
