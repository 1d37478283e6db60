//! The command line: which word runs which file. Only here are files and clocks.

mod backtest;
mod check;
mod demo;
mod fit;
mod folder;
mod odds;
mod output;
mod page;

use clap::{Parser, Subcommand};
use std::path::PathBuf;
use std::process::ExitCode;

/// Variety trials in, honest odds out.
#[derive(Debug, Parser)]
#[command(name = "leanyear", version)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Check(check::Arguments),
    Fit(fit::Arguments),
    Odds(odds::Arguments),
    Backtest(backtest::Arguments),
    Page(page::Arguments),
    /// Write the invented demo network into a folder.
    Demo {
        /// The folder; it is made if it is not there.
        dir: PathBuf,
    },
}

fn main() -> ExitCode {
    match Arguments::parse().command {
        Command::Check(arguments) => check::run(&arguments),
        Command::Fit(arguments) => output::finish(fit::run(&arguments)),
        Command::Odds(arguments) => output::finish(odds::run(&arguments)),
        Command::Backtest(arguments) => output::finish(backtest::run(&arguments)),
        Command::Page(arguments) => output::finish(page::run(&arguments)),
        Command::Demo { dir } => output::finish(
            demo::write(&dir)
                .map(|files| format!("{} files written to {} (invented data)\n", files.len(), dir.display()))
                .map_err(Into::into),
        ),
    }
}
