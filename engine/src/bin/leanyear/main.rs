//! The command line: which word runs which file. Only here are files and clocks.

mod check;
mod folder;

use clap::{Parser, Subcommand};
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
}

fn main() -> ExitCode {
    match Arguments::parse().command {
        Command::Check(arguments) => check::run(&arguments),
    }
}
